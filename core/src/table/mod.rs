//! From pasted text to cells, headings, and notes on what was understood and what was not.
//!
//! Start at [`read`]. The text may come from a spreadsheet, a CSV file, a Markdown or HTML table, or a keyboard; it is
//! never refused for its form, only for its size. Whatever had to be guessed, mended or left out has a [`Note`] with its
//! place, and [`Choices`] overrule every guess.
//!
//! - `split.rs` parts the text into the cells of a `grid.rs`, `spaces.rs` where spaces part them; `html.rs` straightens an
//!   HTML table first;
//! - `layout.rs` finds title, headings and readings, and turns a table that lies on its side;
//! - `heading.rs` takes headings apart with the words of `vocabulary.rs`; `decide.rs` gives each column its role from them
//!   and from the first numbers (`sample.rs`), `units.rs` its unit, `series.rs` what sets it apart from its fellows;
//! - `cells.rs` reads the numbers; `note.rs` holds what is told and `words.rs` makes the sentences;
//! - `plain.rs` is the table as an editable grid shows it.
//!
//! Rows and columns are counted from 1 in all that is public, as a reader counts them: row 1 is the first row of
//! readings below the headings. (The vectors [`Table::columns`] and [`Column::cells`] are indexed from 0 as usual.) In a
//! table on its side a row is one reading, that is one column of the text.

mod cells;
mod decide;
mod grid;
mod heading;
mod html;
mod layout;
mod note;
mod plain;
mod sample;
mod series;
mod spaces;
mod split;
mod units;
mod vocabulary;
mod words;

use std::borrow::Cow;

use crate::figures::{DecimalMark, Unit, excerpt};
use grid::Grid;
use layout::Layout;
use note::Notes;

pub use html::from_clipboard;
pub use note::{NotUsed, Note, NoteKind, Place, Seen, Weight};
pub use plain::Plain;
pub use split::Separator;

/// Most rows of readings that are read.
pub const LARGEST_ROW_COUNT: usize = 100_000;
/// Longest text that is read, in bytes.
pub const LARGEST_TEXT_BYTES: usize = 8_000_000;
/// Most columns that are read.
pub const LARGEST_COLUMN_COUNT: usize = 60;
/// Most cells, blanks included, that are read.
pub const LARGEST_CELL_COUNT: usize = 2_000_000;

/// Reads a table from text. See [`Table`].
///
/// # Examples
/// ```
/// use yokeline_core::table::{Choices, Role, read};
/// let table = read("I / A\tm / g\n0.50\t0.31\n1.00\tn/a\n", &Choices::default());
/// assert_eq!((table.rows, table.columns[0].role, table.columns[1].role), (2, Role::Current, Role::Reading));
/// assert_eq!(table.columns[1].cells[0].number().unwrap().value_si, 0.00031);
/// assert_eq!(table.notes[0].place.row, Some(2));
/// ```
pub fn read(text: &str, choices: &Choices) -> Table {
    let text = match within_limits(text) {
        Ok(text) => text,
        Err(too_much) => return Table::refused(too_much),
    };
    if text
        .trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}')
        .is_empty()
    {
        return Table::refused(NoteKind::NothingPasted);
    }
    let mut split = split::split(&text, choices.decimal);
    let layout = Layout::of(&mut split.grid, choices.lies);
    if layout.rows > LARGEST_ROW_COUNT {
        return Table::refused(NoteKind::TooManyRows {
            rows: layout.rows,
            limit: LARGEST_ROW_COUNT,
        });
    }
    let columns = layout.headings.len();
    if layout.rows.saturating_mul(columns) > LARGEST_CELL_COUNT {
        return Table::refused(NoteKind::TooManyCells {
            rows: layout.rows,
            columns,
            limit: LARGEST_CELL_COUNT,
        });
    }
    let mut notes = Notes::default();
    tell_layout(&split, &layout, &mut notes);
    let samples = cells::samples(&split.grid, &layout);
    let plans = decide::decide(&layout, samples, choices, &mut notes);
    let columns = cells::read_columns(&split, &layout, plans, choices, &mut notes);
    Table {
        title: layout.title.clone(),
        rows: layout.rows,
        across: layout.across,
        separator: split.separator,
        notes: notes.finish(&columns),
        columns,
        grid: split.grid,
        layout,
    }
}

/// The cells of a pasted text as they stand, rows without any left out: for tables that hold no readings.
///
/// # Errors
/// A text beyond [`LARGEST_TEXT_BYTES`], or a table beyond [`LARGEST_CELL_COUNT`].
pub fn cells(text: &str) -> Result<Vec<Vec<String>>, NoteKind> {
    let text = within_limits(text)?;
    let split = split::split(&text, None);
    let cells = (0..split.grid.height())
        .map(|row| {
            split
                .grid
                .row(row)
                .map(|cell| cell.trim().to_owned())
                .collect()
        })
        .filter(|cells: &Vec<String>| cells.iter().any(|cell| !cell.is_empty()))
        .collect();
    Ok(cells)
}

/// The text with an HTML table made plain, or why it is more than is read.
fn within_limits(text: &str) -> Result<Cow<'_, str>, NoteKind> {
    if text.len() > LARGEST_TEXT_BYTES {
        return Err(NoteKind::TooLong {
            bytes: text.len(),
            limit: LARGEST_TEXT_BYTES,
        });
    }
    match html::straightened(text) {
        None => Ok(Cow::Borrowed(text)),
        Some(Ok(straight)) => Ok(Cow::Owned(straight)),
        Some(Err(too_many)) => Err(NoteKind::TooManyCells {
            rows: too_many.rows,
            columns: too_many.columns,
            limit: LARGEST_CELL_COUNT,
        }),
    }
}

/// What the reader has said about the table, against or beside what it says itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Choices {
    /// The decimal mark of cells such as `1,234` that leave it open.
    pub decimal: Option<DecimalMark>,
    /// What single columns are.
    pub columns: Vec<ColumnChoice>,
    /// Whether readings run down or across.
    pub lies: Option<Lie>,
}

/// What the reader has said about one column; what is `None` stays guessed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ColumnChoice {
    /// Which column, from 1.
    pub column: usize,
    /// What it holds.
    pub role: Option<Role>,
    /// Unit of its bare numbers.
    pub unit: Option<Unit>,
    /// The wire's length under which this column's readings were taken, in metres.
    pub length_m: Option<f64>,
    /// The number of wires under which this column's readings were taken.
    pub wires: Option<f64>,
}

/// The way in which the readings of one quantity follow each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lie {
    /// Below each other, the usual way.
    Down,
    /// Beside each other, with the headings in the first column.
    Across,
}

/// A table that was read: its columns, and notes on all that was guessed, mended or could not be used.
#[derive(Clone, Debug)]
pub struct Table {
    /// A line above the headings.
    pub title: Option<String>,
    /// The columns from left to right; those of a table on its side from top to bottom.
    pub columns: Vec<Column>,
    /// How many rows of readings there are, blank ones between others included.
    pub rows: usize,
    /// The table lay on its side and was turned.
    pub across: bool,
    /// What parts the cells.
    pub separator: Separator,
    /// What the reader ought to know, the table as a whole first, then column by column.
    pub notes: Vec<Note>,
    grid: Grid,
    layout: Layout,
}

impl Table {
    fn refused(kind: NoteKind) -> Table {
        let note = Note {
            place: Place::default(),
            heading: String::new(),
            weight: Weight::Trouble,
            kind,
        };
        Table {
            title: None,
            columns: Vec::new(),
            rows: 0,
            across: false,
            separator: Separator::Tab,
            notes: vec![note],
            grid: Grid::default(),
            layout: Layout::default(),
        }
    }

    /// A cell exactly as typed, without the blanks around it; row and column from 1. Empty where there is no such cell.
    pub fn text(&self, row: usize, column: usize) -> &str {
        match (row.checked_sub(1), column.checked_sub(1)) {
            (Some(row), Some(column)) if row < self.rows && column < self.columns.len() => {
                self.layout.get(&self.grid, row, column)
            }
            _ => "",
        }
    }

    /// The note that says why nothing was read, when nothing was: an empty paste, or one beyond the limits.
    pub fn refusal(&self) -> Option<&Note> {
        self.notes.iter().find(|note| note.kind.is_refusal())
    }

    /// The first column of a role, with its number from 1.
    pub fn column_of(&self, role: Role) -> Option<(usize, &Column)> {
        self.columns_of(role).next()
    }

    /// The columns of a role from left to right, each with its number from 1.
    pub fn columns_of(&self, role: Role) -> impl Iterator<Item = (usize, &Column)> {
        (1..)
            .zip(&self.columns)
            .filter(move |(_, column)| column.role == role)
    }
}

/// One quantity and its readings.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// The heading as shown, line breaks as spaces; a unit from a row of units joined to it.
    pub heading: String,
    /// The heading without its unit and uncertainty.
    pub name: String,
    /// The symbol in the heading, such as `I`; empty where there is none.
    pub symbol: String,
    /// What the column holds.
    pub role: Role,
    /// The role was guessed from place or numbers, not from a heading, a unit or the reader's choice.
    pub guessed: bool,
    /// Unit of bare numbers. `None` for counts, comments and columns that are not used.
    pub unit: Option<Unit>,
    /// Uncertainty of every cell, from a heading such as `I [A] ± 0.005`, in SI.
    pub uncertainty: Option<f64>,
    /// What sets this column of readings apart from its fellows. `None` for a single column and for repeats.
    pub series: Option<Series>,
    /// The way in which its readings were taken, where several columns of readings differ in that.
    pub way: Option<Way>,
    /// One a row.
    pub cells: Vec<Cell>,
    /// The most decimal places typed in the column, in its unit: the resolution is 10^-decimals. `None` without
    /// numbers.
    pub decimals: Option<i32>,
}

impl Column {
    /// The numbers of the column in order, each with its row from 1.
    pub fn numbers(&self) -> impl Iterator<Item = (usize, &Number)> {
        (1..)
            .zip(&self.cells)
            .filter_map(|(row, cell)| Some((row, cell.number()?)))
    }
}

/// What sets a column of readings apart: `Loop 10 mm`, `m10`, `2 wires`.
#[derive(Clone, Debug, PartialEq)]
pub struct Series {
    /// The heading's words.
    pub label: String,
    /// What the number is: [`Role::Length`], [`Role::Wires`], [`Role::Current`] or [`Role::Angle`]; `None` when the
    /// columns differ in something that has no number.
    pub role: Option<Role>,
    /// The number as written, in `unit`.
    pub number: Option<f64>,
    /// Unit of the number; `None` for wires.
    pub unit: Option<Unit>,
    /// The number in SI.
    pub value_si: Option<f64>,
    /// What the number is was guessed.
    pub guessed: bool,
}

/// The way in which a column of readings was taken, as its heading says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// With the current one way: `m forward`, `m(+I)`.
    Forward,
    /// With the current the other way: `m reversed`, `m(−I)`.
    Reversed,
    /// While the current was raised.
    Up,
    /// While it was lowered again.
    Down,
}

/// What one cell holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cell {
    /// No reading: blank, a lone dash, `n/a`; and every cell of a column of comments. Never zero.
    Empty,
    /// A reading.
    Number(Number),
    /// Something that is no number, or one that cannot be meant; a note says what and where.
    Unusable,
}

impl Cell {
    /// The reading, if there is one.
    pub fn number(&self) -> Option<&Number> {
        match self {
            Cell::Number(number) => Some(number),
            Cell::Empty | Cell::Unusable => None,
        }
    }
}

/// A reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Number {
    /// The value in the SI unit of the column's quantity; a count or a number without a known unit as it stands.
    pub value_si: f64,
    /// An uncertainty typed in the cell, in SI.
    pub uncertainty_si: Option<f64>,
    /// The place of the last digit typed, in the column's unit: 2 for `0.50` and 3 for `500 mA` in a column in A.
    pub decimals: i32,
}

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Role {
    /// Current in the wire.
    Current,
    /// Change of the balance reading since the tare, or the only column of masses.
    Reading,
    /// The balance's full reading, beside a column of changes.
    FullReading,
    /// The balance's reading at no current.
    Zero,
    /// The zero before each reading.
    ZeroBefore,
    /// The zero after each reading.
    ZeroAfter,
    /// Force, measured or worked out.
    Force,
    /// Length of wire in the field.
    Length,
    /// Number of wires side by side.
    Wires,
    /// Angle between wire and field.
    Angle,
    /// Flux density, from a probe.
    FluxDensity,
    /// Position of a rider or slider that sets the force.
    Position,
    /// Time of the reading.
    Time,
    /// Number of the trial.
    Counter,
    /// Uncertainties of the column with this number, from 1. Their values are in the SI unit of that column.
    UncertaintyOf(usize),
    /// Words.
    Comment,
    /// Not used; a note says why, unless the column is blank or the reader chose so.
    Ignored,
}

/// Notes on how the text became a table.
fn tell_layout(split: &split::Split, layout: &Layout, notes: &mut Notes) {
    if let Some(text) = &layout.title {
        notes.table(
            Weight::Told,
            NoteKind::Title {
                text: excerpt(text),
            },
        );
    }
    if let Some(first) = layout.comments.first() {
        let first = excerpt(first);
        notes.table(
            Weight::Told,
            NoteKind::CommentLines {
                count: layout.comments.len(),
                first,
            },
        );
    }
    if split.said_so {
        notes.table(Weight::Told, NoteKind::SeparatorLine);
    }
    if split.stray_quote {
        notes.table(Weight::Asked, NoteKind::StrayQuote);
    }
    if layout.across {
        notes.table(Weight::Told, NoteKind::LiesAcross);
    }
    if let Some(found) = &split.double_comma {
        let (pieces, headings) = (found.pieces, found.headings);
        notes.table(
            Weight::Asked,
            NoteKind::CommaForEverything { pieces, headings },
        );
    }
    if layout.found_columns > layout.headings.len() {
        let (columns, limit) = (layout.found_columns, layout.headings.len());
        notes.table(Weight::Trouble, NoteKind::TooManyColumns { columns, limit });
    }
}
