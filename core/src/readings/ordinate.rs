//! What makes up y: the columns of readings or forces, their repeats, their noted zeros and their uncertainties.

use crate::figures::{Quantity, Unit};
use crate::table::{Cell, Column, Role, Table, Way};

use super::points::{Request, columns_with, typed_uncertainty};
use super::repeats::{Summary, summarise};
use super::setup::Setup;
use super::zero::Zeros;
use super::{Basis, Ordinate, Point, Remark, Repeat, Varied};

/// The columns that make up y.
pub(super) struct OrdinateColumns<'a> {
    pub(super) table: &'a Table,
    pub(super) kind: Ordinate,
    pub(super) groups: Vec<Group>,
    pub(super) zeros: Zeros,
    pub(super) unit: Unit,
    pub(super) decimals: i32,
    /// Whether the heading says that the readings are changes already.
    pub(super) changes: bool,
    pub(super) full: bool,
}

/// Columns that are repeats of one another.
pub(super) struct Group {
    /// The way in which they were taken, where the headings say.
    pub(super) way: Option<Way>,
    pub(super) columns: Vec<usize>,
    /// The column of uncertainties of each, where there is one.
    pub(super) uncertainties: Vec<Option<usize>>,
}

pub(super) struct Reading {
    pub(super) value: f64,
    pub(super) bar: f64,
    pub(super) standard: f64,
    pub(super) basis: Basis,
    pub(super) repeats: usize,
    pub(super) identical: bool,
    pub(super) typed_not_positive: bool,
}

impl<'a> OrdinateColumns<'a> {
    pub(super) fn find(table: &'a Table, remarks: &mut Vec<Remark>) -> Option<OrdinateColumns<'a>> {
        let changes = columns_with(table, Role::Reading);
        let full = columns_with(table, Role::FullReading);
        let forces = columns_with(table, Role::Force);
        let numbers = |columns: &[usize]| {
            columns
                .iter()
                .map(|i| numbers_in(&table.columns[*i]))
                .max()
                .unwrap_or(0)
        };
        let both = !changes.is_empty() && !full.is_empty();
        if both {
            compare_change_with_full(table, changes[0], full[0], remarks);
        }
        let (chosen, kind, is_full) = if both && numbers(&full) > numbers(&changes) {
            let rows = (0..table.rows)
                .filter(|row| {
                    !matches!(
                        table.columns[changes[0]].cells.get(*row),
                        Some(Cell::Number(_))
                    )
                })
                .map(|row| row + 1)
                .collect();
            remarks.push(Remark::FullReadingUsed { rows });
            (full, Ordinate::Mass, true)
        } else if numbers(&changes) > 0 {
            (changes, Ordinate::Mass, false)
        } else if numbers(&full) > 0 {
            (full, Ordinate::Mass, true)
        } else if numbers(&forces) > 0 {
            (forces, Ordinate::Force, false)
        } else {
            let positions = !columns_with(table, Role::Position).is_empty();
            remarks.push(if positions {
                Remark::PositionsNotForces
            } else {
                Remark::NoColumn {
                    what: "balance reading or force",
                }
            });
            return None;
        };
        let first = &table.columns[*chosen.first()?];
        let default = if kind == Ordinate::Mass {
            Unit::GRAM
        } else {
            Unit::NEWTON
        };
        let unit = first.unit.unwrap_or(default);
        let decimals = chosen
            .iter()
            .filter_map(|i| table.columns[*i].decimals)
            .max()
            .unwrap_or(2);
        let zeros = if kind == Ordinate::Mass && !both {
            Zeros::find(table)
        } else {
            Zeros::default()
        };
        Some(OrdinateColumns {
            table,
            kind,
            groups: group(table, &chosen),
            zeros,
            unit,
            decimals,
            changes: both && !is_full,
            full: is_full,
        })
    }

    /// One step of the balance, in the SI unit of the column.
    pub(super) fn step(&self, request: &Request) -> f64 {
        let quantity = if self.kind == Ordinate::Mass {
            Quantity::Mass
        } else {
            Quantity::Force
        };
        request
            .setup
            .balance_resolution
            .filter(|r| r.figure.unit.is_some_and(|u| u.quantity() == quantity))
            .map_or_else(|| self.unit.to_si(power_of_ten(-self.decimals)), |r| r.si)
    }

    /// What turns a reading into y: 1, or the force of a mass when y is a force.
    pub(super) fn scale(&self, setup: &Setup, varied: Varied) -> f64 {
        if varied == Varied::Product && self.kind == Ordinate::Mass {
            setup.lever_ratio * setup.gravity_m_per_s2()
        } else {
            1.0
        }
    }

    /// The reading of one row. The repeats that it is the mean of are added to `kept`, zeros not subtracted.
    pub(super) fn at(
        &self,
        row: usize,
        group: &Group,
        step: f64,
        kept: &mut Vec<Repeat>,
    ) -> Option<Reading> {
        let zero = self.zeros.at(row);
        let number = |column: usize| match self.table.columns[column].cells.get(row) {
            Some(Cell::Number(number)) => Some(number),
            _ => None,
        };
        let mut typed: Option<f64> = None;
        let summary = if let [only] = group.columns[..] {
            let value = number(only)?.value_si;
            Summary {
                count: 1,
                mean: value,
                half_range: 0.0,
                standard_error: None,
            }
        } else {
            let mut values = Vec::with_capacity(group.columns.len());
            for column in &group.columns {
                if let Some(number) = number(*column) {
                    values.push(number.value_si);
                    kept.push(Repeat {
                        row: row + 1,
                        column: column + 1,
                        value: number.value_si,
                    });
                }
            }
            summarise(&values)?
        };
        for (column, uncertainty) in group.columns.iter().zip(&group.uncertainties) {
            if let Some(number) = number(*column) {
                let uncertainty = uncertainty.map(|i| &self.table.columns[i]);
                let own = typed_uncertainty(
                    &self.table.columns[*column],
                    uncertainty,
                    row,
                    number.uncertainty_si,
                );
                typed = typed.into_iter().chain(own).reduce(f64::max);
            }
        }
        let typed_not_positive = typed.is_some_and(|u| u <= 0.0);
        // A difference of two readings: half a step at each end in school terms, two rectangular half-widths of half a
        // step in the GUM's.
        let from_step = (step, step / 6.0_f64.sqrt());
        let (bar, standard, basis) = if let Some(u) = typed.filter(|u| *u > 0.0) {
            (u, u, Basis::Typed)
        } else {
            let standard = summary.standard_error.unwrap_or(0.0).max(from_step.1);
            // Half the range of decimals is worked out in binary: a hair below the step is the step.
            if summary.half_range > from_step.0 * (1.0 + 1e-9) {
                (summary.half_range, standard, Basis::HalfRange)
            } else {
                (from_step.0, standard, Basis::Resolution)
            }
        };
        Some(Reading {
            value: summary.mean - zero,
            bar,
            standard,
            basis,
            repeats: summary.count,
            identical: summary.count > 1 && summary.half_range == 0.0 && basis == Basis::Resolution,
            typed_not_positive,
        })
    }

    /// Whether the readings stand on a large constant of their own: the full reading, or numbers that lie much farther
    /// from zero than from one another.
    pub(super) fn untared(&self, points: &[Point]) -> bool {
        if self.full && self.zeros.is_empty() {
            return true;
        }
        if self.changes || points.len() < 2 {
            return false;
        }
        let low = points.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
        let high = points.iter().map(|p| p.y).fold(f64::NEG_INFINITY, f64::max);
        let nearest = if low > 0.0 {
            low
        } else if high < 0.0 {
            -high
        } else {
            0.0
        };
        nearest > 3.0 * (high - low) && high > low
    }
}

fn numbers_in(column: &Column) -> usize {
    column
        .cells
        .iter()
        .filter(|cell| matches!(cell, Cell::Number(_)))
        .count()
}

/// 10ⁿ as the nearest float.
pub(super) fn power_of_ten(n: i32) -> f64 {
    libm::exp10(f64::from(n.clamp(-300, 300)))
}

/// Columns that belong to one series are repeats of one another.
fn group(table: &Table, columns: &[usize]) -> Vec<Group> {
    let mut labels: Vec<(Option<&str>, Option<Way>)> = Vec::new();
    let mut groups: Vec<Group> = Vec::new();
    for index in columns {
        let column = &table.columns[*index];
        let label = (column.series.as_ref().map(|s| s.label.as_str()), column.way);
        let uncertainty = columns_with(table, Role::UncertaintyOf(*index + 1))
            .into_iter()
            .next();
        match labels.iter().position(|known| *known == label) {
            Some(i) => {
                groups[i].columns.push(*index);
                groups[i].uncertainties.push(uncertainty);
            }
            None => {
                labels.push(label);
                groups.push(Group {
                    way: column.way,
                    columns: vec![*index],
                    uncertainties: vec![uncertainty],
                });
            }
        }
    }
    groups
}

/// Reading minus change is the zero, and there is only one: rows that imply another are named.
fn compare_change_with_full(table: &Table, change: usize, full: usize, remarks: &mut Vec<Remark>) {
    let (change, full) = (&table.columns[change], &table.columns[full]);
    let mut zeros: Vec<(usize, f64)> = Vec::new();
    for (row, pair) in change.cells.iter().zip(&full.cells).enumerate() {
        if let (Cell::Number(change), Cell::Number(full)) = pair {
            zeros.push((row + 1, full.value_si - change.value_si));
        }
    }
    if zeros.len() < 2 {
        return;
    }
    let mut sorted: Vec<f64> = zeros.iter().map(|z| z.1).collect();
    sorted.sort_unstable_by(f64::total_cmp);
    let zero = sorted[sorted.len() / 2];
    let unit = full.unit.unwrap_or(Unit::GRAM);
    // Each of the two cells is rounded by up to half a step.
    let step = unit.to_si(power_of_ten(-full.decimals.unwrap_or(2)));
    let rows: Vec<usize> = zeros
        .iter()
        .filter(|z| (z.1 - zero).abs() > 1.01 * step)
        .map(|z| z.0)
        .collect();
    let decimals = full.decimals.unwrap_or(2);
    if rows.is_empty() {
        remarks.push(Remark::ImpliedZero {
            zero: unit.from_si(zero),
            decimals,
            unit: unit.symbol(),
        });
    } else {
        remarks.push(Remark::ChangeIsNotReadingMinusZero {
            rows,
            zero: unit.from_si(zero),
            decimals,
            unit: unit.symbol(),
        });
    }
}
