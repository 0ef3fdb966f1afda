//! What repeats of one reading say: one of them far from its fellows, or all of them the same.

use crate::figures::Unit;
use crate::line::grubbs;
use crate::readings::{Point, Readings};

use super::{FamilySeen, Finding, Kind, Seen};

/// Level of the test for a repeat far from its fellows, all the currents of a table together.
pub const REPEAT_LEVEL: f64 = 0.05;
/// Below this probability repeats that are all equal are worth a word.
pub const EQUAL_LEVEL: f64 = 0.001;

/// Grubbs' test for each current that was read three times or more, in columns of repeats or in rows with the same
/// current; its probability times the number of such currents.
pub fn far_off(seen: &Seen) -> Option<Finding> {
    let readings = seen.readings;
    let step = readings.resolution.unwrap_or(0.0);
    let mut tried = 0;
    let mut farthest: Option<(grubbs::Farthest, usize, f64)> = None;
    let mut look = |values: &[f64], row_of: &dyn Fn(usize) -> usize| {
        let Some(found) = grubbs::farthest(values) else {
            return;
        };
        tried += 1;
        // Repeats that were rounded to whole steps lie a step apart by themselves.
        let value = values[found.index];
        let rest = values.iter().enumerate().filter(|(i, _)| *i != found.index);
        let nearest = rest
            .map(|(_, v)| (v - value).abs())
            .fold(f64::INFINITY, f64::min);
        if nearest <= 2.01 * step {
            return;
        }
        if farthest.is_none_or(|known| found.p_value < known.0.p_value) {
            farthest = Some((found, row_of(found.index), value));
        }
    };
    let enough = |count: usize| count >= grubbs::FEWEST;
    let counts = |row: usize| seen.families.iter().any(|family| family.has_row(row));
    let by_row = readings.repeats.chunk_by(|a, b| a.row == b.row);
    for set in by_row.filter(|set| enough(set.len()) && counts(set[0].row)) {
        let values: Vec<f64> = set.iter().map(|r| r.value).collect();
        look(&values, &|i| set[i].row);
    }
    if readings.repeats.is_empty() {
        for family in seen.families {
            let mut sorted: Vec<&Point> = family.points.iter().collect();
            sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.row.cmp(&b.row)));
            let by_current = sorted.chunk_by(|a, b| a.x == b.x);
            for set in by_current.filter(|set| enough(set.len())) {
                let values: Vec<f64> = set.iter().map(|p| p.y).collect();
                look(&values, &|i| set[i].row);
            }
        }
    }
    let (found, row, value) = farthest?;
    let p_value = (found.p_value * tried as f64).min(1.0);
    let unit = readings.y_unit.unwrap_or(Unit::GRAM);
    (p_value < REPEAT_LEVEL).then(|| {
        Finding::new(
            Kind::RepeatFarOff {
                value: unit.from_si(value),
                decimals: readings.y_decimals,
                unit: unit.symbol(),
            },
            vec![row],
            Some(found.statistic),
            Some(p_value),
        )
    })
}

/// Every current has repeats and they are equal to the last digit, although the points scatter about the line by more
/// than a step.
///
/// Two honest readings with a scatter s fall on the same step with a probability of about step / (2 s √π); the
/// probability of the whole table is the product of those of its rows.
pub fn all_equal(family: &FamilySeen, readings: &Readings) -> Option<Finding> {
    let (step, scatter) = (readings.resolution?, family.fitted?.residual_sd?);
    if scatter <= step {
        return None;
    }
    let mut rows = 0;
    for set in readings.repeats.chunk_by(|a, b| a.row == b.row) {
        if set.len() < 2 || !family.has_row(set[0].row) {
            continue;
        }
        if set.iter().any(|r| r.value != set[0].value) {
            return None;
        }
        rows += 1;
    }
    if rows < 2 {
        return None;
    }
    let one = step / (2.0 * scatter * std::f64::consts::PI.sqrt());
    let p_value = libm::pow(one, f64::from(rows));
    (p_value < EQUAL_LEVEL).then(|| {
        Finding::new(
            Kind::RepeatsAllEqual,
            Vec::new(),
            Some(f64::from(rows)),
            Some(p_value),
        )
    })
}
