//! Reading a table for the planner from JSON.
//!
//! All findings of a text come at once, each with its place and what to do; a table comes out only where none of them is an
//! error. What the keys mean is said at [`Table`]; `setups`, `setup_mode`, `verify`, `wrong_cost`, a test's `setup`, a
//! cause's `repair` and `repair_setup` may be left out or `null`.

mod causes;
mod codes;
mod fields;
mod priors;
mod setups;
mod sheet;
mod syntax;

pub use codes::explain;

use super::table::{SetupMode, Table, Test};
use diag::{Diagnostic, Span};
use fields::{Field, Fields, Key, number};
use jsonc_parser::ast::Value;
use jsonc_parser::common::Ranged;
use setups::Setups;
use sheet::{Sheet, listed, shown};
use std::collections::HashMap;
use syntax::{place, span_of};

const TABLE: &[Key] = &[
    Key::needed("causes", "[..]"),
    Key::needed("tests", "[..]"),
    Key::optional("setups"),
    Key::optional("setup_mode"),
    Key::optional("verify"),
    Key::optional("wrong_cost"),
];
const TEST: &[Key] = &[
    Key::needed("name", "\"gauge at the valve\""),
    Key::needed("cost", "5"),
    Key::optional("setup"),
    Key::needed("positive", "[0.95, 0.05, ..]"),
];

/// Reads a table from JSON; `source_name` is what findings call the text as a whole.
///
/// - `scale_priors`: priors are ratios; any positive sum will do. Otherwise they sum to 1 within a thousandth. Either way
///   those of the table sum to 1.
/// - Returns the table, or `None` if a finding is an error; and everything found, in the order of the text.
///
/// ```json
/// {"causes": [{"name": "hose", "prior": 0.7, "repair": 20, "repair_setup": null}, {"name": "valve", "prior": 0.3, "repair": 90}],
///  "tests": [{"name": "gauge", "cost": 5, "setup": "cover off", "positive": [0.9, 0.1]}],
///  "setups": [{"name": "cover off", "cost": 4}], "setup_mode": "stays", "verify": 3, "wrong_cost": null}
/// ```
pub fn read_table(source_name: &str, text: &str, scale_priors: bool) -> (Option<Table>, Vec<Diagnostic>) {
    // RFC 8259, section 8.1: a reader may ignore a byte order mark.
    let (mark, text) = match text.strip_prefix('\u{feff}') {
        Some(rest) => ('\u{feff}'.len_utf8(), rest),
        None => (0, text),
    };
    let mut sheet = Sheet::new(text);
    let value = syntax::parse(&mut sheet, source_name);
    let table = value.and_then(|value| table(&mut sheet, &value, scale_priors));
    let table = table.filter(|_| !sheet.has_errors());
    let mut findings = sheet.into_findings();
    for found in &mut findings {
        found.span = found.span.shifted(mark);
        for other in &mut found.others {
            other.span = other.span.shifted(mark);
        }
    }
    (table, findings)
}

/// The table as far as it can be read; whatever could not be has been found and stands as nothing.
fn table(sheet: &mut Sheet<'_>, value: &Value<'_>, scale_priors: bool) -> Option<Table> {
    let fields = Fields::of(sheet, value, "the table", TABLE)?;
    let mut setups = Setups::read(sheet, fields.optional("setups"));
    let mode = fields
        .optional("setup_mode")
        .and_then(|field| setup_mode(sheet, &field));
    let verify = fields.optional("verify").and_then(|field| field.amount(sheet));
    let wrong_cost = fields.optional("wrong_cost");
    let wrong_amount = wrong_cost.and_then(|field| field.amount(sheet));
    let mut causes = fields
        .needed("causes")
        .and_then(|field| causes::read(sheet, &field, &mut setups));
    if let (Some(list), Some(field)) = (&causes, fields.needed("causes")) {
        causes::repairs(sheet, list, &field, wrong_cost.as_ref());
    }
    let names = causes.as_deref().map(causes::names);
    let tests = fields
        .needed("tests")
        .and_then(|field| tests(sheet, &field, &mut setups, names.as_deref()));
    if let (Some(list), Some(field)) = (&mut causes, fields.needed("causes")) {
        priors::sum_to_one(sheet, list, field.key_span, scale_priors);
    }
    Some(Table {
        setups: setups.finish(sheet),
        causes: causes?.into_iter().map(|read| read.cause).collect(),
        tests: tests?,
        mode: mode.unwrap_or(SetupMode::Stays),
        verify: verify.unwrap_or_default(),
        wrong_cost: wrong_amount,
    })
}

fn setup_mode(sheet: &mut Sheet<'_>, field: &Field<'_, '_>) -> Option<SetupMode> {
    const MODES: [&str; 2] = ["stays", "one_at_a_time"];
    match field.text(sheet)? {
        "stays" => Some(SetupMode::Stays),
        "one_at_a_time" => Some(SetupMode::OneAtATime),
        word => {
            let message = format!("`setup_mode` does not know `{}`", shown(word));
            let found = Diagnostic::error(codes::UNKNOWN_WORD, field.span(), message).labelled("unknown");
            let hint = sheet.suggest(word, MODES.into_iter());
            sheet.push(found.maybe_hint(hint));
            None
        }
    }
}

/// `causes` are their names, if they could be read.
fn tests(
    sheet: &mut Sheet<'_>,
    field: &Field<'_, '_>,
    setups: &mut Setups,
    causes: Option<&[&str]>,
) -> Option<Vec<Test>> {
    let list = field.list(sheet)?;
    let mut spans = Vec::with_capacity(list.len());
    let mut tests = Vec::with_capacity(list.len());
    for value in list {
        if sheet.enough() {
            break;
        }
        let (test, span) = test(sheet, value, setups, causes);
        tests.push(test);
        spans.push(span);
    }
    unique(
        sheet,
        "tests",
        tests.iter().map(|test| test.name.as_str()).zip(spans),
    );
    Some(tests)
}

fn test(
    sheet: &mut Sheet<'_>,
    value: &Value<'_>,
    setups: &mut Setups,
    causes: Option<&[&str]>,
) -> (Test, Span) {
    let fields = Fields::of(sheet, value, "a test", TEST);
    let needed = |key| fields.as_ref().and_then(|fields| fields.needed(key));
    let name = needed("name");
    let setup = fields.as_ref().and_then(|fields| fields.optional("setup"));
    let test = Test {
        name: name
            .and_then(|field| field.words(sheet))
            .unwrap_or_default()
            .to_owned(),
        cost: needed("cost")
            .and_then(|field| field.amount(sheet))
            .unwrap_or_default(),
        setup: setup.and_then(|field| setups.find(sheet, &field)),
        positive: needed("positive")
            .and_then(|field| positive(sheet, &field, causes))
            .unwrap_or_default(),
    };
    (test, name.map_or(place(value), |name| name.span()))
}

fn positive(sheet: &mut Sheet<'_>, field: &Field<'_, '_>, causes: Option<&[&str]>) -> Option<Vec<f64>> {
    let list = field.list(sheet)?;
    if let Some(causes) = causes.filter(|causes| causes.len() != list.len()) {
        sheet.push(wrong_length(field, list, causes));
    }
    let mut probabilities = Vec::with_capacity(list.len());
    for (index, value) in list.iter().enumerate() {
        if sheet.enough() {
            break;
        }
        let Some(number) = number(sheet, value, field.key) else {
            continue;
        };
        if !(0.0..=1.0).contains(&number) {
            let message = format!("`{}` is not a probability", shown(sheet.slice(place(value))));
            let found =
                Diagnostic::error(codes::PROBABILITY, place(value), message).labelled("outside 0 to 1");
            let cause = causes.and_then(|causes| causes.get(index));
            sheet.push(
                found.maybe_hint(cause.map(|cause| format!("it belongs to the cause `{}`", shown(cause)))),
            );
        }
        probabilities.push(number.abs());
    }
    Some(probabilities)
}

/// A list that is longer than that of the causes, from its first member too many; or shorter, at its end.
fn wrong_length(field: &Field<'_, '_>, list: &[Value<'_>], causes: &[&str]) -> Diagnostic {
    let message = format!(
        "`{}` needs {} numbers and has {}",
        field.key,
        causes.len(),
        list.len()
    );
    if let Some(surplus) = list.get(causes.len()) {
        return Diagnostic::error(codes::LENGTH, place(surplus), message)
            .labelled(format!("{} too many", list.len() - causes.len()))
            .hint("write one probability for each cause, in the order of `causes`");
    }
    let end = span_of(field.value.range()).end;
    let lacking = listed(causes[list.len()..].iter().copied()).unwrap_or_default();
    Diagnostic::error(codes::LENGTH, Span::new(end.saturating_sub(1), end), message)
        .labelled(format!("{} missing", causes.len() - list.len()))
        .hint(format!(
            "one for each cause in the order of `causes`; none is left for {lacking}"
        ))
}

/// Finds names that are there twice.
fn unique<'n>(sheet: &mut Sheet<'_>, what: &str, names: impl Iterator<Item = (&'n str, Span)>) {
    let mut first: HashMap<&str, Span> = HashMap::new();
    for (name, span) in names.filter(|(name, _)| !name.is_empty()) {
        if let Some(other) = first.get(name) {
            let message = format!("two {what} are called `{}`", shown(name));
            let found = Diagnostic::error(codes::SAME_NAME, span, message).labelled("here again");
            sheet.push(
                found
                    .other(*other, "first here")
                    .hint("give one of the two another name"),
            );
        } else {
            first.insert(name, span);
        }
    }
}
