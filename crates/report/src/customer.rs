//! The customer's page: plain words, no abbreviations.

use crate::page::page;
use crate::sheet::{Sheet, said};
use job::{Mended, Quote};
use maud::{Markup, html};

/// The customer's page as HTML.
pub fn customer_sheet(sheet: &Sheet) -> String {
    let job = sheet.job;
    let last = job.readings.iter().rfind(|reading| reading.withdrawn.is_none());
    let body = html! {
        p { (job.intake.vehicle.words) }
        h2 { "What you told us" }
        p { (job.intake.complaint) }
        h2 { "What we found" }
        @if let Some(proven) = &job.proven { p { (sheet.list(&proven.faults)) "." } }
        @else { p { "The cause is not proven yet." } }
        @if let Some(reading) = last { p { "Last measured before the repair: " (sheet.word(&reading.check)) ", " (said(&reading.said)) "." } }
        h2 { "What we did" }
        @if job.repairs.is_empty() { p { "Nothing has been repaired yet." } }
        @for repair in &job.repairs {
            p { (sheet.word(&repair.part)) @if repair.how == Mended::Renewed { ": renewed." } @else { ": repaired." } }
        }
        @for proof in &job.proofs {
            p { "Measured after it: " (sheet.word(&proof.check)) ", " (said(&proof.said)) @if proof.good { ": good." } @else { ": not good yet." } }
        }
        @if let Some(quote) = job.quotes.last() { (offer(quote, job.accepted)) }
        h2 { "What is not known" }
        @if job.proven.is_none() { p { "Which part is the cause; we would have to go on measuring." } }
        @else if job.proofs.is_empty() { p { "Whether the repair cures the complaint: it has not been measured yet." } }
        @else { p { "Whether something else in the vehicle will fail; we measured this circuit only." } }
        h2 { "What happens next" }
        p { (sheet.watch.as_deref().unwrap_or("If the complaint or the warning lamp comes back, bring the vehicle and this page.")) }
    };
    page(
        &format!("Your vehicle, job {}", sheet.number),
        sheet.invented,
        &body,
    )
}

fn offer(quote: &Quote, accepted: Option<usize>) -> Markup {
    let money = |amount: f64| format!("{amount:.2} {}", quote.currency);
    html! {
        h2 { "What it costs" }
        p { "Work until the offer, with tax: " (money(quote.so_far)) }
        ul { @for (index, option) in quote.options.iter().enumerate() {
            li { (option.what) ": " (money(option.total)) " with tax" @if accepted == Some(index) { " (you agreed to this)" } }
        } }
        @if let Some(more) = quote.going_on { p { "Going on until a proven repair would cost about " (money(more)) "." } }
        p { "If you stop here: " (quote.if_stopped) }
    }
}
