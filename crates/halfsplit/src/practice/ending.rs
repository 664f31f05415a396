//! The end of a practice job: what was hidden, and the person's account beside the plan's on the same vehicle.

use super::sitting::{Sitting, Step};
use crate::page::Page;
use engine::practice::{Contestant, Record, Workshop, World, play, record};

/// The other one's way through the same job.
pub(super) fn other(world: &World, number: u64, workshop: &Workshop, contestant: &Contestant) -> Record {
    play(world.job(number), workshop, contestant.ready(workshop).as_mut())
}

/// Tells the end.
pub(super) fn tell(sitting: &Sitting, other: (&str, &Record), page: &mut Page) {
    let over = sitting.job.is_over();
    page.gap();
    page.heading(if over { "The end" } else { "Left before the end" });
    page.paragraph("  ", &format!("What was hidden: {}.", hidden(sitting)));
    page.gap();
    let own = record(&sitting.job, None);
    let (name, other) = other;
    page.line(&format!("  {:<24}{:>9}{:>14}", "", "you", name));
    let row = |page: &mut Page, what: &str, own: String, other: String| {
        page.line(&format!("  {what:<24}{own:>9}{other:>14}"));
    };
    row(
        page,
        "cost",
        format!("{:.0}", own.cost),
        format!("{:.0}", other.cost),
    );
    row(page, "checks", own.checks.to_string(), other.checks.to_string());
    row(
        page,
        "parts renewed",
        own.renewed.to_string(),
        other.renewed.to_string(),
    );
    row(
        page,
        "of them without a fault",
        own.wrong_parts.to_string(),
        other.wrong_parts.to_string(),
    );
    page.gap();
    if let Some(text) = dearest(&sitting.steps) {
        page.paragraph("  ", &text);
    }
}

fn hidden(sitting: &Sitting) -> String {
    desk::hidden(sitting.model.circuit(), sitting.job.hidden().cause())
}

/// The step that cost most: the one that raised the cost to be expected most, where that was reckoned; else the one that
/// most was paid for and that did not end the job.
fn dearest(steps: &[Step]) -> Option<String> {
    let raised = |step: &Step| step.raised.unwrap_or(0.0);
    if steps.iter().any(|step| step.raised.is_some()) {
        let worst = steps.iter().max_by(|a, b| raised(a).total_cmp(&raised(b)))?;
        if raised(worst) < 0.5 {
            return Some("No step cost more than the best one would have.".to_owned());
        }
        return Some(format!(
            "The step that cost most: {}. With what was known then, it raised the cost to be expected by {:.0}.",
            worst.what,
            raised(worst)
        ));
    }
    let (_, before) = steps.split_last()?;
    let worst = before.iter().max_by(|a, b| a.cost.total_cmp(&b.cost))?;
    Some(format!(
        "The dearest step on the way: {}, {:.0}.",
        worst.what, worst.cost
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(steps: &[(&str, f64, Option<f64>)], expected: Option<&str>) {
        let steps: Vec<Step> = steps
            .iter()
            .map(|(what, cost, raised)| Step {
                what: (*what).to_owned(),
                cost: *cost,
                raised: *raised,
            })
            .collect();
        let told = dearest(&steps);
        match expected {
            Some(expected) => assert!(
                told.as_ref().is_some_and(|told| told.contains(expected)),
                "{told:?}"
            ),
            None => assert_eq!(told, None),
        }
    }

    #[test]
    fn the_dearest_step_is_what_was_chosen_worst_not_what_was_paid_most() {
        check(
            &[("renew pump", 300.0, Some(0.0)), ("look: valve", 5.0, Some(12.0))],
            Some("look: valve"),
        );
        check(&[("renew pump", 300.0, Some(0.1))], Some("No step"));
        // Nobody reckoned: what was paid, but the last step ended the job.
        check(
            &[("a", 9.0, None), ("b", 20.0, None), ("c", 90.0, None)],
            Some("b, 20"),
        );
        check(&[("c", 90.0, None)], None);
        check(&[], None);
    }
}
