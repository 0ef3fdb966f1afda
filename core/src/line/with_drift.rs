//! Least squares with a steady drift: y = gradient x + intercept + rate t, where t is the order or time of the reading.

use super::precise::{Precise, sums};
use super::{Datum, Fitted, Line, LineError, require_spread};

/// Less of the spread of x than this is left when x is told by the order, and drift and gradient count as tied.
pub const LEAST_APART: f64 = 0.1;

/// A line with the drift beside it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WithDrift {
    /// The line through the readings less their drift; its errors and degrees of freedom (n - 3) allow for the drift's
    /// having been found from the same readings.
    pub fitted: Fitted,
    /// Change of y for unit change of t.
    pub rate: f64,
    /// Its standard error.
    pub rate_error: Option<f64>,
    /// How much larger than without a drift the standard error of the gradient is for the same scatter.
    pub widening: f64,
    /// The place in the order from which the drift counts: the first.
    pub start: f64,
}

/// The least-squares plane in x and t.
///
/// With S the sums about the means, D = Sxx Stt - Sxt², b = (Sxy Stt - Sty Sxt) / D, c = (Sty Sxx - Sxy Sxt) / D,
/// s² = SSE / (n - 3), se(b) = s √(Stt / D), se(c) = s √(Sxx / D).
///
/// # Errors
/// As [`super::least_squares::fit`]; [`LineError::TooFew`] below three points, and [`LineError::TiedToOrder`] when less
/// than [`LEAST_APART`] of the spread of x, or none of that of t, is left once the other is allowed for: a drift and
/// a gradient then look alike and no calculation can part them.
///
/// # Source
/// Any text on regression with two variables.
pub fn fit(data: &[Datum], order: &[f64]) -> Result<WithDrift, LineError> {
    require_spread(data)?;
    let n = data.len();
    if n < 3 || order.len() != n {
        return Err(LineError::TooFew {
            points: n.min(order.len()),
            needed: 3,
        });
    }
    // Most sweeps only ever raise the current: plain sums see that at once, with room for their rounding.
    if plainly_tied(data, order) {
        return Err(LineError::TiedToOrder);
    }
    let count = Precise::from(n as f64);
    let rows: Vec<(f64, f64, f64)> = data
        .iter()
        .zip(order)
        .map(|(d, t)| (d.x, d.y, *t))
        .collect();
    let mean = |total: Precise| total / count;
    let [mean_x, mean_y, mean_t] = sums(&rows, |(x, y, t)| [*x, *y, *t]).map(mean);
    let [xx, xt, tt] = sums(&rows, |(x, _, t)| {
        let (x, t) = (*x - mean_x, *t - mean_t);
        [x * x, x * t, t * t]
    });
    let spread = (xx * tt).value();
    let apart = xx * tt - xt * xt;
    if !(spread > 0.0 && apart.value() >= LEAST_APART * spread) {
        return Err(LineError::TiedToOrder);
    }
    let [xy, ty, yy] = sums(&rows, |(x, y, t)| {
        let (x, y, t) = (*x - mean_x, *y - mean_y, *t - mean_t);
        [x * y, t * y, y * y]
    });
    let gradient = (xy * tt - ty * xt) / apart;
    let rate = (ty * xx - xy * xt) / apart;
    let [squares] = sums(&rows, |(x, y, t)| {
        let residual = (*y - mean_y) - gradient * (*x - mean_x) - rate * (*t - mean_t);
        [residual * residual]
    });
    let degrees_of_freedom = n - 3;
    let variance =
        (degrees_of_freedom > 0).then(|| squares / Precise::from(degrees_of_freedom as f64));
    let root = |p: Precise| p.value().max(0.0).sqrt();
    // The line is told at the first reading's place in the order, where nothing has drifted yet.
    let first = Precise::from(order.iter().copied().fold(f64::INFINITY, f64::min));
    let back = first - mean_t;
    let intercept = mean_y - gradient * mean_x + rate * back;
    // a = ȳ - b x̄ + c τ with τ the step from the mean of the order to its first place, and cov(b, c) = -s² Sxt / D.
    let of_intercept = |v: Precise| {
        let cross = mean_x * back * xt;
        let parts = mean_x * mean_x * tt + back * back * xx + cross + cross;
        v * (Precise::from(1.0) / count + parts / apart)
    };
    let covariance = |v: Precise| -(v * (mean_x * tt + back * xt) / apart).value();
    // Where height and gradient are independent: var(a) - cov(a, b)² / var(b).
    let height = |v: Precise| {
        let cross = mean_x * tt + back * xt;
        let along = cross * cross / (apart * tt);
        root(of_intercept(v) - v * along)
    };
    Ok(WithDrift {
        fitted: Fitted {
            line: Line {
                gradient: gradient.value(),
                intercept: intercept.value(),
            },
            gradient_error: variance.map(|v| root(v * tt / apart)),
            intercept_error: variance.map(|v| root(of_intercept(v))),
            covariance: variance.map(covariance),
            height_error: variance.map(height),
            error_degrees_of_freedom: degrees_of_freedom as f64,
            residual_sd: variance.map(root),
            r_squared_about_mean: (degrees_of_freedom > 0 && yy.value() > 0.0)
                .then(|| (Precise::from(1.0) - squares / yy).value()),
            r_squared_about_zero: None,
            chi_squared: None,
            degrees_of_freedom,
            points: n,
            mean_x: mean_x.value(),
        },
        rate: rate.value(),
        rate_error: variance.map(|v| root(v * xx / apart)),
        widening: root(xx * tt / apart),
        start: first.value(),
    })
}

/// Whether less than half of [`LEAST_APART`] is left of the spread of x, by plain sums about the first reading.
fn plainly_tied(data: &[Datum], order: &[f64]) -> bool {
    let n = data.len() as f64;
    let (x0, t0) = (data[0].x, order[0]);
    let (mut x1, mut t1, mut xx, mut xt, mut tt) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for (d, t) in data.iter().zip(order) {
        let (x, t) = (d.x - x0, t - t0);
        x1 += x;
        t1 += t;
        xx += x * x;
        xt += x * t;
        tt += t * t;
    }
    let (xx, xt, tt) = (xx - x1 * x1 / n, xt - x1 * t1 / n, tt - t1 * t1 / n);
    xx * tt - xt * xt < 0.5 * LEAST_APART * xx * tt
}

#[cfg(test)]
mod tests {
    use super::*;

    fn data(points: &[(f64, f64)]) -> Vec<Datum> {
        let datum = |&(x, y): &(f64, f64)| Datum {
            x,
            y,
            ..Datum::default()
        };
        points.iter().map(datum).collect()
    }

    /// y = 2 + 3x + 0.5t exactly, t not tied to x.
    #[test]
    fn an_exact_plane_is_found() {
        let order = [1.0, 2.0, 3.0, 4.0, 5.0];
        let x = [0.0, 2.0, 1.0, 3.0, 1.0];
        let points: Vec<(f64, f64)> = x
            .iter()
            .zip(order)
            .map(|(x, t)| (*x, 2.0 + 3.0 * x + 0.5 * (t - 1.0)))
            .collect();
        let found = fit(&data(&points), &order).unwrap();
        assert!((found.fitted.line.gradient - 3.0).abs() < 1e-14);
        assert!((found.fitted.line.intercept - 2.0).abs() < 1e-14);
        assert!((found.rate - 0.5).abs() < 1e-14);
        assert_eq!(found.fitted.degrees_of_freedom, 2);
    }

    #[test]
    fn a_current_that_was_only_raised_is_tied_to_the_order() {
        let points = data(&[(0.0, 0.0), (1.0, 0.6), (2.0, 1.3), (3.0, 1.9)]);
        assert_eq!(
            fit(&points, &[1.0, 2.0, 3.0, 4.0]),
            Err(LineError::TiedToOrder)
        );
    }

    /// Without any part of the order in x the gradient's error is that of ordinary least squares but for the one degree
    /// of freedom less.
    #[test]
    fn an_order_at_right_angles_to_the_current_widens_nothing() {
        let points = data(&[(-1.0, -1.1), (1.0, 0.8), (1.0, 1.2), (-1.0, -0.8)]);
        let found = fit(&points, &[1.0, 2.0, 3.0, 4.0]).unwrap();
        assert!((found.widening - 1.0).abs() < 1e-12);
        let plain = super::super::least_squares::fit(&points).unwrap();
        assert!((found.fitted.line.gradient - plain.line.gradient).abs() < 1e-15);
    }
}
