//! Reading a readings file: what was recorded of the checks on a circuit.

use crate::accuracy::AccuracyClass;
use crate::amount::{Wanted, amount, culprit, unreadable};
use crate::check::{Check, Instrument, Reads};
use crate::check_id;
use crate::codes;
use crate::fields::{Field, Fields};
use crate::model::Circuit;
use crate::sheet::{Sheet, shown};
use diag::{Diagnostic, Span};
use quantity::{Dimension, ParseErrorKind, Parsed, PressureReference, Quantity, ReadingValue, parse_reading};

/// What a readings file says.
#[derive(Debug, Clone, Default)]
pub struct Readings {
    /// Height above sea level, if given.
    pub altitude: Option<Quantity>,
    /// Absolute pressure of the air around, if read.
    pub barometer: Option<Quantity>,
    /// Temperature of the air, if given.
    pub temperature: Option<Quantity>,
    /// The readings, in the order of the file.
    pub readings: Vec<ReadingEntry>,
}

/// One reading.
#[derive(Debug, Clone)]
pub struct ReadingEntry {
    /// Index into the checks that were handed in.
    pub check: usize,
    /// What was read. A pressure keeps its reference as written: only the barometer can turn it into another.
    pub value: ReadingValue,
    /// Another instrument of the same sort, by name; `None`: the usual one.
    pub instrument: Option<String>,
    /// How right that instrument is, if it was said.
    pub accuracy: Option<AccuracyClass>,
    /// Of the reading's header.
    pub span: Span,
    /// Of what was read.
    pub value_span: Span,
}

/// What came of reading a readings file.
#[derive(Debug, Clone)]
pub struct ReadingsFile {
    /// The readings; `None` if a finding is an error.
    pub readings: Option<Readings>,
    /// Everything found, in the order of the text.
    pub findings: Vec<Diagnostic>,
}

/// Highest altitude at which anyone drives, and lowest, m.
const ALTITUDE: Wanted<'_> = Wanted {
    dimensions: &[Dimension::Length],
    range: (-500.0, 6000.0),
    example: "1600 m",
};
/// Barometers from a high pass to the deepest valley in fine weather, Pa.
const BAROMETER: Wanted<'_> = Wanted {
    dimensions: &[Dimension::Pressure],
    range: (45e3, 112e3),
    example: "83.4 kPa",
};
/// Air in which people work, K.
const TEMPERATURE: Wanted<'_> = Wanted {
    dimensions: &[Dimension::Temperature],
    range: (213.15, 353.15),
    example: "25 °C",
};
/// Deepest vacuum that any weather allows, Pa: the whole of the highest barometer.
const DEEPEST: f64 = 112e3;

/// Reads a readings file. `checks` are those of `circuit`.
///
/// ```toml
/// altitude = "1600 m"                     # or barometer = "83.4 kPa"; temperature = "25 °C"
/// [[reading]]
/// check = "deadhead:valve.source@idle"
/// value = "21.5 inHg"                     # or bound = "> 20 inHg", or answer = "yes", "no", "not done"
/// instrument = "second gauge"             # if it was not the usual one
/// accuracy = "class 1.6"                  # how right that one is, if it is not as such instruments usually are
/// ```
pub fn read_readings(text: &str, circuit: &Circuit, checks: &[Check]) -> ReadingsFile {
    let (mut sheet, root) = Sheet::parse(text);
    let keys = ["altitude", "barometer", "temperature", "reading"];
    let readings = root.map(|root| {
        document(
            &mut sheet,
            Fields::of(&root, Span::new(0, 0)),
            circuit,
            checks,
            &keys,
        )
    });
    let readings = readings.filter(|_| !sheet.has_errors());
    ReadingsFile {
        readings,
        findings: sheet.into_findings(),
    }
}

/// The readings in `root`; whatever it holds beside them is unknown, its file takes `keys`.
pub(crate) fn document(
    sheet: &mut Sheet<'_>,
    mut root: Fields<'_>,
    circuit: &Circuit,
    checks: &[Check],
    keys: &[&str],
) -> Readings {
    let mut readings = Readings::default();
    let altitude = root.take("altitude");
    let barometer = root.take("barometer");
    readings.altitude = altitude
        .and_then(|field| amount(sheet, &field, &ALTITUDE))
        .map(|amount| amount.parsed.quantity);
    readings.barometer = barometer.and_then(|field| self::barometer(sheet, &field));
    readings.temperature = root
        .take("temperature")
        .and_then(|field| amount(sheet, &field, &TEMPERATURE))
        .map(|amount| amount.parsed.quantity);
    if let (Some(altitude), Some(barometer)) = (altitude, barometer) {
        let found = Diagnostic::error(
            codes::TWO_BAROMETERS,
            altitude.key_span,
            "altitude and barometer are both given",
        );
        sheet.push(
            found
                .labelled("says the same")
                .other(barometer.key_span, "the better of the two")
                .hint("keep the barometer"),
        );
    }
    let tables = root
        .take("reading")
        .map(|field| field.tables(sheet))
        .unwrap_or_default();
    readings.readings = tables
        .into_iter()
        .filter_map(|fields| entry(sheet, fields, circuit, checks))
        .collect();
    for field in root.take_all() {
        let found = Diagnostic::error(
            codes::UNKNOWN_KEY,
            field.key_span,
            format!("unknown key `{}`", shown(field.key)),
        );
        let hint = sheet.suggest(field.key, keys.iter().copied());
        let label = if keys.contains(&"cause") {
            "not known in a story"
        } else {
            "not known in a readings file"
        };
        sheet.push(found.labelled(label).maybe_hint(hint));
    }
    readings
}

/// A barometer counts from nothing; only a wrong word can say otherwise.
fn barometer(sheet: &mut Sheet<'_>, field: &Field<'_>) -> Option<Quantity> {
    let amount = amount(sheet, field, &BAROMETER)?;
    if matches!(
        amount.parsed.reference,
        PressureReference::Gauge | PressureReference::Vacuum
    ) {
        let found = Diagnostic::error(
            codes::REFERENCE,
            amount.span,
            "a barometer reads an absolute pressure",
        );
        sheet.push(
            found
                .labelled("against the wrong reference")
                .hint("leave out the last word"),
        );
        return None;
    }
    Some(amount.parsed.quantity)
}

fn entry(
    sheet: &mut Sheet<'_>,
    mut fields: Fields<'_>,
    circuit: &Circuit,
    checks: &[Check],
) -> Option<ReadingEntry> {
    let span = fields.span;
    let check = fields
        .require("check", sheet, "\"tee:valve.source@idle\"")
        .and_then(|field| field.text(sheet));
    let check = check.and_then(|id| check_id::find(sheet, id, circuit, checks));
    let said: Vec<Field<'_>> = ["value", "bound", "answer"]
        .into_iter()
        .filter_map(|key| fields.take(key))
        .collect();
    let instrument = fields.take("instrument").and_then(|field| field.words(sheet));
    let written = fields.take("accuracy");
    fields.finish(
        sheet,
        &["check", "value", "bound", "answer", "instrument", "accuracy"],
    );
    let said = one_of(sheet, &said, span)?;
    let check = check?;
    let accuracy = match &written {
        Some(field) => Some(accuracy(
            sheet,
            field,
            checks[check].instrument,
            instrument.is_some(),
        )?),
        None => None,
    };
    let value = reading(sheet, &said, checks[check].reads)?;
    Some(ReadingEntry {
        check,
        value,
        instrument,
        accuracy,
        span,
        value_span: said.span,
    })
}

/// How right the named instrument is.
fn accuracy(
    sheet: &mut Sheet<'_>,
    field: &Field<'_>,
    instrument: Instrument,
    named: bool,
) -> Option<AccuracyClass> {
    if !named {
        let found = Diagnostic::error(
            codes::MISSING_KEY,
            field.key_span,
            "`accuracy` is that of an instrument with a name",
        );
        sheet.push(
            found
                .labelled("of which one?")
                .hint("add `instrument = \"second gauge\"`"),
        );
        return None;
    }
    let text = field.text(sheet)?;
    match AccuracyClass::read(text.text, instrument) {
        Ok(class) => Some(class),
        Err(error) => {
            let found = Diagnostic::error(codes::ACCURACY, field.span, error.to_string());
            sheet.push(
                found
                    .labelled("no accuracy of this instrument")
                    .hint(error.hint()),
            );
            None
        }
    }
}

/// The one thing a reading says.
fn one_of<'a>(sheet: &mut Sheet<'_>, said: &[Field<'a>], span: Span) -> Option<Field<'a>> {
    match said {
        [] => {
            let found = Diagnostic::error(codes::NO_READING, span, "this reading says nothing");
            sheet.push(
                found
                    .labelled("value, bound or answer?")
                    .hint("add `value = \"21.5 inHg\"`, `bound = \"> 20 inHg\"` or `answer = \"yes\"`"),
            );
            None
        }
        [one] => Some(*one),
        [one, two, ..] => {
            let message = format!("`{}` and `{}` are both given", one.key, two.key);
            let found =
                Diagnostic::error(codes::SEVERAL_READINGS, two.key_span, message).labelled("one too many");
            sheet.push(
                found
                    .other(one.key_span, "the other")
                    .hint("keep one; write a second reading as another `[[reading]]`"),
            );
            None
        }
    }
}

fn reading(sheet: &mut Sheet<'_>, field: &Field<'_>, reads: Reads) -> Option<ReadingValue> {
    let text = field.text(sheet)?;
    let dimensions: Vec<Dimension> = reads.dimension().into_iter().collect();
    let value = match parse_reading(text.text, &dimensions) {
        Ok(value) => value,
        Err(_) if reads == Reads::YesNo => return answer_expected(sheet, field, text.text),
        Err(error) => {
            let culprit = culprit(sheet, field, &error);
            let mut found = unreadable(&error, culprit, reads.example());
            if let ParseErrorKind::WrongDimension { found: dimension, .. } = error.kind {
                let is = dimension.with_article();
                found.message = format!(
                    "this check reads {}; `{}` is {is}",
                    reads.noun(),
                    shown(text.text)
                );
            }
            sheet.push(found);
            return None;
        }
    };
    fitting(sheet, field, reads, value)
}

/// Whether what was said answers what the check asks.
fn fitting(
    sheet: &mut Sheet<'_>,
    field: &Field<'_>,
    reads: Reads,
    value: ReadingValue,
) -> Option<ReadingValue> {
    match (value, reads) {
        (ReadingValue::NotDone, _) | (ReadingValue::Yes | ReadingValue::No, Reads::YesNo) => Some(value),
        (ReadingValue::Yes | ReadingValue::No, _) => {
            let found = Diagnostic::error(
                codes::VALUE_EXPECTED,
                field.span,
                format!("this check reads {}", reads.noun()),
            );
            sheet.push(
                found
                    .labelled("a yes or no")
                    .hint(format!("for instance `value = \"{}\"`", reads.example())),
            );
            None
        }
        (_, Reads::YesNo) => answer_expected(sheet, field, ""),
        (ReadingValue::Value(parsed) | ReadingValue::Over(parsed) | ReadingValue::Under(parsed), _) => {
            possible(sheet, field, reads, &parsed).then_some(value)
        }
    }
}

fn answer_expected(sheet: &mut Sheet<'_>, field: &Field<'_>, text: &str) -> Option<ReadingValue> {
    let found = Diagnostic::error(
        codes::ANSWER_EXPECTED,
        field.span,
        "this check is answered with yes or no",
    );
    let hint = match sheet.nearest(text, ["yes", "no", "not done"]) {
        Some(near) => format!("did you mean `answer = \"{near}\"`?"),
        None => "write `answer = \"yes\"`, `\"no\"` or `\"not done\"`".to_owned(),
    };
    sheet.push(found.labelled("neither yes nor no").hint(hint));
    None
}

/// Whether an instrument can have shown this. Bounds are held to the same: nobody writes "more than -5 ohm".
fn possible(sheet: &mut Sheet<'_>, field: &Field<'_>, reads: Reads, parsed: &Parsed) -> bool {
    let si = parsed.quantity.si();
    let problem = match (reads, parsed.reference) {
        (Reads::Resistance, _) if si < 0.0 => "a resistance cannot be negative",
        (Reads::Speed, _) if si < 0.0 => "a speed is counted without direction",
        (Reads::Share, _) if !(0.0..=1.2).contains(&si) => "a share lies between nothing and all",
        (Reads::Temperature, _) if si < 0.0 => "nothing is colder than -273 °C",
        (Reads::Flow, _) if si < 0.0 => "a flow is counted without direction",
        (Reads::Time, _) if si < 0.0 => "a watch does not run backwards",
        (Reads::AbsolutePressure, PressureReference::Unstated) if si < 0.0 => {
            "an absolute pressure cannot be negative"
        }
        (Reads::Vacuum, PressureReference::Unstated) | (_, PressureReference::Vacuum) if si > DEEPEST => {
            "no vacuum is deeper than the air is heavy"
        }
        (_, PressureReference::Gauge) | (Reads::GaugePressure, PressureReference::Unstated)
            if si < -DEEPEST =>
        {
            "no vacuum is deeper than the air is heavy"
        }
        _ => return true,
    };
    let found = Diagnostic::error(codes::IMPOSSIBLE, field.span, problem);
    sheet.push(
        found
            .labelled("no instrument shows this")
            .hint(format!("for instance `{}`", reads.example())),
    );
    false
}
