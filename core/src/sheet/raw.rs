//! The readings as taken: every cell to the letter, under headings quantity / unit.

use super::algebra::with_unit;
use super::scale::headed;
use super::{Given, MOST_ROWS, Table, words};
use crate::figures::round::shortest;
use crate::table::{Column, Role};

/// The table as typed, without its blank rows and columns.
pub(super) fn table(given: &Given) -> Table {
    let typed = given.table;
    let cells = |row: usize| (1..=typed.columns.len()).map(move |column| typed.text(row, column));
    let filled: Vec<usize> = (1..=typed.rows)
        .filter(|row| cells(*row).any(|cell| !cell.is_empty()))
        .collect();
    let printed: Vec<usize> = filled.iter().copied().take(MOST_ROWS).collect();
    let shown: Vec<usize> = (1..=typed.columns.len())
        .filter(|column| {
            printed
                .iter()
                .any(|row| !typed.text(*row, *column).is_empty())
        })
        .collect();
    let mut headings = vec!["Row".to_owned()];
    headings.extend(shown.iter().map(|column| heading(given, *column)));
    let rows = printed
        .iter()
        .map(|row| {
            let mut line = vec![row.to_string()];
            line.extend(
                shown
                    .iter()
                    .map(|column| typed.text(*row, *column).to_owned()),
            );
            line
        })
        .collect();
    let left_out = |row: usize| given.excluded.iter().any(|e| e.row == row);
    Table {
        caption: "Readings as taken".to_owned(),
        headings,
        rows,
        left_out: printed
            .iter()
            .enumerate()
            .filter(|(_, row)| left_out(**row))
            .map(|(index, _)| index)
            .collect(),
        row_headings: true,
        below: words::rows_printed(printed.len(), filled.len()),
    }
}

/// The heading of a column, from 1: quantity / unit where they are known, else as typed.
fn heading(given: &Given, number: usize) -> String {
    let columns = &given.table.columns;
    let Some(column) = number.checked_sub(1).and_then(|index| columns.get(index)) else {
        return String::new();
    };
    let unit = column.unit.map_or("", |unit| unit.symbol());
    let letter = match column.role {
        Role::UncertaintyOf(of) => {
            let of = of.checked_sub(1).and_then(|index| columns.get(index));
            return headed(
                &format!("Δ{}", of.map_or("", |of| letter(of).unwrap_or("x"))),
                unit,
            );
        }
        _ => match letter(column) {
            Some(letter) => letter,
            None if column.heading.is_empty() => return format!("column {number}"),
            None => return column.heading.clone(),
        },
    };
    if let Some(series) = &column.series {
        let apart = match (series.role, series.number, series.unit) {
            (Some(Role::Wires), Some(1.0), _) => "1 wire".to_owned(),
            (Some(Role::Wires), Some(wires), _) => format!("{} wires", shortest(wires)),
            (Some(_), Some(number), Some(unit)) => with_unit(&shortest(number), unit.symbol()),
            _ => series.label.clone(),
        };
        return format!("{} ({apart})", headed(letter, unit));
    }
    let alike: Vec<usize> = (1..)
        .zip(columns)
        .filter(|(_, c)| c.role == column.role && c.series.is_none())
        .map(|(n, _)| n)
        .collect();
    match alike.iter().position(|n| *n == number) {
        Some(place) if alike.len() > 1 => headed(&format!("{letter}{}", lowered(place + 1)), unit),
        _ => headed(letter, unit),
    }
}

/// The letter that stands for what a column holds; `None` where it has no letter of the trade.
fn letter(column: &Column) -> Option<&'static str> {
    Some(match column.role {
        Role::Current => "I",
        Role::Reading => "m",
        Role::FullReading => "reading",
        Role::Zero => "zero",
        Role::ZeroBefore => "zero before",
        Role::ZeroAfter => "zero after",
        Role::Force => "F",
        Role::Length => "L",
        Role::Wires => "N",
        Role::Angle => "θ",
        Role::FluxDensity => "B",
        Role::Time => "t",
        Role::UncertaintyOf(_) | Role::Position | Role::Counter | Role::Comment | Role::Ignored => {
            return None;
        }
    })
}

/// A number as an index: `₁₂`.
fn lowered(number: usize) -> String {
    number
        .to_string()
        .chars()
        .filter_map(|c| char::from_u32(c.to_digit(10)? + u32::from('₀')))
        .collect()
}
