//! The table as plain text in cells, for an editable grid and for keeping.

use super::Table;

/// A table's texts, upright: what an editable grid shows.
///
/// Reading [`Plain::to_text`] gives the same table back: same title, headings and cells.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plain {
    /// The line above the headings.
    pub title: Option<String>,
    /// One a column; all empty when the table has none.
    pub headings: Vec<String>,
    /// Cells as typed, as many in each row as there are headings.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// The texts of the table, turned upright.
    pub fn plain(&self) -> Plain {
        let cells = |row: usize| {
            (1..=self.columns.len())
                .map(|column| self.text(row, column).to_owned())
                .collect()
        };
        Plain {
            title: self.title.clone(),
            headings: self
                .columns
                .iter()
                .map(|column| column.heading.clone())
                .collect(),
            rows: (1..=self.rows).map(cells).collect(),
        }
    }
}

impl Plain {
    /// The table as text: tabs between cells, a line to a row, quotes only where needed.
    pub fn to_text(&self) -> String {
        let mut text = String::new();
        // Without a tab nothing would say that commas and spaces belong to the cells of a single column.
        if self.headings.len() < 2 {
            text.push_str("sep=\\t\n");
        }
        if let Some(title) = &self.title {
            push_cell(&mut text, title, true);
            text.push('\n');
        }
        if self.headings.iter().any(|heading| !heading.is_empty()) {
            push_row(&mut text, &self.headings);
        }
        for row in &self.rows {
            push_row(&mut text, row);
        }
        text
    }
}

fn push_row(text: &mut String, cells: &[String]) {
    for (index, cell) in cells.iter().enumerate() {
        if index > 0 {
            text.push('\t');
        }
        push_cell(text, cell, cells.len() == 1);
    }
    text.push('\n');
}

/// Writes one cell; `alone` when an empty one would make an empty line, which is no row.
pub(super) fn push_cell(text: &mut String, cell: &str, alone: bool) {
    let starts_specially = cell.starts_with(['#', '<', '\u{feff}'])
        || cell
            .get(..4)
            .is_some_and(|start| start.eq_ignore_ascii_case("sep="));
    let needs_quotes =
        starts_specially || cell.contains(['\t', '\n', '\r', '"']) || (alone && cell.is_empty());
    if !needs_quotes {
        text.push_str(cell);
        return;
    }
    text.push('"');
    for seen in cell.chars() {
        if seen == '"' {
            text.push('"');
        }
        text.push(seen);
    }
    text.push('"');
}
