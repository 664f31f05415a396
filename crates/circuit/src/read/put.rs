//! The parts of a composed kind in place of a part of that kind.
//!
//! Each is called by the part's name, a dot and its own: `low.valve`. What the user writes is what the kind shows of itself: its
//! ports and its parameters.

use super::composed::Composed;
use super::draft::{Draft, DraftPart, Group, Left, Link, Target, moved};
use super::parts::MAX_PARTS;
use crate::amount::{example_of, written};
use crate::codes;
use crate::fields::{Field, Fields};
use crate::sheet::{Sheet, shown};
use diag::Diagnostic;

/// Puts the parts of `composed` in place of the part in `field`.
pub(super) fn put<'a>(
    sheet: &mut Sheet<'_>,
    field: &Field<'a>,
    mut fields: Fields<'a>,
    composed: &Composed<'a>,
    left: &Left<'a>,
    draft: &mut Draft<'a>,
) {
    let base = draft.parts.len();
    if base + composed.draft.parts.len() > MAX_PARTS {
        // One more than can be handled, so that whoever counts sees it.
        draft
            .parts
            .extend(composed.draft.parts.iter().take(MAX_PARTS + 1 - base).cloned());
        return;
    }
    let what = fields.take("what").and_then(|field| field.words(sheet));
    let mut parts: Vec<DraftPart<'a>> = composed
        .draft
        .parts
        .iter()
        .map(|part| put_one(part, field, base, what.as_deref()))
        .collect();
    for (name, port) in &composed.ports {
        let Some(field) = fields.take(name) else { continue };
        let part = &mut parts[port.part.0];
        match field.texts(sheet) {
            Some(targets) => part.links.extend(targets.into_iter().map(|target| Link {
                port: port.port,
                target: Target::Written(target),
            })),
            None => part.unreadable.push(port.port),
        }
    }
    for (name, behind) in &composed.parameters {
        match fields.take(name) {
            Some(given) => set(sheet, &given, behind, &mut parts),
            None if !left.contains(&(field.key, *name)) => {
                wanting(sheet, &fields, composed.name, name, behind, &mut parts);
            }
            None => {}
        }
    }
    unknown(sheet, fields, composed);
    draft.parts.extend(parts);
    draft.groups.push(Group {
        id: field.key.to_owned(),
        kind: composed.name,
        members: base..draft.parts.len(),
        ports: composed
            .ports
            .iter()
            .map(|(name, port)| (*name, moved(*port, base)))
            .collect(),
        parameters: shifted(&composed.parameters, base),
    });
    let inner = composed.draft.groups.iter().map(|group| Group {
        id: format!("{}.{}", field.key, group.id),
        kind: group.kind,
        members: group.members.start + base..group.members.end + base,
        ports: group
            .ports
            .iter()
            .map(|(name, port)| (*name, moved(*port, base)))
            .collect(),
        parameters: shifted(&group.parameters, base),
    });
    draft.groups.extend(inner);
}

fn shifted<'a>(
    parameters: &[(&'a str, Vec<(usize, usize)>)],
    base: usize,
) -> Vec<(&'a str, Vec<(usize, usize)>)> {
    let shift =
        |behind: &[(usize, usize)]| behind.iter().map(|(part, index)| (part + base, *index)).collect();
    parameters
        .iter()
        .map(|(name, behind)| (*name, shift(behind)))
        .collect()
}

/// One inner part in its place. Findings about it stand at the part that uses the kind.
fn put_one<'a>(part: &DraftPart<'a>, field: &Field<'a>, base: usize, what: Option<&str>) -> DraftPart<'a> {
    let mut part = part.clone();
    part.id = format!("{}.{}", field.key, part.id).into();
    part.id_span = field.key_span;
    part.span = field.span;
    if let (Some(inner), Some(outer)) = (&part.what, what) {
        part.what = Some(format!("{inner}, {outer}"));
    }
    for link in &mut part.links {
        if let Target::Inside(port) = &mut link.target {
            *port = moved(*port, base);
        }
    }
    part
}

/// Sets every inner parameter behind one name to the value that a user wrote.
fn set(sheet: &mut Sheet<'_>, given: &Field<'_>, behind: &[(usize, usize)], parts: &mut [DraftPart<'_>]) {
    for &(part, index) in behind {
        let part = &mut parts[part];
        part.wanting.retain(|wanting| *wanting != index);
        let spec = part.kind.and_then(|kind| kind.parameters.get(index));
        match spec.and_then(|spec| written(sheet, given, spec)) {
            Some(value) => part.values[index] = value,
            // One value, one finding, however many parts would take it.
            None => break,
        }
    }
}

/// Finds that a value is missing which the kind leaves to its users.
fn wanting(
    sheet: &mut Sheet<'_>,
    fields: &Fields<'_>,
    kind: &str,
    name: &str,
    behind: &[(usize, usize)],
    parts: &mut [DraftPart<'_>],
) {
    for &(part, index) in behind {
        let part = &mut parts[part];
        let before = part.wanting.len();
        part.wanting.retain(|wanting| *wanting != index);
        let spec = part.kind.and_then(|kind| kind.parameters.get(index));
        if let Some(spec) = spec.filter(|_| part.wanting.len() < before) {
            let message = format!("`{}` is missing: {}", shown(name), spec.what);
            let message = message.chars().take(80).collect::<String>();
            let found = Diagnostic::error(codes::MISSING_KEY, fields.span, message);
            let found = found.labelled(format!("`{}` needs its `{}`", shown(kind), shown(name)));
            sheet.push(found.hint(format!(
                "add for instance `{} = \"{}\"`",
                shown(name),
                example_of(spec)
            )));
            return;
        }
    }
}

fn unknown(sheet: &mut Sheet<'_>, mut fields: Fields<'_>, composed: &Composed<'_>) {
    let ports = composed.ports.iter().map(|(name, _)| *name);
    let parameters = composed.parameters.iter().map(|(name, _)| *name);
    let known: Vec<&str> = parameters.chain(ports).chain(["kind", "what"]).collect();
    for field in fields.take_all() {
        let message = format!("`{}` has no `{}`", shown(composed.name), shown(field.key));
        let found = Diagnostic::error(codes::UNKNOWN_PARAMETER, field.key_span, message)
            .labelled("neither parameter nor port of the composed kind");
        sheet.push(found.maybe_hint(sheet.suggest(field.key, known.iter().copied())));
    }
}
