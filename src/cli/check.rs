//! `spanyard check`: what was understood of the files, and what is wrong with them.

use std::path::{Path, PathBuf};

use spanyard::folder::{Files, Refusal, Written, open};
use spanyard::read::{Checked, FileKind, Reading, draft_mapping, kind_of};
use spanyard::report::facts::expiring::expiring;
use spanyard::report::{json, readback, terminal};
use spanyard::save::{Disk, Targets};

use super::files::{FILES, MoreFiles, refusal, refusal_of};
use super::outputs::{ending, unusable};
use super::{Answer, Exit, TextOrJson};

/// Arguments of `check`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  spanyard check --list spur           one list car by car, as written and as understood\n  spanyard check                       all files of the purchase folder\n  spanyard check lists/spur.xlsx       one list, with what the folder has beside it\n  spanyard check --expiring 14         quotes that end within two weeks\n  spanyard check --draft-mapping lists/spur.xlsx > lists/spur.mapping.toml"
)]
pub struct Args {
    /// A list of cars, crossings, yards or lots, CSV, XLSX, XLS or ODS; what it is, its header tells
    #[arg(value_name = "FILE")]
    files: Vec<PathBuf>,

    /// The same, as the other commands take it
    #[arg(long, value_name = "FILE", num_args = 1.., help_heading = FILES)]
    inventory: Vec<PathBuf>,

    /// Yards and their terms
    #[arg(long, value_name = "FILE", help_heading = FILES)]
    yards: Option<PathBuf>,

    /// Crossings
    #[arg(long, value_name = "FILE", help_heading = FILES)]
    crossings: Option<PathBuf>,

    #[command(flatten)]
    more: MoreFiles,

    /// Print a first mapping for the dealer's own list FILE, to be edited, and do nothing else
    #[arg(
        long,
        value_name = "FILE",
        num_args = 0..=1,
        conflicts_with_all = ["yards", "crossings", "mapping", "lots", "rules", "strict"]
    )]
    draft_mapping: Option<Option<PathBuf>>,

    /// Read one list back: car by car what was read, from which cell, as written and as understood
    #[arg(long, value_name = "NAME", conflicts_with_all = ["draft_mapping", "format"])]
    list: Option<String>,

    /// Tell the quotes that end within this many days from the day of the order, over all yards
    #[arg(long, value_name = "DAYS", conflicts_with_all = ["draft_mapping", "format", "list"])]
    expiring: Option<u16>,

    /// Write the read-back as CSV
    #[arg(long, value_name = "FILE", requires = "list")]
    csv: Option<PathBuf>,

    /// Write the read-back as a page to print and sign
    #[arg(long, value_name = "FILE", requires = "list")]
    page: Option<PathBuf>,

    /// Output
    #[arg(long, value_enum, default_value_t = TextOrJson::Table)]
    format: TextOrJson,
}

impl Args {
    /// The files, each that was named without saying what it is taken for what it looks like.
    fn named(&self) -> Result<Files, Refusal> {
        let mut inventories = self.inventory.clone();
        let (mut yards, mut crossings) = (self.yards.clone(), self.crossings.clone());
        let (mut lots, mut hauls) = (None, None);
        for path in &self.files {
            let kind = open(path).map_or(FileKind::Inventory, |source| kind_of(&source));
            let place = match kind {
                FileKind::Yards => &mut yards,
                FileKind::Crossings => &mut crossings,
                FileKind::Lots => &mut lots,
                FileKind::Hauls => &mut hauls,
                _ => {
                    inventories.push(path.clone());
                    continue;
                }
            };
            // A second one of a kind is told by whoever reads it as a list.
            match place {
                Some(_) => inventories.push(path.clone()),
                None => *place = Some(path.clone()),
            }
        }
        let alone = inventories.is_empty() && !self.files.is_empty();
        let named = self.more.with(inventories, yards.as_deref(), crossings.as_deref())?;
        let named = Files { lots: lots.or(named.lots), hauls: hauls.or(named.hauls), ..named };
        // One file is looked at, and it is none of cars.
        let none = || (Vec::new(), Vec::new());
        let (inventories, mappings) =
            if alone { none() } else { (named.inventories, named.mappings) };
        Ok(Files { inventories, mappings, ..named })
    }
}

/// Reads the files. Problems are the result here, so they go to standard output.
pub fn run(args: &Args, width: usize, disk: &dyn Disk) -> anyhow::Result<Answer> {
    if let Some(file) = &args.draft_mapping {
        let inventories = args.files.iter().chain(&args.inventory);
        let files: Vec<_> = inventories.chain(file).map(PathBuf::as_path).collect();
        return Ok(draft(&files, width));
    }
    let named = match args.named() {
        Ok(named) => named,
        Err(refused) => return Ok(Answer::refused(refusal(&refused, width))),
    };
    if named.is_empty() {
        return Ok(Answer::input_problem(
            "error: name a file to check, or a purchase folder with -C DIR; see spanyard check --help",
        ));
    }
    if let Some(list) = &args.list {
        return read_back(args, &named, list, width, disk);
    }
    if let Some(days) = args.expiring {
        return Ok(match named.read() {
            Ok(Reading { inputs, .. }) => {
                let found = expiring(&inputs, days);
                let exit = if found.soon.is_empty() { Exit::Done } else { Exit::No };
                Answer::done(terminal::expiring(&inputs, &found, days, width)).exit(exit)
            }
            Err(refused) => Answer::refused(refusal(&refused, width)),
        });
    }
    // With all that a plan needs, what is missing is wrong; else it is merely not checked.
    let a_job = named.is_a_job();
    let checked = named.check(a_job);
    let Checked { inputs, files, problems, warnings, not_checked, .. } = &checked;
    let stdout = match (inputs, args.format) {
        (None, TextOrJson::Table) => terminal::problems(problems, width),
        (None, TextOrJson::Json) => json::problems(problems, warnings)?,
        (Some(inputs), TextOrJson::Table) if a_job => terminal::check(inputs, files, width),
        (Some(inputs), TextOrJson::Json) if a_job => json::check(inputs, files, warnings)?,
        (_, TextOrJson::Table) => terminal::check_of_some(files, not_checked, width),
        (_, TextOrJson::Json) => json::check_of_some(files, not_checked, warnings)?,
    };
    let beside = match args.format {
        TextOrJson::Table => terminal::list_problems(warnings, "warning: ", width),
        TextOrJson::Json => String::new(),
    };
    let exit = match inputs {
        None => Exit::Input,
        Some(_) if files.iter().any(|file| file.left_out > 0) => Exit::No,
        Some(_) => Exit::Done,
    };
    Ok(Answer::done(stdout).beside(beside).exit(exit))
}

/// Reads one list back.
fn read_back(
    args: &Args,
    named: &Files,
    list: &str,
    width: usize,
    disk: &dyn Disk,
) -> anyhow::Result<Answer> {
    let back = match named.read_back(list) {
        Ok(back) => back,
        Err(refused) => return Ok(Answer::refused(refusal(&refused, width))),
    };
    let (csv, page) = (args.csv.as_deref(), args.page.as_deref());
    let read: Vec<PathBuf> = named.paths().map(|path| named.at(path)).collect();
    let targets = Targets::default().file("--csv", csv).file("--page", page);
    if let Err(wrong) = targets.check(&read) {
        return Ok(unusable(&wrong));
    }
    let mut written = Written::default();
    if let Some(path) = csv {
        written.file(path, readback::csv(&back), disk);
    }
    if let Some(path) = page {
        written.file(path, readback::page(&back), disk);
    }
    let exit = if back.cars.iter().any(|car| car.left_out) { Exit::No } else { Exit::Done };
    let answer = Answer::done(terminal::read_back(&back, width));
    Ok(answer.exit(ending(&written, exit)).beside(written.said))
}

/// Drafts a mapping for the one file named.
fn draft(files: &[&Path], width: usize) -> Answer {
    let [path] = files else {
        return Answer::input_problem("error: --draft-mapping wants one FILE");
    };
    match open(path).and_then(|source| draft_mapping(&source)) {
        Ok(draft) => Answer::done(draft),
        Err(problem) => Answer::refused(refusal_of(*problem, width)),
    }
}
