//! Points, boxes and axis-parallel segments on a whole-number grid.
//!
//! Whole numbers keep a drawing identical on every machine, and let the terminal use the same code with characters as
//! units. `x` grows to the right, `y` downwards.

/// A point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Point {
    /// To the right.
    pub x: i32,
    /// Downwards.
    pub y: i32,
}

/// A box.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Rect {
    /// Left edge.
    pub x: i32,
    /// Top edge.
    pub y: i32,
    /// Width.
    pub width: i32,
    /// Height.
    pub height: i32,
}

impl Rect {
    pub(crate) fn new(x: i32, y: i32, width: i32, height: i32) -> Self {
        Self { x, y, width, height }
    }

    /// Right edge.
    pub fn right(&self) -> i32 {
        self.x + self.width
    }

    /// Bottom edge.
    pub fn bottom(&self) -> i32 {
        self.y + self.height
    }

    /// `true` if the two share more than an edge.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.x < other.right() && other.x < self.right() && self.y < other.bottom() && other.y < self.bottom()
    }

    /// `true` if `segment` runs through the inside.
    pub fn crossed_by(&self, segment: &Segment) -> bool {
        segment.left() < self.right()
            && segment.right() > self.x
            && segment.top() < self.bottom()
            && segment.bottom() > self.y
    }
}

/// A straight piece of a line, horizontal or vertical.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Segment {
    /// One end.
    pub a: Point,
    /// The other.
    pub b: Point,
}

impl Segment {
    pub(crate) fn horizontal(y: i32, from: i32, to: i32) -> Self {
        Self {
            a: Point { x: from.min(to), y },
            b: Point { x: from.max(to), y },
        }
    }

    pub(crate) fn vertical(x: i32, from: i32, to: i32) -> Self {
        Self {
            a: Point { x, y: from.min(to) },
            b: Point { x, y: from.max(to) },
        }
    }

    /// `true` if it runs along `x`. A point counts as horizontal.
    pub fn is_horizontal(&self) -> bool {
        self.a.y == self.b.y
    }

    /// `true` if it runs along `y`.
    pub fn is_vertical(&self) -> bool {
        self.a.x == self.b.x
    }

    pub(crate) fn left(&self) -> i32 {
        self.a.x.min(self.b.x)
    }

    pub(crate) fn right(&self) -> i32 {
        self.a.x.max(self.b.x)
    }

    pub(crate) fn top(&self) -> i32 {
        self.a.y.min(self.b.y)
    }

    pub(crate) fn bottom(&self) -> i32 {
        self.a.y.max(self.b.y)
    }

    /// `true` if `point` lies on it, ends included.
    pub fn holds(&self, point: Point) -> bool {
        (self.left()..=self.right()).contains(&point.x) && (self.top()..=self.bottom()).contains(&point.y)
    }
}
