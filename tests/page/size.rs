//! Size and speed of the page.

use std::time::{Duration, Instant};

use spanyard::model::inputs::CrossingIx;
use spanyard::model::plan::Fate;
use spanyard::report::page;

use super::county::{context, county, report};

#[test]
fn the_demonstrations_page_is_under_400_kb() {
    let text = page::plan(county(), &context(county())).unwrap();
    assert!(text.len() < 400_000, "{} bytes", text.len());
}

/// Three hundred crossings: the demonstration's, twenty-five times.
#[test]
fn three_hundred_crossings_are_under_7_5_mb_and_quick() {
    let small = county();
    let (mut inputs, mut plan) = (small.inputs.clone(), small.plan.clone());
    let (rows, fates) = (inputs.crossings.clone(), plan.crossings.clone());
    (inputs.crossings, plan.crossings) = (Vec::new(), Vec::new());
    for copy in 0..25 {
        for (row, fate) in rows.iter().zip(&fates) {
            let index = CrossingIx(inputs.crossings.len());
            let mut row = row.clone();
            row.id = format!("{}/{copy}", row.id);
            inputs.crossings.push(row);
            let mut fate = fate.clone();
            fate.crossing = index;
            match &mut fate.fate {
                Fate::Served(served) => {
                    served.decks.iter_mut().for_each(|deck| deck.site.crossing = index);
                }
                Fate::Unserved(unserved) => {
                    if let Some(miss) = &mut unserved.nearest {
                        miss.site.crossing = index;
                    }
                }
            }
            plan.crossings.push(fate);
        }
    }
    assert_eq!(plan.crossings.len(), 300);
    let large = report(inputs, plan);
    let context = context(&large);
    let start = Instant::now();
    let text = page::plan(&large, &context).unwrap();
    let took = start.elapsed();
    assert!(text.len() < 7_500_000, "{} bytes", text.len());
    // Two seconds as people build it; unoptimized code on a shared machine gets ten times that.
    let most = if cfg!(debug_assertions) { 20 } else { 2 };
    assert!(took < Duration::from_secs(most), "{took:?}");
}
