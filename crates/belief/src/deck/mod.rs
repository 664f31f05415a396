//! A deck of sample vehicles: drawn once from the prior of a circuit, each with what every check would show on it.
//!
//! Many jobs on one circuit share one deck: after readings its samples only change their weights ([`Hand`]), and nothing is
//! solved again. That is coarser than a [`crate::Belief`], whose samples go where the readings point; it costs a thousandth.
//! Within a suspect the points are low-discrepancy and the same as in every other suspect.

mod hand;

pub use hand::Hand;

use crate::belief::Surroundings;
use crate::coming::predict_once;
use crate::comparing::behind;
use crate::expect::percentiles;
use crate::instrument::{Accuracy, ToolError};
use crate::prior::{Prior, distinct_parts};
use crate::running::Toolbox;
use crate::sampler::Sampler;
use crate::uncertain::Uncertain;
use circuit::{FaultId, PartId};
use numerics::normal_point;
use physics::{Model, Probe};
use rayon::prelude::*;

/// Share of the samples that stand for pairs of faults.
const FOR_PAIRS: f64 = 0.2;
/// Fewest samples of one single fault, and of nothing wrong.
const FEWEST: usize = 12;
/// Samples that one thread solves in a row.
const RUN: usize = 16;
/// Dimensions of the points that stand for the instruments' own errors and for the scatter of one reading, beyond any
/// circuit's own.
const TOOLS: u32 = 512;
const SCATTER: u32 = 200;

/// One sample: its suspect and its weight in the prior.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Card {
    /// Index into [`Deck::suspects`].
    pub suspect: usize,
    /// Weight; over all samples they sum to what is not "not listed".
    pub weight: f64,
    /// Row of the points it was drawn from.
    row: usize,
}

/// Sample vehicles with what every check would show on each.
#[derive(Debug)]
pub struct Deck {
    suspects: Vec<Vec<FaultId>>,
    parts: Vec<Vec<PartId>>,
    cards: Vec<Card>,
    not_listed: f64,
    accuracies: Vec<Accuracy>,
    yes_no: Vec<bool>,
    /// Check after check, what it would show on each sample by the usual instrument, without the scatter of one reading.
    /// Single precision: far finer than any instrument.
    shown: Vec<f32>,
}

impl Deck {
    /// About `size` samples of `model` in `surroundings`.
    pub fn new(model: &Model, surroundings: Surroundings, size: usize, seed: u32) -> Self {
        let prior = Prior::new(model.circuit());
        Self::dealt(model, surroundings, deal(model, &prior, size), seed)
    }

    /// The same number of samples, drawn from the same points, of nothing wrong and of each of `faults`: whatever differs between
    /// two of them is the fault's doing. Weights are even: for looking at checks, not for jobs.
    pub fn even(
        model: &Model,
        surroundings: Surroundings,
        faults: &[FaultId],
        rows: usize,
        seed: u32,
    ) -> Self {
        let mut suspects = vec![Vec::new()];
        suspects.extend(faults.iter().map(|fault| vec![*fault]));
        let card = |suspect| {
            (0..rows).map(move |row| Card {
                suspect,
                weight: 1.0,
                row,
            })
        };
        let cards = (0..suspects.len()).flat_map(card).collect();
        Self::dealt(model, surroundings, (suspects, cards), seed)
    }

    fn dealt(
        model: &Model,
        surroundings: Surroundings,
        (suspects, cards): (Vec<Vec<FaultId>>, Vec<Card>),
        seed: u32,
    ) -> Self {
        let uncertain = Uncertain::new(model.circuit(), surroundings.ambient, surroundings.known);
        let toolbox = Toolbox::new(model.checks(), &[]);
        let sampler = Sampler::new(model, uncertain, toolbox, Vec::new(), seed);
        let listed: f64 = cards.iter().map(|card| card.weight).sum();
        let not_listed = model.circuit().priors.not_listed;
        let scale = (1.0 - not_listed) / listed;
        let cards: Vec<Card> = cards
            .into_iter()
            .map(|card| Card {
                weight: card.weight * scale,
                ..card
            })
            .collect();
        let parts = suspects.iter().map(|faults| parts(faults)).collect();
        let shown = solve(&sampler, &suspects, &cards, seed);
        let checks = model.checks();
        Self {
            suspects,
            parts,
            cards,
            not_listed,
            accuracies: checks
                .iter()
                .map(|check| Accuracy::of(check.instrument))
                .collect(),
            yes_no: checks.iter().map(crate::evidence::yes_no).collect(),
            shown,
        }
    }

    /// The suspects: sets of faults, the empty one first. A pair stands here only if it was drawn.
    pub fn suspects(&self) -> &[Vec<FaultId>] {
        &self.suspects
    }

    /// The parts that a suspect hits, each once.
    pub fn parts(&self, suspect: usize) -> &[PartId] {
        &self.parts[suspect]
    }

    /// The samples.
    pub fn cards(&self) -> &[Card] {
        &self.cards
    }

    /// Prior of a cause that is not listed.
    pub fn not_listed(&self) -> f64 {
        self.not_listed
    }

    /// How many checks there are.
    pub fn checks(&self) -> usize {
        self.accuracies.len()
    }

    /// How far readings of `check` are from what is shown.
    pub fn accuracy(&self, check: usize) -> &Accuracy {
        &self.accuracies[check]
    }

    /// `true` if `check` answers yes or no.
    pub fn is_yes_no(&self, check: usize) -> bool {
        self.yes_no[check]
    }

    /// What `check` would show on each sample, without the scatter of one reading; for yes or no the chance of yes. NaN
    /// where the circuit finds no balance.
    pub fn shown(&self, check: usize) -> &[f32] {
        &self.shown[check * self.cards.len()..(check + 1) * self.cards.len()]
    }

    /// 5th, 50th and 95th percentile of what `check` reads on a sound circuit; for yes or no the chance of yes three times.
    pub fn sound(&self, check: usize) -> Option<[f64; 3]> {
        let accuracy = self.accuracy(check);
        let own = self
            .cards
            .iter()
            .zip(self.shown(check))
            .filter(|(card, _)| card.suspect == 0);
        let mut weighted: Vec<(f64, f64)> = own
            .map(|(card, shown)| {
                let shown = f64::from(*shown);
                let scatter = normal_point(index(card.row), SCATTER, 0);
                (shown + accuracy.deviation(shown) * scatter, card.weight)
            })
            .filter(|(value, _)| value.is_finite())
            .collect();
        if self.is_yes_no(check) {
            let total: f64 = weighted.iter().map(|(_, weight)| weight).sum();
            let yes = weighted.iter().map(|(p, weight)| p * weight).sum::<f64>() / total;
            return (total > 0.0).then_some([yes; 3]);
        }
        percentiles(&mut weighted)
    }
}

fn parts(faults: &[FaultId]) -> Vec<PartId> {
    let mut parts: Vec<PartId> = faults.iter().map(|fault| fault.part).collect();
    parts.dedup();
    parts
}

fn index(row: usize) -> u32 {
    u32::try_from(row).unwrap_or(u32::MAX)
}

/// Suspects and their samples. Singles get samples by the root of their prior, so that a rare fault is not left to a handful;
/// pairs are drawn evenly by weight, one sample each time a pair is drawn.
fn deal(model: &Model, prior: &Prior, size: usize) -> (Vec<Vec<FaultId>>, Vec<Card>) {
    let faults: Vec<FaultId> = model
        .circuit()
        .faults()
        .into_iter()
        .map(|(fault, _)| fault)
        .collect();
    let mut suspects = vec![Vec::new()];
    suspects.extend(faults.iter().map(|fault| vec![*fault]));
    let priors: Vec<f64> = suspects.iter().map(|set| prior.ln(set).exp()).collect();
    let roots: f64 = priors.iter().map(|p| p.sqrt()).sum();
    let mut cards = Vec::new();
    for (suspect, p) in priors.iter().enumerate() {
        let count = share_of((1.0 - FOR_PAIRS) * size as f64 * p.sqrt() / roots).max(FEWEST);
        cards.extend((0..count).map(|row| Card {
            suspect,
            weight: p / count as f64,
            row,
        }));
    }
    let mut pairs = Vec::new();
    for (at, first) in faults.iter().enumerate() {
        for second in &faults[at + 1..] {
            let pair = vec![*first, *second];
            if distinct_parts(&pair) {
                pairs.push((prior.ln(&pair).exp(), pair));
            }
        }
    }
    deal_pairs(
        &mut suspects,
        &mut cards,
        pairs,
        share_of(FOR_PAIRS * size as f64),
    );
    (suspects, cards)
}

fn share_of(size: f64) -> usize {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share of the deck's size"
    )]
    let count = size.round().max(0.0) as usize;
    count
}

/// `count` pairs drawn evenly by weight (systematic resampling).
fn deal_pairs(
    suspects: &mut Vec<Vec<FaultId>>,
    cards: &mut Vec<Card>,
    pairs: Vec<(f64, Vec<FaultId>)>,
    count: usize,
) {
    let step = pairs.iter().map(|(weight, _)| weight).sum::<f64>() / count.max(1) as f64;
    let (mut sum, mut drawn) = (0.0, 0);
    for (weight, pair) in pairs {
        sum += weight;
        let suspect = suspects.len();
        let before = drawn;
        while drawn < count && (drawn as f64 + 0.5) * step < sum {
            cards.push(Card {
                suspect,
                weight: step,
                row: drawn,
            });
            drawn += 1;
        }
        if drawn > before {
            suspects.push(pair);
        }
    }
}

/// What every check shows on every sample, check after check.
fn solve(sampler: &Sampler, suspects: &[Vec<FaultId>], cards: &[Card], seed: u32) -> Vec<f32> {
    let checks = sampler.model.checks().len();
    let mut by_card = vec![f32::NAN; cards.len() * checks];
    by_card
        .par_chunks_mut(checks.max(1) * RUN)
        .zip(cards.par_chunks(RUN))
        .for_each_init(
            || sampler.model.probe(),
            |probe, (out, cards)| {
                // From rest, so that the answer does not depend on which thread solved what before.
                probe.cold();
                for (out, card) in out.chunks_mut(checks.max(1)).zip(cards) {
                    fill(sampler, probe, &suspects[card.suspect], card.row, seed, out);
                }
            },
        );
    let mut by_check = vec![f32::NAN; by_card.len()];
    for (check, column) in by_check.chunks_mut(cards.len().max(1)).enumerate() {
        for (card, shown) in column.iter_mut().enumerate() {
            *shown = by_card[card * checks + check];
        }
    }
    by_check
}

fn fill(sampler: &Sampler, probe: &mut Probe, faults: &[FaultId], row: usize, seed: u32, out: &mut [f32]) {
    let mut vehicle = sampler.uncertain.blank();
    sampler.vehicle(&mut vehicle, faults, &sampler.prior_row(row));
    let order = sampler.model.by_setting();
    let mut truths = vec![f64::NAN; order.len()];
    if !predict_once(
        sampler.model,
        probe,
        &mut vehicle,
        (row, seed),
        order,
        &mut truths,
    ) {
        probe.cold();
    }
    let errors: Vec<ToolError> = sampler
        .toolbox
        .tools()
        .iter()
        .zip(0..)
        .map(|(tool, place)| {
            tool.accuracy
                .error_at([0, 1].map(|z| normal_point(index(row), TOOLS + 2 * place + z, seed)))
        })
        .collect();
    for (check, truth) in order.iter().zip(truths) {
        let spec = &sampler.model.checks()[*check];
        let tool = sampler.toolbox.index(spec.instrument, None);
        let truth = behind(spec, truth, row, seed);
        #[allow(clippy::cast_possible_truncation, reason = "finer than any instrument")]
        let shown = Accuracy::of(spec.instrument).shown(truth, errors[tool]) as f32;
        out[*check] = shown;
    }
}
