//! Numbers as people write them, and numbers as people read them.
//!
//! Start at [`Figure::parse`] for the way in and at [`round`] for the way out.

pub mod round;
pub mod unit;

pub use unit::{Quantity, Unit};

/// A number as somebody wrote it, with the figures that it was written to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figure {
    /// The value, in the unit written (or bare, when no unit was written).
    pub value: f64,
    /// The place of the last digit written: 2 for `0.50`, 0 for `12`, -2 for `1.2e3`.
    pub decimals: i32,
    /// Significant figures written: 2 for `0.50`, 4 for `12.00`.
    pub significant: u32,
    /// The unit that followed the number.
    pub unit: Option<Unit>,
}
