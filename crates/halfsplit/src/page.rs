//! An answer as it is built, and its way to the terminal.
//!
//! Colours are always written and taken out again on the way to anything that is no terminal, or where `NO_COLOR` is set.

use crate::failure::Failure;
use owo_colors::OwoColorize;
use std::io::{ErrorKind, Write};
use std::process::ExitCode;

/// What a command has to say.
#[derive(Debug, Default)]
pub(crate) struct Answer {
    /// For standard output.
    pub(crate) out: String,
    /// For standard error: warnings.
    pub(crate) err: String,
}

/// The terminal as far as it matters.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Screen {
    /// Columns.
    pub(crate) width: usize,
    /// Plain characters only.
    pub(crate) ascii: bool,
}

impl Screen {
    /// The terminal at hand; 100 columns where there is none, at most 120 because longer lines read badly.
    pub(crate) fn of(ascii: bool) -> Self {
        let columns = std::env::var("COLUMNS")
            .ok()
            .and_then(|columns| columns.parse().ok());
        let seen = || terminal_size::terminal_size().map(|(width, _)| usize::from(width.0));
        Self {
            width: columns.or_else(seen).unwrap_or(100).clamp(40, 120),
            ascii,
        }
    }
}

/// Text built line by line, wrapped to the screen.
#[derive(Debug)]
pub(crate) struct Page {
    pub(crate) text: String,
    pub(crate) screen: Screen,
}

impl Page {
    pub(crate) fn new(screen: Screen) -> Self {
        Self {
            text: String::new(),
            screen,
        }
    }

    /// A heading with an empty line above.
    pub(crate) fn heading(&mut self, text: &str) {
        if !self.text.is_empty() {
            self.text.push('\n');
        }
        self.line(&text.bold().to_string());
    }

    /// A line as it is.
    pub(crate) fn line(&mut self, text: &str) {
        self.text.push_str(text.trim_end());
        self.text.push('\n');
    }

    /// An empty line.
    pub(crate) fn gap(&mut self) {
        self.text.push('\n');
    }

    /// A paragraph: `first` before its first line, as many blanks before the others.
    pub(crate) fn paragraph(&mut self, first: &str, text: &str) {
        self.styled(first, text, str::to_owned);
    }

    /// A paragraph in red: a caution.
    pub(crate) fn caution(&mut self, first: &str, text: &str) {
        self.styled(first, text, |line| line.red().bold().to_string());
    }

    /// A paragraph that an expert skips.
    pub(crate) fn aside(&mut self, first: &str, text: &str) {
        self.styled(first, text, |line| line.dimmed().to_string());
    }

    fn styled(&mut self, first: &str, text: &str, style: impl Fn(&str) -> String) {
        let indent = first.chars().count();
        for (index, line) in wrapped(text, self.screen.width.saturating_sub(indent).max(20))
            .iter()
            .enumerate()
        {
            let start = if index == 0 {
                first.to_owned()
            } else {
                " ".repeat(indent)
            };
            self.line(&format!("{start}{}", style(line)));
        }
    }
}

/// `text` in lines of at most `width` characters, broken at blanks.
pub(crate) fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let last = lines.len() - 1;
        let length = lines[last].chars().count();
        if length > 0 && length + 1 + word.chars().count() > width {
            lines.push(word.to_owned());
        } else {
            if length > 0 {
                lines[last].push(' ');
            }
            lines[last].push_str(word);
        }
    }
    lines
}

/// Prints an answer.
pub(crate) fn print(answer: &Answer) -> ExitCode {
    // A terminal that is gone cannot be told so.
    let _ = anstream::stderr().write_all(answer.err.as_bytes());
    let mut out = anstream::stdout();
    match out.write_all(answer.out.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => ExitCode::SUCCESS,
        // Whoever read the answer has seen enough of it: `| head`.
        Err(error) if error.kind() == ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(_) => ExitCode::from(1),
    }
}

/// Prints why there is no answer.
pub(crate) fn complain(failure: &Failure) -> ExitCode {
    let _ = anstream::stderr().write_all(failure.text.as_bytes());
    ExitCode::from(failure.code)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, width: usize, expected: &[&str]) {
        assert_eq!(wrapped(text, width), expected, "{text:?} at {width}");
    }

    #[test]
    fn lines_break_at_blanks() {
        check("pull the hose off", 9, &["pull the", "hose off"]);
        check("pull the hose off", 100, &["pull the hose off"]);
        check("", 10, &[""]);
        // A word that is too long stays whole: it is an id that somebody copies.
        check(
            "at deadhead:valve.source@idle now",
            10,
            &["at", "deadhead:valve.source@idle", "now"],
        );
    }
}
