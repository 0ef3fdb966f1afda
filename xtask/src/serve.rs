//! `cargo xtask serve`: the page, built and served on this machine, and built again when a file changes.

use crate::build::prepared_trunk;
use crate::finish::WITHOUT_SERVICE_WORKER;
use crate::run::run;
use crate::workspace::Workspace;

const USUAL_PORT: u16 = 8080;

/// Builds the page and serves it until interrupted.
pub fn serve(workspace: &Workspace, arguments: &[String]) -> Result<(), String> {
    let port = wanted_port(arguments)?;
    let mut trunk = prepared_trunk(workspace)?;
    eprintln!("==> Building the page; then it is at http://127.0.0.1:{port}/ (Ctrl+C ends it)");
    eprintln!("    A changed file is built again by itself: then reload the page.");
    run(trunk
        .args(["serve", "--port", &port.to_string()])
        .env(WITHOUT_SERVICE_WORKER, "1"))
}

fn wanted_port(arguments: &[String]) -> Result<u16, String> {
    match arguments {
        [] => Ok(USUAL_PORT),
        [port] => port.parse().map_err(|_| {
            format!("'{port}' is not a port: a whole number from 1 to 65535 is wanted.")
        }),
        _ => Err("'serve' takes one argument at most: the port.".into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_port_is_read_or_refused() {
        let of = |words: &[&str]| {
            wanted_port(
                &words
                    .iter()
                    .map(|word| word.to_string())
                    .collect::<Vec<_>>(),
            )
        };
        assert_eq!(of(&[]), Ok(USUAL_PORT));
        assert_eq!(of(&["9000"]), Ok(9000));
        assert!(of(&["70000"]).is_err_and(|problem| problem.contains("'70000'")));
        assert!(of(&["80", "81"]).is_err());
    }
}
