//! Conditions, commands, access, weights, and what says that a circuit works.

use super::common::{Row, SMALL, catalogue, expect, good};
use super::{check, check_all};
use circuit::read;

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
