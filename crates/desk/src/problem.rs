//! Why something could not be done, for a person and for a program.

use diag::{Diagnostic, Severity, Source};
use std::fmt::Display;
use store::StoreError;

/// Whose move it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// What was typed or written cannot be used: say it otherwise.
    BadInput,
    /// There is no such thing.
    NotFound,
    /// What was said is right, but something else comes first.
    NotYet,
    /// What was said is right, but it could not be done.
    CouldNot,
}

/// Findings on somebody's text, with the text.
#[derive(Debug, Clone)]
pub struct Found {
    /// The text, and what it is called.
    pub source: Source,
    /// All of them, warnings too.
    pub findings: Vec<Diagnostic>,
}

/// Something that was not done, and why.
#[derive(Debug, Clone)]
pub struct Problem {
    /// Whose move it is.
    pub sort: Sort,
    /// What is wrong, and where.
    pub message: String,
    /// What to do, line by line.
    pub hint: Option<String>,
    /// The text that it is about, if it is about one.
    pub found: Option<Box<Found>>,
}

impl Problem {
    /// What was typed or written cannot be used.
    pub fn bad_input(message: impl Display, hint: Option<String>) -> Self {
        Self {
            sort: Sort::BadInput,
            message: message.to_string(),
            hint,
            found: None,
        }
    }

    /// There is no such thing.
    pub fn not_found(message: impl Display, hint: Option<String>) -> Self {
        Self {
            sort: Sort::NotFound,
            ..Self::bad_input(message, hint)
        }
    }

    /// What was said is right, but something else comes first.
    pub fn not_yet(message: impl Display, hint: Option<String>) -> Self {
        Self {
            sort: Sort::NotYet,
            ..Self::bad_input(message, hint)
        }
    }

    /// What was said is right, but it could not be done.
    pub fn could_not(message: impl Display, hint: Option<String>) -> Self {
        Self {
            sort: Sort::CouldNot,
            ..Self::bad_input(message, hint)
        }
    }

    /// The findings on `source` as a problem, if one of them is an error.
    ///
    /// # Errors
    /// The problem.
    pub fn unless_sound(source: &Source, findings: &[Diagnostic]) -> Result<(), Self> {
        let Some(first) = findings
            .iter()
            .find(|finding| finding.severity == Severity::Error)
        else {
            return Ok(());
        };
        Err(Self {
            found: Some(Box::new(Found {
                source: source.clone(),
                findings: findings.to_vec(),
            })),
            ..Self::bad_input(&first.message, first.hint.clone())
        })
    }
}

impl Display for Problem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Problem {}

impl From<StoreError> for Problem {
    fn from(error: StoreError) -> Self {
        match &error {
            StoreError::NoSuchJob { .. } | StoreError::NoSuchPhoto { .. } => Self::not_found(error, None),
            StoreError::SeveralJobs { .. }
            | StoreError::Differs { .. }
            | StoreError::Import { .. }
            | StoreError::Sums { .. }
            | StoreError::OwnSums
            | StoreError::OtherShop { .. }
            | StoreError::TooLarge { .. }
            | StoreError::Unreadable { .. } => Self::bad_input(error, None),
            _ => Self::could_not(error, None),
        }
    }
}
