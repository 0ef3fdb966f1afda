//! The crates that the project is made of, held to `deny.toml`: licences, versions, where they come from, known faults.

use std::path::Path;
use std::process::Command;

use crate::page_tools::{installed_by_cargo, on_path};
use crate::run::{answer, run, step};
use crate::workspace::Workspace;

/// The version that `deny.toml` is written for.
const CARGO_DENY_VERSION: &str = "0.20.2";

/// Checks the crates. What is known to be wrong with them stands in a database elsewhere: where that cannot be reached,
/// this part is skipped, and that is said.
pub fn deny(workspace: &Workspace) -> Result<(), String> {
    let program = match on_path("cargo-deny", CARGO_DENY_VERSION) {
        Some(program) => program,
        None => installed_by_cargo(
            workspace,
            "cargo-deny",
            "cargo-deny",
            CARGO_DENY_VERSION,
            &["--locked"],
            6,
        )?,
    };
    step(
        "Checking licences, versions and sources of the crates",
        || {
            run(asked(&program, workspace).args([
                "check",
                "--hide-inclusion-graph",
                "licenses",
                "bans",
                "sources",
            ]))
        },
    )?;
    if answer(asked(&program, workspace).args(["fetch", "db"])).is_none() {
        println!(
            "SKIPPED: known faults of the crates. The database of advisories could not be fetched."
        );
        return Ok(());
    }
    step("Checking the crates for known faults", || {
        run(asked(&program, workspace).args([
            "check",
            "--disable-fetch",
            "--hide-inclusion-graph",
            "advisories",
        ]))
    })
}

fn asked(program: &Path, workspace: &Workspace) -> Command {
    let mut command = Command::new(program);
    command
        .current_dir(workspace.root())
        // What stands in Cargo.lock is what is built.
        .arg("--locked");
    command
}
