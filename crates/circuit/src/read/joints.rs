//! Joints: the sets of ports that connections join, directly or through others.
//!
//! Ports are numbered through all parts and united pairwise. Everything said about a connection is said where it is
//! written; what is missing is said at the part's header, unless a connection that leads nowhere may have been meant.

use super::draft::{DraftPart, Target};
use super::names::{Doubt, Parts};
use crate::codes;
use crate::kind::{Medium, PortSpec, Symbol};
use crate::model::{PartId, PortRef};
use crate::sheet::Sheet;
use diag::{Diagnostic, Span};
use std::collections::BTreeMap;

/// Which ports meet.
#[derive(Debug)]
pub(super) struct Joints {
    /// The ports of each joint, the naming one first; joints in the order of their naming ports.
    pub(super) ports: Vec<Vec<PortRef>>,
    /// Per part, per port.
    pub(super) at: Vec<Vec<Option<usize>>>,
    /// `true` if a connection is missing or leads nowhere, so that whatever is cut off may be so because of it.
    pub(super) incomplete: bool,
}

/// The joints of `draft`. Ports in `outside` are joined where it is used.
pub(super) fn read(
    sheet: &mut Sheet<'_>,
    draft: &[DraftPart<'_>],
    parts: &Parts<'_>,
    outside: &[PortRef],
) -> Joints {
    let mut builder = Builder::new(sheet, parts);
    for port in outside {
        let number = builder.number(*port);
        builder.joined[number] = true;
    }
    for (index, part) in draft.iter().enumerate() {
        builder.stray(part);
        for &port in &part.unreadable {
            builder.doubt(
                PortRef {
                    part: PartId(index),
                    port,
                },
                Doubt::Any,
            );
        }
        for link in &part.links {
            let from = PortRef {
                part: PartId(index),
                port: link.port,
            };
            match link.target {
                Target::Inside(to) => builder.unite(from, to),
                Target::Written(text) => match parts.port(builder.sheet, text) {
                    Ok(to) => builder.connect(from, to, text.span),
                    Err(doubt) => builder.doubt(from, doubt),
                },
            }
        }
    }
    let doubtful =
        builder.any_doubt || builder.doubts.contains(&true) || parts.kinds.iter().any(Option::is_none);
    let incomplete = builder.unjoined(draft) || doubtful;
    builder.finish(incomplete)
}

struct Builder<'s, 't, 'p> {
    sheet: &'s mut Sheet<'t>,
    parts: &'p Parts<'p>,
    /// Number of each part's first port.
    first: Vec<usize>,
    /// Union of numbered ports: a smaller number of the same set, or itself.
    parent: Vec<usize>,
    /// Whether something is, or is meant to be, joined to a numbered port.
    joined: Vec<bool>,
    /// Pairs stated so far, with their places.
    stated: BTreeMap<(PortRef, PortRef), Span>,
    /// Parts to which a connection that leads nowhere may have been meant to go.
    doubts: Vec<bool>,
    any_doubt: bool,
}

impl<'s, 't, 'p> Builder<'s, 't, 'p> {
    fn new(sheet: &'s mut Sheet<'t>, parts: &'p Parts<'p>) -> Self {
        let mut first = vec![0];
        for kind in &parts.kinds {
            first.push(first.last().unwrap_or(&0) + kind.map_or(0, |kind| kind.ports.len()));
        }
        let count = first.last().copied().unwrap_or(0);
        Self {
            sheet,
            parts,
            first,
            parent: (0..count).collect(),
            joined: vec![false; count],
            stated: BTreeMap::new(),
            doubts: vec![false; parts.kinds.len()],
            any_doubt: false,
        }
    }

    /// What a part of unknown kind may have been joined to.
    fn stray(&mut self, part: &DraftPart<'_>) {
        for text in &part.strays {
            let Some((id, _)) = text.rsplit_once('.') else {
                continue;
            };
            if let Some(port) = self.parts.known_port(text) {
                let number = self.number(port);
                self.joined[number] = true;
            } else if let Some(part) = self.parts.ids.get(id) {
                self.doubts[part] = true;
            }
        }
        self.any_doubt |= part.kind.is_none() && part.strays.is_empty();
    }

    fn doubt(&mut self, from: PortRef, doubt: Doubt) {
        let from = self.number(from);
        self.joined[from] = true;
        match doubt {
            Doubt::Part(part) => self.doubts[part] = true,
            Doubt::Any => self.any_doubt = true,
        }
    }

    fn unite(&mut self, from: PortRef, to: PortRef) {
        let (a, b) = (self.number(from), self.number(to));
        self.joined[a] = true;
        self.joined[b] = true;
        let (a, b) = (self.root(a), self.root(b));
        self.parent[a.max(b)] = a.min(b);
    }

    fn connect(&mut self, from: PortRef, to: PortRef, span: Span) {
        if self.fits(from, to, span) {
            self.unite(from, to);
        } else {
            for port in [from, to] {
                let number = self.number(port);
                self.joined[number] = true;
            }
            // Whatever was meant instead is most likely at the same two parts.
            self.doubts[from.part.0] = true;
            self.doubts[to.part.0] = true;
        }
    }

    /// Whether two ports can be joined; finds why not.
    fn fits(&mut self, from: PortRef, to: PortRef, span: Span) -> bool {
        let (from_name, to_name) = (self.name(from), self.name(to));
        if from == to {
            let found = Diagnostic::error(
                codes::SELF_JOINED,
                span,
                format!("`{to_name}` is joined to itself"),
            );
            self.sheet.push(found.labelled("this very port"));
            return false;
        }
        let (here, there) = (self.spec(from).medium, self.spec(to).medium);
        if here != there {
            let message = format!(
                "`{from_name}` carries {}, `{to_name}` {}",
                medium_word(here),
                medium_word(there)
            );
            let found = Diagnostic::error(codes::MEDIA, span, message)
                .labelled(format!("carries {}", medium_word(there)));
            let hint = self.sheet_hint(to, here);
            self.sheet.push(found.maybe_hint(hint));
            return false;
        }
        if from.part == to.part {
            let message = format!("`{from_name}` and `{to_name}` are both ends of the same part");
            let found = Diagnostic::error(codes::SHORTED, span, message).labelled("passes the part by");
            self.sheet.push(found.hint("join each end to another part"));
            return false;
        }
        let pair = (from.min(to), from.max(to));
        if let Some(&earlier) = self.stated.get(&pair) {
            let message = format!("`{from_name}` and `{to_name}` are joined already");
            let found = Diagnostic::warning(codes::STATED_TWICE, span, message).labelled("again");
            self.sheet.push(found.other(earlier, "stated here"));
        } else {
            self.stated.insert(pair, span);
        }
        true
    }

    /// The ports of the part of `port` that carry `medium`.
    fn sheet_hint(&self, port: PortRef, medium: Medium) -> Option<String> {
        let id = self.parts.ids.name(port.part.0);
        let kind = self.parts.kinds[port.part.0]?;
        let fitting: Vec<_> = kind
            .ports
            .iter()
            .filter(|port| port.medium == medium)
            .map(|port| format!("`{id}.{}`", port.name))
            .collect();
        (!fitting.is_empty())
            .then(|| format!("`{id}` carries {} at {}", medium_word(medium), fitting.join(", ")))
    }

    /// Finds ports that must be joined and are not. `true` if there is one.
    fn unjoined(&mut self, draft: &[DraftPart<'_>]) -> bool {
        let mut missing = false;
        for (index, part) in draft.iter().enumerate() {
            let Some(kind) = part.kind.filter(|_| !self.any_doubt && !self.doubts[index]) else {
                continue;
            };
            let open = |(port, spec): &(usize, &PortSpec)| {
                !spec.may_stay_open && !self.joined[self.first[index] + port]
            };
            let name = |(port, spec): (usize, &'static PortSpec)| {
                let port = PortRef {
                    part: PartId(index),
                    port,
                };
                let own = || (self.parts.ids.name(index), spec.name);
                self.parts.outer_name(port).unwrap_or_else(own)
            };
            let names: Vec<_> = kind.ports.iter().enumerate().filter(open).map(name).collect();
            let Some((_, first)) = names.first() else { continue };
            missing = true;
            let listed: Vec<_> = names.iter().map(|(id, name)| format!("`{id}.{name}`")).collect();
            let message = format!("nothing is joined to {}", listed.join(", "));
            let found = Diagnostic::error(codes::NOT_JOINED, part.id_span, message).labelled("left open");
            self.sheet.push(found.hint(format!(
                "add `{first} = \"part.port\"` here, or name this port at another part"
            )));
        }
        missing
    }

    fn finish(mut self, incomplete: bool) -> Joints {
        let mut sets: BTreeMap<usize, Vec<PortRef>> = BTreeMap::new();
        for part in 0..self.parts.kinds.len() {
            for port in 0..self.first[part + 1] - self.first[part] {
                let root = self.root(self.first[part] + port);
                sets.entry(root).or_default().push(PortRef {
                    part: PartId(part),
                    port,
                });
            }
        }
        let mut ports: Vec<_> = sets.into_values().filter(|set| set.len() > 1).collect();
        for set in &mut ports {
            // Stable, so that the order of the file decides between equals.
            set.sort_by_key(|port| self.naming_rank(*port));
        }
        ports.sort_by_key(|set| set[0]);
        let mut at: Vec<Vec<_>> = (0..self.parts.kinds.len())
            .map(|part| vec![None; self.first[part + 1] - self.first[part]])
            .collect();
        for (joint, set) in ports.iter().enumerate() {
            for port in set {
                at[port.part.0][port.port] = Some(joint);
            }
        }
        Joints {
            ports,
            at,
            incomplete,
        }
    }

    /// A technician names a joint by the part, not by the line that leads there; a plug or a ground point before a line.
    fn naming_rank(&self, port: PortRef) -> u8 {
        match self.parts.kinds[port.part.0].map(|kind| kind.symbol) {
            Some(Symbol::Hose | Symbol::Wire) => 2,
            Some(Symbol::Connector | Symbol::Ground | Symbol::Chassis) => 1,
            _ => 0,
        }
    }

    fn number(&self, port: PortRef) -> usize {
        self.first[port.part.0] + port.port
    }

    fn root(&mut self, mut number: usize) -> usize {
        while self.parent[number] != number {
            self.parent[number] = self.parent[self.parent[number]];
            number = self.parent[number];
        }
        number
    }

    /// Only for ports that were found, so that their kind is known.
    fn spec(&self, port: PortRef) -> &'static PortSpec {
        const UNKNOWN: PortSpec = PortSpec {
            name: "?",
            medium: Medium::Air,
            may_stay_open: true,
            unplugs: false,
            what: "",
        };
        self.parts.kinds[port.part.0]
            .and_then(|kind| kind.ports.get(port.port))
            .unwrap_or(&UNKNOWN)
    }

    fn name(&self, port: PortRef) -> String {
        format!("{}.{}", self.parts.ids.name(port.part.0), self.spec(port).name)
    }
}

/// What flows, in a sentence.
pub(super) fn medium_word(medium: Medium) -> &'static str {
    match medium {
        Medium::Air => "air",
        Medium::Electric => "electric current",
        Medium::Rod => "the movement of a rod",
        Medium::Liquid => "liquid",
    }
}
