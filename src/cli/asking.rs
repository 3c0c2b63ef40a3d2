//! Asking about a list on the terminal, and answers given with the command.

use std::collections::HashSet;
use std::io::{self, BufRead, IsTerminal, Write};

use anyhow::{Context, bail};
use spanyard::folder::Asking;
use spanyard::read::Question;
use spanyard::words::{for_terminal, nearest};

/// Gives the answers of the command line, each `ID=ANSWER`; an answer may open the next question.
pub fn given(asking: &mut Asking, answers: &[String]) -> anyhow::Result<()> {
    for answer in answers {
        let questions = asking.questions();
        // Neither an ID nor an answer is without equals signs for sure.
        let found = questions.iter().find_map(|question| {
            let id = answer.get(..question.id.len())?;
            let rest = answer.get(question.id.len()..)?.strip_prefix('=')?;
            id.eq_ignore_ascii_case(&question.id).then_some((question, rest))
        });
        let Some((question, text)) = found else {
            let id = answer.split('=').next().unwrap_or_default();
            let ids = questions.iter().map(|question| question.id.as_str());
            match nearest(id, ids) {
                Some(near) => {
                    bail!("`{id}` is no open question of this list; write {near} if that is meant")
                }
                None => {
                    bail!("`{id}` is no open question of this list; `spanyard answer` lists them")
                }
            }
        };
        let text = text.trim_matches('"');
        asking.answer(question, text).with_context(|| question.id.clone())?;
    }
    Ok(())
}

/// Whether somebody is there to be asked.
pub fn can_ask() -> bool {
    io::stdin().is_terminal() && io::stderr().is_terminal()
}

/// Asks what is open, one question after the other, and gives the number of answers.
pub fn ask(asking: &mut Asking) -> anyhow::Result<usize> {
    talk(asking, &mut io::stdin().lock(), &mut io::stderr().lock())
}

fn talk(asking: &mut Asking, from: &mut dyn BufRead, to: &mut dyn Write) -> anyhow::Result<usize> {
    let (mut put_off, mut answers) = (HashSet::new(), 0);
    loop {
        let questions = asking.questions();
        let mut open = questions.iter().filter(|question| !put_off.contains(&question.id));
        let Some(question) = open.next() else { break };
        write!(to, "{}", for_terminal(&posed(question, open.count())))?;
        to.flush()?;
        let mut line = String::new();
        // At the end of what is typed, what is open stays so.
        if from.read_line(&mut line)? == 0 {
            break;
        }
        let answer = match line.trim() {
            "" | "d" => {
                put_off.insert(question.id.clone());
                continue;
            }
            "q" => break,
            "u" if question.answer("").is_some() => Some(String::new()),
            typed => typed
                .parse::<usize>()
                .ok()
                .and_then(|number| numbered(question).nth(number.checked_sub(1)?))
                .or_else(|| question.answer(typed)),
        };
        let Some(answer) = answer else {
            writeln!(to, "  That is none of the answers.")?;
            continue;
        };
        let question = question.clone();
        match asking.answer(&question, &answer) {
            Ok(()) => answers += 1,
            Err(error) => {
                writeln!(to, "  {error}")?;
                put_off.insert(question.id);
            }
        }
    }
    Ok(answers)
}

/// The choices that have a number.
fn numbered(question: &Question) -> impl Iterator<Item = String> {
    question.choices.iter().map(|choice| choice.answer.clone()).filter(|answer| !answer.is_empty())
}

/// A question as it is put, with how many follow.
fn posed(question: &Question, more: usize) -> String {
    let mut text = format!("\n{}", question.asks);
    if more > 0 {
        text.push_str(&format!(" ({more} more to ask)"));
    }
    text.push('\n');
    let shown = question.choices.iter().filter(|choice| !choice.answer.is_empty());
    for (at, choice) in shown.enumerate() {
        let means = match choice.means.as_str() {
            "" => String::new(),
            means => format!("    {means}"),
        };
        text.push_str(&format!("  {} {}{means}\n", at + 1, choice.answer));
    }
    if let Some(other) = &question.or_else {
        text.push_str(&format!("  or type {other}\n"));
    }
    if let Some(blank) = question.choices.iter().find(|choice| choice.answer.is_empty()) {
        text.push_str(&format!("  u {}\n", blank.means));
    }
    text.push_str(&format!(
        "  d ask the dealer: it stays open, and {}; q ask no more\n> ",
        question.unanswered
    ));
    text
}

/// The open questions as lines, each with its ID.
pub fn listed(open: &[Question]) -> String {
    let line = |question: &Question| {
        format!("  {}\n    {}\n    Answers: {}.\n", question.id, question.asks, question.answers())
    };
    open.iter().map(line).collect()
}

#[cfg(test)]
mod tests {
    use spanyard::read::{SourceText, draft_mapping};

    use super::*;

    fn list() -> Asking {
        let text = "Car no.,Length,Truck centers (ft),Price,Center sill,Side sills,Wrecked\n\
                    A1,60,46,9000,good,good,N\nA2,60,46,9000,good,sound,hardly\n";
        let source = SourceText::new("lists/a.csv", text);
        let mapping = draft_mapping(&source).unwrap();
        Asking { list: "lists/a.csv".into(), source, mapping: Some(mapping) }
    }

    #[test]
    fn a_word_is_asked_once_for_all_members_and_what_is_put_off_stays_open() {
        let mut asking = list();
        let (mut told, typed) = (Vec::new(), "Spur\nNorth\n1\n9\n1\nd\n");
        let answers = talk(&mut asking, &mut typed.as_bytes(), &mut told).unwrap();
        let told = String::from_utf8(told).unwrap();
        assert_eq!(answers, 4, "{told}");
        assert!(
            told.contains("`good` stands in 3 cells of 2 columns (Center sill, Side sills)"),
            "{told}"
        );
        assert!(told.contains("That is none of the answers."), "{told}");
        let mapping = asking.mapping.clone().unwrap();
        for line in [
            "[words.members]\ngood = \"sound\"",
            "dealer = \"Spur\"",
            "yard = \"North\"",
            "unit = \"feet\"",
        ] {
            assert!(mapping.contains(line), "{line}: {mapping}");
        }
        let open = asking.questions();
        assert_eq!(open.len(), 1);
        assert_eq!(open[0].id, "words.wrecked.hardly");
    }

    #[test]
    fn answers_come_with_the_command() {
        let mut asking = list();
        let answers =
            ["constants.dealer=Spur", "columns.length=feet", "words.members.good=corroded 8"];
        given(&mut asking, &answers.map(str::to_owned)).unwrap();
        assert!(asking.mapping.as_ref().unwrap().contains("good = \"corroded 8\""));
        let wrong = given(&mut asking, &["constants.yrad=N".to_owned()]).unwrap_err().to_string();
        assert!(wrong.contains("write constants.yard if that is meant"), "{wrong}");
        let wrong = given(&mut asking, &["words.wrecked.hardly=perhaps".to_owned()]).unwrap_err();
        assert!(format!("{wrong:#}").contains("perhaps is no answer here: yes, no"), "{wrong:#}");
    }
}
