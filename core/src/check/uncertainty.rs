//! The uncertainty of B as a student gives it: absolute or in per cent, by the school way or the standard one.

use super::claim::Claim;
use super::facts::Facts;
use super::stages::{bare, carried, meets, ratio, unit_that_fits};
use super::{Judged, Stage, Verdict, words};
use crate::figures::Quantity;

/// A worst line drawn by eye gives an uncertainty that is right to so much only.
const NEAR: f64 = 0.25;

/// What an uncertainty may be that is not the right one.
struct Other {
    name: &'static str,
    tesla: f64,
}

/// Judges an uncertainty; `own_t` is the student's own B.
pub fn judge(facts: &Facts, claim: &Claim, own_t: Option<f64>) -> Judged {
    let Some(flux) = facts.flux else {
        return bare(Stage::Uncertainty, Verdict::NotChecked, words::no_flux());
    };
    let expanded = flux.budget.as_ref().map(|b| b.expanded());
    let standard = flux.budget.as_ref().map(|b| b.combined);
    let rights: Vec<f64> = [flux.school_t, expanded, standard]
        .into_iter()
        .flatten()
        .filter(|u| *u > 0.0 && u.is_finite())
        .collect();
    let Some(first) = rights.first().copied() else {
        return bare(
            Stage::Uncertainty,
            Verdict::NotChecked,
            words::no_uncertainty(),
        );
    };
    let size = claim.figure.value.abs();
    // A percentage is of whatever B it belongs to: the right one gives it the right size.
    let b = flux.tesla.abs();
    let (scale, unit_known) = if claim.percent() {
        (b / 100.0, true)
    } else {
        let typed = claim.unit_of(Quantity::FluxDensity);
        let unit = typed.unwrap_or_else(|| unit_that_fits(size, first));
        (unit.to_si(1.0), typed.is_some())
    };
    let (value, half) = (size * scale, claim.half_place() * scale);
    let mut judged = Judged {
        right: words::uncertainty(flux, first),
        factor: ratio(value, first),
        ..bare(Stage::Uncertainty, Verdict::Right, words::RIGHT.into())
    };
    let near = |within: f64| rights.iter().any(|u| meets(value, *u, half, within));
    if near(NEAR) {
        if !unit_known {
            judged.verdict = Verdict::Unit;
            judged.text = words::unit_missing(&claim.unit, "mT");
            judged.hint = words::LOOK_AT_UNIT.into();
        } else if claim.figure.significant > 2 {
            judged.verdict = Verdict::Figures;
            judged.text = words::UNCERTAINTY_FIGURES.into();
            judged.hint = words::LOOK_AT_FIGURES.into();
        }
        return judged;
    }
    // Beside a B that is wrong by some factor an uncertainty that is wrong by the same follows rightly.
    if let Some(own_t) = own_t.filter(|_| !claim.percent()) {
        let scale = flux.tesla.abs() / own_t;
        if rights
            .iter()
            .any(|u| meets(value * scale, *u, half * scale, NEAR))
        {
            return carried(judged);
        }
    }
    let others = others(facts, flux.tesla.abs());
    let fitting = others.iter().find(|o| meets(value, o.tesla, half, 0.03));
    if let Some(other) = fitting {
        judged.verdict = Verdict::Slip;
        judged.text = words::uncertainty_slip(other.name).into();
        judged.hint = words::LOOK_AT_UNCERTAINTY.into();
        judged.slips = vec![vec![other.name]];
        return judged;
    }
    // A line drawn by eye may be out by as much as half.
    if rights.iter().any(|u| value > 0.5 * u && value < 2.0 * u) {
        judged.text = words::RIGHT_IN_SIZE.into();
        return judged;
    }
    judged.verdict = Verdict::Unexplained;
    judged.text = words::unexplained(judged.factor);
    judged.hint = words::LOOK_AT_UNCERTAINTY.into();
    judged
}

/// Uncertainties that known slips give.
fn others(facts: &Facts, tesla: f64) -> Vec<Other> {
    let Some(flux) = facts.flux else {
        return Vec::new();
    };
    let mut others = Vec::new();
    let mut add = |name: &'static str, tesla: f64| {
        if tesla.is_finite() && tesla > 0.0 {
            others.push(Other { name, tesla });
        }
    };
    let parts: Vec<f64> = flux.school_parts.iter().map(|p| p.1).collect();
    if let Some(school_t) = flux.school_t {
        add("range_not_halved", 2.0 * school_t);
        add("halved_twice", school_t / 2.0);
        if let [first, rest @ ..] = &parts[..]
            && !rest.is_empty()
        {
            let others: f64 = rest.iter().sum();
            add("only_the_gradients_percentage", first / 100.0 * tesla);
            add("only_the_other_percentages", others / 100.0 * tesla);
            add(
                "percentages_subtracted",
                (first - others).abs() / 100.0 * tesla,
            );
            let product: f64 = parts.iter().map(|p| p / 100.0).product();
            add("percentages_multiplied", product * tesla);
        }
        add("percentage_given_as_fraction", school_t / 100.0);
    }
    // Absolute uncertainties added where percentages belong: Δb in the shown unit, taken for tesla or millitesla.
    if let (Ok(extremes), Some(length)) = (&facts.series.extremes, facts.working.setup.length) {
        let gradient = extremes.half_difference() / facts.gradient_unit_si();
        if let Some(half) = length.half_width {
            add("absolute_uncertainties_added", gradient + half);
            add("absolute_uncertainties_added", 1e-3 * (gradient + half));
        }
    }
    others
}
