//! How many points there are, how they are spread, and how finely they were read.

use crate::figures::Unit;
use crate::readings::Readings;

use super::{FamilySeen, Finding, Kind};

/// Fewer points than this and the uncertainty is itself very uncertain.
pub const ENOUGH_POINTS: usize = 6;
/// Fewer steps of the balance than this between the smallest and the largest reading and it is too coarse.
pub const ENOUGH_STEPS: f64 = 20.0;

fn span(values: impl Iterator<Item = f64> + Clone) -> f64 {
    let high = values.clone().fold(f64::NEG_INFINITY, f64::max);
    high - values.fold(f64::INFINITY, f64::min)
}

/// All readings are the same.
pub fn no_change(family: &FamilySeen) -> Option<Finding> {
    let first = family.points.first()?.y;
    (family.points.len() > 1 && family.points.iter().all(|p| p.y == first))
        .then(|| Finding::new(Kind::NoChange, Vec::new(), None, None))
}

/// Fewer than six points with a line through them.
pub fn too_few(family: &FamilySeen) -> Option<Finding> {
    let points = family.points.len();
    (family.fitted.is_some() && points < ENOUGH_POINTS).then(|| {
        Finding::new(
            Kind::TooFewPoints { points },
            Vec::new(),
            Some(points as f64),
            None,
        )
    })
}

/// One point makes up more than half of the spread of x that fixes the gradient.
pub fn one_point_decides(family: &FamilySeen) -> Option<Finding> {
    let fitted = family.fitted?;
    if family.data.len() < 4 {
        return None;
    }
    let share = |x: f64| (x - fitted.mean_x) * (x - fitted.mean_x);
    let most = family.data.iter().map(|d| share(d.x)).fold(0.0, f64::max);
    let part = most / fitted.spread_of_x(family.data);
    let point = family.points.iter().rfind(|p| share(p.x) == most)?;
    (part > 0.5).then(|| Finding::new(Kind::OnePointDecides, vec![point.row], Some(part), None))
}

/// The readings span fewer than twenty steps of the balance.
pub fn coarse(family: &FamilySeen, readings: &Readings) -> Option<Finding> {
    let step = readings.resolution.filter(|s| *s > 0.0)?;
    // A span of 0.2 in steps of 0.01 is 20 steps, whatever binary makes of it.
    let steps = span(family.data.iter().map(|d| d.y)) / step + 1e-6;
    (family.points.len() > 1 && steps < ENOUGH_STEPS).then(|| {
        let kind = Kind::CoarseResolution {
            steps: libm::floor(steps),
        };
        Finding::new(kind, Vec::new(), Some(steps), None)
    })
}

/// At least two readings of exactly zero at the smallest currents (no current itself not counted) beside others that
/// are not zero.
pub fn stuck_at_zero(family: &FamilySeen) -> Option<Finding> {
    let zeros = family.data.iter().filter(|d| d.x != 0.0 && d.y == 0.0);
    if zeros.count() < 2 {
        return None;
    }
    let mut by_size: Vec<_> = family.points.iter().filter(|p| p.x != 0.0).collect();
    by_size.sort_unstable_by(|a, b| a.x.abs().total_cmp(&b.x.abs()).then(a.row.cmp(&b.row)));
    let stuck = by_size.iter().take_while(|p| p.y == 0.0).count();
    let moving = by_size.len() - stuck;
    (stuck >= 2 && moving >= 3).then(|| {
        Finding::new(
            Kind::StuckAtZero,
            super::rows_of(by_size[..stuck].iter().copied()),
            Some(stuck as f64),
            None,
        )
    })
}

/// No straight line meets every error bar: the scatter is larger than the bars say.
pub fn beyond_bars(family: &FamilySeen, readings: &Readings) -> Option<Finding> {
    let (rows, half_width) = family.blocked?;
    let unit = readings.y_unit.unwrap_or(Unit::GRAM);
    let bar = family.points.iter().map(|p| p.bar_y).fold(0.0, f64::max);
    Some(Finding::new(
        Kind::ScatterBeyondBars {
            half_width: unit.from_si(half_width),
            unit: unit.symbol(),
        },
        rows.to_vec(),
        (bar > 0.0).then_some(half_width / bar),
        None,
    ))
}
