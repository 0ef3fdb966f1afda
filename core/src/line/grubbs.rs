//! Grubbs' test: one of several readings of the same quantity far from its fellows, also over several such sets that
//! share one scatter.

use super::student;

/// Of fewer values each is as far from the mean as the other.
pub const FEWEST: usize = 3;

/// The reading farthest from its fellows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Farthest {
    /// Its set, from 0.
    pub set: usize,
    /// Its index in the set, from 0.
    pub index: usize,
    /// Its distance from the mean of its set over the standard deviation of such a distance, the scatter being taken from
    /// all readings but itself.
    pub t: f64,
    /// Degrees of freedom of that scatter.
    pub degrees_of_freedom: f64,
    /// The probability of a t as large by chance alone in any of the readings, either way: an upper bound that is exact
    /// where it is small.
    pub p_value: f64,
}

/// The test over sets of repeats with one scatter; `None` without a set of three or when no set has any spread.
///
/// With e = x - x̄ in a set of n, SSE the squares of all sets about their means and ν = Σ(n - 1) - 1,
/// s² = (SSE - e² n/(n - 1)) / ν and t = |e| / (s √(1 - 1/n)) follows Student's law with ν degrees of freedom; the
/// probability is its two-sided tail times the readings in sets of three or more, at most 1. For a single set this is
/// Grubbs' test, with G from [`g`]. `least_scatter` is what the steps of the instrument alone make of s: two readings on
/// one step say nothing of the scatter.
///
/// # Source
/// F. E. Grubbs, Technometrics 11 (1969) 1; NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1. The externally
/// studentised residual of one-way classified readings: any text on the analysis of variance.
pub fn farthest(sets: &[&[f64]], least_scatter: f64) -> Option<Farthest> {
    let (mut squares, mut freedom, mut candidates) = (0.0, 0.0, 0.0);
    let mut means = Vec::with_capacity(sets.len());
    for set in sets {
        let n = set.len() as f64;
        let first = set.first().copied().unwrap_or(0.0);
        let mean = first + set.iter().map(|v| v - first).sum::<f64>() / n.max(1.0);
        means.push(mean);
        squares += set.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>();
        freedom += (n - 1.0).max(0.0);
        if set.len() >= FEWEST {
            candidates += n;
        }
    }
    let degrees_of_freedom = freedom - 1.0;
    if !(candidates > 0.0 && squares > 0.0 && squares.is_finite()) {
        return None;
    }
    // Squares over the part of the variance that is left to the distance itself: t grows with them.
    let mut farthest: Option<(f64, usize, usize)> = None;
    for (index_of_set, (set, mean)) in sets.iter().zip(&means).enumerate() {
        if set.len() < FEWEST {
            continue;
        }
        let per_left = 1.0 / left(set.len());
        for (index, value) in set.iter().enumerate() {
            let e = value - mean;
            let square = e * e * per_left;
            if farthest.is_none_or(|(known, ..)| square > known) {
                farthest = Some((square, index_of_set, index));
            }
        }
    }
    let (_, set, index) = farthest?;
    let left = left(sets[set].len());
    let e = (sets[set][index] - means[set]).abs();
    let variance = ((squares - e * e / left) / degrees_of_freedom).max(0.0);
    // Less than this is the rounding of the arithmetic, not a scatter.
    let variance = if variance < 1e-12 * squares {
        0.0
    } else {
        variance
    };
    let t = student::ratio(e, variance.sqrt().max(least_scatter) * left.sqrt());
    Some(Farthest {
        set,
        index,
        t,
        degrees_of_freedom,
        p_value: (candidates * student::two_sided_tail(t, degrees_of_freedom)).min(1.0),
    })
}

/// The part of the variance of a reading that is left to its distance from the mean of a set of `n`.
fn left(n: usize) -> f64 {
    1.0 - 1.0 / n as f64
}

/// Grubbs' G = |x - x̄| / s of the farthest of `n` ≥ 3 values, from its t.
pub fn g(t: f64, n: usize) -> f64 {
    let count = n as f64;
    (count - 1.0) / count.sqrt() * (t * t / (count - 2.0 + t * t)).sqrt()
}

/// The G that `n` ≥ 3 values pass by chance alone with the probability `level`, either way.
pub fn critical(n: usize, level: f64) -> f64 {
    let count = n as f64;
    g(student::two_sided(1.0 - level / count, count - 2.0), n)
}
