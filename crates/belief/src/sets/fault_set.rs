//! A set of faults as a sorted list of their numbers.

/// Some of the faults of a model, present together; empty means *nothing wrong*.
///
/// Ordered first by the number of faults, then by the faults' numbers, so that simpler explanations sort first.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct FaultSet(Vec<usize>);

impl FaultSet {
    /// Nothing wrong.
    pub fn nothing() -> Self {
        Self::default()
    }

    /// The set of the given faults, in any order; repeated ones count once.
    pub fn of(faults: &[usize]) -> Self {
        let mut sorted = faults.to_vec();
        sorted.sort_unstable();
        sorted.dedup();
        Self(sorted)
    }

    /// The faults in ascending order.
    pub fn faults(&self) -> &[usize] {
        &self.0
    }

    /// How many faults are present together.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether nothing is wrong.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Whether `fault` is one of the set.
    pub fn contains(&self, fault: usize) -> bool {
        self.0.binary_search(&fault).is_ok()
    }

    /// Whether every fault of this set is also in `other`.
    pub fn is_subset(&self, other: &Self) -> bool {
        self.0.iter().all(|&fault| other.contains(fault))
    }

    /// This set and `fault`; `None` where it is already in.
    pub fn with(&self, fault: usize) -> Option<Self> {
        let place = self.0.binary_search(&fault).err()?;
        let mut faults = Vec::with_capacity(self.0.len() + 1);
        faults.extend_from_slice(&self.0[..place]);
        faults.push(fault);
        faults.extend_from_slice(&self.0[place..]);
        Some(Self(faults))
    }
}

impl Ord for FaultSet {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        (self.0.len(), &self.0).cmp(&(other.0.len(), &other.0))
    }
}

impl PartialOrd for FaultSet {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
