//! Isolating several faults at once on the two examples of de Kleer & Williams, *Diagnosing multiple faults*,
//! Artificial Intelligence 32 (1987). The circuits live here; the isolation is that of `sets`.
#![allow(clippy::unwrap_used, reason = "tests")]

mod published;

use belief::sets::{
    FaultSet, Growth, IndependentFaults, Kept, Posterior, SetModel, entropy, expected_gain, grow,
};
use published::{list, number, numbers, reference};
use serde_json::Value;

/// The references give six decimals of bits and ten digits of probability.
const BITS: f64 = 1e-6;
const TEN_DIGITS: f64 = 1e-9;

fn check(what: &str, found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{what}: found {found}, expected {expected}"
    );
}

// --- The polybox: X = A·C, Y = B·D, Z = C·E, F = X + Y, G = Y + Z ---

const COMPONENTS: [&str; 5] = ["M1", "M2", "M3", "A1", "A2"];
/// An open place may have any of so many values.
const VALUES: usize = 16;

/// Values at the places X, Y, Z, F, G, where known.
type Places = [Option<i64>; 5];

/// Healthy components as sums over places (`a + b = c`) and known products.
const ADDERS: [(usize, [usize; 3]); 2] = [(3, [0, 1, 3]), (4, [1, 2, 4])];

struct Polybox {
    products: [i64; 3],
    read: [i64; 2],
    priors: IndependentFaults,
    open_reading_counts: bool,
}

impl Polybox {
    fn new(reference: &Value, row: &Value) -> Self {
        let input = |name: &str| reference["inputs"][name].as_i64().unwrap();
        let read = |name: &str| reference["read"][name].as_i64().unwrap();
        Self {
            products: [
                input("A") * input("C"),
                input("B") * input("D"),
                input("C") * input("E"),
            ],
            read: [read("F"), read("G")],
            priors: IndependentFaults::new(&[number(&row["prior"]); 5]).unwrap(),
            open_reading_counts: row["unpredicted_reading_counts"].as_bool().unwrap(),
        }
    }

    /// What follows in both directions from the healthy components and the first `readings` readings; `None`: contradiction.
    fn propagate(&self, faulty: &FaultSet, readings: usize) -> Option<Places> {
        let mut places: Places = [None; 5];
        for (reading, value) in self.read.iter().take(readings).enumerate() {
            settle(&mut places, 3 + reading, *value)?;
        }
        for (multiplier, value) in self
            .products
            .iter()
            .enumerate()
            .filter(|(m, _)| !faulty.contains(*m))
        {
            settle(&mut places, multiplier, *value)?;
        }
        // Two adders: what one learns can teach the other once, and back.
        for _ in 0..3 {
            for (_, [a, b, sum]) in ADDERS.iter().filter(|(adder, _)| !faulty.contains(*adder)) {
                match (places[*a], places[*b], places[*sum]) {
                    (Some(x), Some(y), _) => settle(&mut places, *sum, x + y)?,
                    (Some(x), None, Some(s)) => settle(&mut places, *b, s - x)?,
                    (None, Some(y), Some(s)) => settle(&mut places, *a, s - y)?,
                    _ => {}
                }
            }
        }
        Some(places)
    }

    /// `P(place has value | candidate, readings)`.
    fn outcome(&self, candidate: &FaultSet, place: usize, value: usize) -> f64 {
        match self.propagate(candidate, 2).unwrap()[place] {
            Some(predicted) => f64::from(usize::try_from(predicted) == Ok(value)),
            None => 1.0 / VALUES as f64,
        }
    }

    fn ln_likelihood(&self, faulty: &FaultSet) -> f64 {
        if self.propagate(faulty, 2).is_none() {
            return f64::NEG_INFINITY;
        }
        // Each reading in turn: left open by the candidate and the readings before it?
        let open = (0..2)
            .filter(|&reading| {
                self.propagate(faulty, reading)
                    .is_some_and(|p| p[3 + reading].is_none())
            })
            .count();
        if self.open_reading_counts {
            -(open as f64) * (VALUES as f64).ln()
        } else {
            0.0
        }
    }
}

/// Notes a value; `None` if the place is known to have another.
fn settle(places: &mut Places, place: usize, value: i64) -> Option<()> {
    let agreed = *places[place].get_or_insert(value) == value;
    agreed.then_some(())
}

impl SetModel for Polybox {
    fn fault_count(&self) -> usize {
        COMPONENTS.len()
    }
    fn ln_prior(&self, set: &FaultSet) -> f64 {
        self.priors.ln_prior(set)
    }
    fn ln_likelihoods(&self, sets: &[FaultSet]) -> Vec<f64> {
        sets.iter().map(|set| self.ln_likelihood(set)).collect()
    }
}

fn components(names: &[&str]) -> FaultSet {
    let number = |name: &&str| COMPONENTS.iter().position(|c| c == name).unwrap();
    FaultSet::of(&names.iter().map(number).collect::<Vec<_>>())
}

fn possible(posterior: &Posterior) -> Vec<&FaultSet> {
    posterior
        .sets
        .iter()
        .filter(|(_, p)| *p > 0.0)
        .map(|(set, _)| set)
        .collect()
}

fn minimal(posterior: &Posterior) -> Vec<&FaultSet> {
    let possible = possible(posterior);
    let mut minimal: Vec<&FaultSet> = possible
        .iter()
        .copied()
        .filter(|set| !possible.iter().any(|other| other != set && other.is_subset(set)))
        .collect();
    minimal.sort();
    minimal
}

/// M2 alone is the trap: with M1 and A1 healthy, F = 10 makes Y 4, and then G would be 10, not 12. Only propagation against
/// the signal's direction sees it.
#[test]
fn polybox_has_exactly_its_four_minimal_diagnoses() {
    let reference = &reference("polybox.json")["polybox"];
    for row in list(&reference["rows"]) {
        let posterior = grow(&Polybox::new(reference, row), &Growth::everything()).unwrap();
        assert_eq!(posterior.kept, Kept::Exact(1.0));
        assert_eq!(
            possible(&posterior).len() as u64,
            reference["consistent"].as_u64().unwrap()
        );
        let mut expected: Vec<FaultSet> = list(&reference["minimal_diagnoses"])
            .iter()
            .map(|names| {
                components(
                    &list(names)
                        .iter()
                        .map(|n| n.as_str().unwrap())
                        .collect::<Vec<_>>(),
                )
            })
            .collect();
        expected.sort();
        assert_eq!(minimal(&posterior), expected.iter().collect::<Vec<_>>());
        check("M2 alone", posterior.probability(&components(&["M2"])), 0.0, 0.0);
    }
}

#[test]
fn polybox_weights_and_gains() {
    let reference = &reference("polybox.json")["polybox"];
    for row in list(&reference["rows"]) {
        let polybox = Polybox::new(reference, row);
        let posterior = grow(&polybox, &Growth::everything()).unwrap();
        for (names, expected) in [
            (&["A1"][..], "single"),
            (&["M1"], "single"),
            (&["A2", "M2"], "double"),
            (&["M2", "M3"], "double"),
        ] {
            check(
                &format!("{names:?} in {row}"),
                posterior.probability(&components(names)),
                number(&row[expected]),
                TEN_DIGITS,
            );
        }
        let candidates: Vec<&(FaultSet, f64)> = posterior.sets.iter().filter(|(_, p)| *p > 0.0).collect();
        let weights: Vec<f64> = candidates.iter().map(|(_, p)| *p).collect();
        check(
            &format!("entropy in {row}"),
            entropy(&weights),
            number(&row["entropy"]),
            BITS,
        );
        for (place, expected) in numbers(&row["gain"]).into_iter().enumerate() {
            let gain = expected_gain(&weights, VALUES, |i, value| {
                polybox.outcome(&candidates[i].0, place, value)
            });
            check(&format!("gain at place {place} in {row}"), gain, expected, BITS);
        }
    }
}

#[test]
fn polybox_predicts_x() {
    let reference = &reference("polybox.json")["polybox"];
    let polybox = Polybox::new(reference, &reference["rows"][0]);
    let posterior = grow(&polybox, &Growth::everything()).unwrap();
    let share = |x: Option<i64>| -> f64 {
        let says = |set: &FaultSet| polybox.propagate(set, 2).is_some_and(|places| places[0] == x);
        posterior
            .sets
            .iter()
            .filter(|(set, p)| *p > 0.0 && says(set))
            .map(|(_, p)| p)
            .sum()
    };
    let expected = &reference["predicted_x"];
    check("X is 6", share(Some(6)), number(&expected["6"]), BITS);
    check("X is 4", share(Some(4)), number(&expected["4"]), BITS);
    check("X is open", share(None), number(&expected["open"]), BITS);
}

// --- The inverter chain ---

/// Inverters in a row, input 1, last output read 0; a faulty one gives 0 or 1 by chance.
struct Chain {
    length: usize,
    priors: IndependentFaults,
}

impl Chain {
    /// Every course of the signal that `faulty` allows, as outputs of the inverters, with its probability.
    fn courses(&self, faulty: &FaultSet) -> Vec<(Vec<bool>, f64)> {
        let mut courses = vec![(Vec::new(), 1.0)];
        for inverter in 0..self.length {
            let extend = |(outputs, p): (Vec<bool>, f64)| {
                let healthy = !outputs.last().copied().unwrap_or(true);
                let ways = if faulty.contains(inverter) {
                    vec![(false, 0.5), (true, 0.5)]
                } else {
                    vec![(healthy, 1.0)]
                };
                ways.into_iter()
                    .map(move |(output, q)| ([outputs.clone(), vec![output]].concat(), p * q))
            };
            courses = courses.into_iter().flat_map(extend).collect();
        }
        courses.retain(|(outputs, _)| outputs.last() == Some(&false));
        courses
    }

    fn outcome(&self, faulty: &FaultSet, place: usize, value: bool) -> f64 {
        let courses = self.courses(faulty);
        let with: f64 = courses
            .iter()
            .filter(|(outputs, _)| outputs[place] == value)
            .map(|(_, p)| p)
            .sum();
        with / courses.iter().map(|(_, p)| p).sum::<f64>()
    }
}

impl SetModel for Chain {
    fn fault_count(&self) -> usize {
        self.length
    }
    fn ln_prior(&self, set: &FaultSet) -> f64 {
        self.priors.ln_prior(set)
    }
    fn ln_likelihoods(&self, sets: &[FaultSet]) -> Vec<f64> {
        sets.iter()
            .map(|set| self.courses(set).iter().map(|(_, p)| p).sum::<f64>().ln())
            .collect()
    }
}

/// Measuring in the middle tells most: the half-split.
#[test]
fn inverter_chain_is_split_in_half() {
    let reference = &reference("polybox.json")["inverters"];
    let length = usize::try_from(reference["inverters"].as_u64().unwrap()).unwrap();
    let chain = Chain {
        length,
        priors: IndependentFaults::new(&vec![number(&reference["prior"]); length]).unwrap(),
    };
    let posterior = grow(&chain, &Growth::everything()).unwrap();
    let candidates: Vec<&(FaultSet, f64)> = posterior.sets.iter().filter(|(_, p)| *p > 0.0).collect();
    let weights: Vec<f64> = candidates.iter().map(|(_, p)| *p).collect();
    for inverter in 0..length {
        check(
            "each alone",
            posterior.probability(&FaultSet::of(&[inverter])),
            number(&reference["single"]),
            1e-8,
        );
    }
    let singles: f64 = candidates
        .iter()
        .filter(|(set, _)| set.len() == 1)
        .map(|(_, p)| p)
        .sum();
    check("one alone", singles, number(&reference["all_singles"]), 1e-8);
    check("entropy", entropy(&weights), number(&reference["entropy"]), BITS);
    let gain = |place: usize| {
        expected_gain(&weights, 2, |i, value| {
            chain.outcome(&candidates[i].0, place, value == 1)
        })
    };
    // Eight decimals are given.
    for (place, expected) in numbers(&reference["gain"]).into_iter().enumerate() {
        check(&format!("gain at place {place}"), gain(place), expected, 1e-8);
    }
    assert!(gain(1) > gain(0) && gain(1) > gain(2));
}
