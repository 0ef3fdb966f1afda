//! `cargo xtask check`: formatting, lints and documentation, with warnings denied.

use crate::run::{cargo, run, step};
use crate::wasm_target::{WASM_TARGET, WasmCompiler};
use crate::workspace::Workspace;

/// Checks what a compiler and a formatter can see, natively and for the browser.
pub fn check(workspace: &Workspace) -> Result<(), String> {
    step("Checking the formatting", || {
        run(cargo(workspace).args(["fmt", "--all", "--check"]))
    })?;
    step("Linting for this machine", || {
        run(cargo(workspace)
            .args(["clippy", "--workspace", "--all-targets"])
            .args(["--", "-D", "warnings"]))
    })?;
    let compiler = WasmCompiler::ensure()?;
    let mut linter = compiler.linter(workspace)?;
    step("Linting for the browser", || {
        run(linter
            .args(["--package", "yokeline-web", "--target", WASM_TARGET])
            // The build's own profile: a standard library built for the page then serves here too.
            .args(["--profile", "web"])
            .args(["--", "-D", "warnings"]))
    })?;
    step("Checking the documentation", || {
        run(cargo(workspace)
            .args(["doc", "--workspace", "--no-deps"])
            .env("RUSTDOCFLAGS", "-D warnings"))
    })
}
