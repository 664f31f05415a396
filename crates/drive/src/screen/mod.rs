//! Many drives of one vehicle: whether boost control, charging or cranking drifts from drive to drive by more than chance.
//!
//! One drive gives one figure of each sort, taken by [`features`](crate::features()), whoever asks. A [`Trend`] gathers them in any order and in
//! any number of parts that are merged later, so that the same bits come out however the work was shared: it orders the drives before it
//! reckons. A vehicle is named where a figure drifts by more than chance and by enough to matter ([`Drift::is_named`]).

mod kendall;
mod vehicle;

use crate::features::{Feature, FeatureKind, features};
use crate::recording::Recording;
use crate::signal::Signal;
use crate::statistics::median;
use kendall::{kendall, slope};
use quantity::{Dimension, Quantity};
use serde::Serialize;
pub use vehicle::{Screening, Vehicle};

/// What is screened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Screened {
    /// Boost less what the module asks for, while it asks for boost.
    BoostControl,
    /// Voltage while the engine runs.
    Charging,
    /// Lowest voltage at the first start.
    Cranking,
}

impl Screened {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::BoostControl, Self::Charging, Self::Cranking];

    /// How it is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::BoostControl => "boost less asked boost",
            Self::Charging => "charging voltage",
            Self::Cranking => "voltage while cranking",
        }
    }

    /// The feature of a drive that is looked at.
    pub fn feature(self) -> FeatureKind {
        match self {
            Self::BoostControl => FeatureKind::BoostHeld,
            Self::Charging => FeatureKind::ChargingVoltage,
            Self::Cranking => FeatureKind::CrankingVoltage,
        }
    }

    /// What its figures are.
    pub fn dimension(self) -> Dimension {
        match self {
            Self::BoostControl => Dimension::Pressure,
            Self::Charging | Self::Cranking => Dimension::Voltage,
        }
    }

    /// Change from the first drive to the last that matters, SI: 5 kPa of boost; of a voltage a share of it, 0.3 V of 14 V while charging
    /// and 0.5 V of 10.5 V while cranking, twice that with two batteries. Common practice, no source.
    fn matters(self, usual: f64) -> f64 {
        match self {
            Self::BoostControl => 5e3,
            Self::Charging => usual.abs() * (0.3 / 14.0),
            Self::Cranking => usual.abs() * (0.5 / 10.5),
        }
    }

    /// Whether a rise is bad too: a battery that is charged too high suffers, one that cranks better does not.
    fn rises(self) -> bool {
        self != Self::Cranking
    }
}

/// The signals that what is screened needs; the rest of a recording may be left unread.
pub const SCREENED_SIGNALS: &[Signal] = &[
    Signal::EngineSpeed,
    Signal::Voltage,
    Signal::IntakePressure,
    Signal::BoostCommanded,
    Signal::Barometer,
];

/// What one drive gives.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DriveFigures {
    /// Rows of the recording.
    pub rows: u64,
    /// When it began, s since 1970, if its times are dates.
    pub began_s: Option<f64>,
    /// In the order of [`Screened::ALL`]; `None` where the drive tells nothing of it.
    pub figures: [Option<Quantity>; 3],
    /// Trouble codes that a module told.
    pub codes: u64,
}

/// Takes from a drive what is screened.
pub fn drive_figures(recording: &Recording) -> DriveFigures {
    let found = features(recording);
    let first = |what: Screened| {
        let mut own = found.iter().filter(|feature| feature.kind == what.feature());
        own.next().map(|feature: &Feature| feature.value)
    };
    DriveFigures {
        rows: recording.time.len() as u64,
        began_s: recording.began().map(|began| began.as_duration().as_secs_f64()),
        figures: Screened::ALL.map(first),
        codes: recording.codes.len() as u64,
    }
}

/// The figure of one drive.
#[derive(Debug, Clone, PartialEq)]
struct Point {
    name: String,
    began_s: Option<f64>,
    figure: f64,
}

/// The figures of one sort from a vehicle's drives, gathered in any order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Trend {
    points: Vec<Point>,
}

/// Fewest drives that say something of a trend.
pub const LEAST_DRIVES: usize = 10;
/// Most drives that are looked at, the latest of them: every pair is compared.
pub const MOST_DRIVES: usize = 1_000;

/// How figures drift from drive to drive.
#[derive(Debug, Clone, PartialEq)]
pub struct Drift {
    /// What drifts.
    pub what: Screened,
    /// The figures, drive after drive, SI.
    pub figures: Vec<f64>,
    /// The drifting middle at the first drive.
    pub from: Quantity,
    /// And at the last.
    pub to: Quantity,
    /// Chance that a vehicle without a trend shows one as clear as this or clearer, in either direction that counts.
    pub chance: f64,
}

impl Trend {
    /// One more drive: how it is called, when it began (s since 1970) if that is known, its figure.
    pub fn update(&mut self, name: &str, began_s: Option<f64>, figure: f64) {
        if figure.is_finite() {
            self.points.push(Point {
                name: name.to_owned(),
                began_s: began_s.filter(|began| began.is_finite()),
                figure,
            });
        }
    }

    /// The drives of another part.
    pub fn merge(&mut self, other: Self) {
        self.points.extend(other.points);
    }

    /// What it comes to; `None` with fewer than [`LEAST_DRIVES`].
    ///
    /// Drives follow each other by when they began where all of them say so, else by their names, numbers in them by their size.
    pub fn finish(mut self, what: Screened) -> Option<Drift> {
        if self.points.iter().all(|point| point.began_s.is_some()) {
            let began = |point: &Point| point.began_s.unwrap_or_default();
            self.points
                .sort_by(|a, b| began(a).total_cmp(&began(b)).then_with(|| a.name.cmp(&b.name)));
        } else {
            self.points
                .sort_by_cached_key(|point| (pieces(&point.name), point.name.clone()));
        }
        let skip = self.points.len().saturating_sub(MOST_DRIVES);
        let figures: Vec<f64> = self.points[skip..].iter().map(|point| point.figure).collect();
        if figures.len() < LEAST_DRIVES {
            return None;
        }
        let test = kendall(&figures);
        let slope = slope(&figures);
        let last = (figures.len() - 1) as f64;
        let mut left: Vec<f64> = (0..)
            .zip(&figures)
            .map(|(at, figure)| figure - slope * f64::from(at))
            .collect();
        let from = median(&mut left)?;
        let chance = if what.rises() {
            (2.0 * test.rising.min(test.falling)).min(1.0)
        } else {
            test.falling
        };
        Some(Drift {
            what,
            figures,
            from: Quantity::new(what.dimension(), from),
            to: Quantity::new(what.dimension(), from + slope * last),
            chance,
        })
    }
}

impl Drift {
    /// Whether a vehicle is named for it, where at most the share `rate` of healthy vehicles may be named by chance for any of what is
    /// screened: the drift is clear, and large enough to matter.
    pub fn is_named(&self, rate: f64) -> bool {
        let change = self.to.si() - self.from.si();
        let bad = self.what.rises() || change < 0.0;
        bad && change.abs() >= self.what.matters(self.from.si())
            && self.chance <= rate / Screened::ALL.len() as f64
    }
}

/// A name as words and numbers, so that `drive 10` follows `drive 9`.
fn pieces(name: &str) -> Vec<(u8, u128, String)> {
    let is_digit = |letter: char| letter.is_ascii_digit();
    let mut rest = name;
    let mut pieces = Vec::new();
    while let Some(first) = rest.chars().next() {
        let end = rest
            .find(|letter| is_digit(letter) != is_digit(first))
            .unwrap_or(rest.len());
        let (piece, after) = rest.split_at(end);
        match piece.parse() {
            Ok(number) if is_digit(first) => pieces.push((0, number, String::new())),
            _ => pieces.push((1, 0, piece.to_owned())),
        }
        rest = after;
    }
    pieces
}

#[cfg(test)]
mod tests;
