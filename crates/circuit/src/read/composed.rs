//! `[kind.NAME]`: kinds that an author composes of others, and their parts in place of a part of such a kind.
//!
//! A composed kind is read once, with all findings where it is written: its parts, the connections among them, which of
//! their ports and parameters its users may name, and under what name. A part of that kind is then these parts once more,
//! each called by the part's name, a dot and its own (`put.rs`). What only the whole circuit can show, such as a port that stays
//! open, is found at the part that uses the kind.

use super::draft::{Draft, Left, Link, Target};
use super::joints;
use super::likelihood;
use super::names::{Parts, distinct, legal_id};
use super::parts::{self, OWN_KEYS};
use crate::codes;
use crate::fields::{Field, Fields};
use crate::kind::{Catalogue, KindSpec};
use crate::model::PortRef;
use crate::sheet::{Sheet, shown};
use diag::{Diagnostic, Span};
use std::collections::BTreeMap;

/// Composed kinds that one file may have, with all that it includes.
const MAX_KINDS: usize = 200;
/// How deep kinds may be composed of composed ones. A vehicle's systems, units, parts and pieces are four.
const MAX_DEPTH: usize = 8;

/// A composed kind, ready to be put in place of a part. All kinds in it are known.
#[derive(Debug)]
pub(super) struct Composed<'a> {
    pub(super) name: &'a str,
    pub(super) draft: Draft<'a>,
    pub(super) ports: Vec<(&'a str, PortRef)>,
    pub(super) parameters: Vec<(&'a str, Vec<(usize, usize)>)>,
}

/// The kinds that parts of a file can be of.
#[derive(Debug)]
pub(super) struct Kinds<'a, 'c> {
    pub(super) catalogue: &'c Catalogue,
    /// `None`: something is wrong with it, which has been said.
    composed: BTreeMap<&'a str, Option<Composed<'a>>>,
}

/// A kind by its name.
pub(super) enum Found<'k, 'a> {
    Shipped(&'static KindSpec),
    Composed(&'k Composed<'a>),
    /// Something is wrong with it, which has been said where it is composed.
    Broken,
    Nothing,
}

impl<'a> Kinds<'a, '_> {
    /// What is known of the kind called `name`.
    pub(super) fn find(&self, name: &str) -> Found<'_, 'a> {
        match (self.composed.get(name), self.catalogue.find(name)) {
            (Some(Some(composed)), _) => Found::Composed(composed),
            (Some(None), _) => Found::Broken,
            (None, Some(kind)) => Found::Shipped(kind),
            (None, None) => Found::Nothing,
        }
    }

    /// All names, the author's own first.
    pub(super) fn names(&self) -> impl Iterator<Item = &str> {
        let shipped = self.catalogue.kinds().iter().map(|kind| kind.name);
        self.composed.keys().copied().chain(shipped)
    }
}

/// A composed kind as written.
#[derive(Debug)]
struct Written<'a> {
    name: &'a str,
    name_span: Span,
    parts: Option<Fields<'a>>,
    ports: Vec<Field<'a>>,
    parameters: Vec<Field<'a>>,
    likelihood: Option<Fields<'a>>,
    /// Composed kinds that its parts are of, by number, with where that is written.
    uses: Vec<(usize, Span)>,
}

/// The composed kinds of a file.
pub(super) fn read<'a, 'c>(
    sheet: &mut Sheet<'_>,
    fields: Option<Fields<'a>>,
    catalogue: &'c Catalogue,
) -> Kinds<'a, 'c> {
    let mut kinds = Kinds {
        catalogue,
        composed: BTreeMap::new(),
    };
    let mut all = fields.map(|mut fields| fields.take_all()).unwrap_or_default();
    if let Some(beyond) = all.get(MAX_KINDS) {
        let message = format!("{} composed kinds; at most {MAX_KINDS} are read", all.len());
        sheet.push(Diagnostic::error(codes::TOO_MANY, beyond.key_span, message).labelled("one too many"));
        all.truncate(MAX_KINDS);
    }
    distinct(sheet, all.iter().map(|field| (field.key, field.key_span)));
    let mut written: Vec<Written<'a>> = all
        .iter()
        .map(|field| sections(sheet, field, catalogue))
        .collect();
    uses(sheet, &mut written);
    let mut depths = vec![0; written.len()];
    for index in order(sheet, &written) {
        let kind = &written[index];
        let deepest = kind.uses.iter().map(|(used, _)| depths[*used]).max();
        depths[index] = 1 + deepest.unwrap_or(0);
        let composed = if depths[index] > MAX_DEPTH {
            too_deep(sheet, kind);
            None
        } else {
            compose(sheet, kind, &kinds)
        };
        kinds.composed.insert(kind.name, composed);
    }
    for kind in &written {
        // Those in a circle are known too; nothing more is said about them.
        kinds.composed.entry(kind.name).or_insert(None);
    }
    kinds
}

const SECTIONS: &[&str] = &["what", "part", "port", "parameter", "likelihood"];

fn sections<'a>(sheet: &mut Sheet<'_>, field: &Field<'a>, catalogue: &Catalogue) -> Written<'a> {
    let mut kind = Written {
        name: field.key,
        name_span: field.key_span,
        parts: None,
        ports: Vec::new(),
        parameters: Vec::new(),
        likelihood: None,
        uses: Vec::new(),
    };
    legal_id(sheet, field.key, field.key_span);
    if catalogue.find(field.key).is_some() {
        let message = format!("`{}` is a shipped kind", shown(field.key));
        let found = Diagnostic::error(codes::KIND_TAKEN, field.key_span, message).labelled("taken");
        sheet.push(found.hint("give the composed kind a name of its own"));
    }
    let Some(mut fields) = field.fields(sheet, "write `[kind.NAME.part.ID]` above the keys of each part")
    else {
        return kind;
    };
    if let Some(what) = fields.take("what") {
        what.words(sheet);
    }
    kind.parts = fields
        .take("part")
        .and_then(|field| field.fields(sheet, "write `[kind.NAME.part.ID]` above its keys"));
    let mut names = |key: &str| {
        let example = format!("write `[kind.NAME.{key}]` on a line of its own");
        let table = fields.take(key).and_then(|field| field.fields(sheet, &example));
        table.map(|mut fields| fields.take_all()).unwrap_or_default()
    };
    kind.ports = names("port");
    kind.parameters = names("parameter");
    kind.likelihood = fields
        .take("likelihood")
        .and_then(|field| field.fields(sheet, "write `[kind.NAME.likelihood]` on a line of its own"));
    fields.finish(sheet, SECTIONS);
    kind
}

/// Notes which kinds are made of which.
fn uses(sheet: &mut Sheet<'_>, written: &mut [Written<'_>]) {
    let numbers: BTreeMap<&str, usize> = written
        .iter()
        .enumerate()
        .map(|(index, kind)| (kind.name, index))
        .collect();
    let used = |kind: &Written<'_>, sheet: &Sheet<'_>| {
        let parts = kind
            .parts
            .clone()
            .map(|mut parts| parts.take_all())
            .unwrap_or_default();
        let mut used = Vec::new();
        for part in parts {
            let Some(table) = part.value.as_table() else {
                continue;
            };
            let kind = Fields::of(table, part.span)
                .take("kind")
                .and_then(|field| field.quoted(sheet));
            used.extend(kind.and_then(|text| Some((*numbers.get(text.text)?, text.span))));
        }
        used
    };
    let all: Vec<_> = written.iter().map(|kind| used(kind, sheet)).collect();
    for (kind, uses) in written.iter_mut().zip(all) {
        kind.uses = uses;
    }
}

/// The kinds in such an order that those a kind is made of come before it. Finds circles; what is in one, or made of one that
/// is, is left out.
fn order(sheet: &mut Sheet<'_>, written: &[Written<'_>]) -> Vec<usize> {
    let mut order: Vec<usize> = Vec::new();
    let mut done = vec![false; written.len()];
    loop {
        let ready = |index: &usize| !done[*index] && written[*index].uses.iter().all(|(used, _)| done[*used]);
        let ready: Vec<usize> = (0..written.len()).filter(ready).collect();
        if ready.is_empty() {
            break;
        }
        for index in ready {
            done[index] = true;
            order.push(index);
        }
    }
    let mut told = done;
    for start in 0..written.len() {
        if told[start] {
            continue;
        }
        let Some((path, span)) = circle(written, start) else {
            continue;
        };
        for &index in &path {
            told[index] = true;
        }
        let names: Vec<_> = path
            .iter()
            .chain([&start])
            .map(|&index| format!("`{}`", shown(written[index].name)))
            .collect();
        let message = format!("`{}` is made of itself", shown(written[start].name));
        let found = Diagnostic::error(codes::MADE_OF_ITSELF, span, message).labelled("leads back to it");
        sheet.push(found.hint(format!("break the circle {}", names.join(" → "))));
    }
    order
}

/// The shortest way from `start` back to itself, `start` first, and where its last step is written.
fn circle(written: &[Written<'_>], start: usize) -> Option<(Vec<usize>, Span)> {
    let mut from: Vec<Option<usize>> = vec![None; written.len()];
    let mut queue = std::collections::VecDeque::from([start]);
    while let Some(at) = queue.pop_front() {
        for &(used, span) in &written[at].uses {
            if used == start {
                let mut path = vec![at];
                while path.last() != Some(&start) {
                    path.push(from[*path.last()?]?);
                }
                path.reverse();
                return Some((path, span));
            }
            if from[used].is_none() {
                from[used] = Some(at);
                queue.push_back(used);
            }
        }
    }
    None
}

fn too_deep(sheet: &mut Sheet<'_>, kind: &Written<'_>) {
    let message = format!(
        "`{}` is made of kinds more than {MAX_DEPTH} deep",
        shown(kind.name)
    );
    let found = Diagnostic::error(codes::TOO_DEEP, kind.name_span, message).labelled("too deep");
    sheet.push(found.hint("compose it of fewer layers"));
}

/// The composed kind; `None` if something is wrong with it or with one that it is made of.
fn compose<'a>(sheet: &mut Sheet<'_>, kind: &Written<'a>, kinds: &Kinds<'a, '_>) -> Option<Composed<'a>> {
    let errors = sheet.errors();
    let left = left(sheet, &kind.parameters);
    let fields = kind.parts.clone();
    let mut draft = fields.map_or(Some(Draft::default()), |fields| {
        parts::read(sheet, fields, kinds, &left)
    })?;
    if draft.parts.is_empty() && kind.parts.is_none() {
        let message = format!("`{}` is made of nothing", shown(kind.name));
        let found = Diagnostic::error(codes::NO_PART, kind.name_span, message).labelled("has no part");
        sheet.push(found.hint(format!(
            "add `[kind.{}.part.ID]` with `kind = \"…\"`",
            shown(kind.name)
        )));
    }
    unpin(sheet, &mut draft);
    let (ports, parameters) = outside(sheet, kind, &draft);
    let known = Parts::of(&draft);
    let exposed: Vec<PortRef> = ports.iter().map(|(_, port)| *port).collect();
    joints::read(sheet, &draft.parts, &known, &exposed);
    let links = looked_up(&draft, &known);
    let weights = kind
        .likelihood
        .clone()
        .map(|fields| likelihood::read(sheet, Some(fields), &draft.parts, &known));
    let sound = sheet.errors() == errors && draft.parts.iter().all(|part| part.kind.is_some());
    if !sound {
        return None;
    }
    for (part, links) in draft.parts.iter_mut().zip(links) {
        part.links = links;
    }
    for (part, weights) in draft.parts.iter_mut().zip(weights.unwrap_or_default()) {
        part.weights = Some(weights);
    }
    Some(Composed {
        name: kind.name,
        draft,
        ports,
        parameters,
    })
}

/// The parameters of inner parts that are left to users, as part and name.
fn left<'a>(sheet: &Sheet<'_>, parameters: &[Field<'a>]) -> Left<'a> {
    let targets = parameters.iter().flat_map(|field| field.all_quoted(sheet));
    targets
        .filter_map(|target| target.text.rsplit_once('.'))
        .collect()
}

/// A kind can be used twice, and two parts cannot stand in one place.
fn unpin(sheet: &mut Sheet<'_>, draft: &mut Draft<'_>) {
    for part in &mut draft.parts {
        if let Some((_, span)) = part.pinned.take() {
            let found = Diagnostic::error(
                codes::SAME_PLACE,
                span,
                "a part of a composed kind takes no place",
            );
            sheet.push(
                found
                    .labelled("every use would stand here")
                    .hint("leave `place` out"),
            );
        }
    }
}

type Outside<'a> = (Vec<(&'a str, PortRef)>, Vec<(&'a str, Vec<(usize, usize)>)>);

/// The ports and parameters that users may name.
fn outside<'a>(sheet: &mut Sheet<'_>, kind: &Written<'a>, draft: &Draft<'a>) -> Outside<'a> {
    let known = Parts::of(draft);
    let (mut ports, mut parameters) = (Vec::new(), Vec::new());
    let mut names: BTreeMap<&str, Span> = BTreeMap::new();
    for field in &kind.ports {
        name(sheet, field, &mut names);
        let port = field.text(sheet).and_then(|text| known.port(sheet, text).ok());
        ports.extend(port.map(|port| (field.key, port)));
    }
    for field in &kind.parameters {
        name(sheet, field, &mut names);
        let targets = field.texts(sheet).unwrap_or_default();
        let behind: Option<Vec<_>> = targets
            .into_iter()
            .map(|text| known.parameter(sheet, text))
            .collect();
        parameters.extend(behind.map(|behind| (field.key, behind.concat())));
    }
    (ports, parameters)
}

/// A name for the outside: a key that a part can have, once.
fn name<'a>(sheet: &mut Sheet<'_>, field: &Field<'a>, names: &mut BTreeMap<&'a str, Span>) {
    legal_id(sheet, field.key, field.key_span);
    if OWN_KEYS.contains(&field.key) {
        let message = format!("`{}` is a key of every part", shown(field.key));
        let found = Diagnostic::error(codes::NAME_OUTSIDE, field.key_span, message).labelled("taken");
        sheet.push(found.hint("give it another name"));
    }
    if let Some(first) = names.insert(field.key, field.key_span) {
        let message = format!("`{}` is both a port and a parameter", shown(field.key));
        let found = Diagnostic::error(codes::NAME_OUTSIDE, field.key_span, message).labelled("again");
        sheet.push(
            found
                .other(first, "first here")
                .hint("give one of them another name"),
        );
    }
}

/// Every part's connections with their targets found; what leads nowhere has been said.
fn looked_up<'a>(draft: &Draft<'a>, known: &Parts<'_>) -> Vec<Vec<Link<'a>>> {
    let found = |link: &Link<'a>| match link.target {
        Target::Inside(_) => Some(link.clone()),
        Target::Written(text) => Some(Link {
            port: link.port,
            target: Target::Inside(known.known_port(text.text)?),
        }),
    };
    draft
        .parts
        .iter()
        .map(|part| part.links.iter().filter_map(found).collect())
        .collect()
}
