//! Practice at the prompt: a line typed, an answer, until the complaint is gone.
//!
//! Lines may come from a terminal or from a pipe; from a pipe they are shown again, so that what is printed reads whole.

use super::OURS;
use super::ending;
use super::places::{self, Listed};
use super::sitting::Sitting;
use crate::case::Manner;
use crate::failure::Failure;
use crate::files::LARGEST;
use crate::page::Page;
use crate::words;
use diag::nearest;
use engine::practice::{Contestant, Job, Workshop, World, contestants};
use engine::{Model, Shop};
use quantity::Dimension;
use std::io::{BufRead, BufReader, ErrorKind, IsTerminal, Read, Write};

const HELP: &str = "  checks              the quickest check of every place
  WORDS               the checks that hold these words: hose, idle, deadhead valve
  NUMBER or ID        makes that check
  parts               the parts, and what renewing them takes
  renew PART [bench]  renews a part and proves it; bench: the new one is tried first
  beyond              looks for the cause beyond this circuit
  readings            what was read so far
  quit                shows what was hidden";

/// Plays one job.
pub(super) fn play(model: &Model, seed: u64, manner: Manner) -> Result<(), Failure> {
    let world = World::new(model, seed);
    let job = Job::new(world.job(seed), Shop::default());
    let workshop = Workshop::new(model, Shop::default(), job.hidden().surroundings());
    let Some(contestant) = ours(contestants()) else {
        return Err(Failure::could_not("nobody to play beside", None));
    };
    let mut page = Page::new(manner.screen);
    intake(&job, seed, manner, &mut page);
    let sitting = Sitting::new(&workshop, job, contestant.ready(&workshop), manner.units);
    let mut table = Table {
        sitting,
        listed: Vec::new(),
        page,
    };
    let stdin = std::io::stdin();
    let echo = !stdin.is_terminal();
    let mut lines = BufReader::new(stdin.take(LARGEST));
    let told = table
        .talk(&mut lines, &mut anstream::stdout(), echo)
        .and_then(|()| {
            let other = ending::other(&world, seed, &workshop, &contestant);
            ending::tell(&table.sitting, (contestant.name, &other), &mut table.page);
            table.page.gap();
            table.page.aside("", desk::DEFERENCE);
            table.flush(&mut anstream::stdout())
        });
    match told {
        // Whoever watched has seen enough of it.
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            Err(Failure::could_not(format!("the prompt is gone: {error}"), None))
        }
        _ => Ok(()),
    }
}

/// Our strategy; the last one where it is not there.
fn ours(contestants: Vec<Contestant>) -> Option<Contestant> {
    let mut last = None;
    for contestant in contestants {
        if contestant.name == OURS {
            return Some(contestant);
        }
        last = Some(contestant);
    }
    last
}

fn intake(job: &Job, seed: u64, manner: Manner, page: &mut Page) {
    let hidden = job.hidden();
    let circuit = hidden.model().circuit();
    page.heading(&format!("Practice: {}", circuit.title));
    page.paragraph("  ", &format!("An invented vehicle with a hidden cause, seed {seed}. Readings are simulated; find the cause and repair it for as little as you can."));
    page.gap();
    let mut entry = |left: &str, text: &str| page.paragraph(&format!("  {left:<11}"), text);
    let (said, stored) = hidden.complaint();
    entry("complaint", said.unwrap_or("it does not do what it should"));
    entry("code", stored.unwrap_or("none stored"));
    let height = manner.units.plain(Dimension::Length, hidden.height().si());
    let pressure = manner
        .units
        .plain(Dimension::Pressure, hidden.surroundings().ambient.pressure);
    entry(
        "shop",
        &format!(
            "{height} above the sea, barometer near {pressure}; minutes at {:.0} an hour",
            60.0 * job.shop().rate
        ),
    );
    page.gap();
    page.text.push_str(HELP);
    page.gap();
}

/// The prompt with what it remembers.
struct Table<'w> {
    sitting: Sitting<'w>,
    /// Checks of the last list, to be chosen by number.
    listed: Vec<usize>,
    page: Page,
}

impl Table<'_> {
    /// Reads lines and answers them until the job is over, left, or there are no more.
    fn talk(&mut self, lines: &mut dyn BufRead, out: &mut dyn Write, echo: bool) -> std::io::Result<()> {
        while !self.sitting.job.is_over() {
            self.page.text.push_str("\n> ");
            self.flush(out)?;
            let mut line = Vec::new();
            if lines.read_until(b'\n', &mut line)? == 0 {
                self.page.gap();
                break;
            }
            let line = String::from_utf8_lossy(&line);
            let line: String = line
                .trim()
                .chars()
                .filter(|letter| !letter.is_control())
                .take(200)
                .collect();
            if echo {
                self.page.line(&line);
            }
            if !self.answer(&line) {
                break;
            }
        }
        self.flush(out)
    }

    fn flush(&mut self, out: &mut dyn Write) -> std::io::Result<()> {
        out.write_all(self.page.text.as_bytes())?;
        self.page.text.clear();
        out.flush()
    }

    /// Answers one line; `false` to leave.
    fn answer(&mut self, line: &str) -> bool {
        let words: Vec<&str> = line.split_whitespace().collect();
        match words.as_slice() {
            [] | ["help" | "?"] => self.page.line(HELP),
            ["quit" | "exit"] => return false,
            ["checks"] => {
                let listed = places::quickest(
                    self.sitting.model,
                    &self.sitting.job.account.bay,
                    &self.sitting.done(),
                );
                self.list(listed);
            }
            ["parts"] => self.parts(),
            ["readings"] => self.sitting.readings(&mut self.page),
            ["beyond"] => self.sitting.beyond(&mut self.page),
            ["renew"] => self.page.line("  which part? `parts` lists them"),
            ["renew", part] => self.renew(part, false),
            ["renew", part, "bench"] => self.renew(part, true),
            _ => self.choose(line),
        }
        true
    }

    /// A number of the last list, a check's id, or words to search for.
    fn choose(&mut self, line: &str) {
        let model = self.sitting.model;
        if let Ok(number) = line.parse::<usize>() {
            return match number.checked_sub(1).and_then(|index| self.listed.get(index)) {
                Some(check) => self.sitting.check(*check, &mut self.page),
                None => self.page.line("  no such number; `checks` makes a list"),
            };
        }
        if let Some(check) = model.check(line) {
            return self.sitting.check(check, &mut self.page);
        }
        let found = places::search(model, &self.sitting.job.account.bay, line);
        if found.checks.is_empty() {
            return self
                .page
                .line("  no check has these words; `checks` lists some, `help` says what else");
        }
        self.list(found);
    }

    fn list(&mut self, listed: Listed) {
        let model = self.sitting.model;
        for (number, check) in listed.checks.iter().enumerate() {
            let spec = &model.checks()[*check];
            let minutes = self.sitting.job.account.bay.minutes(model.circuit(), spec);
            self.page.line(&format!(
                "  {:>2}  {:<40}{:>3.0} min  {}: {}",
                number + 1,
                spec.id,
                minutes,
                places::called(model.circuit(), spec),
                words::manner(spec)
            ));
        }
        if listed.more > 0 {
            self.page.aside(
                "      ",
                &format!("and {} more: type words to narrow", listed.more),
            );
        }
        self.listed = listed.checks;
    }

    fn parts(&mut self) {
        for part in &self.sitting.model.circuit().parts {
            self.page.line(&format!(
                "  {:<18}{:>4.0} min {:>5.0}  {}",
                part.id, part.repair.minutes, part.repair.price, part.kind.repair.what
            ));
        }
    }

    fn renew(&mut self, name: &str, bench: bool) {
        let circuit = self.sitting.model.circuit();
        if let Some(part) = circuit.part(name) {
            return self.sitting.renew(part, bench, &mut self.page);
        }
        let near = nearest(name, circuit.parts.iter().map(|part| part.id.as_str()));
        let hint = near.map_or_else(
            || "`parts` lists them".to_owned(),
            |near| format!("did you mean `{near}`?"),
        );
        self.page.line(&format!("  there is no part `{name}`; {hint}"));
    }
}
