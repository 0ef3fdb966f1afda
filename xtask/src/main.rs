//! `cargo xtask serve | test | check | build | size | bench | fuzz`: what people and CI run, written once.
//!
//! Start at [`main`]: each command is a file of its own and says what it does on its first line.
//! A command first makes sure of the tools it needs (`wasm_target`, `page_tools`, `browser`), and each
//! of those installs what is missing, says so with the time it took, and is silent when nothing is.

mod bench;
mod browser;
mod build;
mod bundle;
mod check;
mod debian;
mod deny;
mod finish;
mod fuzz;
mod npm;
mod page_tools;
mod run;
mod serve;
mod size;
mod test;
mod wasm_target;
mod workspace;

use std::process::ExitCode;

use workspace::Workspace;

const USAGE: &str = "\
cargo xtask serve [PORT]     build the page and serve it (port 8080 unless told)
cargo xtask test [ARGUMENT]  build the page and pass every test; the arguments go on to cargo test
cargo xtask check            formatting, lints, documentation and crates, with warnings denied
cargo xtask build            leave the page in dist/, ready for any folder of any static host
cargo xtask size             print what a first visit downloads, compressed, and hold it to its budget;
                             --no-growth: hold it to what was reached last
cargo xtask bench [NAME]     how long the analysis takes, whole and stage by stage, beside its budgets, and how long the
                             page takes beside general-purpose libraries (kept in docs/speed.md);
                             NAME: only the measurements with this in their name; page: only the page
cargo xtask fuzz [TARGET] [SECONDS]  hostile input against every way in, or one: 60 seconds each unless told

Each command installs what it lacks, says what it is doing, and does nothing twice.";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let Some((command, rest)) = arguments.split_first() else {
        println!("{USAGE}");
        return ExitCode::SUCCESS;
    };
    let workspace = Workspace::of_this_source();
    let outcome = match command.as_str() {
        "serve" => serve::serve(&workspace, rest),
        "test" => test::test(&workspace, rest),
        "check" => no_arguments(command, rest).and_then(|()| check::check(&workspace)),
        "build" => no_arguments(command, rest).and_then(|()| build::build(&workspace)),
        "size" if rest == ["--no-growth"] => size::size(&workspace, size::Limits::REACHED),
        "size" => {
            no_arguments(command, rest).and_then(|()| size::size(&workspace, size::Limits::BUDGET))
        }
        "finish" => no_arguments(command, rest).and_then(|()| finish::finish()),
        "bench" => bench::bench(&workspace, rest),
        "fuzz" => fuzz::fuzz(&workspace, rest),
        "help" | "--help" | "-h" => {
            println!("{USAGE}");
            Ok(())
        }
        unknown => Err(format!("There is no command '{unknown}'.\n\n{USAGE}")),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(problem) => {
            eprintln!("\nxtask: {problem}");
            ExitCode::FAILURE
        }
    }
}

fn no_arguments(command: &str, rest: &[String]) -> Result<(), String> {
    match rest.first() {
        None => Ok(()),
        Some(argument) => Err(format!(
            "'{command}' takes no argument, but was given '{argument}'."
        )),
    }
}
