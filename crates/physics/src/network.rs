//! A circuit as equations: nodes, and the elements between them, one net per medium.
//!
//! Parts are taken apart into a few elements here ([`crate::assembly`] does it). Air and rods form one net each. The
//! electric net is solved once per phase: a driver that works at a duty has an on-phase and an off-phase, and what is
//! slow (air, a meter's needle) sees the average.

use crate::charger::{Charger, Exhaust};
use crate::laws::air::{Flow, Line};
use crate::laws::alternator::{Alternator, Fan};
use crate::liquid_net::{DrivenPump, LiquidElement};
use crate::servo::{Drive, Target};
use numerics::Matrix;

/// Index of a node within its net.
pub(crate) type Node = usize;

/// A rod that no spring holds still settles at one of its stops: a spring far softer than any part's, N/m.
const LOOSE_RATE: f64 = 1.0e-3;

/// How far an opening is open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Opening {
    /// Always this far, 0 to 1.
    Fixed(f64),
    /// Open while the plunger of a switch is pulled in.
    Energised(usize),
    /// Open while it is not.
    AtRest(usize),
}

/// An element of the air net.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum AirElement {
    Restriction {
        a: Node,
        b: Node,
        conductance: f64,
        opening: Opening,
    },
    Line {
        a: Node,
        b: Node,
        line: Line,
    },
    CheckValve {
        a: Node,
        b: Node,
        conductance: f64,
        leak: f64,
        opening: f64,
    },
    /// Removes `speed · (p − ultimate)` from its node, kg/s.
    Pump {
        node: Node,
        speed: f64,
        ultimate: f64,
    },
    /// A compressor: holds `b` at its pressure ratio times the pressure at `a`, nearly.
    Compressor {
        a: Node,
        b: Node,
    },
    /// An engine's cylinders: remove `volume` (m³/s) of the charge as it is at their node.
    Cylinders {
        node: Node,
        volume: f64,
    },
}

impl AirElement {
    /// Whether it is at a node: what is not there adds nothing to its balance and need not be computed.
    pub(crate) fn touches(&self, at: Node) -> bool {
        match *self {
            Self::Restriction { a, b, .. }
            | Self::Line { a, b, .. }
            | Self::CheckValve { a, b, .. }
            | Self::Compressor { a, b } => a == at || b == at,
            Self::Pump { node, .. } | Self::Cylinders { node, .. } => node == at,
        }
    }
}

/// An element of the electric net.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum ElectricElement {
    Conductor {
        a: Node,
        b: Node,
        conductance: f64,
    },
    /// Closed while the plunger of `switch` is pulled in (or at rest, if `normally_closed`).
    Contact {
        a: Node,
        b: Node,
        conductance: f64,
        switch: usize,
        normally_closed: bool,
    },
    /// Conducts in the on-phase only.
    Driver {
        a: Node,
        b: Node,
        conductance: f64,
    },
    /// `plus` above `minus` by `emf`, behind a conductance.
    Source {
        plus: Node,
        minus: Node,
        emf: f64,
        conductance: f64,
    },
    /// A conductor that carries no more than `limit` from `a` to `b`: the output stage of a regulator.
    Limited {
        a: Node,
        b: Node,
        conductance: f64,
        limit: f64,
    },
    Diode {
        a: Node,
        b: Node,
        saturation: f64,
        thermal: f64,
    },
    Filament {
        a: Node,
        b: Node,
        cold: f64,
        hot: f64,
        nominal: f64,
        exponent: f64,
    },
    Motor {
        a: Node,
        b: Node,
        resistance: f64,
        constant: f64,
        load: f64,
        drag: f64,
    },
    /// A motor that turns a pump of the liquid net, by its number: its load grows with what the liquid asks for.
    PumpMotor {
        a: Node,
        b: Node,
        pump: usize,
        resistance: f64,
        constant: f64,
        load: f64,
        drag: f64,
    },
    /// As [`Self::Ratiometric`], the share following the travel of a rod.
    Position {
        plus: Node,
        minus: Node,
        signal: Node,
        conductance: f64,
        rod: Node,
        scale: Ratiometric,
    },
    /// Gives current from its case to `plus` while `switch` is pulled in.
    Alternator {
        plus: Node,
        case: Node,
        law: Alternator,
        switch: usize,
    },
    Fan {
        a: Node,
        b: Node,
        law: Fan,
    },
    /// A source that is charged through another conductance than it gives through.
    Accumulator {
        plus: Node,
        minus: Node,
        emf: f64,
        gives: f64,
        takes: f64,
    },
    /// Drives `signal` above `minus` by `low + share · (V(plus) − V(minus))`, behind a conductance; the share follows
    /// the pressure at an air node: `low` at `from`, `high` at `to`.
    Ratiometric {
        plus: Node,
        minus: Node,
        signal: Node,
        conductance: f64,
        air: Node,
        scale: Ratiometric,
    },
}

/// Transfer of a ratiometric pressure sensor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ratiometric {
    pub(crate) low_share: f64,
    pub(crate) high_share: f64,
    pub(crate) from: f64,
    pub(crate) to: f64,
    /// Error of the sensor, Pa.
    pub(crate) offset: f64,
}

impl Ratiometric {
    /// Share of the supply at an absolute pressure; the output stage ends at 2 and 98 %.
    pub(crate) fn share(self, pressure: f64) -> f64 {
        let position = (pressure + self.offset - self.from) / (self.to - self.from);
        (self.low_share + (self.high_share - self.low_share) * position).clamp(0.02, 0.98)
    }
}

/// An element of the rod net.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum RodElement {
    /// A diaphragm: force `area · (reference − p)` (negative area for pressure actuators), against preload and spring.
    Diaphragm {
        node: Node,
        air: Node,
        area: f64,
        preload: f64,
        rate: f64,
    },
    /// Ends of travel.
    Stops { node: Node, low: f64, high: f64 },
    /// Held at a place: a seized lever.
    Held { node: Node, at: f64 },
    /// A constant force against travel: friction on the way out.
    Drag { node: Node, force: f64 },
}

/// Something that moves when its coil carries enough current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Switch {
    /// The part it belongs to.
    pub(crate) part: usize,
    /// Ends of the coil, and its conductance.
    pub(crate) coil: Coil,
    /// Current at which it pulls in, A.
    pub(crate) pull_in: f64,
    /// Current below which it drops out, A.
    pub(crate) drop_out: f64,
    /// A plunger that does not move.
    pub(crate) stuck: Option<bool>,
}

impl Switch {
    /// Drop-out current of what moves once for all: no current is below it.
    pub(crate) const NEVER: f64 = -1.0;

    /// `true` if it moves once for all: a fuse that melts.
    pub(crate) fn latches(&self) -> bool {
        self.drop_out < 0.0
    }
}

/// What decides a switch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Coil {
    /// The current between two electric nodes through a conductance.
    Between { a: Node, b: Node, conductance: f64 },
    /// A current known beforehand, driven for a share of the time.
    Known { current: f64, duty: f64 },
}

/// Room for air that a rod's travel makes smaller.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Bellows {
    pub(crate) air: Node,
    pub(crate) rod: Node,
    /// m² by which a metre of travel makes it smaller; negative if it makes it larger.
    pub(crate) area: f64,
    /// m³ at rest.
    pub(crate) rest: f64,
}

/// All elements of a circuit as it is during one check.
#[derive(Debug, Clone, Default)]
pub(crate) struct Network {
    pub(crate) air: Net<AirElement>,
    pub(crate) electric: Net<ElectricElement>,
    pub(crate) rod: Net<RodElement>,
    pub(crate) liquid: Net<LiquidElement>,
    /// Pumps of the liquid net with their motors.
    pub(crate) pumps: Vec<DrivenPump>,
    pub(crate) switches: Vec<Switch>,
    /// What a module asks of the motors on rods, and those motors.
    pub(crate) target: Option<Target>,
    pub(crate) drives: Vec<Drive>,
    /// Room for air at nodes, m³; only what happens in time asks for it.
    pub(crate) volumes: Vec<(Node, f64)>,
    pub(crate) bellows: Vec<Bellows>,
    /// The turbocharger, where there is one, what drives it, and the share of its warming that coolers leave.
    pub(crate) charger: Option<Charger>,
    pub(crate) exhaust: Exhaust,
    pub(crate) warmth_left: f64,
    /// Temperature of the air around, K.
    pub(crate) temperature: f64,
    /// Share of time the drivers are on: `Some` splits the electric net into two phases.
    pub(crate) duty: Option<f64>,
}

/// Nodes and elements of one medium.
#[derive(Debug, Clone)]
pub(crate) struct Net<E> {
    /// Potential of each node if it is fixed.
    pub(crate) fixed: Vec<Option<f64>>,
    /// Elements, each with the part it belongs to.
    pub(crate) elements: Vec<(E, usize)>,
}

impl<E> Default for Net<E> {
    fn default() -> Self {
        Self {
            fixed: Vec::new(),
            elements: Vec::new(),
        }
    }
}

impl<E> Net<E> {
    pub(crate) fn clear(&mut self) {
        self.fixed.clear();
        self.elements.clear();
    }

    pub(crate) fn node(&mut self, fixed: Option<f64>) -> Node {
        self.fixed.push(fixed);
        self.fixed.len() - 1
    }
}

/// Free nodes of a net: unknown `i` is node `nodes[i]`.
#[derive(Debug, Clone, Default)]
pub(crate) struct Unknowns {
    nodes: Vec<Node>,
    index: Vec<Option<usize>>,
}

impl Unknowns {
    pub(crate) fn refill(&mut self, fixed: &[Option<f64>]) {
        self.nodes.clear();
        self.index.clear();
        for (node, fixed) in fixed.iter().enumerate() {
            self.index.push(if fixed.is_none() {
                Some(self.nodes.len())
            } else {
                None
            });
            if fixed.is_none() {
                self.nodes.push(node);
            }
        }
    }

    pub(crate) fn nodes(&self) -> &[Node] {
        &self.nodes
    }

    pub(crate) fn of(&self, node: Node) -> Option<usize> {
        self.index[node]
    }
}

/// Where the equations collect flows: residual = what leaves each free node.
pub(crate) struct Balance<'a> {
    unknowns: &'a Unknowns,
    residual: &'a mut [f64],
    jacobian: Option<&'a mut Matrix>,
}

impl<'a> Balance<'a> {
    pub(crate) fn new(
        unknowns: &'a Unknowns,
        residual: &'a mut [f64],
        jacobian: Option<&'a mut Matrix>,
    ) -> Self {
        Self {
            unknowns,
            residual,
            jacobian,
        }
    }

    pub(crate) fn between(&mut self, a: Node, b: Node, flow: Flow) {
        let (ia, ib) = (self.unknowns.of(a), self.unknowns.of(b));
        if let Some(i) = ia {
            self.residual[i] += flow.value;
        }
        if let Some(j) = ib {
            self.residual[j] -= flow.value;
        }
        let Some(jacobian) = self.jacobian.as_deref_mut() else {
            return;
        };
        if let Some(i) = ia {
            jacobian.add(i, i, flow.by_a);
        }
        if let Some(j) = ib {
            jacobian.add(j, j, -flow.by_b);
        }
        if let (Some(i), Some(j), true) = (ia, ib, flow.by_a != 0.0 || flow.by_b != 0.0) {
            jacobian.add(i, j, flow.by_b);
            jacobian.add(j, i, -flow.by_a);
        }
    }

    pub(crate) fn leaves(&mut self, node: Node, flow: f64, slope: f64) {
        let i = self.unknowns.of(node);
        if let Some(i) = i {
            self.residual[i] += flow;
        }
        self.slope(i, i, slope);
    }

    pub(crate) fn slope(&mut self, row: Option<usize>, column: Option<usize>, value: f64) {
        if let (Some(row), Some(column), Some(jacobian)) = (row, column, self.jacobian.as_deref_mut()) {
            jacobian.add(row, column, value);
        }
    }
}

impl Net<RodElement> {
    /// Travel of every rod: where spring, air and drag balance, between the stops. No rod moves another, and a stop does not
    /// give way, so the balance of each is a straight line cut off at both ends.
    pub(crate) fn travels(&self, air: &[f64], ambient: f64, travel: &mut Vec<f64>) {
        travel.clear();
        travel.extend((0..self.fixed.len()).map(|node| self.travel(node, air, ambient).at));
    }

    /// Travel of the rod at `node`, and how it gives way there.
    pub(crate) fn travel(&self, node: Node, air: &[f64], ambient: f64) -> Travel {
        let (mut force, mut rate) = (0.0, LOOSE_RATE);
        let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
        for (element, _) in self.elements.iter().filter(|(element, _)| element.node() == node) {
            match *element {
                RodElement::Diaphragm {
                    air: inside,
                    area,
                    preload,
                    rate: spring,
                    ..
                } => {
                    force += area * (ambient - air[inside]) - preload;
                    rate += spring;
                }
                RodElement::Drag { force: drag, .. } => force -= drag,
                RodElement::Stops {
                    low: from, high: to, ..
                } => (low, high) = (low.max(from), high.min(to)),
                RodElement::Held { at, .. } => (low, high) = (at, at),
            }
        }
        let free = force / rate;
        let at = free.min(high).max(low);
        Travel {
            at,
            free,
            rate,
            stops: (low, high),
        }
    }
}

/// Where a rod stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Travel {
    /// Travel, m.
    pub(crate) at: f64,
    /// Travel if there were no stops, m.
    pub(crate) free: f64,
    /// Rate of what holds it, N/m.
    pub(crate) rate: f64,
    /// Stops, m.
    pub(crate) stops: (f64, f64),
}

impl Travel {
    /// `true` if it stands at neither stop.
    pub(crate) fn moves(&self) -> bool {
        self.stops.0 < self.free && self.free < self.stops.1
    }
}

impl RodElement {
    fn node(&self) -> Node {
        match *self {
            Self::Diaphragm { node, .. }
            | Self::Stops { node, .. }
            | Self::Held { node, .. }
            | Self::Drag { node, .. } => node,
        }
    }
}
