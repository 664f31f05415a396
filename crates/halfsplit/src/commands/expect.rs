//! What a check should read, on a sound circuit or with faults.

use crate::args::Expect;
use crate::case::{self, Manner};
use crate::commands::json;
use crate::failure::Failure;
use crate::findings::argument;
use crate::how;
use crate::page::{Answer, Page};
use crate::show::Units;
use crate::words;
use belief::{Expected, Surroundings};
use circuit::{Circuit, FaultId, find_check};
use diag::{Diagnostic, nearest};
use engine::{Ambient, Model};
use quantity::{Dimension, Length};
use serde::Serialize;

/// Samples behind an expected reading: the percentiles are good to about a twentieth of their spread.
const SAMPLES: usize = 2000;

#[derive(Debug, Serialize)]
struct Row<'a> {
    check: &'a str,
    unit: Option<&'static str>,
    low: f64,
    median: f64,
    high: f64,
    samples: usize,
}

type Faults = Vec<(FaultId, Option<f64>)>;

/// Says what a check should read.
pub(crate) fn run(arguments: &Expect, manner: Manner) -> Result<Answer, Failure> {
    let opened = case::open(&arguments.circuit)?;
    let model = &opened.model;
    let check = check(model, &arguments.check)?;
    let faults = faults(model.circuit(), &arguments.faults)?;
    let surroundings = arguments
        .altitude
        .as_deref()
        .map_or(Ok(Surroundings::default()), surroundings)?;
    let expected = reading(model, surroundings, &faults, check)?;
    let out = if manner.json {
        json(&row(model, check, &expected, manner.units))?
    } else {
        let healthy = if faults.is_empty() {
            expected
        } else {
            reading(model, surroundings, &[], check)?
        };
        text(
            &Answered {
                model,
                check,
                faults: &faults,
                surroundings,
                expected,
                healthy,
            },
            manner,
        )
    };
    Ok(Answer {
        out,
        err: opened.warnings,
    })
}

fn reading(
    model: &Model,
    surroundings: Surroundings,
    faults: &[(FaultId, Option<f64>)],
    check: usize,
) -> Result<Expected, Failure> {
    engine::expect(model, surroundings, faults, check, SAMPLES, 1)
        .map_err(|error| Failure::could_not(error, None))
}

fn row<'a>(model: &'a Model, check: usize, expected: &Expected, units: Units) -> Row<'a> {
    let check = &model.checks()[check];
    let (unit, [low, median, high]) = units.percentiles(check, expected.percentiles);
    Row {
        check: &check.id,
        unit,
        low,
        median,
        high,
        samples: expected.samples,
    }
}

struct Answered<'a> {
    model: &'a Model,
    check: usize,
    faults: &'a [(FaultId, Option<f64>)],
    surroundings: Surroundings,
    expected: Expected,
    healthy: Expected,
}

fn text(answered: &Answered, manner: Manner) -> String {
    let (circuit, check) = (answered.model.circuit(), &answered.model.checks()[answered.check]);
    let mut page = Page::new(manner.screen);
    page.heading(&check.id);
    page.paragraph("  how      ", &how::to_do(circuit, check));
    page.paragraph("  when     ", &words::condition(circuit, check));
    let pressure = manner
        .units
        .plain(Dimension::Pressure, answered.surroundings.ambient.pressure);
    page.line(&format!("  air      barometer {pressure}"));
    page.line(&format!(
        "  healthy  {}",
        manner.units.range(check, answered.healthy.percentiles)
    ));
    if !answered.faults.is_empty() {
        let ids: Vec<FaultId> = answered.faults.iter().map(|(id, _)| *id).collect();
        let range = manner.units.range(check, answered.expected.percentiles);
        page.line(&format!(
            "  faulty   {range}   with {}",
            words::faults(circuit, &ids)
        ));
    }
    page.aside(
        "  ",
        "Nine of ten readings lie in the range: parts within tolerance, an ordinary gauge or meter.",
    );
    page.text
}

/// The check called `id`.
fn check(model: &Model, id: &str) -> Result<usize, Failure> {
    let (circuit, checks) = (model.circuit(), model.checks());
    if let Some(found) = find_check(circuit, checks, id) {
        return Ok(checks.iter().position(|check| check.id == found.id).unwrap_or(0));
    }
    let finding = Diagnostic::error("A002", 0..id.len(), "there is no such check on this circuit");
    let hint = match nearest(id, checks.iter().map(|check| check.id.as_str())) {
        Some(near) => format!("did you mean `{near}`?"),
        None => {
            same_place(model, id).unwrap_or_else(|| format!("halfsplit describe {} lists them", circuit.name))
        }
    };
    Err(argument(
        "--check",
        id,
        finding.labelled("METHOD:PLACE@CONDITION").hint(hint),
    ))
}

/// The checks at the place that `id` names, if it names one.
fn same_place(model: &Model, id: &str) -> Option<String> {
    let place = id.split_once(':')?.1.split('@').next()?;
    let here = model
        .checks()
        .iter()
        .filter(|check| words::place(model.circuit(), check) == place);
    let ids: Vec<&str> = here.map(|check| check.id.as_str()).take(8).collect();
    (!ids.is_empty()).then(|| format!("checks there: {}", ids.join(", ")))
}

/// Height above sea level to the air there.
pub(crate) fn surroundings(altitude: &str) -> Result<Surroundings, Failure> {
    let refuse =
        |finding: Diagnostic| argument("--altitude", altitude, finding.hint("for instance `1600 m`"));
    let parsed = quantity::parse(altitude, &[Dimension::Length])
        .map_err(|error| refuse(Diagnostic::error("A003", error.span.clone(), error.to_string())))?;
    let metres = parsed.quantity.si();
    // Highest and lowest places where anyone drives, m.
    if !(-500.0..=6000.0).contains(&metres) {
        return Err(refuse(Diagnostic::error(
            "A004",
            0..altitude.len(),
            "no road is at this height",
        )));
    }
    Ok(Surroundings {
        ambient: Ambient::at_altitude(Length::from_si(metres)),
        ..Surroundings::default()
    })
}

pub(crate) fn faults(circuit: &Circuit, texts: &[String]) -> Result<Faults, Failure> {
    let faults: Faults = texts
        .iter()
        .map(|text| fault(circuit, text))
        .collect::<Result<_, _>>()?;
    for (index, (id, _)) in faults.iter().enumerate() {
        if faults[..index].iter().any(|(other, _)| other.part == id.part) {
            let finding = Diagnostic::error("A005", 0..texts[index].len(), "a part has one fault at a time");
            return Err(argument("--fault", &texts[index], finding));
        }
    }
    if faults.len() > MOST_FAULTS {
        let text = &texts[MOST_FAULTS];
        let finding = Diagnostic::error(
            "A006",
            0..text.len(),
            format!("more than {MOST_FAULTS} faults at once"),
        );
        return Err(argument("--fault", text, finding));
    }
    Ok(faults)
}

/// Faults that can be there at once.
const MOST_FAULTS: usize = 4;

/// `PART/FAULT` or `PART/FAULT=SEVERITY`.
fn fault(circuit: &Circuit, text: &str) -> Result<(FaultId, Option<f64>), Failure> {
    let (name, severity) = text
        .split_once('=')
        .map_or((text, None), |(name, severity)| (name, Some(severity)));
    let refuse = |finding| argument("--fault", text, finding);
    let Some(id) = circuit.fault(name.trim()) else {
        return Err(refuse(unknown_fault(circuit, name)));
    };
    let Some(severity) = severity else {
        return Ok((id, None));
    };
    let start = text.len() - severity.len();
    let Some(spec) = circuit.fault_spec(id).severity else {
        let finding = Diagnostic::error(
            "A007",
            start..text.len(),
            "this fault is there or not; it has no severity",
        );
        return Err(refuse(finding.hint(format!("--fault '{}'", name.trim()))));
    };
    let parsed = quantity::parse(severity, &[spec.dimension]).map_err(|error| {
        let span = error.span.start + start..error.span.end + start;
        let example = Units::severity(&spec, spec.typical, spec.typical);
        refuse(
            Diagnostic::error("A003", span, error.to_string())
                .labelled(spec.what)
                .hint(format!("for instance `{example}`")),
        )
    })?;
    let si = parsed.quantity.si();
    if !(si > 0.0 && si.is_finite()) {
        return Err(refuse(
            Diagnostic::error("A008", start..text.len(), "a severity is more than nothing")
                .labelled(spec.what),
        ));
    }
    Ok((id, Some(si)))
}

fn unknown_fault(circuit: &Circuit, name: &str) -> Diagnostic {
    let names: Vec<String> = circuit
        .faults()
        .iter()
        .map(|(id, _)| circuit.fault_name(*id))
        .collect();
    let part = name.split('/').next().unwrap_or_default();
    let of_part: Vec<&str> = names
        .iter()
        .filter(|id| id.split('/').next() == Some(part))
        .map(String::as_str)
        .collect();
    let hint = match nearest(name, names.iter().map(String::as_str)) {
        Some(near) => format!("did you mean `{near}`?"),
        None if !of_part.is_empty() => format!("faults of it: {}", of_part.join(", ")),
        None => format!("halfsplit describe {} lists them", circuit.name),
    };
    Diagnostic::error("A009", 0..name.len(), "there is no such fault on this circuit")
        .labelled("PART/FAULT")
        .hint(hint)
}
