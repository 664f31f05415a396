//! The set-ups of a table while it is read: found by name, with a note of those that nobody uses.

use super::codes;
use super::fields::{Field, Fields, Key};
use super::sheet::{Sheet, shown};
use super::syntax::place;
use super::unique;
use crate::sequence::table::Setup;
use diag::{Diagnostic, Span};
use jsonc_parser::ast::Value;
use std::collections::HashMap;

const SETUP: &[Key] = &[Key::needed("name", "\"cover off\""), Key::needed("cost", "4")];

/// The set-ups read so far.
#[derive(Debug, Default)]
pub(super) struct Setups {
    entries: Vec<Entry>,
    by_name: HashMap<String, usize>,
    /// `true` if the list itself could not be read: then nothing is known about which there are.
    unreadable: bool,
}

#[derive(Debug)]
struct Entry {
    setup: Setup,
    span: Span,
    used: bool,
}

impl Setups {
    pub(super) fn read(sheet: &mut Sheet<'_>, field: Option<Field<'_, '_>>) -> Self {
        let mut setups = Self::default();
        let Some(field) = field else {
            return setups;
        };
        let Some(list) = field.list(sheet) else {
            setups.unreadable = true;
            return setups;
        };
        setups.entries = list.iter().map(|value| entry(sheet, value)).collect();
        let names = || setups.entries.iter().map(|entry| entry.setup.name.as_str());
        unique(
            sheet,
            "set-ups",
            names().zip(setups.entries.iter().map(|entry| entry.span)),
        );
        setups.by_name = names().map(str::to_owned).zip(0..).collect();
        setups
    }

    /// The set-up that a field names, which is then in use.
    pub(super) fn find(&mut self, sheet: &mut Sheet<'_>, field: &Field<'_, '_>) -> Option<usize> {
        let name = field.text(sheet)?;
        if self.unreadable {
            return None;
        }
        if let Some(index) = self.by_name.get(name) {
            self.entries[*index].used = true;
            return Some(*index);
        }
        let message = format!("there is no set-up `{}`", shown(name));
        let found = Diagnostic::error(codes::UNKNOWN_SETUP, field.span(), message).labelled("no such set-up");
        let known = self.entries.iter().map(|entry| entry.setup.name.as_str());
        let hint = sheet.suggest(name, known.filter(|name| !name.is_empty()));
        sheet.push(found.hint(hint.unwrap_or_else(|| "list it in `setups`, or write `null`".to_owned())));
        None
    }

    /// The set-ups themselves; finds those that nobody uses. Beside an error that may be only an echo: of a name written
    /// wrong where it was used.
    pub(super) fn finish(self, sheet: &mut Sheet<'_>) -> Vec<Setup> {
        let echo = sheet.has_errors();
        for entry in self.entries.iter().filter(|entry| !entry.used && !echo) {
            let message = format!("nothing needs the set-up `{}`", shown(&entry.setup.name));
            let found = Diagnostic::warning(codes::UNUSED_SETUP, entry.span, message);
            sheet.push(
                found
                    .labelled("not used")
                    .hint("name it as the `setup` of a test, or take it out"),
            );
        }
        self.entries.into_iter().map(|entry| entry.setup).collect()
    }
}

fn entry(sheet: &mut Sheet<'_>, value: &Value<'_>) -> Entry {
    let fields = Fields::of(sheet, value, "a set-up", SETUP);
    let needed = |key| fields.as_ref().and_then(|fields| fields.needed(key));
    let name = needed("name");
    Entry {
        setup: Setup {
            name: name
                .and_then(|field| field.words(sheet))
                .unwrap_or_default()
                .to_owned(),
            cost: needed("cost")
                .and_then(|field| field.amount(sheet))
                .unwrap_or_default(),
        },
        span: name.map_or(place(value), |name| name.span()),
        used: false,
    }
}
