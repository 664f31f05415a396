//! What a check would show, before it is made.

use crate::belief::Surroundings;
use crate::coming::predict_once;
use crate::comparing::behind;
use crate::evidence::yes_no;
use crate::instrument::{Accuracy, ToolError};
use crate::uncertain::{MOST_FAULTS, Uncertain};
use circuit::FaultId;
use numerics::normal_point;
use physics::{Model, SolveError};

/// The reading that a check is expected to show.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// 5th, 50th and 95th percentile, SI; for yes or no the probability of yes three times.
    pub percentiles: [f64; 3],
    /// Number of samples behind it.
    pub samples: usize,
}

/// Dimension of the points that stand for the scatter of one reading; far beyond any circuit's own.
pub(crate) const SCATTER: u32 = 200;

/// What `check` shows on a vehicle with exactly `faults`, each at a given severity or spread over its own.
///
/// # Errors
/// [`SolveError`] if the circuit finds no balance.
pub fn expect(
    model: &Model,
    surroundings: Surroundings,
    faults: &[(FaultId, Option<f64>)],
    check: usize,
    samples: usize,
    seed: u32,
) -> Result<Expected, SolveError> {
    let uncertain = Uncertain::new(model.circuit(), surroundings.ambient, surroundings.known);
    let accuracy = Accuracy::of(model.checks()[check].instrument);
    let ids: Vec<FaultId> = faults.iter().map(|(id, _)| *id).take(MOST_FAULTS).collect();
    let dimensions = u32::try_from(uncertain.dimensions()).unwrap_or(u32::MAX);
    let mut probe = model.probe();
    let mut vehicle = uncertain.blank();
    let mut shown = Vec::with_capacity(samples);
    for row in 0..u32::try_from(samples).unwrap_or(u32::MAX) {
        let z: Vec<f64> = (0..dimensions)
            .map(|dimension| normal_point(row, dimension, seed))
            .collect();
        uncertain.fill(&mut vehicle, model.circuit(), &ids, &z);
        for ((_, severity), (_, given)) in vehicle.faults.iter_mut().zip(faults) {
            *severity = given.unwrap_or(*severity);
        }
        let mut truth = [0.0];
        if !predict_once(
            model,
            &mut probe,
            &mut vehicle,
            (row as usize, seed),
            &[check],
            &mut truth,
        ) {
            probe.predict(check, &vehicle)?;
        }
        let truth = behind(&model.checks()[check], truth[0], row as usize, seed);
        let own = [1, 2].map(|place| normal_point(row, dimensions + place, seed));
        shown.push((
            reading(
                &accuracy,
                truth,
                accuracy.error_at(own),
                normal_point(row, dimensions, seed),
            ),
            1.0,
        ));
    }
    if yes_no(&model.checks()[check]) {
        let yes = shown.iter().map(|(p, _)| p).sum::<f64>() / samples.max(1) as f64;
        return Ok(Expected {
            percentiles: [yes; 3],
            samples,
        });
    }
    Ok(Expected {
        percentiles: percentiles(&mut shown).unwrap_or_default(),
        samples,
    })
}

/// One reading by an instrument with its own `error` and the scatter of this reading (standard normal).
pub fn reading(accuracy: &Accuracy, truth: f64, error: ToolError, scatter: f64) -> f64 {
    let shown = accuracy.shown(truth, error);
    shown + accuracy.deviation(shown) * scatter
}

/// 5th, 50th and 95th percentile of weighted values; `None` if they have no weight.
pub(crate) fn percentiles(weighted: &mut [(f64, f64)]) -> Option<[f64; 3]> {
    let total: f64 = weighted.iter().map(|(_, weight)| weight).sum();
    if total <= 0.0 {
        return None;
    }
    weighted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let at = |share: f64| {
        let mut sum = 0.0;
        for (value, weight) in weighted.iter() {
            sum += weight;
            if sum >= share * total {
                return *value;
            }
        }
        weighted[weighted.len() - 1].0
    };
    Some([at(0.05), at(0.5), at(0.95)])
}
