//! A person walked through a job: the next check, its caution first, then the question what it read.

use super::bench;
use super::desk::{Desk, Held};
use super::offer;
use super::tell;
use crate::case::Manner;
use crate::failure::Failure;
use crate::page::{Answer, Page};
use ::job::{Event, Stage};
use std::io::{BufRead, ErrorKind, Write};

const HELP: &str = "\
  21.5 inHg, > 20 inHg, yes, no      what the check read
  CHECK = WHAT                       another check, and what it read
  not done                           it could not be made
  undo                               takes the last thing back
  note WORDS                         writes a note
  rule out PART because WORDS        not the cause, by hand
  show                               the whole job
  quote                              what an offer to the customer would say now
  prove                              calls the cause proven, or says what is missing
  leave                              stops here; everything is kept
";

/// Walks through a job until the cause is proven and an offer answered, it is left, or there are no more lines.
pub(crate) fn through(desk: &mut Desk, name: &str, manner: Manner) -> Result<Answer, Failure> {
    let mut held = desk.job(name)?;
    let (mut lines, mut out) = (std::io::stdin().lock(), anstream::stdout());
    match talk(desk, &mut held, manner, &mut lines, &mut out) {
        Ok(()) => Ok(Answer::default()),
        // Whoever watched has seen enough; what was answered is kept.
        Err(Stopped::Gone(error)) if error.kind() == ErrorKind::BrokenPipe => Ok(Answer::default()),
        Err(Stopped::Gone(error)) => Err(Failure::could_not(format!("the prompt is gone: {error}"), None)),
        Err(Stopped::Failed(failure)) => Err(failure),
    }
}

/// Why a talk ends early.
pub(crate) enum Stopped {
    /// The terminal.
    Gone(std::io::Error),
    /// The job.
    Failed(Failure),
}

impl From<std::io::Error> for Stopped {
    fn from(error: std::io::Error) -> Self {
        Self::Gone(error)
    }
}

impl From<::desk::Problem> for Stopped {
    fn from(problem: ::desk::Problem) -> Self {
        Self::Failed(problem.into())
    }
}

impl From<Failure> for Stopped {
    fn from(failure: Failure) -> Self {
        Self::Failed(failure)
    }
}

fn talk(
    desk: &mut Desk,
    held: &mut Held,
    manner: Manner,
    lines: &mut dyn BufRead,
    out: &mut dyn Write,
) -> Result<(), Stopped> {
    out.write_all(tell::job(held, manner)?.out.as_bytes())?;
    let mut offers = true;
    loop {
        match held.job.stage {
            Stage::Checking => {
                if !checked(desk, held, manner, lines, out)? {
                    return left(out);
                }
                if held.job.stage != Stage::Checking {
                    out.write_all(tell::job(held, manner)?.out.as_bytes())?;
                }
            }
            Stage::Proven | Stage::Quoted if offers => match offer::talk(desk, held, manner, lines, out) {
                Ok(offer::Ended::Left) => return left(out),
                Ok(offer::Ended::GoesOn) => {}
                Ok(offer::Ended::Done) => break,
                // Without the shop's rates there is no offer; the walk has come to its end all the same.
                Err(Stopped::Failed(failure)) => {
                    out.write_all(failure.text.as_bytes())?;
                    offers = false;
                }
                Err(gone) => return Err(gone),
            },
            _ => return Ok(()),
        }
    }
    let after = desk.job(&held.number.to_string())?;
    out.write_all(tell::job(&after, manner)?.out.as_bytes())?;
    Ok(())
}

/// One check with its cautions, until something is written down; `false` if the person stops here.
fn checked(
    desk: &mut Desk,
    held: &mut Held,
    manner: Manner,
    lines: &mut dyn BufRead,
    out: &mut dyn Write,
) -> Result<bool, Stopped> {
    let (mut page, check) = card(held, manner)?;
    // A caution is read before the step is told.
    let unread = check.as_deref().map_or(Ok(Vec::new()), |check| {
        bench::acknowledged(held, Some(check), manner)
    })?;
    if !unread.is_empty() {
        for event in &unread {
            if let Event::CautionAcknowledged { caution } = event {
                writeln!(out, "\nCAUTION  {caution}")?;
            }
        }
        write!(out, "Type done when it is read and seen to > ")?;
        out.flush()?;
        match line(lines)?.as_deref() {
            None | Some("leave") => return Ok(false),
            Some("done") => {
                *held = desk.write(held, unread)?;
            }
            Some(_) => return Ok(true),
        }
    }
    page.line("");
    out.write_all(page.text.as_bytes())?;
    loop {
        write!(out, "\n> ")?;
        out.flush()?;
        let Some(said) = line(lines)? else {
            return Ok(false);
        };
        if said == "leave" {
            return Ok(false);
        }
        match answer(desk, held, check.as_deref(), &said, manner) {
            Ok(Answered::Shown(text)) => out.write_all(text.as_bytes())?,
            Ok(Answered::Changed(warning)) => {
                out.write_all(warning.as_bytes())?;
                return Ok(true);
            }
            Err(failure) => out.write_all(failure.text.as_bytes())?,
        }
    }
}

/// The next check as a card, and its id.
fn card(held: &Held, manner: Manner) -> Result<(Page, Option<String>), Failure> {
    let model = bench::model(held)?;
    let (case, warnings) = bench::case(held, &model, manner)?;
    let mut page = Page::new(manner.screen);
    page.text.push_str(&warnings);
    crate::suspects::ranking(&case, &mut page);
    let check = bench::card(&case, &mut page);
    Ok((page, check.map(|check| model.checks()[check].id.clone())))
}

fn left(out: &mut dyn Write) -> Result<(), Stopped> {
    writeln!(out, "\nEverything said is kept.")?;
    Ok(())
}

/// What came of a line.
enum Answered {
    /// Nothing changed; this is to be shown.
    Shown(String),
    /// Something is written down; a warning, if any.
    Changed(String),
}

/// Does what was said.
fn answer(
    desk: &mut Desk,
    held: &mut Held,
    check: Option<&str>,
    said: &str,
    manner: Manner,
) -> Result<Answered, Failure> {
    let event = match said.split_once(' ').unwrap_or((said, "")) {
        ("help" | "?" | "", _) => return Ok(Answered::Shown(HELP.to_owned())),
        ("quote", "") => return Ok(Answered::Shown(offer::draft(desk, held, manner)?)),
        ("show", "") => return Ok(Answered::Shown(tell::job(held, manner)?.out)),
        ("undo", "") => {
            let entry = held
                .job
                .last_to_withdraw(&held.entries)
                .ok_or_else(|| Failure::bad_input("nothing is left to take back", None))?;
            Event::Withdrawn {
                entry,
                reason: String::new(),
            }
        }
        ("note", words) => Event::Note {
            text: words.to_owned(),
        },
        ("prove", "") => bench::proven(held, &[], None)?,
        ("rule", rest) if rest.starts_with("out ") => {
            let (what, reason) = rest["out ".len()..]
                .split_once(" because ")
                .ok_or_else(|| Failure::bad_input("say how you know: rule out PART because WORDS", None))?;
            ::desk::rule_out(held, what.trim(), reason)?
        }
        _ => return reading(desk, held, check, said).map(Answered::Changed),
    };
    *held = desk.write(held, vec![event])?;
    Ok(Answered::Changed(String::new()))
}

/// What the check at hand read, or another one.
fn reading(desk: &mut Desk, held: &mut Held, check: Option<&str>, said: &str) -> Result<String, Failure> {
    let whole = match check {
        // `CHECK = WHAT` names its own check; a bare answer is of the check at hand.
        Some(check) if !said.contains('@') && said.starts_with(['<', '>', '≤', '≥']) => {
            format!("{check} {said}")
        }
        Some(check) if !said.contains('@') => format!("{check} = {said}"),
        _ => said.to_owned(),
    };
    let (after, warnings) = bench::read(desk, held, &[whole], None, None)?;
    *held = after;
    Ok(warnings)
}

/// The next line, without blanks around it; `None` after the last.
pub(crate) fn line(lines: &mut dyn BufRead) -> std::io::Result<Option<String>> {
    let mut bytes = Vec::new();
    if lines.read_until(b'\n', &mut bytes)? == 0 {
        return Ok(None);
    }
    Ok(Some(String::from_utf8_lossy(&bytes).trim().to_owned()))
}
