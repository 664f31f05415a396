//! `[part.ID]`: kind, parameters, and which port is joined to which.
//!
//! Keys of a part are its own (`kind`, `what`, `repair`, `place`), the names of its kind's ports, and those of its kind's
//! parameters, looked for in this order. A part of a composed kind becomes that kind's parts.

use super::composed::{Found, Kinds};
use super::draft::{Draft, DraftPart, Left, Link, Target};
use super::names::{distinct, legal_id};
use super::put::put;
use crate::amount::parameter;
use crate::codes;
use crate::fields::{Field, Fields, Quoted};
use crate::kind::KindSpec;
use crate::model::Repair;
use crate::sheet::{Sheet, article, shown};
use diag::Diagnostic;
use std::collections::BTreeMap;
use toml::de::DeValue;

/// Parts that one file may have. The sparse solver is measured up to 500.
pub(super) const MAX_PARTS: usize = 2000;
/// Minutes beyond which a figure for one piece of work is a slip of the pen: a week.
pub(super) const MAX_MINUTES: f64 = 10_000.0;
/// Prices beyond which a figure is a slip of the pen, in the shop's currency.
const MAX_PRICE: f64 = 1e6;

/// Furthest column and row of the drawing that a part can be pinned to.
const FURTHEST: f64 = 200.0;

pub(super) const OWN_KEYS: &[&str] = &["kind", "what", "repair", "place"];

/// The parts of a table; `None` if they are more than can be handled. What a composed kind leaves to its users, `left`, may be
/// missing.
pub(super) fn read<'a>(
    sheet: &mut Sheet<'_>,
    mut fields: Fields<'a>,
    kinds: &Kinds<'a, '_>,
    left: &Left<'a>,
) -> Option<Draft<'a>> {
    let all = fields.take_all();
    distinct(
        sheet,
        all.iter()
            .take(MAX_PARTS)
            .map(|field| (field.key, field.key_span)),
    );
    let mut draft = Draft::default();
    for field in &all {
        part(sheet, field, kinds, left, &mut draft);
        if draft.parts.len() > MAX_PARTS {
            let message = format!("more than {MAX_PARTS} parts; at most {MAX_PARTS} are read");
            sheet.push(Diagnostic::error(codes::TOO_MANY, field.key_span, message).labelled("one too many"));
            return None;
        }
    }
    one_to_a_place(sheet, &draft.parts);
    Some(draft)
}

fn part<'a>(
    sheet: &mut Sheet<'_>,
    field: &Field<'a>,
    kinds: &Kinds<'a, '_>,
    left: &Left<'a>,
    draft: &mut Draft<'a>,
) {
    let Some(mut fields) = field.fields(sheet, "write `[part.ID]` above its keys") else {
        return;
    };
    legal_id(sheet, field.key, field.key_span);
    let name = fields
        .require("kind", sheet, "\"tube\"")
        .and_then(|field| field.text(sheet));
    let kind = match name.map(|name| (name, kinds.find(name.text))) {
        Some((_, Found::Composed(composed))) => {
            put(sheet, field, fields, composed, left, draft);
            return;
        }
        Some((_, Found::Shipped(kind))) => Some(kind),
        Some((name, Found::Nothing)) => {
            unknown_kind(sheet, name, kinds);
            None
        }
        Some((_, Found::Broken)) | None => None,
    };
    draft.parts.push(single(sheet, field, fields, kind, left));
}

/// A part of a shipped kind, or of one that is not known.
fn single<'a>(
    sheet: &mut Sheet<'_>,
    field: &Field<'a>,
    mut fields: Fields<'a>,
    kind: Option<&'static KindSpec>,
    left: &Left<'a>,
) -> DraftPart<'a> {
    let mut part = DraftPart {
        id: field.key.into(),
        id_span: field.key_span,
        span: field.span,
        kind,
        what: fields.take("what").and_then(|field| field.words(sheet)),
        values: Vec::new(),
        wanting: Vec::new(),
        links: Vec::new(),
        unreadable: Vec::new(),
        strays: Vec::new(),
        repair: None,
        weights: None,
        pinned: fields
            .take("place")
            .and_then(|field| Some((place(sheet, &field)?, field.span))),
    };
    let repair = fields.take("repair");
    if let Some(kind) = kind {
        part.repair = repair.and_then(|field| self::repair(sheet, &field, kind));
        ports(sheet, &mut fields, kind, &mut part);
        values(sheet, &mut fields, kind, left, &mut part);
        unknown(sheet, fields, kind);
    } else {
        part.strays = fields
            .take_all()
            .iter()
            .flat_map(|field| strays(field.value))
            .collect();
    }
    part
}

fn unknown_kind(sheet: &mut Sheet<'_>, name: Quoted<'_>, kinds: &Kinds<'_, '_>) {
    let found = Diagnostic::error(
        codes::UNKNOWN_KIND,
        name.span,
        format!("unknown kind `{}`", shown(name.text)),
    );
    let hint = sheet.suggest(name.text, kinds.names());
    sheet.push(found.labelled("no such kind of part").maybe_hint(hint));
}

fn repair(sheet: &mut Sheet<'_>, field: &Field<'_>, kind: &KindSpec) -> Option<Repair> {
    let mut fields = field.fields(sheet, "`repair = { minutes = 20, price = 15 }`")?;
    let mut figure = |key: &str, most: f64| fields.take(key).and_then(|field| field.number(sheet, 0.0, most));
    let minutes = figure("minutes", MAX_MINUTES).unwrap_or(kind.repair.minutes);
    let price = figure("price", MAX_PRICE).unwrap_or(kind.repair.price);
    fields.finish(sheet, &["minutes", "price"]);
    Some(Repair { minutes, price })
}

/// Column and row in the drawing, counted from 0.
fn place(sheet: &mut Sheet<'_>, field: &Field<'_>) -> Option<(u16, u16)> {
    const WANTED: &str = "two whole numbers, column and row";
    const HINT: &str = "`place = [2, 1]`";
    if !matches!(field.value, DeValue::Array(members) if members.len() == 2) {
        return field.wrong(sheet, WANTED, Some(HINT));
    }
    let numbers = field.numbers(sheet, 0.0, FURTHEST)?;
    if numbers.iter().any(|number| number.fract() != 0.0) {
        let message = format!("`{}` takes {WANTED}", shown(field.key));
        let found = Diagnostic::error(codes::NUMBER_RANGE, field.span, message);
        sheet.push(found.labelled("not whole").hint(HINT));
        return None;
    }
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole numbers from 0 to 200"
    )]
    let whole = |number: f64| number as u16;
    Some((whole(numbers[0]), whole(numbers[1])))
}

/// Finds parts that are pinned to the place of an earlier one.
fn one_to_a_place(sheet: &mut Sheet<'_>, parts: &[DraftPart<'_>]) {
    let mut taken: BTreeMap<(u16, u16), &str> = BTreeMap::new();
    for part in parts {
        let Some((place, span)) = part.pinned else {
            continue;
        };
        if let Some(first) = taken.get(&place) {
            let message = format!(
                "`{}` is to stand where `{}` stands",
                shown(&part.id),
                shown(first)
            );
            let found = Diagnostic::error(codes::SAME_PLACE, span, message);
            sheet.push(
                found
                    .labelled("taken")
                    .hint("give it another column or row, or leave `place` out"),
            );
        } else {
            taken.insert(place, &part.id);
        }
    }
}

fn ports<'a>(sheet: &mut Sheet<'_>, fields: &mut Fields<'a>, kind: &KindSpec, part: &mut DraftPart<'a>) {
    for (port, spec) in kind
        .ports
        .iter()
        .enumerate()
        .filter(|(_, spec)| !OWN_KEYS.contains(&spec.name))
    {
        let Some(field) = fields.take(spec.name) else {
            continue;
        };
        match field.texts(sheet) {
            Some(targets) => part.links.extend(targets.into_iter().map(|target| Link {
                port,
                target: Target::Written(target),
            })),
            None => part.unreadable.push(port),
        }
    }
}

fn values<'a>(
    sheet: &mut Sheet<'_>,
    fields: &mut Fields<'a>,
    kind: &KindSpec,
    left: &Left<'a>,
    part: &mut DraftPart<'a>,
) {
    for (index, spec) in kind.parameters.iter().enumerate() {
        let may_miss = left.contains(&(part.id.as_ref(), spec.name));
        if may_miss && spec.default.is_none() && !fields.has(spec.name) {
            part.wanting.push(index);
        }
        part.values.push(parameter(sheet, fields, kind, spec, may_miss));
    }
}

fn unknown(sheet: &mut Sheet<'_>, mut fields: Fields<'_>, kind: &KindSpec) {
    let ports = kind.ports.iter().map(|port| port.name);
    let known: Vec<&str> = kind
        .parameters
        .iter()
        .map(|spec| spec.name)
        .chain(ports)
        .chain(OWN_KEYS.iter().copied())
        .collect();
    for field in fields.take_all() {
        let message = format!("{} has no `{}`", article(kind.name), shown(field.key));
        let found = Diagnostic::error(codes::UNKNOWN_PARAMETER, field.key_span, message)
            .labelled("neither parameter nor port");
        sheet.push(found.maybe_hint(sheet.suggest(field.key, known.iter().copied())));
    }
}

/// The texts in a value of a part about which nothing else is known.
fn strays<'a>(value: &'a DeValue<'a>) -> Vec<&'a str> {
    match value {
        DeValue::String(text) => vec![text],
        DeValue::Array(members) => members
            .iter()
            .filter_map(|member| member.get_ref().as_str())
            .collect(),
        _ => Vec::new(),
    }
}
