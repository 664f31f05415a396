//! A recorded drive as a picture: its signals over time, what was found marked, boost beside what is asked for.

use crate::show::Units;
use draw::{Curves, Line, Mark, Pane, Step};
use drive::{Feature, Recording, Signal, features, reduced};
use quantity::{Dimension, Quantity, Unit, UnitSystem, show_in};

/// Signals that are drawn, those of one pane together; the first is what found stretches and the healthy band belong to.
const PANES: &[&[Signal]] = &[
    &[Signal::EngineSpeed],
    &[Signal::VehicleSpeed],
    &[Signal::IntakePressure, Signal::BoostCommanded],
    &[Signal::BoostDuty],
    &[Signal::Load, Signal::Pedal],
    &[Signal::Voltage],
    &[Signal::Coolant, Signal::Oil],
    &[Signal::IntakeAir, Signal::OutsideAir],
    &[Signal::AirFlow],
    &[Signal::FuelPressure],
    &[Signal::Throttle],
    &[Signal::FuelLevel],
];

/// Boost is healthy so far from what is asked for, Pa, where boost is asked for: as the feature has it. Common practice, no source.
const HEALTHY: f64 = 1e4;
/// Boost asked for above ambient from which that says something, Pa. Common practice, no source.
const ASKED: f64 = 2e4;

/// How a drive is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DriveView {
    /// First and last second; the whole drive without.
    pub between_s: Option<(f64, f64)>,
    /// Steps of a line, at most: one for each column of the screen.
    pub steps: usize,
    /// The person's units.
    pub units: Units,
}

/// The picture of a recording.
pub fn drive_curves(title: &str, recording: &Recording, view: DriveView) -> Curves {
    let (from, to) = within(recording, view.between_s);
    let found = features(recording);
    let mut told: Vec<&Feature> = Vec::new();
    let mut panes = Vec::new();
    for signals in PANES {
        let own: Vec<Signal> = signals
            .iter()
            .copied()
            .filter(|signal| recording.column(*signal).is_some_and(|column| column.count() > 0))
            .collect();
        let Some(first) = own.first().copied() else {
            continue;
        };
        let unit = unit(view.units, first.dimension());
        let lines = own.iter().map(|signal| Line {
            name: signal.name().to_owned(),
            steps: steps(
                recording,
                recording.values(*signal).unwrap_or_default(),
                (from, to),
                view.steps,
                unit,
            ),
        });
        let lines = lines.collect();
        let marks = found
            .iter()
            .filter(|feature| own.contains(&feature.signal) && feature.end_s >= from && feature.start_s <= to)
            .filter(|feature| drawn(feature))
            .map(|feature| {
                told.push(feature);
                Mark {
                    number: told.len(),
                    from_s: feature.start_s,
                    to_s: feature.end_s,
                    odd: feature.as_usual() == Some(false),
                }
            });
        let marks = marks.collect();
        panes.push(Pane {
            name: first.name().to_owned(),
            unit: unit.symbol().to_owned(),
            lines,
            healthy: if first == Signal::IntakePressure {
                healthy(recording, (from, to), view.steps, unit)
            } else {
                Vec::new()
            },
            marks,
        });
    }
    Curves {
        title: title.to_owned(),
        remark: if recording.simulated {
            "Simulated: made up, not driven.".to_owned()
        } else {
            String::new()
        },
        from_s: from,
        to_s: to,
        panes,
        found: told.iter().map(|feature| words(feature, view.units)).collect(),
    }
}

/// First and last second shown: inside the drive, and never nothing.
fn within(recording: &Recording, between: Option<(f64, f64)>) -> (f64, f64) {
    /// Least that is shown, s.
    const LEAST: f64 = 2.0;
    let end = recording.length().max(LEAST);
    let (from, to) = between
        .filter(|(from, to)| from.is_finite() && to.is_finite() && from < to)
        .unwrap_or((0.0, end));
    let from = from.clamp(0.0, end - LEAST);
    (from, to.clamp(from + LEAST, end))
}

/// Whether a feature is a stretch worth marking: what covers the whole drive as usual hides everything else.
fn drawn(feature: &Feature) -> bool {
    use drive::FeatureKind as Kind;
    feature.as_usual() == Some(false)
        || matches!(
            feature.kind,
            Kind::KeyOnPressure
                | Kind::CrankingVoltage
                | Kind::HighestBoost
                | Kind::BoostResponse
                | Kind::WarmUp
        )
}

fn words(feature: &Feature, units: Units) -> String {
    let show = |quantity: Quantity| match quantity.dimension() {
        Dimension::Pressure => show_in(quantity, unit(units, Dimension::Pressure)),
        dimension => units.plain(dimension, quantity.si()),
    };
    let usual = feature.usual.map_or_else(String::new, |(low, high)| {
        let odd = if feature.as_usual() == Some(false) {
            "NOT as usual, "
        } else {
            ""
        };
        format!(" ({odd}usual {} to {})", show(low), show(high))
    });
    format!("{}: {}{usual}", show(feature.value), feature.what)
}

/// Absolute pressures are never read in inches of mercury here.
fn unit(units: Units, dimension: Dimension) -> Unit {
    let system = if dimension == Dimension::Pressure && units.0 == UnitSystem::Trade {
        UnitSystem::Metric
    } else {
        units.0
    };
    system.unit_for(dimension)
}

fn steps(recording: &Recording, values: &[f64], between: (f64, f64), most: usize, unit: Unit) -> Vec<Step> {
    let shown = |si: f64| (si - unit.offset()) / unit.factor();
    reduced(&recording.time, values, between, most)
        .into_iter()
        .map(|stretch| Step {
            at_s: stretch.at_s,
            least: shown(stretch.least),
            most: shown(stretch.most),
        })
        .collect()
}

/// Around what is asked for, where boost is asked for.
fn healthy(recording: &Recording, between: (f64, f64), most: usize, unit: Unit) -> Vec<Step> {
    let (Some(asked), Some(barometer)) = (
        recording.values(Signal::BoostCommanded),
        recording.values(Signal::Barometer),
    ) else {
        return Vec::new();
    };
    let wanted: Vec<f64> = asked
        .iter()
        .zip(barometer)
        .map(|(asked, ambient)| {
            if asked - ambient >= ASKED {
                *asked
            } else {
                f64::NAN
            }
        })
        .collect();
    let width = HEALTHY / unit.factor();
    let mut band = steps(recording, &wanted, between, most, unit);
    for step in &mut band {
        (step.least, step.most) = (step.least - width, step.most + width);
    }
    band
}
