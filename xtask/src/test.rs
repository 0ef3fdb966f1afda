//! `cargo xtask test`: every test there is, those in a browser included.

use std::process::Command;

use crate::browser::Browser;
use crate::build::build;
use crate::npm;
use crate::run::{cargo, run, step};
use crate::workspace::Workspace;

/// The rules of accessibility that the browser tests hold the page to.
const AXE_VERSION: &str = "4.14.1";

/// Builds the page, finds the browsers and runs all tests, those in a browser once in each engine; `arguments` go on to
/// `cargo test`.
///
/// The tests read where things are from the environment: YOKELINE_DIST is the built page, YOKELINE_ENGINE the engine, and
/// the programs of each have a variable of their own; YOKELINE_AXE is the script of axe-core.
pub fn test(workspace: &Workspace, arguments: &[String]) -> Result<(), String> {
    build(workspace)?;
    let browsers = Browser::ensure(workspace)?;
    let axe = npm::installed("axe-core", AXE_VERSION, "axe-core/axe.min.js")?;
    let (first, others) = browsers.split_first().ok_or("There is no browser.")?;
    // Every part runs even when one before it has failed, so that one run tells everything.
    let in_the_first = step("Running the tests", || {
        let mut tests = cargo(workspace);
        tests
            .args(["test", "--workspace", "--no-fail-fast"])
            .args(arguments)
            .env("YOKELINE_AXE", &axe);
        run(in_engine(&mut tests, first, workspace))
    });
    if !arguments.is_empty() {
        // Whoever asks for some of the tests gets those, in the first engine.
        return in_the_first;
    }
    let mut outcomes = vec![in_the_first];
    for browser in others {
        let what = format!("Testing the page in {}", browser.engine);
        outcomes.push(step(&what, || {
            let mut tests = cargo(workspace);
            tests
                .args(["test", "--package", "yokeline-tests", "--test", "browser"])
                // What only Chromium's own protocol can do.
                .args(["--", "--skip", "chromium::"]);
            run(in_engine(&mut tests, browser, workspace))
        }));
    }
    outcomes.into_iter().collect()
}

fn in_engine<'a>(
    tests: &'a mut Command,
    browser: &Browser,
    workspace: &Workspace,
) -> &'a mut Command {
    tests
        .env("YOKELINE_DIST", workspace.dist())
        .env("YOKELINE_ENGINE", browser.engine)
        .envs(browser.programs.iter().map(|(name, path)| (name, path)))
}
