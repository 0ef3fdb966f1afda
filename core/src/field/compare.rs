//! Comparison of the result with a probe reading or an expected value.

/// The comparison, in sizes: a probe turned over reads the same field with the other sign.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Comparison {
    /// The value compared with, T, as a size.
    pub expected_t: f64,
    /// Its half-width as typed, T.
    pub expected_half_width_t: Option<f64>,
    /// |B| minus it, T.
    pub difference_t: f64,
    /// The difference in % of the expected value.
    pub percentage_difference: f64,
    /// |difference| / sqrt(U² + U'²) with expanded uncertainties.
    pub normalised_error: Option<f64>,
    /// Whether |difference| is within the sum of the school uncertainties.
    pub ranges_overlap: Option<bool>,
}

impl Comparison {
    /// The verdict: by the normalised error where there is one, else by the ranges.
    pub fn agrees(&self) -> Option<bool> {
        self.normalised_error
            .map(|e| e <= 1.0)
            .or(self.ranges_overlap)
    }
}

/// Compares the size of `flux_density_t` with the size of `expected_t`.
///
/// `school_t` and `expanded_t` are the half-widths of the result by the school rule and at 95 %; the half-width of the
/// expected value is used as typed in both (a probe's accuracy is usually stated at about 95 %). Without one the expected
/// value counts as exact. `None` when the expected value is zero or not finite.
///
/// # Source
/// E_n: ISO/IEC 17043:2010 annex B; consistent when it is not above 1. Ranges that overlap: common practice, no source.
pub fn compare(
    flux_density_t: f64,
    school_t: Option<f64>,
    expanded_t: Option<f64>,
    expected_t: f64,
    expected_half_width_t: Option<f64>,
) -> Option<Comparison> {
    let expected_t = expected_t.abs();
    if !(expected_t > 0.0 && expected_t.is_finite() && flux_density_t.is_finite()) {
        return None;
    }
    let difference_t = flux_density_t.abs() - expected_t;
    let other = expected_half_width_t.unwrap_or(0.0);
    Some(Comparison {
        expected_t,
        expected_half_width_t,
        difference_t,
        percentage_difference: 100.0 * difference_t / expected_t,
        normalised_error: expanded_t
            .map(|u| (u * u + other * other).sqrt())
            .filter(|u| *u > 0.0)
            .map(|u| difference_t.abs() / u),
        ranges_overlap: school_t.map(|u| difference_t.abs() <= u + other),
    })
}
