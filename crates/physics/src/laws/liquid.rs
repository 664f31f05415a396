//! Liquid through lines, openings, valves and pumps: DERIVATIONS.md, section 19.
//!
//! Flows are volumes per time, pressures absolute. A liquid does not give way, so only differences of pressure matter, but
//! for two places where it fails: below a share of the ambient pressure air and vapour come out of it.

use super::air::Flow;
use super::friction::reynolds;

/// Discharge coefficient of an opening in a valve or a line's wall. Handbooks give 0.60 to 0.65 for sharp edges (Idelchik,
/// Handbook of Hydraulic Resistance, from memory) and more for rounded ones.
pub(crate) const DISCHARGE: f64 = 0.65;
/// Reynolds number at which friction and loss of speed at a sharp opening are alike. Merritt, Hydraulic Control Systems
/// (1967), section 3.4, has the change from one to the other between 10 and 30; from memory.
const EDGE_REYNOLDS: f64 = 20.0;
/// Shares of the ambient pressure between which a pump's filling falls from all to nothing, as air and vapour come out of
/// fuel at its inlet: 0.3 to 0.5 bar below ambient. Common practice, no source.
const FILLED: f64 = 0.7;
const STARVED: f64 = 0.5;

/// What the liquid is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Liquid {
    /// kg/m3.
    pub(crate) density: f64,
    /// Dynamic viscosity, Pa s.
    pub(crate) viscosity: f64,
}

/// A fuel's data: density at 15 °C, kg/m3, and kinematic viscosity at 20 and 40 °C, mm2/s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Fuel {
    pub(crate) density: f64,
    pub(crate) viscosity: [f64; 2],
}

/// Diesel: EN 590 has 820 to 845 kg/m3 at 15 °C and 2.0 to 4.5 mm2/s at 40 °C; the middle, from memory. At 20 °C 1.55 times
/// as much, from memory.
pub(crate) const DIESEL: Fuel = Fuel {
    density: 833.0,
    viscosity: [4.3, 2.8],
};
/// Petrol: EN 228 has 720 to 775 kg/m3 at 15 °C; about 0.55 mm2/s at 20 °C, from memory.
pub(crate) const PETROL: Fuel = Fuel {
    density: 745.0,
    viscosity: [0.55, 0.46],
};

/// Fall of density per kelvin, kg/(m3 K): the volume correction of fuels, 8 to 9 in 10 000 of 830. From memory.
const THINNING: f64 = 0.7;

impl Fuel {
    /// The liquid at a temperature in kelvins. ASTM D341: log log (ν + 0.7) falls in a straight line over log T.
    pub(crate) fn at(self, temperature: f64) -> Liquid {
        // Below 2 mm2/s the standard adds terms to 0.7; two points so near to each other need none.
        let height = |viscosity: f64| (viscosity + 0.7).log10().max(1e-3).log10();
        let [thick, thin] = self.viscosity.map(height);
        let (cold, warm) = (293.15_f64.log10(), 313.15_f64.log10());
        let along = (temperature.log10() - cold) / (warm - cold);
        let viscosity = 10_f64.powf(10_f64.powf(thick + along * (thin - thick))) - 0.7;
        let density = self.density - THINNING * (temperature - 288.15);
        Liquid {
            density,
            viscosity: viscosity.max(0.05) * 1e-6 * density,
        }
    }
}

/// A line's constants: `drive` = 2 ρ D³/(μ² L), 1/Pa; `scale` = π μ D/(4 ρ), m3/s per Reynolds number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Line {
    pub(crate) drive: f64,
    pub(crate) scale: f64,
}

impl Line {
    /// A line of `bore` and `length` metres, full of `liquid`.
    pub(crate) fn new(bore: f64, length: f64, liquid: Liquid) -> Self {
        let Liquid { density, viscosity } = liquid;
        Self {
            drive: 2.0 * density * bore.powi(3) / (viscosity * viscosity * length),
            scale: std::f64::consts::FRAC_PI_4 * viscosity * bore / density,
        }
    }
}

/// Flow through a smooth line: Darcy and Weisbach with Churchill's friction factor, laminar to turbulent.
pub(crate) fn line(line: Line, a: f64, b: f64) -> Flow {
    let apart = a - b;
    let (reynolds, slope) = reynolds(line.drive * apart.abs());
    let gain = line.scale * slope * line.drive;
    Flow {
        value: (line.scale * reynolds).copysign(apart),
        by_a: gain,
        by_b: -gain,
    }
}

/// What something takes of the pressure: Δp = linear · Q + square · Q².
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Loss {
    /// Pa s/m3.
    pub(crate) linear: f64,
    /// Pa s2/m6.
    pub(crate) square: f64,
}

impl Loss {
    /// Of a round opening of `bore` metres.
    pub(crate) fn opening(bore: f64, liquid: Liquid) -> Self {
        let Liquid { density, viscosity } = liquid;
        let area = DISCHARGE * std::f64::consts::FRAC_PI_4 * bore * bore;
        let square = 0.5 * density / (area * area);
        let slow = EDGE_REYNOLDS * std::f64::consts::FRAC_PI_4 * viscosity * bore / density;
        Self {
            linear: square * slow,
            square,
        }
    }

    /// Flow and its slope at a difference of pressure, 0 or more.
    fn flow(self, apart: f64) -> (f64, f64) {
        let root = (self.linear * self.linear + 4.0 * self.square * apart).sqrt();
        // The same as (root − linear) / (2 square), without the difference of two near values.
        (2.0 * apart / (root + self.linear), 1.0 / root)
    }
}

/// Flow through something that takes a [`Loss`] in both directions.
pub(crate) fn loss(loss: Loss, a: f64, b: f64) -> Flow {
    let (flow, slope) = loss.flow((a - b).abs());
    Flow {
        value: flow.copysign(a - b),
        by_a: slope,
        by_b: -slope,
    }
}

/// Pressure within which a valve's poppet leaves its seat, Pa: far less than a gauge shows, wide enough for Newton.
const LIFT: f64 = 200.0;

/// Flow through a valve that a spring holds shut until `a` is `set` above `b`; from there on it takes its [`Loss`] on top. It
/// lifts softly: the pressure past the set one is w ln(1 + exp(x/w)).
pub(crate) fn valve(set: f64, past: Loss, a: f64, b: f64) -> Flow {
    let beyond = (a - b - set) / LIFT;
    let (lifted, share) = if beyond > 30.0 {
        (LIFT * beyond, 1.0)
    } else {
        let grown = beyond.exp();
        (LIFT * grown.ln_1p(), grown / (1.0 + grown))
    };
    let (value, slope) = past.flow(lifted);
    Flow {
        value,
        by_a: slope * share,
        by_b: -slope * share,
    }
}

/// What a load takes at `node`: all of `wanted` from `full` on, nothing at `none` and below, between them a smooth way.
pub(crate) fn draw(wanted: f64, none: f64, full: f64, node: f64) -> Flow {
    let (share, slope) = smooth(none, full, node);
    Flow {
        value: wanted * share,
        by_a: wanted * slope,
        by_b: 0.0,
    }
}

/// Slope below the low end of [`smooth`], as a share of that above: what keeps a node that nothing feeds determined.
const REST: f64 = 1.0e-6;

/// 0 at `low`, 1 at `high`, and its slope: t (3 − t²)/2. Below `low` it falls hardly at all, above `high` it stays.
fn smooth(low: f64, high: f64, at: f64) -> (f64, f64) {
    let t = (at - low) / (high - low);
    if t <= 0.0 {
        (REST * t, REST / (high - low))
    } else if t >= 1.0 {
        (1.0, 0.0)
    } else {
        (0.5 * t * (3.0 - t * t), 1.5 * (1.0 - t * t) / (high - low))
    }
}

/// A pump that sweeps a fixed volume per turn, with the direct-current motor that turns it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Pump {
    /// Volume per angle, m3/rad.
    pub(crate) displacement: f64,
    /// What slips back inside, m3/(s Pa).
    pub(crate) leak: f64,
    /// Of winding and brushes, ohm.
    pub(crate) resistance: f64,
    /// Back-EMF, V s/rad.
    pub(crate) constant: f64,
    /// Torque of its own friction that does not grow with speed, N m.
    pub(crate) load: f64,
    /// Torque that grows with speed, N m s/rad.
    pub(crate) drag: f64,
}

/// A source of current as a pump sees it: its open voltage behind a resistance.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Feed {
    pub(crate) voltage: f64,
    pub(crate) resistance: f64,
}

impl Pump {
    /// Torque that the liquid asks for between two pressures, N m.
    pub(crate) fn torque(&self, feed: Feed, inlet: f64, outlet: f64, ambient: f64) -> f64 {
        let (filled, _) = smooth(STARVED * ambient, FILLED * ambient, inlet);
        let full = self.displacement * (outlet - inlet).max(0.0);
        let left = self.left(feed);
        if full >= left {
            return full;
        }
        left - spare(left, full, filled.max(0.0)).0
    }

    /// Torque of the standing motor beyond its own friction, N m.
    fn left(&self, feed: Feed) -> f64 {
        self.constant * feed.voltage.max(0.0) / (self.resistance + feed.resistance) - self.load
    }

    /// Highest pressure that it can make against no flow and no slip: where the motor stalls.
    pub(crate) fn stall(&self, feed: Feed) -> f64 {
        let torque = self.constant * feed.voltage.max(0.0) / (self.resistance + feed.resistance);
        torque / self.displacement
    }

    /// Flow from inlet to outlet at absolute pressures.
    pub(crate) fn flow(&self, feed: Feed, inlet: f64, outlet: f64, ambient: f64) -> Flow {
        let (filled, slope) = smooth(STARVED * ambient, FILLED * ambient, inlet);
        let apart = (outlet - inlet).max(0.0);
        let pushes = if outlet > inlet { 1.0 } else { 0.0 };
        let (left, full) = (self.left(feed), self.displacement * apart);
        if full >= left {
            return Flow {
                value: -self.leak * apart,
                by_a: self.leak * pushes,
                by_b: -self.leak * pushes,
            };
        }
        // Speed per torque to spare, from V = R I + k ω and k I = load + liquid + drag ω.
        let resistance = self.resistance + feed.resistance;
        let gain = self.displacement / (self.drag + self.constant * self.constant / resistance);
        let (spare, by_full, by_filled) = spare(left, full, filled.max(0.0));
        let by_apart = gain * filled * by_full * self.displacement * pushes - self.leak * pushes;
        Flow {
            value: gain * filled * spare - self.leak * apart,
            by_a: gain * (spare + filled.max(0.0) * by_filled) * slope - by_apart,
            by_b: by_apart,
        }
    }
}

/// Torque to spare of a motor that has `left` where the liquid would ask for `full` with the pump filled, and its slopes by
/// `full` and by the filling.
///
/// A pump half filled asks for half. Near its stall that would make it gain more speed than it loses filling, so that less
/// before it gave more behind; from half of the stall on it asks for so much more that this just does not happen.
fn spare(left: f64, full: f64, filled: f64) -> (f64, f64, f64) {
    if full <= 0.5 * left {
        (left - full * filled, -filled, -full)
    } else {
        ((left - full) * (2.0 - filled), filled - 2.0, full - left)
    }
}
