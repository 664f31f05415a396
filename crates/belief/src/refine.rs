//! More samples where a cloud matters and few samples carry its weight.

use crate::belief::Effort;
use crate::cloud::Cloud;
use crate::sampler::Sampler;
use crate::sets::ln_sum_exp;
use physics::Probe;
use rayon::prelude::*;

/// Rounds of refinement; each at most doubles a cloud.
const ROUNDS: usize = 7;
/// A cloud of this share of the most samples allowed has not missed a place that matters.
const SEARCHED_SHARE: usize = 16;

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
    search(sampler, clouds, ln_priors, effort);
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
    let mut wanting: Vec<(&mut Cloud, usize)> = clouds
        .iter_mut()
        .zip(ln_priors)
        .filter(|(cloud, _)| may(cloud))
        .filter_map(|(cloud, ln_prior)| {
            let count = wanted(cloud, *ln_prior - ln_total, effort)?;
            cloud.give_up_below(ln_total - ln_prior);
            Some((cloud, count))
        })
        .collect();
    wanting.par_iter_mut().for_each_init(
        || sampler.model.probe(),
        |probe, (cloud, count)| more(sampler, cloud, probe, guides, *count),
    );
    !wanting.is_empty()
}

/// Draws `count` samples more for a cloud, around its own best samples or those of its guides.
fn more(sampler: &Sampler, cloud: &mut Cloud, probe: &mut Probe, guides: &[Cloud], count: usize) {
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

/// Draws more of the prior's own samples for the few clouds of several faults whose mass would show if they explained the
/// readings as well as the best cloud does: with its first few samples such a cloud may have missed the place where it does.
fn search(sampler: &Sampler, clouds: &mut [Cloud], ln_priors: &[f64], effort: Effort) {
    let evidences: Vec<f64> = clouds.iter().map(Cloud::ln_evidence).collect();
    let best = evidences.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let weights = evidences
        .iter()
        .zip(ln_priors)
        .map(|(evidence, prior)| evidence + prior);
    let ln_total = ln_sum_exp(weights);
    let limit = (4.0 * effort.error).ln() + ln_total - best;
    let mut worth: Vec<(&mut Cloud, f64)> = clouds
        .iter_mut()
        .zip(ln_priors.iter().copied())
        .filter(|(cloud, ln_prior)| cloud.faults.len() > 1 && *ln_prior > limit)
        .collect();
    worth.sort_by(|a, b| b.1.total_cmp(&a.1));
    worth.truncate(SEARCHED);
    let enough = effort.most / SEARCHED_SHARE;
    worth.par_iter_mut().for_each_init(
        || sampler.model.probe(),
        |probe, (cloud, ln_prior)| {
            cloud.give_up_below(ln_total - *ln_prior);
            cloud.draw(sampler, probe, enough.saturating_sub(cloud.len()));
        },
    );
}

/// Most clouds that are searched for a place they may have missed.
const SEARCHED: usize = 20;

/// Fewest samples worth a round.
const LEAST: usize = 64;

/// How many samples more a cloud wants: as long as the error that its few samples leave in the posterior would show. At most
/// as many as it has, because what is drawn next is only as good as what it has learnt. `ln_scale`: logarithm of its prior
/// over the evidence of all.
fn wanted(cloud: &Cloud, ln_scale: f64, effort: Effort) -> Option<usize> {
    let most = effort
        .most
        .checked_sub(cloud.len())
        .filter(|most| *most > 0)?
        .min(cloud.len().max(LEAST));
    let share = |ln_evidence: f64| (ln_scale + ln_evidence).exp();
    let probability = share(cloud.ln_evidence()).min(1.0);
    let visible = (probability * (1.0 - probability) / effort.error).powi(2);
    // What the whole cloud might amount to: several times what its best sample alone gives.
    let possible = share(cloud.best() - (cloud.len() as f64 / 8.0).ln());
    let least = if possible > effort.error { 24.0 } else { 0.0 };
    let lacking = visible.max(least) / cloud.effective().max(1.0) - 1.0;
    if lacking > 0.0 {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a positive count, cut by `min` below"
        )]
        let count = (lacking * cloud.len() as f64).ceil() as usize;
        return Some(count.max(LEAST).min(most));
    }
    None
}
