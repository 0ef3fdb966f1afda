//! What should be known about the way from readings to flux density, in sentences.

use crate::field::effective_length::WalkError;
use crate::figures::excerpt;
use crate::line::LineError;
use crate::readings::words::{Weight, rows_text};

/// What should be known about the way itself. Facts; the sentence is made by [`Remark::text`].
#[derive(Clone, Debug, PartialEq)]
pub enum Remark {
    /// The fit that was asked for cannot be had.
    FitReplaced {
        /// Why.
        why: LineError,
    },
    /// A drift was to be allowed for with a line of another kind than least squares.
    DriftNeedsLeastSquares,
    /// A drift was found and taken off the readings.
    DriftTaken {
        /// The series that it was taken off; empty for all.
        series: Vec<String>,
    },
    /// A drift was to be allowed for, but the current went along with the order of the readings.
    DriftTied {
        /// The series of which that holds; empty for all.
        series: Vec<String>,
    },
    /// The current was only ever raised, or only lowered, and no zeros were noted: a drift cannot be seen.
    DriftHidden {
        /// Whether it was raised.
        raised: bool,
    },
    /// The effective length takes the place of the typed length.
    WalkUsed {
        /// The length as it is used: `4.80 cm`.
        length: String,
    },
    /// The effective length is to be used, but there is no walk.
    WalkUnused,
    /// A note on the table of the walk.
    WalkNote {
        /// Its sentence.
        text: String,
    },
    /// The walk has no headings, and its columns were taken in turn.
    WalkAssumed {
        /// Unit of the positions.
        position: &'static str,
        /// Unit of the readings.
        field: &'static str,
    },
    /// There is no effective length.
    WalkRefused {
        /// Why.
        why: WalkError,
    },
    /// The walk stops where there is much field left.
    WalkTooShort {
        /// Field at the end in % of that in the middle.
        percent: f64,
    },
    /// There is no line.
    NoLine {
        /// Why.
        why: LineError,
    },
    /// The length of the wire is not known.
    NoLength,
    /// The fixed current is not known.
    NoCurrent,
    /// Rows to leave out that the table does not have.
    NoSuchRows {
        /// The rows, from 1.
        rows: Vec<usize>,
    },
    /// A meaning chosen for a column that does not exist.
    UnknownMeaning {
        /// The column, from 1.
        column: usize,
        /// What was asked for.
        meaning: String,
    },
    /// A unit or length chosen for a column that cannot be read.
    UnreadChoice {
        /// The column, from 1.
        column: usize,
        /// What was typed.
        typed: String,
        /// What would do.
        example: &'static str,
    },
}

impl Remark {
    /// What it means for the reader.
    pub fn weight(&self) -> Weight {
        match self {
            Remark::FitReplaced { .. } | Remark::DriftNeedsLeastSquares => Weight::Asked,
            Remark::DriftHidden { .. } | Remark::DriftTaken { .. } | Remark::WalkUsed { .. } => {
                Weight::Told
            }
            Remark::WalkNote { .. } | Remark::WalkAssumed { .. } | Remark::WalkTooShort { .. } => {
                Weight::Asked
            }
            _ => Weight::Trouble,
        }
    }

    /// The field of the apparatus that it speaks of.
    pub fn field(&self) -> Option<&'static str> {
        match self {
            Remark::NoLength => Some("length"),
            Remark::NoCurrent => Some("fixed_current"),
            Remark::FitReplaced { .. } => Some("fit"),
            Remark::DriftNeedsLeastSquares | Remark::DriftTied { .. } => Some("balance_zero"),
            Remark::WalkUsed { .. } => Some("length"),
            Remark::WalkUnused
            | Remark::WalkNote { .. }
            | Remark::WalkAssumed { .. }
            | Remark::WalkRefused { .. }
            | Remark::WalkTooShort { .. } => Some("walk"),
            _ => None,
        }
    }

    /// The column that it speaks of, from 1.
    pub fn column(&self) -> Option<usize> {
        match self {
            Remark::UnknownMeaning { column, .. } | Remark::UnreadChoice { column, .. } => {
                Some(*column)
            }
            _ => None,
        }
    }

    /// The sentence.
    pub fn text(&self) -> String {
        match self {
            Remark::DriftNeedsLeastSquares => {
                "A drift is allowed for only together with least squares as the kind of line; the readings were left as \
                 they are."
                    .into()
            }
            Remark::DriftTaken { series } => format!(
                "The zero of the balance moved while the readings were taken. A steady drift was found together with the \
                 gradient and taken off the readings{}; the graph shows them without it.",
                of_series(series)
            ),
            Remark::DriftTied { series } if !series.is_empty() => format!(
                "In {} the current went along with the order of the readings, so a drift and the push on the magnet look \
                 exactly alike there, and none was taken off.",
                series.join(" and ")
            ),
            Remark::DriftTied { .. } => "The current went along with the order of the readings, so a drift of the balance and the \
                push on the magnet look exactly alike. No calculation can part them, and none was tried. Take readings \
                at no current in between, or go up and come down again."
                .into(),
            Remark::DriftHidden { raised } => format!(
                "The current was only ever {}, so if the balance drifted, the drift is part of the gradient and nothing in \
                 these readings can show it. Readings at no current in between, a mixed order, or zeroing the balance \
                 before each reading would settle it.",
                if *raised { "raised" } else { "lowered" }
            ),
            Remark::WalkUsed { length } => {
                format!("The effective length from the walk of the probe, {length}, is used in place of this one.")
            }
            Remark::WalkUnused => "There is no walk of a probe to use, so the typed length was used.".into(),
            Remark::WalkNote { text } => format!("Walk of the probe: {text}"),
            Remark::WalkAssumed { position, field } => format!(
                "The walk has no headings that say what its columns hold: positions in {position} and probe readings in \
                 {field} were assumed. Headings such as x / mm and B / mT would settle it."
            ),
            Remark::WalkRefused { why } => walk_refused(*why),
            Remark::WalkTooShort { percent } => format!(
                "At an end of the walk the field is still {percent:.0} % of that in the middle. What lies beyond is not in \
                 the effective length, so the true one is longer: walk on until the probe shows next to nothing."
            ),
            Remark::FitReplaced { why: LineError::NotSettled } => {
                "The line for uncertainties in both coordinates did not settle; ordinary least squares was used.".into()
            }
            Remark::FitReplaced { .. } => {
                "The kind of line that was asked for needs an uncertainty above zero for every \
                point; ordinary least squares was used."
                    .into()
            }
            Remark::NoLine { why } => match why {
                LineError::TooFew { points: 0, .. } => {
                    "There is no row with both values, so there is nothing to draw a line through.".into()
                }
                LineError::TooFew { points, needed } => format!(
                    "Only {points} usable row: a line needs at least {needed}, and six or more to be worth anything."
                ),
                LineError::NoSpread => "All values on the horizontal axis are the same, so there is no gradient. Take \
                    readings at different values."
                    .into(),
                LineError::NoUncertainty { .. } | LineError::NotSettled | LineError::TiedToOrder => "No line could be found.".into(),
            },
            Remark::NoLength => {
                "Type the length of wire that lies in the field, for example 5.0 cm; then B can be worked \
                out."
                    .into()
            }
            Remark::NoCurrent => {
                "Type the current that was kept the same, for example 3.0 A; then B can be worked out.".into()
            }
            Remark::NoSuchRows { rows } => match rows.as_slice() {
                [row] => format!("Row {row} was to be left out, but the table has no such row."),
                rows => format!("Left out were to be {}, but the table has no such rows.", rows_text(rows)),
            },
            Remark::UnknownMeaning { column, meaning } => {
                format!("Column {column} was to hold “{}”, which is not a meaning known here; it was guessed.", excerpt(meaning))
            }
            Remark::UnreadChoice { column, typed, example } => {
                let typed = excerpt(typed);
                format!("“{typed}”, chosen for column {column}, could not be read; something like {example} would do.")
            }
        }
    }
}

/// ` of 1 wire and 2 wires`; empty for all series.
fn of_series(series: &[String]) -> String {
    if series.is_empty() {
        String::new()
    } else {
        format!(" of {}", series.join(" and "))
    }
}

/// The sentence about a walk that gives no length.
fn walk_refused(why: WalkError) -> String {
    match why {
        WalkError::TooFew { places: 0 } => {
            "In the walk of the probe no row has both a position and a reading. Two \
            columns are needed, such as x / mm and B / mT."
                .into()
        }
        WalkError::TooFew { places } => format!(
            "The walk of the probe has {places} usable {}; three different ones are needed at least, and ten or more \
             to be worth anything.",
            if places == 1 { "place" } else { "places" }
        ),
        WalkError::NoField => {
            "The walk of the probe shows no field in its middle, so there is no effective length."
                .into()
        }
    }
}
