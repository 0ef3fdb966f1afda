//! Edits of the table, on its plain form: cells, rows and columns, and what has to be renumbered along with them.
//!
//! Rows here count from 0, as in [`Plain::rows`]; the [`Job`]'s own row numbers count from 1.

use std::collections::BTreeMap;

use yokeline_core::job::Job;
use yokeline_core::table::Plain;

/// Whether the table holds currents and nothing beside them yet, as one that is to be filled in.
pub fn waits_for_readings(plain: &Plain) -> bool {
    let filled = |cell: &String| !cell.trim().is_empty();
    let only_first = |row: &Vec<String>| !row.iter().skip(1).any(filled);
    plain.headings.len() > 1 && !plain.rows.is_empty() && plain.rows.iter().all(only_first)
}

/// Puts `text` into a cell; the row and the columns before it are made when they are missing.
pub fn set_cell(plain: &mut Plain, row: usize, column: usize, text: &str) {
    while plain.rows.len() <= row {
        plain.rows.push(Vec::new());
    }
    if let Some(cells) = plain.rows.get_mut(row) {
        if cells.len() <= column {
            cells.resize(column + 1, String::new());
        }
        if let Some(cell) = cells.get_mut(column) {
            *cell = in_one_cell(text);
        }
    }
}

/// The text of a cell; empty where there is none.
pub fn cell(plain: &Plain, row: usize, column: usize) -> &str {
    plain
        .rows
        .get(row)
        .and_then(|cells| cells.get(column))
        .map_or("", String::as_str)
}

/// Whether nothing is written in the row.
pub fn is_blank(plain: &Plain, row: usize) -> bool {
    plain
        .rows
        .get(row)
        .is_none_or(|cells| cells.iter().all(|cell| cell.trim().is_empty()))
}

/// How many columns the table has: the headings or the longest row.
pub fn width(plain: &Plain) -> usize {
    plain
        .rows
        .iter()
        .map(Vec::len)
        .max()
        .unwrap_or(0)
        .max(plain.headings.len())
}

/// Gives every row as many cells as the widest, and the headings too.
pub fn straighten(plain: &mut Plain) {
    let width = width(plain);
    plain.headings.resize(width, String::new());
    for cells in &mut plain.rows {
        cells.resize(width, String::new());
    }
}

/// Makes room for a row at `row`: what the job says of this row and of later ones moves down by one.
pub fn open_row(job: &mut Job, plain: &mut Plain, row: usize) {
    let at = row.min(plain.rows.len());
    plain.rows.insert(at, Vec::new());
    renumber(job, |number| {
        Some(if number > at { number + 1 } else { number })
    });
}

/// Takes a row out: what the job says of later rows moves up by one.
pub fn take_row(job: &mut Job, plain: &mut Plain, row: usize) {
    if row >= plain.rows.len() {
        return;
    }
    plain.rows.remove(row);
    renumber(job, |number| match number {
        n if n == row + 1 => None,
        n if n > row + 1 => Some(n - 1),
        n => Some(n),
    });
}

/// Takes a column out, with what the job says of it.
pub fn take_column(job: &mut Job, plain: &mut Plain, column: usize) {
    if column < plain.headings.len() {
        plain.headings.remove(column);
    }
    for cells in &mut plain.rows {
        if column < cells.len() {
            cells.remove(column);
        }
    }
    job.columns.retain(|choice| choice.column != column + 1);
    for choice in &mut job.columns {
        if choice.column > column + 1 {
            choice.column -= 1;
        }
    }
}

/// A pasted block as cells: tabs between them, or else each line is one cell. A last line break ends the block.
pub fn block(text: &str) -> Vec<Vec<String>> {
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    let text = text.strip_suffix('\n').unwrap_or(&text);
    text.split('\n')
        .map(|line| {
            line.split('\t')
                .map(|cell| cell.trim().to_owned())
                .collect()
        })
        .collect()
}

/// Whether a pasted block is a table of its own: several rows, the first of which holds no number.
pub fn has_headings(block: &[Vec<String>]) -> bool {
    let holds_number = |cells: &Vec<String>| {
        cells
            .iter()
            .any(|cell| cell.chars().next().is_some_and(starts_number))
    };
    block.len() > 1
        && block.first().is_some_and(|first| !holds_number(first))
        && block.iter().skip(1).any(holds_number)
}

/// How many rows of the text hold at least two cells that begin as a number, counted up to `enough`.
pub fn rows_with_numbers(plain: &Plain, enough: usize) -> usize {
    plain
        .rows
        .iter()
        .filter(|cells| {
            cells
                .iter()
                .filter(|cell| cell.trim_start().chars().next().is_some_and(starts_number))
                .count()
                >= 2
        })
        .take(enough)
        .count()
}

/// A cell holds one line and no tab, since these part cells from each other.
fn in_one_cell(text: &str) -> String {
    if text.contains(['\t', '\n', '\r']) {
        text.replace(['\t', '\n', '\r'], " ")
    } else {
        text.to_owned()
    }
}

fn starts_number(c: char) -> bool {
    c.is_numeric() || matches!(c, '-' | '+' | '−' | '–' | '.' | ',' | '±')
}

fn renumber(job: &mut Job, new: impl Fn(usize) -> Option<usize>) {
    job.exclude = job.exclude.iter().filter_map(|&row| new(row)).collect();
    job.reasons = std::mem::take(&mut job.reasons)
        .into_iter()
        .filter_map(|(row, reason)| Some((new(row)?, reason)))
        .collect::<BTreeMap<_, _>>();
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(rows: &[&[&str]]) -> Plain {
        Plain {
            headings: vec!["I / A".to_owned(), "m / g".to_owned()],
            rows: rows
                .iter()
                .map(|cells| cells.iter().map(|&cell| cell.to_owned()).collect())
                .collect(),
            ..Plain::default()
        }
    }

    fn job() -> Job {
        Job {
            exclude: vec![1, 3],
            reasons: BTreeMap::from([(3, "knocked the bench".to_owned())]),
            ..Job::default()
        }
    }

    #[test]
    fn a_cell_beyond_the_end_makes_its_row() {
        let mut table = plain(&[&["0.50", "0.08"]]);
        set_cell(&mut table, 1, 1, "0.17");
        assert_eq!(cell(&table, 1, 0), "");
        assert_eq!(cell(&table, 1, 1), "0.17");
        assert!(!is_blank(&table, 1));
    }

    #[test]
    fn a_cell_stays_one_cell() {
        let mut table = plain(&[]);
        set_cell(&mut table, 0, 0, "1\t2\n3");
        assert_eq!(cell(&table, 0, 0), "1 2 3");
    }

    #[test]
    fn rows_left_out_move_with_their_rows() {
        let mut table = plain(&[&["1"], &["2"], &["3"]]);
        let mut moved = job();
        open_row(&mut moved, &mut table, 1);
        assert_eq!(moved.exclude, [1, 4]);
        assert_eq!(
            moved.reasons.get(&4).map(String::as_str),
            Some("knocked the bench")
        );

        let mut moved = job();
        let mut table = plain(&[&["1"], &["2"], &["3"]]);
        take_row(&mut moved, &mut table, 0);
        assert_eq!(moved.exclude, [2]);
        assert!(moved.reasons.contains_key(&2));
        take_row(&mut moved, &mut table, 1);
        assert!(moved.exclude.is_empty() && moved.reasons.is_empty());
        assert_eq!(table.rows.len(), 1);
    }

    #[test]
    fn a_block_with_headings_is_a_table_of_its_own() {
        assert!(has_headings(&block("I / A\tm / g\r\n0.5\t0.08\r\n")));
        assert!(!has_headings(&block("0.5\t0.08\n1.0\t0.17")));
        assert!(!has_headings(&block("no numbers\nat all")));
        assert_eq!(block("1\r\n2\r\n"), [["1"], ["2"]]);
    }

    #[test]
    fn counts_rows_with_numbers() {
        let table = plain(&[&["0.50", "0.08"], &["x", "y"], &["−1", "+2"], &["3"]]);
        assert_eq!(rows_with_numbers(&table, 10), 2);
        assert_eq!(rows_with_numbers(&table, 1), 1);
    }
}
