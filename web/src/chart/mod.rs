//! The graph: decided once as a [`Scene`], drawn wherever it is wanted, and told in words.
//!
//! Start at [`Scene::graph`]. It turns an `Analysis` into marks in the units that people read, with scales, tick texts and
//! lines already cut to the frame, so that nothing is left for a drawing library to guess. [`draw::draw`] puts a scene
//! onto any plotters backend; [`svg::svg`] and (in a browser) `canvas::paint` are its two users.
//! [`describe`] says the same scene in words, with what `about_the_line.rs` says of line and points.
//!
//! - [`ticks`]: scales in steps of 1, 2 or 5, and the text at each tick
//! - [`clip`]: lines cut in data units
//! - [`scene`]: what is to be seen, made from its parts in `compose.rs`, with what is said of it in `remarks.rs`
//! - [`layout`]: where it lies on a given number of pixels
//! - [`draw`], [`svg`], `canvas`, [`theme`]: how it looks; `labels.rs` finds room for texts and `pen.rs` holds the pen

mod about_the_line;
#[cfg(target_arch = "wasm32")]
pub mod canvas;
pub mod clip;
mod compose;
pub mod describe;
pub mod draw;
mod labels;
pub mod layout;
mod pen;
mod remarks;
pub mod scene;
pub mod svg;
pub mod theme;
pub mod ticks;
mod wording;

pub use scene::{GraphChoice, Scene};
pub use theme::Theme;
