//! A log of raw CAN frames as a recording: frames, messages put together from them, what the messages say.
//!
//! The log is the plain text of the Linux CAN utilities, a frame a line; the messages are those of ISO 15765-2 on the identifiers of ISO
//! 15765-4; what they say are the answers to services 01, 03, 07 and 0A of SAE J1979.

mod answers;
mod log;
mod messages;

use super::{ImportError, in_all};
use crate::recognise::Guess;
use crate::recording::{Clock, Code, Column, Dropped, Finding, Recording};
use crate::signal::Signal;
use answers::{Answer, Answers};
use messages::Messages;
use quantity::Unit;
use std::collections::BTreeMap;

pub(super) use log::is_log;

/// Lines that cannot be read which are told with their place; the rest is counted.
const TOLD: usize = 5;

/// The answers in a log of frames, by time.
pub(super) fn read(text: &str) -> Result<Recording, ImportError> {
    let mut dropped = Dropped::default();
    let mut findings: Vec<Finding> = Vec::new();
    let (mut messages, mut answers) = (Messages::default(), Answers::default());
    let mut told: Vec<(f64, Answer)> = Vec::new();
    let mut frames = 0_usize;
    for (at, line) in text.lines().enumerate() {
        if line.trim().is_empty() || line.starts_with('#') {
            continue;
        }
        let Some(frame) = log::frame(line) else {
            dropped.rows += 1;
            if dropped.rows <= TOLD {
                findings.push(Finding {
                    row: Some(at + 1),
                    column: None,
                    what: format!("`{}` is no frame and was left out", super::shape::short(line)),
                });
            }
            continue;
        };
        frames += 1;
        if let Some(message) = messages.take(&frame) {
            told.extend(
                answers
                    .of(frame.id, &message)
                    .into_iter()
                    .map(|answer| (frame.time, answer)),
            );
        }
    }
    in_all(
        &mut findings,
        dropped.rows,
        TOLD,
        "lines in all are no frames and were left out",
    );
    in_all(
        &mut findings,
        messages.broken,
        0,
        "messages are not whole and were left out",
    );
    in_all(
        &mut findings,
        answers.unknown,
        0,
        "answers are about things that are not known here",
    );
    if told.is_empty() {
        return Err(ImportError::NoAnswers { frames });
    }
    Ok(recording(&told, dropped, findings))
}

/// A row for every moment at which something was told; a column for every signal, held until it is told again.
fn recording(told: &[(f64, Answer)], mut dropped: Dropped, mut findings: Vec<Finding>) -> Recording {
    let mut time: Vec<f64> = Vec::new();
    let mut columns: BTreeMap<(Signal, &'static str), Vec<f64>> = BTreeMap::new();
    let mut codes: Vec<Code> = Vec::new();
    let first = told[0].0;
    for (at, answer) in told {
        let at = at - first;
        match time.last() {
            Some(last) if at < *last => {
                dropped.backwards += 1;
                continue;
            }
            Some(last) if at <= *last => {}
            _ => {
                time.push(at);
                for values in columns.values_mut() {
                    values.push(f64::NAN);
                }
            }
        }
        match answer {
            Answer::Value { signal, name, si } => {
                let values = columns
                    .entry((*signal, name))
                    .or_insert_with(|| vec![f64::NAN; time.len()]);
                // Every column is as long as the time.
                if let Some(value) = values.last_mut() {
                    *value = *si;
                }
            }
            Answer::Code { code, list } => {
                if !codes
                    .iter()
                    .any(|known| known.code == *code && known.list == *list)
                {
                    codes.push(Code {
                        code: code.clone(),
                        list: *list,
                        at_s: at,
                    });
                }
            }
        }
    }
    in_all(
        &mut findings,
        dropped.backwards,
        0,
        "answers run backwards in time and were left out",
    );
    let columns = columns.into_iter().map(|((signal, name), values)| {
        let mut column = Column::new(name, None, values);
        let known = signal.known();
        let guess = Unit::named_for(known.usual, known.dimension).map(|unit| Guess {
            signal,
            unit,
            confidence: 1.0,
        });
        column.signal = Some(signal);
        column.unit = guess.map(|guess| guess.unit);
        column.confidence = 1.0;
        column
    });
    let mut recording = Recording {
        columns: columns.collect(),
        clock: Clock::Recorded,
        began_s: first,
        simulated: false,
        heads: Vec::new(),
        time,
        codes,
        dropped,
        findings,
    };
    recording.hold();
    recording
}
