//! Checks across the crates live in `tests/`; this library holds what they share: reading small data files and
//! comparing numbers, a browser to try the page in, and the bodies of the fuzz targets.

#[cfg(feature = "browser")]
pub mod browser;
pub mod hostile;

use std::path::PathBuf;

/// The text of a file under `tests/data`.
///
/// # Panics
/// When it cannot be read: a test without its data has failed.
pub fn data(name: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("data")
        .join(name);
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Links that were given out, from a file of them: each line a link, a tab, and as JSON what it holds; `//` begins a remark.
///
/// # Panics
/// When a line has no tab.
pub fn old_links(text: &str) -> Vec<(&str, &str)> {
    let links = text.lines().filter(|line| !line.starts_with("//"));
    links
        .map(|line| {
            line.split_once('\t')
                .expect("a link, a tab and what it holds")
        })
        .collect()
}

/// The columns of a plain CSV file of numbers with one line of headings.
///
/// # Panics
/// When the file cannot be read or a cell is not a number.
pub fn columns(name: &str) -> Vec<Vec<f64>> {
    let text = data(name);
    let mut columns: Vec<Vec<f64>> = Vec::new();
    for line in text.lines().skip(1).filter(|line| !line.trim().is_empty()) {
        for (index, cell) in line.split(',').enumerate() {
            if columns.len() <= index {
                columns.push(Vec::new());
            }
            columns[index].push(
                cell.trim()
                    .parse()
                    .unwrap_or_else(|_| panic!("{name}: “{cell}” is not a number")),
            );
        }
    }
    columns
}

/// Asserts that `found` is within `relative` of `expected`, and within as much of zero when zero is expected.
///
/// # Panics
/// When it is not, or is not a number.
#[track_caller]
pub fn close(what: &str, found: f64, expected: f64, relative: f64) {
    let scale = if expected == 0.0 { 1.0 } else { expected.abs() };
    let error = (found - expected).abs() / scale;
    assert!(
        error <= relative,
        "{what}: {found:e}, expected {expected:e}, off by {error:e}"
    );
}
