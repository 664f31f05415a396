//! How far a reading may be from the truth: the instrument's own error, the same in every reading taken with it, and what
//! changes from reading to reading.
//!
//! Limits are turned into standard deviations as limit/√3 (rectangular) where a standard states a limit. Dial gauges:
//! ASME B40.100 grade B, 3-2-3 % of span. Meters: ±(0.5 % + 2 digits) volts, ±(1 % + 3 digits) ohms, clamp 2 to 3 %, from
//! common practice.

use circuit::Instrument;

/// Share of readings that are grossly wrong: misread, wrong hose, wrong range, typed wrongly.
pub const MISREADING: f64 = 0.02;

/// Beyond this many standard deviations an instrument's own error has a heavy tail: 3 % of them lie there.
const TAIL_START: f64 = 2.170_09;
/// How fast the tail grows: a gauge that has fallen reads 10 to 30 % off. From memory.
const TAIL_SCALE: f64 = 0.25;

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
        let linear = |scale, zero, noise, relative_noise, range| Self { scale, zero, noise, relative_noise, range, logarithmic: false };
        match instrument {
            // 0.6 inHg mid-scale, of which half is scale and half zero; half a division of 0.5 inHg; the model's 1.5 %.
            Instrument::VacuumGauge => linear(0.012, 700.0, 700.0, 0.015, (0.0, 101.6e3)),
            Instrument::PressureGauge => linear(0.012, 3.0e3, 3.0e3, 0.02, (0.0, 1.0e6)),
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
            Instrument::ModuleData => linear(0.0, 0.0, 0.6e3, 0.005, (0.0, 300.0e3)),
            Instrument::Senses => linear(0.0, 0.0, 0.0, 0.0, (0.0, 1.0)),
        }
    }

    /// What the instrument shows, before the scatter of one reading, at a true `value`; `z`: its own error as two
    /// standard normal values (factor, zero).
    pub fn shown(&self, value: f64, z: [f64; 2]) -> f64 {
        value * (1.0 + self.factor(z[0])) + self.zero * z[1].clamp(-3.5, 3.5)
    }

    /// The factor by which it reads wrong at a standard normal value: normal, with a heavy tail.
    pub fn factor(&self, z: f64) -> f64 {
        if self.scale == 0.0 {
            return 0.0;
        }
        let beyond = (z.abs() - TAIL_START).max(0.0);
        (self.scale * z.abs().min(TAIL_START) + TAIL_SCALE * beyond).copysign(z)
    }

    /// `true` if `z` puts its factor into the tail: an instrument to be checked.
    pub fn suspicious(&self, z: f64) -> bool {
        self.scale > 0.0 && z.abs() > TAIL_START
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
        if self.logarithmic { (high / x).ln() / (high / low).ln() } else { (high - x) / (high - low) }
    }
}
