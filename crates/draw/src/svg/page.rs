//! What stands above and below the drawing: title and legend.

use super::{Canvas, MARGIN, put};
use crate::words::{escaped, lines, width};
use circuit::{Medium, PartId};
use std::fmt::Write as _;

/// Height of the title's first line, and of each further one.
const TITLE: i32 = 26;
const TITLE_LINE: i32 = 17;
/// Font sizes of a title; one that is too long for the smallest takes several lines.
const TITLE_SIZES: std::ops::RangeInclusive<i32> = 12..=15;
/// Height of the legend's first line, and of a second.
const LEGEND: i32 = 30;
const LEGEND_LINE: i32 = 20;
/// Font size of the legend.
const SMALL_SIZE: i32 = 11;
/// Length of a line in the legend, the distance of its word, and the space behind it.
const SAMPLE: (i32, i32, i32) = (26, 32, 16);
/// Width of a hatching in the legend.
const PATCH: i32 = 18;
const DENSER: &str = "denser: likelier the cause";

/// Height that the title takes.
pub(super) fn heading_height(heading: &[String]) -> i32 {
    match i32::try_from(heading.len()).unwrap_or(0) {
        0 => 0,
        lines => TITLE + (lines - 1) * TITLE_LINE,
    }
}

impl Canvas<'_> {
    /// The title in as many lines as it needs.
    pub(super) fn heading(&self, room: i32) -> Vec<String> {
        let title = self.full_title();
        if width(&title, *TITLE_SIZES.start()) <= room {
            return vec![title];
        }
        lines(&title, *TITLE_SIZES.end(), room)
    }

    /// Writes the title, in smaller letters where there is little room.
    pub(super) fn title(&mut self, heading: &[String], room: i32) {
        let fits = |size: &i32| heading.iter().all(|line| width(line, *size) <= room);
        let size = TITLE_SIZES.rev().find(fits).unwrap_or(*TITLE_SIZES.start());
        let mut y = MARGIN + 8;
        for line in heading {
            let shown = escaped(line);
            put!(
                self,
                r#"<text class="title" x="{MARGIN}" y="{y}" font-size="{size}">{shown}</text>"#
            );
            y += TITLE_LINE;
        }
    }

    /// The media in use, with their words.
    fn media(&self) -> Vec<(Medium, &'static str)> {
        let media = [
            (Medium::Air, "air"),
            (Medium::Electric, "current"),
            (Medium::Rod, "rod"),
            (Medium::Liquid, "liquid"),
        ];
        let used = |medium: Medium| self.circuit.joints.iter().any(|joint| joint.medium == medium);
        media.into_iter().filter(|(medium, _)| used(*medium)).collect()
    }

    fn has_suspects(&self) -> bool {
        (0..self.circuit.parts.len()).any(|part| self.notes.share(PartId(part)).is_some())
    }

    /// Length of the part of the legend that explains lines.
    fn lines_explained(&self) -> i32 {
        let media = self.media().into_iter();
        media
            .map(|(_, word)| SAMPLE.1 + width(word, SMALL_SIZE) + SAMPLE.2)
            .sum()
    }

    /// `true` if the shading is explained on a line of its own.
    fn in_two_lines(&self, room: i32) -> bool {
        self.has_suspects() && self.lines_explained() + 4 * PATCH + 6 + width(DENSER, SMALL_SIZE) > room
    }

    /// Height that the legend takes.
    pub(super) fn legend_height(&self, room: i32) -> i32 {
        LEGEND + if self.in_two_lines(room) { LEGEND_LINE } else { 0 }
    }

    /// The legend, in what is left free above `bottom`.
    pub(super) fn legend(&mut self, bottom: i32, room: i32) {
        let two = self.in_two_lines(room);
        let mut y = bottom - if two { LEGEND_LINE } else { 0 };
        let mut x = MARGIN;
        for (medium, word) in self.media() {
            self.medium(medium, &format!("M{x} {}h{}", y - 4, SAMPLE.0));
            put!(
                self,
                r#"<text class="small" x="{}" y="{y}">{word}</text>"#,
                x + SAMPLE.1
            );
            x += SAMPLE.1 + width(word, SMALL_SIZE) + SAMPLE.2;
        }
        if !self.has_suspects() {
            return;
        }
        if two {
            (x, y) = (MARGIN, bottom);
        }
        for level in 1..=4 {
            let id = self.hatch_id(level);
            put!(
                self,
                r#"<rect class="frame" x="{x}" y="{}" width="{PATCH}" height="12" fill="url(#{id})"/>"#,
                y - 10
            );
            x += PATCH;
        }
        put!(
            self,
            r#"<text class="small" x="{}" y="{y}">{DENSER}</text>"#,
            x + 6
        );
    }
}
