//! How low a card can be: the least height of every box with all that hangs below it, for every width.
//!
//! Heights follow from the leaves up. Where a tree does not fit, it is cut: an outcome then names the step where to go on,
//! and that step begins a tree of its own in another column.

use super::block::{Setting, block, end, narrowest, narrowest_end, origin, tab, widest};
use super::columns::Outcomes;
use super::tree::{Arm, End, Forest};

/// Widths are tried in steps of about this, the whole width being a multiple.
const UNIT: i32 = 105;
/// No height: there is not enough width.
pub(crate) const NEVER: i32 = 100_000_000;
/// More places to go on at are harder to follow than a second sheet.
pub(crate) const MOST_CUTS: usize = 4;
/// A tree of fewer boxes is not worth a column of its own.
const WORTH: usize = 3;

/// Heights by width in units.
type Heights = Vec<i32>;

/// A forest and the heights of its boxes on a sheet of some width.
#[derive(Debug, Clone)]
pub(crate) struct Plan<'a> {
    pub(crate) setting: Setting<'a>,
    pub(crate) forest: Forest,
    /// Length of a unit, and how many the sheet is wide.
    unit: i32,
    pub(crate) units: usize,
    /// Of each box alone.
    own: Vec<Heights>,
    /// Of each box's outcomes alone: their labels, and the words beside or below them.
    labels: Vec<Vec<Heights>>,
    /// Of each box with all that hangs below it.
    whole: Vec<Heights>,
}

impl<'a> Plan<'a> {
    /// For a sheet with `width` to write on.
    pub(crate) fn new(setting: Setting<'a>, forest: Forest, width: i32) -> Self {
        let units = (width / UNIT).max(1);
        let mut plan = Self {
            setting,
            forest,
            unit: width / units,
            units: usize::try_from(units).unwrap_or(0),
            own: Vec::new(),
            labels: Vec::new(),
            whole: Vec::new(),
        };
        let nodes = 0..plan.forest.nodes.len();
        plan.own = nodes.clone().map(|node| plan.measure_box(node)).collect();
        let labels = |node: usize| {
            plan.forest.nodes[node]
                .arms
                .iter()
                .map(|arm| plan.measure_label(arm))
        };
        plan.labels = nodes.clone().map(|node| labels(node).collect()).collect();
        plan.whole = vec![Heights::new(); plan.own.len()];
        for node in nodes.rev() {
            plan.whole[node] = plan.measure_whole(node);
        }
        plan
    }

    /// The whole height; `None` where the sheet is too narrow.
    pub(crate) fn height(&self) -> Option<i32> {
        let height = self.roots().height(self.units);
        (height < NEVER).then_some(height)
    }

    /// How often it was cut.
    pub(crate) fn cuts(&self) -> usize {
        self.forest
            .roots
            .iter()
            .filter(|root| root.from.is_some())
            .count()
    }

    /// `true` if the boxes alone cover more than `room` high a sheet.
    pub(crate) fn too_much(&self, room: i32) -> bool {
        let area = |heights: &Heights| {
            let areas = heights.iter().enumerate().skip(1);
            areas
                .map(|(width, height)| i64::from(self.length(width)) * i64::from(*height))
                .min()
        };
        let boxes: i64 = self.own.iter().filter_map(area).sum();
        boxes > i64::from(self.length(self.units)) * i64::from(room)
    }

    /// Cut where that makes it lowest, as often as it takes to be no higher than `room`, but no more than `cuts` times.
    pub(crate) fn cut_to(self, room: i32, cuts: usize) -> Option<Self> {
        let mut plan = self;
        for _ in 0..cuts {
            let height = plan.height().unwrap_or(NEVER);
            if height <= room {
                break;
            }
            let cuts = (0..plan.forest.nodes.len()).filter_map(|node| plan.cut(node));
            let heights = cuts.map(|cut| (cut.height().unwrap_or(NEVER), cut));
            let (lowest, cut) = heights.min_by_key(|(height, _)| *height)?;
            if lowest >= height {
                return None;
            }
            plan = cut;
        }
        plan.height().filter(|height| *height <= room).map(|_| plan)
    }

    /// With the box `node` and all below it as a tree of its own.
    fn cut(&self, node: usize) -> Option<Self> {
        if self.forest.below(node) < WORTH {
            return None;
        }
        let mut plan = self.clone();
        let (mut parent, arm) = plan.forest.cut(node)?;
        plan.labels[parent][arm] = plan.measure_label(&plan.forest.nodes[parent].arms[arm]);
        loop {
            plan.whole[parent] = plan.measure_whole(parent);
            match plan.forest.parent(parent) {
                Some((above, _)) => parent = above,
                None => return Some(plan),
            }
        }
    }

    /// Units as a length.
    pub(crate) fn length(&self, units: usize) -> i32 {
        i32::try_from(units).unwrap_or(0) * self.unit
    }

    /// The height of a tree, with the words that say where it comes from.
    pub(crate) fn tree(&self, root: usize, width: usize) -> i32 {
        let root = &self.forest.roots[root];
        let below = self.whole[root.node][width];
        match &root.from {
            Some(from) if below < NEVER => below + origin(self.setting, from, self.length(width)).height,
            _ => below,
        }
    }

    /// All trees.
    pub(crate) fn roots(&self) -> Outcomes {
        let widths = || 0..=self.units;
        let trees = 0..self.forest.roots.len();
        let heights: Vec<Heights> = trees
            .map(|root| widths().map(|width| self.tree(root, width)).collect())
            .collect();
        Outcomes::new(&heights, self.units, false)
    }

    /// What can come of a box.
    pub(crate) fn outcomes(&self, node: usize) -> Outcomes {
        let arms = 0..self.forest.nodes[node].arms.len();
        let widths = || 0..=self.units;
        let heights: Vec<Heights> = arms
            .map(|arm| widths().map(|width| self.outcome(node, arm, width)).collect())
            .collect();
        Outcomes::new(&heights, self.units, true)
    }

    /// The height of one outcome with all below it.
    pub(crate) fn outcome(&self, node: usize, arm: usize, width: usize) -> i32 {
        let label = self.labels[node][arm][width];
        match self.forest.nodes[node].arms[arm].end {
            End::Node(below) => label.saturating_add(self.whole[below][width]).min(NEVER),
            _ => label,
        }
    }

    fn measure_whole(&self, node: usize) -> Heights {
        let outcomes = self.outcomes(node);
        let own = self.own[node].iter().enumerate();
        own.map(|(width, own)| own.saturating_add(outcomes.height(width)).min(NEVER))
            .collect()
    }

    fn measure_box(&self, node: usize) -> Heights {
        // Boxes wider than the widest are all the same.
        let (mut measured, mut own) = (0, NEVER);
        let mut height = |width: usize| {
            let length = self.length(width).min(widest(self.setting.size));
            if length >= narrowest(self.setting.size) && length > measured {
                measured = length;
                own = block(self.setting, &self.forest.nodes[node], length).height;
            }
            own
        };
        (0..=self.units).map(&mut height).collect()
    }

    fn measure_label(&self, arm: &Arm) -> Heights {
        let height = |width: usize| {
            let length = self.length(width);
            match arm.end {
                End::Node(_) if length >= narrowest(self.setting.size) => {
                    tab(self.setting, arm, length).height
                }
                End::Node(_) => NEVER,
                _ if length >= narrowest_end(self.setting.size) => end(self.setting, arm, length).height,
                _ => NEVER,
            }
        };
        (0..=self.units).map(height).collect()
    }
}
