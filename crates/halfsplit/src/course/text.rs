//! A plan as text: figures, why the first check, then the numbered steps.

use super::bands_of;
use crate::card::{self, entry};
use crate::case::Case;
use crate::page::Page;
use crate::words;
use circuit::Caution;
use desk::DEFERENCE;
use desk::course::{Outline, action, figures, in_words, out_of_100, renewed, suspects};
use engine::{Band, Course, CourseBranch, CourseStep, Shop};

/// Steps written out.
const MOST: usize = 40;
/// Blanks per level.
const LEVEL: usize = 3;

pub(super) fn text(case: &Case, course: &Course, instead: Option<usize>) -> String {
    let mut page = Page::new(case.screen);
    page.heading(&format!("Plan: {}", case.model.circuit().title));
    for (name, value) in figures(course, Shop::default().rate) {
        page.paragraph(&format!("  {name:<14}"), &value);
    }
    why(case, course, &mut page);
    other(case, course, instead, &mut page);
    let outline = Outline::new(course, MOST);
    let mut writer = Writer {
        case,
        outline: &outline,
        told: Vec::new(),
        explained: Vec::new(),
        page,
    };
    writer.page.heading("Steps");
    writer.step(&course.first, 0);
    let mut page = writer.page;
    page.gap();
    page.aside("", "After each reading ask again with the reading itself: the plan then uses the figure, not only its band.");
    page.aside("", DEFERENCE);
    page.text
}

/// Why the first check.
fn why(case: &Case, course: &Course, page: &mut Page) {
    let circuit = case.model.circuit();
    let CourseStep::Check { check, branches, .. } = &course.first else {
        page.heading("Why no check first");
        let text = if course.optimal {
            "Every check costs more than it would spare: renewing is cheaper as things stand."
        } else {
            "In the time given no check was found that spares more than it costs. With more time one may: --time 10."
        };
        return entry(page, "", text);
    };
    let spec = &case.model.checks()[*check];
    page.heading(&format!("Why {} first", spec.id));
    let spared = course.without_checks - course.planned_cost;
    entry(
        page,
        "spares",
        &format!(
            "{spared:.0} on average, with the checks that follow it, beside renewing parts in their best order"
        ),
    );
    let words = in_words(case.units, spec, &bands_of(branches));
    let width = words.iter().map(|words| words.chars().count()).max().unwrap_or(0);
    for (place, (branch, words)) in branches.iter().zip(&words).enumerate() {
        let left = if place == 0 { "splits" } else { "" };
        let line = format!(
            "{}: {}; then {}",
            out_of_100(branch.probability),
            suspects(circuit, branch),
            action(case, &branch.then)
        );
        page.paragraph(&format!("  {left:<10}{words:<width$}  "), &line);
    }
}

/// What another first check would cost.
fn other(case: &Case, course: &Course, instead: Option<usize>, page: &mut Page) {
    if let Some((check, cost)) = instead.zip(course.instead) {
        let id = &case.model.checks()[check].id;
        let more = cost - course.planned_cost;
        let text = if matches!(&course.first, CourseStep::Check { check: first, .. } if *first == check) {
            format!("{id} first is this plan")
        } else if more > 0.5 {
            format!("{id} first costs {more:.0} more on average, with the best plan found after it")
        } else {
            format!("{id} first costs about the same")
        };
        entry(page, "instead", &text);
    }
}

struct Writer<'w> {
    case: &'w Case<'w>,
    outline: &'w Outline<'w>,
    told: Vec<&'static Caution>,
    explained: Vec<usize>,
    page: Page,
}

impl Writer<'_> {
    fn step(&mut self, step: &CourseStep, level: usize) {
        match step {
            CourseStep::Check {
                check,
                minutes,
                branches,
                ..
            } => self.check(step, *check, *minutes, branches, level),
            _ => self.chain(step, level),
        }
    }

    fn check(
        &mut self,
        step: &CourseStep,
        check: usize,
        minutes: f64,
        branches: &[CourseBranch],
        level: usize,
    ) {
        let pad = " ".repeat(LEVEL * level);
        let spec = &self.case.model.checks()[check];
        let number = self.outline.number_of(step).unwrap_or(0);
        self.page.line(&format!(
            "{pad}{number}  {}   ({})",
            spec.id,
            words::minutes(minutes)
        ));
        card::told_once(
            self.case,
            spec,
            &mut self.told,
            &format!("{pad}   "),
            &mut self.page,
        );
        if !self.explained.contains(&check) {
            self.explained.push(check);
            card::to_do(self.case, spec, &format!("{pad}   "), &mut self.page);
        }
        let written = self.outline.written(branches);
        let bands: Vec<Band> = written.iter().map(|written| written.band).collect();
        let words = in_words(self.case.units, spec, &bands);
        let width = words.iter().map(|words| words.chars().count()).max().unwrap_or(0);
        for (written, words) in written.iter().zip(&words) {
            let start = format!("{pad}   {words:<width$}  ");
            let share = out_of_100(written.probability);
            match written.then {
                Some(then) => {
                    let suspects = suspects(self.case.model.circuit(), written.likeliest);
                    self.page.paragraph(&start, &format!("{share}: {suspects}"));
                    self.step(then, level + 2);
                }
                None => self.page.paragraph(&start, &format!("{share}: rare, ask again")),
            }
        }
    }

    /// Repairs one after the other, until a check comes between.
    fn chain(&mut self, step: &CourseStep, level: usize) {
        let pad = " ".repeat(LEVEL * level);
        let mut next = Some(step);
        while let Some(step) = next {
            let number = self.outline.number_of(step).unwrap_or(0);
            let (cures, otherwise) = match step {
                CourseStep::Check { .. } => return self.step(step, level),
                CourseStep::Renew { cures, otherwise, .. } | CourseStep::Beyond { cures, otherwise, .. } => {
                    (*cures, otherwise)
                }
            };
            let chance = words::percent(cures / step.probability());
            self.page.paragraph(
                &format!("{pad}{number}  "),
                &format!("{}: cures in {chance}", self.repair(step)),
            );
            next = otherwise.as_deref().filter(|next| self.outline.shows(next));
            if next.is_none() && otherwise.is_some() && step.probability() - cures > 1e-3 {
                self.page.line(&format!("{pad}   not cured: rare, ask again"));
            }
        }
    }

    fn repair(&self, step: &CourseStep) -> String {
        let circuit = self.case.model.circuit();
        match step {
            CourseStep::Renew { part, bench, .. } => {
                let bench = if *bench {
                    "try the new one on the bench, "
                } else {
                    ""
                };
                format!("{bench}{}, then prove it", renewed(circuit, *part))
            }
            _ => "look beyond this circuit".to_owned(),
        }
    }
}
