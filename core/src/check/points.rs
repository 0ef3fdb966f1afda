//! The averaged readings that a student plotted, against the points of the working; and the slips of averaging, one entry
//! each.
//!
//! Start at [`judge`]. A slip predicts every value of the list; one that reproduces all of them, or all but one, is told.

use super::facts::Facts;
use super::list::Claimed;
use super::stages::bare;
use super::{Judged, Stage, Verdict, list, words};
use crate::figures::Unit;
use crate::readings::repeats::median;
use crate::readings::{Point, Varied};
use crate::table::Role;

/// One slip of averaging.
#[derive(Clone, Copy, Debug)]
pub struct PointSlip {
    /// A name of its own in snake case.
    pub name: &'static str,
    /// The lists of values, SI, that it may give; not a number where a row has none.
    pub change: fn(&Parts) -> Vec<Vec<f64>>,
    /// What happened, for the student.
    pub said: &'static str,
    /// What kind of thing to look at.
    pub hint: &'static str,
}

/// All of them, the commonest first (common practice, no source).
pub const POINT_SLIPS: &[PointSlip] = &[
    PointSlip {
        name: "first_column_only",
        change: |p| vec![p.of_repeats(2, |r| r[0])],
        said: "Only the first column of the repeats was taken.",
        hint: "How many times was each reading taken, and did you use all of them?",
    },
    PointSlip {
        name: "last_column_only",
        change: |p| vec![p.of_repeats(2, |r| r[r.len() - 1])],
        said: "Only the last column of the repeats was taken.",
        hint: "How many times was each reading taken, and did you use all of them?",
    },
    PointSlip {
        name: "one_repeat_ignored",
        change: |p| {
            let without =
                |k: usize| p.of_repeats(3, |r| (sum(r) - at(r, k)) / (r.len() - 1) as f64);
            (0..p.most_repeats()).map(without).collect()
        },
        said: "One column of the repeats is missing from the mean.",
        hint: "Does every one of the repeats stand in your mean?",
    },
    PointSlip {
        name: "sum_instead_of_mean",
        change: |p| vec![p.of_repeats(2, sum)],
        said: "The repeats were added and not divided by how many there are.",
        hint: "How does a sum become a mean?",
    },
    PointSlip {
        name: "median_instead_of_mean",
        change: |p| vec![p.of_repeats(3, median)],
        said: "The middle one of the repeats was taken, not their mean.",
        hint: "Did you take the mean, or the middle one?",
    },
    PointSlip {
        name: "zero_not_subtracted",
        change: |p| p.with_zero(|y, zero| y + zero),
        said: "The zero that was noted was not subtracted.",
        hint: "What did the balance show without a current?",
    },
    PointSlip {
        name: "zero_added",
        change: |p| p.with_zero(|y, zero| y + 2.0 * zero),
        said: "The zero that was noted was added. It is subtracted.",
        hint: "Is the zero to be added or to be subtracted?",
    },
    PointSlip {
        name: "full_reading_given",
        change: |p| p.full.clone().into_iter().collect(),
        said: "This is what the balance showed in full, not the change.",
        hint: "Is it the reading that is plotted, or its change?",
    },
    PointSlip {
        name: "sign_dropped",
        change: |p| {
            let signs = [f64::abs, |y: f64| -y];
            let turned = |sign: fn(f64) -> f64| p.points.iter().map(|q| sign(q.y)).collect();
            signs.into_iter().map(turned).collect()
        },
        said: "The sign was left out or turned round.",
        hint: "Did the balance show more or less when the current flowed?",
    },
    PointSlip {
        name: "currents_given",
        change: |p| vec![p.points.iter().map(|q| p.as_ordinate(q.x)).collect()],
        said: "These are the values of the other axis.",
        hint: "Which quantity stands on which axis?",
    },
    PointSlip {
        name: "order_reversed",
        change: |p| vec![p.points.iter().rev().map(|q| q.y).collect()],
        said: "The values stand in the opposite order to the table.",
        hint: "In which order do the rows of the table stand?",
    },
];

/// What the points were made of, SI.
#[derive(Clone, Debug)]
pub struct Parts<'a> {
    facts: &'a Facts<'a>,
    points: &'a [Point],
    /// The repeats of each point, in the order of the columns, with what was taken off them; empty where the point is not
    /// simply their mean.
    repeats: Vec<Vec<f64>>,
    /// What was taken off each mean: a zero, or a drift.
    taken_off: Vec<f64>,
    /// The balance's full readings, where a column of them stands beside the changes.
    full: Option<Vec<f64>>,
}

impl<'a> Parts<'a> {
    /// The parts of these points of the working.
    pub fn of(facts: &'a Facts<'a>, points: &'a [Point]) -> Parts<'a> {
        let (table, readings) = (&facts.working.table, facts.readings());
        let is_weighed =
            |role: Role| matches!(role, Role::Reading | Role::FullReading | Role::Force);
        let columns: Vec<usize> = readings
            .used
            .iter()
            .copied()
            .filter(|i| table.columns.get(*i).is_some_and(|c| is_weighed(c.role)))
            .collect();
        let is_force = |i: &usize| table.columns.get(*i).is_some_and(|c| c.role == Role::Force);
        let in_force = readings.varied == Varied::Product && !columns.iter().any(is_force);
        let scale = if in_force {
            facts.force_per_mass()
        } else {
            1.0
        };
        let value = |column: usize, row: usize| {
            let cell = table.columns.get(column)?.cells.get(row.checked_sub(1)?)?;
            Some(cell.number()?.value_si * scale)
        };
        let mut repeats: Vec<Vec<f64>> = points
            .iter()
            .map(|p| columns.iter().filter_map(|c| value(*c, p.row)).collect())
            .collect();
        let mean = |values: &Vec<f64>| sum(values) / values.len() as f64;
        let mut taken_off: Vec<f64> = repeats
            .iter()
            .zip(points)
            .map(|(values, point)| mean(values) - point.y)
            .collect();
        // With readings of both directions a point is no mean of its row.
        let simple = readings.zeros_subtracted || facts.series.drift.is_some() || {
            let none = |off: &f64| off.abs() <= 1e-6 * readings.resolution.unwrap_or(0.0);
            taken_off.iter().all(none)
        };
        let alone = points.windows(2).all(|pair| pair[0].row != pair[1].row);
        if !(simple && alone && taken_off.iter().all(|off| off.is_finite())) {
            repeats.iter_mut().for_each(Vec::clear);
            taken_off.fill(0.0);
        }
        for (values, off) in repeats.iter_mut().zip(&taken_off) {
            values.iter_mut().for_each(|value| *value -= off);
        }
        let full = (0..table.columns.len())
            .find(|i| table.columns[*i].role == Role::FullReading && !columns.contains(i));
        let full = full.map(|column| {
            let read = |p: &Point| value(column, p.row).unwrap_or(f64::NAN);
            points.iter().map(read).collect()
        });
        Parts {
            facts,
            points,
            repeats,
            taken_off,
            full,
        }
    }

    /// What every point gives that has so many repeats; the other points stay what they are.
    fn of_repeats(&self, at_least: usize, value: impl Fn(&[f64]) -> f64) -> Vec<f64> {
        let pairs = self.repeats.iter().zip(self.points);
        pairs
            .map(|(r, p)| if r.len() < at_least { p.y } else { value(r) })
            .collect()
    }

    fn most_repeats(&self) -> usize {
        self.repeats.iter().map(Vec::len).max().unwrap_or(0)
    }

    fn with_zero(&self, value: impl Fn(f64, f64) -> f64) -> Vec<Vec<f64>> {
        if !self.facts.readings().zeros_subtracted {
            return Vec::new();
        }
        let pairs = self.points.iter().zip(&self.taken_off);
        vec![pairs.map(|(p, zero)| value(p.y, *zero)).collect()]
    }

    /// A value of x with its number taken for one of y.
    fn as_ordinate(&self, x: f64) -> f64 {
        let readings = self.facts.readings();
        let number = readings.x_unit.map_or(x, |unit| unit.from_si(x));
        readings.y_unit.map_or(number, |unit| unit.to_si(number))
    }
}

fn at(values: &[f64], index: usize) -> f64 {
    values.get(index).copied().unwrap_or(f64::NAN)
}

fn sum(values: &[f64]) -> f64 {
    values.iter().sum()
}

/// The averaged readings judged.
pub struct Averaged {
    /// What is to be said of them.
    pub judged: Judged,
    /// The student's own y for each point that counts, SI, where they are not right.
    pub own: Option<Vec<f64>>,
}

/// Judges a list of averaged readings.
pub fn judge(facts: &Facts, text: &str) -> Averaged {
    let told = |verdict, text| Averaged {
        judged: bare(Stage::Points, verdict, text),
        own: None,
    };
    let all = &facts.readings().points;
    let counted = &facts.series.points;
    let figures = match list::read(text, &[all.len(), counted.len()]) {
        Ok(figures) => figures,
        Err(item) => return told(Verdict::Unread, words::points_unread(&item)),
    };
    let points = if figures.len() == all.len() {
        all
    } else if figures.len() == counted.len() {
        counted
    } else {
        let text = words::points_count(figures.len(), all.len());
        return told(Verdict::NotChecked, text);
    };
    let claimed = Claimed::of(facts, &figures);
    let judged = against(facts, points, &claimed);
    let wrong = matches!(judged.verdict, Verdict::Slip | Verdict::Unexplained);
    let pairs = points.iter().zip(&claimed.values);
    let own = pairs.filter(|(p, _)| !p.excluded).map(|(_, value)| *value);
    Averaged {
        judged,
        own: wrong.then(|| own.collect()),
    }
}

fn against(facts: &Facts, points: &[Point], claimed: &Claimed) -> Judged {
    let readings = facts.readings();
    let shown = readings.y_unit.unwrap_or(Unit::GRAM);
    let last_place = shown.to_si(libm::exp10(f64::from(-readings.y_decimals)));
    let off = |predicted: &[f64]| claimed.off(predicted, last_place, 1.0, false);
    let right: Vec<f64> = points.iter().map(|p| p.y).collect();
    let mut judged = Judged {
        right: words::points(facts, &right),
        ..bare(Stage::Points, Verdict::Right, words::RIGHT.into())
    };
    let unit_wrong = |judged: Judged, text: String| Judged {
        verdict: Verdict::Unit,
        text,
        hint: words::LOOK_AT_UNIT.into(),
        ..judged
    };
    let wrong = off(&right);
    let to_own_places = claimed.off(&right, last_place, 1.0, true).is_empty();
    if wrong.is_empty() || to_own_places {
        if let Some(unit) = claimed.foreign {
            let text = words::unit_missing(unit.symbol(), shown.symbol());
            return unit_wrong(judged, text);
        }
        if !wrong.is_empty() || claimed.place > 1.5 * last_place {
            judged.verdict = Verdict::Figures;
            judged.text = words::POINTS_TOO_COARSE.into();
            judged.hint = words::LOOK_AT_FIGURES.into();
        }
        return judged;
    }
    let parts = Parts::of(facts, points);
    // A drift is taken off by the line, not by the student.
    if facts.series.drift.is_some() {
        let as_read: Vec<f64> = std::iter::zip(&right, &parts.taken_off)
            .map(|(y, off)| y + off)
            .collect();
        if off(&as_read).is_empty() {
            judged.text = words::POINTS_AS_READ.into();
            return judged;
        }
    }
    let spread = right.iter().copied().fold(f64::NEG_INFINITY, f64::max)
        - right.iter().copied().fold(f64::INFINITY, f64::min);
    let powers = (1..=6).flat_map(|n| [libm::exp10(f64::from(n)), libm::exp10(f64::from(-n))]);
    // To a place as wide as the readings are spread anything would fit.
    let fine = |power: &f64| power * claimed.place < 0.25 * spread;
    let fits = |power: &f64| claimed.off(&right, last_place, *power, false).is_empty();
    if let Some(power) = powers.filter(fine).find(fits) {
        return unit_wrong(judged, words::unit_off_by_power(power));
    }
    let mut found: Vec<(&PointSlip, usize, Vec<f64>)> = Vec::new();
    for slip in POINT_SLIPS {
        let lists = (slip.change)(&parts);
        let lists = lists
            .into_iter()
            .map(|values| (off(&values).len(), values))
            // Rows that the slip explains: where all but one fit it must tell two rows at least from the right ones.
            .filter(|(left, _)| *left == 0 || *left == 1 && wrong.len() > 2);
        if let Some((left, values)) = lists.min_by_key(|(left, _)| *left) {
            found.push((slip, left, values));
        }
    }
    let least = found.iter().map(|f| f.1).min();
    found.retain(|f| Some(f.1) == least);
    let row = |i: &usize| points.get(*i).map_or(0, |p| p.row);
    match (&found[..], &wrong[..]) {
        ([(first, _, values), ..], _) => {
            judged.verdict = Verdict::Slip;
            judged.working = words::that_way(&words::points(facts, values));
            judged.hint = first.hint.into();
            judged.text = words::either(found.iter().map(|f| f.0.said));
            judged.slips = found.iter().map(|f| vec![f.0.name]).collect();
        }
        ([], [only]) if points.len() > 2 => {
            let should = points.get(*only).map_or(0.0, |p| p.y);
            judged.verdict = Verdict::Slip;
            judged.text = words::one_row_off(row(only), &words::points(facts, &[should]));
            judged.hint = words::work_row_again(row(only));
            judged.slips = vec![vec!["arithmetic_in_one_row"]];
        }
        _ => {
            judged.verdict = Verdict::Unexplained;
            judged.text = words::points_off(&wrong.iter().map(row).collect::<Vec<_>>());
            judged.hint = words::LOOK_AT_MEANS.into();
        }
    }
    judged
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_slip_has_a_name_and_a_sentence_of_its_own() {
        for (i, slip) in POINT_SLIPS.iter().enumerate() {
            assert!(slip.said.ends_with('.') && slip.hint.ends_with('?'));
            let mut others = POINT_SLIPS.iter().skip(i + 1);
            assert!(!others.any(|s| s.name == slip.name || s.said == slip.said));
            // A hint does not give the answer away.
            assert!(!slip.hint.contains(char::is_numeric), "{}", slip.hint);
        }
    }
}
