//! The watch in sentences for the person who hands the vehicle back.

use quantity::Temperature;

use super::{Lamp, Memory, Rules, Watch};

/// What other markets may do differently; all of it from memory, to be checked with the market's own text.
pub const OTHER_MARKETS: &[&str] = &[
    "UN R83, Annex 11 (from memory): lamp out after 3 driving cycles, code erased after 40 warm-up cycles; a warm-up cycle \
     rises 22 K and reaches 343 K.",
    "California, 13 CCR 1968.2 (from memory): the same counts; diesel engines may need only 60 °C in a warm-up cycle, a \
     figure not found in a text.",
    "Makers may ask for more trips than the rule does: the maker's service information says which drive the monitor needs.",
];

impl Watch {
    /// What has happened and what must happen before the lamp goes out and the code is erased, sentence by sentence.
    pub fn sentences(&self, rules: &Rules) -> Vec<String> {
        let mut said = Vec::new();
        if let Some(index) = self.came_back {
            said.push(format!(
                "The fault was seen again in trip {} of the list: the code is back and all counts began again.",
                index.saturating_add(1)
            ));
        }
        said.push(self.lamp_sentence(rules));
        if self.lamp != Lamp::Out && rules.similar_conditions {
            said.push(
                "Only trips in similar conditions count: engine speed within 375 rpm, load within 20 %, the engine as warm \
                 or cold as when the fault was found (86.010-2)."
                    .to_owned(),
            );
        }
        said.push(self.code_sentence(rules));
        if self.code != Memory::Erased {
            said.push(warm_up_sentence(rules));
            said.push(
                "A tool cannot erase a permanent code, nor can taking the battery off: only the module erases it when \
                 its monitor has found no fault (86.010-18(b)(3)(iii); light vehicles from model year 2017 follow California's \
                 rule by 86.1806-17(a), its permanent codes from memory)."
                    .to_owned(),
            );
            said.push(
                "On a test drive one person drives and another reads the instrument (common practice, no source).".to_owned(),
            );
        }
        said
    }

    fn lamp_sentence(&self, rules: &Rules) -> String {
        let at = &rules.lamp_paragraph;
        match self.lamp {
            Lamp::Out => format!("The lamp may be out: the good trips were driven ({at})."),
            Lamp::On { good_trips, needed } => {
                let missing = counted(needed.saturating_sub(good_trips), "more trip", "more trips");
                format!(
                    "Before the lamp goes out: {missing} in which the monitor runs and finds no fault; {good_trips} of {needed} \
                     counted ({at}). A trip in which it does not run neither counts nor harms."
                )
            }
        }
    }

    fn code_sentence(&self, rules: &Rules) -> String {
        let at = &rules.code_paragraph;
        match self.code {
            Memory::Erased => format!("The code may be erased by the module ({at})."),
            Memory::Stored { warm_ups, needed } => {
                let missing = counted(
                    needed.saturating_sub(warm_ups),
                    "more warm-up cycle",
                    "more warm-up cycles",
                );
                let when = if self.lamp == Lamp::Out {
                    ""
                } else {
                    ", counted once the lamp is out"
                };
                format!(
                    "Before the code is erased: {missing} without the fault{when}; {warm_ups} of {needed} counted ({at})."
                )
            }
        }
    }
}

fn warm_up_sentence(rules: &Rules) -> String {
    format!(
        "In a warm-up cycle the coolant rises by at least {:.1} K and reaches at least {:.1} °C.",
        rules.warm_up_rise_k,
        rules.warm_up_reaches.si() - Temperature::from_celsius(0.0).si()
    )
}

fn counted(number: u32, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}
