//! Each stage judged: against the right value, against what follows from the student's own earlier value, and against the
//! slips.

use super::claim::{Claim, quotient_in_si};
use super::facts::Facts;
use super::search::{Explanation, Wrong, explanations};
use super::{Answers, Judged, Stage, Verdict, points, words};
use crate::figures::round::{self, Digits};
use crate::figures::{Quantity, Unit};
use crate::job::{Working, tesla_unit};

/// An answer within this of the right value is right, whatever its rounding.
const RIGHT_WITHIN: f64 = 0.02;

/// Judges every stage that was answered.
pub fn judge(working: &Working, answers: &Answers) -> Vec<Judged> {
    let Some(facts) = Facts::of(working) else {
        return not_checked(answers, words::NO_LINE);
    };
    let averaged = points::judge(&facts, &answers.points);
    // Points that are not right have a line of their own, and what follows from it follows rightly.
    let own_series = averaged.own.and_then(|y| facts.series_of(&y));
    let from_points = own_series.as_ref().and_then(|series| facts.with(series));
    let from_points = from_points.as_ref();
    let mut own = Own::default();
    let mut judged = Vec::new();
    for stage in answered(answers) {
        let text = answers.at(stage);
        judged.push(match (stage, Claim::read(text)) {
            (Stage::Points, _) => averaged.judged.clone(),
            (_, None) => bare(stage, Verdict::Unread, words::unread(text)),
            (Stage::Gradient, Some(claim)) => gradient(&facts, from_points, &claim, &mut own),
            (Stage::Intercept, Some(claim)) => intercept(&facts, from_points, &claim),
            (Stage::FluxDensity, Some(claim)) => {
                flux_density(&facts, from_points, &claim, &mut own)
            }
            (Stage::Uncertainty, Some(claim)) => {
                super::uncertainty::judge(&facts, &claim, own.flux_t)
            }
            (Stage::PercentageDifference, Some(claim)) => {
                super::difference::judge(&facts, &claim, own.flux_t)
            }
        });
    }
    judged
}

/// Every stage that was answered, with nothing to check it against.
pub(super) fn not_checked(answers: &Answers, why: &str) -> Vec<Judged> {
    answered(answers)
        .map(|stage| bare(stage, Verdict::NotChecked, why.to_owned()))
        .collect()
}

fn answered(answers: &Answers) -> impl Iterator<Item = Stage> {
    let all = Stage::ALL.into_iter();
    all.filter(|stage| !answers.at(*stage).trim().is_empty())
}

/// What the student's own earlier answers were, SI, as sizes.
#[derive(Clone, Copy, Debug, Default)]
struct Own {
    gradient: Option<f64>,
    /// Half a place of it, relative.
    gradient_rounding: f64,
    /// Whether it is the right one.
    gradient_right: bool,
    flux_t: Option<f64>,
}

pub(super) fn bare(stage: Stage, verdict: Verdict, text: String) -> Judged {
    Judged {
        stage,
        verdict,
        slips: Vec::new(),
        factor: None,
        right: String::new(),
        hint: String::new(),
        text,
        working: String::new(),
    }
}

/// Half a place of a claim over its size.
pub(super) fn rounding(claim: &Claim) -> f64 {
    let size = claim.figure.value.abs();
    if size > 0.0 {
        claim.half_place() / size
    } else {
        0.0
    }
}

/// Whether a size rounds to the claim, or lies within `within` of it.
pub(super) fn meets(claimed: f64, right: f64, half_place: f64, within: f64) -> bool {
    let off = (claimed.abs() - right.abs()).abs();
    off <= half_place * (1.0 + 1e-9) || off <= within * right.abs()
}

/// T or mT, whichever brings a number without a unit closer to the right value: then the number is judged, and the unit
/// missed.
pub(super) fn unit_that_fits(size: f64, right_t: f64) -> Unit {
    let off = |unit: &Unit| libm::log((unit.to_si(size) / right_t).max(1e-300)).abs();
    let both = [Unit::TESLA, Unit::MILLITESLA];
    both.into_iter()
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .unwrap_or(Unit::TESLA)
}

/// Judges a gradient; `from_points` is the line through the student's own points, where these are not right.
fn gradient(facts: &Facts, from_points: Option<&Facts>, claim: &Claim, own: &mut Own) -> Judged {
    let readings = facts.readings();
    let shown_si = facts.gradient_unit_si();
    let y: Vec<Unit> = readings.y_unit.into_iter().collect();
    let x: Vec<Unit> = readings.x_unit.into_iter().collect();
    let typed_si = quotient_in_si(&claim.unit, &y, &x);
    let right_text = words::gradient(facts, facts.gradient());
    let half = claim.half_place();
    // A hand-drawn line may lie anywhere between the worst ones.
    let within = |(low, high): (f64, f64), unit_si: f64| {
        let (value, half) = (claim.figure.value * unit_si, half * unit_si);
        let near = |v: f64| v >= low - half && v <= high + half;
        near(value) || near(-value)
    };
    let range = facts.gradient_range();
    let in_range = |unit_si: f64| within(range, unit_si);
    let unit_si = typed_si.unwrap_or(shown_si);
    let value = claim.figure.value * unit_si;
    own.gradient = Some(value.abs()).filter(|v| *v > 0.0);
    own.gradient_rounding = rounding(claim);
    let mut judged = Judged {
        right: right_text,
        factor: ratio(value, facts.gradient()),
        ..bare(Stage::Gradient, Verdict::Right, String::new())
    };
    if in_range(unit_si) {
        own.gradient_right = true;
        let opposite = value * facts.gradient() < 0.0;
        if typed_si.is_none() {
            judged.verdict = Verdict::Unit;
            judged.text = words::unit_missing(&claim.unit, &facts.gradient_unit());
            judged.hint = words::LOOK_AT_UNIT.into();
            return judged;
        }
        let enough = 2;
        if claim.figure.significant < enough {
            judged.verdict = Verdict::Figures;
            judged.text = words::too_few_figures(claim.figure.significant, enough);
            judged.hint = words::LOOK_AT_FIGURES.into();
        } else if opposite {
            judged.text = words::SIGN_DROPPED.into();
        } else {
            judged.text = words::RIGHT.into();
        }
        return judged;
    }
    if from_points.is_some_and(|own| within(own.gradient_range(), unit_si)) {
        return carried(judged);
    }
    let slips_from = |facts: &Facts| {
        let wrong = Wrong {
            ratio: (value / facts.gradient()).abs(),
            rounding: rounding(claim),
            freedom: facts.freedom(),
            gradient_too: true,
            field_too: false,
            written: None,
        };
        explanations(facts, &wrong)
    };
    let found = slips_from(facts);
    // The number in some other power of the unit, so that only the unit is wrong.
    let powers = [1e-6, 1e-3, 1e3, 1e6];
    let power = powers.into_iter().find(|p| in_range(unit_si * p));
    if let Some(power) = power.filter(|_| found.is_empty()) {
        own.gradient = Some((value * power).abs());
        own.gradient_right = true;
        judged.verdict = Verdict::Unit;
        judged.text = words::unit_off_by_power(power);
        judged.hint = words::LOOK_AT_UNIT.into();
        return judged;
    }
    // What the right readings do not explain, their own may.
    let (base, found) = match from_points {
        Some(own) if found.is_empty() => (own, slips_from(own)),
        _ => (facts, found),
    };
    explain(&mut judged, found, |factor| {
        words::gradient(base, base.gradient() * factor)
    });
    judged
}

/// What follows rightly from an earlier value of the student's own.
pub(super) fn carried(judged: Judged) -> Judged {
    Judged {
        verdict: Verdict::Carried,
        text: words::CARRIED.into(),
        hint: words::LOOK_EARLIER.into(),
        ..judged
    }
}

pub(super) fn ratio(value: f64, right: f64) -> Option<f64> {
    let ratio = value / right;
    ratio.is_finite().then_some(ratio)
}

/// Turns explanations into a verdict.
pub(super) fn explain(judged: &mut Judged, found: Vec<Explanation>, shown: impl Fn(f64) -> String) {
    let Some(first) = found.first() else {
        judged.verdict = Verdict::Unexplained;
        judged.text = words::unexplained(judged.factor);
        judged.hint = words::LOOK_AGAIN.into();
        return;
    };
    judged.verdict = Verdict::Slip;
    judged.working = words::that_way(&shown(first.factor));
    judged.hint = words::hints(&first.slips);
    judged.text = words::said(&found.iter().map(|e| &e.slips[..]).collect::<Vec<_>>());
    judged.slips = found.into_iter().map(|e| e.slips).collect();
}

/// Judges an intercept; `from_points` as for the gradient.
fn intercept(facts: &Facts, from_points: Option<&Facts>, claim: &Claim) -> Judged {
    let readings = facts.readings();
    let Some(unit) = readings.y_unit else {
        return bare(Stage::Intercept, Verdict::NotChecked, words::NO_LINE.into());
    };
    let typed = claim.unit_of(unit.quantity());
    let right = facts.fitted.line.intercept;
    let step = readings.resolution.unwrap_or(0.0);
    let value = typed.unwrap_or(unit).to_si(claim.figure.value);
    let half = typed.unwrap_or(unit).to_si(claim.half_place()).abs();
    let meets = |facts: &Facts| {
        // What a line drawn by eye may miss.
        let reach = (2.0 * facts.fitted.intercept_error.unwrap_or(0.0)).max(step);
        (value - facts.fitted.line.intercept).abs() <= reach + half
    };
    let near = meets(facts);
    let mut judged = Judged {
        right: words::intercept(facts),
        factor: ratio(value, right),
        ..bare(Stage::Intercept, Verdict::Right, words::RIGHT.into())
    };
    match (near, typed) {
        (true, None) if claim.figure.value != 0.0 => {
            judged.verdict = Verdict::Unit;
            judged.text = words::unit_missing(&claim.unit, unit.symbol());
            judged.hint = words::LOOK_AT_UNIT.into();
        }
        (true, _) => {}
        (false, _) if from_points.is_some_and(meets) => return carried(judged),
        (false, _) => {
            judged.verdict = Verdict::Unexplained;
            judged.text = words::intercept_off();
            judged.hint = words::LOOK_AT_INTERCEPT.into();
        }
    }
    judged
}

/// Judges a flux density; `from_points` as for the gradient, and of use where no gradient was given.
fn flux_density(
    facts: &Facts,
    from_points: Option<&Facts>,
    claim: &Claim,
    own: &mut Own,
) -> Judged {
    let Some(flux) = facts.flux else {
        return bare(Stage::FluxDensity, Verdict::NotChecked, words::no_flux());
    };
    let right = flux.tesla.abs();
    let typed = claim.unit_of(Quantity::FluxDensity);
    let size = claim.figure.value.abs();
    let half_bare = claim.half_place();
    let unit = typed.unwrap_or_else(|| unit_that_fits(size, right));
    let (value, half) = (unit.to_si(size), unit.to_si(half_bare));
    own.flux_t = Some(value).filter(|v| *v > 0.0);
    let mut judged = Judged {
        right: words::flux_density(flux),
        factor: ratio(value, right),
        ..bare(Stage::FluxDensity, Verdict::Right, words::RIGHT.into())
    };
    let per = flux.per_gradient.abs();
    let in_range = |facts: &Facts| {
        let (low, high) = facts.gradient_range();
        let (low, high) = (low.abs().min(high.abs()), low.abs().max(high.abs()));
        value >= per * low - half && value <= per * high + half
    };
    let from_own = own.gradient.map(|b| b * per);
    let with_own = |b: f64| meets(value, b, half, 0.006 + own.gradient_rounding);
    let follows = from_own.is_some_and(with_own);
    let near_right = meets(value, right, half, RIGHT_WITHIN);
    // Where the gradient is known the answer must follow from it; without it a line drawn by eye has its freedom.
    let right_enough = match from_own {
        Some(_) if own.gradient_right => {
            follows || near_right && explained_by_ten(facts, value, from_own, half).is_none()
        }
        Some(_) => near_right,
        None => near_right || in_range(facts),
    };
    if right_enough {
        if typed.is_none() {
            judged.verdict = Verdict::Unit;
            judged.text = words::unit_missing(&claim.unit, tesla_unit(right).symbol());
            judged.hint = words::LOOK_AT_UNIT.into();
            return judged;
        }
        let wanted = figures_wanted(facts);
        let given = claim.figure.significant;
        if given + 1 < wanted || given < 2 {
            judged.verdict = Verdict::Figures;
            judged.text = words::too_few_figures(given, wanted);
            judged.hint = words::LOOK_AT_FIGURES.into();
        } else if given > wanted + 2 {
            judged.verdict = Verdict::Figures;
            judged.text = words::too_many_figures(given, wanted);
            judged.hint = words::LOOK_AT_FIGURES.into();
        }
        return judged;
    }
    if follows || from_own.is_none() && from_points.is_some_and(in_range) {
        return carried(judged);
    }
    if typed.is_none() && !claim.unit.is_empty() {
        // What the number would be in a unit that nobody knows is anybody's guess.
        judged.verdict = Verdict::Unread;
        judged.text = words::unknown_unit(&claim.unit, tesla_unit(right).symbol());
        judged.hint = words::LOOK_AT_UNIT.into();
        return judged;
    }
    let slips_from = |facts: &Facts, base: f64| {
        let (of_gradient, freedom) = match from_own {
            Some(_) => (own.gradient_rounding, 0.0),
            None => (0.0, facts.freedom()),
        };
        let wrong = Wrong {
            ratio: value / base,
            rounding: rounding(claim) + of_gradient,
            freedom,
            gradient_too: from_own.is_none(),
            field_too: true,
            written: typed,
        };
        explanations(facts, &wrong)
    };
    let found = slips_from(facts, from_own.unwrap_or(right));
    // What the right readings do not explain, their own may.
    let found = match from_points {
        Some(points) if from_own.is_none() && found.is_empty() => {
            let base = points.gradient().abs() * per;
            let mut found = slips_from(points, base);
            // The way of working is told as a factor of what is right.
            found.iter_mut().for_each(|e| e.factor *= base / right);
            found
        }
        _ => found,
    };
    let base = from_own.unwrap_or(right);
    explain(&mut judged, found, |factor| {
        words::tesla(base * factor, value)
    });
    judged
}

/// The value with g = 10 m/s², where the answer is that and not the one with the right g: two per cent apart, and to be told
/// only where the gradient that it came from is known.
fn explained_by_ten(facts: &Facts, value: f64, from_own: Option<f64>, half: f64) -> Option<f64> {
    let ten = 10.0 / facts.term("gravity")?.value;
    let predicted = from_own? * ten;
    ((ten - 1.0).abs() > 0.01 && meets(value, predicted, half, 0.003)).then_some(predicted)
}

/// Figures that the uncertainty leaves to B.
fn figures_wanted(facts: &Facts) -> u32 {
    let Some(flux) = facts.flux else { return 3 };
    let u = flux
        .school_t
        .or(flux.budget.as_ref().map(|b| b.expanded()))
        .filter(|u| *u > 0.0 && u.is_finite());
    let Some(u) = u else { return 3 };
    let rounded = round::with_uncertainty(flux.tesla.abs(), u, Digits::School);
    let digits = rounded.value.chars().filter(char::is_ascii_digit);
    let digits: String = digits.collect();
    let significant = digits.trim_start_matches('0').len() as u32;
    significant.clamp(2, 5)
}
