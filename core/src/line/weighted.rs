//! Least squares with a weight for each point, from its stated standard uncertainty in y.

use super::precise::{Precise, sums};
use super::{Datum, Fitted, Line, LineError, require_spread};

/// The straight line that makes chi-squared, Σ((y - a - b x) / u_y)², least.
///
/// The standard errors take the stated uncertainties at face value (they are not rescaled by the scatter):
/// se(b) = 1 / √Σw(x - x̄)², se(a) = √(1/Σw + x̄²/Σw(x - x̄)²), w = 1/u_y², x̄ the weighted mean.
///
/// # Errors
/// [`LineError::TooFew`] below two points; [`LineError::NoSpread`] when all x are equal;
/// [`LineError::NoUncertainty`] for a point whose u_y is not positive and finite.
pub fn fit(data: &[Datum]) -> Result<Fitted, LineError> {
    let n = data.len();
    require_spread(data)?;
    let usable = |d: &Datum| d.u_y > 0.0 && d.u_y.is_finite();
    if let Some(index) = data.iter().position(|d| !usable(d)) {
        return Err(LineError::NoUncertainty { index });
    }
    let weight = |d: &Datum| Precise::from(1.0) / (Precise::from(d.u_y) * Precise::from(d.u_y));
    let [w_sum, w_x, w_y] = sums(data, |d| {
        let w = weight(d);
        [w, w * d.x, w * d.y]
    });
    let (mean_x, mean_y) = (w_x / w_sum, w_y / w_sum);
    let [s_xx, s_xy, s_yy] = sums(data, |d| {
        let (w, dx, dy) = (weight(d), d.x - mean_x, d.y - mean_y);
        [w * dx * dx, w * dx * dy, w * dy * dy]
    });
    let gradient = s_xy / s_xx;
    let [squares, chi_squared] = sums(data, |d| {
        let residual = (d.y - mean_y) - gradient * (d.x - mean_x);
        [residual * residual, weight(d) * residual * residual]
    });
    let one = Precise::from(1.0);
    let degrees_of_freedom = n - 2;
    Ok(Fitted {
        line: Line {
            gradient: gradient.value(),
            intercept: (mean_y - gradient * mean_x).value(),
        },
        gradient_error: Some((one / s_xx).value().sqrt()),
        intercept_error: Some((one / w_sum + mean_x * mean_x / s_xx).value().sqrt()),
        covariance: Some(-(mean_x / s_xx).value()),
        height_error: Some((one / w_sum).value().sqrt()),
        error_degrees_of_freedom: f64::INFINITY,
        residual_sd: (degrees_of_freedom > 0).then(|| {
            (squares / Precise::from(degrees_of_freedom as f64))
                .value()
                .sqrt()
        }),
        r_squared_about_mean: (degrees_of_freedom > 0 && s_yy.value() > 0.0)
            .then(|| (one - chi_squared / s_yy).value()),
        r_squared_about_zero: None,
        chi_squared: Some(chi_squared.value()),
        degrees_of_freedom,
        points: n,
        mean_x: mean_x.value(),
    })
}
