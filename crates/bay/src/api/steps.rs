//! What can be said of a job beside readings, for programs: one thing at a time, each with fields of its own.

use super::said::Quality;
use desk::show::Units;
use desk::{Held, Problem};
use job::{Behind, Closing, CodeStatus, Event, Mended, Trip};
use serde::Deserialize;
use serde_json::{Map, Value};
use utoipa::ToSchema;
use uuid::Uuid;

/// One thing said of a job.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(try_from = "Map<String, Value>")]
#[schema(example = json!({"step": "note", "text": "oil on the hose"}))]
pub(crate) struct NewStep {
    /// The entry's name for good, made by the caller: said twice it counts once.
    pub(crate) entry: Option<Uuid>,
    /// What is said.
    #[serde(flatten)]
    step: Step,
}

/// What can be said. Temperatures carry their unit; prices are in the shop's currency, before tax.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(tag = "step", rename_all = "kebab-case")]
enum Step {
    /// The last thing is taken back; it stays in the record.
    Undo {
        #[serde(default)]
        reason: String,
    },
    /// The cautions of a check, or of renewing a part, were read.
    Caution { of: String },
    /// Something worth writing down.
    Note { text: String },
    /// A module holds a code.
    Code { code: String, status: Keeps },
    /// A part, or `PART/FAULT`, is not the cause.
    RuleOut { what: String, reason: String },
    /// The cause is proven: the leading one, or `faults`.
    Cause {
        #[serde(default)]
        faults: Vec<String>,
        /// Why it counts although something is missing.
        by_hand: Option<String>,
    },
    /// How the vehicle stands.
    Stands {
        #[serde(default)]
        open: Vec<String>,
        #[serde(default)]
        off: Vec<String>,
        hot: Option<bool>,
    },
    /// A new part was tried before fitting.
    NewPart {
        part: String,
        /// How.
        check: String,
        read: String,
        /// Whether it may be fitted.
        good: bool,
        grade: Option<Quality>,
    },
    /// A repair was made.
    Repair {
        part: String,
        /// The old part was put right, no new one fitted.
        #[serde(default)]
        kept: bool,
        grade: Option<Quality>,
        #[schema(minimum = 0)]
        price: Option<f64>,
        #[schema(minimum = 0)]
        minutes: Option<f64>,
        /// The cause behind the cause, found and put right.
        behind: Option<String>,
        /// The cause behind the cause, found and left, with the reason.
        left: Option<String>,
    },
    /// A check after the repair.
    Proof {
        /// Id of a check, or words for a road test.
        check: String,
        /// With its unit; or `yes`, `no`.
        read: String,
        /// Whether it is as a sound circuit reads; needed where `check` is none of the circuit.
        good: Option<bool>,
    },
    /// The vehicle was driven after the repair.
    Trip {
        monitor_ran: bool,
        #[serde(default)]
        fault_seen: bool,
        #[serde(default)]
        other_fault_seen: bool,
        similar_conditions: Option<bool>,
        start_coolant: Option<String>,
        peak_coolant: Option<String>,
    },
    /// The code came back.
    SeenAgain {
        code: String,
        #[schema(minimum = 0)]
        odometer_km: Option<f64>,
    },
    /// The job is done.
    Close {
        ending: Ending,
        /// Why, or what it was; not needed where it was repaired or nothing was wrong.
        #[serde(default)]
        reason: String,
    },
    /// The job goes on.
    Reopen {
        reason: String,
        /// The complaint came back.
        #[serde(default)]
        comeback: bool,
        #[schema(minimum = 0)]
        odometer_km: Option<f64>,
    },
}

/// How a module keeps a code.
#[derive(Debug, Clone, Copy, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
enum Keeps {
    Stored,
    Pending,
    Permanent,
}

/// How a job ends.
#[derive(Debug, Clone, Copy, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
enum Ending {
    Repaired,
    Unverified,
    NothingWrong,
    NotListed,
    Stopped,
}

impl TryFrom<Map<String, Value>> for NewStep {
    type Error = String;

    /// By hand, because a word that tells one thing from another would otherwise be taken as a number too.
    fn try_from(mut said: Map<String, Value>) -> Result<Self, String> {
        if !said.get("step").is_some_and(Value::is_string) {
            return Err("`step` is a word that says what is said".to_owned());
        }
        let wrong = |error: serde_json::Error| error.to_string();
        let entry = said.remove("entry").unwrap_or_default();
        Ok(Self {
            entry: serde_json::from_value(entry).map_err(wrong)?,
            step: serde_json::from_value(Value::Object(said)).map_err(wrong)?,
        })
    }
}

impl NewStep {
    /// The events that it says, if they can be said of this job.
    pub(crate) fn events(self, held: &Held) -> Result<Vec<Event>, Problem> {
        Ok(vec![match self.step {
            Step::Undo { reason } => desk::undo(held, &reason)?,
            Step::Caution { of } => return desk::acknowledge(held, &of),
            Step::Note { text } => Event::Note {
                text: needed(text, "a note needs words")?,
            },
            Step::Code { code, status } => Event::CodeNoted {
                code: desk::code_of(&code)?,
                status: match status {
                    Keeps::Stored => CodeStatus::Stored,
                    Keeps::Pending => CodeStatus::Pending,
                    Keeps::Permanent => CodeStatus::Permanent,
                },
            },
            Step::RuleOut { what, reason } => desk::rule_out(held, &what, &reason)?,
            Step::Cause { faults, by_hand } => desk::prove(held, &faults, by_hand.as_deref())?,
            Step::Stands { open, off, hot } => Event::Stands { open, off, hot },
            Step::SeenAgain { code, odometer_km } => Event::CodeSeenAgain {
                code: desk::code_of(&code)?,
                odometer_km: not_negative(odometer_km, "odometer_km")?,
            },
            Step::Close { ending, reason } => Event::Closed {
                how: closing(ending, reason)?,
            },
            Step::Reopen {
                reason,
                comeback,
                odometer_km,
            } => Event::Reopened {
                reason: needed(reason, "say why the job goes on")?,
                comeback,
                odometer_km: not_negative(odometer_km, "odometer_km")?,
            },
            work => mended(work, held)?,
        }])
    }
}

/// What is said of a repair and its proof.
fn mended(step: Step, held: &Held) -> Result<Event, Problem> {
    let known = |part: &str| desk::known_part(&desk::known(held)?.0, part);
    Ok(match step {
        Step::NewPart {
            part,
            check,
            read,
            good,
            grade,
        } => {
            known(&part)?;
            Event::NewPartChecked {
                part,
                check: needed(check, "say how the new part was tried")?,
                read,
                good,
                grade: grade.map(Into::into),
            }
        }
        Step::Repair {
            part,
            kept,
            grade,
            price,
            minutes,
            behind,
            left,
        } => {
            known(&part)?;
            Event::Repaired {
                part,
                how: if kept { Mended::Repaired } else { Mended::Renewed },
                grade: grade.map(Into::into),
                price: not_negative(price, "price")?,
                minutes: not_negative(minutes, "minutes")?,
                behind: match (behind, left) {
                    (Some(what), _) => Behind::Mended(what),
                    (_, Some(what)) => Behind::Left(what),
                    _ => Behind::NotFound,
                },
            }
        }
        Step::Proof { check, read, good } => {
            desk::proof_of(held, &check, desk::said(&read), good, Units::default())?
        }
        Step::Trip {
            monitor_ran,
            fault_seen,
            other_fault_seen,
            similar_conditions,
            start_coolant,
            peak_coolant,
        } => {
            let coolant = |text: Option<String>| text.as_deref().map(desk::coolant).transpose();
            Event::Trip {
                trip: Trip {
                    at: jiff::Timestamp::now(),
                    monitor_ran,
                    fault_seen,
                    other_fault_seen,
                    similar_conditions,
                    start_coolant: coolant(start_coolant)?,
                    peak_coolant: coolant(peak_coolant)?,
                },
            }
        }
        _ => return Err(Problem::bad_input("nothing was said of a repair", None)),
    })
}

fn closing(ending: Ending, reason: String) -> Result<Closing, Problem> {
    let reason = || needed(reason, "say why, or what it was");
    Ok(match ending {
        Ending::Repaired => Closing::Repaired,
        Ending::Unverified => Closing::Unverified(reason()?),
        Ending::NothingWrong => Closing::NothingWrong,
        Ending::NotListed => Closing::NotListed(reason()?),
        Ending::Stopped => Closing::Stopped(reason()?),
    })
}

fn needed(text: String, otherwise: &str) -> Result<String, Problem> {
    if text.trim().is_empty() {
        Err(Problem::bad_input(otherwise, None))
    } else {
        Ok(text)
    }
}

fn not_negative(figure: Option<f64>, name: &str) -> Result<Option<f64>, Problem> {
    match figure {
        Some(figure) if !(figure.is_finite() && figure >= 0.0) => Err(Problem::bad_input(
            format!("`{name}` is a figure of 0 or more"),
            None,
        )),
        figure => Ok(figure),
    }
}
