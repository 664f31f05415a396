//! Looking up what one place of a file says about another: parts, ports, accesses.
//!
//! A name that leads nowhere is found here once, with its nearest spelling. A part whose kind is not known is a part all
//! the same: nothing is said about its ports, because the kind has been found already.

use super::draft::{Draft, Group};
use crate::codes;
use crate::fields::Quoted;
use crate::kind::KindSpec;
use crate::model::{PartId, PortRef};
use crate::sheet::{Sheet, article, listed, shown};
use diag::{Diagnostic, Span};
use std::collections::BTreeMap;
use std::ops::Range;

/// A set of ids of one sort, in the order of the file.
#[derive(Debug)]
pub(super) struct Ids<'a> {
    what: &'static str,
    code: &'static str,
    order: Vec<&'a str>,
    index: BTreeMap<&'a str, usize>,
}

impl<'a> Ids<'a> {
    pub(super) fn parts(ids: impl IntoIterator<Item = &'a str>) -> Self {
        Self::new("part", codes::UNKNOWN_PART, ids)
    }

    pub(super) fn accesses(ids: impl IntoIterator<Item = &'a str>) -> Self {
        Self::new("access", codes::UNKNOWN_ACCESS, ids)
    }

    fn new(what: &'static str, code: &'static str, ids: impl IntoIterator<Item = &'a str>) -> Self {
        let order: Vec<_> = ids.into_iter().collect();
        let index = order.iter().enumerate().map(|(index, id)| (*id, index)).collect();
        Self {
            what,
            code,
            order,
            index,
        }
    }

    pub(super) fn get(&self, id: &str) -> Option<usize> {
        self.index.get(id).copied()
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = &'a str> + '_ {
        self.order.iter().copied()
    }

    /// The id at `index`, which came from here.
    pub(super) fn name(&self, index: usize) -> &'a str {
        self.order.get(index).copied().unwrap_or("?")
    }

    /// The index of `id`; finds that there is none.
    pub(super) fn find(&self, sheet: &mut Sheet<'_>, id: &str, span: Span) -> Option<usize> {
        if let Some(index) = self.get(id) {
            return Some(index);
        }
        let what = self.what;
        let found = Diagnostic::error(self.code, span, format!("there is no {what} `{}`", shown(id)));
        sheet.push(
            found
                .labelled(format!("no such {what}"))
                .maybe_hint(sheet.suggest(id, self.iter())),
        );
        None
    }
}

/// Why a port could not be found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Doubt {
    /// Some port of this part is meant.
    Part(usize),
    /// Any port may be meant.
    Any,
}

/// The parts of a file with their kinds, as far as known.
#[derive(Debug)]
pub(super) struct Parts<'a> {
    pub(super) ids: Ids<'a>,
    pub(super) kinds: Vec<Option<&'static KindSpec>>,
    groups: &'a [Group<'a>],
    by_id: BTreeMap<&'a str, usize>,
}

impl<'a> Parts<'a> {
    pub(super) fn of(draft: &'a Draft<'_>) -> Self {
        Self {
            ids: Ids::parts(draft.parts.iter().map(|part| part.id.as_ref())),
            kinds: draft.parts.iter().map(|part| part.kind).collect(),
            groups: &draft.groups,
            by_id: (draft.groups.iter().enumerate())
                .map(|(index, group)| (group.id.as_str(), index))
                .collect(),
        }
    }

    /// The composed part called `id`.
    pub(super) fn group(&self, id: &str) -> Option<&'a Group<'a>> {
        self.groups.get(*self.by_id.get(id)?)
    }

    /// `true` for a part, composed or not.
    pub(super) fn is_part(&self, id: &str) -> bool {
        self.ids.get(id).is_some() || self.group(id).is_some()
    }

    /// `true` for a part of a composed part whose kind has something wrong with it.
    fn in_doubt(&self, id: &str) -> bool {
        let outer = |(at, _): (usize, &str)| {
            self.ids
                .get(&id[..at])
                .is_some_and(|part| self.kinds[part].is_none())
        };
        id.match_indices('.').any(outer)
    }

    /// The part called `id`, which is not a composed one; finds that there is none.
    pub(super) fn find(&self, sheet: &mut Sheet<'_>, id: &str, span: Span) -> Option<usize> {
        if let Some(group) = self.group(id) {
            let message = format!("`{}` is made of several parts", shown(id));
            let found = Diagnostic::error(codes::UNKNOWN_PART, span, message).labelled("which of them?");
            let members: Vec<&str> = group.members.clone().map(|part| self.ids.name(part)).collect();
            sheet.push(
                found.maybe_hint(listed(&members).map(|list| format!("name one of them, in quotes: {list}"))),
            );
            return None;
        }
        if self.in_doubt(id) {
            return None;
        }
        self.ids.find(sheet, id, span)
    }

    /// The parts that `id` stands for: one, or those that a composed part is made of. Finds that there is none.
    pub(super) fn members(&self, sheet: &mut Sheet<'_>, id: &str, span: Span) -> Option<Range<usize>> {
        if let Some(group) = self.group(id) {
            return Some(group.members.clone());
        }
        self.find(sheet, id, span).map(|part| part..part + 1)
    }

    /// What a port of a composed part is called by its users: the outermost name first.
    pub(super) fn outer_name(&self, port: PortRef) -> Option<(&'a str, &'a str)> {
        self.groups.iter().find_map(|group| {
            let named = group.ports.iter().find(|(_, inner)| *inner == port)?;
            Some((group.id.as_str(), named.0))
        })
    }

    /// The port written `part.port`, if there is one.
    pub(super) fn known_port(&self, text: &str) -> Option<PortRef> {
        let (id, name) = text.rsplit_once('.')?;
        if let Some(group) = self.group(id) {
            return group
                .ports
                .iter()
                .find(|(known, _)| *known == name)
                .map(|(_, port)| *port);
        }
        let part = self.ids.get(id)?;
        let port = self.kinds[part]?.port(name)?;
        Some(PortRef {
            part: PartId(part),
            port,
        })
    }

    /// The port written `part.port`; finds why there is none.
    pub(super) fn port(&self, sheet: &mut Sheet<'_>, text: Quoted<'_>) -> Result<PortRef, Doubt> {
        if let Some(port) = self.known_port(text.text) {
            return Ok(port);
        }
        let part = self.ids.get(text.text).is_some() || self.group(text.text).is_some();
        let Some((id, port)) = text.text.rsplit_once('.').filter(|_| !part) else {
            return Err(self.without_dot(sheet, text));
        };
        let span = text.part(Span::new(id.len() + 1, text.text.len()));
        let message = format!("`{}` has no port `{}`", shown(id), shown(port));
        if let Some(group) = self.group(id) {
            let found = Diagnostic::error(codes::UNKNOWN_PORT, span, message)
                .labelled(format!("not a port of `{}`", shown(group.kind)));
            sheet.push(found.maybe_hint(sheet.suggest(port, group.ports.iter().map(|(name, _)| *name))));
            return Err(Doubt::Part(group.members.start));
        }
        let Some(part) = self.ids.get(id) else {
            self.find(sheet, id, text.part(Span::new(0, id.len())));
            return Err(self.likely(sheet, id));
        };
        let Some(kind) = self.kinds[part] else {
            return Err(Doubt::Part(part));
        };
        let found = Diagnostic::error(codes::UNKNOWN_PORT, span, message)
            .labelled(format!("not a port of {}", article(kind.name)));
        sheet.push(found.maybe_hint(sheet.suggest(port, kind.ports.iter().map(|port| port.name))));
        Err(Doubt::Part(part))
    }

    /// Part and parameter behind `part.parameter`; finds why there is none. Of a composed part they may be several.
    pub(super) fn parameter(&self, sheet: &mut Sheet<'_>, text: Quoted<'_>) -> Option<Vec<(usize, usize)>> {
        let Some((id, name)) = text.text.rsplit_once('.') else {
            let message = format!("`{}` names no parameter", shown(text.text));
            let found = Diagnostic::error(codes::UNKNOWN_PARAMETER, text.span, message);
            sheet.push(found.labelled("a parameter is written `part.parameter`"));
            return None;
        };
        let span = text.part(Span::new(id.len() + 1, text.text.len()));
        let (found, names): (_, Vec<&str>) = if let Some(group) = self.group(id) {
            let behind = group.parameters.iter().find(|(known, _)| *known == name);
            (
                behind.map(|(_, behind)| behind.clone()),
                group.parameters.iter().map(|(name, _)| *name).collect(),
            )
        } else {
            let part = self.find(sheet, id, text.part(Span::new(0, id.len())))?;
            let kind = self.kinds[part]?;
            let index = kind.parameter(name);
            (
                index.map(|index| vec![(part, index)]),
                kind.parameters.iter().map(|spec| spec.name).collect(),
            )
        };
        if found.is_none() {
            let message = format!("`{}` has no parameter `{}`", shown(id), shown(name));
            let finding =
                Diagnostic::error(codes::UNKNOWN_PARAMETER, span, message).labelled("no such parameter");
            sheet.push(finding.maybe_hint(sheet.suggest(name, names)));
        }
        found
    }

    fn without_dot(&self, sheet: &mut Sheet<'_>, text: Quoted<'_>) -> Doubt {
        let found = Diagnostic::error(
            codes::UNKNOWN_PORT,
            text.span,
            format!("`{}` names no port", shown(text.text)),
        )
        .labelled("a port is written `part.port`");
        let group = self.group(text.text);
        let part = group.map_or_else(|| self.ids.get(text.text), |group| Some(group.members.start));
        let kind = part.and_then(|part| self.kinds[part]);
        let names: Vec<&str> = match (group, kind) {
            (Some(group), _) => group.ports.iter().map(|(name, _)| *name).collect(),
            (None, Some(kind)) => kind.ports.iter().map(|port| port.name).collect(),
            (None, None) => Vec::new(),
        };
        let ports: Vec<String> = names
            .iter()
            .map(|name| format!("`{}.{name}`", shown(text.text)))
            .collect();
        sheet.push(found.maybe_hint((!ports.is_empty()).then(|| format!("its ports: {}", ports.join(", ")))));
        part.map_or_else(|| self.likely(sheet, text.text), Doubt::Part)
    }

    /// The part that an unknown name most likely means.
    fn likely(&self, sheet: &Sheet<'_>, id: &str) -> Doubt {
        let near = sheet.nearest(id, self.ids.iter());
        near.and_then(|near| self.ids.get(near))
            .map_or(Doubt::Any, Doubt::Part)
    }
}

/// Finds ids that are not made of letters, digits, `-` and `_`.
pub(super) fn legal_id(sheet: &mut Sheet<'_>, id: &str, span: Span) -> bool {
    let legal = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    if !id.is_empty() && id.chars().all(legal) {
        return true;
    }
    let better: String = id
        .trim()
        .chars()
        .map(|c| if legal(c) { c } else { '-' })
        .collect();
    let found = Diagnostic::error(
        codes::ILLEGAL_ID,
        span,
        format!("`{}` cannot be a name", shown(id)),
    )
    .labelled("letters, digits, `-` and `_` only");
    let better = (better.chars().any(|c| c.is_ascii_alphanumeric()))
        .then(|| format!("for instance `{}`", shown(&better)));
    sheet.push(found.maybe_hint(better));
    false
}

/// Finds names of one sort that differ in capital letters only.
pub(super) fn distinct<'a>(sheet: &mut Sheet<'_>, names: impl IntoIterator<Item = (&'a str, Span)>) {
    let mut seen: BTreeMap<String, (&str, Span)> = BTreeMap::new();
    for (name, span) in names {
        match seen.get(&name.to_lowercase()) {
            Some(&(first, other)) => {
                let message = format!("`{}` and `{}` differ in capitals only", shown(first), shown(name));
                let found = Diagnostic::error(codes::SAME_BUT_CASE, span, message);
                sheet.push(
                    found
                        .labelled("too much like the other")
                        .other(other, "the other"),
                );
            }
            None => drop(seen.insert(name.to_lowercase(), (name, span))),
        }
    }
}
