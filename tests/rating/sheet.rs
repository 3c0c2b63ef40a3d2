//! The calculation sheet, followed with a pencil: the numbers printed on every line give its printed
//! result.

use std::collections::{BTreeMap, BTreeSet};

use spanyard::model::car::{Car, MemberCondition};
use spanyard::model::crossing::Crossing;
use spanyard::model::rules::Rules;
use spanyard::quantity::{CubicInches, Feet, Inches, Percent, Tons};
use spanyard::rate::Rating;
use spanyard::rate::sheet::{Amount, Line, Sheet, sheet};

use crate::rating::pencil;
use crate::rating::support::{car, crossing, plate, rules};

fn sheet_of(car: &Car, crossing: &Crossing, rules: &Rules) -> Sheet {
    let span = crossing.layouts[0].spans[0];
    let rating = Rating::of(car, crossing, span, rules).unwrap();
    sheet(&rating, car, crossing, rules)
}

/// Cars and crossings of every kind that changes the sheet.
fn cases() -> Vec<(&'static str, Car, Crossing, Rules)> {
    let all = ["H20", "HS20", "HL-93", "Type 3S2", "NRL", "EV3"];
    let mut stated = car();
    stated.girder.plates = None;
    stated.girder.stated_modulus = Some(CubicInches(987.0));
    stated.girder.modulus_source = Some("drawing".to_owned());
    stated.members.main_girder = Some(MemberCondition::Corroded(Percent(7.5)));

    let mut belly = car();
    belly.length = Some(Feet(61.3));
    if let Some(plates) = &mut belly.girder.plates {
        plates.web_depth_at_trucks_in = Some(Inches(11.5));
        plates.top_cover = Some(plate(20.0, 0.375));
        plates.bottom_loss_pct = Percent(6.0);
    }

    let mut single = car();
    single.girder.unbraced_ft = Some(Feet(11.0));
    single.steel_yield = None;
    single.year_built = Some(1936);
    if let Some(plates) = &mut single.girder.plates {
        plates.webs = 1;
        plates.top_flange = plate(16.0, 1.0);
        plates.bottom_flange = plate(18.0, 0.875);
    }
    single.secondary.stringer_modulus = Some(CubicInches(31.0));
    single.secondary.stringer_spacing = Some(Feet(2.25));
    single.secondary.cross_member_modulus = Some(CubicInches(44.0));
    single.secondary.cross_member_spacing = Some(Feet(5.75));
    single.members.stringers = Some(MemberCondition::Sound);
    single.members.cross_members = Some(MemberCondition::Sound);

    let mut stub = belly.clone();
    stub.length = Some(Feet(66.0));
    let mut long_ends = rules();
    long_ends.screen.max_overhang_ft = Feet(14.0);
    if let Some(plates) = &mut stub.girder.plates {
        plates.web_depth_at_trucks_in = Some(Inches(6.0));
    }

    let mut thin_webs = belly.clone();
    if let Some(plates) = &mut thin_webs.girder.plates {
        plates.web = plate(40.0, 0.3125);
        plates.web_depth_at_trucks_in = Some(Inches(22.0));
    }

    let mut wide = crossing(45.7, &all);
    wide.clear_width = Feet(25.0);
    wide.deck_system = "steel plate and asphalt".to_owned();
    wide.least_posting = Some(Tons(10.0));
    let mut overlaid = rules();
    overlaid.rating.future_overlay_psf = spanyard::quantity::Psf(12.0);
    overlaid.rating.truck_share = 0.8;

    vec![
        ("box", car(), crossing(43.9, &all), rules()),
        ("stated", stated, crossing(43.9, &all), rules()),
        ("fish-belly", belly, crossing(45.1, &all), rules()),
        ("single web", single, crossing(38.3, &all), rules()),
        ("thin webs", thin_webs, crossing(45.1, &all), rules()),
        ("long ends", stub, crossing(40.7, &all), long_ends),
        ("two lanes, posted", car(), wide, overlaid),
        ("short span", car(), crossing(14.3, &all), rules()),
    ]
}

/// How far a recomputed result may lie from the printed one: one in the last decimal printed, and
/// what the rounding of the numbers on the line can do.
fn tolerance(line: &Line) -> f64 {
    match &line.result {
        Amount::Number(value, unit) => {
            1.01 * 10_f64.powi(-(unit.decimals as i32)) + 2e-5 * value.abs()
        }
        Amount::Words(_) => 0.0,
    }
}

#[test]
fn every_line_can_be_followed_with_a_pencil() {
    let mut followed = 0;
    for (name, car, crossing, rules) in cases() {
        let sheet = sheet_of(&car, &crossing, &rules);
        for part in &sheet.parts {
            for line in part.lines.iter().filter(|line| !line.numbers.is_empty()) {
                let Amount::Number(value, _) = &line.result else {
                    panic!("{name}, {}: numbers without a number as result", line.label)
                };
                let by_pencil = pencil::evaluate(&line.numbers)
                    .unwrap_or_else(|error| panic!("{name}, {}: {error}", line.label));
                assert!(
                    (by_pencil - value).abs() <= tolerance(line),
                    "{name}, {}, {}: {} gives {by_pencil}, printed {}",
                    part.title,
                    line.label,
                    line.numbers,
                    line.result
                );
                followed += 1;
            }
        }
    }
    assert!(followed > 800, "only {followed} lines were followed");
}

/// A number that comes from nowhere on the sheet has the place it is read from, in a file or in the
/// rules. Counts and what was found above stand alone.
#[test]
fn no_number_appears_without_its_formula_or_its_place() {
    for (name, car, crossing, rules) in cases() {
        let sheet = sheet_of(&car, &crossing, &rules);
        for part in &sheet.parts {
            let numbers =
                part.lines.iter().filter(|line| matches!(line.result, Amount::Number(..)));
            for line in numbers.filter(|line| line.numbers.is_empty() && line.place.is_empty()) {
                let found_above = line.label.ends_with("least rating factor that counts");
                let counted = line.label == "Lanes on the bridge";
                assert!(found_above || counted, "{name}, {}: {}", part.title, line.label);
            }
        }
    }
}

#[test]
fn exactly_what_governs_is_marked() {
    for (name, car, crossing, rules) in cases() {
        let sheet = sheet_of(&car, &crossing, &rules);
        let marked: Vec<_> =
            sheet.parts.iter().flat_map(|p| &p.lines).filter(|line| line.governs).collect();
        assert_eq!(marked.len(), 1, "{name}: {marked:?}");
        assert_eq!(marked[0].symbol, "RF");
        assert!(sheet.governs.contains(&marked[0].result.to_string()), "{name}");
    }
}

#[test]
fn inputs_carry_their_place_and_steps_their_formula() {
    for (name, car, crossing, rules) in cases() {
        let sheet = sheet_of(&car, &crossing, &rules);
        for part in &sheet.parts {
            for line in &part.lines {
                if part.title.starts_with("Given") {
                    assert!(line.place.contains(".csv:"), "{name}, {}", line.label);
                }
                assert_eq!(
                    line.formula.is_empty(),
                    line.numbers.is_empty() && line.formula.is_empty(),
                    "{name}, {}",
                    line.label
                );
            }
        }
    }
}

#[test]
fn what_is_not_checked_is_said() {
    let (_, car, crossing, rules) = cases().swap_remove(1);
    let said = sheet_of(&car, &crossing, &rules).not_checked.join("\n");
    for words in ["Shear", "deflection", "Slender", "stringer", "cross-member"] {
        assert!(said.contains(words), "{words} in:\n{said}");
    }
}

/// A label without vehicle, form, section and train: what its line is.
fn what_it_is(label: &str, vehicles: &[String]) -> String {
    let mut label = label;
    for vehicle in vehicles {
        label = label.strip_prefix(&format!("{vehicle}, ")).unwrap_or(label);
    }
    let label = label.split(',').next().unwrap_or_default();
    let label = label.split(" at s = ").next().unwrap_or_default();
    label.replace("truck", "train").replace("tandem", "train")
}

/// No symbol stands for two things on one sheet. Some stand for one thing under several names.
#[test]
fn no_symbol_has_two_meanings_on_one_sheet() {
    let several: [(&str, &[&str]); 5] = [
        ("Aw", &["Area of the webs", "Webs"]),
        ("RF", &["Bending", "Shear", "least rating factor that counts"]),
        ("MT", &["Greatest moment of the train", "Moment of the train"]),
        ("ML", &["Moment of the lane load at mid-span", "Moment of the lane load there"]),
        ("LL", &["Live-load moment with impact", "Live-load moment with impact there"]),
    ];
    let mut faults = Vec::new();
    for (name, car, crossing, rules) in cases() {
        let mut meanings: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        for line in sheet_of(&car, &crossing, &rules).parts.iter().flat_map(|part| &part.lines) {
            let what = what_it_is(&line.label, &crossing.vehicles);
            let same = several
                .iter()
                .find(|(symbol, labels)| *symbol == line.symbol && labels.contains(&what.as_str()));
            let what = same.map_or(what, |(_, labels)| labels[0].to_owned());
            if !line.symbol.is_empty() {
                meanings.entry(line.symbol.clone()).or_default().insert(what);
            }
        }
        let two = meanings.into_iter().filter(|(_, meanings)| meanings.len() > 1);
        faults.extend(two.map(|found| format!("{name}: {found:?}")));
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
