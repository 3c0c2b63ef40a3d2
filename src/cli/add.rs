//! `spanyard add`: a dealer's list into the purchase folder.

use std::io::Read as _;
use std::path::PathBuf;

use jiff::civil::Date;
use spanyard::folder::{Add, Added, draft, keep, open};
use spanyard::read::SourceText;
use spanyard::report::facts::count;
use spanyard::report::terminal;
use spanyard::save::Disk;

use super::files::{MoreFiles, refusal, refusal_of};
use super::{Answer, Exit};

/// Arguments of `add`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  spanyard add ~/Downloads/cars.xlsx --dealer \"Drumfell Reclaim\" --yard \"Upper Drum\"\n  spanyard add - --dealer \"Orlhaven Equipment\" < list.txt"
)]
pub struct Args {
    /// The list as it came: CSV, TSV, text set with blanks or upright lines, XLSX, XLS, ODS, a saved web
    /// page; - reads it from standard input
    #[arg(value_name = "FILE")]
    file: PathBuf,

    /// Answers to what is asked of the list, by the IDs with which its questions are listed
    #[arg(value_name = "ID=ANSWER")]
    answers: Vec<String>,

    /// The dealer, where the list does not say it
    #[arg(long, value_name = "NAME")]
    dealer: Option<String>,

    /// The yard, where the list does not say it
    #[arg(long, value_name = "NAME")]
    yard: Option<String>,

    /// The day of the list [default: today]
    #[arg(long, value_name = "DAY")]
    date: Option<Date>,

    #[command(flatten)]
    more: MoreFiles,
}

/// Copies the list, drafts its mapping, and reads it back.
pub fn run(args: &Args, width: usize, disk: &dyn Disk) -> anyhow::Result<Answer> {
    let files = match args.more.with(Vec::new(), None, None) {
        Ok(files) => files,
        Err(refused) => return Ok(Answer::refused(refusal(&refused, width))),
    };
    let source = if args.file.as_os_str() == "-" {
        let mut bytes = Vec::new();
        std::io::stdin().lock().take(64 << 20).read_to_end(&mut bytes)?;
        SourceText::new("list.csv", bytes)
    } else {
        match open(&args.file) {
            Ok(source) => source,
            Err(problem) => return Ok(Answer::refused(refusal_of(*problem, width))),
        }
    };
    let day = args.date.unwrap_or_else(|| jiff::ZonedDateTime::now().date());
    let (dealer, yard) = (args.dealer.as_deref(), args.yard.as_deref());
    let mut draft = draft(&files, &Add { source: &source, dealer, yard, day })?;
    super::asking::given(&mut draft.asking, &args.answers)?;
    if args.answers.is_empty() && args.file.as_os_str() != "-" && super::asking::can_ask() {
        super::asking::ask(&mut draft.asking)?;
    }
    let Added { list, mapping, open, yards, decisions, since, back } = keep(&files, &draft, disk)?;
    let mut said = format!("Added {}", list.display());
    if let Some(mapping) = &mapping {
        said += &format!(", with the mapping {}", mapping.display());
    }
    said += ".\n";
    if let Some((before, lines)) = since {
        said += &format!("\nSince {}, which stays and is no longer read:\n", before.display());
        lines.iter().for_each(|line| said += &format!("  {line}\n"));
    }
    if !decisions.is_empty() {
        said += "\nDecisions that the new list no longer bears out; take them back or settle them with the dealer:\n";
        decisions.iter().for_each(|problem| said += &format!("  {problem}\n"));
    }
    if !open.is_empty() {
        let name = list.file_stem().unwrap_or_default().to_string_lossy();
        said += &format!(
            "\n{} open, which `spanyard answer {name}` asks:\n{}",
            count(open.len(), "question"),
            super::asking::listed(&open)
        );
    }
    if let Some(file) = files.yards.as_deref().filter(|_| !yards.is_empty()) {
        said += &format!(
            "\n{} has no row yet for {}: add one, with its terms.\n",
            file.display(),
            yards.join("; ")
        );
    }
    let sound = open.is_empty() && yards.is_empty() && decisions.is_empty();
    Ok(match back {
        Ok(back) => {
            let sound = sound && !back.cars.iter().any(|car| car.left_out);
            let exit = if sound { Exit::Done } else { Exit::No };
            Answer::done(format!("{said}\n{}", terminal::read_back(&back, width))).exit(exit)
        }
        // What is asked says why the list cannot be read.
        Err(_) if !open.is_empty() => {
            said += "\nThe list is read back when these are answered.\n";
            Answer::done(said).exit(Exit::No)
        }
        Err(refused) => {
            let told = refusal(&refused, width);
            Answer::done(said).beside(told).exit(Exit::No)
        }
    })
}
