//! The files that `plan` writes beside its answer, one option for each of [`OUTPUT_FORMATS`].

use std::convert::Infallible;
use std::path::{Path, PathBuf};

use clap::{Arg, ArgMatches, Command, FromArgMatches, ValueEnum, value_parser};
use spanyard::folder::{Written, open_text};
use spanyard::model::rules::Agency;
use spanyard::report::facts::PlanReport;
use spanyard::report::outline::Outline;
use spanyard::report::provenance::{Beside, HashedFile, PageContext, Paper};
use spanyard::report::{Made, OUTPUT_FORMATS, Takes};
use spanyard::save::{Disk, Targets, Unusable};

use super::files::FileArgs;
use super::{Answer, Exit};

/// Where to write what.
#[derive(Debug, clap::Args)]
pub struct OutputArgs {
    #[command(flatten)]
    asked: Asked,

    /// County, roads and rivers to draw under the map of the report: lines and areas, GeoJSON
    #[arg(long, value_name = "FILE", requires = "report")]
    outline: Option<PathBuf>,

    /// Paper that page, sheets and workbook print on
    #[arg(long, value_enum, default_value_t = PaperArg::Letter)]
    paper: PaperArg,
}

/// The outputs asked for: a place in the table of formats, and where to write it.
#[derive(Debug, Default)]
struct Asked(Vec<(usize, PathBuf)>);

impl clap::Args for Asked {
    fn augment_args(command: Command) -> Command {
        OUTPUT_FORMATS.iter().fold(command, |command, format| {
            let arg = Arg::new(format.option).long(format.option).value_name(format.takes.word());
            command.arg(arg.help(format.help).value_parser(value_parser!(PathBuf)))
        })
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl FromArgMatches for Asked {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let asked = OUTPUT_FORMATS.iter().enumerate().filter_map(|(index, format)| {
            Some((index, matches.get_one::<PathBuf>(format.option)?.clone()))
        });
        Ok(Self(asked.collect()))
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

/// Paper sizes by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum PaperArg {
    /// US Letter
    Letter,
    /// A4
    A4,
}

impl OutputArgs {
    /// What will be written, to be looked at before the work.
    pub fn targets(&self) -> Targets<'_> {
        self.asked.0.iter().fold(Targets::default(), |targets, (index, path)| {
            let format = &OUTPUT_FORMATS[*index];
            match format.takes {
                Takes::File => targets.file(format.flag, Some(path)),
                Takes::Folder => targets.folder(format.flag, Some(path)),
            }
        })
    }

    /// The files read for what is shown beside the plan.
    pub fn reads(&self) -> impl Iterator<Item = &Path> {
        self.outline.as_deref().into_iter()
    }

    /// What is shown beside the plan and lies in files: the agency's mark, and what is under the map.
    ///
    /// # Errors
    /// What is wrong with one of them, with its name.
    pub fn beside(&self, files: &FileArgs, agency: &Agency) -> Result<Beside, String> {
        if !self.any() {
            return Ok(Beside::default());
        }
        let mut beside = Beside::default();
        if let Some(path) = &self.outline {
            let name = path.display();
            let text = open_text(path).map_err(|problem| problem.to_string())?;
            beside.outline = Outline::parse(&text).map_err(|wrong| format!("{name} {wrong}"))?;
        }
        if let Ok(files) = files.named() {
            beside.logo = files.logo(agency)?;
        }
        Ok(beside)
    }

    /// Writes what was asked for and says so, a line for each. A file that cannot be written is told,
    /// and keeps no other from being written.
    pub fn write(
        &self,
        report: &PlanReport<'_>,
        inputs_read: &[PathBuf],
        beside: Beside,
        disk: &dyn Disk,
    ) -> Written {
        let mut written = Written::default();
        if !self.any() {
            return written;
        }
        let context = self.context(report).with(beside);
        for (index, path) in &self.asked.0 {
            match (OUTPUT_FORMATS[*index].make)(report, &context) {
                Err(error) => written.fail(&*error),
                Ok(Made::File(bytes)) => written.file(path, Ok::<_, Infallible>(bytes), disk),
                Ok(Made::Folder(files)) => {
                    let others = self.asked.0.iter().filter(|(other, _)| other != index);
                    let others = others.map(|(_, path)| path);
                    let taken: Vec<&Path> =
                        inputs_read.iter().chain(others).map(PathBuf::as_path).collect();
                    written.sheets(path, &files, &context.plan_id, &taken, disk);
                }
            }
        }
        written
    }

    /// Whether anything was asked for.
    pub fn any(&self) -> bool {
        !self.asked.0.is_empty()
    }

    fn context(&self, report: &PlanReport<'_>) -> PageContext {
        let paper = match self.paper {
            PaperArg::Letter => Paper::Letter,
            PaperArg::A4 => Paper::A4,
        };
        let words = std::env::args_os().skip(1);
        let words: Vec<String> = words.map(|word| word.to_string_lossy().into_owned()).collect();
        let command = format!("spanyard {}", words.join(" "));
        PageContext::new(report, HashedFile::all(report.files), &command, paper)
    }
}

/// How a command ends whose answer ends so: a file that is not there is not to be overlooked.
pub fn ending(written: &Written, answer: Exit) -> Exit {
    if written.failed { Exit::Input } else { answer }
}

/// Everything that is wrong with the targets, as an answer.
pub fn unusable(wrong: &[Unusable]) -> Answer {
    let lines = wrong.iter().map(|target| format!("error: {target}\n"));
    Answer::refused(format!(
        "{}nothing was worked out, and nothing written\n",
        lines.collect::<String>()
    ))
}
