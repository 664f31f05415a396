//! Beginning a practice job and making a step in it, for the page and for programs alike.

use super::sitting;
use crate::circuits;
use crate::not_done::NotDone;
use crate::shop::Shop;
use engine::Model;
use engine::practice::Action;
use serde::Deserialize;
use uuid::Uuid;

/// Seeds that are short enough to be told to somebody else.
const SEEDS: u64 = 9_973;

/// Begins a job on a circuit, any shipped one where none is named; `id` and `seed` may be chosen by the caller.
pub(crate) fn begun(
    shop: &Shop,
    id: Option<Uuid>,
    circuit: String,
    seed: Option<u64>,
) -> Result<Uuid, NotDone> {
    let seed = seed.unwrap_or_else(|| 1 + Uuid::now_v7().as_u64_pair().1 % SEEDS);
    let name = if circuit.is_empty() {
        let all = engine::shipped();
        let count = all.len().max(1) as u64;
        let chosen = usize::try_from(seed % count)
            .ok()
            .and_then(|index| all.get(index));
        chosen.map_or_else(String::new, |shipped| shipped.name.to_owned())
    } else {
        circuit
    };
    let (text, _) = circuits::whole(shop, &name)?;
    circuits::ready(&name, &text)?;
    Ok(sitting::begin(id.unwrap_or_else(Uuid::now_v7), name, text, seed))
}

/// A step that is sent.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Sent {
    /// How many steps came before: one sent twice counts once.
    pub(crate) step: usize,
    pub(crate) check: String,
    pub(crate) renew: String,
    pub(crate) bench: bool,
    pub(crate) beyond: bool,
    pub(crate) leave: bool,
}

/// Makes a step, unless it was made already or the job is over.
pub(crate) fn made(id: Uuid, sent: &Sent) -> Result<(), NotDone> {
    let sitting = sitting::find(id)?;
    let over = sitting.played(|_, job, _| Ok(job.is_over()))?;
    if over || sitting.left || sent.step != sitting.actions.len() {
        return Ok(());
    }
    let ready = sitting.ready()?;
    let action = action(&ready.model, sent)?;
    sitting::change(id, |sitting| {
        if sitting.actions.len() == sent.step {
            sitting.actions.extend(action);
            sitting.left |= sent.leave;
        }
    })
    .map(|_| ())
}

fn action(model: &Model, sent: &Sent) -> Result<Option<Action>, NotDone> {
    if sent.leave {
        return Ok(None);
    }
    if sent.beyond {
        return Ok(Some(Action::Beyond));
    }
    if !sent.renew.is_empty() {
        let part = model
            .circuit()
            .part(&sent.renew)
            .ok_or_else(|| NotDone::bad_input("the circuit has no such part"))?;
        return Ok(Some(Action::Replace(part, sent.bench)));
    }
    let check = model.check(&sent.check).ok_or_else(|| {
        NotDone::bad_input("the circuit has no such check").hint("pick one from the drawing")
    })?;
    Ok(Some(Action::Check(check)))
}
