//! The sentences about answers, in one place.

use super::facts::Facts;
use super::groups::{MOST_GROUPS, NoGroups};
use super::slips;
use crate::field::FluxDensity;
use crate::figures::round::{self, Digits, to_significant, typeset, with_uncertainty};
use crate::figures::{Unit, excerpt};
use crate::job::tesla_unit;

pub const RIGHT: &str = "Right.";
pub const RIGHT_IN_SIZE: &str =
    "Right in size: worst lines drawn by eye differ from one hand to the next.";
pub const RIGHT_AS_FRACTION: &str =
    "Right, as a fraction; as a percentage it is a hundred times that.";
pub const SIGN_DROPPED: &str = "The number is right. Its sign was left out: the line falls, which only says which way the force points.";
pub const CARRIED: &str = "This follows rightly from your own earlier value, which is not right: mend that one and this one mends itself.";
pub const UNCERTAINTY_FIGURES: &str =
    "Right, but an uncertainty is given to one figure, or two when it begins with a 1.";

pub const POINTS_TOO_COARSE: &str =
    "Right, but to fewer decimals than the balance shows: the graph loses what they tell.";
pub const POINTS_AS_READ: &str =
    "Right, as read; the drift of the balance is taken off them before the line is drawn.";

pub const NO_LINE: &str = "There is no single line in these readings to check this against.";

pub const LOOK_AT_MEANS: &str = "Work the means out again, row by row.";
pub const LOOK_AT_UNIT: &str = "Look at the unit.";
pub const LOOK_AT_FIGURES: &str = "Look at how many figures you give.";
pub const LOOK_EARLIER: &str = "Look at the step before.";
pub const LOOK_AGAIN: &str = "Go through the calculation once more, with units at every step.";
pub const LOOK_AT_INTERCEPT: &str = "Where does your line meet the upright axis?";
pub const LOOK_AT_UNCERTAINTY: &str = "Which percentages go into B, and how are they joined?";
pub const LOOK_AT_DIFFERENCE: &str =
    "Which value is the difference divided by, and is it a percentage?";

pub fn no_such_group(name: &str) -> String {
    if name.is_empty() {
        "No group is named here, and each group has readings of its own.".into()
    } else {
        let short = excerpt(name);
        format!("There are no readings of group “{short}” to check this against.")
    }
}

/// Nobody's B can be checked.
pub const NO_FIELD_FOR_CLASS: &str =
    "No B can be checked yet: type the length of the wire in the field under Apparatus.";

/// A table of a class without a column of answers.
pub const NO_ANSWERS: &str = "No column of answers was found. Headings such as Name, Gradient, B and Uncertainty, with or without units, would do.";

/// What is told of a class when rows name groups that have no readings.
pub fn groups_without_readings(names: &[&str]) -> String {
    let shown: Vec<String> = names
        .iter()
        .take(8)
        .map(|name| match excerpt(name) {
            empty if empty.is_empty() => "none named".to_owned(),
            short => format!("“{short}”"),
        })
        .collect();
    let more = if names.len() > shown.len() {
        " and others"
    } else {
        ""
    };
    format!(
        "No readings stand under these groups, and their rows are not checked: {}{more}.",
        shown.join(", ")
    )
}

/// What is told where the readings have a column of groups and cannot be parted by it.
pub fn no_groups(why: &NoGroups) -> Option<String> {
    Some(match why {
        NoGroups::NoColumn => return None,
        NoGroups::OnlyOne => {
            "All readings belong to one group: every row is checked against them all.".into()
        }
        NoGroups::TooFewRows => "Most groups have one row of readings only, which makes no line: every row is checked against all readings together.".into(),
        NoGroups::TooMany { count } => format!(
            "The readings name {count} groups, more than the {MOST_GROUPS} that are told apart: every row is checked against all readings together."
        ),
    })
}

/// What is told of groups whose readings make no line.
pub fn groups_too_short(names: &[&str]) -> String {
    let shown: Vec<&str> = names.iter().take(8).copied().collect();
    format!(
        "These groups have one row of readings only, which makes no line: {}.",
        shown.join(", ")
    )
}

pub fn no_flux() -> String {
    "B cannot be worked out from what is given yet, so there is nothing to check this against."
        .into()
}

pub fn no_uncertainty() -> String {
    "These readings leave no uncertainty of B to check this against.".into()
}

pub fn no_expected() -> String {
    "No expected value is given, so there is nothing to check this against.".into()
}

pub fn unread(text: &str) -> String {
    let short = excerpt(text);
    format!(
        "“{short}” could not be read as a number with a unit; something like 32.7 mT or 0.166 g/A would do."
    )
}

pub fn points_unread(item: &str) -> String {
    let short = excerpt(item);
    format!(
        "“{short}” could not be read as a number; a list such as 0.08, 0.17, 0.25 would do, one value a reading."
    )
}

pub fn points_count(seen: usize, there: usize) -> String {
    let values = if seen == 1 {
        "value was"
    } else {
        "values were"
    };
    let points = if there == 1 { "is" } else { "are" };
    format!(
        "{seen} {values} seen and there {points} {there} in the table: one for each current is wanted, in the order of the table."
    )
}

pub fn one_row_off(row: usize, right: &str) -> String {
    format!("All are right but that of row {row}, which should be {right}.")
}

pub fn work_row_again(row: usize) -> String {
    format!("Work the mean of row {row} out again.")
}

/// Which values do not match.
pub fn points_off(rows: &[usize]) -> String {
    let shown: Vec<String> = rows.iter().take(12).map(usize::to_string).collect();
    let more = if rows.len() > shown.len() {
        " and others"
    } else {
        ""
    };
    let one = rows.len() == 1;
    format!(
        "The {} of {} {}{more} {} not match, and no slip known here explains it.",
        if one { "value" } else { "values" },
        if one { "row" } else { "rows" },
        shown.join(", "),
        if one { "does" } else { "do" },
    )
}

/// Averaged readings in the unit in which they are seen, as many as anybody reads.
pub fn points(facts: &Facts, values_si: &[f64]) -> String {
    let readings = facts.readings();
    let unit = readings.y_unit.unwrap_or(Unit::GRAM);
    // A mean of several has one place more than each of them.
    let places = readings.y_decimals + i32::from(!readings.repeats.is_empty());
    let shown: Vec<String> = values_si
        .iter()
        .take(20)
        .map(|si| round::to_decimals(unit.from_si(*si), places))
        .collect();
    let more = if values_si.len() > shown.len() {
        ", …"
    } else {
        ""
    };
    typeset(&format!("{}{more} {}", shown.join(", "), unit.symbol()))
}

/// What parts the likeliest explanation from the others.
pub const OR_ELSE: &str = " Or it may have been this: ";

/// What may have happened, the likeliest first.
pub fn either<'a>(said: impl Iterator<Item = &'a str>) -> String {
    let said: Vec<&str> = said.collect();
    match &said[..] {
        [] => String::new(),
        [only] => (*only).to_owned(),
        [first, others @ ..] => {
            format!("{first}{OR_ELSE}{}", others.join(" Or: "))
        }
    }
}

/// A unit that is none of the quantity, beside a number that is not right in any of its units.
pub fn unknown_unit(typed: &str, wanted: &str) -> String {
    format!("“{typed}” is not understood as a unit of this; {wanted} would do.")
}

pub fn unit_missing(typed: &str, wanted: &str) -> String {
    if typed.is_empty() {
        format!("The number is right; its unit is missing: {wanted}.")
    } else {
        format!("The number is right; “{typed}” is not its unit: {wanted} would be.")
    }
}

pub fn unit_off_by_power(power: f64) -> String {
    let (factor, way) = if power < 1.0 {
        (1.0 / power, "too large")
    } else {
        (power, "too small")
    };
    format!(
        "The figures are right, but with this unit the number is {} times {way}.",
        typeset(&round::shortest(factor))
    )
}

pub fn too_few_figures(given: u32, wanted: u32) -> String {
    format!(
        "Right, but the readings allow {wanted} figures and {given} {} given.",
        if given == 1 { "is" } else { "are" }
    )
}

pub fn too_many_figures(given: u32, wanted: u32) -> String {
    format!("Right, but to {given} figures: the uncertainty leaves {wanted}.")
}

pub fn intercept_off() -> String {
    "The line of these readings meets the axis somewhere else.".into()
}

/// How far off an answer is that nothing explains.
pub fn unexplained(factor: Option<f64>) -> String {
    let size = factor.map(f64::abs).filter(|f| *f > 0.0 && f.is_finite());
    let how_far = match size {
        Some(f) if (0.5..2.0).contains(&f) => {
            let percent = 100.0 * (f - 1.0);
            let way = if percent > 0.0 {
                "too large"
            } else {
                "too small"
            };
            format!("It is {} % {way}.", to_significant(percent.abs(), 2))
        }
        Some(f) => {
            let (times, way) = if f > 1.0 {
                (f, "large")
            } else {
                (1.0 / f, "small")
            };
            let power = libm::round(libm::log10(f));
            format!(
                "It is {} times too {way}, about 10{}.",
                typeset(&to_significant(times, 2)),
                superscript(power as i32)
            )
        }
        None => String::new(),
    };
    format!("This does not match, and no slip known here explains it. {how_far}")
        .trim_end()
        .to_owned()
}

fn superscript(power: i32) -> String {
    power
        .to_string()
        .chars()
        .map(|c| match c {
            '-' => '⁻',
            '1' => '¹',
            '2' => '²',
            '3' => '³',
            digit => char::from_u32(0x2070 + (digit as u32 - 0x30)).unwrap_or(digit),
        })
        .collect()
}

/// What the slips were, the likeliest first; one that all explanations share is said once.
pub fn said(explanations: &[&[&'static str]]) -> String {
    // One that only adds to a likelier one says nothing new.
    let adds = |place: usize, names: &[&'static str]| {
        let mut before = explanations.iter().take(place);
        before.any(|likelier| likelier.iter().all(|name| names.contains(name)))
    };
    let explanations: Vec<&[&'static str]> = explanations
        .iter()
        .enumerate()
        .filter(|(place, names)| !adds(*place, names))
        .map(|(_, names)| *names)
        .collect();
    let together = |names: Vec<&'static str>| {
        let said = names.into_iter().filter_map(slips::named).map(|s| s.said);
        said.collect::<Vec<&str>>().join(" And: ")
    };
    let in_all = |name: &&'static str| explanations.iter().all(|names| names.contains(name));
    let first = explanations.first().copied().unwrap_or_default();
    let shared: Vec<&'static str> = first.iter().copied().filter(|n| in_all(n)).collect();
    let apart = explanations.iter().all(|names| names.len() > shared.len());
    let shared = if apart { shared } else { Vec::new() };
    let said: Vec<String> = explanations
        .iter()
        .map(|names| names.iter().copied().filter(|n| !shared.contains(n)))
        .map(|names| together(names.collect()))
        .collect();
    let rest = either(said.iter().map(String::as_str));
    if shared.is_empty() {
        rest
    } else {
        format!("{} And: {rest}", together(shared))
    }
}

pub fn hints(names: &[&'static str]) -> String {
    let hints: Vec<&str> = names
        .iter()
        .filter_map(|n| slips::named(n))
        .map(|s| s.hint)
        .collect();
    hints.join(" ")
}

pub fn that_way(value: &str) -> String {
    format!("That way of working gives {value}.")
}

pub fn gradient(facts: &Facts, si: f64) -> String {
    let value = si / facts.gradient_unit_si();
    typeset(&format!("{} {}", figures(value), facts.gradient_unit()))
}

pub fn intercept(facts: &Facts) -> String {
    let unit = facts.readings().y_unit.unwrap_or(Unit::GRAM);
    let value = unit.from_si(facts.fitted.line.intercept);
    let places = facts.readings().y_decimals + 1;
    typeset(&format!(
        "{} {}",
        round::to_decimals(value, places),
        unit.symbol()
    ))
}

/// The right flux density with its uncertainty.
pub fn flux_density(flux: &FluxDensity) -> String {
    let unit = tesla_unit(flux.tesla);
    let value = unit.from_si(flux.tesla.abs());
    let u = flux.school_t.filter(|u| *u > 0.0 && u.is_finite());
    typeset(&match u {
        Some(u) => format!(
            "({}) {}",
            with_uncertainty(value, unit.from_si(u), Digits::School),
            unit.symbol()
        ),
        None => format!("{} {}", to_significant(value, 3), unit.symbol()),
    })
}

/// A flux density beside the one that was typed, in the unit that suits it.
pub fn tesla(tesla: f64, beside: f64) -> String {
    let unit = tesla_unit(beside);
    typeset(&format!(
        "{} {}",
        figures(unit.from_si(tesla)),
        unit.symbol()
    ))
}

pub fn uncertainty(flux: &FluxDensity, u: f64) -> String {
    let unit = tesla_unit(flux.tesla);
    let percent = 100.0 * u / flux.tesla.abs();
    typeset(&format!(
        "± {} {}, {} %",
        to_significant(unit.from_si(u), 1),
        unit.symbol(),
        to_significant(percent, 2)
    ))
}

pub fn percentage(percent: f64) -> String {
    typeset(&format!("{} %", to_significant(percent, 2)))
}

fn figures(value: f64) -> String {
    let size = value.abs();
    if (1e-3..1e6).contains(&size) {
        to_significant(value, 4)
    } else {
        round::scientific(value, 4)
    }
}

pub fn uncertainty_slip(name: &str) -> &'static str {
    match name {
        "range_not_halved" => {
            "The whole range was given: the uncertainty is half of the difference between the two worst lines."
        }
        "halved_twice" => "It was halved twice.",
        "only_the_gradients_percentage" => {
            "Only the gradient’s percentage is in it: the others have to be added."
        }
        "only_the_other_percentages" => {
            "The gradient’s percentage is missing: it has to be added to the others."
        }
        "percentages_subtracted" => {
            "The percentages were subtracted. They add, whether one multiplies or divides."
        }
        "percentages_multiplied" => "The percentages were multiplied. They add.",
        "percentage_given_as_fraction" => "The percentage was divided by a hundred once too often.",
        _ => {
            "Absolute uncertainties were added. They have different units: turn them into percentages first."
        }
    }
}

pub fn difference_slip(name: &str) -> &'static str {
    match name {
        "fraction_with_a_percent_sign" => {
            "This is the fraction with a percent sign: as a percentage it is a hundred times that."
        }
        "difference_over_the_measured_value" => {
            "The difference was divided by the measured value. It is divided by the expected one."
        }
        "difference_over_the_mean" => {
            "The difference was divided by the mean of the two. It is divided by the expected value."
        }
        _ => "This is one value as a percentage of the other. Take their difference first.",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_that_all_explanations_share_is_said_once() {
        let grams = slips::named("mass_left_in_grams").expect("a slip").said;
        let half = slips::named("length_halved").expect("a slip").said;
        let g = slips::named("gravity_left_out").expect("a slip").said;
        let text = said(&[
            &["mass_left_in_grams", "length_halved"],
            &["mass_left_in_grams", "gravity_left_out"],
        ]);
        for sentence in [grams, half, g] {
            assert_eq!(text.matches(sentence).count(), 1, "{text}");
        }
        // One that only adds to a likelier one is not said.
        let text = said(&[
            &["mass_left_in_grams"],
            &["mass_left_in_grams", "gravity_left_out"],
        ]);
        assert_eq!(text, grams);
        assert_eq!(said(&[&["length_halved"]]), half);
    }
}
