//! The time of every row: from a column of times, from the engine's running time, or a second a row.

use super::{in_all, whole};
use crate::recording::{Clock, Column, Dropped, Finding};
use crate::signal::Signal;
use std::cmp::Ordering;

/// Seconds from the first row, rising, and the first row's own time; rows that go back or repeat are taken out of all columns.
pub(super) fn order(
    columns: &mut [Column],
    dropped: &mut Dropped,
    findings: &mut Vec<Finding>,
    at: &[usize],
) -> (Vec<f64>, Clock, f64) {
    let rows = at.len();
    let best = |columns: &[Column], signal| {
        let own =
            (0..columns.len()).filter(|at| columns[*at].signal == Some(signal) && columns[*at].count() > 0);
        own.max_by(|a, b| {
            columns[*a]
                .confidence
                .total_cmp(&columns[*b].confidence)
                .then(b.cmp(a))
        })
    };
    let (times, clock) = if let Some(time) = best(columns, Signal::Time) {
        (columns[time].values.clone(), Clock::Recorded)
    } else if let Some(run) = best(columns, Signal::RunTime) {
        findings.push(whole(format!(
            "no column of times; the engine's running time `{}` stands for it, rows before the start half a second apart",
            columns[run].name
        )));
        (spread(&columns[run].values), Clock::RunTime)
    } else {
        findings.push(whole(
            "no column of times; a row is taken for a second".to_owned(),
        ));
        ((0..rows).map(|row| row as f64).collect(), Clock::Rows)
    };
    let keep = kept(columns, &times, dropped, findings, at);
    let first = keep.first().map_or(0.0, |row| times[*row]);
    if keep.len() < rows {
        for column in columns {
            column.values = keep.iter().map(|row| column.values[*row]).collect();
        }
    }
    let time = keep.into_iter().map(|row| times[row] - first).collect();
    (time, clock, first)
}

/// Rows whose time goes on.
fn kept(
    columns: &[Column],
    times: &[f64],
    dropped: &mut Dropped,
    findings: &mut Vec<Finding>,
    at: &[usize],
) -> Vec<usize> {
    let mut keep: Vec<usize> = Vec::with_capacity(times.len());
    for (row, time) in times.iter().enumerate() {
        if !time.is_finite() {
            dropped.rows += 1;
            continue;
        }
        let Some(&last) = keep.last() else {
            keep.push(row);
            continue;
        };
        match time.total_cmp(&times[last]) {
            Ordering::Greater => keep.push(row),
            Ordering::Equal => dropped.repeated += 1,
            Ordering::Less => {
                if dropped.backwards == 0 {
                    findings.push(Finding {
                        row: Some(at[row]),
                        column: columns
                            .iter()
                            .find(|column| column.signal == Some(Signal::Time))
                            .map(|column| column.name.clone()),
                        what: "time runs backwards; rows are left out until it goes on".to_owned(),
                    });
                }
                dropped.backwards += 1;
            }
        }
    }
    let (repeated, backwards) = (dropped.repeated, dropped.backwards);
    let text = "rows have the time of the row before them and were left out";
    in_all(findings, repeated, 0, text);
    in_all(
        findings,
        backwards,
        1,
        "rows in all run backwards in time and were left out",
    );
    keep
}

/// Rows before the start of the engine, seconds apart: as recorders that ask for many signals are. Common practice, no source.
const BEFORE: f64 = 0.5;

/// A running time in whole seconds with several rows to a second: the rows of each second spread evenly over it. While the engine
/// stands it counts nothing, so those rows follow each other; after another start it goes on from there.
fn spread(run: &[f64]) -> Vec<f64> {
    let mut times = vec![f64::NAN; run.len()];
    // What the running time has to be raised by, and the time that the next row has if the engine stands.
    let (mut raised, mut goes_on) = (0.0, 0.0);
    let mut before = f64::NEG_INFINITY;
    let mut row = 0;
    while row < run.len() {
        let end = (row..run.len())
            .find(|at| run[*at].total_cmp(&run[row]).is_ne())
            .unwrap_or(run.len());
        let count = (end - row) as f64;
        let now = run[row];
        if now.is_finite() {
            if now == 0.0 {
                for (place, time) in times[row..end].iter_mut().enumerate() {
                    *time = goes_on + BEFORE * place as f64;
                }
                goes_on += BEFORE * count;
                raised = goes_on
                    - run
                        .get(end)
                        .copied()
                        .filter(|next| next.is_finite())
                        .unwrap_or(0.0);
            } else {
                if now < before {
                    raised = goes_on - now;
                }
                let next = run
                    .get(end)
                    .copied()
                    .filter(|next| *next > now)
                    .unwrap_or(now + 1.0);
                // A recorder slower than a second leaves none to share.
                let width = (next - now).min(1.0);
                for (place, time) in times[row..end].iter_mut().enumerate() {
                    *time = raised + now + width * place as f64 / count;
                }
                goes_on = raised + now + width;
            }
            before = now;
        }
        row = end;
    }
    times
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_of_one_second_are_spread_over_it() {
        assert_eq!(spread(&[0.0, 0.0, 1.0, 1.0, 2.0]), [0.0, 0.5, 1.0, 1.5, 2.0]);
        assert_eq!(
            spread(&[5.0, 5.0, 5.0, 5.0, 6.0, 9.0]),
            [5.0, 5.25, 5.5, 5.75, 6.0, 9.0]
        );
    }

    #[test]
    fn another_start_goes_on_from_the_first() {
        assert_eq!(
            spread(&[0.0, 1.0, 1.0, 2.0, 2.0, 0.0, 0.0, 1.0, 2.0]),
            [0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.5]
        );
        assert_eq!(spread(&[7.0, 8.0, 3.0, 4.0]), [7.0, 8.0, 9.0, 10.0]);
    }
}
