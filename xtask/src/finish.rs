//! `xtask finish`: what Trunk has just built, finished before it becomes dist/. Trunk.toml has Trunk call it.
//!
//! Our own scripts get names that carry their sum, so that no page ever runs a script of another version; then the page is
//! copied into one file (`bundle`), and the service worker is told which files there are and what each of them is.

use std::collections::BTreeMap;
use std::env;
use std::fs;
use std::path::{Path, PathBuf};

use base64::Engine;
use base64::engine::general_purpose::STANDARD as BASE64;
use serde_json::json;
use sha2::{Digest, Sha256};

use crate::bundle::{self, COPY};

/// Set where the page is served to be looked at while it is changed: a service worker would show yesterday's.
pub const WITHOUT_SERVICE_WORKER: &str = "YOKELINE_WITHOUT_SERVICE_WORKER";

const SERVICE_WORKER: &str = "sw.js";

/// Finishes the folder that Trunk names.
pub fn finish() -> Result<(), String> {
    let folder = env::var_os("TRUNK_STAGING_DIR")
        .map(PathBuf::from)
        .ok_or("'finish' is for Trunk to call: run 'cargo xtask build'.")?;
    let mut html = text(&folder.join("index.html"))?;
    for script in ["kept.js", "boot.js", "worker.js", "away.js"] {
        html = named_by_content(&folder, &html, script)?;
    }
    let wasm = bundle::named_in(&html, "data-wasm")?;
    let length = bytes(&folder.join(wasm))?.len();
    let tag_end = format!("{wasm}\" data-worker");
    html = replaced(
        &html,
        &tag_end,
        &format!("{wasm}\" data-wasm-bytes=\"{length}\" data-worker"),
    )?;
    let one_file = bundle::one_file(&html, |name| bytes(&folder.join(name)))?;
    if env::var_os(WITHOUT_SERVICE_WORKER).is_some() {
        html = replaced(&html, " data-sw=\"./sw.js\"", "")?;
        remove(&folder.join(SERVICE_WORKER))?;
        write(&folder.join("index.html"), &html)?;
    } else {
        write(&folder.join("index.html"), &html)?;
        list_files(&folder)?;
    }
    write(&folder.join(COPY), &one_file)
}

/// Renames a script after its content, in the folder and in the page, which names it once.
fn named_by_content(folder: &Path, html: &str, script: &str) -> Result<String, String> {
    let path = folder.join(script);
    let sum: String = Sha256::digest(bytes(&path)?)
        .iter()
        .take(8)
        .map(|byte| format!("{byte:02x}"))
        .collect();
    let stem = script.trim_end_matches(".js");
    let name = format!("{stem}-{sum}.js");
    fs::rename(&path, folder.join(&name))
        .map_err(|error| format!("{} cannot be renamed: {error}.", path.display()))?;
    replaced(html, &format!("\"./{script}\""), &format!("\"./{name}\""))
}

/// Puts before the service worker what it has to know: every file that lies in the folder by now, and a version that is
/// another when any of them, or the service worker itself, is.
fn list_files(folder: &Path) -> Result<(), String> {
    let path = folder.join(SERVICE_WORKER);
    let script = text(&path)?;
    let entries = fs::read_dir(folder)
        .map_err(|error| format!("{} cannot be read: {error}.", folder.display()))?;
    let mut files = BTreeMap::new();
    for entry in entries {
        let file = entry
            .map_err(|error| format!("{} cannot be read: {error}.", folder.display()))?
            .path();
        let name = file.file_name().unwrap_or_default().to_string_lossy();
        if name == SERVICE_WORKER {
            continue;
        }
        let sum = BASE64.encode(Sha256::digest(bytes(&file)?));
        // The page goes by the name of its folder: some hosts answer index.html with a redirection.
        let asked_for = if name == "index.html" { "" } else { &name };
        files.insert(asked_for.to_owned(), json!([sum, kind(&name)?]));
    }
    // The files stand in the order of their names, so that the same build has the same version.
    let files = json!(files).to_string();
    let version = BASE64.encode(Sha256::digest(format!("{files}{script}")));
    let head = format!(
        "const VERSION = {};\nconst FILES = {files};\n",
        json!(version)
    );
    write(&path, &(head + &script))
}

fn kind(name: &str) -> Result<&'static str, String> {
    Ok(match name.rsplit('.').next() {
        Some("html") => "text/html; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("wasm") => "application/wasm",
        Some("webmanifest") => "application/manifest+json",
        _ => {
            return Err(format!(
                "The page holds {name}, and no kind is known for it: add one in {}.",
                file!()
            ));
        }
    })
}

/// Replaces what has to be there once.
pub fn replaced(text: &str, what: &str, with: &str) -> Result<String, String> {
    match text.matches(what).count() {
        1 => Ok(text.replacen(what, with, 1)),
        count => Err(format!(
            "The page holds {what:?} {count} times where once was expected: the build and index.html no longer agree."
        )),
    }
}

fn bytes(path: &Path) -> Result<Vec<u8>, String> {
    fs::read(path).map_err(|error| format!("{} cannot be read: {error}.", path.display()))
}

fn text(path: &Path) -> Result<String, String> {
    fs::read_to_string(path).map_err(|error| format!("{} cannot be read: {error}.", path.display()))
}

fn write(path: &Path, text: &str) -> Result<(), String> {
    fs::write(path, text).map_err(|error| format!("{} cannot be written: {error}.", path.display()))
}

fn remove(path: &Path) -> Result<(), String> {
    fs::remove_file(path).map_err(|error| format!("{} cannot be removed: {error}.", path.display()))
}
