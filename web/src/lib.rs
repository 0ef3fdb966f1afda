//! What a browser needs around `yokeline-core`: bindings, drawing, the page.
//!
//! To JavaScript this module gives [`version`] and `analyse`, which takes a job and gives an analysis in the shapes of
//! [`yokeline_core::job`].

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

/// Everything that can be said of a job, a plain object in the shape of [`yokeline_core::job::Job`]; the answer is a plain
/// object in the shape of [`yokeline_core::job::Analysis`].
///
/// # Errors
/// A sentence, when the object is not a job.
#[cfg(target_arch = "wasm32")]
#[wasm_bindgen]
pub fn analyse(job: wasm_bindgen::JsValue) -> Result<wasm_bindgen::JsValue, wasm_bindgen::JsValue> {
    use serde::Serialize;

    // Through its text, so that an object is read exactly as the same job from a file is.
    let text = js_sys::JSON::stringify(&job)?
        .as_string()
        .unwrap_or_default();
    let job = keep::file::from_json(&text)
        .map_err(|error| wasm_bindgen::JsValue::from_str(&error.to_string()))?;
    let analysis = yokeline_core::job::analyse(&job);
    Ok(analysis.serialize(&serde_wasm_bindgen::Serializer::json_compatible())?)
}

/// The simulation that a job asks for, for a worker: takes the job as the text of its file and gives a plain object in the
/// shape of [`yokeline_core::job::output::MonteCarlo`], or null where there is none.
#[cfg(target_arch = "wasm32")]
#[wasm_bindgen]
pub fn simulate(job: &str) -> wasm_bindgen::JsValue {
    let Ok(job) = keep::file::from_json(job) else {
        return wasm_bindgen::JsValue::NULL;
    };
    let outcome = yokeline_core::job::analyse(&job).monte_carlo;
    serde_wasm_bindgen::to_value(&outcome).unwrap_or(wasm_bindgen::JsValue::NULL)
}

/// Whether the page can still do something: asked by `boot.js` after a fault.
#[cfg(target_arch = "wasm32")]
#[wasm_bindgen]
pub fn alive() -> bool {
    page::is_alive()
}

/// Brings the page to life, where there is one: a worker has none. Called by the bindings as soon as the module is there.
#[cfg(target_arch = "wasm32")]
#[wasm_bindgen(start)]
pub fn start() {
    let root = web_sys::window()
        .and_then(|window| window.document())
        .and_then(|document| document.document_element());
    if let Some(root) = root {
        // From here on a page that does not start is no file that did not arrive: boot.js tells them apart by this.
        let _ = root.set_attribute("data-boot", "starting");
        page::start();
    }
}
