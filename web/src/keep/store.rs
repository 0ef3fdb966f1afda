//! The job in the browser's own store, from which it comes back when the page is opened again.
//!
//! Start at [`load`]. A browser may forbid the store, and then every call is an error and the page works on without it.
//! What is found there is read as carefully as a file: another page of the same site may have written it.

use js_sys::Reflect;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{DomException, Storage};
use yokeline_core::check::Answers;
use yokeline_core::job::Job;
use yokeline_core::plan::Plan;

use super::{KeepError, file};

/// The key of the job in the store.
const KEY: &str = "yokeline.job";

/// The key of the plan in the store.
const PLAN_KEY: &str = "yokeline.plan";

/// The key of the task in the store.
const TASK_KEY: &str = "yokeline.task";

/// The job that was kept; none when nothing was.
///
/// # Errors
/// [`KeepError::StoreBlocked`], or any error of [`file::from_json`] when what was kept is not a job.
pub fn load() -> Result<Option<Job>, KeepError> {
    match store()?.get_item(KEY) {
        Ok(Some(text)) => file::from_json(&text).map(Some),
        Ok(None) => Ok(None),
        Err(_) => Err(KeepError::StoreBlocked),
    }
}

/// Keeps the job in place of the one kept before.
///
/// # Errors
/// [`KeepError::StoreFull`] or [`KeepError::StoreBlocked`]; what was kept before is then still there.
pub fn save(job: &Job) -> Result<(), KeepError> {
    store()?
        .set_item(KEY, &file::to_json(job))
        .map_err(|error| {
            if is_full(&error) {
                KeepError::StoreFull
            } else {
                KeepError::StoreBlocked
            }
        })
}

/// The plan that was kept; none where there was none or it cannot be read.
pub fn load_plan() -> Option<Plan> {
    load_beside(PLAN_KEY)
}

/// Keeps the plan beside the job.
pub fn save_plan(plan: &Plan) {
    save_beside(PLAN_KEY, plan);
}

/// How far a student got with a task.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Progress {
    /// The task, as the fragment of its link.
    pub fragment: String,
    /// The number that the student typed.
    pub student: Option<u32>,
    /// Whether an answer was typed to the end.
    pub attempted: bool,
    /// The answers.
    pub answers: Answers,
}

/// How far the last task went; none where there was none or it cannot be read.
pub fn load_progress() -> Option<Progress> {
    load_beside(TASK_KEY)
}

/// Keeps how far a task went beside the job, which holds its readings.
pub fn save_progress(progress: &Progress) {
    save_beside(TASK_KEY, progress);
}

/// Forgets the task: what is kept from now on is a job of its own.
pub fn forget_progress() {
    if let Ok(store) = store() {
        let _ = store.remove_item(TASK_KEY);
    }
}

/// Forgets all that was kept.
///
/// # Errors
/// [`KeepError::StoreBlocked`].
pub fn forget() -> Result<(), KeepError> {
    forget_progress();
    let store = store()?;
    let _ = store.remove_item(PLAN_KEY);
    store.remove_item(KEY).map_err(|_| KeepError::StoreBlocked)
}

/// What is kept beside the job; none where there is none or it cannot be read.
fn load_beside<T: DeserializeOwned>(key: &str) -> Option<T> {
    let text = store().ok()?.get_item(key).ok()??;
    serde_json::from_str(&text).ok()
}

fn save_beside(key: &str, value: &impl Serialize) {
    if let (Ok(store), Ok(text)) = (store(), serde_json::to_string(value)) {
        // Where there is no room the job's own keeping says so.
        let _ = store.set_item(key, &text);
    }
}

/// The store. Where it is forbidden, asking for it throws, or gives null.
fn store() -> Result<Storage, KeepError> {
    web_sys::window()
        .and_then(|window| window.local_storage().ok().flatten())
        .ok_or(KeepError::StoreBlocked)
}

/// Whether a write failed for want of room.
fn is_full(error: &JsValue) -> bool {
    let name = match error.dyn_ref::<DomException>() {
        Some(exception) => Some(exception.name()),
        // Newer browsers throw a QuotaExceededError that need not be a DOMException of this realm.
        None => Reflect::get(error, &JsValue::from_str("name"))
            .ok()
            .and_then(|name| name.as_string()),
    };
    name.is_some_and(|name| name.contains("Quota"))
}
