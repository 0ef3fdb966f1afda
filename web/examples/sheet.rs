//! A sheet with its graph from a job: reads a Job as JSON from standard input and writes the sheet's HTML to standard
//! output, as the page's button does.

use std::io::{Read, Write};

use yokeline_core::job::{Job, work};
use yokeline_web::chart::scene::{GraphChoice, Scene};
use yokeline_web::chart::svg;
use yokeline_web::chart::theme::Theme;
use yokeline_web::paper;

/// Width and height of the graph in CSS pixels.
const GRAPH: (u32, u32) = (760, 560);

fn main() -> std::process::ExitCode {
    let mut text = String::new();
    let read = std::io::stdin()
        .read_to_string(&mut text)
        .map_err(|e| e.to_string());
    let job = read.and_then(|_| serde_json::from_str::<Job>(&text).map_err(|e| e.to_string()));
    match job {
        Ok(job) => {
            let working = work(&job);
            let scene = Scene::graph(&working.analysis(), &GraphChoice::default());
            let graph = svg::svg(&scene, GRAPH.0, GRAPH.1, Theme::Print);
            let page = paper::html(&working.sheet(), &graph);
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
