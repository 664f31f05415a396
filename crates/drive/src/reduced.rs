//! A signal as coarse as a screen shows it: least and greatest figure of each of so many stretches of time, so that no spike is lost.

/// Least and greatest of a stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Its first second that has a figure.
    pub at_s: f64,
    /// Least figure.
    pub least: f64,
    /// Greatest figure.
    pub most: f64,
}

/// `values` between two seconds in `most` stretches of equal length; one without a figure is left out.
pub fn reduced(time: &[f64], values: &[f64], (from_s, to_s): (f64, f64), most: usize) -> Vec<Stretch> {
    let begin = time.partition_point(|at| *at < from_s);
    let end = time.partition_point(|at| *at <= to_s).min(values.len());
    let width = (to_s - from_s) / most.max(1) as f64;
    let mut all: Vec<Stretch> = Vec::new();
    // Stretches are counted, not measured: an edge that is reckoned twice may fall on either side of a row.
    let mut current = f64::NAN;
    for row in begin..end {
        let value = values[row];
        if !value.is_finite() {
            continue;
        }
        let own = ((time[row] - from_s) / width).floor().min(most as f64);
        match all.last_mut() {
            Some(last) if own.total_cmp(&current).is_eq() => {
                last.least = last.least.min(value);
                last.most = last.most.max(value);
            }
            _ => {
                all.push(Stretch {
                    at_s: time[row],
                    least: value,
                    most: value,
                });
                current = own;
            }
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn no_spike_is_lost_and_no_more_are_shown_than_asked(
            values in prop::collection::vec(prop_oneof![9 => -1e6..1e6_f64, 1 => Just(f64::NAN)], 1..400),
            most in 1..80_usize,
        ) {
            let time: Vec<f64> = (0..values.len()).map(|row| row as f64 * 0.1).collect();
            let whole = (0.0, time[time.len() - 1]);
            let shown = reduced(&time, &values, whole, most);
            // The last moment may fall on the edge of a stretch of its own.
            prop_assert!(shown.len() <= most + 1);
            let finite = || values.iter().copied().filter(|value| value.is_finite());
            let least = shown.iter().map(|step| step.least).fold(f64::INFINITY, f64::min);
            let greatest = shown.iter().map(|step| step.most).fold(f64::NEG_INFINITY, f64::max);
            prop_assert!(least.total_cmp(&finite().fold(f64::INFINITY, f64::min)).is_eq());
            prop_assert!(greatest.total_cmp(&finite().fold(f64::NEG_INFINITY, f64::max)).is_eq());
        }
    }
}
