//! The plan of a job from here on, as a tree to open and fold, to read and to print.

use super::{card, forms};
use crate::layout::layout;
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use crate::speech::{lower, plain, said};
use axum::Extension;
use axum::extract::{Path, State};
use axum::response::Html;
use circuit::{Caution, Circuit};
use desk::course::{Outline, Written, figures, in_words, out_of_100, renewed, suspects};
use desk::show::Units;
use desk::{Case, DEFERENCE, Desk, Held, how, sentence, words};
use engine::{Band, Course, CourseStep, Haste, Progress};
use maud::{Markup, html};
use std::sync::Arc;

/// Steps written out.
const MOST: usize = 40;
/// Nodes looked at: what a person waits for gladly. More of them changed none of the first plans of the shipped circuits, and a
/// clock would give a busy machine a worse plan.
const NODES: usize = 120;

/// `GET /jobs/{number}/plan`
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Extension(units): Extension<Units>,
    Path(number): Path<String>,
) -> Result<Html<String>, NotDone> {
    let page = move |desk: &mut Desk, held: &Held| {
        let thought = desk.thought(held, units)?;
        let case = thought.case();
        let course = planned(case);
        let title = said::plan_title(held.number);
        Ok((title, tree(held, case, &course)))
    };
    forms::show(&shop, &visitor, number, layout, page).await
}

/// The plan, looked for as long as a page may take.
pub(crate) fn planned(case: &Case) -> Course {
    let mut goes_on = |progress: &Progress| progress.nodes < NODES;
    desk::course::planned(case, Haste::InTime, None, &mut goes_on)
}

fn tree(held: &Held, case: &Case, course: &Course) -> Markup {
    let outline = Outline::new(course, MOST);
    let mut writer = Writer {
        held,
        case,
        outline: &outline,
        told: Vec::new(),
    };
    html! {
        (forms::back(held))
        div class="plan" {
            dl class="how" {
                @for (name, value) in figures(course, engine::Shop::default().rate) { dt { (lower(name)) } dd { (lower(value)) } }
            }
            p class="row" {
                a class="button plain" href={ "/jobs/" (held.number) "/paper/card.pdf" } { (said::card_to_print()) }
            }
            (writer.step(&course.first))
            p class="aside" { (said::made_anew()) }
            p class="aside" { (lower(DEFERENCE)) }
        }
    }
}

struct Writer<'w> {
    held: &'w Held,
    case: &'w Case<'w>,
    outline: &'w Outline<'w>,
    told: Vec<&'static Caution>,
}

impl Writer<'_> {
    fn circuit(&self) -> &Circuit {
        self.case.model.circuit()
    }

    /// A step and all that follows it; repairs follow each other on one level.
    fn step(&mut self, step: &CourseStep) -> Markup {
        match step {
            CourseStep::Check {
                check,
                minutes,
                branches,
                ..
            } => {
                let spec = &self.case.model.checks()[*check];
                let written = self.outline.written(branches);
                let bands: Vec<Band> = written.iter().map(|written| written.band).collect();
                let in_words = in_words(self.case.units, spec, &bands);
                let before = self.told.len();
                let cautions = self.cautions(*check);
                let number = self.outline.number_of(step).unwrap_or(0);
                let told = html! {
                    section class="step" {
                        h3 { (number) ". " a href=(card::address(self.held, &spec.id)) { (words::capital(&plain(words::plainly(self.circuit(), spec)))) } }
                        p class="aside" { code { (spec.id) } ", " (lower(words::minutes(*minutes))) }
                        @for caution in cautions { p class="caution" { (lower(caution)) } }
                        ul {
                            @for (written, reads) in written.iter().zip(in_words) { li { (self.branch(written, &reads)) } }
                        }
                    }
                };
                // Another branch is another way down: what can hurt is said on it too.
                self.told.truncate(before);
                told
            }
            CourseStep::Renew {
                bench,
                cures,
                otherwise,
                part,
                ..
            } => {
                let repair = plain(renewed(self.circuit(), *part));
                let what = if *bench {
                    said::bench_renew_and_prove(repair)
                } else {
                    said::renew_and_prove(repair)
                };
                self.repair(step, &what, *cures, otherwise.as_deref())
            }
            CourseStep::Beyond { cures, otherwise, .. } => {
                self.repair(step, &said::beyond_here(), *cures, otherwise.as_deref())
            }
        }
    }

    fn branch(&mut self, written: &Written, reads: &str) -> Markup {
        let share = plain(out_of_100(written.probability));
        let Some(then) = written.then else {
            return html! { p { strong { (lower(reads)) } " · " (share) (said::rare()) } };
        };
        html! {
            details open {
                summary { strong { (lower(reads)) } " · " (share) ": " (lower(suspects(self.circuit(), written.likeliest))) }
                (self.step(then))
            }
        }
    }

    fn repair(
        &mut self,
        step: &CourseStep,
        what: &str,
        cures: f64,
        otherwise: Option<&CourseStep>,
    ) -> Markup {
        let number = self.outline.number_of(step).unwrap_or(0);
        let chance = words::percent(cures / step.probability());
        let next = otherwise.filter(|_| step.probability() - cures > 1e-3);
        html! {
            section class="step" {
                h3 { (number) ". " (words::capital(what)) }
                @match next {
                    Some(next) if self.outline.shows(next) => { p class="aside" { (said::cures_if_not(&chance)) } (self.step(next)) }
                    Some(_) => p class="aside" { (said::cures_if_rare(&chance)) },
                    None => p class="aside" { (said::cures(&chance)) },
                }
            }
        }
    }

    /// What can hurt at a check, unless it stands further up on the way to it.
    fn cautions(&mut self, check: usize) -> Vec<String> {
        let circuit = self.case.model.circuit();
        let mut new = how::cautions(circuit, &self.case.model.checks()[check]);
        new.retain(|caution| !self.told.contains(caution));
        self.told.extend(&new);
        new.into_iter().map(sentence).collect()
    }
}
