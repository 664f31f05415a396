//! Air through openings, lines and check valves: DERIVATIONS.md, sections 2 to 4.

use super::friction::reynolds;
use crate::ambient::GAS_CONSTANT;

/// Discharge coefficient of a hole or orifice in rubber, plastic or a valve seat. Handbooks give 0.6 to 0.85; the
/// middle is taken and the uncertainty is left to the tolerance of the bore.
pub(crate) const DISCHARGE: f64 = 0.75;
/// Critical pressure ratio of a nozzle for air, (2/2.4)^3.5; NACA Report 1135.
pub(crate) const CRITICAL_RATIO: f64 = 0.528_281_787_717_174;
/// Choked mass flow of air times √T per area and pressure, s K^½/m: √(1.4/R) (2/2.4)^3.
const CHOKED: f64 = 0.040_414_697_5;
/// Above this pressure ratio the flow is taken as laminar, so that its slope stays finite; block models of ISO 6358 use 0.995 to
/// 0.999.
const LAMINAR_RATIO: f64 = 0.999;

/// A flow and its derivatives by the potential at its two ends.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Flow {
    /// From the first end to the second.
    pub(crate) value: f64,
    /// Derivative by the potential at the first end.
    pub(crate) by_a: f64,
    /// Derivative by the potential at the second end.
    pub(crate) by_b: f64,
}

impl Flow {
    fn reversed(self) -> Self {
        Self {
            value: -self.value,
            by_a: -self.by_b,
            by_b: -self.by_a,
        }
    }
}

/// Choked mass flow per pressure of a round hole, kg/(s Pa): ISO 6358's C times its reference density, at `temperature`.
pub(crate) fn hole(bore: f64, discharge: f64, temperature: f64) -> f64 {
    discharge * std::f64::consts::FRAC_PI_4 * bore * bore * CHOKED / temperature.sqrt()
}

/// Mass flow through a restriction from absolute pressure `a` to `b`, ISO 6358-1:2013. DERIVATIONS.md, section 2.
///
/// `conductance`: choked mass flow per upstream pressure, kg/(s Pa); `critical`: ratio below which it chokes.
pub(crate) fn restriction(conductance: f64, critical: f64, a: f64, b: f64) -> Flow {
    if b > a {
        return restriction(conductance, critical, b, a).reversed();
    }
    let ratio = if a > 0.0 { b / a } else { 1.0 };
    if ratio <= critical {
        return Flow {
            value: conductance * a,
            by_a: conductance,
            by_b: 0.0,
        };
    }
    let (psi, slope) = subsonic(critical, ratio);
    Flow {
        value: conductance * a * psi,
        by_a: conductance * (psi - ratio * slope),
        by_b: conductance * slope,
    }
}

/// Flow relative to choked flow above the critical ratio, and its slope: ISO 6358's ellipse; near equal pressures, where its
/// slope would grow beyond bounds, an odd cubic in 1 − r that meets it with its slope.
fn subsonic(critical: f64, ratio: f64) -> (f64, f64) {
    let ellipse = |ratio: f64| {
        let x = (ratio - critical) / (1.0 - critical);
        let psi = (1.0 - x * x).max(0.0).sqrt();
        (psi, -x / ((1.0 - critical) * psi))
    };
    if ratio < LAMINAR_RATIO {
        return ellipse(ratio);
    }
    let (psi, slope) = ellipse(LAMINAR_RATIO);
    let (end, y) = (1.0 - LAMINAR_RATIO, 1.0 - ratio);
    let first = 0.5 * (3.0 * psi / end + slope);
    let third = -0.5 * (psi / end + slope) / (end * end);
    (y * (first + third * y * y), -(first + 3.0 * third * y * y))
}

/// A line's constants: `drive` = D³/(μ² L R T), 1/Pa²; `scale` = π μ D / 4, kg/s per Reynolds number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Line {
    pub(crate) drive: f64,
    pub(crate) scale: f64,
}

impl Line {
    /// A line of `bore` and `length` metres, full of air of a `viscosity` (Pa s) and `temperature` (K).
    pub(crate) fn new(bore: f64, length: f64, viscosity: f64, temperature: f64) -> Self {
        let drive = bore.powi(3) / (viscosity * viscosity * length * GAS_CONSTANT * temperature);
        Self {
            drive,
            scale: std::f64::consts::FRAC_PI_4 * viscosity * bore,
        }
    }
}

/// Mass flow through a line: isothermal compressible Darcy flow, p₁² − p₂² = f L ṁ² R T / (D A²), with Churchill's
/// friction factor (Chemical Engineering 84(24), 1977, 91), smooth wall. DERIVATIONS.md, section 3, which also says what
/// leaving out the air's own acceleration costs.
pub(crate) fn line(line: Line, a: f64, b: f64) -> Flow {
    if b > a {
        return self::line(line, b, a).reversed();
    }
    let drive = line.drive * (a * a - b * b);
    let (reynolds, slope) = reynolds(drive);
    let gain = line.scale * slope * line.drive * 2.0;
    Flow {
        value: line.scale * reynolds,
        by_a: gain * a,
        by_b: -gain * b,
    }
}

/// Mass flow through a check valve that stands open, from `a` to `b`. Its plate lifts over `opening` pascals of difference:
/// until then the flow grows evenly, from there on it is that of the full opening. Backwards the same: whether it stands
/// open at all is decided by whoever solves the net.
pub(crate) fn open_check_valve(conductance: f64, opening: f64, a: f64, b: f64) -> Flow {
    if b > a {
        return open_check_valve(conductance, opening, b, a).reversed();
    }
    if a - b >= opening {
        return restriction(conductance, CRITICAL_RATIO, a, b);
    }
    let full = restriction(conductance, CRITICAL_RATIO, a, a - opening);
    let (lift, slope) = ((a - b) / opening, full.value / opening);
    Flow {
        value: lift * full.value,
        by_a: lift * (full.by_a + full.by_b) + slope,
        by_b: -slope,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const HOLE: f64 = 1.0e-9;
    const OPENING: f64 = 800.0;

    fn laws() -> [fn(f64, f64) -> Flow; 3] {
        [
            |a, b| restriction(HOLE, CRITICAL_RATIO, a, b),
            |a, b| {
                line(
                    Line {
                        drive: 4.0e-4,
                        scale: 4.0e-8,
                    },
                    a,
                    b,
                )
            },
            |a, b| open_check_valve(HOLE, OPENING, a, b),
        ]
    }

    proptest! {
        /// Exactness of the derivatives: against central differences, away from the kinks of the law.
        #[test]
        fn derivatives_are_exact(a in 5.0e3f64..2.0e5, b in 5.0e3f64..2.0e5) {
            for (index, law) in laws().into_iter().enumerate() {
                let step = 0.5;
                let (apart, ratio) = ((a - b).abs(), a.min(b) / a.max(b));
                let near_kink =
                    apart < 1e-2 * a.max(b) || (ratio - CRITICAL_RATIO).abs() < 1e-3 || (apart - OPENING).abs() < 2.0;
                prop_assume!(!near_kink);
                let flow = law(a, b);
                let by_a = (law(a + step, b).value - law(a - step, b).value) / (2.0 * step);
                let by_b = (law(a, b + step).value - law(a, b - step).value) / (2.0 * step);
                let scale = flow.by_a.abs() + flow.by_b.abs() + 1e-16;
                // The line's friction is a spline in logarithms: its third derivative limits the difference quotient.
                prop_assert!((flow.by_a - by_a).abs() < 2e-4 * scale, "law {index}: {} {by_a}", flow.by_a);
                prop_assert!((flow.by_b - by_b).abs() < 2e-4 * scale, "law {index}: {} {by_b}", flow.by_b);
            }
        }

        #[test]
        fn flow_reverses_with_pressure(a in 1.0e3f64..3.0e5, b in 1.0e3f64..3.0e5) {
            for law in laws() {
                prop_assert!((law(a, b).value + law(b, a).value).abs() <= 0.0);
            }
        }

        #[test]
        fn more_upstream_pressure_never_means_less_flow(a in 1.0e3f64..3.0e5, b in 1.0e3f64..3.0e5, more in 0.0f64..1.0e4) {
            for law in laws() {
                prop_assert!(law(a + more, b).value >= law(a, b).value - 1e-18);
                prop_assert!(law(a, b + more).value <= law(a, b).value + 1e-18);
            }
        }
    }
}
