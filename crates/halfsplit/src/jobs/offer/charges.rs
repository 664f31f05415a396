//! What the shop charges, kept in its store so that every machine asks the same.

use super::super::desk::{self, Desk};
use super::args::Charges;
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::page::{Answer, Page};
use engine::Terms;
use serde::Serialize;

const CURRENCY: &str = "shop.currency";
const RATE: &str = "shop.rate-per-hour";
const TAX: &str = "shop.tax-percent";

/// What was set, and what not yet.
#[derive(Debug, Default, Serialize)]
struct Kept {
    currency: Option<String>,
    rate_per_hour: Option<f64>,
    tax_percent: Option<f64>,
}

/// Sets what is given, and says what the shop charges.
pub(crate) fn run(arguments: &Charges, manner: Manner) -> Result<Answer, Failure> {
    let mut desk = desk::at(arguments.database.as_deref(), "")?;
    set(&mut desk, arguments)?;
    let kept = kept(&mut desk)?;
    let out = if manner.json {
        json(&kept)?
    } else {
        text(&kept, manner)
    };
    Ok(Answer {
        out,
        err: String::new(),
    })
}

/// Keeps what is given, all of it or nothing.
fn set(desk: &mut Desk, arguments: &Charges) -> Result<(), Failure> {
    let terms = Terms::new(
        arguments.currency.as_deref().unwrap_or("EUR"),
        arguments.rate.unwrap_or_default(),
        arguments.tax.unwrap_or_default(),
    );
    let terms = terms.map_err(|error| Failure::bad_input(error, None))?;
    let given = [
        (
            CURRENCY,
            arguments.currency.as_ref().map(|_| terms.currency().to_owned()),
        ),
        (RATE, arguments.rate.map(|rate| rate.to_string())),
        (TAX, arguments.tax.map(|tax| tax.to_string())),
    ];
    for (key, value) in given {
        if let Some(value) = value {
            desk.store().set(key, Some(&value))?;
        }
    }
    Ok(())
}

fn kept(desk: &mut Desk) -> Result<Kept, Failure> {
    let mut kept = Kept::default();
    for (key, value) in desk.store().settings()? {
        let number = || {
            value.parse::<f64>().map_err(|_| {
                Failure::could_not(
                    format!("the shop's setting `{key}` is `{value}`, which is no number"),
                    Some("set it again: halfsplit shop --rate 95 --tax 19".to_owned()),
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
pub(crate) fn terms(desk: &mut Desk) -> Result<Terms, Failure> {
    let kept = kept(desk)?;
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
        return Err(Failure::could_not(
            format!(
                "no offer can be made yet: {} of this shop {} not set",
                crate::words::list(&missing),
                if missing.len() == 1 { "is" } else { "are" }
            ),
            Some("set what the shop charges once, for instance: halfsplit shop --currency EUR --rate 95 --tax 19".to_owned()),
        ));
    };
    Terms::new(currency, rate, tax).map_err(|error| {
        Failure::could_not(
            format!("the shop's settings cannot be used: {error}"),
            Some("set them again: halfsplit shop --currency EUR --rate 95 --tax 19".to_owned()),
        )
    })
}

fn text(kept: &Kept, manner: Manner) -> String {
    let not_set = || "not set".to_owned();
    let currency = kept.currency.as_deref().unwrap_or_default();
    let rate = kept
        .rate_per_hour
        .map(|rate| format!("{rate:.2} {currency} an hour, before tax"));
    let mut page = Page::new(manner.screen);
    page.heading("What the shop charges");
    page.line(&format!(
        "  currency  {}",
        kept.currency.clone().unwrap_or_else(not_set)
    ));
    page.line(&format!("  rate      {}", rate.unwrap_or_else(not_set)));
    page.line(&format!(
        "  tax       {}",
        kept.tax_percent.map_or_else(not_set, |tax| format!("{tax} %"))
    ));
    if kept.currency.is_none() || kept.rate_per_hour.is_none() || kept.tax_percent.is_none() {
        page.paragraph(
            "  ",
            "To set it: halfsplit shop --currency EUR --rate 95 --tax 19",
        );
    }
    page.text
}
