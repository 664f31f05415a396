//! The bay's own sentences, one function each, by page. A sentence without a text in every language does not compile, nor
//! does a text that names what it is not given; a test sees to it that none leaves out what another says.

/// A sentence as its entry has it: English, German, Spanish.
#[cfg(test)]
#[derive(Debug)]
pub(crate) struct Entry {
    pub(crate) key: &'static str,
    pub(crate) texts: [&'static str; 3],
}

/// `key: English, German, Spanish;` or `key(given): ...;` with `{given}` in the texts.
macro_rules! catalogue {
    ($entries:ident: $($key:ident $(($($given:ident),+))?: $english:literal, $german:literal, $spanish:literal;)+) => {
        $(pub(crate) fn $key($($($given: impl std::fmt::Display),+)?) -> String {
            match $crate::speech::manner().language {
                $crate::speech::Language::English => format!($english),
                $crate::speech::Language::German => format!($german),
                $crate::speech::Language::Spanish => format!($spanish),
            }
        })+
        #[cfg(test)]
        pub(crate) static $entries: &[$crate::speech::said::Entry] =
            &[$($crate::speech::said::Entry { key: stringify!($key), texts: [$english, $german, $spanish] }),+];
    };
}

/// The same with a number that chooses between one and several.
macro_rules! counted {
    ($entries:ident: $($key:ident ($count:ident $(, $given:ident)*): $english:tt, $german:tt, $spanish:tt;)+) => {
        $(pub(crate) fn $key($count: usize $(, $given: impl std::fmt::Display)*) -> String {
            match $crate::speech::manner().language {
                $crate::speech::Language::English => counted!(@ $count, $english),
                $crate::speech::Language::German => counted!(@ $count, $german),
                $crate::speech::Language::Spanish => counted!(@ $count, $spanish),
            }
        })+
        #[cfg(test)]
        pub(crate) static $entries: &[$crate::speech::said::Entry] = &[$($crate::speech::said::Entry {
            key: stringify!($key),
            texts: [counted!(@ $english), counted!(@ $german), counted!(@ $spanish)],
        }),+];
    };
    (@ $count:ident, [$one:literal, $several:literal]) => {
        if $count == 1 { format!($one) } else { format!($several) }
    };
    // What is said of several leaves nothing out; of one, the number may be a word.
    (@ [$one:literal, $several:literal]) => { $several };
}

mod drives;
mod front;
mod job;
mod learn;
mod shop;
mod work;

pub(crate) use drives::*;
pub(crate) use front::*;
pub(crate) use job::*;
pub(crate) use learn::*;
pub(crate) use shop::*;
pub(crate) use work::*;

/// Every entry.
#[cfg(test)]
pub(crate) fn entries() -> impl Iterator<Item = &'static Entry> {
    let all = [
        front::FRAME,
        front::SCRIPTS,
        front::JOBS,
        front::NOT_DONE,
        job::CHECK,
        job::CAUTIONS,
        job::JOB,
        job::COUNTS,
        job::STAGES,
        job::STEPS,
        job::RECORD,
        job::HOOKUP,
        job::PLAN,
        drives::DRIVES,
        work::OFFER,
        work::REPAIR,
        work::PROOF,
        work::CLOSING,
        work::PAPER,
        learn::CIRCUITS,
        learn::COUNTS,
        learn::DESCRIBING,
        learn::WHAT_IF,
        learn::PRACTICE,
        learn::STEPS_BACK,
        shop::SETTINGS,
        shop::DEVICES,
        shop::MINUTES,
    ];
    all.into_iter().flatten()
}
