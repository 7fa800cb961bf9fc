//! Dense LDLᵀ of a symmetric positive definite matrix.

/// Least pivot, share of its own diagonal entry: below that only rounding is left of it.
const PIVOT_FLOOR: f64 = 1e-15;

/// A symmetric matrix, rows after one another; only the lower half is read.
pub(super) struct Symmetric {
    size: usize,
    values: Vec<f64>,
}

impl Symmetric {
    pub(super) fn new(size: usize) -> Self {
        Self { size, values: vec![0.0; size * size] }
    }

    pub(super) fn clear(&mut self) {
        self.values.fill(0.0);
    }

    /// Adds to an entry of the lower half; the order of the indices does not matter.
    pub(super) fn add(&mut self, a: usize, b: usize, value: f64) {
        let (row, column) = (a.max(b), a.min(b));
        self.values[row * self.size + column] += value;
    }

    /// An entry of the diagonal.
    pub(super) fn diagonal(&self, place: usize) -> f64 {
        self.values[place * self.size + place]
    }

    /// Solves in place: the matrix becomes its factors, `right` the solution.
    ///
    /// A pivot that rounding has made too small is lifted: the result is then a damped step, still a
    /// direction of descent.
    pub(super) fn solve(&mut self, right: &mut [f64]) {
        let n = self.size;
        for row in 0..n {
            let floor = (PIVOT_FLOOR * self.values[row * n + row]).max(f64::MIN_POSITIVE);
            for column in 0..=row {
                let mut sum = self.values[row * n + column];
                for k in 0..column {
                    sum -= self.values[row * n + k]
                        * self.values[column * n + k]
                        * self.values[k * n + k];
                }
                self.values[row * n + column] = if row == column {
                    sum.max(floor)
                } else {
                    sum / self.values[column * n + column]
                };
            }
        }
        for row in 0..n {
            for k in 0..row {
                right[row] -= self.values[row * n + k] * right[k];
            }
        }
        for row in (0..n).rev() {
            right[row] /= self.values[row * n + row];
            for k in row + 1..n {
                right[row] -= self.values[k * n + row] * right[k];
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_small_system_is_solved() {
        let mut matrix = Symmetric::new(3);
        let rows = [[4.0, 0.0, 0.0], [1.0, 3.0, 0.0], [-1.0, 0.5, 2.0]];
        for (i, row) in rows.iter().enumerate() {
            for (j, value) in row.iter().take(i + 1).enumerate() {
                matrix.add(i, j, *value);
            }
        }
        // Right side for x = (1, −2, 3).
        let mut right = vec![4.0 - 2.0 - 3.0, 1.0 - 6.0 + 1.5, -1.0 - 1.0 + 6.0];
        matrix.solve(&mut right);
        for (got, expected) in right.iter().zip([1.0, -2.0, 3.0]) {
            assert!((got - expected).abs() < 1e-12);
        }
    }
}
