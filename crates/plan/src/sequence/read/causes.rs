//! The causes of a table, each for itself and all together.

use super::codes;
use super::fields::{Field, Fields, Key};
use super::setups::Setups;
use super::sheet::{Sheet, listed};
use super::syntax::place;
use super::unique;
use crate::sequence::table::Cause;
use diag::{Diagnostic, Span};
use jsonc_parser::ast::Value;

/// Most causes that are planned with. A plan may be as deep as there are causes, and the first one takes their square in time.
const MAX_CAUSES: usize = 5_000;

const CAUSE: &[Key] = &[
    Key::needed("name", "\"valve sticks\""),
    Key::needed("prior", "0.25"),
    Key::optional("repair"),
    Key::optional("repair_setup"),
];

/// A cause with the places that findings on several causes point to.
#[derive(Debug)]
pub(super) struct CauseRead {
    pub(super) cause: Cause,
    /// Of the name, or of the opening brace.
    pub(super) span: Span,
    /// `false` if the prior could not be read and stands as nothing.
    pub(super) prior: bool,
    /// Of the key, if a repair is given at all.
    pub(super) repair: Option<Span>,
    /// `true` if there is none, and none in another spelling.
    pub(super) lacks_repair: bool,
}

pub(super) fn read(
    sheet: &mut Sheet<'_>,
    field: &Field<'_, '_>,
    setups: &mut Setups,
) -> Option<Vec<CauseRead>> {
    let list = field.list(sheet)?;
    if list.is_empty() {
        let found = Diagnostic::error(codes::NO_CAUSE, field.span(), "the table has no cause");
        sheet.push(
            found
                .labelled("empty")
                .hint("add for instance `{\"name\": \"valve sticks\", \"prior\": 1}`"),
        );
    }
    if let Some(surplus) = list.get(MAX_CAUSES) {
        let message = format!(
            "the table has {} causes; at most {MAX_CAUSES} are planned with",
            list.len()
        );
        let found = Diagnostic::error(codes::TOO_LARGE, place(surplus), message).labelled("one too many");
        sheet.push(found.hint("join those that are repaired alike, or leave out the least likely"));
    }
    let causes: Vec<_> = list.iter().map(|value| cause(sheet, value, setups)).collect();
    unique(
        sheet,
        "causes",
        causes.iter().map(|read| (read.cause.name.as_str(), read.span)),
    );
    Some(causes)
}

fn cause(sheet: &mut Sheet<'_>, value: &Value<'_>, setups: &mut Setups) -> CauseRead {
    let fields = Fields::of(sheet, value, "a cause", CAUSE);
    let field = |key| fields.as_ref().and_then(|fields| fields.optional(key));
    let needed = |key| fields.as_ref().and_then(|fields| fields.needed(key));
    let name = needed("name");
    let repair = field("repair");
    let setup = field("repair_setup");
    let prior = needed("prior").and_then(|field| field.amount(sheet));
    let cause = Cause {
        name: name
            .and_then(|field| field.words(sheet))
            .unwrap_or_default()
            .to_owned(),
        prior: prior.unwrap_or_default(),
        repair: repair.and_then(|field| field.amount(sheet)),
        repair_setup: setup.and_then(|field| setups.find(sheet, &field)),
    };
    let lacks_repair = repair.is_none() && fields.as_ref().is_some_and(|fields| fields.nothing_else);
    if let Some(setup) = setup.filter(|_| lacks_repair) {
        let found = Diagnostic::warning(
            codes::SETUP_WITHOUT_REPAIR,
            setup.key_span,
            "a set-up for no repair",
        );
        sheet.push(
            found
                .labelled("counts for nothing")
                .hint("give the cause a `repair`, or take this out"),
        );
    }
    CauseRead {
        cause,
        span: name.map_or(place(value), |name| name.span()),
        prior: prior.is_some(),
        repair: repair.map(|field| field.key_span),
        lacks_repair,
    }
}

/// Either every cause has a repair or none; `wrong_cost` only where none has.
pub(super) fn repairs(
    sheet: &mut Sheet<'_>,
    causes: &[CauseRead],
    field: &Field<'_, '_>,
    wrong_cost: Option<&Field<'_, '_>>,
) {
    let Some(repair) = causes.iter().find_map(|read| read.repair) else {
        return;
    };
    let lacking: Vec<&CauseRead> = causes.iter().filter(|read| read.lacks_repair).collect();
    if let Some(first) = lacking.first() {
        let message = format!("causes without a repair: {} of {}", lacking.len(), causes.len());
        let found = Diagnostic::error(codes::SOME_REPAIRS, field.key_span, message).labelled("all or none");
        let found = found.other(first.span, "no repair").other(repair, "a repair");
        let names = listed(lacking.iter().map(|read| read.cause.name.as_str())).unwrap_or_default();
        sheet.push(found.hint(format!("give a `repair` to {names}, or take all repairs out")));
    }
    if let Some(wrong_cost) = wrong_cost {
        let message = "`wrong_cost` and repairs are both given";
        let found = Diagnostic::error(codes::REPAIRS_AND_WRONG_COST, wrong_cost.key_span, message);
        let found = found.labelled("only without repairs").other(repair, "a repair");
        sheet.push(found.hint("write `\"wrong_cost\": null`, or take all repairs out"));
    }
}

/// Their names, empty where they could not be read.
pub(super) fn names(causes: &[CauseRead]) -> Vec<&str> {
    causes.iter().map(|read| read.cause.name.as_str()).collect()
}
