//! Shares, minutes and factors: three jobs do not overturn what is shipped, three hundred do.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on fails")]

use life::{
    BadFromNew, FACTORS, FactorError, KindSums, Lesson, MinutesPrior, SHARE_STRENGTH, ShareError, Spent,
    Sums, UsualRate, Weibull, factor, minutes, own_record, shares,
};
use proptest::prelude::*;
use quantity::Minutes;
use std::collections::BTreeMap;

const SHIPPED: [(&str, f64); 3] = [("hose/split", 6.0), ("valve/stuck", 3.0), ("pump/worn", 1.0)];

fn counts(of: &[(&str, u64)]) -> BTreeMap<String, u64> {
    of.iter().map(|&(id, times)| (id.to_owned(), times)).collect()
}

#[test]
fn three_jobs_do_not_overturn_shipped_shares_and_three_hundred_do() {
    let none = shares(&SHIPPED, &BTreeMap::new(), SHARE_STRENGTH).unwrap();
    for (share, shipped) in none.iter().zip([0.6, 0.3, 0.1]) {
        assert!((share.mean - shipped).abs() < 1e-12);
    }
    let three = shares(&SHIPPED, &counts(&[("pump/worn", 3)]), SHARE_STRENGTH).unwrap();
    // (3 + 3) / 33, by hand.
    assert!((three[2].mean - 6.0 / 33.0).abs() < 1e-12);
    assert!(three[0].mean > three[1].mean && three[1].mean > three[2].mean);
    let many = shares(&SHIPPED, &counts(&[("pump/worn", 300)]), SHARE_STRENGTH).unwrap();
    assert!(
        (many[2].mean - 303.0 / 330.0).abs() < 1e-12 && many[2].low > 0.88,
        "{many:?}"
    );
    assert_eq!(many[2].seen, 300);
}

#[test]
fn a_cause_that_is_not_shipped_takes_nothing() {
    let found = shares(&SHIPPED, &counts(&[("gone/lost", 1000)]), 30.0).unwrap();
    assert!((found[0].mean - 0.6).abs() < 1e-12);
    let one = shares(&[("hose/split", 2.0)], &BTreeMap::new(), 30.0).unwrap();
    assert!((one[0].mean - 1.0).abs() < 1e-12 && (one[0].low - 1.0).abs() < 1e-12);
}

#[test]
fn shipped_shares_that_cannot_be() {
    let none = BTreeMap::new();
    assert_eq!(shares(&[], &none, 30.0), Err(ShareError::Nothing));
    assert_eq!(shares(&[("a/b", 0.0)], &none, 30.0), Err(ShareError::Nothing));
    assert!(matches!(
        shares(&[("a/b", f64::NAN)], &none, 30.0),
        Err(ShareError::Weight { .. })
    ));
    assert!(matches!(
        shares(&[("a/b", 1.0), ("a/b", 1.0)], &none, 30.0),
        Err(ShareError::Twice { .. })
    ));
    assert!(matches!(
        shares(&SHIPPED, &none, 0.0),
        Err(ShareError::Strength { .. })
    ));
}

proptest! {
    /// Shares sum to one, each within its range, and more of one cause never lowers it.
    #[test]
    fn shares_are_shares(
        weights in prop::collection::vec(1e-6..1e6, 1..9),
        seen in prop::collection::vec(0u64..5000, 9),
        strength in 0.5..500.0,
    ) {
        let ids: Vec<String> = (0..weights.len()).map(|i| format!("part{i}/worn")).collect();
        let shipped: Vec<(&str, f64)> = ids.iter().map(String::as_str).zip(weights.iter().copied()).collect();
        let mut found: BTreeMap<String, u64> = ids.iter().cloned().zip(seen).collect();
        let all = shares(&shipped, &found, strength).unwrap();
        prop_assert!((all.iter().map(|share| share.mean).sum::<f64>() - 1.0).abs() < 1e-12);
        for share in &all {
            prop_assert!((0.0..=1.0).contains(&share.mean) && share.low <= share.high, "{:?}", share);
        }
        *found.get_mut(&ids[0]).unwrap() += 10;
        let more = shares(&shipped, &found, strength).unwrap();
        prop_assert!(more[0].mean >= all[0].mean - 1e-12);
    }
}

fn spent(method: &str, times: u32, minutes: f64) -> Sums {
    let mut sums = Sums::default();
    for _ in 0..times {
        let checks = vec![Spent {
            check: format!("{method}:hose2@idle"),
            method: method.to_owned(),
            minutes,
        }];
        let lesson = Lesson {
            circuit: "booster".into(),
            checks,
            ..Lesson::default()
        };
        sums.add(&lesson).unwrap();
    }
    sums
}

#[test]
fn minutes_follow_the_shop_slowly_then_surely() {
    let prior = MinutesPrior::from(Minutes::new(4.0));
    let at = |times| minutes(&prior, &spent("tee", times, 16.0).methods["tee"]).unwrap();
    let (three, many) = (at(3), at(300));
    // Weight 3 of 11 on ln 16, by hand: 4 · 4^(3/11).
    assert!((three.typical.minutes() - 4.0 * 4f64.powf(3.0 / 11.0)).abs() < 1e-5);
    assert!(three.typical.minutes() < 6.0 && many.typical.minutes() > 15.0);
    // Three hundred checks that took the same leave little room; three leave much.
    assert!(
        many.low.minutes() > 10.0 && many.high.minutes() < 24.0,
        "{many:?}"
    );
    assert!(
        three.low.minutes() < 2.5 && three.high.minutes() > 13.0,
        "{three:?}"
    );
    let none = minutes(&prior, &life::Durations::default()).unwrap();
    assert!((none.typical.minutes() - 4.0).abs() < 1e-12 && none.seen == 0);
    assert!(
        minutes(
            &MinutesPrior::from(Minutes::new(0.0)),
            &life::Durations::default()
        )
        .is_err()
    );
}

#[test]
fn parts_bad_from_new() {
    let prior = BadFromNew {
        share: 0.02,
        strength: 100.0,
    };
    let after = |fitted, bad_from_new| {
        let sums = KindSums {
            fitted,
            bad_from_new,
            ..KindSums::default()
        };
        prior.after(&sums).unwrap()
    };
    // (2 + 1) / (100 + 3) and (2 + 60) / (100 + 300), by hand.
    assert!((after(3, 1).mean - 3.0 / 103.0).abs() < 1e-12);
    assert!((after(300, 60).mean - 62.0 / 400.0).abs() < 1e-12);
    assert!(after(0, 0).low < 0.02 && after(0, 0).high > 0.02);
    let odd = BadFromNew {
        share: 1.0,
        strength: 9.0,
    };
    assert!(odd.after(&KindSums::default()).is_err());
}

/// Failures at random know no age; wear grows with it; early failures fade.
#[test]
fn a_factor_by_distance() {
    let life = |shape| Weibull { scale: 1e5, shape };
    for at in [0.0, 1.0, 1e5, 1e9] {
        assert!((factor(&life(1.0), at).unwrap() - 1.0).abs() < 1e-12);
    }
    // Shape 2: 2 · x · Γ(1.5) = 1.772454 at the scale itself; Γ(1.5) = √π/2 (Abramowitz and Stegun 6.1.9).
    assert!((factor(&life(2.0), 1e5).unwrap() - std::f64::consts::PI.sqrt()).abs() < 1e-9);
    assert!(factor(&life(3.0), 1e4).unwrap() < factor(&life(3.0), 2e5).unwrap());
    assert!(factor(&life(0.6), 1e3).unwrap() > 1.0);
    for shape in [0.2, 0.5, 3.0, 40.0] {
        for at in [0.0, 1e-9, 1e4, 1e12] {
            let factor = factor(&life(shape), at).unwrap();
            assert!((FACTORS.0..=FACTORS.1).contains(&factor), "{factor}");
        }
    }
    assert!(matches!(factor(&life(2.0), -1.0), Err(FactorError::At { .. })));
    assert!(matches!(
        factor(&life(f64::NAN), 1.0),
        Err(FactorError::NotPositive { .. })
    ));
}

/// Replaced twice in 400,000 km where one in 800,000 is usual: (2 + 2) / (2 + 0.5), by hand.
#[test]
fn a_vehicle_with_a_record_of_its_own() {
    let usual = UsualRate {
        every_km: 800_000.0,
        strength: 2.0,
    };
    assert!((own_record(&usual, 2, 400_000.0).unwrap() - 1.6).abs() < 1e-12);
    assert!((own_record(&usual, 0, 0.0).unwrap() - 1.0).abs() < 1e-12);
    assert!(own_record(&usual, 0, 800_000.0).unwrap() < 1.0);
    assert!((own_record(&usual, 1000, 0.0).unwrap() - 10.0).abs() < 1e-12);
    assert!(own_record(&usual, 1, f64::INFINITY).is_err());
}
