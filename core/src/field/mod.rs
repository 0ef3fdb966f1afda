//! From the gradient to the flux density, with its uncertainty, and the comparison with another value.
//!
//! Start at [`flux_density::find`]. [`budget`] holds the combination of standard uncertainties, [`monte_carlo`] the
//! simulation that checks it, [`compare`] the comparison with a probe, [`joint`] one value from several series,
//! [`effective_length`] the length that a probe walked along the wire gives.

pub mod budget;
pub mod compare;
pub mod effective_length;
pub mod flux_density;
pub mod joint;
pub mod monte_carlo;

pub use budget::{Budget, Source};
pub use compare::Comparison;
pub use flux_density::{FluxDensity, Gradient, SchoolBasis, Term};
