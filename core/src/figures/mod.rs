//! Numbers as people write them, and numbers as people read them.
//!
//! Start at [`Figure::parse`] for the way in and at [`round`] for the way out. A text is read as a whole or not at all:
//! what cannot be understood comes back as a [`FigureError`] with the facts, never as part of a number.
//!
//! - `parse.rs` is the grammar, with `mantissa.rs` for the digits and their marks and `power.rs` for powers of ten;
//!   `glyphs.rs` holds the characters it is written in, `scan.rs` the place in them, and `refusal.rs` the things that
//!   are not numbers but have a name (dates, fractions, error cells);
//! - `unit.rs` holds the units and `round.rs` the texts that are printed.

mod error;
mod glyphs;
mod mantissa;
mod parse;
mod power;
mod rank;
mod refusal;
pub mod round;
mod scan;
pub mod unit;

pub use error::FigureError;
pub use rank::rank;
pub use unit::{Quantity, Unit};

/// A typed text as it is quoted in a sentence: see [`scan::excerpt`].
pub(crate) fn excerpt(text: &str) -> String {
    scan::excerpt(text.trim().chars())
}

/// A number as somebody wrote it, with the figures that it was written to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figure {
    /// The value, in the unit written (or bare, when no unit was written). Finite, and never the negative zero.
    pub value: f64,
    /// The place of the last digit written: 2 for `0.50`, 0 for `12`, -2 for `1.2e3`, 6 for `6.0e-5`.
    pub decimals: i32,
    /// Significant figures written: 2 for `0.50`, 4 for `12.00`, 4 for `1200`. A zero has no leading figure and counts
    /// as one, however many noughts it was written with; [`Figure::decimals`] still tells them apart.
    pub significant: u32,
    /// The uncertainty that was written with the number, in the unit of `value`; zero or positive.
    pub uncertainty: Option<f64>,
    /// The unit that followed the number.
    pub unit: Option<Unit>,
    /// What was unusual about the way it was written.
    pub remarks: Remarks,
}

/// What was unusual about the way a number was written; all false for `0.50`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Remarks {
    /// The decimal mark was a comma.
    pub decimal_comma: bool,
    /// Marks or spaces between thousands were taken out.
    pub thousands: bool,
    /// The only mark may be a decimal mark or part thousands (`1,234`, `1.250`), and nobody said which. It was taken
    /// for a decimal mark.
    pub ambiguous_mark: bool,
    /// A space stood before the `e` of the exponent (`1 e3`).
    pub exponent_spaced: bool,
    /// An apostrophe stood first, as a spreadsheet's mark of a text cell (`'10.0`).
    pub apostrophe: bool,
    /// Digits or marks were of another script or width.
    pub odd_digits: bool,
}

/// Which mark parts the whole number from its fraction, as far as the text leaves that open.
///
/// Only `1,234` and `1.250` are open: one to three digits without a leading nought, one mark, three digits. Any other
/// text says itself what its marks are, and is read so whatever is asked for here.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum DecimalMark {
    /// Not known: an open mark is taken for a decimal mark, with [`Remarks::ambiguous_mark`].
    #[default]
    Either,
    /// The point: `1,234` is 1234.
    Point,
    /// The comma: `1.250` is 1250.
    Comma,
}

/// An uncertainty typed in a field of its own.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Uncertainty {
    /// In the unit of the figure.
    Absolute(Figure),
    /// So many per cent of the value it belongs to.
    Percent(Figure),
}

impl Figure {
    /// Reads the whole of `text` as one number, perhaps with an uncertainty and a unit.
    ///
    /// Accepted are a decimal point or comma; thousands parted by spaces, apostrophes, commas or points; any dash as
    /// minus; digits of other scripts; `1.2e-3`, `1.2×10^-3`, `1.2 x 10⁻³`, `6x10-5`; `0.31 ± 0.01`, `0.31 +/- 0.01`,
    /// `1.23(4)` (in units of the last place), `1.21(0.01)`, `2.00 ± 2%`; and a unit after the value, after the
    /// uncertainty, or after both.
    ///
    /// # Errors
    /// A [`FigureError`] that says what was there instead; [`FigureError::is_missing`] tells a cell without a reading
    /// from one that holds something else.
    ///
    /// # Examples
    /// ```
    /// use yokeline_core::figures::{DecimalMark, Figure, Unit};
    /// let current = Figure::parse("250mA", DecimalMark::Either).unwrap();
    /// assert_eq!((current.value, current.unit), (250.0, Some(Unit::MILLIAMPERE)));
    /// assert_eq!(current.si(), 0.25);
    /// let mass = Figure::parse("−0,310 ± 0,005", DecimalMark::Either).unwrap();
    /// assert_eq!((mass.value, mass.decimals, mass.uncertainty), (-0.310, 3, Some(0.005)));
    /// assert!(Figure::parse("2.40+", DecimalMark::Either).is_err());
    /// ```
    pub fn parse(text: &str, mark: DecimalMark) -> Result<Figure, FigureError> {
        parse::figure(text, mark)
    }

    /// The value in the SI unit of its own unit, or the value itself when no unit was written.
    ///
    /// For units that are a power of ten of the SI unit this is the `f64` nearest to the decimal number.
    pub fn si(&self) -> f64 {
        match self.unit {
            Some(unit) => unit.to_si(self.value),
            None => self.value,
        }
    }

    /// As [`Figure::si`], with a bare number taken to be in `default`.
    pub fn si_or(&self, default: Unit) -> f64 {
        self.unit.unwrap_or(default).to_si(self.value)
    }

    /// The uncertainty in SI, with a bare number taken to be in `default`.
    pub fn uncertainty_si_or(&self, default: Unit) -> Option<f64> {
        let unit = self.unit.unwrap_or(default);
        self.uncertainty.map(|uncertainty| unit.to_si(uncertainty))
    }
}

impl Uncertainty {
    /// Reads an uncertainty that stands alone: as [`Figure::parse`], but `±` may come first, `%` may come last, and
    /// it must not be negative.
    ///
    /// # Errors
    /// Those of [`Figure::parse`], and [`FigureError::NegativeUncertainty`].
    pub fn parse(text: &str, mark: DecimalMark) -> Result<Uncertainty, FigureError> {
        parse::uncertainty(text, mark)
    }
}
