//! Files on the command line, and what is said where they cannot be used.

use std::path::{Path, PathBuf};

use spanyard::folder::{Files, Refusal};
use spanyard::read::{Part, Problem, Reading};
use spanyard::report::terminal;

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

    /// What haulers quoted for loads from yards to crossings; in place of the estimate by distance
    #[arg(long, value_name = "FILE")]
    hauls: Option<PathBuf>,

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

impl MoreFiles {
    /// These files, and of the purchase folder's the others.
    ///
    /// # Errors
    /// When the purchase folder's file cannot be understood.
    pub fn with(
        &self,
        inventories: Vec<PathBuf>,
        yards: Option<&Path>,
        crossings: Option<&Path>,
    ) -> Result<Files, Refusal> {
        let folder = here()?;
        let or = |named: Option<&Path>, of_folder: Option<PathBuf>| {
            named.map(Path::to_owned).or(of_folder)
        };
        let lists = if inventories.is_empty() { folder.inventories } else { inventories };
        let files = Files {
            mappings: self.mapping.clone(),
            yards: or(yards, folder.yards),
            lots: or(self.lots.as_deref(), folder.lots),
            crossings: or(crossings, folder.crossings),
            hauls: or(self.hauls.as_deref(), folder.hauls),
            rules: or(self.rules.as_deref(), folder.rules),
            decisions: or(self.decisions.as_deref(), folder.decisions),
            decided_in: or(self.decisions.as_deref(), folder.decided_in),
            papers: folder.papers,
            lists_in: folder.lists_in,
            strict: self.strict,
            part: Part {
                only_dealers: self.only_dealer.clone(),
                without_dealers: self.without_dealer.clone(),
                only_crossings: self.only.clone(),
            },
            ..Files::default()
        };
        Ok(files.with_lists(lists))
    }
}

/// The files of the purchase folder in which the program was started; none where it is none.
///
/// # Errors
/// When the purchase folder's file cannot be understood.
pub fn here() -> Result<Files, Refusal> {
    let folder = Files::of_folder(Path::new("")).map_err(|problem| *problem)?;
    Ok(folder.unwrap_or_default())
}

impl FileArgs {
    /// The files named and those of the purchase folder.
    ///
    /// # Errors
    /// When the purchase folder's file cannot be understood.
    pub fn named(&self) -> Result<Files, Refusal> {
        self.more.with(self.inventory.clone(), self.yards.as_deref(), self.crossings.as_deref())
    }

    /// Opens and reads all files.
    ///
    /// # Errors
    /// All problems of all files.
    pub fn read(&self) -> Result<Reading, Refusal> {
        self.named()?.read()
    }

    /// Every file of the run, in the order in which they are read.
    pub fn paths(&self) -> Vec<PathBuf> {
        let named = self.named();
        named.map(|named| named.paths().map(Path::to_owned).collect()).unwrap_or_default()
    }
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
