//! Fitted lives beside published ones (`references/lifetimes.json`), and the laws of fitting.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on fails")]

use life::{
    ClassCount, FitError, Fitted, Observed, Prior, Weibull, fit, fit_classes, fit_with_prior, scale_at_least,
};
use proptest::prelude::*;
use serde_json::Value;

fn references() -> Value {
    serde_json::from_str(include_str!("../../../references/lifetimes.json")).unwrap()
}

fn floats(value: &Value) -> Vec<f64> {
    serde_json::from_value(value.clone()).unwrap()
}

fn lives(failed: &[f64], good: &[f64]) -> Vec<Observed> {
    let with = |failed: bool| move |&at: &f64| Observed { at, failed };
    failed
        .iter()
        .map(with(true))
        .chain(good.iter().map(with(false)))
        .collect()
}

#[track_caller]
fn close(what: &str, found: f64, expected: &Value, tolerance: f64) {
    let expected = expected.as_f64().unwrap();
    assert!(
        (found / expected - 1.0).abs() < tolerance,
        "{what}: {found} instead of {expected}"
    );
}

#[test]
fn fits_are_those_of_two_libraries() {
    for set in references()["sets"].as_array().unwrap() {
        let name = set["name"].as_str().unwrap();
        let fitted = fit(&lives(&floats(&set["failed"]), &floats(&set["censored"]))).unwrap();
        let (first, second) = (&set["computed"], &set["other"]);
        // The libraries stop a little before the top: they differ from each other by up to 2e-6.
        close(name, fitted.weibull.scale, &first["scale"], 3e-6);
        close(name, fitted.weibull.shape, &first["shape"], 3e-6);
        close(name, fitted.log_likelihood, &first["log_likelihood"], 1e-9);
        close(name, fitted.scale_error, &first["scale_error"], 1e-5);
        close(name, fitted.shape_error, &first["shape_error"], 1e-5);
        close(name, fitted.scale_range.0, &second["scale_range"][0], 1e-5);
        close(name, fitted.scale_range.1, &second["scale_range"][1], 1e-5);
        close(name, fitted.shape_range.0, &second["shape_range"][0], 1e-5);
        close(name, fitted.shape_range.1, &second["shape_range"][1], 1e-5);
    }
}

/// NIST/SEMATECH e-Handbook 8.4.1.3: scale 606.5280, shape 1.7208, log-likelihood 75.135 (sign dropped).
#[test]
fn the_handbooks_example_to_its_digits() {
    let references = references();
    let set = &references["sets"][0];
    let printed = |name: &str| -> f64 { set["printed"][name].as_str().unwrap().parse().unwrap() };
    let fitted = fit(&lives(&floats(&set["failed"]), &floats(&set["censored"]))).unwrap();
    // The handbook's own search stopped 4e-4 above the top of the likelihood in the scale.
    assert!(
        (fitted.weibull.scale - printed("scale")).abs() < 2e-3,
        "{fitted:?}"
    );
    assert!(
        (fitted.weibull.shape - printed("shape")).abs() < 1e-4,
        "{fitted:?}"
    );
    // 75.1346 is printed as 75.135.
    assert!((-fitted.log_likelihood - printed("log_likelihood")).abs() < 5e-4);
}

#[test]
fn lives_known_to_a_class_only() {
    for set in references()["classes"].as_array().unwrap() {
        let (edges, failed) = (floats(&set["edges"]), floats(&set["failed"]));
        let good = floats(&set["censored"]);
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "counts in a file"
        )]
        let mut classes: Vec<ClassCount> = failed
            .iter()
            .zip(edges.windows(2))
            .map(|(&failed, ends)| ClassCount {
                from: ends[0],
                to: ends[1],
                failed: failed as u64,
                good: 0,
            })
            .collect();
        // Survivors exactly at 500 stand in the middle of a thin class.
        if let Some(&at) = good.first() {
            classes.push(ClassCount {
                from: at * (1.0 - 1e-9),
                to: at * (1.0 + 1e-9),
                failed: 0,
                good: good.len() as u64,
            });
        }
        let fitted = fit_classes(&classes, None).unwrap();
        let name = set["name"].as_str().unwrap();
        close(name, fitted.weibull.scale, &set["scale"], 3e-6);
        close(name, fitted.weibull.shape, &set["shape"], 3e-6);
        close(name, fitted.log_likelihood, &set["log_likelihood"], 1e-8);
    }
}

/// Lives drawn from a Weibull distribution by its quantiles at the given shares, looked at until `until`.
fn drawn(weibull: &Weibull, shares: &[f64], until: f64) -> Vec<Observed> {
    let life = |&share: &f64| {
        let at = weibull.scale * (-(-share).ln_1p()).powf(1.0 / weibull.shape);
        Observed {
            at: at.min(until),
            failed: at <= until,
        }
    };
    shares.iter().map(life).collect()
}

/// Lives in geometric classes, `each` to a doubling.
fn classed(lives: &[Observed], each: f64) -> Vec<ClassCount> {
    let class = |life: &Observed| {
        let number = (each * life.at.log2()).floor();
        ClassCount {
            from: (number / each).exp2(),
            to: ((number + 1.0) / each).exp2(),
            failed: u64::from(life.failed),
            good: u64::from(!life.failed),
        }
    };
    lives.iter().map(class).collect()
}

fn apart(a: &Fitted, b: &Fitted) -> f64 {
    let ln = |a: f64, b: f64| (a / b).ln().abs();
    ln(a.weibull.scale, b.weibull.scale).max(ln(a.weibull.shape, b.weibull.shape))
}

proptest! {
    /// Kilometres or miles: the same life.
    #[test]
    fn the_unit_does_not_matter(
        shares in prop::collection::vec(0.001..0.999, 5..40),
        shape in 0.5..5.0,
        unit in prop::sample::select(&[1e-6, 0.621_371, 86_400.0, 1e9][..]),
    ) {
        let lives = drawn(&Weibull { scale: 120_000.0, shape }, &shares, 150_000.0);
        prop_assume!(lives.iter().filter(|life| life.failed).count() >= 3);
        let scaled: Vec<Observed> = lives.iter().map(|life| Observed { at: life.at * unit, ..*life }).collect();
        let (here, there) = (fit(&lives).unwrap(), fit(&scaled).unwrap());
        prop_assert!((there.weibull.scale / unit / here.weibull.scale - 1.0).abs() < 1e-7);
        prop_assert!((there.weibull.shape / here.weibull.shape - 1.0).abs() < 1e-7);
        prop_assert!((there.scale_error / unit / here.scale_error - 1.0).abs() < 1e-5);
    }

    /// Finer classes lose less, and in the end nothing.
    #[test]
    fn fine_classes_tend_to_the_exact_lives(within in prop::collection::vec(0.05..0.95, 40), shape in 0.7..4.0) {
        // One life in each fortieth of the distribution: a sample as a shop would meet it, none heaped in one place.
        let shares: Vec<f64> = within.iter().zip(0u32..).map(|(part, i)| (f64::from(i) + part) / 40.0).collect();
        let lives = drawn(&Weibull { scale: 120_000.0, shape }, &shares, 200_000.0);
        let exact = fit(&lives).unwrap();
        let error = |each: f64| apart(&fit_classes(&classed(&lives, each), None).unwrap(), &exact);
        prop_assert!(error(4.0) < 0.08, "{}", error(4.0));
        prop_assert!(error(512.0) < 1e-3, "{}", error(512.0));
        prop_assert!(error(65_536.0) < 1e-5, "{}", error(65_536.0));
    }

    /// Whatever the lives, the answer is a finite fit or a word.
    #[test]
    fn odd_lives_are_answered(
        lives in prop::collection::vec(
            (prop_oneof![Just(0.0), Just(f64::NAN), Just(-1.0), Just(1e-300), Just(1e300), 1.0..1e6], any::<bool>()),
            0..8,
        ),
        with_prior: bool,
    ) {
        let lives: Vec<Observed> = lives.into_iter().map(|(at, failed)| Observed { at, failed }).collect();
        let prior = Prior { weibull: Weibull { scale: 1e5, shape: 1.5 }, failures: 10.0 };
        let answer = if with_prior { fit_with_prior(&lives, &prior) } else { fit(&lives) };
        if let Ok(fitted) = answer {
            prop_assert!(Weibull::new(fitted.weibull.scale, fitted.weibull.shape).is_some());
            prop_assert!(fitted.scale_error.is_finite() && fitted.log_likelihood.is_finite());
        }
    }
}

#[test]
fn what_gives_no_fit_is_said() {
    assert_eq!(fit(&[]), Err(FitError::Empty));
    assert_eq!(
        fit(&lives(&[], &[5.0, 6.0])),
        Err(FitError::NoFailures { lives: 2 })
    );
    assert_eq!(fit(&lives(&[7.0, 7.0], &[7.0])), Err(FitError::NoSpread));
    assert_eq!(
        fit(&lives(&[7.0, 0.0], &[])),
        Err(FitError::Life { index: 1, found: 0.0 })
    );
    assert!(matches!(
        fit(&lives(&[f64::NAN], &[])),
        Err(FitError::Life { index: 0, .. })
    ));
    let prior = Prior {
        weibull: Weibull {
            scale: 1e5,
            shape: 0.0,
        },
        failures: 10.0,
    };
    assert!(matches!(fit_with_prior(&[], &prior), Err(FitError::Prior { .. })));
    let class = ClassCount {
        from: 3.0,
        to: 2.0,
        failed: 1,
        good: 0,
    };
    assert!(matches!(
        fit_classes(&[class], None),
        Err(FitError::Class { index: 0, .. })
    ));
}

const SHIPPED: Prior = Prior {
    weibull: Weibull {
        scale: 150_000.0,
        shape: 2.0,
    },
    failures: 10.0,
};

/// Without any job the shipped figures stand; three early failures move them a little; three hundred rule.
#[test]
fn a_prior_gives_way_to_many_lives_only() {
    let nothing = fit_with_prior(&[], &SHIPPED).unwrap().weibull;
    assert!((nothing.scale - 150_000.0).abs() < 1e-3 && (nothing.shape - 2.0).abs() < 1e-8);
    let truth = Weibull {
        scale: 60_000.0,
        shape: 1.2,
    };
    let after = |jobs: u32| {
        let shares: Vec<f64> = (0..jobs)
            .map(|i| (f64::from(i) + 0.5) / f64::from(jobs))
            .collect();
        fit_with_prior(&drawn(&truth, &shares, f64::INFINITY), &SHIPPED)
            .unwrap()
            .weibull
    };
    let (three, many) = (after(3), after(300));
    assert!(three.scale > 110_000.0 && three.scale < 150_000.0, "{three:?}");
    assert!(
        (many.scale / 60_000.0 - 1.0).abs() < 0.1 && (many.shape - 1.2).abs() < 0.1,
        "{many:?}"
    );
}

/// Parts that all still work at a long distance speak for a longer life, even without a failure.
#[test]
fn no_failure_with_a_prior_lengthens_the_life() {
    let fitted = fit_with_prior(&lives(&[], &[200_000.0; 20]), &SHIPPED).unwrap();
    assert!(fitted.weibull.scale > 200_000.0, "{fitted:?}");
}

/// No failure in 3 lives of 100: with failures at random, total time over −ln 0.05 (the rule of three, worked by hand).
#[test]
fn a_bound_where_nothing_failed() {
    let bound = scale_at_least(&lives(&[], &[100.0; 3]), 1.0).unwrap();
    assert!((bound - 300.0 / 2.995_732_273_553_991).abs() < 1e-9, "{bound}");
    assert_eq!(scale_at_least(&[], 1.0), None);
    assert_eq!(scale_at_least(&lives(&[], &[100.0]), f64::NAN), None);
}

/// A class whose end is open, and lives within the first one.
#[test]
fn the_first_and_the_last_class() {
    let class = |from, to, failed, good| ClassCount {
        from,
        to,
        failed,
        good,
    };
    let classes = [
        class(0.0, 100.0, 2, 1),
        class(100.0, 200.0, 5, 2),
        class(200.0, f64::INFINITY, 3, 4),
    ];
    let fitted = fit_classes(&classes, None).unwrap();
    // Given the shape, the fitted shares lie near the counts: 2 of 17 below 100, 7 failed below 200.
    assert!(
        fitted.weibull.survival(100.0) > 0.8 && fitted.weibull.survival(200.0) < 0.65,
        "{fitted:?}"
    );
}
