//! What only Chromium's own protocol can do: print to PDF, show a page as on paper or with other colours, run a script
//! before the page's own, end the browser by force.
//!
//! The tests that need it lie here, so that the other engines leave out exactly those: `--skip chromium::`.

mod axe;
mod looks;
mod lost;
mod old;
mod printing;
