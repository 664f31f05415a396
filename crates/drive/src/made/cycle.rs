//! The speed cycle of the type I test of UN Regulation No. 83 (also No. 101): four times the urban part, once the part outside towns.
//!
//! It is straight between its points, so they define it whole. Points for a manual gearbox as the European Commission's Joint
//! Research Centre writes them in its open CO2MPAS program (read); idling, steady and gear-change stretches as in Annex 4 of the
//! regulation.

/// Seconds and km/h of the urban part.
const URBAN: &[(f64, f64)] = &[
    (0.0, 0.0),
    (11.0, 0.0),
    (15.0, 15.0),
    (23.0, 15.0),
    (25.0, 10.0),
    (28.0, 0.0),
    (49.0, 0.0),
    (54.0, 15.0),
    (56.0, 15.0),
    (61.0, 32.0),
    (85.0, 32.0),
    (93.0, 10.0),
    (96.0, 0.0),
    (117.0, 0.0),
    (122.0, 15.0),
    (124.0, 15.0),
    (133.0, 35.0),
    (135.0, 35.0),
    (143.0, 50.0),
    (155.0, 50.0),
    (163.0, 35.0),
    (178.0, 35.0),
    (185.0, 10.0),
    (188.0, 0.0),
    (195.0, 0.0),
];

/// The same of the part outside towns.
const OUTSIDE: &[(f64, f64)] = &[
    (0.0, 0.0),
    (20.0, 0.0),
    (25.0, 15.0),
    (27.0, 15.0),
    (36.0, 35.0),
    (38.0, 35.0),
    (46.0, 50.0),
    (48.0, 50.0),
    (61.0, 70.0),
    (111.0, 70.0),
    (119.0, 50.0),
    (188.0, 50.0),
    (201.0, 70.0),
    (251.0, 70.0),
    (286.0, 100.0),
    (316.0, 100.0),
    (336.0, 120.0),
    (346.0, 120.0),
    (362.0, 80.0),
    (370.0, 50.0),
    (380.0, 0.0),
    (400.0, 0.0),
];

/// How often the urban part is driven.
const TIMES: usize = 4;
/// Length of the urban part, s.
const URBAN_LENGTH: f64 = 195.0;
/// Length of the whole, s.
pub(crate) const LENGTH: f64 = TIMES as f64 * URBAN_LENGTH + 400.0;

/// Speed at a moment of the cycle, m/s; 0 before and after it.
pub(crate) fn speed(at: f64) -> f64 {
    let urban = TIMES as f64 * URBAN_LENGTH;
    let kmh = if !(0.0..LENGTH).contains(&at) {
        0.0
    } else if at < urban {
        between(URBAN, at % URBAN_LENGTH)
    } else {
        between(OUTSIDE, at - urban)
    };
    kmh / 3.6
}

fn between(points: &[(f64, f64)], at: f64) -> f64 {
    let next = points.partition_point(|(time, _)| *time <= at);
    match (next.checked_sub(1).map(|before| points[before]), points.get(next)) {
        (Some((t0, v0)), Some((t1, v1))) => v0 + (v1 - v0) * (at - t0) / (t1 - t0),
        (Some((_, last)), None) => last,
        _ => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn driven(from: f64, to: f64) -> f64 {
        // Straight between whole seconds, so the trapezoid is exact.
        let seconds = 0..1180_u32;
        seconds
            .map(f64::from)
            .filter(|at| (from..to).contains(at))
            .map(|at| f64::midpoint(speed(at), speed(at + 1.0)))
            .sum()
    }

    /// Published totals of the cycle: 4 x 1.013 km and 6.955 km in 780 s and 400 s, at most 50 and 120 km/h
    /// (transportpolicy.net, "EU: Light-duty: New European Driving Cycle", read).
    #[test]
    fn length_distance_and_top_speed_are_the_published_ones() {
        assert!((LENGTH - 1180.0).abs() < 1e-12);
        let outside = driven(780.0, 1180.0);
        assert!((outside - 6955.0).abs() < 0.6, "{outside}");
        let urban = driven(0.0, 195.0);
        // The last brakings of the urban part are printed with other gear-change seconds in different editions: half a per cent.
        assert!((urban / 1013.0 - 1.0).abs() < 6e-3, "{urban}");
        let top = |from: u32, to: u32| (from..to).map(|at| speed(f64::from(at))).fold(0.0, f64::max);
        assert!((top(0, 780) * 3.6 - 50.0).abs() < 1e-9);
        assert!((top(780, 1180) * 3.6 - 120.0).abs() < 1e-9);
    }

    /// The regulation's accelerations: 1.04, 0.83, 0.94 m/s² in the urban part, 0.28 from 100 to 120 km/h, -1.39 at the end (from memory).
    #[test]
    fn accelerations_are_the_regulations() {
        for (at, wanted) in [
            (12.0, 1.04),
            (50.0, 0.83),
            (57.0, 0.94),
            (780.0 + 320.0, 0.28),
            (780.0 + 372.0, -1.39),
        ] {
            let acceleration = speed(at + 1.0) - speed(at);
            assert!((acceleration - wanted).abs() < 6e-3, "{at}: {acceleration}");
        }
    }
}
