//! The uncertainty of one flux density from several series: see [`crate::line::joint`] for how they are joined.

use crate::line::joint::Joint;

use super::budget::{Budget, Source};
use super::flux_density::FluxDensity;

/// The budget of the joint flux density: the gradients, and what is common to all series (the same length, g).
pub fn budget(joint: &Joint, series: &[&FluxDensity]) -> Budget {
    let mut sources = vec![Source {
        name: "gradients",
        value: joint.value,
        standard_uncertainty: joint.standard,
        sensitivity: 1.0,
        degrees_of_freedom: joint.degrees_of_freedom,
    }];
    let not_gradient = |source: &&Source| source.name != "gradient";
    let common = |source: &&Source| {
        series.iter().all(|one| {
            one.budget.as_ref().is_some_and(|b| {
                b.sources
                    .iter()
                    .any(|s| s.name == source.name && s.value == source.value)
            })
        })
    };
    // Sensitivities go in proportion to B. Of the series the one with the largest is taken: one whose line is level has
    // none to go by, and the mean is never larger.
    let largest = series
        .iter()
        .max_by(|one, other| one.tesla.abs().total_cmp(&other.tesla.abs()));
    if let Some((budget, largest)) = largest.and_then(|s| Some((s.budget.as_ref()?, s.tesla))) {
        let share = if largest == 0.0 {
            0.0
        } else {
            joint.value / largest
        };
        for source in budget.sources.iter().filter(not_gradient).filter(common) {
            sources.push(Source {
                sensitivity: source.sensitivity * share,
                ..*source
            });
        }
    }
    Budget::of(sources)
}
