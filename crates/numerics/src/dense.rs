//! Square systems by LU decomposition with partial pivoting.
//!
//! Circuits have some ten to thirty unknowns, each tied to two or three others. The matrix is stored whole, and beside it which
//! entries are occupied, one bit each: elimination and substitution touch only those. Method: Golub and Van Loan, Matrix
//! Computations, 4th ed., algorithm 3.4.1.

/// A square matrix, row by row.
#[derive(Debug, Clone, Default)]
pub struct Matrix {
    size: usize,
    values: Vec<f64>,
    /// Words of 64 bits in a row of `occupied`.
    words: usize,
    /// Which entries may be other than zero.
    occupied: Vec<u64>,
    pivots: Vec<usize>,
    /// One over each pivot.
    inverses: Vec<f64>,
}

/// No pivot: the unknown at this index is not determined by the equations.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("unknown {0} is not determined")]
pub struct Singular(pub usize);

impl Matrix {
    /// A zero matrix of `size` × `size`.
    pub fn zeros(size: usize) -> Self {
        let mut matrix = Self::default();
        matrix.reset(size);
        matrix
    }

    /// Becomes a zero matrix of `size` × `size`, keeping its memory.
    pub fn reset(&mut self, size: usize) {
        if self.size == size {
            for row in 0..size {
                let marks = &self.occupied[row * self.words..][..self.words];
                let values = &mut self.values[row * size..][..size];
                columns(marks, 0).for_each(|column| values[column] = 0.0);
            }
            self.occupied.fill(0);
            return;
        }
        self.size = size;
        self.words = size.div_ceil(64);
        self.values.clear();
        self.values.resize(size * size, 0.0);
        self.occupied.clear();
        self.occupied.resize(size * self.words, 0);
        self.pivots.resize(size, 0);
        self.inverses.resize(size, 0.0);
    }

    /// Number of rows.
    pub fn size(&self) -> usize {
        self.size
    }

    /// Adds `value` at `row`, `column`.
    pub fn add(&mut self, row: usize, column: usize, value: f64) {
        self.values[row * self.size + column] += value;
        self.occupied[row * self.words + column / 64] |= 1 << (column % 64);
    }

    /// The entry at `row`, `column`.
    pub fn get(&self, row: usize, column: usize) -> f64 {
        self.values[row * self.size + column]
    }

    fn is_occupied(&self, row: usize, column: usize) -> bool {
        self.occupied[row * self.words + column / 64] & (1 << (column % 64)) != 0
    }

    /// Replaces the matrix by its LU factors.
    ///
    /// # Errors
    /// [`Singular`] names the unknown for which no usable pivot was left.
    pub fn factor(&mut self) -> Result<(), Singular> {
        let (n, words) = (self.size, self.words);
        for k in 0..n {
            let pivot = self.largest_below(k);
            self.pivots[k] = pivot;
            if pivot != k {
                self.swap_rows(k, pivot);
            }
            let diagonal = self.values[k * n + k];
            if !(diagonal.abs() > f64::MIN_POSITIVE && diagonal.is_finite()) {
                return Err(Singular(k));
            }
            let inverse = 1.0 / diagonal;
            self.inverses[k] = inverse;
            let (upper, lower) = self.values.split_at_mut((k + 1) * n);
            let (upper_marks, lower_marks) = self.occupied.split_at_mut((k + 1) * words);
            let pivot_row = &upper[k * n..][..n];
            let pivot_marks = &upper_marks[k * words..];
            let (word, bit) = (k / 64, 1 << (k % 64));
            for (row, marks) in lower.chunks_exact_mut(n).zip(lower_marks.chunks_exact_mut(words)) {
                if marks[word] & bit == 0 {
                    continue;
                }
                let factor = row[k] * inverse;
                row[k] = factor;
                columns(pivot_marks, k + 1).for_each(|column| row[column] -= factor * pivot_row[column]);
                // What the pivot row has left of its diagonal belongs to earlier columns, where its own factors stand.
                marks[word] |= pivot_marks[word] & (!0 << (k % 64));
                for after in word + 1..words {
                    marks[after] |= pivot_marks[after];
                }
            }
        }
        Ok(())
    }

    /// The row from `k` on with the largest entry in column `k`.
    fn largest_below(&self, k: usize) -> usize {
        let size = |row: usize| self.values[row * self.size + k].abs();
        let mut pivot = k;
        for row in k + 1..self.size {
            if self.is_occupied(row, k) && size(row) > size(pivot) {
                pivot = row;
            }
        }
        pivot
    }

    fn swap_rows(&mut self, one: usize, other: usize) {
        for column in 0..self.size {
            self.values
                .swap(one * self.size + column, other * self.size + column);
        }
        for word in 0..self.words {
            self.occupied
                .swap(one * self.words + word, other * self.words + word);
        }
    }

    /// Solves for `right` in place; the matrix must hold its factors.
    pub fn solve(&self, right: &mut [f64]) {
        let n = self.size;
        let right = &mut right[..n];
        for (k, pivot) in self.pivots.iter().enumerate() {
            right.swap(k, *pivot);
        }
        for row in 1..n {
            let (values, marks) = self.row(row);
            let before = columns(marks, 0).take_while(|column| *column < row);
            right[row] -= before.map(|column| values[column] * right[column]).sum::<f64>();
        }
        for row in (0..n).rev() {
            let (values, marks) = self.row(row);
            let behind = columns(marks, row + 1)
                .map(|column| values[column] * right[column])
                .sum::<f64>();
            right[row] = (right[row] - behind) * self.inverses[row];
        }
    }

    fn row(&self, row: usize) -> (&[f64], &[u64]) {
        (
            &self.values[row * self.size..][..self.size],
            &self.occupied[row * self.words..][..self.words],
        )
    }
}

/// The columns marked from column `from` on, in rising order.
fn columns(marks: &[u64], from: usize) -> impl Iterator<Item = usize> {
    let first = from / 64;
    let mut at = first;
    let mut word = marks.get(first).map_or(0, |word| word & (!0 << (from % 64)));
    std::iter::from_fn(move || {
        while word == 0 {
            at += 1;
            word = *marks.get(at)?;
        }
        let column = at * 64 + word.trailing_zeros() as usize;
        word &= word - 1;
        Some(column)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn an_undetermined_unknown_is_named() {
        let mut matrix = Matrix::zeros(2);
        matrix.add(0, 0, 1.0);
        assert_eq!(matrix.factor(), Err(Singular(1)));
    }

    #[test]
    fn rows_are_exchanged_where_a_pivot_is_zero() {
        let mut matrix = Matrix::zeros(2);
        matrix.add(0, 1, 2.0);
        matrix.add(1, 0, 4.0);
        matrix.factor().unwrap();
        let mut right = [6.0, 8.0];
        matrix.solve(&mut right);
        assert!(
            right
                .iter()
                .zip([2.0, 3.0])
                .all(|(x, exact)| (x - exact).abs() < 1e-15),
            "{right:?}"
        );
    }

    /// A solution multiplied back gives the right side again; the matrices are diagonally dominant, so well conditioned.
    fn check(original: &Matrix, right: &[f64]) {
        let mut matrix = original.clone();
        matrix.factor().unwrap();
        let mut x = right.to_vec();
        matrix.solve(&mut x);
        for (row, right) in right.iter().enumerate() {
            let sum: f64 = x
                .iter()
                .enumerate()
                .map(|(column, x)| original.get(row, column) * x)
                .sum();
            assert!((sum - right).abs() < 1e-10, "row {row}: {sum} for {right}");
        }
    }

    proptest! {
        #[test]
        fn the_solution_satisfies_the_equations(entries in prop::collection::vec(-1.0f64..1.0, 36), right in prop::collection::vec(-9.0f64..9.0, 6)) {
            let mut matrix = Matrix::zeros(6);
            for (at, entry) in entries.iter().enumerate() {
                matrix.add(at / 6, at % 6, entry + if at / 6 == at % 6 { 8.0 } else { 0.0 });
            }
            check(&matrix, &right);
        }

        /// Few entries in many rows, their order mixed so that rows are exchanged, in memory that held another matrix before; more
        /// columns than bits in a word.
        #[test]
        fn the_empty_entries_are_left_out(
            size in 60usize..140,
            entries in prop::collection::vec((0usize..9999, 0usize..9999, -1.0f64..1.0), 0..300),
            shift in 0usize..140,
        ) {
            let mut matrix = Matrix::zeros(size);
            for round in 0..2 {
                matrix.reset(size);
                for row in 0..size {
                    matrix.add(row, (row + shift) % size, 40.0);
                }
                for &(row, column, value) in &entries[..entries.len() / (2 - round)] {
                    matrix.add(row % size, column % size, value);
                }
                let right: Vec<f64> = (0..size).map(|row| (row as f64).sin()).collect();
                check(&matrix, &right);
                let _ = matrix.factor();
            }
        }
    }
}
