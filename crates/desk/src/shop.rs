//! What the shop keeps of itself beside its charges: its people, its altitude, its own instruments.

use crate::desk::Desk;
use crate::problem::Problem;
use circuit::Instrument;
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
pub const SORTS: [Instrument; 7] = [
    Instrument::VacuumGauge,
    Instrument::PressureGauge,
    Instrument::Voltmeter,
    Instrument::Ohmmeter,
    Instrument::Clamp,
    Instrument::Rule,
    Instrument::Tachometer,
];

/// An instrument of the shop. How far off it may be follows from its sort; its own name makes its error its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OwnInstrument {
    /// What it is.
    pub sort: Instrument,
    /// What the shop calls it.
    pub name: String,
}

/// What the shop keeps of itself.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ShopFacts {
    /// Who works here.
    pub people: Vec<String>,
    /// Where it stands, with its unit.
    pub altitude: Option<String>,
    /// Its instruments.
    pub instruments: Vec<OwnInstrument>,
}

impl ShopFacts {
    /// Names of the shop's instruments of a sort.
    pub fn of_sort(&self, sort: Instrument) -> Vec<&str> {
        let own = self.instruments.iter().filter(|own| own.sort == sort);
        own.map(|own| own.name.as_str()).collect()
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
            INSTRUMENTS => facts.instruments = lines(&value).filter_map(instrument).collect(),
            _ => {}
        }
    }
    Ok(facts)
}

/// Keeps what a person typed, one name a line; an instrument as `sort: name`. All of it or nothing.
///
/// # Errors
/// A line cannot be used, or the store fails.
pub fn set_shop_facts(
    desk: &mut Desk,
    people: &str,
    altitude: &str,
    instruments: &str,
) -> Result<ShopFacts, Problem> {
    let mut names: Vec<String> = Vec::new();
    for name in lines(people) {
        let name = named(name, "a person's name")?;
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let altitude = altitude_of(altitude)?;
    let mut own: Vec<OwnInstrument> = Vec::new();
    for line in lines(instruments) {
        let one = instrument(line).ok_or_else(|| {
            let sorts: Vec<&str> = SORTS.iter().map(|sort| sort.word()).collect();
            Problem::bad_input(
                format!("`{line}` is no instrument: its sort, a colon and its name are wanted"),
                Some(format!(
                    "for instance `vacuum gauge: old one`; sorts: {}",
                    sorts.join(", ")
                )),
            )
        })?;
        named(&one.name, "an instrument's name")?;
        if !own.contains(&one) {
            own.push(one);
        }
    }
    if names.len() > MOST || own.len() > MOST {
        return Err(Problem::bad_input(
            format!("more than {MOST} names cannot be kept"),
            None,
        ));
    }
    let written: Vec<String> = own
        .iter()
        .map(|own| format!("{}: {}", own.sort.word(), own.name))
        .collect();
    let values = [
        (PEOPLE, names.join("\n")),
        (ALTITUDE, altitude.clone().unwrap_or_default()),
        (INSTRUMENTS, written.join("\n")),
    ];
    for (key, value) in values {
        desk.store()
            .set(key, Some(value.as_str()).filter(|value| !value.is_empty()))?;
    }
    Ok(ShopFacts {
        people: names,
        altitude,
        instruments: own,
    })
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

fn instrument(line: &str) -> Option<OwnInstrument> {
    let (sort, name) = line.split_once(':')?;
    let (sort, name) = (sort.trim().to_lowercase(), name.trim());
    let sort = SORTS.into_iter().find(|known| known.word() == sort)?;
    (!name.is_empty()).then(|| OwnInstrument {
        sort,
        name: name.to_owned(),
    })
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
