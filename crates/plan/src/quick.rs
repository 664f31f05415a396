//! A plan at once, without search: what is to be beaten, and what stands where the search did not come.
//!
//! Telling apart: always the test with the most information for its cost. Naming: stop. Repairing: always the repair with the
//! greatest probability of curing for its cost (optimal where causes are independent: Kadane and Simon, Annals of Statistics 5
//! (1977) 237); repairs behind the same set-up compete as the best group of them (Ottosen and Jensen, UAI 2010).

use crate::greedy::{greedy, named};
use crate::ground::{StandId, Stands};
use crate::problem::{Ending, Problem, RepairId};
use crate::state::{ClassWeights, GONE, Plain, State};
use crate::step::Step;

/// Precomputed figures and room for the sums.
#[derive(Debug)]
pub(crate) struct Quick {
    /// For every repair the classes it does something to: class, probability of cure, class it turns into.
    effects: Vec<Vec<(u32, f64, u32)>>,
    /// For every class the repairs that do something to it, with what that is worth: 1 a cure, less where it turns.
    worth: Vec<Vec<(u32, f64)>>,
    /// What is charged per unit of weight when a chain of repairs is cut short; `None` where chains end by themselves.
    cut: Option<f64>,
    weights: Vec<f64>,
    gains: Vec<f64>,
    before: Vec<f64>,
}

/// Weight at which a chain of repairs that may have to be made twice is cut short.
const CUT: f64 = 1e-4;
/// What turning a row into one with less wrong in it is worth beside a cure.
const TURNS: f64 = 0.5;

impl Quick {
    pub(crate) fn new(problem: &Problem) -> Self {
        let classes = problem.class_count();
        let mut effects: Vec<Vec<(u32, f64, u32)>> = Vec::with_capacity(problem.repairs.len());
        let mut worth = vec![Vec::new(); classes];
        for (id, repair) in (0..).zip(&problem.repairs) {
            let mut of_class: Vec<(u32, f64, u32)> = repair
                .effects
                .iter()
                .map(|effect| {
                    let class = |row: usize| u32::try_from(problem.classes[row]).unwrap_or(u32::MAX);
                    (class(effect.row), effect.cures, class(effect.turns))
                })
                .collect();
            of_class.sort_by_key(|(class, ..)| *class);
            of_class.dedup_by_key(|(class, ..)| *class);
            for (class, cures, turns) in &of_class {
                let rest = if turns == class {
                    0.0
                } else {
                    TURNS * (1.0 - cures)
                };
                worth[*class as usize].push((id, cures + rest));
            }
            effects.push(of_class);
        }
        let endless = effects
            .iter()
            .flatten()
            .any(|(class, cures, turns)| class == turns && *cures < 1.0);
        Self {
            cut: endless.then(|| 2.0 * problem.repairs.iter().map(|repair| repair.cost).sum::<f64>()),
            gains: vec![0.0; effects.len()],
            before: Vec::new(),
            weights: vec![0.0; classes],
            effects,
            worth,
        }
    }

    /// What the quick plan costs from `state`, times its probability.
    pub(crate) fn cost(
        &mut self,
        problem: &Problem,
        plain: &Plain,
        state: &State,
        classes: &ClassWeights,
        stands: &mut Stands,
    ) -> f64 {
        match problem.ending {
            Ending::Named(wrong) => named(problem, plain, state, stands, wrong).0,
            Ending::Cured => self.chain(problem, classes, state.total, state.stand, stands, None),
            Ending::Apart => greedy(problem, plain, state, stands).0,
        }
    }

    /// The quick plan itself.
    pub(crate) fn step(
        &mut self,
        problem: &Problem,
        plain: &Plain,
        state: &State,
        classes: &ClassWeights,
        stands: &mut Stands,
    ) -> Step {
        match problem.ending {
            Ending::Named(wrong) => named(problem, plain, state, stands, wrong).1,
            Ending::Cured => {
                let mut chain = Vec::new();
                self.chain(
                    problem,
                    classes,
                    state.total,
                    state.stand,
                    stands,
                    Some(&mut chain),
                );
                let mut step = None;
                for (repair, weight, cured) in chain.into_iter().rev() {
                    step = Some(Step::Repair {
                        repair,
                        weight,
                        cured,
                        otherwise: step.map(Box::new),
                    });
                }
                step.unwrap_or(Step::End { classes: Vec::new() })
            }
            Ending::Apart => greedy(problem, plain, state, stands).1,
        }
    }

    /// Cost of repairing in the order of worth for cost; the order itself, each with the weight it is reached with and what it
    /// cures, goes into `chain`.
    fn chain(
        &mut self,
        problem: &Problem,
        classes: &ClassWeights,
        total: f64,
        mut stand: StandId,
        stands: &mut Stands,
        mut chain: Option<&mut Vec<(RepairId, f64, f64)>>,
    ) -> f64 {
        self.gains.fill(0.0);
        for (class, weight) in &classes.found {
            self.weigh(*class, *weight);
        }
        let mut cost = 0.0;
        let mut left = total;
        let end = if self.cut.is_some() { CUT } else { 1e-13 * total };
        while left > end.max(GONE) {
            let Some(repair) = self.best(problem, stand, stands) else {
                break;
            };
            let (entering, then) = stands.meet(stand, problem.repairs[repair].needs);
            cost += left * (entering + problem.repairs[repair].cost);
            stand = then;
            let cured = self.renew(repair);
            if let Some(chain) = chain.as_deref_mut() {
                chain.push((repair, left, cured));
            }
            left -= cured;
        }
        self.weights.fill(0.0);
        cost + left.max(0.0) * self.cut.unwrap_or(0.0)
    }

    /// `true` if `repair` does something to what is left.
    pub(crate) fn helps(&self, repair: RepairId, classes: &ClassWeights) -> bool {
        self.effects[repair]
            .iter()
            .any(|(class, ..)| classes.weight(*class) > 0.0)
    }

    /// Adds `weight` (which may be negative) to a class.
    fn weigh(&mut self, class: u32, weight: f64) {
        self.weights[class as usize] += weight;
        for (repair, worth) in &self.worth[class as usize] {
            self.gains[*repair as usize] += worth * weight;
        }
    }

    /// Makes a repair; the weight it cures.
    fn renew(&mut self, repair: RepairId) -> f64 {
        let effects = std::mem::take(&mut self.effects[repair]);
        let mut all = 0.0;
        // Taken before anything moves: what turns into another class is not repaired again by the same repair.
        let mut before = std::mem::take(&mut self.before);
        before.clear();
        before.extend(effects.iter().map(|(class, ..)| self.weights[*class as usize]));
        for ((class, cures, turns), weight) in effects.iter().zip(&before) {
            if *weight > 0.0 {
                let cured = weight * cures;
                all += cured;
                self.weigh(*class, if turns == class { -cured } else { -weight });
                if turns != class {
                    self.weigh(*turns, weight - cured);
                }
            }
        }
        self.before = before;
        self.effects[repair] = effects;
        all
    }

    /// The repair to make next.
    fn best(&self, problem: &Problem, stand: StandId, stands: &mut Stands) -> Option<RepairId> {
        let mut best: Option<(f64, RepairId)> = None;
        let mut offer = |ratio: f64, repair: RepairId| {
            if best.is_none_or(|(most, _)| ratio > most) {
                best = Some((ratio, repair));
            }
        };
        let mut behind: Vec<(usize, f64, RepairId)> = Vec::new();
        for (id, repair) in problem.repairs.iter().enumerate() {
            if self.gains[id] <= 1e-16 {
                continue;
            }
            let (entering, _) = stands.meet(stand, repair.needs);
            if entering == 0.0 {
                offer(self.gains[id] / repair.cost.max(f64::MIN_POSITIVE), id);
            } else {
                behind.push((repair.needs, entering, id));
            }
        }
        let ratio = |id: RepairId| self.gains[id] / problem.repairs[id].cost.max(f64::MIN_POSITIVE);
        behind.sort_by(|a, b| {
            a.0.cmp(&b.0)
                .then(ratio(b.2).total_cmp(&ratio(a.2)))
                .then(a.2.cmp(&b.2))
        });
        for group in behind.chunk_by(|a, b| a.0 == b.0) {
            let (mut gain, mut cost) = (0.0, group[0].1);
            for (_, _, id) in group {
                gain += self.gains[*id];
                cost += problem.repairs[*id].cost;
                offer(gain / cost, group[0].2);
            }
        }
        best.map(|(_, repair)| repair)
    }
}
