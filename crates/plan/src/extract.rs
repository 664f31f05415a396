//! From a search to its plan.

use crate::node::{Action, Choice};
use crate::problem::Ending;
use crate::search::Search;
use crate::state::{GONE, State};
use crate::step::{Branch, Step};

/// The plan in hand as a tree, with its expected cost. A search that was stopped may not yet have carried every saving back to
/// its start, so the cost is summed along the tree.
pub(crate) fn steps(search: &mut Search) -> (f64, Step) {
    let start = State::start(search.problem);
    step(search, 0, &start)
}

fn step(search: &mut Search, node: u32, state: &State) -> (f64, Step) {
    let here = &search.nodes[node as usize];
    let Choice::Edge(place) = here.choice else {
        return quick(search, state);
    };
    let Some(edge) = here.edges.as_ref().and_then(|edges| edges.get(place)).cloned() else {
        return quick(search, state);
    };
    let kids: Vec<(u16, u32)> = edge.kids.iter().flatten().copied().collect();
    let mut cost = edge.cost;
    match edge.action {
        Action::Test(test) => {
            let mut branches = Vec::with_capacity(kids.len());
            for (outcome, kid) in kids {
                let after = search.after(state, &edge, outcome);
                let (later, then) = step(search, kid, &after);
                cost += later;
                branches.push(Branch {
                    outcome: usize::from(outcome),
                    weight: after.total,
                    then,
                });
            }
            (cost, Step::Test { test, branches })
        }
        Action::Repair(repair) => {
            let after = search.after(state, &edge, 0);
            let kid = kids.first().filter(|_| after.total > GONE);
            let otherwise = kid.map(|(_, kid)| {
                let (later, then) = step(search, *kid, &after);
                cost += later;
                Box::new(then)
            });
            let made = Step::Repair {
                repair,
                weight: state.total,
                cured: state.total - after.total,
                otherwise,
            };
            (cost, made)
        }
    }
}

/// The quick plan from a state on.
fn quick(search: &mut Search, state: &State) -> (f64, Step) {
    if search.problem.ending == Ending::Apart && !state.mixed(search.problem) {
        return (0.0, state.end(search.problem));
    }
    let mut classes = search.classes.clone();
    state.classes(search.problem, &mut classes);
    let (problem, plain) = (search.problem, &search.plain);
    let cost = search
        .quick
        .cost(problem, plain, state, &classes, &mut search.stands);
    (
        cost,
        search
            .quick
            .step(problem, plain, state, &classes, &mut search.stands),
    )
}
