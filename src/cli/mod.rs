//! Arguments, and one file per command. Each command turns its arguments into an [`Answer`]; only
//! `main` prints.

mod add;
mod answer;
mod ask;
mod asking;
mod budget;
mod check;
mod compare;
mod decide;
mod demo;
#[cfg(feature = "desk")]
mod desk;
mod explain;
#[cfg(test)]
mod faults;
mod files;
mod match_;
mod new;
mod outputs;
pub mod paint;
mod plan;
mod prices;
mod progress;
mod rate;
mod rules;
mod solving;
mod spare;
mod vehicles;
mod want;

use std::borrow::Cow;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand, ValueEnum};
use spanyard::save::Disk;
use spanyard::words::for_terminal;

/// Chooses retired railroad flat cars for a rural road agency's bridge crossings.
#[derive(Debug, Parser)]
#[command(
    name = "spanyard",
    version,
    about = "Chooses retired railroad flat cars for a rural road agency's bridge crossings",
    long_about = "Chooses retired railroad flat cars for a rural road agency's bridge crossings: \
                  which cars to buy, for which crossing, in which order side by side, at what cost, \
                  and why. Begin with `spanyard demo DIR`, or with `spanyard new DIR` for a \
                  purchase of your own.",
    after_help = "Exit codes: 0 done, every crossing served; 1 done, but the answer is no or not \
                  all; 2 usage or input problem; 3 stopped at the time limit or by \
                  Ctrl-C, the plan is valid but not proven; 4 the plan failed its verification and \
                  is not printed.",
    max_term_width = 100
)]
pub struct Cli {
    /// Width of tables and text in columns [default: the terminal's, at most 120; else 80]
    #[arg(long, global = true, value_name = "N", value_parser = clap::value_parser!(u16).range(40..=1000))]
    width: Option<u16>,

    /// Work in this folder, as if started there: a purchase folder needs no other paths
    #[arg(short = 'C', long = "folder", global = true, value_name = "DIR")]
    work_in: Option<PathBuf>,

    /// Say nothing beside the result, no warnings of the files
    #[arg(short, long, global = true)]
    quiet: bool,

    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Make a purchase folder, with templates to fill in
    New(new::Args),
    /// Copy a dealer's list into the purchase folder, draft its mapping, and read it back
    Add(add::Args),
    /// Ask what is open about a dealer's list, and write the answers to its mapping
    Answer(answer::Args),
    /// Read the files; say what was understood and what is wrong
    Check(check::Args),
    /// Every car against every crossing, with reasons
    Match(match_::Args),
    /// What to buy, which car goes where, at what cost, and why
    Plan(plan::Args),
    /// The fewest questions to dealers that would open the most crossings
    Ask(ask::Args),
    /// Prices to beat: what each chosen car may cost, and what each other must cost to be chosen
    Prices(prices::Args),
    /// Near misses: one limit relaxed that would serve a crossing; and the cars to ask dealers for
    Want(want::Args),
    /// Cars without a substitute, and spares with which one may fail its inspection
    Spare(spare::Args),
    /// Finished plans side by side
    Compare(compare::Args),
    /// Append what was decided since the plan to a decisions file, for --decisions to obey
    Decide(decide::Args),
    /// One car at one crossing as a calculation sheet
    Rate(rate::Args),
    /// The vehicles that a crossing may be asked to carry
    Vehicles(vehicles::Args),
    /// What a check asks, why, where it comes from, and what to do about it
    Explain(explain::Args),
    /// Print the built-in rules, a complete rules file to copy and change
    Rules(rules::Args),
    /// Write the files of an invented county to a folder, to try everything on
    Demo(demo::Args),
    /// Open the purchase folder in the browser: the whole job on a page of this machine
    #[cfg(feature = "desk")]
    Desk(desk::Args),
}

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Done, and every crossing is served.
    Done,
    /// Done, but the answer is no, or not all.
    No,
    /// The arguments or the files cannot be used.
    Input,
    /// Stopped at the time limit or by hand: valid, not proven.
    Unproven,
    /// The plan failed its verification.
    Defect,
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(match exit {
            Exit::Done => 0,
            Exit::No => 1,
            Exit::Input => 2,
            Exit::Unproven => 3,
            Exit::Defect => 4,
        })
    }
}

/// What a command has to say.
#[derive(Debug)]
pub struct Answer {
    /// The result.
    pub stdout: String,
    /// Everything else.
    pub stderr: String,
    /// How it ended.
    pub exit: Exit,
}

impl Answer {
    /// A result and nothing else to say.
    pub fn done(stdout: String) -> Self {
        Self { stdout, stderr: String::new(), exit: Exit::Done }
    }

    /// No result: the arguments or files cannot be used.
    pub fn input_problem(message: &str) -> Self {
        Self { stdout: String::new(), stderr: format!("{message}\n"), exit: Exit::Input }
    }

    /// No result: the files have problems, told in `stderr`.
    pub fn refused(stderr: String) -> Self {
        Self { stdout: String::new(), stderr, exit: Exit::Input }
    }

    /// The same without what files and names may have to play tricks on a terminal with: every word
    /// that a command says goes through here.
    fn tame(mut self) -> Self {
        for text in [&mut self.stdout, &mut self.stderr] {
            if let Cow::Owned(tamed) = for_terminal(text) {
                *text = tamed;
            }
        }
        self
    }

    /// The same with another ending.
    pub fn exit(mut self, exit: Exit) -> Self {
        self.exit = exit;
        self
    }

    /// The same with something said beside the result.
    pub fn beside(mut self, stderr: String) -> Self {
        self.stderr = stderr;
        self
    }
}

/// What an error that a command cannot answer itself comes to.
impl From<anyhow::Error> for Answer {
    fn from(error: anyhow::Error) -> Self {
        Self::input_problem(&format!("error: {error:#}"))
    }
}

/// Output of commands that make tables.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// Text for people.
    Table,
    /// JSON for other programs; see docs/json.md.
    Json,
    /// CSV for spreadsheets.
    Csv,
}

/// Output of commands that have no CSV.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum TextOrJson {
    /// Text for people.
    Table,
    /// JSON for other programs; see docs/json.md.
    Json,
}

/// Runs the command; what it writes goes to this disk.
pub fn run(cli: &Cli, disk: &dyn Disk) -> Answer {
    let width = width(cli.width);
    if let Some(folder) = &cli.work_in
        && let Err(error) = std::env::set_current_dir(folder)
    {
        let folder = folder.display();
        return Answer::input_problem(&format!("error: cannot work in {folder}: {error}"));
    }
    let answer = match &cli.command {
        Command::New(args) => new::run(args, disk),
        Command::Add(args) => add::run(args, width, disk),
        Command::Answer(args) => answer::run(args, width, disk),
        Command::Check(args) => check::run(args, width, disk),
        Command::Match(args) => match_::run(args, width),
        Command::Plan(args) => plan::run(args, width, disk),
        Command::Ask(args) => ask::run(args, width, disk),
        Command::Prices(args) => prices::run(args, width),
        Command::Want(args) => want::run(args, width),
        Command::Spare(args) => spare::run(args, width),
        Command::Compare(args) => compare::run(args, width),
        Command::Decide(args) => decide::run(args, width, disk),
        Command::Rate(args) => rate::run(args, width, disk),
        Command::Vehicles(args) => vehicles::run(args, width),
        Command::Explain(args) => explain::run(args, width),
        Command::Rules(args) => Ok(rules::run(args)),
        Command::Demo(args) => demo::run(args, disk),
        #[cfg(feature = "desk")]
        Command::Desk(args) => desk::run(args),
    };
    let mut answer = answer.unwrap_or_else(Answer::from);
    // Why there is no result is no matter of taste.
    if cli.quiet && !answer.stdout.is_empty() {
        answer.stderr.clear();
    }
    answer.tame()
}

/// Wider than this, lines are hard to follow unless somebody asks for it.
const WIDEST_UNASKED: u16 = 120;

/// The width asked for, else the terminal's, else that of a page of print.
fn width(asked: Option<u16>) -> usize {
    let terminal =
        || terminal_size::terminal_size_of(std::io::stdout()).map(|(columns, _)| columns.0);
    asked
        .or_else(|| terminal().map(|columns| columns.clamp(40, WIDEST_UNASKED)))
        .map_or(80, usize::from)
}
