//! Faults that come and go: whether one shows during a check, and what a check is while it does not.
//!
//! Each check is an occasion of its own: a fault shows in it or not, with the chance that its kind states for the condition.
//! What is found by eye, or by moving the part itself, does not wait for that.

use crate::model::Model;
use crate::vehicle::Vehicle;
use circuit::{FaultId, Method, PartId};
use std::borrow::Cow;

/// A reading that moves although nothing is loose: a lead slips, the engine hunts. From memory.
const MOVES_ANYWAY: f64 = 0.03;
/// A fault that is always there changes when its part is moved: a poor contact does so now and then. From memory.
const STEADY_MOVES: f64 = 0.1;

impl Model {
    /// The chance that `fault` shows during `check`; `None` for a fault that is always there.
    pub fn chance(&self, check: usize, fault: FaultId) -> Option<f64> {
        let shows = self.circuit.fault_spec(fault).shows?;
        let check = &self.checks[check];
        // Eyes, and hands that move it, have their own chance: the reading is made of it.
        let by_itself = matches!(check.method, Method::Look | Method::Wiggle);
        let under = self.circuit.conditions[check.condition.0].under;
        Some(if by_itself {
            1.0
        } else {
            shows.chance(under, false)
        })
    }

    /// `vehicle` as it is during one occasion of `check`: of the faults that come and go those that `lot` hides, given the
    /// chance to show, are there and do not show.
    pub fn occasion<'v>(
        &self,
        check: usize,
        vehicle: &'v Vehicle,
        mut lot: impl FnMut(f64) -> bool,
    ) -> Cow<'v, Vehicle> {
        let mut hides = |fault: FaultId| self.chance(check, fault).is_some_and(|chance| !lot(chance));
        let hidden: Vec<FaultId> = vehicle
            .faults
            .iter()
            .map(|(fault, _)| *fault)
            .filter(|fault| hides(*fault))
            .collect();
        if hidden.is_empty() {
            return Cow::Borrowed(vehicle);
        }
        let mut now = vehicle.clone();
        now.faults.retain(|(fault, _)| !hidden.contains(fault));
        now.absent.extend(hidden);
        Cow::Owned(now)
    }

    /// The chance that a reading moves while `part` is moved in the condition of `check`.
    pub(crate) fn moves(&self, check: usize, part: PartId, vehicle: &Vehicle) -> f64 {
        let under = self.circuit.conditions[self.checks[check].condition.0].under;
        let still = vehicle
            .present()
            .filter(|fault| fault.part == part)
            .map(|fault| {
                let shows = self.circuit.fault_spec(fault).shows;
                1.0 - shows.map_or(STEADY_MOVES, |shows| shows.chance(under, true))
            })
            .product::<f64>();
        1.0 - still * (1.0 - MOVES_ANYWAY)
    }
}
