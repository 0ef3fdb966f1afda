//! The sentences of the plan, in one place.

use super::changes::{Change, Need};
use super::direction::{Flow, Poles, Push, Reading, Way};
use super::expect::{Bench, Verdict};
use super::output::{Limits, LocalGravity, WireFigures};
use crate::figures::round::{percent, shortest, to_decimals, to_significant, typeset};
use crate::figures::{Unit, excerpt};
use crate::job::tesla_unit;

pub const NO_LENGTH: &str = "No length of wire in the field is given, so 5.0 cm was taken. Measure the poles and write it in.";
pub const LENGTH_AS_EXACT: &str = "No uncertainty of the length is given, so the length counts as exact and B comes out better known than it \
     is. A ruler along the poles leaves about 1 mm (common practice).";
pub const NO_BALANCE: &str = "No step of the balance is given, so 0.01 g was taken. It is the last digit that the balance shows.";
pub const NO_FIELD: &str = "No flux density is given, so the figures are worked out for 20 mT and for 0.1 T: most magnet yokes of schools lie \
     between (common practice). A Hall probe would tell.";

pub const ORDER: &str = "Set the currents up and then down again, or in the mixed order. A balance drifts slowly; when the current is only \
     ever raised, that drift adds to the gradient and nothing can part the two.";

pub const WARMTH_ASSUMED: &str = "Supposed are bare, round, annealed copper, one steady current and, for the warming rate and the time, no cooling \
     at all; the settled rise supposes a straight wire in still air with the cooling given. Turns that lie together, a \
     sleeve, a coiled lead or a bad contact get hotter. These are bounds for planning, not a permission: the rating of \
     the wire, the school's risk assessment and the responsible teacher or technician decide.";

pub const NO_SUCH_SIZE: &str =
    "This is far from any size that a bench has, so it was left out. Is the unit right?";

pub fn no_current(typed: &str) -> String {
    let why = match typed {
        "" => "No currents are given".to_owned(),
        text => format!("“{}” is no range of currents for a bench", excerpt(text)),
    };
    format!("{why}, so 0 to 5 A was taken. Something like 0.5 A to 5 A would do.")
}

pub fn step_of_force(gram: &str) -> String {
    format!(
        "The step of the balance is a force; it was taken as the weight of {gram} g, and the table is in grams."
    )
}

pub fn unread(text: &str, example: &str) -> String {
    let text = excerpt(text);
    format!("“{text}” could not be read here; something like {example} would do.")
}

pub fn not_a_count(text: &str, least: usize, most: usize, usual: usize) -> String {
    let text = excerpt(text);
    format!("“{text}” is not a whole number from {least} to {most}. {usual} was taken.")
}

pub fn not_a_target(text: &str) -> String {
    let text = excerpt(text);
    format!("“{text}” is not a percentage above 0; something like 2 % would do.")
}

pub fn no_gauge(text: &str, gauge: &str) -> String {
    let text = excerpt(text);
    format!(
        "“{text}” is not a whole {gauge} number from 0 to 40; something like 22 {gauge} or 0.71 mm would do."
    )
}

pub fn no_latitude(text: &str) -> String {
    let text = excerpt(text);
    format!("“{text}” is no latitude: it lies between 90° S and 90° N.")
}

pub fn not_a_way(text: &str, example: &str) -> String {
    let text = excerpt(text);
    format!("“{text}” does not say which way; {example} would do.")
}

pub fn verdict_name(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::WillShow => "will_show",
        Verdict::Scattered => "scattered",
        Verdict::Coarse => "coarse",
        Verdict::Hardly => "hardly",
    }
}

/// The verdict in a sentence or two.
pub fn verdict(bench: &Bench, verdict: Verdict) -> String {
    let steps = to_decimals(libm::floor(bench.steps_spanned() + 1e-6), 0);
    let span = match steps.as_str() {
        "0" => "The balance will not move by a single step".to_owned(),
        "1" => "The readings will span 1 step of the balance".to_owned(),
        _ => format!("The readings will span {steps} steps of the balance"),
    };
    let mut text = match verdict {
        Verdict::WillShow => format!("{span}: the line will show."),
        Verdict::Scattered => format!(
            "{span}, but a scatter of {} g hides the gradient: it will be known to about {} % only. Find what moves the \
             balance, or take repeats.",
            mass_g(bench.noise_kg),
            bench.gradient_percent().map_or("many".into(), percent),
        ),
        Verdict::Coarse => format!(
            "{span}, and 20 or more are wanted: a line will show, but a coarse one. The best of the changes below help \
             most."
        ),
        Verdict::Hardly => format!(
            "{span}: hardly more than the direction of the force will be seen. Change something first."
        ),
    };
    if verdict != Verdict::Scattered && bench.scatters_beyond_bars() {
        text.push_str(
            " With such a scatter there is often no straight line through bars of one step: repeats make the bars honest.",
        );
    }
    text
}

pub fn change_name(change: Change) -> &'static str {
    match change {
        Change::Wires => "wires",
        Change::HighestCurrent => "highest_current",
        Change::Readings => "readings",
        Change::Balance => "balance",
        Change::Magnets => "magnets",
        Change::Length => "length",
    }
}

/// What a single change is and gives.
pub fn change(change: Change, value: f64, after_percent: Option<f64>) -> String {
    let what = match change {
        Change::Wires => format!("Twice the wires ({value} side by side)"),
        Change::HighestCurrent => format!("Currents up to the limit, {}", size(change, value)),
        Change::Readings => format!("More currents in the same range ({value} of them)"),
        Change::Balance => format!("A balance ten times finer ({})", size(change, value)),
        Change::Magnets => "A second pair of magnets, about twice the flux density".to_owned(),
        Change::Length => format!(
            "The length known to half of that (± {})",
            size(change, value)
        ),
    };
    match after_percent {
        Some(p) => format!(
            "{what}: standard uncertainty of B about {} %.",
            to_significant(p, 2)
        ),
        None => format!("{what}: still nothing that can be measured."),
    }
}

/// What one change alone would have to be.
pub fn need(change: Change, need: Need, target_percent: f64) -> String {
    let wanted = percent(target_percent);
    match need {
        Need::Nothing => format!("{wanted} % is reached as planned."),
        Need::Value(value) => {
            let size = size(change, value);
            match change {
                Change::Wires => format!("{value} wires side by side would reach {wanted} %."),
                Change::HighestCurrent => {
                    format!("Currents up to {size} would reach {wanted} %; mind the limits.")
                }
                Change::Readings => format!("{value} currents would reach {wanted} %."),
                Change::Balance => format!("A balance of {size} would reach {wanted} %."),
                Change::Magnets => format!("Magnets of about {size} would reach {wanted} %."),
                Change::Length => format!("A length known to ± {size} would reach {wanted} %."),
            }
        }
        Need::Cannot => {
            let what = match change {
                Change::Wires => "More wires",
                Change::HighestCurrent => "A higher current",
                Change::Readings => "More readings",
                Change::Balance => "A finer balance",
                Change::Magnets => "Stronger magnets",
                Change::Length => "A better known length",
            };
            format!("{what} alone cannot reach {wanted} %.")
        }
    }
}

fn size(change: Change, value: f64) -> String {
    match change {
        Change::Wires | Change::Readings => shortest(value),
        Change::HighestCurrent => format!("{} A", two_figures(value)),
        Change::Balance => format!("{} g", mass_g(value)),
        Change::Magnets => {
            let unit = tesla_unit(value);
            format!(
                "{} {}",
                to_significant(unit.from_si(value), 2),
                unit.symbol()
            )
        }
        Change::Length => format!("{} mm", two_figures(Unit::MILLIMETRE.from_si(value))),
    }
}

fn mass_g(kilogram: f64) -> String {
    two_figures(Unit::GRAM.from_si(kilogram))
}

/// At most two figures: the size of an instrument's step or limit has no trailing zeros.
fn two_figures(value: f64) -> String {
    let text = to_significant(value, 2);
    text.parse().map_or(text, shortest)
}

pub fn limits(limits: &Limits) -> String {
    let current = shortest(limits.current);
    match (&limits.passed[..], limits.wire, limits.supply) {
        ([], None, None) => format!(
            "No limit of wire or supply is given, so nothing can be said of {current} A. Look at their ratings."
        ),
        ([], Some(_), Some(_)) => format!(
            "{current} A is within the limits typed for wire and supply. Leads and meter have limits of their own."
        ),
        ([], Some(_), None) => format!(
            "{current} A is within the limit typed for the wire; none is given for the supply."
        ),
        ([], None, Some(_)) => format!(
            "{current} A is within the limit typed for the supply; none is given for the wire."
        ),
        (passed, ..) => format!(
            "{current} A is more than the limit typed for the {}. Do not set it.",
            passed.join(" and the ")
        ),
    }
}

pub fn wire(figures: &WireFigures, current_a: f64) -> String {
    let three = |value| to_significant(value, 3);
    let two = |value| to_significant(value, 2);
    let current = shortest(current_a);
    let mut text = String::new();
    if let (Some(ohm), Some(volt), Some(watt)) =
        (figures.resistance, figures.voltage, figures.power)
    {
        text = format!(
            "Wire and leads have {} Ω: {current} A needs {} V and turns {} W into heat. ",
            three(ohm),
            three(volt),
            three(watt)
        );
    }
    match (figures.voltage_enough, figures.unlimited_current) {
        (Some(false), _) => text.push_str("The supply does not give that voltage. "),
        (Some(true), Some(unlimited)) if unlimited > 2.0 * current_a => text.push_str(&format!(
            "With nothing to limit it the supply's whole voltage would drive about {} A: set the current limit first. ",
            two(unlimited)
        )),
        _ => {}
    }
    if current_a == 0.0 {
        return text;
    }
    text.push_str(&format!(
        "With no cooling the wire would warm by {} K in the first second, and by {} K within {} s. ",
        two(figures.warming_rate),
        shortest(figures.rise),
        two(figures.on_time)
    ));
    match figures.steady_rise {
        Some(rise) => text.push_str(&format!(
            "Left on, it would settle about {} K above the room{}.",
            to_significant(rise, 2),
            if rise > TOO_HOT_RISE_K {
                ", too hot to touch"
            } else {
                ""
            }
        )),
        None => text.push_str(
            "Left on, it would not settle at all: its resistance would grow faster than its cooling.",
        ),
    }
    text
}

/// From here on a wire is called too hot to touch: 60 °C in a room of 20 °C (common practice, no source).
const TOO_HOT_RISE_K: f64 = 40.0;

pub fn direction(way: &Way) -> String {
    let outcome = way.outcome();
    let (field, north) = match way.poles {
        Poles::NorthLeft => ("right", "left"),
        Poles::NorthRight => ("left", "right"),
    };
    let flow = match way.flow {
        Flow::Away => "away from you",
        Flow::Towards => "towards you",
    };
    let word = |push| match push {
        Push::Up => "up",
        Push::Down => "down",
    };
    let reading = match outcome.reading {
        Reading::Rises => "rises",
        Reading::Falls => "falls",
    };
    let stands = if way.wire_on_balance {
        "wire"
    } else {
        "magnet"
    };
    format!(
        "Left hand: first finger along the field, from the north pole on the {north} to the {field}; second finger along \
         the conventional current, {flow}; the thumb shows that the wire is pushed {}. The magnet is pushed the other way, \
         {}. With the {stands} on the balance the reading {reading}.",
        word(outcome.on_wire),
        word(outcome.on_magnet),
    )
}

pub fn gravity(figures: &LocalGravity) -> String {
    let size = figures.b_error_percent.abs();
    let way = if figures.b_error_percent < 0.0 {
        "small"
    } else {
        "large"
    };
    let error = if size < 0.0005 {
        "B comes out right".to_owned()
    } else {
        format!("B comes out {} % too {way}", to_significant(size, 2))
    };
    typeset(&format!(
        "By the normal formula g is {} m/s² there. With {} m/s² {error}. The ground itself may change g by about a hundredth \
         of a per cent.",
        to_decimals(figures.local, 4),
        shortest(figures.taken)
    ))
}
