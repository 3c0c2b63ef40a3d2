//! From nothing to a plan, by clicks.

use crate::{Case, in_browser, named, picture};

#[test]
fn a_newcomer_makes_the_demonstration_and_follows_a_rating_to_its_sheet_and_its_cell() {
    let case = Case::start("newcomer", &[]);
    in_browser(&case, |tab, _| {
        tab.until("document.body.innerText.includes('A first look')");
        picture(tab, "start");
        tab.follow(&named("Make the demonstration"));
        tab.until("document.body.innerText.includes('Tessarow County')");
        assert!(case.folder.join("county/spanyard.toml").is_file());
        picture(tab, "overview");
        tab.follow(&named("Plan the purchase"));
        tab.click(&named("Find the best purchase"));
        tab.until("document.querySelector('h1')?.textContent.includes('of 12 crossings')");
        picture(tab, "plan");
        tab.follow(&named("B-07"));
        tab.until("document.querySelectorAll('figure svg').length >= 2");
        picture(tab, "crossing");
        tab.follow(&named("calculation sheet"));
        let title = tab.words("document.querySelector('h1').textContent");
        assert!(title.starts_with("Calculation sheet: ") && title.contains(" at B-07"), "{title}");
        picture(tab, "sheet");
        // An input of the calculation leads to its row, as the dealer wrote it.
        tab.follow("document.querySelector('td a[href^=\"/source?file=lists\"]')");
        let marked = tab.words("document.querySelector('tr.marked').textContent");
        assert!(!marked.is_empty());
        picture(tab, "source");
        tab.go(&case.page("/cars?fit=refused"));
        picture(tab, "cars");
        tab.follow("document.querySelector('tbody td a')");
        picture(tab, "car");
    });
}
