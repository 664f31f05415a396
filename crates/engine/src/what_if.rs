//! What checks read on a typical vehicle, sound and with given faults: to see what a fault does.

use circuit::FaultId;
use physics::{Ambient, Model, SolveError, Vehicle};

/// One check on the same vehicle twice, as a perfect instrument would read it.
#[derive(Debug, Clone, PartialEq)]
pub struct WhatIf {
    /// Index into the model's checks.
    pub check: usize,
    /// Without a fault, SI; the probability of a yes where it is yes or no.
    pub sound: Result<f64, SolveError>,
    /// With the faults.
    pub faulty: Result<f64, SolveError>,
}

/// What each of `checks` reads on the typical vehicle in `ambient`, sound and with `faults` at their severities, in the order of
/// `checks`. A check that finds no balance says so and takes none of the others with it.
pub fn what_if(model: &Model, ambient: Ambient, faults: &[(FaultId, f64)], checks: &[usize]) -> Vec<WhatIf> {
    let sound = Vehicle::typical(model.circuit(), ambient);
    let mut faulty = sound.clone();
    faulty.faults.extend_from_slice(faults);
    let (sound, faulty) = (readings(model, &sound, checks), readings(model, &faulty, checks));
    let both = sound.into_iter().zip(faulty).zip(checks);
    both.map(|((sound, faulty), check)| WhatIf {
        check: *check,
        sound,
        faulty,
    })
    .collect()
}

/// True readings of one vehicle in the order of `checks`; every network is solved once as long as all find their balance.
fn readings(model: &Model, vehicle: &Vehicle, checks: &[usize]) -> Vec<Result<f64, SolveError>> {
    let mut order: Vec<usize> = (0..checks.len()).collect();
    order.sort_by_key(|place| model.setting(checks[*place]));
    let sorted: Vec<usize> = order.iter().map(|place| checks[*place]).collect();
    let mut shown = vec![0.0; sorted.len()];
    let mut probe = model.probe();
    if probe.predict_all(&sorted, vehicle, &mut shown).is_ok() {
        let mut readings = vec![Ok(0.0); checks.len()];
        for (place, shown) in order.into_iter().zip(shown) {
            readings[place] = Ok(shown);
        }
        return readings;
    }
    // Some network finds no balance: one by one, so that the others still answer.
    let one = |check: &usize| {
        let read = probe.predict(*check, vehicle)?;
        Ok(read.value())
    };
    checks.iter().map(one).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]

    use super::*;
    use crate::{load, shipped};

    #[test]
    fn a_worse_leak_leaves_less_vacuum_and_no_fault_changes_nothing() {
        for shipped in shipped() {
            let model = load(shipped.name, shipped.text).model.unwrap();
            let all: Vec<usize> = (0..model.checks().len()).collect();
            let none = what_if(&model, Ambient::default(), &[], &all);
            assert_eq!(none.len(), all.len());
            for read in &none {
                assert_eq!(read.sound, read.faulty, "{}", model.checks()[read.check].id);
            }
        }
        let shipped = crate::shipped_called("vacuum-wastegate").unwrap();
        let model = load(shipped.name, shipped.text).model.unwrap();
        let circuit = model.circuit();
        let (fault, spec) = circuit
            .faults()
            .into_iter()
            .map(|(fault, _)| (fault, circuit.fault_spec(fault)))
            .find(|(_, spec)| spec.name.contains("leak") && spec.severity.is_some())
            .unwrap();
        let severity = spec.severity.unwrap();
        let tees: Vec<usize> = (0..model.checks().len())
            .filter(|check| model.checks()[*check].method == circuit::Method::Tee)
            .collect();
        let fall = |severity: f64| -> f64 {
            what_if(&model, Ambient::default(), &[(fault, severity)], &tees)
                .iter()
                .map(|read| read.sound.clone().unwrap() - read.faulty.clone().unwrap())
                .fold(0.0, f64::max)
        };
        let (little, much) = (fall(severity.low), fall(severity.high));
        assert!(much > little && little >= 0.0, "{little} Pa, {much} Pa");
    }

    #[test]
    fn the_order_of_checks_is_kept() {
        let shipped = crate::shipped_called("starter-circuit").unwrap();
        let model = load(shipped.name, shipped.text).model.unwrap();
        let forth: Vec<usize> = (0..model.checks().len()).collect();
        let back: Vec<usize> = forth.iter().rev().copied().collect();
        let ambient = Ambient::default();
        let (forth, mut back) = (
            what_if(&model, ambient, &[], &forth),
            what_if(&model, ambient, &[], &back),
        );
        back.reverse();
        assert_eq!(
            forth.iter().map(|read| read.check).collect::<Vec<_>>(),
            back.iter().map(|read| read.check).collect::<Vec<_>>()
        );
        for (one, other) in forth.iter().zip(&back) {
            let (one, other) = (one.sound.clone().unwrap(), other.sound.clone().unwrap());
            assert!((one - other).abs() <= 1e-6 * one.abs().max(1.0), "{one} {other}");
        }
    }
}
