//! Grubbs' test: one of several readings of the same quantity far from its fellows.

use super::student;

/// Of fewer values each is as far from the mean as the other.
pub const FEWEST: usize = 3;

/// The reading farthest from the mean of its fellows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Farthest {
    /// Its index, from 0.
    pub index: usize,
    /// G = |x - x̄| / s, with n - 1 degrees of freedom in s.
    pub statistic: f64,
    /// The probability of a G as large by chance alone, either way: an upper bound that is exact where it is small.
    pub p_value: f64,
}

/// The test for n ≥ 3 values; `None` for fewer or when they are all equal.
///
/// t² = n (n - 2) G² / ((n - 1)² - n G²) follows Student's law with n - 2 degrees of freedom; the probability is n times
/// its two-sided tail, at most 1. With three values G cannot pass 2/√3, and one of them far off is one of three that
/// hardly agree.
///
/// # Source
/// F. E. Grubbs, Technometrics 11 (1969) 1; NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1.
pub fn farthest(values: &[f64]) -> Option<Farthest> {
    if values.len() < FEWEST {
        return None;
    }
    let n = values.len() as f64;
    let first = values[0];
    let mean = first + values.iter().map(|v| v - first).sum::<f64>() / n;
    let squares: f64 = values.iter().map(|v| (v - mean) * (v - mean)).sum();
    let s = (squares / (n - 1.0)).sqrt();
    if !(s > 0.0 && s.is_finite()) {
        return None;
    }
    let away = |i: &usize| (values[*i] - mean).abs();
    let index = (0..values.len()).max_by(|a, b| away(a).total_cmp(&away(b)))?;
    let statistic = away(&index) / s;
    let left = (n - 1.0) * (n - 1.0) - n * statistic * statistic;
    let t = if left > 0.0 {
        statistic * (n * (n - 2.0) / left).sqrt()
    } else {
        f64::INFINITY
    };
    Some(Farthest {
        index,
        statistic,
        p_value: (n * student::two_sided_tail(t, n - 2.0)).min(1.0),
    })
}

/// The G that `n` ≥ 3 values pass by chance alone with the probability `level`, either way.
pub fn critical(n: usize, level: f64) -> f64 {
    let count = n as f64;
    let t = student::two_sided(1.0 - level / count, count - 2.0);
    (count - 1.0) / count.sqrt() * (t * t / (count - 2.0 + t * t)).sqrt()
}
