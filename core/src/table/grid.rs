//! A table of text cells: one buffer, and ranges into it.
//!
//! Rows keep the number of cells that they came with, so that one long line does not widen a hundred thousand short
//! ones. Rows and columns are counted from 0 here; what readers see is counted in [`super`].

/// Cells at the start of a row by which the row is judged.
const SURVEYED_CELLS: usize = 120;

/// Text cells in rows of any length.
#[derive(Clone, Debug, Default)]
pub(super) struct Grid {
    text: String,
    cells: Vec<Span>,
    rows: Vec<GridRow>,
}

/// Where a cell's text stands in the buffer, in bytes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span {
    start: u32,
    end: u32,
}

impl Span {
    /// A range of bytes; texts are held under 4 GB by [`super::LARGEST_TEXT_BYTES`].
    pub(super) fn new(start: usize, end: usize) -> Span {
        let clip = |place: usize| u32::try_from(place).unwrap_or(u32::MAX);
        Span {
            start: clip(start),
            end: clip(end),
        }
    }
}

#[derive(Clone, Copy, Debug)]
struct GridRow {
    first: u32,
    len: u32,
    comment: bool,
}

impl Grid {
    /// An empty grid whose cells will be ranges of `text`.
    pub(super) fn over(text: String) -> Grid {
        Grid {
            text,
            cells: Vec::new(),
            rows: Vec::new(),
        }
    }

    /// Replaces the buffer, for a reader that fills it while it adds the rows.
    pub(super) fn set_text(&mut self, text: String) {
        self.text = text;
    }

    /// Adds one row.
    pub(super) fn push(&mut self, cells: impl IntoIterator<Item = Span>, comment: bool) {
        let first = self.cells.len();
        self.cells.extend(cells);
        let len = self.cells.len() - first;
        let clip = |count: usize| u32::try_from(count).unwrap_or(u32::MAX);
        self.rows.push(GridRow {
            first: clip(first),
            len: clip(len),
            comment,
        });
    }

    /// How many rows there are.
    pub(super) fn height(&self) -> usize {
        self.rows.len()
    }

    /// How many cells a row has; 0 for a row that does not exist.
    pub(super) fn len(&self, row: usize) -> usize {
        self.rows.get(row).map_or(0, |row| row.len as usize)
    }

    /// Whether the row is a comment line.
    pub(super) fn is_comment(&self, row: usize) -> bool {
        self.rows.get(row).is_some_and(|row| row.comment)
    }

    /// Marks a row as an ordinary one again.
    pub(super) fn uncomment(&mut self, row: usize) {
        if let Some(row) = self.rows.get_mut(row) {
            row.comment = false;
        }
    }

    /// A cell's text, trimmed; empty where there is no cell.
    pub(super) fn get(&self, row: usize, column: usize) -> &str {
        let Some(row) = self.rows.get(row) else {
            return "";
        };
        if column >= row.len as usize {
            return "";
        }
        self.cells
            .get(row.first as usize + column)
            .and_then(|span| self.text.get(span.start as usize..span.end as usize))
            .map_or("", trimmed)
    }

    /// The row's first cells: enough to judge it by, however long it is.
    pub(super) fn start(&self, row: usize) -> impl Iterator<Item = &str> {
        (0..self.len(row).min(SURVEYED_CELLS)).map(move |column| self.get(row, column))
    }

    /// The row's cells in order.
    pub(super) fn row(&self, row: usize) -> impl Iterator<Item = &str> {
        (0..self.len(row)).map(move |column| self.get(row, column))
    }
}

/// The cell without the blanks around it, and without quotes that a space kept from being understood.
fn trimmed(cell: &str) -> &str {
    // Nearly every cell of a long table is a bare number: two bytes tell that there is nothing to take off.
    let is_bare = |byte: &u8| byte.is_ascii_graphic() && *byte != b'"';
    let bytes = cell.as_bytes();
    if bytes.first().is_some_and(is_bare) && bytes.last().is_some_and(is_bare) {
        return cell;
    }
    let cell = cell.trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}' || c == '\u{200b}');
    match cell
        .strip_prefix('"')
        .and_then(|rest| rest.strip_suffix('"'))
    {
        Some(inside) if !inside.contains('"') => inside.trim(),
        _ => cell,
    }
}
