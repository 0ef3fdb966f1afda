//! A browser to test the page in, and to time it in.
//!
//! Start at [`bench::in_browser`]: it gives a test a site, and people who each have a browser of their own. What they can
//! do is in [`person`]; which engine runs is told by the environment ([`engine`]).

pub mod bench;
pub mod engine;
pub mod gate;
pub mod person;
pub mod process;
pub mod server;
