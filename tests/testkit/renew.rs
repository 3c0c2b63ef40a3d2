//! Files that are made by the program and kept in the repository: held against what is made today, and
//! written anew when `.ci/renew` asks for it.

use std::path::{Path, PathBuf};

/// What to do about a stale file; every test that finds one says this.
pub const HOW: &str = "run .ci/renew, and read every line of the difference";

/// Whether `.ci/renew` asks for the files to be written.
pub fn asked() -> bool {
    std::env::var_os("SPANYARD_WRITE").is_some()
}

/// A path in the project's folder.
pub fn path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// A text file of the project, with the line ends of Unix.
pub fn text(name: &str) -> String {
    let path = path(name);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{name}: {error}"));
    text.replace("\r\n", "\n")
}

/// Fails unless the file in the project's folder is made of these bytes; writes them when asked to.
pub fn same(name: &str, made: &[u8]) {
    if asked() {
        std::fs::create_dir_all(path(name).parent().unwrap()).unwrap();
        std::fs::write(path(name), made).unwrap();
        return;
    }
    let stored = std::fs::read(path(name)).unwrap_or_default();
    if stored == made {
        return;
    }
    match (std::str::from_utf8(&stored), std::str::from_utf8(made)) {
        (Ok(stored), Ok(made)) => {
            let mut lines = stored.lines().zip(made.lines()).enumerate();
            let place = lines.find(|(_, (old, new))| old != new);
            let (number, (old, new)) = place.unwrap_or((0, ("its length", "another")));
            panic!("{name} is stale, line {}:\n- {old}\n+ {new}\n{HOW}", number + 1);
        }
        _ => panic!("{name} is stale; {HOW}"),
    }
}

/// The stand-in for lines left out of an excerpt.
const LEFT_OUT: &str = "[...]\n";

/// Whether the pieces of an excerpt stand in what was printed, in this order; else the first that does not.
pub fn shows(printed: &str, excerpt: &str) -> Result<(), String> {
    let mut rest = printed;
    for piece in excerpt.split(LEFT_OUT).filter(|piece| !piece.is_empty()) {
        match rest.find(piece) {
            Some(at) => rest = &rest[at + piece.len()..],
            None => return Err(piece.to_owned()),
        }
    }
    Ok(())
}

/// An excerpt with each piece replaced by the lines that come nearest to it in what is printed now.
pub fn excerpt(printed: &str, shown: &str) -> String {
    if !shown.is_empty() && !shown.contains(LEFT_OUT) {
        return printed.to_owned();
    }
    let lines: Vec<&str> = printed.split_inclusive('\n').collect();
    let mut from = 0;
    let pieces = shown.split(LEFT_OUT).map(|piece| {
        let old: Vec<&str> = piece.split_inclusive('\n').collect();
        let (Some(first), Some(last)) = (old.first(), old.last()) else {
            return String::new();
        };
        let start = if from == 0 && shown.starts_with(piece) {
            0
        } else {
            from + nearest(&lines[from..], first)
        };
        // The last line is looked for a few lines before and after its old distance.
        let near = (start + old.len()).saturating_sub(9).max(start)
            ..(start + old.len() + 8).min(lines.len());
        let end = near.start + nearest(&lines[near], last);
        from = (end + 1).min(lines.len());
        lines[start.min(from)..from].concat()
    });
    let pieces: Vec<String> = pieces.collect();
    pieces.join(LEFT_OUT)
}

/// The first of the lines that are most like this one.
fn nearest(lines: &[&str], wanted: &str) -> usize {
    let likeness = |line: &str| (strsim::normalized_levenshtein(line, wanted) * 1e6) as u64;
    let best = (0..lines.len()).rev().max_by_key(|&at| likeness(lines[at]));
    best.unwrap_or(0)
}

#[test]
fn an_excerpt_is_renewed_line_by_line() {
    let shown = "Pay $10\n[...]\nB-1  Mill Road  $5\n  two cars\n[...]\n";
    let printed =
        "Pay $11\n\nB-0  Hill Road  $6\n  one car\nB-1  Mill Road  $5\n  three cars\nend\n";
    assert!(shows(printed, shown).is_err());
    let renewed = excerpt(printed, shown);
    assert_eq!(renewed, "Pay $11\n[...]\nB-1  Mill Road  $5\n  three cars\n[...]\n");
    assert_eq!(shows(printed, &renewed), Ok(()));
}
