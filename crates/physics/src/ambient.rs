//! The air around the vehicle: barometer from altitude, and the properties of air that flow needs.
//!
//! Standard atmosphere: ISO 2533:1975, below 11 km. Viscosity: Sutherland's formula with the constants of the
//! U.S. Standard Atmosphere, 1976. DERIVATIONS.md, sections 8 and 3.

use quantity::{Length, Pressure, Temperature};

/// Specific gas constant of dry air, J/(kg K); ISO 2533.
pub(crate) const GAS_CONSTANT: f64 = 287.052_87;
/// Sea-level pressure of the standard atmosphere, Pa; ISO 2533.
const SEA_LEVEL: f64 = 101_325.0;

/// Pressure and temperature of the air around the vehicle, SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ambient {
    /// Absolute pressure, Pa.
    pub pressure: f64,
    /// Temperature of the air in the lines, K.
    pub temperature: f64,
}

impl Default for Ambient {
    /// Sea level, and the 300 K that air has under a bonnet in a mild bay.
    fn default() -> Self {
        Self {
            pressure: SEA_LEVEL,
            temperature: 300.0,
        }
    }
}

impl Ambient {
    /// The standard atmosphere at a height above sea level as maps and satellites give it (geometric), below 11 km.
    /// The temperature stays that of the bay.
    pub fn at_altitude(altitude: Length) -> Self {
        let geometric = altitude.si();
        let radius = 6_356_766.0;
        let geopotential = radius * geometric / (radius + geometric);
        Self {
            pressure: SEA_LEVEL * (1.0 - 0.0065 * geopotential / 288.15).powf(5.255_879_7),
            ..Self::default()
        }
    }

    /// The same place with a barometer that was read.
    #[must_use]
    pub fn with_barometer(self, barometer: Pressure) -> Self {
        Self {
            pressure: barometer.si(),
            ..self
        }
    }

    /// The same place with another air temperature.
    #[must_use]
    pub fn with_temperature(self, temperature: Temperature) -> Self {
        Self {
            temperature: temperature.si(),
            ..self
        }
    }

    /// Dynamic viscosity of the air, Pa s.
    pub(crate) fn viscosity(self) -> f64 {
        1.458e-6 * self.temperature.powf(1.5) / (self.temperature + 110.4)
    }

    /// Mass of air in a cubic metre at `pressure`, kg/m3.
    pub(crate) fn density(self, pressure: f64) -> f64 {
        pressure / (GAS_CONSTANT * self.temperature)
    }
}
