//! Running other programs: say what is being done, how long it took, and what went wrong.

use std::env;
use std::ffi::OsString;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use crate::workspace::Workspace;

/// Does `work` between a line that says what it is and a line that says how long it took.
pub fn step<T>(what: &str, work: impl FnOnce() -> Result<T, String>) -> Result<T, String> {
    eprintln!("==> {what}");
    let start = Instant::now();
    let outcome = work();
    let ending = if outcome.is_ok() { "done" } else { "failed" };
    eprintln!("    {ending} after {}: {what}", in_words(start.elapsed()));
    outcome
}

/// Runs a command to its end, its output shown as it comes.
///
/// # Errors
/// A sentence that names the command, when it is missing or ends with a failure.
pub fn run(command: &mut Command) -> Result<(), String> {
    let status = command.status().map_err(|error| explain(command, &error))?;
    if status.success() {
        Ok(())
    } else {
        Err(format!("'{}' failed ({status}).", in_shell(command)))
    }
}

/// Runs a command to its end and gives what it printed, its errors and progress shown as they come.
///
/// # Errors
/// As [`run`].
pub fn printed(command: &mut Command) -> Result<String, String> {
    let output = command.stderr(Stdio::inherit()).output();
    let output = output.map_err(|error| explain(command, &error))?;
    if output.status.success() {
        Ok(String::from_utf8_lossy(&output.stdout).into_owned())
    } else {
        let status = output.status;
        Err(format!("'{}' failed ({status}).", in_shell(command)))
    }
}

/// Runs a command to its end and gives what it printed; `None` if it is missing or fails.
pub fn answer(command: &mut Command) -> Option<String> {
    let output = command.stdin(Stdio::null()).output().ok()?;
    let text = String::from_utf8_lossy(&output.stdout).trim().to_owned();
    output.status.success().then_some(text)
}

/// The cargo that runs this program, in the workspace's folder.
pub fn cargo(workspace: &Workspace) -> Command {
    let mut command = Command::new(env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.current_dir(workspace.root());
    command
}

/// The first program of that name on PATH.
pub fn find_program(name: &str) -> Option<PathBuf> {
    let file = format!("{name}{}", env::consts::EXE_SUFFIX);
    env::split_paths(&env::var_os("PATH")?)
        .map(|folder| folder.join(&file))
        .find(|candidate| candidate.is_file())
}

/// PATH with some folders put before what it holds already.
pub fn path_led_by(folders: &[&Path]) -> Result<OsString, String> {
    let present = env::var_os("PATH").unwrap_or_default();
    let all = folders
        .iter()
        .map(|folder| folder.to_path_buf())
        .chain(env::split_paths(&present));
    env::join_paths(all).map_err(|error| format!("PATH cannot hold the tools' folders: {error}."))
}

fn explain(command: &Command, error: &std::io::Error) -> String {
    if error.kind() == ErrorKind::NotFound {
        let program = command.get_program().to_string_lossy();
        format!("The program '{program}' is not on this machine: install it and run this again.")
    } else {
        format!("'{}' could not be started: {error}.", in_shell(command))
    }
}

fn in_shell(command: &Command) -> String {
    let words = std::iter::once(command.get_program()).chain(command.get_args());
    let words: Vec<_> = words.map(|word| word.to_string_lossy()).collect();
    words.join(" ")
}

fn in_words(duration: Duration) -> String {
    let seconds = duration.as_secs_f64();
    if seconds < 59.5 {
        format!("{seconds:.1} s")
    } else {
        let whole = seconds.round() as u64;
        format!("{} min {:02} s", whole / 60, whole % 60)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn durations_read_well() {
        let cases = [
            (0.04, "0.0 s"),
            (12.34, "12.3 s"),
            (59.6, "1 min 00 s"),
            (425.0, "7 min 05 s"),
        ];
        for (seconds, words) in cases {
            assert_eq!(in_words(Duration::from_secs_f64(seconds)), words);
        }
    }

    #[test]
    fn a_failing_command_is_named() {
        let mut command = Command::new("cargo");
        command.arg("--no-such-option").stderr(Stdio::null());
        let problem = run(&mut command).unwrap_err();
        assert!(problem.contains("cargo --no-such-option"), "{problem}");
    }

    #[test]
    fn a_missing_program_is_named() {
        let problem = run(&mut Command::new("no-such-program-here")).unwrap_err();
        assert!(
            problem.contains("'no-such-program-here' is not on"),
            "{problem}"
        );
    }
}
