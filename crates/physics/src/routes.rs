//! From a check to the network it needs and the way its reading is taken from it.
//!
//! What a gauge or meter is put on depends on the side from which the part is fed: a pulled-off hose is measured at the end
//! that the source feeds. Nothing is solved here.

use crate::assembly::{Edit, is_reference};
use crate::course::Course;
use crate::model::{Model, Route};
use crate::readout::Readout;
use circuit::{Check, Medium, Method, PartId, Place, PortRef, Reads, Supplies, Symbol};

impl Model {
    /// The network that `check` needs, and how it is read.
    pub(crate) fn route(&mut self, check: &Check) -> Route {
        let (edit, readout) = match check.place {
            Place::Port(port, _) => self.port_route(check, port),
            Place::Part(part) => self.part_route(check, part),
        };
        let course = self.course(check);
        let (edit, readout) = self.timed_route(check).unwrap_or((edit, readout));
        let setting = if matches!(readout, Readout::Look(_) | Readout::Moves(_) | Readout::Level(_)) {
            None
        } else {
            Some(self.intern(check.condition, edit, course))
        };
        Route { setting, readout }
    }

    fn port_route(&self, check: &Check, port: PortRef) -> (Edit, Readout) {
        let vacuum = check.reads == Reads::Vacuum;
        match check.method {
            Method::Deadhead => {
                let gauge_on_joint = !self.feeds(port);
                let rest = self.beside(port);
                let gauge = if gauge_on_joint { rest } else { port };
                (
                    Edit::Detach { port, gauge_on_joint },
                    Readout::Pressure { port: gauge, vacuum },
                )
            }
            Method::OpenVolts => {
                let rest = self.beside(port);
                let own = self.feeds(port) && !self.feeds(rest);
                (
                    Edit::Unplug(port),
                    Readout::Voltage(if own { port } else { rest }),
                )
            }
            Method::Pressure => (Edit::None, Readout::WetPressure { port, vacuum }),
            Method::Flow => {
                let can_on_joint = !self.feeds(port);
                let can = if can_on_joint { self.beside(port) } else { port };
                (Edit::Can { port, can_on_joint }, Readout::IntoCan(can))
            }
            Method::Volts => (Edit::None, Readout::Voltage(port)),
            Method::Travel => (Edit::None, Readout::Travel(port)),
            _ => (Edit::None, Readout::Pressure { port, vacuum }),
        }
    }

    fn part_route(&mut self, check: &Check, part: PartId) -> (Edit, Readout) {
        let power = self.kinds.0[part.0]
            .power()
            .map(|(a, b)| (PortRef { part, port: a }, PortRef { part, port: b }));
        let coil = self.kinds.0[part.0]
            .coil()
            .map(|(a, b)| (PortRef { part, port: a }, PortRef { part, port: b }));
        match (check.method, power, coil) {
            (Method::Drop, Some((a, b)), _) => (Edit::None, Readout::Drop(a, b)),
            (Method::Amps, Some((a, _)), _) => (Edit::None, Readout::Current(a)),
            (Method::Ohms, _, Some((a, b))) => (Edit::Alone(part), Readout::Resistance(a, b)),
            (Method::Speed, ..) => (Edit::None, Readout::Speed(part)),
            (Method::Click, ..) => (Edit::None, Readout::Click(part)),
            (Method::Data, ..) => (Edit::None, Readout::Data(part)),
            (Method::LoomOhms, _, Some((a, b))) => (Edit::Loom(part), Readout::Loom(a, b)),
            (Method::Substitute, ..) => (Edit::Substituted(part), Readout::Data(self.reader_of(part))),
            (Method::Ripple, ..) => (Edit::None, Readout::Ripple(part)),
            (Method::Glow, ..) => (Edit::None, Readout::Lit(part)),
            (Method::Answers, ..) => (Edit::None, Readout::Hears(part)),
            (Method::Temperature, ..) => {
                let running = self.circuit.conditions[check.condition.0].running();
                (Edit::None, Readout::Temperature { part, running })
            }
            (Method::Duty, Some((a, b)), _) => {
                // A high-side output gives to its second port, a low-side one takes from its first.
                let high_side = self.circuit.parts[part.0].kind.symbol == Symbol::HighSideDriver;
                let port = if high_side { b } else { a };
                (Edit::None, Readout::Duty { port, high_side })
            }
            (Method::Swap, ..) => self.swap_route(part),
            (Method::Smoke, ..) => (Edit::Smoked, Readout::Smokes(part)),
            (Method::Wiggle, ..) => (Edit::None, Readout::Moves(part)),
            (Method::Compare, ..) => (Edit::None, Readout::Level(check.level().unwrap_or(0.0))),
            (Method::Jumper, ..) if check.reads == Reads::Travel => {
                let rod = self.circuit.parts[part.0]
                    .kind
                    .ports
                    .iter()
                    .position(|port| port.medium == Medium::Rod);
                (
                    Edit::Fed(part),
                    Readout::Travel(PortRef {
                        part,
                        port: rod.unwrap_or(0),
                    }),
                )
            }
            (Method::Jumper, ..) => (Edit::Fed(part), Readout::Answers(part)),
            _ => (Edit::None, Readout::Look(part)),
        }
    }

    /// What happens in time during a check.
    fn course(&self, check: &Check) -> Course {
        match (check.method, check.place) {
            (Method::Hold, Place::Port(port, _)) => Course::Hold(port, check.reads == Reads::Vacuum),
            (Method::Hold, Place::Part(part)) => {
                Course::Hold(self.first_air(part), check.reads == Reads::Vacuum)
            }
            (Method::LeakDown, Place::Part(part)) if check.reads == Reads::GaugePressure => {
                Course::Shut(self.first_air(part))
            }
            (Method::LeakDown, _) => Course::Stopped,
            (Method::PumpDown, Place::Part(part)) => Course::PumpDown(self.first_air(part)),
            // What judges a swap may take time.
            (Method::Swap, _) => self.judge().map_or(Course::None, |judge| self.course(judge)),
            _ => Course::None,
        }
    }

    /// The check that says whether the circuit works, unless it takes something off.
    fn judge(&self) -> Option<&Check> {
        let works = self.circuit.works.as_ref()?;
        let judge = self.checks.iter().find(|check| check.id == works.check)?;
        (!matches!(judge.method, Method::Swap | Method::Hold)).then_some(judge)
    }

    /// Checks that take time: the edit, and how they are read.
    fn timed_route(&self, check: &Check) -> Option<(Edit, Readout)> {
        let vacuum = check.reads == Reads::Vacuum;
        match (check.method, check.place) {
            (Method::Hold, Place::Port(port, _)) => {
                Some((Edit::Held(port), Readout::Pressure { port, vacuum }))
            }
            (Method::Hold, Place::Part(part)) => {
                let port = self.first_air(part);
                Some((Edit::HeldAlone(part), Readout::Pressure { port, vacuum }))
            }
            (Method::LeakFlow, Place::Part(part)) => {
                let port = self.first_air(part);
                Some((Edit::Pressed(port), Readout::Fed(port)))
            }
            (Method::LeakDown, Place::Part(part)) if !vacuum => {
                let port = self.first_air(part);
                Some((Edit::Pressed(port), Readout::Pressure { port, vacuum }))
            }
            (Method::LeakDown, Place::Part(part)) => {
                let port = self.first_air(part);
                Some((Edit::None, Readout::Pressure { port, vacuum }))
            }
            (Method::PumpDown, _) => Some((Edit::None, Readout::Seconds)),
            _ => None,
        }
    }

    /// The first air port of a part.
    fn first_air(&self, part: PartId) -> PortRef {
        let ports = self.circuit.parts[part.0].kind.ports;
        let port = ports.iter().position(|port| port.medium == Medium::Air);
        PortRef {
            part,
            port: port.unwrap_or(0),
        }
    }

    /// A swap is judged by what says that the circuit works.
    fn swap_route(&mut self, part: PartId) -> (Edit, Readout) {
        let works = self.circuit.works.clone();
        let judge = works
            .as_ref()
            .and_then(|works| self.checks.iter().find(|check| check.id == works.check).cloned());
        let (Some(works), Some(judge)) = (works, judge) else {
            return (Edit::None, Readout::Look(part));
        };
        let readout = match (self.timed_route(&judge), judge.place) {
            (Some((_, readout)), _) => readout,
            (None, Place::Port(port, _)) => self.port_route(&judge, port).1,
            (None, Place::Part(place)) => self.part_route(&judge, place).1,
        };
        self.works.push(Route {
            setting: None,
            readout,
        });
        let limits = (
            works.least.unwrap_or(f64::NEG_INFINITY),
            works.most.unwrap_or(f64::INFINITY),
        );
        (
            Edit::Swapped(part),
            Readout::Works {
                part,
                of: self.works.len() - 1,
                least: limits.0,
                most: limits.1,
            },
        )
    }

    /// Another port at the joint of `port`.
    fn beside(&self, port: PortRef) -> PortRef {
        let joint = self.circuit.parts[port.part.0].joints[port.port];
        let others = joint.map_or(&[][..], |joint| &self.circuit.joints[joint.0].ports);
        others
            .iter()
            .copied()
            .find(|other| *other != port)
            .unwrap_or(port)
    }

    /// `true` if a source of what flows there lies on the part's own side of `port`: seen from the port, not through its
    /// joint. Current comes from a positive terminal; the negative one is the end of every way.
    fn feeds(&self, port: PortRef) -> bool {
        let Some(joint) = self.circuit.parts[port.part.0].joints[port.port] else {
            return false;
        };
        let mut seen = vec![false; self.circuit.joints.len()];
        let mut queue = vec![port];
        seen[joint.0] = true;
        while let Some(port) = queue.pop() {
            if self.is_source(port) {
                return true;
            }
            for next in self.behind(port) {
                let Some(joint) = self.circuit.parts[port.part.0].joints[next].filter(|joint| !seen[joint.0])
                else {
                    continue;
                };
                seen[joint.0] = true;
                let ports = &self.circuit.joints[joint.0].ports;
                if !ports.iter().any(|other| is_reference(&self.circuit, *other)) {
                    queue.extend(ports.iter().filter(|other| other.part != port.part));
                }
            }
        }
        false
    }

    /// The other ports of the part that `port` may lead to: a coil does not lead to the contact that it moves.
    fn behind(&self, port: PortRef) -> Vec<usize> {
        let kind = self.kinds.0[port.part.0];
        let ports = kind.spec().ports;
        // A tank is the end of every way.
        if kind.spec().supplies == Some(Supplies::Liquid) {
            return Vec::new();
        }
        let coil = kind.coil().filter(|coil| Some(*coil) != kind.power());
        let in_coil = |at: usize| coil.is_some_and(|(a, b)| at == a || at == b);
        let here = ports[port.port].medium;
        (0..ports.len())
            .filter(|at| *at != port.port && ports[*at].medium == here && in_coil(*at) == in_coil(port.port))
            .collect()
    }

    /// `true` if a source gives off at `port` what flows there.
    fn is_source(&self, port: PortRef) -> bool {
        let kind = self.circuit.parts[port.part.0].kind;
        match (kind.supplies, kind.ports[port.port].medium) {
            (Some(Supplies::Vacuum | Supplies::Pressure), Medium::Air) => true,
            (Some(Supplies::Current), Medium::Electric) => !is_reference(&self.circuit, port),
            (Some(Supplies::LiquidPressure), Medium::Liquid) => kind.ports[port.port].name == "outlet",
            _ => false,
        }
    }
}
