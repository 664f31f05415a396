//! The font that is embedded, and words set in it: shaped, measured, broken into lines.
//!
//! The font is an open one (its licence lies beside it), condensed so that a table of readings fits on a page.

use crate::page::{Face, Words};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use rustybuzz::{Direction, ShapePlan, UnicodeBuffer, script};
use usvg::fontdb;

const PLAIN: &[u8] = include_bytes!("../../fonts/DejaVuSansCondensed.ttf");
const STRONG: &[u8] = include_bytes!("../../fonts/DejaVuSansCondensed-Bold.ttf");

/// Plain and bold.
pub(super) struct Fonts {
    plain: Cut,
    strong: Cut,
}

/// One file of the font.
struct Cut {
    face: rustybuzz::Face<'static>,
    font: Font,
    /// How Latin letters are shaped; made once, as making it takes longer than using it.
    latin: ShapePlan,
}

impl Cut {
    fn open(data: &'static [u8]) -> Option<Self> {
        let face = rustybuzz::Face::from_slice(data, 0)?;
        Some(Self {
            latin: ShapePlan::new(&face, Direction::LeftToRight, Some(script::LATIN), None, &[]),
            font: Font::new(data.into(), 0)?,
            face,
        })
    }
}

/// Words of one face, shaped; lengths in units of the font's size.
#[derive(Clone)]
pub(super) struct Shaped {
    pub(super) text: String,
    pub(super) face: Face,
    pub(super) glyphs: Vec<KrillaGlyph>,
    pub(super) width: f32,
}

/// A line: words beside each other, each with its distance from the left end.
pub(super) type Line = Vec<(f32, Shaped)>;

impl Fonts {
    /// `None` if the font in the program cannot be read.
    pub(super) fn open() -> Option<Self> {
        Some(Self {
            plain: Cut::open(PLAIN)?,
            strong: Cut::open(STRONG)?,
        })
    }

    fn cut(&self, face: Face) -> &Cut {
        if face == Face::Strong {
            &self.strong
        } else {
            &self.plain
        }
    }

    pub(super) fn font(&self, face: Face) -> Font {
        self.cut(face).font.clone()
    }

    /// `text` as glyphs.
    pub(super) fn shaped(&self, text: &str, face: Face) -> Shaped {
        let cut = self.cut(face);
        let em = f32::from(i16::try_from(cut.face.units_per_em()).unwrap_or(i16::MAX));
        // Advances are far below what an f32 holds exactly.
        #[expect(clippy::cast_precision_loss, reason = "font units are small")]
        let ems = |units: i32| units as f32 / em;
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(text);
        buffer.guess_segment_properties();
        // Figures and signs alone.
        if buffer.script() == script::UNKNOWN && buffer.direction() == Direction::LeftToRight {
            buffer.set_script(script::LATIN);
        }
        let latin = buffer.direction() == Direction::LeftToRight && buffer.script() == script::LATIN;
        let set = if latin {
            rustybuzz::shape_with_plan(&cut.face, &cut.latin, buffer)
        } else {
            rustybuzz::shape(&cut.face, &[], buffer)
        };
        let starts: Vec<usize> = set
            .glyph_infos()
            .iter()
            .map(|info| info.cluster as usize)
            .collect();
        let mut ends = starts.clone();
        ends.sort_unstable();
        ends.dedup();
        let end = |start: usize| {
            let next = ends.partition_point(|other| *other <= start);
            ends.get(next).copied().unwrap_or(text.len())
        };
        let mut width = 0.0;
        let mut glyphs = Vec::with_capacity(starts.len());
        for ((info, at), start) in set.glyph_infos().iter().zip(set.glyph_positions()).zip(starts) {
            width += ems(at.x_advance);
            glyphs.push(KrillaGlyph::new(
                GlyphId::new(info.glyph_id),
                ems(at.x_advance),
                ems(at.x_offset),
                ems(at.y_offset),
                ems(at.y_advance),
                start..end(start),
                None,
            ));
        }
        Shaped {
            text: text.to_owned(),
            face,
            glyphs,
            width,
        }
    }

    /// Width of one line of all the words, at size 1.
    pub(super) fn width(&self, words: &Words) -> f32 {
        words
            .0
            .iter()
            .map(|run| self.shaped(&clean(&run.text), run.face).width)
            .sum()
    }

    /// `words` in lines no wider than `room`, in units of the font's size. A word that is wider is broken.
    pub(super) fn lines(&self, words: &Words, room: f32) -> Vec<Line> {
        let space = self.shaped(" ", Face::Plain).width;
        let mut made = Breaking {
            fonts: self,
            room,
            space,
            lines: Vec::new(),
            line: Vec::new(),
            end: 0.0,
        };
        let mut gap = false;
        for run in &words.0 {
            let text = clean(&run.text);
            gap |= text.starts_with(' ');
            for word in text.split_whitespace() {
                made.word(word, run.face, gap);
                gap = true;
            }
            gap = text.ends_with(' ');
        }
        made.finish()
    }
}

/// Every white space and control character as one space.
fn clean(text: &str) -> String {
    text.chars()
        .map(|letter| {
            if letter.is_whitespace() || letter.is_control() {
                ' '
            } else {
                letter
            }
        })
        .collect()
}

/// Lines in the making.
struct Breaking<'f> {
    fonts: &'f Fonts,
    room: f32,
    space: f32,
    lines: Vec<Vec<(f32, String, Face)>>,
    /// Words of one face that follow each other are one piece.
    line: Vec<(f32, String, Face)>,
    end: f32,
}

impl Breaking<'_> {
    fn word(&mut self, word: &str, face: Face, gap: bool) {
        let width = self.fonts.shaped(word, face).width;
        let before = if gap && !self.line.is_empty() {
            self.space
        } else {
            0.0
        };
        if self.end + before + width <= self.room {
            return self.put(word, face, before, width);
        }
        self.next_line();
        if width <= self.room {
            return self.put(word, face, 0.0, width);
        }
        // Wider than a line: letter by letter.
        let mut kept = String::new();
        let mut wide = 0.0;
        for letter in word.chars() {
            let own = self.fonts.shaped(letter.encode_utf8(&mut [0; 4]), face).width;
            if wide + own > self.room && !kept.is_empty() {
                self.put(&kept, face, 0.0, wide);
                self.next_line();
                (kept, wide) = (String::new(), 0.0);
            }
            kept.push(letter);
            wide += own;
        }
        self.put(&kept, face, 0.0, wide);
    }

    fn put(&mut self, word: &str, face: Face, before: f32, width: f32) {
        match self.line.last_mut() {
            Some((_, text, last)) if *last == face => {
                if before > 0.0 {
                    text.push(' ');
                }
                text.push_str(word);
            }
            // The space belongs to what stands before it, so that the words stay apart when they are copied.
            Some((_, text, _)) => {
                if before > 0.0 {
                    text.push(' ');
                }
                self.line.push((self.end + before, word.to_owned(), face));
            }
            None => self.line.push((0.0, word.to_owned(), face)),
        }
        self.end += before + width;
    }

    fn next_line(&mut self) {
        if !self.line.is_empty() {
            self.lines.push(std::mem::take(&mut self.line));
        }
        self.end = 0.0;
    }

    fn finish(mut self) -> Vec<Line> {
        self.next_line();
        let shaped = |piece: (f32, String, Face)| (piece.0, self.fonts.shaped(&piece.1, piece.2));
        let lines = std::mem::take(&mut self.lines);
        lines
            .into_iter()
            .map(|line| line.into_iter().map(shaped).collect())
            .collect()
    }
}

/// The same font for drawings.
pub(super) fn options() -> usvg::Options<'static> {
    let mut options = usvg::Options::default();
    let known = options.fontdb_mut();
    let mut load = |data: &'static [u8]| {
        let loaded = known.load_font_source(fontdb::Source::Binary(std::sync::Arc::new(data)));
        loaded.first().copied()
    };
    let (plain, strong) = (load(PLAIN), load(STRONG));
    options.font_resolver.select_font =
        Box::new(move |font, _| if font.weight() >= 600 { strong } else { plain });
    options.font_resolver.select_fallback = Box::new(|_, _, _| None);
    options
}
