//! What is wrong with the id of a check that does not exist: its method, its place, its condition, or their meeting.

use crate::check::{Check, Method};
use crate::codes;
use crate::derive::find_check;
use crate::fields::Quoted;
use crate::kind::KindSpec;
use crate::model::Circuit;
use crate::sheet::{Sheet, listed, shown};
use diag::{Diagnostic, Span};

/// The names a check's id can be made of.
#[derive(Debug)]
pub(crate) struct Places<'a> {
    /// Parts with their kinds, where known.
    pub(crate) parts: Vec<(&'a str, Option<&'static KindSpec>)>,
    pub(crate) conditions: Vec<&'a str>,
}

impl<'a> Places<'a> {
    pub(crate) fn of(circuit: &'a Circuit) -> Self {
        Self {
            parts: circuit
                .parts
                .iter()
                .map(|part| (part.id.as_str(), Some(part.kind)))
                .collect(),
            conditions: circuit
                .conditions
                .iter()
                .map(|condition| condition.id.as_str())
                .collect(),
        }
    }

    /// `true` if `place` is a part or a port, or may be one as far as is known.
    fn holds(&self, place: &str) -> bool {
        let port = place.rsplit_once('.');
        self.parts.iter().any(|(part, kind)| {
            let holds = |port: &str| kind.is_none_or(|kind| kind.port(port).is_some());
            // Of a part of unknown kind nobody knows whether it is made of others.
            let inside = || {
                kind.is_none()
                    && place
                        .strip_prefix(*part)
                        .is_some_and(|rest| rest.starts_with('.'))
            };
            *part == place || port.is_some_and(|(id, port)| *part == id && holds(port)) || inside()
        })
    }

    fn nearest(&self, sheet: &Sheet<'_>, place: &str) -> Option<String> {
        let mut names: Vec<String> = Vec::new();
        for (id, kind) in &self.parts {
            let ported = kind.filter(|_| place.contains('.'));
            if ported.is_none() || id.contains('.') {
                names.push((*id).to_owned());
            }
            names.extend(
                ported
                    .into_iter()
                    .flat_map(|kind| kind.ports.iter().map(|port| format!("{id}.{}", port.name))),
            );
        }
        sheet
            .nearest(place, names.iter().map(String::as_str))
            .map(str::to_owned)
    }
}

/// One piece of an id: where it stands, and what it should be if it is wrong.
struct Piece<'a> {
    what: &'static str,
    text: &'a str,
    span: Span,
    wrong: bool,
    better: Option<String>,
}

/// Finds unknown names in `id`. `true` if there are none, so that the check may exist.
pub(crate) fn known_names(sheet: &mut Sheet<'_>, id: Quoted<'_>, places: &Places<'_>) -> bool {
    let Some(pieces) = pieces(sheet, id, places) else {
        let found = Diagnostic::error(
            codes::UNKNOWN_CHECK,
            id.span,
            format!("`{}` is not the id of a check", shown(id.text)),
        );
        sheet.push(
            found
                .labelled("written METHOD:PLACE@CONDITION")
                .hint("for instance `tee:valve.source@idle`"),
        );
        return false;
    };
    let better: Option<Vec<&str>> = pieces
        .iter()
        .map(|piece| {
            if piece.wrong {
                piece.better.as_deref()
            } else {
                Some(piece.text)
            }
        })
        .collect();
    let better = better.map(|better| format!("did you mean `{}:{}@{}`?", better[0], better[1], better[2]));
    for piece in pieces.iter().filter(|piece| piece.wrong) {
        let message = format!("there is no {} `{}`", piece.what, shown(piece.text));
        let hint = better.clone().or_else(|| choice(piece.what, places));
        sheet.push(
            Diagnostic::error(codes::UNKNOWN_CHECK, piece.span, message)
                .labelled(format!("no such {}", piece.what))
                .maybe_hint(hint),
        );
    }
    pieces.iter().all(|piece| !piece.wrong)
}

/// Method, place and condition of an id; `None` if it has not these three.
fn pieces<'a>(sheet: &Sheet<'_>, id: Quoted<'a>, places: &Places<'_>) -> Option<[Piece<'a>; 3]> {
    let (method, rest) = id.text.split_once(':')?;
    let (place, condition) = rest.split_once('@')?;
    let place_start = method.len() + 1;
    let condition_start = place_start + place.len() + 1;
    let at = |start: usize, text: &str| id.part(Span::new(start, start + text.len()));
    let words = || Method::ALL.iter().map(|method| method.word());
    Some([
        Piece {
            what: "method",
            text: method,
            span: at(0, method),
            wrong: !words().any(|word| word == method),
            better: sheet.nearest(method, words()).map(str::to_owned),
        },
        Piece {
            what: "place",
            text: place,
            span: at(place_start, place),
            wrong: !places.holds(place),
            better: places.nearest(sheet, place),
        },
        Piece {
            what: "condition",
            text: condition,
            span: at(condition_start, condition),
            wrong: !places.conditions.contains(&condition),
            better: sheet
                .nearest(condition, places.conditions.iter().copied())
                .map(str::to_owned),
        },
    ])
}

fn choice(what: &str, places: &Places<'_>) -> Option<String> {
    let names: Vec<&str> = match what {
        "method" => Method::ALL.iter().map(|method| method.word()).collect(),
        "condition" => places.conditions.clone(),
        _ => places.parts.iter().map(|(id, _)| *id).collect(),
    };
    listed(&names).map(|list| format!("known here: {list}"))
}

/// The index in `checks` of the check called `id`; finds why there is none.
pub(crate) fn find(
    sheet: &mut Sheet<'_>,
    id: Quoted<'_>,
    circuit: &Circuit,
    checks: &[Check],
) -> Option<usize> {
    if let Some(check) = find_check(circuit, checks, id.text) {
        return checks.iter().position(|other| other.id == check.id);
    }
    if known_names(sheet, id, &Places::of(circuit)) {
        not_made(sheet, id, circuit, checks);
    }
    None
}

/// Method, place and condition exist, but not together.
fn not_made(sheet: &mut Sheet<'_>, id: Quoted<'_>, circuit: &Circuit, checks: &[Check]) {
    let Some((start, condition)) = id.text.split_once('@') else {
        return;
    };
    let Some((method, place)) = start.split_once(':') else {
        return;
    };
    let other_conditions: Vec<&str> = circuit
        .conditions
        .iter()
        .map(|other| other.id.as_str())
        .filter(|other| find_check(circuit, checks, &format!("{start}@{other}")).is_some())
        .collect();
    let found = if other_conditions.is_empty() {
        let methods: Vec<&str> = Method::ALL
            .iter()
            .map(|method| method.word())
            .filter(|word| {
                circuit.conditions.iter().any(|other| {
                    find_check(circuit, checks, &format!("{word}:{place}@{}", other.id)).is_some()
                })
            })
            .collect();
        let span = id.part(Span::new(0, method.len()));
        let found = Diagnostic::error(
            codes::UNKNOWN_CHECK,
            span,
            format!("`{method}` is no check at `{}`", shown(place)),
        );
        found
            .labelled("not done there")
            .maybe_hint(listed(&methods).map(|list| format!("checks there: {list}")))
    } else {
        let span = id.part(Span::new(start.len() + 1, id.text.len()));
        let found = Diagnostic::error(
            codes::UNKNOWN_CHECK,
            span,
            format!("`{}` is no check in `{condition}`", shown(start)),
        );
        let hint = listed(&other_conditions).map(|list| format!("it is done in {list}"));
        found.labelled("tells nothing in this condition").maybe_hint(hint)
    };
    sheet.push(found);
}
