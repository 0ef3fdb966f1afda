//! Reads a Plan as JSON from standard input and writes what is planned as JSON to standard output.
//!
//! Exit code 0 whatever the plan is like: its notes say what could not be read. Exit code 2, with one line on standard error,
//! when the input is not a Plan.

use std::io::Read;
use std::process::ExitCode;

use yokeline_core::plan::{Plan, plan};

fn main() -> ExitCode {
    let mut text = String::new();
    if let Err(error) = std::io::stdin().read_to_string(&mut text) {
        eprintln!("The input could not be read as text: {error}");
        return ExitCode::from(2);
    }
    match read(text.trim_start_matches('\u{feff}')) {
        Ok(asked) => {
            println!("{:#}", serde_json::json!(plan(&asked)));
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("This is not a Plan: {why}");
            ExitCode::from(2)
        }
    }
}

/// Reads a Plan; all fields may be left out, but it is an object.
fn read(json: &str) -> Result<Plan, String> {
    let value: serde_json::Value = serde_json::from_str(json).map_err(|e| e.to_string())?;
    if !value.is_object() {
        return Err("it is not an object".into());
    }
    serde_json::from_value(value).map_err(|e| e.to_string())
}
