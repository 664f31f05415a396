//! Walking a TOML table: its fields in the order of the file, each value read in the form that is wanted.
//!
//! Each reader takes the fields it knows; what is left at the end is unknown. A value of the wrong form is found here,
//! so that the readers themselves only say what they want.

use crate::codes;
use crate::sheet::{Sheet, shown};
use diag::{Diagnostic, Span};
use toml::de::{DeTable, DeValue};

/// A key with its value.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Field<'a> {
    pub(crate) key: &'a str,
    pub(crate) key_span: Span,
    pub(crate) value: &'a DeValue<'a>,
    /// Of the value, quotes included; of a table its header.
    pub(crate) span: Span,
}

/// A text in a file.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Quoted<'a> {
    pub(crate) text: &'a str,
    /// Of the text itself, without its quotes, unless escapes make the two differ: then with them.
    pub(crate) span: Span,
    /// `true` if `span` covers `text` byte by byte.
    pub(crate) verbatim: bool,
}

impl Quoted<'_> {
    /// A stretch of the text as a stretch of the file.
    pub(crate) fn part(&self, span: Span) -> Span {
        if self.verbatim && self.text.get(span.range()).is_some() {
            span.shifted(self.span.start)
        } else {
            self.span
        }
    }
}

/// The fields of a table that nobody has taken yet, in the order of the file.
#[derive(Debug, Clone)]
pub(crate) struct Fields<'a> {
    fields: Vec<Field<'a>>,
    /// Of the header, or of the braces.
    pub(crate) span: Span,
}

impl<'a> Fields<'a> {
    pub(crate) fn of(table: &'a DeTable<'a>, span: Span) -> Self {
        let field = |(key, value): (
            &'a toml::Spanned<toml::de::DeString<'a>>,
            &'a toml::Spanned<DeValue<'a>>,
        )| Field {
            key: key.get_ref(),
            key_span: key.span().into(),
            value: value.get_ref(),
            span: value.span().into(),
        };
        let mut fields: Vec<_> = table.iter().map(field).collect();
        fields.sort_by_key(|field| field.key_span.start);
        Self { fields, span }
    }

    pub(crate) fn take(&mut self, key: &str) -> Option<Field<'a>> {
        let index = self.fields.iter().position(|field| field.key == key)?;
        Some(self.fields.remove(index))
    }

    /// `true` if `key` has not been taken yet.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.fields.iter().any(|field| field.key == key)
    }

    /// Takes a field that must be there.
    pub(crate) fn require(&mut self, key: &str, sheet: &mut Sheet<'_>, example: &str) -> Option<Field<'a>> {
        let field = self.take(key);
        if field.is_none() && !self.misspelt(key, sheet, |_| false) {
            let found = Diagnostic::error(codes::MISSING_KEY, self.span, format!("`{key}` is missing"));
            let found = found.labelled(format!("needs `{key}`"));
            sheet.push(found.hint(format!("add for instance `{key} = {example}`")));
        }
        field
    }

    /// Finds that a missing key is there in another spelling: one cause, one finding. Keys that are `known` mean
    /// themselves.
    pub(crate) fn misspelt(
        &mut self,
        key: &str,
        sheet: &mut Sheet<'_>,
        known: impl Fn(&str) -> bool,
    ) -> bool {
        let near = |field: &Field<'_>| !known(field.key) && sheet.nearest(field.key, [key]).is_some();
        let Some(index) = self.fields.iter().position(near) else {
            return false;
        };
        let field = self.fields.remove(index);
        let message = format!("unknown key `{}`", shown(field.key));
        let found = Diagnostic::error(codes::UNKNOWN_KEY, field.key_span, message).labelled("not known here");
        sheet.push(found.hint(format!("did you mean `{key}`?")));
        true
    }

    /// Takes whatever is left.
    pub(crate) fn take_all(&mut self) -> Vec<Field<'a>> {
        std::mem::take(&mut self.fields)
    }

    /// Finds everything unknown that is left. `known` are the keys this table takes.
    pub(crate) fn finish(self, sheet: &mut Sheet<'_>, known: &[&str]) {
        for field in self.fields {
            let found = Diagnostic::error(
                codes::UNKNOWN_KEY,
                field.key_span,
                format!("unknown key `{}`", shown(field.key)),
            );
            sheet.push(
                found
                    .labelled("not known here")
                    .maybe_hint(sheet.suggest(field.key, known.iter().copied())),
            );
        }
    }
}

impl<'a> Field<'a> {
    /// The key as a text, without the quotes it may stand in.
    pub(crate) fn key_text(&self, sheet: &Sheet<'_>) -> Quoted<'a> {
        found_text(self.key, self.key_span, sheet)
    }

    /// A text in quotes.
    pub(crate) fn text(&self, sheet: &mut Sheet<'_>) -> Option<Quoted<'a>> {
        text_of(self.value, self.span, sheet).or_else(|| self.wrong(sheet, "a text in quotes", None))
    }

    /// A text in quotes, without a finding where there is none.
    pub(crate) fn quoted(&self, sheet: &Sheet<'_>) -> Option<Quoted<'a>> {
        text_of(self.value, self.span, sheet)
    }

    /// The texts in it, without a finding where there are none.
    pub(crate) fn all_quoted(&self, sheet: &Sheet<'_>) -> Vec<Quoted<'a>> {
        let member =
            |value: &'a toml::Spanned<DeValue<'a>>| text_of(value.get_ref(), value.span().into(), sheet);
        match self.value {
            DeValue::Array(members) => members.iter().filter_map(member).collect(),
            _ => self.quoted(sheet).into_iter().collect(),
        }
    }

    /// A text with something in it.
    pub(crate) fn words(&self, sheet: &mut Sheet<'_>) -> Option<String> {
        let text = self.text(sheet)?;
        if text.text.trim().is_empty() {
            let found = Diagnostic::error(codes::EMPTY, self.span, format!("`{}` is empty", shown(self.key)));
            sheet.push(found.labelled("words are wanted here"));
            return None;
        }
        Some(text.text.trim().to_owned())
    }

    /// A text in quotes, or a list of such.
    pub(crate) fn texts(&self, sheet: &mut Sheet<'_>) -> Option<Vec<Quoted<'a>>> {
        match self.value {
            DeValue::String(_) => Some(text_of(self.value, self.span, sheet).into_iter().collect()),
            DeValue::Array(members) => {
                let member = |value: &'a toml::Spanned<DeValue<'a>>| Self {
                    value: value.get_ref(),
                    span: value.span().into(),
                    ..*self
                };
                let texts: Vec<_> = members.iter().map(|value| member(value).text(sheet)).collect();
                Some(texts.into_iter().flatten().collect())
            }
            _ => self.wrong(sheet, "a text in quotes or a list of texts", None),
        }
    }

    /// A plain number within `low..=high`.
    pub(crate) fn number(&self, sheet: &mut Sheet<'_>, low: f64, high: f64) -> Option<f64> {
        let number = match self.value {
            DeValue::Integer(integer) if integer.radix() == 10 => {
                integer.as_str().replace('_', "").parse::<f64>().ok()
            }
            DeValue::Float(float) => float.as_str().replace('_', "").parse::<f64>().ok(),
            DeValue::String(_) => {
                return self.wrong(
                    sheet,
                    "a plain number",
                    Some("write the number without quotes and unit"),
                );
            }
            _ => return self.wrong(sheet, "a plain number", None),
        };
        if let Some(number) = number.filter(|number| (low..=high).contains(number)) {
            return Some(number);
        }
        let message = format!("`{}` must be a number from {low} to {high}", shown(self.key));
        sheet.push(Diagnostic::error(codes::NUMBER_RANGE, self.span, message).labelled("outside"));
        None
    }

    pub(crate) fn flag(&self, sheet: &mut Sheet<'_>) -> Option<bool> {
        match self.value {
            DeValue::Boolean(flag) => Some(*flag),
            _ => self.wrong(
                sheet,
                "`true` or `false`",
                Some("write `true` or `false` without quotes"),
            ),
        }
    }

    pub(crate) fn fields(&self, sheet: &mut Sheet<'_>, example: &str) -> Option<Fields<'a>> {
        match self.value {
            DeValue::Table(table) => Some(Fields::of(table, self.span)),
            _ => self.wrong(sheet, "a table", Some(example)),
        }
    }

    /// The tables of a list of tables.
    pub(crate) fn tables(&self, sheet: &mut Sheet<'_>) -> Vec<Fields<'a>> {
        let hint = format!("write `[[{}]]` above each", self.key);
        let DeValue::Array(members) = self.value else {
            self.wrong::<()>(sheet, "a list of tables", Some(&hint));
            return Vec::new();
        };
        let member = |value: &'a toml::Spanned<DeValue<'a>>| Self {
            value: value.get_ref(),
            span: value.span().into(),
            ..*self
        };
        members
            .iter()
            .filter_map(|value| member(value).fields(sheet, &hint))
            .collect()
    }

    /// The plain numbers of a list, whatever their size.
    pub(crate) fn numbers(&self, sheet: &mut Sheet<'_>, low: f64, high: f64) -> Option<Vec<f64>> {
        let DeValue::Array(members) = self.value else {
            return self.wrong(sheet, "a list of numbers", None);
        };
        let member = |value: &'a toml::Spanned<DeValue<'a>>| Self {
            value: value.get_ref(),
            span: value.span().into(),
            ..*self
        };
        let numbers: Vec<_> = members
            .iter()
            .map(|value| member(value).number(sheet, low, high))
            .collect();
        numbers.into_iter().collect()
    }

    /// Finds that the value has the wrong form.
    pub(crate) fn wrong<T>(&self, sheet: &mut Sheet<'_>, wanted: &str, hint: Option<&str>) -> Option<T> {
        let found = Diagnostic::error(
            codes::WRONG_TYPE,
            self.span,
            format!("`{}` takes {wanted}", shown(self.key)),
        );
        sheet.push(
            found
                .labelled(format!("this is {}", form(self.value)))
                .maybe_hint(hint),
        );
        None
    }
}

fn text_of<'a>(value: &'a DeValue<'a>, span: Span, sheet: &Sheet<'_>) -> Option<Quoted<'a>> {
    let DeValue::String(text) = value else { return None };
    Some(found_text(text, span, sheet))
}

/// Between its quotes a text stands as it is, unless it is escaped.
fn found_text<'a>(text: &'a str, span: Span, sheet: &Sheet<'_>) -> Quoted<'a> {
    let raw = sheet.slice(span);
    match raw.find(text).filter(|_| !text.is_empty() && !raw.contains('\\')) {
        Some(at) => Quoted {
            text,
            span: Span::new(span.start + at, span.start + at + text.len()),
            verbatim: true,
        },
        None => Quoted {
            text,
            span,
            verbatim: false,
        },
    }
}

/// What a value is, in words.
fn form(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) | DeValue::Float(_) => "a plain number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}
