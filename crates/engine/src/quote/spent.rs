//! What a job has taken until now: minutes that were noted, the usual ones where nobody noted any, parts that were fitted.

use super::cents;
use job::{Job, Said};
use physics::Model;
use plan::Bay;

/// What was spent.
pub(super) struct Spent {
    /// Hands-on minutes.
    pub(super) minutes: f64,
    /// Those of them that nobody noted.
    pub(super) usual: f64,
    /// Prices of parts that were fitted, before tax.
    pub(super) parts: f64,
}

/// What `job` has taken. A check without minutes counts with its usual ones, the way to it included; one that was not done or was taken
/// back without minutes counts nothing.
pub(super) fn spent(model: &Model, job: &Job) -> Spent {
    let (circuit, checks) = (model.circuit(), model.checks());
    let mut bay = Bay::default();
    let mut usual = 0.0;
    for reading in job.counting() {
        if matches!(&reading.said, Said::Answer(answer) if answer == "not done") {
            continue;
        }
        let Some(check) = checks.iter().find(|check| check.id == reading.check) else {
            continue;
        };
        if reading.minutes.is_none() {
            usual += bay.minutes(circuit, check);
        }
        bay = bay.after(circuit, check);
    }
    for repair in &job.repairs {
        if let (None, Some(part)) = (repair.minutes, circuit.part(&repair.part)) {
            usual += circuit.parts[part.0].repair.minutes;
        }
    }
    let prices = job.repairs.iter().filter_map(|repair| repair.price);
    Spent {
        minutes: job.minutes() + usual,
        usual,
        // Not `sum`: of nothing that is -0.
        parts: cents(prices.fold(0.0, |sum, price| sum + price)),
    }
}
