//! Jobs of practice told from arrival to the end.

#![allow(clippy::unwrap_used, reason = "tests")]

use super::*;
use crate::{Model, Shop};
use circuit::PartId;

fn model(name: &str) -> Model {
    let shipped = crate::shipped_called(name).unwrap();
    crate::load(name, shipped.text).model.unwrap()
}

fn starter() -> Model {
    model("starter-circuit")
}

/// The first job with `faults` faults.
fn with_faults<'w>(world: &'w World<'w>, faults: usize) -> Hidden<'w> {
    let found = (0..5000)
        .map(|number| world.job(number))
        .find(|hidden| hidden.cause().len() == faults);
    found.unwrap()
}

#[test]
fn a_check_reads_the_same_whatever_was_read_before() {
    let model = starter();
    let world = World::new(&model, 1);
    let (mut one, mut other) = (world.job(7), world.job(7));
    let checks = [3, 40, 80];
    let forth: Vec<_> = checks.iter().map(|check| one.read(*check)).collect();
    let mut back: Vec<_> = checks.iter().rev().map(|check| other.read(*check)).collect();
    back.reverse();
    assert_eq!(forth, back);
}

#[test]
fn a_second_reading_has_a_scatter_of_its_own() {
    let model = starter();
    let world = World::new(&model, 1);
    let volts = model.check("volts:battery.positive@rest").unwrap();
    let differ = (0..20).filter(|number| {
        let mut hidden = world.job(*number);
        hidden.read(volts) != hidden.read(volts)
    });
    // The scatter is two digits of the display: a few pairs agree by chance.
    assert!(differ.count() >= 10);
}

#[test]
fn renewing_what_is_broken_ends_the_job() {
    let model = starter();
    let world = World::new(&model, 1);
    for faults in [1, 2] {
        let hidden = with_faults(&world, faults);
        let parts: Vec<PartId> = hidden.cause().iter().map(|(fault, _)| fault.part).collect();
        let mut job = Job::new(hidden, Shop::default());
        // A new part may be bad; then it is renewed again.
        while !job.is_over() {
            for part in &parts {
                job.step(Action::Replace(*part, true));
            }
        }
        assert_eq!(job.first_was_faulty(), Some(true));
        assert!(job.account.cost() > 0.0);
    }
}

#[test]
fn a_wrong_part_is_counted_and_paid() {
    let model = starter();
    let world = World::new(&model, 1);
    let hidden = with_faults(&world, 1);
    let faulty = hidden.cause()[0].0.part;
    let wrong = PartId(usize::from(faulty == PartId(0)));
    let shop = Shop::default();
    let mut job = Job::new(hidden, shop);
    let event = job.step(Action::Replace(wrong, false));
    assert_eq!(
        event,
        Event::Renewed {
            sent_back: 0,
            cured: false
        }
    );
    assert_eq!((job.wrong_parts(), job.first_was_faulty()), (1, Some(false)));
    let repair = model.circuit().parts[wrong.0].repair;
    let paid = (repair.minutes + shop.proof_minutes) * shop.rate + repair.price;
    assert!((job.account.cost() - paid).abs() < 1e-9);
}

#[test]
fn a_cause_beyond_the_circuit_is_found_there_and_only_there() {
    let model = starter();
    let world = World::new(&model, 1);
    for (faults, found) in [(0, true), (1, false)] {
        let mut job = Job::new(with_faults(&world, faults), Shop::default());
        assert_eq!(job.step(Action::Beyond), Event::Beyond(found));
        assert_eq!(job.is_over(), found);
        assert!((job.account.cost() - Shop::default().beyond_minutes).abs() < 1e-9);
    }
}

/// The cover comes off once; the second check behind it costs only itself.
#[test]
fn access_is_paid_once() {
    let model = starter();
    let world = World::new(&model, 1);
    let mut job = Job::new(with_faults(&world, 1), Shop::default());
    let behind = |check: &circuit::Check| !check.needs.is_empty() && check.condition.0 == 0;
    let check = model.checks().iter().position(behind).unwrap();
    job.step(Action::Check(check));
    let first = job.account.minutes;
    job.step(Action::Check(check));
    let again = job.account.minutes - first;
    assert!((again - model.checks()[check].minutes).abs() < 1e-9);
    let opening = model.circuit().access_minutes(&model.checks()[check].needs, &[]);
    assert!((first - again - opening).abs() < 1e-9 && opening > 0.0);
}

/// Bad new parts: as often as the world says without a look at them, less with one, and what is sent back is never fitted.
#[test]
fn the_bench_finds_most_bad_new_parts() {
    let model = starter();
    let world = World::new(&model, 1);
    let part = model.circuit().part("solenoid").unwrap();
    let count = |checked: bool| {
        let bad = (0..3000_u64).filter(|number| {
            let mut hidden = world.job(*number);
            hidden.renew(part, checked);
            hidden.faults().iter().any(|(fault, _)| fault.part == part)
        });
        bad.count() as f64 / 3000.0
    };
    let (unchecked, checked) = (count(false), count(true));
    // Four binomial deviations of 3,000 draws at the rates at hand.
    assert!(
        (unchecked - world.bad_new[part.0]).abs() < 0.015,
        "{unchecked} instead of {}",
        world.bad_new[part.0]
    );
    assert!(
        (checked - 0.3 * world.bad_new[part.0]).abs() < 0.01,
        "{checked} of {unchecked}"
    );
}

#[test]
fn habits_begin_with_the_most_frequent_part() {
    let model = starter();
    let world = World::new(&model, 1);
    let job = Job::new(world.job(0), Shop::default());
    let workshop = Workshop::new(&model, Shop::default(), job.hidden().surroundings());
    // "battery 40 of 100": the file's own figure.
    let battery = model.circuit().part("battery").unwrap();
    assert_eq!(workshop.by_frequency()[0], battery);
    for contestant in contestants() {
        let first = contestant.ready(&workshop).next(&job.seen());
        match contestant.name {
            "parts" => assert_eq!(first, Action::Replace(battery, false)),
            "habit" => assert_eq!(
                first,
                Action::Check(model.check("volts:battery.positive@rest").unwrap())
            ),
            _ => assert!(matches!(first, Action::Check(_)), "{first:?}"),
        }
    }
}

/// The same contest on one thread and on three; and measuring costs less than guessing.
#[test]
fn a_contest_does_not_depend_on_threads() {
    let model = starter();
    let run = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        pool.install(|| contest(&[&model], Shop::default(), 40, 2, &contestants()))
    };
    let one = run(1);
    assert_eq!(one, run(3));
    let cost = |name: &str| one.all.iter().find(|score| score.name == name).unwrap().mean_cost;
    assert!(
        cost("information") < cost("parts"),
        "{} {}",
        cost("information"),
        cost("parts")
    );
    assert_eq!(
        one.all.iter().map(|score| score.jobs).collect::<Vec<_>>(),
        [40; 4]
    );
    assert!(
        cost("plan") < 0.6 * cost("habit"),
        "{} {}",
        cost("plan"),
        cost("habit")
    );
    assert!(one.all.iter().all(|score| score.given_up == 0));
}

/// Three readings of a hundred are anything the meter can show; of those on a rested battery of 12.6 V, three quarters lie
/// further than 2 V away on a meter from 0 to 16 V. Four binomial deviations of 4,000 readings.
#[test]
fn three_readings_of_a_hundred_are_grossly_wrong() {
    let model = starter();
    let world = World::new(&model, 1);
    let volts = model.check("volts:battery.positive@rest").unwrap();
    let mut hidden = (0..2000)
        .map(|number| world.job(number))
        .find(|hidden| hidden.cause().is_empty())
        .unwrap();
    let far = (0..4000).filter(|_| match hidden.read(volts) {
        Some(belief::Outcome::Value(volts)) => (volts - 12.6).abs() > 2.0,
        other => panic!("{other:?}"),
    });
    let share = far.count() as f64 / 4000.0;
    assert!((share - 0.03 * 0.75).abs() < 0.0094, "{share}");
}
