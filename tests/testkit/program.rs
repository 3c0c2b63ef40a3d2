//! Seeded files of a large program: cars, yards, lots and crossings as CSV, everything known and
//! sound, so that much fits and the search has much to weigh.

use std::fmt::Write;

use super::rng::Rng;

/// The four files.
pub struct Program {
    pub inventory: String,
    pub yards: String,
    pub lots: String,
    pub crossings: String,
}

const YARDS: [(&str, &str); 3] = [
    ("Drumfell Reclaim", "Upper Drum"),
    ("Sallowby Steel and Rail", "Sallowby Spur"),
    ("Orlhaven Equipment", "Orlhaven Quay"),
];

/// So many crossings and cars; three in ten cars only in lots.
pub fn program(crossings: usize, cars: usize, seed: u64) -> Program {
    let mut rng = Rng::new(seed);
    let mut yards = String::from("dealer,yard,latitude_deg,longitude_deg,loading_usd,trip_usd\n");
    for (dealer, yard) in YARDS {
        let (north, west) = (rng.real(43.0, 45.0), rng.real(-41.0, -39.0));
        let trip = rng.int(4, 14) * 100;
        let _ = writeln!(yards, "{dealer},{yard},{north:.3},{west:.3},350,{trip}");
    }
    let (inventory, lots) = inventory(cars, &mut rng);
    Program { inventory, yards, lots, crossings: sites(crossings, &mut rng) }
}

fn inventory(cars: usize, rng: &mut Rng) -> (String, String) {
    let mut list = String::from(
        "car,dealer,yard,lot,kind,section,length_ft,truck_centers_ft,width_ft,camber_in,\
         year_built,modulus_in3,modulus_source,exterior_depth_in,weight_lb,deck,deck_condition,coating,lead,\
         main_girder,exterior_girders,bolsters,cross_members,stringers,wrecked,price_usd,quote_expires,available\n",
    );
    let mut lots = String::from("dealer,lot,yard,price_usd\n");
    let sections: Vec<(i64, f64)> = (0..4 + cars / 80)
        .map(|_| (rng.int(50, 90), (rng.real(8.6, 10.4) * 12.0).round() / 12.0))
        .collect();
    let (mut made, mut lot_count) = (0, 0);
    while made < cars {
        let size = if rng.chance(0.1) { rng.int(2, 6) as usize } else { 1 }.min(cars - made);
        let (dealer, yard) = YARDS[rng.int(0, 2) as usize];
        let lot = if size > 1 { format!("L{lot_count}") } else { String::new() };
        let mut worth = 0;
        for _ in 0..size {
            let number = rng.int(0, sections.len() as i64 - 1) as usize;
            let (length, width) = sections[number];
            let camber = (rng.real(0.0, 3.0) * 16.0).round() / 16.0;
            let price = (length as f64 * rng.real(110.0, 210.0)) as i64;
            worth += price;
            let price = if size > 1 { String::new() } else { price.to_string() };
            let centers = length - 10;
            let modulus = length * 22;
            let weight = 500 * length + 4_000;
            let _ = writeln!(
                list,
                "C{made},{dealer},{yard},{lot},flat,S{number},{length},{centers},{width:.3},{camber},\
                 1972,{modulus},drawing,14,{weight},timber,worn,worn,lead,sound,sound,sound,sound,sound,no,\
                 {price},2099-12-31,now"
            );
            made += 1;
        }
        if size > 1 {
            let price = (worth as f64 * rng.real(0.62, 0.95)) as i64;
            let _ = writeln!(lots, "{dealer},{lot},{yard},{price}");
            lot_count += 1;
        }
    }
    (list, lots)
}

fn sites(crossings: usize, rng: &mut Rng) -> String {
    let mut list = String::from(
        "crossing,road,span_ft,pier_layouts_ft,pier_usd,clear_width_ft,vehicles,deck,most_abreast,\
         haul_length_limit_ft,haul_width_limit_ft,haul_weight_limit_lb,crane_limit_lb,priority,latitude_deg,longitude_deg\n",
    );
    for number in 0..crossings {
        let span = rng.int(30, 70);
        let (piers, pier) = if rng.chance(0.25) {
            (format!("{0}+{0}", span / 2), "14000")
        } else {
            (String::new(), "")
        };
        let width = rng.int(13, 17);
        let priority = rng.pick(&[1, 1, 2, 3]);
        let (north, west) = (rng.real(43.0, 45.0), rng.real(-41.0, -39.0));
        let _ = writeln!(
            list,
            "B-{number},Road {number},{span},{piers},{pier},{width},H15,timber,3,95,14,70000,70000,\
             {priority},{north:.3},{west:.3}"
        );
    }
    list
}
