//! How many crossings are served.

use spanyard::choose::{Effort, choose, totals};
use spanyard::quantity::Percent;

use crate::testkit::planted::planted;

#[test]
fn as_many_are_served_as_are_known_to_fit() {
    // Any cost will do once service is proven.
    let effort = Effort { gap: Some(Percent(1_000.0)), ..Effort::default() };
    for seed in 1..=6 {
        let (market, most) = planted(40, 400, seed);
        let choice = choose(&market, &effort);
        assert_eq!(choice.crossings.iter().flatten().count(), most, "seed {seed}");
        assert!(choice.service, "seed {seed}");
        assert_eq!(totals(&market, &choice).map(|t| t.net), Some(choice.net), "seed {seed}");
    }
}
