//! A workbench: kinds and circuits made by hand, as the real kinds live in a room this one may not enter.
#![allow(clippy::unwrap_used, reason = "tests")]

use circuit::{
    Circuit, Joint, JointId, KindSpec, Medium, Part, PortRef, PortSpec, Priors, Reach, Repair, RepairSpec,
    Supplies, Symbol,
};

const fn port(name: &'static str, medium: Medium) -> PortSpec {
    PortSpec {
        name,
        medium,
        may_stay_open: true,
        unplugs: true,
        what: "",
    }
}

const fn kind(
    name: &'static str,
    symbol: Symbol,
    ports: &'static [PortSpec],
    supplies: Option<Supplies>,
) -> KindSpec {
    KindSpec {
        name,
        what: "",
        ports,
        parameters: &[],
        faults: &[],
        weight: 1.0,
        checks: &[],
        command: None,
        supplies,
        symbol,
        cautions: &[],
        repair: RepairSpec {
            what: "replace",
            minutes: 10.0,
            price: 10.0,
            bad_new: 0.01,
        },
        source: "made up for this test",
    }
}

use Medium::{Air, Electric, Rod};

const AB_AIR: &[PortSpec] = &[port("a", Air), port("b", Air)];
const IN_OUT_AIR: &[PortSpec] = &[port("inlet", Air), port("outlet", Air)];
const AB: &[PortSpec] = &[port("a", Electric), port("b", Electric)];
const PLUS_MINUS: &[PortSpec] = &[port("plus", Electric), port("minus", Electric)];

static KINDS: &[KindSpec] = &[
    kind(
        "vane pump",
        Symbol::VacuumPump,
        &[port("inlet", Air)],
        Some(Supplies::Vacuum),
    ),
    kind("space", Symbol::AirSpace, &[port("port", Air)], None),
    kind("tube", Symbol::Hose, AB_AIR, None),
    kind("orifice", Symbol::Orifice, AB_AIR, None),
    kind("filter", Symbol::Filter, AB_AIR, None),
    kind("check valve", Symbol::CheckValve, IN_OUT_AIR, None),
    kind("reservoir", Symbol::Reservoir, &[port("port", Air)], None),
    kind(
        "3/2 solenoid valve",
        Symbol::SolenoidValve,
        &[
            port("source", Air),
            port("output", Air),
            port("vent", Air),
            port("plus", Electric),
            port("minus", Electric),
        ],
        None,
    ),
    kind(
        "actuator",
        Symbol::DiaphragmActuator,
        &[port("nipple", Air), port("rod", Rod)],
        None,
    ),
    kind("flap", Symbol::Flap, &[port("lever", Rod)], None),
    kind("vane ring", Symbol::VaneRing, &[port("lever", Rod)], None),
    kind("battery", Symbol::Battery, PLUS_MINUS, Some(Supplies::Current)),
    kind("wire", Symbol::Wire, AB, None),
    kind("fuse", Symbol::Fuse, AB, None),
    kind("switch", Symbol::Switch, AB, None),
    kind(
        "relay",
        Symbol::Relay,
        &[
            port("30", Electric),
            port("87", Electric),
            port("86", Electric),
            port("85", Electric),
        ],
        None,
    ),
    kind("connector", Symbol::Connector, AB, None),
    kind(
        "ground",
        Symbol::Ground,
        &[port("wire", Electric), port("body", Electric)],
        None,
    ),
    kind("earth", Symbol::Ground, &[port("wire", Electric)], None),
    kind("chassis", Symbol::Chassis, AB, None),
    kind("coil", Symbol::Coil, PLUS_MINUS, None),
    kind(
        "starter solenoid",
        Symbol::StarterSolenoid,
        &[
            port("30", Electric),
            port("motor", Electric),
            port("50", Electric),
            port("31", Electric),
        ],
        None,
    ),
    kind("motor", Symbol::Motor, PLUS_MINUS, None),
    kind("lamp", Symbol::Lamp, AB, None),
    kind("glow plug", Symbol::GlowPlug, PLUS_MINUS, None),
    kind(
        "diode",
        Symbol::Diode,
        &[port("anode", Electric), port("cathode", Electric)],
        None,
    ),
    kind("resistor", Symbol::Resistor, AB, None),
    kind(
        "low side driver",
        Symbol::LowSideDriver,
        &[port("pin", Electric), port("ground", Electric)],
        None,
    ),
    kind(
        "high side driver",
        Symbol::HighSideDriver,
        &[port("supply", Electric), port("pin", Electric)],
        None,
    ),
    kind(
        "pressure sensor",
        Symbol::PressureSensor,
        &[
            port("reference", Electric),
            port("signal", Electric),
            port("ground", Electric),
            port("nipple", Air),
        ],
        None,
    ),
    kind(
        "module pins",
        Symbol::ModulePins,
        &[
            port("reference", Electric),
            port("signal", Electric),
            port("ground", Electric),
        ],
        None,
    ),
];

/// Builds a circuit from lines: `id: kind` for a part, `a.x = b.y = c.z` for a joint.
pub(super) fn build(title: &str, text: &str) -> Circuit {
    let mut circuit = Circuit {
        name: title.to_lowercase().replace(' ', "-"),
        title: title.to_owned(),
        about: String::new(),
        codes: Vec::new(),
        symptoms: Vec::new(),
        invented: true,
        parts: Vec::new(),
        joints: Vec::new(),
        conditions: Vec::new(),
        accesses: Vec::new(),
        common_causes: Vec::new(),
        works: None,
        complaints: Vec::new(),
        priors: Priors::default(),
    };
    for line in text.lines().map(str::trim).filter(|line| !line.is_empty()) {
        if let Some((id, kind)) = line.split_once(": ") {
            circuit.parts.push(part(id, kind));
        } else {
            let ports: Vec<PortRef> = line
                .split(" = ")
                .map(|port| circuit.port(port).unwrap_or_else(|| panic!("no port {port}")))
                .collect();
            add_joint(&mut circuit, &ports);
        }
    }
    circuit
}

pub(super) fn part(id: &str, kind: &str) -> Part {
    let kind = KINDS
        .iter()
        .find(|spec| spec.name == kind)
        .unwrap_or_else(|| panic!("no kind {kind}"));
    Part {
        id: id.to_owned(),
        what: None,
        kind,
        values: Vec::new(),
        joints: vec![None; kind.ports.len()],
        weights: Vec::new(),
        reach: Reach::default(),
        repair: Repair {
            minutes: 10.0,
            price: 10.0,
        },
        pinned: None,
        span: diag::Span::default(),
    }
}

pub(super) fn add_joint(circuit: &mut Circuit, ports: &[PortRef]) {
    let id = JointId(circuit.joints.len());
    // Named after the port of a real part rather than of a hose or wire, as the reader does.
    let mut ports = ports.to_vec();
    ports.sort_by_key(|at| matches!(circuit.parts[at.part.0].kind.symbol, Symbol::Hose | Symbol::Wire));
    for at in &ports {
        assert!(
            circuit.parts[at.part.0].joints[at.port].replace(id).is_none(),
            "{} joined twice",
            circuit.port_name(*at)
        );
    }
    let first = ports[0];
    let medium = circuit.parts[first.part.0].kind.ports[first.port].medium;
    circuit.joints.push(Joint {
        name: circuit.port_name(first),
        medium,
        ports,
        reach: Reach::default(),
    });
}

/// Vacuum: pump, valve, actuator, flap; current: fuse, coil, driver.
pub(super) fn vacuum() -> Circuit {
    build(
        "Vacuum chain with a pulse-width valve",
        "pump: vane pump
         source-line: tube
         reservoir: reservoir
         valve: 3/2 solenoid valve
         signal-line: tube
         actuator: actuator
         flap: flap
         battery: battery
         fuse: fuse
         feed-wire: wire
         driver-wire: wire
         driver: low side driver
         ground-point: ground
         vent-filter: filter
         pump.inlet = source-line.a
         valve.source = source-line.b = reservoir.port
         valve.output = signal-line.a
         actuator.nipple = signal-line.b
         actuator.rod = flap.lever
         valve.vent = vent-filter.a
         battery.plus = fuse.a
         fuse.b = feed-wire.a
         valve.plus = feed-wire.b
         valve.minus = driver-wire.a
         driver.pin = driver-wire.b
         driver.ground = ground-point.wire
         ground-point.body = battery.minus",
    )
}

/// A starter with its relay, switches and return path.
pub(super) fn starter() -> Circuit {
    build(
        "Starter with relay",
        "battery: battery
         main-cable: wire
         solenoid: starter solenoid
         motor: motor
         engine-strap: wire
         chassis: chassis
         fuse: fuse
         key: switch
         relay: relay
         park-switch: switch
         relay-ground: earth
         plug: connector
         battery.plus = main-cable.a = fuse.a
         solenoid.30 = main-cable.b
         solenoid.motor = motor.plus
         motor.minus = engine-strap.a = solenoid.31
         chassis.a = engine-strap.b
         chassis.b = battery.minus
         fuse.b = key.a = relay.30
         relay.86 = key.b
         relay.85 = park-switch.a
         relay-ground.wire = park-switch.b
         relay.87 = plug.a
         solenoid.50 = plug.b",
    )
}

/// Sixty parts: three vacuum branches on one pump, each with a valve, its driver, an actuator and a sensor.
pub(super) fn sixty() -> Circuit {
    let circuit = branches(3);
    assert_eq!(circuit.parts.len(), 60);
    circuit
}

/// As many such branches as wanted: eighteen parts each, six in common.
pub(super) fn branches(count: usize) -> Circuit {
    let mut lines = vec![
        "pump: vane pump",
        "main: tube",
        "check: check valve",
        "battery: battery",
        "link: fuse",
        "chassis: chassis",
    ]
    .into_iter()
    .map(str::to_owned)
    .collect::<Vec<_>>();
    let branch = [
        "line#: tube",
        "throttle#: orifice",
        "valve#: 3/2 solenoid valve",
        "signal#: tube",
        "can#: actuator",
        "ring#: vane ring",
        "fuse#: fuse",
        "feed#: wire",
        "plug#: connector",
        "driver#: low side driver",
        "strap#: wire",
        "filter#: filter",
        "vent#: space",
        "sensor#: pressure sensor",
        "module#: module pins",
        "lamp#: lamp",
        "diode#: diode",
        "earth#: earth",
    ];
    for index in 1..=count {
        lines.extend(branch.iter().map(|line| line.replace('#', &index.to_string())));
    }
    let all = |first: &str, port: &str| {
        let ports: Vec<String> = (1..=count)
            .map(|index| port.replace('#', &index.to_string()))
            .collect();
        format!("{first} = {}", ports.join(" = "))
    };
    lines.push("pump.inlet = main.a".to_owned());
    // Vacuum draws air towards the pump, so the free direction of the check valve points at it.
    lines.push("check.outlet = main.b".to_owned());
    lines.push(all("check.inlet", "line#.a"));
    lines.push("battery.plus = link.a".to_owned());
    lines.push(all("link.b", "fuse#.a"));
    lines.push("battery.minus = chassis.b".to_owned());
    lines.push(all("chassis.a", "strap#.b"));
    let joints = [
        "throttle#.a = line#.b",
        "valve#.source = throttle#.b",
        "valve#.output = signal#.a",
        "can#.nipple = signal#.b = sensor#.nipple",
        "can#.rod = ring#.lever",
        "valve#.vent = filter#.a",
        "filter#.b = vent#.port",
        "fuse#.b = feed#.a",
        "plug#.a = feed#.b",
        "valve#.plus = plug#.b = lamp#.a",
        "lamp#.b = diode#.anode",
        "diode#.cathode = earth#.wire",
        "valve#.minus = driver#.pin",
        "driver#.ground = strap#.a",
        "sensor#.reference = module#.reference",
        "sensor#.signal = module#.signal",
        "sensor#.ground = module#.ground",
    ];
    for index in 1..=count {
        lines.extend(joints.iter().map(|line| line.replace('#', &index.to_string())));
    }
    build(
        "Branches on one pump",
        &lines.join(
            "
",
        ),
    )
}

/// Every symbol once, in chains of its medium.
pub(super) fn every_kind() -> Vec<&'static str> {
    KINDS.iter().map(|kind| kind.name).collect()
}
