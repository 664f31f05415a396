//! What a market's rule asks for before the lamp may go out and the code be erased.

use quantity::Temperature;
use serde::{Deserialize, Serialize};

use super::{Lamp, Memory, Trip, kelvin};

/// One market's rule, as data.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Rules {
    /// Which rule, as it is cited.
    pub name: String,
    /// Good trips in sequence that put the lamp out.
    pub good_trips: u32,
    /// Where the rule says so.
    pub lamp_paragraph: String,
    /// Warm-up cycles without the fault, with the lamp out, after which the code may be erased.
    pub warm_ups: u32,
    /// Where the rule says so.
    pub code_paragraph: String,
    /// Least rise of the coolant in a warm-up cycle, K.
    pub warm_up_rise_k: f64,
    /// Least temperature that the coolant reaches in a warm-up cycle; in serde as kelvin.
    #[serde(rename = "warm_up_reaches_k", with = "kelvin")]
    pub warm_up_reaches: Temperature,
    /// Whether good trips must be driven in similar conditions, as for a fuel-system or misfire fault.
    pub similar_conditions: bool,
}

/// A degree Fahrenheit as a difference, K.
const FAHRENHEIT: f64 = 1.0 / 1.8;

/// Slack of the comparisons, K: far below any sensor's step, above the rounding of a conversion from Fahrenheit.
const ROUNDING_K: f64 = 1e-6;

impl Rules {
    /// Federal rule of the United States for light vehicles, 40 CFR 86.1806-05, text of 2015.
    ///
    /// Three trips by (d)(1), 40 warm-up cycles by (e)(3), a rise of 40 °F (22.2 K) to at least 160 °F (71.1 °C) by
    /// 86.1803-01. A state's rule is remembered to take 140 °F (60 °C) for diesel engines; that figure was looked for and
    /// not found in a text, so 160 °F stands here for all: set [`Rules::warm_up_reaches`] where another holds.
    pub fn us_light() -> Self {
        Self {
            name: "40 CFR 86.1806-05".to_owned(),
            good_trips: 3,
            lamp_paragraph: "86.1806-05(d)(1)".to_owned(),
            warm_ups: 40,
            code_paragraph: "86.1806-05(e)(3)".to_owned(),
            warm_up_rise_k: 40.0 * FAHRENHEIT,
            warm_up_reaches: Temperature::from_celsius((160.0 - 32.0) * FAHRENHEIT),
            similar_conditions: false,
        }
    }

    /// Federal rule of the United States for engines of vehicles above 14 000 lb, 40 CFR 86.010-18, text of 2015.
    ///
    /// Three drive cycles by (b)(3)(i), 40 warm-up cycles by (b)(3)(ii). The warm-up cycle is that of [`Rules::us_light`]
    /// (86.1803-01, also in 86.094-2).
    pub fn us_heavy() -> Self {
        Self {
            name: "40 CFR 86.010-18".to_owned(),
            lamp_paragraph: "86.010-18(b)(3)(i)".to_owned(),
            code_paragraph: "86.010-18(b)(3)(ii)".to_owned(),
            ..Self::us_light()
        }
    }

    /// The same for a fuel-system or misfire fault: only trips in similar conditions count (86.1806-05(d)(1), 86.010-2).
    #[must_use]
    pub fn for_fuel_or_misfire(self) -> Self {
        Self {
            similar_conditions: true,
            ..self
        }
    }

    /// Whether a trip counts towards the lamp.
    pub fn is_good(&self, trip: &Trip) -> bool {
        trip.monitor_ran
            && !trip.fault_seen
            && !trip.other_fault_seen
            && (!self.similar_conditions || trip.similar_conditions == Some(true))
    }

    /// Whether a trip is a warm-up cycle: both the rise and the temperature reached, each at least. Unknown: no.
    pub fn is_warm_up(&self, trip: &Trip) -> bool {
        let (Some(start), Some(peak)) = (trip.start_coolant, trip.peak_coolant) else {
            return false;
        };
        peak.si() - start.si() >= self.warm_up_rise_k - ROUNDING_K
            && peak.si() >= self.warm_up_reaches.si() - ROUNDING_K
    }

    /// The lamp after so many good trips in sequence.
    pub(super) fn lamp(&self, good_trips: u32) -> Lamp {
        if good_trips >= self.good_trips {
            return Lamp::Out;
        }
        Lamp::On {
            good_trips,
            needed: self.good_trips,
        }
    }

    /// The code after so many warm-up cycles with the lamp out.
    pub(super) fn memory(&self, warm_ups: u32) -> Memory {
        if warm_ups >= self.warm_ups {
            return Memory::Erased;
        }
        Memory::Stored {
            warm_ups,
            needed: self.warm_ups,
        }
    }
}
