//! Least squares of y on x, every point with the same weight.

use super::precise::{Precise, sums};
use super::{Datum, Fitted, Line, LineError, require_spread};

/// The straight line with a free intercept that makes the sum of squared vertical residuals least.
///
/// b = Sxy / Sxx, a = ȳ - b x̄, s² = SSE / (n - 2), se(b) = s / √Sxx, se(a) = s √(1/n + x̄²/Sxx),
/// cov(a, b) = -s² x̄ / Sxx, with S the sums about the means. The sums are formed about the means and in twice
/// the precision of a float, so that neither an untared balance nor a time stamp on x costs digits.
///
/// # Errors
/// [`LineError::TooFew`] below two points; [`LineError::NoSpread`] when all x are equal to within rounding.
///
/// # Source
/// Any text on regression, e.g. JCGM 100:2008 annex H.3; checked against the certified NIST StRD set Norris.
pub fn fit(data: &[Datum]) -> Result<Fitted, LineError> {
    let n = data.len();
    require_spread(data)?;
    let count = Precise::from(n as f64);
    let [sum_x, sum_y] = sums(data, |d| [d.x, d.y]);
    let mean_x = sum_x / count;
    let first_y = data[0].y;
    if data.iter().all(|d| d.y == first_y) {
        return Ok(level(n, mean_x.value(), first_y));
    }
    let mean_y = sum_y / count;
    let [s_xx, s_xy, s_yy] = sums(data, |d| {
        let (dx, dy) = (d.x - mean_x, d.y - mean_y);
        [dx * dx, dx * dy, dy * dy]
    });
    let gradient = s_xy / s_xx;
    let intercept = mean_y - gradient * mean_x;
    let [squares] = sums(data, |d| {
        let residual = (d.y - mean_y) - gradient * (d.x - mean_x);
        [residual * residual]
    });
    let degrees_of_freedom = n - 2;
    let variance =
        (degrees_of_freedom > 0).then(|| squares / Precise::from(degrees_of_freedom as f64));
    Ok(Fitted {
        line: Line {
            gradient: gradient.value(),
            intercept: intercept.value(),
        },
        gradient_error: variance.map(|v| (v / s_xx).value().max(0.0).sqrt()),
        intercept_error: variance.map(|v| {
            let scale = Precise::from(1.0) / count + mean_x * mean_x / s_xx;
            (v * scale).value().max(0.0).sqrt()
        }),
        covariance: variance.map(|v| -(v * mean_x / s_xx).value()),
        height_error: variance.map(|v| (v / count).value().max(0.0).sqrt()),
        error_degrees_of_freedom: degrees_of_freedom as f64,
        residual_sd: variance.map(|v| v.value().max(0.0).sqrt()),
        r_squared_about_mean: (degrees_of_freedom > 0)
            .then(|| (Precise::from(1.0) - squares / s_yy).value()),
        r_squared_about_zero: None,
        chi_squared: None,
        degrees_of_freedom,
        points: n,
        mean_x: mean_x.value(),
    })
}

/// The line through equal readings: a gradient of exactly 0 (no noise from rounding), and no R².
fn level(n: usize, mean_x: f64, y: f64) -> Fitted {
    let known = (n > 2).then_some(0.0);
    Fitted {
        line: Line {
            gradient: 0.0,
            intercept: y,
        },
        gradient_error: known,
        intercept_error: known,
        covariance: known,
        height_error: known,
        error_degrees_of_freedom: (n - 2) as f64,
        residual_sd: known,
        r_squared_about_mean: None,
        r_squared_about_zero: None,
        chi_squared: None,
        degrees_of_freedom: n - 2,
        points: n,
        mean_x,
    }
}

/// The straight line through the origin that makes the sum of squared vertical residuals least.
///
/// b = Σxy / Σx² with n - 1 degrees of freedom. Two R² exist for such a line and both are given: 1 - SSE/Σy²
/// (about zero, always near 1) and 1 - SSE/Σ(y - ȳ)² (about the mean, the one that may be compared with that of
/// a free line, and which may be negative).
///
/// # Errors
/// [`LineError::TooFew`] without points; [`LineError::NoSpread`] when every x is zero.
///
/// # Source
/// Checked against the certified NIST StRD sets NoInt1 and NoInt2.
pub fn through_origin(data: &[Datum]) -> Result<Fitted, LineError> {
    let n = data.len();
    if n < 1 {
        return Err(LineError::TooFew {
            points: n,
            needed: 1,
        });
    }
    if data.iter().all(|d| d.x == 0.0) {
        return Err(LineError::NoSpread);
    }
    let [xx, xy, yy, sum_y] = sums(data, |d| {
        let (x, y) = (Precise::from(d.x), Precise::from(d.y));
        [x * d.x, x * d.y, y * d.y, y]
    });
    let gradient = xy / xx;
    let mean_y = sum_y / Precise::from(n as f64);
    let [squares, s_yy] = sums(data, |d| {
        let (residual, dy) = (d.y - gradient * d.x, d.y - mean_y);
        [residual * residual, dy * dy]
    });
    let degrees_of_freedom = n - 1;
    let variance =
        (degrees_of_freedom > 0).then(|| squares / Precise::from(degrees_of_freedom as f64));
    let one_minus = |total: Precise| {
        (degrees_of_freedom > 0 && total.value() > 0.0)
            .then(|| (Precise::from(1.0) - squares / total).value())
    };
    Ok(Fitted {
        line: Line {
            gradient: gradient.value(),
            intercept: 0.0,
        },
        gradient_error: variance.map(|v| (v / xx).value().max(0.0).sqrt()),
        intercept_error: None,
        covariance: None,
        height_error: variance.map(|_| 0.0),
        error_degrees_of_freedom: degrees_of_freedom as f64,
        residual_sd: variance.map(|v| v.value().max(0.0).sqrt()),
        r_squared_about_mean: one_minus(s_yy),
        r_squared_about_zero: one_minus(yy),
        chi_squared: None,
        degrees_of_freedom,
        points: n,
        mean_x: 0.0,
    })
}
