//! From cells to points.
//!
//! Start at [`gather`]: it finds the columns that make up x and y, averages repeats, subtracts noted zeros, gives every
//! point its uncertainties and sorts the points into families that share a line.

use crate::figures::Unit;
use crate::table::{Cell, Column, Role, Table};

use super::abscissa::Abscissa;
use super::families::Families;
use super::ordinate::OrdinateColumns;
use super::setup::Setup;
use super::{Family, Ordinate, Point, Readings, Remark, Varied};

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
    let mut identical = Vec::new();
    let mut not_positive = Vec::new();
    for row in 0..request.table.rows {
        let Some(x) = abscissa.at(row) else { continue };
        for group in &ordinate.groups {
            let Some(y) = ordinate.at(row, group, step) else {
                continue;
            };
            if y.identical {
                identical.push(row + 1);
            }
            if y.typed_not_positive {
                not_positive.push(row + 1);
            }
            let family = families.index(row, group);
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
                repeats: y.repeats,
                family,
                excluded: excluded.binary_search(&(row + 1)).is_ok(),
            });
        }
    }
    if !identical.is_empty() {
        remarks.push(Remark::IdenticalRepeats { rows: identical });
    }
    if !not_positive.is_empty() {
        remarks.push(Remark::UncertaintyNotPositive { rows: not_positive });
    }
    points.sort_unstable_by_key(|p| (p.family, p.row));
    let untared = ordinate.untared(&points);
    let in_force = varied == Varied::Product;
    Readings {
        points,
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
        untared,
        remarks,
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
    let other = if has(Role::Length) || has(Role::Wires) {
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
