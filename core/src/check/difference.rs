//! The difference from the expected value in per cent, as a student gives it.

use super::claim::Claim;
use super::facts::Facts;
use super::stages::{bare, carried, meets, ratio};
use super::{Judged, Stage, Verdict, words};

/// Judges a percentage difference; `own_t` is the student's own B.
pub fn judge(facts: &Facts, claim: &Claim, own_t: Option<f64>) -> Judged {
    let (Some(comparison), Some(flux)) = (&facts.working.comparison, facts.flux) else {
        return bare(
            Stage::PercentageDifference,
            Verdict::NotChecked,
            words::no_expected(),
        );
    };
    let expected = comparison.expected_t;
    let of = |b: f64, base: f64| 100.0 * (b - expected) / base;
    let right = of(flux.tesla.abs(), expected);
    let size = claim.figure.value.abs();
    let half = claim.half_place();
    let mut judged = Judged {
        right: words::percentage(right),
        factor: ratio(size, right.abs()),
        ..bare(
            Stage::PercentageDifference,
            Verdict::Right,
            words::RIGHT.into(),
        )
    };
    // A difference is what is left of two near values: to a place of B it is only as good as that.
    let hit = |p: f64| meets(size, p, half, 0.02) || (size - p.abs()).abs() <= 0.15;
    let fraction = |p: f64| meets(size, p / 100.0, half, 0.02);
    let without_sign = claim.unit.is_empty();
    if hit(right) && !without_sign {
        return judged;
    }
    if without_sign && (hit(right) || fraction(right)) {
        if fraction(right) && !hit(right) {
            // 0.47 without a sign is the right fraction.
            judged.text = words::RIGHT_AS_FRACTION.into();
            return judged;
        }
        judged.verdict = Verdict::Unit;
        judged.text = words::unit_missing("", "%");
        judged.hint = words::LOOK_AT_UNIT.into();
        return judged;
    }
    if let Some(own) = own_t
        && hit(of(own, expected))
    {
        return carried(judged);
    }
    for b in [Some(flux.tesla.abs()), own_t].into_iter().flatten() {
        let slips = [
            ("fraction_with_a_percent_sign", of(b, expected) / 100.0),
            ("difference_over_the_measured_value", of(b, b)),
            ("difference_over_the_mean", of(b, (b + expected) / 2.0)),
            ("ratio_instead_of_difference", 100.0 * b / expected),
            ("ratio_instead_of_difference", 100.0 * expected / b),
        ];
        let fits = slips.iter().find(|(_, p)| meets(size, *p, half, 0.01));
        if let Some((name, _)) = fits {
            judged.verdict = Verdict::Slip;
            judged.text = words::difference_slip(name).into();
            judged.hint = words::LOOK_AT_DIFFERENCE.into();
            judged.slips = vec![vec![name]];
            return judged;
        }
    }
    judged.verdict = Verdict::Unexplained;
    judged.text = words::unexplained(judged.factor);
    judged.hint = words::LOOK_AT_DIFFERENCE.into();
    judged
}
