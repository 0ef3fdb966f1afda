//! Practice sets: realistic readings from a seed, a set of its own for each student, and the key to them.
//!
//! This room stands beside the way: it makes a [`Job`] and asks the way what it finds; nothing of the way uses it.
//! Start at [`set`], which makes one student's set of a [`Recipe`], and at [`key`], which tells the teacher what is in many.
//! [`Level`] holds ready recipes.
//!
//! - `recipe.rs` what can be asked for, `typed.rs` one of typed text, `levels.rs` the ready recipes, `limits.rs` what is done with sizes that no bench has;
//! - `chance.rs` seeded chance, `bench.rs` the true values of one bench, `draw.rs` its readings as a table;
//! - `key.rs` the key, `printed.rs` worksheet and key on paper, `words.rs` all sentences.
//!
//! The same recipe, seed and number give the same table in every browser and every release; tests pin it. So nothing here
//! may change the order of draws, and a recipe's meaning changes only with its `version`.

mod bench;
mod chance;
mod draw;
mod key;
mod levels;
mod limits;
mod printed;
mod recipe;
pub mod typed;
mod words;

pub use key::{KeyRow, key};
pub use levels::Level;
pub use printed::{GraphPaper, key_sheet, worksheet};
pub use recipe::{Faults, Range, Recipe, VERSION, Way};

use serde::Serialize;

use crate::job::Job;

/// One student's set.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Set {
    /// What the student gets: table and apparatus, as typed.
    pub job: Job,
    /// What is true on the bench.
    pub truth: Truth,
    /// What of the recipe could not be made as asked, and what was made instead; for the teacher.
    pub notes: Vec<String>,
}

/// What is true on the bench of one set.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Truth {
    /// Flux density, T.
    pub flux_density_t: f64,
    /// The same as text, in the unit that reads better: `32.7 mT`.
    pub flux_density: String,
    /// True length of one wire in the field, m; the longest where lengths were varied. The student has it as measured.
    pub length_m: f64,
    /// How many wires carry the current side by side; the most where wires were varied.
    pub wires: u32,
    /// True gradient of each series, in the order of the table and in SI as `gradient` of the analysis: kg/A, kg/m or kg.
    /// Without the warming, which has no one gradient.
    pub gradients: Vec<f64>,
    /// The faults that were put in.
    pub faults: Vec<Fault>,
}

/// A fault that was put in.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fault {
    /// Which: `zero_error`, `drift`, `outlier`, `warming`, `reversed_current` or `mixed_order`.
    pub kind: &'static str,
    /// The row, from 1, where it sits in one row.
    pub row: Option<usize>,
    /// Its size with its sign: g, g per reading for the drift, a fraction for the warming; null where it has none.
    pub size: Option<f64>,
    /// A sentence.
    pub text: String,
}

/// The set of one student: the same recipe, seed and number give the same set, everywhere and always.
///
/// A recipe that cannot be made as it stands is brought within what can, and `notes` tells what was done.
///
/// # Examples
/// ```
/// use yokeline_core::practice::{Level, set};
/// let made = set(&Level::StraightAndClean.recipe(), 7, 1);
/// assert!(made.job.table.starts_with("I / A\tm / g\n0.50\t"));
/// assert_eq!(made, set(&Level::StraightAndClean.recipe(), 7, 1));
/// ```
pub fn set(recipe: &Recipe, seed: u32, student: u32) -> Set {
    let (recipe, mut notes) = limits::bring_within(recipe);
    let (job, truth, of_drawing) = draw::draw(&recipe, seed, student);
    notes.extend(of_drawing);
    Set { job, truth, notes }
}
