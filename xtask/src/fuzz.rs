//! `cargo xtask fuzz [TARGET] [SECONDS]`: hostile input, made up by libFuzzer, against the promises of
//! `tests/src/hostile`.

use std::path::Path;
use std::process::Command;

use crate::page_tools::{installed_by_cargo, on_path};
use crate::run::{run, step};
use crate::workspace::Workspace;

const CARGO_FUZZ_VERSION: &str = "0.13.2";

/// The targets, which are files of `fuzz/fuzz_targets`.
const TARGETS: [&str; 7] = ["class", "figures", "html", "job", "link", "page", "table"];

/// How long each target runs unless told, in seconds.
const USUAL_SECONDS: u32 = 60;

/// Longer inputs say nothing that shorter ones do not, and take longer; what is large has tests of its own.
const LONGEST_INPUT: usize = 4_096;

/// Runs one target, or each in turn, from its kept corpus. What breaks a promise is left under `fuzz/artifacts`.
pub fn fuzz(workspace: &Workspace, arguments: &[String]) -> Result<(), String> {
    let (targets, seconds) = asked(arguments)?;
    let program = match on_path("cargo-fuzz", CARGO_FUZZ_VERSION) {
        Some(program) => program,
        None => {
            let package = "cargo-fuzz";
            installed_by_cargo(workspace, package, package, CARGO_FUZZ_VERSION, &[], 2)?
        }
    };
    for target in targets {
        step(&format!("Fuzzing {target} for {seconds} s"), || {
            run(&mut command(&program, workspace, target, seconds)?)
        })?;
    }
    Ok(())
}

/// Which targets, and for how long each.
fn asked(arguments: &[String]) -> Result<(Vec<&'static str>, u32), String> {
    let mut targets = TARGETS.to_vec();
    let mut seconds = USUAL_SECONDS;
    for argument in arguments {
        if let Some(known) = TARGETS.iter().find(|target| *target == argument) {
            targets = vec![known];
        } else if let Ok(number) = argument.parse() {
            seconds = number;
        } else {
            let known = TARGETS.join(", ");
            return Err(format!(
                "'{argument}' is neither a number of seconds nor a target; targets are {known}."
            ));
        }
    }
    Ok((targets, seconds))
}

fn command(
    program: &Path,
    workspace: &Workspace,
    target: &str,
    seconds: u32,
) -> Result<Command, String> {
    let folder = workspace.root().join("fuzz");
    // New finds go to the first folder, which is not kept; the kept corpus is read only.
    let finds = folder.join("artifacts").join("corpus").join(target);
    std::fs::create_dir_all(&finds)
        .map_err(|error| format!("{} cannot be made: {error}.", finds.display()))?;
    let mut command = Command::new(program);
    command
        .current_dir(workspace.root())
        // libFuzzer's flags are unstable, and rustup's stable compiler knows them all the same.
        .env("RUSTC_BOOTSTRAP", "1")
        // All of our code is safe Rust: nothing is left for a sanitizer to see, and without one it is twice as fast.
        .args(["fuzz", "run", "--sanitizer", "none", target])
        .arg(finds)
        .arg(folder.join("corpus").join(target))
        .arg("--")
        .arg(format!("-max_total_time={seconds}"))
        .arg(format!("-max_len={LONGEST_INPUT}"))
        .arg(format!("-dict={}", folder.join("words.dict").display()))
        .args(["-timeout=10", "-rss_limit_mb=2048"]);
    Ok(command)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_target_and_a_time_come_in_any_order() {
        let words = |words: &[&str]| {
            words
                .iter()
                .map(|word| (*word).to_owned())
                .collect::<Vec<_>>()
        };
        assert_eq!(asked(&[]), Ok((TARGETS.to_vec(), USUAL_SECONDS)));
        assert_eq!(asked(&words(&["link", "9"])), Ok((vec!["link"], 9)));
        assert_eq!(asked(&words(&["9", "link"])), Ok((vec!["link"], 9)));
        assert!(asked(&words(&["lnk"])).is_err());
    }

    #[test]
    fn every_target_has_its_file_and_its_line_in_the_manifest() {
        let manifest = include_str!("../../fuzz/Cargo.toml");
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../fuzz/fuzz_targets");
        assert_eq!(folder.read_dir().unwrap().count(), TARGETS.len());
        for target in TARGETS {
            assert!(folder.join(format!("{target}.rs")).is_file(), "{target}");
            assert!(
                manifest.contains(&format!("name = \"{target}\"")),
                "{target}"
            );
        }
    }
}
