//! Reading a story: a whole job as it went, with what it was in the end.
//!
//! A story names a shipped circuit, says what the customer said, which checks were made and what they read, the true cause, how
//! likely that cause must be when all readings are in, and how many checks whoever worked on it took. The readings stand as in a
//! readings file. Whether the story comes true is for belief and plan to show.
//!
//! ```toml
//! title = "Split hose behind the solenoid"
//! sort = "single fault"
//! circuit = "vacuum-wastegate"
//! complaint = "no power"
//! codes = ["P0299"]
//! cause = ["signal-line/leaks = 2 mm"]     # or "nothing wrong", "not listed"
//! probability = 0.8
//! checks = 5
//! [[reading]]
//! check = "tee:valve.output@idle"
//! value = "4 inHg"
//! ```

use crate::check::{Check, Instrument};
use crate::codes;
use crate::fields::{Field, Fields, Quoted};
use crate::model::{Circuit, FaultId};
use crate::readings::{Readings, document};
use crate::sheet::{Sheet, listed, shown};
use diag::{Diagnostic, Span};
use quantity::Dimension;

/// What a story is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sort {
    /// One fault.
    SingleFault,
    /// Two faults at once.
    DoubleFault,
    /// A fault that comes and goes.
    Intermittent,
    /// An instrument that is far off.
    LyingGauge,
    /// A part that was renewed with a bad one.
    BadNewPart,
    /// Nothing is wrong in the circuit.
    NothingWrong,
    /// The cause is not on the circuit's list.
    NotListed,
}

impl Sort {
    /// All sorts with their words.
    pub const ALL: [(&'static str, Self); 7] = [
        ("single fault", Self::SingleFault),
        ("double fault", Self::DoubleFault),
        ("intermittent", Self::Intermittent),
        ("lying gauge", Self::LyingGauge),
        ("bad new part", Self::BadNewPart),
        ("nothing wrong", Self::NothingWrong),
        ("not listed", Self::NotListed),
    ];
}

/// What was wrong in the end.
#[derive(Debug, Clone, PartialEq)]
pub enum Cause {
    /// These faults, with their severities where they were measured.
    Faults(Vec<(FaultId, Option<f64>)>),
    /// Nothing in this circuit.
    NothingWrong,
    /// Something that the circuit does not list.
    NotListed,
}

/// A job as it went.
#[derive(Debug, Clone)]
pub struct Story {
    /// Its title.
    pub title: String,
    /// What it is about.
    pub sort: Sort,
    /// Name of the circuit.
    pub circuit: String,
    /// What the customer said.
    pub complaint: Option<String>,
    /// Codes that were stored.
    pub codes: Vec<String>,
    /// What was wrong.
    pub cause: Cause,
    /// `true` if the readings leave open in which way the part has failed: then the part is what must lead.
    pub by_part: bool,
    /// An instrument that was far off, and the share by which it read too much.
    pub wrong: Option<(Instrument, f64)>,
    /// How likely the cause must be when all readings are in.
    pub probability: f64,
    /// How many checks whoever worked on it made.
    pub checks: usize,
    /// The readings in their order.
    pub readings: Readings,
}

/// What came of reading a story.
#[derive(Debug, Clone)]
pub struct StoryFile {
    /// The story; `None` if a finding is an error.
    pub story: Option<Story>,
    /// Everything found, in the order of the text.
    pub findings: Vec<Diagnostic>,
}

/// A circuit that stories may name, with its checks.
pub type Known<'c> = (&'c Circuit, &'c [Check]);

const KEYS: &[&str] = &[
    "title",
    "sort",
    "circuit",
    "complaint",
    "codes",
    "cause",
    "by",
    "wrong",
    "probability",
    "checks",
    "altitude",
    "barometer",
    "temperature",
    "reading",
];
/// Checks on one job beyond which a figure is a slip of the pen.
const MOST_CHECKS: f64 = 200.0;

/// Reads a story about one of the circuits that are `known`.
pub fn read_story(text: &str, known: &[Known<'_>]) -> StoryFile {
    let (mut sheet, root) = Sheet::parse(text);
    let story = root.and_then(|root| story(&mut sheet, Fields::of(&root, Span::new(0, 0)), known));
    StoryFile {
        story: story.filter(|_| !sheet.has_errors()),
        findings: sheet.into_findings(),
    }
}

fn story(sheet: &mut Sheet<'_>, mut root: Fields<'_>, known: &[Known<'_>]) -> Option<Story> {
    let title = root.require("title", sheet, "\"Split hose behind the solenoid\"");
    let title = title.and_then(|field| field.words(sheet));
    let sort = root.require("sort", sheet, "\"single fault\"");
    let sort = sort.and_then(|field| word(sheet, &field, &Sort::ALL));
    let name = root.require("circuit", sheet, "\"vacuum-wastegate\"");
    let named = name.and_then(|field| circuit(sheet, &field, known));
    let complaint = root.take("complaint").and_then(|field| field.words(sheet));
    let codes = root.take("codes").and_then(|field| field.texts(sheet));
    let cause = root.require("cause", sheet, "[\"valve/sticks closed\"]");
    let by = root
        .take("by")
        .and_then(|field| word(sheet, &field, &[("fault", false), ("part", true)]));
    let wrong = root.take("wrong").map(|field| wrong(sheet, &field));
    let probability = root
        .require("probability", sheet, "0.8")
        .and_then(|field| field.number(sheet, 0.0, 1.0));
    let checks = root.require("checks", sheet, "6");
    let checks = checks.and_then(|field| field.number(sheet, 1.0, MOST_CHECKS));
    let Some((circuit, derived)) = named else {
        // Without a circuit neither a cause nor a reading means anything.
        root.take_all();
        return None;
    };
    let cause = cause.and_then(|field| self::cause(sheet, &field, circuit));
    let readings = document(sheet, root, circuit, derived, KEYS);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 1 and the most checks"
    )]
    let checks = checks? as usize;
    Some(Story {
        title: title?,
        sort: sort?,
        circuit: circuit.name.clone(),
        complaint,
        codes: codes
            .unwrap_or_default()
            .iter()
            .map(|code| code.text.to_owned())
            .collect(),
        cause: cause?,
        by_part: by.unwrap_or(false),
        wrong: wrong.flatten(),
        probability: probability?,
        checks,
        readings,
    })
}

/// One of a few words.
fn word<T: Copy>(sheet: &mut Sheet<'_>, field: &Field<'_>, words: &[(&'static str, T)]) -> Option<T> {
    let text = field.text(sheet)?;
    if let Some((_, value)) = words.iter().find(|(word, _)| *word == text.text.trim()) {
        return Some(*value);
    }
    let names: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
    let found = Diagnostic::error(
        codes::UNKNOWN_WORD,
        text.span,
        format!("`{}` is no word for `{}`", shown(text.text), shown(field.key)),
    );
    let near = sheet.nearest(text.text, names.iter().copied());
    let hint = near.map(|near| format!("did you mean `{near}`?"));
    sheet.push(
        found
            .labelled("not known here")
            .maybe_hint(hint.or_else(|| listed(&names).map(|list| format!("known here: {list}")))),
    );
    None
}

fn circuit<'k>(sheet: &mut Sheet<'_>, field: &Field<'_>, known: &[Known<'k>]) -> Option<Known<'k>> {
    let text = field.text(sheet)?;
    if let Some(found) = known.iter().find(|(circuit, _)| circuit.name == text.text.trim()) {
        return Some(*found);
    }
    let names: Vec<&str> = known.iter().map(|(circuit, _)| circuit.name.as_str()).collect();
    let found = Diagnostic::error(
        codes::UNKNOWN_CIRCUIT,
        text.span,
        format!("there is no circuit `{}`", shown(text.text)),
    );
    let near = sheet.nearest(text.text, names.iter().copied());
    let hint = near.map(|near| format!("did you mean `{near}`?"));
    sheet.push(
        found
            .labelled("not shipped")
            .maybe_hint(hint.or_else(|| listed(&names).map(|list| format!("known here: {list}")))),
    );
    None
}

fn cause(sheet: &mut Sheet<'_>, field: &Field<'_>, circuit: &Circuit) -> Option<Cause> {
    let texts = field.texts(sheet)?;
    if let [one] = texts[..] {
        match one.text.trim() {
            "nothing wrong" => return Some(Cause::NothingWrong),
            "not listed" => return Some(Cause::NotListed),
            _ => {}
        }
    }
    if texts.is_empty() {
        let found = Diagnostic::error(codes::EMPTY, field.span, "`cause` is empty");
        sheet.push(
            found
                .labelled("what was it?")
                .hint("write `cause = \"nothing wrong\"` where nothing was"),
        );
        return None;
    }
    let faults: Vec<_> = texts.iter().map(|text| fault(sheet, *text, circuit)).collect();
    faults.into_iter().collect::<Option<Vec<_>>>().map(Cause::Faults)
}

/// `PART/FAULT` or `PART/FAULT = SEVERITY`.
fn fault(sheet: &mut Sheet<'_>, text: Quoted<'_>, circuit: &Circuit) -> Option<(FaultId, Option<f64>)> {
    let (name, severity) = match text.text.split_once('=') {
        Some((name, severity)) => (name, Some(severity)),
        None => (text.text, None),
    };
    let Some(id) = circuit.fault(name.trim()) else {
        let names: Vec<String> = circuit
            .faults()
            .iter()
            .map(|(id, _)| circuit.fault_name(*id))
            .collect();
        let message = format!("there is no fault `{}`", shown(name.trim()));
        let found = Diagnostic::error(codes::UNKNOWN_FAULT, text.part(Span::new(0, name.len())), message);
        let near = sheet.nearest(name.trim(), names.iter().map(String::as_str));
        let hint = near.map(|near| format!("did you mean `{near}`?"));
        sheet.push(found.labelled("PART/FAULT").maybe_hint(hint));
        return None;
    };
    let Some(severity) = severity else {
        return Some((id, None));
    };
    let span = text.part(Span::new(name.len() + 1, text.text.len()));
    let Some(spec) = circuit.fault_spec(id).severity else {
        let found = Diagnostic::error(
            codes::UNREADABLE,
            span,
            "this fault is there or not: it has no severity",
        );
        sheet.push(found.labelled("leave it out"));
        return None;
    };
    let parsed = quantity::parse(severity, &[spec.dimension]).ok();
    let si = parsed.map(|parsed| parsed.quantity.si());
    if let Some(si) = si.filter(|si| *si > 0.0 && si.is_finite()) {
        return Some((id, Some(si)));
    }
    let message = format!("`{}` is no {}", shown(severity.trim()), spec.what);
    let found = Diagnostic::error(codes::UNREADABLE, span, message).labelled(spec.what);
    sheet.push(found.hint(format!("write it in {}", spec.unit)));
    None
}

/// `{ instrument = "vacuum gauge", reads = "-20 %" }`.
fn wrong(sheet: &mut Sheet<'_>, field: &Field<'_>) -> Option<(Instrument, f64)> {
    const EXAMPLE: &str = "wrong = { instrument = \"vacuum gauge\", reads = \"-20 %\" }";
    /// No gauge that still moves is further off.
    const MOST: f64 = 0.5;
    let mut fields = field.fields(sheet, EXAMPLE)?;
    let sorts: Vec<(&str, Instrument)> = Instrument::ALL.map(|sort| (sort.word(), sort)).to_vec();
    let instrument = fields.require("instrument", sheet, "\"vacuum gauge\"");
    let instrument = instrument.and_then(|field| word(sheet, &field, &sorts));
    let reads = fields.require("reads", sheet, "\"-20 %\"");
    let reads = reads.and_then(|field| {
        let text = field.text(sheet)?;
        let parsed = quantity::parse(text.text, &[Dimension::Ratio]).ok();
        let share = parsed
            .map(|parsed| parsed.quantity.si())
            .filter(|share| share.abs() <= MOST);
        if share.is_none() {
            let message = format!("`{}` is no share by which a gauge is off", shown(text.text));
            let found = Diagnostic::error(codes::UNREADABLE, text.span, message);
            sheet.push(
                found
                    .labelled("from -50 % to 50 %")
                    .hint("for instance `\"-20 %\"`"),
            );
        }
        share
    });
    fields.finish(sheet, &["instrument", "reads"]);
    Some((instrument?, reads?))
}
