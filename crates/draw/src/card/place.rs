//! Where the boxes go.
//!
//! Below a box its outcomes stand in one or more columns side by side. In each, a line runs down at the left; outcomes are
//! set in, but for the last, to which the line runs straight: a long chain of checks does not drift to the right. Every
//! box lies with all that hangs below it in a rectangle of its own, so no line crosses anything.

use super::block::{Piece, block, end, origin, tab};
use super::columns::GAP;
use super::heights::Plan;
use super::scene::{Mark, Scene};
use super::tree::End;
use crate::geometry::{Point, Segment};

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

/// A box to be drawn: its top left corner, and its width in units.
type Task = (usize, Point, usize);

impl Plan<'_> {
    /// Draws everything with its top left corner at the origin.
    pub(crate) fn draw(&self) -> Scene {
        let mut scene = Scene::default();
        let mut open = self.draw_origins(&mut scene);
        open.reverse();
        while let Some(task) = open.pop() {
            // What hangs on a box follows it, first outcome first, so that the words can be read out in order.
            let known = open.len();
            self.draw_node(task, &mut scene, &mut open);
            open[known..].reverse();
        }
        scene
    }

    /// Where trees come from that were cut off; returns the first boxes of all trees.
    fn draw_origins(&self, scene: &mut Scene) -> Vec<Task> {
        let mut tasks = Vec::new();
        let mut x = 0;
        for (roots, width) in self.roots().columns(self.units) {
            let mut y = 0;
            for root in roots {
                let height = self.tree(root, width);
                let tree = &self.forest.roots[root];
                let mut top = y;
                if let Some(from) = &tree.from {
                    let label = origin(self.setting, from, self.length(width));
                    scene.add(label.scene, x, y);
                    top += label.height;
                }
                tasks.push((tree.node, Point { x, y: top }, width));
                y += height + ABOVE_LAST;
            }
            x += self.length(width + GAP);
        }
        tasks
    }

    fn draw_node(&self, (node, at, width): Task, scene: &mut Scene, open: &mut Vec<Task>) {
        let own = block(self.setting, &self.forest.nodes[node], self.length(width));
        let mut top = at.y + own.height;
        scene.add(own.scene, at.x, at.y);
        let columns = self.outcomes(node).columns(width);
        let from = top;
        if let [before @ .., _] = columns.as_slice()
            && !before.is_empty()
        {
            top += BUS;
            let before: usize = before.iter().map(|column| column.1 + GAP).sum();
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
                self.draw_outcome(node, *outcome, last, &mut column, scene, open);
            }
            x += self.length(width + GAP);
        }
    }

    fn draw_outcome(
        &self,
        node: usize,
        outcome: usize,
        last: bool,
        column: &mut Column,
        scene: &mut Scene,
        open: &mut Vec<Task>,
    ) {
        let arm = &self.forest.nodes[node].arms[outcome];
        let set_in = if last { 0 } else { SET_IN };
        let (x, width) = (column.x + self.length(set_in), column.width - set_in);
        let y = column.y + if last { ABOVE_LAST } else { ABOVE };
        let label = tab(self.setting, arm, self.length(width));
        let rail = column.x + RAIL;
        let tip = if last {
            scene.branch(Segment::vertical(rail, column.start, y));
            Point { x: rail, y }
        } else {
            let middle = y + label.height / 2;
            scene.branch(Segment::horizontal(middle, rail, x));
            Point { x, y: middle }
        };
        scene.marks.push(Mark::Arrow { tip, down: last });
        let Piece {
            scene: own, height, ..
        } = match arm.end {
            End::Node(_) => label,
            _ => end(self.setting, arm, self.length(width)),
        };
        scene.add(own, x, y);
        if let End::Node(below) = arm.end {
            open.push((below, Point { x, y: y + height }, width));
        }
        column.y = y + self.outcome(node, outcome, width);
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
