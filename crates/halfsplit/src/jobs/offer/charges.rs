//! What the shop charges, kept in its store so that every machine asks the same.

use super::super::desk;
use super::args::Charges;
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::page::{Answer, Page};
use serde::Serialize;

/// What was set, and what not yet.
#[derive(Debug, Serialize)]
struct Kept {
    currency: Option<String>,
    rate_per_hour: Option<f64>,
    tax_percent: Option<f64>,
}

/// Sets what is given, and says what the shop charges.
pub(crate) fn run(arguments: &Charges, manner: Manner) -> Result<Answer, Failure> {
    let mut desk = desk::at(arguments.database.as_deref(), "")?;
    let given = ::desk::Charges {
        currency: arguments.currency.clone(),
        rate_per_hour: arguments.rate,
        tax_percent: arguments.tax,
    };
    ::desk::set_charges(&mut desk, &given)?;
    let kept = ::desk::charges(&mut desk)?;
    let kept = Kept {
        currency: kept.currency,
        rate_per_hour: kept.rate_per_hour,
        tax_percent: kept.tax_percent,
    };
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
