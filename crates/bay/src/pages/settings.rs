//! The shop's settings, and what this device keeps: who stands here, in which units they read.

use super::forms::{Typed, choice, figure, text, told};
use super::me;
use crate::layout::{Nav, layout};
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{AppendHeaders, Html, IntoResponse, Redirect, Response};
use axum::{Extension, Form};
use desk::show::Units;
use desk::{Charges, Desk, Problem, SORTS, ShopFacts, Sort};
use maud::{Markup, html};
use quantity::UnitSystem;
use std::sync::Arc;

/// `GET /shop`
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Extension(units): Extension<Units>,
) -> Result<Html<String>, NotDone> {
    let who = visitor.who.clone();
    let main = shop.with(&visitor, move |desk| page(desk, &who, units, &Typed::default()));
    Ok(layout("Shop", Nav::Shop, &main.await?))
}

/// `POST /shop`
pub(crate) async fn take(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Extension(units): Extension<Units>,
    Form(pairs): Form<Vec<(String, String)>>,
) -> Result<Response, NotDone> {
    let mut typed = Typed::new(pairs);
    let who = visitor.who.clone();
    let kept = shop.with(&visitor, move |desk| match keep(desk, &typed) {
        Ok(()) => Ok(None),
        Err(problem) if problem.sort == Sort::BadInput => {
            typed.problem = Some(problem);
            page(desk, &who, units, &typed).map(Some)
        }
        Err(problem) => Err(problem),
    });
    Ok(match kept.await? {
        None => Redirect::to("/shop").into_response(),
        Some(main) => (StatusCode::UNPROCESSABLE_ENTITY, layout("Shop", Nav::Shop, &main)).into_response(),
    })
}

/// `POST /shop/me`: kept on the device.
pub(crate) async fn me(Form(pairs): Form<Vec<(String, String)>>) -> Response {
    let typed = Typed::new(pairs);
    let units = typed.get("units").parse::<UnitSystem>().unwrap_or_default();
    let [who, units] = me::keep(typed.get("who"), units);
    let cookies = AppendHeaders([(header::SET_COOKIE, who), (header::SET_COOKIE, units)]);
    (cookies, Redirect::to("/shop")).into_response()
}

fn keep(desk: &mut Desk, typed: &Typed) -> Result<(), Problem> {
    if typed.is("charges") {
        let currency = Some(typed.get("currency")).filter(|text| !text.is_empty());
        return desk::set_charges(
            desk,
            &Charges {
                currency: currency.map(str::to_owned),
                rate_per_hour: typed.figure("rate", "the price of an hour")?,
                tax_percent: typed.figure("tax", "the tax")?,
            },
        );
    }
    let field = |name| typed.get(name);
    desk::set_shop_facts(desk, field("people"), field("altitude"), field("instruments")).map(|_| ())
}

fn page(desk: &mut Desk, who: &str, units: Units, typed: &Typed) -> Result<Markup, Problem> {
    let facts = desk::shop_facts(desk)?;
    let charges = desk::charges(desk)?;
    Ok(html! {
        (device(&facts, who, units))
        (money(&charges, typed))
        (place(&facts, typed))
    })
}

fn device(facts: &ShopFacts, who: &str, units: Units) -> Markup {
    let mut people: Vec<(&str, &str)> = vec![("", "nobody in particular")];
    people.extend(facts.people.iter().map(|name| (name.as_str(), name.as_str())));
    if !who.is_empty() && !facts.people.iter().any(|name| name == who) {
        people.push((who, who));
    }
    let systems = [
        (UnitSystem::Trade, "vacuum in inHg, else metric"),
        (UnitSystem::Metric, "metric, pressures in kPa"),
        (UnitSystem::Si, "SI units without prefixes"),
    ];
    let systems = systems.map(|(system, words)| (system.name(), words));
    html! {
        section class="card" {
            h2 { "This device" }
            form method="post" action="/shop/me" {
                (choice("who", "Who stands here", &people, who))
                (choice("units", "Units", &systems, units.0.name()))
                button { "Keep on this device" }
            }
        }
    }
}

fn money(charges: &Charges, typed: &Typed) -> Markup {
    let figure_of = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    let (rate, tax) = (figure_of(charges.rate_per_hour), figure_of(charges.tax_percent));
    let currency = charges.currency.as_deref().unwrap_or_default();
    html! {
        section class="card" {
            h2 { "What the shop charges" }
            form method="post" action="/shop" data-keep="charges" {
                input type="hidden" name="form" value="charges";
                @if typed.is("charges") { (told(typed)) }
                (text("currency", "Currency, its letters or sign", typed.kept("charges", "currency", currency)))
                (figure("rate", "An hour of work before tax", typed.kept("charges", "rate", &rate)))
                (figure("tax", "Tax on work and parts, %", typed.kept("charges", "tax", &tax)))
                button { "Keep" }
            }
        }
    }
}

fn place(facts: &ShopFacts, typed: &Typed) -> Markup {
    let people = facts.people.join("\n");
    let own: Vec<String> = facts.instruments.iter().map(ToString::to_string).collect();
    let own = own.join("\n");
    let sorts = SORTS.map(circuit::Instrument::word).join(", ");
    let altitude = facts.altitude.as_deref().unwrap_or_default();
    html! {
        section class="card" {
            h2 { "People, place, instruments" }
            form method="post" action="/shop" data-keep="facts" {
                input type="hidden" name="form" value="facts";
                @if typed.is("facts") { (told(typed)) }
                label { span { "People, one name a line" } textarea name="people" rows="4" { (typed.kept("facts", "people", &people)) } }
                (text("altitude", "Altitude of the shop, m", typed.kept("facts", "altitude", altitude)))
                label {
                    span { "Own instruments, one a line: sort, colon, name, and behind = how right it is" }
                    textarea name="instruments" rows="4" placeholder="vacuum gauge: the old one = class 1.6" { (typed.kept("facts", "instruments", &own)) }
                }
                p class="aside" {
                    "Sorts: " (sorts) ". How right it is stands on the dial or in the manual: " code { "class 1.6 of 4 bar" } " (EN 837-1), "
                    code { "grade B of 60 psi" } " (ASME B40.100), " code { "0.5 % + 2 digits" } ", " code { "0.5 mm" }
                    "; without it, as such instruments usually are. Its name makes its error its own, so that two gauges can disagree."
                }
                button { "Keep" }
            }
        }
    }
}
