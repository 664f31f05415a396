//! Looking up what one place of a file says about another: parts, ports, accesses.
//!
//! A name that leads nowhere is found here once, with its nearest spelling. A part whose kind is not known is a part all
//! the same: nothing is said about its ports, because the kind has been found already.

use crate::codes;
use crate::fields::Quoted;
use crate::kind::KindSpec;
use crate::model::{PartId, PortRef};
use crate::sheet::{Sheet, article, shown};
use diag::{Diagnostic, Span};
use std::collections::BTreeMap;

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
}

impl Parts<'_> {
    /// The port written `part.port`; finds why there is none.
    pub(super) fn port(&self, sheet: &mut Sheet<'_>, text: Quoted<'_>) -> Result<PortRef, Doubt> {
        let Some((id, port)) = text.text.split_once('.') else {
            return Err(self.without_dot(sheet, text));
        };
        let Some(part) = self.ids.get(id) else {
            self.ids.find(sheet, id, text.part(Span::new(0, id.len())));
            return Err(self.likely(sheet, id));
        };
        let Some(kind) = self.kinds[part] else {
            return Err(Doubt::Part(part));
        };
        if let Some(port) = kind.port(port) {
            return Ok(PortRef {
                part: PartId(part),
                port,
            });
        }
        let span = text.part(Span::new(id.len() + 1, text.text.len()));
        let message = format!("`{}` has no port `{}`", shown(id), shown(port));
        let found = Diagnostic::error(codes::UNKNOWN_PORT, span, message)
            .labelled(format!("not a port of {}", article(kind.name)));
        sheet.push(found.maybe_hint(sheet.suggest(port, kind.ports.iter().map(|port| port.name))));
        Err(Doubt::Part(part))
    }

    fn without_dot(&self, sheet: &mut Sheet<'_>, text: Quoted<'_>) -> Doubt {
        let found = Diagnostic::error(
            codes::UNKNOWN_PORT,
            text.span,
            format!("`{}` names no port", shown(text.text)),
        )
        .labelled("a port is written `part.port`");
        let part = self.ids.get(text.text);
        let ports: Vec<String> = match part.and_then(|part| self.kinds[part]) {
            Some(kind) => kind
                .ports
                .iter()
                .map(|port| format!("`{}.{}`", text.text, port.name))
                .collect(),
            None => Vec::new(),
        };
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
