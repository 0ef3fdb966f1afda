//! A probe walked along the line of the wire: from pasted text to places and fields.
//!
//! Start at [`read`].

use crate::figures::Unit;
use crate::table::{self, Choices, Column, ColumnChoice, Note, Role, Table};

/// One place at which the probe was read, SI.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Place {
    /// The row, from 1.
    pub row: usize,
    /// Position along the wire, m.
    pub x_m: f64,
    /// Standard uncertainty of that.
    pub u_x_m: f64,
    /// Reading of the probe, T.
    pub flux_density_t: f64,
    /// Standard uncertainty of that.
    pub u_t: f64,
}

/// The walk as it was understood.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Walk {
    /// The places, in the order of the rows.
    pub places: Vec<Place>,
    /// The units that bare numbers were taken in, where no heading names what the columns hold.
    pub assumed: Option<(Unit, Unit)>,
    /// What else is to be known of the text.
    pub notes: Vec<Note>,
}

/// Reads a table of positions and probe readings. Without headings the first column is taken for the positions and the
/// second for the readings.
///
/// An uncertainty typed in a cell, a heading or a column of its own is the standard uncertainty; without one it is that
/// of a reading rounded to its last decimal place, step/√12.
pub fn read(text: &str) -> Walk {
    let mut table = table::read(text, &Choices::default());
    let mut assumed = None;
    if table.refusal().is_none() && columns(&table).is_none() {
        let choice = |column, role| ColumnChoice {
            column,
            role: Some(role),
            ..ColumnChoice::default()
        };
        let choices = Choices {
            columns: vec![choice(1, Role::Position), choice(2, Role::FluxDensity)],
            ..Choices::default()
        };
        table = table::read(text, &choices);
        assumed = columns(&table).and_then(|(position, field)| Some((position.unit?, field.unit?)));
    }
    let places = columns(&table).map_or(Vec::new(), |(position, field)| {
        let at = |column: &Column, row: usize| {
            let number = column.cells.get(row)?.number()?;
            let own = super::points::typed_uncertainty(
                column,
                uncertainty_column(&table, column),
                row,
                number.uncertainty_si,
            );
            let step = column
                .unit?
                .to_si(super::ordinate::power_of_ten(-column.decimals?));
            let standard = own.filter(|u| *u > 0.0).unwrap_or(step / 12.0_f64.sqrt());
            Some((number.value_si, standard))
        };
        (0..table.rows)
            .filter_map(|row| {
                let ((x_m, u_x_m), (flux_density_t, u_t)) = (at(position, row)?, at(field, row)?);
                Some(Place {
                    row: row + 1,
                    x_m,
                    u_x_m,
                    flux_density_t,
                    u_t,
                })
            })
            .collect()
    });
    Walk {
        places,
        assumed,
        notes: table.notes,
    }
}

/// The columns of positions and of probe readings.
fn columns(table: &Table) -> Option<(&Column, &Column)> {
    let first = |role| table.column_of(role).map(|found| found.1);
    let position = first(Role::Position).or(first(Role::Length))?;
    Some((position, first(Role::FluxDensity)?))
}

fn uncertainty_column<'a>(table: &'a Table, of: &Column) -> Option<&'a Column> {
    let index = table.columns.iter().position(|c| std::ptr::eq(c, of))?;
    table
        .column_of(Role::UncertaintyOf(index + 1))
        .map(|found| found.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn values(text: &str) -> Vec<(f64, f64)> {
        let places = read(text).places;
        let rounded = |v: f64| (v * 1e9).round() / 1e9;
        places
            .iter()
            .map(|p| (rounded(p.x_m), rounded(p.flux_density_t)))
            .collect()
    }

    #[test]
    fn headings_units_and_orders_of_all_kinds_are_read() {
        let expected = [(0.0, 0.0021), (0.005, 0.0300), (0.010, 0.0310)];
        for text in [
            "x / mm\tB / mT\n0\t2.1\n5\t30.0\n10\t31.0\n",
            "Field (mT),Position (cm)\n2.1,0.0\n30.0,0.5\n31.0,1.0\n",
            "distance along wire / m;B / T\n0,000;0,0021\n0,005;0,0300\n0,010;0,0310\n",
            "position\tprobe reading\n0 mm\t2.1 mT\n5 mm\t30.0 mT\n10 mm\t31.0 mT\n",
            "x (mm)\tB (G)\n0\t21\n5\t300\n10\t310\n",
        ] {
            assert_eq!(values(text), expected, "{text}");
        }
    }

    #[test]
    fn bare_columns_are_taken_in_turn_and_that_is_told() {
        let walk = read("0\t2.1\n5\t30.0\n40\t31.0\n50\t2.0\n");
        assert_eq!(walk.places.len(), 4);
        assert_eq!(walk.assumed, Some((Unit::MILLIMETRE, Unit::MILLITESLA)));
        assert!((walk.places[1].x_m - 0.005).abs() < 1e-12);
    }

    #[test]
    fn an_uncertainty_in_a_cell_is_kept_and_a_bad_row_left_out() {
        let walk = read("x / mm\tB / mT\n0\t2.1 ± 0.5\n5\tn/a\n10\t31.0\n");
        let rows: Vec<usize> = walk.places.iter().map(|p| p.row).collect();
        assert_eq!(rows, [1, 3]);
        assert!((walk.places[0].u_t - 0.0005).abs() < 1e-15);
        assert!((walk.places[1].u_t - 0.0001 / 12.0_f64.sqrt()).abs() < 1e-12);
    }
}
