//! What a browser needs around `yokeline-core`: bindings, drawing, the page.

pub mod keep;
