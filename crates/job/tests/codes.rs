//! Trouble codes against the standard's bytes, and the order of roots.
#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use job::{DefinedBy, Nature, Ranked, Slip, TroubleCode, nature, root_first, wording};
use proptest::prelude::*;

fn code(text: &str) -> TroubleCode {
    text.parse().unwrap()
}

fn written(codes: &[TroubleCode]) -> Vec<String> {
    codes.iter().map(ToString::to_string).collect()
}

/// SAE J2012 / ISO 15031-6, `references/trouble_codes.csv`.
#[test]
fn a_code_is_its_two_bytes() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../references/trouble_codes.csv");
    let mut table = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .unwrap();
    let mut rows = 0;
    for row in table.records() {
        let row = row.unwrap();
        let bytes = u16::from_str_radix(&row[1], 16).unwrap().to_be_bytes();
        assert_eq!(code(&row[0]).to_bytes(), bytes, "{}", &row[0]);
        assert_eq!(TroubleCode::from_bytes(bytes).to_string(), row[0]);
        if !row[2].is_empty() {
            assert_eq!(wording(code(&row[0])), Some(&row[2]));
        }
        rows += 1;
    }
    assert_eq!(rows, 12);
}

#[test]
fn every_pair_of_bytes_is_one_code() {
    let mut seen = std::collections::BTreeSet::new();
    for bits in 0..=u16::MAX {
        let original = TroubleCode::from_bytes(bits.to_be_bytes());
        let text = original.to_string();
        assert_eq!(code(&text), original);
        assert_eq!(code(&format!("  {}\t", text.to_lowercase())), original);
        seen.insert(text);
    }
    assert_eq!(seen.len(), 65_536);
}

#[test]
fn serde_writes_the_text() {
    let json = serde_json::to_string(&code("u0100")).unwrap();
    assert_eq!(json, "\"U0100\"");
    assert_eq!(serde_json::from_str::<TroubleCode>(&json).unwrap(), code("U0100"));
    let wrong = serde_json::from_str::<TroubleCode>("\"PO299\"").unwrap_err();
    assert!(wrong.to_string().contains("character 2 is `O`"), "{wrong}");
}

#[test]
fn a_slip_is_named_and_helped() {
    let check = |text: &str, slip: Slip, hint: &str| {
        let error = text.parse::<TroubleCode>().unwrap_err();
        assert_eq!(error.slip, slip, "{text}");
        assert!(error.hint().contains(hint), "{}", error.hint());
        assert!(error.hint().contains("as in P0299"));
        assert!(error.to_string().chars().count() <= 80, "{error}");
    };
    check("", Slip::Empty, "write P, C, B or U");
    check("PO299", Slip::FirstDigit('O'), "the digit 0 for `O`");
    check("P4299", Slip::FirstDigit('4'), "a digit 0 to 3");
    check("P0l99", Slip::Digit { at: 3, found: 'l' }, "the digit 1 for `l`");
    check("P02S9", Slip::Digit { at: 4, found: 'S' }, "the digit 5 for `S`");
    check("P029é", Slip::Digit { at: 5, found: 'é' }, "0 to 9 or A to F");
    check("0299", Slip::Letter('0'), "the letter in front is missing");
    check("X0299", Slip::Letter('X'), "write P, C, B or U");
    check("P029", Slip::Length(4), "three digits");
    check("P0299-00", Slip::Length(8), "failure type");
    check(&"P0299".repeat(1000), Slip::Length(5000), "one code at a time");
}

/// Ranges from memory.
#[test]
fn the_first_digits_say_who_defines_it() {
    let check = |expected: DefinedBy, codes: &[&str]| {
        for text in codes {
            assert_eq!(code(text).defined_by(), expected, "{text}");
        }
    };
    check(
        DefinedBy::Standard,
        &[
            "P0000", "P0FFF", "P2262", "P3400", "P3FFF", "C0035", "B0001", "U0100", "U3000",
        ],
    );
    check(
        DefinedBy::Maker,
        &[
            "P1000", "P1FFF", "P3000", "P33FF", "C1000", "C2FFF", "B1234", "B2AAA", "U1000", "U2FFF",
        ],
    );
    check(DefinedBy::Reserved, &["C3000", "B3FFF"]);
}

/// Families from memory, order common practice, no source.
#[test]
fn a_code_names_a_sort_of_trouble() {
    let check = |expected: Nature, codes: &[&str]| {
        for text in codes {
            assert_eq!(nature(code(text)), expected, "{text}");
        }
    };
    check(Nature::Supply, &["P0560", "P0563", "P2503"]);
    check(Nature::Reference, &["P0641", "P0653", "P0699"]);
    check(Nature::Bus, &["U0001", "U0100", "U1234"]);
    check(
        Nature::Electrical,
        &["P0033", "P0045", "P0243", "P2562", "P0615", "P0237"],
    );
    check(
        Nature::Performance,
        &["P0046", "P0236", "P0244", "P0556", "P2563"],
    );
    check(
        Nature::Physical,
        &["P0299", "P0234", "P2263", "P0049", "P0401", "P0087"],
    );
    check(Nature::Unknown, &["P1299", "C0045", "B0299", "P0564", "P0640"]);
}

/// Invented van: a weak battery sets five codes, and only the voltage is a root.
#[test]
fn one_root_explains_the_others() {
    let ranked = root_first(&["P0045", "P0299", "P0562", "U0100", "P0237", "P0299"].map(code));
    let order: Vec<_> = ranked.iter().map(|one| one.code).collect();
    assert_eq!(written(&order), ["P0562", "U0100", "P0045", "P0237", "P0299"]);
    let why: Vec<_> = ranked.iter().map(|one| written(&one.explained_by)).collect();
    assert_eq!(why[0], [""; 0]);
    assert_eq!(why[1], ["P0562"]);
    assert_eq!(why[2], ["P0562"]);
    assert_eq!(why[4], ["P0562", "U0100", "P0045", "P0237"]);
}

#[test]
fn a_reference_explains_its_sensors_and_no_coil() {
    let ranked = root_first(&["P0045", "P0107", "P0238", "P0299", "P0401", "P0642"].map(code));
    let explained = |text: &str| {
        let found: &Ranked = ranked.iter().find(|one| one.code == code(text)).unwrap();
        written(&found.explained_by)
    };
    assert_eq!(ranked[0].code, code("P0642"));
    assert_eq!(explained("P0107"), ["P0642"]);
    assert_eq!(explained("P0238"), ["P0642"]);
    assert_eq!(explained("P0045"), [""; 0]);
    assert_eq!(explained("P0299"), ["P0642", "P0045", "P0238"]);
    assert_eq!(explained("P0401"), [""; 0]);
}

/// Every code that a shipped circuit lists has a wording and a nature.
#[test]
fn shipped_circuits_name_known_codes() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../circuits");
    let mut known = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let text = std::fs::read_to_string(entry.unwrap().path()).unwrap();
        let Some(line) = text.lines().find(|line| line.starts_with("codes = [")) else {
            continue;
        };
        for quoted in line.split('"').skip(1).step_by(2) {
            assert!(wording(code(quoted)).is_some(), "{quoted} has no wording");
            assert_ne!(nature(code(quoted)), Nature::Unknown, "{quoted}");
            known += 1;
        }
    }
    assert!(known > 20, "{known} codes found");
}

proptest! {
    /// What is read is what is written, whatever the text; and no text makes it panic.
    #[test]
    fn a_text_is_a_code_exactly_if_it_has_the_form(text in "[ ]?[PCBUXpcbu]?[0-4O]?[0-9A-Ha-h]{0,4}\\PC?") {
        let trimmed = text.trim();
        let letters: Vec<char> = trimmed.chars().collect();
        let form = letters.len() == 5
            && "PCBU".contains(letters[0].to_ascii_uppercase())
            && ('0'..='3').contains(&letters[1])
            && letters[2..].iter().all(char::is_ascii_hexdigit);
        match text.parse::<TroubleCode>() {
            Ok(read) => {
                prop_assert!(form);
                prop_assert_eq!(read.to_string(), trimmed.to_uppercase());
            }
            Err(error) => {
                prop_assert!(!form);
                prop_assert!(!error.hint().is_empty());
            }
        }
    }

    /// The order given changes nothing; a root stands before what it explains; nothing is lost.
    #[test]
    fn roots_stand_first(bits in prop::collection::vec(prop_oneof![0x0030_u16..0x0700, 0x2260_u16..0x2570, any::<u16>()], 0..12)) {
        let codes: Vec<_> = bits.iter().map(|bits| TroubleCode::from_bytes(bits.to_be_bytes())).collect();
        let ranked = root_first(&codes);
        let reversed: Vec<_> = codes.iter().rev().copied().collect();
        prop_assert_eq!(&ranked, &root_first(&reversed));
        let order: Vec<_> = ranked.iter().map(|one| one.code).collect();
        prop_assert!(codes.iter().all(|code| order.contains(code)));
        for (place, one) in ranked.iter().enumerate() {
            for root in &one.explained_by {
                prop_assert!(order[..place].contains(root));
            }
        }
    }
}
