//! One mistake at a time in a small circuit: its code, what is underlined, and the hint. Each mistake is found once and
//! leaves no echo.

mod common;

use circuit::read;
use common::{Row, SMALL, catalogue, expect, good};

/// Writes `to` in place of `from` in the small circuit; exactly this must be found.
fn check(from: &str, to: &str, expected: Row) {
    check_all(from, to, &[expected]);
}

fn check_all(from: &str, to: &str, expected: &[Row]) {
    assert_eq!(SMALL.matches(from).count(), 1, "{from:?} must be there once");
    let text = SMALL.replace(from, to);
    let file = read("test", &text, &catalogue());
    expect(&text, &file.findings, expected);
    let stops = file
        .findings
        .iter()
        .any(|found| found.severity == diag::Severity::Error);
    assert_eq!(
        file.circuit.is_none(),
        stops,
        "an error leaves no circuit, a warning does"
    );
}

/// A text with a numbered piece for each index.
fn numbered(count: usize, piece: impl Fn(usize) -> String) -> String {
    (0..count).map(piece).collect::<Vec<_>>().concat()
}

#[test]
fn the_small_circuit_is_good() {
    good(SMALL);
}

#[test]
fn syntax() {
    check(
        "title = \"small\"",
        "title = ",
        ("C001", "", "write the value in quotes: `key = \"value\"`"),
    );
    check(
        "title = \"small\"",
        "title = small",
        ("C001", "small", "write the value in quotes: `key = \"value\"`"),
    );
    check(
        "kind = \"tube\"",
        "kind = \"tube",
        ("C001", "", "close the text with the quote it began with"),
    );
    check(
        "bore = \"3 mm\"",
        "bore = \"3 mm\"\nbore = \"4 mm\"",
        (
            "C002",
            "bore",
            "give it another name, or join the two; for several values write a list in `[ ]`",
        ),
    );
    check(
        "[part.can]",
        "[part.hose]",
        (
            "C002",
            "hose",
            "give it another name, or join the two; for several values write a list in `[ ]`",
        ),
    );
}

#[test]
fn a_list_that_is_not_closed_is_found_three_times_at_most() {
    let text = SMALL.replace("needs = [\"cover\"] }", "needs = [\"cover\" }");
    let file = read("test", &text, &catalogue());
    assert!(file.circuit.is_none());
    assert!((1..=3).contains(&file.findings.len()), "{:#?}", file.findings);
    assert!(
        file.findings.iter().all(|found| found.code == "C001"),
        "{:#?}",
        file.findings
    );
}

#[test]
fn too_large() {
    let text = format!("{SMALL}\n#{}", "é".repeat(1 << 20));
    let file = read("test", &text, &catalogue());
    assert_eq!(file.findings.len(), 1);
    assert_eq!(file.findings[0].code, "C003");
}

#[test]
fn too_many_findings_are_counted_not_listed() {
    let many = numbered(500, |index| format!("x{index} = 1\n"));
    let text =
        format!("{SMALL}[circuit.x]\n").replace("title = \"small\"", &format!("title = \"small\"\n{many}"));
    let file = read("test", &text, &catalogue());
    assert_eq!(file.findings.len(), 201);
    let last = &file.findings[200];
    assert_eq!((last.code, last.message.as_str()), ("C005", "301 more findings"));
}

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

#[test]
fn quantities() {
    check(
        "bore = \"3 mm\"",
        "bore = \"wide\"",
        ("C020", "wide", "write a length, for instance `10 mm`"),
    );
    check(
        "bore = \"3 mm\"",
        "bore = \"3 mmx\"",
        ("C020", "mmx", "write a length, for instance `10 mm`"),
    );
    check(
        "bore = \"3 mm\"",
        "bore = \"\"",
        ("C020", "\"\"", "write a length, for instance `10 mm`"),
    );
    check("bore = \"3 mm\"", "bore = \"3\"", ("C021", "3", "write `3 mm`"));
    check("bore = \"3 mm\"", "bore = 3.5", ("C021", "3.5", "write `3.5 mm`"));
    check(
        "bore = \"3 mm\"",
        "bore = \"12 V\"",
        ("C022", "V", "write a length, for instance `10 mm`"),
    );
    check(
        "bore = \"3 mm\"",
        "bore = \"300 mm\"",
        ("C023", "300 mm", "from 0.5 mm to 200 mm"),
    );
    check(
        "bore = \"3 mm\"",
        "bore = \"0.1 cm ± 3 mm\"",
        (
            "C024",
            "0.1 cm ± 3 mm",
            "write it as two standard deviations: `0.1 cm ± 5 %`",
        ),
    );
    check(
        "bore = \"3 mm\"",
        "bore = \"3 mm ± -1 %\"",
        ("C024", "-1", "write `± 10 %`"),
    );
    check(
        "engine = \"780 rpm\"",
        "engine = \"780 Hz\"",
        ("C022", "Hz", "write a rotational speed, for instance `780 rpm`"),
    );
    check(
        "supply = \"14.1 V\"",
        "supply = \"141 V\"",
        ("C023", "141 V", "from 1 V to 60 V"),
    );
    check(
        "swept = \"160 cm3/rev\"",
        "swept = \"160 cm3/rev\"\nultimate = \"150 %\"",
        ("C023", "150 %", "from 0.5 % to 100 %"),
    );
    check(
        "swept = \"160 cm3/rev\"",
        "swept = \"160 cm3/rev\"\nultimate = \"6 % ± 25 %\"",
        (
            "C024",
            "6 % ± 25 %",
            "a ratio's tolerance counts in percent of the whole: `6 % ± 0.3 %`",
        ),
    );
    check(
        "swept = \"160 cm3/rev\"",
        "swept = \"160 cm3/rev\"\nultimate = \"4 inHg vacuum\"",
        (
            "C025",
            "4 inHg vacuum",
            "write it as an absolute pressure or a difference",
        ),
    );
    check(
        "kind = \"diaphragm actuator\"",
        "kind = \"diaphragm actuator\"\nmoved-by = \"vacum\"",
        ("C026", "vacum", "did you mean `vacuum`?"),
    );
    check("minutes = 4", "minutes = -4", ("C027", "-4", ""));
    check("minutes = 4", "minutes = nan", ("C027", "nan", ""));
    check("= 30", "= -1", ("C027", "-1", ""));
}

#[test]
fn a_pressure_above_ambient_is_not_absolute() {
    check(
        "[part.can]",
        "[part.pipe]\nkind = \"air space\"\ntap = \"valve.vent\"\nrunning = \"104 kPa abs\"\n[part.can]",
        (
            "C025",
            "104 kPa abs",
            "it counts from the ambient pressure: write `gauge`",
        ),
    );
}

#[test]
fn names_of_parts_and_ports() {
    check(
        "kind = \"tube\"",
        "kind = \"tub\"",
        ("C030", "tub", "did you mean `tube`?"),
    );
    check(
        "from = \"pump.inlet\"",
        "from = \"pmup.inlet\"",
        ("C031", "pmup", "did you mean `pump`?"),
    );
    check(
        "from = \"pump.inlet\"",
        "from = \"x.inlet\"",
        ("C031", "x", "known here: `pump`, `hose`, `valve`, `can`"),
    );
    check(
        "from = \"pump.inlet\"",
        "from = \"pump.inlte\"",
        ("C032", "inlte", "did you mean `inlet`?"),
    );
    check(
        "from = \"pump.inlet\"",
        "from = \"pump\"",
        ("C032", "pump", "its ports: `pump.inlet`"),
    );
    check(
        "command = { valve = \"65 %\" }",
        "command = { vlave = \"65 %\" }",
        ("C031", "vlave", "did you mean `valve`?"),
    );
    check(
        "\"valve.source\" = {",
        "\"valve.sauce\" = {",
        ("C032", "sauce", "did you mean `source`?"),
    );
    check(
        "\"valve.source\" = {",
        "vale = {",
        ("C031", "vale", "did you mean `valve`?"),
    );
    check(
        "\"valve/sticks closed\"",
        "\"valve/stick closed\"",
        ("C033", "stick closed", "did you mean `sticks closed`?"),
    );
    check(
        "\"valve/sticks closed\"",
        "\"value/sticks closed\"",
        ("C031", "value", "did you mean `valve`?"),
    );
    check(
        "needs = [\"cover\"]",
        "needs = [\"cver\"]",
        ("C035", "cver", "did you mean `cover`?"),
    );
}

#[test]
fn joints() {
    check(
        "output = \"can.nipple\"",
        "output = \"can.rod\"",
        ("C041", "can.rod", "`can` carries air at `can.nipple`"),
    );
    check(
        "output = \"can.nipple\"",
        "output = [\"can.nipple\", \"valve.output\"]",
        ("C042", "valve.output", ""),
    );
    check(
        "output = \"can.nipple\"",
        "output = [\"can.nipple\", \"valve.vent\"]",
        ("C043", "valve.vent", "join each end to another part"),
    );
    check(
        "kind = \"diaphragm actuator\"",
        "kind = \"diaphragm actuator\"\nnipple = \"valve.output\"",
        ("C044", "valve.output", ""),
    );
}

/// The missing end is the one cause; that the hose's other side is cut off from the pump by it is not said.
#[test]
fn a_missing_connection_leaves_no_echo() {
    check_all(
        "from = \"pump.inlet\"\n",
        "",
        &[
            (
                "C040",
                "pump",
                "add `inlet = \"part.port\"` here, or name this port at another part",
            ),
            (
                "C040",
                "hose",
                "add `from = \"part.port\"` here, or name this port at another part",
            ),
        ],
    );
}

#[test]
fn parts_and_their_number() {
    let text = "[circuit]\ntitle = \"t\"\n";
    let file = read("test", text, &catalogue());
    expect(
        text,
        &file.findings,
        &[("C045", "", "add `[part.ID]` with `kind = \"…\"`")],
    );
    let rings = numbered(2001, |index| {
        format!(
            "[part.r{index}]\nkind = \"vane ring\"\nlever = \"r{}.lever\"\n",
            index ^ 1
        )
    });
    let text = format!("[circuit]\ntitle = \"t\"\n{rings}");
    let file = read("test", &text, &catalogue());
    let codes: Vec<_> = file
        .findings
        .iter()
        .filter(|found| found.severity == diag::Severity::Error)
        .map(|found| found.code)
        .collect();
    assert!(codes.contains(&"C046"), "{codes:?}");
    check(
        "[condition.idle]",
        &(numbered(100, |index| format!("[condition.c{index}]\npower = true\n")) + "[condition.idle]"),
        ("C046", "idle", ""),
    );
}

#[test]
fn sources() {
    check(
        "kind = \"vane pump\"\nswept = \"160 cm3/rev\"",
        "kind = \"tube\"\nbore = \"3 mm\"\nfrom = \"can.nipple\"\nto = \"hose.from\"",
        ("C032", "inlet", "known here: `from`, `to`"),
    );
    let text = "[circuit]\ntitle = \"t\"\n[part.a]\nkind = \"diaphragm actuator\"\nnipple = \"b.nipple\"\n[part.b]\nkind = \"diaphragm actuator\"\n";
    expect(
        text,
        &read("test", text, &catalogue()).findings,
        &[("C047", "a", "add a pump or another source of air")],
    );
    check(
        "[part.can]\n",
        "[part.lamp]\nkind = \"lamp\"\na = \"wire.from\"\nb = \"wire.to\"\n[part.wire]\nkind = \"wire\"\n[part.can]\n",
        ("C047", "lamp", "add a battery"),
    );
    check(
        "[part.can]\n",
        "[part.one]\nkind = \"diaphragm actuator\"\nnipple = \"two.nipple\"\n[part.two]\nkind = \"diaphragm actuator\"\n[part.can]\n",
        ("C048", "one", "which connection leads to `pump`?"),
    );
}

#[test]
fn conditions() {
    check(
        "[condition.idle]",
        "[condition.off]\nengine = \"1 rpm\"\n[condition.idle]",
        ("C018", "engine", "give this condition another name"),
    );
    check(
        "command = { valve = \"65 %\" }",
        "command = { hose = \"65 %\" }",
        ("C050", "hose", "commands go to `valve`"),
    );
    check(
        "command = { valve = \"65 %\" }",
        "command = { valve = \"165 %\" }",
        ("C023", "165 %", "from 0 % to 100 %"),
    );
    check(
        "command = { valve = \"65 %\" }",
        "command = { valve = \"half\" }",
        ("C020", "half", "write a ratio, for instance `65 %`"),
    );
    check(
        "supply = \"14.1 V\"",
        "supply = \"14.1 V\"\npower = false",
        (
            "C053",
            "false",
            "leave `power` out, or engine, supply and commands",
        ),
    );
    let under = |words: &str| format!("supply = \"14.1 V\"\nunder = {words}");
    check(
        "supply = \"14.1 V\"",
        &under("[\"heat\", \"shakin\"]"),
        ("C054", "shakin", "did you mean `shaking`?"),
    );
    check(
        "supply = \"14.1 V\"",
        &under("[\"moonlight\"]"),
        (
            "C054",
            "moonlight",
            "known here: `heat`, `shaking`, `wet`, `load`",
        ),
    );
}

/// The small circuit's valve, wired to a battery and a driver.
const WIRED: &str = "output = \"can.nipple\"\nplus = \"switch.b\"\nminus = \"plug.a\"\n\
    [part.battery]\nkind = \"battery\"\nplus = \"switch.a\"\nminus = \"driver.ground\"\n\
    [part.switch]\nkind = \"switch\"\n[part.plug]\nkind = \"connector\"\nb = \"driver.out\"\n[part.driver]\nkind = \"low-side driver\"\n";

#[test]
fn who_drives_the_valve() {
    let wired = SMALL.replace("output = \"can.nipple\"\n", WIRED);
    let commanded = |command: &str| wired.replace("{ valve = \"65 %\" }", command);
    let check = |command: &str, expected: &[Row]| {
        let text = commanded(command);
        expect(&text, &read("test", &text, &catalogue()).findings, expected);
    };
    check("{ driver = \"65 %\", switch = \"on\" }", &[]);
    check(
        "{ valve = \"65 %\" }",
        &[("C052", "valve", "command the driver: `switch`")],
    );
    check(
        "{ driver = \"on\", switch = \"65 %\" }",
        &[("C051", "65 %", "write `\"on\"` or `\"off\"`")],
    );
}

#[test]
fn access_and_reach() {
    check_all(
        "minutes = 4\n[access.tray]\nminutes = 3",
        "minutes = 4\nneeds = [\"tray\"]\n[access.tray]\nminutes = 3\nneeds = [\"cover\"]",
        &[(
            "C060",
            "[\"tray\"]",
            "break the circle `cover` → `tray` → `cover`",
        )],
    );
    check(
        "minutes = 4",
        "minutes = 4\nneeds = \"cover\"",
        ("C060", "\"cover\"", "break the circle `cover` → `cover`"),
    );
    check(
        "[likelihood]",
        "\"hose.to\" = { minutes = 1 }\n[likelihood]",
        ("C061", "\"hose.to\"", ""),
    );
    check(
        "[likelihood]",
        "\"valve.vent\" = { minutes = 1 }\n[likelihood]",
        ("C062", "\"valve.vent\"", "give the reach of the part instead"),
    );
}

#[test]
fn weights_and_common_causes() {
    check(
        "\"valve/sticks closed\" = 30",
        "\"valve/sticks closed\" = 30\nvalve = 20",
        (
            "C064",
            "20",
            "leave out the weight of the part, or of one of its faults",
        ),
    );
    check(
        "\"valve/sticks closed\" = 30",
        "pump = 0\nhose = 0\nvalve = 0\ncan = 0",
        ("C065", "[likelihood]", ""),
    );
    let cause =
        |parts: &str| format!("[[common-cause]]\nwhat = \"oil\"\nfactor = 6\nparts = {parts}\n[works]");
    check("[works]", &cause("[\"hose\", \"hose\"]"), ("C063", "hose", ""));
    check("[works]", &cause("[\"hose\"]"), ("C063", "[\"hose\"]", ""));
    check(
        "[works]",
        &cause("[\"hose\", \"vale\"]"),
        ("C031", "vale", "did you mean `valve`?"),
    );
    check(
        "[works]",
        "[[common-cause]]\nwhat = \"oil\"\nfactor = 0.5\nparts = [\"hose\", \"can\"]\n[works]",
        ("C027", "0.5", ""),
    );
    check(
        "[likelihood]",
        "[prior]\nnothing-wrong = \"60 %\"\nnot-listed = \"40 %\"\n[likelihood]",
        ("C066", "[prior]", "a few percent each is usual: `\"4 %\"`"),
    );
}

#[test]
fn the_check_that_says_it_works() {
    let check_id = |id: &str, expected: Row| check("tee:can.nipple@idle", id, expected);
    check_id(
        "teee:can.nipple@idle",
        ("C036", "teee", "did you mean `tee:can.nipple@idle`?"),
    );
    check_id(
        "tee:can.niple@idle",
        ("C036", "can.niple", "did you mean `tee:can.nipple@idle`?"),
    );
    check_id(
        "tee:can.nipple@idel",
        ("C036", "idel", "did you mean `tee:can.nipple@idle`?"),
    );
    check_id(
        "tee:can.nipple",
        ("C036", "tee:can.nipple", "for instance `tee:valve.source@idle`"),
    );
    check_id("tee:can.nipple@off", ("C036", "off", "it is done in `idle`"));
    check_id(
        "ohms:can.nipple@off",
        ("C036", "ohms", "checks there: `deadhead`, `tee`"),
    );
    check_id(
        "look:valve@off",
        (
            "C068",
            "look:valve@off",
            "name a check that reads a travel, a pressure, a voltage",
        ),
    );
    check(
        "least = \"15 inHg\"",
        "least = \"15 V\"",
        ("C022", "V", "write a pressure, for instance `21.5 inHg`"),
    );
    check(
        "least = \"15 inHg\"",
        "least = \"15 inHg abs\"",
        (
            "C025",
            "15 inHg abs",
            "write it as the gauge of this check shows it",
        ),
    );
    check(
        "least = \"15 inHg\"",
        "least = \"15 inHg\"\nmost = \"14 inHg\"",
        ("C067", "[works]", ""),
    );
}

#[test]
fn a_limit_below_ambient_is_a_vacuum_however_it_is_written() {
    for least in ["15 inHg", "15 inHg vacuum", "-15 inHg gauge"] {
        let works = good(&SMALL.replace("15 inHg", least)).works;
        let least = works.and_then(|works| works.least);
        // 15 inHg of 3386.388640341 Pa (NIST SP 811 App. B.8, conventional inch of mercury).
        assert!(
            least.is_some_and(|least| (least / 50_795.829_605 - 1.0).abs() < 1e-9),
            "{least:?}"
        );
    }
}

/// What else brings a vehicle in is read as what says that it works, with the same findings.
#[test]
fn complaints_are_as_what_says_that_it_works() {
    let with = |complaint: &str| SMALL.replace("[works]", &format!("[[complaint]]\n{complaint}\n[works]"));
    let text = with("check = \"tee:can.nipple@idle\"\nleast = \"12 inHg\"\nmost = \"28 inHg\"").replace(
        "[works]",
        "[[complaint]]\ncheck = \"look:valve@off\"\nanswer = \"no\"\n[works]",
    );
    let complaints = good(&text).complaints;
    assert_eq!(complaints.len(), 2);
    assert!(complaints[0].least < complaints[0].most);
    assert_eq!(
        (
            complaints[1].check.as_str(),
            complaints[1].least,
            complaints[1].most
        ),
        ("look:valve@off", None, Some(0.5))
    );
    for (complaint, found) in [
        (
            "check = \"tee:can.nipple@idel\"\nleast = \"12 inHg\"",
            ("C036", "idel", "did you mean `tee:can.nipple@idle`?"),
        ),
        (
            "check = \"tee:can.nipple@idle\"",
            ("C067", "[[complaint]]", "add for instance `least = \"8 mm\"`"),
        ),
        (
            "check = \"tee:can.nipple@idle\"\nanswer = \"yes\"",
            ("C068", "\"yes\"", "write `least` or `most`, such as `21.5 inHg`"),
        ),
    ] {
        let text = with(complaint);
        expect(&text, &read("test", &text, &catalogue()).findings, &[found]);
    }
}

/// A check that is answered may say whether the circuit works; limits and answers do not mix.
#[test]
fn works_may_be_answered() {
    let answered = |answer: &str| {
        SMALL
            .replace("least = \"15 inHg\"", &format!("answer = \"{answer}\""))
            .replace("tee:can.nipple@idle", "look:valve@off")
    };
    let works = good(&answered("yes")).works.unwrap();
    assert_eq!((works.least, works.most), (Some(0.5), None));
    let works = good(&answered("no")).works.unwrap();
    assert_eq!((works.least, works.most), (None, Some(0.5)));
    let perhaps = answered("perhaps");
    expect(
        &perhaps,
        &read("test", &perhaps, &catalogue()).findings,
        &[("C026", "perhaps", "write `\"yes\"` or `\"no\"`")],
    );
    check(
        "least = \"15 inHg\"",
        "answer = \"yes\"",
        ("C068", "\"yes\"", "write `least` or `most`, such as `21.5 inHg`"),
    );
}
