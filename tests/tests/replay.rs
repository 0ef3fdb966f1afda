//! The kept inputs of the fuzz targets, each held to the same promises: see `src/hostile`.

use std::fs;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use yokeline_tests::hostile::{TARGETS, run};

/// What the corpus of a target may grow to: it is replayed by everybody, and kept for ever.
const MOST_FILES: usize = 60;
const MOST_BYTES: usize = 200_000;

/// No input of a few kilobytes may hold the page up so long, even in a slow build on a busy machine.
const LONGEST: Duration = Duration::from_secs(10);

/// Names and bytes of what is kept for a target, in the order of the names.
fn kept(target: &str) -> Vec<(String, Vec<u8>)> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("../fuzz/corpus")
        .join(target);
    let entries =
        fs::read_dir(&folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    let mut files: Vec<(String, Vec<u8>)> = entries
        .map(|entry| {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, fs::read(path).unwrap())
        })
        .collect();
    files.sort();
    files
}

#[test]
fn what_was_once_made_up_breaks_no_promise() {
    for (target, _) in TARGETS {
        for (name, data) in kept(target) {
            let began = Instant::now();
            println!("{target}/{name}");
            run(target, &data);
            assert!(
                began.elapsed() < LONGEST,
                "{target}/{name} took {:?}",
                began.elapsed()
            );
        }
    }
}

#[test]
fn every_target_has_a_small_corpus() {
    for (target, _) in TARGETS {
        let files = kept(target);
        let bytes: usize = files.iter().map(|(_, data)| data.len()).sum();
        assert!(
            (1..=MOST_FILES).contains(&files.len()),
            "{target}: {} files",
            files.len()
        );
        assert!(bytes <= MOST_BYTES, "{target}: {bytes} bytes");
    }
}
