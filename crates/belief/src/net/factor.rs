//! Tables of non-negative numbers over yes/no variables, and the three things done with them.

/// A table over `variables` (ascending). Bit `i` of an index is the state of `variables[i]`.
#[derive(Clone, Debug)]
pub(super) struct Factor {
    pub(super) variables: Vec<usize>,
    pub(super) values: Vec<f64>,
}

impl Factor {
    /// 1 everywhere.
    pub(super) fn ones(variables: Vec<usize>) -> Self {
        let values = vec![1.0; 1 << variables.len()];
        Self { variables, values }
    }

    /// From `value(state)`, where `state(variable)` tells each variable's state.
    pub(super) fn from_fn(variables: Vec<usize>, value: impl Fn(&dyn Fn(usize) -> bool) -> f64) -> Self {
        let values = (0..1_usize << variables.len())
            .map(|index| {
                let state = |variable: usize| {
                    variables
                        .iter()
                        .position(|&v| v == variable)
                        .is_some_and(|i| index >> i & 1 == 1)
                };
                value(&state)
            })
            .collect();
        Self { variables, values }
    }

    /// Multiplies `other` in; its variables must all be among this table's.
    pub(super) fn times(&mut self, other: &Self) {
        let places = self.places_of(&other.variables);
        for (index, value) in self.values.iter_mut().enumerate() {
            *value *= other.values[gather(index, &places)];
        }
    }

    /// Divides by `other`; where both are zero the result is zero (nothing is possible there).
    pub(super) fn over(mut self, other: &Self) -> Self {
        let places = self.places_of(&other.variables);
        for (index, value) in self.values.iter_mut().enumerate() {
            let divisor = other.values[gather(index, &places)];
            *value = if divisor > 0.0 { *value / divisor } else { 0.0 };
        }
        self
    }

    /// Sums over all variables but `kept`, which must be ascending and among this table's.
    pub(super) fn sum_to(&self, kept: &[usize]) -> Self {
        let places = self.places_of(kept);
        let mut values = vec![0.0; 1 << kept.len()];
        for (index, value) in self.values.iter().enumerate() {
            values[gather(index, &places)] += value;
        }
        Self {
            variables: kept.to_vec(),
            values,
        }
    }

    fn places_of(&self, variables: &[usize]) -> Vec<usize> {
        variables
            .iter()
            .filter_map(|v| self.variables.binary_search(v).ok())
            .collect()
    }
}

/// The bits of `index` at `places`, packed together.
fn gather(index: usize, places: &[usize]) -> usize {
    places
        .iter()
        .enumerate()
        .fold(0, |packed, (i, &place)| packed | (index >> place & 1) << i)
}
