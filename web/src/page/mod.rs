//! The page: the only code that touches the document.
//!
//! Start at [`state`]: the page holds one [`Job`](yokeline_core::job::Job), a handler only sends a [`state::Msg`], and
//! [`update`](state::update) is plain Rust. Everything shown is derived from the job by the parts below, each of which owns
//! one piece of index.html and changes only what has changed, so that the field being typed in keeps its caret.
//!
//! - plain Rust, tested without a browser: [`state`], [`field`] and [`choice`] (where what is typed and chosen stands in
//!   the job), [`edit`] (a table's rows and cells), [`example`], [`words`] (labels), [`headline`] (the result in a line),
//!   [`task`] (what a teacher handed out, and what it hides),
//!   [`verdicts`] and [`class_words`] (what is said of an answer and of a class), [`algebra`] (the lines behind each figure), [`worth`] (the figures that say what the line and B are worth);
//! - in the browser: `app` (who owns the state, and what happens after each message), `events` (what people do, turned
//!   into messages), `focus` (that the focus is never lost), then a file for each part of the page.

pub mod algebra;
pub mod choice;
pub mod class_words;
pub mod edit;
pub mod example;
pub mod field;
pub mod headline;
pub mod plan_field;
pub mod planning;
pub mod state;
pub mod task;
pub mod verdicts;
pub mod words;
pub mod worth;

#[cfg(target_arch = "wasm32")]
mod answers;
#[cfg(target_arch = "wasm32")]
mod app;
#[cfg(target_arch = "wasm32")]
mod apparatus;
#[cfg(target_arch = "wasm32")]
mod class;
#[cfg(target_arch = "wasm32")]
mod columns;
#[cfg(target_arch = "wasm32")]
mod elements;
#[cfg(target_arch = "wasm32")]
mod events;
#[cfg(target_arch = "wasm32")]
mod files;
#[cfg(target_arch = "wasm32")]
mod focus;
#[cfg(target_arch = "wasm32")]
mod graph;
#[cfg(target_arch = "wasm32")]
mod grid;
#[cfg(target_arch = "wasm32")]
mod handout;
#[cfg(target_arch = "wasm32")]
mod listener;
#[cfg(target_arch = "wasm32")]
mod notes;
#[cfg(target_arch = "wasm32")]
mod plan_part;
#[cfg(target_arch = "wasm32")]
mod practice;
#[cfg(target_arch = "wasm32")]
mod print;
#[cfg(target_arch = "wasm32")]
mod result;
#[cfg(target_arch = "wasm32")]
mod simulate;
#[cfg(target_arch = "wasm32")]
mod take;
#[cfg(target_arch = "wasm32")]
mod task_part;

#[cfg(target_arch = "wasm32")]
pub use app::{is_alive, start};
