//! The worked solution as a tree of meaning: sections of sentences, tables and steps, each step with its reason and its
//! lines of algebra. No markup: the page, the printed sheet and plain text are small renderers of it.
//!
//! Start at [`build::sheet`], which takes what the stages to the left found as [`Given`] and gives a [`Sheet`].
//!
//! - `given.rs` what comes in, `algebra.rs` the formulas, `text.rs` the sheet as plain text;
//! - `scale.rs` numbers in the units that people see, `law.rs` the equation of each way to run the experiment;
//! - `apparatus.rs`, `readings.rs`, `raw.rs`, `gradient.rs`, `result.rs`, `uncertainty.rs`, `judgement.rs` a section or two each, `answers.rs` and
//!   `blank.rs` the two shorter sheets, `words/` the sentences they share.

pub mod algebra;
mod answers;
mod apparatus;
mod blank;
pub mod build;
mod given;
mod gradient;
mod judgement;
mod law;
mod raw;
mod readings;
mod result;
mod scale;
mod text;
mod uncertainty;
pub mod words;

pub use algebra::{Formula, Relation, Term};
pub use given::{Excluded, Found, Given, MOST_ROWS, Method, Observation, Show, Way, WorstLineRule};

/// A worked solution, or as much of it as was asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The title.
    pub title: String,
    /// What is to be filled in by hand at the head: `Name`.
    pub fill_in: Vec<&'static str>,
    /// How much is shown.
    pub show: Show,
    /// The sections, in order.
    pub sections: Vec<Section>,
}

/// A part of the sheet under one heading.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// What it is about.
    pub topic: Topic,
    /// The heading.
    pub heading: String,
    /// What stands in it, in order.
    pub blocks: Vec<Block>,
}

/// What a section is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Topic {
    /// Values of the apparatus.
    Apparatus,
    /// Cautions.
    Cautions,
    /// The readings as typed, and the points made from them.
    Readings,
    /// The graph.
    Graph,
    /// Gradient, intercept and worst lines.
    Gradient,
    /// From the gradient to B.
    Result,
    /// The uncertainty of B.
    Uncertainty,
    /// Comparison with a probe, or of several series.
    Comparison,
    /// What the data say of the bench.
    Bench,
    /// Conclusion.
    Conclusion,
    /// Room for the student's own evaluation.
    Evaluation,
    /// The results alone.
    Answers,
    /// Questions to be answered by hand.
    Questions,
}

/// A piece of a section.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A heading below that of the section.
    Subheading(String),
    /// A paragraph.
    Text(String),
    /// Sentences that stand in a list.
    List(Vec<String>),
    /// A table.
    Table(Table),
    /// One step of the working.
    Step(Step),
    /// A result that should catch the eye.
    Answer {
        /// Whose result it is and how it was found, where that needs saying; may be empty.
        label: String,
        /// The result, its sides equal.
        formula: Formula,
    },
    /// The graph of the readings; the renderer draws it.
    Graph {
        /// Its caption.
        caption: String,
    },
    /// Empty graph paper with its axis titles; where both are empty, without axes.
    GraphPaper {
        /// Title of the horizontal axis.
        x_title: String,
        /// Title of the vertical axis.
        y_title: String,
    },
    /// A question with room to answer it by hand.
    Question {
        /// Its number, from 1.
        number: usize,
        /// What is asked.
        text: String,
        /// Lines of writing to leave.
        lines: usize,
    },
    /// Lines of writing to leave.
    Lines(usize),
}

/// One step of the working.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What is done, and why.
    pub reason: String,
    /// The algebra: formula, substitution, result.
    pub lines: Vec<Formula>,
}

/// A table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// What it holds.
    pub caption: String,
    /// Column headings, quantity / unit.
    pub headings: Vec<String>,
    /// Rows of cells, as many as there are headings.
    pub rows: Vec<Vec<String>>,
    /// Indices of rows that are marked as left out of the line.
    pub left_out: Vec<usize>,
    /// Whether the first cell of each row names the row.
    pub row_headings: bool,
    /// What is said below it; empty for nothing.
    pub below: String,
}

impl Block {
    /// A step with its reason and its lines.
    fn step(reason: impl Into<String>, lines: Vec<Formula>) -> Block {
        Block::Step(Step {
            reason: reason.into(),
            lines,
        })
    }
}
