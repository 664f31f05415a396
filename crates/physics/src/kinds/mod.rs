//! The kinds of parts, one file each: ports, parameters, faults, cautions, checks, symbol, and what it is made of.
//!
//! A kind's file begins with its manual page: what the part does, how it fails, what that is easily taken for, what is left
//! out. Those lines are common practice, no source. To add a kind, write a file like `tube.rs` and name it in [`KINDS`].
//!
//! `bus`, `conductor`, `driver` and `spec` are no kinds but what several of them share.

use crate::assembly::Assembly;
use crate::module_checks::BusPins;
use circuit::{Catalogue, KindSpec, Medium};
use std::sync::LazyLock;

mod bus;
mod conductor;
mod driver;
mod spec;

mod actuator_pins;
mod air_cleaner;
mod air_space;
mod alternator;
mod battery;
mod brake_booster;
mod bus_end_module;
mod bus_gateway;
mod bus_module;
mod bus_terminator;
mod cable;
mod canister;
mod charge_cooler;
mod charge_hose;
mod chassis;
mod check_valve;
mod connector;
mod diaphragm_actuator;
mod diode;
mod electric_actuator;
mod electric_fuel_pump;
mod engine_cylinders;
mod fan_motor;
mod filler_cap;
mod filter;
mod fuel_consumer;
mod fuel_filter;
mod fuel_line;
mod fuel_tank;
mod fuse;
mod fusible_link;
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
mod position_sensor;
mod pressure_regulator;
mod pressure_sensor;
mod relay;
mod relief_valve;
mod reservoir;
mod resistor;
mod restrictor;
mod sensor_input;
mod sensor_supply;
mod service_port;
mod shift_fork;
mod solenoid_coil;
mod solenoid_valve;
mod starter_solenoid;
mod switch;
mod temperature_input;
mod temperature_sensor;
mod throttle_body;
mod tube;
mod turbocharger;
mod twisted_pair;
mod two_way_valve;
mod vane_pump;
mod vane_ring;
mod vapour_space;
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

    /// Resistors that stand in for a sensor of this kind: the ports between whose joints they lie, and their ohms.
    fn stand_in(&self) -> &'static [(usize, usize, f64)] {
        &[]
    }

    /// The pins with which it takes part in a bus.
    fn bus(&self) -> Option<BusPins> {
        None
    }

    /// How hot the place is where it sits, K, if its values say so; `running` with the engine turning.
    fn place(&self, _values: &[f64], _running: bool) -> Option<f64> {
        None
    }

    /// By how much each watt heats it above its surroundings, K/W.
    fn kelvin_per_watt(&self) -> Option<f64> {
        None
    }

    /// Alternating part of the voltage across it, V, while it gives `amps` with the faults that `has` tells.
    fn ripple(&self, _amps: f64, _has: &dyn Fn(&str) -> bool) -> Option<f64> {
        None
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
    &vapour_space::VapourSpace,
    &filler_cap::FillerCap,
    &canister::Canister,
    &two_way_valve::TwoWayValve,
    &service_port::ServicePort,
    &solenoid_valve::SolenoidValve,
    &diaphragm_actuator::DiaphragmActuator,
    &wastegate_flap::WastegateFlap,
    &vane_ring::VaneRing,
    &air_cleaner::AirCleaner,
    &turbocharger::Turbocharger,
    &charge_hose::ChargeHose,
    &charge_cooler::ChargeCooler,
    &throttle_body::ThrottleBody,
    &engine_cylinders::EngineCylinders,
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
    &fuel_tank::FuelTank,
    &electric_fuel_pump::ElectricFuelPump,
    &fuel_line::FuelLine,
    &fuel_filter::FuelFilter,
    &pressure_regulator::PressureRegulator,
    &relief_valve::ReliefValve,
    &fuel_consumer::FuelConsumer,
    &sensor_supply::SensorSupply,
    &sensor_input::SensorInput,
    &temperature_sensor::TemperatureSensor,
    &temperature_input::TemperatureInput,
    &alternator::Alternator,
    &fusible_link::FusibleLink,
    &fan_motor::FanMotor,
    &electric_actuator::ElectricActuator,
    &position_sensor::PositionSensor,
    &actuator_pins::ActuatorPins,
    &twisted_pair::TwistedPair,
    &bus_terminator::BusTerminator,
    &bus_module::BusModule,
    &bus_end_module::BusEndModule,
    &bus_gateway::BusGateway,
];

pub(crate) use fuel_tank::NAME as FUEL_TANK;

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
