//! Invented problems, drawn from a seed: the same for the same kind and seed, everywhere.

use rand::rngs::Xoshiro256PlusPlus;
use rand::{RngExt, SeedableRng};

use super::{Problem, Test};

/// What sort of problem to draw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Tests without error, no repairs, no set-ups.
    Isolate,
    /// The same with set-ups, in either mode.
    IsolateWithSetups,
    /// Tests that err, and a price on a wrong name.
    Noisy,
    /// Tests that err, all of which must be done: no price on a wrong name.
    NoisyToTheEnd,
    /// Repairs alone, with set-ups.
    Repairs,
    /// Repairs, and tests without error.
    RepairsAndTests,
    /// Repairs, and tests that err.
    RepairsAndNoisyTests,
}

impl Kind {
    pub(crate) const ALL: [Self; 7] = [
        Self::Isolate,
        Self::IsolateWithSetups,
        Self::Noisy,
        Self::NoisyToTheEnd,
        Self::Repairs,
        Self::RepairsAndTests,
        Self::RepairsAndNoisyTests,
    ];

    /// Most causes and tests, so that the yardstick stays within some 50,000 states.
    fn size(self) -> (usize, usize) {
        match self {
            Self::Isolate => (11, 11),
            Self::IsolateWithSetups => (9, 9),
            Self::Noisy => (6, 7),
            Self::NoisyToTheEnd => (5, 5),
            Self::Repairs => (8, 0),
            Self::RepairsAndTests => (7, 6),
            Self::RepairsAndNoisyTests => (5, 4),
        }
    }

    fn errs(self) -> bool {
        matches!(
            self,
            Self::Noisy | Self::NoisyToTheEnd | Self::RepairsAndNoisyTests
        )
    }

    fn repairs(self) -> bool {
        matches!(
            self,
            Self::Repairs | Self::RepairsAndTests | Self::RepairsAndNoisyTests
        )
    }
}

/// A problem of this kind. One in four each has a peculiarity of costs, priors and outcomes: ties, zeros, twins.
pub(crate) fn draw(kind: Kind, seed: u64) -> Problem {
    let mut rng = Xoshiro256PlusPlus::seed_from_u64(seed);
    let (causes, tests) = kind.size();
    let causes = rng.random_range(2..=causes);
    let tests = if tests == 0 {
        0
    } else {
        rng.random_range(1..=tests)
    };
    let mut problem = Problem {
        priors: priors(&mut rng, causes),
        tests: (0..tests).map(|_| test(&mut rng, kind, causes)).collect(),
        repairs: Vec::new(),
        setups: Vec::new(),
        stays: rng.random(),
        verify: 0.0,
        wrong_cost: (kind == Kind::Noisy).then(|| rng.random_range(5.0..150.0)),
    };
    if kind.repairs() {
        let costs: Vec<f64> = (0..causes).map(|_| rng.random_range(0.0..60.0)).collect();
        problem = problem.with_repairs(&costs);
        problem.verify = if rng.random() {
            0.0
        } else {
            rng.random_range(0.0..5.0)
        };
    }
    if kind != Kind::Isolate && rng.random_bool(0.7) {
        add_setups(&mut rng, &mut problem);
    }
    if rng.random_bool(0.25) {
        odd_costs(&mut rng, &mut problem);
    }
    if rng.random_bool(0.25) {
        twins(&mut rng, &mut problem);
    }
    problem
}

/// As [`draw`], with exactly this many causes and tests and without peculiarities: every cause told apart from every other
/// if the tests are free of error.
pub(crate) fn draw_sized(kind: Kind, causes: usize, tests: usize, seed: u64) -> Problem {
    let mut rng = Xoshiro256PlusPlus::seed_from_u64(seed);
    let priors = skewed(&mut rng, causes);
    loop {
        let tests: Vec<Test> = (0..tests).map(|_| test(&mut rng, kind, causes)).collect();
        let answers = |cause: usize| {
            tests
                .iter()
                .map(|test| test.positive[cause] > 0.5)
                .collect::<Vec<_>>()
        };
        let apart = (0..causes).all(|a| (0..a).all(|b| answers(a) != answers(b)));
        if apart || kind.errs() || kind.repairs() {
            let costs: Vec<f64> = (0..causes).map(|_| rng.random_range(5.0..60.0)).collect();
            let problem = Problem {
                tests,
                wrong_cost: (kind == Kind::Noisy).then_some(100.0),
                ..Problem::isolate(&priors, &[], &[])
            };
            return if kind.repairs() {
                problem.with_repairs(&costs)
            } else {
                problem
            };
        }
    }
}

/// Equal, skewed or with some that never occur; they sum to one.
fn priors(rng: &mut Xoshiro256PlusPlus, causes: usize) -> Vec<f64> {
    match rng.random_range(0..4) {
        0 => vec![1.0 / causes as f64; causes],
        1 => {
            let mut found = skewed(rng, causes);
            let kept = rng.random_range(0..causes);
            for (cause, prior) in found.iter_mut().enumerate() {
                if cause != kept && rng.random_bool(0.3) {
                    *prior = 0.0;
                }
            }
            normalised(found)
        }
        _ => skewed(rng, causes),
    }
}

fn skewed(rng: &mut Xoshiro256PlusPlus, causes: usize) -> Vec<f64> {
    let power = rng.random_range(0.5..4.0);
    let share = |rng: &mut Xoshiro256PlusPlus| rng.random_range(0.05..1.0_f64).powf(power);
    normalised((0..causes).map(|_| share(rng)).collect())
}

fn normalised(shares: Vec<f64>) -> Vec<f64> {
    let total: f64 = shares.iter().sum();
    shares.into_iter().map(|share| share / total).collect()
}

fn test(rng: &mut Xoshiro256PlusPlus, kind: Kind, causes: usize) -> Test {
    let density = rng.random_range(0.2..0.8);
    let (misses, false_alarms) = (rng.random_range(0.01..0.2), rng.random_range(0.01..0.2));
    let one = |rng: &mut Xoshiro256PlusPlus| match (rng.random_bool(density), kind.errs()) {
        (true, false) => 1.0,
        (false, false) => 0.0,
        (true, true) => 1.0 - misses,
        (false, true) => false_alarms,
    };
    Test {
        positive: (0..causes).map(|_| one(rng)).collect(),
        cost: rng.random_range(0.5..12.0),
        setup: None,
    }
}

fn add_setups(rng: &mut Xoshiro256PlusPlus, problem: &mut Problem) {
    problem.setups = (0..rng.random_range(1..=3))
        .map(|_| rng.random_range(0.0..15.0))
        .collect();
    let count = problem.setups.len();
    let needs = |rng: &mut Xoshiro256PlusPlus| rng.random_bool(0.6).then(|| rng.random_range(0..count));
    problem.tests.iter_mut().for_each(|test| test.setup = needs(rng));
    problem
        .repairs
        .iter_mut()
        .for_each(|repair| repair.setup = needs(rng));
}

/// All alike, small whole numbers, or some of them nothing at all.
fn odd_costs(rng: &mut Xoshiro256PlusPlus, problem: &mut Problem) {
    let manner = rng.random_range(0..3);
    let mut change = |cost: &mut f64| match manner {
        0 => *cost = 1.0,
        1 => *cost = cost.round().min(5.0),
        _ if rng.random_bool(0.4) => *cost = 0.0,
        _ => {}
    };
    problem.tests.iter_mut().for_each(|test| change(&mut test.cost));
    problem
        .repairs
        .iter_mut()
        .for_each(|repair| change(&mut repair.cost));
    problem.setups.iter_mut().for_each(&mut change);
}

/// A test done the other way round, a test that says what another says, and a cause that looks like another.
fn twins(rng: &mut Xoshiro256PlusPlus, problem: &mut Problem) {
    let causes = problem.priors.len();
    let (from, to) = (rng.random_range(0..causes), rng.random_range(0..causes));
    for test in &mut problem.tests {
        test.positive[to] = test.positive[from];
    }
    if problem.tests.len() > 1 {
        let (from, to) = (
            rng.random_range(0..problem.tests.len()),
            rng.random_range(0..problem.tests.len()),
        );
        let mirrored = rng.random_bool(0.5);
        let said = problem.tests[from].positive.clone();
        problem.tests[to].positive = said
            .into_iter()
            .map(|p| if mirrored { 1.0 - p } else { p })
            .collect();
    }
}
