//! `cargo xtask check`: formatting, lints, documentation and crates, with warnings denied.

use std::process::Command;

use crate::deny::deny;
use crate::run::{answer, cargo, run, step};
use crate::wasm_target::{WASM_TARGET, WasmCompiler};
use crate::workspace::Workspace;

/// Checks what a compiler and a formatter can see, natively and for the browser.
pub fn check(workspace: &Workspace) -> Result<(), String> {
    ensure_component(workspace, "fmt", "rustfmt")?;
    ensure_component(workspace, "clippy", "clippy")?;
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
    })?;
    deny(workspace)
}

/// Adds a part of the toolchain that minimal installations leave out.
fn ensure_component(workspace: &Workspace, command: &str, component: &str) -> Result<(), String> {
    if answer(cargo(workspace).args([command, "--version"])).is_some() {
        return Ok(());
    }
    step(&format!("Adding {component} with rustup"), || {
        run(Command::new("rustup").args(["component", "add", component]))
    })
}
