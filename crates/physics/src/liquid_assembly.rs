//! The bench for parts that carry liquid: what is in them, and their common elements.
//!
//! One circuit holds one liquid, that of its first tank; where there is none, diesel.

use crate::assembly::Assembly;
use crate::kinds::FUEL_TANK;
use crate::laws::liquid::{DIESEL, Line, Liquid, Loss, PETROL, Pump};
use crate::liquid_net::{DrivenPump, LiquidElement};
use crate::network::{ElectricElement, Node};
use crate::vehicle::Vehicle;
use circuit::Circuit;

/// Node 0 of the liquid net is the surface in the tank, at the ambient pressure, and whatever is open to the outside.
pub(crate) const SURFACE: Node = 0;

/// The liquid of `circuit`, as warm as the air around.
pub(crate) fn liquid_of(circuit: &Circuit, vehicle: &Vehicle) -> Liquid {
    let mut first = 0;
    let mut fuel = DIESEL;
    for part in &circuit.parts {
        if part.kind.name == FUEL_TANK {
            // The first parameter of a tank is the word for what is in it.
            fuel = if vehicle.values[first] > 0.5 {
                PETROL
            } else {
                DIESEL
            };
            break;
        }
        first += part.values.len();
    }
    fuel.at(vehicle.ambient.temperature)
}

impl Assembly<'_> {
    /// The liquid node at `port`; the outside where nothing is joined.
    pub(crate) fn wet(&self, port: usize) -> Node {
        self.node(port).unwrap_or(SURFACE)
    }

    /// A new liquid node inside the part.
    pub(crate) fn inner_wet(&mut self) -> Node {
        self.net.liquid.node(None)
    }

    /// A line of `bore` and `length` metres.
    pub(crate) fn wet_line(&mut self, a: Node, b: Node, bore: f64, length: f64) {
        let line = Line::new(bore, length, self.liquid);
        self.push_liquid(LiquidElement::Line { a, b, line });
    }

    /// An opening of `bore` metres.
    pub(crate) fn wet_opening(&mut self, a: Node, b: Node, bore: f64) {
        let loss = Loss::opening(bore, self.liquid);
        self.push_liquid(LiquidElement::Loss { a, b, loss });
    }

    /// A hole of `bore` metres to the outside.
    pub(crate) fn wet_hole(&mut self, node: Node, bore: f64) {
        self.wet_opening(node, SURFACE, bore);
    }

    /// What takes `apart` pascals at a flow of `flow`, a share `even` of it in proportion to the flow and the rest to its
    /// square.
    pub(crate) fn wet_loss(&mut self, a: Node, b: Node, apart: f64, flow: f64, even: f64) {
        let loss = Loss {
            linear: even * apart / flow,
            square: (1.0 - even) * apart / (flow * flow),
        };
        self.push_liquid(LiquidElement::Loss { a, b, loss });
    }

    /// A valve that opens at `set` pascals, its full opening `bore` metres.
    pub(crate) fn wet_valve(&mut self, a: Node, b: Node, set: f64, bore: f64) {
        let past = Loss::opening(bore, self.liquid);
        self.push_liquid(LiquidElement::Valve { a, b, set, past });
    }

    /// A pump between two liquid nodes, with its motor between two electric ones; without a way for its current it stands.
    pub(crate) fn pump(&mut self, wet: (Node, Node), electric: (Node, Node), law: Pump, turns: bool) {
        let ((inlet, outlet), (plus, minus)) = (wet, electric);
        let pump = self.net.pumps.len();
        self.net.pumps.push(DrivenPump {
            law,
            plus,
            minus,
            inlet,
            outlet,
            turns,
        });
        self.push_liquid(LiquidElement::Pump { inlet, outlet, pump });
        if turns {
            self.push_electric(ElectricElement::PumpMotor {
                a: plus,
                b: minus,
                pump,
                resistance: law.resistance,
                constant: law.constant,
                load: law.load,
                drag: law.drag,
            });
        }
    }
}
