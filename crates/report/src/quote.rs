//! The offer, on the customer's page and on the job sheet.

use crate::page::{Page, Words};
use crate::sheet::Sheet;
use job::{Job, Quote, QuoteOption};

/// Said with the figures: nobody measured them.
const ROUGH: &str = "Lives and chances are rules of thumb for the grade and the sort of part, moved by closed jobs where there are any.";

/// The last offer in plain words; nothing if none was made.
pub(crate) fn for_customer(page: &mut Page, sheet: &Sheet) {
    let job = sheet.job;
    let Some(quote) = job.quotes.last() else { return };
    page.heading("What it costs");
    page.text(so_far(quote));
    let options = quote.options.iter().enumerate();
    page.list(
        "",
        options.map(|(index, option)| {
            let agreed = if job.accepted == Some(index) {
                " (you agreed to this)"
            } else {
                ""
            };
            let total = money(quote, option.total);
            Words::strong(format!("Option {}: {total} with tax", index + 1))
                .plain(agreed)
                .plain(format!(": {}. ", option.what))
                .plain(in_the_long_run(quote, option))
        }),
    );
    choice(page, quote);
    if let Some(more) = quote.going_on {
        page.text(format!(
            "Going on until a proven repair is expected to cost about {} more, with tax, the repair included.",
            money(quote, more)
        ));
    }
    // After a repair it would tell of a vehicle that is no longer so.
    if job.repairs.is_empty() {
        page.text(format!("If you stop here: {}", quote.if_stopped));
    }
    if let Some(answer) = answer(job, "You") {
        page.text(answer);
    }
}

/// The last offer with all its figures; nothing if none was made.
pub(crate) fn for_shop(page: &mut Page, sheet: &Sheet) {
    let job = sheet.job;
    let Some(quote) = job.quotes.last() else { return };
    let head = vec![
        "Offer",
        "Part",
        "Work",
        "Tax",
        "Total",
        "Bad from new",
        "Life",
        "Per 100,000 km",
    ];
    let rows = quote.options.iter().enumerate();
    let rows = rows.map(|(index, option)| row(quote, index, option, job.accepted == Some(index)));
    page.heading("Offer");
    page.text(so_far(quote));
    page.table("Ways to repair", head, rows.collect());
    choice(page, quote);
    if let Some(more) = quote.going_on {
        page.text(format!(
            "Going on until a proven repair, with tax: about {}.",
            money(quote, more)
        ));
    }
    let stopping = if job.repairs.is_empty() {
        "If the customer stops"
    } else {
        "If the customer had stopped then"
    };
    page.text(format!("{stopping}: {}", quote.if_stopped));
    if let Some(answer) = answer(job, "The customer") {
        page.text(answer);
    }
}

fn row(quote: &Quote, index: usize, option: &QuoteOption, agreed: bool) -> Vec<Words> {
    let number = if agreed {
        Words::strong("agreed: ")
    } else {
        Words::default()
    };
    let usual = if option.price_given || option.parts <= 0.0 {
        ""
    } else {
        " (usual price)"
    };
    vec![
        number.and_own(format!("{}. ", index + 1)).plain(&option.what),
        format!("{}{usual}", figure(option.parts)).into(),
        format!("{}, {:.0} minutes", figure(option.work), option.minutes).into(),
        figure(option.tax).into(),
        money(quote, option.total).into(),
        format!("{:.1} %", 100.0 * option.bad_from_new).into(),
        option.life_km.map(distance).unwrap_or_default().into(),
        figure(option.expected).into(),
    ]
}

/// What was spent until the offer: `12 minutes of work at 95.00 EUR an hour; with 19 % tax 22.61 EUR`.
fn so_far(quote: &Quote) -> String {
    let parts = if quote.parts_so_far > 0.0 {
        format!(" and parts for {}", money(quote, quote.parts_so_far))
    } else {
        String::new()
    };
    let usual = if quote.minutes_usual > 0.0 {
        format!(
            " Of the minutes {:.0} were not noted: they are the usual ones of the checks made.",
            quote.minutes_usual
        )
    } else {
        String::new()
    };
    format!(
        "Until the offer: {:.0} minutes of work at {} an hour{parts}; with {} % tax {}.{usual}",
        quote.minutes_so_far,
        money(quote, quote.rate_per_hour),
        quote.tax_percent,
        money(quote, quote.so_far)
    )
}

/// How long it lasts, how many are bad, what that comes to.
fn in_the_long_run(quote: &Quote, option: &QuoteOption) -> String {
    let life = option.life_km.map_or_else(String::new, |life| {
        format!("Expected to last about {}. ", distance(life))
    });
    // A repair without a new part has none that can be bad.
    let bad = if option.grade.is_some() {
        format!(
            "Of 1,000 such new parts about {:.0} are bad. ",
            1000.0 * option.bad_from_new
        )
    } else {
        String::new()
    };
    format!(
        "{life}{bad}All in all about {} per 100,000 km.",
        money(quote, option.expected)
    )
}

/// Which option costs least now and which over its life, where there is a choice, and how sure the figures are.
fn choice(page: &mut Page, quote: &Quote) {
    for choice in quote.choices().iter().filter(|choice| choice.options.len() > 1) {
        let (now, life) = (choice.cheapest_to_buy + 1, choice.cheapest_over_life + 1);
        let (first, last) = (choice.options.start + 1, choice.options.end);
        page.text(if now == life {
            format!("Of options {first} to {last}, option {now} costs least now and least over its life.")
        } else {
            format!("Of options {first} to {last}, option {now} costs least now; option {life} costs least over its life.")
        });
    }
    if !quote.options.is_empty() {
        page.text(ROUGH);
    }
}

/// What the customer said to it; `None` while nothing was said.
fn answer(job: &Job, who: &str) -> Option<String> {
    if let Some(option) = job.accepted {
        return Some(format!("{who} agreed to option {}.", option + 1));
    }
    if job.goes_on {
        return Some(format!("{who} agreed to go on measuring first."));
    }
    job.refused.as_ref().map(|reason| match reason.as_str() {
        "" => format!("{who} declined the offer."),
        reason => format!("{who} declined the offer: {reason}."),
    })
}

fn money(quote: &Quote, amount: f64) -> String {
    format!("{} {}", figure(amount), quote.currency)
}

fn figure(amount: f64) -> String {
    format!("{amount:.2}")
}

/// `150,000 km`, to the nearest thousand.
fn distance(km: f64) -> String {
    let digits = format!("{:.0}", (km / 1000.0).round() * 1000.0);
    let mut text = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    format!("{text} km")
}
