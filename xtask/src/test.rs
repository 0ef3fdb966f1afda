//! `cargo xtask test`: every test there is, those in a browser included.

use crate::browser::Browser;
use crate::build::build;
use crate::npm;
use crate::run::{cargo, run, step};
use crate::workspace::Workspace;

/// The rules of accessibility that the browser tests hold the page to.
const AXE_VERSION: &str = "4.14.1";

/// Builds the page, finds the browser and runs all tests; `arguments` go on to `cargo test`.
///
/// The tests read where things are from the environment: YOKELINE_DIST is the built page,
/// CHROMIUM and CHROMEDRIVER are the two programs,
/// YOKELINE_AXE is the script of axe-core.
pub fn test(workspace: &Workspace, arguments: &[String]) -> Result<(), String> {
    build(workspace)?;
    let browser = Browser::ensure()?;
    let axe = npm::installed("axe-core", AXE_VERSION, "axe-core/axe.min.js")?;
    step("Running the tests", || {
        run(cargo(workspace)
            .args(["test", "--workspace"])
            .args(arguments)
            .env("YOKELINE_DIST", workspace.dist())
            .env("CHROMIUM", &browser.chromium)
            .env("CHROMEDRIVER", &browser.chromedriver)
            .env("YOKELINE_AXE", &axe))
    })
}
