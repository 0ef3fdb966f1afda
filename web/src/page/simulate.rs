//! The simulation, run by a worker so that the page stays free, or by the page where no worker can be had: asked for by a
//! button, answered by a message.

use wasm_bindgen::JsValue;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::prelude::wasm_bindgen;
use web_sys::{Document, Element};
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

/// What to say where it cannot even be begun.
const NOT_BEGUN: &str =
    "This browser cannot run the simulation. The budget above does not need it.";

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
            outcome: Some(Err(NOT_BEGUN.to_owned())),
        });
    }
}

fn run(job: &str, revision: u64) -> Result<(), JsValue> {
    let answered = Closure::once_into_js(move |answer: JsValue| {
        let outcome: Result<MonteCarlo, String> =
            serde_wasm_bindgen::from_value(answer).map_err(|_| {
                "The simulation gave no answer: B has no standard uncertainty to check.".to_owned()
            });
        send(Msg::Simulated {
            revision,
            outcome: Some(outcome),
        });
    });
    simulate_beside(job, &answered)
}

#[wasm_bindgen]
extern "C" {
    /// In `static/boot.js`, which knows where the worker and its parts are: takes a job as text, and what to call once with
    /// the answer.
    #[wasm_bindgen(js_namespace = window, js_name = simulateBeside, catch)]
    fn simulate_beside(job: &str, answer: &JsValue) -> Result<(), JsValue>;
}
