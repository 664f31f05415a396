//! What messages say: figures by the formulas of SAE J1979 service 01, codes by services 03, 07 and 0A.
//!
//! Formulas as in `references/answers.csv`, which names where each was read.

use crate::recording::CodeList;
use crate::signal::Signal;
use std::collections::BTreeMap;

/// One thing that was told.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Answer {
    Value {
        signal: Signal,
        name: &'static str,
        si: f64,
    },
    Code {
        code: String,
        list: CodeList,
    },
}

/// Who answers; a module may say once how it scales what it says later.
#[derive(Debug, Default)]
pub(super) struct Answers {
    /// Highest intake pressure by module, Pa, where it is not the usual 255 kPa (parameter 4F).
    highest: BTreeMap<u32, f64>,
    /// Answers about parameters that are not known here.
    pub(super) unknown: usize,
}

/// Answer to service 01, 03, 07, 0A.
const CURRENT: u8 = 0x41;
const STORED: u8 = 0x43;
const PENDING: u8 = 0x47;
const PERMANENT: u8 = 0x4A;
/// 0 °C, K.
const ZERO: f64 = 273.15;

impl Answers {
    /// What the message of module `id` says.
    pub(super) fn of(&mut self, id: u32, message: &[u8]) -> Vec<Answer> {
        let Some((service, rest)) = message.split_first() else {
            return Vec::new();
        };
        match *service {
            CURRENT => self.current(id, rest),
            STORED => codes(rest, CodeList::Stored),
            PENDING => codes(rest, CodeList::Pending),
            PERMANENT => codes(rest, CodeList::Permanent),
            _ => Vec::new(),
        }
    }

    /// One parameter after the other, each with as many bytes as the standard gives it.
    fn current(&mut self, id: u32, mut rest: &[u8]) -> Vec<Answer> {
        let mut told = Vec::new();
        while let Some((parameter, data)) = rest.split_first() {
            let Some(data_of) = length(*parameter).and_then(|length| data.get(..length)) else {
                // How long it is cannot be known, so neither where the next begins.
                self.unknown += 1;
                break;
            };
            self.parameter(id, *parameter, data_of, &mut told);
            rest = &data[data_of.len()..];
        }
        told
    }

    fn parameter(&mut self, id: u32, parameter: u8, data: &[u8], told: &mut Vec<Answer>) {
        let a = f64::from(data[0]);
        let pair = |at: usize| 256.0 * f64::from(data[at]) + f64::from(data[at + 1]);
        let supports = |bit: u8| data[0] >> bit & 1 == 1;
        let mut say = |signal, name, si| told.push(Answer::Value { signal, name, si });
        match parameter {
            0x04 => say(Signal::Load, "calculated load", a / 255.0),
            0x05 => say(Signal::Coolant, "coolant temperature", a - 40.0 + ZERO),
            0x0A => say(Signal::FuelPressure, "fuel pressure", 3e3 * a),
            0x0B => {
                let highest = self.highest.get(&id).copied();
                let si = highest.map_or(1e3 * a, |highest| a * highest / 255.0);
                say(Signal::IntakePressure, "intake manifold pressure", si);
            }
            0x0C => say(Signal::EngineSpeed, "engine speed", pair(0) / 4.0 / 60.0),
            0x0D => say(Signal::VehicleSpeed, "vehicle speed", a / 3.6),
            0x0F => say(Signal::IntakeAir, "intake air temperature", a - 40.0 + ZERO),
            0x10 => say(Signal::AirFlow, "air flow", pair(0) / 100.0 / 1e3),
            0x11 => say(Signal::Throttle, "throttle position", a / 255.0),
            0x1F => say(Signal::RunTime, "time since engine start", pair(0)),
            0x23 => say(Signal::FuelPressure, "fuel rail pressure", 1e4 * pair(0)),
            0x2F => say(Signal::FuelLevel, "fuel level", a / 255.0),
            0x30 => say(Signal::WarmUps, "warm-ups since codes cleared", a),
            0x31 => say(
                Signal::DistanceSinceCleared,
                "distance since codes cleared",
                1e3 * pair(0),
            ),
            0x33 => say(Signal::Barometer, "barometric pressure", 1e3 * a),
            0x42 => say(Signal::Voltage, "control module voltage", pair(0) / 1e3),
            0x46 => say(Signal::OutsideAir, "ambient air temperature", a - 40.0 + ZERO),
            0x49 => say(Signal::Pedal, "accelerator pedal position", a / 255.0),
            0x4F => {
                let most = f64::from(data[3]);
                if most > 0.0 {
                    self.highest.insert(id, 1e4 * most);
                } else {
                    self.highest.remove(&id);
                }
            }
            0x5C => say(Signal::Oil, "oil temperature", a - 40.0 + ZERO),
            0x70 => {
                if supports(0) {
                    say(
                        Signal::BoostCommanded,
                        "boost pressure commanded",
                        1e3 * pair(1) / 32.0,
                    );
                }
                if supports(1) {
                    say(
                        Signal::IntakePressure,
                        "boost pressure actual",
                        1e3 * pair(3) / 32.0,
                    );
                }
            }
            0x71 if supports(0) => say(
                Signal::BoostDuty,
                "vane control commanded",
                f64::from(data[1]) / 255.0,
            ),
            0x72 if supports(0) => say(
                Signal::BoostDuty,
                "wastegate control commanded",
                f64::from(data[1]) / 255.0,
            ),
            _ => {}
        }
    }
}

#[allow(clippy::match_same_arms, reason = "a line holds what fits on it")]
/// Bytes of data that a parameter of service 01 has, from memory of the standard; `None` if it is not known here.
fn length(parameter: u8) -> Option<usize> {
    Some(match parameter {
        0x04..=0x0B | 0x0D..=0x0F | 0x11..=0x13 | 0x1C..=0x1E | 0x2C..=0x30 | 0x33 => 1,
        0x45..=0x4C | 0x51 | 0x52 | 0x5A..=0x5C | 0x5F | 0x61 | 0x62 => 1,
        0x02 | 0x03 | 0x0C | 0x10 | 0x14..=0x1B | 0x1F | 0x21..=0x23 | 0x31 | 0x32 => 2,
        0x3C..=0x3F | 0x42..=0x44 | 0x4D | 0x4E | 0x53..=0x59 | 0x5D | 0x5E | 0x63 => 2,
        0x6F => 3,
        0x00 | 0x01 | 0x20 | 0x24..=0x2B | 0x34..=0x3B | 0x40 | 0x41 | 0x4F | 0x50 | 0x60 | 0x80 => 4,
        0x66 | 0x72..=0x74 => 5,
        0x71 => 6,
        0x75 => 7,
        0x70 => 10,
        _ => return None,
    })
}

/// On CAN the number of codes stands before them.
fn codes(rest: &[u8], list: CodeList) -> Vec<Answer> {
    let Some((count, pairs)) = rest.split_first() else {
        return Vec::new();
    };
    let pairs = pairs.chunks_exact(2).take(usize::from(*count));
    pairs
        .filter(|pair| **pair != [0, 0])
        .map(|pair| Answer::Code {
            code: code(pair[0], pair[1]),
            list,
        })
        .collect()
}

/// A code from its two bytes (SAE J2012): system, first digit, three hexadecimal digits.
pub(super) fn code(high: u8, low: u8) -> String {
    let system = ['P', 'C', 'B', 'U'][usize::from(high >> 6)];
    format!("{system}{}{:X}{low:02X}", high >> 4 & 3, high & 0x0F)
}

#[cfg(test)]
mod tests {
    use super::*;

    const ANSWERS: &str = include_str!("../../../../../references/answers.csv");
    const CODES: &str = include_str!("../../../../../references/trouble_codes.csv");

    fn bytes(hex: &str) -> Vec<u8> {
        let digits: String = hex.split_whitespace().collect();
        (0..digits.len())
            .step_by(2)
            .map(|at| u8::from_str_radix(&digits[at..at + 2], 16).unwrap())
            .collect()
    }

    #[test]
    fn the_examples_of_the_formulas_come_out() {
        let mut compared = 0;
        for line in ANSWERS.lines().filter(|line| !line.starts_with('#')).skip(1) {
            let cells: Vec<&str> = line.split(',').collect();
            let [message, name, value, factor, offset] = cells[..5] else {
                panic!("{line}");
            };
            let mut answers = Answers::default();
            let mut told = Vec::new();
            for message in message.split('/') {
                told = answers.of(0x7E8, &bytes(message));
            }
            let figure = |text: &str| text.parse::<f64>().unwrap();
            let found = told.iter().find_map(|answer| match answer {
                Answer::Value { name: own, si, .. } if *own == name => Some(*si),
                _ => None,
            });
            let wanted = figure(value) * figure(factor) + figure(offset);
            let found = found.unwrap_or_else(|| panic!("{line}: {told:?}"));
            // The published examples are rounded to three decimals of their unit.
            assert!((found - wanted).abs() <= 6e-4 * figure(factor), "{line}: {found}");
            compared += 1;
        }
        assert!(compared >= 12, "{compared}");
    }

    #[test]
    fn two_bytes_are_the_standards_code() {
        for line in CODES.lines().filter(|line| !line.starts_with('#')).skip(1) {
            let mut cells = line.split(',');
            let (Some(wanted), Some(hex)) = (cells.next(), cells.next()) else {
                panic!("{line}");
            };
            let pair = bytes(hex);
            assert_eq!(code(pair[0], pair[1]), wanted);
        }
    }
}
