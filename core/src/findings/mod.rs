//! What looks wrong on the bench, or what the reader should know of the data, each with its statistic.
//!
//! Start at [`look`]. Each finding says what it saw, why it matters and what to do; the sentences are in [`words`].

pub mod words;

/// Something seen in the data.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// What it is.
    pub kind: Kind,
    /// The rows it speaks of, from 1.
    pub rows: Vec<usize>,
    /// The statistic, where there is one.
    pub statistic: Option<f64>,
    /// The probability of such a statistic by chance alone.
    pub p_value: Option<f64>,
}
