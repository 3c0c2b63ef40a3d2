//! The edge: files from disk, the day from the clock, and what the reader made of them.

use std::fs::File;
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};

use jiff::ZonedDateTime;
use spanyard::after::decide::decided;
use spanyard::check::Code;
use spanyard::read::{
    self, Checked, FileKind, Part, Problem, Problems, Reading, SourceText, Sources,
};
use spanyard::report::terminal;

use super::folder;

/// The files of a run that decides something. In a purchase folder none needs to be named.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = FILES)]
pub struct FileArgs {
    /// Inventory of cars, CSV or a dealer's own CSV, XLSX, XLS or ODS; several may follow, and the
    /// option may stand several times
    #[arg(long, value_name = "FILE", num_args = 1..)]
    inventory: Vec<PathBuf>,

    /// Yards and their terms
    #[arg(long, value_name = "FILE")]
    yards: Option<PathBuf>,

    /// Crossings
    #[arg(long, value_name = "FILE")]
    crossings: Option<PathBuf>,

    #[command(flatten)]
    more: MoreFiles,
}

/// The heading of the files in help.
pub const FILES: &str = "Files, in place of those of the purchase folder";

/// The heading in help of what looks at a part of the files.
const PART: &str = "A part of the files";

/// The files that no run needs in every case.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = FILES)]
pub struct MoreFiles {
    /// What the columns of a dealer's list mean, TOML; NAME.mapping.toml beside the inventory
    /// NAME.csv, NAME.xlsx and the like is found by itself
    #[arg(long, value_name = "FILE", num_args = 1..)]
    mapping: Vec<PathBuf>,

    /// Lots and their prices; needed if a car is sold with a lot
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

    /// Only the cars of these dealers
    #[arg(long, value_name = "NAME", num_args = 1.., help_heading = PART)]
    only_dealer: Vec<String>,

    /// Without the cars of these dealers
    #[arg(long, value_name = "NAME", num_args = 1.., help_heading = PART)]
    without_dealer: Vec<String>,

    /// Only these crossings
    #[arg(long, value_name = "CROSSING", num_args = 1.., help_heading = PART)]
    only: Vec<String>,
}

/// The files of a run: those that were named, and those of the purchase folder for the rest.
#[derive(Debug)]
pub struct Named {
    inventories: Vec<PathBuf>,
    mappings: Vec<PathBuf>,
    yards: Option<PathBuf>,
    lots: Option<PathBuf>,
    crossings: Option<PathBuf>,
    rules: Option<PathBuf>,
    decisions: Option<PathBuf>,
    strict: bool,
    part: Part,
}

/// Why the files cannot be used.
#[derive(Debug, Default)]
pub struct Refusal {
    /// All problems of all files.
    pub problems: Problems,
    /// What deserves a look besides.
    pub warnings: Vec<Problem>,
    /// What was not named, in words; then there is nothing else.
    pub not_named: String,
}

/// One problem alone.
impl From<Problem> for Refusal {
    fn from(problem: Problem) -> Self {
        Self { problems: Problems(vec![problem]), ..Self::default() }
    }
}

impl Named {
    /// What was named, and of the folder's files the others.
    ///
    /// # Errors
    /// When the purchase folder's file cannot be understood.
    pub fn of(
        inventories: Vec<PathBuf>,
        yards: Option<&Path>,
        crossings: Option<&Path>,
        more: &MoreFiles,
    ) -> Result<Self, Refusal> {
        let folder = folder::here()?.unwrap_or_default();
        let or = |named: Option<&Path>, of_folder: Option<PathBuf>| {
            named.map(Path::to_owned).or(of_folder)
        };
        let inventories = if inventories.is_empty() { folder.lists } else { inventories };
        let mut mappings = more.mapping.clone();
        let beside = inventories.iter().filter_map(|list| folder::mapping_beside(list));
        let beside = beside.filter(|found| !mappings.iter().any(|named| same_name(named, found)));
        let beside: Vec<_> = beside.collect();
        mappings.extend(beside);
        Ok(Self {
            inventories,
            mappings,
            yards: or(yards, folder.yards),
            lots: or(more.lots.as_deref(), folder.lots),
            crossings: or(crossings, folder.crossings),
            rules: or(more.rules.as_deref(), folder.rules),
            decisions: or(more.decisions.as_deref(), folder.decisions.filter(|path| path.exists())),
            strict: more.strict,
            part: Part {
                only_dealers: more.only_dealer.clone(),
                without_dealers: more.without_dealer.clone(),
                only_crossings: more.only.clone(),
            },
        })
    }

    /// The same with this file of lots, if there is one.
    pub fn with_lots(mut self, lots: Option<PathBuf>) -> Self {
        self.lots = lots.or(self.lots);
        self
    }

    /// The same without lists, if so asked: one file is looked at, and it is none of cars.
    pub fn without_lists(mut self, so: bool) -> Self {
        if so {
            self.inventories.clear();
            self.mappings.clear();
        }
        self
    }

    /// Whether there is no file.
    pub fn is_empty(&self) -> bool {
        self.paths().next().is_none()
    }

    /// Whether there is all that a plan needs.
    pub fn is_a_job(&self) -> bool {
        !self.inventories.is_empty() && self.yards.is_some() && self.crossings.is_some()
    }

    /// What a plan needs and nobody named.
    fn not_named(&self) -> Option<String> {
        let (what, option) = if self.inventories.is_empty() {
            ("inventory", "--inventory FILE")
        } else if self.yards.is_none() {
            ("yards file", "--yards FILE")
        } else if self.crossings.is_none() {
            ("crossings file", "--crossings FILE")
        } else {
            return None;
        };
        Some(format!(
            "there is no {what}: name it with {option}, or name a purchase folder with -C DIR \
             (`spanyard new DIR` makes one)"
        ))
    }

    /// Every file, in the order in which they are read.
    fn paths(&self) -> impl Iterator<Item = &Path> {
        let parts = [&self.yards, &self.lots, &self.crossings, &self.rules, &self.decisions];
        let lists = self.inventories.iter().chain(&self.mappings);
        lists.chain(parts.into_iter().flatten()).map(PathBuf::as_path)
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
        let inventories = self.inventories.iter();
        let mappings = self.mappings.iter();
        let sources = Sources {
            inventories: inventories.filter_map(|p| opened(FileKind::Inventory, p)).collect(),
            mappings: mappings.filter_map(|p| opened(FileKind::Mapping, p)).collect(),
            yards: self.yards.as_deref().and_then(|path| opened(FileKind::Yards, path)),
            lots: self.lots.as_deref().and_then(|path| opened(FileKind::Lots, path)),
            crossings: self.crossings.as_deref().and_then(|path| opened(FileKind::Crossings, path)),
            rules: self.rules.as_deref().and_then(|path| opened(FileKind::Rules, path)),
            decisions: decisions
                .or_else(|| opened(FileKind::Decisions, self.decisions.as_deref()?)),
            unopened: Vec::new(),
            part: self.part.clone(),
        };
        let sources = Sources { unopened, ..sources };
        let read = if a_job { read::examine } else { read::check };
        let mut checked = decided(read(&sources, today()));
        if self.strict && !checked.warnings.is_empty() {
            checked.inputs = None;
            checked.problems.0.append(&mut checked.warnings);
        }
        checked
    }
}

/// Whether two paths end in one file name.
fn same_name(a: &Path, b: &Path) -> bool {
    a.file_name() == b.file_name()
}

impl FileArgs {
    fn named(&self) -> Result<Named, Refusal> {
        let (yards, crossings) = (self.yards.as_deref(), self.crossings.as_deref());
        Named::of(self.inventory.clone(), yards, crossings, &self.more)
    }

    /// Opens and reads all files.
    ///
    /// # Errors
    /// All problems of all files.
    pub fn read(&self) -> Result<Reading, Refusal> {
        self.reading(None)
    }

    /// Opens and reads all files, with these decisions in place of those of the file.
    ///
    /// # Errors
    /// All problems of all files.
    pub fn read_with(&self, decisions: SourceText) -> Result<Reading, Refusal> {
        self.reading(Some(decisions))
    }

    fn reading(&self, decisions: Option<SourceText>) -> Result<Reading, Refusal> {
        let named = self.named()?;
        if let Some(not_named) = named.not_named() {
            return Err(Refusal { not_named, ..Refusal::default() });
        }
        let checked = named.read_with(true, decisions);
        let warnings = checked.warnings.clone();
        let refused = |problems| Refusal { problems, warnings, ..Refusal::default() };
        checked.into_reading().map_err(refused)
    }

    /// The decisions file, named or of the folder, whether or not it is there already.
    pub fn decisions(&self) -> Option<PathBuf> {
        let of_folder = || folder::here().ok().flatten().and_then(|folder| folder.decisions);
        self.more.decisions.clone().or_else(of_folder)
    }

    /// Every file of the run, in the order in which they are read.
    pub fn paths(&self) -> Vec<PathBuf> {
        let named = self.named();
        named.map(|named| named.paths().map(Path::to_owned).collect()).unwrap_or_default()
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
pub fn refusal(refusal: &Refusal, width: usize) -> String {
    let Refusal { problems, warnings, not_named } = refusal;
    if !not_named.is_empty() {
        return format!("error: {not_named}\n");
    }
    let n = problems.len();
    let noun = if n == 1 { "problem" } else { "problems" };
    let warnings = terminal::list_problems(warnings, "warning: ", width);
    let list = terminal::list_problems(&problems.0, "", width);
    format!("{warnings}{list}error: {n} {noun} in the files; `spanyard explain CODE` tells more\n")
}

/// One problem as printed by itself.
pub fn refusal_of(problem: Problem, width: usize) -> String {
    refusal(&problem.into(), width)
}

/// Warnings of the reader.
pub fn warnings(reading: &Reading, width: usize) -> String {
    terminal::list_problems(&reading.warnings, "warning: ", width)
}
