//! Linear least squares that stays sane where columns say the same thing.

/// Coefficients that fit `columns` (each as long as `values`) to `values` with the least squares; where columns are
/// dependent, the shortest such coefficients.
///
/// # Formula
/// Singular values by one-sided Jacobi turns; those below ε·n of the largest count as zero.
///
/// # Source
/// Hestenes 1958, inversion of matrices by biorthogonalisation.
#[must_use]
pub(crate) fn least_squares(columns: &[Vec<f64>], values: &[f64]) -> Vec<f64> {
    let count = columns.len();
    let mut u = columns.to_vec();
    let mut v: Vec<Vec<f64>> =
        (0..count).map(|i| (0..count).map(|j| if i == j { 1.0 } else { 0.0 }).collect()).collect();
    for _ in 0..60 {
        let mut turned = false;
        for i in 0..count {
            for j in i + 1..count {
                turned |= turn(&mut u, &mut v, i, j);
            }
        }
        if !turned {
            break;
        }
    }
    let sizes: Vec<f64> = u.iter().map(|column| dot(column, column).sqrt()).collect();
    let largest = sizes.iter().copied().fold(0.0, f64::max);
    let least = f64::EPSILON * (values.len().max(count) as f64) * largest;
    let mut out = vec![0.0; count];
    for k in (0..count).filter(|&k| sizes[k] > least) {
        let share = dot(&u[k], values) / (sizes[k] * sizes[k]);
        for (coefficient, direction) in out.iter_mut().zip(&v[k]) {
            *coefficient += share * direction;
        }
    }
    out
}

/// Turns columns i and j until they are square to each other; whether there was anything to turn.
fn turn(u: &mut [Vec<f64>], v: &mut [Vec<f64>], i: usize, j: usize) -> bool {
    let (a, b, c) = (dot(&u[i], &u[i]), dot(&u[j], &u[j]), dot(&u[i], &u[j]));
    if c.abs() <= 1e-15 * (a * b).sqrt() {
        return false;
    }
    let zeta = (b - a) / (2.0 * c);
    let tan = 1.0_f64.copysign(zeta) / (zeta.abs() + zeta.hypot(1.0));
    let cos = 1.0 / tan.hypot(1.0);
    for rows in [u, v] {
        let (head, tail) = rows.split_at_mut(j);
        for (x, y) in head[i].iter_mut().zip(&mut tail[0]) {
            (*x, *y) = (cos * (*x - tan * *y), cos * (tan * *x + *y));
        }
    }
    true
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_exact_line_is_found() {
        let x = [0.0, 1.0, 2.0, 5.0];
        let y: Vec<f64> = x.iter().map(|x| 3.0 - 0.25 * x).collect();
        let fit = least_squares(&[vec![1.0; 4], x.to_vec()], &y);
        assert!((fit[0] - 3.0).abs() < 1e-13 && (fit[1] + 0.25).abs() < 1e-13);
    }

    #[test]
    fn a_column_given_twice_shares_its_weight() {
        let fit = least_squares(&[vec![1.0, 1.0, 1.0], vec![1.0, 1.0, 1.0]], &[4.0, 4.0, 4.0]);
        assert!((fit[0] - 2.0).abs() < 1e-13 && (fit[1] - 2.0).abs() < 1e-13);
    }
}
