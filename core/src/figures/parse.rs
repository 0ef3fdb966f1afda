//! The grammar of a number with its uncertainty and unit.
//!
//! Start at [`figure`]. Nearly all cells of a long table are plain (`0.50`, `-1,25`), and [`plain`] reads those without
//! taking memory; everything else goes through [`Scan`], glyph by glyph. In outline, with
//! the mantissa's rules in `mantissa.rs` and the power's in `power.rs`:
//!
//! ```text
//! figure      = value [power] [unit] [plus-minus number [power] ["%"] [unit]]
//!             | "(" value [unit] plus-minus number ["%"] [unit] ")" [power] [unit]
//! value       = [sign] mantissa ["(" mantissa ")"]
//! power       = "e" [sign] digits | times "10" exponent
//! plus-minus  = "±" | "+-" | "+/-"
//! ```

use super::mantissa::{EXACT_DIGITS, Mantissa};
use super::round::exact_quotient;
use super::scan::{Scan, excerpt};
use super::{DecimalMark, Figure, FigureError, Remarks, Uncertainty, Unit, glyphs, refusal};

/// A text longer than this many bytes is no number that anybody typed.
const LONGEST_TEXT_BYTES: usize = 1000;

/// Reads the whole of `text`: see [`Figure::parse`].
pub(super) fn figure(text: &str, mark: DecimalMark) -> Result<Figure, FigureError> {
    let text = text.trim();
    match plain(text, mark).or_else(|| plain_with_unit(text, mark)) {
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

/// The fast way for ASCII digits with one mark at most; `None` for everything else, wrong or right.
fn plain(text: &str, mark: DecimalMark) -> Option<Figure> {
    let (negative, digits) = match text.strip_prefix(['-', '−']) {
        Some(size) => (true, size.as_bytes()),
        None => (false, text.strip_prefix('+').unwrap_or(text).as_bytes()),
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

/// The fast way for such a number and the symbol of a unit.
fn plain_with_unit(text: &str, mark: DecimalMark) -> Option<Figure> {
    let number_end = text.find(|character: char| character == ' ' || character.is_alphabetic())?;
    let (number, symbol) = text.split_at_checked(number_end)?;
    let figure = plain(number, mark)?;
    Some(Figure {
        unit: Some(Unit::with_symbol(symbol.trim_start_matches(' '))?),
        ..figure
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

/// A number after ±.
struct Spread {
    mantissa: Mantissa,
    power: i32,
    has_spelt_power: bool,
    is_percent: bool,
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
            Some(spread) if spread.is_percent => {
                Some(spread.share_of(value, exponent).ok_or_else(out_of_range)?)
            }
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
        match self.peek() {
            Some('%' | '‰') => return Err(FigureError::Percent(self.shown())),
            Some('0'..='9') => return Err(FigureError::TwoNumbers(self.shown())),
            _ => {}
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
}

impl Spread {
    /// So many per cent of a value × 10^`exponent`, whatever its sign; `None` when out of range.
    fn share_of(&self, value: &Mantissa, exponent: i32) -> Option<f64> {
        let (whole, percent) = (value.whole_number(), self.mantissa.whole_number());
        match whole
            .zip(percent)
            .and_then(|(whole, percent)| whole.checked_mul(percent))
        {
            // The product of the digits is the digits of the product, so that it is rounded once, at the end.
            Some(product) => Mantissa {
                negative: false,
                digits: if product == 0 {
                    String::new()
                } else {
                    product.to_string()
                },
                decimals: value.decimals + self.mantissa.decimals + 2,
            }
            .times_ten_to(exponent + self.power),
            None => {
                let size = value.times_ten_to(exponent)?.abs();
                Some(size * self.mantissa.times_ten_to(self.power)? / 100.0)
            }
        }
    }
}
