//! The offer: repairs by cause and grade, what going on costs, what happens if the customer stops; given and answered here.

use super::forms::{self, Typed, form, text};
use crate::layout::layout;
use crate::not_done::NotDone;
use crate::pages::forms::number;
use crate::shop::{Shop, Visitor};
use crate::speech::{figures, lower, plain, said, thousands};
use axum::extract::{Path, Query, State};
use axum::response::{Html, Response};
use axum::{Extension, Form};
use desk::offer::Answered;
use desk::show::Units;
use desk::{Desk, Held, Problem, offer, words};
use job::{Choice, Event, GivenPrice, Grade, Quote, Stage};
use maud::{Markup, html};
use std::sync::Arc;

const PLACE: &str = "/offer";
/// Begins the name of a price's field: `price/valve/budget`.
const PRICE: &str = "price/";

/// `GET /jobs/{number}/offer`; prices in the address are tried without being written.
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Extension(units): Extension<Units>,
    Path(number): Path<String>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Result<Html<String>, NotDone> {
    let typed = Typed::new(asked);
    let page = move |desk: &mut Desk, held: &Held| Ok(page(desk, held, &typed, units));
    forms::show(&shop, &visitor, number, layout, page).await
}

/// `POST /jobs/{number}/offer`
pub(crate) async fn take(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Extension(units): Extension<Units>,
    Path(number): Path<String>,
    Form(pairs): Form<Vec<(String, String)>>,
) -> Result<Response, NotDone> {
    let typed = Typed::new(pairs);
    let to = if typed.get("answer") == "give" { PLACE } else { "" };
    let write = move |desk: &mut Desk, held: &Held, typed: &Typed| events(desk, held, typed, units);
    let again = move |desk: &mut Desk, held: &Held, typed: &Typed| Ok(page(desk, held, typed, units));
    forms::take(&shop, &visitor, number, typed, to, (layout, write, again)).await
}

/// The prices that were typed; fields left empty keep the usual price.
fn prices(typed: &Typed) -> Result<Vec<GivenPrice>, Problem> {
    let mut prices = Vec::new();
    for (name, value) in typed.pairs() {
        let Some((part, grade)) = name.strip_prefix(PRICE).and_then(|rest| rest.rsplit_once('/')) else {
            continue;
        };
        let grade = Grade::ALL.into_iter().find(|own| own.name() == grade);
        let price = number(value, &format!("the price of {part}"))?;
        if let (Some(grade), Some(price)) = (grade, price) {
            prices.push(GivenPrice {
                part: part.to_owned(),
                grade,
                price,
            });
        }
    }
    Ok(prices)
}

/// The offer that waits for an answer, or one made as things stand with the prices that were typed.
fn quote(desk: &mut Desk, held: &Held, typed: &Typed, units: Units) -> Result<Quote, Problem> {
    let anew = !typed.get("anew").is_empty();
    offer::standing(desk, held, &prices(typed)?, anew, units)
}

fn events(desk: &mut Desk, held: &Held, typed: &Typed, units: Units) -> Result<Vec<Event>, Problem> {
    let quote = quote(desk, held, typed, units)?;
    let answered =
        match typed.get("answer") {
            "give" => Answered::Later,
            "go-on" => Answered::GoOn,
            "refuse" => Answered::No,
            answer => {
                let option = answer.strip_prefix("accept ");
                let option = option.and_then(|number| number.parse::<usize>().ok());
                Answered::Option(option.ok_or_else(|| {
                    Problem::bad_input(format!("`{answer}` is no answer to an offer"), None)
                })?)
            }
        };
    offer::answer(
        held,
        &quote,
        typed.get("turn").parse().ok(),
        answered,
        typed.get("words"),
    )
}

fn page(desk: &mut Desk, held: &Held, typed: &Typed, units: Units) -> (String, Markup) {
    let title = said::offer_title(held.number);
    let quote = match quote(desk, held, typed, units) {
        Ok(quote) => quote,
        Err(problem) => {
            let main = html! {
                (forms::back(held))
                p class="problem" role="alert" { (lower(&problem.message).sentence()) @if let Some(hint) = &problem.hint { br; (lower(hint).sentence()) } }
                p class="row" {
                    a class="button" href="/shop" { (said::what_shop_charges()) }
                    a class="button plain" href={ "/jobs/" (held.number) (PLACE) } { (said::offer_without()) }
                }
            };
            return (title, main);
        }
    };
    let given = offer::giving(held, &quote).is_empty();
    let agreed = held.job.accepted.filter(|_| held.job.stage == Stage::Agreed);
    let main = html! {
        (forms::back(held))
        p class="state" {
            span class="stage" { @if agreed.is_some() { (said::is_agreed_offer()) } @else if given { (said::is_given()) } @else { (said::is_draft()) } }
        }
        p { (said::so_far(plain(offer::so_far(&quote)))) }
        @if let Some(over) = offer::above(held, &quote) { p class="caution" { (lower(over)) } }
        (form(held, PLACE, "offer", typed, &html! {
            (forms::choose())
            input type="hidden" name="turn" value=(held.job.next_turn);
            @for price in &quote.prices {
                input type="hidden" name=(field(&price.part, price.grade)) value=(price.price);
            }
            (text("words", &said::customer_words(), typed.kept("offer", "words", "")))
            @for choice in quote.choices() { (repair(&quote, &choice, agreed)) }
            section class="card" {
                h2 { (said::going_on()) }
                p { (lower(offer::going_on(held, &quote))) }
                @if quote.going_on.is_some() { button class="plain" name="answer" value="go-on" { (said::agree_to_go_on()) } }
            }
            section class="card" {
                h2 { (said::if_stops()) }
                p { (lower(&quote.if_stopped)) }
                button class="grave" name="answer" value="refuse" { (said::they_refuse()) }
            }
            @if !given && agreed.is_none() { p { button name="answer" value="give" { (said::give_offer()) } } }
        }))
        @if !quote.options.is_empty() {
            (price_form(held, &quote))
            p class="aside" { (lower(offer::ROUGH)) }
        }
    };
    (title, main)
}

fn field(part: &str, grade: Grade) -> String {
    format!("{PRICE}{part}/{}", grade.name())
}

/// One repair with its grades.
fn repair(quote: &Quote, choice: &Choice, agreed: Option<usize>) -> Markup {
    let options = &quote.options[choice.options.clone()];
    let Some(first) = options.first() else {
        return html! {};
    };
    let amount = |amount: f64| figures(&format!("{amount:.2}"));
    html! {
        section class="card" {
            h2 { (lower(offer::what(first))) }
            p {
                (lower(words::minutes(first.minutes)))
                @if let Some(chance) = first.cause { (said::all_that_is_wrong(words::percent(chance))) }
                "."
            }
            div class="options" {
                @for index in choice.options.clone() {
                    @let option = &quote.options[index];
                    @let grade = option.grade.map_or_else(said::as_it_is, |grade| plain(grade.name()));
                    section {
                        h3 { (index + 1) ". " (grade) @if agreed == Some(index) { " " span class="stage" { (said::is_agreed_offer()) } } }
                        dl class="how" {
                            dt { (said::part()) } dd { (amount(option.parts)) @if option.price_given { (said::real_price()) } @else if option.parts > 0.0 { (said::usual_price()) } }
                            dt { (said::work()) } dd { (amount(option.work)) }
                            dt { (said::tax()) } dd { (amount(option.tax)) }
                            dt { (said::total()) } dd { strong { (figures(&offer::money(quote, option.total))) } }
                            dt { (said::bad_new()) } dd { (figures(&format!("{:.1} %", 100.0 * option.bad_from_new))) }
                            @if let Some(life) = option.life_km { dt { (said::lasts()) } dd { (thousands(&offer::thousands(life))) " km" } }
                            dt { (said::over_life()) } dd { (said::per_100_000(amount(option.expected))) }
                        }
                        @if agreed.is_none() {
                            button name="answer" value={ "accept " (index + 1) } { (said::agree_to(index + 1)) }
                        }
                    }
                }
            }
            p { (lower(offer::cheapest(quote, choice))) }
        }
    }
}

/// Real prices, per part and grade.
fn price_form(held: &Held, quote: &Quote) -> Markup {
    let mut fields: Vec<(&str, Grade)> = Vec::new();
    for option in &quote.options {
        let (Some(part), Some(grade)) = (&option.part, option.grade) else {
            continue;
        };
        for part in part.split(" + ") {
            if !fields.contains(&(part, grade)) {
                fields.push((part, grade));
            }
        }
    }
    let given = |part: &str, grade: Grade| {
        let own = quote
            .prices
            .iter()
            .find(|price| price.part == part && price.grade == grade);
        own.map_or_else(String::new, |price| price.price.to_string())
    };
    html! {
        details open[!quote.prices.is_empty()] {
            summary { (said::real_prices()) }
            form method="get" action={ "/jobs/" (held.number) (PLACE) } {
                input type="hidden" name="anew" value="yes";
                p class="aside" { (said::prices_in(&quote.currency)) }
                @for (part, grade) in &fields {
                    (forms::figure(&field(part, *grade), &format!("{part}, {}", plain(grade.name())), &given(part, *grade)))
                }
                button class="plain" { (said::work_out()) }
            }
        }
    }
}
