//! The shipped starter circuit, sound and with its faults, against figures of the trade.

mod shared;

use physics::Model;
use shared::meter::{at, check};
use shared::{fault, one};

/// Common practice, computed elsewhere: a car diesel's starter, 275 A and 227 rpm in health; the path from the engine to the
/// battery's negative at 9.5 and 13 milliohms. Currents and speeds were printed to the unit; the voltages come from a
/// battery and cables a little different from ours.
#[test]
fn a_bad_ground_path_slows_the_starter_at_full_battery_voltage() {
    let model = Model::new(one("starter-circuit"));
    for (path, volts, amps, rpm) in [
        (0.4, 10.8, 275.0, 227.0),
        (9.5, 10.9, 261.0, 163.0),
        (13.0, 10.95, 256.0, 140.0),
    ] {
        let faults: &[(&str, f64)] = &[("engine-strap/high resistance", (path - 0.4) * 1e-3)];
        let faults = if path > 0.4 { faults } else { &[] };
        let what = format!("path of {path} mohm");
        check(
            &what,
            at(&model, faults, "volts:battery.positive@cranking"),
            volts,
            0.15,
        );
        check(&what, at(&model, faults, "amps:motor@cranking"), amps, 1.5);
        check(&what, at(&model, faults, "speed:motor@cranking") * 60.0, rpm, 2.0);
    }
}

/// Common practice, no source: what the faults of a starter circuit look like.
#[test]
fn starter_faults_have_their_signatures() {
    let model = Model::new(one("starter-circuit"));
    let typical = |name: &str| {
        let spec = model.circuit().fault_spec(fault(model.circuit(), name));
        spec.severity.map_or(1.0, |severity| severity.typical)
    };
    let cases = [
        // Sound: more than 9.6 V, the positive side loses less than 0.5 V, the negative less than 0.35 V.
        ("", "volts:battery.positive@cranking", 9.6, 11.2),
        ("", "drop:positive-cable@cranking", 0.0, 0.3),
        ("", "drop:solenoid@cranking", 0.0, 0.2),
        ("", "volts:solenoid.ground@cranking", 0.0, 0.35),
        ("", "volts:solenoid.50@cranking", 10.0, 12.0),
        ("battery/weak", "volts:battery.positive@cranking", 8.0, 9.4),
        ("battery/weak", "drop:positive-cable@cranking", 0.0, 0.3),
        ("motor/drags", "amps:motor@cranking", 380.0, 700.0),
        ("motor/drags", "volts:battery.positive@cranking", 7.0, 10.4),
        ("motor/seized", "speed:motor@cranking", 0.0, 0.0),
        ("motor/seized", "amps:motor@cranking", 600.0, 1000.0),
        ("motor/dead spot", "amps:motor@cranking", 0.0, 1.0),
        ("motor/turns shorted", "amps:motor@cranking", 400.0, 900.0),
        ("motor/turns shorted", "speed:motor@cranking", 0.0, 170.0 / 60.0),
        ("solenoid/contacts burnt", "drop:solenoid@cranking", 0.5, 12.0),
        ("solenoid/contacts burnt", "click:solenoid@cranking", 0.9, 1.0),
        ("solenoid/sticks", "click:solenoid@cranking", 0.0, 0.1),
        ("relay/coil open", "click:relay@cranking", 0.0, 0.1),
        ("relay/coil open", "volts:solenoid.50@cranking", 0.0, 0.1),
        ("relay/contact burnt", "volts:solenoid.50@cranking", 0.0, 6.5),
        ("relay/contact burnt", "click:relay@cranking", 0.9, 1.0),
        ("relay/contact burnt", "click:solenoid@cranking", 0.0, 0.1),
        // Without a load the bad contact does not show: the meter alone draws nothing.
        (
            "relay/contact burnt",
            "open-volts:solenoid.50@cranking",
            12.5,
            12.61,
        ),
    ];
    for (name, id, low, high) in cases {
        let faults: Vec<_> = Some(name)
            .filter(|name| !name.is_empty())
            .map(|name| (name, typical(name)))
            .into_iter()
            .collect();
        let value = at(&model, &faults, id);
        assert!(
            (low..=high).contains(&value),
            "{name}: {id} reads {value}, not {low} to {high}"
        );
    }
    let brushes = at(&model, &[("motor/worn brushes", 12.0)], "amps:motor@cranking");
    assert!(brushes < 150.0, "worn brushes draw {brushes} A");
    let voltage = at(
        &model,
        &[("motor/worn brushes", 12.0)],
        "volts:battery.positive@cranking",
    );
    assert!(voltage > 11.5, "worn brushes leave {voltage} V");
}
