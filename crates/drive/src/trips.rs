//! Driving cycles and warm-up cycles in a recording, by the regulation's definitions.
//!
//! - Driving cycle: from engine start to engine shutoff; running on for four hours, each further four begin another (40 CFR
//!   86.010-18(a)(4), annual edition of 2015).
//! - The engine has started when it reaches 150 rpm below its normal warm idle (40 CFR 86.010-2).
//! - Warm-up cycle: within a driving cycle the coolant rises by at least 40 °F (22.2 K) from its temperature at the start and reaches at
//!   least 160 °F (71.1 °C) (40 CFR 86.1803-01). What other markets ask may differ: [`TripRules`].

use crate::recording::Recording;
use crate::signal::Signal;
use crate::statistics::median;
use quantity::{RotationalSpeed, Temperature};
use serde::Serialize;

/// What counts as a cycle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TripRules {
    /// Coolant of a warm engine.
    pub warm: Temperature,
    /// Rise of the coolant from the start, K.
    pub rise_kelvin: f64,
    /// Warm idle of this engine; `None`: as the recording shows it, else 750 rpm.
    pub idle: Option<RotationalSpeed>,
}

/// 160 °F.
const WARM: f64 = 344.261_111_111_111_1;
/// 40 °F.
const RISE: f64 = 22.222_222_222_222_2;
/// Below the warm idle the engine counts as started, rev/s.
const BELOW_IDLE: f64 = 150.0 / 60.0;
/// Where a recording shows no warm idle, rev/s. Common practice, no source.
const USUAL_IDLE: f64 = 750.0 / 60.0;
/// Coolant from which an idle is a warm one, K. Common practice, no source.
const WARM_IDLE: f64 = 333.15;
/// What a standing engine may show, rev/s.
const STANDS: f64 = 50.0 / 60.0;
/// An engine that stands shorter than this in a recording may as well have lost a row, s. Our choice: longer than any usual step.
const SHORTEST_STOP: f64 = 1.0;
/// Continuous running after which another driving cycle begins, s.
const SEGMENT: f64 = 4.0 * 3600.0;
/// A recorder writes whole degrees; half a hundredth forgives the conversion only, K.
const ROUNDING: f64 = 5e-3;

impl Default for TripRules {
    fn default() -> Self {
        Self {
            warm: Temperature::from_si(WARM),
            rise_kelvin: RISE,
            idle: None,
        }
    }
}

/// What sort of cycle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum CycleKind {
    /// Start to shutoff.
    DrivingCycle,
    /// The engine became warm in it.
    WarmUpCycle,
}

/// One cycle.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cycle {
    /// Its sort.
    pub kind: CycleKind,
    /// When it began, s from the first row.
    pub start_s: f64,
    /// When it ended, or was complete.
    pub end_s: f64,
    /// Why it is one.
    pub reason: String,
    /// Coolant at its start and the highest in it, where they are known.
    #[serde(skip)]
    pub coolant: Option<(Temperature, Temperature)>,
}

/// What a recording holds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Trips {
    /// Driving cycles begun.
    pub driving_cycles: usize,
    /// Warm-up cycles completed.
    pub warm_up_cycles: usize,
    /// Each of them, in order of their beginning.
    pub events: Vec<Cycle>,
    /// What could not be told, and why.
    pub missing: Vec<String>,
}

/// Finds the cycles of a recording.
pub fn trips(recording: &Recording, rules: &TripRules) -> Trips {
    let mut trips = Trips {
        driving_cycles: 0,
        warm_up_cycles: 0,
        events: Vec::new(),
        missing: Vec::new(),
    };
    let Some(speed) = recording.values(Signal::EngineSpeed) else {
        let reason = "no column is taken for the engine's speed: neither starts nor stops can be seen";
        trips.missing.push(reason.to_owned());
        return trips;
    };
    let coolant = recording.values(Signal::Coolant);
    if coolant.is_none() {
        let reason = "no column is taken for the coolant's temperature: warm-up cycles cannot be counted";
        trips.missing.push(reason.to_owned());
    }
    let idle = rules
        .idle
        .map_or_else(|| warm_idle(recording), RotationalSpeed::si);
    for run in runs(&recording.time, speed, idle - BELOW_IDLE) {
        for (place, part) in segments(&recording.time, &run).into_iter().enumerate() {
            trips.driving_cycles += 1;
            trips.events.push(Cycle {
                kind: CycleKind::DrivingCycle,
                start_s: recording.time[part.start],
                end_s: recording.time[part.end],
                reason: reason(&part, place),
                coolant: coolant.and_then(|coolant| from_and_to(coolant, &part)),
            });
            let warmed = coolant.and_then(|coolant| warm_up(&recording.time, coolant, &part, rules));
            if let Some(cycle) = warmed {
                trips.warm_up_cycles += 1;
                trips.events.push(cycle);
            }
        }
    }
    trips
}

/// A stretch in which the engine runs: rows of its start and its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Run {
    start: usize,
    end: usize,
    /// The start was seen.
    started: bool,
    end_seen: End,
}

/// How a stretch ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum End {
    Stopped,
    FourHours,
    Recording,
}

fn reason(run: &Run, place: usize) -> String {
    let begin = match (place, run.started) {
        (0, true) => "from engine start",
        (0, false) => "the engine ran when the recording began",
        _ => "four more hours of running on",
    };
    let end = match run.end_seen {
        End::Stopped => "to engine shutoff",
        End::FourHours => "until four hours were full",
        End::Recording => "and still when it ended",
    };
    format!("{begin}, {end}")
}

/// The warm idle: what the engine usually turns with when warm, standing still and running.
fn warm_idle(recording: &Recording) -> f64 {
    let (Some(speed), Some(coolant)) = (
        recording.values(Signal::EngineSpeed),
        recording.values(Signal::Coolant),
    ) else {
        return USUAL_IDLE;
    };
    let way = recording.values(Signal::VehicleSpeed);
    let mut idling: Vec<f64> = (0..speed.len())
        .filter(|row| {
            speed[*row] > 5.0
                && speed[*row] < 25.0
                && coolant[*row] >= WARM_IDLE
                && way.is_none_or(|way| way[*row] < 0.3)
        })
        .map(|row| speed[row])
        .collect();
    median(&mut idling).unwrap_or(USUAL_IDLE)
}

/// The stretches of running; gaps in the record are neither start nor stop.
fn runs(time: &[f64], speed: &[f64], started_at: f64) -> Vec<Run> {
    let mut runs = Vec::new();
    let mut current: Option<Run> = None;
    // First row of a standstill under way.
    let mut stands: Option<usize> = None;
    let mut seen_standing = false;
    for row in 0..speed.len() {
        if !speed[row].is_finite() {
            continue;
        }
        if speed[row] <= STANDS {
            let since = *stands.get_or_insert(row);
            if let Some(run) = &mut current
                && time[row] - time[since] >= SHORTEST_STOP
            {
                run.end = since;
                run.end_seen = End::Stopped;
                runs.push(*run);
                current = None;
            }
            seen_standing = true;
            continue;
        }
        stands = None;
        match &mut current {
            Some(run) => run.end = row,
            None if speed[row] >= started_at => {
                current = Some(Run {
                    start: row,
                    end: row,
                    started: seen_standing,
                    end_seen: End::Recording,
                });
            }
            None => {}
        }
    }
    runs.extend(current);
    runs
}

/// Parts of four hours at most.
fn segments(time: &[f64], run: &Run) -> Vec<Run> {
    let mut parts = vec![*run];
    let mut begin = run.start;
    for row in run.start..=run.end {
        if time[row] - time[begin] >= SEGMENT && row < run.end {
            if let Some(last) = parts.last_mut() {
                last.end = row;
                last.end_seen = End::FourHours;
            }
            parts.push(Run { start: row, ..*run });
            begin = row;
        }
    }
    parts
}

/// The warm-up of a driving cycle, if there is one.
fn warm_up(time: &[f64], coolant: &[f64], run: &Run, rules: &TripRules) -> Option<Cycle> {
    let (at_start, _) = from_and_to(coolant, run)?;
    let at_start = at_start.si();
    let wanted = (at_start + rules.rise_kelvin).max(rules.warm.si()) - ROUNDING;
    let row = (run.start..=run.end).find(|row| coolant[*row] >= wanted)?;
    let celsius = |kelvin: f64| kelvin - 273.15;
    Some(Cycle {
        kind: CycleKind::WarmUpCycle,
        start_s: time[run.start],
        end_s: time[row],
        reason: format!(
            "coolant from {:.1} to {:.1} °C: at least {:.1} K more, and {:.1} °C or more",
            celsius(at_start),
            celsius(coolant[row]),
            rules.rise_kelvin,
            celsius(rules.warm.si()),
        ),
        coolant: from_and_to(coolant, run),
    })
}

/// Coolant at the start of a stretch, which is the last one before it where that was seen, and the highest in it.
fn from_and_to(coolant: &[f64], run: &Run) -> Option<(Temperature, Temperature)> {
    let before = (0..run.start).rev().filter(|_| run.started);
    let mut known = before
        .chain(run.start..=run.end)
        .map(|row| coolant[row])
        .filter(|value| value.is_finite());
    let start = known.next()?;
    let highest = coolant[run.start..=run.end]
        .iter()
        .copied()
        .filter(|value| value.is_finite())
        .fold(start, f64::max);
    Some((Temperature::from_si(start), Temperature::from_si(highest)))
}
