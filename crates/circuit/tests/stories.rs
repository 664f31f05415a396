//! Stories: what is understood, and every way in which one can be wrong.
#![allow(clippy::unwrap_used, reason = "tests")]

mod common;

use circuit::{Cause, Instrument, Sort, derive_checks, read_story};
use common::{Row, SMALL, expect, good};

const STORY: &str = "title = \"A stuck plunger\"\nsort = \"single fault\"\ncircuit = \"test\"\n\
    complaint = \"no power\"\ncodes = [\"P0299\"]\ncause = [\"valve/sticks closed\"]\n\
    probability = 0.8\nchecks = 4\naltitude = \"1600 m\"\n\
    [[reading]]\ncheck = \"tee:can.nipple@idle\"\nvalue = \"0 inHg\"\n";

fn told(text: &str) -> circuit::StoryFile {
    let mut circuit = good(SMALL);
    "test".clone_into(&mut circuit.name);
    let checks = derive_checks(&circuit);
    read_story(text, &[(&circuit, &checks)])
}

/// Writes `to` in place of `from` in the story; exactly this must be found.
fn check(from: &str, to: &str, expected: Row) {
    assert_eq!(STORY.matches(from).count(), 1, "{from:?} must be there once");
    let text = STORY.replace(from, to);
    let file = told(&text);
    expect(&text, &file.findings, &[expected]);
    assert!(file.story.is_none());
}

#[test]
fn a_whole_story_is_read() {
    let file = told(STORY);
    assert!(file.findings.is_empty(), "{:#?}", file.findings);
    let story = file.story.unwrap();
    assert_eq!(
        (story.title.as_str(), story.sort),
        ("A stuck plunger", Sort::SingleFault)
    );
    assert_eq!((story.checks, story.by_part, story.wrong), (4, false, None));
    assert_eq!(story.codes, ["P0299"]);
    assert!(matches!(&story.cause, Cause::Faults(faults) if faults.len() == 1 && faults[0].1.is_none()));
    assert_eq!(story.readings.readings.len(), 1);
    assert!((story.readings.altitude.unwrap().si() - 1600.0).abs() < 1e-9);
}

#[test]
fn nothing_wrong_and_not_listed_are_causes() {
    for (words, cause) in [
        ("nothing wrong", Cause::NothingWrong),
        ("not listed", Cause::NotListed),
    ] {
        let text = STORY.replace("[\"valve/sticks closed\"]", &format!("\"{words}\""));
        assert_eq!(told(&text).story.unwrap().cause, cause);
    }
}

#[test]
fn a_lying_gauge_is_told_with_its_share() {
    let wrong = "checks = 4\nby = \"part\"\nwrong = { instrument = \"vacuum gauge\", reads = \"-20 %\" }";
    let story = told(&STORY.replace("checks = 4", wrong)).story.unwrap();
    let (instrument, share) = story.wrong.unwrap();
    assert_eq!(instrument, Instrument::VacuumGauge);
    assert!((share + 0.2).abs() < 1e-12 && story.by_part, "{share}");
}

#[test]
fn what_is_missing_is_named() {
    check(
        "title = \"A stuck plunger\"\n",
        "",
        (
            "C013",
            "",
            "add for instance `title = \"Split hose behind the solenoid\"`",
        ),
    );
    check(
        "probability = 0.8\n",
        "",
        ("C013", "", "add for instance `probability = 0.8`"),
    );
    check("checks = 4\n", "", ("C013", "", "add for instance `checks = 6`"));
}

#[test]
fn words_that_are_not_known() {
    check(
        "single fault",
        "single falt",
        ("C026", "single falt", "did you mean `single fault`?"),
    );
    check("\"test\"", "\"tset\"", ("C078", "tset", "did you mean `test`?"));
    check(
        "valve/sticks closed",
        "valve/sticks close",
        (
            "C033",
            "valve/sticks close",
            "did you mean `valve/sticks closed`?",
        ),
    );
    check(
        "complaint",
        "complain",
        ("C012", "complain", "did you mean `complaint`?"),
    );
}

#[test]
fn figures_that_cannot_be() {
    check("0.8", "1.8", ("C027", "1.8", ""));
    check("checks = 4", "checks = 0", ("C027", "0", ""));
    check(
        "valve/sticks closed",
        "valve/sticks closed = 2 mm",
        ("C020", " 2 mm", ""),
    );
    check(
        "checks = 4",
        "checks = 4\nwrong = { instrument = \"vacuum gauge\", reads = \"-80 %\" }",
        ("C020", "-80 %", "for instance `\"-20 %\"`"),
    );
}

#[test]
fn a_reading_is_wrong_as_in_a_readings_file() {
    let file = told(&STORY.replace("value = \"0 inHg\"", "answer = \"yes\""));
    assert_eq!(file.findings.len(), 1, "{:#?}", file.findings);
    assert!(file.findings[0].code == "C074" && file.story.is_none());
}
