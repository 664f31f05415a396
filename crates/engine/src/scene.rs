//! A made-up vehicle with a hidden fault, measured with made-up instruments: for the demo and for practice.

use belief::{Accuracy, Outcome, Surroundings, compared, reading};
use circuit::{FaultId, Instrument, Reads};
use numerics::{normal_point, uniform};
use physics::{Model, SolveError, Vehicle};

/// A vehicle whose true state is known to nobody but the scene.
#[derive(Debug)]
pub struct Scene<'m> {
    model: &'m Model,
    vehicle: Vehicle,
    /// The instruments' own errors, as standard normal values.
    tools: [f64; 2],
    /// An instrument that is far off, and the share by which it reads too much.
    wrong: Option<(Instrument, f64)>,
    seed: u32,
    taken: u32,
}

impl<'m> Scene<'m> {
    /// A vehicle with `faults` at their severities, otherwise typical but for small deviations that `seed` decides.
    pub fn new(model: &'m Model, surroundings: Surroundings, faults: &[(FaultId, f64)], seed: u32) -> Self {
        let mut vehicle = Vehicle::typical(model.circuit(), surroundings.ambient);
        let spreads = model
            .circuit()
            .parts
            .iter()
            .flat_map(|part| part.values.iter().map(|value| value.spread));
        for (index, (value, spread)) in vehicle.values.iter_mut().zip(spreads).enumerate() {
            // Half of the tolerance's standard deviation: an ordinary vehicle.
            *value += 0.25 * spread * normal_point(seed, u32::try_from(index).unwrap_or(0), 11);
        }
        vehicle.faults.extend_from_slice(faults);
        let tools = [0.5 * normal_point(seed, 0, 12), 0.5 * normal_point(seed, 1, 12)];
        Self {
            model,
            vehicle,
            tools,
            wrong: None,
            seed,
            taken: 0,
        }
    }

    /// The same, measured with an `instrument` that reads too much by a share of the value.
    #[must_use]
    pub fn with_wrong(mut self, instrument: Instrument, factor: f64) -> Self {
        self.wrong = Some((instrument, factor));
        self
    }

    /// Makes a check: what the instrument shows, rounded as one reads it.
    ///
    /// # Errors
    /// [`SolveError`] if the circuit finds no balance.
    pub fn read(&mut self, check: usize) -> Result<Outcome, SolveError> {
        self.taken += 1;
        let (taken, seed) = (self.taken, self.seed);
        let mut lots = 8..;
        let lot = |chance| uniform(taken, lots.next().unwrap_or(8), seed) < chance;
        let now = self.model.occasion(check, &self.vehicle, lot);
        let truth = self.model.probe().predict(check, &now)?.value();
        let spec = &self.model.checks()[check];
        if spec.reads == Reads::YesNo {
            let yes = uniform(self.taken, 7, self.seed) < truth;
            return Ok(if yes { Outcome::Yes } else { Outcome::No });
        }
        let accuracy = Accuracy::of(spec.instrument);
        let second = [3, 4].map(|place| 0.5 * normal_point(self.taken, place, self.seed));
        let truth = spec
            .level()
            .map_or(truth, |level| compared(&accuracy, level, second));
        let mut own = accuracy.error_at(self.tools);
        if let Some((_, factor)) = self
            .wrong
            .filter(|(instrument, _)| *instrument == spec.instrument)
        {
            own.factor = factor;
        }
        let shown = reading(&accuracy, truth, own, normal_point(self.taken, 5, self.seed));
        let step = division(spec.instrument, shown);
        Ok(Outcome::Value(if shown > 3.0e7 {
            shown
        } else {
            (shown / step).round() * step
        }))
    }

    /// The hidden faults: for the end of the scene.
    pub fn faults(&self) -> &[(FaultId, f64)] {
        &self.vehicle.faults
    }
}

/// What a person reads an instrument to, SI.
pub(crate) fn division(instrument: Instrument, shown: f64) -> f64 {
    match instrument {
        Instrument::VacuumGauge => 0.5 * 3_386.388_640_341,
        Instrument::PressureGauge => 5.0e3,
        Instrument::Voltmeter | Instrument::DutyMeter | Instrument::ModulePosition => 0.01,
        Instrument::Ohmmeter => {
            if shown < 1000.0 {
                0.1
            } else {
                10.0
            }
        }
        Instrument::Clamp => {
            if shown.abs() < 20.0 {
                0.01
            } else {
                1.0
            }
        }
        Instrument::Rule => 0.5e-3,
        Instrument::Tachometer => 1.0 / 60.0,
        Instrument::FuelGauge => 1.0e4,
        // A hundredth of a litre in half a minute.
        Instrument::MeasuringCan => 0.02e-3 / 60.0,
        Instrument::Thermometer | Instrument::Watch => 0.5,
        Instrument::HandPump => 3_386.388_640_341,
        Instrument::LeakUnit => 0.05e-3 / 60.0,
        Instrument::LowGauge => 25.0,
        Instrument::ModuleData => 1.0e3,
        Instrument::ModuleTemperature | Instrument::Senses | Instrument::SmokeMaker => 1.0,
    }
}
