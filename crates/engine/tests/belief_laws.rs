//! Laws of the belief on a shipped circuit: what must hold whatever the readings are.
#![allow(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use engine::{
    Effort, Evidence, Model, Observation, Outcome, belief, evidence, load, outlook, shipped_called,
};

const IN_HG: f64 = 3_386.388_640_341;

fn wastegate() -> Model {
    let shipped = shipped_called("vacuum-wastegate").unwrap();
    load(shipped.name, shipped.text).model.unwrap()
}

fn observed(model: &Model, readings: &[(&str, Outcome)]) -> Evidence {
    let observations = readings
        .iter()
        .map(|(check, outcome)| Observation {
            check: model.check(check).unwrap(),
            outcome: *outcome,
            instrument: None,
        })
        .collect();
    Evidence {
        observations,
        ..Evidence::default()
    }
}

fn inches(value: f64) -> Outcome {
    Outcome::Value(value * IN_HG)
}

fn brisk() -> Effort {
    Effort::brisk()
}

#[test]
fn probabilities_sum_to_one_and_parts_hold_their_faults() {
    let model = wastegate();
    let evidence = observed(
        &model,
        &[
            ("tee:valve.source@idle", inches(9.0)),
            ("click:valve@key-on", Outcome::Yes),
        ],
    );
    let belief = belief(&model, &evidence, brisk());
    let total: f64 = belief
        .suspects()
        .iter()
        .map(|suspect| suspect.probability)
        .sum::<f64>()
        + belief.not_listed();
    assert!((total - 1.0).abs() < 1e-9, "{total}");
    let parts = belief.parts();
    for (fault, probability) in belief.faults() {
        assert!(probability <= parts[fault.part.0] + 1e-12);
    }
}

#[test]
fn the_order_of_readings_carries_no_information() {
    let model = wastegate();
    let mut readings = vec![
        ("deadhead:valve.source@idle", inches(27.0)),
        ("tee:valve.source@idle", inches(9.0)),
        ("click:valve@key-on", Outcome::Yes),
        ("volts:driver.pin@key-on", Outcome::Over(1.0)),
    ];
    let forward = belief(&model, &observed(&model, &readings), brisk());
    readings.reverse();
    let backward = belief(&model, &observed(&model, &readings), brisk());
    for suspect in forward.suspects().iter().take(20) {
        let other = backward
            .suspects()
            .iter()
            .find(|other| other.faults == suspect.faults)
            .unwrap();
        // The same samples in the same networks; only the order of factors in a product differs.
        assert!(
            (suspect.probability - other.probability).abs() < 1e-9,
            "{suspect:?} {other:?}"
        );
    }
}

#[test]
fn the_number_of_threads_changes_nothing() {
    let model = wastegate();
    let evidence = observed(
        &model,
        &[
            ("tee:valve.source@idle", inches(9.0)),
            ("tee:actuator.nipple@idle", inches(8.0)),
        ],
    );
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        pool.install(|| {
            let belief = belief(&model, &evidence, brisk());
            belief
                .suspects()
                .iter()
                .map(|suspect| suspect.probability.to_bits())
                .collect::<Vec<_>>()
        })
    };
    assert_eq!(with(1), with(3));
}

#[test]
fn what_could_not_be_done_says_nothing_and_is_not_asked_again() {
    let model = wastegate();
    let text = "[[reading]]\ncheck = \"tee:actuator.nipple@idle\"\nanswer = \"could not do it\"\n";
    let evidence = evidence(&model, text).0.unwrap();
    let (with, without) = (
        belief(&model, &evidence, brisk()),
        belief(&model, &Evidence::default(), brisk()),
    );
    assert_eq!(with.parts(), without.parts());
    let next = engine::next(
        &outlook(&with),
        &evidence,
        &engine::Shop::default(),
        &engine::Bay::default(),
    );
    let refused = model.check("tee:actuator.nipple@idle").unwrap();
    assert!(next.iter().all(|next| next.check != refused));
}

#[test]
fn one_odd_reading_never_sets_a_suspect_to_zero() {
    let model = wastegate();
    // Full vacuum at the pump and little at the solenoid, both teed, say a blocked line; then the gauge is misread.
    let good = [
        ("tee:pump.inlet@idle", inches(27.0)),
        ("tee:valve.source@idle", inches(6.0)),
    ];
    let odd = [good[0], good[1], ("tee:valve.output@idle", inches(24.0))];
    let blocked = model.circuit().fault("source-line/blocked").unwrap();
    let of = |readings: &[(&str, Outcome)]| {
        let belief = belief(&model, &observed(&model, readings), Effort::default());
        let fit = belief.fit();
        (
            belief
                .faults()
                .iter()
                .find(|(fault, _)| *fault == blocked)
                .unwrap()
                .1,
            fit,
        )
    };
    let ((before, fit_before), (after, fit_after)) = (of(&good), of(&odd));
    assert!(before > 0.6, "{before}");
    assert!(after > 0.05, "not zero: {after}");
    assert!(fit_before.fit > 0.1 && fit_before.odd.is_none(), "{fit_before:?}");
    assert!(fit_after.fit < 0.05, "{fit_after:?}");
}

#[test]
fn a_gauge_that_lies_everywhere_by_the_same_factor_is_suspected_itself() {
    let model = wastegate();
    // All three points read about 18 % low: a sound circuit shows 28, 25.5 and 17 inHg.
    let readings = [
        ("deadhead:valve.source@idle", inches(23.0)),
        ("tee:valve.source@idle", inches(21.0)),
        ("tee:actuator.nipple@idle", inches(14.0)),
        ("travel:actuator.rod@idle", Outcome::Value(0.0088)),
    ];
    let belief = belief(&model, &observed(&model, &readings), Effort::default());
    let gauge = belief
        .doubtful_instruments()
        .into_iter()
        .find(|(tool, ..)| *tool == circuit::Instrument::VacuumGauge)
        .unwrap();
    // Three in a hundred gauges are that far off; a pump short of vacuum shows the same and stays possible.
    assert!(gauge.2 > 0.15, "the gauge is off with probability {}", gauge.2);
}

#[test]
fn severity_narrows_to_what_is_hidden() {
    let model = wastegate();
    let blocked = model.circuit().fault("source-line/blocked").unwrap();
    let before = belief(&model, &Evidence::default(), brisk()).severity(blocked);
    let evidence = observed(
        &model,
        &[
            ("deadhead:valve.source@idle", inches(27.5)),
            ("tee:valve.source@idle", inches(8.5)),
        ],
    );
    let after = belief(&model, &evidence, Effort::default())
        .severity(blocked)
        .unwrap();
    // Without readings there are no samples to speak of severity; afterwards a range around the opening that reads 8.5 inHg.
    assert!(before.is_none_or(|before| before[2] - before[0] > after[2] - after[0]));
    assert!(
        after[0] > 0.4e-3 && after[2] < 0.8e-3 && after[2] - after[0] < 0.15e-3,
        "{after:?}"
    );
}

#[test]
fn an_unlikely_but_possible_reading_is_taken_and_shown_as_odd() {
    let model = wastegate();
    let readings = [
        ("tee:valve.source@idle", inches(25.5)),
        ("tee:actuator.nipple@idle", inches(17.0)),
        ("tee:valve.output@idle", inches(3.0)),
    ];
    let belief = belief(&model, &observed(&model, &readings), Effort::default());
    let fit = belief.fit();
    assert!(fit.fit < 0.05, "{fit:?}");
    assert!(fit.odd.is_some());
}

#[test]
fn a_reading_that_cannot_tell_says_nothing_of_a_suspect_however_unlikely_it_has_become() {
    let model = wastegate();
    let readings = [
        ("deadhead:valve.source@idle", inches(28.0)),
        ("tee:valve.source@idle", inches(8.0)),
        ("tee:valve.output@idle", inches(7.5)),
    ];
    let belief = belief(&model, &observed(&model, &readings), brisk());
    let seized = model.circuit().fault("flap/seized").unwrap();
    let index = belief
        .suspects()
        .iter()
        .position(|suspect| suspect.faults == [seized])
        .unwrap();
    assert!(
        belief.suspects()[index].probability < 1e-3,
        "refuted by the teed readings"
    );
    let dead = model.check("deadhead:valve.source@idle").unwrap();
    let reason = belief
        .reasons(index)
        .into_iter()
        .find(|reason| reason.check == dead)
        .unwrap();
    // A seized flap reads as a sound circuit there, and so does what leads; the reading speaks against pumps, not against it.
    assert!(reason.factor > 0.5, "{reason:?}");
}
