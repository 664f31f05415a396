//! The checks that follow from a circuit: which, where, under what condition, read with what.
#![allow(clippy::unwrap_used, reason = "tests")]
#![allow(clippy::float_cmp, reason = "sums of small whole numbers are exact")]

mod common;

use circuit::{Check, Circuit, Instrument, Reads, derive_checks, find_check};
use common::{GOOD, SMALL, good};

fn ids(circuit: &Circuit) -> Vec<String> {
    derive_checks(circuit).into_iter().map(|check| check.id).collect()
}

fn check<'a>(checks: &'a [Check], id: &str) -> &'a Check {
    checks
        .iter()
        .find(|check| check.id == id)
        .unwrap_or_else(|| panic!("no {id}"))
}

/// A gauge fits every hose end while the engine makes vacuum; the rest is done with everything off, the swap where the
/// circuit must show that it works.
#[test]
fn a_small_vacuum_circuit() {
    assert_eq!(
        ids(&good(SMALL)),
        [
            "deadhead:pump.inlet@idle",
            "tee:pump.inlet@idle",
            "hold:hose.from@off",
            "deadhead:valve.source@idle",
            "tee:valve.source@idle",
            "deadhead:valve.output@idle",
            "tee:valve.output@idle",
            "look:pump@off",
            "look:hose@off",
            "click:valve@idle",
            "ohms:valve@off",
            "look:valve@off",
            "swap:valve@idle",
            "jumper:can@off",
            "compare:pump@off",
        ]
    );
}

/// Where more than two ports meet it matters which of them the gauge takes the place of.
#[test]
fn each_branch_of_a_tee_has_its_own_deadhead() {
    let ids = ids(&good(GOOD));
    let at_tee: Vec<_> = ids
        .iter()
        .filter(|id| !id.starts_with("hold:"))
        .filter(|id| {
            id.contains("actuator.nipple") || id.contains("signal-hose.to") || id.contains("branch.from")
        })
        .collect();
    assert_eq!(
        at_tee,
        [
            "deadhead:actuator.nipple@idle",
            "deadhead:signal-hose.to@idle",
            "deadhead:branch.from@idle",
            "tee:actuator.nipple@idle"
        ]
    );
    assert!(ids.contains(&"travel:actuator.rod@idle".to_owned()));
}

#[test]
fn what_is_read_with_what() {
    let circuit = good(GOOD);
    let checks = derive_checks(&circuit);
    let seen = |id: &str| {
        let check = check(&checks, id);
        (check.reads, check.instrument)
    };
    assert_eq!(
        seen("deadhead:valve.source@idle"),
        (Reads::Vacuum, Instrument::VacuumGauge)
    );
    assert_eq!(
        seen("travel:actuator.rod@idle"),
        (Reads::Travel, Instrument::Rule)
    );
    assert_eq!(seen("ohms:valve@off"), (Reads::Resistance, Instrument::Ohmmeter));
    assert_eq!(seen("look:valve@off"), (Reads::YesNo, Instrument::Senses));
    assert_eq!(seen("jumper:actuator@off"), (Reads::Travel, Instrument::Rule));
}

/// Minutes of the method (a dead-head 4) and of the place (2 more at the valve's source); the cover comes on top, once.
#[test]
fn reach_counts() {
    let circuit = good(GOOD);
    let checks = derive_checks(&circuit);
    let source = check(&checks, "deadhead:valve.source@idle");
    assert_eq!(source.minutes, 6.0);
    assert_eq!(
        circuit.access_minutes(&source.needs, &[]),
        10.0,
        "the cover's 4 and the undertray's 6 before it"
    );
    assert_eq!(
        check(&checks, "swap:valve@idle").minutes,
        33.0,
        "the valve's own 30 and 3"
    );
}

/// Somebody listens for the click with the engine standing, where a condition for that exists.
#[test]
fn a_click_is_heard_beside_a_standing_engine() {
    let quiet = format!("{SMALL}[condition.listen]\nsupply = \"12.5 V\"\ncommand = {{ valve = \"on\" }}\n");
    let ids = ids(&good(&quiet));
    let clicks: Vec<_> = ids.iter().filter(|id| id.starts_with("click")).collect();
    assert_eq!(clicks, ["click:valve@listen"]);
}

#[test]
fn a_meter_fits_every_plug() {
    let text = "[circuit]\ntitle = \"a lamp\"\n[part.battery]\nkind = \"battery\"\nplus = \"feed.from\"\nminus = \"lamp.b\"\n\
        [part.feed]\nkind = \"wire\"\nto = \"switch.a\"\n[part.switch]\nkind = \"switch\"\nb = \"lamp.a\"\n[part.lamp]\nkind = \"lamp\"\n\
        [condition.lit]\nsupply = \"12.5 V\"\ncommand = { switch = \"on\" }\n";
    let circuit = good(text);
    let checks = derive_checks(&circuit);
    let ids: Vec<_> = checks.iter().map(|check| check.id.as_str()).collect();
    assert_eq!(
        ids,
        [
            "volts:battery.plus@lit",
            "open-volts:battery.plus@lit",
            "volts:battery.minus@lit",
            "open-volts:battery.minus@lit",
            "open-volts:lamp.b@lit",
            "volts:switch.a@lit",
            "open-volts:switch.a@lit",
            "volts:switch.b@lit",
            "open-volts:switch.b@lit",
            "open-volts:lamp.a@lit",
            "drop:lamp@lit",
            "look:lamp@off",
        ]
    );
    assert_eq!(
        check(&checks, "volts:switch.b@lit").instrument,
        Instrument::Voltmeter
    );
}

/// A gauge reads what the nearest source gives: pressure in the charge pipe, vacuum beside the pump.
#[test]
fn pressure_and_vacuum_in_one_circuit() {
    let text = SMALL.replace(
        "[part.can]\n",
        "[part.pipe]\nkind = \"air space\"\n[part.pipe-hose]\nkind = \"tube\"\nbore = \"3 mm\"\nfrom = \"pipe.tap\"\nto = \"valve.vent\"\n[part.can]\n",
    );
    let circuit = good(&text);
    let checks = derive_checks(&circuit);
    assert_eq!(check(&checks, "tee:pipe.tap@idle").reads, Reads::GaugePressure);
    assert_eq!(check(&checks, "tee:valve.vent@idle").reads, Reads::GaugePressure);
    assert_eq!(check(&checks, "tee:pump.inlet@idle").reads, Reads::Vacuum);
}

#[test]
fn a_joint_answers_to_both_its_ends() {
    let circuit = good(GOOD);
    let checks = derive_checks(&circuit);
    let found = |id: &str| find_check(&circuit, &checks, id).map(|check| check.id.as_str());
    assert_eq!(
        found("deadhead:source-hose.to@idle"),
        Some("deadhead:valve.source@idle")
    );
    assert_eq!(
        found("tee:branch.from@idle"),
        Some("tee:actuator.nipple@idle"),
        "beside a tee all ports are one place"
    );
    assert_eq!(
        found("deadhead:branch.from@idle"),
        Some("deadhead:branch.from@idle")
    );
    assert_eq!(found("deadhead:branch.sideways@idle"), None);
}

/// Two hoses side by side at every rung double the ways from the pump, not the work.
#[test]
fn a_long_ladder_is_no_burden() {
    let rung = |index: usize| {
        let from = if index == 0 {
            "pump.inlet".to_owned()
        } else {
            format!("a{}.to", index - 1)
        };
        let hose = |side: &str| {
            format!("[part.{side}{index}]\nkind = \"tube\"\nbore = \"3 mm\"\nfrom = \"{from}\"\n")
        };
        format!("{}{}to = \"a{index}.to\"\n", hose("a"), hose("b"))
    };
    let head = "[circuit]\ntitle = \"ladder\"\n[condition.idle]\nengine = \"780 rpm\"\n\
        [part.pump]\nkind = \"vane pump\"\nswept = \"160 cm3/rev\"\n";
    let circuit = good(&(head.to_owned() + &(0..200).map(rung).collect::<Vec<_>>().concat()));
    assert_eq!(circuit.joints.len(), 201);
    let checks = derive_checks(&circuit);
    let tees: Vec<_> = checks
        .iter()
        .filter(|check| check.id.starts_with("tee"))
        .collect();
    assert!(tees.len() == 201 && tees.iter().all(|check| check.reads == Reads::Vacuum));
    assert_eq!(
        checks.iter().filter(|check| check.id.starts_with("look")).count(),
        401
    );
}
