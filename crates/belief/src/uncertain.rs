//! What a description leaves uncertain, as functions of standard normal values.
//!
//! Every uncertain thing (a tolerance, a severity, the supply, a gauge's error) is a standard normal value passed through
//! a scale of its own. A sample is then one vector of such values, and a leak stays the same leak in every check.

use crate::belief::Known;
use circuit::{Circuit, FaultId, SeveritySpec};
use physics::{Ambient, Vehicle};

/// Most faults in one suspect.
pub(crate) const MOST_FAULTS: usize = 4;

/// Weather moves the barometer by up to 1.5 % either way, and an altitude is known to some 50 m. From memory.
const BAROMETER_SPREAD: f64 = 0.015;
/// A barometer in the shop is right to 0.3 %. From memory.
const READ_SPREAD: f64 = 0.003;
/// Air in the lines is within 15 K of what was said. From memory.
const TEMPERATURE_SPREAD: f64 = 15.0;
/// Tolerances are cut at three standard deviations: what lies beyond is a fault.
const CUT: f64 = 3.0;

/// One uncertain value of a vehicle.
#[derive(Debug, Clone, Copy)]
struct Variable {
    target: Target,
    typical: f64,
    deviation: f64,
    range: (f64, f64),
}

#[derive(Debug, Clone, Copy)]
enum Target {
    Value(usize),
    Condition(usize, usize),
    Barometer,
    Temperature,
}

/// All uncertain values of a circuit in its surroundings.
#[derive(Debug, Clone)]
pub(crate) struct Uncertain {
    variables: Vec<Variable>,
    typical: Vehicle,
    /// Every fault of the circuit: a fault's severity has a dimension of its own, so that it is the same in every set of
    /// faults that holds it.
    faults: Vec<FaultId>,
}

impl Uncertain {
    /// The uncertain values of `circuit` in `ambient`, which is `known` so well.
    pub(crate) fn new(circuit: &Circuit, ambient: Ambient, known: Known) -> Self {
        let mut variables = Vec::new();
        let mut add = |target, typical: f64, spread: f64, range| {
            if spread > 0.0 {
                variables.push(Variable {
                    target,
                    typical,
                    deviation: 0.5 * spread,
                    range,
                });
            }
        };
        let mut index = 0;
        for part in &circuit.parts {
            for (value, spec) in part.values.iter().zip(part.kind.parameters) {
                add(Target::Value(index), value.typical, value.spread, spec.range);
                index += 1;
            }
        }
        for (index, condition) in circuit.conditions.iter().enumerate() {
            add(
                Target::Condition(index, 0),
                condition.engine.typical,
                condition.engine.spread,
                (0.0, f64::INFINITY),
            );
            if let Some(supply) = condition.supply {
                add(
                    Target::Condition(index, 1),
                    supply.typical,
                    supply.spread,
                    (0.0, f64::INFINITY),
                );
            }
        }
        let (barometer, temperature) = match known {
            Known::FromAltitude => (BAROMETER_SPREAD, TEMPERATURE_SPREAD),
            Known::Barometer => (READ_SPREAD, TEMPERATURE_SPREAD),
            Known::Exactly => (0.0, 0.0),
        };
        let any = (0.0, f64::INFINITY);
        add(
            Target::Barometer,
            ambient.pressure,
            barometer * ambient.pressure,
            any,
        );
        add(Target::Temperature, ambient.temperature, temperature, any);
        let faults = circuit.faults().into_iter().map(|(fault, _)| fault).collect();
        Self {
            variables,
            typical: Vehicle::typical(circuit, ambient),
            faults,
        }
    }

    /// Length of a sample: a severity for every fault, then the circuit's values.
    pub(crate) fn dimensions(&self) -> usize {
        self.faults.len() + self.variables.len()
    }

    /// The dimension of a fault's severity.
    pub(crate) fn severity(&self, fault: FaultId) -> Option<usize> {
        self.faults.binary_search(&fault).ok()
    }

    /// A vehicle to be filled by [`Self::fill`].
    pub(crate) fn blank(&self) -> Vehicle {
        self.typical.clone()
    }

    /// Makes `vehicle` the one that the standard normal values `z` say, with `faults`.
    pub(crate) fn fill(&self, vehicle: &mut Vehicle, circuit: &Circuit, faults: &[FaultId], z: &[f64]) {
        let first = self.faults.len();
        for (variable, z) in self.variables.iter().zip(&z[first..]) {
            let value = variable.typical + variable.deviation * z.clamp(-CUT, CUT);
            let value = value.clamp(variable.range.0, variable.range.1);
            match variable.target {
                Target::Value(index) => vehicle.values[index] = value,
                Target::Condition(index, field) => vehicle.conditions[index][field] = value,
                Target::Barometer => vehicle.ambient.pressure = value,
                Target::Temperature => vehicle.ambient.temperature = value,
            }
        }
        vehicle.faults.clear();
        vehicle.absent.clear();
        for fault in faults {
            let z = self.severity(*fault).map_or(0.0, |dimension| z[dimension]);
            let severity = circuit
                .fault_spec(*fault)
                .severity
                .map_or(1.0, |severity| severity_at(&severity, z));
            vehicle.faults.push((*fault, severity));
        }
    }
}

/// The severity at a standard normal value: log-normal on either side of the median, with the 5th and 95th percentile
/// where the kind says; never beyond a quarter past them.
pub fn severity_at(severity: &SeveritySpec, z: f64) -> f64 {
    const NINETY_FIVE: f64 = 1.644_853_627;
    let end = if z < 0.0 { severity.low } else { severity.high };
    let reach = (z.abs() / NINETY_FIVE).min(1.5);
    if severity.typical > 0.0 && end > 0.0 {
        severity.typical * (end / severity.typical).powf(reach)
    } else {
        // A severity that may be zero or negative (an offset) goes in even steps.
        severity.typical + (end - severity.typical) * reach
    }
}
