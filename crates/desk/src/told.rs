//! What is believed, as programs are told it: the one form for the command line's JSON and the bay's interface.
//!
//! Names of fields are a contract: they are added to, never changed.

use crate::case::Case;
use crate::fit::DOUBTFUL;
use crate::how;
use crate::show::severity_unit;
use circuit::FaultId;
use engine::NextCheck;
use serde::Serialize;
use std::collections::BTreeMap;

/// What is believed after the readings. Probabilities of `suspects`, `nothing_wrong` and `not_listed` sum to 1.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Believed {
    /// The circuit's name.
    pub circuit: String,
    /// Pressure of the air around, Pa.
    pub barometer: f64,
    /// Likeliest first.
    pub suspects: Vec<SuspectTold>,
    /// Probability that nothing is wrong in this circuit.
    pub nothing_wrong: f64,
    /// Probability of a cause that the circuit does not list.
    pub not_listed: f64,
    /// Per part, how likely it is at fault.
    pub parts: BTreeMap<String, f64>,
    /// Probability of readings at least as odd as these.
    pub fit: f64,
    /// The check whose reading is odd beside the others.
    pub odd_reading: Option<String>,
    /// Share of all sets of faults, by weight, that was looked at.
    pub kept: f64,
    /// Instruments that may be far off.
    pub doubtful_instruments: Vec<DoubtfulInstrument>,
    /// What was read.
    pub readings: Vec<ReadingTold>,
    /// How bad the leading faults are.
    pub severities: Vec<SeverityTold>,
    /// What the readings say of the leading suspects.
    pub reasons: Vec<ReasonsTold>,
    /// Where the leading suspect stands; absent where nothing listed leads.
    pub proven: Option<ProvenTold>,
    /// Checks worth making next, best first.
    pub next: Vec<NextTold>,
}

/// A set of faults.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct SuspectTold {
    /// `PART/FAULT`.
    pub faults: Vec<String>,
    /// How likely they are, all of them and no others.
    pub probability: f64,
}

/// An instrument that may be far off.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct DoubtfulInstrument {
    /// Its sort.
    pub instrument: String,
    /// Its name, if it is not the usual one.
    pub name: Option<String>,
    /// How likely it is far off.
    pub probability: f64,
}

/// A reading.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct ReadingTold {
    /// Id of the check.
    pub check: String,
    /// As a person reads it.
    pub read: String,
}

/// How bad a fault is.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct SeverityTold {
    /// `PART/FAULT`.
    pub fault: String,
    /// Of the figures.
    pub unit: String,
    /// 5th percentile.
    pub low: f64,
    /// 50th.
    pub median: f64,
    /// 95th.
    pub high: f64,
}

/// What the readings say of a suspect.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct ReasonsTold {
    /// `PART/FAULT`; none for nothing wrong.
    pub faults: Vec<String>,
    /// One by one.
    pub readings: Vec<FactorTold>,
}

/// What one reading says of a suspect.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct FactorTold {
    /// Id of the check.
    pub check: String,
    /// Its odds are multiplied by this.
    pub times_likelier: f64,
}

/// Where the leading suspect stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[allow(clippy::struct_field_names, reason = "the fields' names are the contract's")]
pub struct ProvenTold {
    /// `PART/FAULT`.
    pub faults: Vec<String>,
    /// How likely it is.
    pub probability: f64,
    /// Whether it counts as proven.
    pub proven: bool,
    /// Checks that showed it directly.
    pub shown_by: Vec<String>,
    /// Faults that no check has shown.
    pub not_shown: Vec<String>,
}

/// A check that could be next.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct NextTold {
    /// Id of the check.
    pub check: String,
    /// Until it is read, with access and condition.
    pub minutes: f64,
    /// Expected cost until repaired if it is made first.
    pub cost: f64,
    /// What it is expected to spare.
    pub gain: f64,
    /// What can hurt.
    pub cautions: Vec<CautionTold>,
}

/// A caution.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct CautionTold {
    /// What can hurt.
    pub hazard: String,
    /// What keeps from it.
    pub precaution: String,
}

impl From<&circuit::Caution> for CautionTold {
    fn from(caution: &circuit::Caution) -> Self {
        Self {
            hazard: caution.hazard.to_owned(),
            precaution: caution.precaution.to_owned(),
        }
    }
}

/// The case as programs are told it; `next` are the checks worth making next.
pub fn told(case: &Case, next: &[NextCheck]) -> Believed {
    let belief = &case.belief;
    let id = |check: usize| case.id(check).to_owned();
    let names = |faults: &[FaultId]| {
        faults
            .iter()
            .map(|fault| case.model.circuit().fault_name(*fault))
            .collect::<Vec<_>>()
    };
    let listed = belief
        .suspects()
        .iter()
        .filter(|suspect| !suspect.faults.is_empty());
    let fit = belief.fit();
    Believed {
        circuit: case.model.circuit().name.clone(),
        barometer: case.evidence.surroundings.ambient.pressure,
        suspects: listed
            .map(|s| SuspectTold {
                faults: names(&s.faults),
                probability: s.probability,
            })
            .collect(),
        nothing_wrong: belief.nothing_wrong(),
        not_listed: belief.not_listed(),
        parts: case
            .model
            .circuit()
            .parts
            .iter()
            .zip(belief.parts())
            .map(|(part, share)| (part.id.clone(), share))
            .collect(),
        fit: fit.fit,
        odd_reading: fit.odd.map(id),
        kept: belief.kept(),
        doubtful_instruments: doubtful(case),
        readings: case
            .readings()
            .into_iter()
            .map(|(check, read)| ReadingTold {
                check: id(check),
                read,
            })
            .collect(),
        severities: severities(case),
        reasons: reasons(case),
        proven: engine::proven(belief, &case.evidence).map(|proven| ProvenTold {
            faults: names(&proven.faults),
            probability: proven.probability,
            proven: proven.proven,
            shown_by: proven.shown_by.iter().map(|check| id(*check)).collect(),
            not_shown: names(&proven.not_shown),
        }),
        next: next.iter().map(|next| next_row(case, next)).collect(),
    }
}

fn next_row(case: &Case, next: &NextCheck) -> NextTold {
    let check = &case.model.checks()[next.check];
    let cautions = how::cautions(case.model.circuit(), check);
    NextTold {
        check: check.id.clone(),
        minutes: next.minutes,
        cost: next.cost,
        gain: next.gain,
        cautions: cautions
            .iter()
            .map(|caution| CautionTold::from(*caution))
            .collect(),
    }
}

fn doubtful(case: &Case) -> Vec<DoubtfulInstrument> {
    let all = case
        .belief
        .doubtful_instruments()
        .into_iter()
        .filter(|(_, _, probability)| *probability > DOUBTFUL);
    all.map(|(instrument, name, probability)| DoubtfulInstrument {
        instrument: instrument.word().to_owned(),
        name,
        probability,
    })
    .collect()
}

/// The severities of the faults of the leading suspects, where readings say anything about them.
fn severities(case: &Case) -> Vec<SeverityTold> {
    let mut faults: Vec<FaultId> = Vec::new();
    for fault in case
        .leading(4)
        .into_iter()
        .flat_map(|suspect| case.belief.suspects()[suspect].faults.clone())
    {
        if !faults.contains(&fault) {
            faults.push(fault);
        }
    }
    faults
        .into_iter()
        .filter_map(|fault| severity(case, fault))
        .collect()
}

fn severity(case: &Case, fault: FaultId) -> Option<SeverityTold> {
    let spec = case.model.circuit().fault_spec(fault).severity?;
    let unit = severity_unit(&spec);
    let shown = case
        .belief
        .severity(fault)?
        .map(|si| quantity::Quantity::new(spec.dimension, si).in_unit(unit));
    let [low, median, high] = shown;
    Some(SeverityTold {
        fault: case.model.circuit().fault_name(fault),
        unit: spec.unit.to_owned(),
        low,
        median,
        high,
    })
}

fn reasons(case: &Case) -> Vec<ReasonsTold> {
    if case.evidence.observations.is_empty() {
        return Vec::new();
    }
    let of = |suspect: usize| ReasonsTold {
        faults: case.belief.suspects()[suspect]
            .faults
            .iter()
            .map(|fault| case.model.circuit().fault_name(*fault))
            .collect(),
        readings: case
            .belief
            .reasons(suspect)
            .iter()
            .map(|reason| FactorTold {
                check: case.id(reason.check).to_owned(),
                times_likelier: reason.factor,
            })
            .collect(),
    };
    case.leading(4).into_iter().map(of).collect()
}
