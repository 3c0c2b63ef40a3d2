//! The edge: files from disk, the day from the clock, and what the reader made of them.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use jiff::ZonedDateTime;
use spanyard::check::Code;
use spanyard::read::{self, Problem, Problems, Reading, SourceText, Sources};
use spanyard::report::terminal;

/// The files of a run.
#[derive(Debug, clap::Args)]
pub struct FileArgs {
    /// Inventory of cars, CSV or a dealer's own CSV, XLSX, XLS or ODS; several may follow, and the
    /// option may stand several times
    #[arg(long, value_name = "FILE", num_args = 1.., required = true)]
    inventory: Vec<PathBuf>,

    /// What the columns of a dealer's list mean, TOML; NAME.mapping.toml is for the inventory
    /// NAME.csv, NAME.xlsx and the like, unless it names others
    #[arg(long, value_name = "FILE", num_args = 1..)]
    mapping: Vec<PathBuf>,

    /// Take warnings of the files for problems
    #[arg(long)]
    strict: bool,

    /// Yards and their terms, CSV
    #[arg(long, value_name = "FILE")]
    yards: PathBuf,

    /// Lots and their prices, CSV; needed if a car is sold with a lot
    #[arg(long, value_name = "FILE")]
    lots: Option<PathBuf>,

    /// Crossings, CSV
    #[arg(long, value_name = "FILE")]
    crossings: PathBuf,

    /// The agency's rules, TOML; what it leaves out is as `spanyard rules` prints it
    #[arg(long, value_name = "FILE")]
    rules: Option<PathBuf>,
}

impl FileArgs {
    /// Opens and reads all files.
    ///
    /// # Errors
    /// All problems of all files.
    pub fn read(&self) -> Result<Reading, Problems> {
        let mut missing = Vec::new();
        let inventories =
            self.inventory.iter().filter_map(|path| opened(path, &mut missing)).collect();
        let unread_inventories = missing.len();
        let mappings = self.mapping.iter().filter_map(|path| opened(path, &mut missing)).collect();
        let sources = Sources {
            inventories,
            mappings,
            yards: opened(&self.yards, &mut missing),
            lots: self.lots.as_deref().and_then(|path| opened(path, &mut missing)),
            crossings: opened(&self.crossings, &mut missing),
            rules: self.rules.as_deref().and_then(|path| opened(path, &mut missing)),
        };
        // Without a file that the others refer to, the reader would complain of every reference.
        if missing.len() > unread_inventories {
            return Err(Problems(missing));
        }
        let reading = read::read(&sources, today());
        if missing.is_empty() {
            return match reading {
                Ok(reading) if self.strict && !reading.warnings.is_empty() => {
                    Err(Problems(reading.warnings))
                }
                reading => reading,
            };
        }
        missing.extend(reading.err().map(|problems| problems.0).unwrap_or_default());
        Err(Problems(missing))
    }
}

impl FileArgs {
    /// Every file named, in the order in which they are read.
    pub fn paths(&self) -> impl Iterator<Item = &Path> {
        self.inventory
            .iter()
            .chain([&self.yards])
            .chain(&self.lots)
            .chain([&self.crossings])
            .chain(&self.rules)
            .map(PathBuf::as_path)
    }
}

/// The file, or one problem more.
fn opened(path: &Path, missing: &mut Vec<Problem>) -> Option<SourceText> {
    open(path).map_err(|problem| missing.push(*problem)).ok()
}

/// Greatest size of a file that is opened; the reader's own limits are lower.
const MOST_BYTES: u64 = 256 << 20;

/// The bytes of a file.
///
/// # Errors
/// Why it cannot be read.
pub fn open(path: &Path) -> Result<SourceText, Box<Problem>> {
    let name = path.display().to_string();
    if fs::metadata(path).is_ok_and(|about| about.len() > MOST_BYTES) {
        let wrong = format!("has more than {} MB", MOST_BYTES >> 20);
        let instead = "split the list, or delete what is not part of it";
        let code = Code::FileTooLarge;
        return Err(Box::new(Problem::of_file(code, name.as_str().into(), wrong, instead)));
    }
    fs::read(path).map(|bytes| SourceText::new(&name, bytes)).map_err(|error| {
        Box::new(Problem::of_file(
            Code::FileUnreadable,
            name.as_str().into(),
            reason(&error),
            "check the path",
        ))
    })
}

/// Why a file cannot be read, in the same words on every system where the cause is a common one.
fn reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "does not exist".to_owned(),
        io::ErrorKind::PermissionDenied => "may not be read by you".to_owned(),
        io::ErrorKind::IsADirectory => "is a folder".to_owned(),
        _ => format!("cannot be read: {error}"),
    }
}

/// The day by the clock, where the rules name no order date.
fn today() -> jiff::civil::Date {
    ZonedDateTime::now().date()
}

/// Problems as printed to people who asked for something else than `check`.
pub fn refusal(problems: &Problems) -> String {
    let n = problems.len();
    let noun = if n == 1 { "problem" } else { "problems" };
    let list = terminal::list_problems(&problems.0, "");
    format!("{list}error: {n} {noun} in the files; `spanyard explain CODE` tells more\n")
}

/// Warnings of the reader, one to a line.
pub fn warnings(reading: &Reading) -> String {
    terminal::list_problems(&reading.warnings, "warning: ")
}
