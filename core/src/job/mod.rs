//! The way itself: a [`Job`] (all that the user typed) goes in, an [`Analysis`] (all that was found) comes out.
//!
//! Start at [`analyse`]. The shapes in [`input`] and [`output`] are what tools, links and JavaScript see: they are
//! versioned, and converted here on purpose, so that the types inside a stage stay free to change.

pub mod input;
pub mod output;

pub use input::{Apparatus, Fit, Job, Probe, Varied};
pub use output::Analysis;
