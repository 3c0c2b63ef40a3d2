//! The girders of the demonstration are no stronger than what their own lading asks of them.

use super::county::County;

/// Gross weight on the rail and weight of the two trucks, lb, of cars on 50-, 70- and 100-ton trucks.
/// From memory: 177,000, 220,000 and 263,000 lb are the customary gross weights of four axles; the
/// weights of the trucks are common practice, without a source.
const TRUCKS: [(f64, f64); 3] =
    [(177_000.0, 16_000.0), (220_000.0, 18_000.0), (263_000.0, 20_000.0)];

/// The trucks of a class.
fn trucks(section: &str) -> (f64, f64) {
    match section {
        "K-50" | "N-54" | "D-56" | "F-56" => TRUCKS[0],
        "D-60C" => TRUCKS[2],
        _ => TRUCKS[1],
    }
}

/// What bends the girder most in service, in inch-pounds: the heaviest lading, all of it spread between
/// the trucks, and the car itself spread over its length.
fn moment(length: f64, centers: f64, weight: f64, section: &str) -> f64 {
    let (gross, trucks) = trucks(section);
    let lading = gross - trucks - weight;
    (lading * centers / 8.0 + weight * (centers / 4.0 - length / 8.0)) * 12.0
}

/// Section modulus of a girder alike above and below: flanges, covers on them, webs between.
fn modulus(plates: [f64; 7]) -> f64 {
    let [webs, depth, web, flange_width, flange, cover_width, cover] = plates;
    let total = depth + 2.0 * (flange + cover);
    let pair = |width: f64, thick: f64, outside: f64| {
        let arm = outside - thick / 2.0;
        2.0 * width * thick * (arm * arm + thick * thick / 12.0)
    };
    let inertia = webs * web * depth.powi(3) / 12.0
        + pair(flange_width, flange, depth / 2.0 + flange)
        + pair(cover_width, cover, total / 2.0);
    inertia / (total / 2.0)
}

/// At 20 ksi, 36 ksi with a safety of 1.8: what the load asks to a hundredth, at most a tenth more, since
/// plates come in sizes.
#[test]
fn each_modulus_is_what_the_lading_of_the_car_asks() {
    let county = County::new();
    let mut cars = 0;
    for file in ["drumfell.csv", "sallowby.csv", "orlhaven.csv"] {
        let (header, rows) = county.rows(file);
        for row in rows {
            let text = |name: &str| {
                header.iter().position(|column| column == name).map_or("", |at| row[at].as_str())
            };
            let number = |name: &str| text(name).parse::<f64>().ok();
            let measured = number("web_depth_in").map(|depth| {
                let or_none = |name: &str| number(name).unwrap_or(0.0);
                modulus([
                    or_none("webs"),
                    depth,
                    or_none("web_thickness_in"),
                    or_none("top_flange_width_in"),
                    or_none("top_flange_thickness_in"),
                    or_none("top_cover_width_in"),
                    or_none("top_cover_thickness_in"),
                ])
            });
            let Some(has) = measured.or(number("modulus_in3")) else { continue };
            let measures = ["length_ft", "truck_centers_ft", "weight_lb"].map(number);
            let [Some(length), Some(centers), Some(weight)] = measures else { continue };
            let asked = moment(length, centers, weight, text("section")) / 20_000.0;
            let ratio = has / asked;
            assert!(
                (0.99..=1.1).contains(&ratio),
                "{}: {has:.0} in3, asked {asked:.0}",
                text("car")
            );
            cars += 1;
        }
    }
    assert!(cars > 50, "{cars} cars");
}

#[test]
fn some_girders_are_fish_bellies() {
    let (header, rows) = County::new().rows("drumfell.csv");
    let column = |name: &str| header.iter().position(|column| column == name).unwrap();
    let (at_trucks, middle) = (column("web_depth_at_trucks_in"), column("web_depth_in"));
    let tapering = rows
        .iter()
        .filter_map(|row| row[at_trucks].parse::<f64>().ok().zip(row[middle].parse::<f64>().ok()));
    assert!(tapering.filter(|(trucks, middle)| trucks < middle).count() >= 3);
}
