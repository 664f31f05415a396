//! Laws of a whole plan on the shipped circuits: what must hold whatever the search finds.
#![allow(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use engine::{
    Band, Bay, Course, CourseStep, Effort, Evidence, Haste, Model, Observation, Outcome, Question, Shop,
    belief, course, load, shipped, shipped_called,
};

const IN_HG: f64 = 3_386.388_640_341;

fn model(name: &str) -> Model {
    let shipped = shipped_called(name).unwrap();
    load(shipped.name, shipped.text).model.unwrap()
}

fn planned(model: &Model, evidence: &Evidence, nodes: usize, instead: Option<usize>) -> Course {
    let belief = belief(model, evidence, Effort::brisk());
    let question = Question {
        haste: Haste::Soon,
        unit: &|_| 1.0,
        instead,
    };
    let bay = evidence.observations.iter().fold(Bay::default(), |bay, made| {
        bay.after(model.circuit(), &model.checks()[made.check])
    });
    course(
        &belief,
        evidence,
        &Shop::default(),
        &bay,
        &question,
        &mut |progress| progress.nodes < nodes,
    )
}

/// Walks a plan: `bay` and the checks made as they are at `step`. The probability that is cured on the way.
fn walk(model: &Model, step: &CourseStep, bay: &Bay, made: &mut Vec<usize>) -> f64 {
    match step {
        CourseStep::Check {
            check,
            minutes,
            probability,
            branches,
        } => {
            let spec = &model.checks()[*check];
            assert!(!made.contains(check), "{} twice", spec.id);
            assert!(
                (bay.minutes(model.circuit(), spec) - minutes).abs() < 1e-9,
                "{}",
                spec.id
            );
            let sum: f64 = branches.iter().map(|branch| branch.probability).sum();
            assert!(
                (sum - probability).abs() < 1e-9,
                "{}: {sum} of {probability}",
                spec.id
            );
            bands_meet(&branches.iter().map(|branch| branch.band).collect::<Vec<_>>());
            let after = bay.after(model.circuit(), spec);
            made.push(*check);
            let cured = branches
                .iter()
                .map(|branch| walk(model, &branch.then, &after, made))
                .sum();
            made.pop();
            cured
        }
        CourseStep::Renew {
            probability,
            cures,
            otherwise,
            ..
        }
        | CourseStep::Beyond {
            probability,
            cures,
            otherwise,
        } => {
            assert!(*cures >= 0.0 && *cures <= probability + 1e-12);
            cures
                + otherwise
                    .as_ref()
                    .map_or(0.0, |next| walk(model, next, bay, made))
        }
    }
}

/// Five bands at most, from the lowest to the highest without a gap; or no and yes.
fn bands_meet(bands: &[Band]) {
    assert!(bands.len() <= 5, "{bands:?}");
    if let [Band::No, Band::Yes] = bands {
        return;
    }
    for pair in bands.windows(2) {
        let (Band::Range { from, to }, Band::Range { from: next, .. }) = (pair[0], pair[1]) else {
            panic!("{bands:?}");
        };
        assert!(to.is_some() && to == next, "{bands:?}");
        assert!(from.is_none_or(|from| from < to.unwrap()), "{bands:?}");
    }
}

#[test]
fn a_plan_is_one_from_end_to_end() {
    for shipped in shipped() {
        let model = model(shipped.name);
        let found = planned(&model, &Evidence::default(), 40, None);
        let cured = walk(&model, &found.first, &Bay::default(), &mut Vec::new());
        // What is cut short at the end of long chains of repairs is a ten-thousandth each.
        assert!(cured > 0.98 && cured < 1.0 + 1e-9, "{}: {cured}", shipped.name);
    }
}

#[test]
fn figures_of_a_plan_belong_together() {
    for shipped in shipped() {
        let model = model(shipped.name);
        let found = planned(&model, &Evidence::default(), 60, None);
        let name = shipped.name;
        let sum = found.expected_minutes * Shop::default().rate + found.expected_price;
        assert!((sum - found.expected_cost).abs() < 1e-9 * sum, "{name}");
        assert!(found.lower_bound <= found.expected_cost, "{name}");
        assert!(found.planned_cost <= found.without_checks + 1e-9, "{name}");
        assert!(
            found.expected_cost < 0.75 * found.parts_first,
            "{name}: {found:?}"
        );
    }
}

#[test]
fn looking_longer_never_makes_a_plan_dearer() {
    let model = model("starter-circuit");
    let costs: Vec<f64> = [1, 10, 40, 120]
        .map(|nodes| planned(&model, &Evidence::default(), nodes, None).planned_cost)
        .into();
    assert!(
        costs.windows(2).all(|pair| pair[1] <= pair[0] + 1e-9),
        "{costs:?}"
    );
}

#[test]
fn the_same_question_has_the_same_answer() {
    let model = model("vacuum-wastegate");
    let ask = || planned(&model, &Evidence::default(), 30, None);
    assert_eq!(ask(), ask());
}

#[test]
fn another_first_check_costs_no_less() {
    let model = model("vacuum-wastegate");
    let look = model.check("look:pump@off").unwrap();
    let found = planned(&model, &Evidence::default(), 100, Some(look));
    assert!(found.instead.unwrap() >= found.planned_cost - 1e-6, "{found:?}");
}

/// Full vacuum at the pump, a third of it behind the line, a crack to be seen in between, and all is well with another line: the line. Common practice, no
/// source.
#[test]
fn what_was_read_is_not_planned_again_and_a_plain_cause_is_renewed() {
    let model = model("vacuum-wastegate");
    let made = [
        ("deadhead:pump.inlet@idle", Outcome::Value(27.0 * IN_HG)),
        ("deadhead:valve.source@idle", Outcome::Value(8.0 * IN_HG)),
        ("look:source-line@off", Outcome::Yes),
        ("swap:source-line@idle", Outcome::Yes),
    ];
    let observations: Vec<Observation> = made
        .iter()
        .map(|(check, outcome)| Observation {
            check: model.check(check).unwrap(),
            outcome: *outcome,
            instrument: None,
        })
        .collect();
    let mut bay = Bay::default();
    for count in 1..=made.len() {
        let evidence = Evidence {
            observations: observations[..count].to_vec(),
            ..Evidence::default()
        };
        let mut read: Vec<usize> = evidence.observations.iter().map(|made| made.check).collect();
        bay = bay.after(model.circuit(), &model.checks()[read[count - 1]]);
        let found = planned(&model, &evidence, 60, None);
        walk(&model, &found.first, &bay, &mut read);
        if count == made.len() {
            let CourseStep::Renew { part, .. } = &found.first else {
                panic!("a check is to be made although all is shown");
            };
            assert_eq!(model.circuit().parts[part.0].id, "source-line");
        }
    }
}
