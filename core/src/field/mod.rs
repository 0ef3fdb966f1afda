//! From the gradient to the flux density, with its uncertainty, and the comparison with another value.
//!
//! Start at [`flux_density::find`]. [`budget`] holds the combination of standard uncertainties, [`compare`] the
//! comparison with a probe, [`joint`] one value from several series.

pub mod budget;
pub mod compare;
pub mod flux_density;
pub mod joint;

pub use budget::{Budget, Source};
pub use compare::Comparison;
pub use flux_density::{FluxDensity, Gradient, SchoolBasis, Term};
