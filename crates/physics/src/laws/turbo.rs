//! A turbocharger's mean values: compressor work, turbine power, and what the exhaust meets: DERIVATIONS.md, section 22.

use crate::ambient::GAS_CONSTANT;

/// Specific heat of dry air at 101.325 kPa, J/(kg K), by temperature, K: `CoolProp` 8.0.0. Exhaust is taken as air, which at the
/// same temperature has 2 to 5 % less.
const HEAT: [(f64, f64); 10] = [
    (273.15, 1005.684),
    (293.15, 1006.144),
    (300.0, 1006.374),
    (400.0, 1014.144),
    (500.0, 1029.869),
    (600.0, 1051.203),
    (800.0, 1098.690),
    (1000.0, 1141.000),
    (1100.0, 1158.818),
    (1200.0, 1174.486),
];
/// Choked flow of exhaust times √T per area and pressure, s K^½/m: √(γ/R) (2/(γ+1))^((γ+1)/(2(γ−1))) with γ = 4/3.
const CHOKED_EXHAUST: f64 = 0.039_735_132;
/// A wheel beyond its ceiling still works a little, so that the balance has a way back.
const LEAST_EFFICIENCY: f64 = 1.0e-3;

/// Specific heat of dry air at a temperature, J/(kg K); beyond the table that of its end.
pub(crate) fn heat(temperature: f64) -> f64 {
    let above = HEAT.iter().position(|(t, _)| *t >= temperature);
    match above {
        Some(0) => HEAT[0].1,
        None => HEAT[HEAT.len() - 1].1,
        Some(i) => {
            let ((t0, c0), (t1, c1)) = (HEAT[i - 1], HEAT[i]);
            c0 + (c1 - c0) * (temperature - t0) / (t1 - t0)
        }
    }
}

/// A compressor: efficiency up to the pressure ratio it is best at, and the ratio at which nothing is left of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Compressor {
    pub(crate) efficiency: f64,
    pub(crate) best: f64,
    pub(crate) ceiling: f64,
}

impl Compressor {
    /// How much warmer air of `temperature` gets when it is compressed by `ratio`, K.
    pub(crate) fn warming(self, ratio: f64, temperature: f64) -> f64 {
        let beyond = (ratio - self.best).max(0.0) / (self.ceiling - self.best).max(1e-3);
        let efficiency = self.efficiency * (1.0 - beyond * beyond).max(LEAST_EFFICIENCY);
        temperature * (ratio.powf(GAS_CONSTANT / heat(temperature)) - 1.0) / efficiency
    }
}

/// Pressure ahead of an opening of `area` (m²) through which `flow` (kg/s) of exhaust at `temperature` goes to the pressure
/// `behind`: Stodola's ellipse.
pub(crate) fn ahead_of_turbine(flow: f64, temperature: f64, area: f64, behind: f64) -> f64 {
    behind.hypot(flow * temperature.sqrt() / (CHOKED_EXHAUST * area))
}

/// Power that `flow` of exhaust at `temperature` gives a wheel of unit efficiency between two pressures, W.
pub(crate) fn turbine_power(flow: f64, temperature: f64, ahead: f64, behind: f64) -> f64 {
    let heat = heat(temperature);
    flow * heat * temperature * (1.0 - (behind / ahead).powf(GAS_CONSTANT / heat))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Çengel and Boles, Thermodynamics, 8th ed., problem 7-214: exhaust from 450 to 400 °C at 0.02 kg/s drives, through a shaft of
    /// 95 %, a compressor from 70 °C, 95 kPa to 135 kPa at 0.018 kg/s. The book's answers are 126.1 °C and 0.642 (the latter from
    /// memory). With the cold specific heat on both sides they would be 122.8 °C and 0.687.
    #[test]
    fn the_shaft_balance_is_that_of_the_textbook() {
        let given = 0.95 * 0.02 * heat(698.15) * 50.0;
        let inlet = 343.15;
        // Mean temperature on the way through the compressor.
        let outlet = inlet + given / (0.018 * heat(371.0));
        assert!((outlet - 273.15 - 126.1).abs() < 0.3, "{}", outlet - 273.15);
        let ideal = Compressor {
            efficiency: 1.0,
            best: 2.0,
            ceiling: 3.0,
        }
        .warming(135.0 / 95.0, inlet);
        let efficiency = ideal / (outlet - inlet);
        assert!((efficiency - 0.642).abs() < 0.005, "{efficiency}");
    }

    /// Temperatures behind a compressor of 70 % from 298.15 K by γ = 1.4; the row of ratio 2 agrees with `fluids` 1.3.1,
    /// `isentropic_T_rise_compression`: 391.434 K. Ours takes the heat of air at 298.15 K, so 0.3 % of the rise is left.
    #[test]
    fn compression_warms_as_by_the_closed_form() {
        let compressor = Compressor {
            efficiency: 0.7,
            best: 3.0,
            ceiling: 4.0,
        };
        for (ratio, expected) in [(1.5, 350.464), (2.0, 391.434), (2.5, 425.615)] {
            let rise = compressor.warming(ratio, 298.15);
            let published = expected - 298.15;
            assert!(
                (rise / published - 1.0).abs() < 3e-3,
                "{ratio}: {rise} against {published}"
            );
        }
    }

    /// Between the table's points: `CoolProp` 8.0.0 at 700 and 900 K.
    #[test]
    fn heat_between_the_points_is_that_of_real_air() {
        for (temperature, expected) in [(700.0, 1074.972), (900.0, 1120.911)] {
            assert!(
                (heat(temperature) / expected - 1.0).abs() < 1.1e-3,
                "{}",
                heat(temperature)
            );
        }
        assert!((heat(100.0) - 1005.684).abs() < 1e-9 && (heat(2000.0) - 1174.486).abs() < 1e-9);
    }

    #[test]
    fn exhaust_power_vanishes_without_a_fall_of_pressure() {
        assert!(turbine_power(0.1, 1000.0, 1.0e5, 1.0e5).abs() < 1e-9);
        assert!((ahead_of_turbine(0.0, 1000.0, 1e-3, 1.0e5) - 1.0e5).abs() < 1e-9);
    }

    proptest! {
        /// More exhaust or a narrower way drives harder; a higher ratio takes more work.
        #[test]
        fn more_drives_harder(flow in 1e-3f64..0.3, area in 1e-4f64..2e-3, ratio in 1.0f64..3.0) {
            let power = |flow: f64, area: f64| turbine_power(flow, 1000.0, ahead_of_turbine(flow, 1000.0, area, 1e5), 1e5);
            prop_assert!(power(1.1 * flow, area) > power(flow, area));
            prop_assert!(power(flow, 0.9 * area) > power(flow, area));
            let wheel = Compressor { efficiency: 0.7, best: 2.0, ceiling: 3.4 };
            prop_assert!(wheel.warming(ratio + 0.01, 300.0) > wheel.warming(ratio, 300.0));
        }
    }
}
