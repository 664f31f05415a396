//! A plan in words: what it costs, how good that is, and its steps.

use crate::commands::sequence::steps::{Step, steps};
use crate::page::{Page, Screen};
use crate::patience::{amount, gap};
use plan::{Sequence, Table, Tree};

/// The plan as text.
pub(super) fn written(table: &Table, sequence: &Sequence, screen: Screen) -> String {
    let mut page = Page::new(screen);
    let cost = amount(sequence.expected_cost);
    let proof = if sequence.optimal {
        "proven optimal".to_owned()
    } else {
        gap(sequence.expected_cost, sequence.lower_bound)
    };
    page.paragraph("", &format!("Expected cost {cost}, {proof}."));
    let words = Words {
        table,
        steps: steps(table, &sequence.tree),
    };
    page.gap();
    if let Tree::Causes(causes) = &sequence.tree {
        page.paragraph("", &format!("No test: {}.", words.end(causes)));
    }
    for step in &words.steps {
        words.step(&mut page, step);
    }
    page.text
}

struct Words<'t> {
    table: &'t Table,
    steps: Vec<Step<'t>>,
}

impl Words<'_> {
    /// A step, unless it is an end: that stands where it is reached from.
    fn step(&self, page: &mut Page, step: &Step<'_>) {
        let (what, cost) = match step.tree {
            Tree::Test { test, .. } => {
                let test = &self.table.tests[*test];
                (format!("test {}", plain(&test.name)), test.cost)
            }
            Tree::Repair { cause, .. } => {
                let cause = &self.table.causes[*cause];
                (
                    format!("repair {}", plain(&cause.name)),
                    cause.repair.unwrap_or_default(),
                )
            }
            Tree::Causes(_) => return,
        };
        let first = step.setup.map(|setup| {
            let setup = &self.table.setups[setup];
            format!(
                "set up {} (cost {}), then ",
                plain(&setup.name),
                amount(setup.cost)
            )
        });
        let done = format!("{}{what} (cost {})", first.unwrap_or_default(), amount(cost));
        page.paragraph(&format!("{:>3}  ", step.number), &done);
        self.outcomes(page, step);
    }

    fn outcomes(&self, page: &mut Page, step: &Step<'_>) {
        match (step.tree, &step.then[..]) {
            (Tree::Test { .. }, [positive, negative]) => {
                page.paragraph("     positive: ", &self.reached(*positive));
                page.paragraph("     negative: ", &self.reached(*negative));
            }
            (Tree::Repair { .. }, then) => {
                let check = match self.table.verify {
                    0.0 => String::new(),
                    verify => format!(" (check: cost {})", amount(verify)),
                };
                let fails = match then {
                    [next] => format!("done if it works{check}; if not: {}", self.reached(*next)),
                    _ => format!("then it works{check}"),
                };
                page.paragraph("     ", &fails);
            }
            _ => {}
        }
    }

    /// What stands at a place: the end, or the step to go on with.
    fn reached(&self, place: usize) -> String {
        let step = &self.steps[place];
        match step.tree {
            Tree::Causes(causes) => self.end(causes),
            Tree::Test { .. } | Tree::Repair { .. } => format!("step {}", step.number),
        }
    }

    fn end(&self, causes: &[usize]) -> String {
        let names: Vec<String> = causes
            .iter()
            .map(|cause| plain(&self.table.causes[*cause].name))
            .collect();
        match &names[..] {
            [] => "cannot happen".to_owned(),
            [one] if self.table.wrong_cost.is_some() => format!("say it is {one}"),
            [one] => format!("it is {one}"),
            [rest @ .., last] => format!("it is {} or {last}; no test tells them apart", rest.join(", ")),
        }
    }
}

/// A name on one line: it comes from a file and goes to a terminal.
fn plain(name: &str) -> String {
    name.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}
