//! Laws that hold for every net and every set of readings.
#![allow(clippy::unwrap_used, reason = "tests")]

use belief::net::{BayesNet, NoisyOr, NoisyTest};
use belief::sets::{Growth, Kept, entropy, expected_gain, grow};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::subsequence;

/// Sums of at most a few thousand doubles below one: rounding stays far below this.
const ROUNDING: f64 = 1e-12;

fn close(a: f64, b: f64, tolerance: f64) -> Result<(), TestCaseError> {
    prop_assert!((a - b).abs() <= tolerance, "{a} and {b}");
    Ok(())
}

fn all_close(a: &[f64], b: &[f64], tolerance: f64) -> Result<(), TestCaseError> {
    prop_assert_eq!(a.len(), b.len());
    a.iter().zip(b).try_for_each(|(a, b)| close(*a, *b, tolerance))
}

const FAULTS: usize = 7;

fn any_test() -> impl Strategy<Value = NoisyTest> {
    let causes = subsequence((0..FAULTS).collect::<Vec<_>>(), 0..=FAULTS);
    (0.001..0.3, causes, vec(0.05..0.999, FAULTS)).prop_map(
        |(leak, faults, q): (f64, Vec<usize>, Vec<f64>)| NoisyTest {
            leak,
            causes: faults.into_iter().zip(q).collect(),
        },
    )
}

/// A net of seven faults and up to six tests, some of them read.
fn any_case() -> impl Strategy<Value = (NoisyOr, Vec<(usize, bool)>)> {
    let read = prop::option::weighted(0.85, any::<bool>());
    let tests = vec((any_test(), read), 0..=6);
    (vec(0.0..0.5, FAULTS), tests).prop_map(|(priors, tests)| {
        let readings = tests
            .iter()
            .enumerate()
            .filter_map(|(i, (_, read))| Some((i, (*read)?)))
            .collect();
        (
            NoisyOr::new(priors, tests.into_iter().map(|(test, _)| test).collect()).unwrap(),
            readings,
        )
    })
}

/// A table net of six variables, up to three parents each, entries sometimes 0 or 1.
fn any_tables() -> impl Strategy<Value = Vec<(Vec<usize>, Vec<f64>)>> {
    let entry = || prop_oneof![8 => 0.0..=1.0, 1 => Just(0.0), 1 => Just(1.0)];
    let node = move |number: usize| {
        subsequence((0..number).collect::<Vec<_>>(), 0..=number.min(3))
            .prop_flat_map(move |parents| (Just(parents.clone()), vec(entry(), 1 << parents.len())))
    };
    (node(0), node(1), node(2), node(3), node(4), node(5))
        .prop_map(|(a, b, c, d, e, f)| vec![a, b, c, d, e, f])
}

/// Every joint state in turn: the plainest way to the same posteriors.
fn enumerate(tables: &[(Vec<usize>, Vec<f64>)], evidence: &[(usize, bool)]) -> (f64, Vec<f64>) {
    let (mut total, mut yes) = (0.0, vec![0.0; tables.len()]);
    for world in 0..1_usize << tables.len() {
        let state = |v: usize| world >> v & 1 == 1;
        if evidence.iter().any(|&(v, known)| state(v) != known) {
            continue;
        }
        let factor = |(v, (parents, table)): (usize, &(Vec<usize>, Vec<f64>))| {
            let p = table[parents
                .iter()
                .fold(0, |row, &parent| row * 2 + usize::from(state(parent)))];
            if state(v) { p } else { 1.0 - p }
        };
        let p: f64 = tables.iter().enumerate().map(factor).product();
        total += p;
        (0..tables.len()).filter(|&v| state(v)).for_each(|v| yes[v] += p);
    }
    let yes = yes.into_iter().map(|y| y / total).collect();
    (total, yes)
}

proptest! {
    /// The sweep and the listing of all 128 sets share no code but the priors.
    #[test]
    fn the_sweep_equals_all_sets((net, readings) in any_case()) {
        let swept = net.posteriors(&readings).unwrap();
        let listed = grow(&net.case(&readings).unwrap(), &Growth::everything()).unwrap();
        prop_assert_eq!(listed.sets.len(), 1 << FAULTS);
        close(swept.ln_evidence, listed.ln_evidence_kept, ROUNDING)?;
        close(net.ln_evidence(&readings).unwrap(), swept.ln_evidence, 0.0)?;
        all_close(&swept.marginals, &listed.marginals, ROUNDING)?;
    }

    #[test]
    fn probabilities_are_probabilities((net, readings) in any_case(), max_sets in 1_usize..200) {
        let limits = Growth { max_sets, first_round: 2, ..Growth::default() };
        let found = grow(&net.case(&readings).unwrap(), &limits).unwrap();
        close(found.sets.iter().map(|(_, p)| p).sum(), 1.0, ROUNDING)?;
        prop_assert!(found.sets.windows(2).all(|w| w[0].1 >= w[1].1));
        prop_assert!(found.sets.iter().map(|(_, p)| p).chain(&found.marginals).all(|p| (0.0..=1.0).contains(p)));
        prop_assert!(net.posteriors(&readings).unwrap().marginals.iter().all(|p| (0.0..=1.0).contains(p)));
    }

    #[test]
    fn kept_share_grows_with_the_cap((net, readings) in any_case(), first_round in 1_usize..9) {
        let model = net.case(&readings).unwrap();
        let mut before = 0.0;
        for max_sets in [1, 5, 8, 20, 29, 40, 60, 90, 127, 128] {
            let limits = Growth { least_gain: 0.0, first_round, max_sets, ..Growth::default() };
            let found = grow(&model, &limits).unwrap();
            prop_assert_eq!(found.sets.len(), max_sets);
            let Kept::Exact(share) = found.kept else { panic!("the total is known") };
            prop_assert!((0.0..=1.0).contains(&share) && share >= before - ROUNDING, "{share} after {before}");
            prop_assert!((0.0..=share).contains(&found.kept_at_least));
            before = share;
        }
        close(before, 1.0, ROUNDING)?;
    }

    #[test]
    fn order_of_evidence_does_not_matter((net, readings) in any_case()) {
        let reversed: Vec<_> = readings.iter().rev().copied().collect();
        let (a, b) = (net.posteriors(&readings).unwrap(), net.posteriors(&reversed).unwrap());
        close(a.ln_evidence, b.ln_evidence, 0.0)?;
        all_close(&a.marginals, &b.marginals, 0.0)?;
        let sets = |readings: &[(usize, bool)]| grow(&net.case(readings).unwrap(), &Growth::default()).unwrap();
        prop_assert_eq!(sets(&readings).sets, sets(&reversed).sets);
    }

    /// The order in which the tests are *described* changes the order of elimination, but not the answer.
    #[test]
    fn order_of_tests_does_not_matter(priors in vec(0.0..0.5, FAULTS), tests in vec((any_test(), any::<bool>()), 1..=6)) {
        let ask = |tests: Vec<(NoisyTest, bool)>| {
            let readings: Vec<_> = tests.iter().map(|(_, read)| *read).enumerate().collect();
            NoisyOr::new(priors.clone(), tests.into_iter().map(|(test, _)| test).collect()).unwrap().posteriors(&readings).unwrap()
        };
        let (a, b) = (ask(tests.clone()), ask(tests.into_iter().rev().collect()));
        close(a.ln_evidence, b.ln_evidence, ROUNDING)?;
        all_close(&a.marginals, &b.marginals, ROUNDING)?;
    }

    /// A test that no fault touches tells nothing, whatever it reads; one that is always positive is no evidence at all.
    #[test]
    fn an_irrelevant_reading_changes_nothing(
        priors in vec(0.0..0.5, FAULTS), tests in vec((any_test(), any::<bool>()), 0..=5), leak in 0.01..0.99, read in any::<bool>()
    ) {
        let mut readings: Vec<_> = tests.iter().map(|(_, read)| *read).enumerate().collect();
        let mut tests: Vec<_> = tests.into_iter().map(|(test, _)| test).collect();
        let before = NoisyOr::new(priors.clone(), tests.clone()).unwrap().posteriors(&readings).unwrap();
        readings.extend([(tests.len(), read), (tests.len() + 1, true)]);
        tests.extend([NoisyTest { leak, causes: vec![] }, NoisyTest { leak: 1.0, causes: vec![] }]);
        let net = NoisyOr::new(priors, tests).unwrap();
        let after = net.posteriors(&readings).unwrap();
        all_close(&before.marginals, &after.marginals, ROUNDING)?;
        let chance = if read { leak } else { 1.0 - leak };
        close(after.ln_evidence, before.ln_evidence + chance.ln(), ROUNDING)?;
        let grown = grow(&net.case(&readings).unwrap(), &Growth::everything()).unwrap();
        all_close(&before.marginals, &grown.marginals, ROUNDING)?;
    }

    /// `P(readings)` is the sum over both results of one more test.
    #[test]
    fn predictions_are_consistent((net, readings) in any_case()) {
        for test in 0..net.test_count() {
            let with = |positive| net.ln_evidence(&[&readings[..], &[(test, positive)]].concat()).map_or(0.0, f64::exp);
            let predicted = net.predict(test, &readings).unwrap();
            close(with(true) + with(false), net.ln_evidence(&readings).unwrap().exp(), ROUNDING)?;
            close(predicted, with(true) / (with(true) + with(false)), 1e-9)?;
        }
    }

    #[test]
    fn elimination_equals_enumeration(tables in any_tables(), evidence in vec(prop::option::of(any::<bool>()), 6)) {
        let mut net = BayesNet::new();
        for (number, (parents, yes)) in tables.iter().enumerate() {
            net.add(&format!("v{number}"), parents, yes).unwrap();
        }
        let mut evidence: Vec<_> = evidence.into_iter().enumerate().filter_map(|(v, state)| Some((v, state?))).collect();
        let (total, yes) = enumerate(&tables, &evidence);
        match net.posteriors(&evidence) {
            Err(_) => close(total, 0.0, 0.0)?,
            Ok(found) => {
                // Relative: the evidence may be improbable.
                close(found.ln_evidence, total.ln(), ROUNDING)?;
                all_close(&found.yes, &yes, 1e-9)?;
                evidence.reverse();
                all_close(&net.posteriors(&evidence).unwrap().yes, &found.yes, 0.0)?;
            }
        }
    }

    /// The gain is the entropy before less the mean entropy after; never negative, never more than there is to learn.
    #[test]
    fn gain_is_entropy_lost(weights in vec(0.0..1.0, 1..8), table in vec(vec(0.0..1.0, 4), 8)) {
        prop_assume!(weights.iter().sum::<f64>() > 1e-3 && table.iter().all(|row| row.iter().sum::<f64>() > 1e-3));
        let outcome = |i: usize, o: usize| table[i][o] / table[i].iter().sum::<f64>();
        let total: f64 = weights.iter().sum();
        let after: f64 = (0..4).map(|o| {
            let joint: Vec<f64> = weights.iter().enumerate().map(|(i, w)| w / total * outcome(i, o)).collect();
            joint.iter().sum::<f64>() * entropy(&joint)
        }).sum();
        let gain = expected_gain(&weights, 4, outcome);
        close(gain, entropy(&weights) - after, 1e-9)?;
        prop_assert!(gain >= 0.0 && gain <= entropy(&weights) + ROUNDING);
    }
}

/// Shannon (1948): a fair coin is one bit, eight equal chances are three; scale and impossible cases do not count.
#[test]
fn entropy_of_known_lists() {
    for (weights, bits) in [
        (&[1.0, 1.0][..], 1.0),
        (&[2.0; 8], 3.0),
        (&[0.5, 0.25, 0.25, 0.0], 1.5),
        (&[7.0], 0.0),
        (&[], 0.0),
    ] {
        assert!((entropy(weights) - bits).abs() < ROUNDING, "{weights:?}");
    }
}
