//! Drives that were made up: a simulated vehicle over a published speed cycle, as a recorder or a bus log would hold it.
//!
//! The vehicle is an invented van with a small turbocharged engine; what a circuit does to it comes in as a [`Response`]. Boost follows
//! a simple mean-value law of our own, not a turbocharger's balance. Figures are what sensors give: rounded by the formulas of SAE J1979
//! service 01 and renewed at the rate of a bus. Everything written says that it is simulated.

mod cycle;
mod vehicle;
mod write;

use quantity::{Pressure, RotationalSpeed, Temperature, Voltage};

pub use write::{as_frames, as_table};

/// What a circuit does to a drive.
#[derive(Debug, Clone, PartialEq)]
pub struct Response {
    /// Share of the boost that a sound vehicle can make, or of the way that its boost actuator goes, by engine speed: rising, at least one.
    pub actuator: Vec<(RotationalSpeed, f64)>,
    /// Supply with the key on and the engine off.
    pub resting: Voltage,
    /// Supply while the starter turns the engine.
    pub cranking: Voltage,
    /// Speed at which the starter turns it.
    pub cranked_at: RotationalSpeed,
    /// Supply with the engine running.
    pub charging: Voltage,
    /// What the intake's pressure sensor shows too much.
    pub intake_off_by: Pressure,
}

impl Default for Response {
    /// All is sound.
    fn default() -> Self {
        Self {
            actuator: vec![(RotationalSpeed::from_si(0.0), 1.0)],
            resting: Voltage::from_si(12.5),
            cranking: Voltage::from_si(10.4),
            cranked_at: RotationalSpeed::from_si(227.0 / 60.0),
            charging: Voltage::from_si(14.1),
            intake_off_by: Pressure::from_si(0.0),
        }
    }
}

/// What is driven, and where.
#[derive(Debug, Clone, PartialEq)]
pub struct Journey {
    /// What the circuit does.
    pub response: Response,
    /// Pressure of the air around.
    pub barometer: Pressure,
    /// Its temperature, and the engine's before the start.
    pub outside: Temperature,
    /// The same seed, the same scatter of the sensors.
    pub seed: u32,
    /// What is simulated, in words, for the first line of what is written.
    pub words: String,
}

/// A drive that was made up.
#[derive(Debug, Clone, PartialEq)]
pub struct Made {
    moments: Vec<vehicle::Moment>,
    words: String,
    seed: u32,
}

/// Drives the cycle.
pub fn drive(journey: &Journey) -> Made {
    Made {
        moments: vehicle::driven(journey),
        words: journey.words.clone(),
        seed: journey.seed,
    }
}
