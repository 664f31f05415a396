//! A card's scene as a standalone SVG in black on white, sized in millimetres.

use super::data::CardAction;
use super::scene::{Mark, Scene};
use crate::geometry::{Point, Rect, Segment};
use crate::words::escaped;
use std::fmt::Write as _;

/// Outlines by kind of step: thin, heavy, dashed. Nothing is told apart by colour.
const STYLE: &str = "\
.card text{font-family:'DejaVu Sans Condensed','Liberation Sans',Arial,Helvetica,'Nimbus Sans',Roboto,sans-serif;fill:#000}
.card text.bold{font-weight:700}
.card text.white{fill:#fff}
.card path,.card rect{fill:none;stroke:#000;stroke-linejoin:miter}
.card .paper{fill:#fff;stroke:none}
.card .check{stroke-width:9}
.card .replace{stroke-width:22}
.card .beyond{stroke-width:12;stroke-dasharray:40 25}
.card .solid{fill:#000;stroke:none}
.card .tick{fill:#fff;stroke-width:6}
.card .branch{stroke-width:14;stroke-linecap:square}
.card .origin{stroke-width:9}
.card .rule{stroke-width:5}
.card .warning{stroke-width:9;stroke-linejoin:round}
.card .dashes{stroke-width:7;stroke-dasharray:22 16}
";

/// Adds formatted markup. Writing to a string cannot fail, so the result is dropped.
macro_rules! put {
    ($out:expr, $($arg:tt)*) => {{ let _ = writeln!($out, $($arg)*); }};
}

/// `scene` on a page of `width` by `height` tenths of a point.
pub(crate) fn svg(scene: &Scene, width: i32, height: i32, title: &str, about: &str) -> String {
    let mut out = String::new();
    let (title, about) = (escaped(title), escaped(about));
    let (wide, high) = (millimetres(width), millimetres(height));
    put!(
        out,
        r#"<svg xmlns="http://www.w3.org/2000/svg" class="card" width="{wide}mm" height="{high}mm" viewBox="0 0 {width} {height}" role="img" aria-label="{title}">"#
    );
    put!(out, "<title>{title}</title>");
    put!(out, "<desc>{about}</desc>");
    put!(
        out,
        "<style>\n@page{{size:{wide}mm {high}mm;margin:0}}\n{STYLE}</style>"
    );
    put!(out, r#"<rect class="paper" width="{width}" height="{height}"/>"#);
    for mark in &scene.marks {
        draw(&mut out, mark);
    }
    out.push_str("</svg>\n");
    out
}

/// A tenth of a point is 25.4 / 720 mm; whole ones are enough for paper.
fn millimetres(tenths: i32) -> i32 {
    (tenths * 254 + 3600) / 7200
}

fn draw(out: &mut String, mark: &Mark) {
    match mark {
        Mark::Words {
            at,
            baseline,
            size,
            bold,
            white,
            words,
        } => {
            let class = match (bold, white) {
                (true, true) => r#" class="bold white""#,
                (true, false) => r#" class="bold""#,
                (false, true) => r#" class="white""#,
                (false, false) => "",
            };
            let words = escaped(words);
            put!(
                out,
                r#"<text{class} x="{}" y="{baseline}" font-size="{size}">{words}</text>"#,
                at.x
            );
        }
        Mark::Frame { at, action, .. } => frame(out, *at, *action),
        Mark::Block { at } | Mark::Tab { at } => rectangle(out, "solid", *at),
        Mark::Origin { at } => rectangle(out, "origin", *at),
        Mark::Tick { at } => rectangle(out, "tick", *at),
        Mark::Dashes { at } => rectangle(out, "dashes", *at),
        Mark::Branch { piece } => line(out, "branch", *piece),
        Mark::Rule { piece } => line(out, "rule", *piece),
        Mark::Arrow { tip, down } => arrow(out, *tip, *down),
        Mark::Warning { at } => warning(out, *at),
    }
}

/// A check has square corners, a repair cut ones, what lies beyond round ones.
fn frame(out: &mut String, at: Rect, action: CardAction) {
    let Rect { x, y, width, height } = at;
    match action {
        CardAction::Check => rectangle(out, "check", at),
        CardAction::Replace => {
            let cut = 50.min(height / 3).min(width / 3);
            put!(
                out,
                r#"<path class="replace" d="M{} {y}h{}l{cut} {cut}v{}l-{cut} {cut}h-{}l-{cut} -{cut}v-{}z"/>"#,
                x + cut,
                width - 2 * cut,
                height - 2 * cut,
                width - 2 * cut,
                height - 2 * cut
            );
        }
        CardAction::LookBeyond => put!(
            out,
            r#"<rect class="beyond" x="{x}" y="{y}" width="{width}" height="{height}" rx="{}"/>"#,
            80.min(height / 2)
        ),
    }
}

fn rectangle(out: &mut String, class: &str, at: Rect) {
    let Rect { x, y, width, height } = at;
    put!(
        out,
        r#"<rect class="{class}" x="{x}" y="{y}" width="{width}" height="{height}"/>"#
    );
}

fn line(out: &mut String, class: &str, piece: Segment) {
    let (a, b) = (piece.a, piece.b);
    put!(
        out,
        r#"<path class="{class}" d="M{} {}L{} {}"/>"#,
        a.x,
        a.y,
        b.x,
        b.y
    );
}

fn arrow(out: &mut String, tip: Point, down: bool) {
    let shape = if down { "l-32 -55h64z" } else { "l-55 -32v64z" };
    put!(out, r#"<path class="solid" d="M{} {}{shape}"/>"#, tip.x, tip.y);
}

/// The triangle with a stroke and a dot in it, as on any warning sign.
fn warning(out: &mut String, at: Rect) {
    let Rect { x, y, width, height } = at;
    let middle = x + width / 2;
    put!(
        out,
        r#"<path class="warning" d="M{middle} {y}L{} {}H{x}z"/>"#,
        x + width,
        y + height
    );
    put!(
        out,
        r#"<path class="warning" d="M{middle} {}v{}M{middle} {}v4"/>"#,
        y + height * 38 / 100,
        height * 26 / 100,
        y + height * 82 / 100
    );
}
