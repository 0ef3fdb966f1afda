//! The first numbers of a column, and what they alone tell.

use crate::figures::Unit;

/// The first numbers of a column, before its unit is known.
#[derive(Clone, Debug, Default)]
pub(super) struct Sample {
    /// One a row: the number as typed, its unit left aside.
    pub(super) values: Vec<Option<f64>>,
    pub(super) filled: usize,
    pub(super) numbers: usize,
    pub(super) texts: usize,
    /// Units in the cells, each with its count.
    pub(super) units: Vec<(Unit, usize)>,
}

impl Sample {
    pub(super) fn is_numeric(&self) -> bool {
        self.numbers > 0 && self.numbers >= self.texts
    }

    pub(super) fn is_blank(&self) -> bool {
        self.numbers + self.texts == 0
    }

    /// The commonest unit in the cells and how many cells carry it.
    pub(super) fn main_unit(&self) -> Option<(Unit, usize)> {
        // The first of equals: the unit of the first cell.
        self.units
            .iter()
            .rev()
            .copied()
            .max_by_key(|(_, count)| *count)
    }

    /// The commonest unit in the cells where it says what the column is: at least half of the cells carry it, and one
    /// cell alone does not outweigh a heading of another quantity.
    pub(super) fn telling_unit(&self, heading: Option<Unit>) -> Option<Unit> {
        let (unit, count) = self.main_unit()?;
        let agrees = heading.is_none_or(|heading| heading.quantity() == unit.quantity());
        (count * 2 >= self.filled && (agrees || count >= 2)).then_some(unit)
    }

    pub(super) fn known(&self) -> impl Iterator<Item = f64> {
        self.values.iter().flatten().copied()
    }

    /// Whether the numbers count up by ones from 0 or 1.
    pub(super) fn counts_up(&self) -> bool {
        let numbers: Vec<f64> = self.known().collect();
        let starts = numbers
            .first()
            .is_some_and(|first| *first == 0.0 || *first == 1.0);
        numbers.len() >= 2 && starts && numbers.windows(2).all(|pair| pair[1] == pair[0] + 1.0)
    }

    pub(super) fn largest(&self) -> f64 {
        self.known().fold(0.0, |largest, value| {
            if value.abs() > largest {
                value.abs()
            } else {
                largest
            }
        })
    }

    /// Largest less smallest.
    pub(super) fn span(&self) -> f64 {
        let low = self.known().fold(f64::INFINITY, f64::min);
        let high = self.known().fold(f64::NEG_INFINITY, f64::max);
        if high > low { high - low } else { 0.0 }
    }

    /// Pairs of numbers in rows where both columns have one.
    pub(super) fn pairs<'s>(&'s self, other: &'s Sample) -> impl Iterator<Item = (f64, f64)> + 's {
        self.values
            .iter()
            .zip(&other.values)
            .filter_map(|(a, b)| Some(((*a)?, (*b)?)))
    }

    /// Whether the two could be repeats of the same readings: nearly all pairs within a fifth of each other.
    pub(super) fn repeats(&self, other: &Sample) -> bool {
        let slack = 0.05 * self.span().max(other.span());
        let near = |(a, b): (f64, f64)| (a - b).abs() <= 0.2 * a.abs().max(b.abs()) + slack;
        let (pairs, alike) = self.pairs(other).fold((0, 0), |(pairs, alike), pair| {
            (pairs + 1, alike + usize::from(near(pair)))
        });
        pairs > 0 && alike * 5 >= pairs * 4
    }
}
