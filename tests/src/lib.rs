//! Checks across the crates live in `tests/`; this library holds what they share.
