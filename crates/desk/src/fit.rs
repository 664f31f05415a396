//! Whether the readings fit together, and which instrument to doubt.

use crate::case::Case;
use crate::how;
use crate::words;

/// From this probability on an instrument is worth a test of its own.
pub const DOUBTFUL: f64 = 0.3;

/// What is odd about the readings of a case.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Odd {
    /// What to heed before trusting the list.
    pub warnings: Vec<String>,
    /// What is worth knowing beside it.
    pub asides: Vec<String>,
}

/// How the readings fit together, and which instrument to doubt.
pub fn odd<'c>(case: &'c Case) -> &'c Odd {
    case.odd.get_or_init(|| looked_at(case))
}

fn looked_at(case: &Case) -> Odd {
    let (mut odd, fit) = (Odd::default(), case.belief.fit());
    if let Some(check) = fit.odd {
        odd.warnings.push(format!(
            "`{}` fits nothing else here: take that reading again, or test the instrument, before trusting the list.",
            case.id(check)
        ));
    } else if fit.fit < 0.05 {
        odd.warnings.push("The readings hardly fit anything on the list: the cause may not be listed, or the circuit may differ from the drawing.".to_owned());
    }
    for (instrument, name, share) in case.belief.doubtful_instruments() {
        if share > DOUBTFUL {
            let name = name.map_or_else(String::new, |name| format!(" \"{name}\""));
            odd.warnings.push(format!(
                "Doubt the {}{name} itself ({}). One minute tells: {}.",
                instrument.word(),
                words::percent(share),
                how::cross_check(instrument)
            ));
        }
    }
    if case.belief.kept() < 0.9 {
        odd.asides.push(format!(
            "More faults at once than were counted could hold {} of the evidence.",
            words::percent(1.0 - case.belief.kept())
        ));
    }
    odd
}
