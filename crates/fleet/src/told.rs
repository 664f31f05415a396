//! What a screening found, in words and for programs.

use drive::{Drift, LEAST_DRIVES, Screened, Screening};
use quantity::{Dimension, Quantity};
use serde::Serialize;
use std::fmt::Write as _;

/// A vehicle and what its drives come to.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// How it is called.
    pub vehicle: String,
    /// What its drives come to.
    pub screening: Screening,
}

/// All vehicles, and the share of healthy ones that may be named by chance.
#[derive(Debug, Clone, PartialEq)]
pub struct Fleet {
    /// By name.
    pub rows: Vec<Row>,
    /// Of healthy vehicles, the share that may be named.
    pub rate: f64,
}

/// Figures are SI.
#[derive(Debug, Serialize)]
struct Told<'f> {
    rate: f64,
    expected_by_chance: f64,
    vehicles: Vec<ToldVehicle<'f>>,
}

#[derive(Debug, Serialize)]
struct ToldVehicle<'f> {
    vehicle: &'f str,
    drives: u64,
    rows: u64,
    codes: u64,
    unusable: u64,
    troubles: &'f [String],
    named: bool,
    drifts: Vec<ToldDrift<'f>>,
}

#[derive(Debug, Serialize)]
struct ToldDrift<'f> {
    what: Screened,
    drives: usize,
    from: f64,
    to: f64,
    chance: f64,
    named: bool,
    figures: &'f [f64],
}

impl Fleet {
    /// The drifts for which a vehicle is named, clearest first.
    pub fn named(&self) -> Vec<(&Row, &Drift)> {
        let mut named: Vec<(&Row, &Drift)> = self
            .rows
            .iter()
            .flat_map(|row| {
                row.screening
                    .drifts
                    .iter()
                    .flatten()
                    .map(move |drift| (row, drift))
            })
            .filter(|(_, drift)| drift.is_named(self.rate))
            .collect();
        named.sort_by(|a, b| {
            a.1.chance
                .total_cmp(&b.1.chance)
                .then_with(|| a.0.vehicle.cmp(&b.0.vehicle))
        });
        named
    }

    /// Vehicles of which anything could be screened.
    pub fn screened(&self) -> usize {
        let tells = |row: &&Row| row.screening.drifts.iter().any(Option::is_some);
        self.rows.iter().filter(tells).count()
    }

    /// In words.
    pub fn text(&self) -> String {
        let mut out = String::new();
        let sum =
            |count: fn(&Screening) -> u64| -> u64 { self.rows.iter().map(|row| count(&row.screening)).sum() };
        // Writing to a String cannot fail, here and below.
        let _ = writeln!(
            out,
            "{}, {}, {} rows",
            counted(self.rows.len() as u64, "vehicle"),
            counted(sum(|all| all.drives), "drive"),
            sum(|all| all.rows)
        );
        let named = self.named();
        let _ = writeln!(out, "\nDrifting from drive to drive:");
        for (row, drift) in &named {
            let _ = writeln!(
                out,
                "  {:<16} {}: {} to {} over {} drives, chance {}{}",
                row.vehicle,
                drift.what.name(),
                shown(drift.from),
                shown(drift.to),
                drift.figures.len(),
                chance(drift.chance),
                if row.screening.codes == 0 {
                    ", no code told"
                } else {
                    ", and codes were told"
                }
            );
        }
        if named.is_empty() {
            let _ = writeln!(out, "  none");
        }
        let _ = writeln!(
            out,
            "\nOf healthy vehicles at most {:.3} % are named by chance, here about {:.1} of {}. Neighbouring drives that resemble each\nother (AR(1), 0.6) can double that. A season moves voltages too: look whether all vehicles drift alike.",
            100.0 * self.rate,
            self.rate * self.screened() as f64,
            self.screened()
        );
        let few = self.rows.len() - self.screened();
        if few > 0 {
            let _ = writeln!(
                out,
                "{}: fewer than {LEAST_DRIVES} drives that tell anything of boost, charging or cranking.",
                counted(few as u64, "vehicle")
            );
        }
        let unusable = sum(|all| all.unusable);
        if unusable > 0 {
            let _ = writeln!(out, "\nLeft out: {}", counted(unusable, "file"));
            for row in &self.rows {
                for trouble in &row.screening.troubles {
                    let _ = writeln!(out, "  {}/{trouble}", row.vehicle);
                }
            }
        }
        out
    }

    /// For programs.
    ///
    /// # Errors
    /// None that is known: every figure is one.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        let vehicles = self.rows.iter().map(|row| self.told(row)).collect();
        let told = Told {
            rate: self.rate,
            expected_by_chance: self.rate * self.screened() as f64,
            vehicles,
        };
        serde_json::to_string_pretty(&told).map(|text| text + "\n")
    }

    fn told<'f>(&self, row: &'f Row) -> ToldVehicle<'f> {
        let all = &row.screening;
        let drifts: Vec<ToldDrift> = all
            .drifts
            .iter()
            .flatten()
            .map(|drift| ToldDrift {
                what: drift.what,
                drives: drift.figures.len(),
                from: drift.from.si(),
                to: drift.to.si(),
                chance: drift.chance,
                named: drift.is_named(self.rate),
                figures: &drift.figures,
            })
            .collect();
        ToldVehicle {
            vehicle: &row.vehicle,
            drives: all.drives,
            rows: all.rows,
            codes: all.codes,
            unusable: all.unusable,
            troubles: &all.troubles,
            named: drifts.iter().any(|drift| drift.named),
            drifts,
        }
    }
}

/// A figure as a technician reads it.
pub(crate) fn shown(figure: Quantity) -> String {
    match figure.dimension() {
        Dimension::Pressure => format!("{:+.1} kPa", figure.si() / 1e3),
        _ => format!("{:.2} V", figure.si()),
    }
}

/// A chance without more digits than matter.
fn chance(chance: f64) -> String {
    if chance < 1e-6 {
        "below 0.000001".to_owned()
    } else {
        format!("{chance:.6}")
    }
}

fn counted(number: u64, what: &str) -> String {
    format!("{number} {what}{}", if number == 1 { "" } else { "s" })
}

#[cfg(test)]
mod tests {
    use super::*;
    use drive::{DriveFigures, Vehicle};

    fn vehicle(name: &str, change: f64) -> Row {
        let mut vehicle = Vehicle::default();
        for drive in 0..20 {
            let volt = 14.2 + change * f64::from(drive) / 19.0 + if drive % 2 == 0 { 0.02 } else { -0.02 };
            let figures = DriveFigures {
                rows: 100,
                figures: [None, Some(Quantity::new(Dimension::Voltage, volt)), None],
                ..DriveFigures::default()
            };
            vehicle.update(&format!("drive {drive}.csv"), Ok(figures));
        }
        vehicle.update("torn.csv", Err("the file is empty".to_owned()));
        Row {
            vehicle: name.to_owned(),
            screening: vehicle.finish(),
        }
    }

    #[test]
    fn the_drifting_vehicle_is_named_and_the_torn_file_counted() {
        let fleet = Fleet {
            rows: vec![vehicle("van 1", 0.0), vehicle("van 2", -0.8)],
            rate: 0.01,
        };
        let text = fleet.text();
        assert!(text.starts_with("2 vehicles, 40 drives, 4000 rows\n"), "{text}");
        assert!(text.contains("van 2            charging voltage: 14."), "{text}");
        assert!(!text.contains("van 1            charging"), "{text}");
        assert!(
            text.contains("at most 1.000 % are named by chance, here about 0.0 of 2"),
            "{text}"
        );
        assert!(text.contains("van 1/torn.csv: the file is empty"), "{text}");
        let told: serde_json::Value = fleet
            .json()
            .and_then(|text| serde_json::from_str(&text))
            .unwrap_or_default();
        assert_eq!(told["vehicles"][1]["named"], true);
        assert_eq!(
            told["vehicles"][1]["drifts"][0]["figures"]
                .as_array()
                .map(Vec::len),
            Some(20)
        );
    }
}
