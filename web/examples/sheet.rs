//! A sheet from a job: reads a Job as JSON from standard input and writes the sheet's HTML to standard output.

use std::io::{Read, Write};

use yokeline_core::job::{Job, work};
use yokeline_web::paper;

fn main() -> std::process::ExitCode {
    let mut text = String::new();
    let read = std::io::stdin()
        .read_to_string(&mut text)
        .map_err(|e| e.to_string());
    let job = read.and_then(|_| serde_json::from_str::<Job>(&text).map_err(|e| e.to_string()));
    match job {
        Ok(job) => {
            let page = paper::html(&work(&job).sheet(), "");
            match std::io::stdout().write_all(page.as_bytes()) {
                Ok(()) => std::process::ExitCode::SUCCESS,
                Err(_) => std::process::ExitCode::FAILURE,
            }
        }
        Err(why) => {
            eprintln!("not a job: {why}");
            std::process::ExitCode::from(2)
        }
    }
}
