//! What a browser needs around `yokeline-core`: bindings, drawing, the page.

pub mod chart;
pub mod keep;
pub mod paper;

use wasm_bindgen::prelude::wasm_bindgen;

/// The version of this build, as in `0.1.0`.
#[wasm_bindgen]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}
