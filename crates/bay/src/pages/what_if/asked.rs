//! What is asked of a vehicle with faults: read from an address, each word of it checked.

use crate::not_done::NotDone;
use circuit::{Circuit, ConditionId, FaultId};
use desk::show::Units;
use diag::nearest;
use engine::Ambient;
use quantity::Length;
use serde::Deserialize;

/// The end of a severity's slider; its beginning is 0.
pub(crate) const SLIDER: f64 = 100.0;
/// The highest altitude of the slider, m.
pub(crate) const HIGHEST: f64 = 4_000.0;

/// As it stands in the address. A severity is a place on the slider: 0 is the kind's 5th percentile, 100 its 95th, evenly
/// in the logarithm between.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Typed {
    pub(crate) fault: String,
    pub(crate) severity: String,
    pub(crate) other: String,
    pub(crate) other_severity: String,
    pub(crate) condition: String,
    pub(crate) altitude: String,
    /// Whether the healthy bands are wanted too; they take longer and depend on condition and altitude alone.
    pub(crate) bands: bool,
    /// Whether the drawing is for a narrow screen.
    pub(crate) narrow: bool,
}

/// A fault at a place on its slider.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Set {
    pub(crate) fault: FaultId,
    pub(crate) place: f64,
    /// SI; 1 where the fault has none.
    pub(crate) severity: f64,
}

/// Understood.
#[derive(Debug)]
pub(crate) struct Asked {
    /// Two at most.
    pub(crate) set: Vec<Set>,
    pub(crate) condition: ConditionId,
    pub(crate) altitude: f64,
}

impl Asked {
    pub(crate) fn of(circuit: &Circuit, typed: &Typed) -> Result<Self, NotDone> {
        let first = set(circuit, &typed.fault, &typed.severity)?;
        let second = set(circuit, &typed.other, &typed.other_severity)?;
        if let (Some(one), Some(other)) = (first, second)
            && one.fault == other.fault
        {
            return Err(NotDone::bad_input("both faults are the same").hint("pick another second one"));
        }
        Ok(Self {
            set: first.into_iter().chain(second).collect(),
            condition: condition(circuit, &typed.condition)?,
            altitude: within(&typed.altitude, "the altitude", "m", HIGHEST)?.unwrap_or_default(),
        })
    }

    pub(crate) fn faults(&self) -> Vec<(FaultId, f64)> {
        self.set.iter().map(|set| (set.fault, set.severity)).collect()
    }

    pub(crate) fn ambient(&self) -> Ambient {
        Ambient::at_altitude(Length::from_si(self.altitude))
    }
}

fn set(circuit: &Circuit, fault: &str, severity: &str) -> Result<Option<Set>, NotDone> {
    if fault.is_empty() {
        return Ok(None);
    }
    let Some(id) = circuit.fault(fault) else {
        let names: Vec<String> = circuit
            .faults()
            .into_iter()
            .map(|(fault, _)| circuit.fault_name(fault))
            .collect();
        let near = nearest(fault, names.iter().map(String::as_str));
        let hint = near.map_or_else(
            || "the list on the page has all of them".to_owned(),
            |near| format!("did you mean `{near}`?"),
        );
        let told: String = fault.chars().take(60).collect();
        return Err(NotDone::bad_input(format!("this circuit has no fault `{told}`")).hint(hint));
    };
    let place = within(severity, "how bad it is", "on the slider", SLIDER)?.unwrap_or(SLIDER / 2.0);
    Ok(Some(Set {
        fault: id,
        place,
        severity: severity_at(circuit, id, place),
    }))
}

fn severity_at(circuit: &Circuit, fault: FaultId, place: f64) -> f64 {
    circuit
        .fault_spec(fault)
        .severity
        .map_or(1.0, |spec| spec.low * (spec.high / spec.low).powf(place / SLIDER))
}

/// How bad a fault is at a place of its slider, in the unit it is written in; nothing where it cannot be more or less bad.
pub(crate) fn how_bad(circuit: &Circuit, set: &Set) -> Option<String> {
    let spec = circuit.fault_spec(set.fault).severity?;
    let figure = Units::severity(&spec, set.severity, set.severity);
    Some(format!("{} {figure}", spec.what))
}

/// The condition that was named; else one with a running engine, else one with power on, else the first.
fn condition(circuit: &Circuit, named: &str) -> Result<ConditionId, NotDone> {
    if named.is_empty() {
        let all = &circuit.conditions;
        let running = all.iter().position(circuit::Condition::running);
        let usual = running.or_else(|| all.iter().position(|condition| condition.powered));
        return Ok(ConditionId(usual.unwrap_or_default()));
    }
    circuit.condition(named).ok_or_else(|| {
        let names: Vec<&str> = circuit
            .conditions
            .iter()
            .map(|condition| condition.id.as_str())
            .collect();
        let told: String = named.chars().take(60).collect();
        NotDone::bad_input(format!("this circuit has no condition `{told}`"))
            .hint(format!("it has {}", names.join(", ")))
    })
}

/// A number from 0 to `most`; none if nothing is written.
fn within(text: &str, what: &str, unit: &str, most: f64) -> Result<Option<f64>, NotDone> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let number = text.trim().parse::<f64>().ok();
    number
        .filter(|number| (0.0..=most).contains(number))
        .map(Some)
        .ok_or_else(|| {
            NotDone::bad_input(format!("{what} is not a number from 0 to {most} {unit}"))
                .hint("move the slider, or write a plain number")
        })
}
