//! Digits with their marks: which mark parts the fraction off and which part thousands.
//!
//! Start at [`Scan::mantissa`]; [`Groups::split`] decides what each mark is.

use super::glyphs::{DECIMAL_ONLY, HARD_SPACE, THOUSANDS_ONLY};
use super::round::exact_quotient;
use super::scan::{Scan, is_space};
use super::{DecimalMark, FigureError};

/// Whole numbers of this many digits, and powers of ten beside them, are exact in `f64`.
pub(super) const EXACT_DIGITS: usize = 15;

/// A number without its power of ten.
pub(super) struct Mantissa {
    pub negative: bool,
    /// Without leading zeros; empty for zero.
    pub digits: String,
    /// Digits after the decimal mark.
    pub decimals: i32,
}

impl Scan<'_> {
    /// Digits with their marks, and a sign where one may stand.
    pub(super) fn mantissa(&mut self, signed: bool) -> Result<Mantissa, FigureError> {
        let start = self.at;
        let mut negative = false;
        if signed && matches!(self.peek(), Some('-' | '+')) {
            negative = self.peek() == Some('-');
            self.at += 1;
            self.skip_spaces();
        }
        let mut groups = Groups::default();
        while let Some(character) = self.peek() {
            let next_is_digit = self.peek_at(1).is_some_and(|next| next.is_ascii_digit());
            let after_digit = groups.lengths.last().is_some_and(|&length| length > 0);
            match character {
                '0'..='9' => groups.push_digit(character),
                '.' | ',' | DECIMAL_ONLY if after_digit || next_is_digit => {
                    groups.push_mark(character)
                }
                '\'' | THOUSANDS_ONLY | ' ' | HARD_SPACE if after_digit && next_is_digit => {
                    groups.push_mark(character);
                }
                _ => break,
            }
            self.at += 1;
        }
        if groups.digits.is_empty() {
            self.at = start;
            return Err(self.no_digits());
        }
        let split = groups
            .split(self.mark, self.is_sealed())
            .map_err(|kind| kind(self.shown()))?;
        self.remarks.decimal_comma |= split.decimal_comma;
        self.remarks.thousands |= split.thousands;
        self.remarks.ambiguous_mark |= split.ambiguous;
        Ok(Mantissa {
            negative,
            digits: groups.digits.trim_start_matches('0').to_owned(),
            decimals: split.decimals,
        })
    }

    /// Whether what follows shows that the digits so far end in a fraction: nobody parts thousands before a power of ten
    /// or an uncertainty of the last place.
    fn is_sealed(&self) -> bool {
        let mut rest = self.glyphs.iter().skip(self.at).map(|glyph| glyph.means);
        match rest.find(|&character| !is_space(character)) {
            Some('e' | 'E' | '×' | 'x' | 'X' | '*' | '·') => true,
            Some('(') => rest.next().is_some_and(|inner| inner.is_ascii_digit()),
            _ => false,
        }
    }
}

impl Mantissa {
    /// The digits as a whole number, without sign and decimals; `None` when there are too many.
    pub(super) fn whole_number(&self) -> Option<u64> {
        if self.digits.is_empty() {
            Some(0)
        } else {
            self.digits.parse().ok()
        }
    }

    /// The number × 10^`exponent`; `None` where `f64` would make it infinite, or zero though it is not.
    pub(super) fn times_ten_to(&self, exponent: i32) -> Option<f64> {
        if self.digits.is_empty() {
            return Some(0.0);
        }
        let decimals = self.decimals - exponent;
        let exact = self
            .whole_number()
            .filter(|_| self.digits.len() <= EXACT_DIGITS)
            .and_then(|whole| exact_quotient(whole as f64, decimals));
        let size = match exact {
            Some(size) => size,
            None => format!("{}e{}", self.digits, -i64::from(decimals))
                .parse()
                .ok()?,
        };
        let usable = size.is_finite() && size > 0.0;
        usable.then_some(if self.negative { -size } else { size })
    }
}

/// Digits in groups, with the marks between them.
#[derive(Default)]
struct Groups {
    digits: String,
    /// Lengths of the groups; one more than there are marks, the first and the last may be empty.
    lengths: Vec<usize>,
    marks: Vec<char>,
}

/// What the marks of a number were found to be.
struct Split {
    decimals: i32,
    decimal_comma: bool,
    thousands: bool,
    ambiguous: bool,
}

/// The variant of [`FigureError`] that marks in the wrong places amount to.
type MarkError = fn(String) -> FigureError;

impl Groups {
    fn push_digit(&mut self, digit: char) {
        self.digits.push(digit);
        match self.lengths.last_mut() {
            Some(length) => *length += 1,
            None => self.lengths.push(1),
        }
    }

    fn push_mark(&mut self, mark: char) {
        if self.lengths.is_empty() {
            self.lengths.push(0);
        }
        self.marks.push(mark);
        self.lengths.push(0);
    }

    /// Decides what each mark is. `sealed` says that a lone mark cannot part thousands.
    fn split(&self, mark: DecimalMark, sealed: bool) -> Result<Split, MarkError> {
        let (decimal_at, ambiguous) = self.decimal_mark(mark, sealed);
        let whole_marks = self
            .marks
            .get(..decimal_at.unwrap_or(self.marks.len()))
            .unwrap_or_default();
        let whole_groups = self.lengths.get(..=whole_marks.len()).unwrap_or_default();
        let fraction_marks = decimal_at
            .and_then(|at| self.marks.get(at + 1..))
            .unwrap_or_default();
        let fraction_groups = decimal_at
            .and_then(|at| self.lengths.get(at + 1..))
            .unwrap_or_default();
        if !(self.parts_thousands(whole_marks, whole_groups)
            && parts_fraction(fraction_marks, fraction_groups))
        {
            return Err(self.mark_error());
        }
        let decimals: usize = fraction_groups.iter().sum();
        Ok(Split {
            decimals: i32::try_from(decimals).unwrap_or(i32::MAX),
            decimal_comma: decimal_at.and_then(|at| self.marks.get(at)) == Some(&','),
            thousands: !whole_marks.is_empty(),
            ambiguous,
        })
    }

    /// Which mark parts the fraction off, and whether that was open.
    fn decimal_mark(&self, mark: DecimalMark, sealed: bool) -> (Option<usize>, bool) {
        let count = |wanted: char| self.marks.iter().filter(|&&mark| mark == wanted).count();
        let (points, commas) = (count('.'), count(','));
        let last = self
            .marks
            .iter()
            .rposition(|mark| matches!(*mark, '.' | ',' | DECIMAL_ONLY));
        if count(DECIMAL_ONLY) > 0 || (points > 0 && commas > 0) {
            return (last, false);
        }
        if points + commas != 1 {
            return (None, false);
        }
        let is_open = !sealed
            && self.marks.len() == 1
            && matches!(self.lengths.as_slice(), [1..=3, 3])
            && !self.digits.starts_with('0');
        match (mark, commas == 1) {
            (DecimalMark::Either, _) => (last, is_open),
            (DecimalMark::Point, true) | (DecimalMark::Comma, false) if is_open => (None, false),
            _ => (last, false),
        }
    }

    /// Whether the marks before the decimal mark, all alike, part the digits into threes.
    fn parts_thousands(&self, marks: &[char], groups: &[usize]) -> bool {
        let Some(first_mark) = marks.first() else {
            return true;
        };
        let alike = *first_mark != DECIMAL_ONLY && marks.iter().all(|mark| mark == first_mark);
        let threes = matches!(groups, [1..=3, rest @ ..] if rest.iter().all(|&length| length == 3));
        alike && threes && !self.digits.starts_with('0')
    }

    fn mark_error(&self) -> MarkError {
        let decimal_marks = self
            .marks
            .iter()
            .filter(|mark| matches!(**mark, '.' | ',' | DECIMAL_ONLY))
            .count();
        if self.marks.iter().any(|&mark| is_space(mark)) {
            FigureError::TwoNumbers
        } else if decimal_marks > 1 {
            FigureError::TwoMarks
        } else {
            FigureError::UnevenGroups
        }
    }
}

/// Whether the marks after the decimal mark part the digits into threes from the left. Only spaces that nobody types
/// between two numbers may do so: `1.500 250` is two readings.
fn parts_fraction(marks: &[char], groups: &[usize]) -> bool {
    marks.iter().all(|&mark| mark == HARD_SPACE)
        && match groups {
            [] | [_] => true,
            [threes @ .., last] => {
                threes.iter().all(|&length| length == 3) && (1..=3).contains(last)
            }
        }
}
