//! What the pages of a job's stages share: one thing said by a form is written once, or shown again with what was typed.

use crate::layout::Nav;
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use crate::speech::{lower, plain, said};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Redirect, Response};
use desk::{Desk, Held, Problem, Sort};
use job::{EntryId, Event, Grade};
use maud::{Markup, html};
use std::sync::Arc;
use uuid::Uuid;

/// What a form sent, by the names of its fields; and why it was not taken.
#[derive(Debug, Clone, Default)]
pub(crate) struct Typed {
    pairs: Vec<(String, String)>,
    /// Why it was not taken.
    pub(crate) problem: Option<Problem>,
}

impl Typed {
    /// What was sent.
    pub(crate) fn new(pairs: Vec<(String, String)>) -> Self {
        Self { pairs, problem: None }
    }

    /// Everything, in order.
    pub(crate) fn pairs(&self) -> impl Iterator<Item = (&str, &str)> {
        self.pairs
            .iter()
            .map(|(name, value)| (name.as_str(), value.as_str()))
    }

    /// A field without the space around it; empty if it was not sent.
    pub(crate) fn get(&self, name: &str) -> &str {
        self.pairs()
            .find(|(own, _)| *own == name)
            .map_or("", |(_, value)| value.trim())
    }

    /// Whether a box was ticked.
    pub(crate) fn ticked(&self, name: &str) -> bool {
        self.get(name) == "true"
    }

    /// Whether it was this form.
    pub(crate) fn is(&self, form: &str) -> bool {
        self.get("form") == form
    }

    /// What stands in a field of `form`: what was typed there before, or else `otherwise`.
    pub(crate) fn kept<'a>(&'a self, form: &str, name: &str, otherwise: &'a str) -> &'a str {
        if self.is(form) { self.get(name) } else { otherwise }
    }

    /// A text that has to be there.
    pub(crate) fn needed(&self, name: &str, otherwise: &str) -> Result<String, Problem> {
        match self.get(name) {
            "" => Err(Problem::bad_input(otherwise, None)),
            text => Ok(text.to_owned()),
        }
    }

    /// A figure that may be left out.
    pub(crate) fn figure(&self, name: &str, what: &str) -> Result<Option<f64>, Problem> {
        number(self.get(name), what)
    }

    /// A grade that may be left out.
    pub(crate) fn grade(&self) -> Option<Grade> {
        Grade::ALL
            .into_iter()
            .find(|grade| grade.name() == self.get("grade"))
    }

    /// The name of the next entry of `form`: the one that was not taken, or a new one.
    pub(crate) fn entry_of(&self, form: &str) -> Uuid {
        let again = self.entry().filter(|_| self.is(form));
        again.map_or_else(Uuid::now_v7, |entry| entry.0)
    }

    fn entry(&self) -> Option<EntryId> {
        self.get("entry").parse::<Uuid>().ok().map(EntryId)
    }
}

/// A figure that may be left out; a comma is a decimal comma.
pub(crate) fn number(text: &str, what: &str) -> Result<Option<f64>, Problem> {
    let text = text.trim().replace(',', ".").replace(' ', "");
    if text.is_empty() {
        return Ok(None);
    }
    match text.parse::<f64>() {
        Ok(figure) if figure.is_finite() && figure >= 0.0 => Ok(Some(figure)),
        _ => Err(Problem::bad_input(
            format!("`{text}` cannot be {what}"),
            Some("a figure of 0 or more, without a unit".to_owned()),
        )),
    }
}

/// What a page is put in: title, place in the shop, content.
pub(crate) type Frame = fn(&str, Nav, &Markup) -> Html<String>;

/// A page of a job: its title and content in a frame.
pub(crate) async fn show<P>(
    shop: &Arc<Shop>,
    visitor: &Visitor,
    number: String,
    frame: Frame,
    page: P,
) -> Result<Html<String>, NotDone>
where
    P: FnOnce(&mut Desk, &Held) -> Result<(String, Markup), Problem> + Send + 'static,
{
    let page = shop.with(visitor, move |desk| {
        let held = desk.job(&number)?;
        page(desk, &held)
    });
    let (title, main) = page.await?;
    Ok(frame(&title, Nav::Jobs, &main))
}

/// Writes what was said and leads to `to` below the job, or shows the page again with the problem and what was typed.
pub(crate) async fn take<W, P>(
    shop: &Arc<Shop>,
    visitor: &Visitor,
    number: String,
    mut typed: Typed,
    to: &'static str,
    (frame, events, page): (Frame, W, P),
) -> Result<Response, NotDone>
where
    W: FnOnce(&mut Desk, &Held, &Typed) -> Result<Vec<Event>, Problem> + Send + 'static,
    P: FnOnce(&mut Desk, &Held, &Typed) -> Result<(String, Markup), Problem> + Send + 'static,
{
    let written = shop.with(visitor, move |desk| {
        let held = desk.job(&number)?;
        match once(desk, &held, &typed, events) {
            Ok(()) => Ok(Ok((held.number, held.job.id))),
            Err(problem) if problem.sort != Sort::NotFound => {
                typed.problem = Some(problem);
                // Somebody else may have written meanwhile: what stands now is shown.
                let held = desk.job(&number)?;
                page(desk, &held, &typed).map(Err)
            }
            Err(problem) => Err(problem),
        }
    });
    match written.await? {
        Ok((number, job)) => {
            shop.say_changed(job);
            Ok(Redirect::to(&format!("/jobs/{number}{to}")).into_response())
        }
        Err((title, main)) => {
            Ok((StatusCode::UNPROCESSABLE_ENTITY, frame(&title, Nav::Jobs, &main)).into_response())
        }
    }
}

/// Writes it unless it is written already.
fn once<W>(desk: &mut Desk, held: &Held, typed: &Typed, events: W) -> Result<(), Problem>
where
    W: FnOnce(&mut Desk, &Held, &Typed) -> Result<Vec<Event>, Problem>,
{
    let name = typed.entry();
    // What was written already is not asked whether it still makes sense.
    if held.says(name) {
        return Ok(());
    }
    let written = events(desk, held, typed).and_then(|events| desk.write_as(held, events, name));
    match written {
        Ok(_) => Ok(()),
        // The same, sent twice at once: the other one was quicker.
        Err(_) if desk.job(&held.job.id.to_string())?.says(name) => Ok(()),
        Err(problem) => Err(problem),
    }
}

/// A form of the page at `place` below the job; `name` tells it from the others there.
pub(crate) fn form(held: &Held, place: &str, name: &str, typed: &Typed, inside: &Markup) -> Markup {
    let mine = typed.is(name);
    html! {
        form method="post" action=(action(held, place)) data-keep=(name) {
            input type="hidden" name="entry" value=(typed.entry_of(name));
            input type="hidden" name="form" value=(name);
            @if mine { (told(typed)) }
            (inside)
        }
    }
}

/// Where a form of a job is sent: by the job's id, so that what waits on a device for one shop cannot land in another's job.
pub(crate) fn action(held: &Held, place: &str) -> String {
    format!("/jobs/{}{place}", held.job.id)
}

/// Why it was not taken.
pub(crate) fn told(typed: &Typed) -> Markup {
    html! {
        @if let Some(problem) = &typed.problem {
            p class="problem" role="alert" {
                (lower(&problem.message).sentence())
                @for line in problem.hint.iter().flat_map(|hint| hint.lines()) { br; (lower(line).sentence()) }
            }
        }
    }
}

/// A field for words.
pub(crate) fn text(name: &str, label: &str, value: &str) -> Markup {
    html! { label { span { (label) } input name=(name) value=(value) autocomplete="off"; } }
}

/// A field for a figure.
pub(crate) fn figure(name: &str, label: &str, value: &str) -> Markup {
    html! {
        label { span { (label) } input name=(name) value=(value) inputmode="decimal" autocomplete="off"; }
    }
}

/// One of several: value and words.
pub(crate) fn choice(name: &str, label: &str, options: &[(&str, &str)], chosen: &str) -> Markup {
    html! {
        label {
            span { (label) }
            select name=(name) {
                @for (value, words) in options { option value=(value) selected[*value == chosen] { (words) } }
            }
        }
    }
}

/// The grade of a part.
pub(crate) fn grade(chosen: &str) -> Markup {
    let words = Grade::ALL.map(|grade| plain(grade.name()));
    let not_known = said::not_known();
    let mut options = vec![("", not_known.as_str())];
    options.extend(
        Grade::ALL
            .iter()
            .zip(&words)
            .map(|(grade, words)| (grade.name(), words.as_str())),
    );
    choice("grade", &said::grade_of_part(), &options, chosen)
}

/// First in a form of several answers: the Enter key chooses none of them (HTML, "implicit submission": a disabled default
/// button sends nothing).
pub(crate) fn choose() -> Markup {
    html! { button type="submit" disabled hidden {} }
}

/// The way back to the job.
pub(crate) fn back(held: &Held) -> Markup {
    html! { p { a class="more" href={ "/jobs/" (held.number) } { (super::job::title(held)) } } }
}
