//! Ways to repair: the proven cause, or the likeliest ones, each with every grade of part.

use super::lives::{DistanceCost, again_minutes, life_factor, original_km, per_100_000_km, price_factor};
use super::{Terms, cents};
use crate::learnt::{bad_from_new, lasts_km};
use belief::Belief;
use circuit::{AccessId, Circuit, KindSpec, Part, PartId};
use job::{Grade, Job, QuoteOption};
use life::Sums;
use plan::{Bay, Shop};
use std::collections::BTreeMap;

/// Probability from which a cause that is not proven is worth a price: "quite possible". Our own choice.
const NAMED: f64 = 0.2;
/// At most so many such causes: more would say nothing.
const MOST: usize = 3;

/// A cause that could be repaired.
struct Cause {
    /// Its parts, ascending.
    parts: Vec<PartId>,
    /// Chance that nothing else is wrong than these, or one of these.
    probability: f64,
}

/// Ways to repair, the likeliest cause first, its cheapest over its life first.
pub(super) fn options(belief: &Belief, bay: &Bay, job: &Job, terms: &Terms, sums: &Sums) -> Vec<QuoteOption> {
    let circuit = belief.model().circuit();
    let offer = Offer {
        circuit,
        bay,
        terms,
        sums,
    };
    let mut all = Vec::new();
    for cause in causes(belief, job) {
        let graded = cause.parts.iter().any(|part| renews(circuit.parts[part.0].kind));
        let mut options: Vec<QuoteOption> = if graded {
            let grades = Grade::ALL.into_iter();
            grades.map(|grade| offer.option(&cause, Some(grade))).collect()
        } else {
            vec![offer.option(&cause, None)]
        };
        options.sort_by(|a, b| a.expected.total_cmp(&b.expected));
        all.extend(options);
    }
    all
}

/// `true` if mending a part of this kind is fitting a new one; wires and ground points are mended where they are.
pub fn renews(kind: &KindSpec) -> bool {
    kind.repair.what.contains("renew")
}

fn causes(belief: &Belief, job: &Job) -> Vec<Cause> {
    let cause = |parts: Vec<PartId>| Cause {
        probability: within(belief, &parts),
        parts,
    };
    if let Some(proven) = &job.proven {
        let circuit = belief.model().circuit();
        let name = |fault: &String| circuit.part(fault.split('/').next().unwrap_or_default());
        let mut parts: Vec<PartId> = proven.faults.iter().filter_map(name).collect();
        parts.sort_unstable();
        parts.dedup();
        return if parts.is_empty() {
            Vec::new()
        } else {
            vec![cause(parts)]
        };
    }
    let mut groups: BTreeMap<Vec<PartId>, f64> = BTreeMap::new();
    for suspect in belief
        .suspects()
        .iter()
        .filter(|suspect| !suspect.faults.is_empty())
    {
        *groups.entry(parts_of(&suspect.faults)).or_default() += suspect.probability;
    }
    let mut likely: Vec<(Vec<PartId>, f64)> = groups
        .into_iter()
        .filter(|(_, probability)| *probability >= NAMED)
        .collect();
    likely.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    likely.truncate(MOST);
    likely.into_iter().map(|(parts, _)| cause(parts)).collect()
}

fn parts_of(faults: &[circuit::FaultId]) -> Vec<PartId> {
    let mut parts: Vec<PartId> = faults.iter().map(|fault| fault.part).collect();
    parts.sort_unstable();
    parts.dedup();
    parts
}

/// Chance that everything that is wrong lies in `parts`.
fn within(belief: &Belief, parts: &[PartId]) -> f64 {
    let suspects = belief.suspects().iter();
    let inside = suspects.filter(|suspect| {
        !suspect.faults.is_empty() && suspect.faults.iter().all(|fault| parts.contains(&fault.part))
    });
    let chance = inside.fold(0.0, |sum, suspect| sum + suspect.probability);
    chance.clamp(0.0, 1.0)
}

/// What options are made from.
struct Offer<'o> {
    circuit: &'o Circuit,
    bay: &'o Bay,
    terms: &'o Terms,
    sums: &'o Sums,
}

/// One part of an option.
struct Fitted {
    price: f64,
    given: bool,
    bad: f64,
    life_km: f64,
    expected: f64,
}

/// What money comes to.
struct Money {
    work: f64,
    tax: f64,
    total: f64,
}

impl Offer<'_> {
    fn option(&self, cause: &Cause, grade: Option<Grade>) -> QuoteOption {
        let fitted: Vec<Fitted> = cause.parts.iter().map(|part| self.fitted(*part, grade)).collect();
        let parts = cents(fitted.iter().fold(0.0, |sum, part| sum + part.price));
        let minutes = self.minutes(&cause.parts);
        let money = self.money(parts, minutes);
        let names: Vec<&str> = cause
            .parts
            .iter()
            .map(|part| self.circuit.parts[part.0].id.as_str())
            .collect();
        QuoteOption {
            what: self.what(&cause.parts, grade),
            part: Some(names.join(" + ")),
            grade,
            cause: Some(cause.probability),
            parts,
            price_given: fitted.iter().all(|part| part.given),
            minutes,
            work: money.work,
            tax: money.tax,
            total: money.total,
            // Each is renewed again when it fails by itself.
            expected: cents(fitted.iter().fold(0.0, |sum, part| sum + part.expected)),
            life_km: Some(
                fitted
                    .iter()
                    .fold(f64::INFINITY, |least, part| least.min(part.life_km)),
            ),
            bad_from_new: 1.0 - fitted.iter().fold(1.0, |good, part| good * (1.0 - part.bad)),
        }
    }

    fn fitted(&self, id: PartId, grade: Option<Grade>) -> Fitted {
        let part = &self.circuit.parts[id.0];
        let grade = grade.filter(|_| renews(part.kind));
        let (price, given) = self.price(part, grade.unwrap_or(Grade::Original));
        let seen = self.sums.kinds.get(part.kind.name);
        let bad = grade.map_or(part.kind.repair.bad_new, |grade| bad_from_new(grade, seen));
        let life = life_factor(grade) * lasts_km(original_km(part.kind.symbol), seen);
        let total = self.money(price, self.minutes(&[id])).total;
        let again = self.money(0.0, again_minutes()).total;
        Fitted {
            price,
            given,
            bad,
            life_km: life,
            expected: per_100_000_km(&DistanceCost {
                fitted: total,
                found_bad: again,
                bad_from_new: bad,
                life_km: life,
            }),
        }
    }

    /// A given price; else the grade's share of the original's, which is the given one or the circuit's.
    fn price(&self, part: &Part, grade: Grade) -> (f64, bool) {
        if let Some(price) = self.terms.given(&part.id, grade) {
            return (cents(price), true);
        }
        let original = self.terms.given(&part.id, Grade::Original);
        let original = original.unwrap_or(part.repair.price);
        (cents(original * price_factor(grade)), false)
    }

    /// Minutes to reach the parts as the vehicle stands, to mend them, and to prove the repair.
    fn minutes(&self, parts: &[PartId]) -> f64 {
        let own = |part: &PartId| &self.circuit.parts[part.0];
        let needs: Vec<AccessId> = parts
            .iter()
            .flat_map(|part| own(part).reach.needs.clone())
            .collect();
        let access = self.circuit.access_minutes(&needs, &self.bay.open);
        let mending = parts.iter().fold(0.0, |sum, part| sum + own(part).repair.minutes);
        access + mending + Shop::default().proof_minutes
    }

    /// Each figure to the hundredth, so that they add up as they are written.
    fn money(&self, parts: f64, minutes: f64) -> Money {
        let work = cents(minutes * self.terms.rate_per_hour() / 60.0);
        let tax = cents((parts + work) * self.terms.tax_percent() / 100.0);
        Money {
            work,
            tax,
            total: cents(parts + work + tax),
        }
    }

    fn what(&self, parts: &[PartId], grade: Option<Grade>) -> String {
        let each = parts.iter().map(|part| {
            let own = &self.circuit.parts[part.0];
            format!("{} ({})", own.kind.repair.what, super::words::part(own))
        });
        let what = each.collect::<Vec<_>>().join(" and ");
        match grade {
            Some(grade) if parts.len() > 1 => format!("{what}, {} parts", grade.name()),
            Some(grade) => format!("{what}, {} part", grade.name()),
            None => what,
        }
    }
}
