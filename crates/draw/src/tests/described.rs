//! Circuits read from descriptions with the real kinds: those that are shipped, and one of sixty parts.
#![allow(
    clippy::unwrap_used,
    dead_code,
    reason = "tests, and an example that uses a part of this"
)]

use circuit::Circuit;
use std::fmt::Write as _;

/// The text of every shipped circuit, with the crossings its drawing may have.
pub(crate) const SHIPPED: [(&str, &str, usize); 17] = [
    (
        "vacuum-wastegate",
        include_str!("../../../../circuits/vacuum-wastegate.toml"),
        0,
    ),
    (
        "vacuum-variable-geometry",
        include_str!("../../../../circuits/vacuum-variable-geometry.toml"),
        1,
    ),
    (
        "starter-circuit",
        include_str!("../../../../circuits/starter-circuit.toml"),
        0,
    ),
    (
        "vacuum-exhaust-gas-recirculation",
        include_str!("../../../../circuits/vacuum-exhaust-gas-recirculation.toml"),
        0,
    ),
    (
        "vacuum-axle-engagement",
        include_str!("../../../../circuits/vacuum-axle-engagement.toml"),
        0,
    ),
    (
        "brake-booster-vacuum",
        include_str!("../../../../circuits/brake-booster-vacuum.toml"),
        3,
    ),
    (
        "low-pressure-fuel",
        include_str!("../../../../circuits/low-pressure-fuel.toml"),
        2,
    ),
    ("can-bus", include_str!("../../../../circuits/can-bus.toml"), 14),
    (
        "temperature-sensor",
        include_str!("../../../../circuits/temperature-sensor.toml"),
        2,
    ),
    (
        "sensor-supply",
        include_str!("../../../../circuits/sensor-supply.toml"),
        13,
    ),
    (
        "glow-plugs",
        include_str!("../../../../circuits/glow-plugs.toml"),
        0,
    ),
    (
        "cooling-fan",
        include_str!("../../../../circuits/cooling-fan.toml"),
        2,
    ),
    ("charging", include_str!("../../../../circuits/charging.toml"), 2),
    (
        "electric-variable-geometry",
        include_str!("../../../../circuits/electric-variable-geometry.toml"),
        20,
    ),
    (
        "evaporative-leak",
        include_str!("../../../../circuits/evaporative-leak.toml"),
        2,
    ),
    (
        "pressure-wastegate",
        include_str!("../../../../circuits/pressure-wastegate.toml"),
        9,
    ),
    (
        "charge-air",
        include_str!("../../../../circuits/charge-air.toml"),
        9,
    ),
];

/// A description as a circuit; it must have no mistakes.
pub(crate) fn read(name: &str, text: &str) -> Circuit {
    let file = circuit::read(name, text, physics::catalogue());
    file.circuit
        .unwrap_or_else(|| panic!("{name}: {:#?}", file.findings))
}

/// Every shipped circuit.
pub(crate) fn shipped() -> Vec<Circuit> {
    SHIPPED.iter().map(|(name, text, _)| read(name, text)).collect()
}

/// Sixty parts as a vehicle has them: vacuum with three branches, two sensors, glow plugs, starter.
pub(crate) fn sixty_described() -> Circuit {
    let circuit = read("sixty", &vehicle(3, 2, 4));
    assert_eq!(circuit.parts.len(), 60);
    circuit
}

/// What there is once: `id: kind; key = value; …`.
const ONCE: &str = "\
pump: vane pump; swept = 120 cm3/rev
check-valve: check valve; bore = 4 mm; to = pump.inlet
reservoir: reservoir; port = check-valve.from
battery: battery
link: fuse; from = battery.positive
body: chassis
ground-cable: cable; area = 35 mm2; from = body.battery; to = battery.negative
glow-fuse: fuse; from = battery.positive; to = glow-relay.30
glow-relay: relay; 86 = link.to; 85 = glow-driver.pin
glow-driver: low-side driver; ground = body.cabin
glow-wire: cable; area = 6 mm2; from = glow-relay.87
key-feed: wire; area = 2.5 mm2; from = link.to; to = key.from
key: switch
start-relay: relay; 86 = key.to; 85 = body.front; 30 = link.to
control-wire: wire; area = 4 mm2; from = start-relay.87; to = solenoid.50
positive-cable: cable; area = 35 mm2; from = battery.positive; to = solenoid.30
solenoid: starter solenoid; motor = motor.plus; ground = motor.minus
motor: motor
engine-strap: ground strap; from = motor.minus; to = body.engine
lamp-switch: switch; from = link.to; to = lamp.plus
lamp: lamp; minus = body.front
";

/// A branch on the pump.
const BRANCH: &str = "\
source-hose-#: tube; bore = 3 mm; from = reservoir.port; to = valve-#.source
valve-#: 3/2 solenoid valve; plus = feed-#.to; minus = driver-wire-#.from
signal-hose-#: tube; bore = 3 mm; from = valve-#.output; to = actuator-#.nipple
actuator-#: diaphragm actuator; rod = flap-#.lever
flap-#: wastegate flap
fuse-#: fuse; from = link.to; to = feed-#.from
feed-#: wire; area = 1 mm2
driver-wire-#: wire; area = 1 mm2; to = driver-#.pin
driver-#: low-side driver; ground = body.cabin
";

const SENSOR: &str = "\
pipe-#: air space
sensor-#: three-wire pressure sensor; from = 20 kPa abs; to = 250 kPa abs; pressure = pipe-#.tap; plus = pins-#.reference; \
signal = sensor-wire-#.from; minus = pins-#.return
sensor-wire-#: wire; area = 0.5 mm2; to = pins-#.signal
pins-#: module sensor pins; from = 20 kPa abs; to = 250 kPa abs; ground = body.cabin
";

const PLUG: &str = "glow-plug-#: glow plug; plus = glow-wire.to; minus = body.engine\n";

/// A description of such a vehicle with as many branches, sensors and glow plugs as wanted.
pub(crate) fn vehicle(branches: usize, sensors: usize, plugs: usize) -> String {
    let mut text = String::from(
        "[circuit]\ntitle = \"Vacuum, sensors, glow plugs and starter\"\ninvented = true\n\
         [condition.idle]\nengine = \"800 rpm\"\nsupply = \"14.1 V\"\n",
    );
    let several = |count: usize, parts: &str| -> String {
        (1..=count).map(|n| parts.replace('#', &n.to_string())).collect()
    };
    let lines = [
        ONCE.to_owned(),
        several(branches, BRANCH),
        several(sensors, SENSOR),
        several(plugs, PLUG),
    ]
    .concat();
    for line in lines.lines() {
        let (id, rest) = line.split_once(": ").unwrap();
        let mut keys = rest.split("; ");
        let _ = writeln!(text, "[part.{id}]\nkind = \"{}\"", keys.next().unwrap());
        for key in keys {
            let (name, value) = key.split_once(" = ").unwrap();
            let _ = writeln!(text, "{name} = \"{value}\"");
        }
    }
    text
}
