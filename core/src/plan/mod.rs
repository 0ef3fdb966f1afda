//! Before the lesson: what the balance will show, how well B will be known, what helps most, how warm the wire gets.
//!
//! This room stands beside the way: it judges a bench by the rules of the way before there are readings; nothing of the way
//! uses it. Start at [`plan()`]: a [`Plan`] (typed text) goes in, a [`Planned`] (figures in SI, with sentences) comes out.
//!
//! - `input.rs` and `output.rs` the two shapes, `read.rs` from text to SI with the readers of `typed.rs`, `convert.rs` from SI to the shape that comes out;
//! - [`expect`] readings and uncertainty, [`changes`] what a single change would do;
//! - [`wire`] and [`warmth`] copper, [`order`] the order of readings, [`direction`] which way, [`gravity`] local g;
//! - `kit.rs` what is needed, `words.rs` all sentences; [`printed`] the plan as a tree of meaning for page and paper.

pub mod changes;
mod convert;
pub mod direction;
pub mod expect;
pub mod gravity;
mod input;
mod kit;
pub mod order;
pub mod output;
pub mod printed;
mod printed_words;
mod read;
mod typed;
pub mod warmth;
pub mod wire;
mod words;

pub use input::{Direction, Place, Plan, Supply, WirePlan};
pub use output::Planned;

/// All that can be said before the lesson. The same plan gives the same figures, to the bit, everywhere.
///
/// # Examples
/// ```
/// use yokeline_core::job::Apparatus;
/// use yokeline_core::plan::{Plan, plan};
/// let planned = plan(&Plan {
///     apparatus: Apparatus { length: "5.0 cm".into(), balance_resolution: "0.01 g".into(), ..Apparatus::default() },
///     flux_density: "32.7 mT".into(),
///     current_range: "5 A".into(),
///     ..Plan::default()
/// });
/// let expected = &planned.expected[0];
/// assert!((expected.gradient_g_per_a - 0.1667).abs() < 0.0001);
/// assert_eq!(expected.readings.last().unwrap().reading_text, "0.83");
/// assert_eq!(expected.verdict, "will_show");
/// ```
pub fn plan(plan: &Plan) -> Planned {
    let mut remarks = Vec::new();
    let read = read::read(plan, &mut remarks);
    convert::planned(plan, &read, &remarks)
}
