//! A resistance that falls with temperature: R = R₀ exp(B (1/T − 1/T₀)), the B-parameter law of IEC 60539-1 (from memory),
//! through the resistances at 20 and 80 °C that makers print. DERIVATIONS.md, section 21.

/// Temperatures at which the two resistances are given, K.
const LOW: f64 = 293.15;
const HIGH: f64 = 353.15;

/// A thermistor's law.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Thermistor {
    at_low: f64,
    b: f64,
}

impl Thermistor {
    /// Through the resistances at 20 and 80 °C, ohm.
    pub(crate) fn through(at_20: f64, at_80: f64) -> Self {
        // A sensor that does not fall at all would tell nothing; a slip of the pen is taken as next to nothing.
        let ratio = (at_20 / at_80).max(1.001);
        Self {
            at_low: at_20,
            b: ratio.ln() / (1.0 / LOW - 1.0 / HIGH),
        }
    }

    /// Resistance at a temperature in kelvin, ohm.
    pub(crate) fn ohms(self, temperature: f64) -> f64 {
        self.at_low * (self.b * (1.0 / temperature - 1.0 / LOW)).exp()
    }

    /// Temperature at which it has `ohms`, K; as hot as can be at a short.
    pub(crate) fn temperature(self, ohms: f64) -> f64 {
        let inverse = 1.0 / LOW + (ohms.max(1e-3) / self.at_low).ln() / self.b;
        1.0 / inverse.max(1e-3)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A maker's printed table of a thermistor of 10 kohm, in ohms, seen; its own B between 25 and 100 °C is 3730 K. Two
    /// points of a table give the ones between within 1 %, and those 30 K beyond within 8 %: B itself moves a little.
    #[test]
    fn a_printed_table_is_met_between_the_points_it_is_drawn_through() {
        const PRINTED: [(f64, f64, f64); 6] = [
            (-30.0, 144_790.0, 0.08),
            (0.0, 30_029.0, 0.001),
            (5.0, 23_773.0, 0.01),
            (10.0, 18_959.0, 0.01),
            (20.0, 12_280.0, 0.01),
            (25.0, 10_000.0, 0.001),
        ];
        let b = (30_029.0f64 / 10_000.0).ln() / (1.0 / 273.15 - 1.0 / 298.15);
        let at = |temperature: f64| 10_000.0 * (b * (1.0 / temperature - 1.0 / 298.15)).exp();
        let law = Thermistor::through(at(LOW), at(HIGH));
        for (celsius, ohms, share) in PRINTED {
            let own = law.ohms(celsius + 273.15);
            assert!((own / ohms - 1.0).abs() < share, "{celsius} °C: {own} for {ohms}");
        }
    }

    #[test]
    fn a_temperature_comes_back_from_its_resistance() {
        let law = Thermistor::through(2500.0, 320.0);
        for temperature in [233.15, 273.15, 293.15, 353.15, 413.15] {
            assert!((law.temperature(law.ohms(temperature)) - temperature).abs() < 1e-9);
        }
        assert!(law.temperature(0.0).is_finite() && law.temperature(1e12) > 0.0);
    }
}
