//! What to do next, from weighted samples alone: for whoever has them at hand and decides again after every reading.

use super::table::{Act, Banded, Rows, Sheet, Site};
use crate::node::{Action, Choice};
use crate::search::Search;
use circuit::PartId;

/// The next thing to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Next {
    /// Make a check: an index into the circuit's checks.
    Check(usize),
    /// Renew a part and prove it; `true`: try the new one on the bench first.
    Renew(PartId, bool),
    /// Look beyond this circuit.
    Beyond,
}

/// What is advised.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Advice {
    /// What to do next.
    pub next: Next,
    /// Expected cost from here to the end of the plan behind it.
    pub expected_cost: f64,
    /// The best check, and the expected cost if it is made; `None` where none tells anything.
    pub check: Option<(usize, f64)>,
}

/// The best next step as far as a search through `nodes` states shows. `None` if nothing that is left could cure.
pub fn advise(site: &Site, rows: &Rows, tests: Vec<Banded>, nodes: usize) -> Option<Advice> {
    let sheet = Sheet::new(site, rows, tests);
    let mut search = Search::new(&sheet.problem);
    search.leave_light(LIGHT);
    search.run(&mut |progress| progress.nodes < nodes);
    let next = match search.nodes[0].choice {
        Choice::Edge(place) => search.nodes[0].edges.as_ref()?.get(place)?.action,
        Choice::Quick => Action::Repair(search.first_repair()?),
    };
    Some(Advice {
        next: sheet.next(next),
        expected_cost: search.progress().expected_cost,
        check: search.best_test().map(|(test, cost)| (sheet.checks[test], cost)),
    })
}

/// Expected cost of the best plan found, and of the best that begins with `next`; `None` if that cannot be done.
pub fn cost_of(site: &Site, rows: &Rows, tests: Vec<Banded>, next: Next, nodes: usize) -> Option<(f64, f64)> {
    let sheet = Sheet::new(site, rows, tests);
    let mut search = Search::new(&sheet.problem);
    search.leave_light(LIGHT);
    search.run(&mut |progress| progress.nodes < nodes);
    let action = match next {
        Next::Check(check) => Action::Test(sheet.checks.iter().position(|own| *own == check)?),
        Next::Renew(part, bench) => {
            let wanted = |bench: bool| sheet.acts.iter().position(|act| *act == Act::Renew(part, bench));
            Action::Repair(wanted(bench).or_else(|| wanted(false))?)
        }
        Next::Beyond => Action::Repair(sheet.acts.iter().position(|act| *act == Act::Beyond)?),
    };
    let then = search.cost_if_first(action);
    Some((search.progress().expected_cost.min(then), then))
}

/// Probability below which a state is left to the quick plan.
const LIGHT: f64 = 0.01;

impl Sheet {
    fn next(&self, action: Action) -> Next {
        match action {
            Action::Test(test) => Next::Check(self.checks[test]),
            Action::Repair(repair) => match self.acts[repair] {
                Act::Renew(part, bench) => Next::Renew(part, bench),
                Act::Beyond => Next::Beyond,
            },
        }
    }
}
