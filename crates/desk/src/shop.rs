//! What the shop keeps of itself beside its charges: its people, its altitude, its own instruments.

use crate::charges::{self, Charges};
use crate::desk::Desk;
use crate::problem::Problem;
use circuit::{AccuracyClass, Instrument};
use quantity::Dimension;

const PEOPLE: &str = "shop.people";
const ALTITUDE: &str = "shop.altitude";
const INSTRUMENTS: &str = "shop.instruments";

/// Longest name of a person or an instrument, letters.
const LONGEST: usize = 80;
/// Names of one sort at most.
const MOST: usize = 200;
/// Altitudes at which vehicles are worked on, m.
const ALTITUDES: std::ops::RangeInclusive<f64> = -500.0..=6_000.0;

/// Sorts of instruments that a shop owns.
pub const SORTS: [Instrument; 15] = [
    Instrument::VacuumGauge,
    Instrument::PressureGauge,
    Instrument::Voltmeter,
    Instrument::Ohmmeter,
    Instrument::Clamp,
    Instrument::Rule,
    Instrument::Tachometer,
    Instrument::FuelGauge,
    Instrument::MeasuringCan,
    Instrument::Thermometer,
    Instrument::DutyMeter,
    Instrument::HandPump,
    Instrument::LeakUnit,
    Instrument::LowGauge,
    Instrument::SmokeMaker,
];

/// An instrument of the shop: its own name makes its error its own, so that two gauges can disagree.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnInstrument {
    /// What it is.
    pub sort: Instrument,
    /// What the shop calls it.
    pub name: String,
    /// How right it is; without it, as such instruments usually are.
    pub accuracy: Option<AccuracyClass>,
}

/// `vacuum gauge: the old one = class 1.6`, which [`OwnInstrument::read`] reads.
impl std::fmt::Display for OwnInstrument {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {}", self.sort.word(), self.name)?;
        match &self.accuracy {
            Some(accuracy) => write!(f, " = {accuracy}"),
            None => Ok(()),
        }
    }
}

impl OwnInstrument {
    /// An instrument from its sort, a colon, its name, and behind a `=` how right it is, if that is known.
    ///
    /// # Errors
    /// The line is none.
    pub fn read(line: &str) -> Result<Self, Problem> {
        let Some((sort, rest)) = line.split_once(':') else {
            return Err(no_instrument(line));
        };
        let (name, accuracy) = match rest.rsplit_once('=') {
            Some((name, accuracy)) => (name, Some(accuracy)),
            None => (rest, None),
        };
        Self::new(sort, name, accuracy)
    }

    /// The same from its parts.
    ///
    /// # Errors
    /// The sort is not known, the name is none, or the accuracy none of such an instrument.
    pub fn new(sort: &str, name: &str, accuracy: Option<&str>) -> Result<Self, Problem> {
        let (word, name) = (sort.trim().to_lowercase(), name.trim());
        let known = SORTS.into_iter().find(|known| known.word() == word);
        let Some(sort) = known.filter(|_| !name.is_empty()) else {
            return Err(no_instrument(&format!("{}: {name}", sort.trim())));
        };
        if name.contains('=') {
            return Err(Problem::bad_input(
                format!("`{name}`: an instrument's name has no `=`"),
                Some("how right it is stands behind a `=`: `vacuum gauge: old one = class 1.6`".to_owned()),
            ));
        }
        let accuracy = accuracy.map(str::trim).filter(|accuracy| !accuracy.is_empty());
        let accuracy = accuracy
            .map(|accuracy| AccuracyClass::read(accuracy, sort))
            .transpose();
        Ok(Self {
            sort,
            name: named(name, "an instrument's name")?,
            accuracy: accuracy
                .map_err(|error| Problem::bad_input(format!("{name}: {error}"), Some(error.hint())))?,
        })
    }

    /// As it was kept; a name that an older version let pass stays what it was.
    fn kept(line: &str) -> Option<Self> {
        let plain = || {
            let (sort, name) = line.split_once(':')?;
            let sort = SORTS.into_iter().find(|known| known.word() == sort.trim())?;
            Some(Self {
                sort,
                name: name.trim().to_owned(),
                accuracy: None,
            })
        };
        Self::read(line).ok().or_else(plain)
    }
}

fn no_instrument(line: &str) -> Problem {
    let sorts: Vec<&str> = SORTS.iter().map(|sort| sort.word()).collect();
    Problem::bad_input(
        format!("`{line}` is no instrument: its sort, a colon and its name are wanted"),
        Some(format!(
            "for instance `vacuum gauge: old one` or `vacuum gauge: new one = class 1.6`; sorts: {}",
            sorts.join(", ")
        )),
    )
}

/// What the shop keeps of itself.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ShopFacts {
    /// Who works here.
    pub people: Vec<String>,
    /// Where it stands, with its unit.
    pub altitude: Option<String>,
    /// Its instruments.
    pub instruments: Vec<OwnInstrument>,
}

impl ShopFacts {
    /// The shop's instruments of a sort.
    pub fn of_sort(&self, sort: Instrument) -> Vec<&OwnInstrument> {
        self.instruments.iter().filter(|own| own.sort == sort).collect()
    }

    /// The shop's instrument of a sort that is called so, however its letters are written.
    pub fn own(&self, sort: Instrument, name: &str) -> Option<&OwnInstrument> {
        let own = self.of_sort(sort);
        let exactly = own.iter().find(|own| own.name == name);
        let nearly = || {
            own.iter()
                .find(|own| own.name.to_lowercase() == name.to_lowercase())
        };
        exactly.or_else(nearly).copied()
    }
}

/// What the shop keeps of itself; what an older or a newer version wrote there and nobody can read is left out.
///
/// # Errors
/// The store fails.
pub fn shop_facts(desk: &mut Desk) -> Result<ShopFacts, Problem> {
    let mut facts = ShopFacts::default();
    for (key, value) in desk.store().settings()? {
        match key.as_str() {
            PEOPLE => facts.people = lines(&value).map(str::to_owned).collect(),
            ALTITUDE => facts.altitude = Some(value),
            INSTRUMENTS => facts.instruments = lines(&value).filter_map(OwnInstrument::kept).collect(),
            _ => {}
        }
    }
    Ok(facts)
}

/// Keeps what a person typed, one name a line; an instrument as [`OwnInstrument::read`] reads it. All of it or nothing.
///
/// # Errors
/// A line cannot be used, or the store fails.
pub fn set_shop_facts(
    desk: &mut Desk,
    people: &str,
    altitude: &str,
    instruments: &str,
) -> Result<ShopFacts, Problem> {
    let own = lines(instruments).map(OwnInstrument::read);
    let facts = ShopFacts {
        people: lines(people).map(str::to_owned).collect(),
        altitude: Some(altitude.to_owned()),
        instruments: own.collect::<Result<_, _>>()?,
    };
    keep_shop(desk, &Charges::default(), facts)
}

/// What the shop is, each person and each instrument once, with the last accuracy of a name.
///
/// # Errors
/// Something of it cannot be.
pub fn checked_facts(facts: ShopFacts) -> Result<ShopFacts, Problem> {
    let mut kept = ShopFacts {
        altitude: altitude_of(facts.altitude.as_deref().unwrap_or_default())?,
        ..ShopFacts::default()
    };
    for name in facts.people {
        let name = named(name.trim(), "a person's name")?;
        if !name.is_empty() && !kept.people.contains(&name) {
            kept.people.push(name);
        }
    }
    for own in facts.instruments {
        let same = |known: &&mut OwnInstrument| known.sort == own.sort && known.name == own.name;
        match kept.instruments.iter_mut().find(same) {
            Some(known) => *known = own,
            None => kept.instruments.push(own),
        }
    }
    if kept.people.len() > MOST || kept.instruments.len() > MOST {
        return Err(Problem::bad_input(
            format!("more than {MOST} names cannot be kept"),
            None,
        ));
    }
    Ok(kept)
}

/// Keeps what the shop charges, as far as it is given, and what it is; says the latter. All of it or nothing.
///
/// # Errors
/// Something of it cannot be, or the store fails.
pub fn keep_shop(desk: &mut Desk, charges: &Charges, facts: ShopFacts) -> Result<ShopFacts, Problem> {
    let charges = charges::values(charges)?;
    let kept = checked_facts(facts)?;
    let written: Vec<String> = kept.instruments.iter().map(ToString::to_string).collect();
    let facts = [
        (PEOPLE, kept.people.join("\n")),
        (ALTITUDE, kept.altitude.clone().unwrap_or_default()),
        (INSTRUMENTS, written.join("\n")),
    ];
    let facts = facts
        .iter()
        .map(|(key, value)| (*key, Some(value.as_str()).filter(|value| !value.is_empty())));
    let charges = charges.iter().map(|(key, value)| (*key, Some(value.as_str())));
    desk.store().set_all(&charges.chain(facts).collect::<Vec<_>>())?;
    Ok(kept)
}

/// An altitude with its unit, metres where none is said; `None` for nothing.
///
/// # Errors
/// It is none, or no vehicle is worked on there.
pub fn altitude_of(text: &str) -> Result<Option<String>, Problem> {
    let text = text.trim().replace(',', ".");
    if text.is_empty() {
        return Ok(None);
    }
    let text = if text.ends_with(|last: char| last.is_ascii_digit()) {
        format!("{text} m")
    } else {
        text
    };
    let wrong = |why: String| {
        Problem::bad_input(
            format!("`{text}` cannot be the altitude: {why}"),
            Some("metres above the sea, for instance 440 m".to_owned()),
        )
    };
    let parsed = quantity::parse(&text, &[Dimension::Length]).map_err(|error| wrong(error.to_string()))?;
    if ALTITUDES.contains(&parsed.quantity.si()) {
        Ok(Some(text))
    } else {
        Err(wrong("no road leads there".to_owned()))
    }
}

fn lines(text: &str) -> impl Iterator<Item = &str> {
    text.lines().map(str::trim).filter(|line| !line.is_empty())
}

fn named(name: &str, what: &str) -> Result<String, Problem> {
    if name.chars().count() > LONGEST || name.chars().any(char::is_control) {
        return Err(Problem::bad_input(
            format!("{what} may have {LONGEST} letters at most, on one line"),
            None,
        ));
    }
    Ok(name.to_owned())
}
