//! Practice sets: what is put in against what is found, on screen and on paper.
//!
//! [`pins`] holds sets that were given out, [`found`] whether truth and faults can be found in the data, [`looks`] whether
//! a set looks like one from a bench, [`printed`] the key and the papers, [`recipes`] what may be asked for.

mod found;
mod looks;
mod pins;
mod printed;
mod recipes;

use yokeline_core::job::{Analysis, Job, analyse};
use yokeline_core::practice::{Faults, Recipe, Set, set};

/// `count` sets of a recipe, over several seeds.
pub fn many(recipe: &Recipe, count: u32) -> impl Iterator<Item = Set> {
    (0..count).map(|student| set(recipe, 1 + student / 100, student % 100))
}

/// How many in a hundred of `count` sets pass.
pub fn rate(recipe: &Recipe, count: u32, passes: impl Fn(&Set, &Analysis) -> bool) -> f64 {
    let passed = many(recipe, count)
        .filter(|made| passes(made, &analyse(&made.job)))
        .count();
    100.0 * passed as f64 / f64::from(count)
}

/// Whether there is a finding of that kind.
pub fn tells(analysis: &Analysis, kind: &str) -> bool {
    analysis.findings.iter().any(|f| f.kind == kind)
}

/// The cells of a table, without its headings.
pub fn cells(table: &str) -> Vec<Vec<&str>> {
    let rows = table.lines().skip(1);
    rows.map(|line| line.split('\t').collect()).collect()
}

/// One column as numbers.
pub fn column(job: &Job, index: usize) -> Vec<f64> {
    cells(&job.table)
        .iter()
        .map(|row| row[index].parse().expect("a number"))
        .collect()
}

/// The clean recipe with some faults.
pub fn with(faults: Faults) -> Recipe {
    Recipe {
        faults,
        ..Recipe::default()
    }
}
