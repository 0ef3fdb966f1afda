//! What the residuals of the best line say: a point far off, a bend, a zero error, a line too good to be true.

use crate::figures::Unit;
use crate::line::{Datum, Fitted, least_squares, student};
use crate::readings::{Basis, Readings};

use super::{FamilySeen, Finding, Kind};

/// Level of the outlier test, all points of a table together.
pub const OUTLIER_LEVEL: f64 = 0.05;
/// Level of the test for a bend.
pub const BEND_LEVEL: f64 = 0.01;
/// Level of the test for a jump in the series, all places of it together.
pub const STEP_LEVEL: f64 = 0.05;
/// Level of the test for a zero error.
pub const ZERO_LEVEL: f64 = 0.01;

/// The largest externally studentised residual, t with n - 3 degrees of freedom, its probability times n for the
/// n comparisons.
///
/// # Source
/// R. D. Cook and S. Weisberg, Residuals and Influence in Regression (1982), 2.2.2, from memory; the Bonferroni bound.
pub fn outlier(family: &FamilySeen, readings: &Readings) -> Option<Finding> {
    let (fitted, data) = (family.fitted?, family.data);
    let n = data.len();
    let s = fitted.residual_sd.filter(|s| *s > 0.0)?;
    // With four points the other three fix the scatter by a single degree of freedom: too little to accuse one.
    if n < 5 {
        return None;
    }
    let s_xx = fitted.spread_of_x(data);
    let dof = (fitted.degrees_of_freedom - 1) as f64;
    let (mut worst, mut farthest) = (0, 0.0_f64);
    for (i, d) in data.iter().enumerate() {
        let leverage = 1.0 / n as f64 + (d.x - fitted.mean_x) * (d.x - fitted.mean_x) / s_xx;
        let residual = d.y - fitted.line.at(d.x);
        // The square over the variance it would have: t grows with it.
        let inside = residual * residual / (1.0 - leverage).max(1e-12);
        if inside > farthest {
            (worst, farthest) = (i, inside);
        }
    }
    let inside = farthest / (s * s);
    let largest = (inside * dof / (dof + 1.0 - inside).max(1e-12)).sqrt();
    let p_value = (n as f64 * student::two_sided_tail(largest, dof)).min(1.0);
    let off = (data[worst].y - fitted.line.at(data[worst].x)).abs();
    // Rounding to whole steps is no normal scatter: a point within its own bar is not far off, whatever t says.
    if p_value >= OUTLIER_LEVEL || off <= data[worst].bar_y {
        return None;
    }
    let rest: Vec<Datum> = data
        .iter()
        .enumerate()
        .filter(|(i, _)| *i != worst)
        .map(|(_, d)| *d)
        .collect();
    let without = least_squares::fit(&rest).ok()?.line;
    let ratio = without.gradient / fitted.line.gradient;
    let zeros = data[worst].x == 0.0 && data[worst].y == 0.0;
    let kind = if zeros {
        let unit = readings.y_unit.unwrap_or(Unit::GRAM);
        Kind::ZeroRowContradicted {
            ratio,
            zero: unit.from_si(without.intercept),
            decimals: readings.y_decimals,
            unit: unit.symbol(),
        }
    } else {
        Kind::Outlier { ratio }
    };
    Some(Finding::new(
        kind,
        vec![family.points.get(worst)?.row],
        Some(largest),
        Some(p_value),
    ))
}

/// The t-test of a quadratic term, n - 3 degrees of freedom.
pub fn bend(family: &FamilySeen) -> Option<Finding> {
    let (fitted, data) = (family.fitted?, family.data);
    let n = data.len();
    if n < 5 || fitted.residual_sd.is_none_or(|s| s <= 0.0) {
        return None;
    }
    // The square of x, less its own straight line: what a bend adds that no line can. About the mean and over the largest
    // distance from it, so that plain sums do.
    let n = n as f64;
    let mut scale = 0.0_f64;
    for d in data {
        scale = scale.max((d.x - fitted.mean_x).abs());
    }
    let per_scale = 1.0 / scale;
    let at = |d: &Datum| (d.x - fitted.mean_x) * per_scale;
    let (mut x_1, mut x_2, mut x_3) = (0.0, 0.0, 0.0);
    for d in data {
        let x = at(d);
        x_1 += x;
        x_2 += x * x;
        x_3 += x * x * x;
    }
    let slope = (x_3 - x_1 * x_2 / n) / (x_2 - x_1 * x_1 / n);
    let height = (x_2 - slope * x_1) / n;
    let (mut q_q, mut q_r, mut r_r) = (0.0, 0.0, 0.0);
    for d in data {
        let x = at(d);
        let q = x * x - slope * x - height;
        let r = d.y - fitted.line.at(d.x);
        q_q += q * q;
        q_r += q * r;
        r_r += r * r;
    }
    // Three distinct currents at least, or there is no bend to see.
    if q_q <= 1e-9 {
        return None;
    }
    let coefficient = q_r / q_q;
    let left = (r_r - coefficient * q_r).max(0.0);
    let dof = (fitted.degrees_of_freedom - 1) as f64;
    let t = if left > 0.0 {
        coefficient / (left / dof / q_q).sqrt()
    } else {
        f64::INFINITY
    };
    let p_value = student::two_sided_tail(t, dof);
    // Residuals made by rounding alone can follow a curve; they are no larger than a step of the balance.
    let seen = || {
        let rounding = data.iter().map(|d| d.bar_y).fold(0.0, f64::max);
        let by_steps = |basis: Basis| basis == Basis::Resolution;
        coefficient.abs() > rounding || !family.points.iter().all(|p| by_steps(p.basis))
    };
    (p_value < BEND_LEVEL && seen()).then(|| {
        Finding::new(
            Kind::Bend {
                steeper: coefficient * fitted.line.gradient > 0.0,
            },
            super::rows_of(family.points.iter()),
            Some(t.abs()),
            Some(p_value),
        )
    })
}

/// The largest jump between neighbouring rows: the line is fitted with one gradient and, from some row on, another
/// intercept; t with n - 3 degrees of freedom, its probability times the n - 3 places where a jump may be.
///
/// # Source
/// Least squares with an indicator variable, any text on regression; the Bonferroni bound.
pub fn step(family: &FamilySeen) -> Option<Finding> {
    let (fitted, data) = (family.fitted?, family.data);
    let n = data.len();
    let total = fitted.squares().filter(|squares| *squares > 0.0)?;
    if n < 7 {
        return None;
    }
    let s_xx = fitted.spread_of_x(data);
    let (count, dof) = (n as f64, (fitted.degrees_of_freedom - 1) as f64);
    let (mut of_x, mut of_residual) = (0.0, 0.0);
    // What the jump after row k takes off the squares, as large as t is: with where it stands, its own slope and size.
    let mut largest: Option<(f64, usize, f64, f64)> = None;
    let (of_mean, of_spread) = (1.0 / count, 1.0 / s_xx);
    for (k, d) in data.iter().enumerate().take(n - 2) {
        of_x += d.x - fitted.mean_x;
        of_residual += d.y - fitted.line.at(d.x);
        if k == 0 {
            continue;
        }
        // The indicator of the rows after k, less its own straight line in x, and its product with the residuals.
        let after = count - (k + 1) as f64;
        let size = after - after * after * of_mean - of_x * of_x * of_spread;
        if size <= 1e-9 {
            continue;
        }
        let taken = of_residual * of_residual / size;
        if largest.is_none_or(|(known, ..)| taken > known) {
            largest = Some((taken, k, of_x, of_residual / size));
        }
    }
    let (taken, k, of_x, height) = largest?;
    let left = (total - taken).max(0.0);
    // Against the height's own error, √(left / dof / size), where taken is height² size.
    let t = (taken * dof / left.max(f64::MIN_POSITIVE)).sqrt();
    let gradient = fitted.line.gradient - height * of_x * of_spread;
    let p_value = (dof * student::two_sided_tail(t, dof)).min(1.0);
    let bar = data[k].bar_y.max(data[k + 1].bar_y);
    let jump = (data[k + 1].y - data[k].y - gradient * (data[k + 1].x - data[k].x)).abs();
    // Rounding to whole steps makes little jumps of its own.
    (p_value < STEP_LEVEL && jump > 2.0 * bar).then(|| {
        Finding::new(
            Kind::Step {
                ratio: gradient / fitted.line.gradient,
            },
            super::rows_of(family.points[k..=k + 1].iter()),
            Some(t),
            Some(p_value),
        )
    })
}

/// The t-test of the intercept, n - 2 degrees of freedom; for an untared balance, the zero itself.
pub fn zero_error(family: &FamilySeen, readings: &Readings) -> Option<Finding> {
    let fitted = family.fitted?;
    let unit = readings.y_unit.unwrap_or(Unit::GRAM);
    if readings.untared {
        return Some(Finding::new(
            Kind::Untared {
                zero: unit.from_si(fitted.line.intercept),
                decimals: readings.y_decimals,
                unit: unit.symbol(),
            },
            Vec::new(),
            None,
            None,
        ));
    }
    let error = fitted.intercept_error?;
    if fitted.degrees_of_freedom == 0 {
        return None;
    }
    let step = readings.resolution.unwrap_or(0.0);
    // Rounding alone moves an intercept by a part of a step.
    if fitted.line.intercept.abs() <= step {
        return None;
    }
    let t = student::ratio(fitted.line.intercept, error);
    let p_value = student::two_sided_tail(t, fitted.degrees_of_freedom as f64);
    (p_value < ZERO_LEVEL).then(|| {
        Finding::new(
            Kind::ZeroError {
                intercept: unit.from_si(fitted.line.intercept),
                decimals: readings.y_decimals,
                unit: unit.symbol(),
            },
            Vec::new(),
            Some(t),
            Some(p_value),
        )
    })
}

/// Whether the scatter is less than a tenth of what the rounding to whole steps alone would make of it
/// (step / √12), so that it says nothing of the uncertainty.
pub fn is_too_perfect(fitted: &Fitted, step: f64) -> bool {
    fitted.degrees_of_freedom > 0
        && fitted
            .residual_sd
            .is_some_and(|s| s < 0.1 * step / 12.0_f64.sqrt())
}

/// A line that is better than the instrument can show.
pub fn too_perfect(family: &FamilySeen) -> Option<Finding> {
    let fitted = family.fitted?;
    let bars = family.data.iter().map(|d| d.bar_y);
    let step = bars.fold(f64::INFINITY, f64::min);
    (step.is_finite() && fitted.line.gradient != 0.0 && is_too_perfect(fitted, step)).then(|| {
        Finding::new(
            Kind::TooPerfect,
            Vec::new(),
            fitted.residual_sd.map(|s| s / step),
            None,
        )
    })
}
