//! The files of a purchase: which ones `spanyard.toml` names, and what the reader makes of them.

use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};

use jiff::ZonedDateTime;
use jiff::civil::Date;

use super::open::open_in;
use crate::after::decide::decided;
use crate::check::Code;
use crate::read::{
    self, Checked, FOLDER_FILE, FileKind, Folder, Lists, Part, Problem, Problems, ReadBack,
    Reading, SourceText, Sources, is_list, is_named, mapping_of, no_such_list,
};

/// The files of a purchase, and what part of them is looked at. Paths are relative to the root.
#[derive(Clone, Debug, Default)]
pub struct Files {
    /// The folder that the paths start from; empty for the one where the program was started.
    pub root: PathBuf,
    /// Dealers' lists.
    pub inventories: Vec<PathBuf>,
    /// What the columns of dealers' own lists mean.
    pub mappings: Vec<PathBuf>,
    /// Yards and their terms.
    pub yards: Option<PathBuf>,
    /// Lots and their prices.
    pub lots: Option<PathBuf>,
    /// Crossings.
    pub crossings: Option<PathBuf>,
    /// What haulers quoted.
    pub hauls: Option<PathBuf>,
    /// The agency's rules.
    pub rules: Option<PathBuf>,
    /// What was decided since the plan.
    pub decisions: Option<PathBuf>,
    /// The file that a decision is written to, whether or not it exists already.
    pub decided_in: Option<PathBuf>,
    /// Where papers go.
    pub papers: Option<PathBuf>,
    /// The folder of lists, where lists are not named one by one.
    pub lists_in: Option<PathBuf>,
    /// What is read in the place of files, such as one that is being edited and not saved.
    pub instead: Vec<(PathBuf, Vec<u8>)>,
    /// Warnings of the files are problems.
    pub strict: bool,
    /// The part of the files that is looked at.
    pub part: Part,
}

/// Why the files cannot be used.
#[derive(Clone, Debug, Default)]
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

impl Files {
    /// The files of a purchase folder; none where it is none.
    ///
    /// # Errors
    /// When `spanyard.toml` cannot be understood, or names a folder of lists that cannot be read.
    pub fn of_folder(root: &Path) -> Result<Option<Self>, Box<Problem>> {
        if !root.join(FOLDER_FILE).is_file() {
            return Ok(None);
        }
        let folder = Folder::read(&open_in(root, Path::new(FOLDER_FILE))?)?;
        let path = |name: Option<String>| name.map(PathBuf::from);
        let lists_in = match &folder.lists {
            Some(Lists::Folder(folder)) => Some(PathBuf::from(folder)),
            _ => None,
        };
        let named = folder.lists.map(|named| lists(root, named)).transpose()?;
        let decisions = path(folder.decisions);
        let files = Self {
            root: root.to_owned(),
            decisions: decisions.clone().filter(|path| root.join(path).exists()),
            decided_in: decisions,
            yards: path(folder.yards),
            lots: path(folder.lots),
            hauls: path(folder.hauls),
            crossings: path(folder.crossings),
            rules: path(folder.rules),
            papers: path(folder.papers),
            lists_in,
            ..Self::default()
        };
        Ok(Some(files.with_lists(named.unwrap_or_default())))
    }

    /// The same with these lists and the mappings that lie beside them; a mapping that is named
    /// already takes the place of one of the same name.
    #[must_use]
    pub fn with_lists(mut self, lists: Vec<PathBuf>) -> Self {
        for list in &lists {
            let Some(found) = self.mapping_beside(list) else { continue };
            let same = |named: &PathBuf| named.file_name() == found.file_name();
            if !self.mappings.iter().any(same) {
                self.mappings.push(found);
            }
        }
        self.inventories = lists;
        self
    }

    /// The mapping that lies beside a list.
    fn mapping_beside(&self, list: &Path) -> Option<PathBuf> {
        let mapping = PathBuf::from(mapping_of(list.to_str()?));
        self.at(&mapping).is_file().then_some(mapping)
    }

    /// Where a file of these lies.
    #[must_use]
    pub fn at(&self, path: &Path) -> PathBuf {
        self.root.join(path)
    }

    /// A file, or what is read in its place.
    fn open(&self, path: &Path) -> Result<SourceText, Box<Problem>> {
        match self.instead.iter().rev().find(|(instead, _)| instead == path) {
            Some((_, bytes)) => Ok(SourceText::new(&path.display().to_string(), bytes.as_slice())),
            None => open_in(&self.root, path),
        }
    }

    /// Whether there is no file.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.paths().next().is_none()
    }

    /// Whether there is all that a plan needs.
    #[must_use]
    pub fn is_a_job(&self) -> bool {
        !self.inventories.is_empty() && self.yards.is_some() && self.crossings.is_some()
    }

    /// Every file that is read, in the order in which they are read.
    pub fn paths(&self) -> impl Iterator<Item = &Path> {
        let tables = [&self.yards, &self.lots, &self.crossings, &self.hauls];
        let parts = tables.into_iter().chain([&self.rules, &self.decisions]);
        let lists = self.inventories.iter().chain(&self.mappings);
        lists.chain(parts.flatten()).map(PathBuf::as_path)
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

    /// Opens and reads all files. A job needs yards for its cars; a mere look, not of `a_job`, takes
    /// the files that there are. Where warnings are problems, they come back as such.
    #[must_use]
    pub fn check(&self, a_job: bool) -> Checked {
        self.check_with(a_job, None)
    }

    /// Reads one list back, car by car and cell by cell.
    ///
    /// # Errors
    /// No list has the name, or it cannot be read at all.
    pub fn read_back(&self, list: &str) -> Result<ReadBack, Refusal> {
        let back = read::read_back(&self.sources(None), today(), list);
        back.map_err(|problems| Refusal { problems, ..Refusal::default() })
    }

    /// The list of this name: its path, its file's name, or that without its ending.
    ///
    /// # Errors
    /// No list has the name.
    pub fn list_named(&self, name: &str) -> Result<PathBuf, Refusal> {
        let path = |list: &PathBuf| list.display().to_string();
        match self.inventories.iter().find(|list| is_named(&path(list), name)) {
            Some(list) => Ok(list.clone()),
            None => Err(no_such_list(name, self.inventories.iter().map(path)).into()),
        }
    }

    /// All files, opened.
    fn sources(&self, decisions: Option<SourceText>) -> Sources {
        let mut unopened = Vec::new();
        let mut opened = |kind: FileKind, path: &Path| match self.open(path) {
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
            hauls: self.hauls.as_deref().and_then(|path| opened(FileKind::Hauls, path)),
            rules: self.rules.as_deref().and_then(|path| opened(FileKind::Rules, path)),
            decisions: decisions
                .or_else(|| opened(FileKind::Decisions, self.decisions.as_deref()?)),
            unopened: Vec::new(),
            part: self.part.clone(),
            leave_out: !self.strict,
        };
        Sources { unopened, ..sources }
    }

    fn check_with(&self, a_job: bool, decisions: Option<SourceText>) -> Checked {
        let sources = self.sources(decisions);
        let read = if a_job { read::examine } else { read::check };
        let mut checked = decided(read(&sources, today()));
        if self.strict && !checked.warnings.is_empty() {
            checked.inputs = None;
            checked.problems.0.append(&mut checked.warnings);
        }
        checked
    }

    /// Opens and reads all files, for what needs all that a plan needs.
    ///
    /// # Errors
    /// All problems of all files.
    pub fn read(&self) -> Result<Reading, Refusal> {
        self.reading(None)
    }

    /// As [`Files::read`], with these decisions in place of those of the file.
    ///
    /// # Errors
    /// All problems of all files.
    pub fn read_with(&self, decisions: SourceText) -> Result<Reading, Refusal> {
        self.reading(Some(decisions))
    }

    fn reading(&self, decisions: Option<SourceText>) -> Result<Reading, Refusal> {
        if let Some(not_named) = self.not_named() {
            return Err(Refusal { not_named, ..Refusal::default() });
        }
        let checked = self.check_with(true, decisions);
        let warnings = checked.warnings.clone();
        let refused = |problems| Refusal { problems, warnings, ..Refusal::default() };
        checked.into_reading().map_err(refused)
    }
}

/// The lists, of a folder by name, so that the order is the same on every system.
fn lists(root: &Path, named: Lists) -> Result<Vec<PathBuf>, Box<Problem>> {
    let folder = match named {
        Lists::Files(files) => return Ok(files.into_iter().map(PathBuf::from).collect()),
        Lists::Folder(folder) => PathBuf::from(folder),
    };
    let unread = |error: std::io::Error| {
        let wrong = format!("names the folder {}, which cannot be read: {error}", folder.display());
        let instead = "make the folder, or correct `lists`";
        Box::new(Problem::of_file(Code::FileUnreadable, FOLDER_FILE.into(), wrong, instead))
    };
    let mut files = Vec::new();
    for entry in fs::read_dir(root.join(&folder)).map_err(unread)? {
        let name = entry.map_err(unread)?.file_name();
        let path = within(&folder, &name);
        if is_list(&name.to_string_lossy()) && root.join(&path).is_file() {
            files.push(path);
        }
    }
    files.sort();
    Ok(newest(files))
}

/// A file in a folder of the purchase, with the same mark between the two on every system: the names
/// of files stand in the plan, whose ID must be the same wherever it is made.
#[must_use]
pub fn within(folder: &Path, name: impl AsRef<OsStr>) -> PathBuf {
    let mut path = folder.as_os_str().to_owned();
    if !path.is_empty() && !path.to_string_lossy().ends_with(['/', '\\']) {
        path.push("/");
    }
    path.push(name);
    path.into()
}

/// The name that the lists of a dealer have in common: without day and ending.
#[must_use]
pub fn stem(list: &Path) -> String {
    stem_of(list).0
}

/// The name of a list without its day and ending, and its day if it has one.
pub(super) fn stem_of(list: &Path) -> (String, Option<Date>) {
    let stem = list.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    const DAY: usize = "-2026-05-31".len();
    let day = stem.len().checked_sub(DAY).and_then(|at| stem.get(at..));
    match day.and_then(|day| day.strip_prefix('-')?.parse::<Date>().ok()) {
        Some(day) => (stem[..stem.len() - DAY].to_owned(), Some(day)),
        None => (stem, None),
    }
}

/// The lists that are read: of those with a day in their names the last one of each dealer.
fn newest(files: Vec<PathBuf>) -> Vec<PathBuf> {
    let named: Vec<_> = files.iter().map(|file| stem_of(file)).collect();
    let is_last = |at: usize| {
        let (stem, day) = &named[at];
        !named.iter().any(|(other, later)| other == stem && later > day)
    };
    let kept: Vec<bool> = (0..files.len()).map(is_last).collect();
    files.into_iter().zip(kept).filter(|(_, kept)| *kept).map(|(file, _)| file).collect()
}

/// The day by the clock, where the rules name no order date.
pub(super) fn today() -> jiff::civil::Date {
    ZonedDateTime::now().date()
}
