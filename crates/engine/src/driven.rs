//! What a circuit does to a drive: the signals of a simulated vehicle that its physics gives, healthy or with faults.

use belief::Surroundings;
use circuit::{Circuit, Condition, FaultId, Method, Place, Reads};
use drive::made::Response;
use physics::{Model, SolveError, Vehicle};
use quantity::{Pressure, RotationalSpeed, Voltage};
use thiserror::Error;

/// Why a circuit gives no drive.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum NoDrive {
    /// Nothing in it shows on a drive.
    #[error(
        "nothing in this circuit shows on a drive: it has neither a rod that moves boost (its `works` is a `travel` check) nor a sensor that tells a pressure nor a battery"
    )]
    NoSignal,
    /// It finds no balance.
    #[error(transparent)]
    NoBalance(#[from] SolveError),
}

/// An engine slower than this is turned by the starter, rev/s: 400 rpm. Common practice, no source.
pub(crate) const CRANKED: f64 = 400.0 / 60.0;

/// Most boost that a drive shows, as a share of what is sound: an engine that gets more cuts its fuel.
const MOST_BOOST: f64 = 1.5;
/// Full load, a share. Common practice, no source.
const FULL_LOAD: f64 = 0.9;

/// How `model` with `faults` at their severities shows on a drive. What it does not touch is as on a sound vehicle.
///
/// # Errors
/// Nothing of it shows, or it finds no balance.
pub fn drive_response(
    model: &Model,
    surroundings: Surroundings,
    faults: &[(FaultId, f64)],
) -> Result<Response, NoDrive> {
    let sound = Vehicle::typical(model.circuit(), surroundings.ambient);
    let mut faulty = sound.clone();
    faulty.faults.extend_from_slice(faults);
    let shown = |check: usize| -> Result<(f64, f64), SolveError> {
        Ok((read(model, check, &faulty)?, read(model, check, &sound)?))
    };
    let mut response = Response::default();
    let mut found = false;
    let mut actuator = Vec::new();
    for check in travels(model) {
        let (now, whole) = shown(check)?;
        // A rod that does not move when all is sound tells nothing here.
        if whole > 0.0 {
            let speed = engine_speed(model, check);
            actuator.push((RotationalSpeed::from_si(speed), (now / whole).clamp(0.0, 1.0)));
        }
    }
    let ambient = surroundings.ambient.pressure;
    for check in told_pressures(model) {
        let (now, whole) = shown(check)?;
        if at_full_load(model, check) && travels(model).is_empty() && whole > ambient {
            // The turbocharger's own balance says how much boost is left.
            let share = ((now - ambient) / (whole - ambient)).clamp(0.0, MOST_BOOST);
            actuator.push((RotationalSpeed::from_si(engine_speed(model, check)), share));
        } else if engine_speed(model, check) <= 0.0 {
            response.intake_off_by = Pressure::from_si(now - whole);
            found = true;
        }
    }
    if !actuator.is_empty() {
        actuator.sort_by(|a, b| a.0.si().total_cmp(&b.0.si()));
        response.actuator = actuator;
        found = true;
    }
    for check in supplies(model) {
        let (now, _) = shown(check)?;
        let engine = engine_speed(model, check);
        let now = Voltage::from_si(now);
        if engine <= 0.0 {
            response.resting = now;
        } else if engine < CRANKED {
            response.cranking = now;
        } else {
            response.charging = now;
        }
        found = true;
    }
    for check in starters(model) {
        let (now, whole) = shown(check)?;
        if whole > 0.0 {
            response.cranked_at = RotationalSpeed::from_si(engine_speed(model, check) * now / whole);
        }
    }
    if found {
        Ok(response)
    } else {
        Err(NoDrive::NoSignal)
    }
}

fn read(model: &Model, check: usize, vehicle: &Vehicle) -> Result<f64, SolveError> {
    Ok(model.probe().predict(check, vehicle)?.value())
}

/// Engine speed of a check's condition, rev/s.
pub(crate) fn engine_speed(model: &Model, check: usize) -> f64 {
    let condition = model.checks()[check].condition;
    model.circuit().conditions[condition.0].engine.typical
}

/// Where the circuit works by the travel of a rod: that travel, in every condition with a running engine that commands something.
fn travels(model: &Model) -> Vec<usize> {
    let circuit = model.circuit();
    let works = circuit.works.as_ref().and_then(|works| {
        let own = model.checks().iter().find(|check| check.id == works.check);
        own.filter(|check| check.method == Method::Travel)
    });
    let Some(works) = works else {
        return Vec::new();
    };
    let same = (0..model.checks().len()).filter(|index| {
        let check = &model.checks()[*index];
        let condition = &circuit.conditions[check.condition.0];
        check.method == Method::Travel
            && check.place == works.place
            && condition.running()
            && condition.commands.iter().any(|command| command.duty > 0.0)
    });
    same.collect()
}

/// Voltage at the battery's positive terminal, power on: of several running conditions the slowest counts, as the last.
pub(crate) fn supplies(model: &Model) -> Vec<usize> {
    let circuit = model.circuit();
    let mut all: Vec<usize> = (0..model.checks().len())
        .filter(|index| {
            let check = &model.checks()[*index];
            check.method == Method::Volts
                && check.reads == Reads::Voltage
                && circuit.conditions[check.condition.0].powered
                && at_the_battery(circuit, check.place)
        })
        .collect();
    all.sort_by(|a, b| engine_speed(model, *b).total_cmp(&engine_speed(model, *a)));
    all
}

fn at_the_battery(circuit: &Circuit, place: Place) -> bool {
    let Place::Port(port, _) = place else {
        return false;
    };
    let kind = circuit.parts[port.part.0].kind;
    kind.name == "battery" && kind.ports[port.port].name == "positive"
}

/// Where the circuit has one sensor whose pressure the module tells: what it tells, in every condition of the vehicle as it is driven.
pub(crate) fn told_pressures(model: &Model) -> Vec<usize> {
    let circuit = model.circuit();
    let commands = |condition: &Condition| !condition.commands.is_empty();
    let driven = circuit.conditions.iter().any(commands);
    let all: Vec<usize> = (0..model.checks().len())
        .filter(|index| {
            let check = &model.checks()[*index];
            let condition = &circuit.conditions[check.condition.0];
            check.method == Method::Data
                && check.reads == Reads::AbsolutePressure
                && condition.powered
                // With something unplugged that a module drives, nobody drives.
                && (commands(condition) || !driven || !condition.running())
        })
        .collect();
    let place = all.first().map(|index| model.checks()[*index].place);
    if all
        .iter()
        .all(|index| Some(model.checks()[*index].place) == place)
    {
        all
    } else {
        Vec::new()
    }
}

/// Whether a check is made at full load.
pub(crate) fn at_full_load(model: &Model, check: usize) -> bool {
    model.circuit().conditions[model.checks()[check].condition.0].load >= FULL_LOAD
}

/// Speed of a starter while it cranks.
fn starters(model: &Model) -> Vec<usize> {
    let turned = |index: &usize| {
        let check = &model.checks()[*index];
        let engine = engine_speed(model, *index);
        check.method == Method::Speed && engine > 0.0 && engine < CRANKED
    };
    (0..model.checks().len()).filter(turned).collect()
}
