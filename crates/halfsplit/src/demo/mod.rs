//! The demo: an invented job from complaint to proven cause.
//!
//! The vehicle is a scene with a hidden fault. Only the complaint, the place and the fault are made up; every reading,
//! probability and choice of a check is computed while it runs.

mod json;
mod story;

use crate::args::Demo;
use crate::case::{Case, Manner};
use crate::commands::json as to_json;
use crate::failure::Failure;
use crate::page::Answer;
use crate::picture;
use belief::{Known, Observation, Outcome, Surroundings};
use circuit::FaultId;
use engine::{Ambient, Bay, Effort, Evidence, Model, NextCheck, Proven, Scene, Shop};
use quantity::Length;
use std::path::Path;

/// The circuit it plays on.
const CIRCUIT: &str = "vacuum-variable-geometry";
/// Height of the town, m.
const ALTITUDE: f64 = 1600.0;
/// What is wrong, and how bad, m: the liner of a hose has come loose and leaves this opening.
const HIDDEN: (&str, f64) = ("source-hose/blocked", 0.45e-3);
/// What the workshop before read.
const FIRST: &str = "deadhead:valve.source@idle";
/// Seed of the vehicle and its instruments.
const SEED: u32 = 1;
/// Checks after which it gives up.
const MOST_CHECKS: usize = 12;

/// One check of the job.
#[derive(Debug)]
struct Step {
    check: usize,
    minutes: f64,
    outcome: Outcome,
    /// Probability of every part before and after.
    before: Vec<f64>,
    after: Vec<f64>,
}

/// The whole job.
#[derive(Debug)]
struct Played {
    first: Outcome,
    steps: Vec<Step>,
    proven: Option<Proven>,
    hidden: FaultId,
    money: Money,
}

/// What it cost, and what it would have.
#[derive(Debug, Clone, Copy)]
struct Money {
    /// Minutes of checks.
    checks: f64,
    /// Work and part of the repair that cures it.
    repair: f64,
    /// Work and part of the pump that had been quoted.
    quoted: f64,
}

/// Plays the demo.
pub(crate) fn run(arguments: &Demo, manner: Manner) -> Result<Answer, Failure> {
    let model = model()?;
    let mut teller = story::Teller::new(manner);
    let (played, svg) = play(&model, manner, &mut teller)?;
    crate::files::write(&arguments.out, &svg)?;
    let out = if manner.json {
        to_json(&json::json(&model, &played, &arguments.out, manner.units))?
    } else {
        teller.drawn(&arguments.out);
        teller.into_text()
    };
    Ok(Answer {
        out,
        ..Answer::default()
    })
}

fn model() -> Result<Model, Failure> {
    let missing = || Failure::could_not(format!("the circuit `{CIRCUIT}` is missing"), None);
    let shipped = engine::shipped_called(CIRCUIT).ok_or_else(missing)?;
    engine::load(shipped.name, shipped.text).model.ok_or_else(missing)
}

/// The air of the town.
fn town() -> Surroundings {
    Surroundings {
        ambient: Ambient::at_altitude(Length::from_si(ALTITUDE)),
        known: Known::FromAltitude,
    }
}

fn index(model: &Model, id: &str) -> Result<usize, Failure> {
    let missing = || Failure::could_not(format!("`{CIRCUIT}` has no check `{id}`"), None);
    model
        .checks()
        .iter()
        .position(|check| check.id == id)
        .ok_or_else(missing)
}

fn play(model: &Model, manner: Manner, teller: &mut story::Teller) -> Result<(Played, String), Failure> {
    let hidden = model
        .circuit()
        .fault(HIDDEN.0)
        .ok_or_else(|| Failure::could_not(format!("no fault `{}`", HIDDEN.0), None))?;
    let mut scene = Scene::new(model, town(), &[(hidden, HIDDEN.1)], SEED);
    let first_check = index(model, FIRST)?;
    let first = read(&mut scene, first_check)?;
    let mut evidence = Evidence {
        surroundings: town(),
        ..Evidence::default()
    };
    teller.intake(model, first_check, first)?;
    record(&mut evidence, first_check, first);
    let mut case = case(model, &evidence, manner);
    teller.first_picture(&case);
    let (mut steps, mut minutes) = (Vec::new(), 0.0);
    while steps.len() < MOST_CHECKS && !is_proven(&case) {
        let Some((next, outcome)) = check(&case, &mut scene, teller, minutes)? else {
            break;
        };
        record(&mut evidence, next.check, outcome);
        let before = case.belief.parts();
        case = self::case(model, &evidence, manner);
        minutes += next.minutes;
        let step = Step {
            check: next.check,
            minutes: next.minutes,
            outcome,
            before,
            after: case.belief.parts(),
        };
        teller.moved(&case, &step);
        steps.push(step);
    }
    let played = Played {
        first,
        steps,
        proven: engine::proven(&case.belief, &case.evidence),
        hidden,
        money: money(model, hidden, minutes),
    };
    teller.end(&case, &played)?;
    let notes = engine::notes(model, &case.belief, &case.readings(), None);
    Ok((played, picture::svg(model.circuit(), &notes)))
}

/// Chooses the next check, tells it, makes it.
fn check(
    case: &Case,
    scene: &mut Scene,
    teller: &mut story::Teller,
    minutes: f64,
) -> Result<Option<(NextCheck, Outcome)>, Failure> {
    let outlook = engine::outlook(&case.belief);
    let next = case.next(&outlook);
    let Some(best) = next.first().copied() else {
        return Ok(None);
    };
    teller.check(case, &outlook, &best, minutes);
    let outcome = read(scene, best.check)?;
    Ok(Some((best, outcome)))
}

fn read(scene: &mut Scene, check: usize) -> Result<Outcome, Failure> {
    scene.read(check).map_err(|error| Failure::could_not(error, None))
}

fn record(evidence: &mut Evidence, check: usize, outcome: Outcome) {
    evidence.observations.push(Observation {
        check,
        outcome,
        instrument: None,
    });
}

/// The case as this workshop has it: what the one before opened is closed again.
fn case<'m>(model: &'m Model, evidence: &Evidence, manner: Manner) -> Case<'m> {
    // A reading follows at once, and the figures are shown to the whole per cent.
    let mut case = Case::with(model, evidence.clone(), manner, Effort::brisk());
    let ours = evidence
        .observations
        .iter()
        .skip(1)
        .map(|observation| &model.checks()[observation.check]);
    case.bay = ours.fold(Bay::default(), |bay, check| bay.after(model.circuit(), check));
    case
}

fn is_proven(case: &Case) -> bool {
    engine::proven(&case.belief, &case.evidence).is_some_and(|proven| proven.proven)
}

fn money(model: &Model, hidden: FaultId, checks: f64) -> Money {
    let shop = Shop::default();
    let cost = |part: circuit::PartId| {
        let repair = model.circuit().parts[part.0].repair;
        (repair.minutes + shop.proof_minutes) * shop.rate + repair.price
    };
    let quoted = model.circuit().part("pump").map_or(0.0, cost);
    Money {
        checks,
        repair: cost(hidden.part),
        quoted,
    }
}

/// The file as it is shown.
fn shown(path: &Path) -> String {
    path.display().to_string()
}
