//! What is written down when a vehicle comes in.

use crate::money::Grade;
use serde::{Deserialize, Serialize};

/// The vehicle, in the words of whoever takes it in.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Vehicle {
    /// "white delivery van, the one with the ladder"; enough for the shop to know it again.
    pub words: String,
    /// Distance driven, km.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub odometer_km: Option<f64>,
    /// Hours the engine ran.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub engine_hours: Option<f64>,
}

/// The circuit a job works on. The job keeps the description it began with.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Described {
    /// Its name, or the file it came from.
    pub name: String,
    /// The whole description as it was then.
    pub text: String,
}

/// One value that the module froze when it set the code.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Frozen {
    /// What: "coolant", "engine speed".
    pub what: String,
    /// As read, with its unit.
    pub value: String,
}

/// A part that was renewed before this job.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Replaced {
    /// The part's name in the circuit.
    pub part: String,
    /// Distance driven since, km.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub km_ago: Option<f64>,
    /// Days since.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days_ago: Option<f64>,
    /// What was fitted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<Grade>,
}

/// All that is asked at the door.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Intake {
    /// The vehicle.
    pub vehicle: Vehicle,
    /// The customer's words.
    pub complaint: String,
    /// The circuit to work on.
    pub circuit: Described,
    /// Height above sea level with its unit, as said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub altitude: Option<String>,
    /// Barometer with its unit, as read; better than the altitude.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub barometer: Option<String>,
    /// Temperature of the air with its unit, as said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub temperature: Option<String>,
    /// What the module froze.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub freeze_frame: Vec<Frozen>,
    /// What was renewed before, and when.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub replaced: Vec<Replaced>,
    /// Parts that lie in oil: rubber there fails oftener.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub oil_soaked: Vec<String>,
    /// What the customer will spend at most, in the shop's currency.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limit: Option<f64>,
    /// `true` for a vehicle that does not exist: to show and to learn.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub invented: bool,
}
