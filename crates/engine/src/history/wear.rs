//! How far parts have run and how often they were renewed, as it moves the odds: shipped figures, which give way to those of
//! closed jobs.

use super::{History, Work, sooner};
use crate::learnt;
use circuit::{Circuit, Part, PartId, Symbol};
use job::{Grade, Job, Mended, Replaced};
use life::{Sums, UsualRate};

/// Wear of a part renewed lately. From memory.
const FRESH: f64 = 0.5;
/// How many times likelier than from the shelf a new part is bad if the complaint is still there. From memory.
const STILL_THERE: f64 = 5.0;
/// Distance from which moving parts count as worn, km. From memory.
const WORN_KM: f64 = 200_000.0;
/// Moving parts beyond [`WORN_KM`]. From memory.
const WORN: f64 = 1.5;
/// Renewals of one part from which the vehicle has a record of its own: one alone is told by when it was. Our own choice.
const AGAIN: usize = 2;
/// Renewals that the usual rate counts for: vehicles differ by a factor of two or so. Common practice, no source.
const VEHICLES_DIFFER: f64 = 2.0;

/// Chance that a new part is bad, 0 to 1. From memory: original 0.3 to 1 %, another maker's 1 to 3 %, cheapest 3 to 8 %; the middle of
/// each.
pub fn bad_from_new(grade: Grade) -> f64 {
    match grade {
        Grade::Original => 0.006_5,
        Grade::Equivalent => 0.02,
        Grade::Budget => 0.055,
    }
}

/// A new part wears less, and may be bad: that chance, as a share of all, is spread over its faults by their own shares, which
/// multiplies each by the same figure. A part whose faults all have the weight 0 stays out of the question.
pub(super) fn renewed(history: &mut History, circuit: &Circuit, job: &Job, work: &Work, sums: &Sums) {
    let weights = |part: &Part| part.weights.iter().sum::<f64>();
    let own = weights(&circuit.parts[work.part.0]);
    if !work.renewed || own <= 0.0 {
        return;
    }
    let total: f64 = circuit.parts.iter().map(weights).sum();
    let name = &circuit.parts[work.part.0].id;
    let tried = job.new_parts.iter().any(|new| new.good && new.part == *name);
    let missed = if tried {
        1.0 - plan::Shop::default().bench_catches
    } else {
        1.0
    };
    let grade = work.grade.unwrap_or(Grade::Equivalent);
    let kind = sums.kinds.get(circuit.parts[work.part.0].kind.name);
    let bad = STILL_THERE * learnt::bad_from_new(grade, kind) * missed;
    let grade = work.grade.map_or("grade not known", |grade| match grade {
        Grade::Original => "original",
        Grade::Equivalent => "equivalent",
        Grade::Budget => "budget",
    });
    let why = format!(
        "renewed {} ({grade}): less worn, but a new part can be bad",
        work.when
    );
    history.all(work.part, FRESH + bad * total / own, why);
}

/// Moving parts of a vehicle that has run far, unless they are new: the shipped figure, which counts like the shipped
/// life's failures and gives way to what closed jobs say of the distance at which parts of the kind fail.
pub(super) fn worn(history: &mut History, circuit: &Circuit, job: &Job, works: &[Work], sums: &Sums) {
    for (index, part) in circuit.parts.iter().enumerate() {
        let id = PartId(index);
        if works.iter().any(|work| work.part == id && work.renewed) {
            continue;
        }
        let kind = sums.kinds.get(part.kind.name);
        let far = job.odometer_km.is_some_and(|km| km > WORN_KM);
        if far && moves(part) {
            let left = kind.map_or(1.0, learnt::shipped_part);
            let why = "more than 200,000 km: moving parts wear".to_owned();
            history.all(id, WORN.powf(left), why);
        }
        if let Some((factor, why)) = kind.and_then(|kind| learnt::wear(kind, served(job, part))) {
            history.all(id, factor, why);
        }
    }
}

/// How far a part has run, km, or how old it is, days.
fn served(job: &Job, part: &Part) -> (Option<f64>, Option<f64>) {
    let fitted = |replaced: &&Replaced| replaced.part == part.id;
    let last = job.intake.replaced.iter().filter(fitted);
    let last = last.reduce(|last, other| if sooner(other, last) { other } else { last });
    let fine = |figure: &f64| figure.is_finite() && *figure >= 0.0;
    match last {
        Some(last) => (last.km_ago.filter(fine), last.days_ago.filter(fine)),
        None => (job.odometer_km.filter(fine), None),
    }
}

/// A part that this vehicle has had renewed again and again: what is usual is one in a life of its kind.
pub(super) fn record(history: &mut History, circuit: &Circuit, job: &Job, sums: &Sums) {
    let Some(km) = job.odometer_km.filter(|km| km.is_finite() && *km >= 0.0) else {
        return;
    };
    let last = job.comebacks.iter().map(|comeback| comeback.at).max();
    for (index, part) in circuit.parts.iter().enumerate() {
        let before = job.intake.replaced.iter().filter(|old| old.part == part.id);
        let here = job.repairs.iter().filter(|repair| {
            repair.part == part.id
                && repair.how == Mended::Renewed
                && last.is_some_and(|last| repair.at <= last)
        });
        let times = before.count() + here.count();
        if times < AGAIN {
            continue;
        }
        let every_km = learnt::usual_km(sums.kinds.get(part.kind.name));
        let usual = UsualRate {
            every_km,
            strength: VEHICLES_DIFFER,
        };
        let count = u32::try_from(times).unwrap_or(u32::MAX);
        let Ok(factor) = life::own_record(&usual, count, km) else {
            continue;
        };
        let why = format!("renewed {times} times in {km:.0} km; usual is once in {every_km:.0} km");
        history.all(PartId(index), factor, why);
    }
}

fn moves(part: &Part) -> bool {
    matches!(
        part.kind.symbol,
        Symbol::VacuumPump
            | Symbol::CheckValve
            | Symbol::SolenoidValve
            | Symbol::DiaphragmActuator
            | Symbol::Flap
            | Symbol::VaneRing
            | Symbol::Turbocharger
            | Symbol::Relay
            | Symbol::StarterSolenoid
            | Symbol::Motor
            | Symbol::LiquidPump
            | Symbol::PressureValve
    )
}
