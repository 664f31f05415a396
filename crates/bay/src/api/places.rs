//! One check and one part of a job for programs: what to do, what can hurt, what to expect, what is believed.

use super::body::At;
use super::refused::{OfJob, Refused};
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use axum::extract::State;
use axum::{Extension, Json};
use circuit::PartId;
use desk::show::Units;
use desk::{CautionTold, Held, Problem, ShopFacts, Thought, how, words};
use serde::Serialize;
use std::sync::Arc;
use utoipa::{IntoParams, ToSchema};

/// A check of a job.
#[derive(Debug, IntoParams)]
#[into_params(parameter_in = Path)]
#[allow(dead_code, reason = "only its description is used")]
pub(crate) struct OfCheck {
    /// Id of the check.
    #[param(example = "tee:valve.source@idle")]
    check: String,
}

/// A part of a job's circuit.
#[derive(Debug, IntoParams)]
#[into_params(parameter_in = Path)]
#[allow(dead_code, reason = "only its description is used")]
pub(crate) struct OfPart {
    /// Its name in the circuit.
    #[param(example = "valve")]
    part: String,
}

/// A joint of a job's circuit.
#[derive(Debug, IntoParams)]
#[into_params(parameter_in = Path)]
#[allow(dead_code, reason = "only its description is used")]
pub(crate) struct OfJoint {
    /// Its name in the circuit.
    #[param(example = "valve.source")]
    joint: String,
}

/// What can be done at a joint.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct JointState {
    joint: String,
    /// Checks that are left there, best first, with what each is expected to read and what choosing it would cost.
    checks: Vec<Card>,
}

/// A check as a large card.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Card {
    check: String,
    /// In words: what is looked at.
    what: String,
    /// Where.
    place: String,
    /// How: teed in, dead-headed, by eye.
    manner: &'static str,
    /// The state of the vehicle.
    condition: String,
    /// Step by step.
    to_do: String,
    /// Accesses that have to be opened first.
    open: Vec<String>,
    /// Until it is read, with access and condition.
    minutes: f64,
    /// What can hurt: before the step.
    cautions: Vec<CautionTold>,
    /// Of them, those that nobody has read in this job.
    unread: Vec<CautionTold>,
    /// What it is read with.
    instrument: &'static str,
    /// The shop's own of that sort.
    own_instruments: Vec<String>,
    /// SI unit of the figures; absent for yes or no, where they are the probability of yes.
    unit: Option<&'static str>,
    /// What it reads on a sound circuit, then under each leading suspect.
    expected: Vec<Expected>,
    /// Why it would be next; absent once it is made.
    why: Option<String>,
    /// Expected cost until repaired if it is made first.
    cost: Option<f64>,
    /// What it is expected to spare.
    gain: Option<f64>,
}

/// What a check is expected to read.
#[derive(Debug, Serialize, ToSchema)]
struct Expected {
    /// `PART/FAULT` of the suspect; none for a sound circuit.
    faults: Vec<String>,
    /// In words.
    name: String,
    /// 5th, 50th and 95th percentile.
    percentiles: [f64; 3],
    /// As a person reads it.
    range: String,
}

/// What is known of a part.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct PartState {
    part: String,
    kind: &'static str,
    /// How likely it is at fault.
    probability: f64,
    faults: Vec<Fault>,
    /// What can hurt when it is renewed: before the step.
    cautions: Vec<CautionTold>,
    /// Checks that are left at it, best first.
    checks: Vec<String>,
}

/// A way in which a part fails.
#[derive(Debug, Serialize, ToSchema)]
#[allow(clippy::struct_field_names, reason = "the word that stands in the answer")]
struct Fault {
    /// `PART/FAULT`.
    fault: String,
    /// In words.
    what: &'static str,
    probability: f64,
    /// How bad it is after the readings, in words.
    how_bad: Option<String>,
}

/// A check: where, how, what can hurt, what to expect.
#[utoipa::path(get, path = "/api/jobs/{number}/checks/{check}", params(OfJob, OfCheck), responses((status = 200, body = Card), Refused))]
pub(crate) async fn check(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    At((number, check)): At<(String, String)>,
) -> Result<Json<Card>, NotDone> {
    let card = shop.with(&visitor, move |desk| {
        let facts = desk::shop_facts(desk)?;
        let held = desk.job(&number)?;
        let thought = desk.thought(&held, Units::default())?;
        let index = desk::known_check(thought.case().model, &check)?;
        Ok::<_, Problem>(card(&held, &thought, index, &facts))
    });
    Ok(Json(card.await?))
}

/// A joint: the checks possible there, what each is expected to read, and what choosing it would cost.
#[utoipa::path(get, path = "/api/jobs/{number}/joints/{joint}", params(OfJob, OfJoint), responses((status = 200, body = JointState), Refused))]
pub(crate) async fn joint(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    At((number, joint)): At<(String, String)>,
) -> Result<Json<JointState>, NotDone> {
    let state = shop.with(&visitor, move |desk| {
        let facts = desk::shop_facts(desk)?;
        let held = desk.job(&number)?;
        let thought = desk.thought(&held, Units::default())?;
        let at = desk::known_joint(thought.case().model, &joint)?;
        let here = thought.at_joint(at).into_iter();
        let checks = here.map(|next| card(&held, &thought, next.check, &facts));
        Ok::<_, Problem>(JointState {
            checks: checks.collect(),
            joint,
        })
    });
    Ok(Json(state.await?))
}

fn card(held: &Held, thought: &Thought, index: usize, facts: &ShopFacts) -> Card {
    let (case, outlook) = (thought.case(), thought.outlook());
    let (circuit, check) = (case.model.circuit(), &case.model.checks()[index]);
    let next = thought.next().iter().find(|next| next.check == index);
    let closed = circuit.closed_accesses(&check.needs, &case.bay.open);
    let told =
        |cautions: Vec<&'static circuit::Caution>| cautions.into_iter().map(CautionTold::from).collect();
    let expected = desk::expectations(case, outlook, index).into_iter();
    Card {
        check: check.id.clone(),
        what: words::plainly(circuit, check),
        place: words::place(circuit, check),
        manner: words::manner(check),
        condition: words::condition(circuit, check),
        to_do: how::to_do(circuit, check),
        open: closed
            .iter()
            .map(|id| circuit.accesses[id.0].what.clone())
            .collect(),
        minutes: case.bay.minutes(circuit, check),
        cautions: told(how::cautions(circuit, check)),
        unread: told(case.unread(held, index)),
        instrument: check.instrument.word(),
        own_instruments: facts
            .of_sort(check.instrument)
            .into_iter()
            .map(|own| own.name.clone())
            .collect(),
        unit: check.reads.dimension().map(quantity::Dimension::si_unit),
        expected: expected
            .map(|expected| Expected {
                faults: expected.suspect.map_or_else(Vec::new, |suspect| {
                    let faults = case.belief.suspects()[suspect].faults.iter();
                    faults.map(|fault| circuit.fault_name(*fault)).collect()
                }),
                name: expected.name,
                percentiles: expected.percentiles,
                range: expected.range,
            })
            .collect(),
        why: next.map(|next| desk::why(case, outlook, next)),
        cost: next.map(|next| next.cost),
        gain: next.map(|next| next.gain),
    }
}

/// A part: how likely it is at fault, how, and what can be checked there.
#[utoipa::path(get, path = "/api/jobs/{number}/parts/{part}", params(OfJob, OfPart), responses((status = 200, body = PartState), Refused))]
pub(crate) async fn part(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    At((number, part)): At<(String, String)>,
) -> Result<Json<PartState>, NotDone> {
    let state = shop.with(&visitor, move |desk| {
        let held = desk.job(&number)?;
        let thought = desk.thought(&held, Units::default())?;
        let part = desk::known_part(thought.case().model, &part)?;
        Ok::<_, Problem>(part_state(&thought, part))
    });
    Ok(Json(state.await?))
}

fn part_state(thought: &Thought, part: PartId) -> PartState {
    let case = thought.case();
    let circuit = case.model.circuit();
    let faults = case.belief.faults().into_iter();
    PartState {
        part: circuit.parts[part.0].id.clone(),
        kind: circuit.parts[part.0].kind.name,
        probability: case.belief.parts()[part.0],
        faults: faults
            .filter(|(fault, _)| fault.part == part)
            .map(|(fault, probability)| Fault {
                fault: circuit.fault_name(fault),
                what: circuit.fault_spec(fault).what,
                probability,
                how_bad: case.severity(fault),
            })
            .collect(),
        cautions: how::cautions_of_work(circuit, part)
            .into_iter()
            .map(CautionTold::from)
            .collect(),
        checks: thought
            .at_part(part)
            .into_iter()
            .map(|next| case.id(next.check).to_owned())
            .collect(),
    }
}
