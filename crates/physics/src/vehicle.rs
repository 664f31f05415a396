//! One particular vehicle: every value that a description leaves uncertain, made definite.

use crate::ambient::Ambient;
use circuit::{Circuit, FaultId};

/// A circuit with definite values and definite faults, in its surroundings. Values are SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Vehicle {
    /// Parameter values of all parts, in the order of parts and of each kind's parameters.
    pub values: Vec<f64>,
    /// Engine speed (rev/s) and supply (V; 0 where the condition sets none) per condition.
    pub conditions: Vec<[f64; 2]>,
    /// The air around it.
    pub ambient: Ambient,
    /// Its faults with their severities (1 where a fault has none).
    pub faults: Vec<(FaultId, f64)>,
    /// Faults that it has and that do not show now.
    pub absent: Vec<FaultId>,
}

impl Vehicle {
    /// The typical vehicle: every value as described, no fault.
    pub fn typical(circuit: &Circuit, ambient: Ambient) -> Self {
        Self {
            values: circuit
                .parts
                .iter()
                .flat_map(|part| part.values.iter().map(|value| value.typical))
                .collect(),
            conditions: circuit
                .conditions
                .iter()
                .map(|condition| {
                    [
                        condition.engine.typical,
                        condition.supply.map_or(0.0, |supply| supply.typical),
                    ]
                })
                .collect(),
            ambient,
            faults: Vec::new(),
            absent: Vec::new(),
        }
    }

    /// Its faults, those that do not show now too.
    pub fn present(&self) -> impl Iterator<Item = FaultId> {
        self.faults
            .iter()
            .map(|(fault, _)| *fault)
            .chain(self.absent.iter().copied())
    }

    /// The same vehicle with one more fault at its typical severity.
    #[must_use]
    pub fn with_fault(mut self, circuit: &Circuit, fault: FaultId) -> Self {
        let severity = circuit
            .fault_spec(fault)
            .severity
            .map_or(1.0, |severity| severity.typical);
        self.faults.push((fault, severity));
        self
    }
}
