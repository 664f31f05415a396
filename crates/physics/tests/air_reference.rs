//! The reference vacuum circuit against `references/vacuum_circuit.json`, two computations that know nothing of this crate,
//! and facts of the trade.
#![allow(missing_docs, clippy::unwrap_used, clippy::print_stdout, reason = "tests")]

mod shared;

use physics::{Ambient, Model, Vehicle};
use quantity::{Length, Pressure};
use serde_json::Value;
use shared::{INCH, fault, one, read, reading};

/// Agreement asked for, inHg: half a division of a shop gauge is 0.25, its own error 0.6.
const CLOSE: f64 = 0.4;
/// Against the computation that is printed to more than one digit. What is left: the ellipse in place of the nozzle, 0.3 % of a
/// flow; 0.017 inHg were seen.
const CLOSER: f64 = 0.03;
/// The same with the source hose at a Reynolds number of 2300 or above (a leak of 0.8 mm or more at the actuator): the other
/// computation holds the flow at 2300 between Poiseuille and Blasius, whose factors are 0.028 and 0.046 there; Churchill goes
/// over smoothly from 0.031. Nobody can say which a given hose follows.
const IN_TRANSITION: f64 = 0.3;

const PLACES: [(&str, &str); 4] = [
    ("P", "pump.inlet"),
    ("S", "valve.source"),
    ("O", "valve.output"),
    ("A", "actuator.nipple"),
];

fn model() -> Model {
    Model::new(read(
        "reference-vacuum",
        include_str!("circuits/reference-vacuum.toml"),
    ))
}

fn rows(table: &str) -> Vec<Value> {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../references/vacuum_circuit.json"
    );
    let all: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    all[table].as_array().unwrap().clone()
}

/// The barometer and temperature of the reference.
fn ambient() -> Ambient {
    Ambient::default().with_barometer(Pressure::from_si(101_300.0))
}

/// The vehicle that a row of the reference describes, and the condition it was in.
fn vehicle(model: &Model, what: &Value) -> (Vehicle, String) {
    let circuit = model.circuit();
    let number = |key: &str| what[key].as_f64();
    let ambient =
        number("altitude_m").map_or(ambient(), |metres| Ambient::at_altitude(Length::from_si(metres)));
    let mut vehicle = Vehicle::typical(circuit, ambient);
    let mut add = |name: &str, millimetres: Option<f64>| {
        if let Some(size) = millimetres.filter(|size| *size > 0.0) {
            vehicle.faults.push((fault(circuit, name), size * 1e-3));
        }
    };
    add("source-line/blocked", number("bore_mm"));
    add("actuator/diaphragm leaks", number("leak_a_mm"));
    add("signal-line/blocked", number("signal_bore_mm"));
    add("booster/leaks", number("leak_p_mm"));
    add("booster/leaks", number("leak_mm"));
    add("chamber/leaks", number("leak_s_mm"));
    if what["what"] == "vent blocked" {
        add("valve/vent blocked", Some(1e-3));
    }
    let duty = (100.0 * number("duty").unwrap_or(0.0)).round();
    (vehicle, format!("d{duty}-{}", number("rpm").unwrap_or(800.0)))
}

/// Compares a table of the reference, teed in everywhere, and returns the greatest difference from either computation.
fn compare(table: &str, skip: impl Fn(&Value, &str) -> bool) -> (f64, f64) {
    let model = model();
    let mut probe = model.probe();
    let mut worst = (0.0f64, 0.0f64);
    for row in rows(table) {
        let (vehicle, condition) = vehicle(&model, &row["what"]);
        let closer = if row["what"]["leak_a_mm"].as_f64().is_some_and(|hole| hole >= 0.8) {
            IN_TRANSITION
        } else {
            CLOSER
        };
        for (place, port) in PLACES {
            let ours = reading(&mut probe, &format!("tee:{port}@{condition}"), &vehicle) / INCH;
            if let Some(own) = row["own"][place].as_f64() {
                assert!(
                    (ours - own).abs() <= closer,
                    "{table} {} {place}: {ours}, nozzle model {own}",
                    row["what"]
                );
                worst.1 = worst.1.max((ours - own).abs());
            }
            if let Some(printed) = row["printed"][place].as_f64().filter(|_| !skip(&row, place)) {
                assert!(
                    (ours - printed).abs() <= CLOSE,
                    "{table} {} {place}: {ours}, printed {printed}",
                    row["what"]
                );
                worst.0 = worst.0.max((ours - printed).abs());
            }
        }
    }
    println!(
        "{table}: {:.3} inHg from the printed computation, {:.3} from the nozzle model",
        worst.0, worst.1
    );
    worst
}

#[test]
fn healthy_readings_by_duty() {
    compare("duty", |_, _| false);
}

/// One printed figure is not met: 27.4 inHg behind a 0.45 mm restriction at 100 % duty. Nothing flows there (source open, vent
/// shut, no leak), so a restriction can take nothing away and the place must read what the pump does, 28.1; the second
/// computation says the same. It is the fact a technician must know: at full command a blocked line is not seen.
#[test]
fn a_restricted_supply_line() {
    compare("restriction", |row, place| {
        row["what"]["duty"] == 1.0 && place == "S" && row["what"]["bore_mm"] == 0.45
    });
}

#[test]
fn a_leak_at_the_actuator() {
    compare("leak_a", |_, _| false);
}

#[test]
fn pump_against_leak_and_speed() {
    compare("pump", |_, _| false);
}

/// With the ultimate pressure written in pascals it stays when the barometer falls, as the reference has it.
#[test]
fn altitude_with_a_fixed_ultimate_pressure() {
    compare("altitude", |_, _| false);
}

#[test]
fn signatures_of_five_faults() {
    compare("signatures", |_, _| false);
}

/// What limits a vane pump is air that leaks back from the crankcase through a fixed gap. That gap is choked, so its flow, and
/// with it the lowest pressure, is in proportion to the barometer: at 2400 m 4.5 kPa rather than 6. Our kind takes a share of
/// the barometer where a share is written; the difference from the table is what the physics says it is.
#[test]
fn altitude_with_an_ultimate_share_of_the_barometer() {
    let text = include_str!("circuits/reference-vacuum.toml").replace("6 kPa abs", "5.9215 %");
    let model = Model::new(read("share", &text));
    let mut probe = model.probe();
    for metres in [0.0, 1000.0, 2400.0, 4000.0] {
        let ambient = Ambient::at_altitude(Length::from_si(metres));
        let vehicle = Vehicle::typical(model.circuit(), ambient);
        let ours = reading(&mut probe, "tee:pump.inlet@d0-800", &vehicle);
        assert!(
            (ours - (1.0 - 0.059_215) * ambient.pressure).abs() < 1.0,
            "{metres} m: {ours}"
        );
    }
}

/// Dead-headed readings at the pump and the valve: nothing flows, so the whole of what the pump can do is there, blocked
/// line or not, and a leak beyond the gauge is not seen.
#[test]
fn dead_headed_readings_hide_what_lies_beyond() {
    let model = model();
    let mut probe = model.probe();
    let healthy = Vehicle::typical(model.circuit(), ambient());
    let with = |name: &str, millimetres: f64| {
        let mut vehicle = healthy.clone();
        vehicle
            .faults
            .push((fault(model.circuit(), name), millimetres * 1e-3));
        vehicle
    };
    let full = 101_300.0 - 6000.0;
    for (vehicle, id) in [
        (healthy.clone(), "deadhead:valve.source@d80-800"),
        (with("source-line/blocked", 0.45), "deadhead:valve.source@d80-800"),
        (
            with("actuator/diaphragm leaks", 2.0),
            "deadhead:valve.source@d80-800",
        ),
    ] {
        let ours = reading(&mut probe, id, &vehicle);
        // 0.01 inHg: seepage through walls is all that flows.
        assert!((ours - full).abs() < 0.01 * INCH, "{id}: {} inHg", ours / INCH);
    }
    let leaking = reading(
        &mut probe,
        "deadhead:valve.source@d80-800",
        &with("source-line/leaks", 1.5),
    );
    assert!(
        leaking < full - 5.0 * INCH,
        "a leak before the gauge is seen: {}",
        leaking / INCH
    );
}

/// The actuator starts at 5 inHg and has its full travel at 15: 27 N and 81 N on a 45 mm diaphragm, within the rounding of
/// those figures.
#[test]
fn the_rod_moves_between_five_and_fifteen_inches() {
    let model = model();
    let mut probe = model.probe();
    let mut seen = Vec::new();
    for hole in [0.2, 0.3, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.2, 2.0] {
        let mut vehicle = Vehicle::typical(model.circuit(), ambient());
        vehicle
            .faults
            .push((fault(model.circuit(), "actuator/diaphragm leaks"), hole * 1e-3));
        let vacuum = reading(&mut probe, "tee:actuator.nipple@d80-800", &vehicle);
        let travel = reading(&mut probe, "travel:actuator.rod@d80-800", &vehicle);
        let expected = (12.0 * (vacuum / INCH - 5.0) / 10.0).clamp(0.0, 12.0);
        assert!(
            (travel * 1e3 - expected).abs() < 0.15,
            "{} inHg: {} mm",
            vacuum / INCH,
            travel * 1e3
        );
        seen.push(expected);
    }
    assert!(
        seen.contains(&0.0) && seen.contains(&12.0),
        "both ends are reached: {seen:?}"
    );
}

// Facts of the trade, on the shipped circuit. Common practice, no source.

/// A sound pump dead-headed at idle at sea level: 25 to 28 inHg.
#[test]
fn a_sound_pump_reads_25_to_28_inches_dead_headed() {
    let model = Model::new(one("vacuum-wastegate"));
    let vehicle = Vehicle::typical(model.circuit(), Ambient::default());
    let pump = reading(&mut model.probe(), "deadhead:pump.inlet@idle", &vehicle) / INCH;
    assert!((25.0..=28.2).contains(&pump), "{pump}");
}

/// About 17 inHg at the actuator with the normal idle command; 15 is the least acceptable.
#[test]
fn the_actuator_has_about_17_inches_at_idle() {
    let model = Model::new(one("vacuum-wastegate"));
    let vehicle = Vehicle::typical(model.circuit(), Ambient::default());
    let vacuum = reading(&mut model.probe(), "tee:actuator.nipple@idle", &vehicle) / INCH;
    assert!((15.5..=18.5).contains(&vacuum), "{vacuum}");
}

/// A source line blocked to half a millimetre reads dead-headed what a sound one reads, and teed in at least 10 inHg less: the
/// reason why a gauge is teed in.
#[test]
fn a_blocked_line_shows_only_under_flow() {
    let model = Model::new(one("vacuum-wastegate"));
    let mut probe = model.probe();
    let sound = Vehicle::typical(model.circuit(), Ambient::default());
    let mut blocked = sound.clone();
    blocked
        .faults
        .push((fault(model.circuit(), "source-line/blocked"), 0.5e-3));
    let mut fall = |id| (reading(&mut probe, id, &sound) - reading(&mut probe, id, &blocked)) / INCH;
    let (dead, teed) = (fall("deadhead:valve.source@idle"), fall("tee:valve.source@idle"));
    assert!(dead.abs() < 1.0, "dead-headed {dead}");
    assert!(teed >= 10.0, "teed {teed}");
}
