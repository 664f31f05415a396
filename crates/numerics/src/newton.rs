//! Damped Newton for small systems with exact derivatives.
//!
//! Deuflhard, Newton Methods for Nonlinear Problems (2004), section 3.3: a step is halved until the next correction, by the
//! same derivatives, is shorter than this one. That measures in the unknowns' own unit, so that equations that react
//! wildly to changes that do not matter cannot stop the way. Where even a small step does not help, the system may offer
//! another way onward ([`System::rescue`]).

use crate::dense::{Matrix, Singular};

/// Equations `residual(x) = 0`.
pub trait System {
    /// Number of unknowns.
    fn size(&self) -> usize;

    /// Writes the residual at `x` (length [`System::size`], zeroed before the call) and adds the derivatives of equation
    /// `i` by unknown `j` to `jacobian` at `i`, `j`, if one is given.
    fn evaluate(&mut self, x: &[f64], residual: &mut [f64], jacobian: Option<&mut Matrix>);

    /// The size of a change of unknown `i` that does not matter.
    fn small_step(&self, i: usize) -> f64;

    /// `true` if the equations are linear, so that one step is exact.
    fn linear(&self) -> bool {
        false
    }

    /// `true` if the residual is the slope of a convex function of the unknowns. Then the way along a step is judged by that
    /// slope alone, which never turns away from the solution however sharp the equations bend.
    fn convex(&self) -> bool {
        false
    }

    /// A residual that is no more than the rounding of its terms. Where the last step leaves no more than this in every
    /// equation, the unknowns that still move are determined no better than that: all but floating.
    fn rounding(&self) -> f64 {
        0.0
    }

    /// Moves a trial back to where a solution can be, if that is known beforehand.
    fn confine(&self, _x: &mut [f64]) {}

    /// Another way to improve `x` where Newton's direction fails. Returns `false` if there is none.
    fn rescue(&mut self, _x: &mut [f64]) -> bool {
        false
    }
}

/// When to give up.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// Most Newton steps.
    pub steps: u32,
    /// Most halvings of one step.
    pub halvings: u32,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            steps: 80,
            halvings: 16,
        }
    }
}

/// Work done by a solve.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Report {
    /// Newton steps.
    pub steps: u32,
    /// Times the system's own rescue was needed.
    pub rescues: u32,
}

/// Why no solution was found.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NewtonError {
    /// An unknown is not determined.
    #[error(transparent)]
    Singular(#[from] Singular),
    /// The steps did not settle.
    #[error("no balance after {steps} steps; equation {worst} is out by {residual:e}")]
    NotConverged {
        /// Steps taken.
        steps: u32,
        /// Index of the equation furthest out.
        worst: usize,
        /// Its residual.
        residual: f64,
    },
}

/// Memory for solves, kept from one to the next.
#[derive(Debug, Clone, Default)]
pub struct Workspace {
    jacobian: Matrix,
    residual: Vec<f64>,
    step: Vec<f64>,
    trial: Vec<f64>,
}

impl Workspace {
    /// The factors of the last Jacobian: the response of the solution to a small disturbance.
    pub fn factors(&self) -> &Matrix {
        &self.jacobian
    }
}

/// Solves `system` from `x`, in place.
///
/// # Errors
/// [`NewtonError`]; `x` then holds the last iterate, always finite if the start was.
pub fn newton(
    system: &mut impl System,
    x: &mut [f64],
    work: &mut Workspace,
    limits: Limits,
) -> Result<Report, NewtonError> {
    let n = system.size();
    let mut report = Report::default();
    if n == 0 {
        return Ok(report);
    }
    work.resize(n);
    loop {
        work.evaluate_with_jacobian(system, x);
        work.jacobian.factor()?;
        work.step.clear();
        work.step.extend_from_slice(&work.residual);
        work.jacobian.solve(&mut work.step);
        report.steps += 1;
        if system.linear() || small(system, &work.step, 1.0) {
            x.iter_mut().zip(&work.step).for_each(|(x, step)| *x -= step);
            return Ok(report);
        }
        if report.steps >= limits.steps {
            if work.residual.iter().all(|left| left.abs() <= system.rounding()) {
                return Ok(report);
            }
            return Err(work.not_converged(report.steps));
        }
        let onward = if system.convex() {
            work.downhill_step(system, x, limits.halvings)
        } else {
            work.damped_step(system, x, limits.halvings)
        };
        if onward && small(system, &work.residual, FAR_BELOW) {
            x.iter_mut().zip(&work.residual).for_each(|(x, step)| *x -= step);
            return Ok(report);
        }
        if !onward {
            report.rescues += 1;
            if report.rescues > limits.steps || !system.rescue(x) {
                return Err(work.not_converged(report.steps));
            }
        }
    }
}

/// The correction after a step, by the derivatives before it, counts as none when it is this share of a small step.
const FAR_BELOW: f64 = 0.01;

fn small(system: &impl System, step: &[f64], share: f64) -> bool {
    step.iter()
        .enumerate()
        .all(|(i, step)| step.abs() <= share * system.small_step(i))
}

impl Workspace {
    fn resize(&mut self, n: usize) {
        self.residual.resize(n, 0.0);
        self.trial.resize(n, 0.0);
    }

    fn evaluate_with_jacobian(&mut self, system: &mut impl System, x: &[f64]) {
        self.jacobian.reset(x.len());
        self.residual.fill(0.0);
        system.evaluate(x, &mut self.residual, Some(&mut self.jacobian));
    }

    /// Takes the step, shortened until the correction that would follow is shorter. `false` if no fraction of it is.
    /// Leaves that correction in the residual's place.
    fn damped_step(&mut self, system: &mut impl System, x: &mut [f64], halvings: u32) -> bool {
        self.trial
            .iter_mut()
            .zip(x.iter().zip(&self.step))
            .for_each(|(trial, (x, step))| *trial = x - step);
        system.confine(&mut self.trial);
        self.step
            .iter_mut()
            .zip(x.iter().zip(&self.trial))
            .for_each(|(step, (x, trial))| *step = x - trial);
        let before = norm(&self.step);
        // Once a step has led beyond the solution, it lies between `low` and `high`; before that the step is just halved.
        let (mut low, mut high, mut beyond) = (0.0, 1.0, false);
        let mut fraction = 1.0;
        for _ in 0..=halvings {
            for (trial, (x, step)) in self.trial.iter_mut().zip(x.iter().zip(&self.step)) {
                *trial = x - fraction * step;
            }
            self.residual.fill(0.0);
            system.evaluate(&self.trial, &mut self.residual, None);
            self.jacobian.solve(&mut self.residual);
            // A NaN compares false and is halved away.
            if norm(&self.residual) <= before * (1.0 - 0.25 * fraction) {
                x.copy_from_slice(&self.trial);
                return true;
            }
            let onward: f64 = self
                .residual
                .iter()
                .zip(&self.step)
                .map(|(next, step)| next * step)
                .sum();
            beyond |= onward < 0.0;
            if beyond && onward > 0.0 {
                low = fraction;
            } else {
                high = fraction;
            }
            fraction = 0.5 * (low + high);
        }
        false
    }

    /// Takes the step, or the part of it where the slope along it has mostly gone. `false` if it leads nowhere.
    /// Leaves the correction that would follow in the residual's place.
    fn downhill_step(&mut self, system: &mut impl System, x: &mut [f64], halvings: u32) -> bool {
        let start = dot(&self.step, &self.residual);
        let (mut low, mut high, mut fraction) = (0.0, 1.0, 1.0);
        for _ in 0..=2 * halvings {
            for (trial, (x, step)) in self.trial.iter_mut().zip(x.iter().zip(&self.step)) {
                *trial = x - fraction * step;
            }
            self.residual.fill(0.0);
            system.evaluate(&self.trial, &mut self.residual, None);
            let slope = dot(&self.step, &self.residual);
            let short = fraction < 1.0 && slope > 0.5 * start;
            if slope >= -0.2 * start && !short {
                x.copy_from_slice(&self.trial);
                self.jacobian.solve(&mut self.residual);
                return true;
            }
            if short {
                low = fraction;
            } else {
                high = fraction;
            }
            fraction = 0.5 * (low + high);
        }
        x.iter_mut()
            .zip(&self.step)
            .for_each(|(x, step)| *x -= low * step);
        // Nothing is known of what follows.
        self.residual.fill(f64::INFINITY);
        low > 0.0
    }

    fn not_converged(&self, steps: u32) -> NewtonError {
        let (mut worst, mut residual) = (0, 0.0);
        for (i, r) in self.residual.iter().enumerate() {
            if r.abs() >= f64::abs(residual) {
                (worst, residual) = (i, *r);
            }
        }
        NewtonError::NotConverged {
            steps,
            worst,
            residual,
        }
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn norm(residual: &[f64]) -> f64 {
    residual.iter().map(|r| r * r).sum::<f64>().sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// x² = a, with a start far away.
    struct Root(f64);

    impl System for Root {
        fn size(&self) -> usize {
            1
        }
        fn evaluate(&mut self, x: &[f64], residual: &mut [f64], jacobian: Option<&mut Matrix>) {
            residual[0] = x[0] * x[0] - self.0;
            if let Some(jacobian) = jacobian {
                jacobian.add(0, 0, 2.0 * x[0]);
            }
        }
        fn small_step(&self, _: usize) -> f64 {
            1e-12
        }
    }

    #[test]
    fn the_root_is_found_from_far_away() {
        let mut x = [1e6];
        let report = newton(
            &mut Root(2.0),
            &mut x,
            &mut Workspace::default(),
            Limits::default(),
        )
        .unwrap();
        assert!((x[0] - 2.0f64.sqrt()).abs() < 1e-12);
        assert!(report.steps < 40, "{report:?}");
    }

    /// A diode behind a resistor, 12 V across both: a slope that grows e-fold each 26 mV.
    struct Sharp;

    impl System for Sharp {
        fn size(&self) -> usize {
            1
        }
        fn evaluate(&mut self, x: &[f64], residual: &mut [f64], jacobian: Option<&mut Matrix>) {
            let folds = x[0] / 0.026;
            let e = 1e-14 * folds.min(40.0).exp();
            residual[0] = x[0] - 12.0 + e * (1.0 + (folds - 40.0).max(0.0));
            if let Some(jacobian) = jacobian {
                jacobian.add(0, 0, 1.0 + e / 0.026);
            }
        }
        fn small_step(&self, _: usize) -> f64 {
            1e-12
        }
        fn convex(&self) -> bool {
            true
        }
    }

    #[test]
    fn the_slope_of_a_convex_function_is_followed_round_a_sharp_bend() {
        // From above, each step takes off one e-fold.
        for (start, most) in [(0.0, 8), (0.9, 8), (-50.0, 8), (12.0, 12)] {
            let mut x = [start];
            let report = newton(&mut Sharp, &mut x, &mut Workspace::default(), Limits::default()).unwrap();
            // The current is what the resistor leaves: x = 26 mV · ln((12 − x)/1e-14).
            assert!(
                (x[0] - 0.026 * ((12.0 - x[0]) / 1e-14).ln()).abs() < 1e-9,
                "from {start}: {}",
                x[0]
            );
            assert!(
                report.steps <= most && report.rescues == 0,
                "from {start}: {report:?}"
            );
        }
    }

    #[test]
    fn no_root_is_an_error_that_names_the_equation() {
        let mut x = [3.0];
        let error = newton(
            &mut Root(-1.0),
            &mut x,
            &mut Workspace::default(),
            Limits::default(),
        )
        .unwrap_err();
        assert!(
            matches!(
                error,
                NewtonError::NotConverged { worst: 0, .. } | NewtonError::Singular(_)
            ),
            "{error}"
        );
        assert!(x[0].is_finite());
    }
}
