//! A vehicle whose cause only practice knows: it can be measured and repaired, and shows nothing else.

use super::draws::{Draws, Purpose};
use super::world::{MISREAD, World, accuracy};
use crate::scene::division;
use belief::{Known, Outcome, Surroundings, compared, reading};
use circuit::{Check, Circuit, FaultId, Instrument, Method, PartId, Reads};
use physics::{Ambient, Model, Probe, Vehicle};
use quantity::Length;
use std::collections::BTreeMap;

/// Share of bad new parts that a check on the bench finds before they are fitted. From memory, no source.
const CAUGHT: f64 = 0.7;
/// New parts sent back one after the other before the next is fitted as it is.
const MOST_SENT_BACK: u32 = 5;

/// One vehicle with a hidden cause.
#[derive(Debug)]
pub struct Hidden<'w> {
    world: &'w World<'w>,
    number: u64,
    height: f64,
    vehicle: Vehicle,
    /// The cause as it was; the vehicle's own faults change with repairs.
    cause: Vec<(FaultId, f64)>,
    /// Own errors of the instruments, as standard normal values.
    tools: [[f64; 2]; Instrument::ALL.len()],
    /// Which of the circuit's complaints and codes it came with, 0 to 1.
    words: [f64; 2],
    probe: Probe<'w>,
    taken: BTreeMap<usize, u32>,
    fitted: Vec<u32>,
}

/// What came of taking a new part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fitted {
    /// Whether the part that came out had a fault.
    pub was_faulty: bool,
    /// New parts that the check on the bench sent back.
    pub sent_back: u32,
}

impl<'w> Hidden<'w> {
    pub(super) fn new(
        world: &'w World<'w>,
        number: u64,
        height: f64,
        vehicle: Vehicle,
        tools: &[[f64; 2]; Instrument::ALL.len()],
        words: [f64; 2],
    ) -> Self {
        Self {
            number,
            height,
            cause: vehicle.faults.clone(),
            vehicle,
            tools: *tools,
            words,
            probe: world.model.probe(),
            taken: BTreeMap::new(),
            fitted: vec![0; world.model.circuit().parts.len()],
            world,
        }
    }

    /// The model of its circuit.
    pub fn model(&self) -> &'w Model {
        self.world.model
    }

    /// What the shop knows of the air around: the height above the sea.
    pub fn surroundings(&self) -> Surroundings {
        surroundings(self.height)
    }

    /// Height of the shop above sea level.
    pub fn height(&self) -> Length {
        Length::from_si(self.height)
    }

    /// What the customer says and what code is stored, as far as the circuit names any.
    pub fn complaint(&self) -> (Option<&'w str>, Option<&'w str>) {
        let circuit: &'w Circuit = self.world.model.circuit();
        let (said, stored) = (
            drawn(&circuit.symptoms, self.words[0]),
            drawn(&circuit.codes, self.words[1]),
        );
        (said, stored)
    }

    /// The hidden cause: faults with their severities; none if it lies beyond this circuit.
    pub fn cause(&self) -> &[(FaultId, f64)] {
        &self.cause
    }

    /// The vehicle as it stands.
    #[cfg(test)]
    pub(super) fn vehicle(&self) -> &Vehicle {
        &self.vehicle
    }

    /// The faults that are there now.
    pub(super) fn faults(&self) -> &[(FaultId, f64)] {
        &self.vehicle.faults
    }

    /// `true` once no part of this circuit has a fault.
    pub fn is_sound(&self) -> bool {
        self.vehicle.faults.is_empty()
    }

    /// Makes a check; `None` if it could not be done, because the circuit finds no balance.
    pub fn read(&mut self, check: usize) -> Option<Outcome> {
        let taken = self.taken.entry(check).or_default();
        let before = *taken;
        *taken += 1;
        let mut draws = self.world_draws(Purpose::Reading(check, before));
        // From rest: a reading must not depend on those before.
        self.probe.cold();
        let now = self
            .world
            .model
            .occasion(check, &self.vehicle, |chance| draws.chance(chance));
        let truth = self.probe.predict(check, &now).ok()?.value();
        let spec = &self.world.model.checks()[check];
        let truth = match spec.level() {
            Some(level) => compared(
                &accuracy(spec.instrument),
                level,
                [draws.normal(), draws.normal()],
            ),
            None => truth,
        };
        let misread = draws.chance(MISREAD);
        if spec.reads == Reads::YesNo {
            let yes = draws.chance(if misread { 0.5 } else { truth });
            return Some(if yes { Outcome::Yes } else { Outcome::No });
        }
        let shown = if misread {
            gross(&mut draws, spec.instrument)
        } else {
            self.shown(&mut draws, spec.instrument, truth)
        };
        Some(Outcome::Value(as_read(spec, shown)))
    }

    /// Renews a part. With `checked`, the new one is tried on the bench first, where it can be.
    pub fn renew(&mut self, part: PartId, checked: bool) -> Fitted {
        let was_faulty = self.vehicle.faults.iter().any(|(fault, _)| fault.part == part);
        let checked = checked && can_be_tried(self.world.model.circuit(), part);
        self.vehicle.faults.retain(|(fault, _)| fault.part != part);
        let mut sent_back = 0;
        loop {
            let before = self.fitted[part.0];
            self.fitted[part.0] += 1;
            let mut draws = self.world_draws(Purpose::NewPart(part.0, before));
            let bad = draws.chance(self.world.bad_new[part.0]);
            let caught = draws.chance(CAUGHT);
            if bad && checked && caught && sent_back < MOST_SENT_BACK {
                sent_back += 1;
                continue;
            }
            if bad && let Some(fault) = self.world.fault_of_new(&mut draws, part.0) {
                self.vehicle.faults.push(fault);
            }
            return Fitted {
                was_faulty,
                sent_back,
            };
        }
    }

    fn world_draws(&self, purpose: Purpose) -> Draws {
        Draws::of(
            self.world.seed,
            &self.world.model.circuit().name,
            self.number,
            purpose,
        )
    }

    /// What the instrument shows.
    fn shown(&self, draws: &mut Draws, instrument: Instrument, truth: f64) -> f64 {
        let accuracy = accuracy(instrument);
        let index = Instrument::ALL
            .iter()
            .position(|known| *known == instrument)
            .unwrap_or_default();
        reading(
            &accuracy,
            truth,
            accuracy.error_at(self.tools[index]),
            draws.normal(),
        )
    }
}

/// Anything the instrument can show.
fn gross(draws: &mut Draws, instrument: Instrument) -> f64 {
    let accuracy = accuracy(instrument);
    let (low, high) = accuracy.range;
    if accuracy.logarithmic {
        draws.between(low.ln(), high.ln()).exp()
    } else {
        draws.between(low, high)
    }
}

/// A shop at a height, m.
pub(super) fn surroundings(height: f64) -> Surroundings {
    Surroundings {
        ambient: Ambient::at_altitude(Length::from_si(height)),
        known: Known::FromAltitude,
    }
}

/// `true` for a part that can be tried by itself on the bench: one whose own checks measure it alone or feed it.
pub(super) fn can_be_tried(circuit: &Circuit, part: PartId) -> bool {
    let checks = circuit.parts[part.0].kind.checks;
    checks
        .iter()
        .any(|method| matches!(method, Method::Ohms | Method::Jumper | Method::Hold))
}

/// A value to the division that a person reads; an open circuit is not a figure, and what has no sign is not below nothing.
fn as_read(check: &Check, shown: f64) -> f64 {
    const OPEN: f64 = 3.0e7;
    let step = division(check.instrument, shown);
    let read = if shown > OPEN {
        shown
    } else {
        (shown / step).round() * step
    };
    match check.reads {
        Reads::Voltage | Reads::GaugePressure => read,
        _ => read.max(0.0),
    }
}

fn drawn(texts: &[String], share: f64) -> Option<&str> {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share of a short list"
    )]
    let index = (share * texts.len() as f64) as usize;
    texts.get(index).map(String::as_str)
}
