//! What is known and what happens if the customer stops here, in plain words, no surer than it is.

use belief::Belief;
use circuit::{Circuit, FaultId, Part, Supplies};
use job::{Job, Quote};

/// Suspects below this are not told to a customer: too many names say nothing.
const TOLD: f64 = 0.05;
/// At most so many.
const MOST: usize = 2;

/// The author's words for a part, or its kind with its name.
pub(super) fn part(part: &Part) -> String {
    let kind = part.kind.name;
    part.what
        .clone()
        .unwrap_or_else(|| format!("{kind} `{}`", part.id))
}

/// What is known, what stays in the vehicle, what that may mean, what was spent.
pub(super) fn if_stopped(belief: &Belief, job: &Job, quote: &Quote) -> String {
    let circuit = belief.model().circuit();
    let mut sentences = vec![known(belief, job, quote), stays(circuit, job)];
    if circuit.supplies().contains(&Supplies::Vacuum) {
        sentences.push(
            "Brakes may be served by the same vacuum: if the pedal becomes hard, do not drive on.".to_owned(),
        );
    }
    if !circuit.symptoms.is_empty() {
        sentences.push(format!(
            "A fault in this circuit can show as: {}.",
            circuit.symptoms.join(", ")
        ));
    }
    sentences.push("Whether it gets worse, or harms something else, was not measured.".to_owned());
    sentences.push(format!(
        "Spent until now: {:.0} minutes, {:.2} {} with tax.",
        quote.minutes_so_far, quote.so_far, quote.currency
    ));
    sentences.join(" ")
}

fn known(belief: &Belief, job: &Job, quote: &Quote) -> String {
    let circuit = belief.model().circuit();
    if let Some(proven) = &job.proven {
        let faults: Vec<String> = proven.faults.iter().map(|id| named(circuit, id)).collect();
        let faults = faults.join("; and ");
        return match &proven.by_hand {
            // Proven is that it is at fault; whether nothing else is, is another question.
            None => {
                let whole = quote.options.first().and_then(|option| option.cause);
                let whole = whole.map_or_else(String::new, |chance| {
                    format!(
                        " The chance that this is all that is wrong here: {}.",
                        in_100(chance)
                    )
                });
                format!("Proven to be at fault: {faults}.{whole}")
            }
            Some(reason) => format!(
                "We take this to be the cause: {faults}. The measurements alone make it {}; what decided was: {reason}.",
                in_100(proven.probability)
            ),
        };
    }
    let begins = if job.counting().next().is_none() {
        "The cause is not known: nothing has been measured yet. By experience with such circuits it could be"
    } else {
        "The cause is not proven. By what was measured it could be"
    };
    let listed = belief
        .suspects()
        .iter()
        .filter(|suspect| !suspect.faults.is_empty());
    let mut could: Vec<(String, f64)> = listed
        .take(MOST)
        .map(|suspect| {
            let faults: Vec<String> = suspect.faults.iter().map(|fault| told(circuit, *fault)).collect();
            (faults.join(" together with "), suspect.probability)
        })
        .collect();
    could.push(("nothing in this circuit".to_owned(), belief.nothing_wrong()));
    could.push(("something that is not listed".to_owned(), belief.not_listed()));
    could.retain(|(_, probability)| *probability >= TOLD);
    could.sort_by(|a, b| b.1.total_cmp(&a.1));
    let could: Vec<String> = could
        .into_iter()
        .map(|(what, probability)| format!("{what} (chance {})", in_100(probability)))
        .collect();
    if could.is_empty() {
        return "The cause is not known: nothing stands out yet.".to_owned();
    }
    format!("{begins}: {}.", could.join("; or "))
}

/// A fault in words: "hose from the pump to the solenoid: split or rubbed through".
fn told(circuit: &Circuit, fault: FaultId) -> String {
    let own = &circuit.parts[fault.part.0];
    format!("{}: {}", part(own), circuit.fault_spec(fault).what)
}

/// The same for `PART/FAULT` or a part as a person wrote it.
fn named(circuit: &Circuit, id: &str) -> String {
    if let Some(fault) = circuit.fault(id) {
        return told(circuit, fault);
    }
    circuit
        .part(id)
        .map_or_else(|| id.to_owned(), |own| part(&circuit.parts[own.0]))
}

fn stays(circuit: &Circuit, job: &Job) -> String {
    let named = |id: &str| {
        circuit
            .part(id)
            .map_or_else(|| id.to_owned(), |own| part(&circuit.parts[own.0]))
    };
    let done: Vec<String> = job.repairs.iter().map(|repair| named(&repair.part)).collect();
    if done.is_empty() {
        return "Nothing has been repaired, so whatever is wrong stays in the vehicle.".to_owned();
    }
    let proof = if !job.proofs.is_empty() && job.proofs.iter().all(|proof| proof.good) {
        "the checks after it were good"
    } else {
        "that this cures the complaint is not proven"
    };
    format!("Repaired until now: {}; {proof}.", done.join(", "))
}

/// `31 in 100`, never none or all.
fn in_100(probability: f64) -> String {
    match 100.0 * probability {
        p if p < 0.95 => "less than 1 in 100".to_owned(),
        p if p > 99.0 => "more than 99 in 100".to_owned(),
        p => format!("{p:.0} in 100"),
    }
}
