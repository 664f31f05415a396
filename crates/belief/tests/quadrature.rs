//! The belief against a brute-force one: dense quadrature over severities, a tolerance and the gauge's own error.
//!
//! The brute force knows nothing of samples, importance or clouds. It takes the physics and the stated error model, lays a
//! grid of equally probable points over every uncertain thing, and adds up. Every suspect must agree within 0.01.
#![allow(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use belief::{Belief, Effort, Known, Observation, Outcome, Surroundings};
use circuit::FaultId;
use physics::{Ambient, Model, Vehicle};
use std::collections::BTreeMap;

/// A small made-up circuit: everything exactly known but one bore.
const CIRCUIT: &str = r#"
[circuit]
title = "Small vacuum circuit with one uncertain bore"
[prior]
nothing-wrong = "6 %"
not-listed = "5 %"
second-fault = "12 %"
[part.pump]
kind = "vane pump"
swept = "130 cm3/rev ± 0 %"
filling = "85 % ± 0 %"
ultimate = "6 % ± 0 %"
[part.source-line]
kind = "tube"
bore = "3.5 mm ± 0 %"
length = "0.8 m ± 0 %"
from = "pump.inlet"
to = "valve.source"
[part.valve]
kind = "3/2 solenoid valve"
coil = "14.5 ohm ± 0 %"
source-bore = "1.2 mm ± 0 %"
vent-bore = "1.2 mm ± 6 %"
pull-in = "0.3 A ± 0 %"
[part.signal-line]
kind = "tube"
bore = "3.0 mm ± 0 %"
length = "0.5 m ± 0 %"
from = "valve.output"
to = "actuator.nipple"
[part.actuator]
kind = "diaphragm actuator"
diameter = "45 mm ± 0 %"
preload = "27 N ± 0 %"
rate = "4.5 N/mm ± 0 %"
travel = "12 mm ± 0 %"
[condition.idle]
engine = "800 rpm"
supply = "14.1 V"
command = { valve = "70 %" }
[likelihood]
"pump/worn" = 25
"pump/low vacuum" = 0
"pump/not driven" = 0
"source-line/leaks" = 0
"source-line/blocked" = 20
"source-line/off" = 0
"valve/sticks closed" = 0
"valve/sticks open" = 0
"valve/leaks at the seat" = 0
"valve/vent blocked" = 30
"valve/coil open" = 0
"valve/coil shorted" = 0
"valve/coil opens when hot" = 0
"valve/hoses swapped" = 0
"signal-line/leaks" = 0
"signal-line/blocked" = 0
"signal-line/off" = 0
"actuator/diaphragm leaks" = 25
"actuator/spring broken" = 0
"actuator/rod seized" = 0
"#;

const CHECKS: [&str; 4] = [
    "deadhead:valve.source@idle",
    "tee:valve.source@idle",
    "tee:valve.output@idle",
    "tee:actuator.nipple@idle",
];
const IN_HG: f64 = 3_386.388_640_341;

fn model() -> Model {
    let outcome = circuit::read("small", CIRCUIT, physics::catalogue());
    assert!(outcome.circuit.is_some(), "{:?}", outcome.findings);
    Model::new(outcome.circuit.unwrap())
}

/// Three points of a standard normal value that integrate polynomials up to the fifth degree exactly (Gauss-Hermite): for
/// what acts smoothly and little.
const THREE: [(f64, f64); 3] = [
    (-1.732_050_807_568_877, 1.0 / 6.0),
    (0.0, 2.0 / 3.0),
    (1.732_050_807_568_877, 1.0 / 6.0),
];

/// Even steps from -3 to 3 standard deviations with their probabilities: the tails of a severity matter as much as its
/// middle where a reading lies there.
fn even_grid(points: usize) -> Vec<(f64, f64)> {
    let step = 6.0 / points as f64;
    let cell = |i: usize| {
        let low = -3.0 + step * i as f64;
        (
            low + 0.5 * step,
            numerics::normal_cdf(low + step) - numerics::normal_cdf(low),
        )
    };
    (0..points).map(cell).collect()
}

/// What every check truly shows for one set of faults, over the grid of its severities and the uncertain bore.
struct Table {
    faults: Vec<FaultId>,
    prior: f64,
    truths: Vec<([f64; 4], f64)>,
}

fn severity(model: &Model, fault: FaultId, z: f64) -> f64 {
    // Log-normal either side of the median, the given 5th and 95th percentile at ±1.645, cut at half as far again.
    let spec = model.circuit().fault_spec(fault).severity.unwrap();
    let end = if z < 0.0 { spec.low } else { spec.high };
    spec.typical * (end / spec.typical).powf((z.abs() / 1.644_853_627).min(1.5))
}

fn table(model: &Model, faults: &[FaultId], prior: f64) -> Table {
    let checks: Vec<usize> = CHECKS.iter().map(|id| model.check(id).unwrap()).collect();
    // What the severities spread needs fewer bores: the sound circuit's readings hang on the bore alone.
    let (per_severity, per_bore) = match faults.len() {
        0 => (1, 61),
        1 => (240, 15),
        _ => (120, 3),
    };
    let severities = even_grid(per_severity);
    let mut probe = model.probe();
    let mut truths = Vec::new();
    for index in 0..severities.len().pow(u32::try_from(faults.len()).unwrap()) {
        for (bore, share) in even_grid(per_bore) {
            let mut vehicle = Vehicle::typical(model.circuit(), Ambient::default());
            let valve = model.circuit().part("valve").unwrap().0;
            let first: usize = model.circuit().parts[..valve]
                .iter()
                .map(|part| part.values.len())
                .sum();
            // ± 6 % is two standard deviations; the vent bore is the valve's third value.
            vehicle.values[first + 2] = 1.2e-3 * (1.0 + 0.03 * bore);
            let (mut rest, mut weight) = (index, share);
            for fault in faults {
                let (z, p) = severities[rest % per_severity];
                vehicle.faults.push((*fault, severity(model, *fault, z)));
                weight *= p;
                rest /= per_severity;
            }
            let mut truth = [0.0; 4];
            probe.predict_all(&checks, &vehicle, &mut truth).unwrap();
            truths.push((truth, weight));
        }
    }
    Table {
        faults: faults.to_vec(),
        prior,
        truths,
    }
}

/// The gauge's stated own error as a grid of (factor, zero, probability): 1.2 % scale with a heavy tail beyond 2.17
/// deviations (a quarter of the reading per deviation), 700 Pa zero. Even steps of 1.6 % in the factor, finer in the middle.
fn gauge_errors() -> Vec<(f64, f64, f64)> {
    let normal_below = |factor: f64| {
        let core = 0.012 * 2.170_09;
        let z = if factor.abs() <= core {
            factor / 0.012
        } else {
            (2.170_09 + (factor.abs() - core) / 0.25).copysign(factor)
        };
        numerics::normal_cdf(z)
    };
    let mut edges: Vec<f64> = (0..=20).map(|i| -0.026 + 0.0026 * f64::from(i)).collect();
    for i in 1..=20 {
        edges.push(0.026 + 0.016 * f64::from(i));
        edges.insert(0, -0.026 - 0.016 * f64::from(i));
    }
    let cells = edges
        .windows(2)
        .map(|e| (0.5 * (e[0] + e[1]), normal_below(e[1]) - normal_below(e[0])));
    cells
        .flat_map(|(factor, p)| THREE.map(|(zero, share)| (factor, 700.0 * zero, p * share)))
        .collect()
}

/// One reading by that gauge: scatter of 700 Pa and 1.5 %, 2 % gross misreadings anywhere from 0 to 101.6 kPa.
fn gauge_density(outcome: Outcome, truth: f64, factor: f64, zero: f64) -> f64 {
    let shown = truth * (1.0 + factor) + zero;
    let deviation = (700.0f64.powi(2) + (0.015 * shown).powi(2)).sqrt();
    match outcome {
        Outcome::Value(value) => {
            let x = (value - shown) / deviation;
            0.98 * (-0.5 * x * x).exp() / (deviation * (2.0 * std::f64::consts::PI).sqrt()) + 0.02 / 101.6e3
        }
        Outcome::Over(bound) => {
            0.98 * (1.0 - numerics::normal_cdf((bound - shown) / deviation))
                + 0.02 * (101.6e3 - bound) / 101.6e3
        }
        Outcome::Under(bound) => {
            0.98 * numerics::normal_cdf((bound - shown) / deviation) + 0.02 * bound / 101.6e3
        }
        Outcome::Yes | Outcome::No => unreachable!("this circuit is only gauged"),
    }
}

fn brute_force(tables: &[Table], readings: &[(usize, Outcome)]) -> (BTreeMap<Vec<FaultId>, f64>, f64) {
    let errors = gauge_errors();
    let evidence = |table: &Table| {
        let mut sum = 0.0;
        for (truth, weight) in &table.truths {
            for (factor, zero, p) in &errors {
                sum += weight
                    * p
                    * readings
                        .iter()
                        .map(|(check, o)| gauge_density(*o, truth[*check], *factor, *zero))
                        .product::<f64>();
            }
        }
        sum / table.truths.iter().map(|(_, weight)| weight).sum::<f64>()
    };
    let mut weights: BTreeMap<Vec<FaultId>, f64> = tables
        .iter()
        .map(|table| (table.faults.clone(), table.prior * evidence(table)))
        .collect();
    // Not listed: each reading half as on a sound circuit, half anything.
    let sound = &tables[0];
    let unlisted: f64 = readings
        .iter()
        .map(|(check, outcome)| {
            let mut healthy = 0.0;
            for (truth, weight) in &sound.truths {
                healthy += weight
                    * errors
                        .iter()
                        .map(|(f, zero, p)| p * gauge_density(*outcome, truth[*check], *f, *zero))
                        .sum::<f64>();
            }
            let anything = match outcome {
                Outcome::Value(_) => 1.0 / 101.6e3,
                Outcome::Over(bound) => (101.6e3 - bound) / 101.6e3,
                Outcome::Under(bound) => bound / 101.6e3,
                Outcome::Yes | Outcome::No => 0.5,
            };
            0.5 * healthy + 0.5 * anything
        })
        .product();
    let unlisted = 0.05 * unlisted;
    let total = weights.values().sum::<f64>() + unlisted;
    for weight in weights.values_mut() {
        *weight /= total;
    }
    (weights, unlisted / total)
}

/// Sets of up to two of the four faults with the stated priors: 6 % nothing, 5 % not listed, 12 % pairs by the product of
/// shares, the rest singles by share.
fn tables(model: &Model) -> Vec<Table> {
    let faults = model.circuit().faults();
    let mut tables = vec![table(model, &[], 0.06)];
    let pairs: f64 = 0.5 * (1.0 - faults.iter().map(|(_, share)| share * share).sum::<f64>());
    for (index, (a, share)) in faults.iter().enumerate() {
        tables.push(table(model, &[*a], 0.77 * share));
        for (b, other) in &faults[index + 1..] {
            tables.push(table(model, &[*a, *b], 0.12 * share * other / pairs));
        }
    }
    tables
}

/// Readings in inHg at the checks above, from plain to contradictory.
fn reading_sets() -> Vec<Vec<(usize, Outcome)>> {
    let value = |check, inches: f64| (check, Outcome::Value(inches * IN_HG));
    let over = |check, inches: f64| (check, Outcome::Over(inches * IN_HG));
    let under = |check, inches: f64| (check, Outcome::Under(inches * IN_HG));
    vec![
        vec![value(0, 28.0)],
        vec![value(0, 24.0)],
        vec![value(1, 25.5)],
        vec![value(1, 12.0)],
        vec![value(2, 17.0)],
        vec![value(2, 9.0)],
        vec![value(2, 21.0)],
        vec![value(3, 4.0)],
        vec![under(3, 10.0)],
        vec![over(2, 20.0)],
        vec![value(0, 28.0), value(1, 8.0)],
        vec![value(0, 27.5), value(1, 24.0)],
        vec![value(0, 22.0), value(1, 14.0)],
        vec![value(1, 24.5), value(2, 8.0)],
        vec![value(1, 24.5), value(3, 7.5)],
        vec![value(2, 24.0), value(3, 24.0)],
        vec![over(0, 25.0), under(2, 12.0)],
        vec![value(0, 28.0), value(1, 9.0), value(3, 8.0)],
        vec![value(0, 26.0), value(1, 22.0), value(2, 6.0)],
        vec![value(0, 28.0), value(1, 27.0), value(2, 2.0)],
        vec![value(0, 12.0), value(1, 26.0), value(2, 17.0)],
        vec![value(0, 27.0), value(1, 16.0), value(2, 11.0), value(3, 11.0)],
        vec![value(0, 28.0), value(1, 25.0), value(2, 17.0), value(3, 17.0)],
    ]
}

#[test]
fn every_suspect_agrees_with_dense_quadrature() {
    let model = model();
    let tables = tables(&model);
    let checks: Vec<usize> = CHECKS.iter().map(|id| model.check(id).unwrap()).collect();
    let surroundings = Surroundings {
        ambient: Ambient::default(),
        known: Known::Exactly,
    };
    let sets = reading_sets();
    // Half of the sets on each of two threads: the brute force is what takes the time.
    let differences: Vec<(f64, String)> = std::thread::scope(|scope| {
        let halves = sets.chunks(sets.len().div_ceil(2));
        let jobs: Vec<_> = halves
            .map(|half| {
                let (model, tables, checks) = (&model, &tables, &checks);
                scope.spawn(move || {
                    half.iter()
                        .map(|set| worst_difference(model, tables, checks, surroundings, set))
                        .collect()
                })
            })
            .collect();
        jobs.into_iter()
            .flat_map(|job| -> Vec<(f64, String)> { job.join().unwrap() })
            .collect()
    });
    for (difference, text) in &differences {
        println!("{difference:.4} {text}");
    }
    for (difference, text) in &differences {
        assert!(*difference <= 0.01, "{text}");
    }
}

fn worst_difference(
    model: &Model,
    tables: &[Table],
    checks: &[usize],
    surroundings: Surroundings,
    readings: &[(usize, Outcome)],
) -> (f64, String) {
    let observations: Vec<Observation> = readings
        .iter()
        .map(|(check, outcome)| Observation {
            check: checks[*check],
            outcome: *outcome,
            instrument: None,
        })
        .collect();
    let effort = Effort {
        most_faults: 2,
        ..Effort::default()
    };
    let belief = Belief::new(model, surroundings, &observations, effort);
    assert_eq!(belief.unsolved(), 0, "{readings:?}");
    let (brute, unlisted) = brute_force(tables, readings);
    let mut worst = (0.0, String::new());
    let mut differ = |name: String, ours: f64, theirs: f64| {
        if (ours - theirs).abs() >= worst.0 {
            worst = (
                (ours - theirs).abs(),
                format!("{name}: {ours:.4} against {theirs:.4} for {readings:?}"),
            );
        }
    };
    differ("not listed".into(), belief.not_listed(), unlisted);
    for (faults, theirs) in &brute {
        let ours = belief
            .suspects()
            .iter()
            .find(|suspect| &suspect.faults == faults)
            .map_or(0.0, |s| s.probability);
        let names: Vec<String> = faults
            .iter()
            .map(|fault| model.circuit().fault_name(*fault))
            .collect();
        differ(names.join(" + "), ours, *theirs);
    }
    worst
}
