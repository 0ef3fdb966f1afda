//! Reads a Job as JSON from standard input and writes its Analysis as JSON to standard output.
//!
//! Exit code 0 even when the data are poor: the notes say so. Exit code 2, with one line on standard error, when the
//! input is not a Job.

use std::io::Read;
use std::process::ExitCode;

use yokeline_core::job::{Job, analyse};

fn main() -> ExitCode {
    let mut text = String::new();
    if let Err(error) = std::io::stdin().read_to_string(&mut text) {
        eprintln!("The input could not be read as text: {error}");
        return ExitCode::from(2);
    }
    match job(text.trim_start_matches('\u{feff}')) {
        Ok(job) => match serde_json::to_string_pretty(&analyse(&job)) {
            Ok(json) => {
                println!("{json}");
                ExitCode::SUCCESS
            }
            Err(error) => {
                eprintln!("The analysis could not be written as JSON: {error}");
                ExitCode::from(2)
            }
        },
        Err(why) => {
            eprintln!("This is not a Job: {why}");
            ExitCode::from(2)
        }
    }
}

/// Reads a Job; all fields may be left out but `table`.
fn job(json: &str) -> Result<Job, String> {
    let value: serde_json::Value = serde_json::from_str(json).map_err(|e| e.to_string())?;
    match value.get("table") {
        Some(table) if table.is_string() => {
            serde_json::from_value(value).map_err(|e| e.to_string())
        }
        Some(_) => Err("its field `table` is not a text".into()),
        None => Err("it has no field `table` with the pasted text".into()),
    }
}
