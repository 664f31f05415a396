//! `[condition.ID]`: states to test in. `off` is always there and comes first.

use super::names::{Parts, distinct, legal_id};
use super::parts::MAX_MINUTES;
use crate::amount::{Wanted, amount, value_or};
use crate::codes;
use crate::fields::{Field, Fields};
use crate::kind::{CommandSpec, Spread};
use crate::model::{Command, Condition, PartId, Value};
use crate::sheet::{Sheet, article, listed, shown};
use crate::shows::Under;
use diag::{Diagnostic, Span};
use quantity::Dimension;

/// Conditions that one file may have; each multiplies the possible checks.
const MAX_CONDITIONS: usize = 100;
/// Idle and set speeds are held within about 50 of 800 rpm. From memory.
const ENGINE_SPREAD: Spread = Spread::Relative(0.05);
/// Charging voltage is held within about 0.2 of 14 V. From memory.
const SUPPLY_SPREAD: Spread = Spread::Relative(0.015);
/// Engine speeds, rev/s: up to 12 000 rpm.
const ENGINE: Wanted<'_> = Wanted {
    dimensions: &[Dimension::RotationalSpeed],
    range: (0.0, 200.0),
    example: "780 rpm",
};
/// Supplies of road vehicles, V.
const SUPPLY: Wanted<'_> = Wanted {
    dimensions: &[Dimension::Voltage],
    range: (1.0, 60.0),
    example: "14.1 V",
};
const LOAD: Wanted<'_> = Wanted {
    dimensions: &[Dimension::Ratio],
    range: (0.0, 1.0),
    example: "100 %",
};
const DUTY: Wanted<'_> = Wanted {
    dimensions: &[Dimension::Ratio],
    range: (0.0, 1.0),
    example: "65 %",
};

const KEYS: &[&str] = &[
    "what", "engine", "load", "supply", "power", "command", "under", "minutes",
];

/// A command with the places that findings about it need.
#[derive(Debug, Clone, Copy)]
pub(super) struct Commanded {
    pub(super) part: usize,
    pub(super) span: Span,
}

/// The conditions of a file, and every command in them.
#[derive(Debug)]
pub(super) struct Conditions {
    pub(super) all: Vec<Condition>,
    pub(super) commanded: Vec<Commanded>,
}

pub(super) fn read(sheet: &mut Sheet<'_>, fields: Option<Fields<'_>>, parts: &Parts<'_>) -> Conditions {
    let mut conditions = Conditions {
        all: vec![off()],
        commanded: Vec::new(),
    };
    let all = fields.map(|mut fields| fields.take_all()).unwrap_or_default();
    if let Some(beyond) = all.get(MAX_CONDITIONS) {
        let message = format!("{} conditions; at most {MAX_CONDITIONS} are read", all.len());
        sheet.push(Diagnostic::error(codes::TOO_MANY, beyond.key_span, message).labelled("one too many"));
    }
    distinct(sheet, all.iter().map(|field| (field.key, field.key_span)));
    for field in &all {
        let Some(fields) = field.fields(sheet, "write `[condition.ID]` above its keys") else {
            continue;
        };
        if field.key == "off" {
            rename_off(sheet, fields, &mut conditions.all[0]);
        } else {
            legal_id(sheet, field.key, field.key_span);
            condition(sheet, field, fields, parts, &mut conditions);
        }
    }
    conditions
}

fn off() -> Condition {
    Condition {
        id: "off".to_owned(),
        what: "engine and ignition off".to_owned(),
        engine: still(),
        load: 0.0,
        supply: None,
        powered: false,
        commands: Vec::new(),
        under: Under::default(),
        minutes: 0.0,
        span: Span::new(0, 0),
    }
}

fn still() -> Value {
    Value {
        typical: 0.0,
        spread: 0.0,
        dimension: Some(Dimension::RotationalSpeed),
        span: None,
    }
}

fn rename_off(sheet: &mut Sheet<'_>, mut fields: Fields<'_>, off: &mut Condition) {
    off.span = fields.span;
    if let Some(what) = fields.take("what").and_then(|field| field.words(sheet)) {
        off.what = what;
    }
    if let Some(minutes) = fields
        .take("minutes")
        .and_then(|field| field.number(sheet, 0.0, MAX_MINUTES))
    {
        off.minutes = minutes;
    }
    for field in fields.take_all() {
        let message = format!("`off` takes no `{}`", shown(field.key));
        let found = Diagnostic::error(codes::OFF_IS_OFF, field.key_span, message).labelled("off means off");
        sheet.push(found.hint("give this condition another name"));
    }
}

fn condition(
    sheet: &mut Sheet<'_>,
    field: &Field<'_>,
    mut fields: Fields<'_>,
    parts: &Parts<'_>,
    into: &mut Conditions,
) {
    let what = fields.take("what").and_then(|field| field.words(sheet));
    let engine = fields
        .take("engine")
        .and_then(|field| value_or(sheet, &field, &ENGINE, ENGINE_SPREAD));
    let load = fields
        .take("load")
        .and_then(|field| amount(sheet, &field, &LOAD).map(|amount| (amount.si(), field.span)));
    let supply = fields
        .take("supply")
        .and_then(|field| value_or(sheet, &field, &SUPPLY, SUPPLY_SPREAD));
    let power = fields
        .take("power")
        .and_then(|field| field.flag(sheet).map(|flag| (flag, field.span)));
    let command = fields.take("command");
    let commands = command
        .map(|field| commands(sheet, &field, parts, &mut into.commanded))
        .unwrap_or_default();
    let under = fields
        .take("under")
        .map(|field| under(sheet, &field))
        .unwrap_or_default();
    let minutes = fields
        .take("minutes")
        .and_then(|field| field.number(sheet, 0.0, MAX_MINUTES))
        .unwrap_or(0.0);
    fields.finish(sheet, KEYS);
    let running = engine.is_some_and(|engine| engine.typical > 0.0);
    let needs_power = running || supply.is_some() || !commands.is_empty();
    if let Some((false, span)) = power.filter(|_| needs_power) {
        let found = Diagnostic::error(
            codes::POWER,
            span,
            format!("`{}` has no power, yet needs it", shown(field.key)),
        );
        sheet.push(
            found
                .labelled("contradicts the rest")
                .hint("leave `power` out, or engine, supply and commands"),
        );
    }
    if let Some((_, span)) = load.filter(|(load, _)| *load > 0.0 && !running) {
        let message = format!("`{}` has a load, yet its engine stands", shown(field.key));
        let found = Diagnostic::error(codes::LOAD, span, message).labelled("nothing works against it");
        sheet.push(found.hint("say how fast it turns: `engine = \"3000 rpm\"`"));
    }
    into.all.push(Condition {
        id: field.key.to_owned(),
        what: what.unwrap_or_else(|| field.key.to_owned()),
        engine: engine.unwrap_or_else(still),
        load: load.map_or(0.0, |(load, _)| load),
        supply,
        powered: needs_power || power.is_some_and(|(power, _)| power),
        commands,
        under,
        minutes,
        span: field.span,
    });
}

/// What may bring out faults that come and go.
fn under(sheet: &mut Sheet<'_>, field: &Field<'_>) -> Under {
    let mut under = Under::default();
    for word in field.texts(sheet).unwrap_or_default() {
        if !under.set(word.text) {
            let message = format!("`{}` brings out no fault", shown(word.text));
            let found = Diagnostic::error(codes::UNDER, word.span, message).labelled("not known here");
            let known = listed(&Under::WORDS).map(|list| format!("known here: {list}"));
            let near = sheet.nearest(word.text, Under::WORDS);
            sheet.push(found.maybe_hint(near.map(|near| format!("did you mean `{near}`?")).or(known)));
        }
    }
    under
}

fn commands(
    sheet: &mut Sheet<'_>,
    field: &Field<'_>,
    parts: &Parts<'_>,
    commanded: &mut Vec<Commanded>,
) -> Vec<Command> {
    let Some(mut fields) = field.fields(sheet, "`command = { valve = \"65 %\" }`") else {
        return Vec::new();
    };
    let mut commands = Vec::new();
    for field in fields.take_all() {
        let Some(part) = parts.find(sheet, field.key, field.key_span) else {
            continue;
        };
        let Some(kind) = parts.kinds[part] else { continue };
        let Some(how) = kind.command else {
            not_commanded(sheet, &field, kind.name, parts);
            continue;
        };
        commanded.push(Commanded {
            part,
            span: field.key_span,
        });
        commands.extend(duty(sheet, &field, how).map(|duty| Command {
            part: PartId(part),
            duty,
        }));
    }
    commands
}

fn not_commanded(sheet: &mut Sheet<'_>, field: &Field<'_>, kind: &str, parts: &Parts<'_>) {
    let message = format!("{} takes no command", article(kind));
    let commanded = |index: &usize| parts.kinds[*index].is_some_and(|kind| kind.command.is_some());
    let others: Vec<&str> = (0..parts.kinds.len())
        .filter(commanded)
        .map(|index| parts.ids.name(index))
        .collect();
    let found =
        Diagnostic::error(codes::NOT_COMMANDED, field.key_span, message).labelled("cannot be commanded");
    sheet.push(found.maybe_hint(listed(&others).map(|list| format!("commands go to {list}"))));
}

/// The share of time a part is driven. `on` and `off` are understood of a duty too.
fn duty(sheet: &mut Sheet<'_>, field: &Field<'_>, how: CommandSpec) -> Option<f64> {
    let text = field.text(sheet)?;
    match (text.text.trim(), how) {
        ("on", _) => Some(1.0),
        ("off", _) => Some(0.0),
        (_, CommandSpec::Duty) => amount(sheet, field, &DUTY).map(|amount| amount.si()),
        (other, CommandSpec::OnOff) => {
            let found = Diagnostic::error(
                codes::COMMAND,
                text.span,
                format!("`{}` is neither on nor off", shown(other)),
            );
            sheet.push(
                found
                    .labelled("`on` or `off`")
                    .hint("write `\"on\"` or `\"off\"`"),
            );
            None
        }
    }
}
