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
    if let Some(budget) = series.first().and_then(|s| s.budget.as_ref()) {
        let first = series[0].tesla;
        for source in budget.sources.iter().filter(not_gradient).filter(common) {
            sources.push(Source {
                sensitivity: source.sensitivity * joint.value / first,
                ..*source
            });
        }
    }
    Budget::of(sources)
}
