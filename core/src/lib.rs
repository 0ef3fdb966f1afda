//! From pasted readings to the flux density.
//!
//! The way, left to right; a stage imports only stages to its left:
//!
//! [`figures`] (numbers as people write them) → [`table`] (text to cells) → [`readings`] (cells and apparatus to points)
//! → [`mod@line`] (straight lines through points) → [`findings`] (what looks wrong on the bench) → [`field`] (gradient to
//! flux density) → [`sheet`] (the worked solution).
//!
//! [`job`] is the way itself and the only place that sees every stage: a [`job::Job`] goes in, a [`job::Analysis`]
//! comes out. [`check`] stands beside it and judges a student's answers by it; so does [`practice`], which makes jobs with
//! realistic readings from a seed, and the key to them; and [`plan`], which tells before the lesson what is to be expected.

pub mod check;
pub mod field;
pub mod figures;
pub mod findings;
pub mod job;
pub mod line;
pub mod plan;
pub mod practice;
pub mod readings;
pub mod sheet;
pub mod table;
