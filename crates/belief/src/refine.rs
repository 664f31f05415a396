//! More samples where a cloud matters and few samples carry its weight.

use crate::belief::Effort;
use crate::cloud::{Cloud, Sampler};
use crate::sets::ln_sum_exp;
use rayon::prelude::*;

/// Rounds of refinement; each at most doubles a cloud.
const ROUNDS: usize = 7;
/// A cloud of this many samples has not missed a place that matters.
const MISSED: usize = 512;

/// Refines `clouds`, whose suspects have the prior masses `ln_priors` together: first those of single faults, then those of
/// larger sets, which start from what their single faults found.
pub(crate) fn refine(sampler: &Sampler, clouds: &mut [Cloud], ln_priors: &[f64], effort: Effort) {
    if sampler.readings.is_empty() {
        return;
    }
    let small = |cloud: &Cloud| cloud.faults.len() < 2;
    for _ in 0..ROUNDS {
        if !round(sampler, clouds, ln_priors, effort, &[], small) {
            break;
        }
    }
    let guides: Vec<Cloud> = clouds
        .iter()
        .filter(|cloud| small(cloud) && cloud.len() > effort.singles)
        .cloned()
        .collect();
    for index in 0..ROUNDS {
        let guides = if index == 0 { &guides[..] } else { &[] };
        if !round(sampler, clouds, ln_priors, effort, guides, |_| true) {
            break;
        }
    }
}

/// One round over the clouds that `may` be refined and want it; `false` if none did. Clouds of several faults follow the
/// `guides` that share a fault with them.
fn round(
    sampler: &Sampler,
    clouds: &mut [Cloud],
    ln_priors: &[f64],
    effort: Effort,
    guides: &[Cloud],
    may: impl Fn(&Cloud) -> bool,
) -> bool {
    let weight = |(cloud, ln_prior): (&Cloud, &f64)| ln_prior + cloud.ln_evidence();
    let weights: Vec<f64> = clouds.iter().zip(ln_priors).map(weight).collect();
    let ln_total = ln_sum_exp(weights.iter().copied());
    let best = weights
        .iter()
        .zip(ln_priors)
        .map(|(weight, prior)| weight - prior)
        .fold(f64::NEG_INFINITY, f64::max);
    let several = clouds
        .iter()
        .zip(ln_priors)
        .filter(|(cloud, _)| cloud.faults.len() > 1)
        .map(|(_, prior)| *prior)
        .collect();
    let missed = missed_limit(several, best - ln_total, effort);
    let mut wanting: Vec<&mut Cloud> = clouds
        .iter_mut()
        .zip(ln_priors)
        .filter(|(cloud, ln_prior)| {
            may(cloud) && wants_more(cloud, **ln_prior - ln_total, **ln_prior >= missed, effort)
        })
        .map(|(cloud, _)| cloud)
        .collect();
    wanting.par_iter_mut().for_each_init(
        || sampler.model.probe(),
        |probe, cloud| more(sampler, cloud, probe, guides, effort),
    );
    !wanting.is_empty()
}

/// Doubles a cloud, around its own best samples or those of its guides.
fn more(sampler: &Sampler, cloud: &mut Cloud, probe: &mut physics::Probe, guides: &[Cloud], effort: Effort) {
    let count = cloud.len().max(64).min(effort.most - cloud.len());
    let known = |guide: &&Cloud| guide.faults.iter().any(|fault| cloud.faults.contains(fault));
    let followed: Vec<&Cloud> = if cloud.faults.len() > 1 {
        guides.iter().filter(known).collect()
    } else {
        Vec::new()
    };
    for guide in &followed {
        cloud.follow(guide, sampler, probe, count);
    }
    if followed.is_empty() {
        cloud.refine(sampler, probe, count);
    }
}

/// Prior mass from which a small cloud of several faults may hide a place that matters: as much as the cloud that explains the readings best
/// would show, and among the few of greatest mass.
fn missed_limit(mut sorted: Vec<f64>, ln_scale: f64, effort: Effort) -> f64 {
    sorted.sort_by(|a, b| b.total_cmp(a));
    let few = sorted.get(SEARCHED).copied().unwrap_or(f64::NEG_INFINITY);
    few.max((4.0 * effort.error).ln() - ln_scale)
}

/// Most clouds that are searched for a place they may have missed.
const SEARCHED: usize = 20;

/// A cloud wants more samples while the error that its few samples leave in the posterior would show. `ln_scale`: logarithm of
/// its prior over the evidence of all; `search`: it has mass enough to matter wherever it explains the readings.
fn wants_more(cloud: &Cloud, ln_scale: f64, search: bool, effort: Effort) -> bool {
    if cloud.len() >= effort.most {
        return false;
    }
    let share = |ln_evidence: f64| (ln_scale + ln_evidence).exp();
    let probability = share(cloud.ln_evidence()).min(1.0);
    let visible = probability * (1.0 - probability) / effort.error;
    // What the whole cloud might amount to: several times what its best sample alone gives.
    let possible = share(cloud.best() - (cloud.len() as f64 / 8.0).ln());
    let wanted = if possible > effort.error {
        (visible * visible).max(24.0)
    } else {
        visible * visible
    };
    cloud.effective() < wanted || (search && cloud.faults.len() > 1 && cloud.len() < MISSED)
}
