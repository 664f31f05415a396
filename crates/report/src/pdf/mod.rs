//! A page as PDF: A4, its own layout, a font embedded, text that can be selected, meaning tagged, "2 of 3" at the foot.
//!
//! No browser and no font of the machine is needed, and the same page gives the same bytes.

mod flow;
mod table;
mod type_set;

use crate::card::Card;
use crate::page::{Block, Face, Page, Standing, Words};
use flow::{Flow, HEIGHT, Ink, MARGIN, Mark, Meaning, ROOM, WIDTH};
use krilla::geom::{PathBuilder, Point, Rect, Size, Transform};
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla::paint::{Fill, Stroke};
use krilla::surface::Surface;
use krilla::tagging::{Artifact, ContentTag, Identifier, Node, Tag, TagGroup, TagTree};
use krilla::{Document, color::rgb};
use krilla_svg::{SurfaceExt as _, SvgSettings};
use type_set::{Fonts, Line};

/// Why a page could not be written.
#[derive(Debug, thiserror::Error)]
pub enum PdfError {
    /// The font in the program is damaged.
    #[error("the font for printed pages cannot be read")]
    Font,
    /// A drawing is not an SVG.
    #[error("a drawing on the page cannot be read: {0}")]
    Drawing(#[source] usvg::Error),
    /// The paper or a drawing has no size.
    #[error("a page or a drawing has no size")]
    Size,
    /// The document could not be put together.
    #[error("the document could not be put together: {0}")]
    Writing(String),
}

/// Type of running heads and feet.
const SMALL: f32 = 8.0;

impl Page {
    /// The page as PDF, on as many sheets of A4 as it takes.
    pub fn pdf(&self) -> Result<Vec<u8>, PdfError> {
        let fonts = Fonts::open().ok_or(PdfError::Font)?;
        let drawings = self.drawings()?;
        let sizes: Vec<(f32, f32)> = drawings
            .iter()
            .map(|tree| (tree.size().width(), tree.size().height()))
            .collect();
        let mut flow = Flow::new(&fonts, &sizes, &self.standing.caution);
        flow.title(&self.title);
        if let Some(mark) = self.invented() {
            flow.block(&Block::Text(Words::strong(mark)), None);
        }
        for (place, block) in self.blocks.iter().enumerate() {
            flow.block(block, self.blocks.get(place + 1));
        }
        flow.end();
        let mut writer = Writer {
            fonts: &fonts,
            drawings: &drawings,
            leaves: vec![Vec::new(); flow.leaves()],
        };
        let mut document = Document::new();
        document.set_metadata(described(&self.title, self.standing.language));
        let pages = flow.pages.len();
        for (number, marks) in flow.pages.iter().enumerate() {
            let settings = PageSettings::from_wh(WIDTH, HEIGHT).ok_or(PdfError::Size)?;
            let mut page = document.start_page_with(settings);
            let mut surface = page.surface();
            for mark in marks {
                writer.mark(&mut surface, mark)?;
            }
            writer.margins(&mut surface, self, number + 1, pages);
            surface.finish();
            page.finish();
        }
        let mut tree = TagTree::new().with_lang(Some(self.standing.language.to_owned()));
        for part in &flow.meaning {
            tree.push(writer.group(part));
        }
        document.set_tag_tree(tree);
        document
            .finish()
            .map_err(|error| PdfError::Writing(error.to_string()))
    }

    fn drawings(&self) -> Result<Vec<usvg::Tree>, PdfError> {
        let options = type_set::options();
        let svgs = self.blocks.iter().filter_map(|block| match block {
            Block::Drawing(svg) => Some(svg),
            _ => None,
        });
        svgs.map(|svg| usvg::Tree::from_str(svg, &options).map_err(PdfError::Drawing))
            .collect()
    }
}

/// Points in one of an SVG's pixels, of which 96 make an inch.
const PIXEL: f32 = 0.75;

impl Card {
    /// The card as PDF, on one sheet of its own size.
    pub fn pdf(&self) -> Result<Vec<u8>, PdfError> {
        let tree = usvg::Tree::from_str(&self.svg, &type_set::options()).map_err(PdfError::Drawing)?;
        let (width, height) = (tree.size().width() * PIXEL, tree.size().height() * PIXEL);
        let mut document = Document::new();
        document.set_metadata(described(&self.title, "en"));
        let mut page = document.start_page_with(PageSettings::from_wh(width, height).ok_or(PdfError::Size)?);
        let mut surface = page.surface();
        let drawn = surface.start_tagged(ContentTag::Other);
        let size = Size::from_wh(width, height).ok_or(PdfError::Size)?;
        surface
            .draw_svg(&tree, size, SvgSettings::default())
            .ok_or(PdfError::Size)?;
        surface.end_tagged();
        surface.finish();
        page.finish();
        let mut tree = TagTree::new().with_lang(Some("en".to_owned()));
        tree.push(TagGroup::with_children(Tag::P, vec![drawn.into()]));
        document.set_tag_tree(tree);
        document
            .finish()
            .map_err(|error| PdfError::Writing(error.to_string()))
    }
}

fn described(title: &str, language: &str) -> Metadata {
    Metadata::new()
        .title(title.to_owned())
        .language(language.to_owned())
}

/// Puts marks on paper, and remembers what belongs to which meaning.
struct Writer<'w> {
    fonts: &'w Fonts,
    drawings: &'w [usvg::Tree],
    leaves: Vec<Vec<Identifier>>,
}

impl Writer<'_> {
    fn mark(&mut self, surface: &mut Surface, mark: &Mark) -> Result<(), PdfError> {
        let tag = if mark.leaf.is_some() {
            ContentTag::Other
        } else {
            ContentTag::Artifact(Artifact::default())
        };
        let own = surface.start_tagged(tag);
        if let Some(leaf) = mark.leaf {
            self.leaves[leaf].push(own);
        }
        let drawn = self.ink(surface, &mark.ink);
        surface.end_tagged();
        drawn
    }

    fn ink(&self, surface: &mut Surface, ink: &Ink) -> Result<(), PdfError> {
        match ink {
            Ink::Words { x, y, size, line } => self.words(surface, *x, *y, *size, line),
            Ink::Rule { x, y, width } => rule(surface, *x, *y, *width, 0.5),
            Ink::Frame { x, y, width, height } => {
                let mut path = PathBuilder::new();
                path.push_rect(Rect::from_xywh(*x, *y, *width, *height).ok_or(PdfError::Size)?);
                stroke(surface, path, 1.5);
            }
            Ink::Picture {
                drawing,
                x,
                y,
                width,
                height,
            } => {
                let size = Size::from_wh(*width, *height).ok_or(PdfError::Size)?;
                surface.push_transform(&Transform::from_translate(*x, *y));
                let drawn = surface.draw_svg(&self.drawings[*drawing], size, SvgSettings::default());
                surface.pop();
                drawn.ok_or(PdfError::Size)?;
            }
        }
        Ok(())
    }

    fn words(&self, surface: &mut Surface, x: f32, y: f32, size: f32, line: &Line) {
        surface.set_stroke(None);
        surface.set_fill(Some(Fill {
            paint: rgb::Color::black().into(),
            ..Fill::default()
        }));
        for (left, words) in line {
            let x = x + left * size;
            surface.draw_glyphs(
                Point::from_xy(x, y),
                &words.glyphs,
                self.fonts.font(words.face),
                &words.text,
                size,
                false,
            );
            if words.face == Face::Struck {
                rule(surface, x, y - 0.27 * size, words.width * size, 0.7);
            }
        }
    }

    /// Running head and foot: a loose sheet says where it belongs.
    fn margins(&self, surface: &mut Surface, page: &Page, number: usize, pages: usize) {
        let Standing { foot, of, .. } = &page.standing;
        surface.start_tagged(ContentTag::Artifact(Artifact::default()));
        let room = (ROOM - 60.0) / SMALL;
        let one_line = |text: &str| {
            self.fonts
                .lines(&text.into(), room)
                .into_iter()
                .next()
                .unwrap_or_default()
        };
        if number > 1 {
            self.words(surface, MARGIN, MARGIN + SMALL, SMALL, &one_line(&page.title));
            rule(surface, MARGIN, MARGIN + SMALL + 4.0, ROOM, 0.5);
        }
        let y = HEIGHT - MARGIN;
        rule(surface, MARGIN, y - SMALL - 3.0, ROOM, 0.5);
        self.words(surface, MARGIN, y, SMALL, &one_line(foot));
        let place = one_line(&format!("{number} {of} {pages}"));
        let wide: f32 = place.iter().map(|(_, words)| words.width * SMALL).sum();
        self.words(surface, MARGIN + ROOM - wide, y, SMALL, &place);
        surface.end_tagged();
    }

    fn group(&self, meaning: &Meaning) -> Node {
        let own = meaning
            .leaf
            .iter()
            .flat_map(|leaf| self.leaves[*leaf].iter().map(|id| Node::from(*id)));
        let parts = meaning.parts.iter().map(|part| self.group(part));
        TagGroup::with_children(meaning.kind.clone(), own.chain(parts).collect()).into()
    }
}

fn rule(surface: &mut Surface, x: f32, y: f32, width: f32, thick: f32) {
    let mut path = PathBuilder::new();
    path.move_to(x, y);
    path.line_to(x + width, y);
    stroke(surface, path, thick);
}

fn stroke(surface: &mut Surface, path: PathBuilder, thick: f32) {
    surface.set_fill(None);
    surface.set_stroke(Some(Stroke {
        paint: rgb::Color::black().into(),
        width: thick,
        ..Stroke::default()
    }));
    if let Some(path) = path.finish() {
        surface.draw_path(&path);
    }
    surface.set_stroke(None);
}
