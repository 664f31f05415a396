//! Quantities in a file: read, of the right sort, and such as can physically be.

use crate::codes;
use crate::fields::{Field, Fields};
use crate::kind::{KindSpec, ParameterDomain, ParameterSpec, Spread};
use crate::model::Value;
use crate::sheet::{Sheet, article, shown};
use diag::{Diagnostic, Span};
use quantity::{
    Dimension, ParseError, ParseErrorKind, Parsed, PressureReference, Quantity, UnitSystem, show_in,
};
use toml::de::DeValue;

/// What a key takes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wanted<'a> {
    pub(crate) dimensions: &'a [Dimension],
    /// Lowest and highest value that can be, SI.
    pub(crate) range: (f64, f64),
    /// How one would write it.
    pub(crate) example: &'a str,
}

impl Wanted<'_> {
    /// The range of what was written in one of the dimensions. A ratio that stands for another dimension's value is a
    /// share of something, so at most all of it.
    fn range_of(&self, dimension: Dimension) -> (f64, f64) {
        let (low, high) = self.range;
        let share = dimension == Dimension::Ratio && self.dimensions.len() > 1;
        (low, if share { high.min(1.0) } else { high })
    }
}

/// A quantity as written, with where its text stands.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Amount {
    pub(crate) parsed: Parsed,
    pub(crate) span: Span,
}

impl Amount {
    pub(crate) fn si(&self) -> f64 {
        self.parsed.quantity.si()
    }

    /// The quantity as the author would write it.
    fn written(&self, si: f64) -> String {
        show_in(
            Quantity::new(self.parsed.quantity.dimension(), si),
            self.parsed.unit,
        )
    }
}

/// The quantity in `field`, within its range; finds why it is none.
pub(crate) fn amount(sheet: &mut Sheet<'_>, field: &Field<'_>, wanted: &Wanted<'_>) -> Option<Amount> {
    // A plain number is read as its own text: it is a ratio, or lacks its unit.
    let (text, span) = match field.value {
        DeValue::Integer(_) | DeValue::Float(_) => (sheet.slice(field.span).to_owned(), field.span),
        DeValue::String(_) => {
            let text = field.text(sheet)?;
            (text.text.to_owned(), text.span)
        }
        _ => {
            return field.wrong(
                sheet,
                "a quantity in quotes",
                Some(&format!("for instance `\"{}\"`", wanted.example)),
            );
        }
    };
    let parsed = match quantity::parse(&text, wanted.dimensions) {
        Ok(parsed) => parsed,
        Err(error) => {
            let culprit = culprit(sheet, field, &error);
            sheet.push(unreadable(&error, culprit, wanted.example));
            return None;
        }
    };
    let amount = Amount { parsed, span };
    (in_range(sheet, field, &amount, wanted) && sensible_tolerance(sheet, &amount, wanted)).then_some(amount)
}

/// A stretch of a value's text as a stretch of the file.
pub(crate) fn culprit(sheet: &mut Sheet<'_>, field: &Field<'_>, error: &ParseError) -> Span {
    let span: Span = error.span.clone().into();
    match field.value {
        // An empty stretch cannot be underlined.
        _ if span.is_empty() => field.span,
        DeValue::String(_) => field.text(sheet).map_or(field.span, |text| text.part(span)),
        _ => field.span,
    }
}

/// A finding of the text that is no quantity.
pub(crate) fn unreadable(error: &ParseError, culprit: Span, example: &str) -> Diagnostic {
    let (code, label) = match error.kind {
        ParseErrorKind::MissingUnit { .. } => (codes::NO_UNIT, "a number without its unit".to_owned()),
        ParseErrorKind::WrongDimension { found, .. } => (codes::WRONG_DIMENSION, found.with_article()),
        ParseErrorKind::BelowZero { .. } => (codes::OUT_OF_RANGE, "below absolute zero".to_owned()),
        ParseErrorKind::NegativeTolerance => (codes::TOLERANCE, "negative".to_owned()),
        ParseErrorKind::TwoReferences => (codes::REFERENCE, "counts from another point".to_owned()),
        _ => (codes::UNREADABLE, "cannot be read".to_owned()),
    };
    let hint = match (&error.kind, error.expected.first()) {
        (
            ParseErrorKind::Empty
            | ParseErrorKind::NotANumber { .. }
            | ParseErrorKind::UnknownUnit { .. }
            | ParseErrorKind::WrongDimension { .. },
            Some(dimension),
        ) => format!("write {}, for instance `{example}`", dimension.with_article()),
        _ => error
            .hint()
            .unwrap_or_else(|| format!("for instance `{example}`")),
    };
    Diagnostic::error(code, culprit, error.to_string())
        .labelled(label)
        .hint(hint)
}

fn in_range(sheet: &mut Sheet<'_>, field: &Field<'_>, amount: &Amount, wanted: &Wanted<'_>) -> bool {
    let (low, high) = wanted.range_of(amount.parsed.quantity.dimension());
    if (low..=high).contains(&amount.si()) {
        return true;
    }
    let message = format!(
        "`{}` is out of range for `{}`",
        shown(sheet.slice(amount.span)),
        shown(field.key)
    );
    let found = Diagnostic::error(codes::OUT_OF_RANGE, amount.span, message)
        .labelled("cannot be; is the unit right?");
    sheet.push(found.hint(format!(
        "from {} to {}",
        amount.written(low),
        amount.written(high)
    )));
    false
}

/// A value that can be on either side of zero may spread over its range, any other at most over itself.
fn sensible_tolerance(sheet: &mut Sheet<'_>, amount: &Amount, wanted: &Wanted<'_>) -> bool {
    let Some(spread) = amount.parsed.spread() else {
        return true;
    };
    let (low, high) = wanted.range;
    let most = if low < 0.0 { high - low } else { amount.si().abs() };
    // Half a tolerance's last digit of rounding; a tolerance of exactly the value is allowed.
    if spread.is_finite() && spread <= most * (1.0 + 1e-9) {
        return true;
    }
    let message = format!("a tolerance of {} is too wide", amount.written(spread));
    let found =
        Diagnostic::error(codes::TOLERANCE, amount.span, message).labelled("wider than the value itself");
    let (value, usual) = (
        amount.written(amount.si()),
        amount.written(0.05 * amount.si().abs()),
    );
    let hint = if amount.parsed.quantity.dimension() == Dimension::Ratio {
        format!("a ratio's tolerance counts in percent of the whole: `{value} ± {usual}`")
    } else {
        format!("write it as two standard deviations: `{value} ± 5 %`")
    };
    sheet.push(found.hint(hint));
    false
}

/// The value in `field`, with `spread` where the author gives no tolerance.
pub(crate) fn value_or(
    sheet: &mut Sheet<'_>,
    field: &Field<'_>,
    wanted: &Wanted<'_>,
    spread: Spread,
) -> Option<Value> {
    let amount = amount(sheet, field, wanted)?;
    let typical = amount.si();
    let spread = amount
        .parsed
        .spread()
        .unwrap_or_else(|| absolute(spread, typical));
    Some(Value {
        typical,
        spread,
        dimension: Some(amount.parsed.quantity.dimension()),
        span: Some(field.span),
    })
}

fn absolute(spread: Spread, typical: f64) -> f64 {
    match spread {
        Spread::Relative(share) => share * typical.abs(),
        Spread::Absolute(si) => si,
    }
}

/// The value of a part's parameter: the author's, else the kind's. After a finding it is a stand-in.
pub(crate) fn parameter(
    sheet: &mut Sheet<'_>,
    fields: &mut Fields<'_>,
    kind: &KindSpec,
    spec: &ParameterSpec,
    may_miss: bool,
) -> Value {
    let field = fields.take(spec.name);
    if field.is_none() && !may_miss {
        missing(sheet, fields, kind, spec);
    }
    let written = field.and_then(|field| written(sheet, &field, spec));
    written.unwrap_or_else(|| default(spec))
}

/// The value that the author wrote for a parameter, under whatever key.
pub(crate) fn written(sheet: &mut Sheet<'_>, field: &Field<'_>, spec: &ParameterSpec) -> Option<Value> {
    let dimensions = match spec.domain {
        ParameterDomain::Quantity(dimensions) => dimensions,
        ParameterDomain::Choice(words) => return choice(sheet, field, words),
    };
    let wanted = Wanted {
        dimensions,
        range: spec.range,
        example: &example(dimensions, spec.range),
    };
    let value = value_or(sheet, field, &wanted, spec.spread)?;
    fitting_reference(sheet, field, spec);
    Some(value)
}

/// A value of `spec` as one would write it.
pub(crate) fn example_of(spec: &ParameterSpec) -> String {
    match spec.domain {
        ParameterDomain::Quantity(dimensions) => example(dimensions, spec.range),
        ParameterDomain::Choice(words) => words.first().copied().unwrap_or_default().to_owned(),
    }
}

/// Finds that a value is not there and that the kind has none of its own.
fn missing(sheet: &mut Sheet<'_>, fields: &mut Fields<'_>, kind: &KindSpec, spec: &ParameterSpec) {
    let quantity = matches!(spec.domain, ParameterDomain::Quantity(_));
    let known = |key: &str| kind.parameter(key).is_some() || kind.port(key).is_some();
    if quantity && spec.default.is_none() && !fields.misspelt(spec.name, sheet, known) {
        let message = format!("`{}` is missing: {}", spec.name, spec.what);
        let found = Diagnostic::error(codes::MISSING_KEY, fields.span, message);
        let found = found.labelled(format!("{} needs its {}", article(kind.name), spec.name));
        sheet.push(found.hint(format!(
            "add for instance `{} = \"{}\"`",
            spec.name,
            example_of(spec)
        )));
    }
}

/// A value as one would write it: in the middle of the range where that has one, in orders of magnitude.
fn example(dimensions: &[Dimension], (low, high): (f64, f64)) -> String {
    let Some(&dimension) = dimensions.first() else {
        return "1".to_owned();
    };
    if low <= 0.0 || dimension == Dimension::Ratio {
        return dimension.example().to_owned();
    }
    let middle = Quantity::new(dimension, (low * high).sqrt());
    let unit = UnitSystem::Trade.unit_to_show(middle);
    let digit = 10_f64.powf(middle.in_unit(unit).log10().floor());
    show_in(
        Quantity::of((middle.in_unit(unit) / digit).round() * digit, unit),
        unit,
    )
}

/// Whether a pressure may count from where the author says. What can be negative is a difference, the rest is not.
fn fitting_reference(sheet: &mut Sheet<'_>, field: &Field<'_>, spec: &ParameterSpec) {
    let Some(text) = field.text(sheet) else { return };
    let Ok(parsed) = quantity::parse(text.text, &[]) else {
        return;
    };
    let hint = match parsed.reference {
        PressureReference::Vacuum => "write it as an absolute pressure or a difference",
        PressureReference::Absolute if spec.range.0 < 0.0 => {
            "it counts from the ambient pressure: write `gauge`"
        }
        _ => return,
    };
    let message = format!("`{}` is not given as {}", spec.name, parsed.reference.word());
    sheet.push(
        Diagnostic::error(codes::REFERENCE, text.span, message)
            .labelled("against the wrong reference")
            .hint(hint),
    );
}

fn choice(sheet: &mut Sheet<'_>, field: &Field<'_>, words: &[&str]) -> Option<Value> {
    let text = field.text(sheet)?;
    let index = words.iter().position(|word| *word == text.text);
    if index.is_none() {
        let message = format!("`{}` is no choice for `{}`", shown(text.text), shown(field.key));
        let found =
            Diagnostic::error(codes::UNKNOWN_WORD, text.span, message).labelled("not one of the words");
        sheet.push(found.maybe_hint(sheet.suggest(text.text, words.iter().copied())));
    }
    // A handful of words.
    index.map(|index| Value {
        typical: index as f64,
        spread: 0.0,
        dimension: None,
        span: Some(field.span),
    })
}

fn default(spec: &ParameterSpec) -> Value {
    let typical = spec.default.unwrap_or(spec.range.0);
    let (dimension, spread) = match spec.domain {
        ParameterDomain::Quantity(dimensions) => {
            (dimensions.first().copied(), absolute(spec.spread, typical))
        }
        ParameterDomain::Choice(_) => (None, 0.0),
    };
    Value {
        typical,
        spread,
        dimension,
        span: None,
    }
}
