//! The readings of a job as a readings file: the one form in which the engine takes evidence.

use crate::event::Said;
use crate::facts::Reading;
use crate::state::Job;
use std::fmt::Write as _;

impl Job {
    /// A readings file (TOML) with all readings that count: what the job believes is what a readings file of the same readings
    /// gives. A reading of a check that is taken twice with the same instrument stands twice.
    pub fn readings_file(&self) -> String {
        let mut text = self.air();
        for reading in self.counting() {
            let Reading { check, said, .. } = reading;
            let with = reading.instrument.as_deref().map(|name| With {
                name,
                accuracy: reading.accuracy.as_deref(),
            });
            write_reading(&mut text, check, said, with);
        }
        text
    }

    /// The beginning of a readings file: the air around, without a reading.
    pub fn air(&self) -> String {
        let intake = &self.intake;
        let mut text = String::new();
        // A barometer is better than a height, and a readings file takes one of them.
        let air = match (&intake.barometer, &intake.altitude) {
            (Some(barometer), _) => Some(("barometer", barometer)),
            (None, altitude) => altitude.as_ref().map(|altitude| ("altitude", altitude)),
        };
        let temperature = intake.temperature.as_ref().map(|value| ("temperature", value));
        for (key, value) in air.into_iter().chain(temperature) {
            line(&mut text, key, value);
        }
        text
    }
}

/// An instrument that is not the usual one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct With<'a> {
    /// What the shop calls it.
    pub name: &'a str,
    /// How right it is, if that is known: `class 1.6`.
    pub accuracy: Option<&'a str>,
}

/// Adds one reading to the end of a readings file.
pub fn write_reading(text: &mut String, check: &str, said: &Said, with: Option<With<'_>>) {
    text.push_str("[[reading]]\n");
    line(text, "check", check);
    match said {
        Said::Value(value) => line(text, "value", value),
        Said::Bound(bound) => line(text, "bound", bound),
        Said::Answer(answer) => line(text, "answer", answer),
    }
    if let Some(With { name, accuracy }) = with {
        line(text, "instrument", name);
        if let Some(accuracy) = accuracy {
            line(text, "accuracy", accuracy);
        }
    }
}

/// `key = "value"`, whatever the value holds: what a basic string of TOML must not hold is escaped.
fn line(text: &mut String, key: &str, value: &str) {
    let mut quoted = String::new();
    for letter in value.chars() {
        match letter {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            control if control.is_control() => {
                // Writing to a String cannot fail.
                let _ = write!(quoted, "\\u{:04X}", u32::from(control));
            }
            other => quoted.push(other),
        }
    }
    let _ = writeln!(text, "{key} = \"{quoted}\"");
}
