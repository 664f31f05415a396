//! `[access.ID]` and `[reach]`: how hard it is to get there.
//!
//! A joint whose reach is not stated lies as deep as the part that names it.

use super::joints::Joints;
use super::names::{Ids, Parts, distinct, legal_id};
use super::parts::MAX_MINUTES;
use crate::codes;
use crate::fields::{Field, Fields};
use crate::model::{Access, AccessId, Reach};
use crate::sheet::{Sheet, shown};
use diag::{Diagnostic, Span};
use std::ops::Range;

/// Accesses that one file may have: more than a vehicle has covers.
const MAX_ACCESSES: usize = 500;

/// The accesses of a file.
#[derive(Debug)]
pub(super) struct Accesses<'a> {
    pub(super) all: Vec<Access>,
    pub(super) ids: Ids<'a>,
}

pub(super) fn read<'a>(sheet: &mut Sheet<'_>, fields: Option<Fields<'a>>) -> Accesses<'a> {
    let all = fields.map(|mut fields| fields.take_all()).unwrap_or_default();
    if let Some(beyond) = all.get(MAX_ACCESSES) {
        let message = format!("{} accesses; at most {MAX_ACCESSES} are read", all.len());
        sheet.push(Diagnostic::error(codes::TOO_MANY, beyond.key_span, message).labelled("one too many"));
    }
    distinct(sheet, all.iter().map(|field| (field.key, field.key_span)));
    let ids = Ids::accesses(all.iter().map(|field| field.key));
    let mut accesses = Vec::new();
    let mut spans = Vec::new();
    for field in &all {
        legal_id(sheet, field.key, field.key_span);
        let (access, span) = access(sheet, field, &ids);
        accesses.push(access);
        spans.push(span);
    }
    if accesses.len() <= MAX_ACCESSES {
        circles(sheet, &mut accesses, &spans);
    }
    Accesses { all: accesses, ids }
}

/// One access and the place where its needs are written.
fn access(sheet: &mut Sheet<'_>, field: &Field<'_>, ids: &Ids<'_>) -> (Access, Span) {
    let mut access = Access {
        id: field.key.to_owned(),
        what: field.key.to_owned(),
        minutes: 0.0,
        needs: Vec::new(),
    };
    let Some(mut fields) = field.fields(sheet, "write `[access.ID]` above its keys") else {
        return (access, field.span);
    };
    if let Some(what) = fields.take("what").and_then(|field| field.words(sheet)) {
        access.what = what;
    }
    let minutes = fields.require("minutes", sheet, "4");
    access.minutes = minutes
        .and_then(|field| field.number(sheet, 0.0, MAX_MINUTES))
        .unwrap_or(0.0);
    let needs = fields.take("needs");
    access.needs = needs
        .map(|field| self::needs(sheet, &field, ids))
        .unwrap_or_default();
    fields.finish(sheet, &["what", "minutes", "needs"]);
    (access, needs.map_or(field.key_span, |needs| needs.span))
}

fn needs(sheet: &mut Sheet<'_>, field: &Field<'_>, ids: &Ids<'_>) -> Vec<AccessId> {
    let texts = field.texts(sheet).unwrap_or_default();
    let mut needs: Vec<_> = texts
        .iter()
        .filter_map(|text| ids.find(sheet, text.text, text.span))
        .map(AccessId)
        .collect();
    needs.sort_unstable();
    needs.dedup();
    needs
}

/// Finds each circle once, at its first member, and cuts it there so that the others stand.
fn circles(sheet: &mut Sheet<'_>, accesses: &mut [Access], spans: &[Span]) {
    for start in 0..accesses.len() {
        if let Some(path) = circle(accesses, start) {
            let names: Vec<_> = path
                .iter()
                .chain([&start])
                .map(|&index| format!("`{}`", shown(&accesses[index].id)))
                .collect();
            let message = format!("`{}` needs itself", shown(&accesses[start].id));
            let found = Diagnostic::error(codes::CIRCULAR, spans[start], message).labelled("leads back here");
            sheet.push(found.hint(format!("break the circle {}", names.join(" → "))));
            accesses[start].needs.clear();
        }
    }
}

/// The shortest way from `start` back to itself through what is needed, `start` first.
fn circle(accesses: &[Access], start: usize) -> Option<Vec<usize>> {
    let mut from: Vec<Option<usize>> = vec![None; accesses.len()];
    let mut queue = std::collections::VecDeque::from([start]);
    while let Some(at) = queue.pop_front() {
        for need in &accesses[at].needs {
            if need.0 == start {
                let mut path = vec![at];
                while path.last() != Some(&start) {
                    path.push(from[*path.last()?]?);
                }
                path.reverse();
                return Some(path);
            }
            if from[need.0].is_none() {
                from[need.0] = Some(at);
                queue.push_back(need.0);
            }
        }
    }
    None
}

/// The reach of every part and every joint.
#[derive(Debug)]
pub(super) struct Reaches {
    pub(super) parts: Vec<Reach>,
    pub(super) joints: Vec<Reach>,
}

pub(super) fn reach(
    sheet: &mut Sheet<'_>,
    fields: Option<Fields<'_>>,
    parts: &Parts<'_>,
    joints: &Joints,
    ids: &Ids<'_>,
) -> Reaches {
    let mut of_parts: Vec<Option<Reach>> = vec![None; parts.kinds.len()];
    let mut said: Vec<(Range<usize>, Option<Reach>)> = Vec::new();
    let mut of_joints: Vec<Option<(Reach, Span)>> = vec![None; joints.ports.len()];
    for field in fields.map(|mut fields| fields.take_all()).unwrap_or_default() {
        if parts.is_part(field.key) || !field.key.contains('.') {
            let Some(members) = members(sheet, &field, parts) else {
                continue;
            };
            said.push((members, one(sheet, &field, ids)));
        } else {
            let Ok(port) = parts.port(sheet, field.key_text(sheet)) else {
                continue;
            };
            let Some(reach) = one(sheet, &field, ids) else {
                continue;
            };
            match joints.at[port.part.0][port.port] {
                Some(joint) => place(sheet, &field, reach, &mut of_joints[joint]),
                None => open(sheet, &field, joints),
            }
        }
    }
    // What is said of an inner part stands before what is said of the whole.
    said.sort_by_key(|(members, _)| std::cmp::Reverse(members.len()));
    for (members, reach) in said {
        of_parts[members].fill(reach);
    }
    let of_parts: Vec<Reach> = of_parts.into_iter().map(Option::unwrap_or_default).collect();
    let named = |joint: usize| of_parts[joints.ports[joint][0].part.0].clone();
    let of_joints = of_joints
        .into_iter()
        .enumerate()
        .map(|(joint, reach)| reach.map_or_else(|| named(joint), |(reach, _)| reach));
    Reaches {
        joints: of_joints.collect(),
        parts: of_parts,
    }
}

/// The parts that a key names. A port written without quotes arrives here as a table in a table.
fn members(sheet: &mut Sheet<'_>, field: &Field<'_>, parts: &Parts<'_>) -> Option<Range<usize>> {
    let members = parts.members(sheet, field.key, field.key_span)?;
    parts.kinds[members.start]?;
    let inner = field.value.as_table()?;
    let named = |key: &str| {
        let name = format!("{}.{key}", field.key);
        parts.is_part(&name) || parts.known_port(&name).is_some()
    };
    if let Some(port) = inner.keys().find(|key| named(key.get_ref())) {
        let name = format!("{}.{}", field.key, port.get_ref());
        let found = Diagnostic::error(
            codes::UNKNOWN_KEY,
            field.key_span.joined(port.span().into()),
            format!("`{name}` needs quotes here"),
        );
        sheet.push(
            found
                .labelled("a dot splits a key")
                .hint(format!("write `\"{name}\" = {{ … }}`")),
        );
        return None;
    }
    Some(members)
}

fn one(sheet: &mut Sheet<'_>, field: &Field<'_>, ids: &Ids<'_>) -> Option<Reach> {
    let mut fields = field.fields(sheet, "`{ minutes = 2, needs = [\"cover\"] }`")?;
    let minutes = fields
        .take("minutes")
        .and_then(|field| field.number(sheet, 0.0, MAX_MINUTES))
        .unwrap_or(0.0);
    let needs = fields
        .take("needs")
        .map(|field| needs(sheet, &field, ids))
        .unwrap_or_default();
    fields.finish(sheet, &["minutes", "needs"]);
    Some(Reach { minutes, needs })
}

fn place(sheet: &mut Sheet<'_>, field: &Field<'_>, reach: Reach, slot: &mut Option<(Reach, Span)>) {
    if let Some((_, earlier)) = slot {
        let found = Diagnostic::error(
            codes::REACH_TWICE,
            field.key_span,
            format!("`{}` is a joint already given", shown(field.key)),
        );
        sheet.push(
            found
                .labelled("the same joint")
                .other(*earlier, "its reach stands here"),
        );
    } else {
        *slot = Some((reach, field.key_span));
    }
}

fn open(sheet: &mut Sheet<'_>, field: &Field<'_>, joints: &Joints) {
    if !joints.incomplete {
        let found = Diagnostic::warning(
            codes::REACH_OPEN,
            field.key_span,
            format!("nothing is joined to `{}`", shown(field.key)),
        );
        sheet.push(
            found
                .labelled("no check is made here")
                .hint("give the reach of the part instead"),
        );
    }
}
