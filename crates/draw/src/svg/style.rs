//! Colours and line styles of an SVG, as a style sheet of its own.
//!
//! Colour never stands alone: media differ by weight and pattern, suspicion by the density of hatching and a figure, so a
//! drawing reads the same on a black and white printer.

use std::fmt::Write as _;

/// Which colours to use.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Theme {
    /// Light or dark as the reader's device prefers; black on white when printed.
    #[default]
    Auto,
    /// Dark ink on light paper.
    Light,
    /// Light ink on a dark ground.
    Dark,
    /// Black on white.
    Print,
}

/// Where an SVG takes its style sheet from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Sheet {
    /// It brings its own and stands alone.
    #[default]
    Inside,
    /// The page gives [`stylesheet`]; the drawing has neither style element nor style attribute, as a strict content
    /// security policy demands.
    Outside,
}

/// What answers to a finger.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Touch {
    /// Nothing: a picture.
    #[default]
    Nothing,
    /// Every part and every measuring point is a button that takes the focus; the page's script looks at `data-part` and
    /// `data-joint`.
    Buttons,
    /// Every part and every measuring point is a link. In each template `{}` stands for the part's id or the joint's name,
    /// percent-encoded: `/jobs/7/parts/{}`.
    Links {
        /// Where a part leads.
        part: String,
        /// Where a joint leads.
        joint: String,
    },
}

/// How to draw.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Style {
    /// Colours; of no account where the sheet is [`Sheet::Outside`].
    pub theme: Theme,
    /// Write the title above the drawing.
    pub title: bool,
    /// Explain lines and shading below the drawing.
    pub legend: bool,
    /// Width in drawing units (words are 11 high and more) beyond which the sheet is cut into bands below each other.
    /// `None`: never.
    pub width: Option<u32>,
    /// Where the style sheet is.
    pub sheet: Sheet,
    /// What answers to a finger.
    pub touch: Touch,
    /// Tell the page its size in pixels, one per unit: it then scrolls where it is too wide, instead of shrinking its words.
    pub natural: bool,
}

impl Style {
    /// For a page that has the style sheet and a heading of its own: as wide as that, in its natural size, without title
    /// and legend.
    pub fn within(width: u32) -> Self {
        Self {
            title: false,
            legend: false,
            width: Some(width),
            sheet: Sheet::Outside,
            natural: true,
            ..Self::default()
        }
    }
}

impl Default for Style {
    fn default() -> Self {
        Self {
            theme: Theme::Auto,
            title: true,
            legend: true,
            width: None,
            sheet: Sheet::Inside,
            touch: Touch::Nothing,
            natural: false,
        }
    }
}

struct Palette {
    paper: &'static str,
    ink: &'static str,
    faint: &'static str,
    air: &'static str,
    electric: &'static str,
    rod: &'static str,
    liquid: &'static str,
    suspect: &'static str,
    reading: &'static str,
    next: &'static str,
}

const LIGHT: Palette = Palette {
    paper: "#fdfcf9",
    ink: "#1d2127",
    faint: "#5b6470",
    air: "#1b5e8f",
    electric: "#6a3d0f",
    rod: "#4a5058",
    liquid: "#1f6a45",
    suspect: "#7a3f9d",
    reading: "#0f4c5c",
    next: "#c2257f",
};

const DARK: Palette = Palette {
    paper: "#15191e",
    ink: "#e8e6e1",
    faint: "#a3acb8",
    air: "#79bdf0",
    electric: "#e3b27a",
    rod: "#c3c8cf",
    liquid: "#7fd3a6",
    suspect: "#c79be6",
    reading: "#8fd6e6",
    next: "#ff7fc4",
};

const PRINT: Palette = Palette {
    paper: "#fff",
    ink: "#000",
    faint: "#333",
    air: "#000",
    electric: "#000",
    rod: "#000",
    liquid: "#000",
    suspect: "#000",
    reading: "#000",
    next: "#000",
};

/// Everything but colours.
const SHAPES: &str = "\
.circuit text{font-family:system-ui,'DejaVu Sans','Segoe UI',Roboto,Arial,sans-serif}
.circuit{fill:none;stroke-linecap:butt;stroke-linejoin:round}
.circuit .upright{stroke-linecap:square}
.circuit .line,.circuit .heavy{stroke-linecap:round}
.circuit .air{stroke-width:3.4}
.circuit .electric{stroke-width:1.6}
.circuit .rod{stroke-width:5}
.circuit .liquid{stroke-width:4.2;stroke-dasharray:14 2.4 3 2.4}
.circuit .liquid.upright{stroke-dasharray:9.8 6.6 .01 6.6}
.circuit .core{stroke-width:2.4;stroke-dasharray:9 2}
.circuit .outline,.circuit .line{stroke-width:1.5}
.circuit .heavy{stroke-width:2.4}
.circuit .dashed{stroke-width:1.2;stroke-dasharray:4 3}
.circuit .solid{stroke:none}
.circuit .hatch{stroke-width:1.3}
.circuit .halo{stroke-width:6}
.circuit .frame{stroke-width:1.2}
.circuit .next{stroke-width:2.6}
.circuit .spot{stroke-width:1.2}
.circuit .touch{fill:none;stroke:none;pointer-events:all}
.circuit [tabindex],.circuit a{cursor:pointer}
.circuit [tabindex]:focus,.circuit a:focus{outline:none}
.circuit [tabindex]:focus-visible .touch,.circuit a:focus-visible .touch{stroke-width:3}
.circuit .title{font-weight:600}
.circuit .small{font-size:11px}
.circuit .id{font-size:12px;font-weight:600}
.circuit .share{font-size:12px;font-weight:700}
.circuit .note{font-size:11px}
.circuit .port{font-size:11px}
.circuit .reading{font-size:11px;font-weight:600}
";

impl Palette {
    fn sheet(&self) -> String {
        let Self {
            paper,
            ink,
            faint,
            air,
            electric,
            rod,
            liquid,
            suspect,
            reading,
            next,
        } = self;
        let mut sheet = String::new();
        // Writing to a string cannot fail.
        let _ = write!(
            sheet,
            ".circuit .paper{{fill:{paper}}}\n.circuit text,.circuit .solid{{fill:{ink}}}\n.circuit .outline{{fill:{paper};stroke:{ink}}}\n\
             .circuit .line,.circuit .heavy,.circuit .dashed{{stroke:{ink}}}\n.circuit .air{{stroke:{air}}}\n\
             .circuit .electric{{stroke:{electric}}}\n.circuit .rod{{stroke:{rod}}}\n.circuit .liquid{{stroke:{liquid}}}\n.circuit .core{{stroke:{paper}}}\n\
             .circuit .dot.air{{fill:{air}}}\n.circuit .dot.electric{{fill:{electric}}}\n.circuit .dot.rod{{fill:{rod}}}\n.circuit .dot.liquid{{fill:{liquid}}}\n\
             .circuit .spot{{fill:{paper};stroke:{ink}}}\n.circuit .halo{{stroke:{paper}}}\n.circuit .port,.circuit .small{{fill:{faint}}}\n\
             .circuit .hatch,.circuit .frame{{stroke:{suspect}}}\n.circuit .share{{fill:{suspect}}}\n\
             .circuit .reading{{fill:{reading}}}\n.circuit .next{{stroke:{next}}}\n.circuit .pointer{{fill:{next}}}\n\
             .circuit [tabindex]:focus-visible .touch,.circuit a:focus-visible .touch{{stroke:{next}}}\n"
        );
        sheet
    }
}

/// The style sheet of a drawing in `theme`, for a page whose drawings are [`Sheet::Outside`].
///
/// All its rules begin with `.circuit`, the class of the drawing's root. Groups: `.part` (with `data-part`, `data-kind`) and
/// `.joint` (with `data-joint`). In them:
///
/// - lines by medium: `.air`, `.electric`, `.liquid`, `.rod` with its `.core`; `.upright` pieces; `.dot` where a line branches
/// - symbols: `.outline`, `.line`, `.heavy`, `.dashed`, `.solid`, `.paper`
/// - suspects: `.shade` (with `data-level` 1 to 4), made of `.hatch`es and a `.frame`, with a `.halo` of paper around the symbol; `.share` is the figure
/// - words: `.title`, `.id`, `.note`, `.port`, `.reading`, `.small`
/// - places: `.spot` where one can measure, `.next` and `.pointer` at the next check, `.touch` the unseen area for a finger
pub fn stylesheet(theme: Theme) -> String {
    let colours = match theme {
        Theme::Light => LIGHT.sheet(),
        Theme::Dark => DARK.sheet(),
        Theme::Print => PRINT.sheet(),
        Theme::Auto => format!(
            "{}@media screen and (prefers-color-scheme:dark){{\n{}}}\n@media print{{\n{}}}\n",
            LIGHT.sheet(),
            DARK.sheet(),
            PRINT.sheet()
        ),
    };
    format!("{SHAPES}{colours}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance of `#rgb` or `#rrggbb`, WCAG 2.2, section "relative luminance".
    fn luminance(colour: &str) -> f64 {
        let digits = &colour[1..];
        let value = |place: usize| {
            let text = match digits.len() {
                3 => digits[place..=place].repeat(2),
                _ => digits[2 * place..2 * place + 2].to_owned(),
            };
            let share = f64::from(u8::from_str_radix(&text, 16).unwrap()) / 255.0;
            if share <= 0.04045 {
                share / 12.92
            } else {
                ((share + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * value(0) + 0.7152 * value(1) + 0.0722 * value(2)
    }

    fn contrast(a: &str, b: &str) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn contrast_of_black_and_white() {
        assert!((contrast("#000", "#ffffff") - 21.0).abs() < 1e-9);
    }

    /// WCAG 2.2, level AA: 4.5 for words (1.4.3), 3 for what has to be seen (1.4.11).
    #[test]
    fn everything_stands_out_from_the_paper() {
        for (theme, palette) in [("light", LIGHT), ("dark", DARK), ("print", PRINT)] {
            let words = [palette.ink, palette.faint, palette.suspect, palette.reading];
            let lines = [
                palette.air,
                palette.electric,
                palette.rod,
                palette.liquid,
                palette.next,
            ];
            for (colour, least) in words
                .map(|colour| (colour, 4.5))
                .into_iter()
                .chain(lines.map(|colour| (colour, 3.0)))
            {
                let found = contrast(colour, palette.paper);
                assert!(
                    found >= least,
                    "{theme}: {colour} on {} has {found:.2}",
                    palette.paper
                );
            }
        }
    }

    /// Media differ without colour: by weight, liquid by being dashed, and the rod by being double and ticked.
    #[test]
    fn media_differ_without_colour() {
        let rule = |class: &str| {
            let start = SHAPES.find(&format!(".circuit .{class}{{")).unwrap();
            SHAPES[start..].split(['{', '}']).nth(1).unwrap()
        };
        assert!(rule("air") != rule("electric") && rule("rod") != rule("air"));
        assert!(rule("liquid") != rule("air") && rule("liquid").contains("dasharray"));
        assert!(rule("core").contains("dasharray"));
    }
}
