//! What a review says of circuits whose weaknesses are known: one that lacks a condition, one with a fault that nothing shows, one
//! with figures that cannot be right.
#![allow(clippy::unwrap_used, reason = "tests")]

use std::fmt::Write as _;

use engine::{Changed, Model, TOLD, UnusualWhat, load, review, shipped, shipped_called};

const WASTEGATE: &str = "vacuum-wastegate";

fn model(name: &str) -> Model {
    let shipped = shipped_called(name).unwrap();
    load(shipped.name, shipped.text).model.unwrap()
}

fn changed(edit: &[(&str, &str)]) -> Model {
    let mut text = shipped_called(WASTEGATE).unwrap().text.to_owned();
    for (from, to) in edit {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    let loaded = load("edited", &text);
    loaded.model.unwrap_or_else(|| panic!("{:#?}", loaded.findings))
}

/// Every shipped circuit has a review; every check finds its balance, and what a review says fits together.
#[test]
fn shipped_circuits_are_reviewed() {
    for shipped in shipped() {
        let model = model(shipped.name);
        let circuit = model.circuit();
        let found = review(&model).unwrap();
        assert!(
            found.unsolved.is_empty(),
            "{}: {:?}",
            shipped.name,
            found.unsolved
        );
        assert_eq!(found.sensitivity.len(), model.checks().len());
        for row in &found.sensitivity {
            assert!(
                row.len() == circuit.parts.len()
                    && row.iter().all(|share| (0.0..=1.0 + 1e-9).contains(share))
            );
        }
        for alike in &found.alike {
            assert!(
                alike.faults.len() > 1 && alike.best.is_none_or(|(_, right)| right < TOLD),
                "{}",
                shipped.name
            );
            assert!(alike.would.as_ref().is_none_or(|would| would.right > TOLD));
        }
        for part in &found.unseen_parts {
            assert!(found.unseen_faults.iter().all(|fault| fault.part != *part));
        }
    }
}

#[test]
fn the_same_review_every_time() {
    let (one, other) = (
        review(&model(WASTEGATE)).unwrap(),
        review(&model(WASTEGATE)).unwrap(),
    );
    assert_eq!(format!("{one:?}"), format!("{other:?}"));
}

/// A dead-headed gauge at the pump shows the pump and nothing behind the hose that was pulled off.
#[test]
fn a_check_shows_what_lies_before_it() {
    let model = model(WASTEGATE);
    let found = review(&model).unwrap();
    let shows = |check: &str, part: &str| {
        let part = model.circuit().part(part).unwrap();
        found.sensitivity[model.check(check).unwrap()][part.0]
    };
    assert!(shows("deadhead:pump.inlet@idle", "pump") > 0.8);
    assert!(shows("deadhead:pump.inlet@idle", "signal-line") < 0.01);
    assert!(shows("tee:actuator.nipple@idle", "signal-line") > 0.5);
    assert!(shows("ohms:supply-wire@off", "driver-wire") < 0.01);
}

/// With one condition only, in which nothing is driven, a plugged vent looks like a sound valve; a command would show it.
#[test]
fn a_condition_that_is_missing_is_named() {
    let text = shipped_called(WASTEGATE).unwrap().text;
    let start = text.find("[condition.").unwrap();
    let end = text.find("[access.").unwrap();
    let conditions = "[condition.idle]\nwhat = \"idling\"\nengine = \"780 rpm\"\nsupply = \"14.1 V\"\ncommand = { driver = \"0 %\" }\n\n";
    let text = format!("{}{conditions}{}", &text[..start], &text[end..]);
    let works = text.find("[works]").unwrap();
    let loaded = load("edited", &text[..works]);
    let model = loaded.model.unwrap_or_else(|| panic!("{:#?}", loaded.findings));
    let found = review(&model).unwrap();
    let full = review(&self::model(WASTEGATE)).unwrap();
    let loose = found.alike.iter().map(|alike| alike.faults.len()).sum::<usize>()
        + found.unseen_faults.len()
        + found.unseen_parts.len();
    let tight = full.alike.iter().map(|alike| alike.faults.len()).sum::<usize>()
        + full.unseen_faults.len()
        + full.unseen_parts.len();
    assert!(loose > tight, "{loose} {tight}");
    let would: Vec<_> = found
        .alike
        .iter()
        .filter_map(|alike| alike.would.as_ref())
        .collect();
    assert!(!would.is_empty(), "{:#?}", found.alike);
    assert!(
        would.iter().any(|would| would.changed == Changed::AllOn),
        "{would:#?}"
    );
}

#[test]
fn figures_that_stand_out() {
    let found = review(&changed(&[(
        "coil = \"14.5 ohm ± 8 %\"",
        "coil = \"140 ohm ± 8 %\"",
    )]));
    let far = |found: &engine::Review| {
        found
            .unusual
            .iter()
            .filter(|unusual| matches!(unusual.what, UnusualWhat::Far(_) | UnusualWhat::AtTheEdge(_)))
            .count()
    };
    assert!(far(&found.unwrap()) > far(&review(&model(WASTEGATE)).unwrap()));
    // Where every condition sets the supply, no reading asks for the battery's own voltage.
    let model = model(WASTEGATE);
    let battery = model.circuit().part("battery").unwrap();
    let index = model.circuit().parts[battery.0]
        .kind
        .parameter("voltage")
        .unwrap();
    let found = review(&model).unwrap();
    assert!(found.idle.contains(&(battery, index)), "{:?}", found.idle);
    let pump = model.circuit().part("pump").unwrap();
    assert!(
        found.idle.iter().all(|(part, _)| *part != pump),
        "the pump's figures are felt: {:?}",
        found.idle
    );
}

/// Hundreds of parts are refused with how many, not waited for.
#[test]
fn too_many_parts_are_said_to_be() {
    let mut text = String::from(
        "[circuit]\ntitle = \"many\"\n[part.pump]\nkind = \"vane pump\"\nswept = \"160 cm3/rev\"\n",
    );
    for index in 0..250 {
        let _ = write!(
            text,
            "[part.h{index}]\nkind = \"tube\"\nbore = \"3 mm\"\nlength = \"1 m\"\nfrom = \"pump.inlet\"\nto = \"a{index}.nipple\"\n[part.a{index}]\nkind = \"diaphragm actuator\"\n"
        );
    }
    text.push_str("[condition.idle]\nengine = \"780 rpm\"\n");
    let loaded = load("many", &text);
    let model = loaded.model.unwrap_or_else(|| panic!("{:#?}", loaded.findings));
    let large = review(&model).unwrap_err();
    assert_eq!(large.parts, 501);
    assert!(large.to_string().contains("501 parts"));
}

/// Small enough to count by hand: nothing, each fault, each pair of faults of different parts.
#[test]
fn a_sweep_tries_every_fault_and_pair() {
    let text = "[circuit]\ntitle = \"small\"\n[part.pump]\nkind = \"vane pump\"\nswept = \"160 cm3/rev\"\n[part.hose]\nkind = \"tube\"\nbore = \"3 mm\"\nlength = \"1 m\"\nfrom = \"pump.inlet\"\nto = \"can.nipple\"\n[part.can]\nkind = \"diaphragm actuator\"\n[condition.idle]\nengine = \"780 rpm\"\n";
    let loaded = load("small", text);
    let model = loaded.model.unwrap_or_else(|| panic!("{:#?}", loaded.findings));
    let circuit = model.circuit();
    let severities: usize = circuit
        .faults()
        .iter()
        .map(|(fault, _)| {
            if circuit.fault_spec(*fault).severity.is_some() {
                3
            } else {
                1
            }
        })
        .sum();
    let of = |part: usize| {
        circuit
            .faults()
            .iter()
            .filter(|(fault, _)| fault.part.0 == part)
            .count()
    };
    let pairs = of(0) * of(1) + of(0) * of(2) + of(1) * of(2);
    let swept = engine::sweep(&model);
    assert_eq!(swept.vehicles, 1 + severities + pairs);
    assert!(
        swept.sound() && swept.solves >= swept.vehicles as u64,
        "{swept:#?}"
    );
    assert_eq!(format!("{swept:?}"), format!("{:?}", engine::sweep(&model)));
}
