//! Pages as PDF, read back with Debian's poppler: every word of the page is there, nothing is cut off, pages are counted.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]
#![allow(clippy::print_stdout, reason = "says what was left out")]

use jiff::{Timestamp, tz::TimeZone};
use job::{Described, Entry, EntryId, Event, FORMAT, Frozen, Intake, Job, JobId, Said, Vehicle};
use proptest::prelude::*;
use report::{Card, Page, Sheet, customer_sheet, job_sheet};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;
use uuid::Uuid;

const DRAWING: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="600" height="300" viewBox="0 0 600 300">
<style>.line{stroke:#000;fill:none}</style><path class="line" d="M0 0h600"/><text x="10" y="40" font-size="12">drawn-pump</text></svg>"#;
/// Longer than a line, so it must be broken, and no letter of it lost.
const LONG: &str = "Unterdruckleitungsverbindungsstückhalterungsschraubendrehmomentschlüsselaufbewahrungskastendeckelscharnierstiftsicherungsringzangengriffüberzug";

fn job(readings: usize) -> Job {
    let intake = Intake {
        vehicle: Vehicle {
            words: "weißer Kübelwagen, erfunden".into(),
            ..Vehicle::default()
        },
        complaint: format!("zieht bergauf nicht, Ölgeruch; {LONG}"),
        circuit: Described {
            name: "invented".into(),
            text: String::new(),
        },
        invented: true,
        ..Intake::default()
    };
    let begins = std::iter::once(Event::TakenIn { intake });
    let read = (0..readings).map(|number| Event::Reading {
        check: format!("tee:joint{number}@idle"),
        said: Said::Value(format!("{number}.5 inHg")),
        instrument: (number % 7 == 3).then(|| "zweite Uhr, geprüft".to_owned()),
        accuracy: (number % 7 == 3).then(|| "class 1.6".to_owned()),
        minutes: None,
        over: None,
    });
    let entries: Vec<Entry> = (0_u32..)
        .zip(begins.chain(read))
        .map(|(turn, event)| Entry {
            format: FORMAT,
            id: EntryId(Uuid::from_u128(u128::from(turn))),
            job: JobId(Uuid::from_u128(9)),
            turn: u64::from(turn),
            at: Timestamp::from_second(1_700_000_000).unwrap(),
            who: "Jörg".into(),
            device: "d".into(),
            event,
        })
        .collect();
    Job::fold(&entries).unwrap()
}

fn pages(job: &Job) -> [Page; 2] {
    let sheet = Sheet {
        number: "7".into(),
        job,
        title: "Unterdruckkreis".into(),
        drawing: DRAWING.into(),
        suspects_before: vec![("Schlauch: gerissen".into(), 0.2)],
        suspects_after: vec![("Schlauch: gerissen".into(), 0.9)],
        reasons: vec![(
            "21 inHg".into(),
            "\u{2192} spricht für den Schlauch, ≥ 20 kΩ wären gesund".into(),
        )],
        cautions: vec![("heiß".into(), "30 min abkühlen lassen".into())],
        compared: Vec::new(),
        stands: vec!["Motor war heiß.".into()],
        words: BTreeMap::from([("tee:joint0@idle".into(), LONG.repeat(30))]),
        watch: None,
        typical: true,
        zone: TimeZone::UTC,
    };
    [job_sheet(&sheet), customer_sheet(&sheet)]
}

/// A PDF in a file of its own; `None` where poppler is not installed.
struct Printed(PathBuf);

impl Printed {
    fn new(name: &str, pdf: &[u8]) -> Option<Self> {
        if Command::new("pdftotext").arg("-v").output().is_err() {
            println!("left out: poppler is not installed (Debian package `poppler-utils`)");
            return None;
        }
        let file = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("print-{name}.pdf"));
        std::fs::write(&file, pdf).unwrap();
        Some(Self(file))
    }

    /// What a person can select, page by page.
    fn text(&self) -> Vec<String> {
        let output = Command::new("pdftotext")
            .arg("-raw")
            .arg(&self.0)
            .arg("-")
            .output()
            .unwrap();
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        let text = String::from_utf8(output.stdout).unwrap();
        text.trim_end_matches('\u{c}')
            .split('\u{c}')
            .map(str::to_owned)
            .collect()
    }

    /// Every page as grey dots, 72 to the inch: width, height, dots.
    fn seen(&self) -> Vec<(usize, usize, Vec<u8>)> {
        let stem = self.0.with_extension("");
        let made = Command::new("pdftoppm")
            .args(["-r", "72", "-gray"])
            .arg(&self.0)
            .arg(&stem)
            .output()
            .unwrap();
        assert!(made.status.success());
        let folder = self.0.parent().unwrap();
        let begins = format!("{}-", stem.file_name().unwrap().to_string_lossy());
        let files = std::fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().path());
        let own = files.filter(|file| {
            file.extension().is_some_and(|extension| extension == "pgm")
                && file.file_name().unwrap().to_string_lossy().starts_with(&begins)
        });
        own.map(|file| {
            let bytes = std::fs::read(&file).unwrap();
            std::fs::remove_file(&file).unwrap();
            // P5, width, height and 255, each ended by one white space, then the dots.
            let mut fields = bytes.splitn(4, u8::is_ascii_whitespace);
            let mut next = || std::str::from_utf8(fields.next().unwrap()).unwrap().to_owned();
            assert_eq!(next(), "P5");
            let (width, height) = (next().parse().unwrap(), next().parse().unwrap());
            let dots = fields.next().unwrap()[4..].to_vec();
            assert_eq!(dots.len(), width * height);
            (width, height, dots)
        })
        .collect()
    }
}

/// The words of a page, of its HTML without drawing, style and tags.
fn words(html: &str) -> Vec<String> {
    let body = html.split("<body>").nth(1).unwrap().replace(DRAWING, "");
    let mut text = String::new();
    for piece in body.split('<') {
        let (_, words) = piece.split_once('>').unwrap_or(("", piece));
        text.push(' ');
        text.push_str(words);
    }
    let plain = text
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
        .replace("&amp;", "&");
    plain.split_whitespace().map(str::to_owned).collect()
}

fn letters(text: &str) -> String {
    text.chars().filter(|letter| !letter.is_whitespace()).collect()
}

#[test]
fn every_word_is_on_paper_whether_nothing_was_read_or_much() {
    for readings in [0, 1, 200] {
        let job = job(readings);
        for (name, page) in ["shop", "customer"].iter().zip(pages(&job)) {
            let Some(printed) = Printed::new(&format!("{name}-{readings}"), &page.pdf().unwrap()) else {
                return;
            };
            let text = printed.text();
            let all = text.concat();
            let (set, run) = (all.split_whitespace().collect::<Vec<_>>(), letters(&all));
            for word in words(&page.html()) {
                // A word that is broken over lines is there letter by letter.
                let there = if word.chars().count() > 60 {
                    run.contains(&word[..60])
                } else {
                    set.contains(&&*word)
                };
                assert!(
                    there || run.contains(&word),
                    "{name} {readings}: `{word}` is missing in {all}"
                );
            }
            for (number, page) in text.iter().enumerate() {
                let counted = format!("{} of {}", number + 1, text.len());
                assert!(page.contains(&counted), "{counted}: {page}");
            }
            if readings == 200 && *name == "shop" {
                assert!(text.len() > 5, "{}", text.len());
                let table = text.iter().filter(|page| page.contains(" inHg"));
                assert!(table.clone().count() > 4);
                for page in table {
                    assert!(
                        page.contains("When Who Check Read Instrument") || !page.contains("tee:joint"),
                        "the head again: {page}"
                    );
                }
            }
        }
    }
}

/// However much stands above it, a heading has something of its own below it on its page, a table its first row.
#[test]
fn no_heading_stands_alone() {
    for notes in (0..30).step_by(4) {
        let mut job = job(3);
        job.intake.freeze_frame = (0..notes)
            .map(|number| Frozen {
                what: format!("value {number}"),
                value: "1".into(),
            })
            .collect();
        let [page, _] = pages(&job);
        let Some(printed) = Printed::new("alone", &page.pdf().unwrap()) else {
            return;
        };
        for text in printed.text() {
            let lines: Vec<&str> = text.lines().filter(|line| !line.contains(" of ")).collect();
            let foot = lines
                .iter()
                .position(|line| line.starts_with("The maker's"))
                .unwrap_or(lines.len());
            let last = lines[..foot].last().unwrap();
            let heads = [
                "Readings",
                "Suspects before the readings",
                "Why",
                "When Who Check Read Instrument",
            ];
            assert!(!heads.contains(last), "{notes}: {text}");
        }
    }
}

#[test]
fn nothing_is_cut_off() {
    let job = job(60);
    for (name, page) in ["shop", "customer"].iter().zip(pages(&job)) {
        let Some(printed) = Printed::new(&format!("{name}-edges"), &page.pdf().unwrap()) else {
            return;
        };
        let seen = printed.seen();
        assert_eq!(seen.len(), printed.text().len());
        for (width, height, dots) in seen {
            // A4 at 72 dots to the inch; 14 mm are white all around (40 dots), and the page is not empty.
            assert!(
                width.abs_diff(595) <= 1 && height.abs_diff(842) <= 1,
                "{width} x {height}"
            );
            let dark = |x: usize, y: usize| dots[y * width + x] < 200;
            let edge = |at: usize, end: usize| at < 40 || at >= end - 40;
            let mut inside = 0;
            for (x, y) in (0..height).flat_map(|y| (0..width).map(move |x| (x, y))) {
                assert!(
                    !(dark(x, y) && (edge(x, width) || edge(y, height))),
                    "{name}: ink at {x}, {y}"
                );
                inside += usize::from(dark(x, y));
            }
            assert!(inside > 100);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]
    /// Whatever was said, in whatever script: it is written, and one page says that it is one of so many.
    #[test]
    fn any_words_are_printed(words in "(\\PC{0,9}|[\u{600}-\u{6ff}]{1,9}|[\u{4e00}-\u{4eff}]{1,30}|\u{301}|\u{200f}|\n|\u{7}| ){0,12}") {
        let mut job = job(0);
        job.intake.complaint.clone_from(&words);
        job.intake.vehicle.words = words;
        for page in pages(&job) {
            prop_assert!(page.pdf().is_ok_and(|pdf| pdf.len() > 1_000));
        }
    }
}

#[test]
fn the_same_page_is_the_same_bytes() {
    let job = job(3);
    let [page, _] = pages(&job);
    assert_eq!(page.pdf().unwrap(), page.pdf().unwrap());
}

#[test]
fn a_card_is_one_sheet_of_its_own_size() {
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="297mm" height="210mm" viewBox="0 0 8419 5953"><text x="300" y="500" font-size="100">Prüfung</text></svg>"#;
    let card = Card::new("Card", svg);
    assert!(card.html().contains(svg));
    let Some(printed) = Printed::new("card", &card.pdf().unwrap()) else {
        return;
    };
    assert_eq!(printed.text().concat().trim(), "Prüfung");
    let seen = printed.seen();
    assert!(
        seen.len() == 1 && seen[0].0.abs_diff(842) <= 1,
        "{} pages",
        seen.len()
    );
}

#[test]
fn what_is_no_drawing_is_refused() {
    let refused = Card::new("Card", "<svg").pdf().unwrap_err();
    assert!(refused.to_string().contains("drawing"), "{refused}");
}
