//! What is known of a vehicle moves the odds; a job's readings are evidence like any other. The figures themselves are from memory.
#![allow(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]
#![allow(clippy::float_cmp, reason = "what is compared is rounded to nine decimals")]

mod common;

use common::{entry, intake, job, read};
use engine::{Effort, Model, belief, changed, history, job_evidence, load, load_job, shipped_called};
use job::{Behind, CodeStatus, Event, Grade, Intake, Job, Mended, Replaced};
use life::Sums;
use proptest::prelude::*;

const WASTEGATE: &str = "vacuum-wastegate";

fn plain() -> Model {
    load(WASTEGATE, shipped_called(WASTEGATE).unwrap().text)
        .model
        .unwrap()
}

fn with_history(job: &Job) -> Model {
    load_job(job, &Sums::default()).0.model.unwrap()
}

/// Share of a part among all causes.
fn share(model: &Model, part: &str) -> f64 {
    let id = model.circuit().part(part).unwrap();
    let faults = model.circuit().faults();
    faults
        .iter()
        .filter(|(fault, _)| fault.part == id)
        .map(|(_, share)| share)
        .sum()
}

fn replaced(part: &str, km: Option<f64>, days: Option<f64>, grade: Option<Grade>) -> Replaced {
    Replaced {
        part: part.to_owned(),
        km_ago: km,
        days_ago: days,
        grade,
    }
}

fn parts_replaced(replaced: Vec<Replaced>) -> Job {
    job(
        Intake {
            replaced,
            ..intake(WASTEGATE)
        },
        Vec::new(),
    )
}

fn codes(codes: &[&str]) -> Job {
    let noted = |code: &&str| Event::CodeNoted {
        code: (*code).to_owned(),
        status: CodeStatus::Stored,
    };
    job(intake(WASTEGATE), codes.iter().map(noted).collect())
}

/// By what the weight of a part was multiplied, to nine decimals.
fn ratio(job: &Job, part: &str) -> f64 {
    let weight = |model: &Model| {
        let id = model.circuit().part(part).unwrap();
        model.circuit().parts[id.0].weights.iter().sum::<f64>()
    };
    (weight(&with_history(job)) / weight(&plain()) * 1e9).round() / 1e9
}

#[test]
fn a_hose_renewed_two_thousand_kilometres_ago_falls_and_its_neighbours_rise() {
    let job = parts_replaced(vec![replaced(
        "source-line",
        Some(2_000.0),
        None,
        Some(Grade::Original),
    )]);
    let (before, after) = (plain(), with_history(&job));
    assert!(share(&after, "source-line") < share(&before, "source-line"));
    for neighbour in ["pump", "valve"] {
        assert!(
            share(&after, neighbour) > share(&before, neighbour),
            "{neighbour}"
        );
    }
    let no_reading = engine::Evidence::default();
    let belief_of = |model: &Model, part: &str| {
        belief(model, &no_reading, Effort::brisk()).parts()[model.circuit().part(part).unwrap().0]
    };
    assert!(belief_of(&after, "source-line") < belief_of(&before, "source-line"));
    assert!(belief_of(&after, "valve") > belief_of(&before, "valve"));
}

#[test]
fn a_valve_renewed_last_week_leaves_hoses_and_wires_beside_it_suspect_and_no_other() {
    let job = parts_replaced(vec![replaced("valve", None, Some(6.0), None)]);
    for beside in ["source-line", "signal-line", "supply-wire", "driver-wire"] {
        assert!((ratio(&job, beside) - 3.0).abs() < 1e-12, "{beside}");
    }
    for elsewhere in ["pump", "actuator", "fuse"] {
        assert_eq!(ratio(&job, elsewhere), 1.0, "{elsewhere}");
    }
    let long_ago = parts_replaced(vec![replaced("valve", None, Some(60.0), None)]);
    assert_eq!(
        ratio(&long_ago, "source-line"),
        1.0,
        "two months later they would have shown"
    );
    assert!(ratio(&long_ago, "valve") < 1.0);
}

#[test]
fn the_cheaper_the_new_part_the_more_suspect_it_stays() {
    let with = |grade| {
        ratio(
            &parts_replaced(vec![replaced("valve", None, Some(9.0), Some(grade))]),
            "valve",
        )
    };
    let (original, equivalent, budget) = (
        with(Grade::Original),
        with(Grade::Equivalent),
        with(Grade::Budget),
    );
    assert!(
        original < equivalent && equivalent < budget,
        "{original} {equivalent} {budget}"
    );
    // By hand: the valve holds 44 of 99 parts of the weight; half of its wear stays, and five times 2 % of everything comes.
    let total: f64 = plain()
        .circuit()
        .parts
        .iter()
        .flat_map(|part| part.weights.clone())
        .sum();
    assert!(
        (equivalent - (0.5 + 5.0 * 0.02 * total / 44.0)).abs() < 1e-9,
        "{equivalent}"
    );
}

#[test]
fn a_part_renewed_in_this_job_counts_once_the_complaint_is_back() {
    let repaired = Event::Repaired {
        part: "valve".to_owned(),
        how: Mended::Renewed,
        grade: Some(Grade::Original),
        price: None,
        minutes: None,
        behind: Behind::NotFound,
    };
    let entries = |events: Vec<Event>| {
        let all = std::iter::once(Event::TakenIn {
            intake: intake(WASTEGATE),
        })
        .chain(events);
        (0..)
            .zip(all)
            .map(|(turn, event)| entry(turn, event))
            .collect::<Vec<_>>()
    };
    let mut job = Job::fold(&entries(Vec::new())).unwrap();
    assert!(
        history(plain().circuit(), &job, &Sums::default())
            .moved
            .is_empty()
    );
    let proven = Event::CauseProven {
        faults: vec!["valve/coil open".to_owned()],
        shown_by: vec!["ohms:valve@off".to_owned()],
        probability: 0.97,
        by_hand: None,
    };
    let back = Event::Reopened {
        reason: "no power again".to_owned(),
        comeback: true,
        odometer_km: None,
    };
    let closed = Event::Closed {
        how: job::Closing::Unverified("the customer was in a hurry".to_owned()),
    };
    job = Job::fold(&entries(vec![proven, repaired, closed, back])).unwrap();
    assert!(job.odd.is_empty() && job.comebacks.len() == 1, "{:?}", job.odd);
    let history = history(plain().circuit(), &job, &Sums::default());
    let valve = plain().circuit().part("valve").unwrap();
    assert!(
        history
            .moved
            .iter()
            .any(|moved| moved.part == valve && moved.factor < 1.0)
    );
    assert!((ratio(&job, "source-line") - 3.0).abs() < 1e-12);
}

#[test]
fn a_high_distance_wears_what_moves_unless_it_is_new() {
    let mut door = intake(WASTEGATE);
    door.vehicle.odometer_km = Some(240_000.0);
    door.replaced = vec![replaced("pump", None, Some(40.0), Some(Grade::Original))];
    let worn = job(door, Vec::new());
    assert_eq!(ratio(&worn, "valve"), 1.5);
    assert_eq!(ratio(&worn, "source-line"), 1.0, "a hose does not move");
    assert!(ratio(&worn, "pump") < 1.0);
}

#[test]
fn oil_attacks_rubber_only() {
    let oil_soaked = vec!["signal-line".to_owned(), "actuator".to_owned(), "fuse".to_owned()];
    let oiled = job(
        Intake {
            oil_soaked,
            ..intake(WASTEGATE)
        },
        Vec::new(),
    );
    assert_eq!(ratio(&oiled, "signal-line"), 3.0);
    let actuator = ratio(&oiled, "actuator");
    assert!(
        actuator > 1.0 && actuator < 3.0,
        "its diaphragm, not its spring: {actuator}"
    );
    let history = history(plain().circuit(), &oiled, &Sums::default());
    assert_eq!(history.not_used.len(), 1);
    assert_eq!(history.not_used[0].said, "fuse");
}

#[test]
fn an_electrical_code_raises_coils_and_wires_and_lowers_nothing() {
    let job = codes(&["p0243"]);
    assert_eq!(ratio(&job, "driver-wire"), 3.0);
    let valve = ratio(&job, "valve");
    assert!(valve > 1.0 && valve < 3.0, "its coil, not its seat: {valve}");
    assert_eq!(ratio(&job, "source-line"), 1.0);
    let nothing = ratio(&codes(&["P0299"]), "driver-wire");
    assert_eq!(
        nothing, 1.0,
        "a physical code alone says what the circuit says already"
    );
}

#[test]
fn several_codes_point_to_what_they_share() {
    let supply = codes(&["P0562", "P0641"]);
    assert_eq!((ratio(&supply, "battery"), ratio(&supply, "fuse")), (8.0, 8.0));
    assert_eq!(ratio(&supply, "driver-wire"), 3.0);
    let source = codes(&["P0299", "P0401"]);
    assert_eq!(ratio(&source, "pump"), 5.0);
    assert_eq!(
        ratio(&codes(&["P0299", "P0234"]), "pump"),
        1.0,
        "both watch the boost"
    );
}

#[test]
fn what_a_person_ruled_out_stays_possible() {
    let out = |what: &str| Event::RuledOut {
        what: what.to_owned(),
        reason: "swapped yesterday".to_owned(),
    };
    let job = job(
        intake(WASTEGATE),
        vec![out("pump"), out("pump"), out("valve/coil open"), out("vlave")],
    );
    assert!(
        (ratio(&job, "pump") - 0.02).abs() < 1e-12,
        "said twice is said once"
    );
    let valve = ratio(&job, "valve");
    assert!(valve < 1.0 && valve > 0.5, "{valve}");
    let history = history(plain().circuit(), &job, &Sums::default());
    assert_eq!(history.not_used[0].better.as_deref(), Some("valve"));
}

#[test]
fn a_part_that_the_circuit_does_not_know_is_reported_with_the_nearest_name() {
    let job = parts_replaced(vec![
        replaced("sorce-line", Some(10.0), None, None),
        replaced("valve", None, None, None),
    ]);
    let history = history(plain().circuit(), &job, &Sums::default());
    assert!(history.moved.is_empty(), "when the valve was renewed is not said");
    assert_eq!(history.not_used[0].better.as_deref(), Some("source-line"));
    assert_eq!(history.not_used[1].said, "valve");
}

#[test]
fn belief_after_a_withdrawn_reading_is_belief_never_given_it() {
    let first = || read("tee:valve.source@idle", "9 inHg");
    let mut entries = vec![
        entry(
            0,
            Event::TakenIn {
                intake: intake(WASTEGATE),
            },
        ),
        entry(1, first()),
    ];
    let never = Job::fold(&entries).unwrap();
    entries.push(entry(2, read("tee:actuator.nipple@idle", "21 inHg")));
    let given = Job::fold(&entries).unwrap();
    let entry_id = entries[2].id;
    let reason = "wrong hose".to_owned();
    entries.push(entry(
        3,
        Event::Withdrawn {
            entry: entry_id,
            reason,
        },
    ));
    let withdrawn = Job::fold(&entries).unwrap();
    let bits = |job: &Job| {
        let model = with_history(job);
        let (evidence, findings) = job_evidence(&model, job);
        assert!(findings.is_empty(), "{findings:?}");
        let belief = belief(&model, &evidence.unwrap(), Effort::brisk());
        belief
            .parts()
            .iter()
            .map(|part| part.to_bits())
            .collect::<Vec<_>>()
    };
    assert_eq!(bits(&withdrawn), bits(&never));
    assert_ne!(bits(&given), bits(&never));
}

#[test]
fn a_description_that_changed_since_is_said_and_the_job_keeps_its_own() {
    let job = parts_replaced(Vec::new());
    let text = &job.intake.circuit.text;
    assert_eq!(changed(&job, text), None);
    let words = changed(&job, &text.replace("27 N", "30 N")).unwrap();
    assert!(
        words.contains("part actuator has changed") && !words.contains("pump"),
        "{words}"
    );
    let renamed = changed(&job, &text.replace("signal-line", "control-line")).unwrap();
    assert!(
        renamed.contains("part signal-line is gone") && renamed.contains("part control-line is new"),
        "{renamed}"
    );
    assert!(
        changed(&job, &format!("{text}\n# a word"))
            .unwrap()
            .contains("only words")
    );
    assert!(changed(&job, "not a circuit").unwrap().contains("cannot be read"));
    assert!(load_job(&job, &Sums::default()).0.model.is_some());
}

fn renewals() -> impl Strategy<Value = Vec<Replaced>> {
    let part = prop::sample::select(vec![
        "valve",
        "pump",
        "source-line",
        "actuator",
        "fuse",
        "driver-wire",
        "none",
    ]);
    let grade = prop::sample::select(vec![None, Some(Grade::Original), Some(Grade::Budget)]);
    let days = prop::option::of(-10.0..400.0_f64);
    let one = (part, days.clone(), days, grade)
        .prop_map(|(part, days, km, grade)| replaced(part, km.map(|km| km * 20.0), days, grade));
    prop::collection::vec(one, 0..4)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn no_factor_is_nothing_and_shares_sum_to_one(
        replaced in renewals(),
        oil in prop::collection::vec(prop::sample::select(vec!["valve", "signal-line", "actuator", "x"]), 0..3),
        out in prop::collection::vec(prop::sample::select(vec!["valve", "pump/worn", "valve/coil open", "y/z"]), 0..4),
        noted in prop::collection::vec(prop::sample::select(vec!["P0243", "P0299", "P0562", "P0641", "P0401", "x"]), 0..4),
        km in prop::option::of(0.0..500_000.0_f64),
    ) {
        let mut door = intake(WASTEGATE);
        door.replaced = replaced;
        door.oil_soaked = oil.into_iter().map(str::to_owned).collect();
        door.vehicle.odometer_km = km;
        let mut job = codes(&[]);
        job.odometer_km = km;
        job.intake = door;
        job.ruled_out = out.into_iter().map(|what| job::RuledOut {
            what: what.to_owned(),
            reason: "so".to_owned(),
            who: String::new(),
        }).collect();
        job.codes = codes(&noted).codes;
        let circuit = plain().circuit().clone();
        let history = history(&circuit, &job, &Sums::default());
        for moved in &history.moved {
            prop_assert!(moved.factor > 0.0 && moved.factor.is_finite(), "{moved:?}");
            prop_assert!(!moved.why.is_empty());
        }
        let count = circuit.faults().len();
        let moved = history.apply(circuit);
        let shares = moved.faults();
        prop_assert_eq!(shares.len(), count, "no fault leaves the question");
        let sum: f64 = shares.iter().map(|(_, share)| share).sum();
        prop_assert!((sum - 1.0).abs() < 1e-9, "{}", sum);
    }
}

#[test]
fn nothing_known_and_factors_of_one_give_the_plain_belief() {
    let known_nothing = with_history(&parts_replaced(Vec::new()));
    let mut ones = history(
        plain().circuit(),
        &parts_replaced(vec![replaced("valve", None, Some(3.0), None)]),
        &Sums::default(),
    );
    for moved in &mut ones.moved {
        moved.factor = 1.0;
    }
    let ones = Model::new(ones.apply(plain().circuit().clone()));
    let job = job(intake(WASTEGATE), vec![read("tee:valve.source@idle", "9 inHg")]);
    let bits = |model: &Model| {
        let belief = belief(model, &job_evidence(model, &job).0.unwrap(), Effort::brisk());
        let sum = belief
            .suspects()
            .iter()
            .map(|suspect| suspect.probability)
            .sum::<f64>()
            + belief.not_listed();
        assert!((sum - 1.0).abs() < 1e-9);
        belief
            .parts()
            .iter()
            .map(|part| part.to_bits())
            .collect::<Vec<_>>()
    };
    assert_eq!(bits(&known_nothing), bits(&plain()));
    assert_eq!(bits(&ones), bits(&plain()));
}
