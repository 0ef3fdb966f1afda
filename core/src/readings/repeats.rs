//! Repeated readings of one quantity.

/// Repeats summed up.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Summary {
    /// How many.
    pub count: usize,
    /// Arithmetic mean.
    pub mean: f64,
    /// Half of largest minus smallest.
    pub half_range: f64,
    /// s / √n with n - 1 degrees of freedom; `None` for a single reading.
    pub standard_error: Option<f64>,
}

/// Mean, half-range and standard error of the mean of `values`; `None` when there are none.
///
/// # Source
/// Half the range: teaching convention (common practice, no source). Standard error: JCGM 100:2008, 4.2.3.
pub fn summarise(values: &[f64]) -> Option<Summary> {
    let count = values.len();
    if count == 0 {
        return None;
    }
    // About the first value, so that equal repeats have exactly their own mean and no spread.
    let first = values[0];
    let n = count as f64;
    let mean = first + values.iter().map(|v| v - first).sum::<f64>() / n;
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let standard_error = (count > 1).then(|| {
        let squares: f64 = values.iter().map(|v| (v - mean) * (v - mean)).sum();
        (squares / (n - 1.0) / n).sqrt()
    });
    Some(Summary {
        count,
        mean,
        half_range: (high - low) / 2.0,
        standard_error,
    })
}

/// The middle one of some values in order, or the mean of the middle two; not a number when there are none.
pub fn median(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    let at = |index: usize| sorted.get(index).copied().unwrap_or(f64::NAN);
    let half = sorted.len() / 2;
    if sorted.len() % 2 == 1 {
        at(half)
    } else {
        (at(half.wrapping_sub(1)) + at(half)) / 2.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Five readings with mean 4.82, s = 0.0254950975679639, standard error 0.0114017542509914, half-range 0.03:
    /// worked by hand from the definitions.
    #[test]
    fn five_readings() {
        let s = summarise(&[4.82, 4.85, 4.79, 4.84, 4.80]).unwrap();
        assert!((s.mean - 4.82).abs() < 1e-12);
        assert!((s.half_range - 0.03).abs() < 1e-12);
        assert!((s.standard_error.unwrap() - 0.0114017542509914).abs() < 1e-14);
    }

    #[test]
    fn equal_repeats_have_no_spread_at_all() {
        let s = summarise(&[0.61, 0.61, 0.61]).unwrap();
        assert_eq!(
            (s.mean, s.half_range, s.standard_error),
            (0.61, 0.0, Some(0.0))
        );
    }

    #[test]
    fn the_middle_one_or_the_mean_of_two() {
        assert_eq!(
            (median(&[3.0, 1.0, 2.0]), median(&[4.0, 1.0, 3.0, 2.0])),
            (2.0, 2.5)
        );
        assert!(median(&[]).is_nan());
    }

    #[test]
    fn one_reading_has_no_standard_error_and_none_has_no_mean() {
        assert_eq!(summarise(&[1.0]).unwrap().standard_error, None);
        assert_eq!(summarise(&[]), None);
    }
}
