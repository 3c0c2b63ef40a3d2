//! The questions of a purchase whose lists tell too little: yard by yard, with the letters that the terminal
//! writes.

use std::fs;
use std::path::Path;

use crate::{Case, in_browser, named, picture, spanyard};

const TOML: &str = "lists = \"lists\"\ncrossings = \"crossings.csv\"\nyards = \"yards.csv\"\n\
                    rules = \"rules.toml\"\ndecisions = \"decisions.toml\"\npapers = \"papers\"\n";

#[test]
fn the_questions_stand_yard_by_yard_with_letters_to_send() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("desk-questions");
    let _ = fs::remove_dir_all(&folder);
    let county = folder.join("county");
    fs::create_dir_all(county.join("lists")).unwrap();
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cli/first_plan.in");
    for file in fs::read_dir(from).unwrap().flatten() {
        let name = file.file_name().into_string().unwrap();
        let own = ["crossings.csv", "yards.csv", "rules.toml"].contains(&name.as_str());
        let place = if own { county.join(&name) } else { county.join("lists").join(&name) };
        fs::copy(file.path(), place).unwrap();
    }
    fs::write(county.join("spanyard.toml"), TOML).unwrap();
    let case = Case::on(folder, &["county"]);
    in_browser(&case, |tab, _| {
        tab.go(&case.page("/ask"));
        let begin = named("The fewest questions that open the most crossings");
        tab.click(&begin);
        tab.until(
            "location.pathname === '/ask' && document.body.innerText.includes('They would open')",
        );
        let text = tab.words("document.querySelector('main').innerText");
        assert!(text.contains("CONDITIONAL, NOT A PURCHASE"), "{text}");
        picture(tab, "questions");
        crate::looks::held(tab, crate::looks::axe().as_deref(), "questions");
        tab.follow(&named("Write the letters and the tables to fill in"));
        spanyard(&case.folder.join("county"), &["ask", "--letters", "../letters"]);
        let mut names = Vec::new();
        for file in fs::read_dir(case.folder.join("county/letters")).into_iter().flatten().flatten()
        {
            names.push((file.file_name(), file.path()));
        }
        for file in fs::read_dir(case.folder.join("letters")).into_iter().flatten().flatten() {
            names.push((file.file_name(), file.path()));
        }
        assert!(names.len() > 3, "{names:?}");
        let main = tab.words("document.querySelector('main').innerText");
        for (name, path) in names {
            let here = case.folder.join("county/papers").join(&name);
            let name = name.to_string_lossy();
            // The conditional plan is as wide as whoever reads it wants.
            if name.starts_with("letter-") {
                assert_eq!(fs::read_to_string(here).unwrap(), fs::read_to_string(path).unwrap());
            }
            assert!(main.contains(&*name), "{name}: {main}");
        }
        // A letter opens in the browser, as text.
        tab.go(&case.page("/papers/file?name=conditional-plan.txt"));
        assert!(tab.words("document.body.innerText").contains("CONDITIONAL PLAN"));
    });
}
