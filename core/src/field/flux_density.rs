//! B from the gradient, with its uncertainty by the school rule and by the GUM.

use super::budget::{Budget, Source};

/// Where the gradient's part of the school uncertainty came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SchoolBasis {
    /// The worst acceptable lines.
    WorstLines,
    /// No line passes through every bar: the standard error stands in.
    StandardError,
}

/// The flux density.
#[derive(Clone, Debug, PartialEq)]
pub struct FluxDensity {
    /// The value, T; signed like the gradient.
    pub tesla: f64,
    /// Half-width by the school rule, T.
    pub school_t: Option<f64>,
    /// Where its gradient part came from.
    pub school_basis: Option<SchoolBasis>,
    /// Percentage uncertainties that the school rule adds: name and %.
    pub school_parts: Vec<(&'static str, f64)>,
    /// The budget of standard uncertainties; `None` when the gradient has no standard error.
    pub budget: Option<Budget>,
}
