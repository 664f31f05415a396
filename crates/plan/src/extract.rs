//! From a search to its plan.

use crate::node::{Action, Choice};
use crate::problem::Ending;
use crate::search::Search;
use crate::state::{GONE, State};
use crate::step::{Branch, Step};

/// The plan in hand as a tree.
pub(crate) fn steps(search: &mut Search) -> Step {
    let start = State::start(search.problem);
    step(search, 0, &start)
}

fn step(search: &mut Search, node: u32, state: &State) -> Step {
    let here = &search.nodes[node as usize];
    let Choice::Edge(place) = here.choice else {
        return quick(search, state);
    };
    let Some(edge) = here.edges.as_ref().and_then(|edges| edges.get(place)).cloned() else {
        return quick(search, state);
    };
    let kids: Vec<(u16, u32)> = edge.kids.iter().flatten().copied().collect();
    match edge.action {
        Action::Test(test) => {
            let mut branches = Vec::with_capacity(kids.len());
            for (outcome, kid) in kids {
                let after = search.after(state, &edge, outcome);
                branches.push(Branch {
                    outcome: usize::from(outcome),
                    weight: after.total,
                    then: step(search, kid, &after),
                });
            }
            Step::Test { test, branches }
        }
        Action::Repair(repair) => {
            let after = search.after(state, &edge, 0);
            let kid = kids.first().filter(|_| after.total > GONE);
            Step::Repair {
                repair,
                weight: state.total,
                cured: state.total - after.total,
                otherwise: kid.map(|(_, kid)| Box::new(step(search, *kid, &after))),
            }
        }
    }
}

/// The quick plan from a state on.
fn quick(search: &mut Search, state: &State) -> Step {
    if search.problem.ending == Ending::Apart && !state.mixed(search.problem) {
        return state.end(search.problem);
    }
    let mut classes = search.classes.clone();
    state.classes(search.problem, &mut classes);
    search
        .quick
        .step(search.problem, &search.plain, state, &classes, &mut search.stands)
}
