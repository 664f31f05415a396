//! An offer in the trade's words, for every surface alike.

use crate::desk::Held;
use crate::words;
use job::{Choice, Job, Quote, QuoteOption};

/// What the figures rest on.
pub const ROUGH: &str = "How long parts last and how many are bad from new is a rule of thumb from memory, moved by closed jobs where there are any; a bad one is counted with another \
                         fitting and half an hour to find it.";

/// What the work until now comes to.
pub fn so_far(quote: &Quote) -> String {
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

/// What is done, without the grade.
pub fn what(option: &QuoteOption) -> String {
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

/// `150,000`.
pub fn thousands(km: f64) -> String {
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

/// Which grade is cheapest now, and which over its life.
pub fn cheapest(quote: &Quote, choice: &Choice) -> String {
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
pub fn going_on(held: &Held, quote: &Quote) -> String {
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
pub fn above(held: &Held, quote: &Quote) -> Option<String> {
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

/// The last offer in a line, with what the customer said.
pub fn in_a_line(job: &Job, quote: &Quote) -> String {
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

/// An amount in the currency of the offer.
pub fn money(quote: &Quote, amount: f64) -> String {
    format!("{amount:.2} {}", quote.currency)
}
