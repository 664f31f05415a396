//! An offer in the trade's words: a table for every repair, what is cheapest now and over its life, going on, stopping.

use super::super::desk::Held;
use super::super::tell::or_dash;
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::page::{Page, Screen};
use crate::words;
use ::desk::offer::{self, above, cheapest, going_on, so_far, thousands, what};
use ::job::{Choice, Quote, QuoteOption};
use serde::Serialize;
use std::fmt::Write as _;

/// The offer as text or JSON; `given`: it waits for the customer's answer.
pub(super) fn answer(held: &Held, quote: &Quote, given: bool, manner: Manner) -> Result<String, Failure> {
    if !manner.json {
        return Ok(text(held, quote, given, manner.screen));
    }
    let choices = quote.choices();
    json(&Whole {
        number: held.number,
        stage: held.job.stage.name(),
        given,
        limit: held.job.intake.limit,
        quote,
        choices: choices
            .iter()
            .map(|choice| Among {
                options: choice.options.clone().map(|index| index + 1).collect(),
                cheapest_to_buy: choice.cheapest_to_buy + 1,
                cheapest_over_life: choice.cheapest_over_life + 1,
            })
            .collect(),
    })
}

#[derive(Serialize)]
struct Whole<'a> {
    number: i64,
    stage: &'a str,
    given: bool,
    limit: Option<f64>,
    #[serde(flatten)]
    quote: &'a Quote,
    choices: Vec<Among>,
}

/// Options by their numbers, from 1, as `--accept` takes them.
#[derive(Serialize)]
struct Among {
    options: Vec<usize>,
    cheapest_to_buy: usize,
    cheapest_over_life: usize,
}

/// The offer as text.
pub(super) fn text(held: &Held, quote: &Quote, given: bool, screen: Screen) -> String {
    let mut page = Page::new(screen);
    let number = held.number;
    page.heading(&format!(
        "{} job {number}: {}",
        if given {
            "Offer for"
        } else {
            "Draft of an offer for"
        },
        or_dash(&held.job.intake.vehicle.words)
    ));
    page.paragraph("  so far  ", &so_far(quote));
    for choice in quote.choices() {
        page.gap();
        repair(quote, &choice, &mut page);
    }
    page.gap();
    page.paragraph("  ", &going_on(held, quote));
    if let Some(over) = above(held, quote) {
        page.paragraph("  ", &over);
    }
    page.gap();
    page.line("  If the customer stops here");
    page.paragraph("    ", &quote.if_stopped);
    page.gap();
    if !quote.options.is_empty() {
        page.paragraph("  ", &rough(quote, number));
    }
    if given {
        let accept = (!quote.options.is_empty()).then_some("--accept K, ");
        let go_on = quote.going_on.and(Some("--go-on, "));
        page.paragraph(
            "  ",
            &format!(
                "Answer: halfsplit job quote {number} {}{}or --refuse REASON",
                accept.unwrap_or_default(),
                go_on.unwrap_or_default()
            ),
        );
    }
    page.text
}

/// One repair with its grades.
fn repair(quote: &Quote, choice: &Choice, page: &mut Page) {
    let options = &quote.options[choice.options.clone()];
    let Some(first) = options.first() else { return };
    page.paragraph(
        "  ",
        &format!("{}; {}", what(first), words::minutes(first.minutes)),
    );
    if let Some(chance) = first.cause {
        page.paragraph(
            "  ",
            &format!(
                "Chance that this is all that is wrong here: {}.",
                words::percent(chance)
            ),
        );
    }
    table(quote, choice, page);
    page.paragraph("  ", &cheapest(quote, choice));
}

const HEAD: [&str; 9] = [
    "",
    "grade",
    "part",
    "work",
    "tax",
    "total",
    "bad new",
    "lasts km",
    "per 100,000 km",
];

fn table(quote: &Quote, choice: &Choice, page: &mut Page) {
    let mut rows = vec![HEAD.map(str::to_owned)];
    rows.extend(
        choice
            .options
            .clone()
            .map(|index| row(index, &quote.options[index])),
    );
    let widths: Vec<usize> = (0..HEAD.len())
        .map(|column| {
            rows.iter()
                .map(|row| row[column].chars().count())
                .max()
                .unwrap_or(0)
        })
        .collect();
    let whole = 4 + widths.iter().sum::<usize>() + 2 * (widths.len() - 1);
    if whole > page.screen.width {
        for row in &rows[1..] {
            let figures: Vec<String> = (2..HEAD.len())
                .map(|column| format!("{} {}", HEAD[column], row[column]))
                .collect();
            page.paragraph(&format!("    {} {}  ", row[0], row[1]), &figures.join(", "));
        }
        return;
    }
    for row in rows {
        let cells = row
            .iter()
            .zip(&widths)
            .enumerate()
            .map(|(column, (cell, width))| {
                // Words to the left, figures to the right.
                if column == 1 {
                    format!("{cell:<width$}")
                } else {
                    format!("{cell:>width$}")
                }
            });
        page.line(&format!("    {}", cells.collect::<Vec<_>>().join("  ")));
    }
}

fn row(index: usize, option: &QuoteOption) -> [String; 9] {
    let figure = |amount: f64| format!("{amount:.2}");
    [
        (index + 1).to_string(),
        option.grade.map_or("as it is", ::job::Grade::name).to_owned(),
        figure(option.parts),
        figure(option.work),
        figure(option.tax),
        figure(option.total),
        format!("{:.1} %", 100.0 * option.bad_from_new),
        option.life_km.map_or_else(|| "-".to_owned(), thousands),
        figure(option.expected),
    ]
}

/// What the figures rest on.
fn rough(quote: &Quote, number: i64) -> String {
    let usual = quote
        .options
        .iter()
        .find(|option| !option.price_given && option.parts > 0.0);
    let mut text = offer::ROUGH.to_owned();
    if let Some(option) = usual {
        let part = option.part.as_deref().unwrap_or_default();
        let part = part.split(" + ").next().unwrap_or_default();
        let _ = write!(
            text,
            " Prices of parts are usual ones: a real one with --price, as in: halfsplit job quote {number} --price {part}=budget:9.90"
        );
    }
    text
}
