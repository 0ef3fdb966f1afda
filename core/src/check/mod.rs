//! A student's answers against the working: what is right, what is right but for unit or figures, what follows rightly
//! from an earlier slip, and which slips reproduce what is wrong.
//!
//! Start at [`check`]. It stands beside the way and uses all of it: a worked [`Job`](crate::job::Job) and the typed
//! [`Answers`] go in, a [`Judged`] for each stage that was answered comes out.
//!
//! - `claim.rs` reads a typed answer, `list.rs` a list of them; `facts.rs` is what the working knows;
//! - `slips.rs` is the table of slips, one entry each, and `search.rs` finds those that reproduce a wrong number; `points.rs`
//!   has those of averaging;
//! - `class.rs` checks a whole class's table: `columns.rs` says what its columns hold, `groups.rs` parts the readings where
//!   each group has its own, `together.rs` joins what they found;
//! - `words.rs` makes the sentences.

mod claim;
pub mod class;
mod columns;
mod difference;
pub mod facts;
pub mod groups;
mod list;
pub mod points;
mod search;
pub mod slips;
mod stages;
pub mod together;
mod uncertainty;
mod words;

use serde::{Deserialize, Serialize};

use crate::job::Working;
pub use facts::Facts;
pub use words::OR_ELSE;

/// What a student wrote at each stage, as typed with units; any of them empty.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Answers {
    /// The averaged readings that were plotted, in the order of the table: `0.08, 0.17, 0.25`.
    pub points: String,
    /// Gradient of the line: `0.166 g/A`.
    pub gradient: String,
    /// Intercept: `0.01 g`.
    pub intercept: String,
    /// Flux density: `32.7 mT`.
    pub flux_density: String,
    /// Its uncertainty: `0.7 mT` or `2 %`.
    pub uncertainty: String,
    /// Difference from the expected value: `2.1 %`.
    pub percentage_difference: String,
}

/// A stage of the working that can be answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    /// The averaged readings.
    Points,
    /// The gradient.
    Gradient,
    /// The intercept.
    Intercept,
    /// The flux density.
    FluxDensity,
    /// Its uncertainty.
    Uncertainty,
    /// The difference from the expected value in per cent.
    PercentageDifference,
}

impl Stage {
    /// All of them, in the order of the working.
    pub const ALL: [Stage; 6] = [
        Stage::Points,
        Stage::Gradient,
        Stage::Intercept,
        Stage::FluxDensity,
        Stage::Uncertainty,
        Stage::PercentageDifference,
    ];

    /// The name of its field in [`Answers`], as in JSON.
    pub fn name(self) -> &'static str {
        match self {
            Stage::Points => "points",
            Stage::Gradient => "gradient",
            Stage::Intercept => "intercept",
            Stage::FluxDensity => "flux_density",
            Stage::Uncertainty => "uncertainty",
            Stage::PercentageDifference => "percentage_difference",
        }
    }

    /// The stage of that name.
    pub fn named(name: &str) -> Option<Stage> {
        Stage::ALL.into_iter().find(|stage| stage.name() == name)
    }
}

impl Answers {
    /// The answer at a stage; empty for none.
    pub fn at(&self, stage: Stage) -> &str {
        match stage {
            Stage::Points => &self.points,
            Stage::Gradient => &self.gradient,
            Stage::Intercept => &self.intercept,
            Stage::FluxDensity => &self.flux_density,
            Stage::Uncertainty => &self.uncertainty,
            Stage::PercentageDifference => &self.percentage_difference,
        }
    }

    /// The same, to be written.
    pub fn at_mut(&mut self, stage: Stage) -> &mut String {
        match stage {
            Stage::Points => &mut self.points,
            Stage::Gradient => &mut self.gradient,
            Stage::Intercept => &mut self.intercept,
            Stage::FluxDensity => &mut self.flux_density,
            Stage::Uncertainty => &mut self.uncertainty,
            Stage::PercentageDifference => &mut self.percentage_difference,
        }
    }
}

/// What is to be said of one answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Right.
    Right,
    /// The number is right, its unit is wrong or missing.
    Unit,
    /// Right, but to fewer or to many more figures than the data allow.
    Figures,
    /// It follows rightly from the student's own earlier value, which is not right.
    Carried,
    /// Wrong, and one slip or a few reproduce it.
    Slip,
    /// Wrong, and no slip known here explains it.
    Unexplained,
    /// It cannot be read as a number.
    Unread,
    /// There is nothing to compare it with.
    NotChecked,
}

impl Verdict {
    /// Right, if perhaps to other figures than the data allow.
    pub fn is_right(self) -> bool {
        matches!(self, Verdict::Right | Verdict::Figures)
    }
}

/// One answer judged.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Judged {
    /// Which.
    pub stage: Stage,
    /// What is to be said of it.
    pub verdict: Verdict,
    /// The slips that reproduce it, likeliest first; each entry is one slip or several made together.
    pub slips: Vec<Vec<&'static str>>,
    /// The answer over the right value; null where there is none.
    pub factor: Option<f64>,
    /// What it should be, with unit.
    pub right: String,
    /// What kind of thing to look at, without giving it away.
    pub hint: String,
    /// What was seen, in a sentence or two.
    pub text: String,
    /// The line of working that shows it.
    pub working: String,
}

/// Judges every stage that was answered.
pub fn check(working: &Working, answers: &Answers) -> Vec<Judged> {
    stages::judge(working, answers)
}
