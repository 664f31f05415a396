//! Kinds that an author composes: what becomes of their parts, and what is found where they cannot be put together.
#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    reason = "tests; numbers that are handed on unchanged"
)]

mod common;

use circuit::{Bundle, Circuit, bundle, derive_checks, find_check, read};
use common::{Row, catalogue, expect, good};
use std::fmt::Write;

/// An invented unit: a valve, its hose and its actuator.
const UNIT: &str = r#"
[kind.unit]
what = "valve with its hose and actuator"
[kind.unit.part.valve]
kind = "3/2 solenoid valve"
what = "control valve"
[kind.unit.part.hose]
kind = "tube"
from = "valve.output"
to = "can.nipple"
[kind.unit.part.can]
kind = "diaphragm actuator"
[kind.unit.port]
source = "valve.source"
rod = "can.rod"
[kind.unit.parameter]
hose-bore = "hose.bore"
hose-length = "hose.length"
"#;

/// An invented circuit with two of them.
const TWO: &str = r#"
[circuit]
title = "two stages"
[part.pump]
kind = "vane pump"
swept = "160 cm3/rev"
[part.low]
kind = "unit"
what = "low stage"
hose-bore = "4 mm ± 5 %"
source = "pump.inlet"
[part.high]
kind = "unit"
hose-bore = "3 mm"
hose-length = "2 m"
source = ["low.source"]
[part.flap]
kind = "vane ring"
lever = "high.rod"
[condition.idle]
engine = "780 rpm"
supply = "14.1 V"
command = { "low.valve" = "65 %", "high.valve" = "20 %" }
[access.cover]
minutes = 4
[access.tray]
minutes = 9
[reach]
"low" = { needs = ["cover"] }
"low.can" = { minutes = 2, needs = ["tray"] }
"high.source" = { minutes = 1 }
[likelihood]
"low.valve/sticks closed" = 30
"high" = 20
"high.can" = 5
[[common-cause]]
what = "oil"
parts = ["low", "high.hose"]
factor = 4
[works]
check = "travel:high.can.rod@idle"
least = "2 mm"
"#;

fn two() -> String {
    format!("{UNIT}{TWO}")
}

/// A text with a numbered piece for each index.
fn numbered(count: usize, piece: impl Fn(usize) -> String) -> String {
    (0..count).map(piece).collect::<Vec<_>>().concat()
}

fn ids(circuit: &Circuit) -> Vec<&str> {
    circuit.parts.iter().map(|part| part.id.as_str()).collect()
}

/// Writes `to` in place of `from`, which is there once; exactly this must be found.
fn check(from: &str, to: &str, expected: &[Row]) {
    let text = two();
    assert_eq!(text.matches(from).count(), 1, "{from:?} must be there once");
    let text = text.replace(from, to);
    let file = read("test", &text, &catalogue());
    expect(&text, &file.findings, expected);
    let one_line = |message: &str| !message.contains('\n') && message.chars().count() <= 80;
    assert!(
        file.findings.iter().all(|found| one_line(&found.message)),
        "{:#?}",
        file.findings
    );
}

#[test]
fn a_part_becomes_the_parts_of_its_kind() {
    let circuit = good(&two());
    let expected = [
        "pump",
        "low.valve",
        "low.hose",
        "low.can",
        "high.valve",
        "high.hose",
        "high.can",
        "flap",
    ];
    assert_eq!(ids(&circuit), expected);
    let value = |id: &str, name: &str| {
        let part = &circuit.parts[circuit.part(id).unwrap().0];
        part.values[part.kind.parameter(name).unwrap()]
    };
    assert_eq!(value("low.hose", "bore").typical, 4e-3);
    assert_eq!(value("low.hose", "bore").spread, 2e-4);
    assert_eq!(value("low.hose", "length").typical, 0.5, "the kind's own");
    assert_eq!(value("high.hose", "length").typical, 2.0);
    let what = |id: &str| circuit.parts[circuit.part(id).unwrap().0].what.clone();
    assert_eq!(what("low.valve").as_deref(), Some("control valve, low stage"));
    assert_eq!(what("high.valve").as_deref(), Some("control valve"));
}

/// Everything calls a part by the same name: joints, faults, checks.
#[test]
fn inner_parts_have_one_name_everywhere() {
    let circuit = good(&two());
    let joints: Vec<&str> = circuit.joints.iter().map(|joint| joint.name.as_str()).collect();
    let expected = [
        "pump.inlet",
        "low.valve.output",
        "low.can.nipple",
        "high.valve.output",
        "high.can.nipple",
        "high.can.rod",
    ];
    assert_eq!(joints, expected);
    let fault = circuit.fault("low.hose/leaks").unwrap();
    assert_eq!(circuit.fault_name(fault), "low.hose/leaks");
    let port = circuit.port("high.valve.source").unwrap();
    assert_eq!(circuit.port_name(port), "high.valve.source");
    let checks = derive_checks(&circuit);
    for id in [
        "tee:low.can.nipple@idle",
        "look:low.hose@off",
        "click:high.valve@idle",
        "deadhead:high.valve.source@idle",
    ] {
        assert!(find_check(&circuit, &checks, id).is_some(), "{id}");
    }
    assert!(
        checks
            .iter()
            .all(|check| find_check(&circuit, &checks, &check.id).unwrap().id == check.id)
    );
}

#[test]
fn reach_and_likelihood_of_the_whole_and_of_its_parts() {
    let circuit = good(&two());
    let part = |id: &str| &circuit.parts[circuit.part(id).unwrap().0];
    let (cover, tray) = (circuit::AccessId(0), circuit::AccessId(1));
    assert_eq!(part("low.valve").reach.needs, [cover]);
    assert_eq!(
        part("low.can").reach.needs,
        [tray],
        "what is said of a part stands before the whole"
    );
    assert_eq!(part("high.valve").reach.minutes, 0.0);
    assert_eq!(
        circuit.joints[0].reach.minutes, 1.0,
        "the joint of `high.source` is the pump's inlet"
    );
    let weight = |id: &str| part(id).weights.iter().sum::<f64>();
    assert_eq!(part("low.valve").weights[0], 30.0);
    assert!((weight("high.can") - 5.0).abs() < 1e-9);
    assert!((weight("high.valve") + weight("high.hose") - 15.0).abs() < 1e-9);
    // The kinds' own weights of the two, 18 and 10, share what is left.
    assert!((weight("high.valve") / weight("high.hose") - 1.8).abs() < 1e-9);
    assert_eq!(circuit.common_causes[0].parts.len(), 4);
    assert_eq!(circuit.conditions[1].commands.len(), 2);
}

/// A kind brings the weights of its parts; what a circuit says of the whole scales them, what it says of one part stands.
#[test]
fn a_kind_brings_the_likelihoods_of_its_parts() {
    let stated = r#"
[kind.unit.likelihood]
"valve" = 20
"hose" = 12
"hose/leaks" = 9
"can" = 8
"#;
    let text = two()
        .replace("[kind.unit.port]", &format!("{stated}[kind.unit.port]"))
        .replace("\"low.valve/sticks closed\" = 30\n", "")
        .replace("\"high.can\" = 5\n", "")
        .replace("\"high\" = 20\n", "\"high\" = 20\n\"high.hose\" = 4\n");
    let circuit = good(&text);
    let part = |id: &str| &circuit.parts[circuit.part(id).unwrap().0];
    let weight = |id: &str| part(id).weights.iter().sum::<f64>();
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} and {b}");
    // Nothing is said of the low stage: it has what its kind brings.
    near(weight("low.valve"), 20.0);
    near(weight("low.hose"), 12.0);
    near(weight("low.can"), 8.0);
    let leaks = part("low.hose").kind.fault("leaks").unwrap();
    near(part("low.hose").weights[leaks], 9.0);
    // The high one has 20 as a whole: its hose as stated, the others keep their ratio of 20 to 8.
    near(weight("high.hose"), 4.0);
    near(weight("high.valve") + weight("high.can"), 16.0);
    near(weight("high.valve") / weight("high.can"), 20.0 / 8.0);
    // Within the hose the leak keeps three quarters.
    near(part("high.hose").weights[leaks], 3.0);
}

/// What an inner kind brings goes with it into an outer one, which may scale it again.
#[test]
fn an_outer_kind_scales_what_an_inner_one_brings() {
    let kinds = r#"
[kind.unit.likelihood]
"valve" = 20
"hose" = 12
"can" = 8
[kind.pair.part.a]
kind = "unit"
hose-length = "1 m"
[kind.pair.part.b]
kind = "unit"
hose-length = "1 m"
source = "a.source"
[kind.pair.port]
inlet = "a.source"
lever = "b.rod"
[kind.pair.parameter]
bore = ["a.hose-bore", "b.hose-bore"]
[kind.pair.likelihood]
"b" = 10
[circuit]
title = "a pair"
[part.pump]
kind = "vane pump"
swept = "160 cm3/rev"
[part.both]
kind = "pair"
bore = "3 mm"
inlet = "pump.inlet"
[part.ring]
kind = "vane ring"
lever = "both.lever"
[condition.idle]
engine = "780 rpm"
"#;
    let weights = |text: &str| -> Vec<f64> {
        let circuit = good(text);
        let parts = circuit.parts[1..7].iter();
        parts.map(|part| part.weights.iter().sum::<f64>()).collect()
    };
    let near = |found: &[f64], expected: [f64; 6]| {
        let off = found.iter().zip(expected).map(|(a, b)| (a - b).abs());
        assert!(off.fold(0.0, f64::max) < 1e-9, "{found:?}");
    };
    let text = format!("{UNIT}{kinds}");
    near(&weights(&text), [20.0, 12.0, 8.0, 5.0, 3.0, 2.0]);
    let scaled = format!("{text}[likelihood]\n\"both\" = 25\n");
    near(&weights(&scaled), [10.0, 6.0, 4.0, 2.5, 1.5, 1.0]);
}

#[test]
fn kinds_of_kinds() {
    let pair = r#"
[kind.pair.part.a]
kind = "unit"
hose-length = "1 m"
[kind.pair.part.b]
kind = "unit"
source = "a.source"
[kind.pair.port]
inlet = "a.source"
lever = "b.rod"
[kind.pair.parameter]
bore = ["a.hose-bore", "b.hose-bore"]
"#;
    let circuit = r#"
[circuit]
title = "a pair"
[part.pump]
kind = "vane pump"
swept = "160 cm3/rev"
[part.both]
kind = "pair"
bore = "3 mm"
inlet = "pump.inlet"
[part.ring]
kind = "vane ring"
lever = "both.lever"
[condition.idle]
engine = "780 rpm"
[reach]
"both.a" = { minutes = 3 }
"both" = { minutes = 1 }
"both.b.can" = { minutes = 2 }
[likelihood]
"both" = 30
"both.b" = 20
"both.b.hose/leaks" = 1
"#;
    // A kind may stand before those it is made of.
    for text in [format!("{pair}{UNIT}{circuit}"), format!("{circuit}{UNIT}{pair}")] {
        let circuit = good(&text);
        assert_eq!(
            ids(&circuit),
            [
                "pump",
                "both.a.valve",
                "both.a.hose",
                "both.a.can",
                "both.b.valve",
                "both.b.hose",
                "both.b.can",
                "ring"
            ]
        );
        let minutes: Vec<f64> = circuit.parts.iter().map(|part| part.reach.minutes).collect();
        assert_eq!(minutes, [0.0, 3.0, 3.0, 3.0, 1.0, 1.0, 2.0, 0.0]);
        let weight = |parts: std::ops::Range<usize>| -> f64 {
            circuit.parts[parts].iter().flat_map(|part| &part.weights).sum()
        };
        assert!((weight(1..7) - 30.0).abs() < 1e-9 && (weight(4..7) - 20.0).abs() < 1e-9);
        assert_eq!(circuit.joints[0].ports.len(), 3, "pump and both sources");
    }
}

#[test]
fn what_users_must_and_may_write() {
    check(
        "hose-bore = \"4 mm ± 5 %\"\n",
        "",
        &[("C013", "[part.low]", "add for instance `hose-bore = \"10 mm\"`")],
    );
    check(
        "hose-bore = \"4 mm ± 5 %\"",
        "hose-bore = \"4 V\"",
        &[("C022", "V", "write a length, for instance `10 mm`")],
    );
    check(
        "hose-bore = \"4 mm ± 5 %\"",
        "hose-bore = \"4 mm\"\nhose-lenght = \"1 m\"",
        &[("C037", "hose-lenght", "did you mean `hose-length`?")],
    );
    check(
        "hose-bore = \"4 mm ± 5 %\"",
        "hose-bore = \"4 mm\"\nplace = [1, 1]\nrepair = { minutes = 3 }",
        &[
            (
                "C037",
                "place",
                "known here: `hose-bore`, `hose-length`, `source`, `rod`, `kind`, `what`",
            ),
            (
                "C037",
                "repair",
                "known here: `hose-bore`, `hose-length`, `source`, `rod`, `kind`, `what`",
            ),
        ],
    );
    check(
        "source = \"pump.inlet\"",
        "source = \"flap.lever\"",
        &[
            (
                "C040",
                "pump",
                "add `inlet = \"part.port\"` here, or name this port at another part",
            ),
            ("C041", "flap.lever", ""),
        ],
    );
    check(
        "lever = \"high.rod\"",
        "lever = \"high.can\"",
        &[("C032", "high.can", "its ports: `high.can.nipple`, `high.can.rod`")],
    );
    check(
        "lever = \"high.rod\"",
        "lever = \"high.rd\"",
        &[("C032", "rd", "did you mean `rod`?")],
    );
    check(
        "lever = \"high.rod\"",
        "lever = \"high\"",
        &[("C032", "high", "its ports: `high.source`, `high.rod`")],
    );
    // The inner name of a port is as good.
    let inner = two().replace("lever = \"high.rod\"", "lever = \"high.can.rod\"");
    assert_eq!(good(&inner).joints.len(), 6);
}

#[test]
fn a_port_that_stays_open_is_told_by_its_outer_name() {
    let text = two()
        .replace("source = \"pump.inlet\"\n", "")
        .replace("source = [\"low.source\"]", "source = \"pump.inlet\"");
    let file = read("test", &text, &catalogue());
    expect(
        &text,
        &file.findings,
        &[(
            "C040",
            "low",
            "add `source = \"part.port\"` here, or name this port at another part",
        )],
    );
    assert_eq!(file.findings[0].message, "nothing is joined to `low.source`");
}

#[test]
fn names_of_the_whole_where_one_part_is_wanted() {
    check(
        "command = { \"low.valve\" = \"65 %\"",
        "command = { low = \"65 %\"",
        &[(
            "C031",
            "low",
            "name one of them, in quotes: `low.valve`, `low.hose`, `low.can`",
        )],
    );
    check(
        "\"low.valve/sticks closed\" = 30",
        "\"low/sticks closed\" = 30",
        &[(
            "C031",
            "low",
            "name one of them, in quotes: `low.valve`, `low.hose`, `low.can`",
        )],
    );
    check(
        "\"low\" = { needs = [\"cover\"] }\n\"low.can\" = {",
        "low.can = {",
        &[("C012", "low.can", "write `\"low.can\" = { … }`")],
    );
    check(
        "\"high.can\" = 5",
        "\"high.can\" = 25",
        &[(
            "C064",
            "20",
            "leave out the weight of the whole, or of one of its parts",
        )],
    );
    check(
        "\"high.can\" = 5",
        "\"high.cam\" = 5",
        &[("C031", "high.cam", "did you mean `high.can`?")],
    );
}

/// What is wrong with a kind is said once, where it is written, however often it is used.
#[test]
fn mistakes_in_a_kind_are_said_once() {
    check(
        "from = \"valve.output\"",
        "from = \"valve.outputt\"",
        &[("C032", "outputt", "did you mean `output`?")],
    );
    check(
        "kind = \"tube\"",
        "kind = \"tub\"",
        &[("C030", "tub", "did you mean `tube`?")],
    );
    check(
        "kind = \"tube\"",
        "kind = \"tube\"\nbore = \"3 V\"",
        &[("C022", "V", "write a length, for instance `10 mm`")],
    );
    check(
        "to = \"can.nipple\"\n",
        "",
        &[
            (
                "C040",
                "hose",
                "add `to = \"part.port\"` here, or name this port at another part",
            ),
            (
                "C040",
                "can",
                "add `nipple = \"part.port\"` here, or name this port at another part",
            ),
        ],
    );
    check(
        "source = \"valve.source\"",
        "sauce = \"valve.sauce\"",
        &[
            (
                "C040",
                "valve",
                "add `source = \"part.port\"` here, or name this port at another part",
            ),
            ("C032", "sauce", "did you mean `source`?"),
        ],
    );
    check(
        "hose-length = \"hose.length\"",
        "hose-length = \"hose.lenght\"",
        &[("C037", "lenght", "did you mean `length`?")],
    );
    check(
        "hose-length = \"hose.length\"",
        "hose-length = \"pipe.length\"",
        &[("C031", "pipe", "known here: `valve`, `hose`, `can`")],
    );
    check(
        "rod = \"can.rod\"",
        "what = \"can.rod\"",
        &[("C083", "what", "give it another name")],
    );
    check(
        "hose-length = \"hose.length\"",
        "source = \"hose.length\"",
        &[("C083", "source", "give one of them another name")],
    );
    let stated = |line: &str| format!("[kind.unit.likelihood]\n{line}\n[kind.unit.port]");
    check(
        "[kind.unit.port]",
        &stated("\"hos\" = 3"),
        &[("C031", "hos", "did you mean `hose`?")],
    );
    check(
        "[kind.unit.port]",
        &stated("\"hose/leeks\" = 3"),
        &[("C033", "leeks", "did you mean `leaks`?")],
    );
    check(
        "kind = \"tube\"",
        "kind = \"tube\"\nplace = [1, 1]",
        &[("C049", "[1, 1]", "leave `place` out")],
    );
}

#[test]
fn names_of_kinds() {
    let text = two()
        .replace("[kind.unit.", "[kind.tube.")
        .replace("[kind.unit]", "[kind.tube]")
        .replace("kind = \"unit\"", "kind = \"tube\"");
    let found = read("test", &text, &catalogue()).findings;
    assert!(found.iter().any(|found| found.code == "C082"), "{found:#?}");
    let text = two().replace("kind = \"unit\"", "kind = \"unitt\"");
    let found = read("test", &text, &catalogue()).findings;
    assert_eq!(found[0].code, "C030");
    assert_eq!(found[0].hint.as_deref(), Some("did you mean `unit`?"));
    let text = format!("{}[kind.empty]\nwhat = \"nothing\"\n", two());
    let found = read("test", &text, &catalogue()).findings;
    expect(
        &text,
        &found,
        &[("C045", "empty", "add `[kind.empty.part.ID]` with `kind = \"…\"`")],
    );
}

/// A kind made of itself can be told from the text alone; nothing hangs and nothing is said twice.
#[test]
fn circles_are_found() {
    check(
        "[kind.unit.part.can]\nkind = \"diaphragm actuator\"",
        "[kind.unit.part.can]\nkind = \"unit\"",
        &[("C080", "unit", "break the circle `unit` → `unit`")],
    );
    let ring = numbered(5, |index| {
        format!("[kind.k{index}.part.p]\nkind = \"k{}\"\n", (index + 1) % 5)
    });
    // One that is made of them is nothing of its own, and nothing more is said of it.
    let text = format!(
        "{}{ring}[kind.user.part.p]\nkind = \"k3\"\n[part.odd]\nkind = \"user\"\n",
        two()
    );
    let found = read("test", &text, &catalogue()).findings;
    expect(
        &text,
        &found,
        &[(
            "C080",
            "k0",
            "break the circle `k0` → `k1` → `k2` → `k3` → `k4` → `k0`",
        )],
    );
    assert_eq!(found[0].message, "`k0` is made of itself");
}

/// `count` kinds, each made of `width` of the one before.
fn tower(count: usize, width: usize) -> String {
    let mut text =
        String::from("[kind.k0.part.p]\nkind = \"vane ring\"\n[kind.k0.port]\nlever = \"p.lever\"\n");
    for index in 1..count {
        for part in 0..width {
            let _ = writeln!(text, "[kind.k{index}.part.p{part}]\nkind = \"k{}\"", index - 1);
            if part > 0 {
                let _ = writeln!(text, "lever = \"p0.lever\"");
            }
        }
        let _ = writeln!(text, "[kind.k{index}.port]\nlever = \"p0.lever\"");
    }
    text
}

#[test]
fn depth_and_number_have_limits() {
    let user = |kind: usize| {
        format!(
            "[circuit]\ntitle = \"tower\"\n[part.t]\nkind = \"k{kind}\"\nlever = \"can.rod\"\n[part.can]\nkind = \"diaphragm actuator\"\nnipple = \"pump.inlet\"\n[part.pump]\nkind = \"vane pump\"\nswept = \"160 cm3/rev\"\n"
        )
    };
    let high = good(&format!("{}{}", user(7), tower(8, 1)));
    assert_eq!(high.parts[0].id, "t.p0.p0.p0.p0.p0.p0.p0.p");
    let text = format!("{}{}", user(8), tower(9, 1));
    expect(
        &text,
        &read("test", &text, &catalogue()).findings,
        &[("C081", "k8", "compose it of fewer layers")],
    );
    // Four to the seventh parts would be sixteen thousand.
    let text = format!("{}{}", user(7), tower(8, 4));
    let found = read("test", &text, &catalogue()).findings;
    assert_eq!(
        found.iter().map(|found| found.code).collect::<Vec<_>>(),
        ["C046"],
        "{found:#?}"
    );
    let many = numbered(201, |index| {
        format!("[kind.x{index}.part.p]\nkind = \"battery\"\n")
    });
    let text = format!("{}{many}", two());
    let found = read("test", &text, &catalogue()).findings;
    assert!(
        found
            .iter()
            .any(|found| found.code == "C046" && found.message.contains("composed kinds"))
    );
}

/// 500 parts out of 100 uses of one kind.
#[test]
fn five_hundred_parts() {
    let mut text = format!(
        "{UNIT}[circuit]\ntitle = \"many\"\n[part.pump]\nkind = \"vane pump\"\nswept = \"160 cm3/rev\"\n"
    );
    for index in 0..125 {
        let _ = writeln!(
            text,
            "[part.u{index}]\nkind = \"unit\"\nhose-bore = \"3 mm\"\nsource = \"pump.inlet\"\nrod = \"r{index}.lever\"\n[part.r{index}]\nkind = \"vane ring\""
        );
    }
    text.push_str("[condition.idle]\nengine = \"780 rpm\"\n");
    let circuit = good(&text);
    assert_eq!(circuit.parts.len(), 501);
    assert_eq!(circuit.joints[0].ports.len(), 126);
}

fn bundled(text: &str, files: &[(&str, &str)]) -> Bundle {
    bundle("main.toml", text, &mut |name| {
        let file = files.iter().find(|(known, _)| *known == name);
        file.map(|(_, text)| (*text).to_owned())
            .ok_or_else(|| "there is no such file".to_owned())
    })
}

#[test]
fn a_kind_is_shared_as_a_file() {
    let text = format!("# An invented scene.\ninclude = [\n  \"unit.toml\", # ours\n]\n{TWO}");
    let bundle = bundled(&text, &[("unit.toml", UNIT)]);
    let file = bundle.read("two", &catalogue());
    assert!(file.findings.is_empty(), "{:#?}", file.findings);
    assert_eq!(file.circuit.unwrap().parts.len(), 8);
    // The whole text needs no file any more, and nothing in it has moved.
    assert!(!bundle.source.text.contains("include"));
    assert!(bundle.source.text[text.len()..].starts_with("\n# from unit.toml\n"));
    assert_eq!(good(&bundle.source.text).parts.len(), 8);
    let title = text.find("title").unwrap();
    assert_eq!(bundle.source.text.find("title"), Some(title));
    // Without the file it says so.
    let found = read("two", &text, &catalogue()).findings;
    assert!(found.iter().any(|found| found.code == "C085"), "{found:#?}");
}

#[test]
fn files_that_include_one_another_are_read_once() {
    let unit = format!("include = \"more.toml\"\n{UNIT}");
    let more = "include = [\"unit.toml\", \"more.toml\"]\n[kind.one.part.p]\nkind = \"battery\"\n";
    let text = format!("include = [\"unit.toml\", \"unit.toml\"]\n{TWO}");
    let bundle = bundled(&text, &[("unit.toml", &unit), ("more.toml", more)]);
    let file = bundle.read("two", &catalogue());
    let codes: Vec<_> = file.findings.iter().map(|found| found.code).collect();
    // A battery's ports must be joined; the rest is as it should be.
    assert_eq!(codes, ["C040"]);
    let (source, alone) = bundle.source.alone(&file.findings[0]);
    assert_eq!(
        (source.name.as_str(), source.text.trim()),
        ("more.toml", "[kind.one.part.p]\nkind = \"battery\"")
    );
    assert_eq!(source.line_column(alone.span.start), (2, 16));
}

#[test]
fn what_cannot_be_included() {
    let check = |include: &str, expected: &[(&str, &str, &str)]| {
        let text = format!("include = {include}\n{TWO}");
        let whole = format!("{UNIT}[part.stray]\nkind = \"battery\"\n");
        let bundle = bundled(&text, &[("unit.toml", UNIT), ("whole.toml", &whole)]);
        let file = bundle.read("two", &catalogue());
        let found: Vec<_> = file
            .findings
            .iter()
            .filter(|found| found.code >= "C080" || found.code == "C010")
            .map(|found| {
                let (source, alone) = bundle.source.alone(found);
                (
                    found.code,
                    source.slice(alone.span).trim().to_owned(),
                    source.name,
                )
            })
            .collect();
        let found: Vec<_> = found
            .iter()
            .map(|(code, text, name)| (*code, text.as_str(), name.as_str()))
            .collect();
        assert_eq!(found, expected, "{include}");
        assert!(file.circuit.is_none());
    };
    // The list itself has become spaces where findings are shown.
    check("\"nowhere.toml\"", &[("C085", "", "main.toml")]);
    for name in [
        "../unit.toml",
        "/unit.toml",
        "a//b.toml",
        ".toml",
        "unit",
        "c:unit.toml",
        "a\\\\b.toml",
        "",
    ] {
        check(&format!("\"{name}\""), &[("C084", "", "main.toml")]);
    }
    check("3", &[("C010", "", "main.toml")]);
    check("\"whole.toml\"", &[("C086", "part", "whole.toml")]);
    // A missing file's kinds are not said to be unknown as well.
    let bundle = bundled(&format!("include = \"nowhere.toml\"\n{TWO}"), &[]);
    let file = bundle.read("two", &catalogue());
    assert_eq!(file.findings.len(), 1, "{:#?}", file.findings);
    assert_eq!(file.findings[0].label, "there is no such file");
    let many = numbered(60, |index| format!("\"f{index}.toml\","));
    let files: Vec<(String, String)> = (0..60)
        .map(|index| (format!("f{index}.toml"), String::new()))
        .collect();
    let files: Vec<(&str, &str)> = files
        .iter()
        .map(|(name, text)| (name.as_str(), text.as_str()))
        .collect();
    let bundle = bundled(&format!("include = [{many}]\n{TWO}"), &files);
    assert!(bundle.findings.iter().any(|found| found.code == "C087"));
}
