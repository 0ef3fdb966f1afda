//! The uncertainty of B: percentage uncertainties added (school), and standard uncertainties combined (the GUM).

use super::algebra::{Formula, Term, measure, over};
use super::gradient::gradient_uncertainty;
use super::scale::{
    Scale, Stated, as_typed, data_figures, expanded_t, flux_beside, flux_term, number, per,
    percentage, short, si_number, typed_term, working_figures,
};
use super::{Block, Found, Given, Section, Table, Topic, words};
use crate::field::{Budget, FluxDensity, SchoolBasis, Source};
use crate::figures::Unit;
use crate::figures::round::{Digits, percent};

/// The uncertainty of B, and B stated with it, for every series.
pub(super) fn section(given: &Given) -> Section {
    let mut blocks = Vec::new();
    let several = given.found.len() > 1;
    for (family, found) in given.found.iter().enumerate() {
        let Some(flux) = found.flux_density else {
            continue;
        };
        if several {
            blocks.push(Block::Subheading(words::series(given, family)));
        }
        if given.way.school() {
            blocks.extend(school(given, found, flux));
        }
        if given.way.standard() {
            blocks.extend(standard(given, found, flux));
        }
        blocks.extend(answers(given, family, found, flux));
        if let (true, Some(school), Some(expanded)) = (
            given.way.school() && given.way.standard(),
            flux.school_t,
            expanded_t(flux),
        ) {
            blocks.push(Block::Text(words::why_two_ways(flux, school, expanded)));
        }
    }
    blocks.extend(joint(given));
    Section {
        topic: Topic::Uncertainty,
        heading: "Uncertainty of B".to_owned(),
        blocks,
    }
}

/// B stated with its uncertainty, once for each way that was asked for.
pub(super) fn answers(
    given: &Given,
    family: usize,
    found: &Found,
    flux: &FluxDensity,
) -> Vec<Block> {
    let series = if given.found.len() > 1 {
        words::series(given, family)
    } else {
        String::new()
    };
    let labelled = |way: &str| match (series.as_str(), way) {
        (series, "") => series.to_owned(),
        ("", way) => way.to_owned(),
        (series, way) => format!("{series}, {way}"),
    };
    let answer = |way: &str, u: Option<f64>, digits| {
        let stated = Stated::new(flux.tesla, u, digits, data_figures(given, family));
        let mut formula = Formula::equal(Term::Symbol("B"), stated.tesla);
        if let Some(millitesla) = stated.millitesla {
            formula = formula.and(millitesla);
        }
        Block::Answer {
            label: labelled(way),
            formula,
        }
    };
    let mut blocks = Vec::new();
    if let (true, Some(u)) = (given.way.school(), flux.school_t) {
        blocks.push(answer(words::school_label(flux), Some(u), Digits::School));
    }
    if let (true, Some(u)) = (given.way.standard(), expanded_t(flux)) {
        blocks.push(answer(
            "standard: expanded uncertainty, 95 %",
            Some(u),
            Digits::Two,
        ));
    }
    if blocks.is_empty() {
        blocks.push(answer("", None, Digits::School));
        blocks.push(Block::Text(words::no_uncertainty(found)));
    }
    blocks
}

/// The letter of a quantity in the budget.
fn letter(name: &str) -> Term {
    match name {
        "gradient" => Term::Symbol("b"),
        "length" => Term::Symbol("L"),
        "current" => Term::Symbol("I"),
        "gravity" => Term::Symbol("g"),
        "angle" | "sine of the angle" => super::algebra::sine(Term::Symbol("θ")),
        "balance calibration" => Term::Word("balance scale"),
        "ammeter calibration" => Term::Word("ammeter scale"),
        other => Term::Number(other.to_owned()),
    }
}

fn school(given: &Given, found: &Found, flux: &FluxDensity) -> Vec<Block> {
    let mut blocks = vec![Block::Subheading(words::school_heading(flux).to_owned())];
    let Some(school_t) = flux.school_t else {
        blocks.push(Block::Text(words::no_school(found)));
        return blocks;
    };
    let percent_of = |term: Term| Term::PercentOf(Box::new(term));
    let hundred = || measure("100", "%");
    let mut lines = Vec::new();
    for (name, p) in &flux.school_parts {
        let mut formula = Formula {
            left: percent_of(letter(name)),
            then: Vec::new(),
        };
        for side in part(given, found, name, *p) {
            formula = formula.and(Term::Times(vec![side, hundred()]));
        }
        lines.push(formula.and(percentage(*p)));
    }
    let sum: f64 = flux.school_parts.iter().map(|(_, p)| p).sum();
    if flux.school_parts.len() > 1 {
        let terms = flux
            .school_parts
            .iter()
            .map(|(name, _)| percent_of(letter(name)))
            .collect();
        let numbers = flux
            .school_parts
            .iter()
            .map(|(_, p)| percentage(*p))
            .collect();
        lines.push(
            Formula::equal(percent_of(Term::Symbol("B")), Term::Sum(terms))
                .and(Term::Sum(numbers))
                .and(percentage(sum)),
        );
    } else {
        lines.push(Formula::equal(
            percent_of(Term::Symbol("B")),
            percentage(sum),
        ));
    }
    let figures = working_figures(given, found);
    lines.push(
        Formula::equal(
            Term::Delta("B"),
            Term::Times(vec![percentage(sum), flux_term(flux.tesla.abs(), figures)]),
        )
        .and(flux_beside(school_t, 3, flux.tesla)),
    );
    blocks.push(Block::step(
        words::school(given, flux, &percent(sum)),
        lines,
    ));
    blocks
}

/// The division behind one percentage, in letters and in numbers; empty where it cannot be shown.
fn part(given: &Given, found: &Found, name: &str, p: f64) -> Vec<Term> {
    let scale = Scale::of(given.readings);
    match (name, found.best) {
        ("gradient", Some(best)) => {
            let figures = working_figures(given, found);
            let from_lines = match (
                &found.extremes,
                found.flux_density.and_then(|f| f.school_basis),
            ) {
                (Ok(extremes), Some(SchoolBasis::WorstLines)) => {
                    Some(gradient_uncertainty(given.worst_line_rule, extremes, &best))
                }
                _ => None,
            };
            let half = from_lines.unwrap_or(p / 100.0 * best.line.gradient.abs());
            let b = scale.gradient_term(best.line.gradient.abs(), figures);
            vec![
                over(Term::Delta("b"), Term::Symbol("b")),
                over(scale.gradient_term(half, 3), b),
            ]
        }
        ("length", _) => typed_part("L", given.setup.length.as_ref(), Unit::CENTIMETRE),
        ("current", _) => typed_part("I", given.setup.fixed_current.as_ref(), Unit::AMPERE),
        ("gravity", _) => typed_part(
            "g",
            given.setup.gravity.as_ref(),
            Unit::METRE_PER_SECOND_SQUARED,
        ),
        _ => Vec::new(),
    }
}

fn typed_part(
    letter: &'static str,
    typed: Option<&crate::readings::setup::Measured>,
    default_unit: Unit,
) -> Vec<Term> {
    let Some((typed, half)) = typed.and_then(|t| Some((t, t.half_width?))) else {
        return Vec::new();
    };
    let unit = typed.figure.unit.unwrap_or(default_unit);
    let half = measure(short(unit.from_si(half)), unit.symbol());
    vec![
        over(Term::Delta(letter), Term::Symbol(letter)),
        over(half, typed_term(typed, default_unit)),
    ]
}

fn standard(given: &Given, found: &Found, flux: &FluxDensity) -> Vec<Block> {
    let mut blocks = vec![Block::Subheading(
        "Standard way: combined standard uncertainty".to_owned(),
    )];
    let Some(budget) = &flux.budget else {
        blocks.push(Block::Text(words::NO_BUDGET.to_owned()));
        return blocks;
    };
    blocks.push(Block::Text(words::BUDGET.to_owned()));
    let of_gradient = budget
        .sources
        .iter()
        .find(|s| s.name == "gradient")
        .map(|s| s.standard_uncertainty);
    let of_scatter = found.best.and_then(|best| best.gradient_error);
    if let (Some(used), true) = (of_gradient, of_gradient != of_scatter) {
        let scale = Scale::of(given.readings);
        blocks.push(Block::Text(words::steps_take_its_place(
            &scale.gradient_text(used, 3),
        )));
    }
    blocks.push(Block::Table(budget_table(given, found, budget)));
    if !(budget.combined.is_finite() && budget.combined > 0.0) {
        blocks.push(Block::Text(words::NO_BUDGET.to_owned()));
        return blocks;
    }
    let standard = || Term::StandardOf(Box::new(Term::Symbol("B")));
    let squares = Term::Total(Box::new(Term::Squared(Box::new(Term::Word(
        "contribution",
    )))));
    let combined = flux_beside(budget.combined, 3, flux.tesla);
    let mut lines =
        vec![Formula::equal(standard(), Term::Root(Box::new(squares))).and(combined.clone())];
    let k = number(budget.coverage_factor, 3);
    lines.push(
        Formula::equal(
            Term::Symbol("U"),
            super::algebra::product(vec![Term::Symbol("k"), standard()]),
        )
        .and(Term::Times(vec![Term::Number(k.clone()), combined]))
        .and(flux_beside(budget.expanded(), 3, flux.tesla)),
    );
    blocks.push(Block::step(words::coverage(budget, &k), lines));
    blocks.extend(words::right_angle(flux).map(Block::Text));
    if let (Some(outcome), true) = (&given.monte_carlo, given.found.len() == 1) {
        blocks.push(Block::Text(words::monte_carlo(outcome, flux, budget)));
    }
    blocks
}

/// One value for all series.
pub(super) fn joint(given: &Given) -> Vec<Block> {
    let Some((joint, budget)) = &given.joint else {
        return Vec::new();
    };
    let stated = Stated::new(
        joint.value,
        Some(budget.expanded()),
        Digits::Two,
        data_figures(given, 0),
    );
    let mut formula = Formula::equal(Term::Symbol("B"), stated.tesla);
    if let Some(millitesla) = stated.millitesla {
        formula = formula.and(millitesla);
    }
    vec![
        Block::Subheading("All series together".to_owned()),
        Block::Text(words::joint(given, joint, budget)),
        Block::Answer {
            label: "all series: expanded uncertainty, 95 %".to_owned(),
            formula,
        },
    ]
}

fn budget_table(given: &Given, found: &Found, budget: &Budget) -> Table {
    let scale = Scale::of(given.readings);
    let figures = working_figures(given, found);
    let unit_of = |source: &Source| match source.name {
        "gradient" => scale.gradient_si_unit(),
        "length" => "m".to_owned(),
        "current" => "A".to_owned(),
        "gravity" => "m/s²".to_owned(),
        _ => String::new(),
    };
    let with = |text: String, unit: &str| super::algebra::with_unit(&text, unit);
    let rows = budget
        .sources
        .iter()
        .map(|source| {
            let unit = unit_of(source);
            vec![
                words::source(source.name).to_owned(),
                match (source.name, given.setup.length) {
                    ("length", Some(length)) if length.si == source.value => {
                        format!("{} m", si_number(&length, Unit::CENTIMETRE))
                    }
                    _ => with(number(source.value, figures), &unit),
                },
                with(number(source.standard_uncertainty, 3), &unit),
                with(number(source.sensitivity, 3), &per("T", &unit)),
                flux_term(source.contribution(), 3).plain(),
                format!("{} %", percent(budget.share_percent(source))),
            ]
        })
        .collect();
    Table {
        caption: "Budget of standard uncertainties".to_owned(),
        headings: [
            "Source",
            "Value",
            "Standard uncertainty",
            "Sensitivity",
            "Contribution to B",
            "Share",
        ]
        .map(str::to_owned)
        .to_vec(),
        rows,
        row_headings: true,
        below: length_divisor(given, budget),
        ..Table::default()
    }
}

/// How the typed half-width of the length became a standard uncertainty; empty where there is none.
fn length_divisor(given: &Given, budget: &Budget) -> String {
    let typed = given
        .setup
        .length
        .and_then(|length| Some((length, length.half_width?)));
    let source = budget.sources.iter().find(|s| s.name == "length");
    match (typed, source) {
        (Some((length, half_m)), Some(source)) if source.standard_uncertainty > 0.0 => {
            words::half_width_divided(
                &as_typed(&length, Unit::CENTIMETRE),
                half_m / source.standard_uncertainty,
            )
        }
        _ => String::new(),
    }
}
