//! Zeros of the balance that were noted in columns beside the readings, and what to subtract from each reading.

use crate::table::{Cell, Role, Table};

use super::repeats;

/// The noted zeros, each with its place in the order of the rows: half a row before or after the reading of its row where
/// the heading says so.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Zeros {
    /// What to subtract from the reading of each row.
    by_row: Vec<f64>,
    /// Rows, from 1, whose zero was not noted and lies between others.
    between: Vec<usize>,
}

impl Zeros {
    /// The zeros in the table's columns of them; empty without such a column or without a number in it.
    ///
    /// A row that has its own zero, or one before and one after, takes that, or their mean. For any other row the zero is
    /// taken to move evenly from the last one noted before it to the next one noted after it, and to stay what it is
    /// beyond the first and the last.
    pub(super) fn find(table: &Table) -> Zeros {
        let mut own: Vec<Option<f64>> = vec![None; table.rows];
        let mut noted: Vec<(f64, f64)> = Vec::new();
        let numbers = |role: Role, row: usize| {
            table
                .columns
                .iter()
                .filter(move |c| c.role == role)
                .filter_map(move |c| c.cells.get(row).and_then(Cell::number))
                .map(|n| n.value_si)
        };
        let mean = |role: Role, row: usize| {
            let numbers: Vec<f64> = numbers(role, row).collect();
            repeats::summarise(&numbers).map(|summary| summary.mean)
        };
        let is_zero = |role: Role| matches!(role, Role::Zero | Role::ZeroBefore | Role::ZeroAfter);
        if !table.columns.iter().any(|c| is_zero(c.role)) {
            return Zeros::default();
        }
        for (row, own) in own.iter_mut().enumerate() {
            let place = row as f64;
            let before = mean(Role::ZeroBefore, row);
            let at = mean(Role::Zero, row);
            let after = mean(Role::ZeroAfter, row);
            *own = at.or_else(|| Some(before? + (after? - before?) / 2.0));
            for (zero, place) in [(before, place - 0.5), (at, place), (after, place + 0.5)] {
                noted.extend(zero.map(|zero| (place, zero)));
            }
        }
        if noted.is_empty() {
            return Zeros::default();
        }
        let mut between = Vec::new();
        let by_row = own
            .iter()
            .enumerate()
            .map(|(row, own)| {
                own.unwrap_or_else(|| {
                    between.push(row + 1);
                    at_place(&noted, row as f64)
                })
            })
            .collect();
        Zeros { by_row, between }
    }

    /// Whether no zero was noted at all.
    pub(super) fn is_empty(&self) -> bool {
        self.by_row.is_empty()
    }

    /// What to subtract from the reading of this row, counted from 0.
    pub(super) fn at(&self, row: usize) -> f64 {
        self.by_row.get(row).copied().unwrap_or(0.0)
    }

    /// Rows, from 1, whose zero lies between others.
    pub(super) fn between(&self) -> &[usize] {
        &self.between
    }
}

/// The zero at a place between noted ones, which are in order of place.
fn at_place(noted: &[(f64, f64)], place: f64) -> f64 {
    let next = noted.partition_point(|n| n.0 < place);
    match (
        next.checked_sub(1).and_then(|i| noted.get(i)),
        noted.get(next),
    ) {
        (Some(a), Some(b)) if b.0 > a.0 => a.1 + (b.1 - a.1) * (place - a.0) / (b.0 - a.0),
        (_, Some(only)) | (Some(only), None) => only.1,
        (None, None) => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_zero_moves_evenly_between_those_noted_and_stays_beyond_them() {
        let noted = [(0.0, 0.0), (4.0, 0.08), (5.0, 0.04)];
        for (place, zero) in [
            (-1.0, 0.0),
            (1.0, 0.02),
            (4.0, 0.08),
            (4.5, 0.06),
            (9.0, 0.04),
        ] {
            assert!((at_place(&noted, place) - zero).abs() < 1e-15, "{place}");
        }
    }
}
