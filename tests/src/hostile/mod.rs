//! What must hold of input from anyone: the bodies of the fuzz targets under `fuzz/`, which `tests/replay.rs` runs on the
//! kept inputs of `fuzz/corpus` too.
//!
//! Start at [`TARGETS`]. Each body takes bytes, reads them as one of the page's ways in does, and panics where a promise
//! is broken: a number that is not finite, a note beyond the table, a job that does not come back from its own link,
//! markup that got through, or two answers to one question.

mod class;
mod figures;
mod html;
mod job;
mod link;
mod page;
mod table;

use std::borrow::Cow;
use std::fmt::Debug;

use yokeline_core::job::{Analysis, Job, Working, work};

/// What is done with the bytes of one input.
pub type Body = fn(&[u8]);

/// The targets: the name of each, which is that of its corpus too, and its body.
pub const TARGETS: [(&str, Body); 7] = [
    ("class", class::class),
    ("figures", figures::figures),
    ("html", html::html),
    ("job", job::job),
    ("link", link::link),
    ("page", page::page),
    ("table", table::table),
];

/// Runs the body of that name.
///
/// # Panics
/// When there is none of that name, or the body found a broken promise.
pub fn run(target: &str, data: &[u8]) {
    let body = TARGETS.iter().find(|(name, _)| *name == target);
    let (_, body) = body.unwrap_or_else(|| panic!("there is no target {target}"));
    body(data);
}

/// The bytes as text: what is no UTF-8 becomes replacement characters, as it does in a browser.
fn text(data: &[u8]) -> Cow<'_, str> {
    String::from_utf8_lossy(data)
}

/// A first line of few characters that chooses, and the text after it: `c1` in `"c1\nI / A"`. The choice is empty where
/// there is no such line.
fn choosing(text: &str) -> (&[u8], &str) {
    match text.split_once('\n') {
        Some((choice, rest)) if choice.len() <= 12 => (choice.as_bytes(), rest),
        _ => (b"", text),
    }
}

/// One of `all`, by the letter at that place of the choice; the first where there is no letter.
fn chosen<T: Copy>(choice: &[u8], place: usize, all: &[T]) -> T {
    let letter = choice.get(place).copied().unwrap_or(b'a');
    all[usize::from(letter.wrapping_sub(b'a')) % all.len()]
}

/// Works a job out and asserts what must hold of any analysis.
fn analysed(job: &Job) -> (Working, Analysis) {
    let working = work(job);
    let analysis = working.analysis();
    finite("the analysis", &analysis);
    let json = serde_json::to_string(&analysis).expect("an analysis is always JSON");
    let again = serde_json::to_string(&work(job).analysis()).expect("an analysis is always JSON");
    assert_eq!(json, again, "one job, two analyses");
    let (rows, columns) = (working.table.rows, working.table.columns.len());
    for note in &analysis.notes {
        // Notes of a probe's walk count the walk's rows.
        if note.field.is_none() {
            assert!(
                note.row.is_none_or(|row| (1..=rows).contains(&row)),
                "{note:?}"
            );
            assert!(
                note.column
                    .is_none_or(|column| (1..=columns).contains(&column)),
                "{note:?}"
            );
        }
        assert_short("a note", &note.text);
    }
    for point in &analysis.points {
        assert!((1..=rows).contains(&point.row), "{point:?}");
        assert!(point.family < analysis.families.len(), "{point:?}");
    }
    for finding in &analysis.findings {
        assert_short("a finding", &finding.text);
    }
    (working, analysis)
}

/// A sentence for people says little of what was typed, however much that was.
fn assert_short(what: &str, sentence: &str) {
    let characters = sentence.chars().count();
    assert!(
        characters < 2_000,
        "{what} of {characters} characters: {sentence}"
    );
}

/// Asserts that no number in it is infinite or none at all.
fn finite(what: &str, value: &impl Debug) {
    let shown = format!("{value:?}");
    if let Some(place) = not_finite(&shown) {
        let from = shown[..place]
            .char_indices()
            .rev()
            .take(80)
            .last()
            .map_or(0, |(at, _)| at);
        panic!(
            "{what} holds a number that is not finite: {}",
            &shown[from..place + 3]
        );
    }
}

/// Where in a `Debug` text, outside of quoted texts, a number stands that is not finite.
fn not_finite(shown: &str) -> Option<usize> {
    let bytes = shown.as_bytes();
    let (mut at, mut quoted) = (0, false);
    while at < bytes.len() {
        match bytes[at] {
            b'\\' if quoted => at += 1,
            b'"' => quoted = !quoted,
            _ if quoted => {}
            b'N' | b'i' => {
                let rest = &bytes[at..];
                let begins = at == 0 || !is_of_word(bytes[at - 1]);
                let is_one = [&b"NaN"[..], b"inf"].iter().any(|word| {
                    rest.starts_with(word) && !rest.get(3).is_some_and(|b| is_of_word(*b))
                });
                if begins && is_one {
                    return Some(at);
                }
            }
            _ => {}
        }
        at += 1;
    }
    None
}

fn is_of_word(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || byte == b'_'
}

/// Asserts that a document of ours holds nothing that runs or loads something, whatever the texts in it are.
fn inert(what: &str, html: &str) {
    for tag in tags(html) {
        let tag = tag.to_ascii_lowercase();
        let mut words = tag.split_whitespace();
        let name = words.next().unwrap_or_default();
        let runs = [
            "script",
            "img",
            "iframe",
            "object",
            "embed",
            "base",
            "form",
            "link",
            "foreignobject",
        ];
        assert!(!runs.contains(&name), "{what} holds <{tag}>");
        for attribute in words {
            let bad = attribute.starts_with("on") || attribute.contains("javascript:");
            assert!(!bad, "{what} holds <{tag}>");
        }
    }
}

/// The tags of a document, each without its brackets and with the text in its quotes left out but for an address.
fn tags(html: &str) -> Vec<String> {
    let mut tags = Vec::new();
    let mut rest = html;
    while let Some(open) = rest.find('<') {
        rest = &rest[open + 1..];
        let mut quoted = false;
        let end = rest.find(|c: char| {
            quoted ^= c == '"';
            c == '>' && !quoted
        });
        let (tag, after) = rest.split_at(end.unwrap_or(rest.len()));
        let parts = tag.split('"').enumerate();
        let kept = parts
            .filter(|(index, part)| index % 2 == 0 || part.trim_start().starts_with("javascript:"));
        tags.push(kept.map(|(_, part)| part).collect::<Vec<_>>().join(""));
        rest = after;
    }
    tags
}

/// Asserts that no cell of a CSV of ours is one that a spreadsheet would work out: numbers alone may begin with a minus.
fn no_formulas(what: &str, csv: &str) {
    let text = csv.trim_start_matches('\u{feff}').replace("\r\n", "\n") + "\n";
    let mut characters = text.chars().peekable();
    let (mut cell, mut quoted) = (String::new(), false);
    while let Some(c) = characters.next() {
        match c {
            '"' if quoted && characters.next_if_eq(&'"').is_some() => cell.push('"'),
            '"' => quoted = !quoted,
            ',' | '\n' if !quoted => {
                let begins = cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']);
                assert!(
                    !begins || cell.parse::<f64>().is_ok(),
                    "{what} holds the cell {cell:?}"
                );
                cell.clear();
            }
            c => cell.push(c),
        }
    }
    assert!(!quoted, "{what} ends within quotes");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_that_are_not_finite_are_seen_outside_of_texts() {
        for fine in [&[1.0, -2.5e300][..], &[]] {
            finite("", &fine);
        }
        finite("", &("NaN", "say \"inf\"", 'x', Some(1.5)));
        assert!(not_finite(&format!("{:?}", Some(f64::NAN))).is_some());
        assert!(not_finite(&format!("{:?}", [1.0, f64::NEG_INFINITY])).is_some());
        assert!(not_finite("Point { info: 1, Nan: 2 }").is_none());
    }

    #[test]
    fn what_runs_in_a_document_is_seen() {
        inert(
            "",
            "<p title=\"a onload=1 > <script>\">x on=\"y\" &lt;script></p>",
        );
        for bad in [
            "<p><SCRIPT src=x></p>",
            "<p onclick=\"x\">",
            "<a href=\"javascript:x\">",
            "<p></p><img src=x>",
        ] {
            assert!(
                std::panic::catch_unwind(|| inert("", bad)).is_err(),
                "{bad}"
            );
        }
    }

    #[test]
    fn formulas_in_a_table_are_seen() {
        no_formulas("", "a,'=1,\"\"\"-x\",\"b,=c\n=d\",-1.5\r\n2,\"\",x");
        for bad in ["a,=1", "\"=1+1\",b", "a\r\n-x,1"] {
            assert!(
                std::panic::catch_unwind(|| no_formulas("", bad)).is_err(),
                "{bad}"
            );
        }
    }
}
