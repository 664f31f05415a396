//! Where the boxes go: every box with what hangs below it gets a column of the sheet, and columns are cut so that the
//! whole becomes as low as it can.
//!
//! Below a box its outcomes stand in one or more columns side by side. In each, a line runs down at the left; outcomes are
//! set in, but for the last, to which the line runs straight: a long chain of checks does not drift to the right. Boxes
//! lie in rectangles of their own, so no line crosses anything. The least height of a box for every width follows from
//! those of the boxes below it.

use super::block::{NARROWEST, NARROWEST_END, Piece, Setting, WIDEST, block, end, tab};
use super::columns::{GAP, Outcomes};
use super::scene::{Mark, Scene};
use super::tree::{Arm, End, Forest};
use crate::geometry::{Point, Segment};

/// Widths are tried in steps of about this, the whole width being a multiple.
const UNIT: i32 = 105;
/// Units by which outcomes are set in.
pub(crate) const SET_IN: usize = 1;
/// Where the line runs, from the column's left edge.
const RAIL: i32 = 45;
/// Above an outcome to which the line comes from the side.
pub(crate) const ABOVE: i32 = 42;
/// Above one to which it comes from above: the arrow needs room.
pub(crate) const ABOVE_LAST: i32 = 82;
/// From a box to the line across its columns.
pub(crate) const BUS: i32 = 32;
/// No height: there is not enough width.
pub(crate) const NEVER: i32 = 100_000_000;

/// Least heights of the boxes of a forest, for every width.
pub(crate) struct Plan<'a> {
    setting: Setting<'a>,
    forest: &'a Forest,
    /// Length of a unit, and how many the sheet is wide.
    unit: i32,
    units: usize,
    /// By box and width in units: the box with all that hangs below it.
    heights: Vec<Vec<i32>>,
}

impl<'a> Plan<'a> {
    /// For a sheet with `width` to write on.
    pub(crate) fn new(setting: Setting<'a>, forest: &'a Forest, width: i32) -> Self {
        let units = (width / UNIT).max(1);
        let mut plan = Self {
            setting,
            forest,
            unit: width / units,
            units: usize::try_from(units).unwrap_or(0),
            heights: vec![Vec::new(); forest.nodes.len()],
        };
        for node in (0..forest.nodes.len()).rev() {
            plan.heights[node] = plan.measure(node);
        }
        plan
    }

    /// The whole height; `None` where the sheet is too narrow.
    pub(crate) fn height(&self) -> Option<i32> {
        let roots = self.roots();
        let height = roots.height(self.units);
        (height < NEVER).then_some(height)
    }

    /// Draws everything with its top left corner at the origin.
    pub(crate) fn draw(&self) -> Scene {
        let mut scene = Scene::default();
        let mut open: Vec<(usize, Point, usize)> = Vec::new();
        let roots = self.roots();
        let mut x = 0;
        for (roots, width) in roots.columns(self.units) {
            let mut y = 0;
            for root in roots {
                let node = self.forest.roots[root];
                open.push((node, Point { x, y }, width));
                y += self.heights[node][width] + ABOVE_LAST;
            }
            x += self.length(width + GAP);
        }
        while let Some((node, at, width)) = open.pop() {
            self.draw_node(node, at, width, &mut scene, &mut open);
        }
        scene
    }

    fn measure(&self, node: usize) -> Vec<i32> {
        let outcomes = self.outcomes(node);
        // Boxes wider than the widest are all the same.
        let (mut measured, mut own) = (0, NEVER);
        let mut height = |width: usize| {
            let length = self.length(width).min(WIDEST);
            if length >= NARROWEST && length > measured {
                measured = length;
                own = block(self.setting, &self.forest.nodes[node], length).height;
            }
            own.saturating_add(outcomes.height(width)).min(NEVER)
        };
        (0..=self.units).map(&mut height).collect()
    }

    /// Units as a length.
    fn length(&self, units: usize) -> i32 {
        i32::try_from(units).unwrap_or(0) * self.unit
    }

    fn roots(&self) -> Outcomes {
        let heights = self.forest.roots.iter().map(|root| self.heights[*root].clone());
        Outcomes::new(&heights.collect::<Vec<_>>(), self.units, false)
    }

    fn outcomes(&self, node: usize) -> Outcomes {
        let arms = &self.forest.nodes[node].arms;
        let heights = arms
            .iter()
            .map(|arm| (0..=self.units).map(|width| self.outcome(arm, width)).collect());
        Outcomes::new(&heights.collect::<Vec<_>>(), self.units, true)
    }

    /// The height of one outcome with all below it.
    fn outcome(&self, arm: &Arm, width: usize) -> i32 {
        match arm.end {
            End::Node(_) if self.length(width) < NARROWEST => NEVER,
            End::Node(node) => {
                let below = self.heights[node][width];
                tab(self.setting, arm, self.length(width))
                    .height
                    .saturating_add(below)
                    .min(NEVER)
            }
            _ if self.length(width) < NARROWEST_END => NEVER,
            _ => end(self.setting, arm, self.length(width)).height,
        }
    }

    fn draw_node(
        &self,
        node: usize,
        at: Point,
        width: usize,
        scene: &mut Scene,
        open: &mut Vec<(usize, Point, usize)>,
    ) {
        let own = block(self.setting, &self.forest.nodes[node], self.length(width));
        let mut top = at.y + own.height;
        scene.add(own.scene, at.x, at.y);
        let arms = &self.forest.nodes[node].arms;
        let columns = self.outcomes(node).columns(width);
        let from = top;
        if columns.len() > 1 {
            top += BUS;
            let before: usize = columns[..columns.len() - 1]
                .iter()
                .map(|column| column.1 + GAP)
                .sum();
            let last = at.x + RAIL + self.length(before);
            scene.branch(Segment::horizontal(top, at.x + RAIL, last));
        }
        let mut x = at.x;
        for (place, (outcomes, width)) in columns.into_iter().enumerate() {
            let start = if place == 0 { from } else { top };
            let mut column = Column {
                x,
                width,
                start,
                y: top,
            };
            for (index, outcome) in outcomes.iter().enumerate() {
                let last = index + 1 == outcomes.len();
                self.draw_outcome(&arms[*outcome], last, &mut column, scene, open);
            }
            x += self.length(width + GAP);
        }
    }

    fn draw_outcome(
        &self,
        arm: &Arm,
        last: bool,
        column: &mut Column,
        scene: &mut Scene,
        open: &mut Vec<(usize, Point, usize)>,
    ) {
        let set_in = if last { 0 } else { SET_IN };
        let (x, width) = (column.x + self.length(set_in), column.width - set_in);
        let y = column.y + if last { ABOVE_LAST } else { ABOVE };
        let Piece {
            scene: own, height, ..
        } = match arm.end {
            End::Node(_) => tab(self.setting, arm, self.length(width)),
            _ => end(self.setting, arm, self.length(width)),
        };
        let rail = column.x + RAIL;
        if last {
            scene.branch(Segment::vertical(rail, column.start, y));
            scene.marks.push(Mark::Arrow {
                tip: Point { x: rail, y },
                down: true,
            });
        } else {
            let middle = y + tab(self.setting, arm, self.length(width)).height / 2;
            scene.branch(Segment::horizontal(middle, rail, x));
            scene.marks.push(Mark::Arrow {
                tip: Point { x, y: middle },
                down: false,
            });
        }
        scene.add(own, x, y);
        if let End::Node(node) = arm.end {
            open.push((node, Point { x, y: y + height }, width));
        }
        column.y = y + self.outcome(arm, width);
    }
}

/// A column being filled.
struct Column {
    x: i32,
    width: usize,
    /// Where its line begins.
    start: i32,
    /// Where the next outcome goes.
    y: i32,
}

impl Scene {
    fn branch(&mut self, piece: Segment) {
        self.marks.push(Mark::Branch { piece });
    }
}
