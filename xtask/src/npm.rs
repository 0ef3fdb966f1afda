//! Packages from npm, each kept in a folder of its own named after its version.

use std::path::PathBuf;
use std::process::Command;

use crate::debian;
use crate::run::{find_program, run, step};
use crate::workspace::tool_cache;

/// A file of a package, below its `node_modules`, from the cache or put there now.
pub fn installed(package: &str, version: &str, file: &str) -> Result<PathBuf, String> {
    let folder = tool_cache()?.join(format!("{package}-{version}"));
    let wanted = folder.join("node_modules").join(file);
    if wanted.is_file() {
        return Ok(wanted);
    }
    if find_program("npm").is_none() && debian::is_here() {
        debian::install(&["nodejs", "npm"])?;
    }
    let npm = find_program("npm")
        .or_else(|| find_program("npm.cmd"))
        .ok_or_else(|| {
            format!(
                "{package} comes from npm, which is missing: install Node.js and run this again."
            )
        })?;
    step(&format!("Installing {package} {version} with npm"), || {
        run(Command::new(npm)
            .args([
                "install",
                "--no-audit",
                "--no-fund",
                "--ignore-scripts",
                "--prefix",
            ])
            .arg(&folder)
            .arg(format!("{package}@{version}")))
    })?;
    if wanted.is_file() {
        Ok(wanted)
    } else {
        Err(format!("npm did not bring {}.", wanted.display()))
    }
}
