//! Which files a command takes: the folder's, or those on the command line.

use super::{demo, empty, project, run};

/// The main command with every path written out, as it was before there were purchase folders.
const PATHS: &str = "--inventory data-demo/lists/drumfell.csv data-demo/lists/sallowby.csv \
    data-demo/lists/orlhaven.xlsx --mapping data-demo/lists/sallowby.mapping.toml \
    data-demo/lists/orlhaven.mapping.toml --yards data-demo/yards.csv --lots data-demo/lots.csv \
    --hauls data-demo/hauls.csv \
    --crossings data-demo/crossings.csv --rules data-demo/rules.toml";

#[test]
fn the_folder_is_the_same_as_all_its_paths() {
    let by_folder = run(&project(), &["plan", "-C", "data-demo", "--format", "csv"]);
    let paths: Vec<&str> = PATHS.split_whitespace().collect();
    let by_paths = run(&project(), &[&["plan", "--format", "csv"], paths.as_slice()].concat());
    assert_eq!(by_folder.0, 1);
    assert_eq!(by_folder, by_paths);
    let inside = run(&project().join("data-demo"), &["plan", "--format", "csv"]);
    assert_eq!(inside, by_folder);
}

#[test]
fn every_command_that_reads_files_needs_no_path_in_the_folder() {
    let folder = demo("commands");
    for args in [
        &["check"][..],
        &["match"],
        &["plan"],
        &["prices", "--within", "600"],
        &["want"],
        &["ask"],
        &["spare"],
        &["rate", "--car", "UD-08", "--crossing", "B-07"],
        &["decide", "sold", "car=UD-19"],
    ] {
        let (code, said, wrong) = run(&folder, args);
        assert!(code < 2 && !said.is_empty(), "{args:?}: {code} {wrong}");
    }
    assert!(folder.join("decisions.toml").is_file(), "decide writes the folder's file");
    let (_, said, _) = run(&folder, &["match", "--car", "UD-19", "--crossing", "B-33"]);
    assert!(said.contains("sold to others"), "{said}");
}

#[test]
fn paths_on_the_command_line_win() {
    let folder = demo("win");
    let yards = std::fs::read_to_string(folder.join("yards.csv")).unwrap();
    let dearer = folder.join("dearer.csv");
    std::fs::write(&dearer, yards.replace(",425,", ",4250,")).unwrap();
    let (_, usual, _) = run(&folder, &["plan", "--format", "csv"]);
    let (code, said, wrong) = run(&folder, &["plan", "--format", "csv", "--yards", "dearer.csv"]);
    assert_eq!(code, 1, "{wrong}");
    assert_ne!(usual, said);
    // One list in place of all.
    let (code, said, wrong) = run(&folder, &["check", "lists/drumfell.csv"]);
    assert_eq!(code, 0, "{wrong}");
    assert!(said.contains("lists/drumfell.csv") && !said.contains("sallowby"), "{said}");
}

#[test]
fn a_mapping_beside_its_list_is_found() {
    let folder = project().join("data-demo");
    let list = "lists/sallowby.csv";
    let files = "--yards yards.csv --lots lots.csv --crossings crossings.csv --hauls hauls.csv";
    let files: Vec<&str> = files.split(' ').collect();
    let check =
        |more: &[&str]| run(&folder, &[&["check", "--inventory", list], &files[..], more].concat());
    let named = check(&["--mapping", "lists/sallowby.mapping.toml"]);
    assert_eq!(named.0, 0, "{}", named.2);
    assert_eq!(check(&[]), named);
}

#[test]
fn what_is_not_there_is_named_with_what_to_do() {
    let folder = empty("nothing");
    let (code, _, said) = run(&folder, &["plan"]);
    assert_eq!(code, 2);
    assert!(said.contains("there is no inventory: name it with --inventory FILE"), "{said}");
    assert!(said.contains("spanyard new DIR"), "{said}");
    let (code, _, said) = run(&folder, &["plan", "-C", "nowhere"]);
    assert_eq!(code, 2);
    assert!(said.starts_with("error: cannot work in nowhere: "), "{said}");
    for (text, expected) in [
        ("crosings = \"c.csv\"\n", "spanyard.toml:1:1: D13 unknown field `crosings`"),
        ("lists = \"no\"\n", "spanyard.toml: D01 names the folder no, which cannot be read"),
        (
            "lists = [\"no.csv\"]\ncrossings = \"c.csv\"\nyards = \"y.csv\"\n",
            "no.csv: D01 does not exist",
        ),
    ] {
        std::fs::write(folder.join("spanyard.toml"), text).unwrap();
        let (code, _, said) = run(&folder, &["plan"]);
        assert_eq!(code, 2);
        assert!(said.contains(expected), "{said}");
    }
}
