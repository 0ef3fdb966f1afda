//! From the gradient to the flux density, with its uncertainty, and the comparison with another value.
//!
//! Start at [`flux_density::find`]. [`budget`] holds the combination of standard uncertainties, [`compare`] the
//! comparison with a probe, [`student`] the quantiles of Student's t.

pub mod budget;
pub mod compare;
pub mod flux_density;
pub mod student;

pub use budget::{Budget, Source};
pub use compare::Comparison;
pub use flux_density::{FluxDensity, SchoolBasis};
