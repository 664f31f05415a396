//! Puts a problem beyond tables to the planner, and walks the steps it answers with.

use plan::problem::{Effect, Ending, Ground, Problem, Repair, Test};
use plan::{Branch, Progress, Solution, Step, solve};

use super::ROUNDING;
use crate::exact::NEVER;
use crate::exact::wide::{End, Left, Needs, Wide, trying_everything};

/// Probability below which it does not matter how a plan ends: some causes, each just below [`NEVER`].
const HARDLY_EVER: f64 = 100.0 * NEVER;
/// Weight below which a plan may leave open what follows a repair that can fail.
const LEFT_OPEN: f64 = 1e-4;

/// The planner's solution, and what its steps cost when they are walked: at least, and at most where the plan leaves rare cases
/// open (nothing more for them, or everything in turn).
pub(crate) fn solve_wide(what: &str, wide: &Wide, nodes: usize) -> (Solution, [f64; 2]) {
    let mut keep_going = |now: &Progress| now.nodes < nodes;
    let solution = solve(&problem(wide), 0.0, &mut keep_going);
    let mut walk = Walk {
        wide,
        cost: 0.0,
        open: 0.0,
    };
    let walked = walk.step(&solution.step, &wide.start());
    walked.unwrap_or_else(|fault| panic!("{what}: {fault}\n{wide:?}\n{:?}", solution.step));
    let (least, most) = (walk.cost, walk.cost + walk.open * trying_everything(wide));
    let slack = ROUNDING * least.max(1.0);
    let claimed = solution.expected_cost;
    let promised = claimed >= least - slack && claimed <= most + slack;
    assert!(
        promised,
        "{what}: claims {claimed}, costs {least} to {most}\n{wide:?}"
    );
    (solution, [least, most])
}

fn problem(wide: &Wide) -> Problem {
    let open = (0..wide.lasting.len())
        .filter(|thing| wide.stand.open >> thing & 1 == 1)
        .collect();
    let mut ground = Ground::new(
        wide.lasting.clone(),
        wide.exclusive.clone(),
        open,
        wide.stand.current,
    );
    let mut needs = |needs: &Needs| ground.needs(needs.lasting.clone(), needs.exclusive);
    let tests = wide
        .tests
        .iter()
        .map(|test| Test {
            cost: test.cost,
            needs: needs(&test.needs),
            outcomes: test.outcomes.clone(),
        })
        .collect();
    let effect = |&(row, cures, turns): &(usize, f64, usize)| Effect { row, cures, turns };
    let repairs = wide
        .repairs
        .iter()
        .map(|repair| Repair {
            cost: repair.cost,
            needs: needs(&repair.needs),
            effects: repair.effects.iter().map(effect).collect(),
        })
        .collect();
    Problem {
        weights: wide.weights.clone(),
        classes: wide.classes.clone(),
        tests,
        repairs,
        ground,
        ending: match wide.end {
            End::Apart => Ending::Apart,
            End::Named(wrong) => Ending::Named(wrong),
            End::Cured => Ending::Cured,
        },
    }
}

/// A walk through a plan.
struct Walk<'w> {
    wide: &'w Wide,
    /// Expected cost of the steps so far.
    cost: f64,
    /// Weight of the cases that the plan leaves open.
    open: f64,
}

impl Walk<'_> {
    /// Adds the expected cost of `step` and what follows; says why if that is no plan, or says something wrong about itself.
    fn step(&mut self, step: &Step, left: &Left) -> Result<(), String> {
        match step {
            Step::Test { test, branches } => self.test(*test, branches, left),
            Step::Repair {
                repair,
                weight,
                cured,
                otherwise,
            } => {
                let (here, after) = self.wide.repair(*repair, left);
                self.cost += here;
                if !close(*weight, left.total()) || !close(*cured, left.total() - after.total()) {
                    return Err(format!(
                        "repair {repair}, said to be reached with {weight} and to cure {cured}: {left:?}"
                    ));
                }
                match otherwise {
                    Some(next) => self.step(next, &after),
                    None => self.open(*repair, &after),
                }
            }
            Step::End { classes } => self.end(classes, left),
        }
    }

    fn test(&mut self, test: usize, branches: &[Branch], left: &Left) -> Result<(), String> {
        if left.used >> test & 1 == 1 {
            return Err(format!("test {test} is made twice on one path"));
        }
        let (here, after) = self.wide.test(test, left);
        self.cost += here;
        for (outcome, left) in after.iter().enumerate() {
            match branches.iter().find(|branch| branch.outcome == outcome) {
                None if left.total() <= HARDLY_EVER => {}
                None => return Err(format!("test {test}: nothing follows outcome {outcome}")),
                Some(branch) if close(branch.weight, left.total()) => self.step(&branch.then, left)?,
                Some(branch) => {
                    return Err(format!(
                        "outcome {outcome} comes with {}, not {}",
                        left.total(),
                        branch.weight
                    ));
                }
            }
        }
        Ok(())
    }

    fn open(&mut self, repair: usize, after: &Left) -> Result<(), String> {
        let fails = |effects: &[(usize, f64, usize)]| {
            effects
                .iter()
                .any(|(row, cures, turns)| row == turns && *cures < 1.0)
        };
        let may_fail = self.wide.repairs.iter().any(|repair| fails(&repair.effects));
        let most = if may_fail { LEFT_OPEN } else { HARDLY_EVER };
        self.open += after.total();
        if after.total() <= most {
            Ok(())
        } else {
            Err(format!(
                "nothing follows repair {repair} although {} is left",
                after.total()
            ))
        }
    }

    fn end(&mut self, classes: &[usize], left: &Left) -> Result<(), String> {
        if left.total() <= HARDLY_EVER {
            return Ok(());
        }
        let weights = self.wide.class_weights(left);
        match (self.wide.end, self.wide.ending(left)) {
            (_, None) => Err(format!("the plan ends at {classes:?}, too early: {left:?}")),
            (End::Named(wrong), _) => {
                let &[class] = classes else {
                    return Err(format!("{classes:?}: one class is to be named"));
                };
                self.cost += wrong * (left.total() - weights[class]);
                Ok(())
            }
            _ => {
                let present: Vec<usize> = (0..weights.len())
                    .filter(|class| weights[*class] > NEVER)
                    .collect();
                if present == classes {
                    Ok(())
                } else {
                    Err(format!("the plan names {classes:?} where {present:?} are left"))
                }
            }
        }
    }
}

fn close(said: f64, found: f64) -> bool {
    (said - found).abs() <= 1e-12 + ROUNDING * found
}
