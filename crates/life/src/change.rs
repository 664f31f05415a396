//! A step of a count, up or down: what was added can be taken away again, to the last bit.

/// So many more, or so many fewer.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Change {
    More(u32),
    Fewer(u32),
}

impl Change {
    /// The same for so many at once.
    pub(crate) fn times(self, count: u32) -> Self {
        match self {
            Self::More(n) => Self::More(n.saturating_mul(count)),
            Self::Fewer(n) => Self::Fewer(n.saturating_mul(count)),
        }
    }

    /// Changes a count; it never wraps.
    pub(crate) fn apply(self, count: &mut u64) {
        *count = match self {
            Self::More(n) => count.saturating_add(u64::from(n)),
            Self::Fewer(n) => count.saturating_sub(u64::from(n)),
        };
    }

    /// Changes a sum of `value` for each.
    pub(crate) fn apply_sum(self, sum: &mut i64, value: i64) {
        *sum = match self {
            Self::More(n) => sum.saturating_add(value.saturating_mul(i64::from(n))),
            Self::Fewer(n) => sum.saturating_sub(value.saturating_mul(i64::from(n))),
        };
    }
}
