//! The sweep over the positive tests of a noisy-OR net: exact, a sum of positive terms only.
//!
//! Quickscore (Heckerman, UAI 1989) sums `2^k` terms of alternating sign over subsets of the `k` positive tests; at nine positives
//! seven of sixteen digits are lost. Here the same sum is arranged over the subset `T` of positive tests that have *been
//! explained so far* (by the leak or by a fault). Fault after fault spreads weight from `T` to larger sets; all terms are positive,
//! so nothing cancels. A test enters the state only before its first fault and leaves it after its last, explained, so the
//! cost is `2^(tests open at once)`, not `2^k`. The second pass is the transpose of the first and yields every fault's posterior.

use super::NetError;

/// Most numbers kept between the two passes: 2^24 are 128 MB.
const MOST_STATES: usize = 1 << 24;

/// A fault that may explain positive tests.
#[derive(Debug)]
pub(super) struct Cause {
    pub(super) fault: usize,
    /// Probability of absence and presence after the negative readings; they sum to one.
    pub(super) absent: f64,
    pub(super) present: f64,
    /// Positive tests with the probability that the fault turns each positive.
    pub(super) hits: Vec<(usize, f64)>,
}

#[derive(Debug)]
enum Step {
    /// A test enters as the highest bit, explained by its leak or not.
    Open { leak: f64 },
    /// A fault spreads weight over the bits of its tests.
    Spread { cause: usize, bits: Vec<(u32, f64)> },
    /// All faults of the test at this bit are done: it must be explained.
    Close { bit: u32 },
}

/// A sweep laid out: steps in order, and how much they need.
#[derive(Debug)]
pub(super) struct Sweep {
    causes: Vec<Cause>,
    steps: Vec<Step>,
    widest: u32,
    states: usize,
}

impl Sweep {
    pub(super) fn new(leaks: &[f64], causes: Vec<Cause>) -> Self {
        let steps = Layout::new(leaks, &causes).steps();
        let (mut width, mut widest, mut states) = (0, 0, 0_usize);
        for step in &steps {
            match step {
                Step::Open { .. } => width += 1,
                Step::Close { .. } => width -= 1,
                Step::Spread { .. } => {
                    states = states.saturating_add(2_usize.saturating_pow(width));
                }
            }
            widest = widest.max(width);
        }
        Self {
            causes,
            steps,
            widest,
            states,
        }
    }

    /// The probability of the positive readings; `marginals` of the faults swept are replaced by their posteriors.
    pub(super) fn run(&self, marginals: &mut [f64]) -> Result<f64, NetError> {
        let mut tape = Vec::with_capacity(self.states.min(MOST_STATES));
        let evidence = self.forward(|state| tape.extend_from_slice(state))?;
        self.backward(tape, evidence, marginals);
        Ok(evidence)
    }

    /// The probability of the positive readings alone.
    pub(super) fn evidence(&self) -> Result<f64, NetError> {
        self.forward(|_| ())
    }

    fn forward(&self, mut before_spread: impl FnMut(&[f64])) -> Result<f64, NetError> {
        if self.states > MOST_STATES {
            return Err(NetError::TooWide {
                variables: self.widest as usize,
            });
        }
        let mut state = Vec::with_capacity(1 << self.widest);
        state.push(1.0);
        let mut spread = Vec::with_capacity(1 << self.widest);
        for step in &self.steps {
            match step {
                Step::Open { leak } => open(&mut state, *leak),
                Step::Close { bit } => close(&mut state, *bit),
                Step::Spread { cause, bits } => {
                    before_spread(&state);
                    spread.clone_from(&state);
                    for &(bit, q) in bits {
                        explain(&mut spread, bit, q);
                    }
                    mix(&mut state, &spread, &self.causes[*cause]);
                }
            }
        }
        if state[0] > 0.0 {
            Ok(state[0])
        } else {
            Err(NetError::Impossible)
        }
    }

    /// `β(T)`: the probability that what is still to come explains all that `T` leaves open.
    fn backward(&self, mut tape: Vec<f64>, evidence: f64, marginals: &mut [f64]) {
        let mut state = Vec::with_capacity(1 << self.widest);
        state.push(1.0);
        let mut spread = Vec::with_capacity(1 << self.widest);
        for step in self.steps.iter().rev() {
            match step {
                Step::Open { leak } => open_back(&mut state, *leak),
                Step::Close { bit } => close_back(&mut state, *bit),
                Step::Spread { cause, bits } => {
                    let cause = &self.causes[*cause];
                    spread.clone_from(&state);
                    for &(bit, q) in bits {
                        explain_back(&mut spread, bit, q);
                    }
                    let before = tape.split_off(tape.len() - state.len());
                    let with: f64 = before.iter().zip(&spread).map(|(a, b)| a * b).sum();
                    marginals[cause.fault] = (cause.present * with / evidence).min(1.0);
                    mix(&mut state, &spread, cause);
                }
            }
        }
    }
}

/// `state ← absent · state + present · spread`.
fn mix(state: &mut [f64], spread: &[f64], cause: &Cause) {
    for (s, t) in state.iter_mut().zip(spread) {
        *s = cause.absent * *s + cause.present * t;
    }
}

fn open(state: &mut Vec<f64>, leak: f64) {
    let half = state.len();
    state.extend_from_within(..);
    let (unexplained, explained) = state.split_at_mut(half);
    for (u, e) in unexplained.iter_mut().zip(explained) {
        *u *= 1.0 - leak;
        *e *= leak;
    }
}

fn open_back(state: &mut Vec<f64>, leak: f64) {
    let half = state.len() / 2;
    let (unexplained, explained) = state.split_at_mut(half);
    for (u, e) in unexplained.iter_mut().zip(explained) {
        *u = (1.0 - leak) * *u + leak * *e;
    }
    state.truncate(half);
}

fn close(state: &mut Vec<f64>, bit: u32) {
    let stride = 1 << bit;
    let blocks = state.len() / (2 * stride);
    for block in 0..blocks {
        let from = (2 * block + 1) * stride;
        state.copy_within(from..from + stride, block * stride);
    }
    state.truncate(blocks * stride);
}

fn close_back(state: &mut Vec<f64>, bit: u32) {
    let stride = 1 << bit;
    let blocks = state.len() / stride;
    state.resize(2 * blocks * stride, 0.0);
    for block in (0..blocks).rev() {
        let to = 2 * block * stride;
        state.copy_within(block * stride..(block + 1) * stride, to + stride);
        state[to..to + stride].fill(0.0);
    }
}

/// Weight moves from sets without the test to sets with it, with probability `q`.
fn explain(state: &mut [f64], bit: u32, q: f64) {
    let stride = 1 << bit;
    for pair in state.chunks_exact_mut(2 * stride) {
        let (without, with) = pair.split_at_mut(stride);
        for (a, b) in without.iter_mut().zip(with) {
            *b += q * *a;
            *a *= 1.0 - q;
        }
    }
}

fn explain_back(state: &mut [f64], bit: u32, q: f64) {
    let stride = 1 << bit;
    for pair in state.chunks_exact_mut(2 * stride) {
        let (without, with) = pair.split_at_mut(stride);
        for (a, b) in without.iter_mut().zip(with) {
            *a = (1.0 - q) * *a + q * *b;
        }
    }
}

/// Orders the faults so that few tests are open at once: always finish the test that opens the fewest others.
struct Layout<'a> {
    leaks: &'a [f64],
    causes: &'a [Cause],
    of_test: Vec<Vec<usize>>,
    done: Vec<bool>,
    closed: Vec<bool>,
    /// Open tests, in the order of their bits.
    open: Vec<usize>,
    steps: Vec<Step>,
}

impl<'a> Layout<'a> {
    fn new(leaks: &'a [f64], causes: &'a [Cause]) -> Self {
        let mut of_test = vec![Vec::new(); leaks.len()];
        for (number, cause) in causes.iter().enumerate() {
            for &(test, _) in &cause.hits {
                of_test[test].push(number);
            }
        }
        let (done, closed) = (vec![false; causes.len()], vec![false; leaks.len()]);
        Self {
            leaks,
            causes,
            of_test,
            done,
            closed,
            open: Vec::new(),
            steps: Vec::with_capacity(causes.len() + 2 * leaks.len()),
        }
    }

    fn steps(mut self) -> Vec<Step> {
        while let Some(test) = (0..self.leaks.len())
            .filter(|&t| !self.closed[t])
            .min_by_key(|&t| self.opens(t))
        {
            self.open(test);
            let mut mine: Vec<usize> = self.of_test[test]
                .iter()
                .copied()
                .filter(|&c| !self.done[c])
                .collect();
            mine.sort_by_key(|&c| self.causes[c].hits.len());
            for cause in mine {
                self.spread(cause);
            }
            self.close_finished();
        }
        self.steps
    }

    /// How many tests finishing `test` would open.
    fn opens(&self, test: usize) -> usize {
        let mut fresh: Vec<usize> = Vec::new();
        let pending = self.of_test[test].iter().filter(|&&c| !self.done[c]);
        for t in pending
            .flat_map(|&c| self.causes[c].hits.iter().map(|h| h.0))
            .chain([test])
        {
            if !self.open.contains(&t) && !fresh.contains(&t) {
                fresh.push(t);
            }
        }
        fresh.len()
    }

    fn open(&mut self, test: usize) {
        if !self.open.contains(&test) {
            self.open.push(test);
            self.steps.push(Step::Open {
                leak: self.leaks[test],
            });
        }
    }

    fn spread(&mut self, cause: usize) {
        let hits = &self.causes[cause].hits;
        for &(test, _) in hits {
            self.open(test);
        }
        let bits = hits
            .iter()
            .filter_map(|&(test, q)| Some((self.bit(test)?, q)))
            .collect();
        self.steps.push(Step::Spread { cause, bits });
        self.done[cause] = true;
    }

    fn bit(&self, test: usize) -> Option<u32> {
        self.open
            .iter()
            .position(|&t| t == test)
            .and_then(|bit| u32::try_from(bit).ok())
    }

    fn close_finished(&mut self) {
        for bit in (0..self.open.len()).rev() {
            let test = self.open[bit];
            if self.of_test[test].iter().all(|&c| self.done[c]) {
                self.open.remove(bit);
                self.closed[test] = true;
                self.steps
                    .extend(u32::try_from(bit).map(|bit| Step::Close { bit }));
            }
        }
    }
}
