//! Any text as a quantity and as a reading: never a panic, every span on the text's own character boundaries.
//!
//! What was understood must be finite, and must read as the same quantity when printed again in its own unit.

#![no_main]

use libfuzzer_sys::fuzz_target;
use quantity::{Dimension, ParseError, Parsed, ReadingValue, UnitSystem, parse, parse_reading};

fuzz_target!(|input: (u8, &str)| {
    let (choice, text) = input;
    let accepted = accepted(choice);
    match parse(text, &accepted) {
        Ok(parsed) => understood(&parsed, &accepted),
        Err(error) => refused(text, &error),
    }
    match parse_reading(text, &accepted) {
        Ok(ReadingValue::Value(parsed) | ReadingValue::Over(parsed) | ReadingValue::Under(parsed)) => {
            understood(&parsed, &accepted)
        }
        Ok(ReadingValue::Yes | ReadingValue::No | ReadingValue::NotDone) => {}
        Err(error) => refused(text, &error),
    }
});

/// Any dimension, one, or two of them.
fn accepted(choice: u8) -> Vec<Dimension> {
    let all = Dimension::ALL;
    let first = usize::from(choice) % (all.len() + 1);
    all.iter()
        .skip(first)
        .take(1 + usize::from(choice) / 128)
        .copied()
        .collect()
}

fn understood(parsed: &Parsed, accepted: &[Dimension]) {
    let quantity = parsed.quantity;
    assert!(quantity.si().is_finite(), "{parsed:?}");
    assert!(
        accepted.is_empty() || accepted.contains(&quantity.dimension()),
        "{parsed:?}"
    );
    assert!(parsed.spread().is_none_or(|spread| spread >= 0.0), "{parsed:?}");
    for system in UnitSystem::ALL {
        let shown = system.show(quantity);
        assert!(!shown.chars().any(char::is_control), "{shown:?}");
    }
}

fn refused(text: &str, error: &ParseError) {
    assert!(
        text.get(error.span.clone()).is_some(),
        "{:?} of {text:?}",
        error.span
    );
    let line = error.to_string();
    assert!(
        line.chars().count() <= 80 && !line.chars().any(char::is_control),
        "{line:?}"
    );
    if let Some(hint) = error.hint() {
        assert!(!hint.chars().any(char::is_control), "{hint:?}");
    }
}
