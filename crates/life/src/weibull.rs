//! Weibull lives: the distribution, and its log-likelihood with exact derivatives.
//!
//! Parameters of the search are `u = ln scale` and `s = ln shape`, so that both stay positive. With `z = shape (ln t − u)`
//! the cumulative hazard is `H = e^z`. DERIVATIONS 17.

use crate::special::digamma_trigamma;
use libm::lgamma;

/// Euler's constant.
const EULER: f64 = 0.577_215_664_901_532_9;

/// Lives that follow Weibull's distribution: `S(t) = exp(−(t/scale)^shape)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weibull {
    /// 63 % have failed by then; in the unit of the lives (km or days), positive.
    pub scale: f64,
    /// Below 1 early failures, at 1 failures at random, above 1 wear; positive.
    pub shape: f64,
}

impl Weibull {
    /// `None` unless both are positive and finite.
    pub fn new(scale: f64, shape: f64) -> Option<Self> {
        let fine = |value: f64| value.is_finite() && value > 0.0;
        (fine(scale) && fine(shape)).then_some(Self { scale, shape })
    }

    /// Share of parts that still work at `at`.
    pub fn survival(&self, at: f64) -> f64 {
        (-(at.max(0.0) / self.scale).powf(self.shape)).exp()
    }

    /// Failures per unit of life among parts that still work at `at`.
    pub fn hazard(&self, at: f64) -> f64 {
        self.shape / self.scale * (at.max(0.0) / self.scale).powf(self.shape - 1.0)
    }

    /// Mean life.
    pub fn mean(&self) -> f64 {
        self.scale * lgamma(1.0 + 1.0 / self.shape).exp()
    }
}

/// A value with its gradient and the upper half of its Hessian, in `u` and `s`.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Local {
    pub(crate) value: f64,
    pub(crate) gradient: [f64; 2],
    /// `uu`, `us`, `ss`.
    pub(crate) hessian: [f64; 3],
}

impl Local {
    pub(crate) fn add(&mut self, weight: f64, other: &Self) {
        self.value += weight * other.value;
        for (sum, more) in self.gradient.iter_mut().zip(other.gradient) {
            *sum += weight * more;
        }
        for (sum, more) in self.hessian.iter_mut().zip(other.hessian) {
            *sum += weight * more;
        }
    }

    /// `e` to this.
    fn exp(&self) -> Self {
        let value = self.value.exp();
        let [u, s] = self.gradient;
        let [uu, us, ss] = self.hessian;
        Self {
            value,
            gradient: [value * u, value * s],
            hessian: [value * (uu + u * u), value * (us + u * s), value * (ss + s * s)],
        }
    }
}

/// One kind of evidence. Lives are given by their logarithm.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Term {
    /// Failed at this.
    Failed(f64),
    /// Lasted longer.
    Good(f64),
    /// Failed between the two; the first may be minus infinity, the second infinite.
    Between(f64, f64),
    /// The mean log-likelihood of failures that follow a shipped distribution (`ln scale`, shape).
    Shipped(f64, f64),
}

impl Term {
    /// Log-likelihood at `u` and `shape`, with its derivatives.
    pub(crate) fn at(self, u: f64, shape: f64) -> Local {
        let standard = |x: f64| {
            let z = shape * (x - u);
            Local {
                value: z,
                gradient: [-shape, z],
                hessian: [0.0, -shape, z],
            }
        };
        match self {
            Self::Failed(x) => {
                let z = standard(x);
                let mut sum = z;
                sum.value += shape.ln() - x;
                sum.gradient[1] += 1.0;
                sum.add(-1.0, &z.exp());
                sum
            }
            Self::Good(x) => {
                let mut sum = Local::default();
                sum.add(-1.0, &standard(x).exp());
                sum
            }
            Self::Between(from, to) => between(&hazard_at(from, standard), to, standard),
            Self::Shipped(u0, shape0) => shipped(u, shape, u0, shape0),
        }
    }
}

/// Cumulative hazard at a logarithm of life; nothing at the beginning.
fn hazard_at(x: f64, standard: impl Fn(f64) -> Local) -> Local {
    if x == f64::NEG_INFINITY {
        Local::default()
    } else {
        standard(x).exp()
    }
}

/// `ln(e^(−H_from) − e^(−H_to)) = −H_from + ln(1 − e^(−D))`, `D = H_to − H_from`.
fn between(from: &Local, to: f64, standard: impl Fn(f64) -> Local) -> Local {
    let mut sum = Local::default();
    sum.add(-1.0, from);
    if to == f64::INFINITY {
        return sum;
    }
    let mut difference = standard(to).exp();
    difference.add(-1.0, from);
    if from.value > 0.0 {
        // The same without cancelling: `H_from (e^(z_to − z_from) − 1)`.
        difference.value = from.value * (standard(to).value - from.value.ln()).exp_m1();
    }
    let d = difference.value;
    if d > 700.0 {
        return sum;
    }
    let (grown, shrunk) = (d.exp_m1(), -(-d).exp_m1());
    let [u, s] = difference.gradient;
    let [uu, us, ss] = difference.hessian;
    let (first, second) = (1.0 / grown, -1.0 / (grown * shrunk));
    sum.value += shrunk.ln();
    sum.gradient[0] += first * u;
    sum.gradient[1] += first * s;
    sum.hessian[0] += first * uu + second * u * u;
    sum.hessian[1] += first * us + second * u * s;
    sum.hessian[2] += first * ss + second * s * s;
    sum
}

/// `ln shape − m + shape (m − u) − E[(T/scale)^shape]` with `m = E ln T = u₀ − γ/shape₀`; greatest exactly at the
/// shipped figures.
fn shipped(u: f64, shape: f64, u0: f64, shape0: f64) -> Local {
    let mean = u0 - EULER / shape0;
    let ratio = shape / shape0;
    let (digamma, trigamma) = digamma_trigamma(1.0 + ratio);
    let away = shape * (u0 - u);
    let moment = Local {
        value: away + lgamma(1.0 + ratio),
        gradient: [-shape, away + ratio * digamma],
        hessian: [0.0, -shape, away + ratio * digamma + ratio * ratio * trigamma],
    };
    let z = shape * (mean - u);
    let mut sum = Local {
        value: shape.ln() - mean + z,
        gradient: [-shape, 1.0 + z],
        hessian: [0.0, -shape, z],
    };
    sum.add(-1.0, &moment.exp());
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every derivative against a central difference of the one below it.
    #[test]
    fn derivatives_are_those_of_the_value() {
        let terms = [
            Term::Failed(0.4),
            Term::Good(0.9),
            Term::Between(0.1, 0.6),
            Term::Between(f64::NEG_INFINITY, -0.3),
            Term::Between(0.2, f64::INFINITY),
            Term::Shipped(0.7, 1.4),
        ];
        let h = 1e-5;
        for term in terms {
            for (u, s) in [(0.2f64, 0.1f64), (-0.4, 0.7), (1.0, -0.5)] {
                let at = |u: f64, s: f64| term.at(u, s.exp());
                let here = at(u, s);
                let (u1, u0, s1, s0) = (at(u + h, s), at(u - h, s), at(u, s + h), at(u, s - h));
                let slope = |above: f64, below: f64| (above - below) / (2.0 * h);
                let pairs = [
                    (here.gradient[0], slope(u1.value, u0.value)),
                    (here.gradient[1], slope(s1.value, s0.value)),
                    (here.hessian[0], slope(u1.gradient[0], u0.gradient[0])),
                    (here.hessian[1], slope(s1.gradient[0], s0.gradient[0])),
                    (here.hessian[2], slope(s1.gradient[1], s0.gradient[1])),
                ];
                for (exact, rough) in pairs {
                    assert!(
                        (exact - rough).abs() < 1e-7 * (1.0 + exact.abs()),
                        "{term:?} at {u}, {s}: {exact} {rough}"
                    );
                }
            }
        }
    }

    /// The e-Handbook, 8.4.1.3: mean life of the fitted distribution 540.737 h.
    #[test]
    fn mean_life_of_the_handbook() {
        let mean = Weibull::new(606.5280, 1.7208).unwrap().mean();
        assert!((mean - 540.737).abs() < 2e-3, "{mean}");
    }

    #[test]
    fn shipped_evidence_is_greatest_at_the_shipped_figures() {
        let local = Term::Shipped(12.0, 2.3).at(12.0, 2.3);
        assert!(
            local.gradient.iter().all(|slope| slope.abs() < 1e-12),
            "{local:?}"
        );
        assert!(local.hessian[0] < 0.0 && local.hessian[0] * local.hessian[2] > local.hessian[1].powi(2));
    }
}
