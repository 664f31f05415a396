//! Taking parts apart into elements: the bench on which a kind lays out what it is made of.
//!
//! A kind's `assemble` sees one part at a time through an [`Assembly`]: its values, its faults, its ports as nodes. What a
//! check does to the circuit (a port taken off, a part alone on the bench) is done here, so no kind knows of checks.

use crate::ambient::Ambient;
use crate::charger::{Charger, Exhaust};
use crate::joints::lay_joints;
pub(crate) use crate::joints::{AMBIENT, Edit, Nodes, REFERENCE, is_reference};
use crate::laws::air::{DISCHARGE, Line, hole};
use crate::laws::liquid::Liquid;
use crate::liquid_assembly::liquid_of;
use crate::liquid_net::LiquidElement;
use crate::network::{
    AirElement, Bellows, Coil, ElectricElement, Network, Node, Opening, RodElement, Switch,
};
use crate::servo::{Drive, Target};
use crate::vehicle::Vehicle;
use circuit::{Circuit, ConditionId, PartId, PortRef};

/// Least resistance of anything, ohm: a clean bolted joint. It keeps the equations well scaled.
const LEAST_RESISTANCE: f64 = 1.0e-5;

/// The bench: one part of a network in the making.
#[derive(Debug)]
pub(crate) struct Assembly<'a> {
    pub(crate) circuit: &'a Circuit,
    pub(crate) vehicle: &'a Vehicle,
    condition: ConditionId,
    edit: Edit,
    pub(crate) net: &'a mut Network,
    nodes: &'a mut Nodes,
    pub(crate) part: PartId,
    pub(crate) liquid: Liquid,
    values: &'a [f64],
    good: bool,
}

/// Which network of a circuit is wanted.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wanted<'a> {
    pub(crate) condition: ConditionId,
    /// What a check changes.
    pub(crate) edit: Edit,
    /// The parts that are laid out; all where nothing is said.
    pub(crate) only: Option<&'a [bool]>,
}

/// Builds the network of `circuit` that is wanted, as `vehicle` is.
pub(crate) fn assemble(
    circuit: &Circuit,
    kinds: &[&'static dyn crate::kinds::Kind],
    vehicle: &Vehicle,
    wanted: Wanted<'_>,
    net: &mut Network,
    nodes: &mut Nodes,
) {
    let Wanted {
        condition,
        edit,
        only,
    } = wanted;
    net.volumes.clear();
    net.bellows.clear();
    net.air.clear();
    net.electric.clear();
    net.rod.clear();
    net.liquid.clear();
    net.pumps.clear();
    net.switches.clear();
    net.duty = None;
    net.target = None;
    net.drives.clear();
    net.charger = None;
    net.exhaust = Exhaust::default();
    net.warmth_left = 1.0;
    net.temperature = vehicle.ambient.temperature;
    net.air.node(Some(vehicle.ambient.pressure));
    net.electric.node(Some(0.0));
    net.liquid.node(Some(vehicle.ambient.pressure));
    let liquid = liquid_of(circuit, vehicle);
    lay_joints(circuit, vehicle, edit, net, nodes);
    let mut first = 0;
    for (index, part) in circuit.parts.iter().enumerate() {
        let values = &vehicle.values[first..first + part.values.len()];
        first += part.values.len();
        let part = PartId(index);
        if matches!(edit, Edit::Alone(alone) | Edit::HeldAlone(alone) if alone != part)
            || only.is_some_and(|only| !only[index])
        {
            continue;
        }
        let good = edit == Edit::Swapped(part);
        let mut bench = Assembly {
            circuit,
            vehicle,
            condition,
            edit,
            net,
            nodes,
            part,
            liquid,
            values,
            good,
        };
        kinds[index].assemble(&mut bench);
    }
}

impl Assembly<'_> {
    /// The part's values, in the order of its kind's parameters.
    pub(crate) fn values<const N: usize>(&self) -> [f64; N] {
        std::array::from_fn(|index| self.values[index])
    }

    /// Severity of the fault called `name` if the part has it (1 where it has no severity).
    pub(crate) fn fault(&self, name: &str) -> Option<f64> {
        if self.good {
            return None;
        }
        let faults = self.circuit.parts[self.part.0].kind.faults;
        let active = self
            .vehicle
            .faults
            .iter()
            .find(|(id, _)| id.part == self.part && faults[id.fault].name == name);
        active.map(|(_, severity)| *severity)
    }

    /// `true` if the part has the fault called `name`.
    pub(crate) fn has(&self, name: &str) -> bool {
        self.fault(name).is_some()
    }

    /// The air around.
    pub(crate) fn ambient(&self) -> Ambient {
        self.vehicle.ambient
    }

    /// Engine speed, rev/s.
    pub(crate) fn engine(&self) -> f64 {
        self.vehicle.conditions[self.condition.0][0]
    }

    /// Share of full load, 0 to 1.
    pub(crate) fn load(&self) -> f64 {
        self.circuit.conditions[self.condition.0].load
    }

    /// Voltage that the condition sets, if it sets one.
    pub(crate) fn supply(&self) -> Option<f64> {
        let set = self.circuit.conditions[self.condition.0].supply.is_some();
        set.then(|| self.vehicle.conditions[self.condition.0][1])
    }

    /// `true` if electric power is on and the part is not alone on the bench.
    pub(crate) fn powered(&self) -> bool {
        self.circuit.conditions[self.condition.0].powered
    }

    /// The duty commanded to this part, 0 to 1.
    pub(crate) fn duty(&self) -> f64 {
        self.circuit.conditions[self.condition.0].duty(self.part)
    }

    /// `true` if something is joined to `port` (or was, before a check took it off).
    pub(crate) fn joined(&self, port: usize) -> bool {
        self.circuit.parts[self.part.0].joints[port].is_some()
    }

    pub(crate) fn node(&self, port: usize) -> Option<Node> {
        self.nodes.at(
            self.circuit,
            PortRef {
                part: self.part,
                port,
            },
        )
    }

    /// The air node at `port`; the ambient air where nothing is joined.
    pub(crate) fn air(&self, port: usize) -> Node {
        self.node(port).unwrap_or(AMBIENT)
    }

    /// A new air node inside the part.
    pub(crate) fn inner_air(&mut self) -> Node {
        self.net.air.node(None)
    }

    /// The electric node at `port`; one of its own where nothing is joined.
    pub(crate) fn electric(&mut self, port: usize) -> Node {
        self.node(port).unwrap_or_else(|| self.net.electric.node(None))
    }

    /// A new electric node inside the part.
    pub(crate) fn inner_electric(&mut self) -> Node {
        self.net.electric.node(None)
    }

    /// The rod node at `port`; one of its own where nothing is joined.
    pub(crate) fn rod(&mut self, port: usize) -> Node {
        self.node(port).unwrap_or_else(|| self.net.rod.node(None))
    }

    /// An opening of `bore` metres between two air nodes.
    pub(crate) fn hole(&mut self, a: Node, b: Node, bore: f64) {
        self.opening(a, b, bore, Opening::Fixed(1.0));
    }

    /// An opening of `bore` metres that a switch opens.
    pub(crate) fn opening(&mut self, a: Node, b: Node, bore: f64, opening: Opening) {
        let conductance = self.conductance(bore);
        self.push_air(AirElement::Restriction {
            a,
            b,
            conductance,
            opening,
        });
    }

    /// Choked flow per pressure of a round opening of `bore` metres, kg/(s Pa).
    pub(crate) fn conductance(&self, bore: f64) -> f64 {
        hole(bore, DISCHARGE, self.vehicle.ambient.temperature)
    }

    /// A line of `bore` and `length` metres.
    pub(crate) fn line(&mut self, a: Node, b: Node, bore: f64, length: f64) {
        let ambient = self.vehicle.ambient;
        let line = Line::new(bore, length, ambient.viscosity(), ambient.temperature);
        self.push_air(AirElement::Line { a, b, line });
    }

    /// Adds an element of the air net.
    pub(crate) fn push_air(&mut self, element: AirElement) {
        self.net.air.elements.push((element, self.part.0));
    }

    /// Room for air at an air node, m³.
    pub(crate) fn volume(&mut self, node: Node, volume: f64) {
        self.net.volumes.push((node, volume));
    }

    /// Room at an air node that shrinks by `area` (m², negative: grows) times the travel of a rod; `rest` m³ at rest.
    pub(crate) fn bellows(&mut self, air: Node, rod: Node, area: f64, rest: f64) {
        self.net.bellows.push(Bellows { air, rod, area, rest });
    }

    /// Makes this part the turbocharger, its compressor between two air nodes.
    pub(crate) fn charger(&mut self, a: Node, b: Node, charger: Charger) {
        self.push_air(AirElement::Compressor { a, b });
        self.net.charger = Some(charger);
    }

    /// What the cylinders' exhaust brings to the turbine.
    pub(crate) fn exhaust(&mut self, exhaust: Exhaust) {
        self.net.exhaust = exhaust;
    }

    /// A cooler takes `effect` of the warming out of the charge.
    pub(crate) fn cools(&mut self, effect: f64) {
        self.net.warmth_left *= 1.0 - effect;
    }

    /// Adds an element of the electric net.
    pub(crate) fn push_electric(&mut self, element: ElectricElement) {
        self.net.electric.elements.push((element, self.part.0));
    }

    /// Adds an element of the liquid net.
    pub(crate) fn push_liquid(&mut self, element: LiquidElement) {
        self.net.liquid.elements.push((element, self.part.0));
    }

    /// Adds an element of the rod net.
    pub(crate) fn push_rod(&mut self, element: RodElement) {
        self.net.rod.elements.push((element, self.part.0));
    }

    /// A resistance in ohms between two electric nodes.
    pub(crate) fn resistor(&mut self, a: Node, b: Node, ohms: f64) {
        self.push_electric(ElectricElement::Conductor {
            a,
            b,
            conductance: 1.0 / ohms.max(LEAST_RESISTANCE),
        });
    }

    /// A contact of `ohms` that follows `switch`.
    pub(crate) fn contact(&mut self, a: Node, b: Node, ohms: f64, switch: usize, normally_closed: bool) {
        let conductance = 1.0 / ohms.max(LEAST_RESISTANCE);
        self.push_electric(ElectricElement::Contact {
            a,
            b,
            conductance,
            switch,
            normally_closed,
        });
    }

    /// A driver of `ohms` that conducts for the commanded share of time.
    pub(crate) fn driver(&mut self, a: Node, b: Node, ohms: f64, duty: f64) {
        if duty >= 1.0 {
            self.resistor(a, b, ohms);
        } else if duty > 0.0 {
            self.net.duty = Some(duty);
            self.push_electric(ElectricElement::Driver {
                a,
                b,
                conductance: 1.0 / ohms.max(LEAST_RESISTANCE),
            });
        }
    }

    /// A coil of `ohms` between two electric nodes that moves a plunger or armature.
    pub(crate) fn coil(
        &mut self,
        a: Node,
        b: Node,
        ohms: f64,
        pull_in: f64,
        drop_out: f64,
        stuck: Option<bool>,
    ) -> usize {
        self.resistor(a, b, ohms);
        let coil = Coil::Between {
            a,
            b,
            conductance: 1.0 / ohms.max(LEAST_RESISTANCE),
        };
        self.switch(Switch {
            part: self.part.0,
            coil,
            pull_in,
            drop_out,
            stuck,
        })
    }

    /// What a module asks of the motors on rods.
    pub(crate) fn aim(&mut self, target: Target) {
        self.net.target = Some(target);
    }

    /// A motor on a rod.
    pub(crate) fn drive(&mut self, drive: Drive) {
        self.net.drives.push(drive);
    }

    /// A switch that the current through `ohms` between two nodes pulls in beyond `pull_in` and holds above half of that; no
    /// resistance of its own.
    pub(crate) fn woken(&mut self, a: Node, b: Node, ohms: f64, pull_in: f64, stuck: Option<bool>) -> usize {
        let coil = Coil::Between {
            a,
            b,
            conductance: 1.0 / ohms.max(LEAST_RESISTANCE),
        };
        self.switch(Switch {
            part: self.part.0,
            coil,
            pull_in,
            drop_out: 0.5 * pull_in,
            stuck,
        })
    }

    /// A switch whose `current` is known beforehand, driven for a share `duty` of the time.
    pub(crate) fn commanded_coil(
        &mut self,
        current: f64,
        duty: f64,
        pull_in: f64,
        stuck: Option<bool>,
    ) -> usize {
        let coil = Coil::Known {
            current: if duty > 0.0 { current } else { 0.0 },
            duty,
        };
        self.switch(Switch {
            part: self.part.0,
            coil,
            pull_in,
            drop_out: pull_in,
            stuck,
        })
    }

    /// A switch that the current through itself, `ohms` between two electric nodes, moves for good beyond `limit`.
    pub(crate) fn melts(&mut self, a: Node, b: Node, ohms: f64, limit: f64) -> usize {
        let coil = Coil::Between {
            a,
            b,
            conductance: 1.0 / ohms.max(LEAST_RESISTANCE),
        };
        self.switch(Switch {
            part: self.part.0,
            coil,
            pull_in: limit,
            drop_out: Switch::NEVER,
            stuck: None,
        })
    }

    fn switch(&mut self, switch: Switch) -> usize {
        self.net.switches.push(switch);
        self.net.switches.len() - 1
    }

    /// `true` while this part is off its circuit, fed by a lead or with an ohmmeter across it, so that nothing commands it.
    pub(crate) fn on_the_bench(&self) -> bool {
        self.edit == Edit::Fed(self.part) || self.edit == Edit::Alone(self.part)
    }
}
