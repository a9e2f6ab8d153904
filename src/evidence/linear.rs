//! Symmetric linear equations of a handful of unknowns: the Cholesky factor `A = L·Lᵀ`.
//!
//! An article has some ten fixes, so a plain dense factor is faster than calling a library.

/// The lower factor of a positive definite matrix.
pub(super) struct Cholesky {
    lower: Vec<f64>,
    n: usize,
}

impl Cholesky {
    /// Factors a symmetric matrix given row by row; none where it is not positive definite.
    pub(super) fn of(mut matrix: Vec<f64>, n: usize) -> Option<Self> {
        for i in 0..n {
            for j in 0..=i {
                let done: f64 = (0..j).map(|k| matrix[i * n + k] * matrix[j * n + k]).sum();
                let rest = matrix[i * n + j] - done;
                matrix[i * n + j] = if i == j {
                    if !(rest > 0.0 && rest.is_finite()) {
                        return None;
                    }
                    rest.sqrt()
                } else {
                    rest / matrix[j * n + j]
                };
            }
        }
        Some(Self { lower: matrix, n })
    }

    /// The `x` of `A·x = b`.
    pub(super) fn solve(&self, b: &[f64]) -> Vec<f64> {
        let (n, lower) = (self.n, &self.lower);
        let mut x = b.to_vec();
        for i in 0..n {
            let done: f64 = (0..i).map(|k| lower[i * n + k] * x[k]).sum();
            x[i] = (x[i] - done) / lower[i * n + i];
        }
        for i in (0..n).rev() {
            let done: f64 = (i + 1..n).map(|k| lower[k * n + i] * x[k]).sum();
            x[i] = (x[i] - done) / lower[i * n + i];
        }
        x
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equations_are_solved_and_indefinite_ones_refused() {
        let x = Cholesky::of(vec![4.0, 2.0, 2.0, 3.0], 2)
            .unwrap()
            .solve(&[2.0, 5.0]);
        assert!((x[0] + 0.5).abs() < 1e-12 && (x[1] - 2.0).abs() < 1e-12);
        assert!(Cholesky::of(vec![1.0, 2.0, 2.0, 1.0], 2).is_none());
    }
}
