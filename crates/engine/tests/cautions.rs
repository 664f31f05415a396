//! What can hurt comes with the check, and only where it can. Common practice, no source.
#![allow(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use engine::{cautions, cautions_of_work, load, shipped};

#[test]
fn a_running_engine_warns_of_what_turns_and_a_standing_one_does_not() {
    let mut running = 0;
    for shipped in shipped() {
        let model = load(shipped.name, shipped.text).model.unwrap();
        let circuit = model.circuit();
        for check in model.checks() {
            let found = cautions(circuit, check);
            let turns = found.iter().filter(|caution| caution.running_only).count();
            if circuit.conditions[check.condition.0].running() {
                running += turns;
            } else {
                assert_eq!(turns, 0, "{}", check.id);
            }
            for (place, caution) in found.iter().enumerate() {
                assert!(!found[..place].contains(caution), "{} says it twice", check.id);
            }
        }
        for part in 0..circuit.parts.len() {
            let work = cautions_of_work(circuit, circuit::PartId(part));
            assert!(work.iter().all(|caution| !caution.running_only));
        }
    }
    assert!(running > 0);
}
