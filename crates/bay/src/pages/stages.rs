//! On a job's screen: where each stage is done, pictures, and other jobs of the same vehicle.

use crate::speech::said;
use desk::Held;
use job::Stage;
use maud::{Markup, html};
use store::Row;
use uuid::Uuid;

/// What comes next, as a large button, and the other stages beside it.
pub(crate) fn now(held: &Held) -> Markup {
    let all = [
        ("offer", said::to_offer()),
        ("repair", said::to_repair()),
        ("proof", said::to_proof()),
        ("close", said::to_close()),
        ("paper", said::to_paper()),
    ];
    let (next, stands) = match held.job.stage {
        Stage::Checking => ("", said::is_checking()),
        Stage::Proven => ("offer", said::is_proven()),
        Stage::Quoted => ("offer", said::is_quoted()),
        Stage::Agreed => ("repair", said::is_agreed()),
        Stage::Repaired => ("proof", said::is_repaired()),
        Stage::Watch => ("close", said::is_watched()),
        Stage::Closed => ("paper", said::is_over()),
    };
    html! {
        nav class="stages" aria-label=(said::stages()) {
            p { (stands) }
            p class="row answers" {
                @for (place, word) in all {
                    @let word = if place == "close" && held.job.stage == Stage::Closed { said::to_reopen() } else { word };
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
                h2 id="others" { (said::other_jobs()) }
                ol class="jobs" { @for row in rows { (super::jobs::line(row)) } }
            }
        }
    }
}

/// Pictures, and the way to take one.
pub(crate) fn pictures(held: &Held) -> Markup {
    html! {
        section aria-labelledby="pictures" {
            h2 id="pictures" { (said::pictures()) }
            ul class="pictures" {
                @for photo in &held.job.photos {
                    li {
                        a href={ "/photos/" (photo.hash) } {
                            img src={ "/photos/" (photo.hash) } alt=(if photo.words.is_empty() { said::picture() } else { photo.words.clone() }) loading="lazy";
                        }
                        @if !photo.words.is_empty() { span class="aside" { (photo.words) } }
                    }
                }
            }
            form method="post" enctype="multipart/form-data" action={ "/jobs/" (held.number) "/photos" } {
                input type="hidden" name="entry" value=(Uuid::now_v7());
                label { span { (said::picture()) } input type="file" name="photo" accept="image/*" capture="environment" required; }
                label { span { (said::picture_shows()) } input name="words" autocomplete="off"; }
                button class="plain" { (said::keep_picture()) }
            }
        }
    }
}
