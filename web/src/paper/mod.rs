//! The worked sheet on paper: its tree of meaning as one self-contained HTML file.
//!
//! Start at [`html`](fn@html). This is the one layer that knows markup: `html.rs` the document, `math.rs` the algebra as
//! MathML, `grid.rs` the empty graph paper, `quantity.rs` numbers that stay with their units, `paper.css` how it looks. All text is escaped by the template.

pub mod direction;
pub mod feedback;
mod grid;
mod html;
mod math;
pub mod qr;
mod quantity;

pub use html::{html, many};
