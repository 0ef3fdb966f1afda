//! What the order of the readings shows: a steady drift, and when it cannot show one.

use crate::figures::Unit;
use crate::line::{student, with_drift};
use crate::readings::{Order, Point, Readings, in_order};

use super::{FamilySeen, Finding, Kind};

/// Level of the test for a drift.
pub const DRIFT_LEVEL: f64 = 0.01;

/// The t-test of a term in the order of the readings beside the gradient, n - 3 degrees of freedom; only where the order
/// is not tied to the current.
pub fn drift(family: &FamilySeen, readings: &Readings) -> Option<Finding> {
    let data = family.data;
    if data.len() < 6 || family.zero_watched {
        return None;
    }
    let order: Vec<f64> = family.points.iter().map(|p| p.order).collect();
    let found = with_drift::fit(data, &order).ok()?;
    let error = found.rate_error?;
    let t = student::ratio(found.rate, error);
    let dof = (data.len() - 3) as f64;
    let p_value = student::two_sided_tail(t, dof);
    let high = order.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let whole = found.rate * (high - found.start);
    // Rounding to whole steps can look like a drift of less than one.
    let step = readings.resolution.unwrap_or(0.0);
    if p_value >= DRIFT_LEVEL || whole.abs() <= step {
        return None;
    }
    let unit = readings.y_unit.unwrap_or(Unit::GRAM);
    Some(Finding::new(
        Kind::Drift {
            whole: unit.from_si(whole),
            unit: unit.symbol(),
            ratio: found.fitted.line.gradient / family.fitted?.line.gradient,
        },
        Vec::new(),
        Some(t),
        Some(p_value),
    ))
}

/// Times stand beside the readings and the current went along with them: no calculation can part drift from gradient.
pub fn not_separable(family: &FamilySeen, readings: &Readings) -> Option<Finding> {
    if readings.order != Order::Time || family.zero_watched {
        return None;
    }
    let way = one_way(family.points)?;
    Some(Finding::new(
        Kind::DriftNotSeparable,
        Vec::new(),
        Some(way),
        None,
    ))
}

/// Which way the current went when at least three readings were taken with it only ever raised (1) or only ever lowered
/// (-1), and not always the same.
pub fn one_way(points: &[Point]) -> Option<f64> {
    let in_order = in_order(points);
    let up = in_order.windows(2).all(|pair| pair[1].x >= pair[0].x);
    let down = in_order.windows(2).all(|pair| pair[1].x <= pair[0].x);
    match (up, down) {
        _ if in_order.len() < 3 => None,
        (true, false) => Some(1.0),
        (false, true) => Some(-1.0),
        _ => None,
    }
}
