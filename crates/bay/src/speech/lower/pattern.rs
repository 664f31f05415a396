//! A text with holes, and the search for it in another.

/// What stands in a hole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// A text, looked up by itself.
    Free,
    /// One word: what a part, a joint, a check is called.
    Name,
    /// Such names with commas and an "and".
    Names,
    /// Figures with their units.
    Figure,
    /// An amount with its currency: `95.30 EUR`.
    Money,
    /// What a person said.
    Said,
}

/// A hole in a key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Hole {
    pub(super) name: String,
    pub(super) kind: Kind,
}

/// A stretch of a text with holes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Piece {
    Text(String),
    /// By its name.
    Hole(String),
}

/// The pieces of a text, and its holes in order.
///
/// # Errors
/// A brace has no partner, or a kind of hole is not known.
pub(super) fn pieces(text: &str) -> Result<(Vec<Piece>, Vec<Hole>), String> {
    let (mut pieces, mut holes) = (Vec::new(), Vec::new());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        let (inside, behind) = after
            .split_once('}')
            .ok_or_else(|| format!("`{text}`: a brace stays open"))?;
        let (name, kind) = inside.split_once(':').unwrap_or((inside, ""));
        let kind = match kind {
            "" => Kind::Free,
            "name" => Kind::Name,
            "names" => Kind::Names,
            "figure" => Kind::Figure,
            "money" => Kind::Money,
            "said" => Kind::Said,
            other => return Err(format!("`{text}`: there is no `{other}` hole")),
        };
        if !before.is_empty() {
            pieces.push(Piece::Text(before.to_owned()));
        }
        pieces.push(Piece::Hole(name.to_owned()));
        holes.push(Hole {
            name: name.to_owned(),
            kind,
        });
        rest = behind;
    }
    if !rest.is_empty() {
        pieces.push(Piece::Text(rest.to_owned()));
    }
    Ok((pieces, holes))
}

/// A key with holes, ready to be looked for.
#[derive(Debug, Clone)]
pub(super) struct Pattern {
    /// What stands before the first hole, between holes, behind the last: one more than holes.
    between: Vec<String>,
    pub(super) holes: Vec<Hole>,
    /// Letters that are not in holes: the more, the surer.
    pub(super) letters: usize,
}

impl Pattern {
    pub(super) fn new(pieces: &[Piece], holes: Vec<Hole>) -> Self {
        let mut between = vec![String::new()];
        for piece in pieces {
            match (piece, between.last_mut()) {
                (Piece::Text(text), Some(last)) => last.push_str(text),
                _ => between.push(String::new()),
            }
        }
        let letters = between.iter().map(String::len).sum();
        Self {
            between,
            holes,
            letters,
        }
    }

    /// What stands in the holes, if `text` is made like this.
    pub(super) fn matches<'t>(&self, text: &'t str) -> Option<Vec<&'t str>> {
        let rest = text.strip_prefix(self.between[0].as_str())?;
        if !text.ends_with(self.between[self.holes.len()].as_str()) {
            return None;
        }
        let mut given = Vec::with_capacity(self.holes.len());
        self.rest(rest, 0, &mut given).then_some(given)
    }

    /// Fills the holes from `hole` on, the shortest first.
    fn rest<'t>(&self, text: &'t str, hole: usize, given: &mut Vec<&'t str>) -> bool {
        let Some(kind) = self.holes.get(hole).map(|hole| hole.kind) else {
            return text.is_empty();
        };
        let next = self.between[hole + 1].as_str();
        if hole + 1 == self.holes.len() {
            return match text.strip_suffix(next) {
                Some(inside) if fits(kind, inside) => {
                    given.push(inside);
                    true
                }
                _ => false,
            };
        }
        if next.is_empty() {
            return false;
        }
        for (at, _) in text.match_indices(next) {
            if fits(kind, &text[..at]) {
                given.push(&text[..at]);
                if self.rest(&text[at + next.len()..], hole + 1, given) {
                    return true;
                }
                given.pop();
            }
        }
        false
    }
}

fn fits(kind: Kind, text: &str) -> bool {
    match kind {
        _ if text.is_empty() => false,
        Kind::Free | Kind::Said => true,
        Kind::Name => !text.contains(' '),
        Kind::Names => {
            let words = text
                .split([',', ' '])
                .filter(|word| !word.is_empty() && *word != "and");
            // In a list every name has its comma or its "and".
            text.split(", ").flat_map(|one| one.split(" and ")).count() == words.count()
        }
        Kind::Figure => super::neutral(text),
        Kind::Money => text
            .split_once(' ')
            .is_some_and(|(amount, currency)| !currency.contains(' ') && amount.parse::<f64>().is_ok()),
    }
}
