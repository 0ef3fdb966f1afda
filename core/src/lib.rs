//! From pasted readings to the flux density.
//!
//! The way, left to right; a stage imports only stages to its left:
//! [`figures`] (numbers as people write them) → [`table`] (text to cells).

pub mod figures;
pub mod job;
pub mod table;
pub mod line;
pub mod readings;
pub mod field;
