//! From cells to points.
//!
//! Start at [`gather`]: it finds the columns that make up x and y, averages repeats, subtracts noted zeros, gives every
//! point its uncertainties and sorts the points into families that share a line.

use std::sync::Arc;

use crate::figures::Unit;
use crate::table::{Cell, Column, Role, Table, Way};

use super::abscissa::Abscissa;
use super::families::Families;
use super::ordinate::OrdinateColumns;
use super::setup::Setup;
use super::{Family, Order, Ordinate, Point, Readings, Remark, Varied};

/// What [`gather`] needs to know.
#[derive(Clone, Copy, Debug)]
pub struct Request<'a> {
    /// The understood table.
    pub table: &'a Table,
    /// The apparatus.
    pub setup: &'a Setup,
    /// Which quantity was varied.
    pub varied: Varied,
    /// Rows, from 1, that the user left out of the line.
    pub exclude: &'a [usize],
}

/// Makes the points. Without the columns that are needed there are no points and a remark says which are missing.
pub fn gather(request: &Request) -> Readings {
    let mut remarks = Vec::new();
    let Some(ordinate) = OrdinateColumns::find(request.table, &mut remarks) else {
        return Readings {
            families: vec![Family::default()],
            remarks,
            ..Readings::default()
        };
    };
    let varied = settle_varied(request, &mut remarks);
    let Some(abscissa) = Abscissa::find(request, varied, &mut remarks) else {
        return Readings {
            families: vec![Family::default()],
            varied,
            remarks,
            ..Readings::default()
        };
    };
    let step = ordinate.step(request);
    let scale = ordinate.scale(request.setup, varied);
    let mut excluded = request.exclude.to_vec();
    excluded.sort_unstable();
    let mut families = Families::new(request, varied);
    let mut points = Vec::with_capacity(request.table.rows * ordinate.groups.len());
    let mut turned = Vec::new();
    let mut identical = Vec::new();
    let mut not_positive = Vec::new();
    let mut beyond: Vec<usize> = Vec::new();
    let (order, taken) = order(request.table);
    let mut repeats = Vec::new();
    for row in 0..request.table.rows {
        let Some(x) = abscissa.at(row) else { continue };
        for group in &ordinate.groups {
            let Some(y) = ordinate.at(row, group, step, &mut repeats) else {
                continue;
            };
            if y.identical {
                identical.push(row + 1);
            }
            if y.typed_not_positive {
                not_positive.push(row + 1);
            }
            let Some(family) = families.index(row, group) else {
                beyond.push(row + 1);
                continue;
            };
            let length_scale = families.abscissa_scale(varied, family);
            points.push(Point {
                x: x.value * length_scale,
                y: y.value * scale,
                bar_x: x.bar.map(|b| b * length_scale),
                bar_y: y.bar * scale,
                basis: y.basis,
                u_x: x.standard * length_scale,
                u_y: y.standard * scale,
                row: row + 1,
                order: match (group.way, order) {
                    // Coming down again goes through the rows from the last to the first.
                    (Some(Way::Down), _) => (2 * request.table.rows - row) as f64,
                    (_, Order::Row) => (row + 1) as f64,
                    _ => taken.get(row).copied().unwrap_or((row + 1) as f64),
                },
                repeats: y.repeats,
                family,
                excluded: excluded.binary_search(&(row + 1)).is_ok(),
            });
            turned.push(group.way == Some(Way::Reversed));
        }
    }
    turn(&mut points, &turned);
    if !beyond.is_empty() {
        remarks.push(Remark::TooManySeries { rows: beyond });
    }
    if !identical.is_empty() {
        remarks.push(Remark::IdenticalRepeats { rows: identical });
    }
    if !not_positive.is_empty() {
        remarks.push(Remark::UncertaintyNotPositive { rows: not_positive });
    }
    if !ordinate.zeros.is_empty() {
        remarks.push(Remark::ZerosSubtracted {
            between: ordinate.zeros.between().to_vec(),
        });
    }
    // Nearly always they stand so already, and a sort would first ask for room.
    let place = |p: &Point| (p.family, p.row);
    if !points.is_sorted_by_key(place) {
        points.sort_by_cached_key(place);
    }
    let untared = ordinate.untared(&points);
    let in_force = varied == Varied::Product;
    Readings {
        points: Arc::new(points),
        families: families.found,
        varied,
        ordinate: if in_force {
            Ordinate::Force
        } else {
            ordinate.kind
        },
        x_unit: abscissa.unit,
        y_unit: Some(if in_force && ordinate.kind == Ordinate::Mass {
            Unit::MILLINEWTON
        } else {
            ordinate.unit
        }),
        x_decimals: abscissa.decimals,
        y_decimals: if in_force && ordinate.kind == Ordinate::Mass {
            2
        } else {
            ordinate.decimals
        },
        resolution: Some(step * scale),
        used: abscissa
            .columns
            .iter()
            .copied()
            .chain(ordinate.groups.iter().flat_map(|g| g.columns.clone()))
            .collect(),
        order,
        repeats,
        zeros_subtracted: !ordinate.zeros.is_empty(),
        untared,
        remarks,
    }
}

/// Where the order of the readings comes from, with the place of each row when that is a column: a time or a count that
/// has a number in every row, and for a count no number twice.
fn order(table: &Table) -> (Order, Vec<f64>) {
    let complete = |role: Role| -> Option<Vec<f64>> {
        let column = table.columns.iter().find(|c| c.role == role)?;
        let numbers: Vec<f64> = column.numbers().map(|(_, n)| n.value_si).collect();
        (numbers.len() == table.rows && table.rows > 0).then_some(numbers)
    };
    if let Some(times) = complete(Role::Time) {
        return (Order::Time, times);
    }
    if let Some(counts) = complete(Role::Counter) {
        let mut sorted = counts.clone();
        sorted.sort_unstable_by(f64::total_cmp);
        if sorted.windows(2).all(|pair| pair[0] < pair[1]) {
            return (Order::Counter, counts);
        }
    }
    (Order::Row, Vec::new())
}

/// Readings of a column headed as reversed stand at negative currents, unless the currents carry signs already.
fn turn(points: &mut [Point], turned: &[bool]) {
    if points.iter().any(|p| p.x < 0.0) {
        return;
    }
    for (point, turned) in points.iter_mut().zip(turned) {
        if *turned {
            point.x = -point.x;
        }
    }
}

/// The columns with a given meaning.
pub(super) fn columns_with(table: &Table, role: Role) -> Vec<usize> {
    (0..table.columns.len())
        .filter(|i| table.columns[*i].role == role)
        .collect()
}

/// The varied quantity, or the one that the table can only be about when it has no current column.
fn settle_varied(request: &Request, remarks: &mut Vec<Remark>) -> Varied {
    let has = |role| !columns_with(request.table, role).is_empty();
    if request.varied != Varied::Current || has(Role::Current) {
        return request.varied;
    }
    let by_wire = has(Role::Length) || has(Role::Wires);
    let other = if by_wire && has(Role::Angle) {
        Varied::Product
    } else if by_wire {
        Varied::Length
    } else if has(Role::Angle) {
        Varied::Angle
    } else {
        return request.varied;
    };
    remarks.push(Remark::VariedTaken { varied: other });
    other
}

/// The uncertainty that the user typed for a cell: in the cell, in a column of its own, or in the heading.
pub(super) fn typed_uncertainty(
    column: &Column,
    uncertainty: Option<&Column>,
    row: usize,
    in_cell: Option<f64>,
) -> Option<f64> {
    let in_column = || match uncertainty?.cells.get(row) {
        Some(Cell::Number(number)) => Some(number.value_si),
        _ => None,
    };
    in_cell.or_else(in_column).or(column.uncertainty)
}
