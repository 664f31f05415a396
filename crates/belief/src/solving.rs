//! One sample after another meets the readings, network after network, as long as it matters.
//!
//! Most samples cannot explain most readings. The likelihood so far bounds what it will be in the end, so a sample whose
//! bound cannot be seen beside the other suspects is given up after a few networks.

use crate::cloud::Cloud;
use crate::coming::{Coming, Truth};
use crate::running::Running;
use crate::sampler::Sampler;
use circuit::FaultId;
use physics::{Probe, Vehicle};
use std::ops::Range;

/// Memory for meeting one sample after another with all readings.
pub(crate) struct Solving<'s, 'm> {
    sampler: &'s Sampler<'m>,
    vehicle: Vehicle,
    running: Running<'s>,
    /// Scratch: the faults of the sample, the readings of one network in one state.
    all: Vec<(FaultId, f64)>,
    shown: Vec<f64>,
}

/// The like samples of other clouds, to be told apart from.
pub(crate) struct Twins<'t> {
    pub(crate) clouds: &'t [Cloud],
    pub(crate) alike: &'t mut Vec<usize>,
    pub(crate) share: f64,
    pub(crate) row: usize,
}

impl<'s, 'm> Solving<'s, 'm> {
    pub(crate) fn new(sampler: &'s Sampler<'m>) -> Self {
        Self {
            sampler,
            vehicle: sampler.uncertain.blank(),
            running: Running::new(&sampler.toolbox),
            all: Vec::new(),
            shown: Vec::new(),
        }
    }

    /// What perfect instruments show on sample `z` with `faults`, network after network, until it is hopeless and nothing
    /// more can tell it from its twins. The logarithm of its likelihood, or what bounds it; and whether every network found its balance.
    pub(crate) fn sample(
        &mut self,
        probe: &mut Probe,
        (faults, coming): (&[FaultId], &Coming),
        hopeless: f64,
        z: &[f64],
        truths: &mut [f64],
        mut twins: Option<Twins>,
    ) -> (f64, bool) {
        let sampler = self.sampler;
        sampler.vehicle(&mut self.vehicle, faults, z);
        self.running.reset();
        self.all.clone_from(&self.vehicle.faults);
        let states = coming.count();
        let (mut balanced, mut ln) = (true, sampler.ln_peaks);
        for group in &sampler.groups {
            if ln < hopeless && twins.as_ref().is_none_or(|twins| twins.given_up(group)) {
                break;
            }
            let truths = &mut truths[group.start * states..group.end * states];
            balanced &= self.meet(probe, group, coming, truths);
            if let Some(twins) = &mut twins {
                twins.compare(sampler, group, coming, truths);
            }
            for (k, values) in group.clone().zip(truths.chunks_exact(states)) {
                let chances = coming.chances(k);
                self.running.take(&sampler.readings[k], Truth { values, chances });
            }
            ln = sampler.ln_peaks + self.running.ln();
        }
        (ln, balanced)
    }

    /// What perfect instruments show of the readings of one network, in every state that can be.
    fn meet(&mut self, probe: &mut Probe, group: &Range<usize>, coming: &Coming, truths: &mut [f64]) -> bool {
        let (sampler, states) = (self.sampler, coming.count());
        if states == 1 {
            return sampler.meet(probe, group, &self.vehicle, truths);
        }
        let mut balanced = true;
        for state in 0..states {
            // Readings of one network are made in one condition; a look among them has a chance of its own.
            if group.clone().all(|k| coming.chances(k)[state] <= 0.0) {
                continue;
            }
            coming.put(&mut self.vehicle, &self.all, state);
            self.shown.clear();
            self.shown.resize(group.len(), f64::NAN);
            balanced &= sampler.meet(probe, group, &self.vehicle, &mut self.shown);
            let own = truths.iter_mut().skip(state).step_by(states);
            own.zip(&self.shown).for_each(|(truth, shown)| *truth = *shown);
        }
        balanced
    }
}

impl Twins<'_> {
    /// What the twin in `cloud` shows in `group`, in all its states.
    fn of<'c>(&self, cloud: &'c Cloud, group: &Range<usize>) -> impl Iterator<Item = Truth<'c>> {
        let readings = cloud.truths.len() / (cloud.len() * cloud.coming.count());
        let (row, group) = (self.row, group.clone());
        group.map(move |k| cloud.truth(row, k, readings))
    }

    /// `true` if no twin was followed as far as this network.
    fn given_up(&self, group: &Range<usize>) -> bool {
        let mut alike = self.alike.iter().map(|index| &self.clouds[*index]);
        alike.all(|cloud| {
            let mut shown = self.of(cloud, group);
            shown.all(|truth| truth.values.iter().all(|value| value.is_nan()))
        })
    }

    /// Drops the twins that `truths` differ from.
    fn compare(&mut self, sampler: &Sampler, group: &Range<usize>, coming: &Coming, truths: &[f64]) {
        let mut alike = std::mem::take(self.alike);
        alike.retain(|index| {
            let twin = &self.clouds[*index];
            let beside = coming.beside(&twin.coming);
            let readings = group.clone().zip(truths.chunks_exact(coming.count()));
            readings.zip(self.of(twin, group)).all(|((k, values), other)| {
                let mut states = values.iter().zip(coming.chances(k)).zip(&beside);
                states.all(|((value, chance), beside)| {
                    *chance <= 0.0 || sampler.unseen(k, *value, other.values[*beside], self.share)
                })
            })
        });
        *self.alike = alike;
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]

    use super::*;
    use crate::evidence::{Observation, Outcome};
    use crate::running::Toolbox;
    use crate::uncertain::Uncertain;
    use crate::{Known, Surroundings};
    use physics::{Model, Prediction};

    /// What is given up could not have been seen: each cloud's evidence moves by less than the bound says, whether it explains
    /// the readings well or not at all. And most of the solving is spared where it does not.
    #[test]
    fn samples_that_are_given_up_are_not_missed() {
        let text = include_str!("../../../circuits/vacuum-wastegate.toml");
        let model = Model::new(
            circuit::read("wastegate", text, physics::catalogue())
                .circuit
                .unwrap(),
        );
        // What every seventh check shows of a vehicle with the first fault.
        let around = Surroundings::default();
        let mut vehicle = Vehicle::typical(model.circuit(), around.ambient);
        let (fault, _) = model.circuit().faults()[0];
        let severity = model.circuit().fault_spec(fault).severity;
        vehicle
            .faults
            .push((fault, severity.map_or(1.0, |severity| severity.typical)));
        let checks = (0..model.checks().len()).step_by(7);
        let observations: Vec<Observation> = checks
            .map(|check| Observation {
                check,
                outcome: match model.probe().predict(check, &vehicle).unwrap() {
                    Prediction::Number(value) => Outcome::Value(value),
                    Prediction::Yes(yes) if yes > 0.5 => Outcome::Yes,
                    Prediction::Yes(_) => Outcome::No,
                },
                instrument: None,
            })
            .collect();
        let toolbox = Toolbox::new(model.checks(), &observations);
        let prepared = observations
            .iter()
            .map(|o| toolbox.prepare(model.checks(), o))
            .collect();
        let uncertain = Uncertain::new(model.circuit(), around.ambient, Known::FromAltitude);
        let sampler = Sampler::new(&model, uncertain, toolbox, prepared, 1);
        let mut probe = model.probe();
        let mut solves = [0, 0];
        let all: Vec<Cloud> = clouds(&sampler, &mut probe, f64::NEG_INFINITY);
        solves[0] = probe.solves;
        let best = all
            .iter()
            .map(Cloud::ln_evidence)
            .fold(f64::NEG_INFINITY, f64::max);
        let mut probe = model.probe();
        let few = clouds(&sampler, &mut probe, best);
        solves[1] = probe.solves;
        for (all, few) in all.iter().zip(&few) {
            let (all, few) = ((all.ln_evidence() - best).exp(), (few.ln_evidence() - best).exp());
            assert!((all - few).abs() < 1e-6 + 1e-9 * all, "{all} and {few}");
        }
        assert!(solves[1] * 10 < solves[0] * 8, "{solves:?}");
    }

    fn clouds(sampler: &Sampler, probe: &mut Probe, ln_scale: f64) -> Vec<Cloud> {
        let faults = sampler.model.circuit().faults().into_iter();
        let drawn = faults.map(|(fault, _)| {
            let mut cloud = Cloud::new(sampler, vec![fault]);
            cloud.give_up_below(ln_scale);
            cloud.draw(sampler, probe, 64);
            cloud
        });
        drawn.collect()
    }
}
