//! What a text was when it was not a number, and the sentences that say so.

use std::fmt;

/// Why a text could not be read as a number. Texts inside are as typed, cut when very long.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FigureError {
    /// Nothing, or only spaces.
    Empty,
    /// A lone dash: the sign of no reading.
    Dash,
    /// Words or signs for no reading: `n/a`, `none`, `?`.
    NoReading(String),
    /// A spreadsheet's error cell: `#DIV/0!`, `#N/A`.
    SpreadsheetError(String),
    /// Only hashes: a spreadsheet column that was too narrow to show its number.
    Hashes,
    /// A date or a time of day, perhaps made from a number by a spreadsheet.
    DateLike(String),
    /// A fraction: `1/2`.
    Fraction(String),
    /// A percentage, which does not say of what.
    Percent(String),
    /// A character that has no place in or after the number; `number` is what stood before it.
    StrayCharacter {
        /// The text before the character.
        number: String,
        /// The character as typed.
        character: char,
    },
    /// More decimal marks than a number has: `2.5.1`.
    TwoMarks(String),
    /// Two numbers with a space between them.
    TwoNumbers(String),
    /// Marks between digits that do not part thousands: `1'23`.
    UnevenGroups(String),
    /// A number alone in brackets, which in accounts is a negative one.
    BracketedNumber(String),
    /// A power of ten whose exponent cannot be told: `6x105`, or one that may belong to the uncertainty alone.
    UnclearPower(String),
    /// A number, then something that is no unit known here.
    UnknownUnit {
        /// The number as typed.
        number: String,
        /// What followed it.
        unit: String,
    },
    /// The value and its uncertainty have units of different quantities.
    UnitsDisagree {
        /// Symbol of the value's unit.
        value: &'static str,
        /// Symbol of the uncertainty's unit.
        uncertainty: &'static str,
    },
    /// `±` with nothing readable after it.
    UncertaintyMissing(String),
    /// An uncertainty below zero.
    NegativeUncertainty(String),
    /// Too large or too close to zero to calculate with.
    OutOfRange(String),
    /// Anything else.
    NotANumber(String),
}

impl FigureError {
    /// Whether the text says that there is no reading, so that nothing was mistyped.
    pub fn is_missing(&self) -> bool {
        matches!(
            self,
            FigureError::Empty | FigureError::Dash | FigureError::NoReading(_)
        )
    }
}

impl fmt::Display for FigureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            FigureError::Empty => {
                write!(f, "There is nothing here; a number such as 0.50 would do.")
            }
            FigureError::Dash => write!(
                f,
                "A dash alone means no reading; if the reading was nothing, type 0."
            ),
            FigureError::NoReading(text) => {
                write!(
                    f,
                    "“{text}” is taken to mean no reading; if the reading was nothing, type 0."
                )
            }
            FigureError::SpreadsheetError(text) => {
                write!(
                    f,
                    "“{text}” is a spreadsheet's error message; mend the formula there, or type the number here."
                )
            }
            FigureError::Hashes => write!(
                f,
                "Hashes mean that the spreadsheet column was too narrow; widen it and copy again, or type the number."
            ),
            FigureError::DateLike(text) => write!(
                f,
                "“{text}” looks like a date or a time; a spreadsheet may have made it from a number such as 1.1: type the \
                 number again."
            ),
            FigureError::Fraction(text) => {
                write!(
                    f,
                    "“{text}” may be a fraction or a date; type it as a decimal such as 0.5."
                )
            }
            FigureError::Percent(text) => {
                write!(
                    f,
                    "“{text}” does not say of what it is a percentage; type the number itself."
                )
            }
            FigureError::StrayCharacter { number, character } if number.is_empty() => write!(
                f,
                "The number starts with {}, which has no place there; type only the number, such as 0.50.",
                Shown(*character)
            ),
            FigureError::StrayCharacter { number, character } => write!(
                f,
                "After “{number}” stands {}, which has no place there; type only the number, such as 2.40, with its \
                 unit if you like.",
                Shown(*character)
            ),
            FigureError::TwoMarks(text) => {
                write!(
                    f,
                    "“{text}” has more than one decimal mark; type it with a single one, such as 2.51."
                )
            }
            FigureError::TwoNumbers(text) => {
                write!(
                    f,
                    "“{text}” looks like two numbers; a cell takes one, such as 0.50."
                )
            }
            FigureError::UnevenGroups(text) => {
                write!(
                    f,
                    "The marks in “{text}” do not part it into threes; type it without them, such as 1234.5."
                )
            }
            FigureError::BracketedNumber(text) => write!(
                f,
                "“{text}” stands in brackets, which some use for a minus; type it with a minus or without brackets."
            ),
            FigureError::UnclearPower(text) => write!(
                f,
                "The power of ten in “{text}” is not clear; write it as 6.0e-5, 6.0×10^-5 or (1.2 ± 0.1)×10^-3."
            ),
            FigureError::UnknownUnit { number, unit } => write!(
                f,
                "After the number “{number}” stands “{unit}”, which is no unit known here; A, mA, g, mg, kg, N, mN, cm, mm, \
                 T, mT or ° would do."
            ),
            FigureError::UnitsDisagree { value, uncertainty } => write!(
                f,
                "The value is in {value} but its uncertainty in {uncertainty}; both must measure the same thing."
            ),
            FigureError::UncertaintyMissing(text) => {
                write!(
                    f,
                    "“{text}” has no number after the ±; write it as 0.31 ± 0.01."
                )
            }
            FigureError::NegativeUncertainty(text) => {
                write!(
                    f,
                    "“{text}” is an uncertainty below zero; leave its sign out, as in 0.01."
                )
            }
            FigureError::OutOfRange(text) => {
                write!(
                    f,
                    "“{text}” is too large, or too close to zero, to calculate with; look at its power of ten."
                )
            }
            FigureError::NotANumber(text) => {
                write!(
                    f,
                    "“{text}” is not a number; one such as 0.50, 0,50 or 5.0e-1 would do."
                )
            }
        }
    }
}

impl std::error::Error for FigureError {}

/// A character as a message shows it: by name where it would be invisible.
struct Shown(char);

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            '\n' | '\r' => f.write_str("a line break"),
            '\t' => f.write_str("a tab"),
            space if space.is_whitespace() => f.write_str("a space"),
            control if control.is_control() => {
                write!(f, "a control character (U+{:04X})", u32::from(control))
            }
            character => write!(f, "“{character}”"),
        }
    }
}
