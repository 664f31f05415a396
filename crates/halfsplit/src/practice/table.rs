//! The results of many jobs as plain tables.

use super::OURS;
use crate::page::{Page, Screen};
use engine::practice::{Calibration, Contest, Score};

/// What every strategy does, in a line.
const WAYS: [(&str, &str); 4] = [
    (
        OURS,
        "the whole plan: what leads to the least expected cost until it works",
    ),
    (
        "information",
        "the check that tells most first, whatever it costs; then the likeliest part",
    ),
    (
        "habit",
        "the part that fails most often first: its own check, renewed if it reads wrong",
    ),
    ("parts", "the part that fails most often first, renewed unseen"),
];

const WORLD: &str = "Jobs are simulated in a world that differs from the model on purpose: wider tolerances, shares of faults off by up to three times, worse \
                     instruments, more misreadings, worse new parts, causes that are not listed. Cost is minutes of work at 60 an hour and parts. \
                     Right first: the part renewed first was faulty, of the jobs whose cause is one of the circuit's faults.";

/// All tables.
pub(super) fn text(contest: &Contest, jobs: usize, seed: u64, screen: Screen) -> String {
    let mut page = Page::new(screen);
    page.heading(&format!("{jobs} jobs, seed {seed}"));
    page.paragraph("", WORLD);
    page.gap();
    for (name, way) in WAYS
        .iter()
        .filter(|(name, _)| contest.all.iter().any(|score| score.name == *name))
    {
        page.paragraph(&format!("  {name:<13}"), way);
    }
    page.gap();
    table(&contest.all, &mut page);
    let ours = contest.all.iter().find(|score| score.name == OURS);
    if let Some(calibration) = ours.and_then(|score| score.calibration.as_ref()) {
        self::calibration(calibration, &mut page);
    }
    if contest.circuits.len() > 1 {
        for (name, scores) in &contest.circuits {
            page.heading(&format!(
                "{name}, {} jobs",
                scores.first().map_or(0, |score| score.jobs)
            ));
            table(scores, &mut page);
        }
    }
    page.text
}

fn table(scores: &[Score], page: &mut Page) {
    page.line("                mean   median  95 of 100  right first  wrong parts  checks");
    page.line("                cost     cost    up to       of 100      per job   per job");
    for score in scores {
        let given_up = match score.given_up {
            0 => String::new(),
            jobs => format!("  {jobs} given up"),
        };
        page.line(&format!(
            "  {:<11}{:>7.0}{:>9.0}{:>9.0}{:>13.1}{:>13.2}{:>10.1}{given_up}",
            score.name,
            score.mean_cost,
            score.median_cost,
            score.p95_cost,
            100.0 * score.first_repair_right,
            score.wrong_parts_per_job,
            score.checks_per_job,
        ));
    }
}

fn calibration(calibration: &Calibration, page: &mut Page) {
    page.heading("What the plan said of the part renewed first, and how often it was faulty");
    page.line("  said     was    jobs");
    for bin in &calibration.table {
        page.line(&format!("  {:>4.2}    {:>4.2}{:>8}", bin.said, bin.was, bin.jobs));
    }
    page.line(&format!(
        "  calibration error {:.3}, Brier score {:.3}, log score {:.3}",
        calibration.error, calibration.brier, calibration.log_score
    ));
}
