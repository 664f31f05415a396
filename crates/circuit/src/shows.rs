//! Faults that come and go: what brings them out, and the chance that one shows while a check is made.
//!
//! A loose pin makes contact most of the time; a good reading taken meanwhile clears little. Every figure in the kinds' tables is
//! from memory. What a check then reads in either case is physics; what that says of the fault is belief.

/// What may bring a fault out in a condition, as the author states it with `under`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[allow(
    clippy::struct_excessive_bools,
    reason = "four things that a road and an engine do to parts, each there or not"
)]
pub struct Under {
    /// Parts are as hot as after a climb.
    pub heat: bool,
    /// The road, or the engine at its limit, shakes them.
    pub shaking: bool,
    /// They are wet.
    pub wet: bool,
    /// The current they are made for flows.
    pub load: bool,
}

impl Under {
    /// The words of `under`, in the order of the fields.
    pub const WORDS: [&'static str; 4] = ["heat", "shaking", "wet", "load"];

    /// Sets what `word` names; `false` if it names nothing.
    pub fn set(&mut self, word: &str) -> bool {
        let field = match word {
            "heat" => &mut self.heat,
            "shaking" => &mut self.shaking,
            "wet" => &mut self.wet,
            "load" => &mut self.load,
            _ => return false,
        };
        *field = true;
        true
    }
}

/// How often a fault that comes and goes shows in one check, 0 to 1. Each thing that brings it out adds its own chance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shows {
    /// With nothing that brings it out.
    pub anyway: f64,
    /// More when hot.
    pub heat: f64,
    /// More when shaken.
    pub shaking: f64,
    /// More when wet.
    pub wet: f64,
    /// More under load.
    pub load: f64,
    /// More while somebody moves the part and watches.
    pub moved: f64,
}

impl Shows {
    /// The chance that it shows `under` what there is, with the part `moved` or left alone.
    pub fn chance(&self, under: Under, moved: bool) -> f64 {
        let brings = [
            (true, self.anyway),
            (under.heat, self.heat),
            (under.shaking, self.shaking),
            (under.wet, self.wet),
            (under.load, self.load),
            (moved, self.moved),
        ];
        let hides = brings.into_iter().filter(|(there, _)| *there);
        1.0 - hides.map(|(_, chance)| 1.0 - chance).product::<f64>()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOOSE: Shows = Shows {
        anyway: 0.1,
        heat: 0.0,
        shaking: 0.5,
        wet: 0.4,
        load: 0.0,
        moved: 0.6,
    };

    fn check(under: &[&str], moved: bool, expected: f64) {
        let mut there = Under::default();
        assert!(under.iter().all(|word| there.set(word)));
        let chance = LOOSE.chance(there, moved);
        assert!((chance - expected).abs() < 1e-12, "{under:?} {moved}: {chance}");
    }

    #[test]
    fn what_brings_a_fault_out_adds_up_and_never_to_more_than_certainty() {
        check(&[], false, 0.1);
        check(&["heat", "load"], false, 0.1);
        check(&["shaking"], false, 1.0 - 0.9 * 0.5);
        check(&[], true, 1.0 - 0.9 * 0.4);
        check(&["shaking", "wet"], true, 1.0 - 0.9 * 0.5 * 0.6 * 0.4);
    }

    #[test]
    fn every_word_is_known_and_no_other() {
        let mut under = Under::default();
        assert!(Under::WORDS.iter().all(|word| under.set(word)));
        assert!(under.heat && under.shaking && under.wet && under.load);
        assert!(!under.set("cold"));
    }
}
