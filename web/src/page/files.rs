//! Files that are opened or dropped: bytes to text, text to a table or a job.

use wasm_bindgen::JsCast;
use web_sys::{Blob, File, TextDecoder};

use super::app::{self, send};
use super::state::{LONGEST_TABLE, Msg, Source};
use super::take::with_bytes;
use crate::keep::file;

/// Opens a file: a table or a saved job.
pub fn open(file: &File) {
    let name = file.name();
    // A job holds its table and little else.
    if file.size() > 2.0 * LONGEST_TABLE as f64 {
        app::say(
            format!(
                "{name} is {:.0} MB long; tables up to {} MB are read. Nothing was changed.",
                file.size() / 1e6,
                LONGEST_TABLE / 1_000_000
            ),
            true,
        );
        return;
    }
    let blob: &Blob = file.unchecked_ref();
    with_bytes(&blob.array_buffer(), move |bytes| match bytes {
        Some(bytes) => match text_of(&bytes) {
            Some(text) => take_file(name, text),
            None => app::say(
                format!(
                    "{name} is not text. From a spreadsheet, copy the cells and paste them here, or save them as CSV and \
                     open that. Nothing was changed."
                ),
                true,
            ),
        },
        None => app::say(
            format!("{name} could not be read. Nothing was changed."),
            true,
        ),
    });
}

/// Takes a text that was pasted, typed or dropped: a table, or the text of a saved job.
pub fn take_text(text: String) {
    if text.trim_start().starts_with('{')
        && let Ok(job) = file::from_json(&text)
    {
        send(Msg::OpenJob {
            job: Box::new(job),
            source: Source::File("The pasted job".to_owned()),
        });
        return;
    }
    send(Msg::ReplaceTable { text });
}

fn take_file(name: String, text: String) {
    let lower = name.to_lowercase();
    if !lower.ends_with(".json") && !text.trim_start().starts_with('{') {
        send(Msg::ReplaceTable { text });
        return;
    }
    match file::from_json(&text) {
        Ok(job) => send(Msg::OpenJob {
            job: Box::new(job),
            source: Source::File(name),
        }),
        Err(error) => app::say(format!("{name}: {error} Nothing was changed."), true),
    }
}

/// The text in the bytes: UTF-8 or UTF-16 with a mark, else UTF-8, else the old Western code that spreadsheets write;
/// `None` for what is no text.
fn text_of(bytes: &[u8]) -> Option<String> {
    let marked = bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]);
    if !marked {
        if bytes.starts_with(b"PK\x03\x04") || bytes.iter().take(4096).any(|byte| *byte == 0) {
            return None;
        }
        if let Ok(text) = std::str::from_utf8(bytes) {
            return Some(text.trim_start_matches('\u{feff}').to_owned());
        }
    }
    let code = match bytes {
        [0xff, 0xfe, ..] => "utf-16le",
        [0xfe, 0xff, ..] => "utf-16be",
        _ => "windows-1252",
    };
    let decoder = TextDecoder::new_with_label(code).ok()?;
    decoder.decode_with_u8_array(bytes).ok()
}
