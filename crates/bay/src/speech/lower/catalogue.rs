//! The entries: read once from files that are part of the program.

use super::pattern::{Pattern, Piece, pieces};
use std::collections::{BTreeMap, HashMap};
use std::sync::LazyLock;
use toml::de::{DeTable, DeValue};

/// The files, by room, each a table whose keys are English texts.
pub(super) const FILES: [(&str, &str); 10] = [
    ("checks.toml", include_str!("checks.toml")),
    ("kinds.toml", include_str!("kinds.toml")),
    ("circuits.toml", include_str!("circuits.toml")),
    ("newer.toml", include_str!("newer.toml")),
    ("timed.toml", include_str!("timed.toml")),
    ("charge.toml", include_str!("charge.toml")),
    ("job.toml", include_str!("job.toml")),
    ("paper.toml", include_str!("paper.toml")),
    ("plan.toml", include_str!("plan.toml")),
    ("refusals.toml", include_str!("refusals.toml")),
];

/// The languages of an entry, as they are called there.
const LANGUAGES: [&str; 2] = ["de", "es"];

/// A key with holes and its texts.
#[derive(Debug)]
pub(super) struct Entry {
    pub(super) key: Pattern,
    texts: [Vec<Piece>; 2],
}

impl Entry {
    pub(super) fn said(&self, language: usize) -> &[Piece] {
        &self.texts[language]
    }
}

/// All entries.
#[derive(Debug, Default)]
pub(super) struct Catalogue {
    /// Those without holes.
    plain: HashMap<String, [String; 2]>,
    /// Those with holes by the letter they begin with, the surest first; none if they begin with a hole.
    patterns: BTreeMap<Option<char>, Vec<Entry>>,
}

impl Catalogue {
    /// The texts of just this one.
    pub(super) fn plain(&self, text: &str) -> Option<&[String; 2]> {
        self.plain.get(text)
    }

    /// The patterns that `text` may be made by, those that begin as it does first.
    pub(super) fn patterns_for(&self, text: &str) -> impl Iterator<Item = &Entry> {
        let of = |letter| self.patterns.get(&letter).into_iter().flatten();
        of(text.chars().next()).chain(of(None))
    }

    /// Reads the files; every entry that is not whole is told.
    pub(super) fn read(files: &[(&str, &str)]) -> (Self, Vec<String>) {
        let (mut catalogue, mut wrong) = (Self::default(), Vec::new());
        for (name, text) in files {
            match DeTable::parse(text) {
                Ok(table) => {
                    for (key, value) in table.get_ref() {
                        if let Err(error) = catalogue.take(key.get_ref(), value.get_ref()) {
                            wrong.push(format!("{name}: {error}"));
                        }
                    }
                }
                Err(error) => wrong.push(format!("{name}: {error}")),
            }
        }
        for patterns in catalogue.patterns.values_mut() {
            patterns.sort_by_key(|entry| std::cmp::Reverse(entry.key.letters));
        }
        (catalogue, wrong)
    }

    fn take(&mut self, key: &str, value: &DeValue<'_>) -> Result<(), String> {
        let text = |language: &str| {
            let text = value.as_table().and_then(|table| table.get(language));
            let text = text.and_then(|text| text.get_ref().as_str()).map(str::trim);
            text.filter(|text| !text.is_empty())
                .ok_or_else(|| format!("`{key}` has no `{language}`"))
        };
        let [german, spanish] = LANGUAGES.map(text);
        let (german, spanish) = (german?, spanish?);
        let (own, holes) = pieces(key)?;
        if holes.is_empty() {
            let before = self
                .plain
                .insert(key.to_owned(), [german.to_owned(), spanish.to_owned()]);
            return before.map_or(Ok(()), |_| Err(format!("`{key}` stands twice")));
        }
        let mut names: Vec<&str> = holes.iter().map(|hole| hole.name.as_str()).collect();
        names.sort_unstable();
        let mut texts = [Vec::new(), Vec::new()];
        for (place, text) in texts.iter_mut().zip([german, spanish]) {
            let (said, given) = pieces(text)?;
            let mut given: Vec<&str> = given.iter().map(|hole| hole.name.as_str()).collect();
            given.sort_unstable();
            if given != names {
                return Err(format!("`{key}` has other holes than `{text}`"));
            }
            *place = said;
        }
        let first = match own.first() {
            Some(Piece::Text(text)) => text.chars().next(),
            _ => None,
        };
        let key = Pattern::new(&own, holes);
        self.patterns.entry(first).or_default().push(Entry { key, texts });
        Ok(())
    }
}

/// The entries of this program. What could not be read is left out, so that pages stay English; a test reads all.
pub(super) fn catalogue() -> &'static Catalogue {
    static CATALOGUE: LazyLock<Catalogue> = LazyLock::new(|| Catalogue::read(&FILES).0);
    &CATALOGUE
}
