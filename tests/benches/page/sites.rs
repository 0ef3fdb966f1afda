//! The pages that are timed: ours as it is built, and two that are put together from libraries.

use std::fmt::Write as _;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use flate2::Compression;
use flate2::write::GzEncoder;
use yokeline_tests::browser::engine::told;
use yokeline_tests::browser::server::Site;

/// Ours and the others, each served.
pub struct Made {
    pub ours: Timed,
    others: Vec<Timed>,
}

/// A page that is timed.
pub struct Timed {
    pub name: &'static str,
    pub address: String,
    /// Where its answer stands.
    pub answer: &'static str,
    /// What puts a table of its own, `arguments[0]`, in the place of what it shows at first.
    pub ready: &'static str,
    /// What changes its second reading to `arguments[0]`.
    pub edit: &'static str,
    _site: Site,
}

/// A page from libraries: its name, and the scripts of the libraries.
const ASSEMBLED: [(&str, &[&str]); 2] = [
    (
        "papaparse, simple-statistics, chart.js",
        &[
            "papaparse.min.js",
            "simple-statistics.min.js",
            "chart.umd.min.js",
        ],
    ),
    (
        "papaparse, simple-statistics, uplot",
        &[
            "papaparse.min.js",
            "simple-statistics.min.js",
            "uPlot.iife.min.js",
        ],
    ),
];

impl Made {
    /// Puts the pages into folders of their own and serves them, packed as hosts do.
    pub fn in_folder(folder: &Path) -> Self {
        let ours = folder.join("ours");
        let files = fs::read_dir(told("YOKELINE_DIST")).expect("the built page");
        copy(files.map(|file| file.expect("a file").path()), &ours);
        let others = ASSEMBLED
            .iter()
            .enumerate()
            .map(|(number, (name, libraries))| {
                let page = folder.join(format!("assembled-{number}"));
                assemble(libraries, &page);
                Timed::of(
                    name,
                    &page,
                    [
                        "#answer",
                        "paste(arguments[0])",
                        "{ const box = document.getElementById('box');
                       const lines = box.value.split('\\n');
                       lines[2] = lines[2].split('\\t')[0] + '\\t' + arguments[0];
                       type('box', lines.join('\\n')); }",
                    ],
                )
            })
            .collect();
        Made {
            ours: Timed::of(
                "Yokeline",
                &ours,
                [
                    "#answer-value",
                    "paste(arguments[0]); type('length', '5.0 cm')",
                    "type('cell-2-2', arguments[0])",
                ],
            ),
            others,
        }
    }

    /// Ours first.
    pub fn sites(&self) -> impl Iterator<Item = &Timed> {
        std::iter::once(&self.ours).chain(&self.others)
    }
}

impl Timed {
    fn of(name: &'static str, folder: &Path, [answer, ready, edit]: [&'static str; 3]) -> Self {
        pack(folder);
        let site = Site::serving(folder.to_path_buf()).expect("a free port");
        Timed {
            name,
            address: site.page(),
            answer,
            ready,
            edit,
            _site: site,
        }
    }
}

fn assemble(libraries: &[&str], page: &Path) {
    let brought = std::env::var_os("YOKELINE_LIBRARIES").expect("`cargo xtask bench` brings them");
    let brought = std::env::split_paths(&brought).filter(|path| {
        let name = path.file_name().map(|name| name.to_string_lossy());
        name.is_some_and(|name| libraries.contains(&&*name))
    });
    copy(brought, page);
    let mut scripts = String::new();
    for file in libraries {
        let _ = writeln!(scripts, "<script src=\"{file}\"></script>");
    }
    let html = include_str!("assembled.html").replace("<!-- scripts -->", &scripts);
    fs::write(page.join("index.html"), html).expect("the page");
    fs::write(page.join("assembled.js"), include_str!("assembled.js")).expect("its script");
}

fn copy(files: impl Iterator<Item = PathBuf>, folder: &Path) {
    fs::create_dir_all(folder).expect("a folder");
    for file in files {
        let name = file.file_name().expect("a name");
        fs::copy(&file, folder.join(name))
            .unwrap_or_else(|error| panic!("{}: {error}", file.display()));
    }
}

/// Puts beside every file the same compressed.
fn pack(folder: &Path) {
    for file in fs::read_dir(folder).expect("the folder") {
        let path = file.expect("a file").path();
        let mut packer = GzEncoder::new(Vec::new(), Compression::best());
        packer
            .write_all(&fs::read(&path).expect("the file"))
            .expect("memory takes any bytes");
        let packed = packer.finish().expect("memory takes any bytes");
        fs::write(path.with_added_extension("gz"), packed).expect("the packed file");
    }
}

/// A table of that many rows; those of another turn differ.
pub fn table_of(rows: usize, turn: usize) -> String {
    let mut text = String::from("I / A\tm / g\n");
    for row in 0..rows {
        let current = (row + 1) as f64 * 7.5 / rows as f64;
        let stray = ((row * 7919) % 101) as f64 / 50.0 - 1.0;
        let reading = (0.333 + 0.02 * turn as f64) * current + 0.005 * stray;
        let _ = writeln!(text, "{current:.5}\t{reading:.2}");
    }
    text
}

/// A class's answers: right ones, slips, and arithmetic gone wrong.
pub fn class_of(students: usize, turn: usize) -> String {
    let mut text = String::from("Name\tGradient / g/A\tB / mT\tUncertainty / mT\n");
    for student in 0..students {
        let gradient = 0.16 + 0.0005 * ((student + turn) % 20) as f64;
        let b = [33.2, 33200.0, 0.332, 49.0][student % 4] + 0.01 * (student % 7) as f64;
        let _ = writeln!(text, "S{student}\t{gradient:.4}\t{b:.3}\t1.2");
    }
    text
}
