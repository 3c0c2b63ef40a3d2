//! The way of the data is kept: a room uses only rooms below it, rooms and the files inside a room form
//! no circle, and time, threads, files and printing stand where DEVELOPERS.md says. Floors and places are
//! read from DEVELOPERS.md, which is the one place that states them.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// The path of a module in the crate: `rate`, `sheet`, `live`.
type Module = Vec<String>;

/// One file of the library: its code without comments and unit tests, and what it uses.
struct File {
    module: Module,
    place: String,
    code: String,
}

#[test]
fn every_room_uses_rooms_below_it_alone() {
    let floors = floors();
    let mut wrong = Vec::new();
    let mut used = BTreeMap::new();
    for (from, to, file, name) in edges() {
        let (a, b) = (&from[0], &to[0]);
        if a == b {
            continue;
        }
        used.entry(vec![a.clone()]).or_insert_with(BTreeSet::new).insert(vec![b.clone()]);
        match (floors.get(a), floors.get(b)) {
            (Some(a), Some(b)) if a >= b => {}
            (Some(_), Some(_)) => wrong.push(format!("{file} climbs to {name}")),
            _ => wrong.push(format!("{a} or {b} stands on no floor of DEVELOPERS.md")),
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let circles = circles(&used);
    assert!(circles.is_empty(), "circles of rooms: {circles:?}");
}

#[test]
fn every_floor_names_rooms_that_exist() {
    let rooms: BTreeSet<String> = files().into_iter().map(|file| file.module[0].clone()).collect();
    let named: BTreeSet<String> = floors().into_keys().collect();
    assert_eq!(named, rooms, "floors of DEVELOPERS.md, and rooms of src");
}

/// The file of a module and those of the modules in it are one thing: what it takes out of them, it
/// shows as its own.
#[test]
fn files_of_a_room_form_no_circle() {
    let mut used = BTreeMap::new();
    let mut names = BTreeMap::new();
    for (from, to, _, name) in edges() {
        if from[0] == to[0] && !to.starts_with(&from) {
            names.entry((from.clone(), to.clone())).or_insert(name);
            used.entry(from).or_insert_with(BTreeSet::new).insert(to);
        }
    }
    let told = circles(&used).into_iter().map(|circle| {
        let ties = names.iter().filter(|((a, b), _)| circle.contains(a) && circle.contains(b));
        let ties = ties.map(|((a, _), name)| format!("  {} uses {name}\n", a.join("/")));
        ties.collect::<String>()
    });
    let told: Vec<String> = told.collect();
    assert!(told.is_empty(), "circles of files:\n{}", told.join("\n"));
}

/// Seen from beside it, a folder is one thing with all that is in it, also what its own file does with
/// the files in it: two neighbors, files or folders, do not use each other in a ring.
#[test]
fn neighbors_form_no_circle() {
    let mut used = BTreeMap::new();
    for (from, to, _, _) in edges() {
        let common = from.iter().zip(&to).take_while(|(a, b)| a == b).count();
        if common > 0 && from.len() > common && to.len() > common {
            let (from, to) = (from[..=common].to_vec(), to[..=common].to_vec());
            used.entry(from).or_insert_with(BTreeSet::new).insert(to);
        }
    }
    let circles = circles(&used);
    assert!(circles.is_empty(), "circles of neighbors: {circles:?}");
}

#[test]
fn time_threads_files_and_printing_stand_where_they_may() {
    let places = places();
    assert!(places.len() >= 5, "the table of places in DEVELOPERS.md: {places:?}");
    let mut wrong = Vec::new();
    for file in files() {
        for (word, allowed) in &places {
            let may = allowed.iter().any(|place| file.place.starts_with(place.as_str()));
            if !may && uses_word(&file.code, word) {
                wrong.push(format!(
                    "{} has {word}, which stands in {}",
                    file.place,
                    allowed.join(", ")
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Whether the code has the word: as a path, in the braces of `use std::{..}`, or as a macro.
fn uses_word(code: &str, word: &str) -> bool {
    let whole = |word: &str| {
        code.match_indices(word).any(|(at, _)| {
            let before = code[..at].chars().next_back();
            !before.is_some_and(|c| c.is_alphanumeric() || c == '_')
        })
    };
    whole(word)
        || word.strip_prefix("std::").is_some_and(|name| {
            code.split("use std::{").skip(1).any(|rest| {
                let names = rest.split("};").next().unwrap_or_default();
                names.split([',', '{', ' ', '\n']).any(|n| n.split("::").next() == Some(name))
            })
        })
}

/// The floor of each room, from the ground up, out of the block below "Floors".
fn floors() -> BTreeMap<String, usize> {
    let text = section("## Floors");
    let block = text.split("```").nth(1).expect("a block of floors");
    let lines: Vec<&str> = block.lines().filter(|line| !line.trim().is_empty()).collect();
    let mut floors = BTreeMap::new();
    for (floor, line) in lines.iter().rev().enumerate() {
        let rooms = line.trim().split("  ").next().unwrap_or_default();
        floors.extend(rooms.split(' ').map(|room| (room.to_owned(), floor)));
    }
    floors
}

/// What stands in few places, with those places, out of the table below "Floors".
fn places() -> Vec<(String, Vec<String>)> {
    let quoted = |cell: &str| -> Vec<String> {
        cell.split('`').skip(1).step_by(2).map(str::to_owned).collect()
    };
    let text = section("## Floors");
    let rows = text.lines().filter(|line| line.starts_with("| `"));
    let cells = rows.map(|row| row.split('|').skip(1).map(quoted).collect::<Vec<_>>());
    let of_row = |cells: Vec<Vec<String>>| {
        let (words, places) = (cells[0].clone(), cells[1].clone());
        words.into_iter().map(move |word| (word, places.clone())).collect::<Vec<_>>()
    };
    cells.flat_map(of_row).collect()
}

fn section(heading: &str) -> String {
    let text = include_str!("../DEVELOPERS.md").replace("\r\n", "\n");
    let rest = text.split(&format!("{heading}\n")).nth(1).expect("the section");
    rest.split("\n## ").next().unwrap_or_default().to_owned()
}

/// Every file of `src` but the two roots, in order.
fn files() -> Vec<File> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    let mut open = vec![root.clone()];
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(folder).expect("a folder of src") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                open.push(path);
                continue;
            }
            let place =
                path.strip_prefix(&root).expect("below src").to_string_lossy().replace('\\', "/");
            let Some(module) = place.strip_suffix(".rs") else { continue };
            if module == "lib" || module == "main" {
                continue;
            }
            let module = module.strip_suffix("/mod").unwrap_or(module);
            let module = module.split('/').map(str::to_owned).collect();
            let code = bare(&fs::read_to_string(&path).expect("a text"));
            found.push(File { module, place, code });
        }
    }
    let of_tests: BTreeSet<Module> = found.iter().flat_map(modules_of_tests).collect();
    found.retain(|file| !of_tests.contains(&file.module));
    found.sort_by(|a, b| a.place.cmp(&b.place));
    found
}

/// The modules that a file declares for tests alone.
fn modules_of_tests(file: &File) -> Vec<Module> {
    let mut lines = file.code.lines().map(str::trim);
    let mut found = Vec::new();
    while let Some(line) = lines.next() {
        let name = line.eq("#[cfg(test)]").then(|| lines.next()).flatten();
        let name = name.and_then(|line| line.strip_prefix("mod ")?.strip_suffix(';'));
        found.extend(name.map(|name| [&file.module[..], &[name.to_owned()]].concat()));
    }
    found
}

/// The code without comments, and without the unit tests at its end.
fn bare(text: &str) -> String {
    let code = text.split("#[cfg(test)]\nmod tests").next().unwrap_or_default();
    let lines = code.lines().map(|line| line.split("//").next().unwrap_or_default());
    lines.collect::<Vec<_>>().join("\n")
}

/// Who uses whom: module, module, the file and the name that is used.
fn edges() -> Vec<(Module, Module, String, String)> {
    let files = files();
    let modules: BTreeSet<Module> = files.iter().map(|file| file.module.clone()).collect();
    let mut shown: BTreeMap<Module, BTreeMap<String, Module>> = BTreeMap::new();
    let mut paths = Vec::new();
    for file in &files {
        for (public, path) in used_paths(&file.code) {
            let Some(path) = absolute(&file.module, &path, &modules) else { continue };
            if public && let Some(name) = path.last() {
                let of = shown.entry(file.module.clone()).or_default();
                of.insert(name.clone(), path.clone());
            }
            paths.push((file, path));
        }
    }
    let mut edges = Vec::new();
    for (file, path) in paths {
        let target = resolved(&path, &modules, &shown, 0);
        if !target.is_empty() && target != file.module {
            edges.push((file.module.clone(), target, file.place.clone(), path.join("::")));
        }
    }
    edges
}

/// Every path that `use` lines name, each with whether it is handed on, and every path in the code
/// that begins with `crate` or `super`.
fn used_paths(code: &str) -> Vec<(bool, String)> {
    let mut paths = Vec::new();
    let mut rest = String::new();
    let mut use_line: Option<String> = None;
    for line in code.lines() {
        let start = line.trim_start();
        if use_line.is_none()
            && (start.starts_with("use ")
                || start.starts_with("pub use ")
                || (start.starts_with("pub(") && start.contains(") use ")))
        {
            use_line = Some(String::new());
        }
        match &mut use_line {
            Some(so_far) => {
                so_far.push_str(line);
                if line.contains(';') {
                    let text = use_line.take().unwrap_or_default();
                    let (head, tree) = text.split_once("use ").unwrap_or_default();
                    let public = head.trim().starts_with("pub");
                    let tree = tree.split(';').next().unwrap_or_default();
                    paths.extend(leaves(tree).into_iter().map(|path| (public, path)));
                }
            }
            None => {
                rest.push_str(line);
                rest.push('\n');
            }
        }
    }
    let word = |c: char| c.is_alphanumeric() || c == '_' || c == ':';
    for path in rest.split(|c: char| !word(c)) {
        if path.starts_with("crate::") || path.starts_with("super::") {
            paths.push((false, path.to_owned()));
        }
    }
    paths
}

/// The paths of a `use` tree: `a::{b, c::{d, e}}` has `a::b`, `a::c::d` and `a::c::e`.
fn leaves(tree: &str) -> Vec<String> {
    let tree = tree.trim();
    let Some((head, body)) = tree.split_once('{') else {
        let name = tree.split(" as ").next().unwrap_or_default();
        return if name.is_empty() { Vec::new() } else { vec![name.trim().to_owned()] };
    };
    let body = body.rsplit_once('}').map_or(body, |(body, _)| body);
    let (mut depth, mut start, mut parts) = (0, 0, Vec::new());
    for (at, c) in body.char_indices() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                parts.push(&body[start..at]);
                start = at + 1;
            }
            _ => {}
        }
    }
    parts.push(&body[start..]);
    let paths = parts.into_iter().flat_map(leaves);
    paths.map(|path| format!("{}{path}", head.trim())).collect()
}

/// The path from the root of the crate; none of another crate's.
fn absolute(from: &Module, path: &str, modules: &BTreeSet<Module>) -> Option<Module> {
    let mut names: Vec<String> = path.split("::").map(str::to_owned).collect();
    let mut base = from.clone();
    match names.first()?.as_str() {
        "crate" | "spanyard" => {
            base.clear();
            names.remove(0);
        }
        "self" => {
            names.remove(0);
        }
        "super" => {
            while names.first().is_some_and(|name| name == "super") {
                base.pop();
                names.remove(0);
            }
        }
        name => {
            base.push(name.to_owned());
            let ours = modules.contains(&base);
            base.pop();
            if !ours {
                return None;
            }
        }
    }
    base.extend(names);
    Some(base)
}

/// The module that a path leads to, through what modules hand on.
fn resolved(
    path: &Module,
    modules: &BTreeSet<Module>,
    shown: &BTreeMap<Module, BTreeMap<String, Module>>,
    depth: usize,
) -> Module {
    let known = (0..=path.len()).rev().map(|n| path[..n].to_vec());
    let module =
        known.into_iter().find(|m| m.is_empty() || modules.contains(m)).unwrap_or_default();
    let handed_on = path.get(module.len()).and_then(|name| shown.get(&module)?.get(name));
    match handed_on {
        Some(further) if depth < 5 => resolved(further, modules, shown, depth + 1),
        _ => module,
    }
}

/// Every group of modules of which each can be reached from each other.
fn circles(used: &BTreeMap<Module, BTreeSet<Module>>) -> Vec<BTreeSet<Module>> {
    let reached = |from: &Module| {
        let mut seen: BTreeSet<Module> = BTreeSet::new();
        let mut open: Vec<&Module> = vec![from];
        while let Some(module) = open.pop() {
            for next in used.get(module).into_iter().flatten() {
                if seen.insert(next.clone()) {
                    open.push(next);
                }
            }
        }
        seen
    };
    let all: BTreeMap<&Module, BTreeSet<Module>> = used.keys().map(|m| (m, reached(m))).collect();
    let mut found: Vec<BTreeSet<Module>> = Vec::new();
    for (module, reaches) in &all {
        if !reaches.contains(*module) || found.iter().any(|circle| circle.contains(*module)) {
            continue;
        }
        let back = |other: &&Module| all.get(*other).is_some_and(|r| r.contains(*module));
        found.push(reaches.iter().filter(back).cloned().collect());
    }
    found
}

#[test]
fn the_reader_of_use_lines() {
    let code = "use crate::a::{b, c::{D, self}};\npub use x::Y;\nfn f() { super::g::h(); }\n";
    let mut paths = used_paths(code);
    paths.sort();
    let expected = [
        (false, "crate::a::b"),
        (false, "crate::a::c::D"),
        (false, "crate::a::c::self"),
        (false, "super::g::h"),
        (true, "x::Y"),
    ];
    assert_eq!(paths, expected.map(|(public, path)| (public, path.to_owned())));
    let name = |name: &str| vec![name.to_owned()];
    let used = BTreeMap::from([
        (name("a"), BTreeSet::from([name("b")])),
        (name("b"), BTreeSet::from([name("a"), name("c")])),
        (name("c"), BTreeSet::new()),
    ]);
    assert_eq!(circles(&used), [BTreeSet::from([name("a"), name("b")])]);
}
