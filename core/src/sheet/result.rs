//! From the gradient to B: the equation, the conversion to SI, the substitution.

use super::algebra::{Formula, Term, measure};
use super::law::{self, Law};
use super::scale::{Scale, is_small, number, power_of_ten, si_number, typed_term, working_figures};
use super::{Block, Found, Given, Section, Topic, words};
use crate::figures::Unit;
use crate::line::Fitted;
use crate::readings::setup::Measured;
use crate::readings::{Ordinate, Varied};

/// From the gradient to B, for every series.
pub(super) fn section(given: &Given) -> Section {
    let law = Law::of(given, 0);
    let mut blocks = vec![principle(given, &law), rearranged(given, &law)];
    blocks.extend(conversions(given));
    let several = given.found.len() > 1;
    for (family, found) in given.found.iter().enumerate() {
        if several {
            blocks.push(Block::Subheading(words::series(given, family)));
        }
        match (found.best, found.flux_density) {
            (Some(best), Some(flux)) => {
                blocks.extend(substitution(given, family, found, &best, flux.tesla))
            }
            (None, _) => blocks.push(Block::Text(words::no_line(given, family))),
            (Some(_), None) => blocks.push(Block::Text(words::what_is_missing(given, family))),
        }
    }
    Section {
        topic: Topic::Result,
        heading: "From the gradient to B".to_owned(),
        blocks,
    }
}

fn principle(given: &Given, law: &Law) -> Block {
    let scale = Scale::of(given.readings);
    let reason = match (given.readings.varied, given.readings.ordinate) {
        (Varied::Product, _) => words::PRODUCT.to_owned(),
        (_, Ordinate::Mass) if given.readings.untared => words::UNTARED_FORCE.to_owned(),
        (_, Ordinate::Mass) => {
            "The force that the balance shows as a mass is the force of the field on the wires."
                .to_owned()
        }
        (_, Ordinate::Force) => {
            "The force on the balance is the force of the field on the wires.".to_owned()
        }
    };
    let lines = vec![law.principle.clone(), law.line.clone()];
    Block::step(
        format!(
            "{reason} Written as a straight line of {} against {}, with the intercept a for the zero:",
            scale.y.letter, scale.x.symbol
        ),
        lines,
    )
}

fn rearranged(given: &Given, law: &Law) -> Block {
    if given.readings.varied == Varied::Product {
        return Block::step("The gradient is B itself.", vec![law.gradient.clone()]);
    }
    Block::step(
        "So the gradient b is known in terms of B; rearranged for B:",
        vec![law.gradient.clone(), law.solved.clone()],
    )
}

/// Every value that is not typed in SI, moved there.
fn conversions(given: &Given) -> Vec<Block> {
    let scale = Scale::of(given.readings);
    let mut lines: Vec<Formula> = given
        .found
        .iter()
        .filter_map(|found| gradient_to_si(&scale, &found.best?, working_figures(given, found)))
        .collect();
    let varied = given.readings.varied;
    if matches!(varied, Varied::Current | Varied::Angle) {
        lines.extend(
            given
                .setup
                .length
                .and_then(|l| moved("L", &l, Unit::CENTIMETRE, "m")),
        );
    }
    if matches!(varied, Varied::Length | Varied::Angle) {
        lines.extend(
            given
                .setup
                .fixed_current
                .and_then(|i| moved("I", &i, Unit::AMPERE, "A")),
        );
    }
    if matches!(varied, Varied::Current | Varied::Length) {
        let mut told = Vec::new();
        for (family, of) in given.readings.families.iter().enumerate() {
            if !told.contains(&of.angle_rad) {
                told.push(of.angle_rad);
                let sine = |angle| super::algebra::sine(angle);
                let formula = Formula::equal(
                    sine(Term::Symbol("θ")),
                    sine(law::angle_value(given, family)),
                );
                lines.push(formula.and(Term::Number(law::sine_number(given, family))));
            }
        }
    }
    if lines.is_empty() {
        return Vec::new();
    }
    vec![Block::step(words::conversions(&scale), lines)]
}

/// A gradient in shown units, moved to SI; `None` where it is there already.
fn gradient_to_si(scale: &Scale, best: &Fitted, figures: u32) -> Option<Formula> {
    let (shown_unit, si_unit) = (scale.gradient_unit(), scale.gradient_si_unit());
    if shown_unit == si_unit {
        return None;
    }
    let in_si = measure(number(best.line.gradient, figures), &si_unit);
    let shown = scale.gradient_term(best.line.gradient, figures);
    let formula = Formula::equal(Term::Symbol("b"), shown);
    let exponent = scale.y.exponent()? - scale.x.exponent()?;
    if exponent == 0 {
        return Some(formula.and(in_si));
    }
    let shifted = Term::Times(vec![
        Term::Number(number(scale.gradient(best.line.gradient), figures)),
        measure(power_of_ten(exponent), &si_unit),
    ]);
    Some(formula.and(shifted).and(in_si))
}

/// A typed value moved to SI; `None` where it was typed in SI.
fn moved(
    letter: &'static str,
    typed: &Measured,
    default_unit: Unit,
    si_unit: &str,
) -> Option<Formula> {
    let unit = typed.figure.unit.unwrap_or(default_unit);
    if unit.symbol() == si_unit {
        return None;
    }
    let formula = Formula::equal(Term::Symbol(letter), typed_term(typed, default_unit));
    let in_si = measure(si_number(typed, default_unit), si_unit);
    Some(match unit.decimal_exponent() {
        Some(exponent) => {
            let bare =
                crate::figures::round::to_decimals(typed.figure.value, typed.figure.decimals);
            formula
                .and(Term::Times(vec![
                    Term::Number(bare),
                    measure(power_of_ten(exponent), si_unit),
                ]))
                .and(in_si)
        }
        None => formula.and(in_si),
    })
}

fn substitution(
    given: &Given,
    family: usize,
    found: &Found,
    best: &Fitted,
    tesla: f64,
) -> Vec<Block> {
    let scale = Scale::of(given.readings);
    let figures = working_figures(given, found);
    let law = Law::of(given, family);
    let gradient = measure(
        number(best.line.gradient, figures),
        &scale.gradient_si_unit(),
    );
    let mut formula = law
        .solved
        .clone()
        .and(law.substituted(gradient))
        .and(measure(number(tesla, figures), "T"));
    if is_small(tesla) {
        formula = formula.and(measure(
            number(Unit::MILLITESLA.from_si(tesla), figures),
            "mT",
        ));
    }
    let mut blocks = vec![Block::step(words::SUBSTITUTION, vec![formula])];
    if tesla < 0.0 {
        blocks.push(Block::Text(words::negative(given)));
    }
    if let Some(text) = words::through_origin_beside(given, found, best, tesla, figures) {
        blocks.push(Block::Text(text));
    }
    blocks
}
