//! All shipped circuits looked at: their texts, their reviews, and whether every check finds its balance under every fault and pair.

use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::page::{Answer, Page};
use engine::{Review, Shipped, Sweep};
use serde::Serialize;
use std::time::Instant;

#[derive(Debug, Serialize)]
struct Row {
    name: &'static str,
    sound: bool,
    parts: usize,
    faults: usize,
    checks: usize,
    /// Errors and warnings in the text.
    findings: usize,
    /// Groups of faults of different parts that no check tells apart.
    alike: usize,
    unseen_parts: usize,
    unseen_faults: usize,
    unusual: usize,
    vehicles: usize,
    solves: u64,
    failures: usize,
    review_seconds: f64,
    sweep_seconds: f64,
    #[serde(skip)]
    told: Vec<String>,
}

/// Checks all shipped circuits; the exit code is 1 if one of them is not sound.
pub(crate) fn run(manner: Manner) -> Result<Answer, Failure> {
    let rows: Vec<Row> = engine::shipped().iter().map(row).collect();
    let sound = rows.iter().all(|row| row.sound);
    let text = if manner.json {
        json(&rows)?
    } else {
        text(&rows, manner)
    };
    if sound {
        return Ok(Answer {
            out: text,
            err: String::new(),
        });
    }
    Err(Failure { code: 1, text })
}

fn row(shipped: &Shipped) -> Row {
    let loaded = engine::load(shipped.name, shipped.text);
    let mut row = Row {
        name: shipped.name,
        sound: false,
        parts: 0,
        faults: 0,
        checks: 0,
        findings: loaded.findings.len(),
        alike: 0,
        unseen_parts: 0,
        unseen_faults: 0,
        unusual: 0,
        vehicles: 0,
        solves: 0,
        failures: 0,
        review_seconds: 0.0,
        sweep_seconds: 0.0,
        told: loaded
            .findings
            .iter()
            .map(|found| format!("{}: {}", found.code, found.message))
            .collect(),
    };
    let Some(model) = loaded.model else { return row };
    let circuit = model.circuit();
    (row.parts, row.faults, row.checks) = (circuit.parts.len(), circuit.faults().len(), model.checks().len());
    let began = Instant::now();
    let review = engine::review(&model);
    row.review_seconds = began.elapsed().as_secs_f64();
    let began = Instant::now();
    let sweep = engine::sweep(&model);
    row.sweep_seconds = began.elapsed().as_secs_f64();
    (row.vehicles, row.solves, row.failures) = (sweep.vehicles, sweep.solves, sweep.failures);
    row.told.extend(failures(&model, &sweep));
    match review {
        Ok(review) => {
            row.sound = row.findings == 0 && sweep.sound() && review.unsolved.is_empty();
            counted(&mut row, &model, &review);
        }
        Err(large) => row.told.push(large.to_string()),
    }
    row
}

fn counted(row: &mut Row, model: &engine::Model, review: &Review) {
    let across = |alike: &&engine::Alike| alike.faults.windows(2).any(|pair| pair[0].part != pair[1].part);
    row.alike = review.alike.iter().filter(across).count();
    (row.unseen_parts, row.unseen_faults) = (review.unseen_parts.len(), review.unseen_faults.len());
    row.unusual = review.unusual.len();
    row.told.extend(review.unsolved.iter().map(|(check, fault)| {
        let with = fault.map_or_else(
            || "nothing wrong".to_owned(),
            |fault| model.circuit().fault_name(fault),
        );
        format!("no balance in {} with {with}", model.checks()[*check].id)
    }));
}

fn failures(model: &engine::Model, sweep: &Sweep) -> Vec<String> {
    let one = |failure: &engine::SweepFailure| {
        let faults: Vec<String> = failure
            .faults
            .iter()
            .map(|(fault, _)| model.circuit().fault_name(*fault))
            .collect();
        let said = failure
            .error
            .as_ref()
            .map_or_else(|| "the reading is no number".to_owned(), ToString::to_string);
        format!(
            "{} with {}: {said}",
            model.checks()[failure.check].id,
            faults.join(" and ")
        )
    };
    sweep.told.iter().map(one).collect()
}

fn text(rows: &[Row], manner: Manner) -> String {
    let mut page = Page::new(manner.screen);
    page.heading("The shipped circuits, each by its own physics");
    let column = rows.iter().map(|row| row.name.len()).max().unwrap_or(0);
    for row in rows {
        page.line(&format!(
            "  {:<column$}  {:<9} {:>3} parts {:>3} faults {:>4} checks   review {:>6.2} s   {:>6} vehicles {:>8} solves {:>7.2} s",
            row.name,
            if row.sound { "sound" } else { "NOT SOUND" },
            row.parts,
            row.faults,
            row.checks,
            row.review_seconds,
            row.vehicles,
            row.solves,
            row.sweep_seconds,
        ));
        let remarks = [
            (row.alike, "groups of faults that no check tells apart"),
            (row.unseen_parts, "parts that no check shows"),
            (row.unseen_faults, "faults that no check shows"),
            (row.unusual, "unusual values"),
            (row.failures, "without a balance"),
        ];
        let remarks: Vec<String> = remarks
            .iter()
            .filter(|(count, _)| *count > 0)
            .map(|(count, what)| format!("{count} {what}"))
            .collect();
        if !remarks.is_empty() {
            page.aside("      ", &remarks.join(", "));
        }
        for told in &row.told {
            page.caution("      ", told);
        }
    }
    page.gap();
    let unsound = rows.iter().filter(|row| !row.sound).count();
    let seconds: f64 = rows
        .iter()
        .map(|row| row.review_seconds + row.sweep_seconds)
        .sum();
    page.line(&if unsound == 0 {
        format!("All {} are sound: {seconds:.1} s.", rows.len())
    } else {
        format!("{unsound} of {} are not sound: {seconds:.1} s.", rows.len())
    });
    page.text
}
