//! What closed jobs change on one circuit: before, now, and how sure.

use super::counted;
use crate::case::{self, Manner};
use crate::commands::json;
use crate::failure::Failure;
use crate::page::{Answer, Page};
use crate::words;
use engine::{Learnt, LearntKind, LearntMinutes, LearntShare};
use serde::Serialize;
use store::Store;

#[derive(Serialize)]
struct Told<'a> {
    circuit: &'a str,
    jobs: u64,
    causes: Vec<ShareRow<'a>>,
    nothing_wrong: Option<ShareRow<'a>>,
    not_listed: Option<ShareRow<'a>>,
    kinds: Vec<KindRow<'a>>,
    checks: Vec<CheckRow<'a>>,
}

/// A share with the ends of its 90 % range.
#[derive(Serialize)]
struct ShareRow<'a> {
    what: &'a str,
    shipped: f64,
    share: f64,
    low: f64,
    high: f64,
    seen: u64,
}

/// Lives by distance, with 95 % ranges; the chance of a bad new part with its 90 % range.
#[derive(Serialize)]
struct KindRow<'a> {
    kind: &'a str,
    failed: u64,
    good: u64,
    scale_km: Option<f64>,
    scale_range_km: Option<(f64, f64)>,
    shape: Option<f64>,
    shape_range: Option<(f64, f64)>,
    new_parts: u64,
    bad_from_new: u64,
    chance_bad: f64,
    chance_bad_range: (f64, f64),
}

/// Minutes, with the 90 % range of the next check.
#[derive(Serialize)]
struct CheckRow<'a> {
    check: &'a str,
    shipped_minutes: f64,
    minutes: f64,
    range_minutes: (f64, f64),
    seen: u64,
}

pub(super) fn show(store: &mut dyn Store, name: &str, manner: Manner) -> Result<Answer, Failure> {
    let opened = case::open(name)?;
    let circuit = opened.model.circuit();
    let sums = store.learnt(None)?;
    let learnt = engine::learnt(circuit, &sums);
    let out = if manner.json {
        json(&told(&circuit.name, &learnt))?
    } else {
        text(&circuit.name, &learnt, manner)
    };
    Ok(Answer {
        out,
        err: opened.warnings,
    })
}

fn told<'a>(circuit: &'a str, learnt: &'a Learnt) -> Told<'a> {
    let beyond = |place: usize| learnt.beyond.get(place).map(share);
    Told {
        circuit,
        jobs: learnt.jobs,
        causes: sorted(learnt).into_iter().map(share).collect(),
        nothing_wrong: beyond(0),
        not_listed: beyond(1),
        kinds: learnt.kinds.iter().map(kind).collect(),
        checks: learnt.checks.iter().map(check).collect(),
    }
}

/// The likeliest first; of equals as in the circuit.
fn sorted(learnt: &Learnt) -> Vec<&LearntShare> {
    let mut causes: Vec<&LearntShare> = learnt.causes.iter().collect();
    causes.sort_by(|a, b| b.now.mean.total_cmp(&a.now.mean));
    causes
}

fn share(LearntShare { shipped, now }: &LearntShare) -> ShareRow<'_> {
    ShareRow {
        what: &now.id,
        shipped: *shipped,
        share: now.mean,
        low: now.low,
        high: now.high,
        seen: now.seen,
    }
}

fn kind(seen: &LearntKind) -> KindRow<'_> {
    let life = seen.life.as_ref();
    KindRow {
        kind: &seen.kind,
        failed: seen.failed,
        good: seen.good,
        scale_km: life.map(|life| life.weibull.scale),
        scale_range_km: life.map(|life| life.scale_range),
        shape: life.map(|life| life.weibull.shape),
        shape_range: life.map(|life| life.shape_range),
        new_parts: seen.fitted,
        bad_from_new: seen.bad,
        chance_bad: seen.bad_from_new.mean,
        chance_bad_range: (seen.bad_from_new.low, seen.bad_from_new.high),
    }
}

fn check(LearntMinutes { check, shipped, now }: &LearntMinutes) -> CheckRow<'_> {
    CheckRow {
        check,
        shipped_minutes: shipped.minutes(),
        minutes: now.typical.minutes(),
        range_minutes: (now.low.minutes(), now.high.minutes()),
        seen: now.seen,
    }
}

fn text(circuit: &str, learnt: &Learnt, manner: Manner) -> String {
    let mut page = Page::new(manner.screen);
    let jobs = usize::try_from(learnt.jobs).unwrap_or(usize::MAX);
    if jobs == 0 {
        page.line(&format!(
            "no closed job on {circuit} yet: its causes have the shipped shares"
        ));
    } else {
        page.heading(&format!(
            "{circuit}, from {}",
            counted(jobs, "closed job", "closed jobs")
        ));
        page.line("  found  shipped      now  true share, 9 times in 10");
        let found = sorted(learnt).into_iter().filter(|cause| cause.now.seen > 0);
        for LearntShare { shipped, now } in found.chain(&learnt.beyond) {
            page.line(&format!(
                "  {:>5}  {:>7}  {:>7}  {} to {}  {}",
                now.seen,
                words::percent(*shipped),
                words::percent(now.mean),
                words::percent(now.low),
                words::percent(now.high),
                now.id
            ));
        }
        page.paragraph(
            "  ",
            "All other causes share what is left as they are shipped. A few jobs move these figures little.",
        );
    }
    lives(learnt, &mut page);
    if !learnt.checks.is_empty() {
        page.heading("What checks take by themselves, access open and condition reached");
        for LearntMinutes { check, shipped, now } in &learnt.checks {
            page.line(&format!(
                "  {check}: {}, shipped {}; 9 of 10 take {:.0} to {:.0}; made {}",
                words::minutes(now.typical.minutes()),
                quantity::round_half_away(shipped.minutes(), 1),
                now.low.minutes(),
                now.high.minutes(),
                counted(usize::try_from(now.seen).unwrap_or(usize::MAX), "time", "times")
            ));
        }
    }
    page.text
}

/// Lives, and new parts that were bad.
fn lives(learnt: &Learnt, page: &mut Page) {
    if learnt.kinds.iter().any(|kind| kind.failed + kind.good > 0) {
        page.heading("How far parts of its kinds run, all circuits together");
    }
    for seen in &learnt.kinds {
        let Some(life) = &seen.life else { continue };
        page.paragraph(
            &format!("  {}: ", seen.kind),
            &format!(
                "{} failed, {} good; 63 % fail by {} km ({} to {}), {} (shape {:.2}, {:.2} to {:.2})",
                seen.failed,
                seen.good,
                thousands(life.weibull.scale),
                thousands(life.scale_range.0),
                thousands(life.scale_range.1),
                ageing(life.shape_range),
                life.weibull.shape,
                life.shape_range.0,
                life.shape_range.1
            ),
        );
    }
    let good = learnt
        .kinds
        .iter()
        .filter(|kind| kind.life.is_none() && kind.good > 0);
    let good: Vec<String> = good
        .map(|kind| format!("{} ({})", kind.kind, kind.good))
        .collect();
    if !good.is_empty() {
        page.paragraph("  none failed of: ", &words::list(&good));
    }
    let new: Vec<&LearntKind> = learnt.kinds.iter().filter(|kind| kind.fitted > 0).collect();
    if !new.is_empty() {
        page.heading("New parts");
    }
    for seen in new {
        page.line(&format!(
            "  {}: {} of {} bad; the next one with {} ({} to {})",
            seen.kind,
            seen.bad,
            seen.fitted,
            words::percent(seen.bad_from_new.mean),
            words::percent(seen.bad_from_new.low),
            words::percent(seen.bad_from_new.high)
        ));
    }
}

/// A distance to the thousand kilometres.
fn thousands(km: f64) -> String {
    let thousands = (km / 1000.0).round().max(1.0);
    if thousands < 1000.0 {
        format!("{thousands:.0},000")
    } else {
        format!(
            "{:.0},{:03.0},000",
            (thousands / 1000.0).floor(),
            thousands % 1000.0
        )
    }
}

/// What the range of a shape says, if it says anything.
fn ageing((low, high): (f64, f64)) -> &'static str {
    if low > 1.0 {
        "wearing out"
    } else if high < 1.0 {
        "failing early rather than late"
    } else {
        "early or late: not known yet"
    }
}
