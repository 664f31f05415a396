//! Quantities, parts, ports and joints, and where what flows comes from.

use super::common::{catalogue, expect};
use super::{check, check_all, numbered};
use circuit::read;

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
