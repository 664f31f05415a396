//! Circuits ready to be measured and drawn, held between requests: reading one anew for every step of a slider would be felt.

use crate::not_done::NotDone;
use crate::shop::Shop;
use axum::http::StatusCode;
use draw::Drawing;
use engine::Model;
use std::sync::{Arc, Mutex, PoisonError};

/// Circuits held; a shop looks at few at a time.
const HELD: usize = 24;

/// A circuit with its drawing's places.
#[derive(Debug)]
pub(crate) struct Ready {
    name: String,
    text: String,
    /// Ready to be measured.
    pub(crate) model: Model,
    /// Where everything stands.
    pub(crate) drawing: Drawing,
}

static READY: Mutex<Vec<Arc<Ready>>> = Mutex::new(Vec::new());

/// The circuit of a description, read at most once as long as it is in use.
pub(crate) fn ready(name: &str, text: &str) -> Result<Arc<Ready>, NotDone> {
    let same = |ready: &Arc<Ready>| ready.name == name && ready.text == text;
    {
        let mut held = READY.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(at) = held.iter().position(same) {
            let found = held.remove(at);
            held.push(found.clone());
            return Ok(found);
        }
    }
    // Read outside the lock: others go on meanwhile. Two who read the same text at once lose nothing.
    let loaded = engine::load(name, text);
    let model = loaded.model.ok_or_else(|| {
        let errors = loaded.findings.len();
        NotDone::bad_input(format!(
            "the description of {name} cannot be used: {errors} findings"
        ))
    })?;
    let drawing = draw::layout(model.circuit());
    let ready = Arc::new(Ready {
        name: name.to_owned(),
        text: text.to_owned(),
        model,
        drawing,
    });
    let mut held = READY.lock().unwrap_or_else(PoisonError::into_inner);
    if held.len() >= HELD {
        held.remove(0);
    }
    held.push(ready.clone());
    Ok(ready)
}

/// The text of the circuit called `name`, and whether it is the shop's own.
pub(crate) fn text(shop: &Shop, name: &str) -> Result<(String, bool), NotDone> {
    if let Some(shipped) = engine::shipped_called(name) {
        return Ok((shipped.text.to_owned(), false));
    }
    if let Some(own) = shop.shelf().text(name)? {
        return Ok((own, true));
    }
    let names = names(shop);
    let told: String = name.chars().take(60).collect();
    Err(
        NotDone::new(StatusCode::NOT_FOUND, format!("there is no circuit `{told}`"))
            .hint(format!("there are {}", names.join(", "))),
    )
}

/// The text of the circuit called `name` with all that it includes, as a job keeps it, and whether it is the shop's own.
pub(crate) fn whole(shop: &Shop, name: &str) -> Result<(String, bool), NotDone> {
    let (text, own) = text(shop, name)?;
    Ok((shop.shelf().bundle(name, &text).source.text, own))
}

/// The circuit called `name`, shipped or the shop's own.
pub(crate) fn called(shop: &Shop, name: &str) -> Result<Arc<Ready>, NotDone> {
    let (text, _) = whole(shop, name)?;
    ready(name, &text)
}

/// All names: the shipped ones, then the shop's own.
pub(crate) fn names(shop: &Shop) -> Vec<String> {
    let shipped = engine::shipped().iter().map(|shipped| shipped.name.to_owned());
    shipped.chain(shop.shelf().names()).collect()
}
