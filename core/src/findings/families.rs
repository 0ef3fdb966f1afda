//! What several series, or several columns, say together.

use crate::line::joint::{self, One};

use super::{Finding, Kind, Seen};

/// Level of the test that several flux densities agree.
pub const DISAGREE_LEVEL: f64 = 0.01;

/// The spread of the flux densities of the families about their joint value: F with the pooled scatter, or chi-squared where
/// the uncertainties are stated; see [`joint::join`].
pub fn disagree(seen: &Seen) -> Option<Finding> {
    let together = seen.joint.filter(|j| j.p_value < DISAGREE_LEVEL)?;
    let found: Vec<(usize, One)> = seen
        .families
        .iter()
        .enumerate()
        .filter_map(|(i, family)| Some((i, family.joinable?)))
        .collect();
    let join = |of: &[(usize, One)]| {
        let ones: Vec<One> = of.iter().map(|f| f.1).collect();
        joint::join(&ones, seen.readings.least_scatter())
    };
    // The farthest is the one whose removal leaves the others closest together; of two it is the less certain.
    let rest = |skip: usize| -> Vec<(usize, One)> {
        let others = found.iter().enumerate().filter(|(i, _)| *i != skip);
        others.map(|(_, one)| *one).collect()
    };
    let (skip, mean) = (0..found.len())
        .map(|i| {
            let others = rest(i);
            match join(&others) {
                Some(joint) => (i, joint.statistic, joint.value),
                None => (i, -found[i].1.per_scatter, others[0].1.value),
            }
        })
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(i, _, mean)| (i, mean))?;
    let (family, One { value: tesla, .. }) = found[skip];
    let families = &seen.readings.families;
    let length = |i: usize| families.get(i).and_then(|f| f.length_m).unwrap_or(0.0);
    let longest = found.iter().all(|v| length(v.0) <= length(family)) && length(family) > 0.0;
    Some(Finding::new(
        Kind::LengthsDisagree {
            farthest: families
                .get(family)
                .map(|f| f.label.clone())
                .unwrap_or_default(),
            ratio: tesla / mean,
            falls_with_length: longest && (tesla / mean).abs() < 1.0,
        },
        Vec::new(),
        Some(together.statistic),
        Some(together.p_value),
    ))
}

/// A size from which a flux density is unusual for the magnets of a school practical, T (common practice, no source).
pub const UNUSUAL_TESLA: f64 = 0.4;

/// A flux density larger than school magnets usually give: a length or a unit may be wrong.
pub fn large_field(seen: &Seen) -> Option<Finding> {
    let sizes = seen
        .families
        .iter()
        .filter_map(|f| f.flux_density)
        .map(f64::abs);
    let tesla = sizes.fold(0.0, f64::max);
    (tesla > UNUSUAL_TESLA)
        .then(|| Finding::new(Kind::LargeField { tesla }, Vec::new(), Some(tesla), None))
}

/// Force column over mass column is steady but is not g (times the lever ratio): a lever, or the wrong g.
pub fn force_is_not_mass_times_g(seen: &Seen) -> Option<Finding> {
    let ratio = seen.force_over_mass?;
    let expected = seen.expected_force_over_mass;
    // 9.8 and 10 for 9.81 are ordinary and worth no word; 10 is 1.9 % off.
    ((ratio / expected - 1.0).abs() > 0.02).then(|| {
        Finding::new(
            Kind::ForceIsNotMassTimesG { ratio, expected },
            Vec::new(),
            Some(ratio / expected),
            None,
        )
    })
}
