//! Circuits of liquid: beside an independent solution, against the ranges of the trade, and each fault where the trade looks
//! for it.
#![allow(missing_docs, clippy::unwrap_used, reason = "tests")]

mod shared;

use physics::{Ambient, Model, Vehicle};
use shared::{fault, one, read, reading};

const BAR: f64 = 1.0e5;
const LITRE_PER_MINUTE: f64 = 1.0e-3 / 60.0;

struct Bench(Model);

impl Bench {
    fn fuel() -> Self {
        Self(Model::new(one("low-pressure-fuel")))
    }

    fn read(&self, check: &str, faults: &[(&str, f64)]) -> f64 {
        let mut vehicle = Vehicle::typical(self.0.circuit(), Ambient::default());
        let faults = faults
            .iter()
            .map(|(name, severity)| (fault(self.0.circuit(), name), *severity));
        vehicle.faults = faults.collect();
        reading(&mut self.0.probe(), check, &vehicle)
    }

    fn sound(&self, check: &str) -> f64 {
        self.read(check, &[])
    }
}

/// `references/fuel_nets.json`: the same circuit written again and solved by `SciPy`, lines by `fluids`. What differs is that
/// this program's friction is a table turned inside out (1e-4 of flow); asked for is 0.1 %.
#[test]
fn a_fuel_circuit_reads_as_solved_independently() {
    let bench = Bench(Model::new(read(
        "fuel-reference",
        include_str!("circuits/fuel-reference.toml"),
    )));
    let text = include_str!("../../../references/fuel_nets.json");
    let file: serde_json::Value = serde_json::from_str(text).unwrap();
    let cases = file["circuits"].as_array().unwrap();
    assert!(cases.len() >= 9);
    for case in cases {
        let faults: Vec<(&str, f64)> = case["faults"]
            .as_object()
            .unwrap()
            .iter()
            .map(|(name, severity)| {
                let name = match name.as_str() {
                    "worn" => "pump/worn",
                    "brushes" => "pump/worn brushes",
                    "ground" => "ground/high resistance",
                    "plugged" => "filter/plugged",
                    "strainer" => "pump/strainer plugged",
                    other => panic!("{other}"),
                };
                (name, severity.as_f64().unwrap())
            })
            .collect();
        let places = [
            ("pressure:pump.outlet@fast", "outlet"),
            ("pressure:filter.from@fast", "before_filter"),
            ("pressure:filter.to@fast", "behind_filter"),
            ("pressure:regulator.return@fast", "return"),
            ("amps:pump@fast", "current"),
        ];
        for (check, name) in places {
            let (found, expected) = (bench.read(check, &faults), case[name].as_f64().unwrap());
            // Beside the share, a pascal: a return without flow.
            let slack = 1e-3 * expected.abs() + if name == "current" { 0.0 } else { 1.0 };
            assert!(
                (found - expected).abs() <= slack,
                "{check} with {faults:?}: {found} instead of {expected}"
            );
        }
    }
}

/// Common practice, no source: 3.5 to 6 bar, within 0.3 bar from idle to full draw, 0.5 to 0.7 L and more in 30 seconds at
/// working pressure, 3 to 10 A, at most 0.5 V on each side of the pump and battery − 0.8 V at its connector.
#[test]
fn a_sound_supply_reads_what_the_trade_expects() {
    let bench = Bench::fuel();
    let [idle, fast] = ["idle", "fast"].map(|at| bench.sound(&format!("pressure:rail-line.to@{at}")));
    assert!(
        (3.5 * BAR..6.0 * BAR).contains(&idle) && (idle - fast).abs() < 0.3 * BAR,
        "{idle} {fast}"
    );
    let back = bench.sound("flow:regulator.return@prime") / LITRE_PER_MINUTE;
    assert!(back > 1.2, "{back} L/min");
    let current = bench.sound("amps:pump@idle");
    assert!((3.0..10.0).contains(&current), "{current} A");
    for check in [
        "drop:pump-wire@idle",
        "drop:tank-plug@idle",
        "drop:ground@idle",
        "drop:pump-ground-wire@idle",
    ] {
        assert!(bench.sound(check) < 0.5, "{check}");
    }
    assert!(bench.sound("drop:pump@idle") > 14.1 - 0.8);
    assert!(bench.sound("pressure:regulator.return@idle") < 0.15 * BAR);
}

/// Signatures of the trade, common practice, no source, one after the other.
#[test]
fn each_fault_shows_where_the_trade_looks() {
    let bench = Bench::fuel();
    let bar = |check: &str, faults: &[(&str, f64)]| bench.read(check, faults) / BAR;
    let volume =
        |faults: &[(&str, f64)]| bench.read("flow:regulator.return@prime", faults) / LITRE_PER_MINUTE;

    // A plugged filter: much before, little behind, and the current a little up.
    let plugged = [("filter/plugged", 40.0)];
    assert!(
        bar("pressure:filter.from@fast", &plugged) > 5.5 && bar("pressure:filter.to@fast", &plugged) < 2.5
    );
    assert!(bench.read("amps:pump@fast", &plugged) > bench.sound("amps:pump@fast"));

    // A blocked strainer: little everywhere and little current.
    let strainer = [("pump/strainer plugged", 1.2e-3)];
    assert!(bar("pressure:pump.outlet@fast", &strainer) < 1.0 && volume(&strainer) < 0.6);
    assert!(bench.read("amps:pump@fast", &strainer) < 0.8 * bench.sound("amps:pump@fast"));

    // A worn pump: the regulator still keeps the pressure at idle, the volume is gone, the voltage full, the current not up.
    let worn = [("pump/worn", 0.7)];
    assert!((bar("pressure:rail-line.to@idle", &worn) - bar("pressure:rail-line.to@idle", &[])).abs() < 0.3);
    assert!(volume(&worn) < 0.4 * volume(&[]));
    assert!(
        bench.read("drop:pump@prime", &worn) > 11.8
            && bench.read("amps:pump@prime", &worn) < bench.sound("amps:pump@prime")
    );

    // An open regulator: the pressure low, the return full; closing the return brings it back.
    let open = [("regulator/stays open", 2.2e-3)];
    assert!(bar("pressure:rail-line.to@fast", &open) < 3.4 && volume(&open) > volume(&[]));

    // A squashed return: too much everywhere, up to the pump's own relief valve.
    let squashed = [("return-line/squashed", 0.7e-3)];
    assert!(
        bar("pressure:rail-line.to@idle", &squashed) > 5.5
            && bar("pressure:regulator.return@idle", &squashed) > 1.0
    );

    // A bad ground of 0.5 ohm: volts lost there, fewer amperes, less fuel; the open voltage at the plug hides it.
    let ground = [("ground/high resistance", 0.5)];
    assert!(
        bench.read("drop:ground@idle", &ground) > 2.0
            && bench.read("amps:pump@idle", &ground) < bench.sound("amps:pump@idle")
    );
    assert!(volume(&ground) < 0.7 * volume(&[]) && bench.read("open-volts:pump.plus@prime", &ground) > 12.0);

    // A seized pump draws much and moves nothing; an open winding draws nothing.
    assert!(
        bench.read("amps:pump@prime", &[("pump/seized", 1.0)]) > 15.0
            && volume(&[("pump/seized", 1.0)]) == 0.0
    );
    assert!(bench.read("amps:pump@prime", &[("pump/dead spot", 1.0)]) < 1e-3);
    assert!(volume(&[("tank/empty", 1.0)]) < 1e-3);
}

/// A can under a line that the pump feeds takes all that the pump gives; a closed line takes nothing.
#[test]
fn a_can_is_filled_from_the_side_that_feeds() {
    let bench = Bench::fuel();
    let free = bench.sound("flow:pump.outlet@prime");
    let behind = bench.sound("flow:filter.to@prime");
    assert!(behind < free && behind > 0.9 * free, "{behind} of {free}");
    assert!(bench.read("flow:filter.to@prime", &[("feed-line/coupling not home", 1.0)]) < 1e-12);
    assert!(bench.read("flow:pump.outlet@prime", &[("feed-line/coupling not home", 1.0)]) > 0.99 * free);
}

/// Cold diesel is thick: the same filter takes more of the pressure.
#[test]
fn cold_fuel_is_harder_to_filter() {
    let bench = Bench::fuel();
    let loss = |celsius: f64| {
        let ambient = Ambient {
            temperature: celsius + 273.15,
            ..Ambient::default()
        };
        let vehicle = Vehicle::typical(bench.0.circuit(), ambient);
        let at = |check| reading(&mut bench.0.probe(), check, &vehicle);
        at("pressure:pump.outlet@fast") - at("pressure:filter.from@fast")
    };
    assert!(loss(-10.0) > 1.2 * loss(30.0), "{} {}", loss(-10.0), loss(30.0));
}

/// The suction side of a pump outside the tank is read in vacuum: a blocked pick-up shows there.
#[test]
fn a_blocked_pick_up_shows_as_vacuum() {
    let bench = Bench(Model::new(read(
        "every-liquid-kind",
        include_str!("circuits/every-liquid-kind.toml"),
    )));
    let check = "pressure:pump.inlet@idle";
    let (sound, blocked) = (
        bench.sound(check),
        bench.read(check, &[("tank/pick-up blocked", 1.2e-3)]),
    );
    // 2 to 5 inHg with a clean filter, more than 8 restricted: common practice, no source.
    assert!(
        sound < 5.0 * shared::INCH && blocked > 8.0 * shared::INCH,
        "{sound} {blocked}"
    );
}
