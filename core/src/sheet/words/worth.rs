//! The sentences on what the line and B are worth: scatter against stated uncertainties, patterns, prediction, drift,
//! several series together, effective length, simulation.

use crate::field::effective_length::{EffectiveLength, product_from_balance};
use crate::field::monte_carlo::{Outcome, settled_decimals};
use crate::field::{Budget, FluxDensity};
use crate::figures::round::{Digits, percent, to_decimals, typeset, with_uncertainty};
use crate::line::band::Band;
use crate::line::joint::Joint;
use crate::line::residual_tests::Pattern;
use crate::line::{Fitted, Scatter};
use crate::readings::{Family, Order};
use crate::sheet::algebra::{Term, measure, with_unit};
use crate::sheet::scale::{Scale, flux_beside, flux_term, is_small, number};
use crate::sheet::{Found, Given};

/// A probability in per cent, as a reader can take it in.
fn chance(probability: f64) -> String {
    match 100.0 * probability {
        little if little < 0.01 => "less than 0.01 %".to_owned(),
        much if much > 99.9 => "more than 99.9 %".to_owned(),
        some => format!("{} %", percent(some)),
    }
}

/// Whether the scatter is what the stated uncertainties lead one to expect; `None` for the fits that use none.
pub(in crate::sheet) fn chi_squared(given: &Given, best: &Fitted) -> Option<String> {
    let (chi_squared, probability) = (best.chi_squared?, best.chi_squared_probability()?);
    let verdict = match Scatter::of(probability) {
        Scatter::More => {
            "the points scatter more than their stated uncertainties allow: these are too small, or the line is not straight"
        }
        Scatter::Less => "the points scatter less than stated: the uncertainties may be too large",
        Scatter::AsStated => "the scatter is what the stated uncertainties lead one to expect",
    };
    let scaled = best.rescaled().and_then(|line| line.gradient_error);
    let other = match scaled.filter(|_| !given.relative) {
        Some(error) => format!(
            " If only their proportions were trusted, the standard error of b would be {}.",
            Scale::of(given.readings).gradient_text(error, 3)
        ),
        None => String::new(),
    };
    Some(format!(
        "The squares of the distances over the stated uncertainties add up to χ² = {} for {} degrees of freedom. So much or \
         more comes up by chance with a probability of {}: {verdict}.{other}",
        number(chi_squared, 3),
        best.degrees_of_freedom,
        chance(probability)
    ))
}

/// Whether the residuals come and go by chance; `None` where there are too few to say.
pub(in crate::sheet) fn patterns(found: &Found) -> Option<String> {
    let tests = found.residual_tests?;
    let runs = tests.runs.filter(|runs| runs.above + runs.below >= 5)?;
    let (how_many, probability, verdict) = match Pattern::of(runs.at_most, runs.at_least) {
        Pattern::ByTurns => (
            "many or more",
            runs.at_least,
            "that is many, as where readings go up and down by turns",
        ),
        Pattern::Bend => (
            "few or fewer",
            runs.at_most,
            "that is few, as along a bend: look at the residuals",
        ),
        Pattern::Chance => ("few or fewer", runs.at_most, "that shows no pattern"),
    };
    Some(format!(
        "From left to right {} points lie above and {} below the line, in {} runs of one side; so {how_many} come up by \
         chance with a probability of {}: {verdict}. Durbin–Watson d = {} (near 2 without a pattern).",
        runs.above,
        runs.below,
        runs.runs,
        chance(probability),
        to_decimals(tests.durbin_watson, 2)
    ))
}

/// What the line says of one more reading at the largest x; `None` without a scatter to go by.
pub(in crate::sheet) fn prediction(given: &Given, best: &Fitted) -> Option<String> {
    let s = best.residual_sd.filter(|s| *s > 0.0)?;
    if !given.way.standard() || best.degrees_of_freedom == 0 {
        return None;
    }
    let band = Band::of(best, 0.95)?;
    let scale = Scale::of(given.readings);
    let used = given.readings.points.iter().filter(|p| !p.excluded);
    let high = used.map(|p| p.x).fold(f64::NEG_INFINITY, f64::max);
    let stated = |half: f64| {
        let (value, half) = (scale.y.shown(best.line.at(high)), scale.y.shown(half));
        let rounded = with_uncertainty(value, half, Digits::School);
        match rounded.uncertainty {
            Some(u) => with_unit(
                &typeset(&format!("({} ± {u})", rounded.value)),
                scale.y.unit(),
            ),
            None => with_unit(&typeset(&rounded.value), scale.y.unit()),
        }
    };
    Some(format!(
        "At {} = {} the line itself is known to {} at 95 %; one more reading there would lie within {}.",
        scale.x.symbol,
        scale.x.with_unit(high, 0),
        stated(band.half_width(high)),
        stated(band.half_width_of_reading(high, s))
    ))
}

/// What difference it makes which quantity was set; `None` where it makes none worth a word.
pub(in crate::sheet) fn inverse(given: &Given, found: &Found, best: &Fitted) -> Option<String> {
    let (line, tesla) = found.inverse?;
    let apart = 100.0 * (line.gradient / best.line.gradient - 1.0);
    if apart.abs() < 0.05 {
        return None;
    }
    let scale = Scale::of(given.readings);
    let (x, y) = (scale.x.letter, scale.y.letter);
    let b = tesla.map_or(String::new(), |tesla| {
        format!(" and B = {}", flux_term(tesla, 4).plain())
    });
    Some(format!(
        "If {y} was set and {x} was the quantity read, the scatter is in {x}, and the line of {x} on {y} counts: turned back \
         it gives b = {}{b}, {} % more.",
        scale.gradient_text(line.gradient, 4),
        percent(apart)
    ))
}

/// The unit of a drift: `g/min` where the table gives times, else `g` for each reading.
pub(in crate::sheet) fn drift_rate(given: &Given, rate: f64, figures: u32) -> Term {
    let scale = Scale::of(given.readings);
    let unit = scale.y.unit();
    match given.readings.order {
        Order::Time => measure(
            number(scale.y.shown(rate) * 60.0, figures),
            &format!("{unit}/min"),
        ),
        Order::Counter | Order::Row => measure(
            number(scale.y.shown(rate), figures),
            &format!("{unit} for each reading"),
        ),
    }
}

pub(in crate::sheet) fn with_drift(n: usize) -> String {
    format!(
        "By least squares with a steady drift c of the zero, from all {n} points: gradient and drift are found together, so \
         that the squares of the distances add up to the least. The points above stand without the drift."
    )
}

pub(in crate::sheet) fn drift_errors(best: &Fitted) -> String {
    format!(
        "Standard errors; n − 3, since gradient, zero and drift all come from the same readings ({} {}):",
        best.degrees_of_freedom,
        super::plural(
            best.degrees_of_freedom,
            "degree of freedom",
            "degrees of freedom"
        )
    )
}

/// Below the points from which a drift was taken off; `None` when none was.
pub(in crate::sheet) fn drift_taken_off(given: &Given) -> Option<String> {
    let drift = given.found.iter().find_map(|found| found.drift)?;
    let several = given.found.len() > 1;
    let rate = if several {
        String::new()
    } else {
        format!(" of {}", drift_rate(given, drift.rate, 3).plain())
    };
    let of = given
        .found
        .iter()
        .enumerate()
        .filter(|(_, f)| f.drift.is_some());
    let of: Vec<String> = of.map(|(family, _)| super::series(given, family)).collect();
    let whose = if several {
        format!(" off {}", of.join(" and "))
    } else {
        " off".to_owned()
    };
    Some(format!(
        "The zero of the balance moved steadily while the readings were taken: a drift{rate}, found together with the \
         gradient, has been taken{whose}, counted from the first reading."
    ))
}

/// One flux density from several series.
pub(in crate::sheet) fn joint(given: &Given, joint: &Joint, budget: &Budget) -> String {
    let families = &given.readings.families;
    let differ =
        |of: fn(&Family) -> Option<f64>| families.windows(2).any(|w| of(&w[0]) != of(&w[1]));
    let grows = if differ(|f| Some(f.wires)) {
        " In other words: the gradients grow in proportion to the number of wires."
    } else if differ(|f| f.length_m) {
        " In other words: the gradients grow in proportion to the length of the wire."
    } else {
        ""
    };
    let common: Vec<&str> = budget
        .sources
        .iter()
        .filter(|s| s.name != "gradients")
        .map(|s| s.name)
        .collect();
    let common = if common.is_empty() {
        String::new()
    } else {
        format!(
            " What is the same for all series ({}) does not average out and is added afterwards.",
            common.join(", ")
        )
    };
    format!(
        "Each series keeps a zero of its own, and all share one field: B is the mean of the values above, each counting by the \
         inverse square of its uncertainty, with the scatter of all series pooled into one. They scatter about it as chance would have them (P = {}).{grows}{common}",
        chance(joint.p_value)
    )
}

/// How the effective length is found.
pub(in crate::sheet) fn effective_length(found: &EffectiveLength, used: bool) -> String {
    let end = if used {
        "It is used as L below."
    } else {
        "It stands here for comparison; the length above is the one used."
    };
    format!(
        "Effective length, from a probe walked along the wire ({} places). The field does not stop at the edge of the poles; \
         this is the length of an even field, as strong as in the middle, that would push as hard. The integral is taken in \
         straight pieces. {end}",
        found.places
    )
}

/// What the uncertainty of the effective length is made of.
pub(in crate::sheet) fn effective_length_parts(found: &EffectiveLength) -> String {
    let millimetres = |m: f64| format!("{} mm", number(m * 1e3, 2));
    let [readings, positions, pieces] = found.parts_m.map(millimetres);
    format!(
        "Its uncertainty comes from the readings of the probe ({readings}), from the positions ({positions}) and from joining \
         the readings by straight lines ({pieces}), added as squares."
    )
}

/// The integral of the probe against B times length from the balance; `None` without both.
pub(in crate::sheet) fn integrals(given: &Given) -> Option<String> {
    let (walk, _) = given.effective_length?;
    let [only] = &given.found[..] else {
        return None;
    };
    let (balance, own) = product_from_balance(only.flux_density?)?;
    let stated = |tesla_metres: f64, u: Option<f64>| {
        let value = 1e3 * tesla_metres.abs();
        match u.map(|u| 1e3 * u).filter(|u| *u > 0.0) {
            Some(u) => with_unit(
                &format!("({})", with_uncertainty(value, u, Digits::School)),
                "mT m",
            ),
            None => with_unit(&number(value, 3), "mT m"),
        }
    };
    let theirs = walk.u_integral_t_m;
    let verdict = own.map(|own| {
        let apart = (balance.abs() - walk.integral_t_m.abs()).abs();
        if apart <= 2.0 * (own * own + theirs * theirs).sqrt() {
            "The two agree within twice their combined standard uncertainty."
        } else {
            "The two differ by more than twice their combined standard uncertainty: then it is not the length that is to \
             blame, but a calibration, the position of the walk, or a reading."
        }
    });
    Some(format!(
        "The force depends on the integral of B along the wire alone. The balance gives B L = {}, the probe {} (standard \
         uncertainties). {}",
        stated(balance, own),
        stated(walk.integral_t_m, Some(theirs)),
        verdict.unwrap_or("Without an uncertainty of the gradient nothing more can be said.")
    ))
}

/// What the simulation says beside the budget.
pub(in crate::sheet) fn monte_carlo(
    outcome: &Outcome,
    flux: &FluxDensity,
    budget: &Budget,
) -> String {
    let (unit, per) = if is_small(flux.tesla) {
        ("mT", 1e-3)
    } else {
        ("T", 1.0)
    };
    let error = outcome.numerical_error.interval[0].max(outcome.numerical_error.interval[1]);
    let places = settled_decimals(error / per);
    let [low, high] = outcome.interval.map(|end| to_decimals(end / per, places));
    let wider =
        100.0 * ((outcome.interval[1] - outcome.interval[0]) / (2.0 * budget.expanded()) - 1.0);
    let verdict = if outcome.agrees_with(flux.tesla, budget.combined, budget.expanded()) {
        "The budget gives the same, so it can be trusted.".to_owned()
    } else if wider >= 0.5 {
        format!(
            "That is {} % wider than the budget gives: with few readings the scatter itself is poorly known, or B depends on \
             some quantity in a curved way. Where it matters, the simulated range is the one to give.",
            to_decimals(wider, 0)
        )
    } else if wider <= -0.5 {
        format!(
            "That is {} % narrower than the budget gives, which is on the safe side.",
            to_decimals(-wider, 0)
        )
    } else {
        "That is as wide as the budget gives, but not quite in the same place.".to_owned()
    };
    format!(
        "Check by simulation (JCGM 101:2008): {} practicals were simulated, with the gradient and every uncertain quantity \
         drawn at random within its uncertainty. In 95 of 100 of them B lies between {low} and {high} {unit} (numerical \
         error {}). {verdict}",
        outcome.trials,
        flux_beside(error, 1, flux.tesla).plain()
    )
}

/// Why the sine of a right angle needs care; `None` unless its uncertainty is in the budget and the angle is near 90°.
pub(in crate::sheet) fn right_angle(flux: &FluxDensity) -> Option<String> {
    let term = flux
        .terms
        .iter()
        .find(|t| t.name == "angle" && t.half_width.is_some_and(|u| u > 0.0))?;
    let u = term.half_width?;
    // Where the first derivative is the smaller part it says too little.
    if libm::cos(term.value).abs() > u {
        return None;
    }
    Some(format!(
        "Near a right angle the sine hardly changes with the angle, and whichever way the wire is tilted it only gets smaller: \
         by {} % for a tilt of {}°. So an angle that is not quite 90° makes the true B a little larger than the one found, never \
         smaller. The budget takes the second-order part of it.",
        percent(100.0 * (1.0 - libm::cos(u))),
        number(u.to_degrees(), 2)
    ))
}
