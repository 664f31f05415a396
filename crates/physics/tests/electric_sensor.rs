//! A three-wire pressure sensor and the module that reads it, against figures of the trade.

mod shared;

use physics::{Ambient, Model, Vehicle};
use shared::meter::{at, check, circuit};
use shared::reading;

const SENSOR: &str = "
[part.battery]
kind = \"battery\"
[part.lamp]
kind = \"lamp\"
plus = \"battery.positive\"
minus = \"battery.negative\"
[part.sensor]
kind = \"three-wire pressure sensor\"
from = \"20 kPa abs\"
to = \"250 kPa abs\"
plus = \"plus-pin.to\"
signal = \"signal-pin.to\"
minus = \"minus-pin.to\"
[part.plus-pin]
kind = \"connector\"
from = \"module.reference\"
[part.signal-pin]
kind = \"connector\"
from = \"module.signal\"
[part.minus-pin]
kind = \"connector\"
from = \"module.return\"
[part.module]
kind = \"module sensor pins\"
from = \"20 kPa abs\"
to = \"250 kPa abs\"
pull-resistance = \"10 Mohm\"
ground = \"battery.negative\"
";

/// Common practice, computed elsewhere: 10 to 90 % of 5 V over 20 to 250 kPa. Printed to 0.01 V; the reference gives 7 mV away
/// in its own ohm, the pull of 10 MΩ adds 0.5 mV.
#[test]
fn a_three_wire_sensor_gives_its_share_of_five_volts() {
    let model = circuit(SENSOR, "12.6 V", "");
    for (kilopascals, volts) in [
        (101.3, 1.91),
        (75.6, 1.47),
        (150.0, 2.76),
        (200.0, 3.63),
        (230.0, 4.15),
    ] {
        let ambient = Ambient {
            pressure: kilopascals * 1e3,
            ..Ambient::default()
        };
        let vehicle = Vehicle::typical(model.circuit(), ambient);
        let value = reading(&mut model.probe(), "volts:module.signal@on", &vehicle);
        check(&format!("{kilopascals} kPa"), value, volts, 0.01);
        // What the module makes of it.
        let data = reading(&mut model.probe(), "data:module@on", &vehicle);
        check("data", data, kilopascals * 1e3, 600.0);
    }
}

/// Common practice, computed elsewhere: what a module reads that takes its reference for 5 V, and the signatures of lost wires.
#[test]
fn sensor_faults_have_their_signatures() {
    let model = circuit(SENSOR, "12.6 V", "");
    let data = |faults: &[(&str, f64)]| at(&model, faults, "data:module@on") / 1e3;
    let signal = |model: &Model, faults: &[(&str, f64)]| at(model, faults, "volts:module.signal@on");
    check("sound", data(&[]), 101.3, 0.6);
    check(
        "reference 4.7 V",
        data(&[("module/reference low", 4.7)]),
        95.0,
        0.8,
    );
    // 36.8 ohm lift the sensor's ground by 0.25 V at its 6.8 mA.
    check(
        "ground up 0.25 V",
        at(
            &model,
            &[("minus-pin/high resistance", 36.8)],
            "volts:sensor.minus@on",
        ),
        0.25,
        0.003,
    );
    check(
        "ground up 0.25 V",
        data(&[("minus-pin/high resistance", 36.8)]),
        110.0,
        0.8,
    );
    check("drift", data(&[("sensor/reads high", 10e3)]), 111.3, 0.6);
    check(
        "reference lost",
        signal(&model, &[("plus-pin/pin pushed back", 1.0)]),
        0.0,
        0.1,
    );
    check(
        "ground lost",
        signal(&model, &[("minus-pin/pin pushed back", 1.0)]),
        5.0,
        0.1,
    );
    let hundred = SENSOR.replace("10 Mohm", "100 kohm");
    let up = circuit(&hundred, "12.6 V", "");
    // The voltmeter of 10 MΩ takes 1 % of an open signal with 100 kΩ behind it.
    check(
        "signal lost, pulled up",
        signal(&up, &[("signal-pin/pin pushed back", 1.0)]),
        5.0,
        0.06,
    );
    let down = circuit(
        &hundred.replace("pull-resistance", "pull = \"down\"\npull-resistance"),
        "12.6 V",
        "",
    );
    check(
        "signal lost, pulled down",
        signal(&down, &[("signal-pin/pin pushed back", 1.0)]),
        0.0,
        1e-3,
    );
    // 1 kΩ in the signal against a pull of 100 kΩ: about 1 %.
    let (sound, added) = (
        signal(&down, &[]),
        signal(&down, &[("signal-pin/high resistance", 1000.0)]),
    );
    check("1 kΩ in the signal", added / sound, 0.99, 0.002);
    // A shorted sensor drags the reference down; unplugged, the wire recovers.
    let short = &[("sensor/shorts the reference", 10.0)];
    let dragged = at(&model, short, "volts:module.reference@on");
    assert!(dragged < 1.2, "10 ohm at a tenth of an ampere leave {dragged} V");
    check(
        "unplugged",
        at(&model, short, "open-volts:sensor.plus@on"),
        5.0,
        0.01,
    );
}
