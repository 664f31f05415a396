//! A circuit as a drawing: layout, scene, SVG, terminal.
//!
//! [`layout`] gives every part and line its place; [`svg`] and [`text`] draw it with what is known written on it
//! ([`Notes`]). A page that styles its drawings itself ([`Sheet::Outside`], [`stylesheet`]) can have every part and measuring
//! point as a button or link ([`Touch`]). Sources stand on the left, loads on the right. This crate computes no physics and shows no figure it was
//! not given.

mod bands;
mod card;
mod curves;
mod drawing;
mod face;
mod figure;
mod flow;
mod geometry;
mod layers;
mod matrix;
mod notes;
mod order;
mod place;
mod plan;
mod route;
mod shape;
mod sheet;
mod sides;
mod straighten;
mod svg;
mod symbol;
mod text;
mod trends;
mod words;

#[cfg(test)]
mod tests;

pub use card::{
    CardAction, CardBranch, CardGiven, CardStep, CardTarget, TestCard, card_fits, fullest_card, test_card,
};
pub use curves::{CURVES_STYLE, Curves, Line, Mark, Pane, Step, curves_svg, curves_svg_unstyled};
pub use drawing::{Drawing, layout};
pub use geometry::{Point, Rect, Segment};
pub use matrix::{Matrix, matrix_svg, matrix_text};
pub use notes::{JointNote, Notes, PartNote};
pub use svg::{Sheet, Style, Theme, Touch, stylesheet, svg};
pub use text::text;
pub use trends::{TrendPane, trends_svg};
