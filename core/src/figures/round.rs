//! Numbers as people read them: rounding, and a value with its uncertainty.
//!
//! Start at [`with_uncertainty`] for a result and at [`to_decimals`] for a single number. Rounding follows the
//! decimal number that the reader sees, not its binary neighbour: 2.675 to two places is 2.68. That number is the
//! shortest decimal that names the `f64`; where fewer than fifteen figures are asked for, what lies beyond the fifteenth
//! is taken for a trace of arithmetic first, so that half the range of 0.31 and 0.34 is 0.015 and rounds up.
//! Halves go away from zero.
//!
//! Texts carry an ASCII minus and a decimal point, so that they may be read again; [`typeset`] gives the minus
//! that is printed for people. A number that is not finite is shown as a dash, as a missing reading is.

use std::fmt;

/// What stands in the place of a number that is not finite.
const NO_NUMBER: &str = "—";
/// Binary arithmetic of a few steps keeps at least this many decimal figures.
const TRUSTED_FIGURES: usize = 15;
/// No `f64` has digits beyond these places; it also bounds the length of a text.
const OUTERMOST_PLACE: i32 = 400;

/// `value` rounded to a number of decimal places, with its trailing zeros: 2.675 to 2 is `2.68`, 0.5 to 2 is `0.50`.
///
/// Negative `decimals` round before the point: 141.89 to -1 is `140`. Never `-0.00`.
pub fn to_decimals(value: f64, decimals: i32) -> String {
    match Decimal::from_f64(value) {
        Some(decimal) => decimal.rounded_at(decimals).fixed(decimals),
        None => NO_NUMBER.to_owned(),
    }
}

/// `value` rounded to a number of significant figures (at least one): 0.0045 to 1 is `0.005`, 9.96 to 2 is `10`.
///
/// Written without a power of ten, so figures before the point may be place-holding zeros: 1234 to 2 is `1200`.
pub fn to_significant(value: f64, figures: u32) -> String {
    to_decimals(value, decimals_for(value, figures))
}

/// The place of the last of `figures` significant figures (at least one) after rounding, counted in decimals.
///
/// A carry is allowed for: 0.096 to one figure is 0.1, so the place is 1. Zero has its first figure before the
/// point.
pub fn decimals_for(value: f64, figures: u32) -> i32 {
    let figures = i32::try_from(figures.clamp(1, OUTERMOST_PLACE as u32)).unwrap_or(1);
    let Some(decimal) = Decimal::from_f64(value) else {
        return 0;
    };
    let Some(leading_place) = decimal.leading_place() else {
        return figures - 1;
    };
    let decimals = leading_place + figures - 1;
    match decimal.rounded_at(decimals).leading_place() {
        Some(place) if place < leading_place => decimals - 1,
        _ => decimals,
    }
}

/// `value` in the fewest figures that name it, without a power of ten: `123`, `0.00006`.
pub fn shortest(value: f64) -> String {
    match Decimal::from_f64(value) {
        Some(decimal) => decimal.fixed(decimal.decimals()),
        None => NO_NUMBER.to_owned(),
    }
}

/// `value` with a power of ten, rounded to significant figures (at least one): `6.0×10⁻⁵`.
///
/// The power is left out when it is zero.
pub fn scientific(value: f64, significant: u32) -> String {
    let Some(decimal) = Decimal::from_f64(value) else {
        return NO_NUMBER.to_owned();
    };
    let decimals = decimals_for(value, significant);
    let mut rounded = decimal.rounded_at(decimals);
    let exponent = rounded.leading_place().map_or(0, |place| -place);
    rounded.exponent -= exponent;
    let mut text = rounded.fixed(decimals + exponent);
    if exponent != 0 {
        text.push_str("×10");
        text.extend(exponent.to_string().chars().map(superscript));
    }
    text
}

/// How many figures an uncertainty keeps.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Digits {
    /// The school rule: one figure, two when it leads with 1. The leading figure is that before rounding, so 0.096 has
    /// one figure and becomes 0.1.
    School,
    /// One figure.
    One,
    /// Two figures.
    Two,
}

/// A value and its uncertainty, rounded to the same place.
///
/// Its display joins them as `1.0 ± 0.1`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rounded {
    /// The value.
    pub value: String,
    /// Its uncertainty; `None` when there was none to round to.
    pub uncertainty: Option<String>,
    /// The place of the last figure of both.
    pub decimals: i32,
}

impl fmt::Display for Rounded {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.uncertainty {
            Some(uncertainty) => write!(f, "{} ± {uncertainty}", self.value),
            None => f.write_str(&self.value),
        }
    }
}

/// A value with its uncertainty, both in the same unit: the uncertainty is rounded first, the value to the same place
/// (JCGM 100:2008, 7.2.6).
///
/// An uncertainty that is zero, negative or not finite says nothing: the value is then left unrounded and stands
/// alone, for "± 0" would claim what nobody measured.
///
/// # Examples
/// ```
/// use yokeline_core::figures::round::{Digits, with_uncertainty};
/// assert_eq!(with_uncertainty(0.0326871, 0.00157, Digits::School).to_string(), "0.0327 ± 0.0016");
/// assert_eq!(with_uncertainty(9.96, 1.0, Digits::One).to_string(), "10 ± 1");
/// ```
pub fn with_uncertainty(value: f64, uncertainty: f64, digits: Digits) -> Rounded {
    let usable = uncertainty.is_finite() && uncertainty > 0.0 && value.is_finite();
    if usable && uncertainty < 1e-12 * value.abs() {
        // What the arithmetic itself leaves is no uncertainty, and figures down to it are noise.
        let value = to_significant(value, 12).parse().unwrap_or(value);
        return with_uncertainty(value, 0.0, digits);
    }
    if !usable {
        return Rounded {
            value: shortest(value),
            uncertainty: None,
            decimals: Decimal::from_f64(value).map_or(0, |decimal| decimal.decimals()),
        };
    }
    let figures = match digits {
        Digits::One => 1,
        Digits::Two => 2,
        Digits::School => match Decimal::from_f64(uncertainty)
            .and_then(|decimal| decimal.digits.first().copied())
        {
            Some(1) => 2,
            _ => 1,
        },
    };
    let decimals = decimals_for(uncertainty, figures);
    Rounded {
        value: to_decimals(value, decimals),
        uncertainty: Some(to_decimals(uncertainty, decimals)),
        decimals,
    }
}

/// A percentage uncertainty or difference as schools write it, without the sign: whole from 2 % up, one decimal
/// place below (`5`, `1.7`, `2`), and one figure below 0.1 % so that it never reads as none.
pub fn percent(p: f64) -> String {
    let tenths = to_decimals(p, 1);
    match tenths.parse::<f64>() {
        Ok(rounded) if rounded.abs() >= 2.0 => to_decimals(p, 0),
        Ok(0.0) if p != 0.0 => to_significant(p, 1),
        Ok(0.0) => "0".to_owned(),
        _ => tenths,
    }
}

/// `text` with the minus sign U+2212 for each hyphen that is the sign of a number.
pub fn typeset(text: &str) -> String {
    let mut typeset = String::with_capacity(text.len() + 2);
    let mut before = ' ';
    let mut characters = text.chars().peekable();
    while let Some(character) = characters.next() {
        let starts_number =
            matches!(characters.peek(), Some(next) if next.is_ascii_digit() || *next == '.');
        if character == '-' && starts_number && !before.is_alphanumeric() && before != '-' {
            typeset.push('−');
        } else {
            typeset.push(character);
        }
        before = character;
    }
    typeset
}

/// `value` × 10^`exponent`: the `f64` nearest to the number that the reader sees with its point moved.
pub(super) fn shift(value: f64, exponent: i32) -> f64 {
    if exponent == 0 || value == 0.0 || !value.is_finite() {
        return value;
    }
    // A number of at most fifteen figures is a whole number below 10^15 over a power of ten; both are exact in f64, so a
    // single division or multiplication rounds once and correctly.
    for (decimals, power) in (0..).zip(EXACT_POWERS_OF_TEN.iter().take(TRUSTED_FIGURES)) {
        let whole = (value * power).round();
        if whole.abs() >= 1e15 {
            break;
        }
        if whole / power != value {
            continue;
        }
        if let Some(shifted) = exact_quotient(whole, decimals - exponent) {
            return shifted;
        }
        break;
    }
    match Decimal::from_f64(value) {
        Some(mut decimal) => {
            decimal.exponent += exponent;
            decimal.to_f64()
        }
        None => value,
    }
}

/// `whole` / 10^`decimals` correctly rounded, for a whole number below 2^53; `None` when the power is not exact in `f64`.
pub(super) fn exact_quotient(whole: f64, decimals: i32) -> Option<f64> {
    let power = *EXACT_POWERS_OF_TEN.get(usize::try_from(decimals.unsigned_abs()).ok()?)?;
    Some(if decimals < 0 {
        whole * power
    } else {
        whole / power
    })
}

/// The powers of ten that `f64` holds exactly.
const EXACT_POWERS_OF_TEN: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];

/// A finite number in decimal: `digits` × 10^`exponent`.
#[derive(Clone, Debug)]
struct Decimal {
    negative: bool,
    /// Without leading zeros; empty for zero.
    digits: Vec<u8>,
    exponent: i32,
}

impl Decimal {
    /// The shortest decimal that names `value`. `None` unless finite.
    fn from_f64(value: f64) -> Option<Decimal> {
        if !value.is_finite() {
            return None;
        }
        let text = format!("{:e}", value.abs());
        let (mantissa, power) = text.split_once('e')?;
        let mut digits: Vec<u8> = mantissa
            .bytes()
            .filter(u8::is_ascii_digit)
            .map(|byte| byte - b'0')
            .collect();
        let fraction = mantissa
            .split_once('.')
            .map_or(0, |(_, fraction)| fraction.len());
        let exponent = power.parse::<i32>().ok()? - i32::try_from(fraction).ok()?;
        if digits.iter().all(|&digit| digit == 0) {
            digits.clear();
        }
        Some(Decimal {
            negative: value < 0.0,
            exponent: if digits.is_empty() { 0 } else { exponent },
            digits,
        })
    }

    /// Places after the point that the number has.
    fn decimals(&self) -> i32 {
        (-self.exponent).max(0)
    }

    /// The place of the first figure in decimals: 1 for 0.3, 0 for 3, -1 for 30. `None` for zero.
    fn leading_place(&self) -> Option<i32> {
        let more = i32::try_from(self.digits.len().checked_sub(1)?).ok()?;
        Some(-(self.exponent + more))
    }

    /// Rounded to a place, halves away from zero.
    fn rounded_at(&self, decimals: i32) -> Decimal {
        let decimals = decimals.clamp(-OUTERMOST_PLACE, OUTERMOST_PLACE);
        let mut rounded = self.clone();
        let traces = rounded.digits.len().saturating_sub(TRUSTED_FIGURES);
        let wanted = self.leading_place().map_or(0, |place| decimals - place + 1);
        if traces > 0 && wanted < TRUSTED_FIGURES as i32 {
            rounded.drop_digits(traces);
        }
        let surplus = -rounded.exponent - decimals;
        if surplus > 0 {
            rounded.drop_digits(surplus.unsigned_abs() as usize);
        }
        rounded
    }

    /// Rounds the last `count` digits away.
    fn drop_digits(&mut self, count: usize) {
        self.exponent += i32::try_from(count).unwrap_or(i32::MAX);
        let Some(kept) = self.digits.len().checked_sub(count) else {
            self.digits.clear();
            return;
        };
        let carries = self
            .digits
            .get(kept)
            .is_some_and(|&first_dropped| first_dropped >= 5);
        self.digits.truncate(kept);
        if carries {
            for digit in self.digits.iter_mut().rev() {
                if *digit < 9 {
                    *digit += 1;
                    return;
                }
                *digit = 0;
            }
            self.digits.insert(0, 1);
        }
    }

    /// The number with `decimals` places after the point (none when negative); it must have been rounded to them.
    fn fixed(&self, decimals: i32) -> String {
        let decimals = decimals.clamp(0, OUTERMOST_PLACE);
        // Digits of the whole number that the text shows once its point is taken out.
        let mut digits: String = self
            .digits
            .iter()
            .map(|digit| char::from(b'0' + digit))
            .collect();
        if !digits.is_empty() {
            let zeros = usize::try_from(self.exponent + decimals).unwrap_or(0);
            digits.extend(std::iter::repeat_n('0', zeros));
        }
        let places = decimals.unsigned_abs() as usize;
        let missing = (places + 1).saturating_sub(digits.len());
        digits.insert_str(0, &"0".repeat(missing));
        let (whole, fraction) = digits.split_at(digits.len() - places);
        let sign = if self.negative && !self.digits.is_empty() {
            "-"
        } else {
            ""
        };
        if fraction.is_empty() {
            format!("{sign}{whole}")
        } else {
            format!("{sign}{whole}.{fraction}")
        }
    }

    fn to_f64(&self) -> f64 {
        let digits: String = self
            .digits
            .iter()
            .map(|digit| char::from(b'0' + digit))
            .collect();
        let sign = if self.negative { "-" } else { "" };
        // Digits and a power of ten always parse; beyond the range of f64 the result is infinite or zero.
        format!("{sign}{digits}e{}", self.exponent)
            .parse()
            .unwrap_or(0.0)
    }
}

fn superscript(character: char) -> char {
    match character {
        '0' => '⁰',
        '1' => '¹',
        '2' => '²',
        '3' => '³',
        '4' => '⁴',
        '5' => '⁵',
        '6' => '⁶',
        '7' => '⁷',
        '8' => '⁸',
        '9' => '⁹',
        '-' => '⁻',
        other => other,
    }
}
