//! What is believed of a vehicle after its readings.

use crate::cloud::{Cloud, Sampler};
use crate::evidence::{Observation, Toolbox, one_likelihood, unlisted};
use crate::sets::{FaultSet, Growth, SetModel, grow, ln_sum_exp};
use crate::uncertain::{MOST_FAULTS, Uncertain};
use circuit::{Circuit, FaultId};
use physics::{Ambient, Model, Probe};
use rayon::prelude::*;
use std::cell::RefCell;
use std::collections::BTreeMap;

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

impl Default for Effort {
    fn default() -> Self {
        Self { singles: 128, sets: 16, most_faults: MOST_FAULTS, error: 0.004, most: 8192, seed: 1 }
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
#[derive(Debug)]
pub struct Suspect {
    /// Its faults; empty for "nothing wrong in this circuit".
    pub faults: Vec<FaultId>,
    /// Probability after the readings.
    pub probability: f64,
    pub(crate) cloud: Cloud,
}

/// The belief: suspects with their clouds of samples.
#[derive(Debug)]
pub struct Belief<'m> {
    pub(crate) sampler: Sampler<'m>,
    /// Likeliest first; nothing wrong is among them.
    pub(crate) suspects: Vec<Suspect>,
    /// Probability that the cause is not on the list.
    pub(crate) not_listed: f64,
    /// Likelihood of each reading on a sound circuit, given the others.
    pub(crate) kept: f64,
}

impl Suspect {
    /// Number of samples behind it.
    pub fn samples(&self) -> usize {
        self.cloud.len()
    }
}

impl<'m> Belief<'m> {
    /// The belief on `model` in `surroundings` after `observations`.
    pub fn new(model: &'m Model, surroundings: Surroundings, observations: &[Observation], effort: Effort) -> Self {
        let sampler = sampler(model, surroundings, observations, effort.seed);
        let clouds = Clouds { sampler: &sampler, faults: model.circuit().faults(), effort, made: RefCell::default() };
        let limits = Growth { max_faults: if observations.is_empty() { 2 } else { effort.most_faults.min(MOST_FAULTS) }, max_sets: 6_000, first_round: 6, least_gain: 0.01 };
        let posterior = grow(&clouds, &limits);
        let kept = posterior.as_ref().map_or(1.0, |posterior| posterior.kept.share());
        let listed = clouds.made.take();
        let mut weighed = weigh(model.circuit(), listed);
        refine(&sampler, &mut weighed, effort);
        let (suspects, not_listed) = settle(&sampler, weighed);
        Self { sampler, suspects, not_listed, kept }
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
        self.suspects.iter().find(|suspect| suspect.faults.is_empty()).map_or(0.0, |suspect| suspect.probability)
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
        (self.suspects.len(), self.suspects.iter().map(|suspect| suspect.cloud.len()).sum())
    }

    /// Samples whose network found no balance; they count as if every reading were a misreading.
    pub fn unsolved(&self) -> usize {
        self.suspects.iter().map(|suspect| suspect.cloud.unsolved).sum()
    }

    /// Probability of every fault, alone or with others.
    pub fn faults(&self) -> Vec<(FaultId, f64)> {
        let mut sums: BTreeMap<FaultId, f64> = self.model().circuit().faults().iter().map(|(id, _)| (*id, 0.0)).collect();
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
            hit.into_iter().for_each(|part| parts[part] += suspect.probability);
        }
        parts
    }

    /// 5th, 50th and 95th percentile of a fault's severity, if it has one and any suspect has the fault.
    pub fn severity(&self, fault: FaultId) -> Option<[f64; 3]> {
        let spec = self.model().circuit().fault_spec(fault).severity?;
        let dimensions = self.sampler.dimensions();
        let mut weighted = Vec::new();
        for suspect in self.suspects.iter().filter(|suspect| suspect.probability > 1e-4) {
            if let Some(place) = suspect.faults.iter().position(|id| *id == fault) {
                let weights = suspect.cloud.weights();
                for (z, weight) in suspect.cloud.z.chunks_exact(dimensions).zip(weights) {
                    weighted.push((crate::uncertain::severity_at(&spec, z[place]), weight * suspect.probability));
                }
            }
        }
        crate::expect::percentiles(&mut weighted)
    }
}

fn sampler<'m>(model: &'m Model, surroundings: Surroundings, observations: &[Observation], seed: u32) -> Sampler<'m> {
    let toolbox = Toolbox::new(model.checks(), observations);
    let mut readings: Vec<_> = observations.iter().map(|o| toolbox.prepare(model.checks(), o)).collect();
    // Stable, so the order of readings within one network stays; across networks it does not matter.
    readings.sort_by_key(|reading| model.setting(reading.check));
    let uncertain = Uncertain::new(model.circuit(), surroundings.ambient, surroundings.known);
    Sampler::new(model, uncertain, toolbox, readings, seed)
}

/// Sets of faults as clouds of samples.
struct Clouds<'a, 'm> {
    sampler: &'a Sampler<'m>,
    faults: Vec<(FaultId, f64)>,
    effort: Effort,
    made: RefCell<BTreeMap<Vec<FaultId>, Cloud>>,
}

impl Clouds<'_, '_> {
    fn ids(&self, set: &FaultSet) -> Vec<FaultId> {
        set.faults().iter().map(|fault| self.faults[*fault].0).collect()
    }
}

impl SetModel for Clouds<'_, '_> {
    fn fault_count(&self) -> usize {
        self.faults.len()
    }

    fn ln_prior(&self, set: &FaultSet) -> f64 {
        ln_prior(self.sampler.model.circuit(), &self.faults, &self.ids(set))
    }

    fn ln_likelihoods(&self, sets: &[FaultSet]) -> Vec<f64> {
        let possible: Vec<Vec<FaultId>> = sets.iter().map(|set| self.ids(set)).collect();
        let (sampler, effort) = (self.sampler, self.effort);
        let clouds: Vec<Option<Cloud>> = possible
            .into_par_iter()
            .map_init(|| sampler.model.probe(), |probe, faults| first_cloud(sampler, probe, faults, effort))
            .collect();
        let mut made = self.made.borrow_mut();
        clouds
            .into_iter()
            .map(|cloud| {
                cloud.map_or(f64::NEG_INFINITY, |cloud| {
                    let evidence = cloud.ln_evidence();
                    made.insert(cloud.faults.clone(), cloud);
                    evidence
                })
            })
            .collect()
    }
}

/// The first cloud of a set of faults; `None` for a set that cannot be.
fn first_cloud(sampler: &Sampler, probe: &mut Probe, faults: Vec<FaultId>, effort: Effort) -> Option<Cloud> {
    if !distinct_parts(&faults) {
        return None;
    }
    let count = if faults.len() < 2 { effort.singles } else { effort.sets };
    let mut cloud = Cloud::new(faults);
    if !sampler.readings.is_empty() {
        cloud.draw(sampler, probe, count);
    }
    Some(cloud)
}

/// A part fails in one way at a time: two faults of one part are one fault with another name.
fn distinct_parts(faults: &[FaultId]) -> bool {
    faults.windows(2).all(|pair| pair[0].part != pair[1].part)
}

/// Logarithm of the prior of exactly these faults.
///
/// Singles share what nothing wrong, not listed and second faults leave. Pairs share the second-fault mass in proportion to
/// the product of their shares, times the factor of a common cause; each further fault costs the same again.
fn ln_prior(circuit: &Circuit, faults: &[(FaultId, f64)], set: &[FaultId]) -> f64 {
    let priors = circuit.priors;
    let single = 1.0 - priors.nothing_wrong - priors.not_listed - priors.second_fault;
    let share = |id: &FaultId| faults.iter().find(|(fault, _)| fault == id).map_or(0.0, |(_, share)| *share);
    match set {
        [] => priors.nothing_wrong.ln(),
        [one] => (single * share(one)).ln(),
        more => {
            if !distinct_parts(more) {
                return f64::NEG_INFINITY;
            }
            let product: f64 = more.iter().map(|id| share(id).ln()).sum();
            let linked: f64 = common_causes(circuit, more).ln();
            // Σ over pairs of the product of shares is (1 − Σ share²)/2.
            let pairs = 0.5 * (1.0 - faults.iter().map(|(_, share)| share * share).sum::<f64>()).max(1e-6);
            let further = (more.len() - 2) as f64;
            (priors.second_fault / pairs).ln() + further * (priors.second_fault / single / (2.0 * pairs)).ln() + product + linked
        }
    }
}

/// The strongest factor of a common cause that hits at least two of the parts; 1 if none does.
fn common_causes(circuit: &Circuit, faults: &[FaultId]) -> f64 {
    let hit = |cause: &&circuit::CommonCause| faults.iter().filter(|id| cause.parts.contains(&id.part)).count() > 1;
    circuit.common_causes.iter().filter(hit).map(|cause| cause.factor).fold(1.0, f64::max)
}

/// A suspect with the logarithm of its weight.
struct Weighed {
    ln_prior: f64,
    ln_weight: f64,
    cloud: Cloud,
}

fn weigh(circuit: &Circuit, clouds: BTreeMap<Vec<FaultId>, Cloud>) -> Vec<Weighed> {
    let faults = circuit.faults();
    let mut weighed: Vec<Weighed> = clouds
        .into_values()
        .map(|cloud| {
            let ln_prior = ln_prior(circuit, &faults, &cloud.faults);
            Weighed { ln_prior, ln_weight: ln_prior + cloud.ln_evidence(), cloud }
        })
        .collect();
    weighed.sort_by(|a, b| b.ln_weight.total_cmp(&a.ln_weight));
    weighed
}

/// Rounds of refinement; each at most doubles a cloud.
const ROUNDS: usize = 7;

/// Draws more samples where a suspect matters and few samples carry its weight: first single faults, then larger sets, which
/// start from what their single faults found.
fn refine(sampler: &Sampler, weighed: &mut [Weighed], effort: Effort) {
    if sampler.readings.is_empty() {
        return;
    }
    let small = |suspect: &Weighed| suspect.cloud.faults.len() < 2;
    for _ in 0..ROUNDS {
        if !refine_round(sampler, weighed, effort, &[], small) {
            break;
        }
    }
    let singles: Vec<Cloud> = weighed.iter().filter(|s| small(s) && s.cloud.len() > effort.singles).map(|s| s.cloud.clone()).collect();
    for round in 0..ROUNDS {
        let guides = if round == 0 { &singles[..] } else { &[] };
        if !refine_round(sampler, weighed, effort, guides, |_| true) {
            break;
        }
    }
    weighed.sort_by(|a, b| b.ln_weight.total_cmp(&a.ln_weight));
}

/// One round over the suspects that `may` be refined and want it; `false` if none did. Sets of faults follow those of the
/// `guides` that share a fault with them.
fn refine_round(
    sampler: &Sampler,
    weighed: &mut [Weighed],
    effort: Effort,
    guides: &[Cloud],
    may: impl Fn(&Weighed) -> bool,
) -> bool {
    let ln_total = ln_sum_exp(weighed.iter().map(|suspect| suspect.ln_weight));
    let best = weighed.iter().map(|suspect| suspect.ln_weight - suspect.ln_prior).fold(f64::NEG_INFINITY, f64::max);
    let mut wanting: Vec<&mut Weighed> =
        weighed.iter_mut().filter(|suspect| may(suspect) && wants_more(suspect, ln_total, best, effort)).collect();
    wanting.par_iter_mut().for_each_init(
        || sampler.model.probe(),
        |probe, suspect| {
            let cloud = &mut suspect.cloud;
            let count = cloud.len().max(64).min(effort.most - cloud.len());
            let known = |guide: &&Cloud| guide.faults.iter().any(|fault| cloud.faults.contains(fault));
            let followed: Vec<&Cloud> = if cloud.faults.len() > 1 { guides.iter().filter(known).collect() } else { Vec::new() };
            for guide in &followed {
                cloud.follow(guide, sampler, probe, count);
            }
            if followed.is_empty() {
                cloud.refine(sampler, probe, count);
            }
            suspect.ln_weight = suspect.ln_prior + suspect.cloud.ln_evidence();
        },
    );
    !wanting.is_empty()
}

/// A suspect wants more samples while the error that its few samples leave in the posterior would show. `best`: logarithm of
/// the evidence of the suspect that explains the readings best.
fn wants_more(suspect: &Weighed, ln_total: f64, best: f64, effort: Effort) -> bool {
    let cloud = &suspect.cloud;
    if cloud.len() >= effort.most {
        return false;
    }
    let share = |ln_weight: f64| (ln_weight - ln_total).exp();
    let (probability, effective) = (share(suspect.ln_weight), cloud.effective());
    let visible = probability * (1.0 - probability).max(0.0) / effort.error;
    // What the whole cloud might amount to: several times what its best sample alone gives, and while the cloud is so small
    // that it may have missed the place, as much as the suspect that explains the readings best.
    let possible = share(suspect.ln_prior + cloud.best() - (cloud.len() as f64 / 8.0).ln());
    let missed = share(suspect.ln_prior + best);
    let wanted = if possible > effort.error { (visible * visible).max(24.0) } else { visible * visible };
    effective < wanted || (missed > 4.0 * effort.error && cloud.len() < MISSED)
}

/// A cloud of this many samples has not missed a place that matters.
const MISSED: usize = 128;

/// Probabilities, with the cause that is not listed.
fn settle(sampler: &Sampler, weighed: Vec<Weighed>) -> (Vec<Suspect>, f64) {
    let not_listed = sampler.model.circuit().priors.not_listed.ln() + ln_unlisted(sampler, &weighed);
    let ln_total = ln_sum_exp(weighed.iter().map(|suspect| suspect.ln_weight).chain([not_listed]));
    let suspects = weighed
        .into_iter()
        .map(|w| Suspect { faults: w.cloud.faults.clone(), probability: (w.ln_weight - ln_total).exp(), cloud: w.cloud })
        .collect();
    (suspects, (not_listed - ln_total).exp())
}

/// Logarithm of the likelihood of all readings where the cause is not listed: each reading as on a sound circuit or
/// anything, independently.
fn ln_unlisted(sampler: &Sampler, weighed: &[Weighed]) -> f64 {
    let Some(sound) = weighed.iter().find(|suspect| suspect.cloud.faults.is_empty()) else { return 0.0 };
    let count = sampler.readings.len();
    (0..count)
        .map(|k| {
            let reading = &sampler.readings[k];
            let errors = &sampler.toolbox.tools()[reading.instrument].errors;
            let healthy = |truth: f64| errors.iter().map(|(error, w)| w * one_likelihood(reading, truth, *error)).sum::<f64>();
            // The cloud's first samples are the prior's own.
            let truths: Vec<f64> = sound.cloud.truths.chunks_exact(count).take(PRIOR_SAMPLES).map(|t| t[k]).collect();
            let mean = truths.iter().map(|truth| healthy(*truth)).sum::<f64>() / truths.len().max(1) as f64;
            unlisted(&reading.accuracy, reading.outcome, mean).ln()
        })
        .sum()
}

/// Samples of the sound circuit that stand for it where the cause is not listed.
const PRIOR_SAMPLES: usize = 128;
