//! Walking a JSON object: its known keys, each value read in the form that is wanted.
//!
//! A value of the wrong form is found here, so that the reader itself only says what it wants.

use super::codes;
use super::sheet::{Sheet, shown};
use super::syntax::{is_json_number, place, span_of};
use diag::{Diagnostic, Span};
use jsonc_parser::ast::{Object, ObjectProp, Value};
use jsonc_parser::common::Ranged;

/// Largest number that is read. Sums and products of a whole table of them are still finite.
const LARGEST: f64 = 1e100;

/// A key that an object takes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Key {
    name: &'static str,
    /// What to write for it; `None` if it may be left out, or be `null`.
    example: Option<&'static str>,
}

impl Key {
    pub(super) const fn needed(name: &'static str, example: &'static str) -> Self {
        Self {
            name,
            example: Some(example),
        }
    }

    pub(super) const fn optional(name: &'static str) -> Self {
        Self { name, example: None }
    }
}

/// A key with its value.
#[derive(Debug, Clone, Copy)]
pub(super) struct Field<'v, 'a> {
    pub(super) key: &'static str,
    pub(super) key_span: Span,
    pub(super) value: &'v Value<'a>,
}

/// The known fields of an object.
#[derive(Debug)]
pub(super) struct Fields<'v, 'a> {
    known: Vec<Field<'v, 'a>>,
    /// Of the opening brace.
    span: Span,
    /// `true` if there is no other key, so that what is missing is not there in another spelling.
    pub(super) nothing_else: bool,
}

impl<'v, 'a> Fields<'v, 'a> {
    /// The fields of `value`, which is one `what`; finds keys that are unknown, missing or there twice.
    pub(super) fn of(sheet: &mut Sheet<'_>, value: &'v Value<'a>, what: &str, keys: &[Key]) -> Option<Self> {
        let Value::Object(object) = value else {
            let example = keys
                .iter()
                .filter_map(|key| Some(format!("\"{}\": {}", key.name, key.example?)));
            let example = example.collect::<Vec<_>>().join(", ");
            let found = wrong(value, format!("{what} must be an object"));
            sheet.push(found.hint(format!("write `{{{example}}}`")));
            return None;
        };
        let mut fields = Self {
            known: Vec::new(),
            span: Span::new(object.range.start, object.range.start + 1),
            nothing_else: true,
        };
        let unknown = fields.sort_out(sheet, object, keys);
        fields.nothing_else = unknown.is_empty();
        fields.finish(sheet, unknown, what, keys);
        Some(fields)
    }

    /// Takes in the known keys and gives back the others.
    fn sort_out(
        &mut self,
        sheet: &mut Sheet<'_>,
        object: &'v Object<'a>,
        keys: &[Key],
    ) -> Vec<&'v ObjectProp<'a>> {
        let mut unknown = Vec::new();
        for property in &object.properties {
            let name = property.name.as_str();
            let Some(key) = keys.iter().find(|key| key.name == name) else {
                unknown.push(property);
                continue;
            };
            let key_span = span_of(property.name.range());
            if let Some(first) = self.find(key.name) {
                let found = Diagnostic::error(
                    codes::DUPLICATE_KEY,
                    key_span,
                    format!("`{name}` is written twice"),
                );
                let found = found.labelled("here again").other(first.key_span, "first here");
                sheet.push(found.hint("keep one of the two"));
                continue;
            }
            self.known.push(Field {
                key: key.name,
                key_span,
                value: &property.value,
            });
        }
        unknown
    }

    /// Finds what is missing and what is unknown. A key that is both, in another spelling, is found once.
    fn finish(&self, sheet: &mut Sheet<'_>, unknown: Vec<&ObjectProp<'_>>, what: &str, keys: &[Key]) {
        let absent: Vec<&Key> = keys.iter().filter(|key| self.find(key.name).is_none()).collect();
        let mut misspelt = Vec::new();
        for property in unknown {
            if sheet.enough() {
                break;
            }
            let word = property.name.as_str();
            let meant = sheet.nearest(word, absent.iter().map(|key| key.name));
            misspelt.extend(meant);
            let hint = match meant {
                Some(meant) => Some(format!("did you mean `{meant}`?")),
                None => sheet.suggest(word, keys.iter().map(|key| key.name)),
            };
            let message = format!("unknown key `{}`", shown(word));
            let found = Diagnostic::error(codes::UNKNOWN_KEY, span_of(property.name.range()), message);
            sheet.push(found.labelled(format!("not known in {what}")).maybe_hint(hint));
        }
        for key in absent {
            let Some(example) = key.example.filter(|_| !misspelt.contains(&key.name)) else {
                continue;
            };
            let found = Diagnostic::error(
                codes::MISSING_KEY,
                self.span,
                format!("`{}` is missing", key.name),
            );
            let found = found.labelled(format!("needs `{}`", key.name));
            sheet.push(found.hint(format!("add for instance `\"{}\": {example}`", key.name)));
        }
    }

    fn find(&self, key: &str) -> Option<&Field<'v, 'a>> {
        self.known.iter().find(|field| field.key == key)
    }

    /// A field that must be there, as it is: that it is missing has been found already.
    pub(super) fn needed(&self, key: &str) -> Option<Field<'v, 'a>> {
        self.find(key).copied()
    }

    /// A field that may be missing or `null`.
    pub(super) fn optional(&self, key: &str) -> Option<Field<'v, 'a>> {
        self.needed(key)
            .filter(|field| !matches!(field.value, Value::NullKeyword(_)))
    }
}

impl<'v, 'a> Field<'v, 'a> {
    pub(super) fn span(&self) -> Span {
        place(self.value)
    }

    pub(super) fn list(&self, sheet: &mut Sheet<'_>) -> Option<&'v [Value<'a>]> {
        if let Value::Array(array) = self.value {
            return Some(&array.elements);
        }
        sheet.push(wrong(self.value, format!("`{}` takes a list", self.key)).hint("write it in `[` and `]`"));
        None
    }

    pub(super) fn text(&self, sheet: &mut Sheet<'_>) -> Option<&'v str> {
        if let Value::StringLit(text) = self.value {
            return Some(&text.value);
        }
        sheet.push(wrong(self.value, format!("`{}` takes a text", self.key)).hint("write it in `\"`"));
        None
    }

    /// A text with something in it.
    pub(super) fn words(&self, sheet: &mut Sheet<'_>) -> Option<&'v str> {
        let text = self.text(sheet)?;
        if text.trim().is_empty() {
            let found = Diagnostic::error(codes::EMPTY, self.span(), format!("`{}` is empty", self.key));
            sheet.push(found.labelled("words are wanted here"));
            return None;
        }
        Some(text)
    }

    /// A number that is not negative.
    pub(super) fn amount(&self, sheet: &mut Sheet<'_>) -> Option<f64> {
        let number = number(sheet, self.value, self.key)?;
        if number < 0.0 {
            let message = format!("`{}` is negative", self.key);
            let found =
                Diagnostic::error(codes::NEGATIVE, self.span(), message).labelled("less than nothing");
            sheet.push(found.hint("write 0 or more"));
            return None;
        }
        // Without the sign that a zero may have.
        Some(number.abs())
    }
}

/// A finite number; `key` is what it is the value of.
pub(super) fn number(sheet: &mut Sheet<'_>, value: &Value<'_>, key: &str) -> Option<f64> {
    let Value::NumberLit(written) = value else {
        let quoted = matches!(value, Value::StringLit(text) if text.value.trim().parse::<f64>().is_ok());
        let hint = quoted.then_some("write the number without quotes");
        sheet.push(wrong(value, format!("`{key}` takes a number")).maybe_hint(hint));
        return None;
    };
    if !is_json_number(written.value) {
        // Found with the syntax.
        return None;
    }
    let number: f64 = written.value.parse().ok()?;
    if number.abs() > LARGEST {
        let message = format!("`{}` is too large", shown(written.value));
        let found = Diagnostic::error(codes::NOT_FINITE, span_of(written.range), message);
        sheet.push(found.labelled(format!("more than {LARGEST:e}")));
        return None;
    }
    Some(number)
}

/// A value of the wrong form.
pub(super) fn wrong(value: &Value<'_>, message: String) -> Diagnostic {
    Diagnostic::error(codes::WRONG_TYPE, place(value), message).labelled(format!("this is {}", form(value)))
}

/// What a value is, in words.
fn form(value: &Value<'_>) -> &'static str {
    match value {
        Value::StringLit(_) => "a text",
        Value::NumberLit(_) => "a number",
        Value::BooleanLit(_) => "true or false",
        Value::Object(_) => "an object",
        Value::Array(_) => "a list",
        Value::NullKeyword(_) => "null",
    }
}
