//! All sentences of the practice sets.

use crate::figures::excerpt;
use crate::figures::round::{self, Rounded, typeset};
use crate::job::tesla_unit;

use super::levels::Level;
use super::limits::Size;

/// A typed size that cannot be read.
pub(super) fn unread(label: &str, text: &str, usual: &str) -> String {
    let text = excerpt(text);
    format!("{label}: “{text}” is no such size; {usual} would do.")
}

/// A level's name and one sentence about it.
pub(super) fn level(level: Level) -> (&'static str, &'static str) {
    match level {
        Level::StraightAndClean => (
            "Straight and clean",
            "The points lie close to a straight line through zero, and nothing went wrong.",
        ),
        Level::GoodDay => (
            "As on a good day",
            "The points scatter a little, as they do when everything is done with care.",
        ),
        Level::ReadThreeTimes => (
            "Each current read three times",
            "The three readings differ, so there are means and spreads to work out first.",
        ),
        Level::ZeroOut => (
            "A zero that is out",
            "The balance did not show zero at the start, so the line misses the origin.",
        ),
        Level::OneToFind => (
            "One reading to find",
            "One reading is wrong, and the graph shows which.",
        ),
        Level::BothWays => (
            "Current both ways",
            "Every current was also sent the other way, so half of the readings are negative, and the zero is out.",
        ),
        Level::Drift => (
            "A balance that creeps",
            "The reading moves a little all the time, and the currents were set in a mixed order so that it shows.",
        ),
        Level::WarmWire => (
            "A line that bends",
            "The wire grew warm and moved at the higher currents, so the points follow a curve.",
        ),
        Level::SeveralWires => (
            "One, two and three wires",
            "There is a line for each number of wires, and all of them should give the same field.",
        ),
        Level::SeveralLengths => (
            "Wires of several lengths",
            "The current stays the same, and the length of the wire is changed.",
        ),
        Level::TurnedWire => (
            "A wire that is turned",
            "The current stays the same, and the angle between wire and field is changed.",
        ),
        Level::EverythingAtOnce => (
            "Everything at once",
            "The zero is out, the balance creeps, the points scatter, and one reading is wrong.",
        ),
    }
}

/// The title of a student's set.
pub(super) fn title(seed: u32, student: u32) -> String {
    format!("Practice set {seed}, number {student}")
}

/// A flux density in the unit that reads better, with three figures at least.
pub(super) fn tesla(tesla: f64) -> String {
    let unit = tesla_unit(tesla);
    let value = unit.from_si(tesla);
    let number = at_least(value, round::decimals_for(value, 3));
    format!("{number} {}", unit.symbol())
}

/// A heading with the half-width that holds for the whole column, if there is one; both in its unit.
pub(super) fn heading(symbol: &str, unit: &str, half_width: f64) -> String {
    if half_width > 0.0 {
        format!(
            "{symbol} / {unit} ± {}",
            round::shortest(trimmed(half_width))
        )
    } else {
        format!("{symbol} / {unit}")
    }
}

/// A length in cm without its unit: to the millimetre at least, and to the place of its uncertainty.
pub(super) fn centimetres(length_m: f64, uncertainty_m: f64) -> String {
    let place = own_decimals(100.0 * uncertainty_m).max(1);
    at_least(100.0 * length_m, place)
}

/// A small length in mm.
pub(super) fn millimetres(length_m: f64) -> String {
    format!("{} mm", round::shortest(trimmed(1000.0 * length_m)))
}

/// Without what arithmetic left beyond the sixth figure.
fn trimmed(value: f64) -> f64 {
    round::to_significant(value, 6).parse().unwrap_or(value)
}

/// With so many decimals, or with all of its own where it has more.
fn at_least(value: f64, decimals: i32) -> String {
    round::to_decimals(value, decimals.max(own_decimals(value)))
}

/// How many decimals a number has.
fn own_decimals(value: f64) -> i32 {
    let text = round::shortest(trimmed(value));
    let decimals = text.split_once('.').map_or(0, |(_, more)| more.len());
    i32::try_from(decimals).unwrap_or(0)
}

/// A mass as a balance of that step would show it, or with all decimals of its own where it has more.
fn grams(mass_g: f64, step_g: f64) -> String {
    typeset(&at_least(mass_g, round::decimals_for(step_g, 1).max(0)))
}

/// What a series is called, before what is said of it.
pub(super) fn labelled(label: &str, text: &str) -> String {
    if label.is_empty() {
        text.to_owned()
    } else {
        format!("{label}: {text}")
    }
}

/// A flux density to three figures in the unit that reads better.
pub(super) fn rounded_tesla(tesla: f64) -> String {
    let unit = tesla_unit(tesla);
    let number = round::to_significant(unit.from_si(tesla), 3);
    format!("{number} {}", unit.symbol())
}

/// The title of the answer key.
pub(super) fn key_title(seed: u32) -> String {
    format!("Practice set {seed}: answer key")
}

pub(super) const NUMBER: &str = "Number";

pub(super) const ANSWERS: &str = "Answers";

pub(super) const ANSWERS_CAPTION: &str = "The true B, and what the readings give. A true B may lie outside: about one \
    time in twenty for the 95 % range, and oftener where a fault was put in.";

pub(super) const ANSWER_HEADINGS: [&str; 5] = [
    NUMBER,
    "True B",
    "Gradient and standard error",
    "B, percentages added",
    "B, 95 % range",
];

pub(super) const EACH: &str = "Student by student";

pub(super) const PUT_IN: &str = "What was put in";

pub(super) const NOTHING_PUT_IN: &str = "Nothing but scatter.";

pub(super) const SHOWN: &str = "What the readings show first";

pub(super) const NOTHING_SHOWN: &str = "Nothing out of the ordinary.";

pub(super) const SLIPS_HEADING: &str = "Common slips";

pub(super) const SLIPS_CAPTION: &str = "What B becomes with each slip";

/// A gradient in its unit.
pub(super) fn gradient(rounded: &Rounded, y_unit: &str, x_unit: &str) -> String {
    let unit = if x_unit.is_empty() {
        y_unit.to_owned()
    } else {
        format!("{y_unit}/{x_unit}")
    };
    let number = typeset(&rounded.to_string());
    if rounded.uncertainty.is_some() {
        format!("({number}) {unit}")
    } else {
        format!("{number} {unit}")
    }
}

/// The zero is out.
pub(super) fn zero_error(zero_g: f64, step_g: f64) -> String {
    format!(
        "The balance shows {} g when no current flows.",
        with_plus(zero_g, grams(zero_g, step_g))
    )
}

/// The balance creeps.
pub(super) fn drift(drift_g: f64, whole_g: f64, step_g: f64) -> String {
    format!(
        "The balance creeps by {} g from each reading to the next, {} g from the first to the last.",
        with_plus(drift_g, grams(drift_g, step_g / 10.0)),
        with_plus(whole_g, grams(whole_g, step_g / 10.0))
    )
}

/// One reading is wrong.
pub(super) fn outlier(row: usize, repeat: Option<usize>, off_g: f64, step_g: f64) -> String {
    let of_repeat = repeat.map_or(String::new(), |repeat| format!(", reading {repeat},"));
    format!(
        "Row {row}{of_repeat} is {} g too {}.",
        grams(off_g.abs(), step_g),
        if off_g > 0.0 { "high" } else { "low" }
    )
}

/// The line bends.
pub(super) fn warming(part: f64, current_a: f64) -> String {
    format!(
        "The wire grows warm and moves: the push falls behind the current, by {} % at {} A.",
        round::percent(100.0 * part),
        shortest(current_a)
    )
}

pub(super) const REVERSED: &str = "Every current was read both ways.";

pub(super) const MIXED: &str = "The readings were taken in a mixed order.";

pub(super) const LATER_VERSION: &str = "This recipe comes from a later release. What this release does not know of it was \
    left out, so the readings may differ from those of that release.";

pub(super) const TWO_WIRES: &str =
    "A comparison of wires needs two of them at least: one and two wires were taken.";

pub(super) const NO_WARMING: &str =
    "The current stays the same in these sets, so warming cannot bend the line: it was left out.";

pub(super) const NO_REVERSAL: &str =
    "The current stays the same in these sets, so it was not reversed.";

/// A size was brought within its limits.
pub(super) fn taken_instead(size: &Size, asked: f64, taken: f64) -> String {
    let seen = if asked.is_nan() {
        "is not a number".to_owned()
    } else {
        format!("cannot be {}", with_unit(asked, size.unit))
    };
    format!(
        "The {} {seen}: {} was taken. It may lie between {} and {}.",
        size.what,
        with_unit(taken, size.unit),
        with_unit(size.low, ""),
        with_unit(size.high, size.unit)
    )
}

/// A step was rounded.
pub(super) fn one_figure(size: &Size, asked: f64, taken: f64) -> String {
    format!(
        "The {} has one figure only, as 0.01 or 0.05 {}: {} was taken for {}.",
        size.what,
        size.unit,
        with_unit(taken, size.unit),
        with_unit(asked, size.unit)
    )
}

/// The currents could not be told apart.
pub(super) fn taken_finer(asked_a: f64, taken_a: f64) -> String {
    format!(
        "An ammeter with steps of {} A cannot tell these currents apart: steps of {} A were taken.",
        shortest(asked_a),
        shortest(taken_a)
    )
}

/// The currents lie too close for a line.
pub(super) fn currents_too_close(highest_a: f64) -> String {
    format!(
        "The lowest and the highest current lie too close together for a line: even steps up to {} A were taken.",
        shortest(highest_a)
    )
}

/// Lengths closer than a millimetre.
pub(super) fn longer(least_m: f64) -> String {
    format!(
        "So many lengths, a millimetre apart at least, need a longest one of {} m at least: that was taken.",
        shortest(least_m)
    )
}

/// A length that was hardly known.
pub(super) fn better_measured(most_m: f64) -> String {
    format!(
        "The uncertainty of the length cannot be more than a tenth of the shortest wire: {} was taken.",
        millimetres(most_m)
    )
}

pub(super) const THE_ZERO_ERROR: &str = "zero error";
pub(super) const THE_DRIFT: &str = "drift over the whole set";
pub(super) const THE_OUTLIER: &str = "error of the one wrong reading";

/// A fault that the scatter hides.
pub(super) fn hardly_shows(what: &str, size_g: f64, scatter_g: f64) -> String {
    format!(
        "The {what}, {} g, hardly shows beside a scatter of {} g.",
        shortest(size_g),
        round::to_significant(scatter_g, 2)
    )
}

pub(super) const DRIFT_IN_STEP: &str = "Where the readings are taken in step with what is varied, a drift cannot be told \
    from a change of the gradient: a mixed order shows it.";

/// What the balance cannot show, if so: too small a push, or too large a one.
pub(super) fn of_signal(largest_g: f64, step_g: f64) -> Option<String> {
    let steps = largest_g / step_g;
    if steps < 20.0 {
        Some(format!(
            "At the largest push the balance moves by only {} of its steps, too few for a good line. Use more wires, a \
             stronger field, more current or a finer balance.",
            round::to_significant(steps, 2)
        ))
    } else if largest_g > 5000.0 {
        Some(format!(
            "At the largest push the balance would show {} kg, more than one in a school carries.",
            round::to_significant(largest_g / 1000.0, 2)
        ))
    } else {
        None
    }
}

fn with_unit(value: f64, unit: &str) -> String {
    let number = shortest(value);
    if unit.is_empty() {
        number
    } else {
        format!("{number} {unit}")
    }
}

/// A number as it was written, unless that is longer than anyone would read.
fn shortest(value: f64) -> String {
    let size = value.abs();
    typeset(&if value.is_infinite() {
        "infinitely much".to_owned()
    } else if size != 0.0 && !(1e-6..1e6).contains(&size) {
        round::scientific(value, 2)
    } else {
        round::shortest(trimmed(value))
    })
}

fn with_plus(value: f64, text: String) -> String {
    if value > 0.0 {
        format!("+{text}")
    } else {
        text
    }
}
