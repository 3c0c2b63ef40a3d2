//! Problems and warnings: one to a line as editors and `grep` take them, whatever the width, and under
//! each the line of the file with marks under the offending text.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use crate::check::Code;
use crate::read::Problem;

/// So many faults of one kind in one column of one file are told one by one.
const TOLD_MOST: usize = 10;

/// Columns before an excerpt.
const INDENT: usize = 2;

/// The faults, each after `before`, by file, code and column. Of faults alike the first few are told,
/// and the rest counted; JSON holds them all.
#[must_use]
pub fn list(problems: &[Problem], before: &str, width: usize) -> String {
    let mut text = String::new();
    let (firsts, alike) = words(problems);
    for group in groups(&firsts) {
        for problem in group.iter().take(TOLD_MOST) {
            text += &format!("{before}{problem}\n{}", excerpt(problem, width));
            text += &alike.get(&word(problem)).map(|alike| alike.line(before)).unwrap_or_default();
        }
        let more = group.len().saturating_sub(TOLD_MOST);
        if let (Some(first), true) = (group.first(), more > 0) {
            let name =
                if first.name.is_empty() { String::new() } else { format!(" {}:", first.name) };
            let (file, code) = (&first.file, first.code);
            text += &format!("{before}{file}: {code}{name} and {more} more like these\n");
        }
    }
    text
}

/// What names a word of a file, or another text of its cells, and what is wrong with it.
type Word<'p> = (&'p str, Code, &'p str);

fn word(problem: &Problem) -> Word<'_> {
    (&*problem.file, problem.code, problem.text.as_str())
}

/// The cells that have the same text with the same fault as one that is told.
#[derive(Default)]
struct Alike<'p> {
    more: usize,
    columns: Vec<&'p str>,
}

impl Alike<'_> {
    fn line(&self, before: &str) -> String {
        let (noun, columns) =
            (if self.more == 1 { "cell" } else { "cells" }, self.columns.join(", "));
        match self.more {
            0 => String::new(),
            more => format!("{before}the same in {more} more {noun} of {columns}\n"),
        }
    }
}

/// The faults without those whose text has the same fault in a cell before, and how many those are.
fn words(problems: &[Problem]) -> (Vec<Problem>, HashMap<Word<'_>, Alike<'_>>) {
    let mut alike: HashMap<Word<'_>, Alike<'_>> = HashMap::new();
    let mut firsts = Vec::new();
    for problem in problems {
        let entry = alike.entry(word(problem));
        let is_word = problem.code == Code::WordUnsure && !problem.text.is_empty();
        let column = problem.name.as_str();
        match entry {
            Entry::Occupied(mut known) if is_word => {
                let known = known.get_mut();
                known.more += 1;
                if !known.columns.contains(&column) {
                    known.columns.push(column);
                }
            }
            Entry::Occupied(_) => firsts.push(problem.clone()),
            Entry::Vacant(new) => {
                new.insert(Alike { more: 0, columns: Vec::new() });
                firsts.push(problem.clone());
            }
        }
    }
    (firsts, alike)
}

/// Faults of one file, code and column together, in the order of the files, of the codes, and of the
/// first of each.
fn groups(problems: &[Problem]) -> Vec<Vec<&Problem>> {
    let mut files = HashMap::new();
    let mut places = HashMap::new();
    let mut groups: Vec<Vec<&Problem>> = Vec::new();
    for problem in problems {
        let next = files.len();
        files.entry(&*problem.file).or_insert(next);
        let key = (&*problem.file, problem.code, problem.name.as_str());
        let place = *places.entry(key).or_insert(groups.len());
        match groups.get_mut(place) {
            Some(group) => group.push(problem),
            None => groups.push(vec![problem]),
        }
    }
    groups.sort_by_key(|group| group.first().map(|first| (files.get(&*first.file), first.code)));
    groups
}

/// The line or cell with its marks, and before it the number of the line or the name of the cell.
fn excerpt(problem: &Problem, width: usize) -> String {
    let Some(excerpt) = problem.excerpt.clone() else { return String::new() };
    let place = problem.cell_of_sheet().unwrap_or_else(|| problem.line.to_string());
    let lead = format!("{:INDENT$}{place} | ", "");
    let columns = lead.chars().count();
    let excerpt = excerpt.cut(width.saturating_sub(columns));
    format!("{lead}{}\n{:columns$}{}\n", excerpt.text, "", excerpt.carets())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problem(code: Code, file: &str, name: &str, line: u64) -> Problem {
        let of_file = Problem::of_file(code, file.into(), "is wrong", "write it right");
        Problem { line, column: 1, name: name.to_owned(), ..of_file }
    }

    #[test]
    fn faults_alike_are_counted_after_the_first_few() {
        let alike = (2..15).map(|line| problem(Code::NotANumber, "a.csv", "width_ft", line));
        let mut problems: Vec<_> = alike.collect();
        problems.push(problem(Code::NotANumber, "a.csv", "camber_in", 20));
        let text = list(&problems, "warning: ", 80);
        let lines: Vec<_> = text.lines().collect();
        assert_eq!(lines.len(), 12);
        assert_eq!(lines[9], "warning: a.csv:11:1: D04 width_ft: is wrong; write it right");
        assert_eq!(lines[10], "warning: a.csv: D04 width_ft: and 3 more like these");
        assert_eq!(lines[11], "warning: a.csv:20:1: D04 camber_in: is wrong; write it right");
    }

    #[test]
    fn a_word_is_told_once_for_all_its_cells() {
        let good = |name: &str, line: u64| Problem {
            text: "good".to_owned(),
            ..problem(Code::WordUnsure, "a.csv", name, line)
        };
        let fair = Problem { text: "fair".to_owned(), ..good("stringers", 4) };
        let problems = [good("main_girder", 2), good("stringers", 2), good("stringers", 3), fair];
        let text = list(&problems, "warning: ", 80);
        let lines: Vec<_> = text.lines().collect();
        assert_eq!(lines.len(), 3, "{text}");
        assert!(
            lines[0].starts_with("warning: a.csv:2:1: D17 main_girder: `good` is wrong"),
            "{text}"
        );
        assert_eq!(lines[1], "warning: the same in 2 more cells of stringers");
        assert!(lines[2].contains("`fair`"), "{text}");
    }

    #[test]
    fn faults_alike_stand_together() {
        let problems = [
            problem(Code::WordUnknown, "b.csv", "deck", 2),
            problem(Code::NotANumber, "b.csv", "width_ft", 2),
            problem(Code::NotANumber, "b.csv", "camber_in", 3),
            problem(Code::WordUnknown, "b.csv", "deck", 3),
            problem(Code::NotANumber, "b.csv", "width_ft", 4),
            problem(Code::NotANumber, "a.csv", "width_ft", 1),
        ];
        let order: Vec<_> = groups(&problems)
            .iter()
            .map(|group| (&*group[0].file, group[0].code, group[0].name.as_str(), group.len()))
            .collect();
        let expected = [
            ("b.csv", Code::NotANumber, "width_ft", 2),
            ("b.csv", Code::NotANumber, "camber_in", 1),
            ("b.csv", Code::WordUnknown, "deck", 2),
            ("a.csv", Code::NotANumber, "width_ft", 1),
        ];
        assert_eq!(order, expected);
    }
}
