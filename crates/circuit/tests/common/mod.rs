//! A small catalogue for the tests: enough kinds for a vacuum circuit with its wiring. Its figures are invented.
#![allow(dead_code, reason = "each test binary uses its own share")]

use circuit::{
    Catalogue, Circuit, CommandSpec, FaultSpec, KindSpec, Medium, Method, ParameterDomain, ParameterSpec,
    PortSpec, RepairSpec, Spread, Supplies, Symbol, read,
};
use quantity::Dimension;

const fn port(name: &'static str, medium: Medium, may_stay_open: bool, unplugs: bool) -> PortSpec {
    PortSpec {
        name,
        medium,
        may_stay_open,
        unplugs,
        what: "",
    }
}

const fn air(name: &'static str) -> PortSpec {
    port(name, Medium::Air, false, true)
}

const fn wire(name: &'static str) -> PortSpec {
    port(name, Medium::Electric, false, true)
}

const fn fault(name: &'static str, share: f64) -> FaultSpec {
    FaultSpec {
        name,
        what: "",
        share,
        severity: None,
        seen: 0.1,
        shows: None,
    }
}

const fn given(name: &'static str, dimension: &'static [Dimension], range: (f64, f64)) -> ParameterSpec {
    ParameterSpec {
        name,
        what: "its size",
        domain: ParameterDomain::Quantity(dimension),
        default: None,
        spread: Spread::Relative(0.1),
        range,
    }
}

const fn usual(
    name: &'static str,
    dimension: &'static [Dimension],
    default: f64,
    range: (f64, f64),
) -> ParameterSpec {
    ParameterSpec {
        default: Some(default),
        ..given(name, dimension, range)
    }
}

const BLANK: KindSpec = KindSpec {
    name: "",
    what: "",
    ports: &[],
    parameters: &[],
    faults: &[],
    weight: 10.0,
    checks: &[],
    command: None,
    supplies: None,
    symbol: Symbol::Resistor,
    cautions: &[],
    repair: RepairSpec {
        what: "renew it",
        minutes: 30.0,
        price: 40.0,
        bad_new: 0.01,
    },
    source: "invented for tests",
};

pub(crate) static PUMP: KindSpec = KindSpec {
    name: "vane pump",
    ports: &[air("inlet")],
    parameters: &[
        given("swept", &[Dimension::SweptVolume], (5e-6, 2e-3)),
        usual(
            "ultimate",
            &[Dimension::Ratio, Dimension::Pressure],
            0.06,
            (0.005, 60e3),
        ),
    ],
    faults: &[fault("worn", 3.0), fault("not driven", 1.0)],
    checks: &[Method::Look],
    supplies: Some(Supplies::Vacuum),
    symbol: Symbol::VacuumPump,
    ..BLANK
};

pub(crate) static TUBE: KindSpec = KindSpec {
    name: "tube",
    ports: &[air("from"), air("to")],
    parameters: &[
        given("bore", &[Dimension::Length], (0.5e-3, 0.2)),
        usual("length", &[Dimension::Length], 0.5, (0.01, 20.0)),
    ],
    faults: &[fault("leaks", 60.0), fault("blocked", 20.0), fault("off", 20.0)],
    checks: &[Method::Look],
    symbol: Symbol::Hose,
    ..BLANK
};

pub(crate) static VALVE: KindSpec = KindSpec {
    name: "3/2 solenoid valve",
    ports: &[
        air("source"),
        air("output"),
        port("vent", Medium::Air, true, true),
        port("plus", Medium::Electric, true, true),
        port("minus", Medium::Electric, true, true),
    ],
    parameters: &[usual("coil", &[Dimension::Resistance], 14.5, (1.0, 500.0))],
    faults: &[fault("sticks closed", 20.0), fault("leaks at the seat", 30.0)],
    weight: 18.0,
    checks: &[Method::Click, Method::Ohms, Method::Look, Method::Swap],
    command: Some(CommandSpec::Duty),
    symbol: Symbol::SolenoidValve,
    ..BLANK
};

pub(crate) static ACTUATOR: KindSpec = KindSpec {
    name: "diaphragm actuator",
    ports: &[air("nipple"), port("rod", Medium::Rod, true, false)],
    parameters: &[
        usual("preload", &[Dimension::Force], 27.0, (0.0, 2000.0)),
        ParameterSpec {
            name: "moved-by",
            what: "what moves it",
            domain: ParameterDomain::Choice(&["vacuum", "pressure"]),
            default: Some(0.0),
            spread: Spread::Absolute(0.0),
            range: (0.0, 1.0),
        },
    ],
    faults: &[fault("diaphragm leaks", 1.0)],
    checks: &[Method::Jumper],
    symbol: Symbol::DiaphragmActuator,
    ..BLANK
};

pub(crate) static RING: KindSpec = KindSpec {
    name: "vane ring",
    ports: &[port("lever", Medium::Rod, false, false)],
    faults: &[fault("stuck", 1.0)],
    symbol: Symbol::VaneRing,
    ..BLANK
};

pub(crate) static AIR_SPACE: KindSpec = KindSpec {
    name: "air space",
    ports: &[air("tap")],
    parameters: &[usual("running", &[Dimension::Pressure], 2e3, (-9e4, 4e5))],
    faults: &[fault("tap plugged", 1.0)],
    supplies: Some(Supplies::Pressure),
    symbol: Symbol::AirSpace,
    ..BLANK
};

pub(crate) static BATTERY: KindSpec = KindSpec {
    name: "battery",
    ports: &[wire("plus"), wire("minus")],
    faults: &[fault("flat", 1.0)],
    supplies: Some(Supplies::Current),
    symbol: Symbol::Battery,
    ..BLANK
};

pub(crate) static WIRE: KindSpec = KindSpec {
    name: "wire",
    ports: &[
        port("from", Medium::Electric, false, false),
        port("to", Medium::Electric, false, false),
    ],
    faults: &[fault("open", 1.0)],
    symbol: Symbol::Wire,
    ..BLANK
};

pub(crate) static SWITCH: KindSpec = KindSpec {
    name: "switch",
    ports: &[wire("a"), wire("b")],
    faults: &[fault("open", 1.0)],
    command: Some(CommandSpec::OnOff),
    symbol: Symbol::Switch,
    ..BLANK
};

pub(crate) static DRIVER: KindSpec = KindSpec {
    name: "low-side driver",
    ports: &[wire("out"), wire("ground")],
    faults: &[fault("dead", 1.0)],
    command: Some(CommandSpec::Duty),
    symbol: Symbol::LowSideDriver,
    ..BLANK
};

pub(crate) static CONNECTOR: KindSpec = KindSpec {
    name: "connector",
    ports: &[wire("a"), wire("b")],
    faults: &[fault("corroded", 1.0)],
    symbol: Symbol::Connector,
    ..BLANK
};

pub(crate) static LAMP: KindSpec = KindSpec {
    name: "lamp",
    ports: &[wire("a"), wire("b")],
    faults: &[fault("burnt out", 1.0)],
    checks: &[Method::Drop, Method::Look],
    symbol: Symbol::Lamp,
    ..BLANK
};

pub(crate) fn catalogue() -> Catalogue {
    Catalogue::new(vec![
        &PUMP, &TUBE, &VALVE, &ACTUATOR, &RING, &AIR_SPACE, &BATTERY, &WIRE, &SWITCH, &DRIVER, &CONNECTOR,
        &LAMP,
    ])
}

/// A whole circuit that uses everything a file can say.
pub(crate) const GOOD: &str = include_str!("good.toml");

/// A circuit that must be without findings.
pub(crate) fn good(text: &str) -> Circuit {
    let file = read("test", text, &catalogue());
    assert!(file.findings.is_empty(), "{:#?}", file.findings);
    file.circuit.unwrap_or_else(|| panic!("no circuit"))
}

/// A small circuit without findings, for tests that break it in one place.
pub(crate) const SMALL: &str = include_str!("small.toml");

/// One finding as the tables of tests write it: code, underlined text, hint.
pub(crate) type Row = (&'static str, &'static str, &'static str);

/// Findings of a text must be exactly these.
pub(crate) fn expect(text: &str, findings: &[diag::Diagnostic], expected: &[Row]) {
    let seen: Vec<_> = findings
        .iter()
        .map(|found| {
            (
                found.code,
                &text[found.span.range()],
                found.hint.as_deref().unwrap_or(""),
            )
        })
        .collect();
    assert_eq!(seen, expected, "\n{findings:#?}");
}
