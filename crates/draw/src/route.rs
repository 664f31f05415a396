//! Lines in a channel: one upright track per strand that needs one, chosen so that few lines cross.
//!
//! A strand whose ends are level runs straight through. Every other gets an upright whose place among the others is the
//! one with fewest crossings; two lines of different joints never lie on each other. Uprights that do not meet share a
//! track.

use crate::geometry::Segment;
use circuit::JointId;

/// A strand with the heights of its ends.
#[derive(Debug, Clone)]
pub(crate) struct Lane {
    pub(crate) joint: JointId,
    /// Heights and outermost positions of the ends on the left bank.
    pub(crate) left: Vec<(i32, i32)>,
    /// The same on the right bank.
    pub(crate) right: Vec<(i32, i32)>,
}

impl Lane {
    fn span(&self) -> (i32, i32) {
        let heights = || self.left.iter().chain(&self.right).map(|end| end.0);
        (heights().min().unwrap_or(0), heights().max().unwrap_or(0))
    }

    fn is_straight(&self) -> bool {
        let (top, bottom) = self.span();
        top == bottom && !self.left.is_empty() && !self.right.is_empty()
    }

    fn ends(&self) -> usize {
        self.left.len() + self.right.len()
    }
}

/// Lying on another line is as bad as this many crossings.
const OVERLAP: usize = 1000;
/// Running close beside another line is as bad as this many.
const CLOSE: usize = 3;

/// The uprights of a channel: for each lane its track, counted from the left; `None` if it needs none.
#[derive(Debug, Clone)]
pub(crate) struct Tracks {
    track: Vec<Option<usize>>,
    pub(crate) count: usize,
    /// Height of an end on the right bank that no order keeps off another line: two lanes want to trade places level.
    pub(crate) clash: Option<i32>,
}

/// Chooses the tracks; uprights on one track keep `gap` apart.
pub(crate) fn tracks(lanes: &[Lane], gap: i32) -> Tracks {
    let bent: Vec<usize> = (0..lanes.len())
        .filter(|lane| !lanes[*lane].is_straight() && lanes[*lane].ends() > 1)
        .collect();
    let sequence = sequence(lanes, bent, gap);
    let mut track: Vec<Option<usize>> = vec![None; lanes.len()];
    let mut count = 0;
    for (place, &lane) in sequence.iter().enumerate() {
        let after = sequence[..place]
            .iter()
            .filter(|other| bound(&lanes[**other], &lanes[lane], gap));
        let place = after
            .filter_map(|other| track[*other])
            .max()
            .map_or(0, |track| track + 1);
        track[lane] = Some(place);
        count = count.max(place + 1);
    }
    Tracks {
        track,
        count,
        clash: clash(lanes, &sequence),
    }
}

fn clash(lanes: &[Lane], sequence: &[usize]) -> Option<i32> {
    let mut pairs =
        (0..sequence.len()).flat_map(|a| (a + 1..sequence.len()).map(move |b| (sequence[a], sequence[b])));
    let shared = |(a, b): (usize, usize)| {
        let level = |height: i32| lanes[b].left.iter().any(|end| end.0 == height);
        lanes[a]
            .right
            .iter()
            .map(|end| end.0)
            .find(|height| level(*height))
    };
    pairs.find_map(shared)
}

/// `true` if `a`, earlier in the sequence, must stay left of `b`.
fn bound(a: &Lane, b: &Lane, gap: i32) -> bool {
    let (a_span, b_span) = (a.span(), b.span());
    let apart = a_span.1 + gap <= b_span.0 || b_span.1 + gap <= a_span.0;
    !apart || crossings(a, b, gap) != crossings(b, a, gap)
}

/// Left to right, by moving one at a time as long as that helps.
fn sequence(lanes: &[Lane], mut sequence: Vec<usize>, gap: i32) -> Vec<usize> {
    let count = sequence.len();
    // What each pair costs is asked again and again, so it is worked out once.
    let mut costs = vec![0_i64; lanes.len() * lanes.len()];
    for &a in &sequence {
        for &b in sequence.iter().filter(|b| **b != a) {
            costs[a * lanes.len() + b] =
                i64::try_from(crossings(&lanes[a], &lanes[b], gap)).unwrap_or(i64::MAX / 1_000_000);
        }
    }
    let cost = |a: usize, b: usize| costs[a * lanes.len() + b];
    let mut better = true;
    while better {
        better = false;
        for from in 0..count {
            for to in 0..count {
                let lane = sequence[from];
                // Only the pairs change that the lane passes.
                let change: i64 = if to > from {
                    let passed = sequence[from + 1..=to].iter();
                    passed.map(|other| cost(*other, lane) - cost(lane, *other)).sum()
                } else {
                    let passed = sequence[to..from].iter();
                    passed.map(|other| cost(lane, *other) - cost(*other, lane)).sum()
                };
                if change < 0 {
                    sequence.remove(from);
                    sequence.insert(to, lane);
                    better = true;
                }
            }
        }
    }
    sequence
}

/// Crossings between two lanes if `a`'s upright stands left of `b`'s.
fn crossings(a: &Lane, b: &Lane, gap: i32) -> usize {
    let within = |height: i32, span: (i32, i32)| usize::from(span.0 < height && height < span.1);
    let (a_span, b_span) = (a.span(), b.span());
    let mut count = b
        .left
        .iter()
        .map(|(height, _)| within(*height, a_span))
        .sum::<usize>();
    for (height, _) in &a.right {
        count += within(*height, b_span);
        // `a` runs on to the right where `b` comes from the left.
        for (other, _) in &b.left {
            count += match (height - other).abs() {
                0 => OVERLAP,
                near if near < gap => CLOSE,
                _ => 0,
            };
        }
    }
    count
}

/// The pieces of every lane; `track_x` gives the position of a track.
pub(crate) fn segments(
    lanes: &[Lane],
    tracks: &Tracks,
    track_x: impl Fn(usize) -> i32,
) -> Vec<(JointId, Segment)> {
    let mut pieces = Vec::new();
    for (lane, track) in lanes.iter().zip(&tracks.track) {
        if let Some(track) = track {
            let x = track_x(*track);
            let (top, bottom) = lane.span();
            pieces.push((lane.joint, Segment::vertical(x, top, bottom)));
            for &(height, end) in lane.left.iter().chain(&lane.right) {
                pieces.push((lane.joint, Segment::horizontal(height, end, x)));
            }
        } else if let (Some(&(height, from)), Some(&(_, to))) = (lane.left.first(), lane.right.first()) {
            pieces.push((lane.joint, Segment::horizontal(height, from, to)));
        }
    }
    pieces
}
