//! `cargo xtask bench`: how long the analysis takes, beside what it may take, and how long the page takes in a browser,
//! beside what general-purpose libraries take.

use std::env;
use std::ffi::OsString;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use crate::browser::Browser;
use crate::build::build;
use crate::npm;
use crate::run::{cargo, printed, run, step};
use crate::workspace::Workspace;

/// What the whole way may take, in nanoseconds, by the name of its measurement in `core/benches/analyse.rs`.
const BUDGETS: [(&str, f64); 3] = [
    ("analyse 15 rows", 100e3),
    ("analyse 100000 rows", 100e6),
    ("analyse 100000 rows, no line", 100e6),
];

/// What a page author would otherwise put together: a parser, a regression and two charts.
const LIBRARIES: [(&str, &str, &str); 4] = [
    ("papaparse", "5.7.1", "papaparse.min.js"),
    (
        "simple-statistics",
        "7.12.1",
        "dist/simple-statistics.min.js",
    ),
    ("chart.js", "4.6.1", "dist/chart.umd.min.js"),
    ("uplot", "1.6.32", "dist/uPlot.iife.min.js"),
];

/// Measures the core and then the page; `page` asks for the page alone, any other argument for the measurements of the
/// core with that in their name.
///
/// # Errors
/// When something cannot be built or run.
pub fn bench(workspace: &Workspace, arguments: &[String]) -> Result<(), String> {
    let page_alone = arguments == ["page"];
    if !page_alone {
        bench_core(workspace, arguments)?;
    }
    if page_alone || arguments.is_empty() {
        bench_page(workspace)?;
    }
    Ok(())
}

/// Measures the page in Chromium, and writes the table that the project keeps.
fn bench_page(workspace: &Workspace) -> Result<(), String> {
    build(workspace)?;
    let libraries = libraries()?;
    let browser = Browser::ensure(workspace)?;
    let chromium = browser.first().ok_or("There is no browser.")?;
    step("Timing the page (about ten minutes)", || {
        let mut timing = cargo(workspace);
        timing
            .args(["bench", "--package", "yokeline-tests", "--bench", "page"])
            .env("YOKELINE_DIST", workspace.dist())
            .env("YOKELINE_LIBRARIES", &libraries)
            .env(
                "YOKELINE_BENCH_FILE",
                workspace.root().join("docs/speed.md"),
            )
            .envs(chromium.programs.iter().map(|(name, path)| (name, path)));
        run(&mut timing)
    })
}

/// The libraries' scripts, brought by npm, as one list of paths.
fn libraries() -> Result<OsString, String> {
    let scripts = LIBRARIES.iter().map(|(package, version, script)| {
        npm::installed(package, version, &format!("{package}/{script}"))
    });
    let scripts: Vec<PathBuf> = scripts.collect::<Result<_, String>>()?;
    env::join_paths(scripts).map_err(|error| format!("The paths of the libraries: {error}."))
}

/// Measures the core natively and prints one line for each measurement; arguments go on to the measuring program,
/// so that a part of a name picks some of them.
///
/// # Errors
/// When it cannot be built or run, or prints nothing that can be read. A budget that is passed is shown and is no error:
/// how long a thing takes is the machine's business too.
fn bench_core(workspace: &Workspace, arguments: &[String]) -> Result<(), String> {
    let output = step("Measuring (about a minute)", || {
        printed(measuring(workspace).args(arguments))
    })?;
    let measured: Vec<(&str, f64)> = output.lines().filter_map(measurement).collect();
    if measured.is_empty() {
        return Err("Nothing was measured: is there a measurement of that name?".into());
    }
    let widest = measured.iter().map(|(name, _)| name.len()).max();
    let width = widest.unwrap_or(0);
    println!("{:width$} {:>10} {:>10}", "", "taken", "budget");
    for (name, nanoseconds) in measured {
        let budget = BUDGETS.iter().find(|(of, _)| *of == name);
        let beside = budget.map_or(String::new(), |(_, most)| {
            let verdict = if nanoseconds > *most { "  over" } else { "" };
            format!(" {:>10}{verdict}", in_words(*most))
        });
        println!("{name:width$} {:>10}{beside}", in_words(nanoseconds));
    }
    Ok(())
}

fn measuring(workspace: &Workspace) -> Command {
    let mut command = cargo(workspace);
    command
        .args(["bench", "--package", "yokeline-core", "--bench", "analyse"])
        .args(["--", "--output-format", "bencher"])
        .stdin(Stdio::null());
    command
}

/// The name and the nanoseconds in a line such as `test analyse 15 rows ... bench:  69668 ns/iter (+/- 1200)`.
fn measurement(line: &str) -> Option<(&str, f64)> {
    let (name, result) = line.strip_prefix("test ")?.split_once(" ... bench:")?;
    let (nanoseconds, _) = result.split_once("ns/iter")?;
    let nanoseconds = nanoseconds.trim().replace(',', "");
    Some((name, nanoseconds.parse().ok()?))
}

fn in_words(nanoseconds: f64) -> String {
    if nanoseconds < 1e6 {
        format!("{:.1} µs", nanoseconds / 1e3)
    } else {
        format!("{:.1} ms", nanoseconds / 1e6)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_of_measurement_is_read() {
        let line = "test stage table::read, no line ... bench:    33,720,141 ns/iter (+/- 1886)";
        assert_eq!(
            measurement(line),
            Some(("stage table::read, no line", 33_720_141.0))
        );
        assert_eq!(measurement("Benchmarking analyse 15 rows"), None);
    }

    #[test]
    fn durations_read_well() {
        assert_eq!(in_words(69_668.0), "69.7 µs");
        assert_eq!(in_words(100e6), "100.0 ms");
    }
}
