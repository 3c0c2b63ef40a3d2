//! A small market and a plan made by hand, for the tests of the reports. It keeps none of the rules
//! of steel; it only holds one of everything that a report must say.

use std::sync::Arc;

use jiff::civil::date;

use crate::check::{Check, Code, Grade, Limit, Outcome, Value};
use crate::model::car::{Availability, Car, CarKind, MainGirder};
use crate::model::crossing::{Crossing, Layout};
use crate::model::inputs::{CarIx, CrossingIx, Inputs, LotIx, Site, YardIx};
use crate::model::inventory::Inventory;
use crate::model::place::{Position, RowPlace};
use crate::model::plan::*;
use crate::model::rules::{DEFAULT_RULES, FactKind, Rules};
use crate::model::season::Seasons;
use crate::model::yard::{Lot, PriceLevel, Yard};
use crate::quantity::{BasisPoints, Cents, CubicInches, Feet, Inches, Kips, Ratio, Tons};
use crate::read::{FileKind, FileRead};

fn place(file: &str, line: u64) -> RowPlace {
    RowPlace { file: Arc::from(file), line }
}

fn new_car(id: &str, dealer: &str, yard: usize) -> Car {
    Car {
        kind: Some(CarKind::Flat),
        section: Some("F-60".to_owned()),
        length: Some(Feet(60.0)),
        truck_centers: Some(Feet(50.0)),
        width: Some(Feet(9.0)),
        camber: Some(Inches(1.25)),
        year_built: Some(1971),
        girder: MainGirder {
            stated_modulus: Some(CubicInches(900.0)),
            modulus_source: Some("drawing".to_owned()),
            ..MainGirder::default()
        },
        exterior_depth: Some(Inches(14.0)),
        weight: Some(Kips(41.0)),
        wrecked: Some(false),
        price: Some(Cents::dollars(8_400)),
        quote_expires: Some(date(2026, 12, 31)),
        available: Some(Availability::Now),
        ..Car::unknown(id, dealer, YardIx(yard), place("inventory.csv", 2))
    }
}

fn yard(dealer: &str, name: &str) -> Yard {
    Yard {
        dealer: dealer.to_owned(),
        name: name.to_owned(),
        position: Position { latitude_deg: 44.0, longitude_deg: -40.0 },
        loading: Cents::dollars(350),
        trip: Cents::dollars(600),
        crane: Cents::ZERO,
        no_haul: Some(Seasons::default()),
        levels: vec![PriceLevel { at_least: 1, off: BasisPoints(0) }],
        place: place("yards.csv", 2),
    }
}

fn crossing(id: &str, road: &str, layouts: &[(&[f64], i64)]) -> Crossing {
    Crossing {
        id: id.to_owned(),
        road: road.to_owned(),
        layouts: layouts
            .iter()
            .map(|(spans, piers)| Layout {
                spans: spans.iter().map(|&span| Feet(span)).collect(),
                piers_cost: Cents::dollars(*piers),
            })
            .collect(),
        clear_width: Feet(16.0),
        vehicles: vec!["HS20".to_owned(), "Type 3".to_owned()],
        deck_system: "timber".to_owned(),
        most_abreast: 2,
        haul_length_limit: Some(Feet(70.0)),
        haul_width_limit: Some(Feet(14.0)),
        haul_height_limit: None,
        haul_weight_limit: Some(Kips(60.0)),
        crane_limit: Some(Kips(50.0)),
        priority: 1,
        fund: None,
        needed_by: Some(date(2026, 11, 1)),
        no_haul: Some(Seasons::default()),
        no_stream_work: Some(Seasons::default()),
        keep: vec![],
        position: Position { latitude_deg: 44.2, longitude_deg: -40.1 },
        least_posting: None,
        other: None,
        other_bridge: None,
        other_for: None,
        pier_bearings: None,
        place: place("crossings.csv", 2),
    }
}

/// Two dealers, five rows of six cars, one lot, three crossings.
pub fn inputs() -> Inputs {
    let drumfell = "Drumfell Reclaim";
    let sallowby = "Sallowby Steel and Rail";
    let mut cars = vec![
        new_car("DR-10", drumfell, 0),
        Car { quantity: 2, width: Some(Feet(8.875)), ..new_car("DR-20", drumfell, 0) },
        Car { wrecked: None, ..new_car("DR-30", drumfell, 0) },
    ];
    for id in ["SS-1", "SS-2", "SS-3"] {
        cars.push(Car { lot: Some(LotIx(0)), price: None, ..new_car(id, sallowby, 1) });
    }
    let mut rules: Rules = toml::from_str(&DEFAULT_RULES).unwrap();
    // The left-over car of the lot counts by its share of the price alone.
    rules.purchase.scrap_usd_per_lb.0 = 0.0;
    Inputs {
        cars,
        yards: vec![yard(drumfell, "Upper Drum"), yard(sallowby, "Sallowby Spur")],
        lots: vec![Lot {
            dealer: sallowby.to_owned(),
            name: "L-7".to_owned(),
            yard: YardIx(1),
            price: Some(Cents::dollars(21_000)),
            cars: vec![CarIx(3), CarIx(4), CarIx(5)],
            unread_rows: 0,
            place: place("lots.csv", 2),
        }],
        crossings: vec![
            crossing("TC-01", "Millrace Road", &[(&[46.0], 0)]),
            crossing("TC-02", "Long Meadow Lane", &[(&[90.0], 0), (&[45.0, 45.0], 30_000)]),
            crossing("TC-03", "Gorge Road", &[(&[120.0], 0)]),
        ],
        rules,
        haul_quotes: Default::default(),
        order_date: date(2026, 6, 1),
        decided: Default::default(),
        part: vec![],
        conditional: false,
    }
}

/// The index of the car with this ID.
pub fn car(inputs: &Inputs, id: &str) -> CarIx {
    CarIx(inputs.cars.iter().position(|car| car.id == id).unwrap())
}

fn line(item: CostItem, subject: &str, basis: &str, dollars: i64) -> CostLine {
    CostLine {
        item,
        subject: subject.to_owned(),
        basis: basis.to_owned(),
        amount: Cents::dollars(dollars),
    }
}

fn placed(car: CarIx, factor: f64) -> PlacedCar {
    PlacedCar {
        car,
        checks: vec![
            Check::at_least(Code::Support, Value::Feet(Feet(50.0)), Value::Feet(Feet(46.0))),
            Check::at_least(
                Code::BendingAllowable,
                Value::Ratio(Ratio(factor)),
                Value::Ratio(Ratio(1.0)),
            )
            .part("HS20"),
            Check::at_least(
                Code::Posting,
                Value::Tons(Tons((factor * 10.0).floor())),
                Value::Tons(Tons(10.0)),
            )
            .part("Type 3"),
            Check::new(Code::Lead, Value::Unknown, Limit::None, Outcome::Caution)
                .note("not tested: taken to hold lead"),
            Check::new(Code::LocalMembers, Value::Unknown, Limit::None, Outcome::NotChecked)
                .note("no dimensions of stringers and cross-members"),
        ],
    }
}

fn deck(site: Site, span: f64, cars: Vec<PlacedCar>, total: f64, gap: f64) -> Deck {
    let several = cars.len() > 1;
    Deck {
        loads: Vec::new(),
        site,
        span: Feet(span),
        cars,
        joint: several.then(|| JointUse { name: "bolted plate".to_owned(), gap: Inches(gap) }),
        total_width: Feet(total),
        required_width: Feet(17.5),
        checks: vec![
            Check::at_most(
                Code::CamberSpread,
                Value::Inches(Inches(0.4)),
                Value::Inches(Inches(1.0)),
            ),
            Check::at_least(Code::WidthLeast, Value::Feet(Feet(total)), Value::Feet(Feet(17.5))),
        ],
    }
}

/// TC-01 served by two single cars, TC-02 on a pier by a single car, one of a batch and two cars of
/// a lot whose third is left over, TC-03 not served.
pub fn plan() -> Plan {
    let site = |crossing, layout, span| Site { crossing: CrossingIx(crossing), layout, span };
    let first = Served {
        layout: 0,
        decks: vec![deck(
            site(0, 0, 0),
            46.0,
            vec![placed(CarIx(0), 1.3), placed(CarIx(1), 1.04)],
            17.875,
            0.0,
        )],
        lines: vec![
            line(CostItem::Car, "DR-10", "quoted", 8_400),
            line(CostItem::Car, "DR-20", "quoted", 8_400),
            line(CostItem::Haul, "DR-10", "40.0 mi x $6.50/mi, at least $450", 450),
            line(CostItem::Haul, "DR-20", "40.0 mi x $6.50/mi, at least $450", 450),
            line(CostItem::Rail, "both sides", "2 x 46 ft x $46.00/ft", 4_232),
        ],
        alternative: Some(Alternative {
            layout: 0,
            decks: vec![vec![CarIx(1), CarIx(1)]],
            extra: Cents::dollars(1_234),
        }),
        alternative_proven: true,
        confirmations: vec![Confirmation {
            span: 0,
            car: CarIx(0),
            kind: FactKind::Camber,
            fact: Inventory::Camber,
            now: Some(Grade::Stated),
            needed: Grade::Inspected,
            value: Limit::Between(Value::Inches(Inches(0.25)), Value::Inches(Inches(2.25))),
        }],
        if_refused: vec![(
            CarIx(0),
            IfRefused::Instead(Alternative {
                layout: 0,
                decks: vec![vec![CarIx(1), CarIx(1)]],
                extra: Cents::dollars(1_234),
            }),
        )],
    };
    let second = Served {
        layout: 1,
        decks: vec![
            deck(
                site(1, 1, 0),
                45.0,
                vec![placed(CarIx(3), 1.2), placed(CarIx(4), 1.2)],
                18.0,
                0.0,
            ),
            deck(site(1, 1, 1), 45.0, vec![placed(CarIx(1), 1.1)], 17.5, 0.0),
        ],
        lines: vec![
            line(CostItem::LotShare, "SS-1", "1/3 of lot L-7", 7_000),
            line(CostItem::LotShare, "SS-2", "1/3 of lot L-7", 7_000),
            line(CostItem::Piers, "1 pier", "as stated", 30_000),
        ],
        alternative: None,
        alternative_proven: true,
        confirmations: Vec::new(),
        if_refused: Vec::new(),
    };
    let third = Unserved {
        reasons: vec![Check::words(Code::NoCarFits, "no car passes", Limit::None, false)],
        nearest: Some(NearMiss {
            car: CarIx(2),
            site: site(2, 0, 0),
            barred_by: vec![Check::at_least(
                Code::Support,
                Value::Feet(Feet(50.0)),
                Value::Feet(Feet(120.0)),
            )],
        }),
    };
    let trip = |subject: &str| vec![line(CostItem::Trip, subject, "one inspection trip", 600)];
    let count = |car, count| CarCount { car: CarIx(car), count };
    let crossings = vec![
        CrossingPlan { crossing: CrossingIx(0), fate: Fate::Served(first) },
        CrossingPlan { crossing: CrossingIx(1), fate: Fate::Served(second) },
        CrossingPlan { crossing: CrossingIx(2), fate: Fate::Unserved(third) },
    ];
    Plan {
        crossings,
        purchases: vec![
            YardPurchase {
                yard: YardIx(0),
                singles: vec![count(0, 1), count(1, 2)],
                level: 0,
                spares: vec![],
                spare_lines: vec![],
                own: vec![],
                lots: vec![],
                lines: trip("Upper Drum"),
            },
            YardPurchase {
                yard: YardIx(1),
                singles: vec![],
                level: 0,
                spares: vec![],
                spare_lines: vec![],
                own: vec![],
                lots: vec![LotPurchase {
                    lot: LotIx(0),
                    price: Cents::dollars(21_000),
                    placed: vec![count(3, 1), count(4, 1)],
                    left_over: vec![count(5, 1)],
                    left_over_lines: vec![
                        line(CostItem::LotShare, "SS-3", "1/3 of lot L-7", 7_000),
                        line(CostItem::StockValue, "SS-3", "20 % of its share", -1_400),
                    ],
                }],
                lines: trip("Sallowby Spur"),
            },
        ],
        totals: Totals {
            outlay: Cents::dollars(74_132),
            stock_value: Cents::dollars(1_400),
            net: Cents::dollars(72_732),
        },
        budget: None,
        site_by_site: Some(SiteBySite { served: 1, net: Cents::dollars(60_000) }),
        proof: Proof {
            bound: Cents::dollars(72_000),
            cheapest: false,
            service: true,
            stopped: None,
        },
    }
}

/// The files of the fixture.
pub fn files() -> Vec<FileRead> {
    vec![
        FileRead {
            name: "inventory.csv".into(),
            kind: FileKind::Inventory,
            sha256: crate::read::sha256(b"cars"),
            rows: 6,
            not_taken: Vec::new(),
            left_out: 0,
        },
        FileRead {
            name: "crossings.csv".into(),
            kind: FileKind::Crossings,
            sha256: crate::read::sha256(b"crossings"),
            rows: 3,
            not_taken: Vec::new(),
            left_out: 0,
        },
    ]
}
