//! The offer for a job: what was spent, ways to repair with what each costs now and over its life, what going on would cost, and
//! what happens if the customer stops here.
//!
//! Pure: same belief, job and terms, same offer; the plan behind [`Quote::going_on`] is counted in nodes, not in seconds. The
//! long run is DERIVATIONS 18. Prices of parts are the circuit's usual ones unless a person gave one.

mod lives;
mod options;
mod spent;
mod terms;
mod words;

pub use lives::{DistanceCost, again_minutes, life_factor, original_km, per_100_000_km, price_factor};
pub use options::renews;
pub use terms::{Terms, TermsError};

use crate::readings::Evidence;
use crate::{Haste, Question, course};
use belief::Belief;
use job::{Job, Quote};
use life::Sums;
use plan::{Bay, CourseStep, Shop};

/// Nodes of the search behind the cost of going on: the same answer on every machine, in well under a second on a shipped circuit.
const NODES: usize = 400;
/// Least rate a plan is made with, per minute: where work costs nothing the quicker way is still the better one.
const LEAST_RATE: f64 = 1e-3;

/// The offer for `job`, as `belief`, `evidence` and the vehicle in the `bay` stand; `sums`: what closed jobs teach of lives and of parts
/// bad from new.
pub fn quote(
    belief: &Belief,
    evidence: &Evidence,
    bay: &Bay,
    job: &Job,
    terms: &Terms,
    sums: &Sums,
) -> Quote {
    let spent = spent::spent(belief.model(), job);
    let with_tax = 1.0 + terms.tax_percent() / 100.0;
    let work = cents(spent.minutes * terms.rate_per_hour() / 60.0);
    let so_far = cents((work + spent.parts) * with_tax);
    let mut quote = Quote {
        currency: terms.currency().to_owned(),
        rate_per_hour: terms.rate_per_hour(),
        tax_percent: terms.tax_percent(),
        minutes_so_far: spent.minutes,
        minutes_usual: spent.usual,
        parts_so_far: spent.parts,
        so_far,
        options: options::options(belief, bay, job, terms, sums),
        going_on: None,
        renew_first: None,
        if_stopped: String::new(),
        prices: terms.prices().to_vec(),
    };
    if job.proven.is_none() {
        let (cost, first) = going_on(belief, evidence, bay, terms);
        (quote.going_on, quote.renew_first) = (Some(cost), first);
    }
    quote.if_stopped = words::if_stopped(belief, job, &quote);
    quote
}

/// What the plan until a proven repair is expected to cost from here, with tax, and the part it renews at once, if so; parts at the
/// circuit's usual prices.
fn going_on(belief: &Belief, evidence: &Evidence, bay: &Bay, terms: &Terms) -> (f64, Option<String>) {
    let rate = terms.rate_per_hour() / 60.0;
    let shop = Shop {
        rate: rate.max(LEAST_RATE),
        ..Shop::default()
    };
    let question = Question {
        haste: Haste::AtOnce,
        unit: &|_| 1.0,
        instead: None,
    };
    let course = course(belief, evidence, &shop, bay, &question, &mut |progress| {
        progress.nodes < NODES
    });
    let before_tax = course.expected_minutes * rate + course.expected_price;
    let first = match course.first {
        CourseStep::Renew { part, .. } => Some(belief.model().circuit().parts[part.0].id.clone()),
        _ => None,
    };
    (cents(before_tax * (1.0 + terms.tax_percent() / 100.0)), first)
}

/// To the hundredth: what is written on an offer adds up as written.
fn cents(amount: f64) -> f64 {
    quantity::round_half_away(amount, 2)
}
