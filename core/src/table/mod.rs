//! From pasted text to cells, headings, and notes on what was understood and what was not.
//!
//! Start at [`read`]. The text may come from a spreadsheet, a CSV file, a Markdown or HTML table, or a keyboard; it is
//! never refused for its form, only for its size. Whatever had to be guessed, mended or left out has a [`Note`] with its
//! place, and [`Choices`] overrule every guess.
//!
//! - `split.rs` parts the text into the cells of a `grid.rs`; `html.rs` straightens an HTML table first;
//! - `layout.rs` finds title, headings and readings, and turns a table that lies on its side;
//! - `heading.rs` takes headings apart; `decide.rs` gives each column its role, unit and series;
//! - `cells.rs` reads the numbers; `words.rs` makes the sentences.
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
mod plain;
mod split;
mod words;

use std::borrow::Cow;

use crate::figures::{DecimalMark, FigureError, Unit};
use grid::Grid;
use layout::Layout;

pub use html::from_clipboard;
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
    if text.len() > LARGEST_TEXT_BYTES {
        return Table::refused(NoteKind::TooLong {
            bytes: text.len(),
            limit: LARGEST_TEXT_BYTES,
        });
    }
    let text = match html::straightened(text) {
        Some(straight) => Cow::Owned(straight),
        None => Cow::Borrowed(text),
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
    let columns = cells::read_columns(&split.grid, &layout, plans, choices, &mut notes);
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

/// What one cell holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cell {
    /// No reading: blank, a lone dash, `n/a`. Never zero.
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
    /// The place of the last digit typed, in the column's unit: 2 for `0.50` A, also when typed as `500 mA`... in which
    /// the last digit is in place 3.
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

/// Where in the table, row and column from 1; `None` when it is about all of them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Place {
    /// Row of readings.
    pub row: Option<usize>,
    /// Column.
    pub column: Option<usize>,
}

/// How much a note matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// For information.
    Told,
    /// The likeliest reading was taken; the reader should confirm or change it.
    Asked,
    /// Something could not be used.
    Trouble,
}

/// Something that the reader ought to know about the table. [`std::fmt::Display`] makes the sentence.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// Where.
    pub place: Place,
    /// Heading of the column, cut when long; empty where there is none.
    pub heading: String,
    /// How much it matters.
    pub weight: Weight,
    /// What was seen.
    pub kind: NoteKind,
}

/// Cells of one column that share a trouble: all rows from 1, and the first few texts, as typed but cut when long.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Seen {
    /// Every row concerned.
    pub rows: Vec<usize>,
    /// What stands in the first of them.
    pub texts: Vec<String>,
}

/// What a note is about, as facts.
#[derive(Clone, Debug, PartialEq)]
pub enum NoteKind {
    /// There was no text.
    NothingPasted,
    /// The text is too long.
    TooLong {
        /// Its length.
        bytes: usize,
        /// The limit.
        limit: usize,
    },
    /// There are too many rows.
    TooManyRows {
        /// How many there are.
        rows: usize,
        /// The limit.
        limit: usize,
    },
    /// There are too many cells in all.
    TooManyCells {
        /// Rows.
        rows: usize,
        /// Columns.
        columns: usize,
        /// The limit.
        limit: usize,
    },
    /// Columns beyond the limit were left out.
    TooManyColumns {
        /// How many there are.
        columns: usize,
        /// The limit.
        limit: usize,
    },
    /// No cell holds a number.
    NoNumbers,
    /// Only one column holds numbers.
    OneColumn,
    /// No column can be what is plotted along x.
    NoVaried,
    /// No column can be balance readings or forces.
    NoReadings,
    /// A line above the headings is the title.
    Title {
        /// The line.
        text: String,
    },
    /// Comment lines are no part of the table.
    CommentLines {
        /// How many.
        count: usize,
        /// The first.
        first: String,
    },
    /// A line `sep=;` was obeyed.
    SeparatorLine,
    /// A quote is never closed.
    StrayQuote,
    /// The table lay on its side.
    LiesAcross,
    /// There are no headings.
    NoHeadings,
    /// Commas part the cells and mark the decimals.
    CommaForEverything {
        /// Pieces in a row.
        pieces: usize,
        /// Headings above them.
        headings: Option<usize>,
    },
    /// In a table in which commas do both jobs, rows with another number of pieces.
    PiecesUnclear(Seen),
    /// The role was guessed from place or numbers.
    Guessed(Role),
    /// The column is not used.
    NotUsed(NotUsed),
    /// Masses beside a column of changes are the balance's full reading.
    FullReading {
        /// The column of changes, from 1.
        change: usize,
    },
    /// A heading with Δ means the uncertainty of another column.
    DeltaIsUncertainty {
        /// The other column, from 1.
        of: usize,
    },
    /// A heading with Δ means the change of the reading.
    DeltaIsChange,
    /// The column of uncertainties belongs to this column.
    UncertaintyOf {
        /// The other column, from 1.
        of: usize,
    },
    /// No unit was given, so one was guessed.
    UnitGuessed(Unit),
    /// A unit was taken for another.
    UnitTakenAs {
        /// As written.
        seen: String,
        /// As taken.
        taken: Unit,
    },
    /// A bracket in the heading holds no known unit.
    UnitUnknown {
        /// As written.
        seen: String,
    },
    /// The heading has one unit and most cells another.
    UnitClash {
        /// In the heading.
        heading: Unit,
        /// In the cells, and used.
        cells: Unit,
    },
    /// Cells carry different units; each was converted.
    UnitsMixed(Seen),
    /// Cells carry a unit very far from the others; each was converted.
    UnitUnlikely(Seen),
    /// Cells carry a unit of another quantity.
    WrongQuantity(Seen),
    /// The readings of several columns are repeats of each other.
    Repeats {
        /// The columns, from 1.
        columns: Vec<usize>,
    },
    /// The readings of several columns belong to different lengths, numbers of wires, or the like.
    SeveralSeries {
        /// The columns, from 1.
        columns: Vec<usize>,
        /// What differs: a length, a number of wires...; `None` when it is not known.
        role: Option<Role>,
        /// The unit of their numbers.
        unit: Option<Unit>,
        /// What differs was guessed.
        guessed: bool,
    },
    /// Blank cells, dashes, `n/a` in rows that hold other readings.
    Missing(Seen),
    /// Cells that are not numbers.
    Unusable {
        /// Why the first of them is not.
        reason: FigureError,
        /// Where.
        seen: Seen,
    },
    /// Whole numbers that look like a spreadsheet's day numbers.
    DateNumber(Seen),
    /// Cells that could be read with the mark as decimal mark or between thousands.
    OpenMark {
        /// The mark: `.` or `,`.
        mark: char,
        /// It was taken to stand between thousands; else it was taken as the decimal mark.
        thousands: bool,
        /// Where.
        seen: Seen,
    },
    /// Cells whose decimal mark differs from that of the rest of the column.
    OtherMark {
        /// The mark of these cells.
        mark: char,
        /// Where.
        seen: Seen,
    },
    /// Marks between thousands were taken out.
    Thousands(Seen),
    /// Cells written to fewer decimal places than the others.
    FewerDecimals {
        /// The places of the others.
        decimals: i32,
        /// Where.
        seen: Seen,
    },
}

/// Why a column is not used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotUsed {
    /// It has no heading, and its numbers do not tell.
    NoHeading,
    /// Nothing in its heading is known here.
    UnknownHeading,
    /// It is a mean beside the readings that it was made from.
    Mean,
    /// There is another column of currents.
    SecondCurrent,
    /// It holds uncertainties, but of which column cannot be told.
    NoTarget,
}

impl NoteKind {
    /// Whether nothing was read because of this.
    pub fn is_refusal(&self) -> bool {
        matches!(
            self,
            NoteKind::NothingPasted
                | NoteKind::TooLong { .. }
                | NoteKind::TooManyRows { .. }
                | NoteKind::TooManyCells { .. }
        )
    }
}

/// Notes as they come up, with columns counted from 0.
#[derive(Default)]
struct Notes(Vec<(Option<usize>, Weight, NoteKind)>);

impl Notes {
    fn table(&mut self, weight: Weight, kind: NoteKind) {
        self.0.push((None, weight, kind));
    }

    fn column(&mut self, column: usize, weight: Weight, kind: NoteKind) {
        self.0.push((Some(column), weight, kind));
    }

    /// The notes in the order of their columns, with headings and, where one row alone is concerned, its number.
    fn finish(mut self, columns: &[Column]) -> Vec<Note> {
        self.0.sort_by_key(|(column, _, _)| *column);
        self.0
            .into_iter()
            .map(|(column, weight, kind)| {
                let heading = column
                    .and_then(|column| columns.get(column))
                    .map_or("", |column| &column.heading);
                let row = match words::rows_of(&kind) {
                    Some([row]) => Some(*row),
                    _ => None,
                };
                let place = Place {
                    row,
                    column: column.map(|column| column + 1),
                };
                Note {
                    place,
                    heading: words::cut(heading),
                    weight,
                    kind,
                }
            })
            .collect()
    }
}

/// Notes on how the text became a table.
fn tell_layout(split: &split::Split, layout: &Layout, notes: &mut Notes) {
    if let Some(text) = &layout.title {
        notes.table(
            Weight::Told,
            NoteKind::Title {
                text: words::cut(text),
            },
        );
    }
    if let Some(first) = layout.comments.first() {
        let first = words::cut(first);
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
