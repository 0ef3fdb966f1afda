//! Readings with the current one way and the other, joined in pairs.

use std::sync::Arc;

use super::{Point, Readings, Remark};
use crate::figures::rank;

/// Replaces the points by pairs: x is the size of the current and y half the difference of the two readings,
/// (m(+I) - m(-I)) / 2. A constant error of the zero cancels exactly and a slow drift nearly.
///
/// Among the points of one family and one size of current the first forward reading is paired with the first reversed
/// one, the second with the second, in the order in which they were taken. Points left out by the user, at no current
/// or without a partner are not used, and the last are named. Half a difference of two readings of uncertainty u
/// each is uncertain by u/√2, and its bar is the mean of the two bars. Nothing is changed when there is no pair at all.
///
/// # Source
/// Common practice, no source; the uncertainty by JCGM 100:2008, 5.1.2.
pub fn pair(readings: &mut Readings) {
    let mut sorted: Vec<&Point> = readings
        .points
        .iter()
        .filter(|p| !p.excluded && p.x != 0.0)
        .collect();
    sorted.sort_by_cached_key(|p| (p.family, rank(p.x.abs()), rank(p.order)));
    // The same current, typed once as 1.5 and once as -1.50, is the same to the last binary digit or nearly.
    let same = |a: &&Point, b: &&Point| {
        a.family == b.family && (a.x.abs() - b.x.abs()).abs() <= 1e-9 * b.x.abs()
    };
    let mut pairs: Vec<Point> = Vec::new();
    let mut alone: Vec<usize> = Vec::new();
    for group in sorted.chunk_by(same) {
        let (forward, reversed): (Vec<&Point>, Vec<&Point>) = group.iter().partition(|p| p.x > 0.0);
        let both = forward.len().min(reversed.len());
        pairs.extend(
            forward
                .iter()
                .zip(&reversed)
                .map(|(f, r)| half_difference(f, r)),
        );
        alone.extend(
            forward[both..]
                .iter()
                .chain(&reversed[both..])
                .map(|p| p.row),
        );
    }
    if pairs.is_empty() {
        return;
    }
    pairs.sort_by_cached_key(|p| (p.family, p.row));
    alone.sort_unstable();
    readings.remarks.push(Remark::ReversedPairs {
        pairs: pairs.len(),
        alone,
    });
    readings.points = Arc::new(pairs);
    readings.untared = false;
}

fn half_difference(forward: &Point, reversed: &Point) -> Point {
    Point {
        y: (forward.y - reversed.y) / 2.0,
        bar_y: (forward.bar_y + reversed.bar_y) / 2.0,
        u_y: (forward.u_y * forward.u_y + reversed.u_y * reversed.u_y).sqrt() / 2.0,
        repeats: forward.repeats + reversed.repeats,
        order: (forward.order + reversed.order) / 2.0,
        ..*forward
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(row: usize, x: f64, y: f64) -> Point {
        Point {
            row,
            order: row as f64,
            x,
            y,
            bar_y: 0.01,
            u_y: 0.004,
            repeats: 1,
            ..Point::default()
        }
    }

    /// By hand: a gradient of 0.5 and a zero of 0.3 give halves of 0.5 and 1.0, whatever the zero.
    #[test]
    fn a_zero_error_cancels_and_what_has_no_partner_is_named() {
        let rows = [
            (1.0, 0.8),
            (-1.0, -0.2),
            (2.0, 1.3),
            (-2.0, -0.7),
            (3.0, 1.8),
            (0.0, 0.3),
        ];
        let points = (1..).zip(rows).map(|(row, (x, y))| point(row, x, y));
        let mut readings = Readings {
            points: Arc::new(points.collect()),
            ..Readings::default()
        };
        pair(&mut readings);
        let found: Vec<(f64, f64)> = readings.points.iter().map(|p| (p.x, p.y)).collect();
        assert_eq!(found, [(1.0, 0.5), (2.0, 1.0)]);
        assert!((readings.points[0].u_y - 0.004 / 2.0_f64.sqrt()).abs() < 1e-15);
        let alone = vec![5];
        assert_eq!(
            readings.remarks,
            [Remark::ReversedPairs { pairs: 2, alone }]
        );
    }
}
