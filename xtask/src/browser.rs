//! The browser that the tests drive, and its driver.

use std::env;
use std::path::PathBuf;

use crate::debian;
use crate::run::find_program;

const CHROMIUM_NAMES: [&str; 4] = ["chromium", "chromium-browser", "google-chrome", "chrome"];

/// Chromium and the driver of the same version.
pub struct Browser {
    pub chromium: PathBuf,
    pub chromedriver: PathBuf,
}

impl Browser {
    /// Finds both, in CHROMIUM and CHROMEDRIVER or else on PATH, and installs them on Debian.
    pub fn ensure() -> Result<Self, String> {
        if let Some(browser) = Self::find() {
            return Ok(browser);
        }
        if debian::is_here() {
            debian::install(&["chromium", "chromium-driver"])?;
        }
        Self::find().ok_or_else(|| {
            "The browser tests need Chromium and chromedriver of the same version. Install both, \
             and set CHROMIUM and CHROMEDRIVER to the two programs if they are not on PATH."
                .into()
        })
    }

    fn find() -> Option<Self> {
        Some(Self {
            chromium: told("CHROMIUM")
                .or_else(|| CHROMIUM_NAMES.iter().find_map(|name| find_program(name)))?,
            chromedriver: told("CHROMEDRIVER").or_else(|| find_program("chromedriver"))?,
        })
    }
}

fn told(variable: &str) -> Option<PathBuf> {
    env::var_os(variable)
        .map(PathBuf::from)
        .filter(|program| program.is_file())
}
