//! The end of a practice job: what was hidden, and the person's account beside the plan's and the order of habit.

use super::sitting::{self, Sitting, Step};
use crate::not_done::NotDone;
use crate::speech::{lower, said};
use engine::Model;
use engine::practice::{Job, Record};
use maud::{Markup, html};

/// A line of the table: its words, and its figure in an account.
type Row = (String, fn(&Record) -> String);

pub(crate) fn tell(sitting: &Sitting, model: &Model, job: &Job, steps: &[Step]) -> Result<Markup, NotDone> {
    let own = sitting::own(job);
    let mut columns = vec![(said::you(), own)];
    columns.extend(sitting.others()?.into_iter().map(|(name, record)| {
        let word = match name {
            "plan" => said::the_plan(),
            "habit" => said::habit(),
            other => other.to_owned(),
        };
        (word, record)
    }));
    let rows: [Row; 4] = [
        (said::row_cost(), |record| format!("{:.0}", record.cost)),
        (said::row_checks(), |record| record.checks.to_string()),
        (said::row_renewed(), |record| record.renewed.to_string()),
        (said::row_wrong(), |record| record.wrong_parts.to_string()),
    ];
    let dearest = steps
        .iter()
        .rev()
        .skip(1)
        .max_by(|a, b| a.cost.total_cmp(&b.cost));
    Ok(html! {
        section class="card" aria-labelledby="end" {
            h2 id="end" { @if job.is_over() { (said::the_end()) } @else { (said::left_before()) } }
            p { (said::was_hidden()) strong { (lower(desk::hidden(model.circuit(), job.hidden().cause()))) } "." }
            @if !job.is_over() { p class="aside" { (said::account_stops()) } }
            table class="account" {
                thead { tr { td {} @for (name, _) in &columns { th scope="col" { (name) } } } }
                tbody { @for (what, figure) in rows {
                    tr { th scope="row" { (what) } @for (_, record) in &columns { td { (figure(record)) } } }
                } }
            }
            @if let Some(step) = dearest {
                p class="aside" { (said::dearest(super::step_words(model, step.action), format!("{:.0}", step.cost))) }
            }
            p { a class="button" href={ "/practice?circuit=" (sitting.circuit) } { (said::another()) } }
        }
    })
}
