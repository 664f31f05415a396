//! All drives of one vehicle, gathered in any order and in any number of parts.

use super::{Drift, DriveFigures, Screened, Trend};

/// Files that cannot be used are told one by one up to here, and counted beyond.
const TOLD: usize = 3;

/// The drives of one vehicle as they come in.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Vehicle {
    drives: Vec<(String, Result<DriveFigures, String>)>,
}

/// What the drives of one vehicle come to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Screening {
    /// Drives that could be used.
    pub drives: u64,
    /// Their rows.
    pub rows: u64,
    /// Trouble codes told in them.
    pub codes: u64,
    /// Files that could not be used.
    pub unusable: u64,
    /// The first of them by name, each with what is wrong with it.
    pub troubles: Vec<String>,
    /// In the order of [`Screened::ALL`]; `None` where too few drives tell of it.
    pub drifts: [Option<Drift>; 3],
}

impl Vehicle {
    /// One more drive: how it is called, and what it gives or why it gives nothing.
    pub fn update(&mut self, name: &str, drive: Result<DriveFigures, String>) {
        self.drives.push((name.to_owned(), drive));
    }

    /// The drives of another part.
    pub fn merge(&mut self, other: Self) {
        self.drives.extend(other.drives);
    }

    /// What came in, in no order, for whoever carries it elsewhere.
    pub fn drives(&self) -> &[(String, Result<DriveFigures, String>)] {
        &self.drives
    }

    /// What it comes to: the same whatever the order and the parts.
    pub fn finish(mut self) -> Screening {
        self.drives.sort_by(|a, b| a.0.cmp(&b.0));
        let mut screening = Screening::default();
        let mut trends: [Trend; 3] = Default::default();
        for (name, drive) in &self.drives {
            match drive {
                Ok(drive) => {
                    screening.drives += 1;
                    screening.rows += drive.rows;
                    screening.codes += drive.codes;
                    for (trend, figure) in trends.iter_mut().zip(drive.figures) {
                        if let Some(figure) = figure {
                            trend.update(name, drive.began_s, figure.si());
                        }
                    }
                }
                Err(why) => {
                    screening.unusable += 1;
                    if screening.troubles.len() < TOLD {
                        screening.troubles.push(format!("{name}: {why}"));
                    }
                }
            }
        }
        let mut sorts = Screened::ALL.into_iter();
        screening.drifts = trends.map(|trend| sorts.next().and_then(|what| trend.finish(what)));
        screening
    }
}
