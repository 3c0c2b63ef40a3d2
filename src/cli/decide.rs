//! `spanyard decide`: appends a decision to the decisions file, if it can be obeyed.

use anyhow::bail;
use spanyard::folder::{Decided, NotDecided, decide};
use spanyard::save::Disk;

use super::Answer;
use super::files::{FileArgs, refusal};
use super::outputs::unusable;

/// Arguments of `decide`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  spanyard decide bought car=UD-08 price_usd=10400 note=\"by telephone\"\n  spanyard decide measured car=UD-17 camber_in=2.75\n  spanyard decide dropped crossing=B-19"
)]
pub struct Args {
    /// What was decided: bought, reserved, sold, refused, quoted, measured, answered, different, fixed, dropped, added
    #[arg(value_name = "KIND")]
    kind: String,

    /// Its keys, as in the file: car=UD-08 price_usd=9400 note="by telephone"; without `dealer` it is
    /// the one dealer who has the car or lot
    #[arg(value_name = "KEY=VALUE", required = true)]
    keys: Vec<String>,

    #[command(flatten)]
    files: FileArgs,
}

/// Appends, if the files with this decision can be read.
pub fn run(args: &Args, width: usize, disk: &dyn Disk) -> anyhow::Result<Answer> {
    let keys: Vec<(String, String)> =
        args.keys.iter().map(|key| pair(key)).collect::<anyhow::Result<_>>()?;
    let files = match args.files.named() {
        Ok(files) => files,
        Err(refused) => return Ok(Answer::refused(refusal(&refused, width))),
    };
    match decide(&files, &args.kind, &keys, disk) {
        Ok(Decided { sentence, file, entry }) => {
            Ok(Answer::done(format!("{sentence}.\nWritten to {}:\n\n{entry}", file.display())))
        }
        Err(NotDecided::Unusable(wrong)) => Ok(unusable(&wrong)),
        Err(NotDecided::Standing(refused)) => Ok(Answer::refused(refusal(&refused, width))),
        Err(NotDecided::Refused(refused, file)) => {
            let told = refusal(&refused, width);
            let file = file.display();
            Ok(Answer::refused(format!("{told}nothing was written to {file}\n")))
        }
        Err(other) => Err(other.into()),
    }
}

/// A key and its value.
fn pair(key: &str) -> anyhow::Result<(String, String)> {
    let Some((name, value)) = key.split_once('=') else {
        bail!("`{key}` is no KEY=VALUE, such as car=UD-08");
    };
    Ok((name.trim().to_owned(), value.trim().to_owned()))
}
