//! `cargo xtask build`: the page in dist/, with relative paths, ready for a folder of any static host.

use std::process::Command;

use crate::page_tools::PageTools;
use crate::run::{run, step};
use crate::wasm_target::WasmCompiler;
use crate::workspace::Workspace;

/// Builds the page into dist/.
pub fn build(workspace: &Workspace) -> Result<(), String> {
    let mut trunk = prepared_trunk(workspace)?;
    step("Building the page into dist/", || run(trunk.arg("build")))
}

/// Trunk with all that it needs, ready for `build` or `serve`.
pub fn prepared_trunk(workspace: &Workspace) -> Result<Command, String> {
    let compiler = WasmCompiler::ensure()?;
    let mut trunk = PageTools::ensure(workspace)?.trunk(workspace)?;
    compiler.prepare(&mut trunk, workspace);
    // Trunk works offline, and has cargo do so too: the pinned crates have to be there.
    compiler.fetch_crates(workspace)?;
    Ok(trunk)
}
