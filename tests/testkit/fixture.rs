//! One sound car, one yard, one crossing that it fits: the ground on which each rule test changes
//! one thing. Everything is invented; the place is mid North Atlantic.

use std::sync::Arc;

use jiff::civil::date;
use spanyard::check::{Check, Code, Value};
use spanyard::model::car::{
    Availability, Car, CarDeck, CarKind, Coating, DeckCondition, GirderPlates, LeadStatus,
    MainGirder, MemberCondition, Members, Plate,
};
use spanyard::model::crossing::{Crossing, Layout};
use spanyard::model::inputs::{CarIx, CrossingIx, Inputs, LotIx, Site, YardIx};
use spanyard::model::place::{Position, RowPlace};
use spanyard::model::rules::{DEFAULT_RULES, FitRules, OverheadRules, Rules};
use spanyard::model::season::Seasons;
use spanyard::model::yard::{Lot, PriceLevel, Yard};
use spanyard::quantity::{
    BasisPoints, Cents, CubicInches, Feet, Inches, Kips, Ksi, Percent, UsdPerFoot, UsdPerMile,
    UsdPerPound, UsdPerSquareFoot,
};
use spanyard::screen::screen;

/// The first car.
pub const CAR: CarIx = CarIx(0);

/// The first span of the first layout of the first crossing.
pub const SITE: Site = Site { crossing: CrossingIx(0), layout: 0, span: 0 };

/// The built-in rules.
pub fn rules() -> Rules {
    toml::from_str(&DEFAULT_RULES).unwrap()
}

/// The rules with few costs, in round numbers, so that sums by hand stay short; tests of the other costs
/// state them.
pub fn priced(mut rules: Rules) -> Rules {
    let free = Cents::ZERO;
    rules.purchase.scrap_usd_per_lb = UsdPerPound(0.0);
    rules.haul.usd_per_mile = UsdPerMile(6.50);
    rules.haul.minimum_usd = Cents::dollars(450);
    rules.haul.escort_minimum_usd = Cents::dollars(350);
    rules.coating.worn_usd_per_ft = UsdPerFoot(28.0);
    rules.coating.failed_usd_per_ft = UsdPerFoot(62.0);
    rules.coating.lead_usd_per_car = Cents::dollars(1_800);
    rules.fit = FitRules {
        gear_usd_per_car: free,
        strip_usd_per_sqft: UsdPerSquareFoot(0.0),
        steel_deck_usd_per_sqft: UsdPerSquareFoot(0.0),
        survey_usd_per_car: free,
        coupons_usd_per_car: free,
        bearing_usd_per_end: free,
    };
    rules.rail.approach_usd_per_ft = UsdPerFoot(0.0);
    let none = Percent(0.0);
    rules.overhead =
        OverheadRules { sales_tax_pct: none, contingency_pct: none, engineering_pct: none };
    rules
}

/// A row of a file.
pub fn row(file: &str, line: u64) -> RowPlace {
    RowPlace { file: Arc::from(file), line }
}

/// A plate in inches.
pub fn plate(width: f64, thickness: f64) -> Plate {
    Plate { width_in: Inches(width), thickness_in: Inches(thickness) }
}

/// A sound flat car, everything known: 76 ft long, 66 ft between truck centers, 9 ft wide.
pub fn sound_car(id: &str) -> Car {
    Car {
        kind: Some(CarKind::Flat),
        section: Some("S-70".to_owned()),
        length: Some(Feet(76.0)),
        truck_centers: Some(Feet(66.0)),
        width: Some(Feet(9.0)),
        camber: Some(Inches(1.5)),
        year_built: Some(1975),
        steel_yield: Some(Ksi(50.0)),
        yield_source: Some("mill certificate".to_owned()),
        girder: MainGirder {
            stated_modulus: Some(CubicInches(1_000.0)),
            modulus_source: Some("dealer's drawing".to_owned()),
            plates: Some(GirderPlates {
                bottom_cover: Some(plate(20.0, 0.75)),
                ..box_of(plate(30.0, 0.5), plate(26.0, 1.0))
            }),
            unbraced_ft: Some(Feet(5.0)),
        },
        exterior_depth: Some(Inches(14.0)),
        weight: Some(Kips(40.0)),
        deck: Some(CarDeck::Timber),
        deck_condition: Some(DeckCondition::Sound),
        coating: Some(Coating::Sound),
        lead: Some(LeadStatus::Free),
        members: all_members(Some(MemberCondition::Sound)),
        wrecked: Some(false),
        price: Some(Cents::dollars(9_500)),
        quote_expires: Some(date(2026, 9, 30)),
        available: Some(Availability::Now),
        ..Car::unknown(id, "Drumfell Reclaim", YardIx(0), row("cars.csv", 2))
    }
}

/// A box girder of two webs between equal flanges, nothing lost to corrosion.
pub fn box_of(web: Plate, flange: Plate) -> GirderPlates {
    GirderPlates {
        webs: 2,
        web,
        web_depth_at_trucks_in: None,
        top_flange: flange,
        bottom_flange: flange,
        top_cover: None,
        bottom_cover: None,
        web_loss_pct: Percent(0.0),
        top_loss_pct: Percent(0.0),
        bottom_loss_pct: Percent(0.0),
    }
}

/// Every group of members in one condition.
pub fn all_members(condition: Option<MemberCondition>) -> Members {
    Members {
        main_girder: condition,
        exterior_girders: condition,
        bolsters: condition,
        cross_members: condition,
        stringers: condition,
    }
}

/// A 64-ft crossing, 16 ft between rails, two cars abreast, everything surveyed.
pub fn crossing() -> Crossing {
    Crossing {
        id: "T-07".to_owned(),
        road: "Sallow Bottom Road".to_owned(),
        layouts: vec![Layout { spans: vec![Feet(64.0)], piers_cost: Cents::ZERO }],
        clear_width: Feet(16.0),
        vehicles: vec!["H15".to_owned()],
        deck_system: "timber".to_owned(),
        most_abreast: 2,
        haul_length_limit: Some(Feet(80.0)),
        haul_width_limit: Some(Feet(14.0)),
        haul_height_limit: None,
        haul_weight_limit: Some(Kips(60.0)),
        crane_limit: Some(Kips(50.0)),
        priority: 1,
        fund: None,
        needed_by: Some(date(2026, 10, 31)),
        no_haul: Some(Seasons::default()),
        no_stream_work: Some(Seasons::default()),
        keep: vec![],
        position: Position { latitude_deg: 44.5, longitude_deg: -40.0 },
        least_posting: None,
        other: None,
        other_bridge: None,
        other_for: None,
        pier_bearings: None,
        place: row("crossings.csv", 2),
    }
}

/// One yard at 44 N, 40 W.
pub fn yard() -> Yard {
    Yard {
        dealer: "Drumfell Reclaim".to_owned(),
        name: "Upper Drum".to_owned(),
        position: Position { latitude_deg: 44.0, longitude_deg: -40.0 },
        loading: Cents::dollars(350),
        trip: Cents::dollars(900),
        crane: Cents::ZERO,
        no_haul: Some(Seasons::default()),
        levels: vec![PriceLevel { at_least: 1, off: BasisPoints(0) }],
        place: row("yards.csv", 2),
    }
}

/// One sound car, its yard and one crossing, ordered on 1 June 2026.
pub fn inputs() -> Inputs {
    Inputs {
        cars: vec![sound_car("DR-1")],
        yards: vec![yard()],
        lots: Vec::new(),
        crossings: vec![crossing()],
        rules: priced(rules()),
        haul_quotes: Default::default(),
        order_date: date(2026, 6, 1),
        decided: Default::default(),
        part: vec![],
        conditional: false,
    }
}

/// The same with several cars, each made from the sound car.
pub fn inputs_with(changes: &[&dyn Fn(&mut Car)]) -> Inputs {
    let mut inputs = inputs();
    inputs.cars = changes
        .iter()
        .zip(1..)
        .map(|(change, number)| {
            let mut car = sound_car(&format!("DR-{number}"));
            change(&mut car);
            car
        })
        .collect();
    inputs
}

/// Puts all cars of the inputs into one lot at a price.
pub fn into_lot(inputs: &mut Inputs, price: Option<Cents>) {
    for car in &mut inputs.cars {
        (car.lot, car.price) = (Some(LotIx(0)), None);
    }
    inputs.lots = vec![Lot {
        dealer: "Drumfell Reclaim".to_owned(),
        name: "L-1".to_owned(),
        yard: YardIx(0),
        price,
        cars: inputs.car_indices().collect(),
        unread_rows: 0,
        place: row("lots.csv", 2),
    }];
}

/// The screening checks of one code, of the first car on the first site, after a change.
pub fn asked_all(code: Code, change: impl FnOnce(&mut Inputs)) -> Vec<Check> {
    let mut inputs = inputs();
    change(&mut inputs);
    screen(&inputs, CAR, SITE).into_iter().filter(|check| check.code == code).collect()
}

/// The one screening check of a code.
pub fn asked(code: Code, change: impl FnOnce(&mut Inputs)) -> Check {
    let mut checks = asked_all(code, change);
    assert_eq!(checks.len(), 1, "{code} is asked once");
    checks.remove(0)
}

/// The one screening check of a code after a change of the car.
pub fn asked_of(code: Code, change: impl FnOnce(&mut Car)) -> Check {
    asked(code, |inputs| change(&mut inputs.cars[0]))
}

/// The margin as a bare number, which must be in the unit of the measured value (days for dates).
pub fn margin(check: &Check) -> Option<f64> {
    let margin = check.margin.as_ref()?;
    match (&check.measured, margin) {
        (Value::Date(_), Value::Days(_)) => {}
        (measured, margin) => assert_eq!(measured.json_key(), margin.json_key()),
    }
    margin.number()
}

/// Equal but for the rounding of sums in binary.
pub fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}
