//! The agency's rules over the built-in ones.

use jiff::civil::date;
use spanyard::model::rules::{DEFAULT_RULES, Laid, Rules, Truckload};
use spanyard::quantity::{Cents, Feet, Inches, Kips, Ksi, Percent, Pounds, UsdPerMile};
use spanyard::read::{SourceText, rules};

fn taken(text: &str) -> Rules {
    rules(Some(&SourceText::new("rules.toml", text)))
        .unwrap_or_else(|problems| panic!("{problems:?}"))
}

fn refused(text: &str) -> Vec<String> {
    let problems = rules(Some(&SourceText::new("rules.toml", text))).expect_err(text);
    problems.iter().map(ToString::to_string).collect()
}

#[test]
fn keys_given_replace_the_built_in_ones_and_the_others_stay() {
    let built_in = rules(None).unwrap();
    let mut expected = built_in.clone();
    expected.purchase.order_date = Some(date(2026, 6, 1));
    expected.group.camber_tolerance_in = Inches(0.75);
    expected.rating.resistance_factors.system = 1.0;
    expected.screen.secondary_repairable.clear();
    // A whole number is a number, a date may stand in quotes, and a table may be written inline.
    let found = taken(
        "purchase.order_date = '2026-06-01'\n\
         group = { camber_tolerance_in = 0.75 }\n\
         [rating.resistance_factors]\nsystem = 1\n\
         [screen]\nsecondary_repairable = []\n",
    );
    assert_eq!(found, expected);
    assert_eq!(taken(""), built_in);
    assert_eq!(
        taken("\u{feff}[purchase]\r\norder_date = 2026-06-01\r\n").purchase.order_date,
        Some(date(2026, 6, 1))
    );
}

#[test]
fn lists_given_replace_the_built_in_ones_whole() {
    let found = taken(
        "[[deck]]\nname = 'planks'\nusd_per_sqft = 9\ndead_psf = 15\nwearing_psf = 0\nkeeps_car_deck = false\n\
         [[vehicle]]\nname = 'gravel  truck'\naxles_kip = [14, 17.5]\nspacings_ft = [13]\nsource = 'scale ticket'\n\
         [[steel_by_year]]\nbuilt_through = 9999\nyield_ksi = 30\n",
    );
    let decks: Vec<_> = found.deck.iter().map(|deck| deck.name.as_str()).collect();
    assert_eq!(decks, ["planks"]);
    assert_eq!(found.vehicle[0].name, "gravel truck");
    assert_eq!(found.vehicle[0].axles_kip, [Kips(14.0), Kips(17.5)]);
    assert_eq!(found.steel_by_year.len(), 1);
    assert_eq!(found.steel_by_year[0].yield_ksi, Ksi(30.0));
    // A list that is not given stays.
    assert_eq!(found.joint, rules(None).unwrap().joint);
}

#[test]
fn limits_are_included_or_not_as_they_say() {
    assert_eq!(taken("purchase.stock_value_pct = 0").purchase.stock_value_pct, Percent(0.0));
    assert_eq!(
        taken("rating.resistance_factors.resistance = 1.0").rating.resistance_factors.resistance,
        1.0
    );
    for (text, allowed) in [
        ("purchase.stock_value_pct = 100", "0 to less than 100"),
        ("purchase.stock_value_pct = -0.5", "0 to less than 100"),
        ("rating.resistance_factors.resistance = 0.0", "above 0 and up to 1"),
        ("rating.resistance_factors.condition = 1.01", "above 0 and up to 1"),
        ("rating.resistance_factors.dead = 0.9", "1 to 5"),
        ("rating.truck_share = 0", "above 0 and up to 1"),
        ("rating.elastic_modulus_ksi = 29e6", "20,000 to 35,000"),
        ("posting.factor_floor = 1.0", "0 to less than 1"),
        ("group.camber_tolerance_in = nan", "0 to 12"),
        ("crane.pick_usd = -1", "0 to 1,000,000"),
        ("haul.usd_per_mile = inf", "0 to 1,000"),
        ("haul.usd_per_mile = -1", "0 to 1,000"),
        ("rail.weight_kip_per_ft = 50", "0 to 2"),
    ] {
        let (key, value) = text.split_once(" = ").unwrap();
        let place = key.rfind('.').unwrap() + 2;
        let expected = format!(
            "rules.toml:1:{place}: D05 {key}: `{value}` is out of range; write a number {allowed}"
        );
        assert_eq!(refused(text), [expected]);
    }
}

#[test]
fn the_sign_is_by_trucks_and_by_somebodys_practice() {
    let key = "rating.allowable_stress_factors.legal_level";
    let expected = format!(
        "rules.toml:1:33: D12 {key}: posts signs by more than the inventory level, and \
         legal_level_source is not given; name the posting practice of the owner or state in \
         legal_level_source"
    );
    assert_eq!(refused(&format!("{key} = \"between\"")), [expected]);
    let with_source = format!("{key} = \"between\"\n{key}_source = \"state bridge manual, 2024\"");
    let found = taken(&with_source).rating.allowable_stress_factors;
    assert_eq!(found.legal_level, spanyard::model::rules::Level::Between);
    let refusal = refused("posting.legal_vehicles = [\"HS20\"]").join(" ");
    assert!(refusal.contains("has HS20, a design load, which is on no sign"), "{refusal}");
    let refusal = refused("posting.legal_vehicles = [\"beet truck\"]").join(" ");
    assert!(refusal.contains("D09") && refusal.contains("has beet truck"), "{refusal}");
    let own = "posting.legal_vehicles = [\"beet truck\"]\n[[vehicle]]\nname = \"Beet truck\"\n\
               axles_kip = [20.0, 30.0]\nspacings_ft = [12.0]\nsource = \"state law\"";
    assert_eq!(taken(own).posting.legal_vehicles, ["beet truck"]);
}

#[test]
fn amounts_are_to_the_cent_and_rates_need_not_be() {
    let found = taken("[crane]\npick_usd = 550.25\n[haul]\nusd_per_mile = 6.125\n");
    assert_eq!(found.crane.pick_usd, Cents(55_025));
    assert_eq!(found.haul.usd_per_mile, UsdPerMile(6.125));
    let expected = "rules.toml:1:7: D05 crane.pick_usd: `550.255` has a part of a cent; write dollars \
                    with at most two decimals";
    assert_eq!(refused("crane.pick_usd = 550.255"), [expected]);
}

#[test]
fn keys_and_values_that_cannot_be_taken() {
    const COMPARE: &str = "compare with the output of `spanyard rules`";
    for (text, expected) in [
        ("[group]\ncamber_tolerence_in = 1", "2:1: D13 group.camber_tolerence_in: is not a key of the rules; write camber_tolerance_in if that is meant, or remove the key".to_owned()),
        ("[rateing]\ntruck_share = 1", "1:2: D13 rateing: is not a key of the rules; write rating if that is meant, or remove the key".to_owned()),
        ("color = 'red'", format!("1:1: D13 color: is not a key of the rules; {COMPARE}")),
        ("group = 1", "1:1: D13 group: is a table, not a value; write its keys under [group]".to_owned()),
        ("[joint]\nname = 'a'", "1:2: D13 joint: is a list of tables; write each under [[joint]]".to_owned()),
        ("joint = ['a']", "1:10: D13 joint: is a list of tables, and this is none; write its keys under [[joint]]".to_owned()),
        ("joint = []", "1:1: D10 joint: is an empty list; write at least one [[joint]], or remove the key".to_owned()),
        ("[haul]\nroad_factor = '1.3'", "2:1: D04 haul.road_factor: `'1.3'` is not a number; write a number 1 to 10, without quotes".to_owned()),
        ("[purchase]\nlead_time_days = 90.5", "2:1: D04 purchase.lead_time_days: `90.5` is not a whole number; write a whole number, 0 to 1000".to_owned()),
        ("[purchase]\nlead_time_days = -1", "2:1: D05 purchase.lead_time_days: `-1` is out of range; write a whole number, 0 to 1000".to_owned()),
        ("[purchase]\norder_date = 2026-06-01T10:00:00", "2:1: D07 purchase.order_date: `2026-06-01T10:00:00` is not a date; write a day like 2026-05-31, without a time".to_owned()),
        ("[purchase]\norder_date = 1926-06-01", "2:1: D05 purchase.order_date: `1926-06-01` is outside 2000 to 2100; write the year with four digits, first".to_owned()),
        ("[rating]\nshear_required = 'yes'", "2:1: D06 rating.shear_required: `'yes'` is neither true nor false; write true or false".to_owned()),
        ("[rating.resistance_factors]\ndesign_level = 'design'", "2:1: D06 rating.resistance_factors.design_level: `'design'` is not a word for this key; write inventory or operating, in double quotes".to_owned()),
        ("[screen]\nkinds_allowed = []", "2:1: D10 screen.kinds_allowed: `[]` names none; write a list of flat, bulkhead flat, gondola, boxcar or car hauler".to_owned()),
        ("[screen]\nkinds_allowed = ['flats']", "2:1: D06 screen.kinds_allowed: `['flats']` is not a word for this key; write flat, bulkhead flat, gondola, boxcar or car hauler, in double quotes".to_owned()),
        ("[screen]\nkinds_allowed = 'flat'", "2:1: D06 screen.kinds_allowed: `'flat'` is not a list of words; write a list of flat, bulkhead flat, gondola, boxcar or car hauler".to_owned()),
        ("[rating]\ntruck_share_source = ' '", "2:1: D10 rating.truck_share_source: `' '` is blank; write text in double quotes".to_owned()),
        (
            "[rating.resistance_factors]\npresence = [1.2, 1.0, 0.85]",
            "2:1: D05 rating.resistance_factors.presence: `[1.2, 1.0, 0.85]` has the wrong count of numbers; write 4 numbers, each above 0 and up to 1.5".to_owned(),
        ),
        // An agency that states a share must say who answers for it.
        ("[rating]\ntruck_share = 0.6", "2:1: D12 rating.truck_share: is less than 1, and rating.truck_share_source does not say who answers for it; name the load test or the engineer's analysis in truck_share_source".to_owned()),
        ("[[joint_share]]\njoint = 'welded'\ntruck_share = 0.7\nsource = 'test'", "2:1: D09 joint_share.joint: is welded, and no [[joint]] has that name; write one of bolted plate, concrete beam".to_owned()),
        ("joint_share = [{ joint = 'bolted plate', truck_share = 0.7, source = 'a' }, { joint = 'bolted plate', truck_share = 0.6, source = 'b' }]", "1:79: D08 joint_share.joint: is bolted plate, which has a share already; state one share for each joint type".to_owned()),
        // A yield strength in psi typed as ksi.
        ("[[steel_by_year]]\nbuilt_through = 9999\nyield_ksi = 33000", "3:1: D05 steel_by_year.yield_ksi: `33000` is out of range; write a number 20 to 100".to_owned()),
        ("[[steel_by_year]]\nbuilt_through = 1963\nyield_ksi = 33", "2:1: D12 steel_by_year.built_through: is 1963 in the last row, so later cars have no strength; write 9999 in the last row".to_owned()),
        ("[rating.allowable_stress_factors]\nbending_inventory = 0.8", "2:1: D12 rating.allowable_stress_factors.bending_inventory: makes bending_inventory 0.8, more than bending_operating, which is 0.75; write bending_inventory at most bending_operating".to_owned()),
    ] {
        assert_eq!(refused(text), [format!("rules.toml:{expected}")], "{text}");
    }
}

#[test]
fn a_list_is_checked_table_by_table() {
    let text = "\
[[steel_by_year]]
built_through = 1936
yield_ksi = 30
[[steel_by_year]]
built_through = 1905
yield_ksi = 26
[[steel_by_year]]
built_through = 9999
yield_ksi = 33

[[joint]]
name = 'plate'
gap_min_in = 3
gap_max_in = 2
exterior_depth_min_in = 8
usd_per_ft = 38
weight_kip_per_ft = 0.02
[[joint]]
name = 'Plate'
gap_min_in = 0
gap_max_in = 2
exterior_depth_min_in = 8
usd_per_foot = 38
weight_kip_per_ft = 20

[[vehicle]]
name = 'hs20'
axles_kip = [8, 32, 0]
spacings_ft = [14, 14]
source = 'the shop'
[[vehicle]]
name = 'log; truck'
axles_kip = [8, 32]
spacings_ft = [14, 14]
source = 'the shop'
[[vehicle]]
name = 'cart'
axles_kip = []
spacings_ft = 14
source = 3
";
    let expected = "\
rules.toml:5:1: D12 steel_by_year.built_through: is 1905, not later than 1936 of the row before; put the rows in the order of their years
rules.toml:14:1: D12 joint.gap_max_in: is 2, less than gap_min_in, which is 3; write gap_min_in at most gap_max_in
rules.toml:18:1: D10 joint.usd_per_ft: is missing; add the key to this [[joint]]
rules.toml:19:1: D08 joint.name: is Plate, the name of an earlier [[joint]]; give each its own name
rules.toml:23:1: D13 joint.usd_per_foot: is not a key of the rules; write usd_per_ft if that is meant, or remove the key
rules.toml:24:1: D05 joint.weight_kip_per_ft: `20` is out of range; write a number 0 to 5
rules.toml:27:1: D08 vehicle.name: is hs20, the name of a built-in vehicle; give the vehicle a name of its own
rules.toml:28:1: D05 vehicle.axles_kip: `[8, 32, 0]` is out of range; write a number above 0 and up to 200
rules.toml:32:1: D06 vehicle.name: has a semicolon, which separates names in the crossings file; write the name without it
rules.toml:34:1: D12 vehicle.spacings_ft: has 2 distances for 2 axles; write one distance fewer than axles
rules.toml:38:1: D05 vehicle.axles_kip: `[]` has the wrong count of numbers; write 1 to 50 numbers, each above 0 and up to 200
rules.toml:39:1: D04 vehicle.spacings_ft: `14` is not a list of numbers; write numbers in square brackets, each above 0 and up to 100
rules.toml:40:1: D06 vehicle.source: `3` is not text; write text in double quotes";
    assert_eq!(refused(text).join("\n"), expected);
}

#[test]
fn what_is_not_toml_says_where() {
    for (text, place) in [
        ("[group]\ncamber_tolerance_in = 1.0 in", "2:23"),
        ("[group]\ncamber_tolerance_in = 1\ncamber_tolerance_in = 2", "3:1"),
        ("[group\n", "1:7"),
    ] {
        let found = refused(text);
        let expected = format!("rules.toml:{place}: D13 this is not valid TOML: ");
        assert!(found[0].starts_with(&expected), "{found:?}");
        assert!(found.iter().all(|message| !message.contains('\n')), "{found:?}");
    }
}

/// Every key of the built-in rules can be given alone, so every key is known to the reader.
#[test]
fn every_key_of_the_printed_rules_can_be_given_alone() {
    let mut count = 0;
    let mut table = String::new();
    // A list that goes on is indented.
    let whole = DEFAULT_RULES.replace(",\n    ", ", ");
    for line in whole.lines() {
        if line.starts_with("[[") {
            break;
        } else if line.starts_with('[') {
            table = line.to_owned();
        } else if line.starts_with(|c: char| c.is_ascii_lowercase()) {
            assert_eq!(taken(&format!("{table}\n{line}\n")), rules(None).unwrap(), "{line}");
            count += 1;
        }
    }
    assert!(count > 30, "{count} keys before the first list");
}

#[test]
fn points_are_nine_whole_numbers() {
    let points = |list: &str| refused(&format!("service.points = {list}"));
    let at = "rules.toml:1:9: D05 service.points";
    assert_eq!(
        points("[9, 8]"),
        [format!(
            "{at}: `[9, 8]` has the wrong count of numbers; write 9 whole numbers, each 1 to 100"
        )]
    );
    for last in ["0", "101"] {
        let list = format!("[9, 8, 7, 6, 5, 4, 3, 2, {last}]");
        let found = points(&list);
        assert!(found[0].ends_with("is out of range; write a whole number, 1 to 100"), "{found:?}");
    }
    assert_eq!(taken("service.points = [9, 9, 7, 6, 5, 4, 3, 2, 1]").service.points_of(2), 9);
}

const TRUCKLOAD: &str = "\
[[haul.truckload]]
cars = 2
each_at_most_lb = 24000
each_at_most_ft = 53
laid = 'stacked'
source = 'the hauler'
";

#[test]
fn truckloads_say_how_many_cars_go_on_a_trailer() {
    let found = taken(&format!("[haul]\nusd_per_mile = 7\n{TRUCKLOAD}"));
    assert_eq!(found.haul.usd_per_mile, UsdPerMile(7.0));
    let expected = Truckload {
        cars: 2,
        each_at_most_lb: Pounds(24_000.0),
        each_at_most_ft: Feet(53.0),
        laid: Laid::Stacked,
        source: "the hauler".to_owned(),
    };
    assert_eq!(found.haul.truckload, [expected]);
    // Of the trailers that take so many, the one that takes fewest says how.
    let three =
        "cars = 3\neach_at_most_lb = 16000\neach_at_most_ft = 53\nlaid = 'Stacked'\nsource = 'b'";
    let found = taken(&format!("[[haul.truckload]]\n{three}\n{TRUCKLOAD}"));
    let by = |cars| found.haul.truckload(cars).map(|rule| rule.cars);
    assert_eq!([by(2), by(3), by(4)], [Some(2), Some(3), None]);
    // Nobody says so in the built-in rules.
    assert_eq!(taken("").haul.truckload, []);
}

#[test]
fn truckloads_that_cannot_be_taken() {
    let at = "D05 haul.truckload";
    for (from, to, expected) in [
        ("cars = 2", "cars = 1", format!("2:1: {at}.cars: `1` is out of range; write a whole number, 2 to 6")),
        ("cars = 2", "cars = 7", format!("2:1: {at}.cars: `7` is out of range; write a whole number, 2 to 6")),
        ("lb = 24000", "lb = 0", format!("3:1: {at}.each_at_most_lb: `0` is out of range; write a number 5,000 to 300,000")),
        // Kips typed for pounds.
        ("lb = 24000", "lb = 24", format!("3:1: {at}.each_at_most_lb: `24` is out of range; write a number 5,000 to 300,000")),
        ("ft = 53", "ft = 0", format!("4:1: {at}.each_at_most_ft: `0` is out of range; write a number 20 to 200")),
        ("'stacked'", "'loose'", "5:1: D06 haul.truckload.laid: `'loose'` is not a word for this key; write stacked or end to end, in double quotes".to_owned()),
        ("source = 'the hauler'", "", "1:1: D10 haul.truckload.source: is missing; add the key to this [[haul.truckload]]".to_owned()),
        ("source", "sauce", "1:1: D10 haul.truckload.source: is missing; add the key to this [[haul.truckload]]\nrules.toml:6:1: D13 haul.truckload.sauce: is not a key of the rules; compare with the output of `spanyard rules`".to_owned()),
    ] {
        let text = TRUCKLOAD.replace(from, to);
        assert_eq!(refused(&text).join("\n"), format!("rules.toml:{expected}"), "{text}");
    }
    for (text, expected) in [
        (
            "[haul]\ntruckload = 2",
            "2:1: D13 haul.truckload: is a list of tables; write each under [[haul.truckload]]",
        ),
        (
            "[haul]\ntruckload = []",
            "2:1: D10 haul.truckload: is an empty list; write at least one [[haul.truckload]], or remove the key",
        ),
        (
            "[haul]\ntruckloads = []",
            "2:1: D13 haul.truckloads: is not a key of the rules; write truckload if that is meant, or remove the key",
        ),
        (
            "[[truckload]]\ncars = 2",
            "1:3: D13 truckload: is not a key of the rules; compare with the output of `spanyard rules`",
        ),
    ] {
        assert_eq!(refused(text), [format!("rules.toml:{expected}")], "{text}");
    }
}

#[test]
fn truckloads_that_contradict_each_other() {
    let other = |cars: u32, lb: u32, ft: u32, laid: &str| {
        let text = format!(
            "{TRUCKLOAD}[[haul.truckload]]\ncars = {cars}\neach_at_most_lb = {lb}\n\
             each_at_most_ft = {ft}\nlaid = '{laid}'\nsource = 'b'\n"
        );
        match rules(Some(&SourceText::new("rules.toml", text))) {
            Ok(_) => String::new(),
            Err(problems) => problems.iter().map(|p| format!("{p}\n")).collect(),
        }
    };
    let at = |line: u32, what: &str| format!("rules.toml:{line}:1: {what}\n");
    assert_eq!(other(3, 24_000, 53, "stacked"), "");
    assert_eq!(
        other(2, 16_000, 53, "stacked"),
        at(
            8,
            "D08 haul.truckload.cars: is 2, as in an earlier [[haul.truckload]]; write one table for each number"
        )
    );
    assert_eq!(
        other(3, 24_001, 53, "stacked"),
        at(
            9,
            "D12 haul.truckload.each_at_most_lb: allows 24001 to 3 cars, and 24000 to 2; give the greater number of cars no greater limit"
        )
    );
    assert_eq!(
        other(3, 24_000, 54, "stacked"),
        at(
            10,
            "D12 haul.truckload.each_at_most_ft: allows 54 to 3 cars, and 53 to 2; give the greater number of cars no greater limit"
        )
    );
    assert_eq!(
        other(3, 16_000, 40, "end to end"),
        at(
            11,
            "D12 haul.truckload.laid: is end to end, and stacked in an earlier [[haul.truckload]]; write one way for all"
        )
    );
}

#[test]
fn grants_name_funds_have_one_share_and_one_match() {
    let funds =
        "[[fund]]\nname = \"bridge grant\"\nusd = 1.0\n[[fund]]\nname = \"road levy\"\nusd = 2.0\n";
    let grant = |fund: &str, share: &str, rest: &str| {
        format!("[[grant]]\nfund = \"{fund}\"\nshare_pct = {share}\nmatch_fund = \"{rest}\"\n")
    };
    let sound = taken(&format!("{funds}{}", grant("bridge grant", "79.5", "road levy")));
    assert_eq!((sound.grant[0].share_pct, sound.fund.len()), (Percent(79.5), 2));
    for (grants, told) in [
        (
            grant("bridge grants", "80", "road levy"),
            "rules.toml:8:1: D09 grant.fund: is bridge grants, and no [[fund]] has that name; write bridge grant if that is meant, or add the [[fund]]",
        ),
        (
            grant("bridge grant", "80", "bridge grant"),
            "rules.toml:10:1: D12 grant.match_fund: is bridge grant, which pays a share only; name a fund that pays the rest in full",
        ),
        (
            grant("bridge grant", "80", "road levy") + &grant("bridge grant", "50", "road levy"),
            "rules.toml:12:1: D08 grant.fund: is bridge grant, which has a share already; state one share for each fund",
        ),
        (
            grant("bridge grant", "33.333", "road levy"),
            "rules.toml:9:1: D05 grant.share_pct: is 33.333, with more than two decimals; write whole hundredths of a per cent",
        ),
    ] {
        assert_eq!(refused(&format!("{funds}{grants}")), [told]);
    }
}
