//! Entries are whole and still said; what is composed is found in pieces; what lower rooms say of shipped circuits is known.

use super::catalogue::{Catalogue, FILES};
use super::{Heard, Run, catalogue, missing, within};
use super::{Tongue, pattern};
use crate::speech::said;
use desk::{how, words};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

fn german(text: &str) -> Heard {
    within(text, catalogue(), Tongue(0))
}

fn said_in(text: &str) -> [String; 2] {
    [0, 1].map(|tongue| within(text, catalogue(), Tongue(tongue)).plain())
}

#[test]
fn every_entry_has_both_languages_and_the_same_holes() {
    let (_, wrong) = Catalogue::read(&FILES);
    assert_eq!(wrong, Vec::<String>::new());
}

#[test]
fn an_entry_that_is_not_whole_is_told() {
    let told = |text: &str| Catalogue::read(&[("one.toml", text)]).1;
    assert_eq!(told("[\"a\"]\nde = \"b\"\nes = \"c\"\n"), Vec::<String>::new());
    assert_eq!(told("[\"a\"]\nde = \"b\"\n"), ["one.toml: `a` has no `es`"]);
    assert_eq!(
        told("[\"{n:figure} a\"]\nde = \"b\"\nes = \"{n} c\"\n"),
        ["one.toml: `{n:figure} a` has other holes than `b`"]
    );
    assert_eq!(
        told("[\"{n:thing} a\"]\nde = \"{n} b\"\nes = \"{n} c\"\n"),
        ["one.toml: `{n:thing} a`: there is no `thing` hole"]
    );
}

#[test]
fn own_sentences_leave_nothing_out_in_any_language() {
    for entry in said::entries() {
        let holes = entry.texts.map(|text| {
            let (_, holes) = pattern::pieces(&text.replace("{{", "").replace("}}", "")).unwrap_or_default();
            let names: BTreeSet<String> = holes.into_iter().map(|hole| hole.name).collect();
            names
        });
        assert!(
            holes[0] == holes[1] && holes[0] == holes[2],
            "{}: {holes:?}",
            entry.key
        );
        assert!(
            entry.texts.iter().all(|text| !text.trim().is_empty()),
            "{}",
            entry.key
        );
    }
}

/// The strings of a Rust file, lines that a backslash joins joined, spaces as one.
fn strings(source: &str) -> String {
    let mut joined = String::with_capacity(source.len());
    let mut rest = source;
    while let Some((before, after)) = rest.split_once("\\\n") {
        joined.push_str(before);
        rest = after.trim_start();
    }
    joined.push_str(rest);
    let with_text = joined.lines().filter(|line| line.contains('"'));
    bare(&with_text.collect::<Vec<_>>().join("\n").replace("\\\"", "\""))
}

/// Holes without what stands in them, spaces as one. What stands between braces of a program is no hole.
fn bare(text: &str) -> String {
    let inside = |letter: char| letter.is_alphanumeric() || "_.:?<>#*-".contains(letter);
    let mut bare = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        bare.push_str(before);
        bare.push('{');
        rest = after;
        if let Some((hole, behind)) = after.split_once('}')
            && hole.chars().all(inside)
        {
            bare.push('}');
            rest = behind;
        }
    }
    bare.push_str(rest);
    let spoken = bare.replace('-', " ");
    spoken.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn sources(folder: &Path, found: &mut Vec<String>) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|end| end == "rs" || end == "toml")
            && let Ok(text) = fs::read_to_string(&path)
        {
            found.push(text);
        }
    }
}

/// A key that nobody says any more is an entry that nobody sees: the sentence was changed, and its translation with it is due.
#[test]
fn what_is_translated_is_still_said_somewhere() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let (mut rooms, mut circuits) = (Vec::new(), Vec::new());
    for room in fs::read_dir(root.join("crates")).into_iter().flatten().flatten() {
        sources(&room.path().join("src"), &mut rooms);
    }
    // Not these entries themselves.
    rooms.retain(|text| FILES.iter().all(|(_, file)| file != text));
    sources(&root.join("circuits"), &mut circuits);
    let said: Vec<String> = rooms
        .iter()
        .map(|text| strings(text))
        .chain(circuits.iter().map(|text| bare(text)))
        .collect();
    let said = said.join(" ");
    let keys = FILES.iter().flat_map(|(_, text)| text.lines());
    let keys = keys.filter_map(|line| line.strip_prefix("[\"")?.strip_suffix("\"]"));
    let gone: Vec<&str> = keys.filter(|key| !is_said(key, &said)).collect();
    assert!(gone.is_empty(), "nobody says this any more: {gone:#?}");
}

/// Shorter stretches may be put together from words of several places.
const COMPOSED: usize = 24;

/// Whether half of a key's longer stretches stand somewhere: what is put together from a choice of words is not found whole.
fn is_said(key: &str, said: &str) -> bool {
    let key = bare(&key.replace("\\\"", "\""));
    let stretches: Vec<&str> = key
        .split("{}")
        .flat_map(|part| part.split([';', ':', ',', '(']))
        .flat_map(|part| part.split(". "))
        .map(|part| part.trim_matches([' ', '.', ')']))
        .filter(|part| part.len() > COMPOSED)
        .collect();
    let found = stretches.iter().filter(|part| said.contains(**part)).count();
    2 * found >= stretches.len()
}

#[test]
fn what_is_put_together_is_found_in_pieces() {
    let check = |english: &str, german: &str, spanish: &str| assert_eq!(said_in(english), [german, spanish]);
    check("1 minute", "1 Minute", "1 minuto");
    check("2.5 minutes", "2,5 Minuten", "2,5 minutos");
    check("21.9 to 23.6 inHg", "21,9 bis 23,6 inHg", "21,9 a 23,6 inHg");
    check(
        "vacuum at the wastegate actuator",
        "Unterdruck: Steuerdose des Wastegates",
        "vacío: actuador de la válvula de descarga",
    );
    check(
        "valve/leaks at the seat + hose/split",
        "valve/undicht am Sitz + hose/gerissen",
        "valve/fuga en el asiento + hose/rajada",
    );
    check(
        "Speaks for valve/sticks open (4.2 times); against hose/split (over 100 times) and pump/worn (3 times).",
        "Spricht für valve/klemmt offen (4,2-mal); gegen hose/gerissen (über 100-mal) und pump/verschlissen (3-mal).",
        "Habla a favor de valve/atascado abierto (4,2 veces); en contra de hose/rajada (más de 100 veces) y pump/gastada (3 veces).",
    );
    check(
        "boost control solenoid: turns touch: low resistance; resistance left 1.0 to 3.5 ohm",
        "Ladedruck-Magnetventil: Windungen berühren sich: niedriger Widerstand; verbliebener Widerstand 1,0 bis 3,5 ohm",
        "electroválvula de control de sobrealimentación: las espiras se tocan: resistencia baja; resistencia restante 1,0 a 3,5 ohm",
    );
    check(
        "Put a tee in at valve.source with everything joined, and read the vacuum gauge while the circuit works.",
        "T-Stück an valve.source einsetzen, alles verbunden lassen und das Messgerät (Unterdruckmanometer) ablesen, während das System arbeitet.",
        "Intercale una T en valve.source con todo conectado y lea el instrumento (vacuómetro) mientras el circuito funciona.",
    );
}

#[test]
fn own_words_take_no_other_sentence_along() {
    assert_eq!(
        german("The repair was called proven by hand: it pulls again. Nothing has been repaired yet.")
            .plain(),
        "Die Reparatur wurde von Hand als bewiesen erklärt: it pulls again. Es wurde noch nichts repariert."
    );
}

#[test]
fn a_sentence_is_known_without_its_capital_and_its_full_stop() {
    assert_eq!(german("Checking.").plain(), "In Prüfung.");
    assert_eq!(german("Nobody knows this.").lang(), Some("en"));
}

#[test]
fn what_nobody_translated_stays_english_and_is_marked() {
    let heard = german("vacuum at the thing that nobody knows");
    assert_eq!(
        heard.0,
        [
            Run::Said("Unterdruck: ".to_owned()),
            Run::English("thing that nobody knows".to_owned())
        ]
    );
    assert_eq!(heard.lang(), Some("en"));
    assert_eq!(
        maud::Render::render(&heard).into_string(),
        "Unterdruck: <span lang=\"en\">thing that nobody knows</span>"
    );
    assert_eq!(german("1 minute").lang(), None);
    // What a person wrote is looked up nowhere.
    assert_eq!(
        german("ruled out by hand: yes").plain(),
        "von Hand ausgeschlossen: yes"
    );
}

/// What shipped circuits and kinds say of themselves and of their checks.
fn texts() -> BTreeSet<String> {
    let mut texts = BTreeSet::new();
    for kind in engine::kinds() {
        texts.extend([kind.name, kind.what, kind.repair.what].map(str::to_owned));
        for fault in kind.faults {
            texts.extend([fault.name, fault.what].map(str::to_owned));
            texts.extend(fault.severity.map(|severity| severity.what.to_owned()));
        }
        for caution in kind.cautions {
            texts.extend([caution.hazard, caution.precaution].map(str::to_owned));
        }
    }
    for shipped in engine::shipped() {
        texts.insert(shipped.name.replace('-', " "));
        let Some(model) = engine::load(shipped.name, shipped.text).model else {
            continue;
        };
        let circuit = model.circuit();
        texts.extend([circuit.title.clone(), circuit.about.clone()]);
        texts.extend(circuit.symptoms.iter().cloned());
        texts.extend(circuit.parts.iter().filter_map(|part| part.what.clone()));
        texts.extend(circuit.accesses.iter().map(|access| access.what.clone()));
        for check in model.checks() {
            texts.extend([
                words::condition(circuit, check),
                words::manner(check).to_owned(),
                words::plainly(circuit, check),
                how::to_do(circuit, check),
                how::cross_check(check.instrument).to_owned(),
                check.instrument.word().to_owned(),
            ]);
        }
    }
    texts.retain(|text| !text.is_empty());
    texts
}

/// Of all texts of kinds, shipped circuits and their checks, as many have words in German and Spanish. A new one stays English
/// and is marked until somebody says it; `cargo nextest run -p bay lower --no-capture` lists those.
const KNOWN: f64 = 0.9;

#[test]
fn most_of_what_kinds_and_circuits_say_is_known() {
    let texts = texts();
    let unknown: BTreeSet<String> = texts.iter().flat_map(|text| missing(text)).collect();
    let lacking = texts.iter().filter(|text| !missing(text).is_empty()).count();
    let (lacking_of, all) = (u32::try_from(lacking), u32::try_from(texts.len()));
    let share = 1.0 - f64::from(lacking_of.unwrap_or(u32::MAX)) / f64::from(all.unwrap_or(1));
    let list: Vec<&str> = unknown.iter().map(String::as_str).collect();
    let told = format!("{lacking} of {} texts have none: {list:#?}", texts.len());
    let mut out = std::io::stderr();
    // A test that is not captured shows what is missing.
    let _ = std::io::Write::write_all(&mut out, told.as_bytes());
    assert!(share >= KNOWN, "{told}");
}
