//! The small commands: welcome, units, completions, manual page.

use crate::args::Arguments;
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::page::Answer;
use clap::CommandFactory;
use quantity::UnitSystem;

/// What it is and what to type next.
pub(crate) fn welcome() -> Answer {
    let out = "\
Halfsplit finds what is wrong in a vehicle's vacuum, pressure or electric circuit with the fewest checks.
It knows what each reading should be, how likely each part is the cause, and which check to make next.
It works offline, and says how sure it is.

  halfsplit P0299              what a trouble code can come from
  halfsplit demo               an invented job from complaint to proven cause
  halfsplit circuits           the circuits it knows
  halfsplit --help             everything else
";
    Answer {
        out: out.to_owned(),
        ..Answer::default()
    }
}

/// Remembers units, or says which are in use.
pub(crate) fn units(system: Option<UnitSystem>, manner: Manner) -> Result<Answer, Failure> {
    let file = match system {
        Some(system) => Some(crate::settings::remember(system)?),
        None => crate::settings::file(),
    };
    let name = system.unwrap_or(manner.units.0).name();
    let file = file.map(|file| file.display().to_string());
    let out = if manner.json {
        json(&serde_json::json!({ "units": name, "remembered": system.is_some(), "file": file }))?
    } else {
        match (system, file) {
            (Some(_), Some(file)) => format!("From now on: {name} units. Remembered in {file}\n"),
            _ => format!("{name}\n"),
        }
    };
    Ok(Answer {
        out,
        ..Answer::default()
    })
}

/// The completion script of a shell.
pub(crate) fn completions(shell: clap_complete::Shell) -> Answer {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "halfsplit", &mut script);
    Answer {
        out: String::from_utf8_lossy(&script).into_owned(),
        ..Answer::default()
    }
}

/// The manual page, for `man`.
pub(crate) fn manual() -> Result<Answer, Failure> {
    let mut page = Vec::new();
    let failed = |error| Failure::could_not(format!("the manual page cannot be written: {error}"), None);
    clap_mangen::Man::new(Arguments::command())
        .render(&mut page)
        .map_err(failed)?;
    Ok(Answer {
        out: String::from_utf8_lossy(&page).into_owned(),
        ..Answer::default()
    })
}
