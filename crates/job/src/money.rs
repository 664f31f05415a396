//! What is offered to the customer.

use serde::{Deserialize, Serialize};

/// How good a part is bought.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Grade {
    /// From the vehicle's maker or its supplier.
    Original,
    /// Another maker's, to the same specification.
    Equivalent,
    /// The cheapest that fits.
    Budget,
}

/// One way to go on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct QuoteOption {
    /// In words: "renew the supply hose, original part".
    pub what: String,
    /// The part, if one is renewed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part: Option<String>,
    /// Its grade.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<Grade>,
    /// Price of the part before tax, in the shop's currency.
    pub parts: f64,
    /// Hands-on minutes.
    pub minutes: f64,
    /// Work before tax.
    pub work: f64,
    /// Tax on both.
    pub tax: f64,
    /// What the customer pays for it.
    pub total: f64,
    /// What it costs over the years, with the chance that the part is bad from new and with how long it lasts: per 100,000 km.
    pub expected: f64,
    /// Chance that the new part is bad, 0 to 1.
    pub bad_from_new: f64,
}

/// What was offered.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Quote {
    /// The currency's sign or letters.
    pub currency: String,
    /// Hands-on minutes until now.
    pub minutes_so_far: f64,
    /// What the work until now comes to, with tax.
    pub so_far: f64,
    /// Ways to repair, the one we would take first.
    pub options: Vec<QuoteOption>,
    /// Expected cost of going on until a proven repair, with tax; `None` once the cause is proven.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub going_on: Option<f64>,
    /// What is known and what happens if the customer stops here, in words.
    pub if_stopped: String,
}
