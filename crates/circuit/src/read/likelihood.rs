//! `[likelihood]` and `[[common-cause]]`: how often which fault, and what makes parts fail together.
//!
//! A kind's faults share the kind's weight by their shares. An author may set the weight of one fault, of a whole part,
//! or of both: then the part's other faults share what is left. A composed kind may state the weights of its inner parts in the
//! same way; every part of that kind brings them, and a weight for the whole scales them.

use super::draft::DraftPart;
use super::names::Parts;
use crate::codes;
use crate::fields::{Field, Fields, Quoted};
use crate::kind::KindSpec;
use crate::model::{CommonCause, PartId};
use crate::sheet::{Sheet, shown};
use diag::{Diagnostic, Span};
use std::ops::Range;

/// Weights beyond which a figure is a slip of the pen; the kinds' own are below 100.
const MAX_WEIGHT: f64 = 1e6;
/// Greatest factor of a common cause. A second fault is seldom rarer than one in a thousand.
const MAX_FACTOR: f64 = 1000.0;

/// What an author says of one part's faults.
#[derive(Debug, Clone, Default)]
struct Stated {
    whole: Option<(f64, Span)>,
    single: Vec<(usize, f64)>,
}

/// The weights of every part's faults.
pub(super) fn read(
    sheet: &mut Sheet<'_>,
    fields: Option<Fields<'_>>,
    draft: &[DraftPart<'_>],
    parts: &Parts<'_>,
) -> Vec<Vec<f64>> {
    let span = fields.as_ref().map(|fields| fields.span);
    let mut stated = vec![Stated::default(); draft.len()];
    let mut groups: Vec<(Range<usize>, f64, Field<'_>)> = Vec::new();
    for field in fields.map(|mut fields| fields.take_all()).unwrap_or_default() {
        match parts.group(field.key) {
            Some(group) => {
                let weight = field.number(sheet, 0.0, MAX_WEIGHT);
                groups.extend(weight.map(|weight| (group.members.clone(), weight, field)));
            }
            None => entry(sheet, &field, parts, &mut stated),
        }
    }
    let mut weights: Vec<Vec<f64>> = draft
        .iter()
        .zip(&stated)
        .map(|(part, stated)| {
            part.kind
                .map(|kind| {
                    let usual = part.weights.clone().unwrap_or_else(|| usual(kind));
                    weights(sheet, &part.id, usual, stated)
                })
                .unwrap_or_default()
        })
        .collect();
    let mut fixed: Vec<bool> = stated
        .iter()
        .map(|stated| stated.whole.is_some() || !stated.single.is_empty())
        .collect();
    // Inner groups first: what is said of them stands when the outer one shares out the rest.
    groups.sort_by_key(|(members, ..)| members.len());
    for (members, weight, field) in groups {
        share_out(
            sheet,
            &field,
            weight,
            &mut weights[members.clone()],
            &mut fixed[members],
        );
    }
    let all_known = draft.iter().all(|part| part.kind.is_some());
    if let Some(span) = span
        .filter(|_| all_known && !draft.is_empty() && weights.iter().flatten().all(|weight| *weight <= 0.0))
    {
        let found = Diagnostic::error(codes::NO_FAULT, span, "every fault has the weight 0");
        sheet.push(found.labelled("nothing is left to look for"));
    }
    weights
}

fn entry(sheet: &mut Sheet<'_>, field: &Field<'_>, parts: &Parts<'_>, stated: &mut [Stated]) {
    let key = field.key_text(sheet);
    let (id, fault) = match key.text.split_once('/') {
        Some((id, fault)) => (id, Some(fault)),
        None => (key.text, None),
    };
    let Some(part) = parts.find(sheet, id, key.part(Span::new(0, id.len()))) else {
        return;
    };
    let Some(kind) = parts.kinds[part] else { return };
    let weight = field.number(sheet, 0.0, MAX_WEIGHT);
    match fault {
        None => stated[part].whole = weight.map(|weight| (weight, field.span)),
        Some(name) => {
            let fault = fault_index(sheet, key, id, name, kind);
            stated[part].single.extend(fault.zip(weight));
        }
    }
}

fn fault_index(
    sheet: &mut Sheet<'_>,
    key: Quoted<'_>,
    id: &str,
    name: &str,
    kind: &KindSpec,
) -> Option<usize> {
    let fault = kind.fault(name);
    if fault.is_none() {
        let span = key.part(Span::new(id.len() + 1, key.text.len()));
        let found = Diagnostic::error(
            codes::UNKNOWN_FAULT,
            span,
            format!("`{}` has no fault `{}`", shown(id), shown(name)),
        );
        let hint = sheet.suggest(name, kind.faults.iter().map(|fault| fault.name));
        sheet.push(found.labelled("no such fault").maybe_hint(hint));
    }
    fault
}

/// The weights that a shipped kind brings.
fn usual(kind: &KindSpec) -> Vec<f64> {
    let shares: f64 = kind.faults.iter().map(|fault| fault.share).sum();
    let own = |share: f64| {
        if shares > 0.0 {
            kind.weight * share / shares
        } else {
            0.0
        }
    };
    kind.faults.iter().map(|fault| own(fault.share)).collect()
}

/// The weights of one part's faults: the usual ones, and what is stated.
fn weights(sheet: &mut Sheet<'_>, id: &str, mut weights: Vec<f64>, stated: &Stated) -> Vec<f64> {
    for &(fault, weight) in &stated.single {
        weights[fault] = weight;
    }
    if let Some((whole, span)) = stated.whole {
        scale_the_rest(sheet, id, &mut weights, &stated.single, whole, span);
    }
    weights
}

/// Makes the weights sum to `whole` by scaling those that were not stated one by one.
fn scale_the_rest(
    sheet: &mut Sheet<'_>,
    id: &str,
    weights: &mut [f64],
    single: &[(usize, f64)],
    whole: f64,
    span: Span,
) {
    let fixed: f64 = single.iter().map(|(_, weight)| weight).sum();
    let is_fixed = |fault: usize| single.iter().any(|(stated, _)| *stated == fault);
    let rest: f64 = weights
        .iter()
        .enumerate()
        .filter(|(fault, _)| !is_fixed(*fault))
        .map(|(_, weight)| weight)
        .sum();
    let left = whole - fixed;
    // Rounding of the sum of a handful of numbers an author wrote.
    let slack = 1e-9 * whole.max(fixed);
    if left < -slack || rest <= 0.0 && left > slack {
        let message = format!("the faults of `{}` cannot add up to {whole}", shown(id));
        let found = Diagnostic::error(codes::WEIGHTS, span, message)
            .labelled(format!("its single faults have {fixed} already"));
        sheet.push(found.hint("leave out the weight of the part, or of one of its faults"));
        return;
    }
    for (_, weight) in weights
        .iter_mut()
        .enumerate()
        .filter(|(fault, _)| !is_fixed(*fault))
    {
        *weight = if rest > 0.0 {
            *weight * left.max(0.0) / rest
        } else {
            0.0
        };
    }
}

/// Makes the weights of a composed part's parts sum to `whole` by scaling those of parts of which nothing is said.
fn share_out(
    sheet: &mut Sheet<'_>,
    field: &Field<'_>,
    whole: f64,
    weights: &mut [Vec<f64>],
    fixed: &mut [bool],
) {
    let sum = |weights: &[Vec<f64>], fixed: &[bool], which: bool| -> f64 {
        let of = weights.iter().zip(fixed).filter(|(_, fixed)| **fixed == which);
        of.flat_map(|(weights, _)| weights).sum()
    };
    let (said, rest) = (sum(weights, fixed, true), sum(weights, fixed, false));
    let left = whole - said;
    // Rounding of the sum of a few hundred numbers.
    let slack = 1e-9 * whole.max(said);
    if left < -slack || rest <= 0.0 && left > slack {
        let message = format!("the parts of `{}` cannot add up to {whole}", shown(field.key));
        let found = Diagnostic::error(codes::WEIGHTS, field.span, message);
        let found = found.labelled(format!("those with a weight of their own have {said} already"));
        sheet.push(found.hint("leave out the weight of the whole, or of one of its parts"));
        return;
    }
    for (weights, fixed) in weights.iter_mut().zip(fixed) {
        for weight in weights.iter_mut().filter(|_| !*fixed) {
            *weight = if rest > 0.0 {
                *weight * left.max(0.0) / rest
            } else {
                0.0
            };
        }
        *fixed = true;
    }
}

/// The common causes of a file.
pub(super) fn common_causes(
    sheet: &mut Sheet<'_>,
    tables: Vec<Fields<'_>>,
    parts: &Parts<'_>,
) -> Vec<CommonCause> {
    tables
        .into_iter()
        .filter_map(|fields| common_cause(sheet, fields, parts))
        .collect()
}

fn common_cause(sheet: &mut Sheet<'_>, mut fields: Fields<'_>, parts: &Parts<'_>) -> Option<CommonCause> {
    let what = fields
        .require("what", sheet, "\"oil from the cover seal\"")
        .and_then(|field| field.words(sheet));
    let listed = fields.require("parts", sheet, "[\"hose\", \"valve\"]");
    let ids = listed.and_then(|field| Some((field, self::parts(sheet, &field, parts)?)));
    let factor = fields
        .require("factor", sheet, "5")
        .and_then(|field| field.number(sheet, 1.0, MAX_FACTOR));
    fields.finish(sheet, &["what", "parts", "factor"]);
    Some(CommonCause {
        what: what?,
        parts: ids?.1,
        factor: factor?,
    })
}

/// At least two different parts; `None` if one of them is not known.
fn parts(sheet: &mut Sheet<'_>, field: &Field<'_>, parts: &Parts<'_>) -> Option<Vec<PartId>> {
    let texts = field.texts(sheet)?;
    let mut ids = Vec::new();
    for text in &texts {
        let members = parts.members(sheet, text.text, text.span);
        let listed: Vec<_> = members
            .clone()
            .unwrap_or_default()
            .map(|part| Some(PartId(part)))
            .collect();
        if listed.iter().any(|id| ids.contains(id)) {
            let found = Diagnostic::error(
                codes::PARTS_LISTED,
                text.span,
                format!("`{}` is listed twice", shown(text.text)),
            );
            sheet.push(found.labelled("again"));
        }
        ids.extend(if members.is_some() { listed } else { vec![None] });
    }
    if ids.len() < 2 {
        let found = Diagnostic::error(
            codes::PARTS_LISTED,
            field.span,
            "a common cause joins at least two parts",
        );
        sheet.push(found.labelled("one is not enough"));
    }
    ids.into_iter().collect()
}
