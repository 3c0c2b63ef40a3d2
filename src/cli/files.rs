//! The edge: files from disk, the day from the clock, and what the reader made of them.

use std::fs::File;
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};

use jiff::ZonedDateTime;
use spanyard::after::decide::decided;
use spanyard::check::Code;
use spanyard::read::{self, Checked, FileKind, Problem, Problems, Reading, SourceText, Sources};
use spanyard::report::terminal;

/// The files of a run that decides something.
#[derive(Debug, clap::Args)]
pub struct FileArgs {
    /// Inventory of cars, CSV or a dealer's own CSV, XLSX, XLS or ODS; several may follow, and the
    /// option may stand several times
    #[arg(long, value_name = "FILE", num_args = 1.., required = true)]
    inventory: Vec<PathBuf>,

    /// Yards and their terms, CSV
    #[arg(long, value_name = "FILE")]
    yards: PathBuf,

    /// Crossings, CSV
    #[arg(long, value_name = "FILE")]
    crossings: PathBuf,

    #[command(flatten)]
    more: MoreFiles,
}

/// The files that no run needs in every case.
#[derive(Debug, clap::Args)]
pub struct MoreFiles {
    /// What the columns of a dealer's list mean, TOML; NAME.mapping.toml is for the inventory
    /// NAME.csv, NAME.xlsx and the like, unless it names others
    #[arg(long, value_name = "FILE", num_args = 1..)]
    mapping: Vec<PathBuf>,

    /// Lots and their prices, CSV; needed if a car is sold with a lot
    #[arg(long, value_name = "FILE")]
    lots: Option<PathBuf>,

    /// The agency's rules, TOML; what it leaves out is as `spanyard rules` prints it
    #[arg(long, value_name = "FILE")]
    rules: Option<PathBuf>,

    /// What was decided since the plan, TOML; `spanyard decide` writes it
    #[arg(long, value_name = "FILE")]
    decisions: Option<PathBuf>,

    /// Take warnings of the files for problems
    #[arg(long)]
    strict: bool,
}

/// The files that were named.
#[derive(Debug)]
pub struct Named<'a> {
    /// Inventories.
    pub inventories: Vec<&'a Path>,
    /// Yards.
    pub yards: Option<&'a Path>,
    /// Crossings.
    pub crossings: Option<&'a Path>,
    /// The others.
    pub more: &'a MoreFiles,
}

/// Why the files cannot be used.
#[derive(Debug)]
pub struct Refusal {
    /// All problems of all files.
    pub problems: Problems,
    /// What deserves a look besides.
    pub warnings: Vec<Problem>,
}

impl Named<'_> {
    /// Whether no file is named.
    pub fn is_empty(&self) -> bool {
        self.paths().next().is_none()
    }

    /// Every file, in the order in which they are read.
    fn paths(&self) -> impl Iterator<Item = &Path> {
        let more = self.more;
        let mappings = more.mapping.iter().map(PathBuf::as_path);
        let inventories = self.inventories.iter().copied();
        inventories
            .chain(mappings)
            .chain(self.yards)
            .chain(more.lots.as_deref())
            .chain(self.crossings)
            .chain(more.rules.as_deref())
            .chain(more.decisions.as_deref())
    }

    /// Opens and reads all files. A job needs yards for its cars; a mere look, not of `a_job`, takes
    /// the files that there are. With `--strict` the warnings come back as problems.
    pub fn read(&self, a_job: bool) -> Checked {
        self.read_with(a_job, None)
    }

    fn read_with(&self, a_job: bool, decisions: Option<SourceText>) -> Checked {
        let mut unopened = Vec::new();
        let mut opened = |kind: FileKind, path: &Path| match open(path) {
            Ok(source) => Some(source),
            Err(problem) => {
                unopened.push((kind, *problem));
                None
            }
        };
        let more = self.more;
        let inventories = self.inventories.iter();
        let mappings = more.mapping.iter();
        let sources = Sources {
            inventories: inventories.filter_map(|p| opened(FileKind::Inventory, p)).collect(),
            mappings: mappings.filter_map(|p| opened(FileKind::Mapping, p)).collect(),
            yards: self.yards.and_then(|path| opened(FileKind::Yards, path)),
            lots: more.lots.as_deref().and_then(|path| opened(FileKind::Lots, path)),
            crossings: self.crossings.and_then(|path| opened(FileKind::Crossings, path)),
            rules: more.rules.as_deref().and_then(|path| opened(FileKind::Rules, path)),
            decisions: decisions
                .or_else(|| opened(FileKind::Decisions, more.decisions.as_deref()?)),
            unopened: Vec::new(),
        };
        let sources = Sources { unopened, ..sources };
        let read = if a_job { read::examine } else { read::check };
        let mut checked = decided(read(&sources, today()));
        if more.strict && !checked.warnings.is_empty() {
            checked.inputs = None;
            checked.problems.0.append(&mut checked.warnings);
        }
        checked
    }
}

impl FileArgs {
    fn named(&self) -> Named<'_> {
        Named {
            inventories: self.inventory.iter().map(PathBuf::as_path).collect(),
            yards: Some(&self.yards),
            crossings: Some(&self.crossings),
            more: &self.more,
        }
    }

    /// Opens and reads all files.
    ///
    /// # Errors
    /// All problems of all files.
    pub fn read(&self) -> Result<Reading, Refusal> {
        Self::reading(self.named().read(true))
    }

    fn reading(checked: Checked) -> Result<Reading, Refusal> {
        let warnings = checked.warnings.clone();
        checked.into_reading().map_err(|problems| Refusal { problems, warnings })
    }

    /// Opens and reads all files, with these decisions in place of those of the file.
    ///
    /// # Errors
    /// All problems of all files.
    pub fn read_with(&self, decisions: SourceText) -> Result<Reading, Refusal> {
        Self::reading(self.named().read_with(true, Some(decisions)))
    }

    /// The decisions file named.
    pub fn decisions(&self) -> Option<&Path> {
        self.more.decisions.as_deref()
    }

    /// Every file named, in the order in which they are read.
    pub fn paths(&self) -> Vec<PathBuf> {
        self.named().paths().map(Path::to_owned).collect()
    }
}

/// Greatest size of a file that is opened; the reader's own limits are lower.
const MOST_BYTES: u64 = 64 << 20;

/// The bytes of a file.
///
/// # Errors
/// Why it cannot be read.
pub fn open(path: &Path) -> Result<SourceText, Box<Problem>> {
    let name = path.display().to_string();
    let problem = |code: Code, wrong: String, instead: &str| {
        Box::new(Problem::of_file(code, name.as_str().into(), wrong, instead))
    };
    match bounded(path) {
        Ok(Some(bytes)) => Ok(SourceText::new(&name, bytes)),
        Ok(None) => {
            let wrong = format!("has more than {} MB", MOST_BYTES >> 20);
            let instead = "split the list, or delete what is not part of it";
            Err(problem(Code::FileTooLarge, wrong, instead))
        }
        Err(error) => Err(problem(Code::FileUnreadable, reason(&error), "check the path")),
    }
}

/// The text of a file that no reader of lists reads.
///
/// # Errors
/// Why it cannot be read.
pub fn open_text(path: &Path) -> anyhow::Result<String> {
    let name = path.display();
    let bytes = match bounded(path) {
        Ok(Some(bytes)) => bytes,
        Ok(None) => anyhow::bail!("{name} has more than {} MB", MOST_BYTES >> 20),
        Err(error) => anyhow::bail!("{name} {}", reason(&error)),
    };
    String::from_utf8(bytes).map_err(|_| anyhow::anyhow!("{name} is not text in UTF-8"))
}

/// The bytes of a file; nothing where it has too many, or, as a device or a pipe, no end.
fn bounded(path: &Path) -> io::Result<Option<Vec<u8>>> {
    let mut file = File::open(path)?;
    // What the system states is the size of a file; of a pipe it is none.
    if file.metadata().is_ok_and(|about| about.is_file() && about.len() > MOST_BYTES) {
        return Ok(None);
    }
    let mut bytes = Vec::new();
    file.by_ref().take(MOST_BYTES + 1).read_to_end(&mut bytes)?;
    Ok((bytes.len() as u64 <= MOST_BYTES).then_some(bytes))
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

/// Problems and warnings as printed to people who asked for something else than `check`.
pub fn refusal(Refusal { problems, warnings }: &Refusal, width: usize) -> String {
    let n = problems.len();
    let noun = if n == 1 { "problem" } else { "problems" };
    let warnings = terminal::list_problems(warnings, "warning: ", width);
    let list = terminal::list_problems(&problems.0, "", width);
    format!("{warnings}{list}error: {n} {noun} in the files; `spanyard explain CODE` tells more\n")
}

/// One problem as printed by itself.
pub fn refusal_of(problem: Problem, width: usize) -> String {
    refusal(&Refusal { problems: Problems(vec![problem]), warnings: Vec::new() }, width)
}

/// Warnings of the reader.
pub fn warnings(reading: &Reading, width: usize) -> String {
    terminal::list_problems(&reading.warnings, "warning: ", width)
}
