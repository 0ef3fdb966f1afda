//! What a browser needs around `yokeline-core`: bindings, drawing, the page.

use wasm_bindgen::prelude::wasm_bindgen;

pub mod chart;
pub mod keep;
pub mod page;
pub mod paper;

/// The version of this build, as in `0.1.0`.
#[wasm_bindgen]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}

/// Brings the page to life. Called by the bindings as soon as the module is there.
#[cfg(target_arch = "wasm32")]
#[wasm_bindgen(start)]
pub fn start() {
    page::start();
}
