//! Forms of values, names of tables and keys, ids, trouble codes.

use super::check;
use super::common::{SMALL, catalogue, expect, good};
use circuit::read;

#[test]
fn forms_of_values() {
    check(
        "minutes = 4",
        "minutes = \"4\"",
        ("C010", "\"4\"", "write the number without quotes and unit"),
    );
    check("title = \"small\"", "title = 3", ("C010", "3", ""));
    check(
        "bore = \"3 mm\"",
        "bore = [1]",
        ("C010", "[1]", "for instance `\"10 mm\"`"),
    );
    check("from = \"pump.inlet\"", "from = 1", ("C010", "1", ""));
    check(
        "from = \"pump.inlet\"",
        "from = [\"pump.inlet\", 1]",
        ("C010", "1", ""),
    );
    check(
        "command = { valve = \"65 %\" }",
        "command = \"valve\"",
        ("C010", "\"valve\"", "`command = { valve = \"65 %\" }`"),
    );
    check(
        "supply = \"14.1 V\"",
        "supply = \"14.1 V\"\npower = \"on\"",
        ("C010", "\"on\"", "write `true` or `false` without quotes"),
    );
    check(
        "kind = \"tube\"",
        "kind = \"tube\"\nplace = [1]",
        ("C010", "[1]", "`place = [2, 1]`"),
    );
    check(
        "kind = \"tube\"",
        "kind = \"tube\"\nplace = \"2, 1\"",
        ("C010", "\"2, 1\"", "`place = [2, 1]`"),
    );
    check(
        "kind = \"tube\"",
        "kind = \"tube\"\nplace = [2, 1.5]",
        ("C027", "[2, 1.5]", "`place = [2, 1]`"),
    );
    check(
        "kind = \"tube\"",
        "kind = \"tube\"\nplace = [2, 201]",
        ("C027", "201", ""),
    );
    check(
        "kind = \"tube\"",
        "kind = \"tube\"\nplace = [-1, 0]",
        ("C027", "-1", ""),
    );
    check(
        "[access.cover]\nminutes = 4\n[access.tray]\nminutes = 3",
        "[access]\ncover.minutes = 4\ntray = 3",
        ("C010", "3", "write `[access.ID]` above its keys"),
    );
    check(
        "[likelihood]",
        "[common-cause]\nwhat = \"x\"\n[likelihood]",
        ("C010", "[common-cause]", "write `[[common-cause]]` above each"),
    );
}

/// The second part on a place is the one that has to move.
#[test]
fn one_part_to_a_place() {
    let pin = |text: String, kind: &str, place: &str| {
        assert_eq!(text.matches(kind).count(), 1, "{kind}");
        text.replace(kind, &format!("{kind}\nplace = {place}"))
    };
    let text = pin(SMALL.to_owned(), "kind = \"vane pump\"", "[2, 1]");
    good(&pin(text.clone(), "kind = \"tube\"", "[2, 2]"));
    let text = pin(text, "kind = \"tube\"", "[ 2, 1 ]");
    let file = read("test", &text, &catalogue());
    let hint = "give it another column or row, or leave `place` out";
    expect(&text, &file.findings, &[("C049", "[ 2, 1 ]", hint)]);
}

#[test]
fn names_of_tables_and_keys() {
    check(
        "[likelihood]",
        "[likelyhood]",
        ("C011", "likelyhood", "did you mean `likelihood`?"),
    );
    check(
        "title = \"small\"",
        "title = \"small\"\nsymptom = []",
        ("C012", "symptom", "did you mean `symptoms`?"),
    );
    check(
        "engine = \"780 rpm\"",
        "engin = \"780 rpm\"",
        ("C012", "engin", "did you mean `engine`?"),
    );
    check(
        "[likelihood]",
        "[prior]\nnot-liste = \"1 %\"\n[likelihood]",
        ("C012", "not-liste", "did you mean `not-listed`?"),
    );
    check(
        "minutes = 4",
        "minutes = 4\nneed = []",
        ("C012", "need", "did you mean `needs`?"),
    );
    check(
        "least = \"15 inHg\"",
        "least = \"15 inHg\"\nlimit = 1",
        ("C012", "limit", "known here: `check`, `least`, `most`, `answer`"),
    );
    check(
        "bore = \"3 mm\"",
        "bore = \"3 mm\"\nlenght = \"1 m\"",
        ("C037", "lenght", "did you mean `length`?"),
    );
    check(
        "\"valve.source\" = {",
        "valve.source = {",
        ("C012", "valve.source", "write `\"valve.source\" = { … }`"),
    );
}

#[test]
fn what_is_missing() {
    check(
        "title = \"small\"",
        "",
        (
            "C013",
            "[circuit]",
            "add for instance `title = \"Vacuum supply\"`",
        ),
    );
    check(
        "[circuit]\ntitle = \"small\"",
        "",
        ("C013", "", "begin with `[circuit]` and `title = \"…\"`"),
    );
    check(
        "kind = \"tube\"",
        "",
        ("C013", "[part.hose]", "add for instance `kind = \"tube\"`"),
    );
    check(
        "bore = \"3 mm\"",
        "",
        ("C013", "[part.hose]", "add for instance `bore = \"10 mm\"`"),
    );
    check(
        "title = \"small\"",
        "titel = \"small\"",
        ("C012", "titel", "did you mean `title`?"),
    );
    check(
        "kind = \"tube\"",
        "knid = \"tube\"",
        ("C012", "knid", "did you mean `kind`?"),
    );
    check(
        "bore = \"3 mm\"",
        "boer = \"3 mm\"",
        ("C012", "boer", "did you mean `bore`?"),
    );
    check(
        "minutes = 3",
        "",
        ("C013", "[access.tray]", "add for instance `minutes = 4`"),
    );
    check(
        "check = \"tee:can.nipple@idle\"",
        "",
        (
            "C013",
            "[works]",
            "add for instance `check = \"travel:actuator.rod@idle\"`",
        ),
    );
    check("title = \"small\"", "title = \" \"", ("C016", "\" \"", ""));
    check(
        "least = \"15 inHg\"",
        "",
        ("C067", "[works]", "add for instance `least = \"8 mm\"`"),
    );
}

#[test]
fn ids() {
    check(
        "[access.tray]",
        "[access.\"under tray\"]",
        ("C014", "\"under tray\"", "for instance `under-tray`"),
    );
    check("[access.tray]", "[access.Cover]", ("C015", "Cover", ""));
    check(
        "[part.can]\n",
        "[part.Hose]\nkind = \"diaphragm actuator\"\nnipple = \"valve.output\"\n[part.can]\n",
        ("C015", "Hose", ""),
    );
}

#[test]
fn trouble_codes() {
    check(
        "title = \"small\"",
        "title = \"small\"\ncodes = [\"p0299\"]",
        ("C017", "p0299", "write `P0299`"),
    );
    check(
        "title = \"small\"",
        "title = \"small\"\ncodes = [\"PO299\"]",
        ("C017", "PO299", "write `P0299`"),
    );
    let form = "P, B, C or U, a digit 0 to 3, three hexadecimal digits: `P0299`";
    check(
        "title = \"small\"",
        "title = \"small\"\ncodes = [\"P0299\", \"P4299\"]",
        ("C017", "P4299", form),
    );
    check(
        "title = \"small\"",
        "title = \"small\"\ncodes = \"P029\"",
        ("C017", "P029", form),
    );
}
