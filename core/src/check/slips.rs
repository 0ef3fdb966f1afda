//! The slips: how answers go wrong. One entry each.
//!
//! Every slip changes the right calculation by a factor, which for some depends on the data: what would be divided by is
//! multiplied by, what is left out was a factor. How often each is made is an estimate (common practice, no source); it
//! only orders slips that explain an answer equally well.

use super::facts::{Facts, Way};
use crate::figures::{Quantity, Unit};

/// One slip.
#[derive(Clone, Copy, Debug)]
pub struct Slip {
    /// A name of its own in snake case.
    pub name: &'static str,
    /// What it is about: of two slips about the same thing only one can be made at a time.
    pub about: About,
    /// How often it is made, relative to the others.
    pub share: f64,
    /// The factors by which it may change the value.
    pub change: fn(&Facts) -> Vec<f64>,
    /// What happened, for the student.
    pub said: &'static str,
    /// What kind of thing to look at.
    pub hint: &'static str,
}

/// What a slip is about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum About {
    /// How the gradient was got; it shows in the gradient already.
    Gradient,
    /// The unit of the mass.
    Mass,
    /// The unit of the current; it shows in the gradient already.
    Milliamperes,
    /// The length.
    Length,
    /// The number of wires.
    Wires,
    /// Free fall.
    Gravity,
    /// The angle.
    Angle,
    /// The current that was kept.
    Current,
    /// The unit of the answer: it was made only where this unit was written.
    AnswerUnit(Unit),
}

impl About {
    /// Whether it shows in the gradient already.
    pub fn is_of_gradient(self) -> bool {
        matches!(self, About::Gradient | About::Milliamperes)
    }

    /// Whether an answer in that unit, or without one, can have it.
    pub fn can_be_in(self, written: Option<Unit>) -> bool {
        match self {
            About::AnswerUnit(unit) => written == Some(unit),
            _ => true,
        }
    }
}

/// All of them.
pub const SLIPS: &[Slip] = &[
    Slip {
        name: "mass_left_in_grams",
        about: About::Mass,
        share: 12.0,
        change: |f| if_mass(f, Unit::GRAM, 1e3),
        said: "The mass was left in grams. The newton needs kilograms: 1 g = 0.001 kg.",
        hint: "Look at the unit of the mass before you multiply by g.",
    },
    Slip {
        name: "milligrams_taken_for_grams",
        about: About::Mass,
        share: 3.0,
        change: |f| if_mass(f, Unit::MILLIGRAM, 1e3),
        said: "Milligrams were taken for grams: 1 mg = 0.001 g.",
        hint: "Look at the unit of the mass in the table.",
    },
    Slip {
        name: "millinewtons_taken_for_newtons",
        about: About::Mass,
        share: 8.0,
        change: |f| {
            let milli = f.readings().y_unit == Some(Unit::MILLINEWTON);
            (milli && f.flux.is_some())
                .then_some(1e3)
                .into_iter()
                .collect()
        },
        said: "Millinewtons were taken for newtons: 1 mN = 0.001 N.",
        hint: "Look at the unit of the force.",
    },
    Slip {
        name: "length_left_in_centimetres",
        about: About::Length,
        share: 12.0,
        change: |f| if_length(f, &[Unit::CENTIMETRE, Unit::MILLIMETRE], 1e-2),
        said: "The length was left in centimetres. It goes into the formula in metres: 5.0 cm is 0.050 m.",
        hint: "Look at the unit of the length.",
    },
    Slip {
        name: "length_left_in_millimetres",
        about: About::Length,
        share: 6.0,
        change: |f| if_length(f, &[Unit::CENTIMETRE, Unit::MILLIMETRE], 1e-3),
        said: "The length was left in millimetres. It goes into the formula in metres: 50 mm is 0.050 m.",
        hint: "Look at the unit of the length.",
    },
    Slip {
        name: "length_ten_times_too_long",
        about: About::Length,
        share: 4.0,
        change: |f| if_any_length(f, |_| 0.1),
        said: "The length was changed into metres with one place wrong: 5.0 cm is 0.050 m, not 0.50 m.",
        hint: "Change the length into metres once more, slowly.",
    },
    Slip {
        name: "length_ten_times_too_short",
        about: About::Length,
        share: 3.0,
        change: |f| if_any_length(f, |_| 10.0),
        said: "The length was changed into metres with one place wrong: 5.0 cm is 0.050 m, not 0.0050 m.",
        hint: "Change the length into metres once more, slowly.",
    },
    Slip {
        name: "multiplied_by_length",
        about: About::Length,
        share: 4.0,
        change: |f| if_any_length(f, |length_m| length_m * length_m),
        said: "You multiplied by the length. Rearranged for B, the length stands below the line.",
        hint: "Rearrange the formula once more: where does the length stand?",
    },
    Slip {
        name: "length_left_out",
        about: About::Length,
        share: 3.0,
        change: |f| if_any_length(f, |length_m| length_m),
        said: "The length was left out.",
        hint: "Write the formula down: is every letter in your calculation?",
    },
    Slip {
        name: "length_halved",
        about: About::Length,
        share: 2.0,
        change: |f| if_any_length(f, |_| 2.0),
        said: "Half the length was used. The length is that of one wire inside the field, from end to end.",
        hint: "Which length of wire lies in the field?",
    },
    Slip {
        name: "length_doubled",
        about: About::Length,
        share: 2.0,
        change: |f| if_any_length(f, |_| 0.5),
        said: "Twice the length was used. Only the part inside the field counts, once.",
        hint: "Which length of wire lies in the field?",
    },
    Slip {
        name: "wires_left_out",
        about: About::Wires,
        share: 8.0,
        change: |f| if_wires(f, |n| n),
        said: "The number of wires was left out: each of them is pushed.",
        hint: "How many wires carry the current through the field?",
    },
    Slip {
        name: "wires_used_twice",
        about: About::Wires,
        share: 3.0,
        change: |f| if_wires(f, |n| 1.0 / n),
        said: "The number of wires was used twice.",
        hint: "Did you take the number of wires into account more than once?",
    },
    Slip {
        name: "multiplied_by_wires",
        about: About::Wires,
        share: 2.0,
        change: |f| if_wires(f, |n| n * n),
        said: "You multiplied by the number of wires. Rearranged for B, it stands below the line.",
        hint: "Rearrange the formula once more: where does the number of wires stand?",
    },
    Slip {
        name: "gravity_left_out",
        about: About::Gravity,
        share: 8.0,
        change: |f| if_gravity(f, |g| 1.0 / g),
        said: "g was left out: the balance shows a mass, and the force is mass times g.",
        hint: "Is the gradient a force for each ampere, or a mass?",
    },
    Slip {
        name: "divided_by_gravity",
        about: About::Gravity,
        share: 3.0,
        change: |f| if_gravity(f, |g| 1.0 / (g * g)),
        said: "You divided by g. The force is mass times g.",
        hint: "How does a mass become a force?",
    },
    Slip {
        name: "gravity_taken_as_10",
        about: About::Gravity,
        share: 4.0,
        change: |f| if_gravity(f, |g| 10.0 / g),
        said: "g was taken as 10 m/s². With 9.81 m/s² the answer is 2 % smaller.",
        hint: "Which value of g did you use?",
    },
    Slip {
        name: "sine_left_out",
        about: About::Angle,
        share: 4.0,
        change: |f| if_angle(f, libm::sin),
        said: "The sine of the angle was left out: only the part of the wire square to the field counts.",
        hint: "Is the wire at a right angle to the field?",
    },
    Slip {
        name: "sine_of_radians",
        about: About::Angle,
        share: 2.0,
        change: |f| if_angle(f, |angle| libm::sin(angle) / libm::sin(angle.to_degrees())),
        said: "The calculator took the degrees for radians.",
        hint: "Is your calculator set to degrees?",
    },
    Slip {
        name: "cosine_for_sine",
        about: About::Angle,
        share: 2.0,
        change: |f| if_angle(f, |angle| libm::sin(angle) / libm::cos(angle)),
        said: "The cosine was used in place of the sine.",
        hint: "Between which two directions is the angle measured, and is it sine or cosine?",
    },
    Slip {
        name: "current_left_out",
        about: About::Current,
        share: 4.0,
        change: |f| f.term("current").map(|t| t.value).into_iter().collect(),
        said: "The current that was kept was left out.",
        hint: "Write the formula down: is every letter in your calculation?",
    },
    Slip {
        name: "multiplied_by_current",
        about: About::Current,
        share: 2.0,
        change: |f| {
            f.term("current")
                .map(|t| t.value * t.value)
                .into_iter()
                .collect()
        },
        said: "You multiplied by the current. Rearranged for B, it stands below the line.",
        hint: "Rearrange the formula once more: where does the current stand?",
    },
    Slip {
        name: "millitesla_written_as_tesla",
        about: About::AnswerUnit(Unit::TESLA),
        share: 5.0,
        change: |f| if_flux(f, 1e3),
        said: "The number is in millitesla and the unit written is tesla.",
        hint: "Look at the unit of your answer.",
    },
    Slip {
        name: "tesla_written_as_millitesla",
        about: About::AnswerUnit(Unit::MILLITESLA),
        share: 5.0,
        change: |f| if_flux(f, 1e-3),
        said: "The number is in tesla and the unit written is millitesla.",
        hint: "Look at the unit of your answer.",
    },
    Slip {
        name: "gradient_upside_down",
        about: About::Gradient,
        share: 5.0,
        change: |f| {
            let (si, shown) = (f.gradient(), f.gradient() / f.gradient_unit_si());
            let upside = |b: f64| (b != 0.0).then(|| 1.0 / (b * b));
            [upside(si), upside(shown)].into_iter().flatten().collect()
        },
        said: "The gradient is upside down: it is the step up divided by the step along.",
        hint: "Which axis is divided by which?",
    },
    Slip {
        name: "one_reading_instead_of_the_gradient",
        about: About::Gradient,
        share: 5.0,
        change: |f| instead(f, Way::OneReading),
        said: "One reading was divided by its current. The gradient of the line uses all readings and is not fooled by the \
               zero.",
        hint: "How did you get the gradient: from the line, or from a reading?",
    },
    Slip {
        name: "mean_of_ratios",
        about: About::Gradient,
        share: 4.0,
        change: |f| instead(f, Way::MeanOfRatios),
        said: "Each reading was divided by its current and the mean taken. The gradient of the line is better: the zero \
               does not enter it.",
        hint: "How did you get the gradient: from the line, or from the readings one by one?",
    },
    Slip {
        name: "line_forced_through_the_origin",
        about: About::Gradient,
        share: 4.0,
        change: |f| instead(f, Way::ThroughOrigin),
        said: "The line was forced through the origin. It need not pass through it: where it meets the axis shows the zero \
               of the balance.",
        hint: "Does your line have to start at the origin?",
    },
    Slip {
        name: "first_and_last_points_joined",
        about: About::Gradient,
        share: 5.0,
        change: |f| instead(f, Way::EndPoints),
        said: "The first and the last point were joined. The best line runs between all the points.",
        hint: "Where did you read the two points of your triangle?",
    },
    Slip {
        name: "excluded_point_left_in",
        about: About::Gradient,
        share: 3.0,
        change: |f| instead(f, Way::ExcludedLeftIn),
        said: "The point that was to be left out is in the line.",
        hint: "Which points did you use for the line?",
    },
    Slip {
        name: "repeats_ignored",
        about: About::Gradient,
        share: 3.0,
        change: |f| instead(f, Way::FirstColumnOnly),
        said: "Only one column of the repeats was used; their mean is better.",
        hint: "What did you do with the repeats?",
    },
    Slip {
        name: "milliamperes_taken_for_amperes",
        about: About::Milliamperes,
        share: 5.0,
        change: |f| {
            let milli = f.readings().x_unit == Some(Unit::MILLIAMPERE);
            milli.then_some(1e-3).into_iter().collect()
        },
        said: "Milliamperes were taken for amperes: 1 mA = 0.001 A.",
        hint: "Look at the unit of the current.",
    },
];

/// The entry of that name.
pub fn named(name: &str) -> Option<&'static Slip> {
    SLIPS.iter().find(|slip| slip.name == name)
}

fn if_flux(facts: &Facts, factor: f64) -> Vec<f64> {
    facts.flux.map(|_| factor).into_iter().collect()
}

fn if_mass(facts: &Facts, unit: Unit, factor: f64) -> Vec<f64> {
    let so = facts.flux.is_some() && facts.is_mass() && facts.readings().y_unit == Some(unit);
    so.then_some(factor).into_iter().collect()
}

fn if_length(facts: &Facts, typed: &[Unit], one: f64) -> Vec<f64> {
    let unit = facts.length_as_typed().map(|l| l.1);
    let so = unit.is_some_and(|u| u.quantity() == Quantity::Length && typed.contains(&u));
    so.then_some(one).into_iter().collect()
}

fn if_any_length(facts: &Facts, factor: impl Fn(f64) -> f64) -> Vec<f64> {
    let length = facts.term("length");
    length.map(|t| factor(t.value)).into_iter().collect()
}

fn if_wires(facts: &Facts, factor: impl Fn(f64) -> f64) -> Vec<f64> {
    let wires = facts.term("wires").filter(|t| t.value > 1.0);
    wires.map(|t| factor(t.value)).into_iter().collect()
}

fn if_gravity(facts: &Facts, factor: impl Fn(f64) -> f64) -> Vec<f64> {
    let gravity = facts.term("gravity");
    gravity.map(|t| factor(t.value)).into_iter().collect()
}

fn if_angle(facts: &Facts, factor: impl Fn(f64) -> f64) -> Vec<f64> {
    let angle = facts.term("angle");
    let tilted = angle.filter(|t| libm::sin(t.value).abs() < 0.9999);
    tilted.map(|t| factor(t.value)).into_iter().collect()
}

fn instead(facts: &Facts, way: Way) -> Vec<f64> {
    let best = facts.gradient();
    let other = facts.other_gradient(way).into_iter();
    other.map(|b| b / best).filter(|f| f.is_finite()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_slip_has_a_name_and_sentences_of_its_own() {
        for (i, slip) in SLIPS.iter().enumerate() {
            assert!(
                slip.share > 0.0 && slip.said.ends_with('.'),
                "{}",
                slip.name
            );
            assert!(slip.hint.ends_with(['.', '?']), "{}", slip.name);
            let again = SLIPS
                .iter()
                .skip(i + 1)
                .any(|s| s.name == slip.name || s.said == slip.said);
            assert!(!again, "{}", slip.name);
            // A hint does not give the answer away.
            assert!(!slip.hint.contains(char::is_numeric), "{}", slip.hint);
        }
        assert!(named("mass_left_in_grams").is_some());
    }
}
