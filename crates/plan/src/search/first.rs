//! What a plan costs that begins with an action somebody asks for.

use super::Search;
use crate::node::Action;
use crate::state::State;

impl Search<'_> {
    /// What the best plan found costs that begins with `action`. Where that is less than the plan in hand costs, it becomes the
    /// plan in hand.
    pub(crate) fn cost_if_first(&mut self, action: Action) -> f64 {
        let start = State::start(self.problem);
        let (cost, needs) = match action {
            Action::Test(test) => (self.problem.tests[test].cost, self.problem.tests[test].needs),
            Action::Repair(repair) => (
                self.problem.repairs[repair].cost,
                self.problem.repairs[repair].needs,
            ),
        };
        self.stopped = false;
        if self.nodes[0].edges.is_none() {
            self.open(0, &start, &mut |_| true);
        }
        let mut edge = self.new_edge(&start, action, cost, needs, 0.0);
        let telling = self.bounds.telling(self.problem, &start);
        edge.kids = Some(self.look_into(&start, &edge, &telling));
        loop {
            let before = self.opened;
            self.sweep += 1;
            for (outcome, kid) in edge.kids.clone().iter().flatten() {
                let after = self.after(&start, &edge, *outcome);
                self.look_through(*kid, &after, &mut |_| true);
            }
            if self.opened == before {
                break;
            }
        }
        let cost = self.upper(&edge);
        if let Some(edges) = &mut self.nodes[0].edges {
            if let Some(own) = edges.iter_mut().find(|own| own.action == action) {
                *own = edge;
            } else {
                // Dropped when it could not be best, or never listed.
                edges.push(edge);
                self.edges += 1;
            }
        }
        self.back_up(0);
        cost
    }
}

#[cfg(test)]
mod tests {
    use super::{Action, Search};
    use crate::ground::Ground;
    use crate::problem::{Effect, Ending, Problem, Repair, Test};

    /// Two causes as likely as each other, a dear repair for each; a test that hardly tells them apart and one that does.
    fn two_causes() -> Problem {
        let test = |right: f64| Test {
            cost: 1.0,
            needs: 0,
            outcomes: vec![vec![right, 1.0 - right], vec![1.0 - right, right]],
        };
        let repair = |row: usize| Repair {
            cost: 100.0,
            needs: 0,
            effects: vec![Effect {
                row,
                cures: 1.0,
                turns: row,
            }],
        };
        Problem {
            weights: vec![0.5, 0.5],
            classes: vec![0, 1],
            tests: vec![test(0.6), test(1.0)],
            repairs: vec![repair(0), repair(1)],
            ground: Ground::new(Vec::new(), Vec::new(), Vec::new(), None),
            ending: Ending::Cured,
        }
    }

    #[test]
    fn what_is_asked_for_becomes_the_plan_where_it_is_cheaper() {
        let problem = two_causes();
        for looked in [false, true] {
            for (test, least) in [(0, 102.0), (1, 101.0)] {
                let mut search = Search::new(&problem);
                if looked {
                    search.run(&mut |_| false);
                }
                let cost = search.cost_if_first(Action::Test(test));
                let progress = search.progress();
                assert!((cost - least).abs() < 1e-9, "{cost} instead of {least}");
                assert!(progress.expected_cost <= cost + 1e-9, "{progress:?}, {cost}");
                assert!(progress.lower_bound <= 101.0 + 1e-9, "{progress:?}");
            }
        }
    }
}
