//! What a job believes, what it should do next, and what is missing to call the cause proven.

use super::desk::{Desk, Held};
use crate::card;
use crate::case::{Case, Manner, split_reading};
use crate::commands::json;
use crate::failure::Failure;
use crate::findings;
use crate::how;
use crate::page::{Answer, Page};
use crate::words;
use ::job::{Event, Said};
use circuit::{Caution, Circuit, PartId};
use diag::Source;
use engine::{Bay, Evidence, History, Model};
use serde::Serialize;
use std::fmt::Write as _;

/// The circuit as the job knows it: the description it began with, its odds moved by what is known of the vehicle.
pub(crate) fn model(held: &Held) -> Result<Model, Failure> {
    known(held).map(|(model, _)| model)
}

/// The same, with what moved the odds.
pub(crate) fn known(held: &Held) -> Result<(Model, History), Failure> {
    let (loaded, history) = engine::load_job(&held.job, &held.learnt);
    findings::accepted(&loaded.source, &loaded.findings)?;
    let model = loaded.model.ok_or_else(|| {
        Failure::could_not(
            format!(
                "the description that job {} began with cannot be used by this version",
                held.number
            ),
            None,
        )
    })?;
    Ok((model, history))
}

/// What of the vehicle's history moves the odds, and what of it could not be used.
fn moved(history: &History, circuit: &Circuit, page: &mut Page) {
    if !history.learnt.is_empty() {
        page.heading("What closed jobs found here");
    }
    for learnt in &history.learnt {
        let part = &circuit.parts[learnt.part.0];
        let fault = learnt.fault.map_or("", |fault| part.kind.faults[fault].name);
        page.paragraph("  ", &format!("{}/{fault}: {}", part.id, learnt.why));
    }
    if !history.moved.is_empty() {
        page.heading("What is known of this vehicle");
    }
    for moved in &history.moved {
        let part = &circuit.parts[moved.part.0].id;
        page.paragraph("  ", &format!("{part}: {}", moved.why));
    }
    for not_used in &history.not_used {
        let better = not_used
            .better
            .as_ref()
            .map_or_else(String::new, |near| format!(" Did you mean `{near}`?"));
        page.paragraph(
            "  not used  ",
            &format!("{}: {}{better}", not_used.said, not_used.why),
        );
    }
}

/// What the readings that count say.
pub(crate) fn evidence(held: &Held, model: &Model) -> Result<(Evidence, String), Failure> {
    evidence_of(held, model, &held.job.readings_file())
}

fn evidence_of(held: &Held, model: &Model, text: &str) -> Result<(Evidence, String), Failure> {
    let (evidence, found) = engine::evidence(model, text);
    let name = format!("readings of job {}", held.number);
    let warnings = findings::accepted(&Source::new(&name, text), &found)?;
    let evidence = evidence.ok_or_else(|| Failure::could_not(format!("the {name} cannot be used"), None))?;
    Ok((evidence, warnings))
}

/// The job as a case: its circuit with what counts as read, the vehicle as it stands; and warnings.
pub(crate) fn case<'m>(held: &Held, model: &'m Model, manner: Manner) -> Result<(Case<'m>, String), Failure> {
    let (evidence, warnings) = evidence(held, model)?;
    // A person waits for it after every reading, and another follows at once.
    let mut case = Case::with(model, evidence, manner, engine::Effort::brisk());
    stands(held, &mut case.bay, model.circuit());
    Ok((case, warnings))
}

/// Suspects and the next check, with the cautions that a person has not read in this job first.
pub(crate) fn next(held: &Held, manner: Manner) -> Result<Answer, Failure> {
    let (model, history) = known(held)?;
    let (case, err) = case(held, &model, manner)?;
    let outlook = engine::outlook(&case.belief);
    let ranked = case.next(&outlook);
    let first = ranked.first().map(|next| &model.checks()[next.check]);
    let unread = first.map_or_else(Vec::new, |check| {
        unread(held, how::cautions(model.circuit(), check))
    });
    let moved_parts = history.moved.iter();
    let out = if manner.json {
        json(&Next {
            job: held.number,
            stage: held.job.stage.name(),
            moved: moved_parts
                .map(|moved| model.circuit().parts[moved.part.0].id.as_str())
                .collect(),
            learnt: history
                .learnt
                .iter()
                .map(|moved| {
                    let part = &model.circuit().parts[moved.part.0];
                    let fault = moved.fault.map_or("", |fault| part.kind.faults[fault].name);
                    format!("{}/{fault}", part.id)
                })
                .collect(),
            cautions_to_read: unread.iter().map(|caution| sentence(caution)).collect(),
            believed: crate::suspects::json(&case, &ranked),
        })?
    } else {
        let mut page = Page::new(manner.screen);
        moved(&history, model.circuit(), &mut page);
        let mut text = crate::suspects::text(&case, &outlook, &ranked) + &page.text;
        text.push_str(&told_first(
            &unread,
            held.number,
            first.map(|check| check.id.as_str()),
        ));
        text
    };
    Ok(Answer { out, err })
}

#[derive(Serialize)]
struct Next<'a, T: Serialize> {
    job: i64,
    stage: &'a str,
    moved: Vec<&'a str>,
    learnt: Vec<String>,
    cautions_to_read: Vec<String>,
    #[serde(flatten)]
    believed: T,
}

/// Accesses that a person says are open cost nothing more.
fn stands(held: &Held, bay: &mut Bay, circuit: &Circuit) {
    let Some((open, _, _)) = &held.job.stands else {
        return;
    };
    for (index, access) in circuit.accesses.iter().enumerate() {
        let id = circuit::AccessId(index);
        if open.contains(&access.id) && !bay.open.contains(&id) {
            bay.open.push(id);
        }
    }
}

/// Writes readings down, after trying that they can be understood; with a warning where cautions were not read.
pub(crate) fn read(
    desk: &mut Desk,
    held: &Held,
    readings: &[String],
    instrument: Option<&str>,
    minutes: Option<f64>,
) -> Result<(Held, String), Failure> {
    let model = model(held)?;
    let mut events = Vec::new();
    let mut text = held.job.readings_file();
    let mut warnings = String::new();
    for reading in readings {
        let (check, said) = said(reading)?;
        ::job::write_reading(&mut text, check, &said, instrument);
        if let Some(known) = model.checks().iter().find(|known| known.id == check) {
            let cautions = unread(held, how::cautions(model.circuit(), known));
            warnings.push_str(&told(&cautions, held.number, check));
        }
        events.push(Event::Reading {
            check: check.to_owned(),
            said,
            instrument: instrument.map(str::to_owned),
            // Said once for all of them.
            minutes: minutes.map(|all| all / readings.len() as f64),
        });
    }
    let (_, found) = evidence_of(held, &model, &text)?;
    warnings.insert_str(0, &found);
    let held = desk.write(held, events)?;
    Ok((held, warnings))
}

/// `CHECK = WHAT` as it is kept.
pub(crate) fn said(reading: &str) -> Result<(&str, Said), Failure> {
    let (check, key, what) = split_reading(reading)?;
    let what = what.to_owned();
    Ok((
        check,
        match key {
            "bound" => Said::Bound(what),
            "answer" => Said::Answer(what),
            _ => Said::Value(what),
        },
    ))
}

/// A caution as it is written down when it was read.
fn sentence(caution: &Caution) -> String {
    format!("{}: {}", caution.hazard, caution.precaution)
}

fn unread(held: &Held, cautions: Vec<&'static Caution>) -> Vec<&'static Caution> {
    let new = |caution: &&'static Caution| !held.job.has_read(&sentence(caution));
    cautions.into_iter().filter(new).collect()
}

/// Cautions of renewing a part that nobody has read in this job.
pub(crate) fn unread_of_work(held: &Held, model: &Model, part: PartId) -> Vec<&'static Caution> {
    unread(held, how::cautions_of_work(model.circuit(), part))
}

/// A warning that cautions were not read before.
pub(crate) fn told(cautions: &[&'static Caution], number: i64, of: &str) -> String {
    let mut text = String::new();
    for caution in cautions {
        let _ = writeln!(text, "CAUTION  {}", sentence(caution));
    }
    if !cautions.is_empty() {
        let _ = writeln!(text, "         read: halfsplit job caution {number} {of}");
    }
    text
}

fn told_first(cautions: &[&'static Caution], number: i64, of: Option<&str>) -> String {
    let Some(of) = of.filter(|_| !cautions.is_empty()) else {
        return String::new();
    };
    format!(
        "\nBefore this check, say once in this job that its {} {} read: halfsplit job caution {number} {of}\n",
        if cautions.len() == 1 {
            "caution"
        } else {
            "cautions"
        },
        if cautions.len() == 1 { "was" } else { "were" },
    )
}

/// The events that say that cautions were read: of a check, of the renewal of a part, or of the next check.
pub(crate) fn acknowledged(held: &Held, of: Option<&str>, manner: Manner) -> Result<Vec<Event>, Failure> {
    let model = model(held)?;
    let cautions = if let Some(of) = of {
        cautions_of(&model, of)?
    } else {
        let (case, _) = case(held, &model, manner)?;
        let next = case.next(&engine::outlook(&case.belief));
        next.first().map_or_else(Vec::new, |next| {
            how::cautions(model.circuit(), &model.checks()[next.check])
        })
    };
    let read = cautions.into_iter().map(|caution| Event::CautionAcknowledged {
        caution: sentence(caution),
    });
    Ok(read.collect())
}

/// Cautions of a check, or of renewing a part.
fn cautions_of(model: &Model, of: &str) -> Result<Vec<&'static Caution>, Failure> {
    let circuit = model.circuit();
    if let Some(check) = model.checks().iter().find(|check| check.id == of) {
        return Ok(how::cautions(circuit, check));
    }
    if let Some(part) = circuit.parts.iter().position(|part| part.id == of) {
        return Ok(how::cautions_of_work(circuit, PartId(part)));
    }
    let hint = diag::nearest(of, model.checks().iter().map(|check| check.id.as_str()));
    Err(Failure::bad_input(
        format!("`{of}` is neither a check nor a part of this circuit"),
        hint.map(|near| format!("did you mean `{near}`?")),
    ))
}

/// `PART` or `PART/FAULT` of this circuit.
pub(crate) fn known_cause(held: &Held, what: &str) -> Result<(), Failure> {
    let model = model(held)?;
    let circuit = model.circuit();
    let mut names: Vec<String> = circuit.parts.iter().map(|part| part.id.clone()).collect();
    names.extend(
        circuit
            .faults()
            .into_iter()
            .map(|(fault, _)| circuit.fault_name(fault)),
    );
    if names.iter().any(|name| name == what) {
        return Ok(());
    }
    let hint = diag::nearest(what, names.iter().map(String::as_str));
    Err(Failure::bad_input(
        format!("the circuit has no part or fault `{what}`"),
        hint.map(|near| format!("did you mean `{near}`?")),
    ))
}

/// The event that calls a cause proven, or what is still missing.
pub(crate) fn proven(held: &Held, faults: &[String], by_hand: Option<&str>) -> Result<Event, Failure> {
    for fault in faults {
        known_cause(held, fault)?;
    }
    let model = model(held)?;
    let (evidence, _) = evidence(held, &model)?;
    let belief = engine::belief(&model, &evidence, engine::Effort::default());
    let leading = engine::proven(&belief, &evidence);
    let circuit = model.circuit();
    let name = |fault: &circuit::FaultId| circuit.fault_name(*fault);
    let named = |leading: &engine::Proven| leading.faults.iter().map(name).collect::<Vec<_>>();
    let id = |check: &usize| model.checks()[*check].id.clone();
    let agrees = leading
        .as_ref()
        .filter(|leading| faults.is_empty() || same(faults, &named(leading)));
    match (agrees, by_hand) {
        (Some(leading), _) if leading.proven => Ok(Event::CauseProven {
            faults: named(leading),
            shown_by: leading.shown_by.iter().map(id).collect(),
            probability: leading.probability,
            by_hand: by_hand.map(str::to_owned),
        }),
        (agrees, Some(reason)) => {
            let of = agrees.map(named).filter(|_| faults.is_empty());
            let faults = of.unwrap_or_else(|| faults.to_vec());
            let wanted = |suspect: &&engine::Suspect| {
                same(&faults, &suspect.faults.iter().map(name).collect::<Vec<_>>())
            };
            let probability = belief.suspects().iter().find(wanted);
            Ok(Event::CauseProven {
                shown_by: agrees.map_or_else(Vec::new, |leading| leading.shown_by.iter().map(id).collect()),
                probability: probability.map_or(0.0, |suspect| suspect.probability),
                by_hand: Some(reason.to_owned()),
                faults,
            })
        }
        (None, None) => Err(Failure::could_not(
            match leading {
                Some(leading) => format!(
                    "not proven: {} leads with {}",
                    words::faults(circuit, &leading.faults),
                    words::percent(leading.probability)
                ),
                None => "not proven: nothing listed leads".to_owned(),
            },
            Some("go on measuring, or say why it counts all the same: --by-hand REASON".to_owned()),
        )),
        (Some(leading), None) => {
            let mut missing = Vec::new();
            if !leading.likely_enough {
                missing.push(format!(
                    "it stands at {}, and {} is asked for",
                    words::percent(leading.probability),
                    words::percent(engine::BAR)
                ));
            }
            for fault in &leading.not_shown {
                missing.push(format!(
                    "no check has shown {} directly: try the part by itself, see it, or put a known good one in its place",
                    name(fault)
                ));
            }
            Err(Failure::could_not(
                format!(
                    "not proven yet: {} leads",
                    words::faults(circuit, &leading.faults)
                ),
                Some(format!(
                    "{}\nhalfsplit job next {}  says which check comes first",
                    missing.join("\n"),
                    held.number
                )),
            ))
        }
    }
}

fn same(some: &[String], others: &[String]) -> bool {
    some.len() == others.len() && some.iter().all(|one| others.contains(one))
}

/// Writes the card of the next check for a person at the prompt.
pub(crate) fn card(case: &Case, page: &mut Page) -> Option<usize> {
    let outlook = engine::outlook(&case.belief);
    let next = case.next(&outlook);
    crate::suspects::proof(case, &next, page);
    card::next(case, &outlook, &next, page);
    next.first().map(|next| next.check)
}
