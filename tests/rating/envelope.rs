//! Property: the exact envelope is never below a fine brute force and never above it by more than
//! what the brute force's steps can miss.

use proptest::prelude::*;
use spanyard::quantity::{Feet, Kips};
use spanyard::rate::envelope;
use spanyard::rate::train::{Spacing, Train};

/// Moment at `section` and reaction at the left bearing with the train's first axle at `front`.
fn brute(loads: &[f64], offsets: &[f64], front: f64, span: f64, section: f64) -> (f64, f64) {
    let (mut reaction, mut before) = (0.0, 0.0);
    for (load, offset) in loads.iter().zip(offsets) {
        let place = front + offset;
        if (0.0..=span).contains(&place) {
            reaction += load * (span - place) / span;
            before += load * (section - place).max(0.0);
        }
    }
    (reaction * section - before, reaction)
}

fn deflection(loads: &[f64], offsets: &[f64], front: f64, span: f64) -> f64 {
    let at = |place: f64| {
        let a = place.min(span - place).max(0.0);
        a * (3.0 * span * span - 4.0 * a * a) / 48.0
    };
    loads.iter().zip(offsets).map(|(load, offset)| load * at(front + offset)).sum()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    #[test]
    fn exact_against_brute_force(
        loads in prop::collection::vec(2.0..40.0_f64, 1..7),
        gaps in prop::collection::vec(3.0..30.0_f64, 6),
        span in 8.0..120.0_f64,
        part in 0.02..0.98_f64,
    ) {
        let gaps = &gaps[..loads.len() - 1];
        let mut offsets = vec![0.0];
        for gap in gaps {
            offsets.push(offsets[offsets.len() - 1] + gap);
        }
        let kips: Vec<_> = loads.iter().map(|&k| Kips(k)).collect();
        let spacings: Vec<_> = gaps.iter().map(|&g| Spacing::fixed(Feet(g))).collect();
        let train = Train::new("truck", &kips, &spacings).unwrap();
        let exact = envelope::max_moment(&train, Feet(span)).unwrap();
        let section = part * span;
        let exact_at = envelope::moment_at(&train, Feet(span), Feet(section)).unwrap().0;
        let exact_shear = envelope::end_shear(&train, Feet(span), Feet(0.0)).unwrap().shear.0;
        let exact_deflection = envelope::max_midspan_deflection(&train, Feet(span)).unwrap();
        let (exact_deflection, bent_at) = (exact_deflection.stiffness_times, exact_deflection.front.0);

        let total = offsets[offsets.len() - 1];
        let steps = 3000;
        let step = (span + total) / f64::from(steps);
        let (mut most, mut most_at, mut most_shear, mut most_deflection) = (0.0_f64, 0.0_f64, 0.0_f64, 0.0_f64);
        for i in 0..=steps {
            let front = -total + f64::from(i) * step;
            // At a fixed position the moment is greatest under some axle.
            for offset in &offsets {
                let under = front + offset;
                if (0.0..=span).contains(&under) {
                    most = most.max(brute(&loads, &offsets, front, span, under).0);
                }
            }
            for x in [section, span - section] {
                most_at = most_at.max(brute(&loads, &offsets, front, span, x).0);
            }
            let left = brute(&loads, &offsets, front, span, 0.0).1;
            let on: f64 = loads.iter().zip(&offsets)
                .filter(|(_, o)| (0.0..=span).contains(&(front + **o))).map(|(k, _)| k).sum();
            most_shear = most_shear.max(left).max(on - left);
            most_deflection = most_deflection.max(deflection(&loads, &offsets, front, span));
        }
        let noise = 1e-9 * exact.moment.0.max(1.0);
        prop_assert!(most <= exact.moment.0 + noise);
        prop_assert!(most_at <= exact_at + noise);
        prop_assert!(most_shear <= exact_shear + 1e-9 * exact_shear);
        prop_assert!(most_deflection <= exact_deflection * (1.0 + 1e-9));
        // One step changes a moment by at most the gross load times the step, and so on.
        let gross: f64 = loads.iter().sum();
        prop_assert!(exact.moment.0 <= most + gross * step);
        prop_assert!(exact_at <= most_at + gross * step);
        prop_assert!(exact_shear <= most_shear + gross * step / span);
        prop_assert!(exact_deflection <= most_deflection + gross * step * span * span / 16.0);
        // The peak's own position gives its moment.
        let front = exact.section.0 - offsets[exact.axle];
        prop_assert!((brute(&loads, &offsets, front, span, exact.section.0).0 - exact.moment.0).abs() <= noise);
        let bent = deflection(&loads, &offsets, bent_at, span);
        prop_assert!((bent - exact_deflection).abs() <= 1e-9 * exact_deflection);
        // Turned round nothing changes.
        let back = envelope::max_moment(&train.reversed(), Feet(span)).unwrap().moment.0;
        prop_assert!((back - exact.moment.0).abs() <= noise);
    }
}
