//! Where a [`Job`] lives when it is not on the screen: a link, a file, the browser's own store; and how results leave.
//!
//! Start at [`link`] and [`mod@file`]. What they read may come from anyone, so it is treated as hostile: sizes are bounded
//! before anything is unpacked, nothing panics, and text stays text. What cannot be read becomes a [`KeepError`], whose
//! `Display` is a sentence for people. `store` and `download` need a browser and exist only there.

pub mod csv;
#[cfg(target_arch = "wasm32")]
pub mod download;
pub mod file;
pub mod homework;
pub mod link;
mod squeeze;
#[cfg(target_arch = "wasm32")]
pub mod store;

use std::fmt;

use serde::Deserialize;
use yokeline_core::job::Job;
use yokeline_core::job::input::VERSION;

/// Why a job could not be read, kept or handed over. `Display` says it to people.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum KeepError {
    /// The fragment is not one that holds a job; a page's own `#heading` is such a one.
    NoJobInLink,
    /// The fragment is longer than is read.
    LinkTooLong {
        /// Its length.
        characters: usize,
        /// The longest that is read.
        longest: usize,
    },
    /// The fragment is cut off or altered: its characters do not unpack, or the checksum does not fit.
    LinkDamaged,
    /// The fragment unpacks to more than any job that fits in a link.
    LinkSwells {
        /// The most that is unpacked, in bytes.
        longest: usize,
    },
    /// The fragment is whole, but something in it does not belong in a job.
    LinkMisread {
        /// What the reader of the format said, in English.
        reason: String,
    },
    /// The job was written by a release that this one would misunderstand.
    LaterRelease {
        /// The version found.
        version: u64,
        /// The newest version that this release reads.
        newest: u64,
    },
    /// The file is longer than is read.
    FileTooLong {
        /// Its length.
        bytes: usize,
        /// The longest that is read.
        longest: usize,
    },
    /// The text is something else.
    NotAJob(Found),
    /// The text begins as a job file and then breaks the rules of JSON, or ends too early.
    FileBroken {
        /// The line, from 1.
        line: usize,
        /// The place in the line, from 1.
        column: usize,
        /// Whether the text simply ends too early.
        cut_off: bool,
    },
    /// The text is a job file, but something in it does not belong there.
    FileMisread {
        /// The line, from 1.
        line: usize,
        /// The place in the line, from 1.
        column: usize,
        /// What the reader of the format said, in English.
        reason: String,
    },
    /// The browser does not let this page keep anything.
    StoreBlocked,
    /// The browser's store for this page is full.
    StoreFull,
    /// The browser did not let this page hand over a file.
    DownloadRefused,
}

/// What was found where a job was expected.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Found {
    /// No text, or only blanks.
    Nothing,
    /// Bytes that are not text: a picture, a spreadsheet, an archive.
    NotText,
    /// A web page or other markup.
    Markup,
    /// Text that is not JSON: most likely a table.
    PlainText,
    /// A JSON list.
    List,
    /// A single JSON value: a number, a quoted text, true, false or null.
    SingleValue,
    /// What this program found in a job, rather than the job.
    Analysis,
    /// A JSON object without a table, and the names of its first fields.
    OtherFields(Vec<String>),
}

impl fmt::Display for KeepError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoJobInLink => write!(
                f,
                "This link holds neither a job nor a task. Such a link has “#j1.” or “#h1.” after the page's address, and \
                 then a run of letters and digits."
            ),
            Self::LinkTooLong {
                characters,
                longest,
            } => write!(
                f,
                "This link is {characters} characters long; links up to {longest} characters are read. Ask for the job \
                 as a file instead."
            ),
            Self::LinkDamaged => write!(
                f,
                "This link is damaged: most often its end was cut off on the way. Copy the whole link again, or ask for \
                 the job as a file."
            ),
            Self::LinkSwells { longest } => write!(
                f,
                "This link unpacks to more than {longest} bytes, which is more than any job that is shared by link. \
                 Ask for the job as a file instead."
            ),
            Self::LinkMisread { reason } => write!(
                f,
                "This link holds something that does not belong in a job ({reason}). It may have been made by a newer \
                 version of this page: reload the page and open the link again."
            ),
            Self::LaterRelease { version, newest } => write!(
                f,
                "This job was saved by a newer version of this page (its format is {version}; this page reads formats up \
                 to {newest}). Reload the page to get its newest version, then open the job again."
            ),
            Self::FileTooLong { bytes, longest } => {
                write!(
                    f,
                    "This file is {bytes} bytes long; job files up to {longest} bytes are read."
                )
            }
            Self::NotAJob(found) => {
                write!(
                    f,
                    "This is not a job file: {found}. A job file is the .json file that this page saves."
                )
            }
            Self::FileBroken { cut_off: true, .. } => {
                write!(
                    f,
                    "This job file ends too early: part of it is missing. Save or download it again."
                )
            }
            Self::FileBroken { line, column, .. } => write!(
                f,
                "This job file is damaged at line {line}, place {column}: what stands there is not JSON. If it was \
                 changed by hand, look for a missing comma or quotation mark just before that place."
            ),
            Self::FileMisread {
                line,
                column,
                reason,
            } => write!(
                f,
                "This job file has something at line {line}, place {column} that does not belong in a job ({reason})."
            ),
            Self::StoreBlocked => write!(
                f,
                "The browser does not let this page keep your work, so it will be gone when the page is closed. Save the \
                 job as a file if you want it again."
            ),
            Self::StoreFull => write!(
                f,
                "The browser has no room to keep this work, so it will be gone when the page is closed. Save the job as \
                 a file if you want it again."
            ),
            Self::DownloadRefused => write!(
                f,
                "The browser did not let this page save the file. Check whether downloads are blocked for this page."
            ),
        }
    }
}

impl std::error::Error for KeepError {}

impl fmt::Display for Found {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nothing => write!(f, "it is empty"),
            Self::NotText => write!(
                f,
                "it is not text (a picture, a spreadsheet or an archive, perhaps). From a spreadsheet, copy the cells \
                 and paste them, or save them as CSV and open that"
            ),
            Self::Markup => write!(f, "it is a web page or other markup"),
            Self::PlainText => write!(
                f,
                "it is plain text. If it is a table of readings, paste it into the page"
            ),
            Self::List => write!(f, "it is JSON, but a list"),
            Self::SingleValue => write!(f, "it is JSON, but a single value"),
            Self::Analysis => write!(
                f,
                "it holds the results of a job (an analysis), not what was typed"
            ),
            Self::OtherFields(names) if names.is_empty() => {
                write!(f, "it is JSON, but without any field")
            }
            Self::OtherFields(names) => {
                write!(f, "it is JSON, but has no “table”; its fields begin with ")?;
                for (i, name) in names.iter().enumerate() {
                    let comma = if i == 0 { "" } else { ", " };
                    write!(f, "{comma}“{name}”")?;
                }
                Ok(())
            }
        }
    }
}

/// Refuses the JSON of a job whose shape is of a version after [`VERSION`]. Anything else is left to the full reader,
/// which has a better place to complain about it.
fn refuse_later_version(json: &str) -> Result<(), KeepError> {
    match serde_json::from_str::<Head>(json) {
        Ok(head) => head.refuse_later_version(),
        Err(_) => Ok(()),
    }
}

/// What is looked at in a job before the rest of it is read.
#[derive(Deserialize)]
struct Head {
    #[serde(default)]
    version: u64,
}

impl Head {
    fn refuse_later_version(&self) -> Result<(), KeepError> {
        let (version, newest) = (self.version, u64::from(VERSION));
        if version > newest {
            return Err(KeepError::LaterRelease { version, newest });
        }
        Ok(())
    }
}

/// Reads the JSON of a job: unknown fields are ignored, missing ones have their defaults.
fn parse_job(json: &str) -> Result<Job, serde_json::Error> {
    serde_json::from_str(json)
}

/// What serde_json said, without the place, and short: it may quote what it found at any length.
fn reason(error: &serde_json::Error) -> String {
    let said = error.to_string();
    let place = format!(" at line {} column {}", error.line(), error.column());
    shortened(said.strip_suffix(&place).unwrap_or(&said), 160)
}

/// At most `longest` characters of `text`, on one line, with an ellipsis when something was left out.
fn shortened(text: &str, longest: usize) -> String {
    let mut short: String = text
        .chars()
        .take(longest)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if text.chars().nth(longest).is_some() {
        short.push('…');
    }
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_error_is_a_sentence() {
        let errors = [
            KeepError::NoJobInLink,
            KeepError::LinkTooLong {
                characters: 3,
                longest: 2,
            },
            KeepError::LinkDamaged,
            KeepError::LinkSwells { longest: 2 },
            KeepError::LinkMisread {
                reason: "x".to_owned(),
            },
            KeepError::LaterRelease {
                version: 3,
                newest: 2,
            },
            KeepError::FileTooLong {
                bytes: 3,
                longest: 2,
            },
            KeepError::NotAJob(Found::Nothing),
            KeepError::NotAJob(Found::NotText),
            KeepError::NotAJob(Found::OtherFields(vec!["a".to_owned(), "b".to_owned()])),
            KeepError::FileBroken {
                line: 1,
                column: 2,
                cut_off: false,
            },
            KeepError::FileBroken {
                line: 1,
                column: 2,
                cut_off: true,
            },
            KeepError::FileMisread {
                line: 1,
                column: 2,
                reason: "x".to_owned(),
            },
            KeepError::StoreBlocked,
            KeepError::StoreFull,
            KeepError::DownloadRefused,
        ];
        for error in errors {
            let said = error.to_string();
            assert!(said.starts_with("Th") && said.ends_with('.'), "{said}");
            assert!(!said.contains("  ") && !said.contains('\n'), "{said}");
        }
    }

    #[test]
    fn a_long_reason_is_cut_and_kept_on_one_line() {
        assert_eq!(shortened("a\nb\tc", 10), "a b c");
        assert_eq!(shortened("ééé", 2), "éé…");
        assert_eq!(shortened("ééé", 3), "ééé");
    }
}
