//! Seeded simulations of whole practicals: what is claimed of uncertainties and findings, held against practicals whose
//! truth is known.
//!
//! Start at [`practical`], how a practical is simulated and written down as a person would paste it; [`coverage`] counts
//! how often the interval at 95 % holds the true flux density, [`alarms`] how often a finding speaks where nothing is
//! wrong, and [`faults`] how often it speaks where something is. Each prints its table: run with `--nocapture`.

mod alarms;
mod chance;
mod coverage;
mod faults;
mod points;
mod practical;
mod students;
