//! A problem in, a plan out.

use crate::extract::steps;
use crate::problem::Problem;
use crate::search::{Progress, Search};
use crate::step::Step;

/// The best plan found for a problem.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// Its expected cost, times the sum of the problem's weights.
    pub expected_cost: f64,
    /// Cost that no plan beats, likewise.
    pub lower_bound: f64,
    /// `true` if the plan is proven best.
    pub optimal: bool,
    /// The plan.
    pub step: Step,
}

/// The plan of least expected cost for `problem`, as good as it gets while `keep_going` says so. States of less weight than
/// `light` are left to a plan made at once; 0 where none are.
pub fn solve(problem: &Problem, light: f64, keep_going: &mut dyn FnMut(&Progress) -> bool) -> Solution {
    let mut search = Search::new(problem);
    search.leave_light(light);
    search.run(keep_going);
    let (expected_cost, step) = steps(&mut search);
    Solution {
        expected_cost,
        lower_bound: search.progress().lower_bound.min(expected_cost),
        optimal: search.closed(),
        step,
    }
}
