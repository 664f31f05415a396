//! A made-up drive as a recorder's table and as a log of frames, both with the same figures.

use super::Made;
use super::vehicle::{Moment, STEP};
use numerics::uniform;
use std::fmt::Write as _;

/// A parameter of service 01 that is asked for.
struct Parameter {
    number: u8,
    /// Column of the table.
    name: &'static str,
    unit: &'static str,
    /// How often it is renewed, s.
    every: f64,
    /// Scatter of its sensor, in steps of its figure.
    scatter: f64,
    /// Its figure in the unit of the table.
    of: fn(&Moment) -> f64,
    /// Steps in one unit, the figure at none, and the most steps.
    steps: (f64, f64, f64),
    /// Bytes of the answer that hold the figure, and where they begin; behind them what else the answer has.
    place: (usize, usize, usize),
}

/// Bytes of a parameter's answer: 1 or 2 for the figure alone.
const fn alone(bytes: usize) -> (usize, usize, usize) {
    (0, bytes, bytes)
}

const ZERO: f64 = 273.15;
/// Signals that move fast, s.
const FAST: f64 = 0.1;
const SLOW: f64 = 1.0;

/// Formulas of SAE J1979 service 01, as `references/answers.csv` has them. The intake's pressure is held at 255 kPa by its own byte.
static ASKED: &[Parameter] = &[
    asked(
        0x0C,
        "Engine RPM",
        "rpm",
        FAST,
        |m| 60.0 * m.engine,
        (4.0, 0.0, 65_535.0),
        alone(2),
    )
    .scattered(10.0),
    asked(
        0x0D,
        "Vehicle speed",
        "km/h",
        FAST,
        |m| 3.6 * m.speed,
        (1.0, 0.0, 255.0),
        alone(1),
    ),
    asked(
        0x0B,
        "Intake manifold absolute pressure",
        "kPa",
        FAST,
        |m| m.intake / 1e3,
        (1.0, 0.0, 255.0),
        alone(1),
    )
    .scattered(0.4),
    // A bit for what is supported, then the pressure asked for in the second and third byte; ten bytes in all.
    asked(
        0x70,
        "Boost pressure commanded",
        "kPa",
        FAST,
        |m| m.commanded / 1e3,
        (32.0, 0.0, 65_535.0),
        (1, 2, 10),
    ),
    // The same with the duty in the second byte of five.
    asked(
        0x72,
        "Wastegate control commanded",
        "%",
        FAST,
        |m| 100.0 * m.duty,
        (2.55, 0.0, 255.0),
        (1, 1, 5),
    ),
    asked(
        0x10,
        "Mass air flow",
        "g/s",
        FAST,
        |m| 1e3 * m.air_flow,
        (100.0, 0.0, 65_535.0),
        alone(2),
    )
    .scattered(8.0),
    asked(
        0x04,
        "Calculated engine load",
        "%",
        FAST,
        |m| 100.0 * m.load,
        (2.55, 0.0, 255.0),
        alone(1),
    ),
    asked(
        0x49,
        "Accelerator pedal position",
        "%",
        FAST,
        |m| 100.0 * m.pedal,
        (2.55, 0.0, 255.0),
        alone(1),
    ),
    asked(
        0x42,
        "Control module voltage",
        "V",
        0.2,
        |m| m.voltage,
        (1e3, 0.0, 65_535.0),
        alone(2),
    )
    .scattered(15.0),
    asked(
        0x05,
        "Engine coolant temperature",
        "°C",
        SLOW,
        |m| m.coolant - ZERO,
        (1.0, -40.0, 255.0),
        alone(1),
    ),
    asked(
        0x0F,
        "Intake air temperature",
        "°C",
        SLOW,
        |m| m.intake_air - ZERO,
        (1.0, -40.0, 255.0),
        alone(1),
    ),
    asked(
        0x1F,
        "Run time since engine start",
        "s",
        SLOW,
        |m| m.running_for,
        (1.0, 0.0, 65_535.0),
        alone(2),
    ),
    asked(
        0x33,
        "Barometric pressure",
        "kPa",
        SLOW,
        |m| m.barometer / 1e3,
        (1.0, 0.0, 255.0),
        alone(1),
    ),
];

const fn asked(
    number: u8,
    name: &'static str,
    unit: &'static str,
    every: f64,
    of: fn(&Moment) -> f64,
    steps: (f64, f64, f64),
    place: (usize, usize, usize),
) -> Parameter {
    Parameter {
        number,
        name,
        unit,
        every,
        scatter: 0.0,
        of,
        steps,
        place,
    }
}

impl Parameter {
    const fn scattered(mut self, scatter: f64) -> Self {
        self.scatter = scatter;
        self
    }

    /// The whole number that the module sends.
    fn raw(&self, moment: &Moment, index: u32, seed: u32) -> u32 {
        let (per_unit, none, most) = self.steps;
        let moved = self.scatter * (2.0 * uniform(index, u32::from(self.number), seed) - 1.0);
        // A standing engine has no scatter: nothing moves.
        let moved = if moment.engine > 0.0 || self.number != 0x0C {
            moved
        } else {
            0.0
        };
        let steps = ((self.of)(moment) - none) * per_unit + moved;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "held between 0 and 65535 first"
        )]
        let raw = steps.round().clamp(0.0, most) as u32;
        raw
    }

    /// What a tool shows of it.
    fn shown(&self, raw: u32) -> f64 {
        let (per_unit, none, _) = self.steps;
        f64::from(raw) / per_unit + none
    }

    /// The answer's bytes behind the parameter's number.
    fn answer(&self, raw: u32) -> Vec<u8> {
        let (from, bytes, all) = self.place;
        let mut answer = vec![0; all];
        if from > 0 {
            answer[0] = 1;
        }
        answer[from..from + bytes].copy_from_slice(&raw.to_be_bytes()[4 - bytes..]);
        answer
    }

    /// Whether it is renewed in this step, and its count of renewals.
    fn renewed(&self, step: usize) -> bool {
        step.is_multiple_of(steps(self.every))
    }
}

/// Steps of the simulation in so many seconds.
fn steps(seconds: f64) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a few seconds at most"
    )]
    let steps = (seconds / STEP).round().max(1.0) as usize;
    steps
}

/// The remark that stands first.
fn remark(made: &Made) -> String {
    let words: String = made
        .words
        .chars()
        .map(|letter| if letter.is_control() { ' ' } else { letter })
        .collect();
    format!(
        "# simulated drive, not a recording of any vehicle: {words}; speed cycle of UN R83 type I test; seed {}\n",
        made.seed
    )
}

fn index(step: usize) -> u32 {
    u32::try_from(step).unwrap_or(u32::MAX)
}

/// As a table, ten rows a second; a signal that is renewed more slowly stands meanwhile.
pub fn as_table(made: &Made) -> String {
    let mut text = remark(made);
    text.push_str("Time (s)");
    for parameter in ASKED {
        // Writing to a String cannot fail.
        let _ = write!(text, ",{} ({})", parameter.name, parameter.unit);
    }
    text.push('\n');
    let mut held = vec![0; ASKED.len()];
    for (step, moment) in made.moments.iter().enumerate() {
        for (held, parameter) in held.iter_mut().zip(ASKED) {
            if parameter.renewed(step) {
                *held = parameter.raw(moment, index(step), made.seed);
            }
        }
        if step.is_multiple_of(steps(FAST)) {
            let _ = write!(text, "{:.1}", moment.time);
            for (raw, parameter) in held.iter().zip(ASKED) {
                let shown = format!("{:.3}", parameter.shown(*raw));
                let _ = write!(text, ",{}", shown.trim_end_matches('0').trim_end_matches('.'));
            }
            text.push('\n');
        }
    }
    text
}

/// As the text log of the Linux CAN utilities: what a tool asks one module, and its answers by ISO 15765-4 and ISO 15765-2.
pub fn as_frames(made: &Made) -> String {
    let mut text = remark(made);
    for (step, moment) in made.moments.iter().enumerate() {
        // A tool asks for one after the other; an answer takes a few milliseconds.
        let mut at = moment.time;
        for parameter in ASKED.iter().filter(|parameter| parameter.renewed(step)) {
            let raw = parameter.raw(moment, index(step), made.seed);
            frame(
                &mut text,
                at,
                "7E0",
                &[0x02, 0x01, parameter.number, 0, 0, 0, 0, 0],
            );
            let mut message = vec![0x41, parameter.number];
            message.extend(parameter.answer(raw));
            sent(&mut text, at + 1e-3, &message);
            at += 3e-3;
        }
    }
    text
}

/// A message in one frame, or in several with the tool's word to go on.
fn sent(text: &mut String, at: f64, message: &[u8]) {
    let length = message.len().to_be_bytes();
    let length = length[length.len() - 1];
    if message.len() <= 7 {
        let mut data = vec![length];
        data.extend(message);
        data.resize(8, 0xAA);
        frame(text, at, "7E8", &data);
        return;
    }
    let mut data = vec![0x10, length];
    data.extend(&message[..6]);
    frame(text, at, "7E8", &data);
    frame(text, at + 2e-4, "7E0", &[0x30, 0, 0, 0, 0, 0, 0, 0]);
    for (place, part) in (1..).zip(message[6..].chunks(7)) {
        let mut data = vec![0x20 | (place & 0x0F)];
        data.extend(part);
        data.resize(8, 0xAA);
        frame(text, at + 2e-4 * (1.0 + f64::from(place)), "7E8", &data);
    }
}

fn frame(text: &mut String, at: f64, id: &str, data: &[u8]) {
    let _ = write!(text, "({at:.6}) can0 {id}#");
    for byte in data {
        let _ = write!(text, "{byte:02X}");
    }
    text.push('\n');
}
