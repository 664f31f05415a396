//! What is believed of a vehicle after its readings.

use crate::cloud::Cloud;
use crate::evidence::Observation;
use crate::listing::{Listed, Listing};
use crate::prior::Prior;
use crate::refine::refine;
use crate::running::Toolbox;
use crate::sampler::Sampler;
use crate::sets::{Growth, grow, ln_sum_exp};
use crate::uncertain::{MOST_FAULTS, Uncertain};
use circuit::FaultId;
use physics::{Ambient, Model};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// How much work a belief may take. The defaults are for a circuit of some fourteen parts on a laptop.
#[derive(Debug, Clone, Copy)]
pub struct Effort {
    /// Samples of nothing wrong and of every single fault at first.
    pub singles: usize,
    /// Samples of every larger set at first.
    pub sets: usize,
    /// Most faults of one suspect, at most four.
    pub most_faults: usize,
    /// Standard error wanted of every probability.
    pub error: f64,
    /// Most samples of one suspect.
    pub most: usize,
    /// Seed of the points.
    pub seed: u32,
}

impl Effort {
    /// Half the default accuracy for a quarter of the samples: where a person watches and another reading follows at once.
    pub fn brisk() -> Self {
        Self {
            singles: 64,
            sets: 8,
            error: 0.012,
            most: 2048,
            ..Self::default()
        }
    }
}

impl Default for Effort {
    fn default() -> Self {
        Self {
            singles: 128,
            sets: 10,
            most_faults: MOST_FAULTS,
            error: 0.004,
            most: 8192,
            seed: 1,
        }
    }
}

/// The air around, and how it is known.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Surroundings {
    /// Pressure and temperature.
    pub ambient: Ambient,
    /// How well they are known.
    pub known: Known,
}

/// How well the air around is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Known {
    /// The barometer follows from an altitude: weather and the map's error remain.
    #[default]
    FromAltitude,
    /// A barometer was read.
    Barometer,
    /// Exactly, the temperature too: for a scene that is computed.
    Exactly,
}

/// A set of faults with its probability.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspect {
    /// Its faults; empty for "nothing wrong in this circuit".
    pub faults: Vec<FaultId>,
    /// Probability after the readings.
    pub probability: f64,
    /// Number of its cloud of samples; suspects that the readings cannot tell apart share one.
    pub(crate) cloud: usize,
}

/// The belief: suspects with their clouds of samples.
#[derive(Debug)]
pub struct Belief<'m> {
    pub(crate) sampler: Sampler<'m>,
    /// Likeliest first; nothing wrong is among them.
    pub(crate) suspects: Vec<Suspect>,
    pub(crate) clouds: Vec<Cloud>,
    /// Probability that the cause is not on the list.
    pub(crate) not_listed: f64,
    /// Share of the evidence that the listed suspects hold.
    pub(crate) kept: f64,
    /// Per cloud, sample and reading: what leaving the reading out does to the sample's weight; made when first asked for.
    pub(crate) left_out: OnceLock<Vec<Vec<f64>>>,
}

impl<'m> Belief<'m> {
    /// The belief on `model` in `surroundings` after `observations`.
    pub fn new(
        model: &'m Model,
        surroundings: Surroundings,
        observations: &[Observation],
        effort: Effort,
    ) -> Self {
        let sampler = sampler(model, surroundings, observations, effort.seed);
        let prior = Prior::new(model.circuit());
        let (mut listed, kept) = list(&sampler, &prior, effort);
        let mut mass = vec![f64::NEG_INFINITY; listed.clouds.len()];
        for (faults, cloud) in &listed.sets {
            mass[*cloud] = ln_sum_exp([mass[*cloud], prior.ln(faults)].into_iter());
        }
        refine(&sampler, &mut listed.clouds, &mass, effort);
        let (suspects, not_listed) = settle(&sampler, &prior, &listed);
        Self {
            sampler,
            suspects,
            clouds: listed.clouds,
            not_listed,
            kept,
            left_out: OnceLock::new(),
        }
    }

    /// The cloud of the suspect at `index`.
    pub(crate) fn cloud(&self, index: usize) -> &Cloud {
        &self.clouds[self.suspects[index].cloud]
    }

    /// The model.
    pub fn model(&self) -> &'m Model {
        self.sampler.model
    }

    /// Suspects, likeliest first; nothing wrong is among them, with no faults.
    pub fn suspects(&self) -> &[Suspect] {
        &self.suspects
    }

    /// Probability that nothing is wrong in this circuit.
    pub fn nothing_wrong(&self) -> f64 {
        self.suspects
            .iter()
            .find(|suspect| suspect.faults.is_empty())
            .map_or(0.0, |suspect| suspect.probability)
    }

    /// Probability that the cause is not on the list.
    pub fn not_listed(&self) -> f64 {
        self.not_listed
    }

    /// Share of the evidence that the listed suspects hold, estimated from how the last larger sets gained.
    pub fn kept(&self) -> f64 {
        self.kept
    }

    /// Suspects and samples behind the belief: what its cost depends on.
    pub fn work(&self) -> (usize, usize) {
        (self.suspects.len(), self.clouds.iter().map(Cloud::len).sum())
    }

    /// Samples whose network found no balance; they count as if every reading were a misreading.
    pub fn unsolved(&self) -> usize {
        self.clouds.iter().map(|cloud| cloud.unsolved).sum()
    }

    /// Probability of every fault, alone or with others.
    pub fn faults(&self) -> Vec<(FaultId, f64)> {
        let mut sums: BTreeMap<FaultId, f64> = self
            .model()
            .circuit()
            .faults()
            .iter()
            .map(|(id, _)| (*id, 0.0))
            .collect();
        for suspect in &self.suspects {
            for fault in &suspect.faults {
                *sums.entry(*fault).or_default() += suspect.probability;
            }
        }
        sums.into_iter().collect()
    }

    /// Probability of every part, in the circuit's order: that at least one of its faults is there.
    pub fn parts(&self) -> Vec<f64> {
        let mut parts = vec![0.0; self.model().circuit().parts.len()];
        for suspect in &self.suspects {
            let mut hit: Vec<usize> = suspect.faults.iter().map(|fault| fault.part.0).collect();
            hit.dedup();
            for part in hit {
                parts[part] += suspect.probability;
            }
        }
        parts
    }

    /// 5th, 50th and 95th percentile of a fault's severity, if it has one and any suspect has the fault.
    pub fn severity(&self, fault: FaultId) -> Option<[f64; 3]> {
        let spec = self.model().circuit().fault_spec(fault).severity?;
        let dimensions = self.sampler.dimensions();
        let mut weighted = Vec::new();
        let dimension = self.sampler.uncertain.severity(fault)?;
        for (index, suspect) in self.suspects.iter().enumerate() {
            if suspect.probability > 1e-4 && suspect.faults.contains(&fault) {
                let cloud = self.cloud(index);
                for (z, weight) in cloud.z.chunks_exact(dimensions).zip(cloud.weights()) {
                    weighted.push((
                        crate::uncertain::severity_at(&spec, z[dimension]),
                        weight * suspect.probability,
                    ));
                }
            }
        }
        crate::expect::percentiles(&mut weighted)
    }
}

fn sampler<'m>(
    model: &'m Model,
    surroundings: Surroundings,
    observations: &[Observation],
    seed: u32,
) -> Sampler<'m> {
    let toolbox = Toolbox::new(model.checks(), observations);
    let mut readings: Vec<_> = observations
        .iter()
        .map(|o| toolbox.prepare(model.checks(), o))
        .collect();
    // Stable, so the order of readings within one network stays; across networks it does not matter.
    readings.sort_by_key(|reading| model.setting(reading.check));
    let uncertain = Uncertain::new(model.circuit(), surroundings.ambient, surroundings.known);
    let mut sampler = Sampler::new(model, uncertain, toolbox, readings, seed);
    let faults = model.circuit().faults().into_iter();
    let singles: Vec<Vec<FaultId>> = faults.map(|(fault, _)| vec![fault]).collect();
    sampler.telling_first(&singles);
    sampler
}

/// The suspects worth listing with their first clouds, and the share of the evidence they hold.
fn list(sampler: &Sampler, prior: &Prior, effort: Effort) -> (Listed, f64) {
    let faults = sampler
        .model
        .circuit()
        .faults()
        .into_iter()
        .map(|(fault, _)| fault)
        .collect();
    let first = [effort.singles, effort.sets];
    let listing = Listing {
        sampler,
        prior,
        faults,
        first,
        listed: RefCell::default(),
    };
    // Without readings larger sets gain nothing; with them growth stops where doubling the work adds less than a hundredth.
    let most = if sampler.readings.is_empty() {
        2
    } else {
        effort.most_faults.min(MOST_FAULTS)
    };
    let posterior = grow(
        &listing,
        &Growth {
            max_faults: most,
            max_sets: 6_000,
            first_round: 6,
            least_gain: 0.01,
        },
    );
    let kept = posterior.map_or(1.0, |posterior| posterior.kept.share());
    (listing.listed.into_inner(), kept)
}

/// Probabilities, likeliest first, with the cause that is not listed.
fn settle(sampler: &Sampler, prior: &Prior, listed: &Listed) -> (Vec<Suspect>, f64) {
    let evidences: Vec<f64> = listed.clouds.iter().map(Cloud::ln_evidence).collect();
    let weight = |(faults, cloud): (&Vec<FaultId>, &usize)| prior.ln(faults) + evidences[*cloud];
    let not_listed = sampler.model.circuit().priors.not_listed.ln() + listed.ln_unlisted(sampler);
    let weights: Vec<f64> = listed.sets.iter().map(weight).collect();
    let ln_total = ln_sum_exp(weights.iter().copied().chain([not_listed]));
    let mut suspects: Vec<Suspect> = listed
        .sets
        .iter()
        .zip(weights)
        .map(|((faults, cloud), w)| Suspect {
            faults: faults.clone(),
            probability: (w - ln_total).exp(),
            cloud: *cloud,
        })
        .collect();
    suspects.sort_by(|a, b| {
        b.probability
            .total_cmp(&a.probability)
            .then_with(|| a.faults.cmp(&b.faults))
    });
    (suspects, (not_listed - ln_total).exp())
}
