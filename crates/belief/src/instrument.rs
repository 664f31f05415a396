//! How far a reading may be from the truth: the instrument's own error, the same in every reading taken with it, and what
//! changes from reading to reading.
//!
//! Limits are turned into standard deviations as limit/√3 (rectangular) where a standard states a limit. Dial gauges:
//! ASME B40.100 grade B, 3-2-3 % of span. Meters: ±(0.5 % + 2 digits) volts, ±(1 % + 3 digits) ohms, clamp 2 to 3 %, from
//! common practice.

use circuit::{AccuracyClass, Instrument};
use numerics::normal_cdf;

/// Share of readings that are grossly wrong: misread, wrong hose, wrong range, typed wrongly.
pub const MISREADING: f64 = 0.02;

/// Beyond this many standard deviations an instrument's own error has a heavy tail: 3 % of them lie there.
const TAIL_START: f64 = 2.170_09;
/// Steps into which an integral between the tails is cut.
const CORE_STEPS: usize = 9;
/// Points and weights of Gauss and Hermite for a standard normal value, five points (Abramowitz and Stegun, table 25.10,
/// from memory; the test checks their moments).
const HERMITE: [(f64, f64); 5] = [
    (-2.856_970_013_872_806, 0.011_257_411_327_720_7),
    (-1.355_626_179_974_266, 0.222_075_922_005_612_8),
    (0.0, 0.533_333_333_333_333_3),
    (1.355_626_179_974_266, 0.222_075_922_005_612_8),
    (2.856_970_013_872_806, 0.011_257_411_327_720_7),
];
/// Steps into which an integral over the tail is cut, and their width in standard deviations: 2 % of the reading each.
const TAIL_STEPS: usize = 14;
const TAIL_STEP: f64 = 0.08;
/// How fast the tail grows: a gauge that has fallen reads 10 to 30 % off. From memory.
const TAIL_SCALE: f64 = 0.25;

/// Least deviation of a factor, so that the best instrument too may have fallen. Our own choice.
const LEAST_SCALE: f64 = 0.000_5;

/// One instrument's own error: shown = true · (1 + factor) + zero, SI.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ToolError {
    /// Share by which it reads too much.
    pub factor: f64,
    /// What it shows at nothing.
    pub zero: f64,
}

/// Error model of a sort of instrument, SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Accuracy {
    /// Standard deviation of the factor it reads wrong by, same in all its readings.
    pub scale: f64,
    /// Standard deviation of its zero, same in all its readings.
    pub zero: f64,
    /// Standard deviation of one reading: needle, resolution, repeatability, and how far the model is from the vehicle.
    pub noise: f64,
    /// The same as a share of the value.
    pub relative_noise: f64,
    /// Least and greatest it can show; a gross misreading is anywhere between.
    pub range: (f64, f64),
    /// `true` if gross misreadings are spread evenly in the logarithm.
    pub logarithmic: bool,
}

impl Accuracy {
    /// The error model of `instrument`.
    pub fn of(instrument: Instrument) -> Self {
        let linear = |scale, zero, noise, relative_noise, range| Self {
            scale,
            zero,
            noise,
            relative_noise,
            range,
            logarithmic: false,
        };
        match instrument {
            // 0.6 inHg mid-scale, of which half is scale and half zero; half a division of 0.5 inHg; the model's 1.5 %.
            Instrument::VacuumGauge => linear(0.012, 700.0, 700.0, 0.015, (0.0, 101.6e3)),
            Instrument::PressureGauge => linear(0.012, 3.0e3, 3.0e3, 0.02, (0.0, 1.0e6)),
            // 0 to 10 bar, 0.2 bar off anywhere: half of it scale, half zero; read to half of a division of 0.1 bar.
            Instrument::FuelGauge => linear(0.012, 5.0e3, 6.0e3, 0.02, (0.0, 1.0e6)),
            // 0.02 L of half a litre, a second of thirty. From memory.
            Instrument::MeasuringCan => linear(0.01, 0.0, 0.03e-3 / 60.0, 0.05, (0.0, 0.5e-3)),
            Instrument::Voltmeter => linear(0.003, 0.006, 0.012, 0.006, (0.0, 16.0)),
            Instrument::Ohmmeter => Self {
                scale: 0.006,
                zero: 0.08,
                noise: 0.08,
                relative_noise: 0.01,
                range: (0.1, 4.0e7),
                logarithmic: true,
            },
            Instrument::Clamp => Self {
                scale: 0.015,
                zero: 0.03,
                noise: 0.03,
                relative_noise: 0.02,
                range: (0.03, 1000.0),
                logarithmic: true,
            },
            Instrument::Rule => linear(0.0, 0.2e-3, 0.5e-3, 0.04, (0.0, 20.0e-3)),
            Instrument::Tachometer => linear(0.005, 0.0, 0.05, 0.03, (0.0, 10.0)),
            // Infrared on dull parts: 2 K or 2 %, and what the eye aims at. Common practice, no source.
            Instrument::Thermometer => linear(0.0, 1.5, 2.0, 0.0, (233.0, 573.0)),
            Instrument::DutyMeter => linear(0.0, 0.005, 0.01, 0.01, (0.0, 1.0)),
            Instrument::ModuleTemperature => linear(0.0, 0.0, 0.7, 0.0, (223.0, 493.0)),
            Instrument::ModulePosition => linear(0.0, 0.0, 0.006, 0.0, (0.0, 1.2)),
            // A gauge of 1 inHg a division; the pump's own valves lose up to half an inHg a minute.
            Instrument::HandPump => linear(0.02, 1.0e3, 1.5e3, 0.02, (0.0, 101.6e3)),
            // Resolves 0.05 L/min; scale as of its reference hole.
            Instrument::LeakUnit => linear(0.04, 0.3e-6, 0.6e-6, 0.05, (0.0, 1.0e-4)),
            Instrument::LowGauge => linear(0.015, 15.0, 25.0, 0.02, (0.0, 5.0e3)),
            // Half a second each at the start and at the end; how fast the engine really idles.
            Instrument::Watch => linear(0.0, 0.0, 0.7, 0.06, (0.0, 120.0)),
            Instrument::ModuleData => linear(0.0, 0.0, 0.6e3, 0.005, (0.0, 300.0e3)),
            Instrument::Senses | Instrument::SmokeMaker => linear(0.0, 0.0, 0.0, 0.0, (0.0, 1.0)),
        }
    }

    /// The error model of an `instrument` whose limits of error are known.
    ///
    /// Limits become deviations as limit/√3. Of what stays the same along the scale half is the instrument's own zero, half
    /// changes from reading to reading; what the needle, the hand and the model scatter remains whatever the class.
    pub fn by(instrument: Instrument, class: &AccuracyClass) -> Self {
        let usual = Self::of(instrument);
        let (of_reading, fixed) = limits(instrument, class);
        let half = 0.5 * fixed / 3_f64.sqrt();
        let span = class.span().map(quantity::Quantity::si);
        // The divisions of a dial are as many as the usual one's.
        let needle = span.map_or(1.0, |span| span / usual.range.1);
        let least = if usual.scale > 0.0 { LEAST_SCALE } else { 0.0 };
        Self {
            scale: (of_reading / 3_f64.sqrt()).max(least),
            zero: half,
            noise: (needle * usual.noise).max(half),
            range: span.map_or(usual.range, |span| (usual.range.0, span)),
            ..usual
        }
    }

    /// What the instrument shows, before the scatter of one reading, at a true `value`.
    pub fn shown(&self, value: f64, error: ToolError) -> f64 {
        value * (1.0 + error.factor) + error.zero
    }

    /// The instrument's own error at two standard normal values, for its factor and its zero.
    pub fn error_at(&self, z: [f64; 2]) -> ToolError {
        ToolError {
            factor: self.factor(z[0]),
            zero: self.zero * z[1].clamp(-3.5, 3.5),
        }
    }

    /// The factor by which it reads wrong at a standard normal value: normal, with a heavy tail.
    fn factor(&self, z: f64) -> f64 {
        if self.scale == 0.0 {
            return 0.0;
        }
        let beyond = (z.abs() - TAIL_START).max(0.0);
        (self.scale * z.abs().min(TAIL_START) + TAIL_SCALE * beyond).copysign(z)
    }

    /// The instrument's own error as a few weighted values, for integrating over it: weights sum to 1.
    ///
    /// Between its tails the factor goes in nine even steps, the zero in the five points of Gauss and Hermite. A gauge in its
    /// tail is so wrong that its zero no longer matters, and the tail is cut in steps finer than the scatter of a reading.
    pub fn errors(&self) -> Vec<(ToolError, f64)> {
        let zeros = if self.zero == 0.0 {
            &[(0.0, 1.0)][..]
        } else {
            &HERMITE[..]
        };
        if self.scale == 0.0 {
            return zeros
                .iter()
                .map(|(z, weight)| (self.error_at([0.0, *z]), *weight))
                .collect();
        }
        let mut errors = Vec::with_capacity(CORE_STEPS * zeros.len() + 2 * TAIL_STEPS);
        let width = 2.0 * TAIL_START / CORE_STEPS as f64;
        for step in 0..CORE_STEPS {
            let low = -TAIL_START + width * step as f64;
            let mass = normal_cdf(low + width) - normal_cdf(low);
            errors.extend(
                zeros
                    .iter()
                    .map(|(z, weight)| (self.error_at([low + 0.5 * width, *z]), mass * weight)),
            );
        }
        for step in 0..TAIL_STEPS {
            let edge = |step: usize| TAIL_START + TAIL_STEP * step as f64;
            let beyond = if step + 1 == TAIL_STEPS {
                1.0
            } else {
                normal_cdf(edge(step + 1))
            };
            let mass = beyond - normal_cdf(edge(step));
            for side in [-1.0, 1.0] {
                errors.push((
                    self.error_at([side * 0.5 * (edge(step) + edge(step + 1)), 0.0]),
                    mass,
                ));
            }
        }
        errors
    }

    /// `true` for an error so large that the instrument should be checked.
    pub fn suspicious(&self, error: ToolError) -> bool {
        self.scale > 0.0 && error.factor.abs() > self.scale * TAIL_START * 1.000_001
    }

    /// Standard deviation of one reading at a shown value.
    pub fn deviation(&self, shown: f64) -> f64 {
        let relative = self.relative_noise * shown;
        (self.noise * self.noise + relative * relative).sqrt()
    }

    /// Density of a gross misreading at `value`.
    pub fn gross_density(&self, value: f64) -> f64 {
        let (low, high) = self.range;
        if self.logarithmic {
            1.0 / (value.abs().clamp(low, high) * (high / low).ln())
        } else {
            1.0 / (high - low)
        }
    }

    /// Probability that a gross misreading lies above `value`.
    pub fn gross_above(&self, value: f64) -> f64 {
        let (low, high) = self.range;
        let x = value.clamp(low, high);
        if self.logarithmic {
            (high / x).ln() / (high / low).ln()
        } else {
            (high - x) / (high - low)
        }
    }
}

/// A thermometer's percent are of degrees Celsius: they count here as at 100 degrees, about as hot as parts by an engine are.
const HOT_PART: f64 = 100.0;

/// The limits of a class: a share of what is read, SI, and what is the same everywhere.
fn limits(instrument: Instrument, class: &AccuracyClass) -> (f64, f64) {
    let (of_reading, fixed) = (class.of_reading().si(), class.fixed().si());
    if instrument == Instrument::Thermometer {
        (0.0, fixed + HOT_PART * of_reading)
    } else {
        (of_reading, fixed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_values_of_an_error_are_a_distribution() {
        for instrument in [
            Instrument::VacuumGauge,
            Instrument::Voltmeter,
            Instrument::Rule,
            Instrument::Senses,
        ] {
            let accuracy = Accuracy::of(instrument);
            let errors = accuracy.errors();
            let total: f64 = errors.iter().map(|(_, weight)| weight).sum();
            assert!((total - 1.0).abs() < 1e-12, "{instrument:?}: {total}");
            let mean: f64 = errors.iter().map(|(error, weight)| error.factor * weight).sum();
            assert!(mean.abs() < 1e-15, "{instrument:?}");
            let gross: f64 = errors
                .iter()
                .filter(|(error, _)| accuracy.suspicious(*error))
                .map(|(_, weight)| weight)
                .sum();
            let expected = if accuracy.scale > 0.0 { 0.03 } else { 0.0 };
            assert!((gross - expected).abs() < 1e-4, "{instrument:?}: {gross}");
        }
    }

    /// Moments of the standard normal distribution up to the eighth: 1, 3, 15, 105.
    #[test]
    fn the_points_of_a_zero_have_the_moments_of_a_normal_value() {
        for (power, moment) in [(0, 1.0), (2, 1.0), (4, 3.0), (6, 15.0), (8, 105.0)] {
            let sum: f64 = HERMITE.iter().map(|(z, weight)| weight * z.powi(power)).sum();
            assert!((sum / moment - 1.0).abs() < 1e-12, "{power}: {sum}");
        }
    }

    /// ASME B40.100 grade B: 3-2-3 % of span; a 30 inHg dial is within 0.6 inHg in the middle half.
    #[test]
    fn an_ordinary_gauge_keeps_its_grade() {
        let accuracy = Accuracy::of(Instrument::VacuumGauge);
        let in_hg = 3_386.388_640_341;
        let within = accuracy
            .errors()
            .iter()
            .filter(|(error, _)| (accuracy.shown(15.0 * in_hg, *error) / in_hg - 15.0).abs() <= 0.6)
            .map(|(_, w)| w)
            .sum::<f64>();
        assert!(within > 0.93, "{within}");
    }
}
