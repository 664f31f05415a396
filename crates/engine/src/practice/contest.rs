//! Many jobs worked on by several strategies, side by side: every strategy gets every job, with the same luck.

use super::habit::{Habit, PartsOnly};
use super::hidden::{Hidden, surroundings};
use super::informative::Informative;
use super::job::{Action, Job};
use super::planned::Planned;
use super::score::{Record, Score};
use super::strategy::{Contestant, Strategy, Workshop};
use super::world::World;
use physics::Model;
use plan::Shop;
use rayon::prelude::*;

/// Results of a contest.
#[derive(Debug, Clone, PartialEq)]
pub struct Contest {
    /// Over all circuits, one score per strategy.
    pub all: Vec<Score>,
    /// Per circuit: its name and one score per strategy.
    pub circuits: Vec<(String, Vec<Score>)>,
}

/// The strategies that are set side by side: parts by frequency, the order of habit, most informative check first, and ours.
pub fn contestants() -> Vec<Contestant> {
    vec![
        Contestant::new("parts", Box::new(|workshop| Box::new(PartsOnly::new(workshop)))),
        Contestant::new("habit", Box::new(|workshop| Box::new(Habit::new(workshop)))),
        Contestant::new(
            "information",
            Box::new(|workshop| Box::new(Informative::new(workshop))),
        ),
        Contestant::new("plan", Box::new(|workshop| Box::new(Planned::new(workshop)))),
    ]
}

/// Plays `jobs` jobs, spread evenly over the circuits.
pub fn contest(models: &[&Model], shop: Shop, jobs: usize, seed: u64, contestants: &[Contestant]) -> Contest {
    let mut everything = vec![Vec::new(); contestants.len()];
    let mut circuits = Vec::new();
    for (index, model) in models.iter().enumerate() {
        let own = jobs / models.len() + usize::from(index < jobs % models.len());
        let records = play_circuit(model, shop, own, seed, contestants);
        let scores = contestants
            .iter()
            .zip(&records)
            .map(|(one, records)| Score::of(one.name, records));
        circuits.push((model.circuit().name.clone(), scores.collect()));
        everything
            .iter_mut()
            .zip(records)
            .for_each(|(all, records)| all.extend(records));
    }
    let all = contestants
        .iter()
        .zip(&everything)
        .map(|(one, records)| Score::of(one.name, records));
    Contest {
        all: all.collect(),
        circuits,
    }
}

/// Per contestant, its record of every job.
fn play_circuit(
    model: &Model,
    shop: Shop,
    jobs: usize,
    seed: u64,
    contestants: &[Contestant],
) -> Vec<Vec<Record>> {
    let world = World::new(model, seed);
    let heights = world.heights();
    let numbers: Vec<u64> = (0..jobs as u64).collect();
    let mut places: Vec<Option<Workshop>> = heights.iter().map(|_| None).collect();
    let at: Vec<usize> = numbers
        .par_iter()
        .map(|number| {
            let height = world.job(*number).height().si();
            heights
                .iter()
                .position(|known| (known - height).abs() < 0.5)
                .unwrap_or_default()
        })
        .collect();
    for place in &at {
        places[*place].get_or_insert_with(|| Workshop::new(model, shop, surroundings(heights[*place])));
    }
    let played: Vec<Vec<Record>> = numbers
        .par_iter()
        .zip(&at)
        .filter_map(|(number, place)| {
            let workshop = places[*place].as_ref()?;
            let play = |one: &Contestant| play(world.job(*number), workshop, one.ready(workshop).as_mut());
            Some(contestants.iter().map(play).collect())
        })
        .collect();
    let of = |index: usize| played.iter().map(|records| records[index]).collect();
    (0..contestants.len()).map(of).collect()
}

/// One job worked on by one strategy to its end.
pub fn play(hidden: Hidden, workshop: &Workshop, strategy: &mut dyn Strategy) -> Record {
    let mut job = Job::new(hidden, workshop.shop);
    let mut said = None;
    while !job.is_over() {
        let action = strategy.next(&job.seen());
        if let (Action::Replace(part, _), true) = (action, job.seen().renewed.is_empty()) {
            said = strategy.said(part);
        }
        job.step(action);
    }
    record(&job, said)
}

/// How a finished job went; `said` of the part renewed first.
pub fn record(job: &Job, said: Option<f64>) -> Record {
    Record {
        cost: job.account.cost(),
        listed: job.is_listed(),
        first_was_faulty: job.first_was_faulty(),
        said,
        wrong_parts: job.wrong_parts(),
        renewed: job.account.renewed,
        checks: job.account.checks,
        given_up: job.is_given_up(),
    }
}
