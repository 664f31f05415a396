//! Trends: against `SciPy`, on healthy vehicles and on drifting ones, and in whatever parts they are gathered.

use super::kendall::{kendall, slope};
use super::*;
use numerics::normal_quantile;
use proptest::prelude::*;

const REFERENCE: &str = include_str!("../../../../references/trends.json");

#[derive(serde::Deserialize)]
struct File {
    cases: Vec<Case>,
}

#[derive(serde::Deserialize)]
struct Case {
    figures: Vec<f64>,
    score: i64,
    rising: f64,
    falling: f64,
    slope: f64,
}

/// `references/trends.json`: `SciPy` 1.17.1.
#[test]
fn the_test_and_the_slope_are_those_of_scipy() {
    let file: File = serde_json::from_str(REFERENCE).unwrap();
    assert!(file.cases.len() >= 10);
    for case in file.cases {
        let own = kendall(&case.figures);
        let count = case.figures.len();
        assert_eq!(own.score, case.score, "{count}");
        // Both are written with all their digits; the sums differ in their order.
        assert!(
            (own.rising - case.rising).abs() < 1e-9,
            "{count}: {own:?} {}",
            case.rising
        );
        assert!(
            (own.falling - case.falling).abs() < 1e-9,
            "{count}: {own:?} {}",
            case.falling
        );
        assert!((slope(&case.figures) - case.slope).abs() < 1e-12, "{count}");
    }
}

/// Normal figures from a counter (`splitmix64`), the same on every machine.
struct Chance(u64);

impl Chance {
    fn normal(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^= mixed >> 31;
        normal_quantile(((mixed >> 11) as f64 + 0.5) / (1_u64 << 53) as f64)
    }
}

/// Share of vehicles whose test is clear enough for `rate`, each figure of a drive made of the last by `alike` and of chance, written in
/// steps of `step` deviations, with a drift of `drift` deviations from the first drive to the last.
fn share(drives: usize, alike: f64, step: f64, drift: f64, rate: f64, vehicles: usize) -> f64 {
    let mut chance = Chance((drives as u64) ^ alike.to_bits());
    let mut clear = 0;
    for _ in 0..vehicles {
        let named = Screened::ALL.iter().any(|what| {
            let mut level = chance.normal();
            let mut trend = Trend::default();
            for drive in 0..drives {
                let whole = level + drift * drive as f64 / (drives - 1) as f64;
                let figure = if step > 0.0 {
                    (whole / step).round() * step
                } else {
                    whole
                };
                trend.update(&format!("{drive}"), None, figure);
                level = alike * level + (1.0 - alike * alike).sqrt() * chance.normal();
            }
            let found = trend.finish(*what).unwrap();
            found.chance <= rate / 3.0
        });
        clear += usize::from(named);
    }
    clear as f64 / vehicles as f64
}

#[test]
fn of_healthy_vehicles_no_more_are_named_than_was_said() {
    let rate = 0.03;
    for (drives, vehicles) in [(10, 4_000), (12, 4_000), (30, 2_000), (100, 700)] {
        // Three deviations of a share counted on so many vehicles.
        let most = rate + 3.0 * (rate * (1.0 - rate) / vehicles as f64).sqrt();
        for step in [0.0, 0.5, 1.0] {
            let named = share(drives, 0.0, step, 0.0, rate, vehicles);
            println!("{drives} drives in steps of {step}: {named:.4} of healthy vehicles at {rate}");
            assert!(named <= most, "{drives} drives, steps of {step}: {named}");
        }
    }
}

#[test]
fn drives_that_resemble_the_last_name_few_more() {
    for (drives, alike, vehicles) in [
        (12, 0.3, 2_000),
        (30, 0.3, 2_000),
        (100, 0.3, 500),
        (30, 0.6, 2_000),
    ] {
        let named = share(drives, alike, 0.0, 0.0, 0.03, vehicles);
        println!("{drives} drives alike by {alike}: {named:.4} of healthy vehicles at 0.03");
        assert!(named <= 0.09, "{drives} drives alike by {alike}: {named}");
    }
}

#[test]
fn a_drift_is_found() {
    for (drives, drift) in [(12, 6.0), (30, 3.5), (100, 2.0)] {
        let named = share(drives, 0.0, 0.0, drift, 0.01, 300);
        println!("{drives} drives drifting by {drift} deviations: {named:.3} at 0.01");
        assert!(named > 0.8, "{drives} drives, {drift}: {named}");
    }
}

#[test]
fn a_clear_drift_that_does_not_matter_names_nobody() {
    let trend = |change: f64| {
        let mut trend = Trend::default();
        for drive in 0..20 {
            trend.update(
                &format!("drive {drive}"),
                None,
                14.2 + change * f64::from(drive) / 19.0,
            );
        }
        trend.finish(Screened::Charging).unwrap()
    };
    assert!(trend(-0.1).chance < 1e-6 && !trend(-0.1).is_named(0.01));
    assert!(trend(-0.5).is_named(0.01));
    assert!(trend(0.5).is_named(0.01), "too high a voltage is bad too");
}

#[test]
fn a_battery_that_cranks_better_is_not_named() {
    let mut trend = Trend::default();
    for drive in 0..20 {
        trend.update(&format!("{drive}"), None, 9.0 + 0.1 * f64::from(drive));
    }
    let drift = trend.finish(Screened::Cranking).unwrap();
    assert!(!drift.is_named(0.01), "{drift:?}");
}

#[test]
fn drives_follow_their_clock_or_else_their_numbers() {
    let gathered = |dated: bool| {
        let mut trend = Trend::default();
        for drive in [10, 2, 9, 1, 3, 8, 4, 7, 5, 6] {
            let began = dated.then(|| f64::from(100 - drive));
            trend.update(&format!("drive {drive}.csv"), began, f64::from(drive));
        }
        trend.finish(Screened::Charging).unwrap().figures
    };
    assert_eq!(
        gathered(false),
        [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0]
    );
    assert_eq!(
        gathered(true),
        [10.0, 9.0, 8.0, 7.0, 6.0, 5.0, 4.0, 3.0, 2.0, 1.0]
    );
}

proptest! {
    #[test]
    fn however_the_drives_are_shared_out_the_same_bits_come_out(
        figures in prop::collection::vec((0..200_u32, 9.0..15.0_f64), 10..60),
        parts in 1..8_usize,
    ) {
        let mut whole = Trend::default();
        let mut shared = vec![Trend::default(); parts];
        for (place, (day, figure)) in figures.iter().enumerate() {
            let name = format!("{place}");
            whole.update(&name, Some(f64::from(*day)), *figure);
            shared[place % parts].update(&name, Some(f64::from(*day)), *figure);
        }
        let mut merged = Trend::default();
        for part in shared.into_iter().rev() {
            merged.merge(part);
        }
        let (whole, merged) = (whole.finish(Screened::Charging), merged.finish(Screened::Charging));
        prop_assert_eq!(&whole, &merged);
        let bits = |drift: &Option<Drift>| drift.as_ref().map(|drift| drift.to.si().to_bits());
        prop_assert_eq!(bits(&whole), bits(&merged));
    }
}
