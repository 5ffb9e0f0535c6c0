//! Normal equations of a few unknowns: solved and inverted, each unknown scaled to its own size first.

/// The most unknowns of a fit: loop length, countershaft x and z, slider radius.
pub(super) const MOST: usize = 4;

/// A vector of the unknowns; places beyond their count stay 0.
pub(super) type Vector = [f64; MOST];
/// A matrix of the unknowns.
pub(super) type Matrix = [[f64; MOST]; MOST];

/// A pivot below this share of its own size is rounding, not information.
const NOTHING: f64 = 1e-13;

/// `Jᵀ J`.
pub(super) fn normal(rows: &[Vector]) -> Matrix {
    let mut sum = [[0.0; MOST]; MOST];
    for row in rows {
        add(&mut sum, row);
    }
    sum
}

/// Adds the information of one more row.
pub(super) fn add(sum: &mut Matrix, row: &Vector) {
    for (line, left) in sum.iter_mut().zip(row) {
        for (cell, right) in line.iter_mut().zip(row) {
            *cell += left * right;
        }
    }
}

/// `Jᵀ r`.
pub(super) fn against(rows: &[Vector], values: &[f64]) -> Vector {
    let mut sum = [0.0; MOST];
    for (row, value) in rows.iter().zip(values) {
        for (cell, slope) in sum.iter_mut().zip(row) {
            *cell += slope * value;
        }
    }
    sum
}

/// `aᵀ b`.
pub(super) fn dot(a: &Vector, b: &Vector) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// `M v`.
pub(super) fn times(matrix: &Matrix, vector: &Vector) -> Vector {
    matrix.map(|line| dot(&line, vector))
}

/// The inverse of the first `count` unknowns; `None` where the matrix tells some combination of them nothing.
pub(super) fn inverse(matrix: &Matrix, count: usize) -> Option<Matrix> {
    let mut scale = [1.0; MOST];
    for (n, size) in scale.iter_mut().enumerate().take(count) {
        *size = matrix[n][n].sqrt();
        if !size.is_finite() || *size <= 0.0 {
            return None;
        }
    }
    let lower = cholesky(matrix, &scale, count)?;
    let mut found = [[0.0; MOST]; MOST];
    for column in 0..count {
        let mut unit = [0.0; MOST];
        unit[column] = 1.0;
        let solved = back(&lower, &unit, count);
        for row in 0..count {
            found[row][column] = solved[row] / (scale[row] * scale[column]);
        }
    }
    Some(found)
}

/// `L Lᵀ` = the matrix with ones on its diagonal.
fn cholesky(matrix: &Matrix, scale: &Vector, count: usize) -> Option<Matrix> {
    let mut lower = [[0.0; MOST]; MOST];
    for row in 0..count {
        for column in 0..=row {
            let known: f64 = (0..column).map(|n| lower[row][n] * lower[column][n]).sum();
            let rest = matrix[row][column] / (scale[row] * scale[column]) - known;
            lower[row][column] = if row != column {
                rest / lower[column][column]
            } else if rest > NOTHING {
                rest.sqrt()
            } else {
                return None;
            };
        }
    }
    Some(lower)
}

fn back(lower: &Matrix, right: &Vector, count: usize) -> Vector {
    let mut half = [0.0; MOST];
    for row in 0..count {
        let known: f64 = (0..row).map(|n| lower[row][n] * half[n]).sum();
        half[row] = (right[row] - known) / lower[row][row];
    }
    let mut whole = [0.0; MOST];
    for row in (0..count).rev() {
        let known: f64 = (row + 1..count).map(|n| lower[n][row] * whole[n]).sum();
        whole[row] = (half[row] - known) / lower[row][row];
    }
    whole
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_inverse_undoes_its_matrix_whatever_the_sizes() {
        let rows = [[1e-3, 2.0, 0.0, 0.0], [2e-3, -1.0, 4e3, 0.0], [0.0, 3.0, 1e3, 0.0], [1e-3, 1.0, 2e3, 0.0]];
        let matrix = normal(&rows);
        let undone = inverse(&matrix, 3).expect("regular");
        for n in 0..3 {
            let unit = times(&matrix, &undone[n]);
            for (m, value) in unit.iter().enumerate().take(3) {
                let want = if n == m { 1.0 } else { 0.0 };
                let size = (matrix[m][m] / matrix[n][n]).sqrt();
                assert!((value - want).abs() < 1e-9 * size.max(1.0), "{n} {m} {value}");
            }
        }
    }

    #[test]
    fn unknowns_that_only_act_together_have_no_inverse() {
        let rows = [[1.0, 2.0, 0.0, 0.0], [2.0, 4.0, 0.0, 0.0], [3.0, 6.0, 0.0, 0.0]];
        assert!(inverse(&normal(&rows), 2).is_none());
        assert!(inverse(&normal(&rows), 3).is_none(), "a third that acts on nothing");
    }
}
