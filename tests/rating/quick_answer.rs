//! Property: the quick answer bars by exactly the codes of the full list of checks.

use proptest::prelude::*;
use spanyard::check::Barred;
use spanyard::model::car::MemberCondition;
use spanyard::model::rules::Level;
use spanyard::quantity::{CubicInches, Feet, Inches, Kips, Ksi, Percent, Tons};
use spanyard::rate::{Girder, Governing, SpanLoads, rate_checks};
use spanyard::survey::Survey;

use crate::rating::support::{car, crossing, plate, rules};
use crate::testkit::demo;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]
    #[test]
    fn quick_answer_and_full_checks_agree(
        span in 20.0..90.0_f64,
        webs in 1..3_u8,
        depth in 12.0..40.0_f64,
        taper in prop::option::of(0.4..1.2_f64),
        flange in 0.4..1.6_f64,
        bottom in (8.0..24.0_f64, 0.4..2.5_f64),
        cover in prop::option::of((4.0..30.0_f64, 0.2..1.0_f64)),
        stated in prop::option::of(100.0..2500.0_f64),
        unbraced in prop::option::of(2.0..20.0_f64),
        loss in prop::option::of(0.0..30.0_f64),
        clear in 12.0..26.0_f64,
        least_posting in prop::option::of(2.0..30.0_f64),
        beyond in 0.0..14.0_f64,
        steel in 30.0..70.0_f64,
        secondary in prop::option::of((2.0..60.0_f64, 2.0..80.0_f64)),
        switches in prop::array::uniform4(any::<bool>()),
        level in prop::sample::select(vec![Level::Inventory, Level::Between, Level::Operating]),
    ) {
        let mut rules = rules();
        rules.rating.allowable_stress = switches[0];
        rules.rating.load_and_resistance = switches[1];
        rules.rating.shear_required = switches[2];
        rules.rating.allowable_stress_factors.legal_level = level;
        rules.rating.deflection_bars = switches[3];
        let mut car = car();
        car.length = Some(Feet(span + 2.0 * beyond));
        car.weight = Some(Kips(0.7 * (span + 2.0 * beyond)));
        car.truck_centers = Some(Feet(span));
        car.girder.unbraced_ft = unbraced.map(Feet);
        if let Some(modulus) = stated {
            car.girder.plates = None;
            car.girder.stated_modulus = Some(CubicInches(modulus));
            car.girder.modulus_source = Some("drawing".to_owned());
        } else if let Some(plates) = &mut car.girder.plates {
            plates.webs = webs;
            plates.web = plate(depth, 0.5);
            plates.web_depth_at_trucks_in = taper.map(|part| Inches(depth * part));
            plates.top_flange = plate(20.0, flange);
            plates.bottom_flange = plate(bottom.0, bottom.1);
            plates.bottom_cover = cover.map(|(width, thickness)| plate(width.min(bottom.0), thickness));
        }
        if let Some((stringer, cross_member)) = secondary {
            car.secondary.stringer_modulus = Some(CubicInches(stringer));
            car.secondary.stringer_spacing = Some(Feet(1.8));
            car.secondary.cross_member_modulus = Some(CubicInches(cross_member));
            car.secondary.cross_member_spacing = Some(Feet(5.5));
            car.members.stringers = Some(MemberCondition::Sound);
            car.members.cross_members = Some(MemberCondition::Corroded(Percent(5.0)));
        }
        if let Some(loss) = loss {
            car.members.main_girder = Some(MemberCondition::Corroded(Percent(loss)));
        }
        car.steel_yield = Some(Ksi(steel));
        let mut x = crossing(span, &["HS20", "HL-93", "Type 3S2", "EV3", "H15"]);
        x.clear_width = Feet(clear);
        x.least_posting = least_posting.map(Tons);
        let girder = Girder::of(&car, &rules).unwrap();
        let loads = SpanLoads::of(&x, Feet(span), &rules).unwrap();
        let quick = Governing::of(loads, &rules).barred(&girder);
        let full = Barred::by(&rate_checks(&car, &x, Feet(span), &rules));
        prop_assert_eq!(quick, full);
    }
}

/// The survey, which asks screening and quick answer, against all checks of every car on every span of
/// the demonstration.
#[test]
fn the_survey_bars_by_the_codes_of_all_checks() {
    let inputs = demo::inputs();
    let (quick, full) = (
        Survey::new(&inputs),
        Survey::with(&inputs, |car, site| spanyard::survey::checks(&inputs, car, site)),
    );
    let mut pairs = 0;
    for site in full.sites() {
        for car in inputs.car_indices() {
            assert_eq!(quick.barred(car, site), full.barred(car, site), "{car:?} at {site:?}");
            pairs += 1;
        }
    }
    assert!(pairs > 500 && quick.sites().eq(full.sites()), "{pairs}");
}
