//! The grammar of a number with its uncertainty and unit.
//!
//! Start at [`figure`]. Nearly all cells of a long table are plain (`0.50`, `-1,25`), and [`plain`] reads those without
//! taking memory; everything else goes through [`Scan`], glyph by glyph. In outline:
//!
//! ```text
//! figure      = value [power] [unit] [plus-minus number [power] ["%"] [unit]]
//!             | "(" value [unit] plus-minus number ["%"] [unit] ")" [power] [unit]
//! value       = [sign] mantissa ["(" mantissa ")"]
//! power       = "e" [sign] digits | times "10" exponent
//! plus-minus  = "±" | "+-" | "+/-"
//! ```

use super::glyphs::{self, DECIMAL_ONLY, Glyph, HARD_SPACE, THOUSANDS_ONLY};
use super::round::exact_quotient;
use super::{DecimalMark, Figure, FigureError, Remarks, Uncertainty, Unit, refusal};

/// A text longer than this many bytes is no number that anybody typed.
const LONGEST_TEXT_BYTES: usize = 1000;
/// Messages show at most this many characters of what was typed.
const LONGEST_SHOWN: usize = 40;
/// Whole numbers of this many digits, and powers of ten beside them, are exact in `f64`.
const EXACT_DIGITS: usize = 15;
/// An exponent of more digits than this is out of every range.
const LONGEST_EXPONENT: usize = 5;

/// Reads the whole of `text`: see [`Figure::parse`].
pub(super) fn figure(text: &str, mark: DecimalMark) -> Result<Figure, FigureError> {
    let text = text.trim();
    match plain(text.as_bytes(), mark) {
        Some(figure) => Ok(figure),
        None => scanned(text, mark, |scan| scan.figure()),
    }
}

/// Reads an uncertainty that stands alone: see [`Uncertainty::parse`].
pub(super) fn uncertainty(text: &str, mark: DecimalMark) -> Result<Uncertainty, FigureError> {
    let uncertainty = scanned(text, mark, |scan| scan.lone_uncertainty())?;
    let (Uncertainty::Absolute(figure) | Uncertainty::Percent(figure)) = uncertainty;
    if figure.value < 0.0 {
        return Err(FigureError::NegativeUncertainty(excerpt(
            text.trim().chars(),
        )));
    }
    Ok(uncertainty)
}

/// The fast way for ASCII numbers of one mark at most; `None` for everything else, wrong or right.
fn plain(text: &[u8], mark: DecimalMark) -> Option<Figure> {
    let (negative, digits) = match text {
        [b'-', rest @ ..] => (true, rest),
        [b'+', rest @ ..] => (false, rest),
        rest => (false, rest),
    };
    if digits.len() > EXACT_DIGITS + 1 {
        return None;
    }
    let mut whole: u64 = 0;
    let mut count: usize = 0;
    let mut leading_zeros: usize = 0;
    let mut mark_after: Option<(u8, usize)> = None;
    for &byte in digits {
        match byte {
            b'0'..=b'9' => {
                if whole == 0 && byte == b'0' {
                    leading_zeros += 1;
                }
                whole = whole * 10 + u64::from(byte - b'0');
                count += 1;
            }
            b'.' | b',' if mark_after.is_none() => mark_after = Some((byte, count)),
            _ => return None,
        }
    }
    if count == 0 || count > EXACT_DIGITS {
        return None;
    }
    let mut remarks = Remarks::default();
    let mut decimals = 0;
    if let Some((seen, before)) = mark_after {
        decimals = count - before;
        remarks.decimal_comma = seen == b',';
        let is_open = decimals == 3 && (1..=3).contains(&before) && digits.first() != Some(&b'0');
        if is_open {
            match (seen, mark) {
                (_, DecimalMark::Either) => remarks.ambiguous_mark = true,
                (b'.', DecimalMark::Point) | (b',', DecimalMark::Comma) => {}
                _ => return None,
            }
        }
    }
    let decimals = i32::try_from(decimals).ok()?;
    let size = exact_quotient(whole as f64, decimals)?;
    Some(Figure {
        value: if negative && whole != 0 { -size } else { size },
        decimals,
        significant: u32::try_from(count - leading_zeros).unwrap_or(1).max(1),
        uncertainty: None,
        unit: None,
        remarks,
    })
}

/// Runs one rule of the grammar over the whole of `text`.
fn scanned<T>(
    text: &str,
    mark: DecimalMark,
    rule: impl FnOnce(&mut Scan<'_>) -> Result<T, FigureError>,
) -> Result<T, FigureError> {
    if text.len() > LONGEST_TEXT_BYTES {
        return Err(match text.trim() {
            "" => FigureError::Empty,
            long => FigureError::NotANumber(excerpt(long.chars())),
        });
    }
    let (glyphs, odd_digits) = glyphs::read(text);
    let without_apostrophe = match glyphs.as_slice() {
        [first, rest @ ..] if first.means == '\'' => rest,
        all => all,
    };
    let apostrophe = without_apostrophe.len() < glyphs.len();
    let mut scan = Scan {
        glyphs: without_apostrophe,
        at: 0,
        mark,
        remarks: Remarks {
            apostrophe,
            odd_digits,
            ..Remarks::default()
        },
    };
    scan.skip_spaces();
    if scan.peek().is_none() {
        return Err(FigureError::Empty);
    }
    rule(&mut scan).map_err(|error| refusal::name(scan.glyphs, &scan.shown()).unwrap_or(error))
}

/// A place in the glyphs of one text.
struct Scan<'a> {
    glyphs: &'a [Glyph],
    at: usize,
    mark: DecimalMark,
    remarks: Remarks,
}

/// A number without its power of ten.
struct Mantissa {
    negative: bool,
    /// Without leading zeros; empty for zero.
    digits: String,
    /// Digits after the decimal mark.
    decimals: i32,
}

/// A number after ±.
struct Spread {
    mantissa: Mantissa,
    power: i32,
    has_spelt_power: bool,
    is_percent: bool,
}

/// A power of ten.
struct Power {
    exponent: i32,
    /// Written out as `×10^`, not as `e`.
    is_spelt: bool,
}

impl Scan<'_> {
    fn figure(&mut self) -> Result<Figure, FigureError> {
        if self.peek() == Some('(') {
            return self.bracketed_figure();
        }
        let mut value = self.mantissa(true)?;
        let mut power = self.bare_power(&mut value)?;
        let spread = match power {
            Some(_) => None,
            None => self.spread_in_brackets(&value)?,
        };
        if power.is_none() {
            power = self.power()?;
        }
        let exponent = power.as_ref().map_or(0, |power| power.exponent);
        let unit = self.unit(None)?;
        if let Some(mut spread) = spread {
            spread.power = exponent;
            self.expect_end()?;
            return self.build(&value, exponent, Some(&spread), unit, None);
        }
        if !self.plus_minus() {
            self.expect_end()?;
            return self.build(&value, exponent, None, unit, None);
        }
        let spread = self.spread()?;
        if spread.has_spelt_power && power.is_none() {
            return Err(FigureError::UnclearPower(self.shown()));
        }
        let spread_unit = self.unit(None)?;
        self.expect_end()?;
        self.build(&value, exponent, Some(&spread), unit, spread_unit)
    }

    /// `(5.0 ± 0.1) cm`, `(1.2 ± 0.1)×10^-3`.
    fn bracketed_figure(&mut self) -> Result<Figure, FigureError> {
        self.at += 1;
        self.skip_spaces();
        let value = self.mantissa(true)?;
        let inner_unit = self.unit(Some(')'))?;
        if !self.plus_minus() {
            self.skip_spaces();
            return Err(match self.peek() {
                Some(')') => FigureError::BracketedNumber(self.shown()),
                _ => self.stray(),
            });
        }
        let mut spread = self.spread()?;
        if spread.has_spelt_power {
            return Err(FigureError::UnclearPower(self.shown()));
        }
        let spread_unit = self.unit(Some(')'))?;
        self.skip_spaces();
        if self.peek() != Some(')') {
            return Err(self.stray());
        }
        self.at += 1;
        let exponent = self.power()?.map_or(0, |power| power.exponent);
        let outer_unit = self.unit(None)?;
        self.expect_end()?;
        if outer_unit.is_some() && (inner_unit.is_some() || spread_unit.is_some()) {
            return Err(FigureError::NotANumber(self.shown()));
        }
        if !spread.is_percent {
            spread.power += exponent;
        }
        self.build(
            &value,
            exponent,
            Some(&spread),
            inner_unit.or(outer_unit),
            spread_unit,
        )
    }

    /// An uncertainty that stands alone: `± 0.01 g`, `2%`.
    fn lone_uncertainty(&mut self) -> Result<Uncertainty, FigureError> {
        self.plus_minus();
        self.skip_spaces();
        let mut value = self.mantissa(true)?;
        let power = match self.bare_power(&mut value)? {
            Some(power) => Some(power),
            None => self.power()?,
        };
        let is_percent = self.percent_sign();
        let unit = if is_percent { None } else { self.unit(None)? };
        self.expect_end()?;
        let figure = self.build(
            &value,
            power.map_or(0, |power| power.exponent),
            None,
            unit,
            None,
        )?;
        Ok(if is_percent {
            Uncertainty::Percent(figure)
        } else {
            Uncertainty::Absolute(figure)
        })
    }

    /// Puts the parts together. The value's unit may stand after the value or, for both, after the uncertainty.
    fn build(
        &self,
        value: &Mantissa,
        exponent: i32,
        spread: Option<&Spread>,
        unit: Option<Unit>,
        spread_unit: Option<Unit>,
    ) -> Result<Figure, FigureError> {
        let out_of_range = || FigureError::OutOfRange(self.shown());
        let number = value.times_ten_to(exponent).ok_or_else(out_of_range)?;
        let own_unit = unit.or(spread_unit);
        let uncertainty = match spread {
            None => None,
            Some(spread) if spread.is_percent => Some(
                value
                    .percentage(exponent, spread)
                    .ok_or_else(out_of_range)?,
            ),
            Some(spread) => {
                let size = spread
                    .mantissa
                    .times_ten_to(spread.power)
                    .ok_or_else(out_of_range)?;
                Some(match (unit, spread_unit) {
                    (Some(unit), Some(other)) if unit.quantity() != other.quantity() => {
                        return Err(FigureError::UnitsDisagree {
                            value: unit.symbol(),
                            uncertainty: other.symbol(),
                        });
                    }
                    (Some(unit), Some(other)) if unit != other => unit.from_si(other.to_si(size)),
                    _ => size,
                })
            }
        };
        Ok(Figure {
            value: number,
            decimals: value.decimals - exponent,
            significant: u32::try_from(value.digits.len()).unwrap_or(u32::MAX).max(1),
            uncertainty,
            unit: own_unit,
            remarks: self.remarks,
        })
    }

    /// Digits with their marks, and a sign where one may stand.
    fn mantissa(&mut self, signed: bool) -> Result<Mantissa, FigureError> {
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
        let rest = self.glyphs.get(self.at..).unwrap_or_default();
        match rest.iter().find(|glyph| !is_space(glyph.means)) {
            Some(glyph) => matches!(glyph.means, 'e' | 'E' | '×' | 'x' | 'X' | '*' | '·' | '('),
            None => false,
        }
    }

    /// A power of ten without a number before it: `10^-3`, `10⁻³`.
    fn bare_power(&mut self, value: &mut Mantissa) -> Result<Option<Power>, FigureError> {
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

    /// `e-3`, `×10^-3`, `x 10⁻³`, `x10-3`, with spaces before it.
    fn power(&mut self) -> Result<Option<Power>, FigureError> {
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
            Some('(') => Some(')'),
            Some('{') => Some('}'),
            _ => None,
        };
        if has_caret && closing.is_some() {
            self.at += 1;
        }
        let exponent = self.signed_digits()?;
        if has_caret && closing.is_some() {
            if self.peek() != closing {
                return Err(FigureError::UnclearPower(self.shown()));
            }
            self.at += 1;
        }
        exponent.ok_or_else(|| FigureError::UnclearPower(self.shown()))
    }

    /// A whole number with its sign; `None`, and nothing consumed that matters, when there are no digits.
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

    /// `(4)` in units of the last place, or `(0.04)` in full.
    fn spread_in_brackets(&mut self, value: &Mantissa) -> Result<Option<Spread>, FigureError> {
        let start = self.at;
        self.skip_spaces();
        let rest = self.glyphs.get(self.at..).unwrap_or_default();
        let opens_number = matches!(rest, [open, first, ..]
            if open.means == '(' && (first.means.is_ascii_digit() || matches!(first.means, '.' | ',')));
        if !opens_number {
            self.at = start;
            return Ok(None);
        }
        self.at += 1;
        let digits_from = self.at;
        let mut mantissa = self.mantissa(false)?;
        let inner = self.glyphs.get(digits_from..self.at).unwrap_or_default();
        if inner.iter().all(|glyph| glyph.means.is_ascii_digit()) {
            mantissa.decimals = value.decimals;
        }
        if self.peek() != Some(')') {
            return Err(self.stray());
        }
        self.at += 1;
        Ok(Some(Spread {
            mantissa,
            power: 0,
            has_spelt_power: false,
            is_percent: false,
        }))
    }

    /// The number after ±.
    fn spread(&mut self) -> Result<Spread, FigureError> {
        self.skip_spaces();
        match self.peek() {
            None => return Err(FigureError::UncertaintyMissing(self.shown())),
            Some('-') => return Err(FigureError::NegativeUncertainty(self.shown())),
            Some(_) => {}
        }
        let mantissa = self.mantissa(false)?;
        let power = self.power()?;
        Ok(Spread {
            mantissa,
            power: power.as_ref().map_or(0, |power| power.exponent),
            has_spelt_power: power.is_some_and(|power| power.is_spelt),
            is_percent: self.percent_sign(),
        })
    }

    fn percent_sign(&mut self) -> bool {
        let start = self.at;
        self.skip_spaces();
        let found = self.peek() == Some('%');
        self.at = if found { self.at + 1 } else { start };
        found
    }

    /// `±`, `+-`, `+/-`, with spaces before it.
    fn plus_minus(&mut self) -> bool {
        let start = self.at;
        self.skip_spaces();
        match self.plus_minus_length() {
            Some(length) => {
                self.at += length;
                true
            }
            None => {
                self.at = start;
                false
            }
        }
    }

    fn plus_minus_length(&self) -> Option<usize> {
        match (self.peek()?, self.peek_at(1), self.peek_at(2)) {
            ('±', ..) => Some(1),
            ('+', Some('-'), _) => Some(2),
            ('+', Some('/'), Some('-')) => Some(3),
            _ => None,
        }
    }

    /// The unit up to ±, the closing bracket that is waited for, or the end.
    fn unit(&mut self, closing: Option<char>) -> Result<Option<Unit>, FigureError> {
        let number_end = self.at;
        self.skip_spaces();
        let start = self.at;
        let mut depth = 0_i32;
        while let Some(character) = self.peek() {
            if self.plus_minus_length().is_some() || (depth == 0 && closing == Some(character)) {
                break;
            }
            depth += match character {
                '(' => 1,
                ')' => -1,
                _ => 0,
            };
            self.at += 1;
        }
        let text: String = self.seen(start, self.at);
        let text = text.trim();
        let Some(first) = text.chars().next() else {
            return Ok(None);
        };
        let bare = text
            .strip_prefix('(')
            .and_then(|inner| inner.strip_suffix(')'))
            .or_else(|| {
                text.strip_prefix('[')
                    .and_then(|inner| inner.strip_suffix(']'))
            })
            .unwrap_or(text);
        if let Some(unit) = Unit::parse(bare) {
            return Ok(Some(unit));
        }
        self.at = start;
        if matches!(self.peek(), Some('%' | '‰')) {
            return Err(FigureError::Percent(self.shown()));
        }
        if first.is_alphabetic() || matches!(first, '°' | 'º' | '˚' | '[' | 'µ') {
            return Err(FigureError::UnknownUnit {
                number: excerpt(self.seen(0, number_end).chars()),
                unit: excerpt(text.chars()),
            });
        }
        Err(self.stray())
    }

    fn expect_end(&mut self) -> Result<(), FigureError> {
        self.skip_spaces();
        match self.peek() {
            None => Ok(()),
            Some(_) => Err(self.stray()),
        }
    }

    /// The error for a place where digits were expected and are not.
    fn no_digits(&self) -> FigureError {
        let has_digits = self.glyphs.iter().any(|glyph| glyph.means.is_ascii_digit());
        match self.peek() {
            Some(first) if has_digits && !first.is_alphabetic() => self.stray(),
            _ => FigureError::NotANumber(self.shown()),
        }
    }

    /// The error for the character at this place.
    fn stray(&self) -> FigureError {
        match self.peek_seen() {
            Some(character) => FigureError::StrayCharacter {
                number: excerpt(self.seen(0, self.at).trim().chars()),
                character,
            },
            None => FigureError::NotANumber(self.shown()),
        }
    }

    fn shown(&self) -> String {
        excerpt(self.glyphs.iter().map(|glyph| glyph.seen))
    }

    fn seen(&self, from: usize, to: usize) -> String {
        self.glyphs
            .get(from..to)
            .unwrap_or_default()
            .iter()
            .map(|glyph| glyph.seen)
            .collect()
    }

    fn peek(&self) -> Option<char> {
        self.peek_at(0)
    }

    fn peek_at(&self, ahead: usize) -> Option<char> {
        self.glyphs.get(self.at + ahead).map(|glyph| glyph.means)
    }

    fn peek_seen(&self) -> Option<char> {
        self.glyphs.get(self.at).map(|glyph| glyph.seen)
    }

    fn skip_spaces(&mut self) {
        while self.peek().is_some_and(is_space) {
            self.at += 1;
        }
    }
}

impl Mantissa {
    /// The number × 10^`exponent`; `None` where `f64` would make it infinite, or zero though it is not.
    fn times_ten_to(&self, exponent: i32) -> Option<f64> {
        if self.digits.is_empty() {
            return Some(0.0);
        }
        let decimals = self.decimals - exponent;
        let exact = (self.digits.len() <= EXACT_DIGITS)
            .then(|| self.digits.parse::<u64>().ok())
            .flatten()
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

    /// So many per cent of this number × 10^`exponent`, whatever its sign.
    fn percentage(&self, exponent: i32, spread: &Spread) -> Option<f64> {
        let whole = |digits: &str| {
            if digits.is_empty() {
                Some(0)
            } else {
                digits.parse::<u64>().ok()
            }
        };
        let product = whole(&self.digits)
            .zip(whole(&spread.mantissa.digits))
            .and_then(|(value, percent)| value.checked_mul(percent));
        match product {
            // The product of the digits is the digits of the product: rounded once, at the end.
            Some(product) => Mantissa {
                negative: false,
                digits: if product == 0 {
                    String::new()
                } else {
                    product.to_string()
                },
                decimals: self.decimals + spread.mantissa.decimals + 2,
            }
            .times_ten_to(exponent + spread.power),
            None => {
                let value = self.times_ten_to(exponent)?;
                let percent = spread.mantissa.times_ten_to(spread.power)?;
                Some(value.abs() * percent / 100.0)
            }
        }
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

fn is_space(character: char) -> bool {
    character == ' ' || character == HARD_SPACE
}

/// The characters for a message, cut when there are many.
fn excerpt(characters: impl Iterator<Item = char>) -> String {
    let mut shown = String::new();
    for (count, character) in characters.enumerate() {
        if count == LONGEST_SHOWN {
            shown.push('…');
            break;
        }
        shown.push(character);
    }
    shown
}
