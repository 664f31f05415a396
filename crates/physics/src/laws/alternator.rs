//! The mean current of an alternator with its bridge and regulator, and of a fan on its motor. DERIVATIONS.md, section 21.
//!
//! A three-phase source behind its own inductance feeds a bridge into a constant voltage. Caliskan, Perreault, Jahns and
//! Kassakian (IEEE Trans. Power Electronics 18, 2003; from memory) give the mean current by the fundamental alone,
//! (3/π) E/(ωL) √(1 − x²), x being the voltage over that at which it ceases. Near the end the current is no longer
//! continuous and less than that; (1 − x²)(1 + 0.4 x²) meets a simulated bridge over the whole range.

use super::air::Flow;

/// Forward voltage of the two diodes in the way together, V. From memory.
const DIODES: f64 = 2.0;
/// How much of the way from full field to none the regulator takes, V. From memory: a few tenths.
const BAND: f64 = 0.2;
/// Correction of the fundamental's law, fitted to `references/alternator.csv`.
const LATE: f64 = 0.4;

/// What a fault in the bridge or the winding leaves, as [`Alternator::left`] counts it; `references/alternator.csv`.
pub(crate) const DIODE_OPEN: (f64, f64) = (1.19, 0.73);
pub(crate) const PHASE_OPEN: (f64, f64) = (0.72, 0.6);
/// A diode that conducts both ways: the winding turns in its own short. From memory, and of the size a simulation gives.
pub(crate) const DIODE_SHORTED: (f64, f64) = (0.03, 0.0);

/// An alternator at one speed, with its regulator.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Alternator {
    /// Current that full field would give into no voltage, A.
    pub(crate) most: f64,
    /// Voltage at which full field gives nothing any more at this speed, V.
    pub(crate) reach: f64,
    /// What the regulator holds, V; `None`: full field always.
    pub(crate) held: Option<f64>,
    /// What a fault in bridge or winding leaves: so much, less so much with `x`. Sound: 1 and 0.
    pub(crate) left: (f64, f64),
}

impl Alternator {
    /// Share of the most current at share `x` of the reach, with its slope.
    fn share(self, x: f64) -> (f64, f64) {
        if x >= 1.0 {
            return (0.0, 0.0);
        }
        let x = x.max(0.0);
        let (x2, (a, b)) = (x * x, self.left);
        let (sound, slope) = (
            (1.0 - x2) * (1.0 + LATE * x2),
            2.0 * x * (LATE - 1.0) - 4.0 * LATE * x2 * x,
        );
        let rest = (a - b * x).max(0.0);
        (sound * rest, slope * rest - sound * b)
    }

    /// Share of the full field at `volts`, with its slope.
    fn field(self, volts: f64) -> (f64, f64) {
        let Some(held) = self.held else {
            return (1.0, 0.0);
        };
        let duty = (held + 0.5 * BAND - volts) / BAND;
        if duty >= 1.0 {
            (1.0, 0.0)
        } else if duty <= 0.0 {
            (0.0, 0.0)
        } else {
            (duty, -1.0 / BAND)
        }
    }

    /// Current through it from `plus` to its case: what it gives, with the sign of a load.
    pub(crate) fn current(self, plus: f64, case: f64) -> Flow {
        let volts = plus - case;
        let (duty, by_volts) = self.field(volts);
        let scale = 1.0 / (self.reach + DIODES).max(1e-3);
        let (mut value, mut slope) = (0.0, 0.0);
        if duty > 0.0 {
            let x = (volts + DIODES) * scale / duty;
            let (share, bend) = self.share(x);
            value = -self.most * duty * share;
            slope = -self.most * (by_volts * (share - x * bend) + bend * scale);
        }
        Flow {
            value,
            by_a: slope,
            by_b: -slope,
        }
    }
}

/// A fan on a direct-current motor at steady speed: V = I R + k ω, k I = load + drag ω + square ω². Below the stall current it
/// stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Fan {
    /// Of winding and brushes, ohm.
    pub(crate) resistance: f64,
    /// Back-EMF, V s.
    pub(crate) constant: f64,
    /// Torque at any speed, N m.
    pub(crate) load: f64,
    /// Torque that grows with speed, N m s.
    pub(crate) drag: f64,
    /// Torque that grows with its square, N m s².
    pub(crate) square: f64,
}

impl Fan {
    /// Speed at a voltage, rad/s, 0 when stalled, with its slope.
    fn turning(self, volts: f64) -> (f64, f64) {
        let surplus = self.constant * volts / self.resistance - self.load;
        if surplus <= 0.0 {
            return (0.0, 0.0);
        }
        let linear = self.drag + self.constant * self.constant / self.resistance;
        // square ω² + linear ω = surplus, without loss of digits where the square is small.
        let root = (linear * linear + 4.0 * self.square * surplus).sqrt();
        (
            2.0 * surplus / (linear + root),
            self.constant / self.resistance / root,
        )
    }

    /// Speed at a voltage, rad/s.
    pub(crate) fn speed(self, volts: f64) -> f64 {
        self.turning(volts.abs()).0
    }

    /// Current from `a` to `b`.
    pub(crate) fn current(self, a: f64, b: f64) -> Flow {
        let volts = a - b;
        let (speed, by_volts) = self.turning(volts.abs());
        let slope = (1.0 - self.constant * by_volts) / self.resistance;
        Flow {
            value: volts.signum() * (volts.abs() - self.constant * speed) / self.resistance,
            by_a: slope,
            by_b: -slope,
        }
    }
}

/// A battery: behind its inner resistance when it gives, behind another when it is charged.
pub(crate) fn accumulator(emf: f64, gives: f64, takes: f64, plus: f64, minus: f64) -> Flow {
    let volts = plus - minus - emf;
    let conductance = if volts > 0.0 { takes } else { gives };
    Flow {
        value: conductance * volts,
        by_a: conductance,
        by_b: -conductance,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::f64::consts::{PI, TAU};

    const SOUND: Alternator = Alternator {
        most: 120.0,
        reach: 24.0,
        held: Some(14.4),
        left: (1.0, 0.0),
    };
    const FAN: Fan = Fan {
        resistance: 0.2,
        constant: 0.03,
        load: 0.06,
        drag: 1e-4,
        square: 6e-6,
    };

    proptest! {
        #[test]
        fn derivatives_are_exact_and_no_current_falls_with_its_voltage(v in 0.5f64..20.0, held in any::<bool>(), open in any::<bool>()) {
            let alternator = Alternator {
                held: held.then_some(14.4),
                left: if open { (1.1, 0.6) } else { (1.0, 0.0) },
                ..SOUND
            };
            let h = 1e-6;
            // The corners: where the regulator begins and ends, where the fan starts to turn.
            prop_assume!((v - 14.3).abs() > 1e-3 && (v - 14.5).abs() > 1e-3 && (v - 0.4).abs() > 1e-2);
            let laws: [&dyn Fn(f64) -> Flow; 2] = [&|v| alternator.current(v, 0.0), &|v| FAN.current(v, 0.0)];
            for law in laws {
                let flow = law(v);
                let slope = (law(v + h).value - law(v - h).value) / (2.0 * h);
                prop_assert!((flow.by_a - slope).abs() < 1e-4 * flow.by_a.abs() + 1e-5, "{v}: {} {slope}", flow.by_a);
                prop_assert!(flow.by_a >= -1e-12);
            }
        }
    }

    /// `references/alternator.csv`: a simulated bridge, sound, with a diode open and with a phase open. The mean law stays within
    /// 5 % of the sound one's range everywhere, 3 % in the upper half; with a fault within 6 %.
    #[test]
    fn the_mean_current_is_that_of_a_simulated_bridge() {
        let rows = include_str!("../../../../references/alternator.csv")
            .lines()
            .skip(2);
        let mut seen = 0;
        for row in rows {
            let cells: Vec<&str> = row.split(',').collect();
            let number = |at: usize| cells[at].parse::<f64>().unwrap();
            let (amplitude, omega) = (number(1), TAU * number(2));
            let law = Alternator {
                most: 3.0 / PI * amplitude / (omega * 120e-6),
                reach: 0.5 * PI * amplitude - DIODES,
                held: None,
                left: match cells[0] {
                    "sound" => (1.0, 0.0),
                    "diode open" => DIODE_OPEN,
                    _ => PHASE_OPEN,
                },
            };
            let (own, simulated) = (-law.current(number(5), 0.0).value, number(3));
            let share = match cells[0] {
                "sound" if amplitude > 20.0 => 0.03,
                "sound" => 0.05,
                _ => 0.06,
            };
            assert!(
                (own - simulated).abs() < share * law.most,
                "{row}: {own} for {simulated}"
            );
            seen += 1;
        }
        assert_eq!(seen, 15);
    }

    #[test]
    fn a_regulated_alternator_gives_what_is_taken_up_to_its_most() {
        let gives = |v: f64| -SOUND.current(v, 0.0).value;
        assert!(gives(14.5) == 0.0 && gives(14.4) < gives(14.35) && gives(14.3) > 60.0);
        // Beyond the regulator it is a source of current that falls a little with voltage.
        assert!(gives(12.0) > gives(13.5) && gives(12.0) < 1.2 * gives(13.5));
    }
}
