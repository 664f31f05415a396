//! A circuit after reading: what the other rooms work on. All indices are valid, all quantities SI.

use crate::kind::{FaultSpec, KindSpec, Medium, Supplies};
use crate::shows::Under;
use diag::Span;
use quantity::Dimension;

macro_rules! index {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub usize);
    };
}
index!(
    /// Index into [`Circuit::parts`].
    PartId
);
index!(
    /// Index into [`Circuit::joints`].
    JointId
);
index!(
    /// Index into [`Circuit::conditions`].
    ConditionId
);
index!(
    /// Index into [`Circuit::accesses`].
    AccessId
);

/// One port of one part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PortRef {
    /// The part.
    pub part: PartId,
    /// Index into its kind's ports.
    pub port: usize,
}

/// One fault of one part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FaultId {
    /// The part.
    pub part: PartId,
    /// Index into its kind's faults.
    pub fault: usize,
}

/// A parameter's value, SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Value {
    /// Typical value; for a choice the index of the word.
    pub typical: f64,
    /// Plus or minus two standard deviations, in the same unit; 0 if exactly known.
    pub spread: f64,
    /// Its dimension; `None` for a choice.
    pub dimension: Option<Dimension>,
    /// Where the author wrote it; `None` if it is the kind's default.
    pub span: Option<Span>,
}

/// How hard a place is to reach.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Reach {
    /// Minutes on top of the check's own.
    pub minutes: f64,
    /// Accesses that must be open.
    pub needs: Vec<AccessId>,
}

/// What mending a part takes on this vehicle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Repair {
    /// Hands-on minutes.
    pub minutes: f64,
    /// Price in the shop's currency.
    pub price: f64,
}

/// A part of the circuit.
#[derive(Debug, Clone)]
pub struct Part {
    /// Name in the file: `valve`; `turbo.valve` if it belongs to a composed part.
    pub id: String,
    /// The author's words for it, if given.
    pub what: Option<String>,
    /// Its kind.
    pub kind: &'static KindSpec,
    /// One value per parameter of the kind.
    pub values: Vec<Value>,
    /// The joint at each port of the kind; `None` where a port stays open.
    pub joints: Vec<Option<JointId>>,
    /// Relative frequency of each fault of the kind, after the author's overrides. Not normalised.
    pub weights: Vec<f64>,
    /// How hard the part is to reach.
    pub reach: Reach,
    /// What mending it takes.
    pub repair: Repair,
    /// Place in the drawing, if the author pinned it: column from the left and row from the top, from 0, each at most 200.
    pub pinned: Option<(u16, u16)>,
    /// Span of its header.
    pub span: Span,
}

impl Part {
    /// `true` for an actuator that pressure moves, not vacuum: one whose kind has the parameter `moved-by`, set so.
    pub fn moved_by_pressure(&self) -> bool {
        let mut parameters = self.kind.parameters.iter().zip(&self.values);
        parameters.any(|(spec, value)| spec.name == "moved-by" && value.typical > 0.5)
    }
}

/// A place where ports meet.
#[derive(Debug, Clone)]
pub struct Joint {
    /// Its name: the port a technician would name, `valve.source`.
    pub name: String,
    /// What flows there.
    pub medium: Medium,
    /// The ports that meet, the naming one first.
    pub ports: Vec<PortRef>,
    /// How hard it is to reach.
    pub reach: Reach,
}

/// What a condition commands a part to do: the share of time it is driven, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Command {
    /// The part.
    pub part: PartId,
    /// 0 off, 1 on, between: duty.
    pub duty: f64,
}

/// A state to test in.
#[derive(Debug, Clone)]
pub struct Condition {
    /// Name in the file: `idle`. The condition `off` (engine and supply off) always exists and is the first.
    pub id: String,
    /// In words.
    pub what: String,
    /// Engine speed, rev/s; 0 when it stands.
    pub engine: Value,
    /// Share of full load that the engine works against, 0 to 1; 0 where it idles or turns freely.
    pub load: f64,
    /// Supply voltage where a condition sets it; `None`: the battery's own, or no supply at all in `off`.
    pub supply: Option<Value>,
    /// `true` if electric power is on.
    pub powered: bool,
    /// Commands.
    pub commands: Vec<Command>,
    /// What may bring out faults that come and go.
    pub under: Under,
    /// Minutes to bring it about.
    pub minutes: f64,
    /// Span of its header.
    pub span: Span,
}

impl Condition {
    /// `true` if the engine turns under its own power or is cranked.
    pub fn running(&self) -> bool {
        self.engine.typical > 0.0
    }

    /// The command given to `part`, 0 where none is.
    pub fn duty(&self, part: PartId) -> f64 {
        self.commands
            .iter()
            .find(|command| command.part == part)
            .map_or(0.0, |command| command.duty)
    }
}

/// Work that opens a place, done once.
#[derive(Debug, Clone)]
pub struct Access {
    /// Name in the file.
    pub id: String,
    /// In words: "engine cover off".
    pub what: String,
    /// Hands-on minutes.
    pub minutes: f64,
    /// Accesses that come before.
    pub needs: Vec<AccessId>,
}

/// Something that makes several parts fail together.
#[derive(Debug, Clone)]
pub struct CommonCause {
    /// In words: "oil from the cover seal".
    pub what: String,
    /// The parts it hits.
    pub parts: Vec<PartId>,
    /// How many times likelier a second fault among them is than elsewhere.
    pub factor: f64,
}

/// What says that the circuit does its job, or that nobody complains: a check and the least or most it must read.
#[derive(Debug, Clone, PartialEq)]
pub struct Works {
    /// Id of the check.
    pub check: String,
    /// Least good reading, SI; for a check that is answered, of the chance of a yes.
    pub least: Option<f64>,
    /// Greatest good reading, SI.
    pub most: Option<f64>,
}

/// How likely, before any reading, the cause is not exactly one listed fault.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Priors {
    /// Nothing is wrong in this circuit.
    pub nothing_wrong: f64,
    /// The cause is not on the list.
    pub not_listed: f64,
    /// A second, independent fault beside a first one.
    pub second_fault: f64,
}

impl Default for Priors {
    /// From memory: a second fault in 3 to 8 % of jobs; the other two are of the size of shops' "no fault found".
    fn default() -> Self {
        Self {
            nothing_wrong: 0.04,
            not_listed: 0.04,
            second_fault: 0.05,
        }
    }
}

/// One described circuit.
#[derive(Debug, Clone)]
pub struct Circuit {
    /// File name without `.toml`.
    pub name: String,
    /// Title.
    pub title: String,
    /// What it does, in a few sentences; may be empty.
    pub about: String,
    /// Trouble codes that lead here, SAE J2012 form.
    pub codes: Vec<String>,
    /// Complaints that lead here, in the customer's words.
    pub symptoms: Vec<String>,
    /// `true` for a made-up scene.
    pub invented: bool,
    /// Parts, in the order of the file.
    pub parts: Vec<Part>,
    /// Joints.
    pub joints: Vec<Joint>,
    /// Conditions; the first is `off`.
    pub conditions: Vec<Condition>,
    /// Accesses.
    pub accesses: Vec<Access>,
    /// Common causes.
    pub common_causes: Vec<CommonCause>,
    /// What says that it works.
    pub works: Option<Works>,
    /// What else brings a vehicle in: it comes, though the circuit does its job, if one of these is not as it should be.
    pub complaints: Vec<Works>,
    /// Priors.
    pub priors: Priors,
}

impl Circuit {
    /// The part called `id`.
    pub fn part(&self, id: &str) -> Option<PartId> {
        self.parts.iter().position(|part| part.id == id).map(PartId)
    }

    /// The condition called `id`.
    pub fn condition(&self, id: &str) -> Option<ConditionId> {
        self.conditions
            .iter()
            .position(|condition| condition.id == id)
            .map(ConditionId)
    }

    /// The port written `part.port`. A part of a composed part has a dot in its name already: `turbo.valve.source`.
    pub fn port(&self, text: &str) -> Option<PortRef> {
        let (part, port) = text.rsplit_once('.')?;
        let part = self.part(part)?;
        let port = self.parts[part.0].kind.port(port)?;
        Some(PortRef { part, port })
    }

    /// `part.port` of a port.
    pub fn port_name(&self, port: PortRef) -> String {
        let part = &self.parts[port.part.0];
        format!("{}.{}", part.id, part.kind.ports[port.port].name)
    }

    /// The fault written `part/fault`.
    pub fn fault(&self, id: &str) -> Option<FaultId> {
        let (part, fault) = id.split_once('/')?;
        let part = self.part(part)?;
        let fault = self.parts[part.0].kind.fault(fault)?;
        Some(FaultId { part, fault })
    }

    /// `part/fault` of a fault.
    pub fn fault_name(&self, fault: FaultId) -> String {
        format!("{}/{}", self.parts[fault.part.0].id, self.fault_spec(fault).name)
    }

    /// What the kind says of a fault.
    pub fn fault_spec(&self, fault: FaultId) -> &'static FaultSpec {
        &self.parts[fault.part.0].kind.faults[fault.fault]
    }

    /// Every fault with its share; shares sum to 1. Faults an author gave the weight 0 are left out.
    pub fn faults(&self) -> Vec<(FaultId, f64)> {
        let total: f64 = self.parts.iter().flat_map(|part| &part.weights).sum();
        let mut faults = Vec::new();
        for (index, part) in self.parts.iter().enumerate() {
            for (fault, weight) in part
                .weights
                .iter()
                .enumerate()
                .filter(|(_, weight)| **weight > 0.0)
            {
                faults.push((
                    FaultId {
                        part: PartId(index),
                        fault,
                    },
                    weight / total,
                ));
            }
        }
        faults
    }

    /// What the sources of this circuit supply, sorted, each once.
    pub fn supplies(&self) -> Vec<Supplies> {
        let mut supplies: Vec<_> = self.parts.iter().filter_map(|part| part.kind.supplies).collect();
        supplies.sort_unstable();
        supplies.dedup();
        supplies
    }

    /// Minutes to open `needs` and everything they need, where `open` is open already; each access counted once.
    pub fn access_minutes(&self, needs: &[AccessId], open: &[AccessId]) -> f64 {
        self.closed_accesses(needs, open)
            .iter()
            .map(|id| self.accesses[id.0].minutes)
            .sum()
    }

    /// The accesses among `needs` and what they need in turn that are not `open` yet, sorted.
    pub fn closed_accesses(&self, needs: &[AccessId], open: &[AccessId]) -> Vec<AccessId> {
        let mut closed: Vec<AccessId> = Vec::new();
        let mut queue: Vec<AccessId> = needs.to_vec();
        while let Some(id) = queue.pop() {
            if !open.contains(&id) && !closed.contains(&id) {
                closed.push(id);
                queue.extend(&self.accesses[id.0].needs);
            }
        }
        closed.sort_unstable();
        closed
    }
}
