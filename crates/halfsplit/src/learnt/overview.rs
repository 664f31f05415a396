//! Which circuits closed jobs have taught something about, and which shops they are from.

use super::counted;
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::page::{Answer, Page};
use jiff::Timestamp;
use life::CircuitSums;
use serde::Serialize;
use std::fmt::Write as _;
use store::Store;

#[derive(Serialize)]
struct Overview {
    jobs: u64,
    own_jobs: u64,
    circuits: Vec<CircuitRow>,
    shops: Vec<ShopRow>,
}

#[derive(Serialize)]
struct CircuitRow {
    circuit: String,
    jobs: u64,
    nothing_wrong: u64,
    not_listed: u64,
    not_found: u64,
    most_often: Option<(String, u64)>,
}

#[derive(Serialize)]
struct ShopRow {
    shop: String,
    made: Timestamp,
    jobs: u64,
}

pub(super) fn show(store: &mut dyn Store, manner: Manner) -> Result<Answer, Failure> {
    let sums = store.learnt(None)?;
    let shops = store.pooled()?;
    let others: u64 = shops.iter().map(|shop| shop.sums.jobs()).sum();
    let overview = Overview {
        jobs: sums.jobs(),
        own_jobs: sums.jobs().saturating_sub(others),
        circuits: sums.circuits.iter().map(|(name, seen)| row(name, seen)).collect(),
        shops: shops
            .iter()
            .map(|shop| ShopRow {
                shop: shop.shop.to_string(),
                made: shop.made,
                jobs: shop.sums.jobs(),
            })
            .collect(),
    };
    let out = if manner.json {
        json(&overview)?
    } else {
        text(&overview, manner)
    };
    Ok(Answer {
        out,
        err: String::new(),
    })
}

fn row(name: &str, seen: &CircuitSums) -> CircuitRow {
    // Of equals the first by name.
    let most = seen.causes.iter().rev().max_by_key(|(_, times)| **times);
    CircuitRow {
        circuit: name.to_owned(),
        jobs: seen.jobs,
        nothing_wrong: seen.nothing_wrong,
        not_listed: seen.not_listed,
        not_found: seen.not_found,
        most_often: most.map(|(cause, times)| (cause.clone(), *times)),
    }
}

fn text(overview: &Overview, manner: Manner) -> String {
    let mut page = Page::new(manner.screen);
    if overview.jobs == 0 {
        page.line("no closed job yet: all odds are the shipped ones");
        return page.text;
    }
    let many = |count: u64| usize::try_from(count).unwrap_or(usize::MAX);
    page.heading(&format!(
        "Learnt from {}",
        counted(many(overview.jobs), "closed job", "closed jobs")
    ));
    for row in &overview.circuits {
        let mut words = counted(many(row.jobs), "job", "jobs");
        if let Some((cause, times)) = &row.most_often {
            let _ = write!(words, "; most often {cause}, {times} times");
        }
        if row.nothing_wrong > 0 {
            let _ = write!(words, "; nothing wrong in {}", row.nothing_wrong);
        }
        page.paragraph(&format!("  {}: ", row.circuit), &words);
    }
    if !overview.shops.is_empty() {
        page.heading(&format!(
            "{} of this shop, the others of",
            counted(many(overview.own_jobs), "job", "jobs")
        ));
    }
    for shop in &overview.shops {
        let day = shop.made.strftime("%Y-%m-%d");
        page.line(&format!(
            "  {}  {}, added up on {day}",
            shop.shop,
            counted(many(shop.jobs), "job", "jobs")
        ));
    }
    page.gap();
    page.line("halfsplit learnt CIRCUIT  shows what they change, and how sure that is");
    page.text
}
