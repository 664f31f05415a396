//! What the shop charges, kept in its store so that every machine and every page asks the same.

use crate::desk::Desk;
use crate::problem::Problem;
use crate::words;
use engine::Terms;

const CURRENCY: &str = "shop.currency";
const RATE: &str = "shop.rate-per-hour";
const TAX: &str = "shop.tax-percent";

/// What was set, and what not yet.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Charges {
    /// The currency's letters or sign.
    pub currency: Option<String>,
    /// Price of an hour of work before tax.
    pub rate_per_hour: Option<f64>,
    /// Tax on work and parts, percent.
    pub tax_percent: Option<f64>,
}

/// Keeps what is given, all of it or nothing.
///
/// # Errors
/// A figure that is none, or the store fails.
pub fn set_charges(desk: &mut Desk, given: &Charges) -> Result<(), Problem> {
    let values = values(given)?;
    let values: Vec<_> = values
        .iter()
        .map(|(key, value)| (*key, Some(value.as_str())))
        .collect();
    Ok(desk.store().set_all(&values)?)
}

/// What is given as the store keeps it.
pub(crate) fn values(given: &Charges) -> Result<Vec<(&'static str, String)>, Problem> {
    let terms = Terms::new(
        given.currency.as_deref().unwrap_or("EUR"),
        given.rate_per_hour.unwrap_or_default(),
        given.tax_percent.unwrap_or_default(),
    );
    let terms = terms.map_err(|error| Problem::bad_input(error, None))?;
    let given = [
        (
            CURRENCY,
            given.currency.as_ref().map(|_| terms.currency().to_owned()),
        ),
        (RATE, given.rate_per_hour.map(|rate| rate.to_string())),
        (TAX, given.tax_percent.map(|tax| tax.to_string())),
    ];
    let given = given.into_iter().filter_map(|(key, value)| Some((key, value?)));
    Ok(given.collect())
}

/// What the shop charges, as far as it was said.
///
/// # Errors
/// The store fails, or holds a figure that is none.
pub fn charges(desk: &mut Desk) -> Result<Charges, Problem> {
    let mut kept = Charges::default();
    for (key, value) in desk.store().settings()? {
        let number = || {
            value.parse::<f64>().map_err(|_| {
                Problem::could_not(
                    format!("the shop's setting `{key}` is `{value}`, which is no number"),
                    Some("set what the shop charges again".to_owned()),
                )
            })
        };
        match key.as_str() {
            CURRENCY => kept.currency = Some(value),
            RATE => kept.rate_per_hour = Some(number()?),
            TAX => kept.tax_percent = Some(number()?),
            _ => {}
        }
    }
    Ok(kept)
}

/// The terms of every offer of this shop.
///
/// Nothing is made up: an offer in a currency or at a rate that the shop does not have is worse than none.
///
/// # Errors
/// Something is not set, or the store fails.
pub fn terms(desk: &mut Desk) -> Result<Terms, Problem> {
    let kept = charges(desk)?;
    let missing: Vec<String> = [
        ("the currency", kept.currency.is_none()),
        ("the rate", kept.rate_per_hour.is_none()),
        ("the tax", kept.tax_percent.is_none()),
    ]
    .into_iter()
    .filter(|(_, missing)| *missing)
    .map(|(what, _)| what.to_owned())
    .collect();
    let (Some(currency), Some(rate), Some(tax)) = (&kept.currency, kept.rate_per_hour, kept.tax_percent)
    else {
        return Err(Problem::not_yet(
            format!(
                "no offer can be made yet: {} of this shop {} not set",
                words::list(&missing),
                if missing.len() == 1 { "is" } else { "are" }
            ),
            Some("set what the shop charges once".to_owned()),
        ));
    };
    Terms::new(currency, rate, tax).map_err(|error| {
        Problem::could_not(
            format!("the shop's settings cannot be used: {error}"),
            Some("set what the shop charges again".to_owned()),
        )
    })
}
