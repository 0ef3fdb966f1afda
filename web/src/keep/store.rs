//! The job in the browser's own store, from which it comes back when the page is opened again.
//!
//! Start at [`load`]. A browser may forbid the store, and then every call is an error and the page works on without it.
//! What is found there is read as carefully as a file: another page of the same site may have written it.

use js_sys::Reflect;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{DomException, Storage};
use yokeline_core::job::Job;

use super::{KeepError, file};

/// The key of the job in the store.
const KEY: &str = "yokeline.job";

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

/// Forgets the job that was kept.
///
/// # Errors
/// [`KeepError::StoreBlocked`].
pub fn forget() -> Result<(), KeepError> {
    store()?
        .remove_item(KEY)
        .map_err(|_| KeepError::StoreBlocked)
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
