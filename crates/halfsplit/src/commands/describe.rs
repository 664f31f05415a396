//! What a circuit is made of, and which checks follow from it.

use crate::case::{self, Manner};
use crate::commands::json;
use crate::failure::Failure;
use crate::page::{Answer, Page};
use crate::show::Units;
use crate::show::severity_unit;
use crate::words;
use circuit::{Check, Circuit, FaultId};
use engine::Model;
use serde::Serialize;

#[derive(Debug, Serialize)]
struct Description<'a> {
    name: &'a str,
    title: &'a str,
    about: &'a str,
    invented: bool,
    codes: &'a [String],
    symptoms: &'a [String],
    parts: Vec<PartRow<'a>>,
    joints: Vec<&'a str>,
    conditions: Vec<&'a str>,
    accesses: Vec<AccessRow<'a>>,
    faults: Vec<FaultRow>,
    checks: Vec<CheckRow<'a>>,
}

#[derive(Debug, Serialize)]
struct PartRow<'a> {
    id: &'a str,
    kind: &'a str,
    what: Option<&'a str>,
}

#[derive(Debug, Serialize)]
struct AccessRow<'a> {
    id: &'a str,
    what: &'a str,
    minutes: f64,
}

#[derive(Debug, Serialize)]
struct FaultRow {
    id: String,
    what: &'static str,
    share: f64,
    severity: Option<SeverityRow>,
}

#[derive(Debug, Serialize)]
struct SeverityRow {
    unit: &'static str,
    low: f64,
    typical: f64,
    high: f64,
}

#[derive(Debug, Serialize)]
struct CheckRow<'a> {
    id: &'a str,
    method: &'static str,
    at: String,
    condition: &'a str,
    unit: Option<&'static str>,
    minutes: f64,
    needs: Vec<&'a str>,
}

/// Describes a circuit.
pub(crate) fn run(name: &str, manner: Manner) -> Result<Answer, Failure> {
    let opened = case::open(name)?;
    let description = description(&opened.model, manner.units);
    let out = if manner.json {
        json(&description)?
    } else {
        text(&opened.model, &description, manner)
    };
    Ok(Answer {
        out,
        err: opened.warnings,
    })
}

fn description(model: &Model, units: Units) -> Description<'_> {
    let circuit = model.circuit();
    Description {
        name: &circuit.name,
        title: &circuit.title,
        about: circuit.about.trim(),
        invented: circuit.invented,
        codes: &circuit.codes,
        symptoms: &circuit.symptoms,
        parts: circuit
            .parts
            .iter()
            .map(|p| PartRow {
                id: &p.id,
                kind: p.kind.name,
                what: p.what.as_deref(),
            })
            .collect(),
        joints: circuit.joints.iter().map(|joint| joint.name.as_str()).collect(),
        conditions: circuit
            .conditions
            .iter()
            .map(|condition| condition.id.as_str())
            .collect(),
        accesses: circuit
            .accesses
            .iter()
            .map(|a| AccessRow {
                id: &a.id,
                what: &a.what,
                minutes: a.minutes,
            })
            .collect(),
        faults: circuit
            .faults()
            .into_iter()
            .map(|(id, share)| fault_row(circuit, id, share))
            .collect(),
        checks: model
            .checks()
            .iter()
            .map(|check| check_row(circuit, check, units))
            .collect(),
    }
}

fn fault_row(circuit: &Circuit, id: FaultId, share: f64) -> FaultRow {
    let spec = circuit.fault_spec(id);
    let severity = spec.severity.map(|severity| {
        let unit = severity_unit(&severity);
        let value = |si| quantity::Quantity::new(severity.dimension, si).in_unit(unit);
        SeverityRow {
            unit: severity.unit,
            low: value(severity.low),
            typical: value(severity.typical),
            high: value(severity.high),
        }
    });
    FaultRow {
        id: circuit.fault_name(id),
        what: spec.what,
        share,
        severity,
    }
}

fn check_row<'a>(circuit: &'a Circuit, check: &'a Check, units: Units) -> CheckRow<'a> {
    CheckRow {
        id: &check.id,
        method: check.method.word(),
        at: words::place(circuit, check),
        condition: &circuit.conditions[check.condition.0].id,
        unit: units.of(check.reads).map(|unit| unit.symbol()),
        minutes: check.minutes,
        needs: check
            .needs
            .iter()
            .map(|need| circuit.accesses[need.0].id.as_str())
            .collect(),
    }
}

fn text(model: &Model, description: &Description, manner: Manner) -> String {
    let circuit = model.circuit();
    let mut page = Page::new(manner.screen);
    page.heading(&format!("{}: {}", description.name, description.title));
    if description.invented {
        page.line("Invented: a made-up circuit.");
    }
    page.paragraph("", description.about);
    // One column for all names, whatever the longest is.
    let names = circuit.parts.iter().map(|part| &part.id);
    let names = names.chain(circuit.conditions.iter().map(|condition| &condition.id));
    let column = names.map(|name| name.chars().count()).max().unwrap_or(0);
    page.heading("Parts and what can be wrong with them");
    for (index, part) in circuit.parts.iter().enumerate() {
        page.paragraph(
            &format!("  {:<column$} ", part.id),
            &words::part(circuit, circuit::PartId(index)),
        );
        for fault in description
            .faults
            .iter()
            .filter(|fault| fault.id.split('/').next() == Some(&part.id))
        {
            page.aside(
                &format!("    {:>6}  ", words::percent(fault.share)),
                &fault_text(circuit, fault),
            );
        }
    }
    page.heading("Conditions");
    for condition in &circuit.conditions {
        page.paragraph(&format!("  {:<column$} ", condition.id), &condition.what);
    }
    page.heading(&format!("Checks ({})", description.checks.len()));
    for check in &description.checks {
        let unit = check.unit.unwrap_or("yes or no");
        let needs = if check.needs.is_empty() {
            String::new()
        } else {
            format!(", needs {}", check.needs.join(", "))
        };
        page.line(&format!(
            "  {:<46} {:>4} min  {unit}{needs}",
            check.id,
            quantity::round_half_away(check.minutes, 1)
        ));
    }
    page.text
}

fn fault_text(circuit: &Circuit, fault: &FaultRow) -> String {
    let severity = circuit
        .fault(&fault.id)
        .and_then(|id| circuit.fault_spec(id).severity)
        .map_or_else(String::new, |spec| {
            format!("; {} {}", spec.what, Units::severity(&spec, spec.low, spec.high))
        });
    format!("{}: {}{severity}", fault.id, fault.what)
}
