//! The teacher's key: for each student what was put in and what the way finds in it.

use serde::Serialize;

use crate::figures::round::{Digits, with_uncertainty};
use crate::job::output::{Axes, BestLine, Finding};
use crate::job::{Analysis, Working, work};

use super::{Recipe, Set, set, words};

/// One student's line of the key. A text is empty where the data give nothing to put there.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KeyRow {
    /// The student's number.
    pub student: u32,
    /// The true flux density, T.
    pub true_tesla: f64,
    /// The same as text: `32.7 mT`.
    pub true_flux_density: String,
    /// The flux density that the data give, T, as a size; null without one.
    pub tesla: Option<f64>,
    /// It with the school uncertainty: `(32.7 ± 0.4) mT`; where wires were varied, that of each series.
    pub school: String,
    /// It with the expanded uncertainty; where wires were varied, of all series together if they agree.
    pub standard: String,
    /// The gradient with its standard error and unit: `(0.204 ± 0.003) g/A`, one for each series.
    pub gradients: Vec<String>,
    /// What was put in, a sentence each.
    pub put_in: Vec<String>,
    /// What the way finds in the data.
    pub found: Vec<Finding>,
}

/// The key to the sets of some students, in their order.
pub fn key(recipe: &Recipe, seed: u32, students: impl Iterator<Item = u32>) -> Vec<KeyRow> {
    students.map(|student| row(recipe, seed, student)).collect()
}

fn row(recipe: &Recipe, seed: u32, student: u32) -> KeyRow {
    let made = set(recipe, seed, student);
    let working = work(&made.job);
    row_of(student, made, &working)
}

/// The line of a set that was made and worked.
pub(super) fn row_of(student: u32, made: Set, working: &Working) -> KeyRow {
    let analysis = working.analysis();
    let (tesla, school, standard) = flux_density(&analysis);
    KeyRow {
        student,
        true_tesla: made.truth.flux_density_t,
        true_flux_density: made.truth.flux_density,
        tesla,
        school,
        standard,
        gradients: gradients(&analysis),
        put_in: made.truth.faults.into_iter().map(|f| f.text).collect(),
        found: analysis.findings,
    }
}

/// The value, and the texts of both ways to state its uncertainty.
fn flux_density(analysis: &Analysis) -> (Option<f64>, String, String) {
    if let Some(found) = &analysis.flux_density {
        let (school, standard) = (found.text.clone(), found.text_standard.clone());
        return (Some(found.tesla.abs()), school, standard);
    }
    let each: Vec<String> = analysis
        .families
        .iter()
        .filter_map(|family| {
            let found = family.flux_density.as_ref()?;
            Some(words::labelled(&family.label, &found.text))
        })
        .collect();
    let joint = analysis.joint.as_ref();
    (
        joint.map(|j| j.tesla.abs()),
        each.join("; "),
        joint.map(|j| j.text.clone()).unwrap_or_default(),
    )
}

fn gradients(analysis: &Analysis) -> Vec<String> {
    analysis
        .families
        .iter()
        .filter_map(|family| {
            let line = family.best_line.or(analysis.best_line)?;
            let text = gradient(&line, &analysis.axes);
            Some(words::labelled(&family.label, &text))
        })
        .collect()
}

/// A gradient in the units of the axes.
fn gradient(line: &BestLine, axes: &Axes) -> String {
    let unit_si = axes.y.unit_si / axes.x.unit_si;
    let error = line.gradient_standard_error.unwrap_or(f64::NAN);
    let rounded = with_uncertainty(line.gradient / unit_si, error / unit_si, Digits::School);
    words::gradient(&rounded, &axes.y.unit, &axes.x.unit)
}
