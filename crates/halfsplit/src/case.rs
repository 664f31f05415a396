//! What a command works on: the circuit that was named, the readings that were taken, and what is believed after them.

use crate::args::Taken;
use crate::failure::{Failure, told};
use crate::findings;
use crate::page::Screen;
use crate::show::Units;
use ::job::{Described, TroubleCode};
use belief::Effort;
use circuit::Bundle;
use diag::{Diagnostic, Source, nearest};
use engine::{Evidence, Model};
use std::fmt::Write as _;
use std::ops::{Deref, DerefMut};
use std::path::Path;

/// How to answer, for all commands alike.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Manner {
    pub(crate) json: bool,
    pub(crate) units: Units,
    pub(crate) screen: Screen,
}

/// A circuit that was named.
#[derive(Debug)]
pub(crate) struct Opened {
    pub(crate) model: Model,
    /// Findings that do not stop the work, rendered.
    pub(crate) warnings: String,
}

/// Opens the circuit called `name`: a file, or a shipped circuit.
pub(crate) fn open(name: &str) -> Result<Opened, Failure> {
    let (described, bundle) = description(name)?;
    read(&described.name, &bundle)
}

/// The same, with the description itself, for a job to keep.
pub(crate) fn described(name: &str) -> Result<(Described, Opened), Failure> {
    let (described, bundle) = description(name)?;
    let opened = read(&described.name, &bundle)?;
    Ok((described, opened))
}

/// The description called `name`, whole with the files that it includes, and where each of them begins in it.
pub(crate) fn description(name: &str) -> Result<(Described, Bundle), Failure> {
    let path = Path::new(name);
    if let Some(shipped) = engine::shipped_called(name).filter(|_| !path.is_file()) {
        let described = Described {
            name: shipped.name.to_owned(),
            text: shipped.text.to_owned(),
        };
        let bundle = circuit::bundle(shipped.name, shipped.text, &mut |_| Err("not shipped".to_owned()));
        return Ok((described, bundle));
    }
    if path.exists() || looks_like_a_path(name) {
        let text = crate::files::text(path, "circuit file")?;
        let stem = path.file_stem().map(|stem| stem.to_string_lossy().into_owned());
        let folder = path.parent().unwrap_or(Path::new(""));
        let bundle = circuit::bundle(name, &text, &mut |included| beside(folder, included));
        let described = Described {
            name: stem.unwrap_or_else(|| name.to_owned()),
            text: bundle.source.text.clone(),
        };
        return Ok((described, bundle));
    }
    Err(if is_code(name) {
        code_instead(name)
    } else {
        unknown(name)
    })
}

fn looks_like_a_path(name: &str) -> bool {
    name.contains(['/', '\\'])
        || Path::new(name)
            .extension()
            .is_some_and(|extension| extension.eq_ignore_ascii_case("toml"))
}

/// The text of a file that a circuit in `folder` includes, or why there is none.
fn beside(folder: &Path, included: &str) -> Result<String, String> {
    let text = crate::files::text(&folder.join(included), "file to include");
    text.map_err(|failure| {
        let said = anstream::adapter::strip_str(&failure.text).to_string();
        let first = said.lines().next().unwrap_or_default();
        first.trim_start_matches("error: ").to_owned()
    })
}

fn read(name: &str, bundle: &Bundle) -> Result<Opened, Failure> {
    let loaded = engine::load_bundle(name, bundle);
    let warnings = findings::accepted(&loaded.source, &loaded.findings)?;
    let model = loaded
        .model
        .ok_or_else(|| Failure::could_not(format!("`{}` cannot be used", bundle.source.name), None))?;
    Ok(Opened { model, warnings })
}

/// A trouble code in the form of SAE J2012.
pub(crate) fn is_code(text: &str) -> bool {
    text.parse::<TroubleCode>().is_ok()
}

/// Says which circuits a code can come from, with what to type.
fn code_instead(code: &str) -> Failure {
    let code = code.to_ascii_uppercase();
    let circuits = engine::leading_from(&code);
    if circuits.is_empty() {
        let hint = "describe the circuit in a file of your own, or search by words: halfsplit circuits WORDS";
        return Failure::bad_input(
            format!("no shipped circuit is known to set `{code}`"),
            Some(hint.to_owned()),
        );
    }
    let mut text = told(
        format!("`{code}` is a trouble code: it names a symptom, not a circuit"),
        None,
    );
    text.push_str("  it can come from:\n");
    for circuit in circuits {
        let _ = writeln!(text, "    {}", typed_again(&code, circuit.name));
    }
    Failure { code: 2, text }
}

/// The command as typed, with the circuit in place of the code.
fn typed_again(code: &str, circuit: &str) -> String {
    let mut replaced = false;
    let words = std::env::args().skip(1).map(|word| {
        if !replaced && word.eq_ignore_ascii_case(code) {
            replaced = true;
            return circuit.to_owned();
        }
        if word.contains(|c: char| c.is_whitespace() || "<>=\"'$*;&|()".contains(c)) {
            format!("'{word}'")
        } else {
            word
        }
    });
    std::iter::once("halfsplit".to_owned())
        .chain(words)
        .collect::<Vec<_>>()
        .join(" ")
}

fn unknown(name: &str) -> Failure {
    let names = engine::shipped().iter().map(|shipped| shipped.name);
    let hint = match nearest(name, names) {
        Some(near) => format!("did you mean `{near}`?"),
        None => "halfsplit circuits  lists the shipped ones; a file of your own ends in .toml".to_owned(),
    };
    Failure::bad_input(format!("there is no circuit `{name}`"), Some(hint))
}

/// The readings that the arguments name, with warnings.
pub(crate) fn evidence(model: &Model, taken: &Taken) -> Result<(Evidence, String), Failure> {
    let mut text = String::new();
    let mut name = "the arguments".to_owned();
    if let Some(path) = &taken.readings {
        text = crate::files::text(path, "readings file")?;
        name = path.display().to_string();
        if !taken.reading.is_empty() {
            name.push_str(" and the arguments");
        }
    }
    if let Some(altitude) = &taken.altitude {
        let _ = writeln!(text, "altitude = {}", quoted(altitude));
    }
    for reading in &taken.reading {
        text.push_str(&entry(reading)?);
    }
    let (evidence, found) = engine::evidence(model, &text);
    let warnings = findings::accepted(&Source::new(&name, &text), &found)?;
    let evidence = evidence.ok_or_else(|| Failure::could_not(format!("`{name}` cannot be used"), None))?;
    Ok((evidence, warnings))
}

/// `CHECK = WHAT`: the check, the key of a readings file, and what was read.
pub(crate) fn split_reading(reading: &str) -> Result<(&str, &'static str, &str), Failure> {
    let missing = || {
        let finding = Diagnostic::error(
            "A001",
            0..reading.len(),
            "a reading is a check, `=`, and what was read",
        );
        findings::argument(
            "--reading",
            reading,
            finding.hint("for instance `tee:valve.source@idle = 21.5 inHg`"),
        )
    };
    let at = reading.find(['=', '<', '>', '≤', '≥']).ok_or_else(missing)?;
    let (check, what) = reading.split_at(at);
    let what = what.strip_prefix('=').unwrap_or(what).trim();
    let key = if what.starts_with(['<', '>', '≤', '≥']) {
        "bound"
    } else if what.starts_with(|c: char| c.is_alphabetic()) {
        "answer"
    } else {
        "value"
    };
    Ok((check.trim(), key, what))
}

/// `CHECK = WHAT` as it stands in a readings file.
fn entry(reading: &str) -> Result<String, Failure> {
    let (check, key, what) = split_reading(reading)?;
    Ok(format!(
        "\n[[reading]]\ncheck = {}\n{key} = {}\n",
        quoted(check),
        quoted(what)
    ))
}

fn quoted(text: &str) -> String {
    let safe: String = text
        .chars()
        .map(|letter| if letter.is_control() { ' ' } else { letter })
        .collect();
    format!("\"{}\"", safe.replace('\\', "\\\\").replace('"', "\\\""))
}

/// A case, and the screen it is shown on.
#[derive(Debug)]
pub(crate) struct Case<'m> {
    case: desk::Case<'m>,
    pub(crate) screen: Screen,
}

impl<'m> Case<'m> {
    pub(crate) fn new(model: &'m Model, evidence: Evidence, manner: Manner) -> Self {
        Self::with(model, evidence, manner, Effort::default())
    }

    /// Of a case that was made already.
    pub(crate) fn on(case: desk::Case<'m>, screen: Screen) -> Self {
        Self { case, screen }
    }

    /// The same with another effort.
    pub(crate) fn with(model: &'m Model, evidence: Evidence, manner: Manner, effort: Effort) -> Self {
        Self {
            case: desk::Case::new(model, evidence, manner.units, effort),
            screen: manner.screen,
        }
    }
}

impl<'m> Deref for Case<'m> {
    type Target = desk::Case<'m>;

    fn deref(&self) -> &Self::Target {
        &self.case
    }
}

impl DerefMut for Case<'_> {
    fn deref_mut(&mut self) -> &mut Self::Target {
        &mut self.case
    }
}
