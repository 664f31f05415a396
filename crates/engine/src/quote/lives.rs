//! What a part costs over the years: how long it lasts, how its grade changes that, and the long run of renewing it again and
//! again (DERIVATIONS 18). Lives and factors are from memory,
//! rules of thumb; closed jobs move them (DERIVATIONS 17).

use circuit::Symbol;
use job::Grade;

/// Minutes to find out that it is the new part that is bad, after the proof has failed. From memory: half an hour of measuring again;
/// fitting another is counted by itself.
pub fn again_minutes() -> f64 {
    30.0
}

/// Price of a grade beside the original. From memory.
pub fn price_factor(grade: Grade) -> f64 {
    match grade {
        Grade::Original => 1.0,
        Grade::Equivalent => 0.6,
        Grade::Budget => 0.35,
    }
}

/// Life of a grade beside the original; without a grade the part is mended as it is. From memory.
pub fn life_factor(grade: Option<Grade>) -> f64 {
    match grade {
        None | Some(Grade::Original) => 1.0,
        Some(Grade::Equivalent) => 0.8,
        Some(Grade::Budget) => 0.5,
    }
}

/// How long an original part of this sort is expected to last, km. From memory.
pub fn original_km(sort: Symbol) -> f64 {
    match sort {
        Symbol::Lamp | Symbol::Filter => 60_000.0,
        Symbol::Battery => 80_000.0,
        Symbol::GlowPlug => 120_000.0,
        Symbol::Hose | Symbol::CheckValve | Symbol::SolenoidValve => 150_000.0,
        Symbol::DiaphragmActuator
        | Symbol::StarterSolenoid
        | Symbol::PressureSensor
        | Symbol::LiquidPump
        | Symbol::Alternator
        | Symbol::PressureValve => 180_000.0,
        Symbol::Flap
        | Symbol::VaneRing
        | Symbol::Turbocharger
        | Symbol::Cooler
        | Symbol::Engine
        | Symbol::Switch
        | Symbol::Relay
        | Symbol::Connector
        | Symbol::Ground
        | Symbol::Coil
        | Symbol::TemperatureSensor
        | Symbol::PositionSensor
        | Symbol::Motor => 200_000.0,
        Symbol::VacuumPump | Symbol::Diode | Symbol::Resistor => 250_000.0,
        Symbol::AirSpace
        | Symbol::Orifice
        | Symbol::Reservoir
        | Symbol::Wire
        | Symbol::Fuse
        | Symbol::Chassis
        | Symbol::LowSideDriver
        | Symbol::HighSideDriver
        | Symbol::TwistedPair
        | Symbol::BusModule
        | Symbol::ModulePins
        | Symbol::Tank
        | Symbol::LiquidLoad => 300_000.0,
    }
}

/// What the long run of one part is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DistanceCost {
    /// Cost of fitting a new one: part and work, with tax.
    pub fitted: f64,
    /// Cost of finding out that the new one is bad, with tax.
    pub found_bad: f64,
    /// Chance that a new one is bad; below 1.
    pub bad_from_new: f64,
    /// Expected life of a good one, km; above 0.
    pub life_km: f64,
}

/// What keeping the part costs per 100,000 km: `(C + b/(1 − b) (C + D)) / L`.
pub fn per_100_000_km(cost: &DistanceCost) -> f64 {
    let bad_ones = cost.bad_from_new / (1.0 - cost.bad_from_new);
    (cost.fitted + bad_ones * (cost.fitted + cost.found_bad)) * 100_000.0 / cost.life_km
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use rand::rngs::ChaCha12Rng;
    use rand::{Rng, SeedableRng};

    fn cost(fitted: f64, found_bad: f64, bad_from_new: f64, life_km: f64) -> f64 {
        per_100_000_km(&DistanceCost {
            fitted,
            found_bad,
            bad_from_new,
            life_km,
        })
    }

    /// By hand: of 100 new parts 20 are bad, so a good one takes 1.25 of them; 1.25 × 80 + 0.25 × 40 = 110 for 50,000 km.
    #[test]
    fn a_worked_example() {
        assert!((cost(80.0, 40.0, 0.2, 50_000.0) - 220.0).abs() < 1e-9);
        assert!(
            (cost(80.0, 40.0, 0.0, 100_000.0) - 80.0).abs() < 1e-12,
            "nothing bad"
        );
    }

    /// The formula against its definition: lives one after the other, bad parts drawn with chance `b`, the money over the distance.
    #[test]
    fn the_long_run_is_what_many_lives_in_a_row_cost() {
        let mut bits = ChaCha12Rng::seed_from_u64(1);
        let mut chance = || f64::from(bits.next_u32()) / 4_294_967_296.0;
        let (fitted, found_bad, bad, life) = (61.0, 47.5, 0.3, 40_000.0);
        let (mut paid, mut driven) = (0.0, 0.0);
        let cycles = 200_000;
        for _ in 0..cycles {
            while chance() < bad {
                paid += fitted + found_bad;
            }
            paid += fitted;
            // Any law of lives with this mean will do: uniform from nothing to twice.
            driven += 2.0 * life * chance();
        }
        let (seen, said) = (paid / driven * 100_000.0, cost(fitted, found_bad, bad, life));
        // Four standard errors: the spread of a cycle's money and distance is below the mean of each.
        let error = 4.0 * 2.0_f64.sqrt() / f64::from(cycles).sqrt();
        assert!((seen / said - 1.0).abs() < error, "{seen} beside {said}");
    }

    proptest! {
        #[test]
        fn worse_parts_cost_more_and_longer_lives_less(
            fitted in 0.01..1e6_f64, found_bad in 0.0..1e6_f64, bad in 0.0..0.9_f64, more in 1e-3..0.09_f64,
            life in 1e3..1e6_f64, longer in 1.001..10.0_f64,
        ) {
            let here = cost(fitted, found_bad, bad, life);
            prop_assert!(here.is_finite() && here > 0.0);
            prop_assert!(cost(fitted, found_bad, bad + more, life) > here);
            prop_assert!(cost(fitted, found_bad, bad, life * longer) < here);
        }

        /// In another currency everything is multiplied alike: which part is best does not change.
        #[test]
        fn the_currency_does_not_matter(fitted in 0.01..1e4_f64, found_bad in 0.0..1e4_f64, times in 0.01..1e3_f64) {
            let here = cost(fitted, found_bad, 0.05, 1e5);
            let there = cost(fitted * times, found_bad * times, 0.05, 1e5);
            prop_assert!((there / times / here - 1.0).abs() < 1e-9);
        }
    }
}
