//! Whether a row of figures rises or falls by more than chance: the test of Mann and Kendall, and the slope of Theil and Sen.
//!
//! H. B. Mann, Econometrica 13 (1945) 245; M. G. Kendall, Rank Correlation Methods (1948); P. K. Sen, J. Am. Stat. Assoc. 63 (1968)
//! 1379. Nothing is assumed of how the figures scatter but that, without a trend, each order of them is as likely as any other. Where
//! neighbours resemble each other that does not hold: the variance is then raised by what the figures left by the slope show of it
//! (S. Yue and C. Y. Wang, Water Resources Management 18 (2004) 201, with the bias of a short row taken out), from memory.

use numerics::normal_cdf;
use std::cmp::Ordering;

/// Up to so many figures without equal ones, the chance is counted and not taken from the normal distribution.
const COUNTED: usize = 60;

/// What the test says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Kendall {
    /// Pairs that rise less pairs that fall.
    pub(super) score: i64,
    /// Chance of a score at least as high without a trend.
    pub(super) rising: f64,
    /// Chance of a score at least as low without a trend.
    pub(super) falling: f64,
}

/// The test on `figures` in their order; finite ones.
pub(super) fn kendall(figures: &[f64]) -> Kendall {
    // Zero is zero, whatever sign it was written with.
    let figures: Vec<f64> = figures.iter().map(|figure| figure + 0.0).collect();
    let figures = figures.as_slice();
    let score = score(figures);
    let inflated = inflation(figures);
    let ties = ties(figures);
    let (rising, falling) = if inflated <= 1.0 && ties.is_empty() && figures.len() <= COUNTED {
        counted(figures.len(), score)
    } else {
        let deviation = (variance(figures.len(), &ties) * inflated).sqrt();
        // A score goes in steps of two.
        let above = |score: i64| {
            if deviation > 0.0 {
                1.0 - normal_cdf((score as f64 - 1.0) / deviation)
            } else {
                1.0
            }
        };
        (above(score), above(-score))
    };
    Kendall {
        score,
        rising,
        falling,
    }
}

fn score(figures: &[f64]) -> i64 {
    let mut score = 0;
    for (at, first) in figures.iter().enumerate() {
        for later in &figures[at + 1..] {
            score += match later.total_cmp(first) {
                Ordering::Greater => 1,
                Ordering::Equal => 0,
                Ordering::Less => -1,
            };
        }
    }
    score
}

/// How many figures are equal, for each figure that stands more than once.
fn ties(figures: &[f64]) -> Vec<f64> {
    let mut sorted = figures.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted
        .chunk_by(|a, b| a.total_cmp(b).is_eq())
        .filter(|equal| equal.len() > 1)
        .map(|equal| equal.len() as f64)
        .collect()
}

/// Of the score without a trend.
fn variance(count: usize, ties: &[f64]) -> f64 {
    let part = |n: f64| n * (n - 1.0) * (2.0 * n + 5.0);
    (part(count as f64) - ties.iter().map(|equal| part(*equal)).sum::<f64>()) / 18.0
}

/// Chances of a score at least as high and at least as low, each order of `count` different figures being as likely as any other.
fn counted(count: usize, score: i64) -> (f64, f64) {
    // Share of the orders with so many falling pairs, one figure after the other put among those before it.
    let mut shares = vec![1.0];
    for placed in 2..=count {
        let most = placed * (placed - 1) / 2;
        let mut next = Vec::with_capacity(most + 1);
        let mut sum = 0.0;
        for falling in 0..=most {
            sum += shares.get(falling).copied().unwrap_or(0.0);
            if falling >= placed {
                sum -= shares.get(falling - placed).copied().unwrap_or(0.0);
            }
            next.push((sum / placed as f64).max(0.0));
        }
        shares = next;
    }
    let pairs = i64::try_from(count * count.saturating_sub(1) / 2).unwrap_or(i64::MAX);
    let falling_of = |score: i64| usize::try_from((pairs - score) / 2).unwrap_or(0);
    // The same number of rising pairs is as likely as of falling ones, so one sum from the short end does for both.
    let at_least = |score: i64| {
        let sum: f64 = shares.iter().take(falling_of(score) + 1).sum();
        sum.min(1.0)
    };
    (at_least(score), at_least(-score))
}

/// The middle slope of all pairs of figures, for one step from figure to figure.
pub(super) fn slope(figures: &[f64]) -> f64 {
    let mut slopes = Vec::with_capacity(figures.len() * figures.len().saturating_sub(1) / 2);
    for (at, first) in figures.iter().enumerate() {
        for (steps, later) in (1..).zip(&figures[at + 1..]) {
            slopes.push((later - first) / f64::from(steps));
        }
    }
    crate::statistics::median(&mut slopes).unwrap_or_default()
}

/// By how much the variance of the score is larger because neighbours resemble each other; 1 where they do not.
fn inflation(figures: &[f64]) -> f64 {
    let count = figures.len() as f64;
    let slope = slope(figures);
    let left: Vec<f64> = figures
        .iter()
        .enumerate()
        .map(|(at, figure)| figure - slope * at as f64)
        .collect();
    let mean = left.iter().sum::<f64>() / count;
    let power: f64 = left.iter().map(|figure| (figure - mean).powi(2)).sum();
    // Figures on a line leave nothing but what was lost in reckoning.
    let whole: f64 = figures.iter().map(|figure| figure * figure).sum();
    if count <= 4.0 || power <= 1e-20 * whole {
        return 1.0;
    }
    let neighbours: f64 = left
        .windows(2)
        .map(|pair| (pair[0] - mean) * (pair[1] - mean))
        .sum();
    // A short row with its slope taken out shows less of it than there is: Matalas and Sankarasubramanian (2003).
    let alike = ((count * neighbours / power + 2.0) / (count - 4.0)).clamp(0.0, 0.9);
    let (mut sum, mut share) = (0.0, 1.0);
    for lag in 1..figures.len() {
        share *= alike;
        sum += (1.0 - lag as f64 / count) * share;
    }
    1.0 + 2.0 * sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_figures_have_six_orders() {
        // By hand: 123 has score 3, two orders 1, two -1, one -3.
        let (rising, falling) = counted(3, 1);
        assert!((rising - 0.5).abs() < 1e-15 && (falling - 5.0 / 6.0).abs() < 1e-15);
        let (rising, _) = counted(3, 3);
        assert!((rising - 1.0 / 6.0).abs() < 1e-15);
    }

    #[test]
    fn equal_figures_neither_rise_nor_fall() {
        let all = kendall(&[14.0; 20]);
        assert_eq!(all.score, 0);
        assert!(all.rising > 0.5 && all.falling > 0.5);
        assert!(slope(&[14.0; 20]).abs() < 1e-15);
    }
}
