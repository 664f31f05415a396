//! The shop's settings, and what this device keeps: who stands here, in which units they read.

use super::forms::{Typed, choice, figure, text, told};
use super::me;
use crate::layout::{Nav, layout};
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use crate::speech::{exact, exact_read, plain, said};
use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{AppendHeaders, Html, IntoResponse, Redirect, Response};
use axum::{Extension, Form};
use desk::show::Units;
use desk::{Charges, Desk, OwnInstrument, Problem, SORTS, ShopFacts, Sort};
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
    Ok(layout(&said::shop(), Nav::Shop, &main.await?))
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
        Some(main) => (
            StatusCode::UNPROCESSABLE_ENTITY,
            layout(&said::shop(), Nav::Shop, &main),
        )
            .into_response(),
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
    desk::set_shop_facts(
        desk,
        field("people"),
        field("altitude"),
        &as_the_desk_reads(field("instruments")),
    )
    .map(|_| ())
}

/// An instrument as a line in the page's language.
fn told_as_line(own: &OwnInstrument) -> String {
    let accuracy = own
        .accuracy
        .as_ref()
        .map(|accuracy| format!(" = {}", exact(accuracy)));
    format!(
        "{}: {}{}",
        plain(own.sort.word()),
        own.name,
        accuracy.unwrap_or_default()
    )
}

/// Instruments one a line, said in the page's language, with the words that the desk reads.
fn as_the_desk_reads(lines: &str) -> String {
    let called = |line: &str| {
        let (sort, rest) = line.split_once(':')?;
        let said = sort.trim().to_lowercase();
        let known = SORTS
            .into_iter()
            .find(|known| plain(known.word()).to_lowercase() == said)?;
        Some(match rest.rsplit_once('=') {
            Some((name, accuracy)) => format!("{}:{name}= {}", known.word(), exact_read(accuracy)),
            None => format!("{}:{rest}", known.word()),
        })
    };
    let lines = lines
        .lines()
        .map(|line| called(line).unwrap_or_else(|| line.to_owned()));
    lines.collect::<Vec<_>>().join("\n")
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
    let nobody = said::nobody();
    let mut people: Vec<(&str, &str)> = vec![("", nobody.as_str())];
    people.extend(facts.people.iter().map(|name| (name.as_str(), name.as_str())));
    if !who.is_empty() && !facts.people.iter().any(|name| name == who) {
        people.push((who, who));
    }
    let systems = [
        (UnitSystem::Trade, said::units_trade()),
        (UnitSystem::Metric, said::units_metric()),
        (UnitSystem::Si, said::units_si()),
    ];
    let systems = systems
        .each_ref()
        .map(|(system, words)| (system.name(), words.as_str()));
    html! {
        section class="card" {
            h2 { (said::this_device()) }
            form method="post" action="/shop/me" {
                (choice("who", &said::who_stands(), &people, who))
                (choice("units", &said::units(), &systems, units.0.name()))
                button { (said::keep_on_device()) }
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
            h2 { (said::what_shop_charges()) }
            form method="post" action="/shop" data-keep="charges" {
                input type="hidden" name="form" value="charges";
                @if typed.is("charges") { (told(typed)) }
                (text("currency", &said::currency(), typed.kept("charges", "currency", currency)))
                (figure("rate", &said::hour_rate(), typed.kept("charges", "rate", &rate)))
                (figure("tax", &said::tax_rate(), typed.kept("charges", "tax", &tax)))
                button { (said::keep()) }
            }
        }
    }
}

fn place(facts: &ShopFacts, typed: &Typed) -> Markup {
    let people = facts.people.join("\n");
    let own: Vec<String> = facts.instruments.iter().map(told_as_line).collect();
    let own = own.join("\n");
    let sorts = SORTS.map(|sort| plain(sort.word())).join(", ");
    let altitude = facts.altitude.as_deref().unwrap_or_default();
    html! {
        section class="card" {
            h2 { (said::people_place()) }
            form method="post" action="/shop" data-keep="facts" {
                input type="hidden" name="form" value="facts";
                @if typed.is("facts") { (told(typed)) }
                label { span { (said::people()) } textarea name="people" rows="4" { (typed.kept("facts", "people", &people)) } }
                (text("altitude", &said::shop_altitude(), typed.kept("facts", "altitude", altitude)))
                label {
                    span { (said::own_instruments()) }
                    textarea name="instruments" rows="4" placeholder=(said::instrument_example()) { (typed.kept("facts", "instruments", &own)) }
                }
                p class="aside" {
                    (said::sorts(sorts)) " " (said::accuracy_stands()) " " code { (exact("class 1.6 of 4 bar")) } " (EN 837-1), "
                    code { (exact("grade B of 60 psi")) } " (ASME B40.100), " code { (exact("0.5 % + 2 digits")) } ", " code { (exact("0.5 mm")) }
                    (said::accuracy_else())
                }
                button { (said::keep()) }
            }
        }
    }
}
