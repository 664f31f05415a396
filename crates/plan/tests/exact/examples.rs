//! The worked examples of `references/diagnosis_examples.json` that are no tables: repairs that cure several causes.

use serde_json::Value;

use super::read::{called, counted_from_one, list, number, numbers, reference};
use super::{Problem, Repair, Test};

/// Example of Jensen and others, as in Ottosen's thesis, 2012 (from memory): three repairs of unit cost that overlap.
/// Optimum 1.45; the greedy order costs 1.50.
pub(crate) fn dependent_actions() -> Problem {
    let file = reference("diagnosis_examples.json");
    let entry = called(&file["repairs"], "dependent actions");
    let repair = |cures: &Value| Repair {
        cost: number(&entry["action_cost"]),
        setup: None,
        cures: counted_from_one(cures),
    };
    Problem {
        repairs: list(&entry["cures"]).iter().map(repair).collect(),
        ..Problem::isolate(&numbers(&entry["faults"]), &[], &[])
    }
}

/// Cost clusters after Ottosen and Jensen, UAI 2010 (arXiv 1203.3502), each closed before the check: optimum 11.53. Members
/// of one panel done in one opening make one repair, so every handful of them is a repair of its own.
pub(crate) fn closed_panels() -> Problem {
    let file = reference("diagnosis_examples.json");
    let entry = called(&file["repairs"], "panels closed before each check");
    let (costs, opening) = (numbers(&entry["costs"]), numbers(&entry["opening"]));
    let panels: Vec<Option<u64>> = list(&entry["panel"]).iter().map(Value::as_u64).collect();
    let mut repairs = Vec::new();
    for chosen in 1_u32..1 << costs.len() {
        let cures: Vec<usize> = (0..costs.len())
            .filter(|cause| chosen >> cause & 1 == 1)
            .collect();
        let panel = panels[cures[0]];
        let together = cures.iter().all(|&cause| panels[cause] == panel);
        if together && (panel.is_some() || cures.len() == 1) {
            let opened = panel.map_or(0.0, |panel| opening[usize::try_from(panel).unwrap() - 1]);
            let members: f64 = cures.iter().map(|&cause| costs[cause]).sum();
            repairs.push(Repair {
                cost: opened + members,
                setup: None,
                cures,
            });
        }
    }
    Problem {
        repairs,
        ..Problem::isolate(&numbers(&entry["priors"]), &[], &[])
    }
}

/// Dear enough that no repair is ever tried before the class is certain.
pub(crate) const DEAR: f64 = 1000.0;

/// Cicalese, Laber and Saettler, ICML 2014 (arXiv 1309.2796), data set of page 3: for each list of test costs the problem of
/// finding the class, and its optimum. Every class has one repair at [`DEAR`], which the optimum holds once.
pub(crate) fn classes() -> Vec<(Problem, f64)> {
    let file = reference("diagnosis_examples.json");
    let objects = list(&file["classes"]["objects"]);
    let priors: Vec<f64> = objects.iter().map(|object| number(&object["prior"])).collect();
    let repair = |class: &str| Repair {
        cost: DEAR,
        setup: None,
        cures: (0..objects.len())
            .filter(|&cause| objects[cause]["class"] == class)
            .collect(),
    };
    let test = |(index, cost): (usize, f64)| Test {
        cost,
        setup: None,
        positive: objects
            .iter()
            .map(|object| number(&object["answers"][index]) - 1.0)
            .collect(),
    };
    let problem = |row: &Value| Problem {
        tests: numbers(&row["costs"]).into_iter().enumerate().map(test).collect(),
        repairs: ["A", "B", "C"].map(repair).to_vec(),
        ..Problem::isolate(&priors, &[], &[])
    };
    list(&file["classes"]["rows"])
        .iter()
        .map(|row| (problem(row), DEAR + number(&row["to_the_class"])))
        .collect()
}
