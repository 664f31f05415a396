//! Weibull distributions fitted to lives, some of them not over yet: maximum likelihood, or with a prior the most
//! probable.
//!
//! Damped Newton on exact derivatives in `ln scale` and `ln shape`. Lives are taken relative to their own size, so the
//! unit does not matter. DERIVATIONS 17.

use crate::classes::ClassCount;
use crate::weibull::{Local, Term, Weibull};

/// A standard normal variable stays within this with probability 95 %.
const TWO_SIDED_95: f64 = 1.959_963_984_540_054;

/// Newton steps allowed; from the start chosen here a fit takes about eight.
const STEPS: u32 = 200;

/// One part's life so far.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observed {
    /// Distance or age, in any one unit; positive, for a part still good zero or more.
    pub at: f64,
    /// It failed then; otherwise it was good still.
    pub failed: bool,
}

/// What is known before any job: a shipped distribution, and how many failures it counts for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// Shipped scale and shape, the scale in the unit of the lives.
    pub weibull: Weibull,
    /// Equivalent failures; positive. Ten means that ten failures of our own weigh as much.
    pub failures: f64,
}

/// A fitted distribution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitted {
    /// The most likely, or with a prior the most probable.
    pub weibull: Weibull,
    /// Log-likelihood of the lives alone, without the prior, at that distribution.
    pub log_likelihood: f64,
    /// Standard error of the scale.
    pub scale_error: f64,
    /// Standard error of the shape.
    pub shape_error: f64,
    /// 95 % range of the scale, symmetric in its logarithm.
    pub scale_range: (f64, f64),
    /// 95 % range of the shape, symmetric in its logarithm.
    pub shape_range: (f64, f64),
}

/// Why there is no fit.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum FitError {
    /// Nothing to fit.
    #[error("no lives to fit; give some, or a prior")]
    Empty,
    /// A life is negative or no number, or a failure lies at zero.
    #[error(
        "life number {index} is {found}; expected a finite number above zero (zero only for a part still good)"
    )]
    Life {
        /// Its place in what was given, from 0.
        index: usize,
        /// As given.
        found: f64,
    },
    /// The ends of a class are out of order.
    #[error(
        "class number {index} reaches from {from} to {to}; expected ends in order, the first not negative"
    )]
    Class {
        /// Its place in what was given, from 0.
        index: usize,
        /// Its beginning.
        from: f64,
        /// Its end.
        to: f64,
    },
    /// Nothing failed, so any long life explains what was seen.
    #[error("none of {lives} lives ended in a failure; give a prior, or ask `scale_at_least`")]
    NoFailures {
        /// Lives given.
        lives: u64,
    },
    /// All failures at one place: the shape has no upper bound.
    #[error("all failures lie at one place, so the spread of lives is unknown; give a prior")]
    NoSpread,
    /// The prior's figures cannot be.
    #[error(
        "a prior of scale {scale}, shape {shape} and {failures} failures; expected finite numbers above zero"
    )]
    Prior {
        /// Its scale.
        scale: f64,
        /// Its shape.
        shape: f64,
        /// Its weight.
        failures: f64,
    },
    /// The search came to no end.
    #[error("no greatest likelihood after {steps} steps; the lives fit no Weibull distribution")]
    NotConverged {
        /// Steps made.
        steps: u32,
    },
}

/// The Weibull distribution that makes these lives most likely; right-censored lives count as such.
///
/// Scale, errors and range are in the unit of the lives.
///
/// # Errors
/// [`FitError`]: no lives, a life that cannot be, no failure, no spread.
pub fn fit(observed: &[Observed]) -> Result<Fitted, FitError> {
    fit_observed(observed, None)
}

/// The most probable Weibull distribution given these lives and a prior; with no lives the prior itself.
///
/// # Errors
/// [`FitError`]: a life or a prior that cannot be.
pub fn fit_with_prior(observed: &[Observed], prior: &Prior) -> Result<Fitted, FitError> {
    fit_observed(observed, Some(prior))
}

fn fit_observed(observed: &[Observed], prior: Option<&Prior>) -> Result<Fitted, FitError> {
    let mut evidence = Evidence::new(prior)?;
    for (index, life) in observed.iter().enumerate() {
        if !life.at.is_finite() || life.at < 0.0 || (life.failed && life.at == 0.0) {
            return Err(FitError::Life {
                index,
                found: life.at,
            });
        }
        let x = life.at.ln();
        if life.failed {
            evidence.push_failed(1, x, Term::Failed(x), (x, x));
        } else {
            evidence.push_good(1, x);
        }
    }
    evidence.fit()
}

/// The same from classes: a failure is known to lie within its class, a part still good counts as seen in its middle
/// (the geometric mean of the ends; half of the first class, the beginning of the last).
///
/// With `prior` the most probable distribution, without it the most likely.
///
/// # Errors
/// [`FitError`], as [`fit`] and [`fit_with_prior`]; failures within one class only have no spread.
pub fn fit_classes(classes: &[ClassCount], prior: Option<&Prior>) -> Result<Fitted, FitError> {
    let mut evidence = Evidence::new(prior)?;
    for (index, class) in classes.iter().enumerate() {
        let ClassCount { from, to, .. } = *class;
        if !(from >= 0.0 && from < to && from.is_finite()) {
            return Err(FitError::Class { index, from, to });
        }
        let ends = (from.ln(), to.ln());
        // Within the whole of life nothing is known: minus infinity.
        let middle = class.middle().ln();
        evidence.push_failed(class.failed, middle, Term::Between(ends.0, ends.1), ends);
        evidence.push_good(class.good, middle);
    }
    evidence.fit()
}

/// The scale that is exceeded with 95 % confidence if nothing failed, the shape being known: `(Σ tᵝ / ln 20)^(1/β)`
/// (exact for lives ended by looking, not by failing). `None` if nobody lived or the shape cannot be.
pub fn scale_at_least(observed: &[Observed], shape: f64) -> Option<f64> {
    let sum: f64 = observed.iter().map(|life| life.at.powf(shape)).sum();
    let bound = (sum / 20f64.ln()).powf(1.0 / shape);
    (shape > 0.0 && bound.is_finite() && bound > 0.0).then_some(bound)
}

/// What is to be explained, each with how often.
struct Evidence {
    terms: Vec<(f64, Term)>,
    prior: Option<(f64, Term)>,
    failures: u64,
    lives: u64,
    /// Lowest and highest end of any failure.
    spread: Option<(f64, f64)>,
    one_place: bool,
    /// Logarithms of the middles of lives, with how often.
    middles: Vec<(f64, f64)>,
}

impl Evidence {
    fn new(prior: Option<&Prior>) -> Result<Self, FitError> {
        let prior = match prior {
            None => None,
            Some(prior) => {
                let Weibull { scale, shape } = prior.weibull;
                let failures = prior.failures;
                let fine = Weibull::new(scale, shape).is_some() && failures.is_finite() && failures > 0.0;
                if !fine {
                    return Err(FitError::Prior {
                        scale,
                        shape,
                        failures,
                    });
                }
                Some((failures, Term::Shipped(scale.ln(), shape)))
            }
        };
        Ok(Self {
            terms: Vec::new(),
            prior,
            failures: 0,
            lives: 0,
            spread: None,
            one_place: true,
            middles: Vec::new(),
        })
    }

    fn push_failed(&mut self, times: u64, middle: f64, term: Term, ends: (f64, f64)) {
        if times == 0 {
            return;
        }
        self.terms.push((times as f64, term));
        self.failures = self.failures.saturating_add(times);
        self.lives = self.lives.saturating_add(times);
        self.one_place &= self.spread.is_none_or(|seen| seen == ends);
        self.spread = Some(ends);
        if middle.is_finite() {
            self.middles.push((times as f64, middle));
        }
    }

    fn push_good(&mut self, times: u64, x: f64) {
        if times == 0 {
            return;
        }
        self.lives = self.lives.saturating_add(times);
        // Good at zero says nothing.
        if x.is_finite() {
            self.terms.push((times as f64, Term::Good(x)));
            self.middles.push((times as f64, x));
        }
    }

    fn fit(self) -> Result<Fitted, FitError> {
        if self.prior.is_none() {
            if self.lives == 0 {
                return Err(FitError::Empty);
            }
            if self.failures == 0 {
                return Err(FitError::NoFailures { lives: self.lives });
            }
            // Parts still good beyond the one place bound the shape; without them nothing does.
            if self.one_place && !self.good_beyond() {
                return Err(FitError::NoSpread);
            }
        }
        let start = self.start();
        let (u, s, local) = climb(start, |u, s| self.local(u, s))?;
        let data = self.data(u, s);
        fitted(u, s, data.value, &local)
    }

    /// Whether a part was still good after the last failure.
    fn good_beyond(&self) -> bool {
        let last = self.spread.map_or(f64::INFINITY, |(_, to)| to);
        self.terms
            .iter()
            .any(|(_, term)| matches!(term, Term::Good(x) if *x > last))
    }

    /// The prior, or a distribution of failures at random.
    fn start(&self) -> (f64, f64) {
        if let Some((_, Term::Shipped(u, shape))) = self.prior {
            return (u, shape.ln());
        }
        let top = self
            .middles
            .iter()
            .map(|(_, x)| *x)
            .fold(f64::NEG_INFINITY, f64::max);
        let total: f64 = self
            .middles
            .iter()
            .map(|(times, x)| times * (x - top).exp())
            .sum();
        (top + (total / self.failures as f64).ln(), 0.0)
    }

    fn data(&self, u: f64, s: f64) -> Local {
        let mut sum = Local::default();
        for (times, term) in &self.terms {
            sum.add(*times, &term.at(u, s.exp()));
        }
        sum
    }

    fn local(&self, u: f64, s: f64) -> Local {
        let mut sum = self.data(u, s);
        if let Some((failures, term)) = self.prior {
            sum.add(failures, &term.at(u, s.exp()));
        }
        sum
    }
}

/// The greatest value of a smooth function of two variables, with its derivatives there.
///
/// Newton steps on the Hessian, made definite where it is not; halved until the value rises.
fn climb(start: (f64, f64), local: impl Fn(f64, f64) -> Local) -> Result<(f64, f64, Local), FitError> {
    let (mut u, mut s) = start;
    let mut here = local(u, s);
    for _ in 0..STEPS {
        let (du, ds) = newton_step(&here);
        if !(du.is_finite() && ds.is_finite()) {
            break;
        }
        // Steps above two would overshoot `e^z` by orders of magnitude.
        let mut share = (2.0 / du.abs().max(ds.abs())).min(1.0);
        let gain = here.gradient[0] * du + here.gradient[1] * ds;
        if gain.abs() <= 1e-13 * (1.0 + here.value.abs()) && du.abs().max(ds.abs()) < 1e-6 {
            // Whatever is left of the step is below rounding; take it and be done.
            let there = local(u + du, s + ds);
            return Ok((u + du, s + ds, there));
        }
        loop {
            let there = local(u + share * du, s + share * ds);
            if there.value.is_finite() && there.value >= here.value + 1e-4 * share * gain {
                (u, s, here) = (u + share * du, s + share * ds, there);
                break;
            }
            share *= 0.5;
            // In thin classes rounding can hide the last of the rise: a billionth of the value is no evidence.
            if share < 1e-6 && gain.abs() < 1e-9 * (1.0 + here.value.abs()) {
                return Ok((u, s, here));
            }
            if share < 1e-12 {
                return Err(FitError::NotConverged { steps: STEPS });
            }
        }
    }
    Err(FitError::NotConverged { steps: STEPS })
}

/// `(−H + λ)⁻¹ g` with the smallest λ on a ladder that makes the matrix definite.
fn newton_step(local: &Local) -> (f64, f64) {
    let [gu, gs] = local.gradient;
    let (a, b, c) = (-local.hessian[0], -local.hessian[1], -local.hessian[2]);
    let size = a.abs().max(b.abs()).max(c.abs()).max(1e-300);
    let mut lift = 0.0;
    // From a thousandth of the Hessian's size to beyond it.
    for _ in 0..20 {
        let (a, c) = (a + lift, c + lift);
        let determinant = a * c - b * b;
        if a > 0.0 && determinant > 1e-12 * size * size {
            return ((c * gu - b * gs) / determinant, (a * gs - b * gu) / determinant);
        }
        lift = (lift * 4.0).max(1e-3 * size);
    }
    (gu / size, gs / size)
}

/// Errors from the curvature: at a maximum the information carries over to scale and shape by the chain rule alone.
fn fitted(u: f64, s: f64, log_likelihood: f64, local: &Local) -> Result<Fitted, FitError> {
    let [uu, us, ss] = local.hessian.map(|second| -second);
    let determinant = uu * ss - us * us;
    let (u_error, s_error) = ((ss / determinant).sqrt(), (uu / determinant).sqrt());
    let (scale, shape) = (u.exp(), s.exp());
    let (Some(weibull), true) = (
        Weibull::new(scale, shape),
        (scale * u_error).is_finite() && (shape * s_error).is_finite() && log_likelihood.is_finite(),
    ) else {
        return Err(FitError::NotConverged { steps: STEPS });
    };
    let range = |middle: f64, error: f64| {
        let factor = (TWO_SIDED_95 * error).exp();
        (middle / factor, middle * factor)
    };
    Ok(Fitted {
        weibull,
        log_likelihood,
        scale_error: scale * u_error,
        shape_error: shape * s_error,
        scale_range: range(scale, u_error),
        shape_range: range(shape, s_error),
    })
}
