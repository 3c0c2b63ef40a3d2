//! A small sound set of files in Tessarow County, to be spoilt one cell at a time.

use jiff::civil::{Date, date};
use spanyard::read::{Problems, Reading, SourceText, Sources, read};

/// The day on which the tests read.
pub const TODAY: Date = date(2026, 6, 1);

/// Yards of three dealers.
pub const YARDS: &str = "\
dealer,yard,latitude_deg,longitude_deg,loading_usd,trip_usd
Drumfell Reclaim,Upper Drum,44.20,-40.10,650,900.50
Sallowby Steel and Rail,Sallowby Spur,43.90,-39.70,480,1100
Orlhaven Equipment,Orlhaven Quay,44.05,-40.45,700,850
";

/// Two lots, one of them not quoted.
pub const LOTS: &str = "\
dealer,lot,yard,price_usd
Sallowby Steel and Rail,L-1,Sallowby Spur,41000
Sallowby Steel and Rail,L-2,Sallowby Spur,
";

/// Two crossings.
pub const CROSSINGS: &str = "\
crossing,road,span_ft,pier_layouts_ft,pier_usd,clear_width_ft,vehicles,deck,most_abreast,haul_length_limit_ft,haul_weight_limit_lb,crane_limit_lb,priority,needed_by,latitude_deg,longitude_deg,least_posting_tons
T-02,Mill Lane,62,,,16,HS20; Type 3,timber,3,95,80000,90000,1,2026-11-30,44.1,-40.2,
T-01,Gorse Road,90,45+45; 30+30+30,18000,15,ev2,Concrete,2,,,,2,,44.0,-40.0,12
";

/// Cars of two dealers.
pub const CARS: &str = "\
car,dealer,yard,lot,quantity,kind,section,length_ft,truck_centers_ft,width_ft,camber_in,year_built,yield_ksi,yield_source,modulus_in3,modulus_source,price_usd,main_girder,wrecked,available,quote_expires,notes
S-2,Sallowby Steel and Rail,Sallowby Spur,L-1,2,flat,CB-60,60,46.25,9,1.5,1971,,,480,drawing,,sound,no,now,2026-08-31,
D-9,Drumfell Reclaim,Upper Drum,,,Flat,GS-89,89.33,66,9.1,-0.25,,36,mill certificate,,,9500.5,corroded 8%,No,2026-07-15,,\"two lines,
one remark\"
D-10,Drumfell Reclaim,Upper Drum,,,,,,,,,,,,,,,,,,,
";

/// All files under their usual names.
pub fn sources() -> Sources {
    Sources {
        inventories: vec![SourceText::new("cars.csv", CARS)],
        mappings: Vec::new(),
        yards: Some(SourceText::new("yards.csv", YARDS)),
        lots: Some(SourceText::new("lots.csv", LOTS)),
        crossings: Some(SourceText::new("crossings.csv", CROSSINGS)),
        rules: None,
        ..Sources::default()
    }
}

/// The reading of files that must be sound.
pub fn good(sources: &Sources) -> Reading {
    read(sources, TODAY).unwrap_or_else(|problems| panic!("{problems}"))
}

/// The messages of files that must not be sound.
pub fn messages(sources: &Sources) -> Vec<String> {
    let problems: Problems = read(sources, TODAY).expect_err("a problem");
    problems.iter().map(ToString::to_string).collect()
}

/// The messages for this inventory alone with the county's other files.
pub fn of_inventory(text: &str) -> Vec<String> {
    let inventories = vec![SourceText::new("cars.csv", text)];
    messages(&Sources { inventories, ..sources() })
}
