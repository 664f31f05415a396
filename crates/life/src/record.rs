//! A lesson as it is kept: one short line, because a shop may keep a million of them.
//!
//! A JSON array `[form, circuit, found, causes, services, checks]`; services are `[kind, ended, km, days, count]`, checks
//! `[check, method, minutes]`. A form, once published, is never changed; the next one is read beside it.

use crate::lesson::{Cause, Ended, Found, Lesson, Service, Spent, Unfit};
use serde::{Deserialize, Serialize};

/// The newest form.
const FORM: u32 = 1;

/// Kind, end, kilometres, days, count.
type Served<S> = (S, u8, Option<f64>, Option<f64>, u32);
/// Form, circuit, found, causes, services, checks.
type Row<S> = (u32, S, u8, Vec<S>, Vec<Served<S>>, Vec<(S, S, f64)>);

/// Why a line is no lesson.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Unreadable {
    /// A newer program wrote it.
    #[error("the lesson has form {found}, and this program understands forms up to {FORM}")]
    Newer {
        /// Its form.
        found: u64,
    },
    /// It is no lesson, or not whole.
    #[error("not a lesson: {0}")]
    Broken(String),
    /// Its figures cannot be.
    #[error(transparent)]
    Unfit(#[from] Unfit),
}

impl Lesson {
    /// The lesson as one line.
    pub fn write(&self) -> String {
        let causes = self.causes.iter();
        let causes: Vec<String> = causes
            .map(|cause| format!("{}/{}", cause.part, cause.fault))
            .collect();
        let services = self.parts.iter().map(|service| {
            let Service {
                distance_km,
                age_days,
                count,
                ..
            } = *service;
            (
                service.kind.as_str(),
                number_of(&ENDED, &service.ended),
                distance_km,
                age_days,
                count,
            )
        });
        let checks = self.checks.iter();
        let row: Row<&str> = (
            FORM,
            &self.circuit,
            number_of(&FOUND, &self.found),
            causes.iter().map(String::as_str).collect(),
            services.collect(),
            checks
                .map(|spent| (spent.check.as_str(), spent.method.as_str(), spent.minutes))
                .collect(),
        );
        text(&row)
    }

    /// The lesson of a line.
    ///
    /// # Errors
    /// [`Unreadable`]: a newer form, or no lesson.
    pub fn read(line: &str) -> Result<Self, Unreadable> {
        let value: serde_json::Value =
            serde_json::from_str(line).map_err(|error| Unreadable::Broken(error.to_string()))?;
        match value[0].as_u64() {
            Some(found) if found > u64::from(FORM) => Err(Unreadable::Newer { found }),
            _ => lesson(
                Row::<String>::deserialize(value).map_err(|error| Unreadable::Broken(error.to_string()))?,
                |name| {
                    name.split_once('/')
                        .map(|(part, fault)| (part.to_owned(), fault.to_owned()))
                },
            ),
        }
    }
}

impl<'l> Lesson<&'l str> {
    /// The lesson of a line without copies; `None` where [`Lesson::read`] says more: a newer form, no lesson, or a name with
    /// an escaped character.
    pub(crate) fn borrowed(line: &'l str) -> Option<Self> {
        let row: Row<&'l str> = serde_json::from_str(line).ok()?;
        lesson(row, |name| name.split_once('/')).ok()
    }
}

/// A row of plain values is always written: it holds no map and nobody else's way of writing.
fn text(row: &impl Serialize) -> String {
    serde_json::to_string(row).unwrap_or_default()
}

fn lesson<S>(
    (form, circuit, found, causes, services, checks): Row<S>,
    parted: impl Fn(S) -> Option<(S, S)>,
) -> Result<Lesson<S>, Unreadable> {
    if form != FORM {
        return Err(Unreadable::Broken(format!("form {form}; forms begin with 1")));
    }
    let cause = |name: S| -> Result<Cause<S>, Unreadable> {
        let (part, fault) =
            parted(name).ok_or_else(|| Unreadable::Broken("a cause without `/`".to_owned()))?;
        Ok(Cause { part, fault })
    };
    let service = |served: Served<S>| -> Result<Service<S>, Unreadable> {
        let (kind, ended, distance_km, age_days, count) = served;
        Ok(Service {
            kind,
            distance_km,
            age_days,
            ended: of_number(&ENDED, ended, "end of a service")?,
            count,
        })
    };
    let spent = |(check, method, minutes): (S, S, f64)| Spent {
        check,
        method,
        minutes,
    };
    Ok(Lesson {
        circuit,
        found: of_number(&FOUND, found, "outcome")?,
        causes: causes.into_iter().map(cause).collect::<Result<_, Unreadable>>()?,
        parts: services
            .into_iter()
            .map(service)
            .collect::<Result<_, Unreadable>>()?,
        checks: checks.into_iter().map(spent).collect(),
    })
}

/// What the numbers stand for; never reordered.
const FOUND: [Found; 4] = [
    Found::Cause,
    Found::NothingWrong,
    Found::NotListed,
    Found::Nothing,
];
const ENDED: [Ended; 3] = [Ended::Failed, Ended::StillGood, Ended::BadFromNew];

fn number_of<T: PartialEq>(all: &[T], one: &T) -> u8 {
    let place = all.iter().position(|known| known == one);
    // Every value stands in its table, and the tables are short.
    place
        .and_then(|place| u8::try_from(place).ok())
        .unwrap_or_default()
}

fn of_number<T: Copy>(all: &[T], number: u8, what: &str) -> Result<T, Unreadable> {
    let found = all.get(usize::from(number)).copied();
    found.ok_or_else(|| Unreadable::Broken(format!("no {what} has the number {number}")))
}
