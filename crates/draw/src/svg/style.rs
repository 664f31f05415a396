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

/// How to draw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Style {
    /// Colours.
    pub theme: Theme,
    /// Write the title above the drawing.
    pub title: bool,
    /// Explain lines and shading below the drawing.
    pub legend: bool,
    /// Width in drawing units (words are about 10 high) beyond which the sheet is cut into bands below each other.
    /// `None`: never.
    pub width: Option<u32>,
}

impl Default for Style {
    fn default() -> Self {
        Self {
            theme: Theme::Auto,
            title: true,
            legend: true,
            width: None,
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
    suspect: "#000",
    reading: "#000",
    next: "#000",
};

/// Everything but colours.
const SHAPES: &str = "\
.circuit text{font-family:system-ui,'DejaVu Sans','Segoe UI',Roboto,Arial,sans-serif}
.circuit path,.circuit rect,.circuit circle{fill:none;stroke-linecap:butt;stroke-linejoin:round}
.circuit .upright{stroke-linecap:square}
.circuit .line,.circuit .heavy{stroke-linecap:round}
.circuit .air{stroke-width:3.4}
.circuit .electric{stroke-width:1.6}
.circuit .rod{stroke-width:5}
.circuit .core{stroke-width:2.4}
.circuit .outline,.circuit .line{stroke-width:1.5}
.circuit .heavy{stroke-width:2.4}
.circuit .dashed{stroke-width:1.2;stroke-dasharray:4 3}
.circuit .solid{stroke:none}
.circuit .hatch{stroke-width:1.3}
.circuit .frame{stroke-width:1.2}
.circuit .next{stroke-width:2.6}
.circuit .spot{stroke-width:1.2}
.circuit .touch{fill:transparent;stroke:none}
.circuit .title{font-weight:600}
.circuit .small{font-size:10px}
.circuit .id{font-size:12px;font-weight:600}
.circuit .share{font-size:11px;font-weight:700}
.circuit .note{font-size:10px}
.circuit .port{font-size:9px}
.circuit .reading{font-size:10px;font-weight:600}
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
             .circuit .electric{{stroke:{electric}}}\n.circuit .rod{{stroke:{rod}}}\n.circuit .core{{stroke:{paper}}}\n\
             .circuit .dot.air{{fill:{air}}}\n.circuit .dot.electric{{fill:{electric}}}\n.circuit .dot.rod{{fill:{rod}}}\n\
             .circuit .spot{{fill:{paper};stroke:{ink}}}\n.circuit .port,.circuit .small{{fill:{faint}}}\n\
             .circuit .hatch,.circuit .frame{{stroke:{suspect}}}\n.circuit .share{{fill:{suspect}}}\n\
             .circuit .reading{{fill:{reading}}}\n.circuit .next{{stroke:{next}}}\n.circuit .pointer{{fill:{next}}}\n"
        );
        sheet
    }
}

/// The style sheet for `theme`.
pub(crate) fn sheet(theme: Theme) -> String {
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
