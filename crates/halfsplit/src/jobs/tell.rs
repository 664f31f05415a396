//! A job as it stands.

use super::bench;
use super::desk::Held;
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::page::{Answer, Page};
use crate::words;
use ::job::{BY_HAND, Behind, Closing, Job, OTHER_MARKETS, Rules, Stage, TroubleCode, root_first};
use jiff::{SignedDuration, Timestamp};
use serde::Serialize;

#[derive(Serialize)]
struct Whole<'a> {
    number: i64,
    id: String,
    stage: &'a str,
    vehicle: &'a ::job::Vehicle,
    complaint: &'a str,
    circuit: &'a str,
    codes: Vec<&'a str>,
    explained: Vec<Explained>,
    freeze_frame: &'a [::job::Frozen],
    opened: Timestamp,
    changed: Timestamp,
    odometer_km: Option<f64>,
    minutes: f64,
    readings: Vec<Reading<'a>>,
    cautions_read: &'a [String],
    ruled_out: Vec<&'a str>,
    proven: Option<Proven<'a>>,
    quote: Option<&'a ::job::Quote>,
    accepted: Option<usize>,
    repairs: Vec<&'a str>,
    proofs: Vec<Proof<'a>>,
    proof_missing: Vec<String>,
    drives: Vec<Drive<'a>>,
    watch: Option<::job::Watch>,
    closed: Option<&'a Closing>,
    comebacks: usize,
    stands: Vec<String>,
}

/// A code that may come of others.
#[derive(Serialize)]
struct Explained {
    code: String,
    by: Vec<String>,
}

#[derive(Serialize)]
struct Reading<'a> {
    check: &'a str,
    read: &'a str,
    instrument: Option<&'a str>,
    accuracy: Option<&'a str>,
    over: Option<&'a ::job::Over>,
    at: Timestamp,
    who: &'a str,
    withdrawn: bool,
}

#[derive(Serialize)]
struct Proven<'a> {
    faults: &'a [String],
    shown_by: &'a [String],
    probability: f64,
    by_hand: Option<&'a str>,
}

#[derive(Serialize)]
struct Proof<'a> {
    check: &'a str,
    read: &'a str,
    good: bool,
}

#[derive(Serialize)]
struct Drive<'a> {
    name: &'a str,
    hash: &'a str,
    seconds: f64,
    driving_cycles: usize,
    warm_up_cycles: usize,
    /// Of its driving cycles, those that the watch counts.
    counted: usize,
    simulated: bool,
    words: &'a str,
}

/// Everything about a job.
pub(crate) fn job(held: &Held, manner: Manner) -> Result<Answer, Failure> {
    let out = if manner.json {
        json(&whole(held, manner))?
    } else {
        text(held, manner)
    };
    Ok(Answer {
        out,
        err: changed(held),
    })
}

/// Says if the circuit it began with is described otherwise today; the job keeps its own description.
fn changed(held: &Held) -> String {
    let described = &held.job.intake.circuit;
    let now = crate::case::description(&described.name).ok();
    now.and_then(|(now, _)| engine::changed(&held.job, &now.text))
        .map_or_else(String::new, |words| format!("warning: {words}\n"))
}

fn whole(held: &Held, manner: Manner) -> Whole<'_> {
    let job = &held.job;
    Whole {
        number: held.number,
        id: job.id.to_string(),
        stage: job.stage.name(),
        vehicle: &job.intake.vehicle,
        complaint: &job.intake.complaint,
        circuit: &job.intake.circuit.name,
        codes: job.codes.iter().map(|code| code.code.as_str()).collect(),
        explained: explained(job),
        freeze_frame: &job.intake.freeze_frame,
        opened: job.opened,
        changed: job.changed,
        odometer_km: job.odometer_km,
        minutes: job.minutes(),
        readings: job
            .readings
            .iter()
            .map(|reading| Reading {
                check: &reading.check,
                read: reading.said.text(),
                instrument: reading.instrument.as_deref(),
                accuracy: reading.accuracy.as_deref(),
                over: reading.over.as_ref(),
                at: reading.at,
                who: &reading.who,
                withdrawn: reading.withdrawn.is_some(),
            })
            .collect(),
        cautions_read: &job.cautions,
        ruled_out: job.ruled_out.iter().map(|out| out.what.as_str()).collect(),
        proven: job.proven.as_ref().map(|proven| Proven {
            faults: &proven.faults,
            shown_by: &proven.shown_by,
            probability: proven.probability,
            by_hand: proven.by_hand.as_deref(),
        }),
        quote: job.quotes.last(),
        accepted: job.accepted.map(|option| option + 1),
        repairs: job.repairs.iter().map(|repair| repair.part.as_str()).collect(),
        proofs: job
            .proofs
            .iter()
            .map(|proof| Proof {
                check: &proof.check,
                read: proof.said.text(),
                good: proof.good,
            })
            .collect(),
        proof_missing: job.missing_proof().iter().map(ToString::to_string).collect(),
        drives: job
            .drives
            .iter()
            .map(|drive| &drive.recording)
            .map(|known| Drive {
                name: &known.name,
                hash: &known.hash,
                seconds: known.seconds,
                driving_cycles: known.driving_cycles,
                warm_up_cycles: known.warm_up_cycles,
                counted: known.trips.len(),
                simulated: known.simulated,
                words: &known.words,
            })
            .collect(),
        watch: job.watch(&Rules::us_light()),
        closed: job.closed.as_ref(),
        comebacks: job.comebacks.len(),
        stands: where_it_stands(held, manner),
    }
}

/// Codes that others may explain, roots first.
fn explained(job: &Job) -> Vec<Explained> {
    let known: Vec<TroubleCode> = job
        .codes
        .iter()
        .filter_map(|code| code.code.parse().ok())
        .collect();
    let ranked = root_first(&known).into_iter();
    let explained = ranked.filter(|ranked| !ranked.explained_by.is_empty());
    explained
        .map(|ranked| Explained {
            code: ranked.code.to_string(),
            by: ranked.explained_by.iter().map(ToString::to_string).collect(),
        })
        .collect()
}

fn text(held: &Held, manner: Manner) -> String {
    let job = &held.job;
    let mut page = Page::new(manner.screen);
    page.heading(&format!("Job {}: {}", held.number, job.stage.name()));
    let distance = job
        .odometer_km
        .map_or_else(String::new, |km| format!(", {km:.0} km"));
    page.paragraph(
        "  vehicle    ",
        &format!("{}{distance}", or_dash(&job.intake.vehicle.words)),
    );
    page.paragraph("  complaint  ", or_dash(&job.intake.complaint));
    for code in &job.codes {
        let wording = code.code.parse().ok().and_then(::job::wording);
        page.paragraph(
            "  code       ",
            &format!("{} {}", code.code, wording.unwrap_or_default()),
        );
    }
    for Explained { code, by } in explained(job) {
        let first = words::list(&by);
        page.paragraph(
            "             ",
            &format!("{code} may come of {first}: that one first."),
        );
    }
    page.paragraph("  circuit    ", &job.intake.circuit.name);
    for frozen in &job.intake.freeze_frame {
        page.paragraph("  frozen     ", &format!("{}: {}", frozen.what, frozen.value));
    }
    if !job.readings.is_empty() {
        page.heading("Readings");
    }
    for reading in &job.readings {
        let gone = match reading.withdrawn.as_deref() {
            Some("") => "   (withdrawn)".to_owned(),
            Some(reason) => format!("   (withdrawn: {reason})"),
            None => String::new(),
        };
        let over = reading.over.as_ref().map_or_else(String::new, |over| {
            format!(
                "   ({} to {} of {})",
                crate::drives::clock(over.start_s),
                crate::drives::clock(over.end_s),
                reading.instrument.as_deref().unwrap_or("a recording")
            )
        });
        page.line(&format!(
            "  {} = {}{over}{gone}",
            reading.check,
            reading.said.text()
        ));
    }
    for out in &job.ruled_out {
        page.paragraph("  ruled out  ", &format!("{}: {}", out.what, out.reason));
    }
    if let Some(proven) = &job.proven {
        let by = proven.by_hand.as_ref().map_or_else(
            || words::list(&proven.shown_by),
            |reason| format!("hand: {reason}"),
        );
        page.paragraph(
            "  proven     ",
            &format!(
                "{}, {}, by {by}",
                proven.faults.join(" + "),
                words::percent(proven.probability)
            ),
        );
    }
    if let Some(quote) = job.quotes.last() {
        page.paragraph("  offered    ", &::desk::offer_in_a_line(job, quote));
    }
    mended(job, &mut page);
    driven(job, &mut page);
    page.heading("Where it stands");
    for sentence in where_it_stands(held, manner) {
        page.paragraph("  ", &sentence);
    }
    page.text
}

/// New parts tried, repairs and their proof.
fn mended(job: &::job::Job, page: &mut Page) {
    for tried in &job.new_parts {
        let verdict = if tried.good { "good" } else { "BAD, do not fit" };
        page.paragraph(
            "  new part   ",
            &format!("{}: {} read {}: {verdict}", tried.part, tried.check, tried.read),
        );
    }
    for repair in &job.repairs {
        let behind = match &repair.behind {
            Behind::Mended(what) => format!("behind it {what}, put right"),
            Behind::Left(what) => format!("behind it {what}, left"),
            Behind::NotFound => "behind it: looked for, not found".to_owned(),
        };
        page.paragraph("  repaired   ", &format!("{}; {behind}", repair.part));
    }
    for proof in &job.proofs {
        if proof.check == BY_HAND {
            page.paragraph("  proof      ", &format!("by hand: {}", proof.said.text()));
            continue;
        }
        let verdict = if proof.good { "good" } else { "NOT as it should be" };
        page.paragraph(
            "  proof      ",
            &format!("{} = {}: {verdict}", proof.check, proof.said.text()),
        );
    }
}

/// Recorded drives.
fn driven(job: &::job::Job, page: &mut Page) {
    for known in job.drives.iter().map(|drive| &drive.recording) {
        let simulated = if known.simulated { "simulated; " } else { "" };
        let words = if known.words.is_empty() {
            String::new()
        } else {
            format!("; {}", known.words)
        };
        page.paragraph(
            "  drive      ",
            &format!(
                "{}: {simulated}{}, driving cycles {}, warm-up cycles {}, counted for the watch {}{words}",
                known.name,
                crate::drives::clock(known.seconds),
                known.driving_cycles,
                known.warm_up_cycles,
                known.trips.len()
            ),
        );
    }
}

/// Where it stood when it was left, and what comes next, as sentences.
fn where_it_stands(held: &Held, manner: Manner) -> Vec<String> {
    let job = &held.job;
    let number = held.number;
    let model = bench::model(held).ok().filter(|_| job.stage == Stage::Checking);
    let case = model
        .as_ref()
        .and_then(|model| bench::case(held, model, manner).ok());
    let case = case.as_ref().map(|(case, _)| &**case);
    let mut sentences = ::desk::left(held, case, &|at| format!("{} ago", age(at)));
    sentences.push(match job.stage {
        Stage::Checking => format!("Looking for the cause: halfsplit job next {number}."),
        Stage::Proven => format!(
            "The cause is proven. To offer the repair: halfsplit job quote {number}; to write it down: halfsplit job repair {number} PART."
        ),
        Stage::Quoted => {
            format!("An offer waits for the customer's answer: halfsplit job quote {number} --accept K, or --refuse.")
        }
        Stage::Agreed => "The customer agreed. Try the new part before fitting, then repair.".to_owned(),
        Stage::Repaired => format!("Repaired, not proven yet: halfsplit job prove {number}."),
        Stage::Watch => {
            "The checks after the repair are good. Trips are counted until the module clears its own code; then close.".to_owned()
        }
        Stage::Closed => match &job.closed {
            Some(Closing::Repaired) => "Closed: repaired and proven.".to_owned(),
            Some(Closing::Unverified(reason)) => format!("Closed: handed back unverified, {reason}."),
            Some(Closing::NothingWrong) => "Closed: nothing wrong in this circuit.".to_owned(),
            Some(Closing::NotListed(what)) => format!("Closed: the cause was {what}."),
            Some(Closing::Stopped(reason)) => format!("Closed: the customer stopped, {reason}."),
            None => "Closed.".to_owned(),
        },
    });
    if job.stage == Stage::Watch {
        // Which rules the vehicle follows is not asked: the usual ones, and their name is said with them.
        let rules = Rules::us_light();
        let elsewhere = OTHER_MARKETS.iter().map(|text| (*text).to_owned());
        sentences.extend(
            job.watch(&rules)
                .map(|watch| watch.sentences(&rules))
                .unwrap_or_default(),
        );
        sentences.extend(elsewhere);
    }
    sentences
}

pub(crate) fn or_dash(text: &str) -> &str {
    if text.is_empty() { "-" } else { text }
}

/// How long ago, in the largest whole unit.
pub(crate) fn age(then: Timestamp) -> String {
    ago(Timestamp::now().duration_since(then))
}

fn ago(since: SignedDuration) -> String {
    let minutes = since.as_mins().max(0);
    match minutes {
        0..60 => format!("{minutes} min"),
        60..1440 => format!("{} h", minutes / 60),
        _ => format!("{} d", minutes / 1440),
    }
}
