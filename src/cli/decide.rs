//! `spanyard decide`: appends a decision to the decisions file, if it can be obeyed.

use anyhow::bail;
use spanyard::folder::{Decided, NotDecided, decide, try_out, undo};
use spanyard::save::Disk;

use super::Answer;
use super::files::{FileArgs, refusal};
use super::outputs::unusable;

/// Arguments of `decide`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  spanyard decide bought car=UD-08 price_usd=10400 note=\"by telephone\"\n  spanyard decide measured car=UD-17 camber_in=2.75\n  spanyard decide changed crossing=B-19 span_ft=62\n  spanyard decide built crossing=B-07 cars=\"UD-08; UD-17\"\n  spanyard decide undo\n\nKeys of each kind, beside `on`, the day, and `note`:\n  bought     car or lot, price_usd; of several identical cars count, as\n  reserved   car or lot, until, price_usd\n  sold       car or lot\n  refused    car\n  quoted     car or lot, price_usd, until\n  measured   car, columns of the inventory; by, document\n  answered   car, note\n  different  car, note\n  fixed      car, crossing\n  held       car: the agency's own, kept for later\n  dropped    crossing\n  added      the columns of a crossings file\n  changed    crossing, the columns that are others now\n  built      crossing, cars: those that lie there; without it those fixed to it"
)]
pub struct Args {
    /// What was decided: bought, reserved, sold, refused, quoted, measured, answered, different, fixed, held,
    /// dropped, added, changed, built; or undo, which takes the last decision back
    #[arg(value_name = "KIND")]
    kind: String,

    /// Its keys, as in the file: car=UD-08 price_usd=9400 note="by telephone"; without `dealer` it is
    /// the one dealer who has the car or lot
    #[arg(value_name = "KEY=VALUE")]
    keys: Vec<String>,

    /// Say what would be written, and write nothing
    #[arg(long)]
    dry_run: bool,

    #[command(flatten)]
    files: FileArgs,
}

/// Appends, if the files with this decision can be read.
pub fn run(args: &Args, width: usize, disk: &dyn Disk) -> anyhow::Result<Answer> {
    let keys: Vec<(String, String)> =
        args.keys.iter().map(|key| pair(key)).collect::<anyhow::Result<_>>()?;
    if keys.is_empty() && args.kind != "undo" {
        bail!("say what of it was decided, as KEY=VALUE; `spanyard decide --help` has the keys");
    }
    let files = match args.files.named() {
        Ok(files) => files,
        Err(refused) => return Ok(Answer::refused(refusal(&refused, width))),
    };
    let undoes = args.kind == "undo";
    // People say hold, and the file says held.
    let kind = if args.kind == "hold" { "held" } else { args.kind.as_str() };
    let decided = match (undoes, args.dry_run) {
        (true, dry) => undo(&files, if dry { None } else { Some(disk) }),
        (false, true) => try_out(&files, kind, &keys),
        (false, false) => decide(&files, kind, &keys, disk),
    };
    match decided {
        Ok(Decided { sentence, file, entry }) => {
            let done = match (undoes, args.dry_run) {
                (true, false) => "Taken from",
                (false, false) => "Written to",
                (true, true) => "Nothing was written. It would be taken from",
                (false, true) => "Nothing was written. It would go to",
            };
            Ok(Answer::done(format!("{sentence}.\n{done} {}:\n\n{entry}", file.display())))
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
