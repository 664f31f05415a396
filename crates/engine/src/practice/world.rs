//! The world of practice: vehicles that are not quite what the model says.
//!
//! Nobody's model is right, so an honest comparison is made where it is wrong: tolerances are wider, shares of faults are off
//! by a factor that nobody knows, severities spread further, instruments are a class worse, more readings are gross errors,
//! new parts are worse, and some causes lie where nobody looks. Every figure here is our own choice unless a source stands by.

use super::draws::{Draws, Purpose};
use super::hidden::Hidden;
use belief::{Accuracy, severity_at};
use circuit::{Circuit, FaultId, Instrument, Medium, Method, Reads};
use physics::{Ambient, Model, Probe, Vehicle};
use quantity::Length;

/// How much wider tolerances, severities and the weather spread than the model believes.
const WIDER: f64 = 1.5;
/// Tolerances are cut at three standard deviations: what lies beyond is a fault.
const CUT: f64 = 3.0;
/// The share of a fault is off by a factor between one over this and this, evenly in the logarithm.
const SHARES_OFF: f64 = 3.0;
/// Share of causes that are not listed.
const NOT_LISTED: f64 = 0.02;
/// Share of readings that are grossly wrong; the model believes in 2 %.
pub(super) const MISREAD: f64 = 0.03;
/// New parts are bad up to this many times as often as the kind says.
const WORSE_NEW: f64 = 3.0;
/// From one accuracy class of dial gauges to the next worse: 1, 1.6, 2.5, 4 (EN 837-1, from memory).
const CLASS_WORSE: f64 = 1.6;
/// Weather moves the barometer by 1.5 % and air in the lines is within 15 K of what was said, two standard deviations, as
/// the model has it.
const WEATHER: (f64, f64) = (0.015, 15.0);
/// Heights of shops above sea level, m, and how many of 100 stand there.
const HEIGHTS: [(f64, f64); 4] = [(0.0, 40.0), (300.0, 35.0), (800.0, 15.0), (1600.0, 10.0)];
/// Standard deviations of a reading from which a module, or a driver, notices. Our own choice.
const PLAIN: f64 = 3.0;
/// Draws of a cause that shows, of a vehicle that works without its fault, or of a severity that shows, before the last one is taken as it is.
const TRIES: usize = 12;

/// A circuit's world: how it differs from the model, drawn once per seed and circuit.
#[derive(Debug)]
pub struct World<'m> {
    pub(super) model: &'m Model,
    pub(super) seed: u64,
    /// Faults with their true shares.
    shares: Vec<(FaultId, f64)>,
    /// Pairs of faults of different parts, indices into `shares`, and their weights.
    pairs: Vec<[usize; 2]>,
    pair_weights: Vec<f64>,
    /// Per part: how often a new one is bad.
    pub(super) bad_new: Vec<f64>,
    /// What says that it works, then what else must be as it should be for nobody to come.
    works: Vec<Judge>,
    /// `true` if the height above the sea matters to what is read.
    has_air: bool,
}

/// A check that says whether there is a reason to come.
#[derive(Debug, Clone, Copy)]
struct Judge {
    check: usize,
    least: f64,
    most: f64,
}

impl<'m> World<'m> {
    /// The world of `model` for `seed`.
    pub fn new(model: &'m Model, seed: u64) -> Self {
        let circuit = model.circuit();
        let mut draws = Draws::of(seed, &circuit.name, 0, Purpose::World);
        let ln = SHARES_OFF.ln();
        let mut shares = circuit.faults();
        for (_, share) in &mut shares {
            *share *= draws.between(-ln, ln).exp();
        }
        let total: f64 = shares.iter().map(|(_, share)| share).sum();
        for (_, share) in &mut shares {
            *share /= total;
        }
        let bad_new = circuit
            .parts
            .iter()
            .map(|part| part.kind.repair.bad_new * draws.between(1.0, WORSE_NEW));
        let bad_new = bad_new.collect();
        let (pairs, pair_weights) = pairs(circuit, &shares);
        let ports = circuit.parts.iter().flat_map(|part| part.kind.ports);
        let has_air = ports.into_iter().any(|port| port.medium == Medium::Air);
        Self {
            model,
            seed,
            shares,
            pairs,
            pair_weights,
            bad_new,
            works: judges(model),
            has_air,
        }
    }

    /// Heights above sea level at which its jobs can be, m.
    pub fn heights(&self) -> Vec<f64> {
        let all = HEIGHTS.iter().map(|(height, _)| *height);
        if self.has_air {
            all.collect()
        } else {
            all.take(1).collect()
        }
    }

    /// Job number `number`: a vehicle with a hidden cause.
    pub fn job(&self, number: u64) -> Hidden<'_> {
        let circuit = self.model.circuit();
        let mut draws = Draws::of(self.seed, &circuit.name, number, Purpose::Vehicle);
        let weights = HEIGHTS.map(|(_, weight)| weight);
        let place = draws.pick(&weights[..self.heights().len()]);
        // Instruments that came later have a stream of their own, so that jobs drawn before stay what they were.
        let mut later = Draws::of(self.seed, &circuit.name, number, Purpose::Tools);
        let tools = std::array::from_fn(|index| {
            let draws = if index < FIRST_INSTRUMENTS {
                &mut draws
            } else {
                &mut later
            };
            [draws.normal(), draws.normal()]
        });
        let words = [draws.uniform(), draws.uniform()];
        let mut probe = self.model.probe();
        let height = Length::from_si(HEIGHTS[place].0);
        let mut vehicle = self.sound(&mut draws, &mut probe, Ambient::at_altitude(height));
        for _ in 0..TRIES {
            let cause = self.cause(&mut draws);
            let complaint = self.break_it(&mut draws, &mut probe, &mut vehicle, &cause);
            if complaint || self.shows(&mut probe, &vehicle) {
                break;
            }
        }
        Hidden::new(self, number, HEIGHTS[place].0, vehicle, &tools, words)
    }

    /// What is wrong: nothing in this circuit, one fault, or a pair.
    fn cause(&self, draws: &mut Draws) -> Vec<FaultId> {
        let priors = self.model.circuit().priors;
        let beyond = priors.nothing_wrong + NOT_LISTED;
        let kinds = [
            beyond,
            priors.second_fault,
            (1.0 - beyond - priors.second_fault).max(0.0),
        ];
        match draws.pick(&kinds) {
            0 => Vec::new(),
            1 if !self.pairs.is_empty() => self.pairs[draws.pick(&self.pair_weights)]
                .map(|index| self.shares[index].0)
                .to_vec(),
            // A circuit whose author took every fault away has nothing that could be wrong.
            _ if self.shares.is_empty() => Vec::new(),
            _ => {
                let weights: Vec<f64> = self.shares.iter().map(|(_, share)| *share).collect();
                vec![self.shares[draws.pick(&weights)].0]
            }
        }
    }

    /// A vehicle without faults. Its tolerances are drawn again while they alone keep the circuit from working: such a
    /// complaint no repair on the list could cure.
    fn sound(&self, draws: &mut Draws, probe: &mut Probe, ambient: Ambient) -> Vehicle {
        let circuit = self.model.circuit();
        let weather = Ambient {
            pressure: around(draws, ambient.pressure, WEATHER.0 * ambient.pressure),
            temperature: around(draws, ambient.temperature, WEATHER.1),
        };
        let mut vehicle = Vehicle::typical(circuit, weather);
        for _ in 0..TRIES {
            spread(draws, circuit, &mut vehicle);
            if self.works(probe, &vehicle) {
                break;
            }
        }
        vehicle
    }

    /// Gives the vehicle its faults. Severities are drawn again while the circuit still works, for nobody would have come with
    /// it; a fault that never keeps it from working (a sensor's, where a hose is what the circuit is judged by) is taken as
    /// first drawn: its complaint is the code. `true` if there is a reason to come: it does not work, or the cause lies
    /// elsewhere.
    fn break_it(
        &self,
        draws: &mut Draws,
        probe: &mut Probe,
        vehicle: &mut Vehicle,
        cause: &[FaultId],
    ) -> bool {
        let mut first = None;
        for _ in 0..if cause.is_empty() { 0 } else { TRIES } {
            vehicle.faults = cause
                .iter()
                .map(|fault| (*fault, self.severity(draws, *fault)))
                .collect();
            if self.works.is_empty() || !self.works(probe, vehicle) {
                return true;
            }
            first.get_or_insert_with(|| vehicle.faults.clone());
        }
        vehicle.faults = first.unwrap_or_default();
        vehicle.faults.is_empty()
    }

    /// `true` if some reading differs from that of the same vehicle without its faults by more than its scatter: a fault that
    /// shows nowhere sets no code either, and nobody comes with it.
    fn shows(&self, probe: &mut Probe, vehicle: &Vehicle) -> bool {
        let order = self.model.by_setting();
        let mut sound = vehicle.clone();
        sound.faults.clear();
        let mut read = [vec![f64::NAN; order.len()], vec![f64::NAN; order.len()]];
        for (read, vehicle) in read.iter_mut().zip([vehicle, &sound]) {
            probe.cold();
            if probe.predict_all(order, vehicle, read).is_err() {
                return true;
            }
        }
        let [faulty, sound] = read;
        order
            .iter()
            .zip(faulty.iter().zip(&sound))
            .any(|(check, (faulty, sound))| {
                let spec = &self.model.checks()[*check];
                let accuracy = Accuracy::of(spec.instrument);
                // A look, a click and the like differ by their chances.
                let apart = if spec.reads == Reads::YesNo {
                    0.5
                } else {
                    PLAIN * accuracy.deviation(*sound)
                };
                // What only a technician does sets no code: a look, a good part, a hand pump, a watch.
                !matches!(
                    spec.method,
                    Method::Look
                        | Method::Smoke
                        | Method::Swap
                        | Method::Wiggle
                        | Method::Hold
                        | Method::PumpDown
                        | Method::LeakDown
                ) && (faulty - sound).abs() > apart
            })
    }

    /// How bad a fault is.
    fn severity(&self, draws: &mut Draws, fault: FaultId) -> f64 {
        let z = WIDER * draws.normal();
        self.model
            .circuit()
            .fault_spec(fault)
            .severity
            .map_or(1.0, |spec| severity_at(&spec, z))
    }

    /// A fault that a new part of this sort can have.
    pub(super) fn fault_of_new(&self, draws: &mut Draws, part: usize) -> Option<(FaultId, f64)> {
        let own: Vec<&(FaultId, f64)> = self
            .shares
            .iter()
            .filter(|(fault, _)| fault.part.0 == part)
            .collect();
        let weights: Vec<f64> = own.iter().map(|(_, share)| *share).collect();
        let fault = own.get(draws.pick(&weights))?.0;
        Some((fault, self.severity(draws, fault)))
    }

    /// `true` if the circuit does its job on `vehicle` and nobody complains; so it is where nothing says what that is.
    fn works(&self, probe: &mut Probe, vehicle: &Vehicle) -> bool {
        self.works.iter().all(|judge| {
            // From rest: what a vehicle reads must not depend on the one before.
            probe.cold();
            let read = probe.predict(judge.check, vehicle);
            read.is_ok_and(|read| (judge.least..=judge.most).contains(&read.value()))
        })
    }
}

/// The first of all instruments, whose errors are drawn with the vehicle; those of the others have a stream of their own.
const FIRST_INSTRUMENTS: usize = 9;

/// How far this world's instruments are from the truth.
pub(super) fn accuracy(instrument: Instrument) -> Accuracy {
    let model = Accuracy::of(instrument);
    Accuracy {
        scale: CLASS_WORSE * model.scale,
        zero: CLASS_WORSE * model.zero,
        noise: CLASS_WORSE * model.noise,
        relative_noise: CLASS_WORSE * model.relative_noise,
        ..model
    }
}

/// A value around its typical one; `spread` is two of the model's standard deviations.
fn around(draws: &mut Draws, typical: f64, spread: f64) -> f64 {
    typical + WIDER * 0.5 * spread * draws.normal().clamp(-CUT, CUT)
}

/// Draws every value of the vehicle that the description leaves uncertain.
fn spread(draws: &mut Draws, circuit: &Circuit, vehicle: &mut Vehicle) {
    let described = circuit
        .parts
        .iter()
        .flat_map(|part| part.values.iter().zip(part.kind.parameters));
    for (value, (given, spec)) in vehicle.values.iter_mut().zip(described) {
        *value = around(draws, given.typical, given.spread).clamp(spec.range.0, spec.range.1);
    }
    for (value, condition) in vehicle.conditions.iter_mut().zip(&circuit.conditions) {
        value[0] = around(draws, condition.engine.typical, condition.engine.spread).max(0.0);
        if let Some(supply) = condition.supply {
            value[1] = around(draws, supply.typical, supply.spread).max(0.0);
        }
    }
}

fn judges(model: &Model) -> Vec<Judge> {
    let circuit = model.circuit();
    let judge = |works: &circuit::Works| {
        Some(Judge {
            check: model.check(&works.check)?,
            least: works.least.unwrap_or(f64::NEG_INFINITY),
            most: works.most.unwrap_or(f64::INFINITY),
        })
    };
    circuit
        .works
        .iter()
        .chain(&circuit.complaints)
        .filter_map(judge)
        .collect()
}

/// Pairs of faults of different parts, weighted by the product of their shares and by what makes both come together.
fn pairs(circuit: &Circuit, shares: &[(FaultId, f64)]) -> (Vec<[usize; 2]>, Vec<f64>) {
    let (mut pairs, mut weights) = (Vec::new(), Vec::new());
    for (a, (first, share)) in shares.iter().enumerate() {
        for (b, (second, other)) in shares.iter().enumerate().skip(a + 1) {
            if first.part != second.part {
                let both = |cause: &&circuit::CommonCause| {
                    cause.parts.contains(&first.part) && cause.parts.contains(&second.part)
                };
                let causes = circuit.common_causes.iter().filter(both);
                pairs.push([a, b]);
                weights.push(share * other * causes.map(|cause| cause.factor).fold(1.0, f64::max));
            }
        }
    }
    (pairs, weights)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]

    use super::*;

    fn models() -> Vec<Model> {
        let all = crate::shipped().iter();
        all.map(|shipped| crate::load(shipped.name, shipped.text).model.unwrap())
            .collect()
    }

    #[test]
    fn shares_are_off_by_a_factor_of_three_at_most() {
        for model in models() {
            let world = World::new(&model, 5);
            let total: f64 = world.shares.iter().map(|(_, share)| share).sum();
            assert!((total - 1.0).abs() < 1e-12);
            // Normalising moves all shares by one factor, so only their ratios to each other are bound.
            let ratios = world
                .shares
                .iter()
                .zip(model.circuit().faults())
                .map(|(world, model)| world.1 / model.1);
            let (least, most) = ratios.fold((f64::INFINITY, 0.0_f64), |(least, most), r| {
                (least.min(r), most.max(r))
            });
            assert!(most / least <= SHARES_OFF * SHARES_OFF + 1e-9, "{least} {most}");
            assert!(
                most / least > SHARES_OFF,
                "all shares are near the model's: {least} {most}"
            );
        }
    }

    /// Binomial scatter of 20,000 draws, four standard deviations: 0.7 of 100 at most.
    #[test]
    fn causes_come_as_often_as_they_should() {
        let model = &models()[0];
        let world = World::new(model, 3);
        let mut draws = Draws::of(3, "causes", 0, Purpose::Vehicle);
        let mut counts = [0.0; 3];
        (0..20_000).for_each(|_| counts[world.cause(&mut draws).len()] += 1.0 / 20_000.0);
        let priors = model.circuit().priors;
        let expected = [
            priors.nothing_wrong + NOT_LISTED,
            1.0 - priors.nothing_wrong - NOT_LISTED - priors.second_fault,
            priors.second_fault,
        ];
        for (found, expected) in counts.into_iter().zip(expected) {
            assert!(
                (found - expected).abs() < 0.007,
                "{counts:?} instead of {expected:?}"
            );
        }
    }

    /// A vehicle without a listed cause works; one with such a cause mostly does not.
    #[test]
    fn nobody_comes_without_a_complaint() {
        for model in models() {
            let world = World::new(&model, 9);
            let mut probe = model.probe();
            let (mut works, mut listed) = (0, 0);
            for number in 0..150 {
                let job = world.job(number);
                let well = world.works(&mut probe, job.vehicle());
                if job.cause().is_empty() {
                    assert!(well, "{} job {number}", model.circuit().name);
                } else {
                    listed += 1;
                    works += usize::from(well);
                }
            }
            // The rest are faults that what the circuit is judged by does not see: sensors, leaks in what is not worked.
            assert!(
                works * 3 < listed,
                "{}: {works} of {listed} work",
                model.circuit().name
            );
        }
    }

    #[test]
    fn jobs_repeat_for_a_seed_and_differ_between_seeds() {
        let model = &models()[2];
        let vehicle = |seed, number| World::new(model, seed).job(number).vehicle().clone();
        assert_eq!(vehicle(1, 4), vehicle(1, 4));
        assert_ne!(vehicle(1, 4), vehicle(1, 5));
        assert_ne!(vehicle(1, 4), vehicle(2, 4));
    }
}
