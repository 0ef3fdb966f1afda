//! A recipe of one's own from typed text: a size with its unit for everything that can be asked for, or two with `to`
//! between them, so that each student's is drawn from there.
//!
//! Start at [`recipe_of`]. [`FIELDS`] is what is asked for; a size that no bench has is brought within limits by the set itself.

use crate::figures::{DecimalMark, Figure, Unit};

use super::recipe::{Range, Recipe};
use super::words;

/// One thing that can be asked for.
pub struct Field {
    /// Its name for programs.
    pub name: &'static str,
    /// Its label.
    pub label: &'static str,
    /// What stands for it when nothing is typed; read like typed text.
    pub usual: &'static str,
    /// The unit of a bare number, and the one that the recipe holds; `None` for a count.
    units: Option<(Unit, Unit)>,
    place: fn(&mut Recipe) -> Place<'_>,
}

/// Where a size stands in the recipe.
enum Place<'r> {
    Range(&'r mut Range),
    Number(&'r mut f64),
    Count(&'r mut u32),
    Percent(&'r mut Range),
}

/// All of them, in the order in which a bench is set up.
pub const FIELDS: [Field; 12] = [
    sized(
        "flux_density",
        "Flux density B",
        "30 mT to 90 mT",
        (Unit::MILLITESLA, Unit::TESLA),
        |r| Place::Range(&mut r.flux_density_t),
    ),
    sized(
        "length",
        "Length of the wire",
        "4 cm to 6 cm",
        (Unit::CENTIMETRE, Unit::METRE),
        |r| Place::Range(&mut r.length_m),
    ),
    counted("wires", "Wires side by side", "1", |r| {
        Place::Range(&mut r.wires)
    }),
    sized(
        "current",
        "Highest current",
        "5 A",
        (Unit::AMPERE, Unit::AMPERE),
        |r| Place::Range(&mut r.current_a),
    ),
    counted("readings", "Readings", "10", |r| {
        Place::Count(&mut r.readings)
    }),
    counted("repeats", "Times each is read", "1", |r| {
        Place::Count(&mut r.repeats)
    }),
    in_grams("balance_step", "Step of the balance", "0.01 g", |r| {
        Place::Number(&mut r.balance_step_g)
    }),
    counted("noise", "Scatter, in steps of the balance", "0.4", |r| {
        Place::Number(&mut r.noise_steps)
    }),
    in_grams("zero_error", "Zero error", "0 g", |r| {
        Place::Range(&mut r.faults.zero_error_g)
    }),
    in_grams("drift", "Drift from reading to reading", "0 g", |r| {
        Place::Range(&mut r.faults.drift_g)
    }),
    in_grams("outlier", "One reading is off by", "0 g", |r| {
        Place::Range(&mut r.faults.outlier_g)
    }),
    counted(
        "warming",
        "Gradient lost to warming at the highest current",
        "0 %",
        |r| Place::Percent(&mut r.faults.warming),
    ),
];

const fn sized(
    name: &'static str,
    label: &'static str,
    usual: &'static str,
    units: (Unit, Unit),
    place: fn(&mut Recipe) -> Place<'_>,
) -> Field {
    Field {
        name,
        label,
        usual,
        units: Some(units),
        place,
    }
}

const fn in_grams(
    name: &'static str,
    label: &'static str,
    usual: &'static str,
    place: fn(&mut Recipe) -> Place<'_>,
) -> Field {
    sized(name, label, usual, (Unit::GRAM, Unit::GRAM), place)
}

const fn counted(
    name: &'static str,
    label: &'static str,
    usual: &'static str,
    place: fn(&mut Recipe) -> Place<'_>,
) -> Field {
    Field {
        name,
        label,
        usual,
        units: None,
        place,
    }
}

/// The recipe of what was typed, by the names of [`FIELDS`], with what is usual where nothing was; and a sentence for each
/// text that is no such size.
pub fn recipe_of(typed: impl Fn(&'static str) -> String) -> (Recipe, Vec<String>) {
    let mut recipe = Recipe::default();
    let mut notes = Vec::new();
    for field in &FIELDS {
        let text = typed(field.name);
        let read = match text.trim() {
            "" => None,
            text => {
                let read = range(text, field.units);
                if read.is_none() {
                    notes.push(words::unread(field.label, text, field.usual));
                }
                read
            }
        };
        let Some(size) = read.or_else(|| range(field.usual, field.units)) else {
            continue;
        };
        match (field.place)(&mut recipe) {
            Place::Range(range) => *range = size,
            Place::Number(number) => *number = size.high,
            Place::Count(count) => *count = size.high.clamp(0.0, 1e6) as u32,
            Place::Percent(range) => *range = Range::between(size.low / 100.0, size.high / 100.0),
        }
    }
    (recipe, notes)
}

/// One size, or two with something between them.
fn range(text: &str, units: Option<(Unit, Unit)>) -> Option<Range> {
    let two = [" to ", "–", "…", " - ", ".."]
        .into_iter()
        .find_map(|between| text.split_once(between));
    let Some((first, second)) = two else {
        let value = size(text, None, units)?.0;
        return Some(Range::exactly(value));
    };
    let (high, unit) = size(second, None, units)?;
    let (low, _) = size(first, unit, units)?;
    Some(Range::between(low.min(high), low.max(high)))
}

/// A size in the unit of the recipe, and the unit that was typed; `beside` is the unit of a number without one.
fn size(
    text: &str,
    beside: Option<Unit>,
    units: Option<(Unit, Unit)>,
) -> Option<(f64, Option<Unit>)> {
    let text = text.trim().trim_end_matches('%').trim_end();
    let figure = Figure::parse(text, DecimalMark::Either).ok()?;
    if figure.value < 0.0 {
        return None;
    }
    let Some((bare, held)) = units else {
        return figure.unit.is_none().then_some((figure.value, None));
    };
    let unit = figure.unit.or(beside).unwrap_or(bare);
    (unit.quantity() == held.quantity())
        .then(|| (held.from_si(unit.to_si(figure.value)), figure.unit))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn with(name: &'static str, text: &str) -> (Recipe, Vec<String>) {
        recipe_of(|field| {
            if field == name {
                text.to_owned()
            } else {
                String::new()
            }
        })
    }

    #[test]
    fn nothing_typed_is_the_usual_bench() {
        let (recipe, notes) = with("", "");
        assert_eq!(recipe, Recipe::default());
        assert!(notes.is_empty());
    }

    #[test]
    fn sizes_are_read_with_their_units() {
        let flux = |text| with("flux_density", text).0.flux_density_t;
        assert_eq!(flux("50"), Range::exactly(0.05));
        assert_eq!(flux("0.05 T"), Range::exactly(0.05));
        for text in [
            "30 to 90 mT",
            "30 mT to 90 mT",
            "90–30",
            "0.03 T to 90 mT",
            "30 mT - 90 mT",
        ] {
            assert_eq!(flux(text), Range::between(0.03, 0.09), "{text}");
        }
        assert_eq!(
            with("drift", "5 mg").0.faults.drift_g,
            Range::exactly(0.005)
        );
        let warming = with("warming", "5 % to 10 %").0.faults.warming;
        assert_eq!(warming, Range::between(0.05, 0.1));
        assert_eq!(with("readings", "12").0.readings, 12);
        assert_eq!(with("balance_step", "0,1 g").0.balance_step_g, 0.1);
    }

    #[test]
    fn what_is_no_size_is_told() {
        for (name, text) in [
            ("flux_density", "strong"),
            ("flux_density", "5 cm"),
            ("zero_error", "-0.2 g"),
            ("readings", "8 A"),
            ("length", "4 cm to"),
        ] {
            let (recipe, notes) = with(name, text);
            assert_eq!(recipe, Recipe::default(), "{name} {text}");
            assert!(notes.len() == 1 && notes[0].contains(text), "{notes:?}");
        }
    }
}
