//! From text to JSON values with their places, and everything that is not JSON about it.
//!
//! The parser is asked to understand what other notations allow: comments, a comma at the end of a list, keys without
//! quotes. Each of these is then found by looking at what stands between and inside the values, so that one forgotten
//! comma does not hide the rest. Where brackets and quotes do not match nothing more can be said, and one finding is all.

use super::codes;
use super::sheet::{Sheet, shown};
use diag::{Diagnostic, Span};
use jsonc_parser::ast::{ObjectPropName, Value};
use jsonc_parser::common::{Range, Ranged};
use jsonc_parser::errors::{ParseError, ParseErrorKind};
use jsonc_parser::{CollectOptions, CommentCollectionStrategy, ParseOptions, parse_to_ast};

/// Largest text that is read, bytes: two million probabilities with all their digits, and half as much again.
const MAX_BYTES: usize = 64 << 20;
/// Most values that are read: twice the largest table that has to be read, and some 300 MB while reading.
const MAX_VALUES: usize = 4_000_000;
/// Most objects among them: causes, tests and set-ups together. Each takes some 500 bytes while reading.
const MAX_OBJECTS: usize = 200_000;
/// Largest text in which comments and missing commas are understood, bytes. Nobody writes more by hand; in a larger text they,
/// or values without commas between them, could not be counted before they fill the memory.
const MAX_BY_HAND: usize = 1 << 20;

/// The value that the text holds. `None` if a finding says why there is none.
pub(super) fn parse<'a>(sheet: &mut Sheet<'a>, source_name: &str) -> Option<Value<'a>> {
    let text = sheet.text();
    if let Some(message) = too_large(text, source_name) {
        let start = Span::new(0, 0);
        sheet.push(Diagnostic::error(codes::TOO_LARGE, start, message).labelled("not read"));
        return None;
    }
    let collect = CollectOptions {
        comments: CommentCollectionStrategy::Separate,
        tokens: false,
    };
    let parsed = match parse_to_ast(text, &collect, &options(text)) {
        Ok(parsed) => parsed,
        Err(error) => {
            sheet.push(broken(text, &error));
            return None;
        }
    };
    let comments = parsed.comments.unwrap_or_default();
    // A comment is filed under the value before and under the one behind it.
    let mut comments: Vec<Span> = comments
        .values()
        .flat_map(|group| group.iter().map(|comment| span_of(comment.range())))
        .collect();
    comments.sort_unstable();
    comments.dedup();
    for comment in comments {
        sheet.push(loose(first_line(text, comment), "JSON has no comments", "a comment").hint("take it out"));
    }
    let Some(value) = parsed.value else {
        let message = format!("`{}` holds no table", shown(source_name));
        let found = Diagnostic::error(codes::SYNTAX, Span::new(0, 0), message);
        sheet.push(found.labelled("empty"));
        return None;
    };
    between(sheet, 0, value.range().start);
    strict(sheet, &value);
    between(sheet, value.range().end, text.len());
    Some(value)
}

/// Where a value stands.
pub(super) fn span_of(range: Range) -> Span {
    Span::new(range.start, range.end)
}

/// What to underline of a value: all of it, or where it is opened if it is long.
pub(super) fn place(value: &Value<'_>) -> Span {
    let span = span_of(value.range());
    match value {
        Value::Object(object) if !object.properties.is_empty() => Span::new(span.start, span.start + 1),
        Value::Array(array) if !array.elements.is_empty() => Span::new(span.start, span.start + 1),
        _ => span,
    }
}

fn too_large(text: &str, source_name: &str) -> Option<String> {
    let name = shown(source_name);
    if text.len() > MAX_BYTES {
        return Some(format!("`{name}` has more than {MAX_BYTES} bytes"));
    }
    let count = |wanted: &[u8]| text.bytes().filter(|byte| wanted.contains(byte)).count();
    if count(b"{") > MAX_OBJECTS {
        return Some(format!("`{name}` has more than {MAX_OBJECTS} objects"));
    }
    // Every value but the outermost stands behind a comma or is the first within its brackets.
    (count(b",[{") > MAX_VALUES).then(|| format!("`{name}` has more than {MAX_VALUES} values"))
}

fn options(text: &str) -> ParseOptions {
    let by_hand = text.len() <= MAX_BY_HAND;
    ParseOptions {
        allow_comments: by_hand,
        allow_loose_object_property_names: true,
        allow_trailing_commas: true,
        allow_missing_commas: by_hand,
        allow_single_quoted_strings: true,
        allow_hexadecimal_numbers: true,
        allow_unary_plus_numbers: true,
        allow_bare_decimal_point_numbers: true,
        allow_non_finite_numbers: true,
        allow_extended_string_escapes: false,
    }
}

fn loose(span: Span, message: impl Into<String>, label: &str) -> Diagnostic {
    Diagnostic::error(codes::LOOSE, span, message).labelled(label)
}

/// Finds what is not JSON in a value and in what it holds. As deep as the parser goes, which has its own limit.
fn strict(sheet: &mut Sheet<'_>, value: &Value<'_>) {
    match value {
        _ if sheet.enough() => {}
        Value::StringLit(text) => strict_text(sheet, span_of(text.range)),
        Value::NumberLit(number) if !is_json_number(number.value) => {
            let message = format!("JSON does not write numbers as `{}`", shown(number.value));
            let found = loose(span_of(number.range), message, "not a JSON number");
            sheet.push(found.hint("write digits, with a point between them: `0.5`, `12`, `1e3`"));
        }
        Value::Array(array) => {
            let members = array.elements.iter().map(Value::range);
            let inside = Span::new(array.range.start + 1, array.range.end.saturating_sub(1));
            commas(sheet, inside, members);
            for member in &array.elements {
                strict(sheet, member);
            }
        }
        Value::Object(object) => {
            let members = object.properties.iter().map(|property| property.range);
            let inside = Span::new(object.range.start + 1, object.range.end.saturating_sub(1));
            commas(sheet, inside, members);
            for property in &object.properties {
                strict_key(sheet, &property.name);
                between(sheet, property.name.range().end, property.value.range().start);
                strict(sheet, &property.value);
            }
        }
        Value::NumberLit(_) | Value::BooleanLit(_) | Value::NullKeyword(_) => {}
    }
}

fn strict_key(sheet: &mut Sheet<'_>, name: &ObjectPropName<'_>) {
    let span = span_of(name.range());
    match name {
        ObjectPropName::String(_) => strict_text(sheet, span),
        ObjectPropName::Word(word) => {
            let found = loose(span, "a key needs double quotes", "without quotes");
            sheet.push(found.hint(format!("write `\"{}\"`", shown(word.value))));
        }
    }
}

fn strict_text(sheet: &mut Sheet<'_>, span: Span) {
    let raw = sheet.slice(span);
    if raw.starts_with('\'') {
        let found = loose(span, "a text needs double quotes", "single quotes");
        sheet.push(found.hint("write it in `\"`"));
    }
    if let Some(at) = raw.find(|c: char| c < ' ') {
        let place = Span::new(span.start + at, span.start + at + 1);
        let found = loose(place, "a text holds a new line, a tab or the like", "not printed");
        sheet.push(found.hint("close the text before it, or write `\\n` for a new line and `\\t` for a tab"));
    }
}

/// Numbers as RFC 8259, section 6, has them; that the digits are in order the parser has seen to.
pub(super) fn is_json_number(number: &str) -> bool {
    let digit = |byte: Option<&u8>| byte.is_some_and(u8::is_ascii_digit);
    let bytes = number.as_bytes();
    let point = bytes.iter().position(|byte| *byte == b'.');
    let begins = digit(bytes.first()) || (bytes.first() == Some(&b'-') && digit(bytes.get(1)));
    let ends = point.is_none_or(|at| digit(bytes.get(at + 1)));
    begins && ends && !number.contains(['x', 'X'])
}

/// Finds commas that are missing between members, and one that stands behind the last.
fn commas(sheet: &mut Sheet<'_>, inside: Span, members: impl Iterator<Item = Range>) {
    let mut last = None;
    for member in members {
        let start = last.unwrap_or(inside.start);
        let comma = between(sheet, start, member.start);
        if let (Some(end), None) = (last, comma) {
            sheet.push(missing_comma(sheet.text(), end, member.start));
        }
        last = Some(member.end);
    }
    let end = last.unwrap_or(inside.start);
    if let Some(comma) = between(sheet, end, inside.end) {
        let found = loose(
            Span::new(comma, comma + 1),
            "a comma stands behind the last member",
            "one too many",
        );
        sheet.push(found.hint("take it out"));
    }
}

fn missing_comma(text: &str, end: usize, next: usize) -> Diagnostic {
    if end == next {
        let found = loose(
            Span::new(end, text.ceil_char_boundary(end + 1)),
            "two values run into one another",
            "begins here",
        );
        return found.hint("write one value, or put a comma between; a number does not begin with `0`");
    }
    loose(
        Span::new(end, end),
        "a comma is missing",
        "`,` between two members",
    )
    .hint("put a comma here")
}

/// The first comma between two values, if any; finds blanks there that JSON does not know.
fn between(sheet: &mut Sheet<'_>, from: usize, to: usize) -> Option<usize> {
    let text = sheet.slice(Span::new(from, to));
    let mut comma = None;
    let mut at = 0;
    while let Some(byte) = text.as_bytes().get(at) {
        let rest = &text[at..];
        at += match byte {
            b'/' if rest.starts_with("//") => rest.find(['\n', '\r']).unwrap_or(rest.len()),
            b'/' => rest.find("*/").map_or(rest.len(), |end| end + 2),
            b',' => {
                comma = comma.or(Some(from + at));
                1
            }
            b' ' | b'\t' | b'\n' | b'\r' | b':' => 1,
            _ => {
                let length = rest.chars().next().map_or(1, char::len_utf8);
                let blank = Span::new(from + at, from + at + length);
                let found = loose(blank, "JSON does not know this blank", "looks like a blank");
                sheet.push(found.hint("type a space in its place"));
                length
            }
        };
    }
    comma
}

/// A place at which the text can no longer be understood.
fn broken(text: &str, error: &ParseError) -> Diagnostic {
    let span = span_of(error.range());
    // A word is cut short at a bracket, and then called something else.
    let word = text
        .get(span.start..)
        .is_some_and(|rest| rest.starts_with(char::is_alphabetic));
    let (message, label, hint) = match error.kind() {
        ParseErrorKind::UnexpectedToken if word => told(&ParseErrorKind::UnexpectedWord),
        kind => told(kind),
    };
    let opened = matches!(
        error.kind(),
        ParseErrorKind::UnterminatedArray | ParseErrorKind::UnterminatedObject
    );
    let span = if opened {
        Span::new(span.start, span.start + 1)
    } else {
        first_line(text, span)
    };
    Diagnostic::error(codes::SYNTAX, span, message)
        .labelled(label)
        .hint(hint)
}

/// What is wrong, beside the place, and what to do.
fn told(kind: &ParseErrorKind) -> (&'static str, &'static str, &'static str) {
    use ParseErrorKind as Kind;
    match kind {
        Kind::UnterminatedArray => ("a list is not closed", "opened here", "close it with `]`"),
        Kind::UnterminatedObject => ("an object is not closed", "opened here", "close it with `}`"),
        Kind::CommentsNotAllowed => ("JSON has no comments", "a comment", "take it out"),
        Kind::UnterminatedCommentBlock => (
            "a comment is not closed",
            "opened here",
            "JSON has no comments: take it out",
        ),
        Kind::String(_) => (
            "a text cannot be read",
            "not closed, or a wrong `\\`",
            "close it with `\"`; write a backslash as `\\\\`",
        ),
        Kind::ExpectedColonAfterObjectKey => (
            "a colon is missing",
            "`:` wanted before this",
            "write `\"key\": value`",
        ),
        Kind::ExpectedObjectValue => ("a value is missing", "nothing here", "write `\"key\": value`"),
        Kind::ExpectedComma => (
            "a comma is missing",
            "`,` between two members",
            "put a comma here",
        ),
        Kind::MultipleRootJsonValues => (
            "something stands behind the end of the table",
            "not part of it",
            "take it out, or close the object later",
        ),
        Kind::NestingDepthExceeded => (
            "brackets are nested too deep",
            "too deep",
            "a table has three levels",
        ),
        Kind::UnexpectedCloseBrace => (
            "nothing is there to be closed with `}`",
            "unexpected",
            "close lists with `]`, objects with `}`",
        ),
        Kind::UnexpectedCloseBracket => (
            "nothing is there to be closed with `]`",
            "unexpected",
            "close lists with `]`, objects with `}`",
        ),
        Kind::UnexpectedComma => (
            "a value is missing",
            "a comma where a value should be",
            "write the value, or take out the comma",
        ),
        Kind::UnexpectedWord => (
            "a word stands without quotes",
            "not a value",
            "write texts in `\"`; the only words without are `null`, `true` and `false`",
        ),
        Kind::ExpectedDigit
        | Kind::ExpectedDigitFollowingNegativeSign
        | Kind::ExpectedPlusMinusOrDigitInNumberLiteral => (
            "a number is not complete",
            "a digit is wanted here",
            "write digits, with a point between them: `0.5`, `12`, `1e3`",
        ),
        _ => (
            "this is not JSON",
            "unexpected",
            "an object is `{\"key\": value, ..}`, a list `[value, ..]`, a text stands in `\"`",
        ),
    }
}

/// As much of a stretch as stands on its first line.
fn first_line(text: &str, span: Span) -> Span {
    let start = text.floor_char_boundary(span.start);
    let end = text.ceil_char_boundary(span.end).max(start);
    let line = text[start..end].find(['\n', '\r']).unwrap_or(end - start);
    Span::new(start, start + line)
}
