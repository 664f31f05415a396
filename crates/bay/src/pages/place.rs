//! A part or a joint of a job's circuit: what is known of it, and what can be checked there.

use super::{card, forms};
use crate::layout::{layout, layout_of};
use crate::not_done::NotDone;
use crate::pages::job::title;
use crate::shop::{Shop, Visitor};
use crate::speech::{lower, plain, said};
use axum::Extension;
use axum::extract::{Path, State};
use axum::response::Html;
use circuit::{PartId, Reads};
use desk::show::Units;
use desk::{Case, Desk, Held, Thought, how, words};
use engine::{NextCheck, Outlook};
use maud::{Markup, html};
use std::sync::Arc;

/// `GET /jobs/{number}/parts/{part}`
pub(crate) async fn part(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Extension(units): Extension<Units>,
    Path((number, part)): Path<(String, String)>,
) -> Result<Html<String>, NotDone> {
    let page = move |desk: &mut Desk, held: &Held| {
        let thought = desk.thought(held, units)?;
        let part = desk::known_part(thought.case().model, &part)?;
        Ok((
            words::part(thought.circuit(), part),
            of_part(held, &thought, part),
        ))
    };
    forms::show(&shop, &visitor, number, layout_of, page).await
}

fn of_part(held: &Held, thought: &Thought, part: PartId) -> Markup {
    let (case, outlook) = (thought.case(), thought.outlook());
    let circuit = case.model.circuit();
    let known = &circuit.parts[part.0];
    let share = case.belief.parts()[part.0];
    let faults: Vec<_> = case
        .belief
        .faults()
        .into_iter()
        .filter(|(fault, _)| fault.part == part)
        .collect();
    let cautions = how::cautions_of_work(circuit, part);
    let here = thought.at_part(part);
    html! {
        p { a class="more" href={ "/jobs/" (held.number) } { (title(held)) } }
        p class="share" { strong { (words::percent(share)) } " " (said::at_fault(plain(words::chance(share)))) }
        p class="aside" { (lower(known.kind.name)) ", " code { (known.id) } }
        h2 { (said::how_it_fails()) }
        ul class="plain" {
            @for (fault, probability) in &faults {
                li {
                    strong { (words::percent(*probability)) } " " (lower(circuit.fault_spec(*fault).what))
                    @if let Some(range) = case.severity(*fault).filter(|_| *probability > 0.2) { "; " (lower(range)) }
                }
            }
        }
        @if !cautions.is_empty() {
            h2 { (said::what_hurts()) }
            @for caution in &cautions { p class="caution" { strong { (lower(caution.hazard)) } " " (lower(caution.precaution)) } }
            (super::steps::caution(held, &known.id, &said::read_this()))
        }
        h2 { (said::checks_here()) }
        (checks(held, case, outlook, &here))
    }
}

/// `GET /jobs/{number}/joints/{joint}`
pub(crate) async fn joint(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Extension(units): Extension<Units>,
    Path((number, joint)): Path<(String, String)>,
) -> Result<Html<String>, NotDone> {
    let page = move |desk: &mut Desk, held: &Held| {
        let thought = desk.thought(held, units)?;
        let (case, outlook) = (thought.case(), thought.outlook());
        let at = desk::known_joint(case.model, &joint)?;
        let here = thought.at_joint(at);
        let main = html! {
            p { a class="more" href={ "/jobs/" (held.number) } { (title(held)) } }
            h2 { (said::checks_here()) }
            (checks(held, case, outlook, &here))
        };
        Ok((format!("{} {joint}", said::joint()), main))
    };
    forms::show(&shop, &visitor, number, layout, page).await
}

/// Checks with what each is expected to read and what choosing it would cost.
fn checks(held: &Held, case: &Case, outlook: &Outlook, here: &[&NextCheck]) -> Markup {
    let circuit = case.model.circuit();
    html! {
        @if here.is_empty() { p { (said::none_here()) } }
        @for next in here {
            @let check = &case.model.checks()[next.check];
            section class="card" {
                h3 { (lower(if check.reads == Reads::YesNo { words::plainly(circuit, check) } else { words::plainly_how(circuit, check) })) }
                p class="aside" {
                    (lower(words::condition(circuit, check))) "; " (lower(words::minutes(next.minutes)))
                    "; " (said::cost_if_first(format!("{:.0}", next.cost)))
                }
                (super::strip::of(case, outlook, next.check))
                p { a class="button" href=(card::address(held, &check.id)) { (said::make_check()) } }
            }
        }
    }
}
