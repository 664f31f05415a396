//! Small Bayesian nets given as tables, solved exactly.
//!
//! Every variable is eliminated once, in an order of least neighbours; the tables formed on the way make a tree. A first
//! pass sends sums towards the root and yields the probability of the evidence, a second sends them back and yields
//! every variable's posterior at once (Lauritzen & Spiegelhalter, JRSS-B 50, 1988; Dechter, Artificial Intelligence 113, 1999).

use std::collections::BTreeSet;

use super::factor::Factor;
use super::{NetError, probability, spread};

/// Largest table, as a power of two: 2^22 numbers are 32 MB.
const WIDEST: usize = 22;

/// A Bayesian net of yes/no variables.
#[derive(Clone, Debug, Default)]
pub struct BayesNet {
    nodes: Vec<Node>,
}

#[derive(Clone, Debug)]
struct Node {
    name: String,
    parents: Vec<usize>,
    yes: Vec<f64>,
}

/// Posteriors of all variables of a net.
#[derive(Clone, Debug)]
pub struct NetPosterior {
    /// Natural logarithm of the probability of the evidence.
    pub ln_evidence: f64,
    /// For every variable the probability of *yes*; 0 or 1 for those in the evidence.
    pub yes: Vec<f64>,
}

/// A table of the elimination tree: all that mentions its variable when that is eliminated.
struct Bucket {
    variable: usize,
    table: Factor,
    /// What it hands on, over its variables but its own.
    message: Factor,
    /// The bucket that takes the message; `None` for a root.
    parent: Option<usize>,
}

impl BayesNet {
    /// A net without variables.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a variable and returns its number.
    ///
    /// - `parents`: numbers of variables added before, hence no cycles.
    /// - `yes`: `P(yes | parents)`, `2^parents` entries; the *first* parent is the most significant bit of the index.
    ///
    /// # Errors
    /// A table of another size, a value outside `[0, 1]`, a parent that is unknown or given twice.
    pub fn add(&mut self, name: &str, parents: &[usize], yes: &[f64]) -> Result<usize, NetError> {
        let count = self.nodes.len();
        for (i, &number) in parents.iter().enumerate() {
            if number >= count {
                return Err(NetError::NoSuch {
                    what: "parent",
                    number,
                    count,
                });
            }
            if parents[..i].contains(&number) {
                return Err(NetError::Twice {
                    what: "parent",
                    number,
                });
            }
        }
        if parents.len() >= WIDEST {
            return Err(NetError::TooWide {
                variables: parents.len() + 1,
            });
        }
        if yes.len() != 1 << parents.len() {
            return Err(NetError::TableSize {
                name: name.to_owned(),
                expected: 1 << parents.len(),
                found: yes.len(),
            });
        }
        for &value in yes {
            probability(value, || format!("an entry of `{name}`"))?;
        }
        self.nodes.push(Node {
            name: name.to_owned(),
            parents: parents.to_vec(),
            yes: yes.to_vec(),
        });
        Ok(count)
    }

    /// The number of the variable of that name.
    pub fn variable(&self, name: &str) -> Option<usize> {
        self.nodes.iter().position(|node| node.name == name)
    }

    /// The posteriors of all variables given `evidence`, pairs of a variable's number and its state; their order is
    /// of no consequence.
    ///
    /// # Errors
    /// [`NetError::Impossible`] if the evidence cannot occur, [`NetError::TooWide`] if the net is too entangled.
    pub fn posteriors(&self, evidence: &[(usize, bool)]) -> Result<NetPosterior, NetError> {
        let known = spread(evidence, self.nodes.len(), "variable")?;
        let (buckets, ln_evidence) = self.collect(&known)?;
        let mut yes: Vec<f64> = known
            .iter()
            .map(|state| f64::from(*state == Some(true)))
            .collect();
        distribute(&buckets, &mut yes);
        Ok(NetPosterior { ln_evidence, yes })
    }

    /// Every node's table with the known variables fixed.
    fn factors(&self, known: &[Option<bool>]) -> Vec<Factor> {
        let factor = |(number, node): (usize, &Node)| {
            let mut open: Vec<usize> = node
                .parents
                .iter()
                .copied()
                .chain([number])
                .filter(|&v| known[v].is_none())
                .collect();
            open.sort_unstable();
            Factor::from_fn(open, |state| {
                let state = |v: usize| known[v].unwrap_or_else(|| state(v));
                let row = node
                    .parents
                    .iter()
                    .fold(0, |row, &parent| row << 1 | usize::from(state(parent)));
                if state(number) {
                    node.yes[row]
                } else {
                    1.0 - node.yes[row]
                }
            })
        };
        self.nodes.iter().enumerate().map(factor).collect()
    }

    /// The pass towards the roots: the buckets in order of elimination, and the log-probability of the evidence.
    fn collect(&self, known: &[Option<bool>]) -> Result<(Vec<Bucket>, f64), NetError> {
        let mut waiting: Vec<(Option<usize>, Factor)> =
            self.factors(known).into_iter().map(|f| (None, f)).collect();
        let mut open: BTreeSet<usize> = (0..self.nodes.len()).filter(|&v| known[v].is_none()).collect();
        let mut buckets: Vec<Bucket> = Vec::with_capacity(open.len());
        while let Some(variable) = cheapest(&open, &waiting) {
            open.remove(&variable);
            let scope = neighbourhood(variable, &waiting);
            if scope.len() > WIDEST {
                return Err(NetError::TooWide {
                    variables: scope.len(),
                });
            }
            let (mine, rest): (Vec<_>, Vec<_>) = waiting
                .into_iter()
                .partition(|(_, f)| f.variables.contains(&variable));
            let mut table = Factor::ones(scope.iter().copied().collect());
            for (from, factor) in &mine {
                table.times(factor);
                if let Some(from) = *from {
                    buckets[from].parent = Some(buckets.len());
                }
            }
            let kept: Vec<usize> = scope.into_iter().filter(|&v| v != variable).collect();
            let message = table.sum_to(&kept);
            waiting = rest;
            waiting.push((Some(buckets.len()), message.clone()));
            buckets.push(Bucket {
                variable,
                table,
                message,
                parent: None,
            });
        }
        // Only constants are left: the sums of the roots, and nodes whose whole family is known.
        let ln_evidence: f64 = waiting.iter().map(|(_, f)| f.values[0].ln()).sum();
        if ln_evidence.is_finite() {
            Ok((buckets, ln_evidence))
        } else {
            Err(NetError::Impossible)
        }
    }
}

/// The pass back: fills in the posteriors of the buckets' variables.
fn distribute(buckets: &[Bucket], yes: &mut [f64]) {
    let mut beliefs: Vec<Option<Factor>> = vec![None; buckets.len()];
    for (i, bucket) in buckets.iter().enumerate().rev() {
        let mut belief = bucket.table.clone();
        if let Some(above) = bucket.parent.and_then(|parent| beliefs[parent].as_ref()) {
            belief.times(&above.sum_to(&bucket.message.variables).over(&bucket.message));
        }
        let own = belief.sum_to(&[bucket.variable]);
        yes[bucket.variable] = own.values[1] / (own.values[0] + own.values[1]);
        beliefs[i] = Some(belief);
    }
}

/// All variables that share a table with `variable`, itself included.
fn neighbourhood(variable: usize, factors: &[(Option<usize>, Factor)]) -> BTreeSet<usize> {
    let own = factors.iter().filter(|(_, f)| f.variables.contains(&variable));
    own.flat_map(|(_, f)| f.variables.iter().copied())
        .chain([variable])
        .collect()
}

/// The open variable with the fewest neighbours, the lowest number first.
fn cheapest(open: &BTreeSet<usize>, factors: &[(Option<usize>, Factor)]) -> Option<usize> {
    open.iter()
        .copied()
        .min_by_key(|&v| neighbourhood(v, factors).len())
}
