//! Why a command gave no answer, and the exit code that says so.

use crate::findings;
use desk::{Problem, Sort};
use std::fmt::{Display, Write as _};
use store::StoreError;

/// A command that gave no answer.
#[derive(Debug)]
pub(crate) struct Failure {
    /// 1: could not do it. 2: bad input.
    pub(crate) code: u8,
    /// For standard error; may hold colours.
    pub(crate) text: String,
}

impl Failure {
    /// What was typed or written cannot be used.
    pub(crate) fn bad_input(message: impl Display, hint: Option<String>) -> Self {
        Self {
            code: 2,
            text: told(message, hint),
        }
    }

    /// What was typed is right, but it could not be done.
    pub(crate) fn could_not(message: impl Display, hint: Option<String>) -> Self {
        Self {
            code: 1,
            text: told(message, hint),
        }
    }
}

impl From<Problem> for Failure {
    fn from(problem: Problem) -> Self {
        let text = match &problem.found {
            Some(found) => findings::with_count(&found.source, &found.findings),
            None => told(&problem.message, problem.hint),
        };
        let code = match problem.sort {
            Sort::BadInput | Sort::NotFound => 2,
            Sort::NotYet | Sort::CouldNot => 1,
        };
        Self { code, text }
    }
}

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Self {
        Problem::from(error).into()
    }
}

/// One complaint in the form that findings have.
pub(crate) fn told(message: impl Display, hint: Option<String>) -> String {
    use owo_colors::OwoColorize;
    let mut text = format!("{}{} {message}\n", "error".red().bold(), ":".bold());
    for line in hint.unwrap_or_default().lines() {
        let _ = writeln!(text, "  {line}");
    }
    text
}
