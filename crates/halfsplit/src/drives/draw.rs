//! A recording as a picture, or two beside each other.

use super::args::Draw;
use super::{clock, given};
use crate::case::Manner;
use crate::failure::Failure;
use crate::page::Answer;
use ::desk::{DriveView, drive_curves};
use quantity::Dimension;
use std::path::Path;

/// Steps of a line: as many as the picture is wide.
const STEPS: usize = 720;

pub(super) fn run(wanted: &Draw, manner: Manner) -> Result<Answer, Failure> {
    let moment = |text: &Option<String>| {
        text.as_deref()
            .map(|text| given(text, Dimension::Time, "90 s"))
            .transpose()
    };
    let (from, to) = (moment(&wanted.from)?, moment(&wanted.to)?);
    let view = DriveView {
        between_s: (from.is_some() || to.is_some()).then(|| (from.unwrap_or(0.0), to.unwrap_or(f64::MAX))),
        steps: STEPS,
        units: crate::show::Units(manner.units.0),
    };
    let mut all = vec![(wanted.recorded.file.as_path(), wanted.recorded.columns.as_slice())];
    if let Some(beside) = &wanted.beside {
        all.push((beside.as_path(), &[]));
    }
    let drawn = all.into_iter().map(|(file, columns)| {
        let recording = super::read(file, columns)?;
        let title = format!("{}, {}", name(file), clock(recording.length()));
        Ok(drive_curves(&title, &recording, view))
    });
    let drawn: Vec<draw::Curves> = drawn.collect::<Result<_, Failure>>()?;
    let svg = draw::curves_svg(&drawn);
    let out = match &wanted.out {
        None => svg,
        Some(out) => {
            crate::files::write(out, &svg)?;
            format!("drawn in {}\n", out.display())
        }
    };
    Ok(Answer {
        out,
        err: String::new(),
    })
}

fn name(file: &Path) -> String {
    file.file_name()
        .map_or_else(String::new, |name| name.to_string_lossy().into_owned())
}
