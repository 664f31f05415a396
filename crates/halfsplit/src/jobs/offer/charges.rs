//! What the shop charges and what it has, kept in its store so that every machine asks the same.

use super::super::desk::{self, Desk};
use super::args::Charges;
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::page::{Answer, Page};
use ::desk::{OwnInstrument, ShopFacts};
use serde::Serialize;

/// What was set, and what not yet.
#[derive(Debug, Serialize)]
struct Kept {
    currency: Option<String>,
    rate_per_hour: Option<f64>,
    tax_percent: Option<f64>,
    altitude: Option<String>,
    instruments: Vec<Instrument>,
}

/// One of its own.
#[derive(Debug, Serialize)]
struct Instrument {
    sort: &'static str,
    name: String,
    accuracy: Option<String>,
}

/// Sets what is given, and says what the shop charges and has.
pub(crate) fn run(arguments: &Charges, manner: Manner) -> Result<Answer, Failure> {
    let mut desk = desk::at(arguments.database.as_deref(), "")?;
    let given = ::desk::Charges {
        currency: arguments.currency.clone(),
        rate_per_hour: arguments.rate,
        tax_percent: arguments.tax,
    };
    let facts = facts(&mut desk, arguments)?;
    let facts = ::desk::keep_shop(&mut desk, &given, facts)?;
    let kept = ::desk::charges(&mut desk)?;
    let kept = Kept {
        currency: kept.currency,
        rate_per_hour: kept.rate_per_hour,
        tax_percent: kept.tax_percent,
        altitude: facts.altitude,
        instruments: facts.instruments.into_iter().map(Instrument::from).collect(),
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

/// What the shop is after what was said of it, not kept yet.
fn facts(desk: &mut Desk, arguments: &Charges) -> Result<ShopFacts, Failure> {
    let mut facts = ::desk::shop_facts(desk)?;
    if let Some(altitude) = &arguments.altitude {
        facts.altitude = Some(altitude.clone()).filter(|altitude| altitude != "none");
    }
    for name in &arguments.dropped {
        let before = facts.instruments.len();
        facts.instruments.retain(|own| own.name != *name);
        if facts.instruments.len() == before {
            let near = diag::nearest(name, facts.instruments.iter().map(|own| own.name.as_str()));
            return Err(Failure::bad_input(
                format!("--drop-instrument: the shop has no instrument `{name}`"),
                Some(near.map_or_else(
                    || {
                        let names = facts.instruments.iter().map(|own| own.name.clone());
                        format!("it has {}", crate::words::list(&names.collect::<Vec<_>>()))
                    },
                    |near| format!("did you mean `{near}`?"),
                )),
            ));
        }
    }
    for line in &arguments.instruments {
        facts.instruments.push(OwnInstrument::read(line)?);
    }
    Ok(::desk::checked_facts(facts)?)
}

impl From<OwnInstrument> for Instrument {
    fn from(own: OwnInstrument) -> Self {
        Self {
            sort: own.sort.word(),
            name: own.name,
            accuracy: own.accuracy.map(|accuracy| accuracy.to_string()),
        }
    }
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
    page.heading("What the shop has");
    page.line(&format!(
        "  altitude  {}",
        kept.altitude.clone().unwrap_or_else(not_set)
    ));
    for own in &kept.instruments {
        let accuracy = own
            .accuracy
            .as_deref()
            .unwrap_or("as such instruments usually are");
        page.line(&format!("  {}  {}: {accuracy}", own.sort, own.name));
    }
    if kept.instruments.is_empty() {
        page.paragraph(
            "  ",
            "No instruments of its own: halfsplit shop --instrument \"vacuum gauge: old one = class 1.6\"",
        );
    }
    page.text
}
