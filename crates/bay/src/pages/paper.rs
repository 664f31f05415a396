//! Paper for a job: the shop's sheet and the customer's page, to read here, to print, or as PDF.

use crate::layout::{Nav, layout, layout_of};
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use crate::speech::{drawn, english, manner, plain, said};
use axum::Extension;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{Html, IntoResponse, Response};
use desk::show::Units;
use desk::{Desk, Drawn, Held, Problem, Reader};
use maud::{Markup, PreEscaped, html};
use std::sync::Arc;

/// The test card: the plan from here on, on one sheet.
const CARD: &str = "card.pdf";

/// A kind of sheet.
pub(crate) struct SheetKind {
    /// Its name in the address of its PDF.
    pub(crate) name: &'static str,
    heading: fn() -> String,
    /// What stands on it.
    pub(crate) what: fn() -> String,
    /// Where it is as a page, below the job.
    page: &'static str,
}

/// The sheets of a job.
pub(crate) const SHEETS: [SheetKind; 3] = [
    SheetKind {
        name: "job",
        heading: said::job_sheet,
        what: said::job_sheet_holds,
        page: "/paper/job",
    },
    SheetKind {
        name: "card",
        heading: said::test_card,
        what: said::test_card_holds,
        page: "/plan",
    },
    SheetKind {
        name: "customer",
        heading: said::customer_page,
        what: said::customer_page_holds,
        page: "/paper/customer",
    },
];

impl SheetKind {
    /// Where it is as a page, and as PDF.
    pub(crate) fn addresses(&self, held: &Held) -> [String; 2] {
        let job = format!("/jobs/{}", held.number);
        [
            format!("{job}{}", self.page),
            format!("{job}/paper/{}.pdf", self.name),
        ]
    }
}

/// What an address asks for.
#[derive(Debug, Clone, Copy)]
struct Asked {
    reader: Reader,
    pdf: bool,
}

/// `job`, `customer`, and either with `.pdf`.
fn asked(sheet: &str) -> Option<Asked> {
    let (name, pdf) = match sheet.strip_suffix(".pdf") {
        Some(name) => (name, true),
        None => (sheet, false),
    };
    let reader = match name {
        "job" => Reader::Shop,
        "customer" => Reader::Customer,
        _ => return None,
    };
    Some(Asked { reader, pdf })
}

/// `GET /jobs/{number}/paper`: what there is.
pub(crate) async fn list(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Path(number): Path<String>,
) -> Result<Html<String>, NotDone> {
    let held = shop.with(&visitor, move |desk| desk.job(&number)).await?;
    let main = html! {
        (super::forms::back(&held))
        @for sheet in &SHEETS { (sheet_links(&held, sheet)) }
        @if english().is_some() { p class="aside" { (said::card_is_english()) } }
    };
    Ok(layout(&said::paper_title(held.number), Nav::Jobs, &main))
}

fn sheet_links(held: &Held, sheet: &SheetKind) -> Markup {
    let [page, pdf] = sheet.addresses(held);
    html! {
        section class="card" {
            h2 { ((sheet.heading)()) }
            p { ((sheet.what)()) }
            p class="row" {
                a class="button" href=(page) { (said::read_or_print()) }
                a class="button plain" href=(pdf) { "PDF" }
            }
        }
    }
}

/// `GET /jobs/{number}/paper/{sheet}`
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Extension(units): Extension<Units>,
    Path((number, sheet)): Path<(String, String)>,
) -> Result<Response, NotDone> {
    if sheet == CARD {
        let bytes = shop
            .with(&visitor, move |desk| card(desk, &number, units))
            .await?;
        return Ok(bytes);
    }
    let asked = asked(&sheet).ok_or_else(NotDone::nothing_here)?;
    let written = shop.with(&visitor, move |desk| {
        let (held, page) = page(desk, &number, asked, units)?;
        if asked.pdf {
            return Ok::<_, NotDone>((held, Err(pdf(&page)?)));
        }
        Ok((held, Ok(page)))
    });
    let (held, written) = written.await?;
    Ok(match written {
        Ok(page) => {
            let main = html! {
                (super::forms::back(&held))
                @if let Some(mark) = page.invented() { p { strong { (mark) } } }
                div class="sheet" { (PreEscaped(page.inside())) }
            };
            layout_of(page.title(), Nav::Jobs, &main).into_response()
        }
        Err(bytes) => attached(&held, &sheet, bytes),
    })
}

/// A PDF to keep.
fn attached(held: &Held, sheet: &str, bytes: Vec<u8>) -> Response {
    let name = format!("attachment; filename=\"job-{}-{}\"", held.number, sheet);
    let kind = [
        (header::CONTENT_TYPE, "application/pdf".to_owned()),
        (header::CONTENT_DISPOSITION, name),
    ];
    (kind, bytes).into_response()
}

fn page(desk: &mut Desk, number: &str, asked: Asked, units: Units) -> Result<(Held, report::Page), Problem> {
    let held = desk.job(number)?;
    let thought = desk.thought(&held, units)?;
    let drawing = if asked.pdf { Drawn::Printed } else { Drawn::Outside };
    let page = desk::sheet(&held, thought.case(), asked.reader, drawing);
    if english().is_none() {
        return Ok((held, page));
    }
    let page = page.spoken(manner().language.tag(), &|text| plain(text), &drawn);
    Ok((held, page))
}

#[cfg(feature = "pdf")]
fn pdf(page: &report::Page) -> Result<Vec<u8>, NotDone> {
    page.pdf().map_err(|error| Problem::could_not(error, None).into())
}

#[cfg(feature = "pdf")]
fn card(desk: &mut Desk, number: &str, units: Units) -> Result<Response, NotDone> {
    let held = desk.job(number)?;
    let thought = desk.thought(&held, units)?;
    let course = super::plan::planned(thought.case());
    let card = desk::test_card(&held, thought.case(), &course, &desk.who);
    let bytes = card.pdf().map_err(|error| Problem::could_not(error, None))?;
    Ok(attached(&held, CARD, bytes))
}

#[cfg(not(feature = "pdf"))]
fn pdf(_: &report::Page) -> Result<Vec<u8>, NotDone> {
    Err(no_pdf())
}

#[cfg(not(feature = "pdf"))]
fn card(_: &mut Desk, _: &str, _: Units) -> Result<Response, NotDone> {
    Err(no_pdf())
}

#[cfg(not(feature = "pdf"))]
fn no_pdf() -> NotDone {
    NotDone::bad_input("this build of the program writes no PDF").hint("print the page from the browser")
}
