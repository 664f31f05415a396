//! Noisy-OR nets: independent faults, each of which may turn tests positive.
//!
//! `P(test negative | faults) = (1 − leak) · Π_{present f} (1 − q_f)` (Pearl 1988; Heckerman, *A tractable inference algorithm for
//! diagnosing multiple diseases*, UAI 1989). Given faults, tests are independent. Negative readings leave the faults
//! independent and are absorbed in closed form; positive ones tie them together and are swept (see `sweep`).

use super::sweep::{Cause, Sweep};
use super::{NetError, probability, spread};
use crate::sets::{FaultSet, IndependentFaults, PriorError, SetModel};

/// A test that faults may turn positive.
#[derive(Clone, Debug)]
pub struct NoisyTest {
    /// Probability of a positive result with no fault at all.
    pub leak: f64,
    /// Faults that turn it positive, each with the probability that it does so alone and without the leak.
    pub causes: Vec<(usize, f64)>,
}

/// A noisy-OR net.
#[derive(Clone, Debug)]
pub struct NoisyOr {
    priors: Vec<f64>,
    independent: IndependentFaults,
    tests: Vec<NoisyTest>,
}

/// Exact posteriors of a noisy-OR net.
#[derive(Clone, Debug)]
pub struct NoisyOrPosterior {
    /// Natural logarithm of the probability of the readings.
    pub ln_evidence: f64,
    /// For every fault the probability that it is present.
    pub marginals: Vec<f64>,
}

impl NoisyOr {
    /// A net of faults with their priors (at least 0, below 1) and tests.
    ///
    /// # Errors
    /// Names the first prior, leak or sensitivity that is no probability, or the first cause that is no fault or is repeated.
    pub fn new(priors: Vec<f64>, tests: Vec<NoisyTest>) -> Result<Self, NetError> {
        let independent =
            IndependentFaults::new(&priors).map_err(|PriorError::OutOfRange { fault, prior }| {
                NetError::NotAProbability {
                    what: format!("the prior of fault {fault}"),
                    value: prior,
                }
            })?;
        for (number, test) in tests.iter().enumerate() {
            check_test(number, test, priors.len())?;
        }
        Ok(Self {
            priors,
            independent,
            tests,
        })
    }

    /// How many faults the net has.
    pub fn fault_count(&self) -> usize {
        self.priors.len()
    }

    /// How many tests the net has.
    pub fn test_count(&self) -> usize {
        self.tests.len()
    }

    /// Exact posteriors of all faults given `readings`, pairs of a test's number and whether it was positive; tests left
    /// out were not done, and the order is of no consequence.
    ///
    /// # Errors
    /// [`NetError::Impossible`] if the readings cannot occur, [`NetError::TooWide`] if the positive tests are too entangled.
    pub fn posteriors(&self, readings: &[(usize, bool)]) -> Result<NoisyOrPosterior, NetError> {
        let (mut marginals, sweep, ln_negative) = self.prepare(readings)?;
        let positive = sweep.run(&mut marginals)?;
        Ok(NoisyOrPosterior {
            ln_evidence: ln_negative + positive.ln(),
            marginals,
        })
    }

    /// Natural logarithm of the probability of `readings`.
    ///
    /// # Errors
    /// As [`Self::posteriors`].
    pub fn ln_evidence(&self, readings: &[(usize, bool)]) -> Result<f64, NetError> {
        let (_, sweep, ln_negative) = self.prepare(readings)?;
        Ok(ln_negative + sweep.evidence()?.ln())
    }

    /// How likely `test` is to be positive after `readings`.
    ///
    /// # Errors
    /// As [`Self::posteriors`].
    pub fn predict(&self, test: usize, readings: &[(usize, bool)]) -> Result<f64, NetError> {
        let before = self.ln_evidence(readings)?;
        let with: Vec<(usize, bool)> = readings.iter().copied().chain([(test, true)]).collect();
        match self.ln_evidence(&with) {
            Ok(after) => Ok((after - before).exp().min(1.0)),
            Err(NetError::Impossible | NetError::Contradiction { .. }) => Ok(0.0),
            Err(error) => Err(error),
        }
    }

    /// This net with these readings, to be isolated by sets of faults.
    ///
    /// # Errors
    /// A reading of a test that does not exist, or two that contradict each other.
    pub fn case(&self, readings: &[(usize, bool)]) -> Result<NoisyOrCase<'_>, NetError> {
        Ok(NoisyOrCase {
            net: self,
            readings: self.read(readings)?,
            ln_evidence: self.ln_evidence(readings).ok(),
        })
    }

    fn read(&self, readings: &[(usize, bool)]) -> Result<Vec<Option<bool>>, NetError> {
        spread(readings, self.tests.len(), "test")
    }

    /// Absorbs the negative readings and lays out the sweep over the positive ones.
    ///
    /// A negative test multiplies a fault's odds by `1 − q`: with `w = Π_negative (1 − q)` the fault's posterior is
    /// `p·w / (1 − p + p·w)`, and the denominators multiply to the probability of the negatives (times their `1 − leak`).
    fn prepare(&self, readings: &[(usize, bool)]) -> Result<(Vec<f64>, Sweep, f64), NetError> {
        let read = self.read(readings)?;
        let mut spared = vec![1.0; self.priors.len()];
        let mut hits: Vec<Vec<(usize, f64)>> = vec![Vec::new(); self.priors.len()];
        let mut leaks = Vec::new();
        let mut ln_negative = 0.0;
        for (test, positive) in self.tests.iter().zip(&read) {
            match positive {
                Some(true) => {
                    for &(fault, q) in test.causes.iter().filter(|(_, q)| *q > 0.0) {
                        hits[fault].push((leaks.len(), q));
                    }
                    leaks.push(test.leak);
                }
                Some(false) => {
                    ln_negative += (-test.leak).ln_1p();
                    for &(fault, q) in &test.causes {
                        spared[fault] *= 1.0 - q;
                    }
                }
                None => {}
            }
        }
        let mut marginals = Vec::with_capacity(self.priors.len());
        let mut causes = Vec::new();
        for (fault, hits) in hits.into_iter().enumerate() {
            let (absent, present) = (1.0 - self.priors[fault], self.priors[fault] * spared[fault]);
            let either = absent + present;
            ln_negative += either.ln();
            marginals.push(present / either);
            if !hits.is_empty() {
                causes.push(Cause {
                    fault,
                    absent: absent / either,
                    present: present / either,
                    hits,
                });
            }
        }
        if ln_negative == f64::NEG_INFINITY {
            return Err(NetError::Impossible);
        }
        Ok((marginals, Sweep::new(&leaks, causes), ln_negative))
    }
}

fn check_test(number: usize, test: &NoisyTest, faults: usize) -> Result<(), NetError> {
    probability(test.leak, || format!("the leak of test {number}"))?;
    for (i, &(fault, q)) in test.causes.iter().enumerate() {
        if fault >= faults {
            return Err(NetError::NoSuch {
                what: "fault",
                number: fault,
                count: faults,
            });
        }
        if test.causes[..i].iter().any(|(other, _)| *other == fault) {
            return Err(NetError::Twice {
                what: "cause",
                number: fault,
            });
        }
        probability(q, || format!("how well test {number} shows fault {fault}"))?;
    }
    Ok(())
}

/// A noisy-OR net with readings, as a model for [`grow`](crate::sets::grow). It knows its total evidence where that is tractable.
#[derive(Clone, Debug)]
pub struct NoisyOrCase<'a> {
    net: &'a NoisyOr,
    readings: Vec<Option<bool>>,
    ln_evidence: Option<f64>,
}

impl NoisyOrCase<'_> {
    fn ln_likelihood(&self, set: &FaultSet) -> f64 {
        let reading = |(test, positive): (&NoisyTest, &Option<bool>)| {
            let positive = (*positive)?;
            let spared = test
                .causes
                .iter()
                .filter(|(fault, _)| set.contains(*fault))
                .map(|(_, q)| 1.0 - q);
            let negative = (1.0 - test.leak) * spared.product::<f64>();
            Some(if positive {
                (-negative).ln_1p()
            } else {
                negative.ln()
            })
        };
        self.net
            .tests
            .iter()
            .zip(&self.readings)
            .filter_map(reading)
            .sum()
    }
}

impl SetModel for NoisyOrCase<'_> {
    fn fault_count(&self) -> usize {
        self.net.fault_count()
    }

    fn ln_prior(&self, set: &FaultSet) -> f64 {
        self.net.independent.ln_prior(set)
    }

    fn ln_likelihoods(&self, sets: &[FaultSet]) -> Vec<f64> {
        sets.iter().map(|set| self.ln_likelihood(set)).collect()
    }

    fn ln_evidence(&self) -> Option<f64> {
        self.ln_evidence
    }

    fn ln_likelihood_ceiling(&self) -> Option<f64> {
        Some(0.0)
    }
}
