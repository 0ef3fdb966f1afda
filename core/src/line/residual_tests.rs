//! Patterns in what is left over when the line is taken away.
//!
//! Start at [`of`]. A straight line through straight data leaves signs that come and go by chance; a bend leaves a long
//! row of one sign, then a long row of the other.

use super::{Datum, Line};
use crate::figures::rank;

/// Up to so many signs the probability of a number of runs is counted out exactly.
const MOST_COUNTED: usize = 60;

/// What the residuals of a line say, in order of x.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ResidualTests {
    /// Runs of equal sign; `None` when there is only one sign.
    pub runs: Option<Runs>,
    /// See [`durbin_watson`].
    pub durbin_watson: f64,
    /// See [`lag_1`].
    pub lag_1: f64,
}

/// Runs of equal sign in a row of residuals; `++---+` has three.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Runs {
    /// Residuals above zero.
    pub above: usize,
    /// Residuals below zero.
    pub below: usize,
    /// Runs.
    pub runs: usize,
    /// The probability of as few runs, or fewer, if every order of these signs is equally likely.
    pub at_most: f64,
    /// The probability of as many runs, or more.
    pub at_least: f64,
}

/// What the number of runs says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pattern {
    /// Too many: the readings go up and down by turns.
    ByTurns,
    /// Too few: a bend.
    Bend,
    /// No more and no fewer than chance has it.
    Chance,
}

impl Pattern {
    /// By the probabilities of as few runs or fewer and of as many or more: 5 % each.
    pub fn of(at_most: f64, at_least: f64) -> Pattern {
        if at_least < 0.05 {
            Pattern::ByTurns
        } else if at_most < 0.05 {
            Pattern::Bend
        } else {
            Pattern::Chance
        }
    }
}

/// The tests for the residuals of `line`, sorted by x (at equal x in the order given), each over its own uncertainty when
/// `weighted`.
///
/// `None` below three points and for points that lie on the line to within the rounding of the arithmetic.
pub fn of(line: &Line, data: &[Datum], weighted: bool) -> Option<ResidualTests> {
    if data.len() < 3 {
        return None;
    }
    let mut in_order: Vec<&Datum> = data.iter().collect();
    in_order.sort_by_cached_key(|datum| rank(datum.x));
    let residual = |d: &Datum| {
        let residual = d.y - line.at(d.x);
        let size = d.y.abs() + line.intercept.abs() + (line.gradient * d.x).abs();
        if residual.abs() <= 4.0 * f64::EPSILON * size {
            // Noise of the arithmetic has a sign too, and says nothing.
            return 0.0;
        }
        if weighted {
            let across = line.gradient * d.u_x;
            residual / (d.u_y * d.u_y + across * across).sqrt()
        } else {
            residual
        }
    };
    let residuals: Vec<f64> = in_order.into_iter().map(residual).collect();
    Some(ResidualTests {
        runs: runs(&residuals),
        durbin_watson: durbin_watson(&residuals)?,
        lag_1: lag_1(&residuals)?,
    })
}

/// Wald and Wolfowitz' test on the signs of residuals in the order given; a residual of zero has no sign and is passed
/// over.
///
/// Exact up to 60 signs; beyond, the normal approximation with half a run of continuity (at 60 signs it is within 0.012,
/// and within 0.003 where the probability is below 0.1). Residuals of a fitted line change sign a little more often than free ones, so that `at_most` errs on
/// the side of no alarm. `None` unless both signs occur.
///
/// # Source
/// A. Wald and J. Wolfowitz, Ann. Math. Stat. 11 (1940) 147; F. S. Swed and C. Eisenhart, Ann. Math. Stat. 14 (1943) 66.
pub fn runs(residuals: &[f64]) -> Option<Runs> {
    let signs = || {
        residuals
            .iter()
            .filter(|r| **r != 0.0 && !r.is_nan())
            .map(|r| *r > 0.0)
    };
    let above = signs().filter(|positive| *positive).count();
    let below = signs().count() - above;
    if above == 0 || below == 0 {
        return None;
    }
    let changes = signs().zip(signs().skip(1)).filter(|(p, q)| p != q).count();
    let runs = changes + 1;
    let (at_most, at_least) = if above + below <= MOST_COUNTED {
        counted(above, below, runs)
    } else {
        by_normal_law(above as f64, below as f64, runs as f64)
    };
    Some(Runs {
        above,
        below,
        runs,
        at_most,
        at_least,
    })
}

/// d = Σ(eᵢ - eᵢ₋₁)² / Σeᵢ²: near 2 for residuals that do not know of each other, near 0 for a smooth bend, near 4 when
/// they alternate. `None` unless there are two, not all zero.
///
/// # Source
/// J. Durbin and G. S. Watson, Biometrika 38 (1951) 159.
pub fn durbin_watson(residuals: &[f64]) -> Option<f64> {
    over_squares(residuals, |before, after| {
        (after - before) * (after - before)
    })
}

/// Σeᵢeᵢ₋₁ / Σeᵢ²: the correlation of each residual with the one before it. `None` as for [`durbin_watson`].
pub fn lag_1(residuals: &[f64]) -> Option<f64> {
    over_squares(residuals, |before, after| before * after)
}

fn over_squares(residuals: &[f64], of_neighbours: impl Fn(f64, f64) -> f64) -> Option<f64> {
    let squares: f64 = residuals.iter().map(|r| r * r).sum();
    let neighbours = residuals.iter().zip(residuals.iter().skip(1));
    let total: f64 = neighbours
        .map(|(before, after)| of_neighbours(*before, *after))
        .sum();
    (residuals.len() > 1 && squares > 0.0)
        .then(|| total / squares)
        .filter(|ratio| ratio.is_finite())
}

/// P(R ≤ runs) and P(R ≥ runs) over all orders of the signs.
fn counted(above: usize, below: usize, runs: usize) -> (f64, f64) {
    let all = choose(above + below, above);
    let most = 2 * above.min(below) + 1;
    let ways = |runs: usize| {
        let k = runs / 2;
        if runs.is_multiple_of(2) {
            2.0 * choose(above - 1, k - 1) * choose(below - 1, k - 1)
        } else {
            choose(above - 1, k) * choose(below - 1, k - 1)
                + choose(above - 1, k - 1) * choose(below - 1, k)
        }
    };
    let share = |from: usize, to: usize| ((from..=to).map(ways).sum::<f64>() / all).min(1.0);
    (share(2, runs), share(runs, most))
}

/// n over k; 0 for k above n.
fn choose(n: usize, k: usize) -> f64 {
    if k > n {
        return 0.0;
    }
    // Each product is a whole number, exact up to 2⁵³ and to sixteen figures beyond.
    (0..k).fold(1.0, |product, i| product * (n - i) as f64 / (i + 1) as f64)
}

fn by_normal_law(above: f64, below: f64, runs: f64) -> (f64, f64) {
    let n = above + below;
    let twice = 2.0 * above * below;
    let mean = twice / n + 1.0;
    let sd = (twice * (twice - n) / (n * n * (n - 1.0))).sqrt();
    let tail = |z: f64| libm::erfc(z / std::f64::consts::SQRT_2) / 2.0;
    (
        tail((mean - runs - 0.5) / sd),
        tail((runs - mean - 0.5) / sd),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_two_ways_to_the_probability_agree_where_they_meet() {
        for (above, below) in [(30, 30), (25, 35), (20, 40)] {
            for runs in [20, 24, 28, 31, 35, 40] {
                let exact = counted(above, below, runs);
                let normal = by_normal_law(above as f64, below as f64, runs as f64);
                for (p, q) in [(exact.0, normal.0), (exact.1, normal.1)] {
                    let within = if p < 0.1 { 0.003 } else { 0.012 };
                    assert!((p - q).abs() < within, "{above}, {below}, {runs}: {p}, {q}");
                }
            }
        }
    }

    #[test]
    fn every_order_is_counted_once() {
        for above in 1..=12 {
            for below in 1..=12 {
                let total = counted(above, below, 2 * above.min(below) + 1).0;
                assert!((total - 1.0).abs() < 1e-12, "{above}, {below}: {total}");
            }
        }
    }

    #[test]
    fn one_sign_alone_or_none_is_no_test() {
        assert_eq!(runs(&[1.0, 2.0, 0.0]), None);
        assert_eq!(runs(&[]), None);
        assert_eq!(durbin_watson(&[0.0, 0.0]), None);
        assert_eq!(durbin_watson(&[1.0]), None);
        assert_eq!(lag_1(&[1.0, f64::NAN]), None);
    }

    #[test]
    fn points_on_the_line_leave_nothing_to_test() {
        let line = Line {
            gradient: 0.1,
            intercept: 0.3,
        };
        let data: Vec<Datum> = (0..9)
            .map(|i| f64::from(i) * 0.7)
            .map(|x| Datum {
                x,
                y: line.at(x) * (1.0 + f64::EPSILON),
                ..Datum::default()
            })
            .collect();
        assert_eq!(of(&line, &data, false), None);
    }
}
