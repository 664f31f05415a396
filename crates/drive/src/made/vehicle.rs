//! The invented vehicle, moment by moment.

use super::{Journey, Response, cycle};

/// One moment; all SI, pressures absolute.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Moment {
    pub(super) time: f64,
    pub(super) running_for: f64,
    pub(super) speed: f64,
    pub(super) engine: f64,
    pub(super) coolant: f64,
    pub(super) intake_air: f64,
    pub(super) intake: f64,
    pub(super) commanded: f64,
    pub(super) duty: f64,
    pub(super) air_flow: f64,
    pub(super) load: f64,
    pub(super) pedal: f64,
    pub(super) voltage: f64,
    pub(super) barometer: f64,
}

/// Between two moments, s.
pub(super) const STEP: f64 = 0.05;
/// Key on before the start, s.
const KEY_ON: f64 = 6.0;
/// The starter turns for, s.
const CRANKED: f64 = 1.2;
/// From the starter's speed to idle, s.
const RUN_UP: f64 = 0.8;
/// Key on after the stop, s.
const AFTER: f64 = 5.0;
/// A starter slower than this starts nothing, rev/s: 80 rpm. Common practice, no source.
const TOO_SLOW: f64 = 80.0 / 60.0;
/// It is tried for so long then, s.
const TRIED: f64 = 6.0;

// The invented van. Figures of the class, no source.
/// kg.
const MASS: f64 = 2_400.0;
/// Rolling resistance, of the weight.
const ROLLING: f64 = 0.011;
/// Drag coefficient times area, m2.
const DRAG: f64 = 1.25;
/// kg/m3.
const AIR: f64 = 1.2;
/// m/s2.
const GRAVITY: f64 = 9.81;
/// Of the drive train.
const EFFICIENCY: f64 = 0.9;
/// What turns with the wheels, as a share of the mass.
const TURNING: f64 = 0.05;
/// Idle, rev/s.
const IDLE: f64 = 800.0 / 60.0;
/// Engine speed over road speed in the gears, (rev/s)/(m/s), and the speed up to which a gear is used, m/s.
const GEARS: [(f64, f64); 6] = [
    (7.9, 15.5 / 3.6),
    (4.2, 33.0 / 3.6),
    (2.75, 51.0 / 3.6),
    (1.95, 71.0 / 3.6),
    (1.45, 101.0 / 3.6),
    (1.2, f64::INFINITY),
];
/// Displacement, m3.
const DISPLACEMENT: f64 = 2.2e-3;
/// Filling of the cylinders.
const FILLING: f64 = 0.88;
/// Gas constant of air, J/(kg K).
const GAS: f64 = 287.05;
/// Torque at full load, N m, and what turning the engine itself takes.
const TORQUE: f64 = 320.0;
const FRICTION: f64 = 22.0;
/// Boost at full load and in the middle of the engine's speeds, Pa: asked for, and what the turbocharger could give.
const ASKED: f64 = 1.2e5;
const POSSIBLE: f64 = 1.4e5;
/// Load from which boost is asked for.
const FROM_LOAD: f64 = 0.15;
/// Speeds between which the turbocharger wakes, rev/s.
const WAKES: (f64, f64) = (1_100.0 / 60.0, 1_900.0 / 60.0);
/// Time in which what is asked for changes, and in which boost follows, s.
const ASKS: f64 = 0.7;
const FOLLOWS: f64 = 0.35;
/// Heat that engine and coolant take up, J/K.
const HEAT: f64 = 9.0e4;
/// Heat to the coolant at idle, W, and of the power at the wheels.
const HEAT_IDLE: f64 = 3.5e3;
const HEAT_SHARE: f64 = 0.55;
/// Where the thermostat holds, K.
const THERMOSTAT: f64 = 361.0;

/// The whole drive.
pub(super) fn driven(journey: &Journey) -> Vec<Moment> {
    let response = &journey.response;
    let starts = response.cranked_at.si() >= TOO_SLOW;
    let cranked = if starts { CRANKED } else { TRIED };
    let begins = KEY_ON + cranked + if starts { RUN_UP } else { 0.0 };
    let ends = begins + if starts { cycle::LENGTH } else { 0.0 };
    let count = ((ends + AFTER) / STEP).ceil();
    let ambient = journey.barometer.si();
    let mut moments = Vec::new();
    let mut now = Moment {
        coolant: journey.outside.si(),
        intake_air: journey.outside.si(),
        intake: ambient,
        commanded: ambient,
        barometer: ambient,
        ..Moment::default()
    };
    let mut step = 0.0;
    while step < count {
        now.time = step * STEP;
        let at = now.time;
        if at < KEY_ON || at >= ends {
            standing(&mut now, response, ambient);
        } else if at < KEY_ON + cranked {
            now.engine = response.cranked_at.si();
            now.voltage = response.cranking.si();
            now.intake = ambient - 600.0;
            now.air_flow = flow(now.engine, now.intake, now.intake_air);
        } else if at < begins {
            let share = (at - KEY_ON - cranked) / RUN_UP;
            now.engine = response.cranked_at.si() * (1.0 - share) + IDLE * share;
            now.voltage = response.resting.si();
        } else {
            running(&mut now, journey, at - begins);
        }
        moments.push(Moment {
            intake: now.intake + response.intake_off_by.si(),
            ..now
        });
        step += 1.0;
    }
    moments
}

/// Key on, engine off.
fn standing(now: &mut Moment, response: &Response, ambient: f64) {
    *now = Moment {
        time: now.time,
        coolant: now.coolant,
        intake_air: now.intake_air,
        intake: ambient,
        commanded: ambient,
        barometer: ambient,
        voltage: response.resting.si(),
        ..Moment::default()
    };
}

/// One step of the cycle.
fn running(now: &mut Moment, journey: &Journey, at: f64) {
    let ambient = journey.barometer.si();
    now.running_for = at;
    now.speed = cycle::speed(at);
    let acceleration = (cycle::speed(at + 0.5) - now.speed) / 0.5;
    let (ratio, _) = GEARS
        .into_iter()
        .find(|(_, until)| now.speed <= *until)
        .unwrap_or(GEARS[5]);
    now.engine = (now.speed * ratio).max(IDLE);
    let force = MASS * acceleration * (1.0 + TURNING)
        + if now.speed > 0.0 {
            MASS * GRAVITY * ROLLING + 0.5 * AIR * DRAG * now.speed * now.speed
        } else {
            0.0
        };
    let power = (force * now.speed / EFFICIENCY).max(0.0);
    let torque = power / (std::f64::consts::TAU * now.engine) + FRICTION;
    now.load = (torque / (TORQUE + FRICTION)).min(1.0);
    now.pedal = if power > 0.0 {
        (0.1 + 0.9 * now.load).min(1.0)
    } else {
        0.0
    };
    let awake = ((now.engine - WAKES.0) / (WAKES.1 - WAKES.0)).clamp(0.0, 1.0);
    let asked = ambient + ASKED * awake * ((now.load - FROM_LOAD).max(0.0) / (1.0 - FROM_LOAD)).powf(0.6);
    now.commanded += (asked - now.commanded) * (1.0 - (-STEP / ASKS).exp());
    let actuator = share(&journey.response, now.engine);
    let possible = ambient + POSSIBLE * awake * now.load.powf(0.5) * actuator;
    // Breathing through filter and throttle takes a little, most at speed.
    let breathed = ambient - 1.5e3 * (now.engine / 50.0).powi(2);
    let goal = now.commanded.min(possible).max(breathed);
    now.intake += (goal - now.intake) * (1.0 - (-STEP / FOLLOWS).exp());
    now.duty = (0.3 + 0.35 * now.load + 4e-6 * (now.commanded - now.intake)).clamp(0.05, 0.95);
    now.intake_air = journey.outside.si() + 8.0 + 25.0 * (now.intake / ambient - 1.0).max(0.0);
    now.air_flow = flow(now.engine, now.intake, now.intake_air);
    now.voltage = journey.response.charging.si();
    let heat = HEAT_IDLE + HEAT_SHARE * power;
    now.coolant = (now.coolant + heat * STEP / HEAT).min(THERMOSTAT);
}

/// Air that the engine takes in, kg/s: every second turn fills it.
fn flow(engine: f64, pressure: f64, temperature: f64) -> f64 {
    0.5 * engine * DISPLACEMENT * FILLING * pressure / (GAS * temperature)
}

/// How far the actuator goes at an engine speed; straight between, level outside.
fn share(response: &Response, engine: f64) -> f64 {
    let known = &response.actuator;
    let next = known.partition_point(|(speed, _)| speed.si() <= engine);
    match (next.checked_sub(1).and_then(|at| known.get(at)), known.get(next)) {
        (Some((s0, a0)), Some((s1, a1))) => a0 + (a1 - a0) * (engine - s0.si()) / (s1.si() - s0.si()),
        (Some((_, level)), None) | (None, Some((_, level))) => *level,
        (None, None) => 1.0,
    }
}
