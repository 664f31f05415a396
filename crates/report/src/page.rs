//! What stands on a page, whatever it is written as: blocks of words, tables and drawings, in their order.
//!
//! A page is made once and can be written in several ways that hold the same facts.

/// A page, ready to be written.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    pub(crate) title: String,
    pub(crate) invented: bool,
    pub(crate) blocks: Vec<Block>,
}

impl Page {
    /// What it is called.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// What has to stand above it if it is of no real job.
    pub fn invented(&self) -> Option<&'static str> {
        self.invented.then_some(INVENTED)
    }
}

/// Stands below every page.
pub(crate) const FOOT: &str = "The maker's service information, local law and licensed practice come first.";
/// Stands above a page that is not of a real job.
pub(crate) const INVENTED: &str = "Invented example; no real vehicle or person.";

/// One thing below the other.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Block {
    Heading(String),
    Text(Words),
    List(Vec<Words>),
    Table {
        head: Vec<&'static str>,
        rows: Vec<Vec<Words>>,
    },
    /// What can hurt, in a frame.
    Caution(String),
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
}

impl Words {
    pub(crate) fn strong(text: impl Into<String>) -> Self {
        Self::default().then(Face::Strong, text)
    }

    pub(crate) fn struck(text: impl Into<String>) -> Self {
        Self::default().then(Face::Struck, text)
    }

    /// With more plain words after it.
    pub(crate) fn plain(self, text: impl Into<String>) -> Self {
        self.then(Face::Plain, text)
    }

    fn then(mut self, face: Face, text: impl Into<String>) -> Self {
        let text = text.into();
        if !text.is_empty() {
            self.0.push(Run { text, face });
        }
        self
    }
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
        self.blocks.push(Block::Table { head, rows });
    }

    pub(crate) fn cautions(&mut self, lines: &[String]) {
        self.blocks.extend(lines.iter().cloned().map(Block::Caution));
    }

    pub(crate) fn drawing(&mut self, svg: &str) {
        if !svg.is_empty() {
            self.blocks.push(Block::Drawing(svg.to_owned()));
        }
    }
}
