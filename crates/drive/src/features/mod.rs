//! What a technician looks for in a recording: each a figure, with the seconds it was taken over and what is usual.

mod boost;
mod electric;
mod engine;
mod gaps;

pub use boost::intake_at_load;

use crate::recording::Recording;
use crate::signal::Signal;
use quantity::{Dimension, Quantity};
use serde::Serialize;

/// What sort of feature.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FeatureKind {
    /// Key on, engine off: intake pressure beside the barometer.
    KeyOnPressure,
    /// Lowest voltage while the starter turns the engine.
    CrankingVoltage,
    /// Voltage while the starter turns the engine, without the dip of its first moment.
    CrankingSteady,
    /// Usual voltage with the key on before the first start.
    KeyOnVoltage,
    /// Usual voltage with the engine running.
    ChargingVoltage,
    /// Usual idle of the warm engine.
    WarmIdle,
    /// Seconds until the coolant is warm.
    WarmUp,
    /// How far the coolant falls back once warm.
    WarmHold,
    /// Highest intake pressure above the barometer.
    HighestBoost,
    /// Absolute intake pressure while the engine passes a speed at full load.
    IntakeAtLoad,
    /// Boost held beside what the module asks for.
    BoostHeld,
    /// Seconds until boost follows a step of what is asked.
    BoostResponse,
    /// How far boost goes beyond what is asked after a step.
    BoostOvershoot,
    /// Share of rows in which a signal is missing.
    Gaps,
    /// A signal that never moves while others do.
    StandsStill,
    /// Jumps of a signal that cannot jump.
    Jumps,
}

/// One figure taken from a recording.
#[derive(Debug, Clone, PartialEq)]
pub struct Feature {
    /// Its sort.
    pub kind: FeatureKind,
    /// The signal it is about.
    pub signal: Signal,
    /// First second it was taken over, from the first row.
    pub start_s: f64,
    /// Last second.
    pub end_s: f64,
    /// The figure.
    pub value: Quantity,
    /// From where to where it is usual, where there is such a range.
    pub usual: Option<(Quantity, Quantity)>,
    /// In words.
    pub what: String,
    /// Where the usual range is from.
    pub source: &'static str,
}

impl Feature {
    /// Whether the figure lies where it usually does; `None` where there is no such range.
    pub fn as_usual(&self) -> Option<bool> {
        let (low, high) = self.usual?;
        Some((low.si()..=high.si()).contains(&self.value.si()))
    }
}

/// What is marked where no published range is known.
const PRACTICE: &str = "common practice, no source";

/// Everything that can be taken from a recording, in order of its sort and beginning.
pub fn features(recording: &Recording) -> Vec<Feature> {
    let mut all = Vec::new();
    engine::key_on(recording, &mut all);
    electric::cranking(recording, &mut all);
    electric::turning(recording, &mut all);
    electric::key_on(recording, &mut all);
    electric::charging(recording, &mut all);
    engine::idle(recording, &mut all);
    engine::warm_up(recording, &mut all);
    boost::highest(recording, &mut all);
    boost::held(recording, &mut all);
    boost::steps(recording, &mut all);
    gaps::of_all(recording, &mut all);
    all.sort_by(|a, b| {
        (a.kind, a.start_s)
            .partial_cmp(&(b.kind, b.start_s))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    all
}

fn quantity(dimension: Dimension, si: f64) -> Quantity {
    Quantity::new(dimension, si)
}

fn between(dimension: Dimension, low: f64, high: f64) -> (Quantity, Quantity) {
    (quantity(dimension, low), quantity(dimension, high))
}

/// An engine below this stands, rev/s.
const STANDS: f64 = 50.0 / 60.0;
/// From this on it runs by itself, rev/s. Common practice, no source.
const RUNS: f64 = 500.0 / 60.0;

/// Below this the starter turns it, rev/s: 400 rpm. Common practice, no source.
const SELF: f64 = 400.0 / 60.0;

/// Rows from the last standstill to the engine running by itself: the starter turns it. Each start once.
fn starts(speed: &[f64]) -> Vec<(usize, usize)> {
    let mut starts = Vec::new();
    let mut stood: Option<usize> = None;
    for (row, speed) in speed.iter().enumerate() {
        if *speed <= STANDS {
            stood = Some(row);
        } else if *speed >= RUNS
            && let Some(from) = stood.take()
        {
            starts.push((from, row));
        }
    }
    starts
}
