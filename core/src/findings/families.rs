//! What several series, or several columns, say together.

use special::Gamma;

use super::{Finding, Kind, Seen};

/// Level of the test that several flux densities agree.
pub const DISAGREE_LEVEL: f64 = 0.01;

/// Chi-squared of the flux densities of the families about their weighted mean, k - 1 degrees of freedom.
pub fn disagree(seen: &Seen) -> Option<Finding> {
    let found: Vec<(usize, f64, f64)> = seen
        .families
        .iter()
        .enumerate()
        .filter_map(|(i, family)| {
            let (tesla, u) = family.flux_density?;
            (u > 0.0).then_some((i, tesla, u))
        })
        .collect();
    if found.len() < 2 {
        return None;
    }
    let chi_squared = |values: &[(usize, f64, f64)]| {
        let weight: f64 = values.iter().map(|v| 1.0 / (v.2 * v.2)).sum();
        let mean = values.iter().map(|v| v.1 / (v.2 * v.2)).sum::<f64>() / weight;
        (
            values
                .iter()
                .map(|v| (v.1 - mean) * (v.1 - mean) / (v.2 * v.2))
                .sum::<f64>(),
            mean,
        )
    };
    let (statistic, _) = chi_squared(&found);
    let p_value = chi_squared_tail(statistic, (found.len() - 1) as f64);
    if p_value >= DISAGREE_LEVEL {
        return None;
    }
    // The farthest is the one whose removal leaves the others closest together.
    let without = |skip: usize| {
        let rest: Vec<_> = found
            .iter()
            .enumerate()
            .filter(|(i, _)| *i != skip)
            .map(|(_, v)| *v)
            .collect();
        chi_squared(&rest)
    };
    let (skip, mean) = (0..found.len())
        .map(|i| (i, without(i)))
        .min_by(|a, b| a.1.0.total_cmp(&b.1.0))
        .map(|(i, (_, mean))| (i, mean))?;
    let (family, tesla, _) = found[skip];
    let families = &seen.readings.families;
    let length = |i: usize| families.get(i).and_then(|f| f.length_m).unwrap_or(0.0);
    let longest = found.iter().all(|v| length(v.0) <= length(family)) && length(family) > 0.0;
    Some(Finding {
        series: String::new(),
        kind: Kind::LengthsDisagree {
            farthest: families
                .get(family)
                .map(|f| f.label.clone())
                .unwrap_or_default(),
            ratio: tesla / mean,
            falls_with_length: longest && (tesla / mean).abs() < 1.0,
        },
        rows: Vec::new(),
        statistic: Some(statistic),
        p_value: Some(p_value),
    })
}

/// A size from which a flux density is unusual for the magnets of a school practical, T (common practice, no source).
pub const UNUSUAL_TESLA: f64 = 0.4;

/// A flux density larger than school magnets usually give: a length or a unit may be wrong.
pub fn large_field(seen: &Seen) -> Option<Finding> {
    let sizes = seen
        .families
        .iter()
        .filter_map(|f| f.flux_density)
        .map(|b| b.0.abs());
    let tesla = sizes.fold(0.0, f64::max);
    (tesla > UNUSUAL_TESLA).then(|| Finding {
        series: String::new(),
        kind: Kind::LargeField { tesla },
        rows: Vec::new(),
        statistic: Some(tesla),
        p_value: None,
    })
}

/// P(χ² ≥ x) for `degrees_of_freedom`.
pub fn chi_squared_tail(x: f64, degrees_of_freedom: f64) -> f64 {
    if x <= 0.0 {
        return 1.0;
    }
    (1.0 - (x / 2.0).inc_gamma(degrees_of_freedom / 2.0)).clamp(0.0, 1.0)
}

/// Force column over mass column is steady but is not g (times the lever ratio): a lever, or the wrong g.
pub fn force_is_not_mass_times_g(seen: &Seen) -> Option<Finding> {
    let ratio = seen.force_over_mass?;
    let expected = seen.expected_force_over_mass;
    // 9.8 and 10 for 9.81 are ordinary and worth no word; 10 is 1.9 % off.
    ((ratio / expected - 1.0).abs() > 0.02).then(|| Finding {
        series: String::new(),
        kind: Kind::ForceIsNotMassTimesG { ratio, expected },
        rows: Vec::new(),
        statistic: Some(ratio / expected),
        p_value: None,
    })
}
