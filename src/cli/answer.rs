//! `spanyard answer`: the open questions of a list of the folder, and their answers in its mapping.

use spanyard::folder::{asking, keep_answers};
use spanyard::report::facts::count;
use spanyard::save::Disk;

use super::files::{MoreFiles, refusal, refusal_of};
use super::{Answer, Exit};

/// Arguments of `answer`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  spanyard answer kestrel                             asks what is open, or lists it\n  spanyard answer kestrel columns.Length=feet words.members.good=sound\n  spanyard answer kestrel words.wrecked.no\\?=         leaves a word unknown for good"
)]
pub struct Args {
    /// The list, by its file's name with or without ending
    #[arg(value_name = "LIST")]
    list: String,

    /// Answers, by the IDs with which the questions are listed; without any, they are asked at the
    /// terminal, and listed where there is none
    #[arg(value_name = "ID=ANSWER")]
    answers: Vec<String>,

    #[command(flatten)]
    more: MoreFiles,
}

/// Asks or answers, and says what is still open.
pub fn run(args: &Args, width: usize, disk: &dyn Disk) -> anyhow::Result<Answer> {
    let files = match args.more.with(Vec::new(), None, None) {
        Ok(files) => files,
        Err(refused) => return Ok(Answer::refused(refusal(&refused, width))),
    };
    let list = match files.list_named(&args.list) {
        Ok(list) => list,
        Err(refused) => return Ok(Answer::refused(refusal(&refused, width))),
    };
    let (mut asking, was) = match asking(&files, list) {
        Ok(asking) => asking,
        Err(problem) => return Ok(Answer::refused(refusal_of(*problem, width))),
    };
    if asking.mapping.is_none() {
        return Ok(Answer::done(format!(
            "{} has no mapping, so nothing is asked of it.\n",
            args.list
        )));
    }
    super::asking::given(&mut asking, &args.answers)?;
    let mut answers = args.answers.len();
    if answers == 0 && super::asking::can_ask() {
        answers = super::asking::ask(&mut asking)?;
    }
    let mut said = String::new();
    if answers > 0 {
        keep_answers(&files, &asking, &was, disk)?;
        let file = asking.mapping_file();
        said = format!("Wrote {} to {}.\n", count(answers, "answer"), file.display());
    }
    let open = asking.questions();
    if open.is_empty() {
        let back = format!("spanyard check --list {}", args.list);
        said += &format!("Nothing is open. `{back}` reads the list back.\n");
        return Ok(Answer::done(said));
    }
    said += &format!("{} open:\n{}", count(open.len(), "question"), super::asking::listed(&open));
    Ok(Answer::done(said).exit(Exit::No))
}
