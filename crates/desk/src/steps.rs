//! Steps that are one thing said: what was typed becomes an event.

use crate::desk::{Desk, Held};
use crate::photo;
use crate::problem::Problem;
use job::Event;
use quantity::{Dimension, Temperature};

/// Takes the last thing back that can be.
///
/// # Errors
/// Nothing is left to take back.
pub fn undo(held: &Held, because: &str) -> Result<Event, Problem> {
    let entry = held.job.last_to_withdraw(&held.entries).ok_or_else(|| {
        Problem::bad_input(
            "nothing is left to take back: the vehicle was taken in, and that stays",
            None,
        )
    })?;
    Ok(Event::Withdrawn {
        entry,
        reason: because.to_owned(),
    })
}

/// Keeps a picture, made anew from its pixels; `name` is what the person calls it.
///
/// # Errors
/// It is no picture that can be kept, or the store fails.
pub fn picture(desk: &mut Desk, bytes: &[u8], name: &str, words: &str) -> Result<Event, Problem> {
    let made =
        photo::made_anew(bytes).map_err(|error| Problem::bad_input(format!("`{name}`: {error}"), None))?;
    let media = "image/jpeg";
    let hash = desk.store().put_photo(&made, media)?;
    Ok(Event::Photo {
        hash,
        bytes: made.len() as u64,
        media: media.to_owned(),
        words: words.to_owned(),
    })
}

/// A coolant temperature: between the coldest start and what no engine survives.
///
/// # Errors
/// What is wrong with it.
pub fn coolant(text: &str) -> Result<Temperature, Problem> {
    /// K.
    const POSSIBLE: std::ops::RangeInclusive<f64> = 213.15..=423.15;
    let wrong = |message: String| {
        Problem::bad_input(
            format!("`{text}`: {message}"),
            Some("a coolant temperature with its unit, for instance 85 °C".to_owned()),
        )
    };
    let parsed =
        quantity::parse(text, &[Dimension::Temperature]).map_err(|error| wrong(error.to_string()))?;
    let kelvin = parsed.quantity.si();
    if POSSIBLE.contains(&kelvin) {
        Ok(Temperature::from_si(kelvin))
    } else {
        Err(wrong("no coolant is as cold or hot as that".to_owned()))
    }
}
