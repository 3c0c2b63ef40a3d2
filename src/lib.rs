//! Chooses retired railroad flat cars for the worn-out small bridges of a rural road agency.
//!
//! # The job
//!
//! Two or more flat cars laid side by side make a bridge for a low-volume road, fast and cheap, if
//! they are the right cars. An agency has crossings and a budget; dealers have lists of cars, some
//! sold singly, some only in lots. This library turns the lists into one defensible purchase: cars
//! that fit each span and width, carry the trucks, match each other, and arrive and get built for
//! the least total money, with a reason for every yes and every no.
//!
//! # One run
//!
//! ```
//! use spanyard::assemble::{PlanOptions, make_plan};
//! use spanyard::quantity::Feet;
//! use spanyard::read::{SourceText, Sources, read};
//! use spanyard::survey::Survey;
//!
//! let cars = "\
//! car,dealer,yard,quantity,kind,section,length_ft,truck_centers_ft,width_ft,camber_in,year_built,\
//! modulus_in3,modulus_source,exterior_depth_in,weight_lb,deck,deck_condition,coating,lead,main_girder,\
//! exterior_girders,bolsters,cross_members,stringers,wrecked,price_usd,quote_expires,available
//! D-1,Drumfell Reclaim,Upper Drum,2,flat,D-60A,60,48,9.2,1.5,1972,900,drawing,14,38000,timber,\
//! worn,worn,lead,sound,sound,sound,sound,sound,no,9500,2026-12-31,now
//! ";
//! let yards = "\
//! dealer,yard,latitude_deg,longitude_deg,loading_usd,trip_usd
//! Drumfell Reclaim,Upper Drum,44.3,-40.2,350,600
//! ";
//! let crossings = "\
//! crossing,road,span_ft,pier_layouts_ft,pier_usd,clear_width_ft,vehicles,deck,most_abreast,\
//! haul_length_limit_ft,haul_width_limit_ft,haul_weight_limit_lb,crane_limit_lb,priority,needed_by,\
//! latitude_deg,longitude_deg,least_posting_tons
//! B-1,Mill Lane,40,,,16,H15,timber,3,75,12,60000,60000,1,,44.0,-40.0,
//! ";
//! let reading = read(
//!     &Sources {
//!         inventories: vec![SourceText::new("cars.csv", cars)],
//!         yards: Some(SourceText::new("yards.csv", yards)),
//!         crossings: Some(SourceText::new("crossings.csv", crossings)),
//!         ..Sources::default()
//!     },
//!     jiff::civil::date(2026, 6, 1),
//! )?;
//! let survey = Survey::new(&reading.inputs);
//! let plan = make_plan(&reading.inputs, &survey, &PlanOptions::default())?;
//! assert_eq!(plan.served_count(), 1);
//! let bridge = plan.crossings[0].served().expect("two cars side by side");
//! assert_eq!(bridge.decks[0].cars.len(), 2);
//! assert_eq!(bridge.decks[0].required_width, Feet(17.5)); // 16 ft clear and two rails of 9 in
//! assert!(plan.proof.cheapest);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # The stages
//!
//! Data flows one way; each stage takes values and returns values, and no stage touches
//! a file or a terminal. What time it is, [`deadline`] alone asks. Two rooms touch files, for whoever
//! has a folder of them: [`folder`] opens and reads them, and [`save`] writes what came of it.
//!
//! | stage | from | to |
//! | --- | --- | --- |
//! | [`read`] | bytes of CSV and TOML | [`Inputs`](model::inputs::Inputs), or every problem with its place |
//! | [`evidence`] | car and rules | what each fact rests on, and which facts decide |
//! | [`screen`] | car and span | [`Check`](check::Check)s without strength |
//! | [`rate`] | car, span and vehicles | rating factors, posting, as checks |
//! | [`survey`] | inputs | what bars each car from each span |
//! | [`group`] | cars of one span | the rule by which they match, joint, order across |
//! | [`confirm`] | deck | what to confirm before money is paid, with the value needed |
//! | [`price`] | car, deck, crossing | cost lines in integer cents |
//! | [`choose`] | the market in numbers | decks and lots of least cost, with a proven bound |
//! | [`verify`] | inputs and plan | every rule and sum recomputed |
//! | [`assemble`] | inputs | all of that in one call: a plan, verified |
//! | [`after`] | inputs, plan, what happened since | decisions applied; prices to beat, near misses, cars to ask for, substitutes, least changes, plans beside each other |
//! | [`schema`] | a finished plan | the JSON document, written and read back |
//! | [`report`] | inputs and plan | text, JSON, CSV, page, papers, workbook, map |
//!
//! [`model`] holds the values they pass on, [`quantity`] their units, and [`check`] the one form in
//! which all of them give reasons; [`words`] finds the nearest known name.
//!
//! # What it does not decide
//!
//! Hydraulics and scour, foundations and abutments, approaches, the crash-worthiness of rails, the
//! fatigue of old details, permits: these stay with the agency and its licensed engineer, to whom
//! every plan defers. What is unknown about a car is reported as unknown, and such a car is left
//! out; it is never assumed good.

pub mod after;
pub mod assemble;
pub mod check;
pub mod choose;
pub mod confirm;
pub mod deadline;
pub mod evidence;
pub mod folder;
pub mod group;
pub mod model;
mod parallel;
pub mod price;
pub mod quantity;
pub mod rate;
pub mod read;
pub mod report;
pub mod save;
pub mod schema;
pub mod screen;
pub mod survey;
pub mod verify;
pub mod words;
