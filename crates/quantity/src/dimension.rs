//! What kind of quantity a number is.

use crate::Unit;
use std::fmt;

macro_rules! dimensions {
    ($($(#[$doc:meta])* $variant:ident: $name:literal, $si:literal, $example:literal;)*) => {
        /// What kind of quantity a number is. The comment at each names its SI unit where that is not obvious.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Dimension {
            $($(#[$doc])* $variant,)*
        }

        impl Dimension {
            /// Every dimension.
            pub const ALL: &[Self] = &[$(Self::$variant),*];

            /// Its name in a sentence: `rotational speed`.
            pub fn name(self) -> &'static str {
                match self {
                    $(Self::$variant => $name,)*
                }
            }

            /// Spelling of its SI unit, which [`Unit::named_for`] knows; empty for a ratio.
            pub fn si_unit(self) -> &'static str {
                match self {
                    $(Self::$variant => $si,)*
                }
            }

            /// A quantity as one would write it, for hints: `780 rpm`.
            pub fn example(self) -> &'static str {
                match self {
                    $(Self::$variant => $example,)*
                }
            }
        }
    };
}

dimensions! {
    /// Pressure, or a difference of pressures.
    Pressure: "pressure", "Pa", "40 kPa abs";
    /// Length, travel, altitude, distance driven.
    Length: "length", "m", "120 mm";
    /// Area.
    Area: "area", "m2", "0.75 mm2";
    /// Volume.
    Volume: "volume", "m3", "60 cm3";
    /// Volume moved in one turn of a shaft, m³ per revolution.
    SweptVolume: "swept volume", "m3/rev", "160 cm3/rev";
    /// Turns of a shaft, revolutions per second.
    RotationalSpeed: "rotational speed", "rev/s", "780 rpm";
    /// Events per time.
    Frequency: "frequency", "Hz", "250 Hz";
    /// Voltage.
    Voltage: "voltage", "V", "12.6 V";
    /// Current.
    Current: "current", "A", "0.8 A";
    /// Resistance.
    Resistance: "resistance", "ohm", "32 ohm";
    /// Inductance.
    Inductance: "inductance", "H", "45 mH";
    /// Capacitance.
    Capacitance: "capacitance", "F", "10 uF";
    /// Absolute temperature, K.
    Temperature: "temperature", "K", "20 °C";
    /// Difference of two temperatures, K.
    TemperatureDifference: "temperature difference", "K", "40 K";
    /// A share of a whole, a duty, an efficiency: 1 is the whole.
    Ratio: "ratio", "", "65 %";
    /// Force.
    Force: "force", "N", "25 N";
    /// Force per travel.
    Stiffness: "stiffness", "N/m", "4.5 N/mm";
    /// Time.
    Time: "time", "s", "30 s";
    /// Mass per time.
    MassFlow: "mass flow", "kg/s", "0.1 g/s";
    /// Volume per time.
    VolumeFlow: "volume flow", "m3/s", "12 L/min";
    /// Sonic conductance of ISO 6358: choked volume flow at reference conditions per upstream absolute pressure.
    SonicConductance: "sonic conductance", "m3/(s Pa)", "0.15 dm3/(s bar)";
    /// Torque.
    Torque: "torque", "N m", "0.2 N m";
    /// Voltage a motor makes per angular speed, V s/rad.
    EmfConstant: "back-EMF constant", "V s/rad", "2.5 mV/rpm";
    /// Torque a motor makes per current.
    TorqueConstant: "torque constant", "N m/A", "24 mN m/A";
    /// Power.
    Power: "power", "W", "55 W";
    /// Energy.
    Energy: "energy", "J", "180 J";
    /// Mass.
    Mass: "mass", "kg", "40 g";
    /// Moment of inertia.
    MomentOfInertia: "moment of inertia", "kg m2", "12 kg mm2";
    /// Speed along a way.
    Speed: "speed", "m/s", "80 km/h";
    /// Heat taken up per rise of temperature.
    HeatCapacity: "heat capacity", "J/K", "3 J/K";
    /// Heat flow per difference of temperature.
    ThermalConductance: "thermal conductance", "W/K", "0.5 W/K";
    /// Relative change per rise of temperature.
    TemperatureCoefficient: "temperature coefficient", "1/K", "0.39 %/K";
    /// Voltage a sensor gives per pressure.
    PressureSensitivity: "pressure sensitivity", "V/Pa", "20 mV/kPa";
}

impl Dimension {
    /// Its SI unit.
    pub fn si(self) -> Unit {
        Unit::coherent(self)
    }

    /// Every spelling accepted for its units, the usual one of each unit first, in the order of the table of units.
    pub fn units(self) -> Vec<&'static str> {
        Unit::all_of(self).flat_map(Unit::spellings).collect()
    }

    /// Name with its article: `a voltage`, `an area`.
    pub fn with_article(self) -> String {
        let name = self.name();
        let article = if name.starts_with(['a', 'e', 'i', 'o', 'u']) {
            "an"
        } else {
            "a"
        };
        format!("{article} {name}")
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]

    use super::*;
    use crate::parse;

    #[test]
    fn every_dimension_knows_its_si_unit() {
        for &dimension in Dimension::ALL {
            let unit = Unit::named_for(dimension.si_unit(), dimension).unwrap();
            assert_eq!(unit, dimension.si(), "{dimension}");
            assert_eq!((unit.factor(), unit.offset()), (1.0, 0.0), "{dimension}");
        }
    }

    #[test]
    fn every_example_can_be_typed() {
        for &dimension in Dimension::ALL {
            let parsed = parse(dimension.example(), &[dimension]).unwrap();
            assert_eq!(parsed.quantity.dimension(), dimension);
        }
    }

    #[test]
    fn names_stand_in_a_sentence() {
        assert_eq!(Dimension::Area.with_article(), "an area");
        assert_eq!(Dimension::Inductance.with_article(), "an inductance");
        assert_eq!(Dimension::RotationalSpeed.with_article(), "a rotational speed");
    }

    #[test]
    fn accepted_spellings_are_listed() {
        let units = Dimension::Pressure.units();
        assert!(
            ["Pa", "kPa", "inHg", "inH2O", "psi", "mbar", "hPa", "mmHg", "bar"]
                .iter()
                .all(|unit| units.contains(unit))
        );
        assert!(!units.contains(&"V"));
    }
}
