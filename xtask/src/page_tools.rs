//! Trunk, which builds the page, and the two programs it calls: wasm-bindgen and wasm-opt.
//!
//! Each is kept in a folder of its own named after its version, so that checkouts that want
//! different versions live side by side. One of the right version on PATH is used as it is.

use std::env;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::npm;
use crate::run::{answer, cargo, find_program, path_led_by, run, step};
use crate::workspace::{Workspace, tool_cache};

/// Newer ones want a newer compiler than `rust-version` in Cargo.toml promises.
const TRUNK_VERSION: &str = "0.21.14";

/// Trunk.toml names the same version as `version_132`, so that a mismatch is a clear error.
const BINARYEN_VERSION: &str = "132.0.0";

/// The programs that make the page, all present.
pub struct PageTools {
    trunk: PathBuf,
    wasm_bindgen: PathBuf,
    wasm_opt: PathBuf,
}

impl PageTools {
    /// Finds the tools and installs those that are missing.
    pub fn ensure(workspace: &Workspace) -> Result<Self, String> {
        Ok(Self {
            trunk: trunk(workspace)?,
            wasm_bindgen: wasm_bindgen(workspace)?,
            wasm_opt: wasm_opt()?,
        })
    }

    /// Trunk, ready to be given its arguments, with the other two where it looks for them, and this program as well, which
    /// it calls at the end.
    pub fn trunk(&self, workspace: &Workspace) -> Result<Command, String> {
        let this = env::current_exe()
            .map_err(|error| format!("Where xtask is cannot be found: {error}."))?;
        let folders: Vec<&Path> = [&self.wasm_bindgen, &self.wasm_opt, &this]
            .into_iter()
            .filter_map(|program| program.parent())
            .collect();
        let mut command = Command::new(&self.trunk);
        command
            .current_dir(workspace.root())
            .env("PATH", path_led_by(&folders)?)
            // Trunk takes any value but true or false for a mistake, and NO_COLOR=1 is common.
            .env_remove("NO_COLOR");
        Ok(command)
    }
}

fn trunk(workspace: &Workspace) -> Result<PathBuf, String> {
    if let Some(program) = on_path("trunk", TRUNK_VERSION) {
        return Ok(program);
    }
    // Its defaults bring a TLS library for downloads that `offline` in Trunk.toml rules out.
    let options = ["--locked", "--no-default-features"];
    installed_by_cargo(workspace, "trunk", "trunk", TRUNK_VERSION, &options, 8)
}

fn wasm_bindgen(workspace: &Workspace) -> Result<PathBuf, String> {
    let lock_file = workspace.lock_file();
    let lock = fs::read_to_string(&lock_file)
        .map_err(|error| format!("{} cannot be read: {error}.", lock_file.display()))?;
    let version = locked_version(&lock, "wasm-bindgen")
        .ok_or("Cargo.lock does not hold wasm-bindgen, which the page is bound with.")?;
    if let Some(program) = on_path("wasm-bindgen", version) {
        return Ok(program);
    }
    let package = "wasm-bindgen-cli";
    installed_by_cargo(workspace, package, "wasm-bindgen", version, &[], 4)
}

fn wasm_opt() -> Result<PathBuf, String> {
    let major = BINARYEN_VERSION.split('.').next().unwrap_or_default();
    if let Some(program) = on_path("wasm-opt", major) {
        return Ok(program);
    }
    let suffix = if cfg!(windows) { ".cmd" } else { "" };
    let program = format!(".bin/wasm-opt{suffix}");
    npm::installed("binaryen", BINARYEN_VERSION, &program)
}

/// The program of that name on PATH, if it says that it has this version.
pub fn on_path(name: &str, version: &str) -> Option<PathBuf> {
    let program = find_program(name)?;
    let told = answer(Command::new(&program).arg("--version"))?;
    told.split_whitespace()
        .any(|word| word == version)
        .then_some(program)
}

/// A program that cargo compiles, from the cache or put there now.
///
/// # Errors
/// When it cannot be compiled.
pub fn installed_by_cargo(
    workspace: &Workspace,
    package: &str,
    program: &str,
    version: &str,
    options: &[&str],
    usual_minutes: u32,
) -> Result<PathBuf, String> {
    let folder = tool_cache()?.join(format!("{package}-{version}"));
    let program = folder
        .join("bin")
        .join(format!("{program}{}", env::consts::EXE_SUFFIX));
    if !program.is_file() {
        let what = format!(
            "Installing {package} {version} with cargo, once (about {usual_minutes} minutes on two cores)"
        );
        step(&what, || {
            run(cargo(workspace)
                .args(["install", package, "--version", version, "--root"])
                .arg(&folder)
                .args(options)
                // A tool that runs for seconds need not be compiled for speed: a fifth of the work is saved.
                .env("CARGO_PROFILE_RELEASE_OPT_LEVEL", "1")
                .env("CARGO_PROFILE_RELEASE_LTO", "off")
                .env("CARGO_PROFILE_RELEASE_CODEGEN_UNITS", "16")
                // It is compiled in a folder that cargo throws away, not among our own work.
                .env_remove("CARGO_TARGET_DIR"))
        })?;
    }
    Ok(program)
}

/// The version of a package in the text of a Cargo.lock.
fn locked_version<'a>(lock: &'a str, package: &str) -> Option<&'a str> {
    let name = format!("name = \"{package}\"");
    let mut lines = lock.lines();
    lines.find(|line| *line == name)?;
    lines
        .next()?
        .strip_prefix("version = \"")?
        .strip_suffix('"')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_locked_version_is_that_of_the_very_package() {
        let lock = "\
version = 4

[[package]]
name = \"wasm-bindgen-macro\"
version = \"0.2.7\"

[[package]]
name = \"wasm-bindgen\"
version = \"0.2.130\"
source = \"registry\"
";
        assert_eq!(locked_version(lock, "wasm-bindgen"), Some("0.2.130"));
        assert_eq!(locked_version(lock, "bindgen"), None);
        assert_eq!(locked_version("", "wasm-bindgen"), None);
    }

    #[test]
    fn trunk_is_told_the_same_wasm_opt() {
        let settings = include_str!("../../Trunk.toml");
        let major = BINARYEN_VERSION.split('.').next().unwrap_or_default();
        let wanted = format!("wasm_opt = \"version_{major}\"");
        assert!(settings.contains(&wanted), "Trunk.toml lacks {wanted}");
    }
}
