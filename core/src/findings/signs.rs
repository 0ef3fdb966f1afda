//! Signs that were lost, and currents that stand twice.

use crate::figures::Unit;
use crate::line::{Datum, Line};
use crate::readings::{Point, Readings};

use super::{FamilySeen, Finding, Kind};

/// The readings change sign although the current does not: a minus sign got lost on the way, or the size of a
/// reversed current was typed.
///
/// The statistic is the sum of squared residuals of a line through the origin over that of the same line through the
/// sizes of the readings; above ten the sizes tell a much better story than the signs.
pub fn lost(family: &FamilySeen) -> Option<Finding> {
    let data = family.data;
    let one_way = |get: fn(&Datum) -> f64| {
        data.iter().all(|d| get(d) >= 0.0) || data.iter().all(|d| get(d) <= 0.0)
    };
    if data.len() < 2 || !one_way(|d| d.x) || one_way(|d| d.y) {
        return None;
    }
    // A line through the origin leaves Σy² - (Σxy)² / Σx², and its sizes as much with |y|.
    let (mut xx, mut xy, mut x_size, mut yy) = (0.0, 0.0, 0.0, 0.0);
    for d in data {
        xx += d.x * d.x;
        xy += d.x * d.y;
        x_size += d.x * d.y.abs();
        yy += d.y * d.y;
    }
    if xx == 0.0 {
        return None;
    }
    let (signed, unsigned) = (yy - xy * xy / xx, (yy - x_size * x_size / xx).max(0.0));
    let ratio = signed / unsigned.max(signed * 1e-12);
    if ratio <= 10.0 {
        return None;
    }
    let positive = data.iter().filter(|d| d.y > 0.0).count();
    let negative = data.iter().filter(|d| d.y < 0.0).count();
    let odd = |p: &&Point| {
        if positive <= negative {
            p.y > 0.0
        } else {
            p.y < 0.0
        }
    };
    Some(Finding::new(
        Kind::SignsLost,
        super::rows_of(family.points.iter().filter(odd)),
        Some(ratio),
        None,
    ))
}

/// The same current twice with readings that differ by more than five steps of the balance, by more than half of what one
/// ordinary step of the current changes, and by more than six times the scatter of all other readings about their line.
///
/// `sorted` holds the points of the family by their x.
pub fn same_current(
    family: &FamilySeen,
    sorted: &[&Point],
    readings: &Readings,
) -> Option<Finding> {
    let step = readings.resolution.unwrap_or(0.0);
    // In a table of thousands of rows hardly a current has readings so far apart: what the others ask comes after.
    let apart: Vec<(&[&Point], f64, f64)> = sorted
        .chunk_by(|a, b| a.x == b.x)
        .filter(|group| group.len() > 1)
        .map(|group| {
            let low = group.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
            let high = group.iter().map(|p| p.y).fold(f64::NEG_INFINITY, f64::max);
            (group, low, high)
        })
        .filter(|(_, low, high)| high - low > 5.0 * step)
        .collect();
    if apart.is_empty() {
        return None;
    }
    let ordinary = ordinary_step(sorted)?;
    let sums = Sums::of(sorted, family.fitted?.mean_x);
    let mut worst: Option<(f64, Finding)> = None;
    for (group, low, high) in apart {
        let Some((line, scatter)) = sums.without(group) else {
            continue;
        };
        let expected = (line.gradient * ordinary).abs();
        if high - low <= 0.5 * expected || high - low <= 6.0 * scatter {
            continue;
        }
        let statistic = (high - low) / expected;
        if worst.as_ref().is_some_and(|(known, _)| *known >= statistic) {
            continue;
        }
        let unit = readings.x_unit.unwrap_or(Unit::AMPERE);
        let finding = Finding::new(
            Kind::SameCurrent {
                x: unit.from_si(group[0].x),
                decimals: readings.x_decimals,
                unit: unit.symbol(),
                reversed: (low - line.intercept) * (high - line.intercept) < 0.0,
            },
            super::rows_of(group.iter().copied()),
            Some(statistic),
            None,
        );
        worst = Some((statistic, finding));
    }
    worst.map(|(_, finding)| finding)
}

/// The middle one of the steps between different currents that follow one another; `None` when all are the same.
fn ordinary_step(sorted: &[&Point]) -> Option<f64> {
    let mut steps: Vec<f64> = sorted
        .windows(2)
        .map(|w| w[1].x - w[0].x)
        .filter(|d| *d > 0.0)
        .collect();
    if steps.is_empty() {
        return None;
    }
    let middle = steps.len() / 2;
    Some(*steps.select_nth_unstable_by(middle, f64::total_cmp).1)
}

/// Sums from which the line without a few of the points can be had at once. They are about the first reading and the
/// mean current, which is precise enough for a line that only serves as a yardstick.
struct Sums {
    origin: (f64, f64),
    n: f64,
    x: f64,
    y: f64,
    xx: f64,
    xy: f64,
    yy: f64,
}

impl Sums {
    fn of(points: &[&Point], mean_x: f64) -> Sums {
        let origin = (mean_x, points.first().map_or(0.0, |p| p.y));
        let zero = Sums {
            origin,
            n: 0.0,
            x: 0.0,
            y: 0.0,
            xx: 0.0,
            xy: 0.0,
            yy: 0.0,
        };
        points
            .iter()
            .fold(zero, |sums, point| sums.with(point, 1.0))
    }

    fn with(self, point: &Point, sign: f64) -> Sums {
        let (x, y) = (point.x - self.origin.0, point.y - self.origin.1);
        Sums {
            origin: self.origin,
            n: self.n + sign,
            x: self.x + sign * x,
            y: self.y + sign * y,
            xx: self.xx + sign * x * x,
            xy: self.xy + sign * x * y,
            yy: self.yy + sign * y * y,
        }
    }

    /// The least-squares line without `group` and the scatter about it, 0 for two points; `None` when fewer than two
    /// currents are left.
    fn without(&self, group: &[&Point]) -> Option<(Line, f64)> {
        let start = Sums { ..*self };
        let rest = group
            .iter()
            .fold(start, |sums, point| sums.with(point, -1.0));
        let spread = rest.xx - rest.x * rest.x / rest.n;
        if rest.n < 2.0 || spread <= 1e-12 * self.xx {
            return None;
        }
        let gradient = (rest.xy - rest.x * rest.y / rest.n) / spread;
        let mean = (
            rest.x / rest.n + self.origin.0,
            rest.y / rest.n + self.origin.1,
        );
        let squares = rest.yy - rest.y * rest.y / rest.n - gradient * gradient * spread;
        let scatter = if rest.n > 2.0 {
            (squares.max(0.0) / (rest.n - 2.0)).sqrt()
        } else {
            0.0
        };
        let line = Line {
            gradient,
            intercept: mean.1 - gradient * mean.0,
        };
        Some((line, scatter))
    }
}
