//! What repairing costs at least.
//!
//! Every class pays at least for its own repair. On top of that any two classes i and j must be parted: either some test tells
//! them apart, and both pay for it, or one is repaired first, in vain for the other. Summed over classes so that nothing is
//! counted twice: each class j, against those before it in an order, pays either the dearest test it shares or the repairs
//! that come first. Derived in DERIVATIONS.md 16.

use crate::bound::Apart;
use crate::ground::{StandId, Stands};
use crate::key::ByKey;
use crate::problem::{Problem, RepairId};
use crate::state::{ClassWeights, State};

/// Most classes that are compared pair by pair; the lightest are left out, which only lowers the bound.
const COMPARED: usize = 40;

/// Precomputed figures.
#[derive(Debug)]
pub(crate) struct Cure {
    /// For every class the repairs that do something to it: repair, probability of cure, class it turns into.
    own: Vec<Vec<(RepairId, f64, usize)>>,
    /// Least cost of a repair that does something to the class; of a repair that serves several classes each bears its part, so
    /// that making it once in vain for another class is not counted twice.
    solo: Vec<f64>,
    /// Classes that share a repair, ascending, for every class.
    shared: Vec<Vec<u32>>,
    /// For every way things stand, what curing a class costs at least if it is known.
    known: ByKey<u64, Vec<f64>>,
    /// For every class the others by the cost of telling them apart.
    by_cost: Vec<Vec<u32>>,
    rank: Vec<usize>,
}

impl Cure {
    pub(crate) fn new(problem: &Problem, apart: &Apart) -> Self {
        let classes = problem.class_count();
        let mut own = vec![Vec::new(); classes];
        let mut shared: Vec<Vec<u32>> = vec![Vec::new(); classes];
        let mut seen = vec![usize::MAX; classes];
        let mut serves = vec![0.0_f64; problem.repairs.len()];
        for (id, repair) in problem.repairs.iter().enumerate() {
            let mut hit = Vec::new();
            for effect in &repair.effects {
                let class = problem.classes[effect.row];
                if seen[class] != id {
                    seen[class] = id;
                    serves[id] += 1.0;
                    own[class].push((id, effect.cures, problem.classes[effect.turns]));
                    hit.push(u32::try_from(class).unwrap_or(u32::MAX));
                }
            }
            if hit.len() > 1 {
                for class in &hit {
                    shared[*class as usize].extend(&hit);
                }
            }
        }
        for classes in &mut shared {
            classes.sort_unstable();
            classes.dedup();
        }
        let solo = own
            .iter()
            .map(|own| {
                own.iter()
                    .map(|(id, ..)| problem.repairs[*id].cost / serves[*id])
                    .fold(f64::INFINITY, f64::min)
            })
            .collect();
        let by_cost = if apart.by_pair() {
            (0..classes)
                .map(|class| {
                    let mut others: Vec<u32> = (0..u32::try_from(classes).unwrap_or(0)).collect();
                    others.sort_by(|a, b| {
                        apart
                            .cost(class, *a as usize)
                            .total_cmp(&apart.cost(class, *b as usize))
                    });
                    others
                })
                .collect()
        } else {
            Vec::new()
        };
        Self {
            own,
            solo,
            shared,
            known: ByKey::default(),
            by_cost,
            rank: vec![usize::MAX; classes],
        }
    }

    /// See the room's head.
    pub(crate) fn lower(
        &mut self,
        problem: &Problem,
        state: &State,
        classes: &ClassWeights,
        apart: &Apart,
        stands: &mut Stands,
    ) -> f64 {
        let known = self.known(problem, state.stand, stands);
        let least: f64 = classes
            .found
            .iter()
            .map(|(class, weight)| weight * known[*class as usize])
            .sum();
        least + self.parting(classes, apart)
    }

    fn known(&mut self, problem: &Problem, stand: StandId, stands: &mut Stands) -> &[f64] {
        let own = &self.own;
        self.known.entry(u64::from(stand)).or_insert_with(|| {
            let mut costs = vec![f64::INFINITY; own.len()];
            // A class turns into one with less wrong in it: as many passes as the longest such chain settle all. Fewer would leave
            // figures that are too high, and no bounds.
            for _ in 0..own.len() {
                let mut settled = true;
                for class in 0..own.len() {
                    let ways = own[class].iter().filter_map(|(id, cures, turns)| {
                        let cost =
                            problem.repairs[*id].cost + stands.meet(stand, problem.repairs[*id].needs).0;
                        if *turns == class {
                            (*cures > 0.0)
                                .then(|| problem.repairs[*id].cost / cures + cost - problem.repairs[*id].cost)
                        } else {
                            // The set-up may serve what follows too.
                            Some(problem.repairs[*id].cost + (1.0 - cures) * costs[*turns])
                        }
                    });
                    let least = ways.fold(f64::INFINITY, f64::min);
                    settled &= least.total_cmp(&costs[class]).is_eq();
                    costs[class] = least;
                }
                if settled {
                    break;
                }
            }
            costs
        })
    }

    fn parting(&mut self, classes: &ClassWeights, apart: &Apart) -> f64 {
        let mut order = classes.found.clone();
        order.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        order.truncate(COMPARED);
        let falling = self.parting_in(&order, classes, apart);
        order.reverse();
        falling.max(self.parting_in(&order, classes, apart))
    }

    fn parting_in(&mut self, order: &[(u32, f64)], classes: &ClassWeights, apart: &Apart) -> f64 {
        for (place, (class, _)) in order.iter().enumerate() {
            self.rank[*class as usize] = place;
        }
        let mut sum = 0.0;
        for (place, (j, weight)) in order.iter().enumerate() {
            let before = order[..place].iter().map(|(i, w)| self.pair(*i, *w, *j, *weight));
            if self.by_cost.is_empty() {
                sum += at_most(before, weight * apart.cost(0, 0));
                continue;
            }
            let mut pairs: f64 = before.sum();
            let mut least = pairs;
            for i in &self.by_cost[*j as usize] {
                let rank = self.rank[*i as usize];
                if rank >= place {
                    continue;
                }
                let cost = apart.cost(*j as usize, *i as usize);
                if cost.is_infinite() {
                    break;
                }
                pairs -= self.pair(*i, order[rank].1, *j, *weight);
                least = least.min(weight * cost + pairs.max(0.0));
            }
            sum += least;
        }
        for (class, _) in &classes.found {
            self.rank[*class as usize] = usize::MAX;
        }
        sum
    }

    /// The repair in vain that two classes cost at least if no test parts them.
    fn pair(&self, i: u32, weight_i: f64, j: u32, weight_j: f64) -> f64 {
        if self.shared[i as usize].binary_search(&j).is_ok() {
            return 0.0;
        }
        (self.solo[i as usize] * weight_j).min(self.solo[j as usize] * weight_i)
    }
}

/// Sum of figures that are not negative, or `most` as soon as it is reached.
fn at_most(figures: impl Iterator<Item = f64>, most: f64) -> f64 {
    let mut sum = 0.0;
    for figure in figures {
        sum += figure;
        if sum >= most {
            return most;
        }
    }
    sum
}
