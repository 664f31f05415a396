//! What stands on a page, whatever it is written as: blocks of words, tables and drawings, in their order.
//!
//! A page is made once and can be written in several ways that hold the same facts.

/// A page, ready to be written.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    pub(crate) title: String,
    pub(crate) invented: bool,
    pub(crate) blocks: Vec<Block>,
    pub(crate) standing: Standing,
}

/// What is the same on every page of a language.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Standing {
    /// BCP 47.
    pub(crate) language: &'static str,
    /// Below every page.
    pub(crate) foot: String,
    /// Above a page that is not of a real job.
    pub(crate) invented: String,
    /// Before what can hurt.
    pub(crate) caution: String,
    /// Between the number of a sheet and how many there are.
    pub(crate) of: String,
}

impl Page {
    /// What it is called.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// What has to stand above it if it is of no real job.
    pub fn invented(&self) -> Option<&str> {
        self.invented.then_some(&self.standing.invented)
    }

    /// The page in another language, called by its BCP 47 tag: every text of ours as `say` gives it, every drawing as `draw`
    /// does. What a person said stays as it was said.
    #[must_use]
    pub fn spoken(
        self,
        language: &'static str,
        say: &dyn Fn(&str) -> String,
        draw: &dyn Fn(&str) -> String,
    ) -> Self {
        let all = |lines: Vec<Words>| lines.into_iter().map(|words| words.spoken(say)).collect();
        let blocks = self.blocks.into_iter().map(|block| match block {
            Block::Heading(text) => Block::Heading(say(&text)),
            Block::Text(words) => Block::Text(words.spoken(say)),
            Block::List(lines) => Block::List(all(lines)),
            Block::Table { head, rows } => Block::Table {
                head: head.iter().map(|name| say(name)).collect(),
                rows: rows.into_iter().map(all).collect(),
            },
            Block::Caution(words) => Block::Caution(words.spoken(say)),
            Block::Drawing(svg) => Block::Drawing(draw(&svg)),
        });
        Self {
            title: say(&self.title),
            invented: self.invented,
            blocks: blocks.collect(),
            standing: Standing {
                language,
                foot: say(&self.standing.foot),
                invented: say(&self.standing.invented),
                caution: say(&self.standing.caution),
                of: say(&self.standing.of),
            },
        }
    }
}

const FOOT: &str = "The maker's service information, local law and licensed practice come first.";
const INVENTED: &str = "Invented example; no real vehicle or person.";

/// One thing below the other.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Block {
    Heading(String),
    Text(Words),
    List(Vec<Words>),
    Table {
        head: Vec<String>,
        rows: Vec<Vec<Words>>,
    },
    /// What can hurt, in a frame.
    Caution(Words),
    /// An SVG of our own, written out as it is.
    Drawing(String),
}

/// Words in one or several faces.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Words(pub(crate) Vec<Run>);

/// Words in one face.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Run {
    pub(crate) text: String,
    pub(crate) face: Face,
}

/// How words look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Face {
    Plain,
    Strong,
    Struck,
    /// Plain too, but said by a person: in no language of ours.
    Own,
}

impl Words {
    pub(crate) fn strong(text: impl Into<String>) -> Self {
        Self::default().then(Face::Strong, text)
    }

    pub(crate) fn struck(text: impl Into<String>) -> Self {
        Self::default().then(Face::Struck, text)
    }

    /// What a person said.
    pub(crate) fn own(text: impl Into<String>) -> Self {
        Self::default().and_own(text)
    }

    /// With what a person said after it.
    pub(crate) fn and_own(self, text: impl Into<String>) -> Self {
        self.then(Face::Own, text)
    }

    /// With more plain words after it.
    pub(crate) fn plain(self, text: impl Into<String>) -> Self {
        self.then(Face::Plain, text)
    }

    /// With other words after it.
    #[cfg(feature = "pdf")]
    pub(crate) fn and(mut self, other: &Self) -> Self {
        self.0.extend(other.0.iter().cloned());
        self
    }

    fn then(mut self, face: Face, text: impl Into<String>) -> Self {
        let text = text.into();
        if !text.is_empty() {
            self.0.push(Run { text, face });
        }
        self
    }
}

impl Words {
    fn spoken(mut self, say: &dyn Fn(&str) -> String) -> Self {
        for run in self.0.iter_mut().filter(|run| run.face != Face::Own) {
            run.text = between(&run.text, say);
        }
        self
    }
}

/// The words between spaces and marks at both ends, as `say` gives them.
fn between(text: &str, say: &dyn Fn(&str) -> String) -> String {
    let ours = |letter: char| !letter.is_whitespace() && !",:;".contains(letter);
    let Some(start) = text.find(ours) else {
        return text.to_owned();
    };
    let end = text.trim_end_matches(|letter| !ours(letter)).len();
    format!("{}{}{}", &text[..start], say(&text[start..end]), &text[end..])
}

impl<T: Into<String>> From<T> for Words {
    fn from(text: T) -> Self {
        Self::default().plain(text)
    }
}

impl Page {
    pub(crate) fn new(title: impl Into<String>, invented: bool) -> Self {
        Self {
            title: title.into(),
            invented,
            blocks: Vec::new(),
            standing: Standing {
                language: "en",
                foot: FOOT.to_owned(),
                invented: INVENTED.to_owned(),
                caution: "Caution:".to_owned(),
                of: "of".to_owned(),
            },
        }
    }

    pub(crate) fn heading(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Heading(text.into()));
    }

    pub(crate) fn text(&mut self, words: impl Into<Words>) {
        self.blocks.push(Block::Text(words.into()));
    }

    /// A heading, if it has words, with a list; nothing if the list is empty.
    pub(crate) fn list<W: Into<Words>>(&mut self, heading: &str, lines: impl IntoIterator<Item = W>) {
        let lines: Vec<Words> = lines.into_iter().map(Into::into).collect();
        if lines.is_empty() {
            return;
        }
        if !heading.is_empty() {
            self.heading(heading);
        }
        self.blocks.push(Block::List(lines));
    }

    /// A heading with a table; nothing if the table has no rows.
    pub(crate) fn table(&mut self, heading: &str, head: Vec<&'static str>, rows: Vec<Vec<Words>>) {
        if rows.is_empty() {
            return;
        }
        self.heading(heading);
        let head = head.into_iter().map(str::to_owned).collect();
        self.blocks.push(Block::Table { head, rows });
    }

    /// What can hurt, and what to do about it.
    pub(crate) fn cautions(&mut self, all: &[(String, String)]) {
        let all = all.iter().map(|(hazard, precaution)| {
            let words = Words::from(hazard.as_str()).plain(": ").plain(precaution);
            Block::Caution(words)
        });
        self.blocks.extend(all);
    }

    pub(crate) fn drawing(&mut self, svg: &str) {
        if !svg.is_empty() {
            self.blocks.push(Block::Drawing(svg.to_owned()));
        }
    }
}
