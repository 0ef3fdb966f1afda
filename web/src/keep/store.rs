//! The job in the browser's own store, from which it comes back when the page is opened again.
//!
//! Start at [`job_text`]. A browser may forbid the store, and then every call is an error and the page works on without it.
//! What is found there is read as carefully as a file: another page of the same site may have written it. What would be
//! lost by a write is put aside first, under a name of its own; `static/kept.js` lists what lies there.

use js_sys::{Date, Reflect};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{DomException, Storage};
use yokeline_core::check::Answers;
use yokeline_core::plan::Plan;

use super::KeepError;

/// What every key of the page's begins with.
const PREFIX: &str = "yokeline.";

/// The key of the job in the store.
const KEY: &str = "yokeline.job";

/// The key of the plan in the store.
const PLAN_KEY: &str = "yokeline.plan";

/// The key of the task in the store.
const TASK_KEY: &str = "yokeline.task";

/// What the keys of things put aside begin with; time, reason and kind follow.
const ASIDE: &str = "yokeline.aside.";

/// The key, in the store of one tab, of what comes back when that tab is loaded again.
const PUT_BACK: &str = "yokeline.put-back";

/// How many jobs are put aside that only made room for another: the oldest go.
const MOST_BEFORE: usize = 3;

/// Why something was put aside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// Another job took its place.
    Before,
    /// It could not be read.
    Unread,
    /// Another tab wrote it.
    OtherTab,
}

impl Why {
    fn name(self) -> &'static str {
        match self {
            Why::Before => "before",
            Why::Unread => "unread",
            Why::OtherTab => "tab",
        }
    }
}

/// The text of the job that was kept; none when nothing was.
///
/// # Errors
/// [`KeepError::StoreBlocked`].
pub fn job_text() -> Result<Option<String>, KeepError> {
    store()?.get_item(KEY).map_err(|_| KeepError::StoreBlocked)
}

/// Keeps the text of a job in place of the one kept before. Where there is no room, jobs that only made room for another
/// go first.
///
/// # Errors
/// [`KeepError::StoreFull`] or [`KeepError::StoreBlocked`]; what was kept before is then still there.
pub fn save(text: &str) -> Result<(), KeepError> {
    write(KEY, text)
}

/// A place of its own for the job of a tab that must not write over another's.
pub fn place_apart() -> String {
    format!("{}.job", aside_name(Why::OtherTab))
}

/// Keeps the text of a job there.
///
/// # Errors
/// Those of [`save`].
pub fn save_apart(place: &str, text: &str) -> Result<(), KeepError> {
    write(place, text)
}

/// Has the job of such a place come back when this tab is loaded again; `static/kept.js` does it, and puts the job that
/// another tab keeps aside meanwhile.
pub fn come_back_to(place: &str) {
    let tab = web_sys::window().and_then(|window| window.session_storage().ok().flatten());
    if let Some((tab, name)) = tab.zip(place.strip_suffix("job")) {
        // Where the tab may keep nothing, the job stays aside, where it can be found.
        let _ = tab.set_item(PUT_BACK, name);
    }
}

/// Gives such a place up.
pub fn leave_apart(place: &str) {
    if let Ok(store) = store() {
        let _ = store.remove_item(place);
    }
}

/// Puts aside the job that is kept and how far its task went.
pub fn put_job_aside(why: Why) {
    let Ok(store) = store() else { return };
    let name = aside_name(why);
    for key in [KEY, TASK_KEY] {
        move_aside(&store, key, &name);
    }
    if why == Why::Before {
        let before = jobs_before(&store);
        let too_many = before.len().saturating_sub(MOST_BEFORE);
        for key in before.iter().take(too_many) {
            drop_before(&store, key);
        }
    }
}

fn aside_name(why: Why) -> String {
    format!("{ASIDE}{}.{}", Date::now(), why.name())
}

/// Takes the text away first: there may be no room for it twice.
fn move_aside(store: &Storage, key: &str, name: &str) {
    let Ok(Some(text)) = store.get_item(key) else {
        return;
    };
    let kind = key.strip_prefix(PREFIX).unwrap_or(key);
    let _ = store.remove_item(key);
    if store.set_item(&format!("{name}.{kind}"), &text).is_err() {
        let _ = store.set_item(key, &text);
    }
}

/// The keys of the jobs that only made room for another, the oldest first.
fn jobs_before(store: &Storage) -> Vec<String> {
    let mark = format!(".{}.", Why::Before.name());
    let mut before = keys(store, ASIDE);
    before.retain(|key| key.contains(&mark) && key.ends_with(".job"));
    // The names begin with the time, which has as many digits for all of them.
    before.sort();
    before
}

fn drop_before(store: &Storage, key: &str) {
    let _ = store.remove_item(key);
    let _ = store.remove_item(&key.replace(".before.job", ".before.task"));
}

fn keys(store: &Storage, prefix: &str) -> Vec<String> {
    (0..store.length().unwrap_or(0))
        .filter_map(|place| store.key(place).ok().flatten())
        .filter(|key| key.starts_with(prefix))
        .collect()
}

fn write(key: &str, text: &str) -> Result<(), KeepError> {
    let store = store()?;
    loop {
        match store.set_item(key, text) {
            Ok(()) => return Ok(()),
            Err(error) if !is_full(&error) => return Err(KeepError::StoreBlocked),
            Err(_) => match jobs_before(&store).first() {
                Some(oldest) => drop_before(&store, oldest),
                None => return Err(KeepError::StoreFull),
            },
        }
    }
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

/// Forgets all that was kept, what was put aside included.
///
/// # Errors
/// [`KeepError::StoreBlocked`].
pub fn forget() -> Result<(), KeepError> {
    let store = store()?;
    for key in keys(&store, PREFIX) {
        store
            .remove_item(&key)
            .map_err(|_| KeepError::StoreBlocked)?;
    }
    Ok(())
}

/// What is kept beside the job; none where there is none or it cannot be read, and then it is put aside.
fn load_beside<T: DeserializeOwned>(key: &str) -> Option<T> {
    let store = store().ok()?;
    let text = store.get_item(key).ok()??;
    let read = serde_json::from_str(&text).ok();
    if read.is_none() {
        move_aside(&store, key, &aside_name(Why::Unread));
    }
    read
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
