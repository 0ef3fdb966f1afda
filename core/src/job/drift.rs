//! Whether a drift of the balance is allowed for, and the points without it.

use std::sync::Arc;

use crate::findings::drift::one_way;
use crate::line::with_drift::{self, WithDrift};
use crate::line::{Datum, LineError};
use crate::readings::{Order, Point, Readings, Varied, in_order};

use super::input::{BalanceZero, Fit, Job};
use super::words::Remark;
use super::work::Series;

/// The drift of each family that has one to allow for; it is taken off the points of the family, left-out ones too.
pub fn allow(
    job: &Job,
    readings: &mut Readings,
    remarks: &mut Vec<Remark>,
) -> Vec<Option<WithDrift>> {
    let mut found = Vec::with_capacity(readings.families.len());
    let mut tied = Vec::new();
    let mut needs_least_squares = false;
    for family in 0..readings.families.len() {
        let own = |p: &&Point| p.family == family && !p.excluded;
        let asked = match job.balance_zero {
            BalanceZero::Drift => true,
            BalanceZero::AsNoted => {
                let step = readings.resolution.unwrap_or(0.0);
                readings.varied == Varied::Current
                    && !readings.zeros_subtracted
                    && zeros_differ(readings.points.iter().filter(own), step)
            }
            BalanceZero::EachTime | BalanceZero::AsRead => false,
        };
        if !asked {
            found.push(None);
            continue;
        }
        if job.fit != Fit::LeastSquares {
            needs_least_squares = true;
            found.push(None);
            continue;
        }
        let (data, order): (Vec<Datum>, Vec<f64>) = readings
            .points
            .iter()
            .filter(own)
            .map(|p| (super::work::datum(p), p.order))
            .unzip();
        match with_drift::fit(&data, &order) {
            Ok(with_drift) => {
                let points = Arc::make_mut(&mut readings.points).iter_mut();
                for point in points.filter(|p| p.family == family) {
                    point.y -= with_drift.rate * (point.order - with_drift.start);
                }
                found.push(Some(with_drift));
            }
            Err(why) => {
                if why == LineError::TiedToOrder && job.balance_zero == BalanceZero::Drift {
                    tied.push(label(readings, family));
                }
                found.push(None);
            }
        }
    }
    if needs_least_squares {
        remarks.push(Remark::DriftNeedsLeastSquares);
    }
    let taken: Vec<String> = (0..found.len())
        .filter(|family| found[*family].is_some())
        .map(|family| label(readings, family))
        .collect();
    // All of them need no names.
    let named = |series: Vec<String>| {
        if series.len() == found.len() {
            Vec::new()
        } else {
            series
        }
    };
    if !taken.is_empty() {
        let series = named(taken);
        remarks.push(Remark::DriftTaken { series });
    }
    if !tied.is_empty() {
        let series = named(tied);
        remarks.push(Remark::DriftTied { series });
    }
    found
}

fn label(readings: &Readings, family: usize) -> String {
    let found = readings.families.get(family);
    found.map(|f| f.label.clone()).unwrap_or_default()
}

/// What to say when the current only ever rose, or fell, in every series, and nothing tells a drift from the gradient. Where
/// times stand beside the readings a finding says it already.
pub fn hidden(readings: &Readings, series: &[Series]) -> Option<Remark> {
    if readings.zeros_subtracted
        || readings.order == Order::Time
        || readings.varied != Varied::Current
    {
        return None;
    }
    let ways: Option<Vec<f64>> = series.iter().map(|one| one_way(&one.points)).collect();
    let raised = *ways?.first()? > 0.0;
    Some(Remark::DriftHidden { raised })
}

/// Whether readings at no current stand at two places at least with others between them, and differ by more than a step.
fn zeros_differ<'a>(points: impl Iterator<Item = &'a Point> + Clone, step: f64) -> bool {
    if points.clone().filter(|p| p.x == 0.0).count() < 2 {
        return false;
    }
    let in_order = in_order(points);
    let first = in_order.iter().position(|p| p.x == 0.0);
    let last = in_order.iter().rposition(|p| p.x == 0.0);
    let (Some(first), Some(last)) = (first, last) else {
        return false;
    };
    let zeros = || in_order.iter().filter(|p| p.x == 0.0).map(|p| p.y);
    let spread = zeros().fold(f64::NEG_INFINITY, f64::max) - zeros().fold(f64::INFINITY, f64::min);
    // A hair above the step: decimals are differences of binary numbers here.
    in_order[first..last].iter().any(|p| p.x != 0.0) && spread > 1.01 * step
}
