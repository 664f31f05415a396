//! The job sheet and the customer's page.

use super::args::Report as Wanted;
use super::bench::{case, model};
use super::desk::Held;
use crate::case::Manner;
use crate::failure::Failure;
use crate::page::Answer;
use crate::patience::Limit;
use ::desk::{Drawn, Reader};
use ::job::Stage;
use std::time::Duration;

/// How long a plan for a card is looked for, as for a plan on its own.
const PLANNING: Duration = Duration::from_secs(2);

/// Writes one of them, to a file or to standard output.
pub(crate) fn report(held: &Held, wanted: &Wanted, who: &str, manner: Manner) -> Result<Answer, Failure> {
    let model = model(held)?;
    let (case, mut err) = case(held, &model, manner)?;
    let paper = if wanted.card {
        if !held.job.repairs.is_empty() && held.job.stage != Stage::Checking {
            err.push_str(
                "warning: the job is repaired; the card is the plan as it stood after its readings\n",
            );
        }
        let course = crate::course::planned(&case, Limit::Time(PLANNING), None);
        Paper::Card(::desk::test_card(held, &case, &course, who))
    } else {
        let printed = wanted.pdf || wanted.out.as_deref().is_some_and(crate::pdf::is_wanted);
        let drawn = if printed { Drawn::Printed } else { Drawn::Screen };
        let reader = if wanted.customer {
            Reader::Customer
        } else {
            Reader::Shop
        };
        Paper::Page(::desk::sheet(held, &case, reader, drawn))
    };
    let out = match &wanted.out {
        Some(file) => {
            let written = if wanted.pdf || crate::pdf::is_wanted(file) {
                paper.pdf()?
            } else {
                paper.html().into_bytes()
            };
            crate::files::write(file, written)?;
            format!("{}\n", file.display())
        }
        None => paper.html(),
    };
    Ok(Answer { out, err })
}

/// What is written.
enum Paper {
    Page(report::Page),
    Card(report::Card),
}

impl Paper {
    fn html(&self) -> String {
        match self {
            Self::Page(page) => page.html(),
            Self::Card(card) => card.html(),
        }
    }

    fn pdf(&self) -> Result<Vec<u8>, Failure> {
        match self {
            Self::Page(page) => crate::pdf::page(page),
            Self::Card(card) => crate::pdf::card(card),
        }
    }
}
