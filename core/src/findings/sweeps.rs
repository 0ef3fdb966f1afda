//! What two halves of the readings say against each other: the two directions of the current, and the way up and the way
//! down.

use crate::figures::{Unit, rank};
use crate::line::{Datum, least_squares, student};
use crate::readings::{Point, Readings, in_order, repeats};

use super::{FamilySeen, Finding, Kind};

/// Level of the test that the two directions give one gradient.
pub const DIRECTIONS_LEVEL: f64 = 0.01;
/// Level of the test that the way up and the way down give the same readings.
pub const UP_DOWN_LEVEL: f64 = 0.01;

/// The t-test of the difference between the gradients of the readings at positive and at negative currents, each with its
/// own intercept and both with one scatter: n - 4 degrees of freedom, three readings each way at least.
///
/// # Source
/// Least squares with two lines of common variance, any text on regression.
pub fn directions(family: &FamilySeen) -> Option<Finding> {
    let half = |sign: f64| -> Vec<Datum> {
        let data = family.data.iter().filter(|d| d.x * sign > 0.0);
        data.copied().collect()
    };
    let (plus, minus) = (half(1.0), half(-1.0));
    if plus.len() < 3 || minus.len() < 3 {
        return None;
    }
    let (forward, reversed) = (
        least_squares::fit(&plus).ok()?,
        least_squares::fit(&minus).ok()?,
    );
    let dof = (plus.len() + minus.len() - 4) as f64;
    let variance = (forward.squares()? + reversed.squares()?) / dof;
    let per_variance = 1.0 / forward.spread_of_x(&plus) + 1.0 / reversed.spread_of_x(&minus);
    let error = (variance * per_variance).sqrt();
    // Without any scatter at all there is nothing to go by.
    if error <= 0.0 {
        return None;
    }
    let difference = forward.line.gradient - reversed.line.gradient;
    let t = student::ratio(difference, error);
    let p_value = student::two_sided_tail(t, dof);
    // What rounding to whole steps alone makes of a gradient is no difference.
    let reach = plus
        .iter()
        .chain(&minus)
        .map(|d| d.x.abs())
        .fold(0.0, f64::max);
    let step = family.data.iter().map(|d| d.bar_y).fold(0.0, f64::max);
    if p_value >= DIRECTIONS_LEVEL || difference.abs() * reach <= step {
        return None;
    }
    Some(Finding::new(
        Kind::DirectionsDisagree {
            ratio: reversed.line.gradient / forward.line.gradient,
        },
        super::rows_of(family.points.iter().filter(|p| p.x < 0.0)),
        Some(t),
        Some(p_value),
    ))
}

/// The t-test of the differences between the way up and the way down at equal currents, in a sweep that turns once: k - 1
/// degrees of freedom for k currents read both ways, three at least.
///
/// # Source
/// The paired t-test, any text on statistics.
pub fn up_and_down(family: &FamilySeen, readings: &Readings) -> Option<Finding> {
    let in_order = in_order(family.points);
    let turn = turn(&in_order)?;
    let raised_first = in_order[turn].x > in_order[0].x;
    let (first, second) = in_order.split_at(turn + 1);
    let mut second: Vec<&&Point> = second.iter().collect();
    second.sort_by_cached_key(|point| rank(point.x));
    let mut differences = Vec::new();
    let mut rows = Vec::new();
    // The turning point was reached once: a reading there has no partner.
    for point in first {
        let low = second.partition_point(|p| p.x < point.x);
        if let Some(partner) = second.get(low).filter(|p| p.x == point.x) {
            let sign = if raised_first { 1.0 } else { -1.0 };
            differences.push(sign * (partner.y - point.y));
            rows.push(partner.row);
        }
    }
    let k = differences.len();
    if k < 3 {
        return None;
    }
    let summary = repeats::summarise(&differences)?;
    let mean = summary.mean;
    let t = student::ratio(mean, summary.standard_error?);
    let p_value = student::two_sided_tail(t, (k - 1) as f64);
    // Two readings that are rounded to the same step or to neighbouring ones do not disagree.
    let step = readings.resolution.unwrap_or(0.0);
    if p_value >= UP_DOWN_LEVEL || mean.abs() <= step {
        return None;
    }
    let unit = readings.y_unit.unwrap_or(Unit::GRAM);
    Some(Finding::new(
        Kind::UpAndDownDisagree {
            difference: unit.from_si(mean),
            decimals: readings.y_decimals,
            unit: unit.symbol(),
        },
        rows,
        Some(t),
        Some(p_value),
    ))
}

/// Where a sweep turns back, if it goes one way and then the other and does nothing else: the index of the last reading
/// before it.
fn turn(in_order: &[&Point]) -> Option<usize> {
    let mut turned = None;
    let mut way = 0.0;
    for (i, pair) in in_order.windows(2).enumerate() {
        let step = pair[1].x - pair[0].x;
        if step == 0.0 {
            continue;
        }
        let now = step.signum();
        if way == 0.0 {
            way = now;
        } else if now != way {
            if turned.is_some() {
                return None;
            }
            turned = Some(i);
            way = now;
        }
    }
    // Where the current stayed at the turn, the readings there are shared out between the two ways.
    let last: usize = turned?;
    let top = in_order[last].x;
    let first = in_order[..=last].iter().position(|p| p.x == top)?;
    Some(first + (last - first) / 2)
}
