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

    fn columns() -> Vec<Vec<f64>> {
        vec![
            vec![1.0, 1.0, 1.0, 1.0, 1.0, 1.0],
            vec![0.0, 2.0, -1.0, 4.0, 3.5, 0.25],
            vec![300.0, -20.0, 70.0, 15.0, 0.0, 42.0],
        ]
    }

    #[test]
    fn one_turn_makes_two_columns_square_and_changes_neither_their_sum_of_squares_nor_what_they_span() {
        let (before, mut u) = (columns(), columns());
        let mut v: Vec<Vec<f64>> = (0..3).map(|i| (0..3).map(|j| f64::from(u8::from(i == j))).collect()).collect();
        for (i, j) in [(0, 1), (1, 2), (0, 2)] {
            let squares = dot(&u[i], &u[i]) + dot(&u[j], &u[j]);
            assert!(turn(&mut u, &mut v, i, j));
            let cross = dot(&u[i], &u[j]).abs();
            assert!(cross < 1e-13 * (dot(&u[i], &u[i]) * dot(&u[j], &u[j])).sqrt(), "{i} {j}: {cross}");
            assert!(((dot(&u[i], &u[i]) + dot(&u[j], &u[j])) / squares - 1.0).abs() < 1e-13);
            assert!(!turn(&mut u, &mut v, i, j), "nothing is left to turn");
            // Each column is still the same mix of the first ones, and the mixes are square to each other.
            for a in 0..3 {
                for row in 0..6 {
                    let mixed: f64 = (0..3).map(|b| v[a][b] * before[b][row]).sum();
                    assert!((mixed - u[a][row]).abs() < 1e-10);
                }
                for b in 0..3 {
                    assert!((dot(&v[a], &v[b]) - f64::from(u8::from(a == b))).abs() < 1e-13);
                }
            }
        }
    }

    #[test]
    fn what_is_left_over_is_square_to_every_column() {
        let values = [3.0, -1.0, 4.0, 1.0, -5.0, 9.0];
        let fit = least_squares(&columns(), &values);
        let left: Vec<f64> =
            (0..6).map(|row| values[row] - (0..3).map(|k| fit[k] * columns()[k][row]).sum::<f64>()).collect();
        for column in columns() {
            assert!(dot(&column, &left).abs() < 1e-11 * dot(&column, &column).sqrt());
        }
    }

    #[test]
    fn dependent_columns_get_the_shortest_coefficients_and_an_empty_one_gets_none() {
        // The third is the first less twice the second.
        let mut dependent = columns();
        dependent[2] = dependent[0].iter().zip(&dependent[1]).map(|(a, b)| a - 2.0 * b).collect();
        let values: Vec<f64> = dependent[1].iter().map(|x| 1.5 + 0.5 * x).collect();
        let fit = least_squares(&dependent, &values);
        for row in 0..6 {
            let told: f64 = (0..3).map(|k| fit[k] * dependent[k][row]).sum();
            assert!((told - values[row]).abs() < 1e-12);
        }
        // No part of it lies along the mix that says nothing.
        assert!((fit[0] - 2.0 * fit[1] - fit[2]).abs() < 1e-12);
        let fit = least_squares(&[vec![0.0; 3], vec![1.0, 2.0, 2.0]], &[2.0, 4.0, 4.0]);
        assert!(fit[0].abs() < 1e-15 && (fit[1] - 2.0).abs() < 1e-14);
        assert_eq!(least_squares(&[vec![0.0; 3], vec![0.0; 3]], &[2.0, 4.0, 4.0]), [0.0, 0.0]);
    }
}
