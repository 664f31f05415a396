//! Many mistakes in one file, all found in one pass, in the order of the text.
#![allow(clippy::unwrap_used, reason = "tests")]

mod common;

use circuit::read;
use common::catalogue;
use diag::{Diagnostic, Source};
use std::fmt::Write;

/// A finding as the command line would show it, without the picture.
fn line(source: &Source, found: &Diagnostic) -> String {
    let (line, column) = source.line_column(found.span.start);
    let mut shown = format!("{line}:{column} {} {}\n", found.code, found.message);
    write!(shown, "    `{}` {}", source.slice(found.span), found.label).unwrap();
    for other in &found.others {
        write!(shown, "\n    `{}` {}", source.slice(other.span), other.text).unwrap();
    }
    if let Some(hint) = &found.hint {
        write!(shown, "\n    hint: {hint}").unwrap();
    }
    shown
}

#[test]
fn all_in_one_pass() {
    let text = include_str!("common/wrong.toml");
    let file = read("wrong", text, &catalogue());
    assert!(file.circuit.is_none());
    let source = Source::new("wrong.toml", text);
    let shown: Vec<_> = file.findings.iter().map(|found| line(&source, found)).collect();
    insta::assert_snapshot!(shown.join("\n"));
}

/// The first line of a message fits a terminal and does not end like a sentence.
#[test]
fn messages_are_short() {
    let file = read("wrong", include_str!("common/wrong.toml"), &catalogue());
    assert!(file.findings.len() >= 8);
    for found in &file.findings {
        assert!(
            found.message.chars().count() <= 80 && !found.message.ends_with('.'),
            "{}",
            found.message
        );
        assert!(circuit::explain(found.code).is_some(), "{}", found.code);
    }
    assert!(file.findings.is_sorted_by_key(|found| found.span));
}

/// What a syntax error may have swallowed is not said to be missing; what lies clear of it is still found.
#[test]
fn a_syntax_error_does_not_hide_the_rest() {
    let text = "[circuit]\ntitle = small\n[part.a]\nkind = \"tub\"\n[part.b]\nkind = \"tube\"\nbore = \"3 V\"\nfrom = \"c.d\"\n";
    let file = read("test", text, &catalogue());
    common::expect(
        text,
        &file.findings,
        &[
            ("C001", "small", "write the value in quotes: `key = \"value\"`"),
            ("C030", "tub", "did you mean `tube`?"),
            ("C022", "V", "write a length, for instance `10 mm`"),
        ],
    );
}
