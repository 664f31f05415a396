//! Exact posteriors of nets against published and independently computed values.
#![allow(clippy::unwrap_used, reason = "tests")]

mod published;

use belief::net::{BayesNet, NetError, NoisyOr, NoisyOrCase, NoisyTest};
use belief::sets::{FaultSet, Growth, Kept, Posterior, SetModel, grow};
use published::{Case, bayes_net, index, list, noisy_or_cases, number, numbers, reference};
use serde_json::Value;

/// The references give ten digits, so they are themselves off by up to 5e-11; the target is 1e-9.
const TEN_DIGITS: f64 = 1e-9;

fn check(what: &str, found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{what}: found {found}, expected {expected}"
    );
}

/// Lauritzen & Spiegelhalter, JRSS-B 50 (1988): the chest clinic net, four rows of evidence.
#[test]
fn asia_matches_three_independent_programs() {
    let asia = &reference("networks.json")["asia"];
    let net = bayes_net(&asia["nodes"]);
    let rows = list(&asia["rows"]);
    assert_eq!(rows.len(), 4);
    for row in rows {
        let evidence = named_evidence(&net, &row["evidence"]);
        let found = net.posteriors(&evidence).unwrap();
        check(
            &format!("P(e) of {row}"),
            found.ln_evidence.exp(),
            number(&row["p_evidence"]),
            TEN_DIGITS,
        );
        for (name, expected) in row["yes"].as_object().unwrap() {
            let found = found.yes[net.variable(name).unwrap()];
            check(&format!("{name} in {row}"), found, number(expected), TEN_DIGITS);
        }
        for (variable, yes) in evidence {
            check("a known variable", found.yes[variable], f64::from(yes), 0.0);
        }
    }
}

fn named_evidence(net: &BayesNet, evidence: &Value) -> Vec<(usize, bool)> {
    let pair = |(name, state): (&String, &Value)| (net.variable(name).unwrap(), index(state) == 1);
    evidence.as_object().unwrap().iter().map(pair).collect()
}

/// Six faults, five tests; values from enumeration, pyAgrum and pgmpy (see the file).
#[test]
fn vacuum_net_matches_three_independent_programs() {
    let vacuum = &reference("networks.json")["vacuum"];
    let net = vacuum_net(vacuum);
    for row in list(&vacuum["rows"]) {
        let readings = pairs(&row["readings"]);
        let found = net.posteriors(&readings).unwrap();
        check(
            &format!("P(e) of {row}"),
            found.ln_evidence.exp(),
            number(&row["p_evidence"]),
            TEN_DIGITS,
        );
        for (fault, expected) in numbers(&row["posterior"]).into_iter().enumerate() {
            check(
                &format!("fault {fault} in {row}"),
                found.marginals[fault],
                expected,
                TEN_DIGITS,
            );
        }
        for next in row["positive_next"].as_array().into_iter().flatten() {
            let found = net.predict(index(&next[0]), &readings).unwrap();
            check(&format!("prediction {next}"), found, number(&next[1]), TEN_DIGITS);
        }
    }
}

fn pairs(readings: &Value) -> Vec<(usize, bool)> {
    list(readings)
        .iter()
        .map(|r| (index(&r[0]), index(&r[1]) == 1))
        .collect()
}

fn vacuum_net(vacuum: &Value) -> NoisyOr {
    let test = |test: &Value| NoisyTest {
        leak: number(&test["leak"]),
        causes: list(&test["causes"])
            .iter()
            .map(|c| (index(&c[0]), number(&c[1])))
            .collect(),
    };
    NoisyOr::new(
        numbers(&vacuum["priors"]),
        list(&vacuum["tests"]).iter().map(test).collect(),
    )
    .unwrap()
}

/// Exact rational arithmetic is the reference. The sweep only adds positive terms, so it is held to a thousand times less than
/// the 1e-9 that quickscore in double precision misses on the case with nine bad readings (2.8e-9).
#[test]
fn thirty_faults_match_exact_rational_arithmetic() {
    let cases = noisy_or_cases();
    assert_eq!(cases.len(), 5);
    for case in cases {
        let found = case.net.posteriors(&case.readings).unwrap();
        // The reference's own rounding: a sum of some fifty logarithms near 10.
        check(
            &format!("{}: ln evidence", case.name),
            found.ln_evidence,
            case.ln_evidence,
            1e-12,
        );
        for (fault, expected) in case.posterior.iter().enumerate() {
            check(
                &format!("{}: fault {fault}", case.name),
                found.marginals[fault],
                *expected,
                1e-12,
            );
        }
    }
}

fn nine_bad_readings() -> Case {
    noisy_or_cases()
        .into_iter()
        .find(|case| case.bad_readings() == 9)
        .unwrap()
}

/// Cutting at pairs keeps 4.7 %, and the top marginals are off by up to 0.8.
#[test]
fn pairs_miss_most_of_the_evidence_of_nine_bad_readings() {
    let case = nine_bad_readings();
    let model = case.net.case(&case.readings).unwrap();
    let pairs = grow(&model, &Growth::pairs_only()).unwrap();
    assert_eq!(pairs.sets.len(), 1 + 30 + 435);
    assert!(exact(&pairs) < 0.05, "pairs keep {}", exact(&pairs));
    assert!(
        worst(&pairs, &case) > 0.8,
        "pairs would have served: {}",
        worst(&pairs, &case)
    );
}

/// All sets of at most two, three and four faults against a separate program (`kept_by_size` in the file, to 0.1 %).
#[test]
fn larger_sets_hold_the_evidence() {
    let case = nine_bad_readings();
    let model = case.net.case(&case.readings).unwrap();
    let shares = &reference("noisy_or_30x20.json")["kept_by_size"];
    for (max_faults, sets) in [(2, 466), (3, 4_526), (4, 31_931)] {
        let limits = Growth {
            least_gain: 0.0,
            max_faults,
            max_sets: usize::MAX,
            ..Growth::default()
        };
        let found = grow(&model, &limits).unwrap();
        assert_eq!(found.sets.len(), sets);
        check(
            &format!("kept by {max_faults}"),
            exact(&found),
            number(&shares[max_faults.to_string()]),
            0.0005,
        );
    }
}

/// The grown sets, in a tenth of the sets that all up to four faults would take. What is missed moves no marginal by more than
/// the share that is missing.
#[test]
fn grown_sets_recover_the_evidence() {
    for case in noisy_or_cases() {
        let model = case.net.case(&case.readings).unwrap();
        let grown = grow(&model, &Growth::default()).unwrap();
        let kept = exact(&grown);
        assert!(kept > 0.9996, "{}: kept {kept}", case.name);
        assert!(
            grown.sets.len() < 6_000,
            "{}: {} sets",
            case.name,
            grown.sets.len()
        );
        assert!(
            worst(&grown, &case) <= 1.0 - kept + 1e-12,
            "{}: off by {}",
            case.name,
            worst(&grown, &case)
        );
        assert!(grown.kept_at_least <= kept);
    }
}

/// The case as seen by someone who cannot compute the total evidence.
struct TotalUnknown<'a>(NoisyOrCase<'a>);

impl SetModel for TotalUnknown<'_> {
    fn fault_count(&self) -> usize {
        self.0.fault_count()
    }
    fn ln_prior(&self, set: &FaultSet) -> f64 {
        self.0.ln_prior(set)
    }
    fn ln_likelihoods(&self, sets: &[FaultSet]) -> Vec<f64> {
        self.0.ln_likelihoods(sets)
    }
    fn ln_likelihood_ceiling(&self) -> Option<f64> {
        self.0.ln_likelihood_ceiling()
    }
}

/// The estimate of what is missing may be too dark but not rosy: no less than a third of the truth, however far the growth
/// went. The factor 50 on the dark side is reached where next to nothing is missing. Neither is derived: they are what these cases keep to.
#[test]
fn the_estimate_of_what_is_missing_is_of_the_right_size() {
    for case in noisy_or_cases() {
        for (least_gain, max_sets) in [
            (1e-2, 20_000),
            (1e-3, 20_000),
            (1e-4, 20_000),
            (0.0, 1_500),
            (0.0, 8_000),
        ] {
            let limits = Growth {
                least_gain,
                max_sets,
                ..Growth::default()
            };
            let known = exact(&grow(&case.net.case(&case.readings).unwrap(), &limits).unwrap());
            let guessed = grow(&TotalUnknown(case.net.case(&case.readings).unwrap()), &limits).unwrap();
            let Kept::Estimate(estimate) = guessed.kept else {
                panic!("the total was hidden")
            };
            let ratio = (1.0 - estimate) / (1.0 - known);
            assert!(
                (0.3..50.0).contains(&ratio),
                "{} at {limits:?}: missing {} taken for {}",
                case.name,
                1.0 - known,
                1.0 - estimate
            );
            assert!(guessed.kept_at_least <= known);
        }
    }
}

/// Without a known total, too, cutting at pairs must not look safe.
#[test]
fn the_estimate_warns_of_pairs() {
    let case = nine_bad_readings();
    let model = TotalUnknown(case.net.case(&case.readings).unwrap());
    let pairs = grow(&model, &Growth::pairs_only()).unwrap();
    assert!(pairs.kept.share() < 0.1, "{:?}", pairs.kept);
}

fn exact(posterior: &Posterior) -> f64 {
    match posterior.kept {
        Kept::Exact(share) => share,
        Kept::Estimate(_) => panic!("the total evidence is known here"),
    }
}

fn worst(posterior: &Posterior, case: &Case) -> f64 {
    posterior
        .marginals
        .iter()
        .zip(&case.posterior)
        .map(|(a, b)| (a - b).abs())
        .fold(0.0, f64::max)
}

/// Thirty tests that all share all faults: no order of elimination keeps the tables small, and that is said at once.
#[test]
fn what_is_too_entangled_is_refused() {
    let all = NoisyTest {
        leak: 0.01,
        causes: (0..30).map(|fault| (fault, 0.5)).collect(),
    };
    let net = NoisyOr::new(vec![0.02; 30], vec![all; 30]).unwrap();
    let bad: Vec<(usize, bool)> = (0..30).map(|test| (test, true)).collect();
    assert_eq!(
        net.posteriors(&bad).unwrap_err(),
        NetError::TooWide { variables: 30 }
    );
    // Sets of faults still answer, and say how much they hold.
    let grown = grow(
        &net.case(&bad).unwrap(),
        &Growth {
            max_sets: 1_000,
            ..Growth::default()
        },
    )
    .unwrap();
    assert!(matches!(grown.kept, Kept::Estimate(_)));
}

#[test]
fn what_cannot_be_is_an_error() {
    let never = NoisyTest {
        leak: 0.0,
        causes: vec![(0, 0.5)],
    };
    let net = NoisyOr::new(
        vec![0.1, 0.0],
        vec![
            never.clone(),
            NoisyTest {
                leak: 0.0,
                causes: vec![(1, 0.9)],
            },
        ],
    )
    .unwrap();
    assert_eq!(net.posteriors(&[(1, true)]).unwrap_err(), NetError::Impossible);
    assert_eq!(
        net.posteriors(&[(0, true), (0, false)]).unwrap_err(),
        NetError::Contradiction { number: 0 }
    );
    assert_eq!(
        net.posteriors(&[(2, true)]).unwrap_err(),
        NetError::NoSuch {
            what: "test",
            number: 2,
            count: 2
        }
    );
    assert!(grow(&net.case(&[(1, true)]).unwrap(), &Growth::everything()).is_none());
    assert!(matches!(
        NoisyOr::new(vec![1.0], vec![never.clone()]),
        Err(NetError::NotAProbability { .. })
    ));
    assert!(matches!(
        NoisyOr::new(vec![], vec![never]),
        Err(NetError::NoSuch { .. })
    ));

    let mut net = BayesNet::new();
    let a = net.add("a", &[], &[0.0]).unwrap();
    let b = net.add("b", &[a], &[0.0, 1.0]).unwrap();
    assert_eq!(net.posteriors(&[(b, true)]).unwrap_err(), NetError::Impossible);
    assert_eq!(
        net.add("c", &[7], &[0.1, 0.2]).unwrap_err(),
        NetError::NoSuch {
            what: "parent",
            number: 7,
            count: 2
        }
    );
    assert_eq!(
        net.add("c", &[a], &[0.1]).unwrap_err(),
        NetError::TableSize {
            name: "c".into(),
            expected: 2,
            found: 1
        }
    );
    assert_eq!(
        net.add("c", &[a, a], &[0.1; 4]).unwrap_err(),
        NetError::Twice {
            what: "parent",
            number: a
        }
    );
}
