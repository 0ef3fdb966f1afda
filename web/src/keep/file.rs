//! A job as a file: JSON with a line that says which program wrote it; and the names of all files that are handed over.
//!
//! Start at [`to_json`] and [`from_json`]. The file is a [`Job`] with one field more, so that whatever reads a job reads
//! the file as well, and a bare job can be opened like one.

use std::collections::BTreeMap;

use serde::de::IgnoredAny;
use serde::{Deserialize, Serialize};
use serde_json::error::Category;
use yokeline_core::job::Job;
use yokeline_core::job::input::Show;

use super::{Found, KeepError, parse_job, reason, refuse_later_version, shortened};

/// The longest job file that is read, in bytes: a table of 5 MB, even with every character of it escaped, fits.
pub const LONGEST: usize = 32_000_000;

/// The longest file name that is given, in characters; file systems stop at 255 bytes.
const LONGEST_NAME: usize = 60;

/// The kinds of file that are handed over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The whole job, to be opened again.
    Job,
    /// The worked sheet, with as much of it as is shown.
    Sheet(Show),
    /// The graph, as lines.
    GraphSvg,
    /// The graph, as a picture.
    GraphPng,
    /// The processed table.
    Table,
    /// A class's answers with their verdicts.
    Class,
}

impl Kind {
    /// The media type, for the browser.
    pub fn mime(self) -> &'static str {
        match self {
            Self::Job => "application/json",
            Self::Sheet(_) => "text/html;charset=utf-8",
            Self::GraphSvg => "image/svg+xml",
            Self::GraphPng => "image/png",
            Self::Table | Self::Class => "text/csv;charset=utf-8",
        }
    }

    /// How names of this kind end.
    fn ending(self) -> &'static str {
        match self {
            Self::Job => "-job.json",
            Self::Sheet(Show::Full) => "-sheet-full.html",
            Self::Sheet(Show::Answers) => "-sheet-answers.html",
            Self::Sheet(Show::Blank) => "-sheet-blank.html",
            Self::GraphSvg => "-graph.svg",
            Self::GraphPng => "-graph.png",
            Self::Table => "-table.csv",
            Self::Class => "-class.csv",
        }
    }
}

/// The job as the text of a job file.
pub fn to_json(job: &Job) -> String {
    #[derive(Serialize)]
    struct JobFile<'a> {
        program: &'static str,
        #[serde(flatten)]
        job: &'a Job,
    }
    let file = JobFile {
        program: concat!("Yokeline ", env!("CARGO_PKG_VERSION")),
        job,
    };
    serde_json::to_string_pretty(&file)
        .expect("a Job is always JSON: its keys are strings and it holds no floating-point numbers")
}

/// The job in the text of a job file, or in the JSON of a bare job.
///
/// A byte-order mark is passed over, unknown fields are ignored, and missing ones have their defaults; but a bare job
/// must have a `table`, since an object without one could be anything.
///
/// # Errors
/// [`KeepError::FileTooLong`] over [`LONGEST`]; [`KeepError::NotAJob`] with what was found instead;
/// [`KeepError::FileBroken`] where JSON ends; [`KeepError::LaterRelease`] for a job of a later version;
/// [`KeepError::FileMisread`] where a field holds what it cannot.
pub fn from_json(text: &str) -> Result<Job, KeepError> {
    if text.len() > LONGEST {
        return Err(KeepError::FileTooLong {
            bytes: text.len(),
            longest: LONGEST,
        });
    }
    let json = text.trim_start_matches(is_blank).trim_end();
    if let Some(found) = not_an_object(json) {
        return Err(KeepError::NotAJob(found));
    }
    match serde_json::from_str(json) {
        Ok(Marks {
            program: None,
            table: None,
            points,
        }) => {
            return Err(KeepError::NotAJob(match points {
                Some(IgnoredAny) => Found::Analysis,
                None => Found::OtherFields(first_fields(json)),
            }));
        }
        Ok(Marks { .. }) => {}
        Err(error) => return Err(located(&error, text, json)),
    }
    refuse_later_version(json)?;
    parse_job(json).map_err(|error| located(&error, text, json))
}

/// A safe file name for something made from this job: its title, or `yokeline`, and an ending for the kind.
///
/// Letters and digits of any script are kept; every other run of characters becomes one hyphen, so that no name leaves
/// its folder, hides, or means something to a command line. At most 60 characters.
pub fn name(job: &Job, kind: Kind) -> String {
    let ending = kind.ending();
    let room = LONGEST_NAME.saturating_sub(ending.len());
    let mut stem = String::new();
    let mut length = 0;
    let mut gap = false;
    for c in job.title.chars().filter(|c| !matches!(c, '\'' | '’')) {
        if !c.is_alphanumeric() {
            gap = length > 0;
            continue;
        }
        if length + usize::from(gap) + 1 > room {
            break;
        }
        if gap {
            stem.push('-');
            length += 1;
        }
        gap = false;
        stem.push(c);
        length += 1;
    }
    if stem.is_empty() {
        stem.push_str("yokeline");
    }
    stem + ending
}

/// The fields that tell a job file, a bare job and an analysis apart.
#[derive(Deserialize)]
struct Marks {
    program: Option<IgnoredAny>,
    table: Option<IgnoredAny>,
    points: Option<IgnoredAny>,
}

/// Whether a character in front of the JSON says nothing: a blank, or a byte-order mark.
fn is_blank(c: char) -> bool {
    c.is_whitespace() || c == '\u{feff}'
}

/// What the text is, when its beginning shows that it is no JSON object.
fn not_an_object(text: &str) -> Option<Found> {
    match text.chars().next() {
        None => Some(Found::Nothing),
        Some('{') => None,
        // Zeros and replacement characters do not occur in text: the file was something else, read as if it were.
        Some(_)
            if text.starts_with("PK\u{3}\u{4}")
                || text.chars().take(512).any(|c| c == '\0' || c == '\u{fffd}') =>
        {
            Some(Found::NotText)
        }
        Some('<') => Some(Found::Markup),
        Some('[') if serde_json::from_str::<IgnoredAny>(text).is_ok() => Some(Found::List),
        Some(_) if serde_json::from_str::<IgnoredAny>(text).is_ok() => Some(Found::SingleValue),
        Some(_) => Some(Found::PlainText),
    }
}

/// The names of the first few fields of an object, in alphabetical order.
fn first_fields(json: &str) -> Vec<String> {
    let fields: BTreeMap<String, IgnoredAny> = serde_json::from_str(json).unwrap_or_default();
    fields
        .keys()
        .take(4)
        .map(|name| shortened(name, 30))
        .collect()
}

/// The error with its line counted in the whole `text`, of which `json` is the part that was read.
fn located(error: &serde_json::Error, text: &str, json: &str) -> KeepError {
    let before = text.len() - text.trim_start_matches(is_blank).len();
    let lines_before = text.bytes().take(before).filter(|b| *b == b'\n').count();
    let line = error.line() + lines_before;
    let column = column_in_characters(error, json);
    match error.classify() {
        Category::Data => KeepError::FileMisread {
            line,
            column,
            reason: reason(error),
        },
        category => KeepError::FileBroken {
            line,
            column,
            cut_off: category == Category::Eof,
        },
    }
}

/// serde_json counts bytes; people count characters.
fn column_in_characters(error: &serde_json::Error, json: &str) -> usize {
    let line = json
        .split('\n')
        .nth(error.line().saturating_sub(1))
        .unwrap_or("");
    let bytes = error.column();
    line.char_indices()
        .take_while(|(at, _)| *at < bytes)
        .count()
        .max(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn small() -> Job {
        let mut job = Job {
            title: "Yoke <b>3</b>".to_owned(),
            table: "I / A\tm / g\r\n0,50\t0,08\n\"1,00\"\t0,17 # µ“".to_owned(),
            exclude: vec![2],
            ..Job::default()
        };
        job.apparatus.length = "5.0 cm".to_owned();
        job
    }

    #[test]
    fn a_file_says_who_wrote_it_and_comes_back() {
        let json = to_json(&small());
        assert!(json.starts_with("{\n  \"program\": \"Yokeline "), "{json}");
        assert_eq!(from_json(&json), Ok(small()));
        assert_eq!(from_json(&format!("\u{feff}\r\n{json}\n\n")), Ok(small()));
    }

    #[test]
    fn a_file_is_read_by_whatever_reads_a_job() {
        assert_eq!(
            serde_json::from_str::<Job>(&to_json(&small())).unwrap(),
            small()
        );
    }

    #[test]
    fn a_bare_job_is_read() {
        let job =
            from_json("{\"table\":\"1 2\",\"apparatus\":{\"wires\":2,\"length\":null},\"hue\":1}")
                .unwrap();
        assert_eq!(
            (job.table.as_str(), job.apparatus.wires.as_str()),
            ("1 2", "2")
        );
        assert_eq!(
            from_json(&serde_json::to_string(&small()).unwrap()),
            Ok(small())
        );
    }

    #[test]
    fn what_is_not_a_job_is_named() {
        let fields =
            |names: &[&str]| Found::OtherFields(names.iter().map(|n| (*n).to_owned()).collect());
        for (text, found) in [
            ("", Found::Nothing),
            (" \u{feff}\n", Found::Nothing),
            ("\u{feff}", Found::Nothing),
            ("PK\u{3}\u{4}\u{0}", Found::NotText),
            ("\u{fffd}PNG\r\n", Found::NotText),
            ("<!doctype html><script>alert(1)</script>", Found::Markup),
            ("I / A,m / g\n1,2", Found::PlainText),
            ("[not json", Found::PlainText),
            ("[1, 2]", Found::List),
            ("3", Found::SingleValue),
            ("\"a job\"", Found::SingleValue),
            ("{}", fields(&[])),
            ("{\"b\":1,\"a\":2}", fields(&["a", "b"])),
            ("{\"points\":[],\"best_line\":null}", Found::Analysis),
        ] {
            assert_eq!(from_json(text), Err(KeepError::NotAJob(found)), "{text:?}");
        }
    }

    #[test]
    fn a_place_is_given_as_the_reader_counts_it() {
        assert_eq!(
            from_json("\n\n{\"table\": \"1 2\",\n \"varied\": \"colour\"}"),
            Err(KeepError::FileMisread {
                line: 4,
                column: 19,
                reason: "unknown variant `colour`, expected one of `current`, `length`, `angle`, `product`".to_owned(),
            })
        );
        assert_eq!(
            from_json("{\"table\": \"µµµ\" \"x\"}"),
            Err(KeepError::FileBroken {
                line: 1,
                column: 17,
                cut_off: false
            })
        );
        let json = to_json(&small());
        for end in 1..json.len() {
            if json.is_char_boundary(end) {
                assert!(
                    matches!(
                        from_json(&json[..end]),
                        Err(KeepError::FileBroken { cut_off: true, .. })
                    ),
                    "cut at {end}"
                );
            }
        }
    }

    #[test]
    fn later_jobs_and_huge_files_are_refused() {
        assert_eq!(
            from_json("{\"version\": 2, \"table\": {\"rows\": []}}"),
            Err(KeepError::LaterRelease {
                version: 2,
                newest: 1
            })
        );
        let bytes = LONGEST + 1;
        assert_eq!(
            from_json(&" ".repeat(bytes)),
            Err(KeepError::FileTooLong {
                bytes,
                longest: LONGEST
            })
        );
    }

    #[test]
    fn names_are_safe_and_short() {
        let named = |title: &str, kind| {
            let job = Job {
                title: title.to_owned(),
                ..Job::default()
            };
            name(&job, kind)
        };
        for (title, expected) in [
            ("", "yokeline-job.json"),
            (" ../.. ", "yokeline-job.json"),
            ("../etc/passwd", "etc-passwd-job.json"),
            ("C:\\con.txt\u{0}", "C-con-txt-job.json"),
            ("Anna's  wire,\tgroup 3 ", "Annas-wire-group-3-job.json"),
            ("-rf $(x)", "rf-x-job.json"),
            (
                "Kraft auf Leiter: größer",
                "Kraft-auf-Leiter-größer-job.json",
            ),
            ("a\u{202e}gpj.exe", "a-gpj-exe-job.json"),
        ] {
            assert_eq!(named(title, Kind::Job), expected, "{title:?}");
        }
        assert_eq!(
            named("磁".repeat(99).as_str(), Kind::Sheet(Show::Full))
                .chars()
                .count(),
            LONGEST_NAME
        );
        for (show, expected) in [
            (Show::Full, "yokeline-sheet-full.html"),
            (Show::Answers, "yokeline-sheet-answers.html"),
            (Show::Blank, "yokeline-sheet-blank.html"),
        ] {
            assert_eq!(named("", Kind::Sheet(show)), expected);
        }
        let almost = format!("{} b", "a".repeat(LONGEST_NAME - "-graph.svg".len() - 1));
        assert!(named(&almost, Kind::GraphSvg).ends_with("a-graph.svg"));
    }
}
