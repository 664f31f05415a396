//! Columns and a first order within them, by layered graph drawing (Sugiyama, Tagawa and Toda 1981).
//!
//! The only place that knows the library `dagre`: parts in, a column and a height for each out. Coordinates, lines and
//! the last word on the order are ours, as the library knows neither ports nor lines that share a joint.

use dagre::graph::{Graph, GraphOptions};
use dagre::{EdgeLabel, LayoutOptions, NodeLabel, RankDir, layout};

/// "`from` stands left of `to`", with a weight for how short the line should be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Arrow {
    pub(crate) from: usize,
    pub(crate) to: usize,
    pub(crate) weight: i32,
}

/// Where the library puts a box.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Seat {
    /// Column, 0 on the left.
    pub(crate) column: usize,
    /// Height of its middle, for comparison only.
    pub(crate) height: f64,
}

/// A seat for each of the boxes `sizes` (width, height).
pub(crate) fn seats(sizes: &[(i32, i32)], arrows: &[Arrow]) -> Vec<Seat> {
    if sizes.is_empty() {
        return Vec::new();
    }
    let mut graph = Graph::with_options(GraphOptions {
        directed: true,
        multigraph: false,
        compound: false,
    });
    for (index, (width, height)) in sizes.iter().enumerate() {
        let label = NodeLabel {
            width: f64::from(*width),
            height: f64::from(*height),
            ..NodeLabel::default()
        };
        graph.set_node(name(index), Some(label));
    }
    for arrow in arrows {
        let label = EdgeLabel {
            weight: arrow.weight,
            ..EdgeLabel::default()
        };
        graph.set_edge(name(arrow.from), name(arrow.to), Some(label), None);
    }
    layout(
        &mut graph,
        Some(LayoutOptions {
            rankdir: RankDir::LR,
            ..LayoutOptions::default()
        }),
    );
    let found = |index: usize| {
        let node = graph.node(&name(index));
        let middle = node.and_then(|node| node.x).unwrap_or(0.0);
        (middle, node.and_then(|node| node.y).unwrap_or(0.0))
    };
    let places: Vec<(f64, f64)> = (0..sizes.len()).map(found).collect();
    let mut middles: Vec<f64> = places.iter().map(|place| place.0).collect();
    middles.sort_by(f64::total_cmp);
    middles.dedup_by(|a, b| (*a - *b).abs() < 0.5);
    let column = |x: f64| {
        middles
            .iter()
            .position(|middle| (middle - x).abs() < 0.5)
            .unwrap_or(0)
    };
    places
        .iter()
        .map(|(x, y)| Seat {
            column: column(*x),
            height: *y,
        })
        .collect()
}

/// Names sort like the indices, so that the library meets the boxes in file order.
fn name(index: usize) -> String {
    format!("{index:05}")
}
