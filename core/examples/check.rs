//! Reads a Job and a student's answers as JSON from standard input, `{"job": …, "answers": …}`, and writes what is to be said
//! of each answer to standard output, `{"verdicts": […]}`.
//!
//! Exit code 0 whatever the answers are; exit code 2, with one line on standard error, when the input is neither.

use std::io::Read;
use std::process::ExitCode;

use serde::Deserialize;
use yokeline_core::check::{Answers, check};
use yokeline_core::job::{Job, work};

#[derive(Deserialize)]
struct Asked {
    job: Job,
    #[serde(default)]
    answers: Answers,
}

fn main() -> ExitCode {
    let mut text = String::new();
    if let Err(error) = std::io::stdin().read_to_string(&mut text) {
        eprintln!("The input could not be read as text: {error}");
        return ExitCode::from(2);
    }
    match serde_json::from_str::<Asked>(text.trim_start_matches('\u{feff}')) {
        Ok(asked) => {
            let verdicts = check(&work(&asked.job), &asked.answers);
            println!("{:#}", serde_json::json!({ "verdicts": verdicts }));
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("This is not a Job with answers: {why}");
            ExitCode::from(2)
        }
    }
}
