//! A JSON text as the fragment of a link: `#`, a letter for what it holds, the version of the format, a dot, and the
//! text, squeezed.
//!
//! Start at [`pack`] and [`unpack`]. The text is compressed as a zlib stream (RFC 1950), whose checksum tells a damaged
//! link from a whole one, and written in the URL-safe alphabet of base64 (RFC 4648 §5) without padding. A browser never
//! sends the fragment to any server.

use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD as BASE64;
use miniz_oxide::deflate::compress_to_vec_zlib;
use miniz_oxide::inflate::{TINFLStatus, decompress_to_vec_zlib_with_limit};
use serde::Serialize;
use serde_json::Value;

use super::KeepError;

/// The longest fragment that is read, in characters. Firefox gives up on longer addresses, Chromium at twice as much.
pub const LONGEST: usize = 1_000_000;

/// The most that a fragment is unpacked to, in bytes: far above any job typed by hand, far below what hurts a browser.
pub(super) const LONGEST_UNPACKED: usize = 8 * 1024 * 1024;

/// The hardest that the compressor tries. Links are made when someone asks for one, so its time does not matter.
const HARDEST: u8 = 10;

/// What a fragment holds: its letter, and the newest version of its format, which is the one that is written.
#[derive(Clone, Copy, Debug)]
pub(super) struct Kind {
    pub letter: char,
    pub format: u64,
}

impl Kind {
    /// Whether a fragment means to be of this kind, of whatever version and in whatever state: a page's own `#heading`
    /// is not.
    pub fn is(self, fragment: &str) -> bool {
        self.split(fragment).is_some()
    }

    /// The version of the format, and what follows it, when there is such a thing in the fragment (or after the `#` of a
    /// whole link).
    fn split(self, fragment: &str) -> Option<(u64, &str)> {
        let own = fragment
            .split_once('#')
            .map_or(fragment, |(_, after)| after);
        let (format, packed) = own
            .trim_start()
            .strip_prefix(self.letter)?
            .split_once('.')?;
        // A sign is a number to `parse`, but no version.
        if format.is_empty() || !format.bytes().all(|b| b.is_ascii_digit()) {
            return None;
        }
        match format.parse() {
            Ok(0) => None,
            Ok(format) => Some((format, packed)),
            // More digits than a u64 holds: a version later than any.
            Err(_) => Some((u64::MAX, packed)),
        }
    }
}

/// The fragment that holds a text, with its `#`.
pub(super) fn pack(kind: Kind, json: &str) -> String {
    let packed = compress_to_vec_zlib(json.as_bytes(), HARDEST);
    format!("#{}{}.{}", kind.letter, kind.format, BASE64.encode(packed))
}

/// The text in a fragment, or in a whole link.
///
/// Blanks and line breaks inside, and punctuation or padding after the end, are passed over: that is what mail and chat
/// programs add.
///
/// # Errors
/// [`KeepError::NoJobInLink`] when it does not begin as such a link does; [`KeepError::LaterRelease`] for a later format;
/// [`KeepError::LinkTooLong`] over [`LONGEST`]; [`KeepError::LinkDamaged`] when it is cut off or altered;
/// [`KeepError::LinkSwells`] when it unpacks to more than 8 MiB.
pub(super) fn unpack(kind: Kind, fragment: &str) -> Result<String, KeepError> {
    let (format, packed) = kind.split(fragment).ok_or(KeepError::NoJobInLink)?;
    if format > kind.format {
        return Err(KeepError::LaterRelease {
            version: format,
            newest: kind.format,
        });
    }
    if fragment.len() > LONGEST {
        return Err(KeepError::LinkTooLong {
            characters: fragment.chars().count(),
            longest: LONGEST,
        });
    }
    let packed: String = packed.chars().filter(|c| !c.is_whitespace()).collect();
    let packed =
        packed.trim_end_matches(|c: char| !(c.is_ascii_alphanumeric() || "-_".contains(c)));
    let bytes = BASE64.decode(packed).map_err(|_| KeepError::LinkDamaged)?;
    let json = decompress_to_vec_zlib_with_limit(&bytes, LONGEST_UNPACKED).map_err(|error| {
        if error.status == TINFLStatus::HasMoreOutput {
            KeepError::LinkSwells {
                longest: LONGEST_UNPACKED,
            }
        } else {
            KeepError::LinkDamaged
        }
    })?;
    String::from_utf8(json).map_err(|_| KeepError::LinkDamaged)
}

/// What is written, as a tree of JSON. By way of text: a writer straight into the tree would be a second one for each
/// shape, which the page would carry.
pub(super) fn to_value(written: &impl Serialize) -> Value {
    let text =
        serde_json::to_string(written).expect("our shapes are always JSON: their keys are strings");
    serde_json::from_str(&text).expect("what was written as JSON is JSON")
}

/// The fields of `value` that differ from `default`, likewise inside objects.
pub(super) fn without_defaults(value: Value, default: &Value) -> Value {
    match (value, default) {
        (Value::Object(fields), Value::Object(defaults)) => Value::Object(
            fields
                .into_iter()
                .filter_map(|(name, value)| match defaults.get(&name) {
                    Some(default) if *default == value => None,
                    Some(default) => Some((name, without_defaults(value, default))),
                    None => Some((name, value)),
                })
                .collect(),
        ),
        (value, _) => value,
    }
}
