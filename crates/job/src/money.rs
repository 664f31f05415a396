//! What is offered to the customer.

use serde::{Deserialize, Serialize};
use std::ops::Range;

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

impl Grade {
    /// Every grade, dearest first.
    pub const ALL: [Self; 3] = [Self::Original, Self::Equivalent, Self::Budget];

    /// In one word.
    pub fn name(self) -> &'static str {
        match self {
            Self::Original => "original",
            Self::Equivalent => "equivalent",
            Self::Budget => "budget",
        }
    }
}

/// A price that a person gave, for a part of one grade, before tax.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct GivenPrice {
    /// The part's name in the circuit.
    pub part: String,
    /// Its grade.
    pub grade: Grade,
    /// The price, in the shop's currency.
    pub price: f64,
}

/// One way to go on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct QuoteOption {
    /// In words: "renew the supply hose, original part".
    pub what: String,
    /// The part, if one is renewed; several are joined by ` + `.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part: Option<String>,
    /// Its grade.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<Grade>,
    /// Chance that this is all that is wrong in the circuit, 0 to 1, as far as is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cause: Option<f64>,
    /// Price of the part before tax, in the shop's currency.
    pub parts: f64,
    /// `true` if a person gave all of that price; if not, it is worked out from the circuit's usual one.
    #[serde(default)]
    pub price_given: bool,
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
    /// How long it is expected to last, km.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub life_km: Option<f64>,
    /// Chance that the new part is bad, 0 to 1.
    pub bad_from_new: f64,
}

/// What was offered.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Quote {
    /// The currency's sign or letters.
    pub currency: String,
    /// Price of an hour of work before tax.
    #[serde(default)]
    pub rate_per_hour: f64,
    /// Tax, percent of work and parts.
    #[serde(default)]
    pub tax_percent: f64,
    /// Hands-on minutes until now.
    pub minutes_so_far: f64,
    /// Those of them that nobody noted: the usual minutes of the checks.
    #[serde(default)]
    pub minutes_usual: f64,
    /// Parts fitted until now, before tax.
    #[serde(default)]
    pub parts_so_far: f64,
    /// What the work until now and the parts fitted come to, with tax.
    pub so_far: f64,
    /// Ways to repair, the one we would take first.
    pub options: Vec<QuoteOption>,
    /// Expected cost of going on until a proven repair, with tax; `None` once the cause is proven.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub going_on: Option<f64>,
    /// The part that the plan renews before it measures anything more; `None` where it measures first.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub renew_first: Option<String>,
    /// What is known and what happens if the customer stops here, in words.
    pub if_stopped: String,
    /// Prices that a person gave.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub prices: Vec<GivenPrice>,
}

/// Options that repair the same. Indices are those of [`Quote::options`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// The options.
    pub options: Range<usize>,
    /// The one that costs least now; the first of equals.
    pub cheapest_to_buy: usize,
    /// The one that costs least over its life; the first of equals.
    pub cheapest_over_life: usize,
}

impl Quote {
    /// The options by what they repair: among those of one choice the customer picks a grade.
    pub fn choices(&self) -> Vec<Choice> {
        let mut choices = Vec::new();
        let mut first = 0;
        for same in self.options.chunk_by(|a, b| a.part == b.part) {
            let least = |of: &dyn Fn(&QuoteOption) -> f64| {
                let options = same.iter().enumerate();
                let least = options.min_by(|(_, a), (_, b)| of(a).total_cmp(&of(b)));
                first + least.map_or(0, |(index, _)| index)
            };
            choices.push(Choice {
                options: first..first + same.len(),
                cheapest_to_buy: least(&|option| option.total),
                cheapest_over_life: least(&|option| option.expected),
            });
            first += same.len();
        }
        choices
    }

    /// Every figure with what it is of: all of them are finite and not negative.
    pub(crate) fn figures(&self) -> Vec<(&'static str, f64)> {
        let mut figures = vec![
            ("the rate", self.rate_per_hour),
            ("the tax", self.tax_percent),
            ("minutes", self.minutes_so_far),
            ("minutes", self.minutes_usual),
            ("a price", self.parts_so_far),
            ("the cost so far", self.so_far),
        ];
        figures.extend(self.going_on.map(|cost| ("the cost of going on", cost)));
        figures.extend(self.prices.iter().map(|given| ("a price", given.price)));
        for option in &self.options {
            figures.extend([
                ("a price", option.parts),
                ("minutes", option.minutes),
                ("the cost of work", option.work),
                ("the tax", option.tax),
                ("a total", option.total),
                ("an expected cost", option.expected),
                ("a chance", option.bad_from_new),
            ]);
            figures.extend(option.cause.map(|chance| ("a chance", chance)));
            figures.extend(option.life_km.map(|life| ("a life", life)));
        }
        figures
    }
}
