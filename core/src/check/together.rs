//! The flux densities of a class, or of its groups, taken together.

use serde::Serialize;

use super::class::Student;
use super::groups::Group;
use crate::field::{self, FluxDensity};
use crate::job::Series;
use crate::line::joint::{self, One};
use crate::readings::repeats::median;

/// Values agree while so large a spread is not less probable than this: common practice, no source.
const AGREE_LEVEL: f64 = 0.05;

/// The flux densities of a class taken together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Together {
    /// How many.
    pub count: usize,
    /// The middle one, T: a slip of a thousand does not move it.
    pub median: f64,
    /// Mean weighted by the inverse squares of the uncertainties, T, of those that give one and are not apart.
    pub weighted_mean: Option<f64>,
    /// Its standard uncertainty.
    pub standard_uncertainty: Option<f64>,
    /// Whether these agree with one another: chi-squared is not improbable at 5 %.
    pub agree: Option<bool>,
    /// Rows of those that stand apart from the middle by more than a third of it.
    pub apart: Vec<usize>,
}

/// The flux densities that the students wrote, taken together; `None` with fewer than two.
pub(super) fn of_students(students: &[Student]) -> Option<Together> {
    let values: Vec<(&Student, f64)> = students
        .iter()
        .filter_map(|s| Some((s, s.flux_density?)))
        .collect();
    let median = middle(values.iter().map(|v| v.1))?;
    let (near, apart): (Vec<_>, Vec<_>) = values.iter().partition(|v| is_near(v.1, median));
    let known: Vec<One> = near
        .iter()
        .filter_map(|(student, value)| {
            Some(One {
                value: *value,
                per_scatter: student.uncertainty?,
                squares: 0.0,
                degrees_of_freedom: f64::INFINITY,
            })
        })
        .collect();
    let joint = joint::join(&known, 0.0);
    Some(Together {
        count: values.len(),
        median,
        weighted_mean: joint.map(|j| j.value),
        standard_uncertainty: joint.map(|j| j.standard),
        agree: joint.map(|j| j.p_value >= AGREE_LEVEL),
        apart: apart.iter().map(|(student, _)| student.row).collect(),
    })
}

/// What the readings of the groups give, taken together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GroupsTogether {
    /// How many groups have a flux density.
    pub count: usize,
    /// The middle one, T.
    pub median: f64,
    /// Weighted mean of those that are not apart, T, as of several series in one field.
    pub weighted_mean: Option<f64>,
    /// Its standard uncertainty, T, with what is common to all groups.
    pub standard_uncertainty: Option<f64>,
    /// The probability of so large a spread of these where all have one flux density.
    pub p_value: Option<f64>,
    /// Whether these agree with one another: that probability is not below 5 %.
    pub agree: Option<bool>,
    /// Names of the groups that stand apart: by more than a third of the middle one, or by more than twice their own
    /// expanded uncertainty.
    pub apart: Vec<String>,
}

/// The flux densities of the groups, taken together; `None` with fewer than two.
pub(super) fn of_groups(groups: &[Group]) -> Option<GroupsTogether> {
    let found: Vec<(&Group, &Series, &FluxDensity)> = groups
        .iter()
        .filter_map(|group| match &group.working().series[..] {
            [only] => Some((group, only, only.flux_density.as_ref()?)),
            _ => None,
        })
        .collect();
    let median = middle(found.iter().map(|(_, _, flux)| flux.tesla.abs()))?;
    let stands_apart = |flux: &FluxDensity| {
        let off = (flux.tesla.abs() - median).abs();
        let reach = flux.budget.as_ref().map(|b| 2.0 * b.expanded());
        !is_near(flux.tesla.abs(), median) || reach.is_some_and(|reach| off > reach)
    };
    let near = found.iter().filter(|(_, _, flux)| !stands_apart(flux));
    let (ones, fluxes): (Vec<One>, Vec<&FluxDensity>) = near
        .clone()
        .filter_map(|(_, series, flux)| {
            let one = series.joinable()?;
            let value = one.value.abs();
            Some((One { value, ..one }, *flux))
        })
        .unzip();
    let scatters = near.map(|(group, ..)| group.working().readings.least_scatter());
    let joint = joint::join(&ones, scatters.fold(0.0, f64::max));
    Some(GroupsTogether {
        count: found.len(),
        median,
        weighted_mean: joint.map(|j| j.value),
        standard_uncertainty: joint.map(|j| field::joint::budget(&j, &fluxes).combined),
        p_value: joint.map(|j| j.p_value),
        agree: joint.map(|j| j.p_value >= AGREE_LEVEL),
        apart: found
            .iter()
            .filter(|(_, _, flux)| stands_apart(flux))
            .map(|(group, ..)| group.name.clone())
            .collect(),
    })
}

/// The middle one of two values at least.
fn middle(values: impl Iterator<Item = f64>) -> Option<f64> {
    let values: Vec<f64> = values.collect();
    (values.len() > 1).then(|| median(&values))
}

/// Whether a value is within a third of the middle one: a slip of a factor is no matter of reading a line.
fn is_near(value: f64, median: f64) -> bool {
    (value / median - 1.0).abs() <= 1.0 / 3.0
}
