//! `halfsplit learnt`: what closed jobs have taught, sums for other shops and from them.

mod circuit;
mod overview;

use crate::args::{Asked, Learnt};
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::jobs::desk;
use crate::page::Answer;
use serde::Serialize;
use std::path::Path;
use store::{Pooled, Pooling, Store};

/// Closed jobs that teach in one transaction.
const AT_ONCE: usize = 500;
/// Largest file of sums that is read, bytes: a thousand circuits' worth. Our own choice.
const LARGEST: u64 = 64 << 20;

/// Answers what is asked; before that every closed job has taught.
pub(crate) fn run(arguments: &Learnt, manner: Manner) -> Result<Answer, Failure> {
    let mut store = desk::open(arguments.database.as_deref())?;
    let store = store.as_mut();
    while desk::teach(store, AT_ONCE)? > 0 {}
    match &arguments.what {
        Asked {
            circuit: Some(name), ..
        } => circuit::show(store, name, manner),
        Asked {
            export: Some(file), ..
        } => export(store, file, arguments.own_circuits),
        Asked { add: Some(file), .. } => add(store, file, manner),
        Asked {
            leave_out: Some(shop),
            ..
        } => leave_out(store, shop),
        Asked { .. } => overview::show(store, manner),
    }
}

/// Writes this shop's sums: those of shipped circuits, which mean the same elsewhere, unless the others are wanted too.
fn export(store: &mut dyn Store, file: &Path, own_circuits: bool) -> Result<Answer, Failure> {
    let mut own = store.own_sums()?;
    let all = own.sums.circuits.len();
    if !own_circuits {
        own.sums
            .circuits
            .retain(|name, _| engine::shipped_called(name).is_some());
    }
    let kept = own.sums.circuits.len();
    let mut err = String::new();
    if kept < all {
        err = format!(
            "{} left out, described here: with --own-circuits they go along with their names\n",
            counted(all - kept, "circuit was", "circuits were")
        );
    }
    let text = own.write();
    if file == Path::new("-") {
        return Ok(Answer { out: text, err });
    }
    crate::files::write(file, &text)?;
    let jobs = usize::try_from(own.sums.jobs()).unwrap_or(usize::MAX);
    let out = format!(
        "sums of {} on {} in {}: counts, no job, vehicle or person\n",
        counted(jobs, "closed job", "closed jobs"),
        counted(kept, "circuit", "circuits"),
        file.display()
    );
    Ok(Answer { out, err })
}

#[derive(Serialize)]
struct Added {
    shop: String,
    jobs: u64,
    became: &'static str,
}

/// Takes another shop's sums.
fn add(store: &mut dyn Store, file: &Path, manner: Manner) -> Result<Answer, Failure> {
    let text = crate::files::text_within(file, "file of sums", LARGEST)?;
    let other = Pooled::read(&text)?;
    let (became, words) = match store.pool(&other)? {
        Pooling::New => ("new", "added"),
        Pooling::Newer => ("newer", "added in place of its older sums"),
        Pooling::Already => ("already", "were here already; they count once"),
        Pooling::Older => ("older", "left out: newer ones of the same shop are here"),
    };
    let jobs = other.sums.jobs();
    let out = if manner.json {
        json(&Added {
            shop: other.shop.to_string(),
            jobs,
            became,
        })?
    } else {
        let jobs = usize::try_from(jobs).unwrap_or(usize::MAX);
        format!(
            "sums of {} of shop {}: {words}\n",
            counted(jobs, "closed job", "closed jobs"),
            other.shop
        )
    };
    Ok(Answer {
        out,
        err: String::new(),
    })
}

fn leave_out(store: &mut dyn Store, name: &str) -> Result<Answer, Failure> {
    let begins = name.trim().to_lowercase();
    let shops = store.pooled()?;
    let mut meant = shops
        .iter()
        .filter(|shop| shop.shop.to_string().starts_with(&begins) && !begins.is_empty());
    let (Some(shop), None) = (meant.next(), meant.next()) else {
        return Err(Failure::bad_input(
            format!("no shop, or more than one, has a name that begins with `{name}`"),
            Some("halfsplit learnt  lists the shops".to_owned()),
        ));
    };
    store.leave_out(shop.shop)?;
    Ok(Answer {
        out: format!("the sums of shop {} no longer count\n", shop.shop),
        err: String::new(),
    })
}

/// `1 job`, `3 jobs`.
fn counted(count: usize, one: &str, several: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { several })
}
