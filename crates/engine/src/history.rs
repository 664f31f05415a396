//! What is known of the vehicle moves the odds before any reading: parts renewed, work done, age, oil, codes, what a person
//! ruled out. What closed jobs teach moves them first.
//!
//! Every figure here is from memory; counts of closed jobs take their place as they grow. Each moves the weight of a fault by a
//! factor that is never 0: one odd statement never sets a suspect to zero.

mod wear;

pub use wear::bad_from_new;

use crate::learnt;
use circuit::{Circuit, FaultId, Part, PartId, Priors, Supplies, Symbol};
use job::{Grade, Job, Mended, Nature, Replaced, TroubleCode, nature};
use life::Sums;
use quantity::Dimension;

/// Days within which a part counts as renewed lately. From memory.
pub(crate) const LATELY_DAYS: f64 = 90.0;
/// The same as distance, km. From memory.
pub(crate) const LATELY_KM: f64 = 2_000.0;
/// Days within which work disturbs what is joined to the part. Where only the distance is known, [`LATELY_KM`] stands for it. From memory.
const DISTURBED_DAYS: f64 = 30.0;
/// Hoses, wires and connectors beside recent work. From memory.
const DISTURBED: f64 = 3.0;
/// Rubber in oil. From memory.
const OILED: f64 = 3.0;
/// What a person ruled out: a person errs about once in fifty times. From memory.
const RULED_OUT: f64 = 0.02;
/// Electric faults under an electric code. From memory.
const ELECTRICAL: f64 = 3.0;
/// What several supply or reference codes share: source, fuse, ground. From memory.
const SHARED_NODE: f64 = 8.0;
/// What physical codes of several systems share: the source of vacuum or pressure. From memory.
const SHARED_SOURCE: f64 = 5.0;

/// One thing known that moved the odds.
#[derive(Debug, Clone, PartialEq)]
pub struct Moved {
    /// The part.
    pub part: PartId,
    /// Index of the fault in its kind; `None`: all of the part's faults.
    pub fault: Option<usize>,
    /// The weight is multiplied by this; finite, above 0.
    pub factor: f64,
    /// Why, in words for a person.
    pub why: String,
}

/// Something said of the vehicle that moved nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotUsed {
    /// What was said: mostly a part's name.
    pub said: String,
    /// Why it moved nothing and what to do, in words.
    pub why: String,
    /// The nearest name the circuit knows.
    pub better: Option<String>,
}

/// What is known of the vehicle, as it moves the odds.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct History {
    /// What causes closed jobs found on this circuit.
    pub learnt: Vec<Moved>,
    /// How often, by closed jobs, no listed cause is found; `None` as described.
    pub priors: Option<Priors>,
    /// What is known of the vehicle; factors on one fault multiply.
    pub moved: Vec<Moved>,
    /// What was said and could not be used.
    pub not_used: Vec<NotUsed>,
}

impl History {
    /// The circuit with the odds moved. Without history and closed jobs the weights are the same, bit for bit.
    pub fn apply(&self, mut circuit: Circuit) -> Circuit {
        circuit.priors = self.priors.unwrap_or(circuit.priors);
        for moved in self.learnt.iter().chain(&self.moved) {
            let weights = &mut circuit.parts[moved.part.0].weights;
            for (fault, weight) in weights.iter_mut().enumerate() {
                if moved.fault.is_none_or(|only| only == fault) {
                    *weight *= moved.factor;
                }
            }
        }
        circuit
    }

    fn all(&mut self, part: PartId, factor: f64, why: String) {
        self.moved.push(Moved {
            part,
            fault: None,
            factor,
            why,
        });
    }

    fn one(&mut self, fault: FaultId, factor: f64, why: String) {
        self.moved.push(Moved {
            part: fault.part,
            fault: Some(fault.fault),
            factor,
            why,
        });
    }

    fn idle(&mut self, said: &str, why: &str, better: Option<String>) {
        self.not_used.push(NotUsed {
            said: said.to_owned(),
            why: why.to_owned(),
            better,
        });
    }

    /// The part called `name`; if there is none, says so.
    fn find(&mut self, circuit: &Circuit, name: &str) -> Option<PartId> {
        let found = circuit.part(name);
        if found.is_none() {
            let names = circuit.parts.iter().map(|part| part.id.as_str());
            let better = diag::nearest(name, names).map(str::to_owned);
            self.idle(name, "the circuit has no part of this name", better);
        }
        found
    }
}

/// What `job` says of the vehicle, and what closed jobs teach, as it moves the odds on `circuit`. Empty sums leave the shipped
/// figures.
pub fn history(circuit: &Circuit, job: &Job, sums: &Sums) -> History {
    let mut history = learnt::moves(circuit, sums);
    let learnt = history.apply(circuit.clone());
    let works = works(&mut history, circuit, job);
    for work in &works {
        wear::renewed(&mut history, &learnt, job, work, sums);
    }
    disturbed(&mut history, circuit, &works);
    wear::worn(&mut history, circuit, job, &works, sums);
    wear::record(&mut history, circuit, job, sums);
    oiled(&mut history, circuit, job);
    codes(&mut history, circuit, job);
    ruled_out(&mut history, circuit, job);
    history
}

/// Work done on a part before now.
struct Work {
    part: PartId,
    /// `true` if a new part was fitted lately.
    renewed: bool,
    /// `true` if it is so recent that what is joined there may have been disturbed.
    disturbs: bool,
    grade: Option<Grade>,
    when: String,
}

/// Each part's last work: in this job, if the complaint came back after it, else as said at the door.
fn works(history: &mut History, circuit: &Circuit, job: &Job) -> Vec<Work> {
    let mut works: Vec<Work> = Vec::new();
    let mut take = |work: Work| {
        works.retain(|known| known.part != work.part);
        works.push(work);
    };
    for replaced in &job.intake.replaced {
        let last = |other: &Replaced| other.part != replaced.part || !sooner(other, replaced);
        if !job.intake.replaced.iter().all(last) {
            continue;
        }
        let Some(part) = history.find(circuit, &replaced.part) else {
            continue;
        };
        let (days, km) = (replaced.days_ago, replaced.km_ago);
        if days.is_none() && km.is_none() {
            let why = "when it was renewed is not said: give the days or the distance since";
            history.idle(&replaced.part, why, None);
            continue;
        }
        let within = |value: Option<f64>, most: f64| value.is_some_and(|value| value <= most);
        let when = match (days, km) {
            (Some(days), _) => format!("{days:.0} days ago"),
            (None, km) => format!("{:.0} km ago", km.unwrap_or_default()),
        };
        take(Work {
            part,
            renewed: within(days, LATELY_DAYS) || within(km, LATELY_KM),
            disturbs: within(days, DISTURBED_DAYS) || (days.is_none() && within(km, LATELY_KM)),
            grade: replaced.grade,
            when,
        });
    }
    let last = job.comebacks.iter().map(|comeback| comeback.at).max();
    let before = |repair: &&job::Repair| last.is_some_and(|last| repair.at <= last);
    for repair in job.repairs.iter().filter(before) {
        if let Some(part) = history.find(circuit, &repair.part) {
            take(Work {
                part,
                renewed: repair.how == Mended::Renewed,
                disturbs: true,
                grade: repair.grade,
                when: "in this job, and the complaint came back".to_owned(),
            });
        }
    }
    works
}

/// Whether `one` was fitted after `other`, by what is said of both.
pub(crate) fn sooner(one: &Replaced, other: &Replaced) -> bool {
    match (one.km_ago, other.km_ago, one.days_ago, other.days_ago) {
        (Some(one), Some(other), ..) | (_, _, Some(one), Some(other)) => one < other,
        _ => false,
    }
}

/// Hoses, wires and connectors at the joints of a part that was worked on, each once.
fn disturbed(history: &mut History, circuit: &Circuit, works: &[Work]) {
    for (index, part) in circuit.parts.iter().enumerate() {
        let id = PartId(index);
        let loose = matches!(part.kind.symbol, Symbol::Hose | Symbol::Wire | Symbol::Connector);
        if !loose || works.iter().any(|work| work.part == id) {
            continue;
        }
        let beside = |work: &&Work| {
            let joints = &circuit.parts[work.part.0].joints;
            work.disturbs
                && part
                    .joints
                    .iter()
                    .flatten()
                    .any(|joint| joints.contains(&Some(*joint)))
        };
        if let Some(work) = works.iter().find(beside) {
            let name = &circuit.parts[work.part.0].id;
            let why = format!("beside recent work on {name}: easily left loose or damaged");
            history.all(id, DISTURBED, why);
        }
    }
}

/// Rubber in oil: all of a hose, of an actuator what its diaphragm can have.
fn oiled(history: &mut History, circuit: &Circuit, job: &Job) {
    let mut names: Vec<&String> = job.intake.oil_soaked.iter().collect();
    names.sort_unstable();
    names.dedup();
    for name in names {
        let Some(part) = history.find(circuit, name) else {
            continue;
        };
        let why = "lies in oil: rubber swells and splits".to_owned();
        match circuit.parts[part.0].kind.symbol {
            Symbol::Hose => history.all(part, OILED, why),
            Symbol::DiaphragmActuator => {
                let faults = circuit.parts[part.0].kind.faults.iter().enumerate();
                for (fault, _) in faults.filter(|(_, spec)| spec.name.contains("diaphragm")) {
                    history.one(FaultId { part, fault }, OILED, why.clone());
                }
            }
            _ => history.idle(
                name,
                "it has no rubber that oil attacks, as this circuit knows it",
                None,
            ),
        }
    }
}

/// What the module's codes say together.
fn codes(history: &mut History, circuit: &Circuit, job: &Job) {
    let mut noted: Vec<TroubleCode> = Vec::new();
    for code in &job.codes {
        match code.code.parse() {
            Ok(code) if noted.contains(&code) => {}
            Ok(code) => noted.push(code),
            Err(error) => history.idle(&code.code, &job::NotACode::hint(&error), None),
        }
    }
    let of = |wanted: &[Nature]| {
        let some = noted.iter().filter(|code| wanted.contains(&nature(**code)));
        some.map(TroubleCode::to_string).collect::<Vec<_>>()
    };
    let supply = of(&[Nature::Supply, Nature::Reference]);
    let electrical = of(&[Nature::Electrical]);
    let shared_node = supply.len() > 1;
    let users: Vec<_> = noted.iter().filter(|code| draws_on(**code).is_some()).collect();
    let shared_source = users.iter().any(|code| draws_on(**code) != draws_on(*users[0]));
    let physical: Vec<String> = users.iter().map(ToString::to_string).collect();
    for (index, part) in circuit.parts.iter().enumerate() {
        let id = PartId(index);
        let feeds = part.kind.supplies == Some(Supplies::Current)
            || matches!(part.kind.symbol, Symbol::Fuse | Symbol::Ground | Symbol::Chassis);
        let source = matches!(part.kind.supplies, Some(Supplies::Vacuum | Supplies::Pressure));
        if shared_node && feeds {
            let why = format!("{} share supply and ground", supply.join(" and "));
            history.all(id, SHARED_NODE, why);
        } else if !(electrical.is_empty() && supply.is_empty()) {
            let why = format!(
                "{}: electrical",
                [electrical.clone(), supply.clone()].concat().join(", ")
            );
            let faults = (0..part.kind.faults.len()).filter(|fault| electric(part, *fault));
            for fault in faults {
                history.one(FaultId { part: id, fault }, ELECTRICAL, why.clone());
            }
        }
        if shared_source && source {
            let why = format!("{} can share their source", physical.join(" and "));
            history.all(id, SHARED_SOURCE, why);
        }
    }
}

/// The system behind a code that complains of too little of what one source of vacuum or pressure may feed; from memory.
fn draws_on(code: TroubleCode) -> Option<&'static str> {
    match code.to_string().as_str() {
        "P0234" | "P0299" | "P2262" | "P2263" => Some("boost"),
        "P0400" | "P0401" | "P0402" => Some("exhaust gas recirculation"),
        "P0555" | "P0556" | "P0557" | "P0558" | "P050F" => Some("brake booster"),
        _ => None,
    }
}

/// `true` for a fault of current: any of a part that only current runs through; of others what concerns the coil or a resistance.
fn electric(part: &Part, fault: usize) -> bool {
    let electric = |port: &circuit::PortSpec| port.medium == circuit::Medium::Electric;
    let spec = &part.kind.faults[fault];
    part.kind.ports.iter().all(electric)
        || part.kind.ports.iter().any(electric)
            && (spec.name.contains("coil")
                || spec.name.contains("connector")
                || spec
                    .severity
                    .is_some_and(|severity| severity.dimension == Dimension::Resistance))
}

/// What a person ruled out, each once however often it is said.
fn ruled_out(history: &mut History, circuit: &Circuit, job: &Job) {
    let mut said: Vec<&str> = Vec::new();
    for out in &job.ruled_out {
        let what = out.what.as_str();
        if said.contains(&what) {
            continue;
        }
        said.push(what);
        let why = format!("ruled out by hand: {}", out.reason);
        if !what.contains('/') {
            if let Some(part) = history.find(circuit, what) {
                history.all(part, RULED_OUT, why);
            }
        } else if let Some(fault) = circuit.fault(what) {
            history.one(fault, RULED_OUT, why);
        } else {
            let names: Vec<String> = circuit
                .faults()
                .iter()
                .map(|(fault, _)| circuit.fault_name(*fault))
                .collect();
            let better = diag::nearest(what, names.iter().map(String::as_str)).map(str::to_owned);
            history.idle(what, "the circuit has no fault of this name", better);
        }
    }
}
