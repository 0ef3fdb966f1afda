//! Where things are: the source, what is built from it, and the tools kept between builds.

use std::env;
use std::path::{Path, PathBuf};

/// The folder that holds the whole project, and the places that follow from it.
pub struct Workspace {
    root: PathBuf,
}

impl Workspace {
    /// The workspace that this program was compiled from.
    pub fn of_this_source() -> Self {
        let xtask = Path::new(env!("CARGO_MANIFEST_DIR"));
        Self {
            root: xtask.parent().unwrap_or(xtask).to_path_buf(),
        }
    }

    pub fn root(&self) -> &Path {
        &self.root
    }

    /// The finished page: what a static host is given.
    pub fn dist(&self) -> PathBuf {
        self.root.join("dist")
    }

    pub fn lock_file(&self) -> PathBuf {
        self.root.join("Cargo.lock")
    }

    /// Where the page's crate is compiled. Apart from the native builds, since the two may use
    /// different compilers and would otherwise throw away each other's work.
    pub fn wasm_target_folder(&self) -> PathBuf {
        match env::var_os("CARGO_TARGET_DIR") {
            Some(folder) => self.root.join(folder).join("wasm"),
            None => self.root.join("target").join("wasm"),
        }
    }
}

/// Where tools are kept, one folder for each version, shared by all checkouts of this user.
pub fn tool_cache() -> Result<PathBuf, String> {
    let cache = env::var_os("XDG_CACHE_HOME")
        .or_else(|| env::var_os("LOCALAPPDATA"))
        .map(PathBuf::from)
        .filter(|folder| folder.is_absolute())
        .or_else(|| env::home_dir().map(|home| home.join(".cache")))
        .ok_or("There is no home folder to keep tools in. Set XDG_CACHE_HOME to a folder.")?;
    Ok(cache.join("yokeline-tools"))
}
