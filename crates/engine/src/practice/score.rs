//! How well a strategy did: costs, wrong parts, and whether its probabilities were true.
//!
//! Brier, Monthly Weather Review 78 (1950) 1, for the score; expected calibration error over bins of equal width as in Naeini,
//! Cooper and Hauskrecht, AAAI 2015; log score in nats. From memory; worked figures in `references/diagnosis_examples.json`.

/// Bins of a reliability table.
pub const BINS: usize = 10;

/// How one strategy fared on one job.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Record {
    /// What the job cost.
    pub cost: f64,
    /// `true` if its cause is one of the circuit's faults.
    pub listed: bool,
    /// Whether the part renewed first was faulty; `None` if none was renewed.
    pub first_was_faulty: Option<bool>,
    /// Probability that was said of that part; `None` if nothing was said.
    pub said: Option<f64>,
    /// Parts renewed that had no fault.
    pub wrong_parts: usize,
    /// Parts renewed.
    pub renewed: usize,
    /// Checks made.
    pub checks: usize,
    /// `true` if it was given away after too many steps.
    pub given_up: bool,
}

/// How one strategy fared on many jobs.
#[derive(Debug, Clone, PartialEq)]
pub struct Score {
    /// Its name.
    pub name: &'static str,
    /// Jobs.
    pub jobs: usize,
    /// Jobs whose cause is one of the circuit's faults.
    pub listed: usize,
    /// Mean cost; all figures are 0 where there was no job.
    pub mean_cost: f64,
    /// Median cost: half-way between the middle two of an even number.
    pub median_cost: f64,
    /// 95th percentile: the least cost that at least 95 of 100 jobs do not exceed.
    pub p95_cost: f64,
    /// Of the jobs whose cause is listed, the share in which the part renewed first was faulty.
    pub first_repair_right: f64,
    /// Parts renewed without need, per job.
    pub wrong_parts_per_job: f64,
    /// Checks per job.
    pub checks_per_job: f64,
    /// Jobs given away after too many steps.
    pub given_up: usize,
    /// How true its probabilities were at the first repair; `None` if it said none.
    pub calibration: Option<Calibration>,
}

impl Score {
    /// The score of the strategy called `name`.
    pub fn of(name: &'static str, records: &[Record]) -> Self {
        let jobs = records.len();
        let per_job = |sum: f64| if jobs == 0 { 0.0 } else { sum / jobs as f64 };
        let mut costs: Vec<f64> = records.iter().map(|record| record.cost).collect();
        costs.sort_by(f64::total_cmp);
        let listed: Vec<&Record> = records.iter().filter(|record| record.listed).collect();
        let right = listed
            .iter()
            .filter(|record| record.first_was_faulty == Some(true))
            .count();
        let said: Vec<(f64, bool)> = records
            .iter()
            .filter_map(|record| Some((record.said?, record.first_was_faulty?)))
            .collect();
        Self {
            name,
            jobs,
            listed: listed.len(),
            mean_cost: per_job(costs.iter().sum()),
            median_cost: median(&costs),
            p95_cost: reached(&costs, 0.95),
            first_repair_right: if listed.is_empty() {
                0.0
            } else {
                right as f64 / listed.len() as f64
            },
            wrong_parts_per_job: per_job(records.iter().map(|record| record.wrong_parts as f64).sum()),
            checks_per_job: per_job(records.iter().map(|record| record.checks as f64).sum()),
            given_up: records.iter().filter(|record| record.given_up).count(),
            calibration: (!said.is_empty()).then(|| Calibration::of(&said, BINS)),
        }
    }
}

fn median(sorted: &[f64]) -> f64 {
    let middle = sorted.len() / 2;
    match sorted {
        [] => 0.0,
        _ if sorted.len() % 2 == 1 => sorted[middle],
        _ => 0.5 * (sorted[middle - 1] + sorted[middle]),
    }
}

/// The least value that at least `share` of all do not exceed (nearest rank).
fn reached(sorted: &[f64], share: f64) -> f64 {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share of a count"
    )]
    let rank = (share * sorted.len() as f64).ceil() as usize;
    sorted.get(rank.saturating_sub(1)).copied().unwrap_or(0.0)
}

/// Whether what was said came true as often as it was said.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    /// Expected calibration error: mean distance between said and was over the bins, weighted by their jobs.
    pub error: f64,
    /// Mean square of said minus was.
    pub brier: f64,
    /// Mean of minus the logarithm of the probability given to what was, nats.
    pub log_score: f64,
    /// The bins that hold any job, lowest first.
    pub table: Vec<Bin>,
}

/// One bin of a reliability table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bin {
    /// Mean of what was said.
    pub said: f64,
    /// Share that was.
    pub was: f64,
    /// Jobs in it.
    pub jobs: usize,
}

/// A probability of exactly nothing or one, said and wrong, would have an endless log score.
const LEAST: f64 = 1e-9;

impl Calibration {
    /// Of probabilities and whether each came true, in `bins` of equal width.
    pub fn of(said: &[(f64, bool)], bins: usize) -> Self {
        let count = said.len().max(1) as f64;
        let mean =
            |value: fn(f64, bool) -> f64| said.iter().map(|(p, was)| value(*p, *was)).sum::<f64>() / count;
        let mut sums = vec![(0.0, 0.0, 0_usize); bins];
        for (p, was) in said {
            let (mean_said, mean_was, jobs) = &mut sums[bin(*p, bins)];
            *mean_said += p;
            *mean_was += f64::from(u8::from(*was));
            *jobs += 1;
        }
        let filled = sums.into_iter().filter(|(_, _, jobs)| *jobs > 0);
        let table: Vec<Bin> = filled
            .map(|(said, was, jobs)| Bin {
                said: said / jobs as f64,
                was: was / jobs as f64,
                jobs,
            })
            .collect();
        Self {
            error: table
                .iter()
                .map(|bin| bin.jobs as f64 / count * (bin.said - bin.was).abs())
                .sum(),
            brier: mean(|p, was| (p - f64::from(u8::from(was))).powi(2)),
            log_score: mean(|p, was| -(if was { p } else { 1.0 - p }).max(LEAST).ln()),
            table,
        }
    }
}

/// The bin that holds `p`; one that lies on an edge belongs to the upper bin, one itself to the last.
fn bin(p: f64, bins: usize) -> usize {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a probability times a small count"
    )]
    let index = (p.clamp(0.0, 1.0) * bins as f64) as usize;
    index.min(bins.saturating_sub(1))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]

    use super::*;
    use serde_json::Value;

    /// `diagnosis_examples.json`, section `calibration`: definitions and sources are named there.
    #[test]
    fn calibration_is_that_of_the_worked_example() {
        let text = include_str!("../../../../references/diagnosis_examples.json");
        let example = &serde_json::from_str::<Value>(text).unwrap()["calibration"];
        let list = |key: &str| -> Vec<f64> {
            example[key]
                .as_array()
                .unwrap()
                .iter()
                .map(|value| value.as_f64().unwrap())
                .collect()
        };
        let said: Vec<(f64, bool)> = list("said")
            .into_iter()
            .zip(list("was"))
            .map(|(said, was)| (said, was > 0.5))
            .collect();
        // A few rounding steps of sums of ten; the log score is printed to twelve digits.
        let check = |found: f64, key: &str, within: f64| {
            let expected = example[key].as_f64().unwrap();
            assert!(
                (found - expected).abs() < within,
                "{key}: {found} instead of {expected}"
            );
        };
        let ten = Calibration::of(&said, 10);
        check(ten.error, "error_10_bins", 1e-12);
        check(ten.brier, "brier", 1e-12);
        check(ten.log_score, "log_score", 1e-11);
        check(Calibration::of(&said, 5).error, "error_5_bins", 1e-12);
        let largest = ten
            .table
            .iter()
            .map(|bin| (bin.said - bin.was).abs())
            .fold(0.0, f64::max);
        check(largest, "largest_error_10_bins", 1e-12);
        assert_eq!(ten.table.iter().map(|bin| bin.jobs).sum::<usize>(), said.len());
    }

    #[test]
    fn certainty_has_a_bin_and_a_score() {
        let sure = Calibration::of(&[(1.0, true), (0.0, false), (1.0, false)], BINS);
        assert_eq!(sure.table.iter().map(|bin| bin.jobs).collect::<Vec<_>>(), [1, 2]);
        assert!(sure.log_score.is_finite());
    }

    #[test]
    fn middle_and_tail_of_costs() {
        let check = |costs: &[f64], middle: f64, tail: f64| {
            assert!((median(costs) - middle).abs() < 1e-12, "{costs:?}");
            assert!((reached(costs, 0.95) - tail).abs() < 1e-12, "{costs:?}");
        };
        check(&[], 0.0, 0.0);
        check(&[7.0], 7.0, 7.0);
        check(&[1.0, 2.0, 4.0, 9.0], 3.0, 9.0);
        let twenty: Vec<f64> = (1..=20).map(f64::from).collect();
        check(&twenty, 10.5, 19.0);
    }

    #[test]
    fn only_listed_causes_count_for_the_first_repair() {
        let job = |listed, first_was_faulty| Record {
            cost: 10.0,
            listed,
            first_was_faulty,
            said: None,
            wrong_parts: 1,
            renewed: 1,
            checks: 2,
            given_up: false,
        };
        let score = Score::of(
            "any",
            &[
                job(true, Some(true)),
                job(true, Some(false)),
                job(false, Some(false)),
                job(true, None),
            ],
        );
        assert_eq!((score.jobs, score.listed), (4, 3));
        assert!((score.first_repair_right - 1.0 / 3.0).abs() < 1e-12);
        assert!(
            (score.wrong_parts_per_job - 1.0).abs() < 1e-12 && (score.checks_per_job - 2.0).abs() < 1e-12
        );
        assert_eq!(score.calibration, None);
    }
}
