//! The line where x and y both carry stated uncertainties, not correlated with each other.

use super::{Datum, Fitted, Line, LineError, least_squares, require_spread};

/// Steps after which an iteration that has not settled is given up; ordinary data need fewer than twenty.
const MOST_STEPS: usize = 500;

/// York's line: the maximum-likelihood straight line for uncertainties in both coordinates.
///
/// With weights w_x = 1/u_x², w_y = 1/u_y², each point counts with W = w_x w_y / (w_x + b² w_y), and
/// b = ΣWβV / ΣWβU is iterated from the ordinary line, where U = x - x̄, V = y - ȳ (means weighted by W) and
/// β = W (U/w_y + b V/w_x). The standard errors are those of the 2004 paper (leverages from the adjusted points,
/// stated weights at face value, not rescaled by the scatter).
///
/// # Errors
/// [`LineError::TooFew`] below two points; [`LineError::NoSpread`]; [`LineError::NoUncertainty`] for a point with no
/// uncertainty in y; [`LineError::NotSettled`].
///
/// # Source
/// D. York, N. M. Evensen, M. López Martínez, J. De Basabe Delgado, Am. J. Phys. 72 (2004) 367.
pub fn fit(data: &[Datum]) -> Result<Fitted, LineError> {
    require_spread(data)?;
    let usable = |d: &Datum| d.u_y > 0.0 && d.u_y.is_finite() && d.u_x >= 0.0 && d.u_x.is_finite();
    if let Some(index) = data.iter().position(|d| !usable(d)) {
        return Err(LineError::NoUncertainty { index });
    }
    let mut gradient = least_squares::fit(data)?.line.gradient;
    for _ in 0..MOST_STEPS {
        let step = step(data, gradient);
        if !step.gradient.is_finite() {
            return Err(LineError::NotSettled);
        }
        let moved = (step.gradient - gradient).abs();
        gradient = step.gradient;
        if moved <= 4.0 * f64::EPSILON * gradient.abs() {
            return Ok(finish(data, gradient));
        }
    }
    Err(LineError::NotSettled)
}

/// The weight of a point for a line of this gradient: the inverse of its variance across the line.
fn weight(d: &Datum, gradient: f64) -> f64 {
    1.0 / (d.u_y * d.u_y + gradient * gradient * d.u_x * d.u_x)
}

struct Step {
    gradient: f64,
    mean_x: f64,
    mean_y: f64,
}

fn step(data: &[Datum], gradient: f64) -> Step {
    let (mut w_sum, mut w_x, mut w_y) = (0.0, 0.0, 0.0);
    // Sums about the first point, so that an untared balance costs no digits.
    let (x0, y0) = (data[0].x, data[0].y);
    for d in data {
        let w = weight(d, gradient);
        w_sum += w;
        w_x += w * (d.x - x0);
        w_y += w * (d.y - y0);
    }
    let (mean_x, mean_y) = (x0 + w_x / w_sum, y0 + w_y / w_sum);
    let (mut above, mut below) = (0.0, 0.0);
    for d in data {
        let w = weight(d, gradient);
        let (u, v) = (d.x - mean_x, d.y - mean_y);
        let beta = w * (u * d.u_y * d.u_y + gradient * v * d.u_x * d.u_x);
        above += w * beta * v;
        below += w * beta * u;
    }
    Step {
        gradient: above / below,
        mean_x,
        mean_y,
    }
}

fn finish(data: &[Datum], gradient: f64) -> Fitted {
    let n = data.len();
    let Step { mean_x, mean_y, .. } = step(data, gradient);
    let intercept = mean_y - gradient * mean_x;
    let (mut w_sum, mut w_adjusted, mut chi_squared, mut squares) = (0.0, 0.0, 0.0, 0.0);
    let adjusted = |d: &Datum| {
        let w = weight(d, gradient);
        let (u, v) = (d.x - mean_x, d.y - mean_y);
        w * (u * d.u_y * d.u_y + gradient * v * d.u_x * d.u_x)
    };
    for d in data {
        let w = weight(d, gradient);
        let residual = (d.y - mean_y) - gradient * (d.x - mean_x);
        w_sum += w;
        w_adjusted += w * adjusted(d);
        chi_squared += w * residual * residual;
        squares += residual * residual;
    }
    let mean_adjusted = w_adjusted / w_sum;
    let spread: f64 = data
        .iter()
        .map(|d| {
            let u = adjusted(d) - mean_adjusted;
            weight(d, gradient) * u * u
        })
        .sum();
    let x_adjusted = mean_x + mean_adjusted;
    let degrees_of_freedom = n - 2;
    Fitted {
        line: Line {
            gradient,
            intercept,
        },
        gradient_error: Some((1.0 / spread).sqrt()),
        intercept_error: Some((1.0 / w_sum + x_adjusted * x_adjusted / spread).sqrt()),
        covariance: Some(-x_adjusted / spread),
        height_error: Some((1.0 / w_sum).sqrt()),
        error_degrees_of_freedom: f64::INFINITY,
        residual_sd: (degrees_of_freedom > 0).then(|| (squares / degrees_of_freedom as f64).sqrt()),
        r_squared_about_mean: None,
        r_squared_about_zero: None,
        chi_squared: Some(chi_squared),
        degrees_of_freedom,
        points: n,
        mean_x,
    }
}
