//! The compiler for WebAssembly: the toolchain's own, or Debian's where rustup cannot get it.
//!
//! Start at [`WasmCompiler::ensure`]. A machine that reaches only crates and Debian's packages cannot
//! download the standard library for wasm32. There Debian's compiler builds it from its source
//! along with the page, linked by the toolchain's rust-lld; everything native stays as it is.

use std::env;
use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::debian;
use crate::run::{answer, cargo, find_program, run, step};
use crate::workspace::Workspace;

/// The target, as rustc calls it.
pub const WASM_TARGET: &str = "wasm32-unknown-unknown";

const DEBIAN_PACKAGES: [&str; 2] = ["rustc-web", "rust-web-src"];
const DEBIAN_LINTER: &str = "rust-web-clippy";

/// What compiles the page's crate.
pub enum WasmCompiler {
    /// The toolchain has the target.
    Toolchain,
    /// Debian's compiler and library source, with this linker.
    Debian { linker: PathBuf },
}

impl WasmCompiler {
    /// Finds a compiler for the target and installs one if there is none.
    pub fn ensure() -> Result<Self, String> {
        let sysroot = sysroot()?;
        if has_target(&sysroot) {
            return Ok(Self::Toolchain);
        }
        if DEBIAN_PACKAGES.iter().all(|package| debian::has(package)) {
            return Self::of_debian(&sysroot);
        }
        if find_program("rustup").is_some() {
            let what = format!("Adding the target {WASM_TARGET} with rustup");
            let added = step(&what, || {
                run(Command::new("rustup").args(["target", "add", WASM_TARGET]))
            });
            match added {
                Ok(()) if has_target(&sysroot) => return Ok(Self::Toolchain),
                _ => eprintln!("    rustup could not add it; Debian's compiler may stand in."),
            }
        }
        if debian::is_here() {
            debian::install(&DEBIAN_PACKAGES)?;
            return Self::of_debian(&sysroot);
        }
        Err(format!(
            "The Rust toolchain lacks the target {WASM_TARGET}. With rustup, run \
             'rustup target add {WASM_TARGET}'; otherwise install your system's package of it."
        ))
    }

    /// Prepares a command that compiles for the target, by cargo itself or by something that calls it.
    pub fn prepare(&self, command: &mut Command, workspace: &Workspace) {
        command.env("CARGO_TARGET_DIR", workspace.wasm_target_folder());
        command.env(
            "CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUSTFLAGS",
            plain_paths(workspace),
        );
        if let Self::Debian { linker } = self {
            command
                .env("RUSTC", "/usr/bin/rustc")
                .env("RUSTC_BOOTSTRAP", "1")
                .env("CARGO_UNSTABLE_BUILD_STD", "std,panic_abort")
                .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", linker);
        }
    }

    /// Fetches the crates of the whole workspace, and those of the standard library if it is built.
    pub fn fetch_crates(&self, workspace: &Workspace) -> Result<(), String> {
        run(cargo(workspace).args(["fetch", "--quiet"]))?;
        if let Self::Debian { .. } = self {
            // Without the target named, cargo fetches what the library wants on this machine only.
            let mut fetch = cargo(workspace);
            fetch.args(["fetch", "--quiet", "--target", WASM_TARGET]);
            self.prepare(&mut fetch, workspace);
            run(&mut fetch)?;
        }
        Ok(())
    }

    /// The program that lints for this compiler, given the arguments of `cargo clippy`.
    pub fn linter(&self, workspace: &Workspace) -> Result<Command, String> {
        let mut command = match self {
            Self::Toolchain => Command::new("cargo"),
            Self::Debian { .. } => {
                if !debian::has(DEBIAN_LINTER) {
                    debian::install(&[DEBIAN_LINTER])?;
                }
                Command::new("/usr/bin/cargo-clippy")
            }
        };
        command.arg("clippy").current_dir(workspace.root());
        self.prepare(&mut command, workspace);
        Ok(command)
    }

    fn of_debian(sysroot: &Path) -> Result<Self, String> {
        let linker = rust_lld(sysroot)
            .ok_or("The Rust toolchain has no rust-lld, which links the page. A toolchain of rustup has it.")?;
        Ok(Self::Debian { linker })
    }
}

fn sysroot() -> Result<PathBuf, String> {
    answer(Command::new("rustc").args(["--print", "sysroot"]))
        .map(PathBuf::from)
        .ok_or("rustc does not answer: install Rust (rustup) and run this again.".into())
}

fn has_target(sysroot: &Path) -> bool {
    let libraries = sysroot.join("lib/rustlib").join(WASM_TARGET).join("lib");
    libraries.is_dir()
}

fn rust_lld(sysroot: &Path) -> Option<PathBuf> {
    let file = format!("bin/rust-lld{}", env::consts::EXE_SUFFIX);
    fs::read_dir(sysroot.join("lib/rustlib"))
        .ok()?
        .filter_map(|entry| Some(entry.ok()?.path().join(&file)))
        .find(|candidate| candidate.is_file())
}

/// Flags that keep this machine's folders out of the page: the places in panic messages are then the
/// same, and as short, wherever it is built.
fn plain_paths(workspace: &Workspace) -> OsString {
    let registry = env::var_os("CARGO_HOME")
        .map(PathBuf::from)
        .or_else(|| env::home_dir().map(|home| home.join(".cargo")))
        .map(|home| home.join("registry/src"));
    let mut flags = OsString::new();
    for folder in [Some(workspace.root()), registry.as_deref()]
        .into_iter()
        .flatten()
    {
        // Cargo splits this variable at spaces: such a folder has to stay in.
        if folder.to_string_lossy().contains(' ') {
            continue;
        }
        flags.push("--remap-path-prefix=");
        flags.push(folder);
        flags.push("=. ");
    }
    flags
}
