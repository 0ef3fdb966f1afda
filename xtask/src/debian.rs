//! Packages of Debian and its relatives, through apt-get.

use std::process::Command;

use crate::run::{answer, find_program, run, step};

/// Whether this machine installs its packages with apt-get.
pub fn is_here() -> bool {
    find_program("apt-get").is_some()
}

/// Whether a package is installed already.
pub fn has(package: &str) -> bool {
    let mut query = Command::new("dpkg-query");
    query.args(["--show", "--showformat=${db:Status-Status}", package]);
    answer(&mut query).is_some_and(|status| status == "installed")
}

/// Installs packages, without those they only recommend.
///
/// # Errors
/// When apt-get fails, for instance since a package does not exist in this release.
pub fn install(packages: &[&str]) -> Result<(), String> {
    let what = format!("Installing {} with apt-get", packages.join(", "));
    step(&what, || {
        run(apt_get()?.args(["--quiet", "update"]))?;
        run(apt_get()?
            .args(["--quiet", "--yes", "--no-install-recommends", "install"])
            .args(packages))
    })
}

/// apt-get as root, by sudo where this user is not root.
fn apt_get() -> Result<Command, String> {
    let is_root = answer(Command::new("id").arg("-u")).is_some_and(|id| id == "0");
    let mut command = if is_root {
        Command::new("apt-get")
    } else if find_program("sudo").is_some() {
        let mut sudo = Command::new("sudo");
        sudo.args(["--preserve-env=DEBIAN_FRONTEND", "apt-get"]);
        sudo
    } else {
        return Err("Installing packages needs root or sudo, and there is neither.".into());
    };
    command.env("DEBIAN_FRONTEND", "noninteractive");
    Ok(command)
}
