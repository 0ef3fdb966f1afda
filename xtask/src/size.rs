//! `cargo xtask size`: what a first visit downloads, compressed, held to its budget.
//!
//! The page is over that budget as it stands. So that it does not grow further unseen while it is being brought down,
//! `cargo xtask size --no-growth` holds it to [`Limits::REACHED`] instead; lower those when the page shrinks.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use flate2::Compression;
use flate2::write::GzEncoder;

use crate::build::build;
use crate::bundle::COPY;
use crate::workspace::Workspace;

/// Most compressed bytes that are let pass.
#[derive(Clone, Copy, Debug)]
pub struct Limits {
    wasm_bytes: usize,
    total_bytes: usize,
}

impl Limits {
    /// What is wanted.
    pub const BUDGET: Limits = Limits {
        wasm_bytes: 150 * 1024,
        total_bytes: 200 * 1024,
    };

    /// What was reached last, with room for the difference between compilers. Raised from 540 and 563 KiB for the plan
    /// before the lesson, homework links with their codes, and groups in a class; to be lowered when the page shrinks.
    pub const REACHED: Limits = Limits {
        wasm_bytes: 646 * 1024,
        total_bytes: 689 * 1024,
    };
}

/// One file of dist/ and its sizes in bytes.
struct Part {
    name: String,
    plain_bytes: usize,
    gzip_bytes: usize,
}

/// Builds the page and prints the size of each part beside the budget; fails when `limits` are passed.
pub fn size(workspace: &Workspace, limits: Limits) -> Result<(), String> {
    build(workspace)?;
    let (copy, parts): (Vec<Part>, Vec<Part>) = measure(&workspace.dist())?
        .into_iter()
        .partition(|part| part.name == COPY);
    print!("{}", table(&parts));
    for Part {
        name,
        plain_bytes,
        gzip_bytes,
    } in copy
    {
        println!(
            "\nBeside it, for whoever asks for it: {name}, {plain_bytes} bytes, {gzip_bytes} compressed."
        );
    }
    within(limits, &parts)
}

/// All files below a folder, the largest download first.
fn measure(dist: &Path) -> Result<Vec<Part>, String> {
    let mut parts = Vec::new();
    for path in files_below(dist)? {
        let content = fs::read(&path).map_err(|error| unreadable(&path, &error))?;
        parts.push(Part {
            name: path
                .strip_prefix(dist)
                .unwrap_or(&path)
                .display()
                .to_string(),
            plain_bytes: content.len(),
            gzip_bytes: gzip_bytes(&content)?,
        });
    }
    parts.sort_by(|a, b| b.gzip_bytes.cmp(&a.gzip_bytes).then(a.name.cmp(&b.name)));
    Ok(parts)
}

fn files_below(folder: &Path) -> Result<Vec<PathBuf>, String> {
    let mut files = Vec::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(folder) = folders.pop() {
        let entries = fs::read_dir(&folder).map_err(|error| unreadable(&folder, &error))?;
        for entry in entries {
            let path = entry.map_err(|error| unreadable(&folder, &error))?.path();
            if path.is_dir() {
                folders.push(path);
            } else {
                files.push(path);
            }
        }
    }
    Ok(files)
}

/// The size at gzip's best level: that of `gzip -9 --no-name` to within a percent.
fn gzip_bytes(content: &[u8]) -> Result<usize, String> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
    encoder
        .write_all(content)
        .and_then(|()| encoder.finish())
        .map(|compressed| compressed.len())
        .map_err(|error| format!("A file could not be compressed: {error}."))
}

fn table(parts: &[Part]) -> String {
    let mut text = format!("{:>10} {:>10}  {}\n", "bytes", "gzip -9", "part of dist/");
    for part in parts {
        let Part {
            name,
            plain_bytes,
            gzip_bytes,
        } = part;
        text += &format!("{plain_bytes:>10} {gzip_bytes:>10}  {name}\n");
    }
    let plain_bytes: usize = parts.iter().map(|part| part.plain_bytes).sum();
    let [wasm, all] = [wasm_bytes(parts), total_bytes(parts)];
    text += &format!("{plain_bytes:>10} {all:>10}  all that a first visit downloads\n\n");
    text += &format!(
        "wasm:  {} of {}\n",
        kib(wasm),
        kib(Limits::BUDGET.wasm_bytes)
    );
    text += &format!(
        "total: {} of {}\n",
        kib(all),
        kib(Limits::BUDGET.total_bytes)
    );
    text
}

fn within(limits: Limits, parts: &[Part]) -> Result<(), String> {
    if parts.iter().all(|part| !is_wasm(part)) {
        return Err("dist/ holds no wasm: the build is not whole.".into());
    }
    for (what, bytes, limit) in [
        ("The wasm", wasm_bytes(parts), limits.wasm_bytes),
        ("A first visit", total_bytes(parts), limits.total_bytes),
    ] {
        if bytes > limit {
            return Err(format!(
                "{what} is too large: {} compressed, and {} is the limit.",
                kib(bytes),
                kib(limit)
            ));
        }
    }
    Ok(())
}

fn wasm_bytes(parts: &[Part]) -> usize {
    let wasm = parts.iter().filter(|part| is_wasm(part));
    wasm.map(|part| part.gzip_bytes).sum()
}

fn total_bytes(parts: &[Part]) -> usize {
    parts.iter().map(|part| part.gzip_bytes).sum()
}

fn is_wasm(part: &Part) -> bool {
    part.name.ends_with(".wasm")
}

fn kib(bytes: usize) -> String {
    format!("{:.1} KiB", bytes as f64 / 1024.0)
}

fn unreadable(path: &Path, error: &std::io::Error) -> String {
    format!("{} cannot be read: {error}.", path.display())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(name: &str, gzip_bytes: usize) -> Part {
        Part {
            name: name.into(),
            plain_bytes: 2 * gzip_bytes,
            gzip_bytes,
        }
    }

    #[test]
    fn budgets_hold_up_to_their_last_byte() {
        let full = [part("a.wasm", 150 * 1024), part("index.html", 50 * 1024)];
        assert_eq!(within(Limits::BUDGET, &full), Ok(()));

        let wasm_over = [part("a.wasm", 150 * 1024 + 1)];
        assert!(
            within(Limits::BUDGET, &wasm_over)
                .is_err_and(|problem| problem.starts_with("The wasm"))
        );

        let total_over = [part("a.wasm", 1), part("index.html", 200 * 1024)];
        assert!(
            within(Limits::BUDGET, &total_over)
                .is_err_and(|problem| problem.starts_with("A first visit"))
        );
    }

    #[test]
    fn a_build_without_wasm_is_refused() {
        assert!(within(Limits::BUDGET, &[part("index.html", 10)]).is_err());
    }

    #[test]
    fn the_table_names_each_part_and_the_sum() {
        let text = table(&[part("a.wasm", 2048), part("index.html", 1024)]);
        assert!(text.contains("4096       2048  a.wasm"), "{text}");
        assert!(text.contains("6144       3072  all that"), "{text}");
        assert!(text.contains("total: 3.0 KiB of 200.0 KiB"), "{text}");
    }

    #[test]
    fn repetition_compresses() {
        let bytes = gzip_bytes(&[b'x'; 10_000]).expect("memory takes any bytes");
        assert!((20..100).contains(&bytes), "{bytes}");
    }
}
