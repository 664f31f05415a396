//! How a vector changes in time, where some of it changes a thousand times faster than the rest.
//!
//! RODAS3, a Rosenbrock method of order 3 with an error estimate of order 2, L-stable (Sandu and others, Atmospheric Environment
//! 31 (1997) 3459; coefficients as in the kinetic preprocessor KPP, from memory, their order is tested here). Each step solves
//! four linear systems with one matrix and never iterates, so that laws with kinks, as of a valve that closes, only make it
//! shorter.

use crate::dense::Matrix;

/// Rates `dy/dt = f(y)`.
pub trait Rates {
    /// Number of unknowns.
    fn size(&self) -> usize;

    /// Writes the rates at `y` (length [`Rates::size`], zeroed before the call) and adds the derivatives of rate `i` by
    /// unknown `j` to `jacobian` at `i`, `j`, if one is given.
    fn evaluate(&mut self, y: &[f64], rates: &mut [f64], jacobian: Option<&mut Matrix>);

    /// The size of an error of any unknown in one step that does not matter.
    fn small(&self) -> f64;

    /// Falls to nothing or below where there is no need to go on.
    fn left(&mut self, _y: &[f64]) -> f64 {
        1.0
    }
}

/// Where a course ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Course {
    /// Time from its start.
    pub time: f64,
    /// `true` if nothing was left ([`Rates::left`]), `false` if the time was over.
    pub ended: bool,
    /// Steps taken, and steps given up as too long.
    pub steps: [u32; 2],
}

/// The steps did not settle.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("no step settles at {time}")]
pub struct Stuck {
    /// Time reached.
    pub time: f64,
}

/// Diagonal of the method.
const GAMMA: f64 = 0.5;
/// What the third stage adds of the first, and the fourth of the first and third.
const ALPHA: [f64; 3] = [2.0, 2.0, 1.0];
/// What the right sides of the stages take of the stages before, by step length: second; third; fourth.
const C_2: f64 = 4.0;
const C_3: [f64; 2] = [1.0, -1.0];
const C_4: [f64; 3] = [1.0, -1.0, -8.0 / 3.0];

/// Bounds of what one step's length is of the one before, and the share of what the error would allow.
const FACTORS: (f64, f64) = (0.2, 6.0);
const CAREFUL: f64 = 0.9;
/// The first step changes no unknown by more than this many small ones.
const FIRST: f64 = 10.0;
/// A step below this share of the whole time leads nowhere.
const SHORTEST: f64 = 1e-13;
/// Most steps.
const MOST: u32 = 20_000;
/// Halvings of the last step in which the end is looked for.
const HALVINGS: u32 = 40;

/// Memory for courses, kept from one to the next.
#[derive(Debug, Clone, Default)]
pub struct Stiff {
    jacobian: Matrix,
    system: Matrix,
    rates: Vec<f64>,
    stages: [Vec<f64>; 4],
    trial: Vec<f64>,
    next: Vec<f64>,
    between: Vec<f64>,
    next_rates: Vec<f64>,
}

impl Stiff {
    /// Follows `system` from `y`, in place, for `span` or until nothing is left.
    ///
    /// # Errors
    /// [`Stuck`]; `y` then holds the last point reached, always finite if the start was.
    pub fn follow(&mut self, system: &mut impl Rates, y: &mut [f64], span: f64) -> Result<Course, Stuck> {
        let mut course = Course {
            time: 0.0,
            ended: false,
            steps: [0, 0],
        };
        if y.is_empty() || span <= 0.0 {
            return Ok(course);
        }
        if system.left(y) <= 0.0 {
            course.ended = true;
            return Ok(course);
        }
        self.resize(y.len());
        let small = system.small();
        self.evaluate(system, y);
        let fastest = self
            .rates
            .iter()
            .fold(0.0, |most: f64, rate| most.max(rate.abs()));
        let mut length = (FIRST * small / fastest).min(span);
        while course.time < span {
            // The rest in one step or in two equal ones, never in one and a sliver.
            let rest = span - course.time;
            let last = length >= rest;
            length = if last {
                rest
            } else {
                length.min(0.5 * rest.max(length))
            };
            let error = self.step(system, y, length) / small;
            let factor = (CAREFUL / error.cbrt()).clamp(FACTORS.0, FACTORS.1);
            if error > 1.0 || error.is_nan() {
                course.steps[1] += 1;
                length *= if error.is_nan() {
                    FACTORS.0
                } else {
                    factor.min(CAREFUL)
                };
                if length < SHORTEST * span || course.steps[0] + course.steps[1] > MOST {
                    return Err(Stuck { time: course.time });
                }
                continue;
            }
            course.steps[0] += 1;
            if system.left(&self.next) <= 0.0 {
                let share = self.end(system, y, length);
                y.copy_from_slice(&self.between);
                course.time += share * length;
                course.ended = true;
                return Ok(course);
            }
            y.copy_from_slice(&self.next);
            course.time = if last { span } else { course.time + length };
            length *= factor;
            if course.time < span {
                self.evaluate(system, y);
            }
        }
        Ok(course)
    }

    fn resize(&mut self, size: usize) {
        let vectors = [
            &mut self.rates,
            &mut self.trial,
            &mut self.next,
            &mut self.between,
            &mut self.next_rates,
        ];
        for vector in vectors.into_iter().chain(&mut self.stages) {
            vector.clear();
            vector.resize(size, 0.0);
        }
    }

    /// Rates and derivatives at `y`.
    fn evaluate(&mut self, system: &mut impl Rates, y: &[f64]) {
        self.jacobian.reset(y.len());
        self.rates.fill(0.0);
        system.evaluate(y, &mut self.rates, Some(&mut self.jacobian));
    }

    /// One step from `y`, whose rates and derivatives are known: leaves where it leads in `next`, returns the largest error;
    /// one that is no number where no step is possible.
    fn step(&mut self, system: &mut impl Rates, y: &[f64], length: f64) -> f64 {
        let size = y.len();
        self.system.reset(size);
        for row in 0..size {
            for column in 0..size {
                let slope = self.jacobian.get(row, column);
                if slope != 0.0 {
                    self.system.add(row, column, -slope);
                }
            }
            self.system.add(row, row, 1.0 / (GAMMA * length));
        }
        if self.system.factor().is_err() {
            return f64::NAN;
        }
        let by_length = 1.0 / length;
        let [first, second, third, fourth] = &mut self.stages;
        first.copy_from_slice(&self.rates);
        self.system.solve(first);
        for i in 0..size {
            second[i] = self.rates[i] + C_2 * by_length * first[i];
        }
        self.system.solve(second);
        for i in 0..size {
            self.trial[i] = y[i] + ALPHA[0] * first[i];
        }
        third.fill(0.0);
        system.evaluate(&self.trial, third, None);
        for i in 0..size {
            third[i] += by_length * (C_3[0] * first[i] + C_3[1] * second[i]);
        }
        self.system.solve(third);
        for i in 0..size {
            self.trial[i] = y[i] + ALPHA[1] * first[i] + ALPHA[2] * third[i];
        }
        fourth.fill(0.0);
        system.evaluate(&self.trial, fourth, None);
        for (i, fourth) in fourth.iter_mut().enumerate() {
            *fourth += by_length * (C_4[0] * first[i] + C_4[1] * second[i] + C_4[2] * third[i]);
        }
        self.system.solve(fourth);
        let mut error: f64 = 0.0;
        for ((next, trial), step) in self.next.iter_mut().zip(&self.trial).zip(fourth.iter()) {
            *next = trial + step;
            if !next.is_finite() {
                return f64::NAN;
            }
            error = error.max(step.abs());
        }
        error
    }

    /// The share of the step at which nothing is left; leaves the point there in `between`. The way between both ends is the cubic
    /// that has their rates.
    fn end(&mut self, system: &mut impl Rates, y: &[f64], length: f64) -> f64 {
        self.next_rates.fill(0.0);
        system.evaluate(&self.next, &mut self.next_rates, None);
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            self.cubic(y, length, middle);
            if system.left(&self.between) > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        self.cubic(y, length, high);
        high
    }

    fn cubic(&mut self, y: &[f64], length: f64, share: f64) {
        let (s, r) = (share, 1.0 - share);
        for (i, (start, end)) in y.iter().zip(&self.next).enumerate() {
            let straight = r * start + s * end;
            let across = end - start;
            let bend = r * (length * self.rates[i] - across) - s * (length * self.next_rates[i] - across);
            self.between[i] = straight + s * r * bend;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A chain of unknowns, each after the one before: `y' = −k (y − y before)`, the first after nothing.
    struct Chain(Vec<f64>, f64);

    impl Rates for Chain {
        fn size(&self) -> usize {
            self.0.len()
        }
        fn evaluate(&mut self, y: &[f64], rates: &mut [f64], mut jacobian: Option<&mut Matrix>) {
            for (i, k) in self.0.iter().enumerate() {
                let before = if i == 0 { 0.0 } else { y[i - 1] };
                rates[i] = -k * (y[i] - before);
                if let Some(jacobian) = jacobian.as_deref_mut() {
                    jacobian.add(i, i, -k);
                    if i > 0 {
                        jacobian.add(i, i - 1, *k);
                    }
                }
            }
        }
        fn small(&self) -> f64 {
            1e-7
        }
        fn left(&mut self, y: &[f64]) -> f64 {
            y[0] - self.1
        }
    }

    #[test]
    fn a_decay_is_an_exponential_and_ends_where_nothing_is_left() {
        let mut y = [3.0];
        let course = Stiff::default()
            .follow(&mut Chain(vec![0.5], -1.0), &mut y, 4.0)
            .unwrap();
        assert!(!course.ended && (course.time - 4.0).abs() < 1e-12, "{course:?}");
        // Within the tolerance of a step.
        assert!((y[0] / (3.0 * (-2.0f64).exp()) - 1.0).abs() < 1e-5, "{y:?}");
        let mut y = [3.0];
        let course = Stiff::default()
            .follow(&mut Chain(vec![0.5], 1.5), &mut y, 400.0)
            .unwrap();
        assert!(
            course.ended && (course.time / (2.0 * 2f64.ln()) - 1.0).abs() < 1e-5,
            "{course:?}"
        );
    }

    #[test]
    fn what_follows_a_million_times_faster_costs_no_more_steps() {
        for size in [2, 3, 5, 40] {
            let mut rates = vec![1e6; size];
            rates[0] = 1.0;
            let mut y = vec![1.0; size];
            let course = Stiff::default()
                .follow(&mut Chain(rates, -1.0), &mut y, 2.0)
                .unwrap();
            let slow = (-2.0f64).exp();
            // Each lags by a millionth of a second; seen: 6e-5 more where forty of them lead the steps.
            assert!(y.iter().all(|y| (y / slow - 1.0).abs() < 1.2e-4), "{size}: {y:?}");
            assert!(course.steps[0] < 200, "{size}: {course:?}");
        }
    }

    /// Robertson's chemical kinetics to t = 400, the usual stiff problem: Hairer and Wanner 1996, IV.10; y₁ = 0.4505 (the
    /// value also of CVODE's example `cvRoberts_dns`, from memory).
    struct Robertson;

    impl Rates for Robertson {
        fn size(&self) -> usize {
            3
        }
        fn evaluate(&mut self, y: &[f64], rates: &mut [f64], jacobian: Option<&mut Matrix>) {
            let (a, b, c) = (0.04 * y[0], 1e4 * y[1] * y[2], 3e7 * y[1] * y[1]);
            rates.copy_from_slice(&[b - a, a - b - c, c]);
            if let Some(jacobian) = jacobian {
                let rows = [
                    [-0.04, 1e4 * y[2], 1e4 * y[1]],
                    [0.04, -1e4 * y[2] - 6e7 * y[1], -1e4 * y[1]],
                    [0.0, 6e7 * y[1], 0.0],
                ];
                for (i, row) in rows.iter().enumerate() {
                    row.iter()
                        .enumerate()
                        .for_each(|(j, value)| jacobian.add(i, j, *value));
                }
            }
        }
        fn small(&self) -> f64 {
            1e-7
        }
    }

    #[test]
    fn a_stiff_reaction_ends_where_the_book_says() {
        let mut y = [1.0, 0.0, 0.0];
        let course = Stiff::default().follow(&mut Robertson, &mut y, 400.0).unwrap();
        assert!((y[0] - 0.4505).abs() < 1e-4, "{y:?}");
        assert!((y.iter().sum::<f64>() - 1.0).abs() < 1e-8, "{y:?}");
        assert!(course.steps[0] < 400, "{course:?}");
    }

    /// A rate that is no number.
    struct Nowhere(usize);

    impl Rates for Nowhere {
        fn size(&self) -> usize {
            self.0
        }
        fn evaluate(&mut self, y: &[f64], rates: &mut [f64], _: Option<&mut Matrix>) {
            rates[0] = f64::NAN * y[0];
        }
        fn small(&self) -> f64 {
            1e-9
        }
    }

    #[test]
    fn what_cannot_be_followed_is_an_error_and_changes_nothing() {
        let mut y = [1.0];
        let error = Stiff::default().follow(&mut Nowhere(1), &mut y, 1.0).unwrap_err();
        assert_eq!((error.time, y[0]), (0.0, 1.0), "{error}");
        let course = Stiff::default().follow(&mut Nowhere(0), &mut [], 1.0).unwrap();
        assert_eq!(course.steps, [0, 0]);
    }

    /// Two unknowns that turn around each other and bend: y₁' = −y₂ − y₁³/4, y₂' = y₁.
    struct Turning;

    impl Rates for Turning {
        fn size(&self) -> usize {
            2
        }
        fn evaluate(&mut self, y: &[f64], rates: &mut [f64], jacobian: Option<&mut Matrix>) {
            rates.copy_from_slice(&[-y[1] - 0.25 * y[0].powi(3), y[0]]);
            if let Some(jacobian) = jacobian {
                jacobian.add(0, 0, -0.75 * y[0] * y[0]);
                jacobian.add(0, 1, -1.0);
                jacobian.add(1, 0, 1.0);
            }
        }
        fn small(&self) -> f64 {
            1e-9
        }
    }

    /// With half the step the error is an eighth: order 3.
    #[test]
    fn the_order_of_the_steps_is_three() {
        let error = |steps: u32| {
            let (mut stiff, mut y) = (Stiff::default(), [1.0, 0.5]);
            stiff.resize(2);
            for _ in 0..steps {
                stiff.evaluate(&mut Turning, &y);
                let _ = stiff.step(&mut Turning, &y, 2.0 / f64::from(steps));
                y.copy_from_slice(&stiff.next);
            }
            y
        };
        let exact = error(4096);
        let off = |steps: u32| {
            let y = error(steps);
            (y[0] - exact[0]).hypot(y[1] - exact[1])
        };
        let order = (off(32) / off(64)).log2();
        assert!((2.8..3.3).contains(&order), "{order}");
    }

    /// What falls evenly and meets something hard: y' = −1, and −10⁶ y more below 0.
    struct Meeting;

    impl Rates for Meeting {
        fn size(&self) -> usize {
            1
        }
        fn evaluate(&mut self, y: &[f64], rates: &mut [f64], jacobian: Option<&mut Matrix>) {
            let above = y[0] > 0.0;
            rates[0] = if above { -1.0 } else { -1.0 - 1e6 * y[0] };
            if let (Some(jacobian), false) = (jacobian, above) {
                jacobian.add(0, 0, -1e6);
            }
        }
        fn small(&self) -> f64 {
            1e-6
        }
    }

    #[test]
    fn a_law_that_breaks_off_makes_steps_shorter_and_nothing_worse() {
        let mut y = [1.0];
        let course = Stiff::default().follow(&mut Meeting, &mut y, 3.0).unwrap();
        assert!((y[0] + 1e-6).abs() < 1e-7, "{y:?} {course:?}");
        assert!(course.steps[0] + course.steps[1] < 400, "{course:?}");
    }
}
