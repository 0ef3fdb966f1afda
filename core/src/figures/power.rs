//! Powers of ten, in the ways that people and spreadsheets write them.
//!
//! Start at [`Scan::power`].

use super::FigureError;
use super::glyphs;
use super::mantissa::Mantissa;
use super::scan::Scan;

/// An exponent of more digits than this is out of every range.
const LONGEST_EXPONENT: usize = 5;

/// A power of ten.
pub(super) struct Power {
    pub exponent: i32,
    /// Written out as `×10^`, not as `e`.
    pub is_spelt: bool,
}

impl Scan<'_> {
    /// `e-3`, `×10^-3`, `x 10⁻³`, `x10-3`, with spaces before it.
    pub(super) fn power(&mut self) -> Result<Option<Power>, FigureError> {
        let start = self.at;
        self.skip_spaces();
        let spaced = self.at > start;
        match self.peek() {
            Some('e' | 'E') => {
                self.at += 1;
                self.skip_spaces();
                if let Some(exponent) = self.signed_digits()? {
                    self.remarks.exponent_spaced |= spaced;
                    return Ok(Some(Power {
                        exponent,
                        is_spelt: false,
                    }));
                }
            }
            Some('×' | 'x' | 'X' | '*' | '·') => {
                self.at += 1;
                self.skip_spaces();
                if self.peek() == Some('1') && self.peek_at(1) == Some('0') {
                    self.at += 2;
                    return Ok(Some(Power {
                        exponent: self.exponent_of_ten()?,
                        is_spelt: true,
                    }));
                }
            }
            _ => {}
        }
        self.at = start;
        Ok(None)
    }

    /// A power of ten without a number before it: `10^-3`, `10⁻³`.
    pub(super) fn bare_power(
        &mut self,
        value: &mut Mantissa,
    ) -> Result<Option<Power>, FigureError> {
        let is_ten = value.digits == "10" && value.decimals == 0;
        let is_raised =
            self.peek() == Some('^') || self.peek_seen().and_then(glyphs::raised).is_some();
        if !is_ten || !is_raised {
            return Ok(None);
        }
        let exponent = self.exponent_of_ten()?;
        value.digits = "1".to_owned();
        Ok(Some(Power {
            exponent,
            is_spelt: true,
        }))
    }

    /// What follows the 10 of a power: `^-3`, `**-3`, `^(-3)`, `⁻³`, `-3`.
    fn exponent_of_ten(&mut self) -> Result<i32, FigureError> {
        let mut raised = String::new();
        while let Some(plain) = self.peek_seen().and_then(glyphs::raised) {
            raised.push(plain);
            self.at += 1;
        }
        if !raised.is_empty() {
            return match raised.parse::<i32>() {
                Ok(exponent) if raised.len() <= LONGEST_EXPONENT => Ok(exponent),
                _ => Err(FigureError::UnclearPower(self.shown())),
            };
        }
        let before_space = self.at;
        self.skip_spaces();
        let has_caret = match (self.peek(), self.peek_at(1)) {
            (Some('^'), _) => {
                self.at += 1;
                true
            }
            (Some('*'), Some('*')) => {
                self.at += 2;
                true
            }
            _ => false,
        };
        // Without a caret only a sign that follows at once parts the exponent from the 10: `6x10-5` but not `6x105`.
        if !has_caret && (self.at != before_space || !matches!(self.peek(), Some('-' | '+'))) {
            return Err(FigureError::UnclearPower(self.shown()));
        }
        self.skip_spaces();
        let closing = match self.peek() {
            Some('(') if has_caret => Some(')'),
            Some('{') if has_caret => Some('}'),
            _ => None,
        };
        if closing.is_some() {
            self.at += 1;
        }
        let exponent = self.signed_digits()?;
        if closing.is_some() {
            if self.peek() != closing {
                return Err(FigureError::UnclearPower(self.shown()));
            }
            self.at += 1;
        }
        exponent.ok_or_else(|| FigureError::UnclearPower(self.shown()))
    }

    /// A whole number with its sign; `None` when there are no digits, and then the caller goes back.
    fn signed_digits(&mut self) -> Result<Option<i32>, FigureError> {
        let negative = self.peek() == Some('-');
        if matches!(self.peek(), Some('-' | '+')) {
            self.at += 1;
            self.skip_spaces();
        }
        let mut digits = String::new();
        while let Some(digit @ '0'..='9') = self.peek() {
            digits.push(digit);
            self.at += 1;
        }
        if digits.is_empty() {
            return Ok(None);
        }
        let digits = digits.trim_start_matches('0');
        if digits.len() > LONGEST_EXPONENT {
            return Err(FigureError::OutOfRange(self.shown()));
        }
        let size = digits.parse::<i32>().unwrap_or(0);
        Ok(Some(if negative { -size } else { size }))
    }
}
