//! What repeats of one reading say: one of them far from its fellows, or all of them the same.

use crate::figures::Unit;
use crate::line::grubbs;
use crate::readings::{Point, Readings};

use super::{FamilySeen, Finding, Kind, Seen};

/// Level of the test for a repeat far from its fellows, all the currents of a table together.
pub const REPEAT_LEVEL: f64 = 0.05;
/// Below this probability repeats that are all equal are worth a word.
pub const EQUAL_LEVEL: f64 = 0.001;

/// Grubbs' test over the repeats of all currents together, in columns of repeats or in rows with the same current: each
/// reading against its own fellows, with the scatter of all.
///
/// `by_current` holds the points of each family by their x.
pub fn far_off(seen: &Seen, by_current: &[Vec<&Point>]) -> Option<Finding> {
    let readings = seen.readings;
    let mut repeats = Repeats::default();
    let counts = |row: usize| seen.families.iter().any(|family| family.has_row(row));
    for set in readings.repeats.chunk_by(|a, b| a.row == b.row) {
        if set.len() > 1 && counts(set[0].row) {
            repeats.add(set.iter().map(|r| (r.row, r.value)));
        }
    }
    if readings.repeats.is_empty() {
        for sorted in by_current {
            for set in sorted.chunk_by(|a, b| a.x == b.x) {
                if set.len() > 1 {
                    repeats.add(set.iter().map(|p| (p.row, p.y)));
                }
            }
        }
    }
    let sets = repeats.sets();
    let found = grubbs::farthest(&sets, readings.least_scatter())?;
    let set = sets.get(found.set)?;
    let value = *set.get(found.index)?;
    // Repeats that were rounded to whole steps lie a step apart by themselves.
    let step = readings.resolution.unwrap_or(0.0);
    let others = set.iter().enumerate().filter(|(i, _)| *i != found.index);
    let nearest = others.map(|(_, v)| (v - value).abs());
    if found.p_value >= REPEAT_LEVEL || nearest.fold(f64::INFINITY, f64::min) <= 2.01 * step {
        return None;
    }
    let unit = readings.y_unit.unwrap_or(Unit::GRAM);
    Some(Finding::new(
        Kind::RepeatFarOff {
            value: unit.from_si(value),
            decimals: readings.y_decimals,
            unit: unit.symbol(),
        },
        vec![repeats.row(found.set, found.index)?],
        Some(found.t),
        Some(found.p_value),
    ))
}

/// Sets of repeats, one after the other.
#[derive(Default)]
struct Repeats {
    values: Vec<f64>,
    rows: Vec<usize>,
    /// Where each set ends.
    ends: Vec<usize>,
}

impl Repeats {
    fn add(&mut self, set: impl Iterator<Item = (usize, f64)>) {
        for (row, value) in set {
            self.rows.push(row);
            self.values.push(value);
        }
        self.ends.push(self.values.len());
    }

    fn start(&self, set: usize) -> usize {
        set.checked_sub(1)
            .and_then(|before| self.ends.get(before).copied())
            .unwrap_or(0)
    }

    fn sets(&self) -> Vec<&[f64]> {
        let ends = self.ends.iter().enumerate();
        ends.filter_map(|(set, end)| self.values.get(self.start(set)..*end))
            .collect()
    }

    fn row(&self, set: usize, index: usize) -> Option<usize> {
        self.rows.get(self.start(set) + index).copied()
    }
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
