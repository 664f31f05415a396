//! Does every check find its balance whatever is wrong: every fault and every pair of faults, each from a cold start.

use circuit::FaultId;
use physics::{Ambient, Model, SolveError, Vehicle};
use rayon::prelude::*;

/// Failures that are told; more are counted.
const TOLD: usize = 20;

/// What a sweep found.
#[derive(Debug, Clone, Default)]
pub struct Sweep {
    /// Vehicles tried: sound, with each fault at three severities, with each pair.
    pub vehicles: usize,
    /// Networks solved, each from a cold start.
    pub solves: u64,
    /// Most Newton steps of one solve.
    pub hardest: u32,
    /// Networks without a balance, or with a reading that is no number.
    pub failures: usize,
    /// The first of them.
    pub told: Vec<SweepFailure>,
}

/// A vehicle on which a check has no reading.
#[derive(Debug, Clone, PartialEq)]
pub struct SweepFailure {
    /// Index of the check.
    pub check: usize,
    /// What is wrong with the vehicle.
    pub faults: Vec<(FaultId, f64)>,
    /// What the solver says; `None` where it says nothing and the reading is no number all the same.
    pub error: Option<SolveError>,
}

impl Sweep {
    /// `true` if every check has a reading on every vehicle.
    pub fn sound(&self) -> bool {
        self.failures == 0
    }

    fn and(mut self, other: Self) -> Self {
        self.vehicles += other.vehicles;
        self.solves += other.solves;
        self.hardest = self.hardest.max(other.hardest);
        self.failures += other.failures;
        self.told.extend(other.told);
        self.told.truncate(TOLD);
        self
    }
}

/// Tries every check of `model` at sea level. The answer does not depend on the number of threads.
pub fn sweep(model: &Model) -> Sweep {
    let all: Vec<Sweep> = states(model)
        .par_iter()
        .map_init(|| model.probe(), |probe, faults| one(probe, faults))
        .collect();
    all.into_iter().fold(Sweep::default(), Sweep::and)
}

fn one(probe: &mut physics::Probe, faults: &[(FaultId, f64)]) -> Sweep {
    let model = probe.model();
    let mut vehicle = Vehicle::typical(model.circuit(), Ambient::default());
    vehicle.faults.extend_from_slice(faults);
    probe.cold();
    probe.hardest = 0;
    let before = probe.solves;
    let mut sweep = Sweep {
        vehicles: 1,
        ..Sweep::default()
    };
    let networks = model
        .by_setting()
        .chunk_by(|a, b| model.setting(*a) == model.setting(*b));
    for network in networks {
        let mut out = vec![f64::NAN; network.len()];
        let error = probe.predict_all(network, &vehicle, &mut out).err();
        let wrong = network.iter().zip(&out).find(|(_, value)| !value.is_finite());
        let check = error
            .as_ref()
            .and_then(|error| model.check(&error.check))
            .or(wrong.map(|(check, _)| *check));
        if let Some(check) = check {
            sweep.failures += 1;
            sweep.told.push(SweepFailure {
                check,
                faults: faults.to_vec(),
                error,
            });
            probe.cold();
        }
    }
    sweep.solves = probe.solves - before;
    sweep.hardest = probe.hardest;
    sweep
}

/// Nothing, every fault at three severities, every pair of faults of different parts at their typical ones.
fn states(model: &Model) -> Vec<Vec<(FaultId, f64)>> {
    let circuit = model.circuit();
    let faults: Vec<FaultId> = circuit.faults().into_iter().map(|(fault, _)| fault).collect();
    let severity = |fault: FaultId| circuit.fault_spec(fault).severity;
    let typical = |fault: FaultId| (fault, severity(fault).map_or(1.0, |severity| severity.typical));
    let mut states = vec![Vec::new()];
    for (at, first) in faults.iter().enumerate() {
        let ends = severity(*first)
            .into_iter()
            .flat_map(|severity| [severity.low, severity.high]);
        states.extend(
            ends.chain([typical(*first).1])
                .map(|severity| vec![(*first, severity)]),
        );
        let others = faults[at + 1..].iter().filter(|second| second.part != first.part);
        states.extend(others.map(|second| vec![typical(*first), typical(*second)]));
    }
    states
}
