//! What a shop charges, checked once so that no offer holds a figure that is none.

use job::{GivenPrice, Grade};

/// Dearest hour that is believed, in any currency.
const MOST_RATE: f64 = 10_000_000.0;
/// Dearest part that is believed, in any currency.
const MOST_PRICE: f64 = 1_000_000_000.0;
/// Letters or a sign, no sentence.
const LONGEST_CURRENCY: usize = 8;

/// Why terms cannot be used.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TermsError {
    /// No currency.
    #[error("`{0}` is no currency: letters or a sign are wanted, at most 8, such as EUR or kr")]
    Currency(String),
    /// No rate.
    #[error("an hour of work cannot cost {0}: a number from 0 to 10,000,000 is wanted, such as 95 or 87.50")]
    Rate(f64),
    /// No tax.
    #[error("the tax cannot be {0} %: a number from 0 to 100 is wanted, such as 19 or 8.25")]
    Tax(f64),
    /// No price.
    #[error("{part} cannot cost {price}: a number from 0 to 1,000,000,000 is wanted, such as 22.50")]
    Price {
        /// The part.
        part: String,
        /// The price.
        price: f64,
    },
}

/// What a shop charges: every figure finite and not negative.
#[derive(Debug, Clone, PartialEq)]
pub struct Terms {
    currency: String,
    rate_per_hour: f64,
    tax_percent: f64,
    prices: Vec<GivenPrice>,
}

impl Terms {
    /// Terms without prices of parts.
    ///
    /// # Errors
    /// The first figure that is none.
    pub fn new(currency: &str, rate_per_hour: f64, tax_percent: f64) -> Result<Self, TermsError> {
        let currency = currency.trim();
        let fits = (1..=LONGEST_CURRENCY).contains(&currency.chars().count())
            && !currency.contains(|c: char| c.is_control() || c.is_whitespace() || c.is_ascii_digit());
        if !fits {
            return Err(TermsError::Currency(currency.to_owned()));
        }
        if !(0.0..=MOST_RATE).contains(&rate_per_hour) {
            return Err(TermsError::Rate(rate_per_hour));
        }
        if !(0.0..=100.0).contains(&tax_percent) {
            return Err(TermsError::Tax(tax_percent));
        }
        Ok(Self {
            currency: currency.to_owned(),
            rate_per_hour,
            tax_percent,
            prices: Vec::new(),
        })
    }

    /// The same with a price of a part; it takes the place of an earlier one.
    ///
    /// # Errors
    /// [`TermsError::Price`].
    pub fn with_price(mut self, given: GivenPrice) -> Result<Self, TermsError> {
        if !(0.0..=MOST_PRICE).contains(&given.price) {
            return Err(TermsError::Price {
                part: given.part,
                price: given.price,
            });
        }
        self.prices
            .retain(|known| known.part != given.part || known.grade != given.grade);
        self.prices.push(given);
        Ok(self)
    }

    /// The currency's sign or letters.
    pub fn currency(&self) -> &str {
        &self.currency
    }

    /// Price of an hour of work before tax.
    pub fn rate_per_hour(&self) -> f64 {
        self.rate_per_hour
    }

    /// Tax, percent.
    pub fn tax_percent(&self) -> f64 {
        self.tax_percent
    }

    /// Prices that a person gave.
    pub fn prices(&self) -> &[GivenPrice] {
        &self.prices
    }

    /// The price that a person gave for a part of this grade.
    pub(super) fn given(&self, part: &str, grade: Grade) -> Option<f64> {
        let mut prices = self.prices.iter();
        prices
            .find(|given| given.part == part && given.grade == grade)
            .map(|given| given.price)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]

    use super::*;

    fn refused(currency: &str, rate: f64, tax: f64, told: &str) {
        let error = Terms::new(currency, rate, tax).unwrap_err().to_string();
        assert!(error.contains(told), "{error}");
    }

    #[test]
    fn figures_that_are_none_are_refused_by_name() {
        refused("", 95.0, 19.0, "no currency");
        refused("euros and cents", 95.0, 19.0, "no currency");
        refused("E R", 95.0, 19.0, "no currency");
        refused("12", 95.0, 19.0, "no currency");
        refused("EUR", f64::NAN, 19.0, "an hour of work");
        refused("EUR", -1.0, 19.0, "an hour of work");
        refused("EUR", f64::INFINITY, 19.0, "an hour of work");
        refused("EUR", 95.0, 119.0, "the tax");
        refused("EUR", 95.0, -0.1, "the tax");
        assert_eq!(Terms::new(" € ", 0.0, 0.0).unwrap().currency(), "€");
    }

    #[test]
    fn the_last_price_given_counts() {
        let price = |price| GivenPrice {
            part: "valve".to_owned(),
            grade: Grade::Budget,
            price,
        };
        let terms = Terms::new("EUR", 95.0, 19.0).unwrap();
        let terms = terms
            .with_price(price(30.0))
            .unwrap()
            .with_price(price(20.0))
            .unwrap();
        assert_eq!(terms.prices().len(), 1);
        assert_eq!(terms.given("valve", Grade::Budget), Some(20.0));
        assert_eq!(terms.given("valve", Grade::Original), None);
        assert!(terms.with_price(price(f64::NAN)).is_err());
    }
}
