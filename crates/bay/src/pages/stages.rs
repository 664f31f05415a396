//! On a job's screen: where each stage is done, pictures, and other jobs of the same vehicle.

use desk::Held;
use job::Stage;
use maud::{Markup, html};
use store::Row;
use uuid::Uuid;

/// What comes next, as a large button, and the other stages beside it.
pub(crate) fn now(held: &Held) -> Markup {
    let all = [
        ("offer", "Offer"),
        ("repair", "Repair"),
        ("proof", "Proof"),
        ("close", "Close"),
        ("paper", "Paper"),
    ];
    let (next, said) = match held.job.stage {
        Stage::Checking => (
            "",
            "The cause is looked for; the stages after it are here already.",
        ),
        Stage::Proven => ("offer", "The cause is proven. Offer the repair."),
        Stage::Quoted => ("offer", "The offer waits for the customer's answer."),
        Stage::Agreed => (
            "repair",
            "The customer agreed. Try the new part before fitting, then repair.",
        ),
        Stage::Repaired => ("proof", "Repaired, not proven yet."),
        Stage::Watch => (
            "close",
            "The repair is proven to work. Drives are counted until the module erases its own code; then close.",
        ),
        Stage::Closed => ("paper", "Closed."),
    };
    html! {
        nav class="stages" aria-label="Stages of this job" {
            p { (said) }
            p class="row answers" {
                @for (place, word) in all {
                    @let word = if place == "close" && held.job.stage == Stage::Closed { "Reopen" } else { word };
                    a class={ "button" @if place != next { " plain" } } href={ "/jobs/" (held.number) "/" (place) } { (word) }
                }
            }
        }
    }
}

/// Other jobs of the same vehicle.
pub(crate) fn others(rows: &[Row]) -> Markup {
    html! {
        @if !rows.is_empty() {
            section aria-labelledby="others" {
                h2 id="others" { "Other jobs with these words" }
                ol class="jobs" { @for row in rows { (super::jobs::line(row)) } }
            }
        }
    }
}

/// Pictures, and the way to take one.
pub(crate) fn pictures(held: &Held) -> Markup {
    html! {
        section aria-labelledby="pictures" {
            h2 id="pictures" { "Pictures" }
            ul class="pictures" {
                @for photo in &held.job.photos {
                    li {
                        a href={ "/photos/" (photo.hash) } {
                            img src={ "/photos/" (photo.hash) } alt=(if photo.words.is_empty() { "picture" } else { &photo.words }) loading="lazy";
                        }
                        @if !photo.words.is_empty() { span class="aside" { (photo.words) } }
                    }
                }
            }
            form method="post" enctype="multipart/form-data" action={ "/jobs/" (held.number) "/photos" } {
                input type="hidden" name="entry" value=(Uuid::now_v7());
                label { span { "Picture" } input type="file" name="photo" accept="image/*" capture="environment" required; }
                label { span { "What it shows" } input name="words" autocomplete="off"; }
                button class="plain" { "Keep the picture" }
            }
        }
    }
}
