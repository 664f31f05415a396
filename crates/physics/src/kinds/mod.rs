//! The kinds of parts, one file each: ports, parameters, faults, cautions, checks, symbol, and what it is made of.
//!
//! A kind's file begins with its manual page: what the part does, how it fails, what that is easily taken for, what is left
//! out. Those lines are common practice, no source. To add a kind, write a file like `tube.rs` and name it in [`KINDS`].
//!
//! `conductor`, `driver` and `spec` are no kinds but what several of them share.

use crate::assembly::Assembly;
use circuit::{Catalogue, KindSpec, Medium};
use std::sync::LazyLock;

mod conductor;
mod driver;
mod spec;

mod air_space;
mod battery;
mod brake_booster;
mod cable;
mod chassis;
mod check_valve;
mod connector;
mod diaphragm_actuator;
mod diode;
mod filter;
mod fuse;
mod gas_valve;
mod glow_plug;
mod ground_point;
mod ground_strap;
mod high_side_driver;
mod intake_manifold;
mod lamp;
mod low_side_driver;
mod module_pins;
mod motor;
mod pressure_sensor;
mod relay;
mod reservoir;
mod resistor;
mod restrictor;
mod shift_fork;
mod solenoid_coil;
mod solenoid_valve;
mod starter_solenoid;
mod switch;
mod tube;
mod vane_pump;
mod vane_ring;
mod wastegate_flap;
mod wire;

/// A kind of part.
pub(crate) trait Kind: Sync {
    /// What it brings to a description.
    fn spec(&self) -> &'static KindSpec;

    /// Lays out what it is made of.
    fn assemble(&self, part: &mut Assembly);

    /// The ports between which its working current flows; by default its first two electric ones.
    fn power(&self) -> Option<(usize, usize)> {
        let mut electric = self
            .spec()
            .ports
            .iter()
            .enumerate()
            .filter(|(_, port)| port.medium == Medium::Electric);
        Some((electric.next()?.0, electric.next()?.0))
    }

    /// The ports of its coil, or of what is measured with it unplugged.
    fn coil(&self) -> Option<(usize, usize)> {
        self.power()
    }

    /// What it reports for itself over the vehicle's data link, SI, from its values and the voltages at its ports.
    fn reports(&self, _values: &[f64], _volts: &dyn Fn(usize) -> f64) -> Option<f64> {
        None
    }
}

/// All kinds, in the order in which a list shows them.
pub(crate) static KINDS: &[&dyn Kind] = &[
    &vane_pump::VanePump,
    &intake_manifold::IntakeManifold,
    &air_space::AirSpace,
    &tube::Tube,
    &restrictor::Restrictor,
    &filter::Filter,
    &check_valve::CheckValve,
    &reservoir::Reservoir,
    &brake_booster::BrakeBooster,
    &solenoid_valve::SolenoidValve,
    &diaphragm_actuator::DiaphragmActuator,
    &wastegate_flap::WastegateFlap,
    &vane_ring::VaneRing,
    &gas_valve::GasValve,
    &shift_fork::ShiftFork,
    &battery::Battery,
    &wire::Wire,
    &cable::Cable,
    &fuse::Fuse,
    &switch::Switch,
    &relay::Relay,
    &connector::Connector,
    &ground_point::GroundPoint,
    &ground_strap::GroundStrap,
    &chassis::Chassis,
    &solenoid_coil::SolenoidCoil,
    &starter_solenoid::StarterSolenoid,
    &motor::Motor,
    &lamp::Lamp,
    &glow_plug::GlowPlug,
    &resistor::Resistor,
    &diode::Diode,
    &low_side_driver::LowSideDriver,
    &high_side_driver::HighSideDriver,
    &pressure_sensor::PressureSensor,
    &module_pins::ModulePins,
];

/// What a description may name.
pub fn catalogue() -> &'static Catalogue {
    static CATALOGUE: LazyLock<Catalogue> =
        LazyLock::new(|| Catalogue::new(KINDS.iter().map(|kind| kind.spec()).collect()));
    &CATALOGUE
}

/// The laws that go with a spec.
pub(crate) fn kind_of(spec: &'static KindSpec) -> Option<&'static dyn Kind> {
    KINDS.iter().copied().find(|kind| kind.spec().name == spec.name)
}
