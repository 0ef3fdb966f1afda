//! Notes: what the reader ought to know about the table, as facts. Their sentences are made in `words.rs`.

use super::{Column, Role, words};
use crate::figures::{FigureError, Unit, excerpt};

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
    /// There are no headings, so roles went by place and numbers.
    NoHeadings {
        /// The columns concerned, from 1, and what each was taken as.
        taken: Vec<(usize, Role)>,
    },
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
    /// Columns of readings taken in two ways: current forward and reversed, or rising and falling.
    Ways {
        /// The columns, from 1.
        columns: Vec<usize>,
        /// Whether the two ways are those of the current's direction.
        reversed: bool,
    },
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
pub(super) struct Notes(Vec<(Option<usize>, Weight, NoteKind)>);

impl Notes {
    pub(super) fn table(&mut self, weight: Weight, kind: NoteKind) {
        self.0.push((None, weight, kind));
    }

    pub(super) fn column(&mut self, column: usize, weight: Weight, kind: NoteKind) {
        self.0.push((Some(column), weight, kind));
    }

    /// The notes in the order of their columns, with headings and, where one row alone is concerned, its number.
    pub(super) fn finish(mut self, columns: &[Column]) -> Vec<Note> {
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
                    heading: excerpt(heading),
                    weight,
                    kind,
                }
            })
            .collect()
    }
}
