//! An offer in the trade's words: a table for every repair, what is cheapest now and over its life, going on, stopping.

use super::super::desk::Held;
use super::super::tell::or_dash;
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::page::{Page, Screen};
use crate::words;
use ::job::{Choice, Job, Quote, QuoteOption};
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

fn so_far(quote: &Quote) -> String {
    let minutes = words::minutes(quote.minutes_so_far);
    let usual = if quote.minutes_usual > 0.0 {
        format!(
            " ({} of them not noted: the usual ones of what was done)",
            quantity::round_half_away(quote.minutes_usual, 1)
        )
    } else {
        String::new()
    };
    let parts = if quote.parts_so_far > 0.0 {
        format!(", parts {}", money(quote, quote.parts_so_far))
    } else {
        String::new()
    };
    format!(
        "{minutes}{usual} at {} an hour{parts}; with {} % tax {}",
        money(quote, quote.rate_per_hour),
        quote.tax_percent,
        money(quote, quote.so_far)
    )
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

/// What is done, without the grade.
fn what(option: &QuoteOption) -> String {
    let end = option
        .grade
        .map_or_else(String::new, |grade| format!(", {} part", grade.name()));
    let plural = format!("{end}s");
    let what = option
        .what
        .strip_suffix(&plural)
        .or_else(|| option.what.strip_suffix(&end));
    what.unwrap_or(&option.what).to_owned()
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

/// `150,000`.
fn thousands(km: f64) -> String {
    let digits = format!("{km:.0}");
    let mut text = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

fn cheapest(quote: &Quote, choice: &Choice) -> String {
    let (now, life) = (choice.cheapest_to_buy, choice.cheapest_over_life);
    let named = |index: usize| {
        let option = &quote.options[index];
        match option.grade {
            Some(grade) => format!("option {}, the {} part", index + 1, grade.name()),
            None => format!("option {}", index + 1),
        }
    };
    let (total, expected) = (
        money(quote, quote.options[now].total),
        money(quote, quote.options[life].expected),
    );
    if choice.options.len() < 2 {
        return format!("{total} with tax; in the long run {expected} per 100,000 km.");
    }
    if now == life {
        return format!(
            "Cheapest to buy and over its life: {}, {total} with tax, {expected} per 100,000 km.",
            named(now)
        );
    }
    format!(
        "Cheapest to buy: {}, {total} with tax. Cheapest over its life: {}, {expected} per 100,000 km.",
        named(now),
        named(life)
    )
}

/// What going on costs, and whether it begins with a repair on suspicion.
fn going_on(held: &Held, quote: &Quote) -> String {
    let Some(going_on) = quote.going_on else {
        let by_hand = held
            .job
            .proven
            .as_ref()
            .is_some_and(|proven| proven.by_hand.is_some());
        return if by_hand {
            "The cause was judged by hand, so going on with measuring has no price here."
        } else {
            "The cause is proven: nothing is left to measure before the repair."
        }
        .to_owned();
    };
    let plain = format!(
        "Going on until a proven repair is expected to cost {} more, with tax, the repair included.",
        money(quote, going_on)
    );
    if let Some(part) = &quote.renew_first {
        return format!(
            "{plain} Not proven; but to find out more costs more than it spares: the plan renews {part} and sees whether that was it."
        );
    }
    format!("{plain} Not proven: the plan measures first. Do not buy a part on this yet.")
}

/// The options that go beyond what the customer will spend at most.
fn above(held: &Held, quote: &Quote) -> Option<String> {
    let limit = held.job.intake.limit?;
    let over: Vec<String> = (1..)
        .zip(&quote.options)
        .filter(|(_, option)| quote.so_far + option.total > limit)
        .map(|(number, _)| number.to_string())
        .collect();
    let going_on = quote.going_on.is_some_and(|more| quote.so_far + more > limit);
    let mut what = Vec::new();
    if !over.is_empty() {
        let options = if over.len() == 1 { "option" } else { "options" };
        what.push(format!("{options} {}", words::list(&over)));
    }
    if going_on {
        what.push("going on".to_owned());
    }
    (!what.is_empty()).then(|| {
        format!(
            "With what was spent, above the {} that the customer will spend at most: {}.",
            money(quote, limit),
            words::list(&what)
        )
    })
}

/// What the figures rest on.
fn rough(quote: &Quote, number: i64) -> String {
    let usual = quote
        .options
        .iter()
        .find(|option| !option.price_given && option.parts > 0.0);
    let mut text = "How long parts last and how many are bad from new is a rule of thumb from memory, moved by closed jobs where there are any; a bad one is counted with another \
                    fitting and half an hour to find it."
        .to_owned();
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

/// The last offer in a line, with what the customer said.
pub(crate) fn in_a_line(job: &Job, quote: &Quote) -> String {
    if let Some(option) = job.accepted.and_then(|option| quote.options.get(option)) {
        return format!("{} for {}: agreed", option.what, money(quote, option.total));
    }
    let options = match quote.options.len() {
        0 => "no repair yet".to_owned(),
        1 => "1 way to repair".to_owned(),
        several => format!("{several} ways to repair"),
    };
    let least = quote
        .options
        .iter()
        .map(|option| option.total)
        .min_by(f64::total_cmp);
    let from = least.map_or_else(String::new, |least| format!(" from {}", money(quote, least)));
    let said = match &job.refused {
        _ if job.goes_on => ": we go on measuring",
        Some(reason) if reason.is_empty() => ": declined",
        Some(reason) => return format!("{options}{from}: declined, {reason}"),
        None => "",
    };
    format!("{options}{from}{said}")
}

fn money(quote: &Quote, amount: f64) -> String {
    format!("{amount:.2} {}", quote.currency)
}
