//! The standard's generic wording of the codes that the shipped circuits and their neighbours name.
//!
//! P0299's wording was seen in an open-source code list; all the others are from memory and await a reading of SAE J2012-DA.

use super::TroubleCode;

/// The generic wording of a code, in the standard's English; `None` if it is not among those known here.
///
/// From memory, except that of P0299. A vehicle's maker may narrow the meaning: the maker's service information decides.
pub fn wording(code: TroubleCode) -> Option<&'static str> {
    if code.letter() != 'P' {
        return None;
    }
    WORDINGS
        .iter()
        .find(|(digits, _)| *digits == code.digits())
        .map(|(_, text)| *text)
}

const WORDINGS: &[(u16, &str)] = &[
    (
        0x0033,
        "Turbocharger/Supercharger Bypass Valve \"A\" Control Circuit",
    ),
    (
        0x0034,
        "Turbocharger/Supercharger Bypass Valve \"A\" Control Circuit Low",
    ),
    (
        0x0035,
        "Turbocharger/Supercharger Bypass Valve \"A\" Control Circuit High",
    ),
    (
        0x0045,
        "Turbocharger/Supercharger Boost Control \"A\" Circuit/Open",
    ),
    (
        0x0046,
        "Turbocharger/Supercharger Boost Control \"A\" Circuit Range/Performance",
    ),
    (
        0x0047,
        "Turbocharger/Supercharger Boost Control \"A\" Circuit Low",
    ),
    (
        0x0048,
        "Turbocharger/Supercharger Boost Control \"A\" Circuit High",
    ),
    (0x0049, "Turbocharger/Supercharger Turbine Overspeed"),
    (0x0234, "Turbocharger/Supercharger \"A\" Overboost Condition"),
    (0x0235, "Turbocharger/Supercharger Boost Sensor \"A\" Circuit"),
    (
        0x0236,
        "Turbocharger/Supercharger Boost Sensor \"A\" Circuit Range/Performance",
    ),
    (0x0237, "Turbocharger/Supercharger Boost Sensor \"A\" Circuit Low"),
    (
        0x0238,
        "Turbocharger/Supercharger Boost Sensor \"A\" Circuit High",
    ),
    (0x0243, "Turbocharger/Supercharger Wastegate Solenoid \"A\""),
    (
        0x0244,
        "Turbocharger/Supercharger Wastegate Solenoid \"A\" Range/Performance",
    ),
    (0x0245, "Turbocharger/Supercharger Wastegate Solenoid \"A\" Low"),
    (0x0246, "Turbocharger/Supercharger Wastegate Solenoid \"A\" High"),
    (0x0299, "Turbocharger/Supercharger \"A\" Underboost Condition"),
    (0x0400, "Exhaust Gas Recirculation \"A\" Flow"),
    (
        0x0401,
        "Exhaust Gas Recirculation \"A\" Flow Insufficient Detected",
    ),
    (0x0402, "Exhaust Gas Recirculation \"A\" Flow Excessive Detected"),
    (0x0403, "Exhaust Gas Recirculation \"A\" Control Circuit/Open"),
    (
        0x0404,
        "Exhaust Gas Recirculation \"A\" Control Circuit Range/Performance",
    ),
    (0x0440, "Evaporative Emission System"),
    (0x0441, "Evaporative Emission System Incorrect Purge Flow"),
    (0x0442, "Evaporative Emission System Leak Detected (small leak)"),
    (0x0446, "Evaporative Emission System Vent Control Circuit"),
    (0x0455, "Evaporative Emission System Leak Detected (large leak)"),
    (
        0x0456,
        "Evaporative Emission System Leak Detected (very small leak)",
    ),
    (
        0x0457,
        "Evaporative Emission System Leak Detected (fuel cap loose/off)",
    ),
    (0x0489, "Exhaust Gas Recirculation \"A\" Control Circuit Low"),
    (0x0490, "Exhaust Gas Recirculation \"A\" Control Circuit High"),
    (0x0496, "Evaporative Emission System High Purge Flow"),
    (0x0497, "Evaporative Emission System Low Purge Flow"),
    (0x050F, "Brake Assist Vacuum Too Low"),
    (0x0512, "Starter Request Circuit"),
    (0x0555, "Brake Booster Pressure Sensor Circuit"),
    (0x0556, "Brake Booster Pressure Sensor Circuit Range/Performance"),
    (0x0557, "Brake Booster Pressure Sensor Circuit Low"),
    (0x0558, "Brake Booster Pressure Sensor Circuit High"),
    (0x0560, "System Voltage"),
    (0x0561, "System Voltage Unstable"),
    (0x0562, "System Voltage Low"),
    (0x0563, "System Voltage High"),
    (0x0615, "Starter Relay Circuit"),
    (0x0616, "Starter Relay Circuit Low"),
    (0x0617, "Starter Relay Circuit High"),
    (0x0641, "Sensor Reference Voltage \"A\" Circuit/Open"),
    (0x0642, "Sensor Reference Voltage \"A\" Circuit Low"),
    (0x0643, "Sensor Reference Voltage \"A\" Circuit High"),
    (0x0651, "Sensor Reference Voltage \"B\" Circuit/Open"),
    (0x0652, "Sensor Reference Voltage \"B\" Circuit Low"),
    (0x0653, "Sensor Reference Voltage \"B\" Circuit High"),
    (0x0836, "Four Wheel Drive Switch Circuit"),
    (0x0837, "Four Wheel Drive Switch Circuit Range/Performance"),
    (0x0838, "Four Wheel Drive Switch Circuit Low"),
    (0x0839, "Four Wheel Drive Switch Circuit High"),
    (0x0850, "Park/Neutral Switch Input Circuit"),
    (0x0851, "Park/Neutral Switch Input Circuit Low"),
    (0x0852, "Park/Neutral Switch Input Circuit High"),
    (
        0x2262,
        "Turbocharger/Supercharger Boost Pressure Not Detected - Mechanical",
    ),
    (0x2263, "Turbocharger/Supercharger \"A\" Boost System Performance"),
    (0x2562, "Turbocharger Boost Control Position Sensor \"A\" Circuit"),
    (
        0x2563,
        "Turbocharger Boost Control Position Sensor \"A\" Circuit Range/Performance",
    ),
    (
        0x2564,
        "Turbocharger Boost Control Position Sensor \"A\" Circuit Low",
    ),
    (
        0x2565,
        "Turbocharger Boost Control Position Sensor \"A\" Circuit High",
    ),
];
