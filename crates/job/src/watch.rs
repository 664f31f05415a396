//! The watch: the time after a repair in which trips are counted until the module puts the lamp out and erases its code.
//!
//! The rules are data ([`Rules`]), the count is a fold over the trips by time. It says what a module that does just what the
//! rule allows would have done; the module itself decides. No file, clock or network here.

mod rules;
mod words;

use jiff::Timestamp;
use quantity::Temperature;
use serde::{Deserialize, Serialize};

pub use rules::Rules;
pub use words::OTHER_MARKETS;

/// One driving cycle after the repair: from engine start to shut-off (40 CFR 86.010-18(a)(4) also ends one after 4 h).
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Trip {
    /// When it began.
    pub at: Timestamp,
    /// Whether the monitor that set the code ran to its end. A fault seen counts as run.
    pub monitor_ran: bool,
    /// Whether that monitor found the fault again.
    pub fault_seen: bool,
    /// Whether another fault, new since the repair, was found.
    #[serde(default)]
    pub other_fault_seen: bool,
    /// Whether it was driven in similar conditions (40 CFR 86.010-2: engine speed within 375 rpm, load within 20 %, same
    /// warm-up status as when the fault was found). Matters for fuel-system and misfire faults only; `None`: not known.
    #[serde(default)]
    pub similar_conditions: Option<bool>,
    /// Coolant at engine start; in serde as kelvin.
    #[serde(default, rename = "start_coolant_k", with = "kelvin_if_known")]
    pub start_coolant: Option<Temperature>,
    /// Highest coolant temperature; in serde as kelvin.
    #[serde(default, rename = "peak_coolant_k", with = "kelvin_if_known")]
    pub peak_coolant: Option<Temperature>,
}

/// Where the watch stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Watch {
    /// The warning lamp.
    pub lamp: Lamp,
    /// The code in the module.
    pub code: Memory,
    /// The first trip by time in which the fault was seen again: its place in the trips as given, from 0.
    pub came_back: Option<usize>,
}

/// The warning lamp, as far as this fault lights it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Lamp {
    /// Lit.
    On {
        /// Good trips in sequence so far.
        good_trips: u32,
        /// How many put the lamp out.
        needed: u32,
    },
    /// May be out.
    Out,
}

/// The code in the module's memory.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Memory {
    /// Still there.
    Stored {
        /// Warm-up cycles since the lamp went out.
        warm_ups: u32,
        /// How many allow the code to be erased.
        needed: u32,
    },
    /// May be erased.
    Erased,
}

impl Watch {
    /// Counts the trips after a repair, in the order of time whatever the order given. The lamp is lit at the beginning.
    ///
    /// - A trip in which the monitor did not run neither counts for the lamp nor breaks the sequence.
    /// - Where the rule wants similar conditions, a good trip without them, or of which it is not known, does the same.
    /// - A new other fault begins the sequence again (86.1806-05(d)(1): "no new malfunction").
    /// - The fault seen again: the code is back, everything begins again, as if the lamp were lit at once. A module may
    ///   keep it pending for one more driving cycle first.
    /// - A warm-up cycle counts whether or not the monitor ran. Our reading of 86.1806-05(e)(3), "not re-registered in at
    ///   least 40 warm-up cycles and the lamp is not lit for it": those count that begin after the lamp went out, the
    ///   slower of the two possible readings. A trip without both temperatures is no warm-up cycle.
    pub fn count(rules: &Rules, trips: &[Trip]) -> Self {
        let mut by_time: Vec<usize> = (0..trips.len()).collect();
        by_time.sort_by_key(|&index| {
            let trip = &trips[index];
            // The rest only so that trips of one moment have one order too.
            let rest = (
                trip.fault_seen,
                trip.other_fault_seen,
                rules.is_good(trip),
                rules.is_warm_up(trip),
            );
            (trip.at, rest)
        });
        let begin = Self::begin(rules);
        by_time
            .into_iter()
            .fold(begin, |watch, index| watch.after(rules, &trips[index], index))
    }

    /// Right after the repair. A rule that needs no trips finds the lamp out, one without warm-ups the code erased.
    fn begin(rules: &Rules) -> Self {
        Self {
            lamp: rules.lamp(0),
            code: rules.memory(0),
            came_back: None,
        }
    }

    fn after(self, rules: &Rules, trip: &Trip, index: usize) -> Self {
        if trip.fault_seen {
            return Self {
                came_back: self.came_back.or(Some(index)),
                ..Self::begin(rules)
            };
        }
        match (self.lamp, self.code) {
            (Lamp::On { .. }, _) if trip.other_fault_seen => Self {
                lamp: rules.lamp(0),
                ..self
            },
            (Lamp::On { good_trips, .. }, _) if rules.is_good(trip) => Self {
                lamp: rules.lamp(good_trips.saturating_add(1)),
                ..self
            },
            (Lamp::Out, Memory::Stored { warm_ups, .. }) if rules.is_warm_up(trip) => Self {
                code: rules.memory(warm_ups.saturating_add(1)),
                ..self
            },
            _ => self,
        }
    }
}

/// A temperature in serde: its kelvin.
mod kelvin {
    use quantity::Temperature;
    use serde::{Deserialize, Deserializer, Serializer};

    #[expect(clippy::trivially_copy_pass_by_ref, reason = "serde's form")]
    pub(super) fn serialize<S: Serializer>(value: &Temperature, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_f64(value.si())
    }

    pub(super) fn deserialize<'a, D: Deserializer<'a>>(from: D) -> Result<Temperature, D::Error> {
        f64::deserialize(from).map(Temperature::from_si)
    }
}

/// The same for one that may be missing.
mod kelvin_if_known {
    use quantity::Temperature;
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    #[expect(clippy::ref_option, reason = "serde's form")]
    pub(super) fn serialize<S: Serializer>(value: &Option<Temperature>, to: S) -> Result<S::Ok, S::Error> {
        value.map(Temperature::si).serialize(to)
    }

    pub(super) fn deserialize<'a, D: Deserializer<'a>>(from: D) -> Result<Option<Temperature>, D::Error> {
        Option::<f64>::deserialize(from).map(|value| value.map(Temperature::from_si))
    }
}
