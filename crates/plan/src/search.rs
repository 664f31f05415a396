//! The search for the plan of least expected cost: two bounds for every state, drawn together.
//!
//! A graph of alternatives (which action) and chances (which outcome) is grown where it matters. Every node has a cost that no
//! plan beats ([`bound`](crate::bound)) and the cost of a plan in hand ([`quick`](crate::quick) at first). Sweeps go through the
//! best plan in hand and try every action at each of its nodes; descents follow the most hopeful actions and the widest gap,
//! so that the root's two figures meet, which proves the plan (after Nilsson's AO*, with the focused trials of `McMahan`, Likhachev
//! and Gordon, ICML 2005). Stopped at any time, the plan in hand and the gap stand.

mod first;

use crate::bound::{Bounds, Telling};
use crate::greedy::information;
use crate::ground::Stands;
use crate::key::{ByKey, Key};
use crate::node::{Action, Choice, Edge, Node};
use crate::problem::{Ending, Problem};
use crate::quick::Quick;
use crate::state::{ClassWeights, GONE, Plain, State};
use crate::step::Step;

/// What the search stands at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// Expected cost of the best plan in hand.
    pub expected_cost: f64,
    /// Cost that no plan beats.
    pub lower_bound: f64,
    /// Nodes looked into.
    pub nodes: usize,
}

/// Actions whose consequences are looked at when a node is opened; the rest wait until the bounds call for them.
const WIDE: usize = 48;
/// Bytes after which a search ends, counted roughly: a laptop in the bay has other things to do too.
const MOST_MEMORY: usize = 600_000_000;
/// Relative gap at which a plan counts as proven: what rounding leaves.
const CLOSED: f64 = 1e-10;

/// The search.
#[derive(Debug)]
pub(crate) struct Search<'p> {
    pub(crate) problem: &'p Problem,
    pub(crate) plain: Plain,
    pub(crate) stands: Stands<'p>,
    pub(crate) quick: Quick,
    bounds: Bounds,
    pub(crate) nodes: Vec<Node>,
    index: ByKey<Key, u32>,
    pub(crate) classes: ClassWeights,
    opened: usize,
    edges: usize,
    sweep: u32,
    /// Weight below which a sweep does not look.
    light: f64,
    stopped: bool,
}

/// Asked again and again whether to go on.
pub(crate) type KeepGoing<'k> = &'k mut dyn FnMut(&Progress) -> bool;

impl<'p> Search<'p> {
    /// A search with the quick plan in hand.
    pub(crate) fn new(problem: &'p Problem) -> Self {
        let plain = Plain::new(problem);
        let mut search = Self {
            bounds: Bounds::new(problem, &plain),
            plain,
            stands: Stands::new(&problem.ground),
            quick: Quick::new(problem),
            nodes: Vec::new(),
            index: ByKey::default(),
            classes: ClassWeights::new(problem.class_count()),
            problem,
            opened: 0,
            edges: 0,
            sweep: 0,
            light: 0.0,
            stopped: false,
        };
        let start = State::start(problem);
        let telling = search.bounds.telling(problem, &start);
        search.node(&start, &telling);
        search
    }

    /// Leaves states lighter than `weight` to the quick plan.
    pub(crate) fn leave_light(&mut self, weight: f64) {
        self.light = weight;
    }

    /// What it stands at.
    pub(crate) fn progress(&self) -> Progress {
        let root = &self.nodes[0];
        Progress {
            expected_cost: root.upper,
            lower_bound: root.lower.min(root.upper),
            nodes: self.opened,
        }
    }

    /// `true` if the plan in hand is proven best.
    pub(crate) fn closed(&self) -> bool {
        self.gap(0) <= 0.0
    }

    /// Searches until the plan is proven or `keep_going` says no.
    pub(crate) fn run(&mut self, keep_going: KeepGoing) {
        let start = State::start(self.problem);
        let mut descents = 1;
        loop {
            while !self.closed() && !self.stopped {
                self.sweep += 1;
                let before = self.opened;
                self.look_through(0, &start, keep_going);
                if self.opened == before {
                    break;
                }
            }
            for _ in 0..descents {
                if self.closed() || self.stopped || self.memory() > MOST_MEMORY {
                    return;
                }
                self.descend(&start, keep_going);
            }
            descents = (descents * 2).min(4096);
        }
    }

    /// Bytes that nodes, their index and their edges take, roughly.
    fn memory(&self) -> usize {
        self.nodes.len() * (size_of::<Node>() + 32) + self.edges * (size_of::<Edge>() + 32)
    }

    /// The first repair of the quick plan.
    pub(crate) fn first_repair(&mut self) -> Option<usize> {
        let start = State::start(self.problem);
        start.classes(self.problem, &mut self.classes);
        let (problem, plain) = (self.problem, &self.plain);
        match self
            .quick
            .step(problem, plain, &start, &self.classes, &mut self.stands)
        {
            Step::Repair { repair, .. } => Some(repair),
            _ => None,
        }
    }

    /// The test to begin with if one is to begin with, and what the plan in hand costs then.
    pub(crate) fn best_test(&self) -> Option<(usize, f64)> {
        let edges = self.nodes[0].edges.as_ref()?;
        let tests = edges.iter().filter_map(|edge| match edge.action {
            Action::Test(test) => Some((test, self.upper(edge))),
            Action::Repair(_) => None,
        });
        tests
            .filter(|(_, cost)| cost.is_finite())
            .min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// Difference of a node's figures beyond rounding.
    fn gap(&self, node: u32) -> f64 {
        let node = &self.nodes[node as usize];
        node.upper - node.lower - CLOSED * node.upper.abs()
    }

    fn ask(&mut self, keep_going: KeepGoing) {
        if !keep_going(&self.progress()) {
            self.stopped = true;
        }
    }

    /// Opens every node of the plan in hand that is not open yet.
    fn look_through(&mut self, node: u32, state: &State, keep_going: KeepGoing) {
        let here = &mut self.nodes[node as usize];
        if here.swept == self.sweep || self.stopped {
            return;
        }
        here.swept = self.sweep;
        if self.gap(node) <= 0.0 || state.total < self.light {
            return;
        }
        if self.nodes[node as usize].edges.is_none() {
            self.open(node, state, keep_going);
        }
        if let Choice::Edge(place) = self.nodes[node as usize].choice {
            let edge = self.edge(node, place).clone();
            for (outcome, kid) in edge.kids.iter().flatten() {
                let after = self.after(state, &edge, *outcome);
                self.look_through(*kid, &after, keep_going);
            }
        }
        self.back_up(node);
    }

    fn edge(&self, node: u32, place: usize) -> &Edge {
        // A place comes from `Choice::Edge`, which only backing up a node with edges sets, and edges once opened stay.
        &self.nodes[node as usize]
            .edges
            .as_ref()
            .expect("chosen among open edges")[place]
    }

    /// The state after one outcome of an edge.
    pub(crate) fn after(&self, state: &State, edge: &Edge, outcome: u16) -> State {
        match edge.action {
            Action::Test(test) => {
                state.after_test(self.problem, &self.plain, test, usize::from(outcome), edge.stand)
            }
            Action::Repair(repair) => state.after_repair(self.problem, &self.plain, repair, edge.stand),
        }
    }

    /// Follows the most hopeful actions and the widest gaps to the end, opening nodes on the way, and takes what it found back.
    fn descend(&mut self, start: &State, keep_going: KeepGoing) {
        let mut path = vec![0u32];
        let mut state = start.clone();
        while let Some(&node) = path.last() {
            if self.nodes[node as usize].edges.is_none() {
                self.open(node, &state, keep_going);
            }
            if self.gap(node) <= 0.0 || self.stopped {
                break;
            }
            let Some(place) = self.most_hopeful(node, &state) else {
                break;
            };
            let edge = self.edge(node, place).clone();
            let widest = edge
                .kids
                .iter()
                .flatten()
                .map(|(outcome, kid)| (self.gap(*kid), *outcome, *kid))
                .fold(None, |best: Option<(f64, u16, u32)>, kid| match best {
                    Some(best) if best.0 >= kid.0 => Some(best),
                    _ => Some(kid),
                });
            match widest {
                Some((gap, outcome, kid)) if gap > 0.0 => {
                    state = self.after(&state, &edge, outcome);
                    path.push(kid);
                }
                _ => break,
            }
        }
        for node in path.into_iter().rev() {
            self.back_up(node);
        }
    }

    /// The edge of the least lower bound, looked into; `None` if ending here is as good.
    fn most_hopeful(&mut self, node: u32, state: &State) -> Option<usize> {
        loop {
            let here = &self.nodes[node as usize];
            let edges = here.edges.as_ref()?;
            let mut best: Option<(f64, usize)> = None;
            for (place, edge) in edges.iter().enumerate() {
                let lower = self.lower(edge);
                if best.is_none_or(|(least, _)| lower < least) {
                    best = Some((lower, place));
                }
            }
            let (lower, place) = best?;
            if lower >= here.stop {
                return None;
            }
            if edges[place].kids.is_some() {
                return Some(place);
            }
            let telling = self.bounds.telling(self.problem, state);
            let edge = edges[place].clone();
            let kids = self.look_into(state, &edge, &telling);
            if let Some(edges) = &mut self.nodes[node as usize].edges {
                edges[place].kids = Some(kids);
            }
        }
    }

    fn lower(&self, edge: &Edge) -> f64 {
        match &edge.kids {
            None => edge.least,
            Some(kids) => {
                edge.cost
                    + kids
                        .iter()
                        .map(|(_, kid)| self.nodes[*kid as usize].lower)
                        .sum::<f64>()
            }
        }
    }

    fn upper(&self, edge: &Edge) -> f64 {
        match &edge.kids {
            None => f64::INFINITY,
            Some(kids) => {
                edge.cost
                    + kids
                        .iter()
                        .map(|(_, kid)| self.nodes[*kid as usize].upper)
                        .sum::<f64>()
            }
        }
    }

    /// Takes the figures of what follows into a node, and drops actions that cannot be best.
    fn back_up(&mut self, node: u32) {
        let here = &self.nodes[node as usize];
        let Some(edges) = &here.edges else { return };
        let (mut lower, mut upper) = (here.stop, here.upper);
        let mut choice = here.choice;
        let mut bounds = Vec::with_capacity(edges.len());
        for (place, edge) in edges.iter().enumerate() {
            let (least, cost) = (self.lower(edge), self.upper(edge));
            bounds.push(least);
            lower = lower.min(least);
            // The chosen edge's figure may have fallen: it is taken up; another's must be lower by more than rounding.
            if cost < upper - 1e-13 * upper.abs() {
                upper = cost;
                choice = Choice::Edge(place);
            }
        }
        let keep = |place: usize| bounds[place] <= upper || choice == Choice::Edge(place);
        let drop = (0..bounds.len()).any(|place| !keep(place));
        let here = &mut self.nodes[node as usize];
        here.lower = here.lower.max(lower.min(upper));
        here.upper = upper;
        here.choice = choice;
        if drop && let Some(edges) = &mut here.edges {
            if let Choice::Edge(place) = choice {
                here.choice = Choice::Edge((0..place).filter(|place| keep(*place)).count());
            }
            self.edges -= bounds.len();
            let mut place = 0;
            edges.retain(|_| {
                place += 1;
                keep(place - 1)
            });
            self.edges += edges.len();
        }
    }

    /// The node of `state`, made if it is new, with the quick plan in hand.
    fn node(&mut self, state: &State, telling: &Telling) -> u32 {
        let key = state.key();
        if let Some(node) = self.index.get(&key) {
            return *node;
        }
        let mut classes = std::mem::replace(&mut self.classes, ClassWeights::new(0));
        state.classes(self.problem, &mut classes);
        let problem = self.problem;
        let lower = self
            .bounds
            .lower(problem, state, &classes, telling, &mut self.stands);
        let upper = self
            .quick
            .cost(problem, &self.plain, state, &classes, &mut self.stands);
        let stop = match problem.ending {
            Ending::Named(wrong) => wrong * (state.total - classes.most()).max(0.0),
            _ => f64::INFINITY,
        };
        self.classes = classes;
        let id = u32::try_from(self.nodes.len()).unwrap_or(u32::MAX);
        self.nodes.push(Node {
            lower: lower.min(upper),
            upper,
            stop,
            choice: Choice::Quick,
            swept: 0,
            edges: None,
        });
        self.index.insert(key, id);
        id
    }

    /// Lists the actions of a node and looks into the most promising.
    fn open(&mut self, node: u32, state: &State, keep_going: KeepGoing) {
        self.opened += 1;
        let problem = self.problem;
        let telling = self.bounds.telling(problem, state);
        let lower = self.nodes[node as usize].lower;
        let mut edges = Vec::new();
        if problem.ending == Ending::Cured || state.mixed(problem) {
            for test in &telling.tests {
                let spec = &problem.tests[*test];
                edges.push(self.new_edge(state, Action::Test(*test), spec.cost, spec.needs, lower));
            }
        }
        state.classes(problem, &mut self.classes);
        for (id, repair) in problem.repairs.iter().enumerate() {
            if self.quick.helps(id, &self.classes) {
                edges.push(self.new_edge(state, Action::Repair(id), repair.cost, repair.needs, lower));
            }
        }
        if edges.is_empty() {
            let here = &mut self.nodes[node as usize];
            let end = if problem.ending == Ending::Apart {
                0.0
            } else {
                here.stop.min(here.upper)
            };
            (here.lower, here.upper) = (end, end);
        }
        for place in self.promising(&edges, state) {
            edges[place].kids = Some(self.look_into(state, &edges[place].clone(), &telling));
            self.ask(keep_going);
            if self.stopped {
                break;
            }
        }
        self.edges += edges.len();
        self.nodes[node as usize].edges = Some(edges);
        self.back_up(node);
        self.ask(keep_going);
    }

    fn new_edge(&mut self, state: &State, action: Action, cost: f64, needs: usize, lower: f64) -> Edge {
        let (entering, stand) = self.stands.meet(state.stand, needs);
        let cost = (cost + entering) * state.total;
        Edge {
            action,
            cost,
            stand,
            least: lower.max(cost),
            kids: None,
        }
    }

    /// Places of the edges to look into at once, most information for the cost first.
    fn promising(&mut self, edges: &[Edge], state: &State) -> Vec<usize> {
        if edges.len() <= WIDE {
            return (0..edges.len()).collect();
        }
        let mut scored: Vec<(f64, usize)> = edges
            .iter()
            .enumerate()
            .map(|(place, edge)| match edge.action {
                Action::Test(test) => (
                    information(self.problem, state, test, &mut self.classes) / edge.cost.max(1e-12),
                    place,
                ),
                Action::Repair(_) => (f64::INFINITY, place),
            })
            .collect();
        scored.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let repairs = scored.iter().take_while(|(score, _)| score.is_infinite()).count();
        scored.truncate(WIDE.max(repairs + WIDE / 2));
        scored.into_iter().map(|(_, place)| place).collect()
    }

    /// The nodes that follow an action.
    fn look_into(&mut self, state: &State, edge: &Edge, telling: &Telling) -> Box<[(u16, u32)]> {
        let outcomes = match edge.action {
            Action::Test(test) => self.problem.tests[test].outcomes.len(),
            Action::Repair(_) => 1,
        };
        let mut kids = Vec::with_capacity(outcomes);
        for outcome in 0..u16::try_from(outcomes).unwrap_or(u16::MAX) {
            let after = self.after(state, edge, outcome);
            if after.total > GONE {
                kids.push((outcome, self.node(&after, telling)));
            }
        }
        kids.into_boxed_slice()
    }
}
