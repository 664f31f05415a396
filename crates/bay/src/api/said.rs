//! Jobs as programs see and say them.

use desk::Held;
use job::{CodeStatus, Grade, Said, Stage};
use serde::{Deserialize, Serialize};
use store::Row;
use utoipa::ToSchema;
use uuid::Uuid;

/// A job in a list.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct JobLine {
    /// What people call it in this shop.
    number: i64,
    /// Its name for good.
    id: Uuid,
    /// `checking`, `proven`, `quoted`, `agreed`, `repaired`, `watch` or `closed`.
    stage: &'static str,
    /// The vehicle in the shop's own words.
    vehicle: String,
    /// The customer's words.
    complaint: String,
    /// Its circuit.
    circuit: String,
    /// When it began.
    #[schema(format = DateTime)]
    opened: String,
    /// When something last happened.
    #[schema(format = DateTime)]
    changed: String,
}

impl From<&Row> for JobLine {
    fn from(row: &Row) -> Self {
        Self {
            number: row.number,
            id: row.id.0,
            stage: row.stage.name(),
            vehicle: row.words.clone(),
            complaint: row.complaint.clone(),
            circuit: row.circuit.clone(),
            opened: row.opened.to_string(),
            changed: row.changed.to_string(),
        }
    }
}

/// A job as it stands.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct JobState {
    #[serde(flatten)]
    line: JobLine,
    /// Distance driven, km.
    odometer_km: Option<f64>,
    /// Altitude as it was said, with its unit.
    altitude: Option<String>,
    codes: Vec<Code>,
    readings: Vec<Reading>,
    /// The proven cause, `PART/FAULT`; empty before.
    proven: Vec<String>,
    /// Hands-on minutes noted.
    minutes: f64,
    /// Entries that do not count, with the reason.
    odd: Vec<String>,
}

/// A code in a module.
#[derive(Debug, Serialize, ToSchema)]
struct Code {
    code: String,
    /// `stored`, `pending` or `permanent`.
    status: &'static str,
}

/// A reading in a job.
#[derive(Debug, Serialize, ToSchema)]
struct Reading {
    /// Id of the check.
    check: String,
    /// As it was said, with its unit.
    said: String,
    instrument: Option<String>,
    /// How right that instrument is, as the shop knew it then.
    accuracy: Option<String>,
    who: String,
    /// Why it was taken back; absent where it counts.
    withdrawn: Option<String>,
}

impl From<&Held> for JobState {
    fn from(held: &Held) -> Self {
        let job = &held.job;
        Self {
            line: JobLine {
                number: held.number,
                id: job.id.0,
                stage: job.stage.name(),
                vehicle: job.intake.vehicle.words.clone(),
                complaint: job.intake.complaint.clone(),
                circuit: job.intake.circuit.name.clone(),
                opened: job.opened.to_string(),
                changed: job.changed.to_string(),
            },
            odometer_km: job.odometer_km,
            altitude: job.intake.altitude.clone(),
            codes: job
                .codes
                .iter()
                .map(|code| Code {
                    code: code.code.clone(),
                    status: match code.status {
                        CodeStatus::Stored => "stored",
                        CodeStatus::Pending => "pending",
                        CodeStatus::Permanent => "permanent",
                    },
                })
                .collect(),
            readings: job
                .readings
                .iter()
                .map(|reading| Reading {
                    check: reading.check.clone(),
                    said: reading.said.text().to_owned(),
                    instrument: reading.instrument.clone(),
                    accuracy: reading.accuracy.clone(),
                    who: reading.who.clone(),
                    withdrawn: reading.withdrawn.clone(),
                })
                .collect(),
            proven: job
                .proven
                .iter()
                .flat_map(|proven| proven.faults.clone())
                .collect(),
            minutes: job.minutes(),
            odd: job.odd.iter().map(|odd| odd.why.clone()).collect(),
        }
    }
}

/// The stage of that name.
pub(crate) fn stage(name: &str) -> Option<Stage> {
    Stage::ALL.into_iter().find(|stage| stage.name() == name)
}

/// A vehicle to take in.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"codes": ["P0299"], "circuit": "vacuum-wastegate", "vehicle": "grey van", "altitude": "600 m", "invented": true}))]
pub(crate) struct NewJob {
    /// The job's name for good, made by the caller: said twice it is one job.
    pub(crate) job: Option<Uuid>,
    /// SAE J2012 codes; they lead to the circuit where none is named.
    #[serde(default)]
    pub(crate) codes: Vec<String>,
    #[serde(default)]
    pub(crate) complaint: String,
    /// In the shop's own words.
    #[serde(default)]
    pub(crate) vehicle: String,
    /// Distance driven, km.
    #[schema(minimum = 0)]
    pub(crate) odometer_km: Option<f64>,
    /// Name of a circuit.
    #[serde(default)]
    pub(crate) circuit: String,
    /// With its unit.
    #[serde(default)]
    pub(crate) altitude: String,
    /// An example, not a real vehicle.
    #[serde(default)]
    pub(crate) invented: bool,
}

/// A reading to note. One of `value`, `bound` and `answer` is given.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"check": "tee:valve.source@idle", "value": "21.5 inHg"}))]
pub(crate) struct NewReading {
    /// The entry's name for good, made by the caller: said twice it counts once.
    pub(crate) entry: Option<Uuid>,
    /// Id of the check.
    pub(crate) check: String,
    /// With its unit: `21.5 inHg`.
    pub(crate) value: Option<String>,
    /// With its unit: `> 20 inHg`.
    pub(crate) bound: Option<String>,
    /// `yes`, `no` or `not done`.
    pub(crate) answer: Option<String>,
    /// The instrument, if not the usual one: one of the shop's own is as right as `/api/shop` says.
    pub(crate) instrument: Option<String>,
    /// Hands-on minutes it took, 0 or more.
    pub(crate) minutes: Option<f64>,
}

impl NewReading {
    /// What was read, if it was said in one way.
    pub(crate) fn said(&self) -> Option<Said> {
        match (&self.value, &self.bound, &self.answer) {
            (Some(value), None, None) => Some(Said::Value(value.clone())),
            (None, Some(bound), None) => Some(Said::Bound(bound.clone())),
            (None, None, Some(answer)) => Some(Said::Answer(answer.clone())),
            _ => None,
        }
    }
}

/// How good a part is bought.
#[derive(Debug, Clone, Copy, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Quality {
    Original,
    Equivalent,
    Budget,
}

impl From<Quality> for Grade {
    fn from(quality: Quality) -> Self {
        match quality {
            Quality::Original => Self::Original,
            Quality::Equivalent => Self::Equivalent,
            Quality::Budget => Self::Budget,
        }
    }
}

impl From<Grade> for Quality {
    fn from(grade: Grade) -> Self {
        match grade {
            Grade::Original => Self::Original,
            Grade::Equivalent => Self::Equivalent,
            Grade::Budget => Self::Budget,
        }
    }
}
