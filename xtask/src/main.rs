//! `cargo xtask serve | test | build | size`: what people and CI run, written once.
fn main() {}
