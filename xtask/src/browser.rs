//! The browsers that the tests drive, one for each engine, and their drivers.

use std::env;
use std::fs;
use std::path::PathBuf;

use crate::debian;
use crate::page_tools::installed_by_cargo;
use crate::run::find_program;
use crate::workspace::Workspace;

const GECKODRIVER: &str = "GECKODRIVER";
const MINI_BROWSER: &str = "MINIBROWSER";
const GECKODRIVER_VERSION: &str = "0.37.1";

/// An engine that can be tested in.
pub struct Browser {
    /// What the tests call it, in YOKELINE_ENGINE.
    pub engine: &'static str,
    /// The programs that it takes, by the variables in which the tests look for them.
    pub programs: Vec<(&'static str, PathBuf)>,
}

/// What is known of an engine before it is looked for.
struct Kind {
    engine: &'static str,
    /// A variable, and the names that the program of it has.
    programs: &'static [(&'static str, &'static [&'static str])],
    /// What brings the programs on Debian.
    packages: &'static [&'static str],
}

const KINDS: [Kind; 3] = [
    Kind {
        engine: "chromium",
        programs: &[
            (
                "CHROMIUM",
                &["chromium", "chromium-browser", "google-chrome", "chrome"],
            ),
            ("CHROMEDRIVER", &["chromedriver"]),
        ],
        packages: &["chromium", "chromium-driver"],
    },
    Kind {
        engine: "firefox",
        programs: &[
            ("FIREFOX", &["firefox-esr", "firefox"]),
            (GECKODRIVER, &["geckodriver"]),
        ],
        packages: &["firefox-esr"],
    },
    Kind {
        engine: "webkit",
        programs: &[
            (MINI_BROWSER, &["MiniBrowser"]),
            ("WEBKITDRIVER", &["WebKitWebDriver"]),
            ("XVFB", &["Xvfb"]),
        ],
        packages: &["webkit2gtk-driver", "xvfb"],
    },
];

impl Browser {
    /// Finds a browser and its driver for each engine, in the variables or on PATH, and installs what is missing on Debian.
    ///
    /// # Errors
    /// When an engine cannot be had. Elsewhere than on Debian only Chromium has to be there: what else is missing is said,
    /// and the tests leave it out.
    pub fn ensure(workspace: &Workspace) -> Result<Vec<Self>, String> {
        let mut browsers = Vec::new();
        for kind in &KINDS {
            match kind.ensure(workspace) {
                Ok(browser) => browsers.push(browser),
                Err(problem) if debian::is_here() || kind.engine == "chromium" => {
                    return Err(problem);
                }
                Err(problem) => eprintln!("    {problem} The tests leave this engine out."),
            }
        }
        Ok(browsers)
    }
}

impl Kind {
    fn ensure(&self, workspace: &Workspace) -> Result<Browser, String> {
        let packaged = self
            .programs
            .iter()
            .filter(|(variable, _)| *variable != GECKODRIVER);
        let whole = packaged
            .clone()
            .all(|(variable, names)| find(variable, names).is_some());
        if !whole && debian::is_here() {
            debian::install(self.packages)?;
        }
        let mut programs = Vec::new();
        for &(variable, names) in self.programs {
            let program = match find(variable, names) {
                Some(program) => program,
                // The browser stands before it in the list, so it is compiled only where there is one.
                None if variable == GECKODRIVER => geckodriver(workspace)?,
                None => {
                    return Err(format!(
                        "The tests in {} need {}: install it, and set {variable} to the program if it is not on PATH.",
                        self.engine, names[0]
                    ));
                }
            };
            programs.push((variable, program));
        }
        Ok(Browser {
            engine: self.engine,
            programs,
        })
    }
}

fn find(variable: &str, names: &[&str]) -> Option<PathBuf> {
    env::var_os(variable)
        .map(PathBuf::from)
        .filter(|program| program.is_file())
        .or_else(|| names.iter().find_map(|name| find_program(name)))
        .or_else(|| (variable == MINI_BROWSER).then(mini_browser).flatten())
}

/// The small browser of WebKitGTK, which lies beside its library and not on PATH.
fn mini_browser() -> Option<PathBuf> {
    ["/usr/lib", "/usr/libexec", "/usr/lib64"]
        .iter()
        .filter_map(|folder| fs::read_dir(folder).ok())
        .flatten()
        .flatten()
        .flat_map(|entry| {
            // Debian has a folder for each kind of machine in between.
            ["webkit2gtk-4.1", "webkit2gtk-4.0"].map(|name| entry.path().join(name))
        })
        .chain(["/usr/libexec/webkit2gtk-4.1".into()])
        .map(|folder| folder.join("MiniBrowser"))
        .find(|program| program.is_file())
}

/// The driver of Firefox, which Debian has no package of.
fn geckodriver(workspace: &Workspace) -> Result<PathBuf, String> {
    let options = ["--locked"];
    installed_by_cargo(
        workspace,
        "geckodriver",
        "geckodriver",
        GECKODRIVER_VERSION,
        &options,
        3,
    )
}
