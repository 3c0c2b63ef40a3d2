//! Each kind of refusal happens, to the car it was written for.

use spanyard::check::registry::{Kind, REGISTRY, Stage};
use spanyard::check::{Code, Outcome};
use spanyard::model::inputs::Site;
use spanyard::survey;

use super::county::{County, car_ix, crossing_ix};

use Outcome::{Caution, Fail, Pass, Unknown};

/// Code, car, crossing, outcome: what the notes of the row in `data-demo` say in words.
const REFUSALS: &[(&str, &str, &str, Outcome)] = &[
    ("S01", "UD-26", "B-03", Fail),     // a boxcar cut down
    ("S01", "SS-180", "B-03", Fail),    // a gondola
    ("S01", "SS-190", "B-11", Fail),    // a car hauler
    ("S01", "Q-14", "B-07", Fail),      // bulkheads; the rules allow plain flat cars
    ("S01", "Q-19", "B-07", Unknown),   // kind not recorded
    ("S02", "UD-12", "B-07", Fail),     // a wreck
    ("S02", "Q-05", "B-24", Unknown),   // history not known
    ("S03", "UD-11", "B-07", Fail),     // cracked main girder
    ("S03", "UD-24", "B-12", Fail),     // corroded main girder
    ("S03", "UD-25", "B-12", Fail),     // missing bolster
    ("S03", "SS-114", "B-07", Fail),    // bent exterior girder
    ("S03", "Q-06", "B-24", Unknown),   // not inspected
    ("S04", "UD-03", "B-16", Fail),     // cracked stringers
    ("S04", "UD-04", "B-16", Fail),     // cross-members corroded by 14 %
    ("S04", "UD-06", "B-16", Caution),  // bent cross-members, to be repaired
    ("S05", "UD-22", "B-19", Fail),     // 66 ft truck centers, 112 ft span
    ("S05", "Q-20", "B-16", Unknown),   // truck centers not measured
    ("S06", "UD-08", "B-07", Caution),  // 44 ft truck centers on 42 ft
    ("S07", "SS-160", "B-12", Fail),    // exterior girders cut down to 6 in
    ("S08", "SS-101", "B-03", Fail),    // rotten planks where the car's deck is to stay
    ("S09", "SS-101", "B-03", Caution), // paint gone
    ("S10", "Q-18", "B-07", Caution),   // paint not tested
    ("S11", "UD-22", "B-33", Fail),     // 89 ft on a road for 80
    ("S12", "UD-17", "B-21", Fail),     // 46,800 lb on a road for 45,000
    ("S12", "Q-04", "B-24", Unknown),   // weight not known
    ("S13", "UD-05", "B-21", Fail),     // 42,240 lb with rigging, crane for 30,000
    ("S14", "SS-131", "B-24", Fail),    // quote ran out in May
    ("S15", "SS-132", "B-07", Fail),    // leaves on 30 September, needed on 1 December
    ("S15", "SS-151", "B-11", Pass),    // leaves on 1 April 2027, needed on 30 June: 90 days later
    ("S16", "SS-140", "B-33", Unknown), // price on request
    ("S16", "Q-10", "B-33", Unknown),   // lot not quoted
    ("S17", "SS-170", "B-07", Fail),    // 8 + 8 ft and 18 in: 17.5 of 18.5 ft
    ("S17", "SS-170", "B-16", Pass),    // the same 17.5 of 17.5 ft
    ("S18", "Q-02", "B-07", Unknown),   // no series
    ("S19", "SS-113", "B-07", Unknown), // camber never measured
    ("S20", "Q-04", "B-24", Unknown),   // stencil painted over
    ("R01", "Q-03", "B-07", Unknown),   // no modulus, no plates
    ("R02", "Q-13", "B-12", Caution),   // year unknown: the lowest yield strength
    ("R03", "Q-13", "B-12", Fail),      // and with it too weak
    ("R05", "UD-13", "B-30", Fail),     // carries HS20 on 42 ft, not HL-93 on 40
    ("R05", "UD-13", "B-07", Pass),
    ("R07", "UD-13", "B-24", Pass), // may be posted for more than 15 tons
    ("R10", "UD-08", "B-07", Pass),
    ("R10", "UD-10", "B-07", Fail), // lighter stringers
    ("R07", "Q-01", "B-24", Fail),  // may not
];

#[test]
fn each_refusal_happens_to_the_car_it_was_written_for() {
    let inputs = County::new().inputs();
    for &(code, car, crossing, outcome) in REFUSALS {
        let site = Site { crossing: crossing_ix(&inputs, crossing), layout: 0, span: 0 };
        let checks = survey::checks(&inputs, car_ix(&inputs, car), site);
        let code: Code = code.parse().unwrap();
        assert!(
            checks.iter().any(|check| check.code == code && check.outcome == outcome),
            "{car} at {crossing} should have {code} {}: {checks:#?}",
            outcome.word()
        );
    }
}

#[test]
fn no_question_of_the_screening_is_left_without_an_example() {
    // S21 is asked only where somebody decided something: its examples are in tests/week.
    let asked = |kind: &&Kind| kind.stage == Stage::Screen && kind.code != Code::StillToBeHad;
    for kind in REGISTRY.iter().filter(asked) {
        let examples = REFUSALS.iter().filter(|refusal| refusal.0 == kind.id);
        assert!(examples.filter(|refusal| refusal.3 != Pass).count() > 0, "{}", kind.id);
    }
}

/// The rows of the table are not barred by luck: where the note names one fault, it is the only one.
#[test]
fn some_cars_are_one_fault_away() {
    let inputs = County::new().inputs();
    for (car, crossing, only) in [
        ("UD-25", "B-12", "S03"),
        ("UD-12", "B-07", "S02"),
        ("UD-08", "B-21", "S13"),
        ("SS-131", "B-24", "S14"),
        ("SS-132", "B-07", "S15"),
        ("SS-140", "B-33", "S16"),
        ("Q-02", "B-07", "S18"),
        ("SS-113", "B-07", "S19"),
        ("Q-03", "B-07", "R01"),
        ("UD-22", "B-33", "S11"),
        ("SS-110", "B-24", "S05"),
    ] {
        let site = Site { crossing: crossing_ix(&inputs, crossing), layout: 0, span: 0 };
        let checks = survey::checks(&inputs, car_ix(&inputs, car), site);
        let bars = checks.iter().filter(|check| check.outcome.bars());
        let mut codes: Vec<_> = bars.map(|check| check.code.id()).collect();
        codes.dedup();
        assert_eq!(codes, [only], "{car} at {crossing}");
    }
}
