//! Bands of a reading: the few ranges that matter, with edges a person can hold in mind.
//!
//! Edges are looked for where what the suspects show lies apart, put on the simplest number nearby, and so many of them are
//! kept as tell the suspects apart, five bands at most.

use belief::{Accuracy, Outcome, Outlook, ToolError, likelihood};
use circuit::{Instrument, Reads};

/// Most bands of one reading.
const MOST: usize = 5;
/// Bits that one band more must tell, of those the reading tells at all.
const WORTH: f64 = 0.02;
/// Edges that are looked at.
const CANDIDATES: usize = 20;

/// Probability of every band under every sample, `bands[band][sample]`, and the edges between them, ascending, SI. A yes or no
/// has no edges: no is the first band, yes the second.
pub(crate) struct Cut {
    pub(crate) edges: Vec<f64>,
    pub(crate) bands: Vec<Vec<f64>>,
}

/// Cuts the readings of `check`. `classes` and `weights` belong to the samples that have weight; samples behind them follow the
/// same edges. `unit`: one unit of those the person reads in, SI.
pub(crate) fn cut(outlook: &Outlook, check: usize, classes: &[usize], unit: f64) -> Cut {
    let spec = &outlook.belief().model().checks()[check];
    let all = outlook.faults().len();
    if spec.reads == Reads::YesNo {
        let senses = Accuracy::of(Instrument::Senses);
        let yes: Vec<f64> = (0..all)
            .map(|sample| {
                likelihood(
                    &senses,
                    Outcome::Yes,
                    outlook.shown(sample, check),
                    ToolError::default(),
                )
            })
            .collect();
        let no = yes.iter().map(|p| 1.0 - p).collect();
        return Cut {
            edges: Vec::new(),
            bands: vec![no, yes],
        };
    }
    let accuracy = Accuracy::of(spec.instrument);
    let candidates = candidates(outlook, check, &accuracy, unit);
    let samples = outlook.samples();
    let rows: Vec<usize> = (0..samples.len()).collect();
    let cells = spread(outlook, check, &accuracy, &candidates, &rows);
    let kept = keep(&cells, classes, samples);
    let edges: Vec<f64> = kept.into_iter().map(|edge| candidates[edge]).collect();
    let everything: Vec<usize> = (0..all).collect();
    let bands = spread(outlook, check, &accuracy, &edges, &everything);
    Cut { edges, bands }
}

/// Probability that the reading falls between neighbouring edges, for each of `rows`.
pub(super) fn spread(
    outlook: &Outlook,
    check: usize,
    accuracy: &Accuracy,
    edges: &[f64],
    rows: &[usize],
) -> Vec<Vec<f64>> {
    let mut bands = vec![vec![0.0; rows.len()]; edges.len() + 1];
    for (place, row) in rows.iter().enumerate() {
        let shown = outlook.shown(*row, check);
        let mut above = 1.0;
        for (band, edge) in edges.iter().enumerate() {
            let over = likelihood(accuracy, Outcome::Over(*edge), shown, ToolError::default()).min(above);
            bands[band][place] = above - over;
            above = over;
        }
        bands[edges.len()][place] = above;
    }
    bands
}

/// Edges worth trying: at even shares of the weight, at even shares of the samples (where the unlikely count as much), and in
/// the widest gaps.
fn candidates(outlook: &Outlook, check: usize, accuracy: &Accuracy, unit: f64) -> Vec<f64> {
    let samples = outlook.samples().iter().enumerate();
    let mut shown: Vec<(f64, f64)> = samples
        .map(|(sample, (_, weight))| (outlook.shown(sample, check), *weight))
        .collect();
    shown.sort_by(|a, b| a.0.total_cmp(&b.0));
    let total: f64 = shown.iter().map(|(_, weight)| weight).sum();
    let mut gaps: Vec<(f64, usize)> = Vec::with_capacity(shown.len());
    let mut chosen: Vec<usize> = Vec::new();
    let (mut weight, mut by_weight, mut by_count) = (0.0, 0.0, 0.0);
    for place in 1..shown.len() {
        let (low, high) = (shown[place - 1].0, shown[place].0);
        weight += shown[place - 1].1 / total;
        if high <= low {
            continue;
        }
        gaps.push(((high - low) / accuracy.deviation(0.5 * (low + high)), place));
        let (share, count) = (weight * 8.0, place as f64 / shown.len() as f64 * 8.0);
        if share.floor() > by_weight || count.floor() > by_count {
            chosen.push(place);
        }
        by_weight = share.floor().max(by_weight);
        by_count = count.floor().max(by_count);
    }
    gaps.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    chosen.extend(gaps.iter().take(CANDIDATES / 2).map(|(_, place)| place));
    let mut edges: Vec<f64> = chosen
        .into_iter()
        .map(|place| between(shown[place - 1].0, shown[place].0, accuracy, unit))
        // What is never shown below nothing has no band below nothing.
        .filter(|edge| *edge > 0.0 || shown[0].0 < 0.0)
        .collect();
    edges.sort_by(f64::total_cmp);
    edges.dedup();
    edges
}

/// The simplest number between two neighbouring readings, or as near to their middle as the instrument tells.
fn between(low: f64, high: f64, accuracy: &Accuracy, unit: f64) -> f64 {
    let (middle, third) = if accuracy.logarithmic && low > 0.0 {
        let ratio = (high / low).powf(1.0 / 6.0);
        let middle = (low * high).sqrt();
        (middle, (middle / ratio, middle * ratio))
    } else {
        let middle = 0.5 * (low + high);
        let sixth = (high - low) / 6.0;
        (middle, (middle - sixth, middle + sixth))
    };
    let reach = 0.7 * accuracy.deviation(middle);
    let (from, to) = (third.0.min(middle - reach), third.1.max(middle + reach));
    simplest(from / unit, to / unit) * unit
}

/// The number between `from` and `to` with the fewest digits: the one that the coarsest step of 1, 2 or 5 reaches.
fn simplest(from: f64, to: f64) -> f64 {
    if from <= 0.0 && to >= 0.0 {
        return 0.0;
    }
    #[allow(clippy::cast_possible_truncation, reason = "the decimal place of a reading")]
    let mut exponent = from.abs().max(to.abs()).log10().floor() as i32;
    for _ in 0..12 {
        for digit in [5.0, 2.0, 1.0] {
            let step = digit * 10_f64.powi(exponent);
            let middle = 0.5 * (from + to);
            let nearest = (middle / step).round() * step;
            if nearest >= from && nearest <= to {
                return nearest;
            }
        }
        exponent -= 1;
    }
    0.5 * (from + to)
}

fn xlogx(x: f64) -> f64 {
    if x > 0.0 { x * x.log2() } else { 0.0 }
}

/// The edges to keep, so that as few bands as possible tell as much as possible of the classes: exact, by the best way to
/// split the first cells into so many bands.
fn keep(cells: &[Vec<f64>], classes: &[usize], samples: &[(usize, f64)]) -> Vec<usize> {
    let count = classes.iter().max().map_or(0, |class| class + 1);
    // Running sums over cells of each class's weight.
    let mut sums = vec![vec![0.0; count]; cells.len() + 1];
    for (cell, shares) in cells.iter().enumerate() {
        let mut sum = sums[cell].clone();
        for ((share, class), (_, weight)) in shares.iter().zip(classes).zip(samples) {
            sum[*class] += share * weight;
        }
        sums[cell + 1] = sum;
    }
    // What a band from one cell to another keeps: minus the uncertainty of the class within it.
    let value = |from: usize, to: usize| {
        let mut total = 0.0;
        let mut inside = 0.0;
        for (high, low) in sums[to].iter().zip(&sums[from]) {
            let weight = high - low;
            total += weight;
            inside += xlogx(weight);
        }
        inside - xlogx(total)
    };
    let n = cells.len();
    let whole = value(0, n);
    let mut best = vec![vec![f64::NEG_INFINITY; n + 1]; MOST + 1];
    let mut from = vec![vec![0; n + 1]; MOST + 1];
    best[0][0] = 0.0;
    for bands in 1..=MOST {
        for to in bands..=n {
            for start in bands - 1..to {
                let kept = best[bands - 1][start];
                if kept > f64::NEG_INFINITY && kept + value(start, to) > best[bands][to] {
                    best[bands][to] = kept + value(start, to);
                    from[bands][to] = start;
                }
            }
        }
    }
    let told = (1..=MOST).map(|bands| best[bands][n]).fold(whole, f64::max) - whole;
    let mut bands = 1;
    while bands < MOST.min(n) && best[bands + 1][n] - best[bands][n] > WORTH * told {
        bands += 1;
    }
    let (mut edges, mut to) = (Vec::new(), n);
    while bands > 1 {
        to = from[bands][to];
        edges.push(to - 1);
        bands -= 1;
    }
    edges.reverse();
    edges
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn edges_are_numbers_a_person_can_hold_in_mind() {
        for (from, to, expected) in [
            (2.7, 3.4, 3.0),
            (13.2, 15.9, 15.0),
            (0.47, 0.52, 0.5),
            (-0.2, 0.3, 0.0),
            (28.3, 28.4, 28.35),
            (-16.0, -14.2, -15.0),
            (700.0, 4.0e6, 2.0e6),
        ] {
            assert!(
                (simplest(from, to) - expected).abs() < 1e-9,
                "{from}..{to}: {}",
                simplest(from, to)
            );
        }
    }

    #[test]
    fn two_clear_groups_need_two_bands() {
        let cells = vec![vec![1.0, 0.0], vec![0.0, 0.0], vec![0.0, 1.0]];
        let kept = keep(&cells, &[0, 1], &[(0, 0.5), (1, 0.5)]);
        assert_eq!(kept.len(), 1);
    }
}
