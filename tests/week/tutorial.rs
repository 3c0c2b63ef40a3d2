//! docs/week.md is true: its commands are run in order, in a folder of their own, and print what it
//! shows. `[...]` stands for lines left out.

use std::path::Path;

use crate::testkit::{renew, run::spanyard_in};

const WEEK: &str = "docs/week.md";

/// The words of a command line, with quotes taken off.
fn words(line: &str) -> Vec<String> {
    let (mut words, mut word, mut quoted, mut any) = (Vec::new(), String::new(), false, false);
    for c in line.chars() {
        match c {
            '"' => (quoted, any) = (!quoted, true),
            ' ' if !quoted => {
                if any || !word.is_empty() {
                    words.push(std::mem::take(&mut word));
                }
                any = false;
            }
            c => word.push(c),
        }
    }
    words.push(word);
    words
}

/// Runs one line in the folder and returns what it printed; `> FILE` keeps it there.
fn run(line: &str, folder: &Path) -> String {
    let (command, file) = match line.split_once(" > ") {
        Some((command, file)) => (command, Some(file)),
        None => (line, None),
    };
    let words = words(command);
    assert_eq!(words[0], "spanyard", "{line}");
    let words: Vec<&str> = words[1..].iter().map(String::as_str).collect();
    let output = spanyard_in(folder, &words);
    let printed = String::from_utf8(output.stdout).unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(output.status.code() != Some(4), "{line}: {said}");
    match file {
        Some(file) => {
            std::fs::write(folder.join(file), printed).unwrap();
            String::new()
        }
        // Warnings of the files are the same every time and are not shown; problems are.
        None if printed.is_empty() => said,
        None => printed,
    }
}

#[test]
fn the_week_goes_as_it_is_told() {
    let folder = std::env::temp_dir().join(format!("spanyard-week-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let text = renew::text(WEEK);
    let (mut wrong, mut steps) = (Vec::new(), 0);
    let mut renewed = String::new();
    for (number, block) in text.split("```").enumerate() {
        if number > 0 {
            renewed.push_str("```");
        }
        if let Some(file) = block.strip_prefix("text\n").filter(|_| number % 2 == 1) {
            let written = std::fs::read_to_string(folder.join("decisions.toml")).unwrap();
            if file != written {
                wrong.push(format!("decisions.toml is\n{written}"));
            }
            renewed.push_str(&format!("text\n{written}"));
            continue;
        }
        let Some(console) = block.strip_prefix("console\n").filter(|_| number % 2 == 1) else {
            renewed.push_str(block);
            continue;
        };
        renewed.push_str("console\n");
        let commands = console.split("$ ").skip(1);
        for command in commands {
            let (line, shown) = command.split_once('\n').unwrap_or((command, ""));
            let printed = run(line, &folder);
            steps += 1;
            if let Err(piece) = renew::shows(&printed, shown) {
                wrong.push(format!("$ {line}\ndoes not print\n{piece}\nbut\n{printed}"));
            }
            let now = renew::excerpt(&printed, shown);
            renewed.push_str(&format!("$ {line}\n{now}"));
        }
    }
    std::fs::remove_dir_all(&folder).unwrap();
    if renew::asked() {
        renew::same(WEEK, renewed.as_bytes());
        return;
    }
    assert!(wrong.is_empty(), "{WEEK} is stale; {}:\n{}", renew::HOW, wrong.join("\n"));
    assert!(steps >= 12, "{steps}");
}
