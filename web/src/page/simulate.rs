//! The simulation, run by a worker so that the page stays free: asked for by a button, answered by a message.

use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Document, Element, MessageEvent, Worker};
use yokeline_core::job::input::MonteCarlo as Asked;
use yokeline_core::job::output::MonteCarlo;

use super::app::{self, send};
use super::elements::{Shown, add, find, set_attribute, set_text, show};
use super::state::{Msg, State};
use super::worth;
use crate::keep::file;

/// How many practicals are simulated: enough for three figures of the interval.
const TRIALS: u32 = 1_000_000;
/// The seed: the same readings give the same outcome each time.
const SEED: u32 = 1;

/// What to say where a worker cannot be had.
const NO_WORKER: &str =
    "This browser cannot run the simulation beside the page. The budget above does not need it.";

/// The simulation's part of the page.
pub struct SimulationPart {
    part: Element,
    button: Element,
    said: Element,
    lines: Vec<String>,
}

impl SimulationPart {
    /// The part, in the document as it stands.
    pub fn find(document: &Document) -> Result<Self, JsValue> {
        Ok(SimulationPart {
            part: find(document, "simulation-part")?,
            button: find(document, "simulate")?,
            said: find(document, "simulation-said")?,
            lines: Vec::new(),
        })
    }

    /// Shows what the simulation says of the job as it is.
    pub fn show(&mut self, document: &Document, state: &State) -> Shown {
        let found = state.analysis().flux_density.as_ref();
        show(
            &self.part,
            found.is_some_and(|b| b.expanded_uncertainty.is_some()),
        )?;
        let outcome = state.simulated().map(|simulated| &simulated.outcome);
        let running = outcome == Some(&None);
        set_attribute(&self.button, "aria-disabled", running.then_some("true"))?;
        let lines = match outcome {
            None => Vec::new(),
            Some(None) => vec!["Running…".to_owned()],
            Some(Some(Err(why))) => vec![why.clone()],
            Some(Some(Ok(outcome))) => worth::simulation_lines(state.analysis(), outcome),
        };
        if lines != self.lines {
            set_text(&self.said, "");
            for line in &lines {
                add(document, &self.said, "p", "", line)?;
            }
            self.lines = lines;
        }
        Ok(())
    }
}

/// Starts a simulation of the job as it is, unless one of it is running or done.
pub fn start() {
    let Some((job, revision, fresh)) = app::read(|app| {
        let state = app.state();
        (
            state.job().clone(),
            state.revision(),
            state.simulated().is_none(),
        )
    }) else {
        return;
    };
    if !fresh {
        return;
    }
    send(Msg::Simulated {
        revision,
        outcome: None,
    });
    let mut job = job;
    job.monte_carlo = Asked {
        trials: TRIALS,
        seed: SEED,
    };
    if run(&file::to_json(&job), revision).is_err() {
        send(Msg::Simulated {
            revision,
            outcome: Some(Err(NO_WORKER.to_owned())),
        });
    }
}

fn run(job: &str, revision: u64) -> Result<(), JsValue> {
    let document = app::read(|app| app.document().clone()).ok_or("the page is busy")?;
    let script = document
        .query_selector("script[data-wasm]")?
        .ok_or("the script that started the page is not there")?;
    let address = |name: &str| {
        let path = script.get_attribute(name).unwrap_or_default();
        web_sys::Url::new_with_base(
            &path,
            &document.base_uri().ok().flatten().unwrap_or_default(),
        )
        .map(|url| url.href())
    };
    let worker = Worker::new("./worker.js")?;
    let answer = move |outcome| {
        send(Msg::Simulated {
            revision,
            outcome: Some(outcome),
        });
    };
    let answered = {
        let worker = worker.clone();
        Closure::once_into_js(move |event: MessageEvent| {
            worker.terminate();
            let outcome: Result<MonteCarlo, String> = serde_wasm_bindgen::from_value(event.data())
                .map_err(|_| {
                    "The simulation gave no answer: B has no standard uncertainty to check."
                        .to_owned()
                });
            answer(outcome);
        })
    };
    worker.set_onmessage(Some(answered.unchecked_ref()));
    let failed = Closure::once_into_js(move |_: JsValue| answer(Err(NO_WORKER.to_owned())));
    worker.set_onerror(Some(failed.unchecked_ref()));
    let message = js_sys::Array::of3(
        &address("data-js")?.into(),
        &address("data-wasm")?.into(),
        &job.into(),
    );
    worker.post_message(&message)
}
