//! What is believed about several unknowns at once, sharpened by one reading after another.
//!
//! A Gaussian state of which only the first unknown moves: it wanders, and drifts by the second. Exact, one small
//! update per reading, whatever their number.

/// Means and covariances of the unknowns; the first one may wander.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Belief {
    mean: Vec<f64>,
    cov: Vec<Vec<f64>>,
}

/// How far a reading lay from what was expected of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Surprise {
    /// Read less expected.
    pub error: f64,
    /// Variance that the error had.
    pub variance: f64,
}

impl Surprise {
    /// The error in standard deviations.
    pub(super) fn z(self) -> f64 {
        self.error / self.variance.sqrt()
    }
}

impl Belief {
    /// Unknowns believed independently: mean and standard deviation of each.
    pub(super) fn independent(unknowns: &[(f64, f64)]) -> Self {
        let cov = (0..unknowns.len())
            .map(|i| (0..unknowns.len()).map(|j| if i == j { unknowns[i].1.powi(2) } else { 0.0 }).collect())
            .collect();
        Self { mean: unknowns.iter().map(|unknown| unknown.0).collect(), cov }
    }

    /// Mean of an unknown.
    pub(super) fn mean(&self, index: usize) -> f64 {
        self.mean[index]
    }

    /// Covariance of two unknowns.
    pub(super) fn cov(&self, i: usize, j: usize) -> f64 {
        self.cov[i][j]
    }

    /// Lets the first unknown wander by that variance.
    pub(super) fn wander(&mut self, variance: f64) {
        self.cov[0][0] += variance;
    }

    /// Lets the first unknown drift by the second, per hour.
    pub(super) fn drift(&mut self, hours: f64) {
        self.mean[0] += hours * self.mean[1];
        for k in 0..self.mean.len() {
            self.cov[0][k] += hours * self.cov[1][k];
        }
        for row in &mut self.cov {
            row[0] += hours * row[1];
        }
    }

    /// Takes in a reading of Σ weightᵢ·unknownᵢ with its variance (above 0).
    ///
    /// # Formula
    /// s = hᵀCh + r, k = Ch/s, m ← m + k e, C ← (1 − khᵀ) C (1 − khᵀ)ᵀ + k r kᵀ (the form that stays positive).
    ///
    /// # Source
    /// Kalman 1960 with the update of Bucy and Joseph 1968 (`kalman`).
    pub(super) fn observe(&mut self, weights: &[f64], value: f64, variance: f64) -> Surprise {
        let n = self.mean.len();
        let dot = |row: &[f64]| row.iter().zip(weights).map(|(a, b)| a * b).sum::<f64>();
        let ch: Vec<f64> = self.cov.iter().map(|row| dot(row)).collect();
        let s = dot(&ch) + variance;
        let error = value - dot(&self.mean);
        let k: Vec<f64> = ch.iter().map(|c| c / s).collect();
        for (mean, k) in self.mean.iter_mut().zip(&k) {
            *mean += k * error;
        }
        // (1 − khᵀ) C, then times (1 − khᵀ)ᵀ.
        let half: Vec<Vec<f64>> = (0..n).map(|i| (0..n).map(|j| self.cov[i][j] - k[i] * ch[j]).collect()).collect();
        for i in 0..n {
            let along = dot(&half[i]);
            for j in 0..n {
                self.cov[i][j] = half[i][j] - along * k[j] + k[i] * variance * k[j];
            }
        }
        Surprise { error, variance: s }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_equal_readings_are_worth_one_of_half_the_variance() {
        let (mut twice, mut once) =
            (Belief::independent(&[(0.0, 1.0), (2.0, 0.5)]), Belief::independent(&[(0.0, 1.0), (2.0, 0.5)]));
        twice.observe(&[1.0, 3.0], 4.0, 0.2);
        twice.observe(&[1.0, 3.0], 5.0, 0.2);
        once.observe(&[1.0, 3.0], 4.5, 0.1);
        for i in 0..2 {
            assert!((twice.mean(i) - once.mean(i)).abs() < 1e-13);
            assert!((twice.cov(i, 1) - once.cov(i, 1)).abs() < 1e-13);
        }
    }
}
