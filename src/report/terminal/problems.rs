//! Problems and warnings, one to a line as editors and `grep` take them, whatever the width.

use std::collections::HashMap;

use crate::read::Problem;

/// So many faults of one kind in one column of one file are told one by one.
const TOLD_MOST: usize = 10;

/// The faults, each after `before`, one to a line. Of faults alike (the same code and column of one
/// file) the first few are told, and the rest counted; JSON holds them all.
#[must_use]
pub fn list(problems: &[Problem], before: &str) -> String {
    let key = |problem: &Problem| (problem.file.clone(), problem.code, problem.name.clone());
    let mut counts: HashMap<_, usize> = HashMap::new();
    for problem in problems {
        *counts.entry(key(problem)).or_default() += 1;
    }
    let mut told: HashMap<_, usize> = HashMap::new();
    let mut text = String::new();
    for problem in problems {
        let key = key(problem);
        let all = counts.get(&key).copied().unwrap_or_default();
        let told = told.entry(key).or_default();
        *told += 1;
        if *told <= TOLD_MOST {
            text += &format!("{before}{problem}\n");
        } else if *told == all {
            let name =
                if problem.name.is_empty() { String::new() } else { format!(" {}:", problem.name) };
            let more = all - TOLD_MOST;
            text += &format!(
                "{before}{}: {}{name} and {more} more like these\n",
                problem.file, problem.code
            );
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::Code;

    #[test]
    fn faults_alike_are_counted_after_the_first_few() {
        let problem = |name: &str, line| Problem {
            line,
            column: 1,
            name: name.to_owned(),
            ..Problem::of_file(Code::NotANumber, "a.csv".into(), "is wrong", "write it right")
        };
        let mut problems: Vec<_> = (2..15).map(|line| problem("width_ft", line)).collect();
        problems.push(problem("camber_in", 20));
        let text = list(&problems, "warning: ");
        let lines: Vec<_> = text.lines().collect();
        assert_eq!(lines.len(), 12);
        assert_eq!(lines[9], "warning: a.csv:11:1: D04 width_ft: is wrong; write it right");
        assert_eq!(lines[10], "warning: a.csv: D04 width_ft: and 3 more like these");
        assert_eq!(lines[11], "warning: a.csv:20:1: D04 camber_in: is wrong; write it right");
    }
}
