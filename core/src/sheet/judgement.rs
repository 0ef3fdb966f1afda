//! What the numbers mean: comparisons, what was seen on the bench, and a conclusion that claims no more than they show.

use super::algebra::{Formula, Relation, Term, measure, minus, over};
use super::scale::{
    Scale, data_figures, expanded_t, figures_for_difference, flux_beside, flux_term, number,
    percentage, working_figures,
};
use super::words::{self, Zero};
use super::{Block, Found, Given, Section, Show, Table, Topic};
use crate::field::{Comparison, FluxDensity, SchoolBasis};
use crate::figures::round::{Digits, percent, typeset};
use crate::line::Fitted;
use crate::line::extreme::Stopped;

/// The comparison with the probe, and of several series with each other; `None` when there is nothing to compare.
pub(super) fn comparison(given: &Given) -> Option<Section> {
    let mut blocks = Vec::new();
    if given.found.len() > 1 {
        blocks.extend(between_series(given));
    }
    if let Some(comparison) = &given.comparison {
        blocks.extend(with_probe(given, comparison));
    }
    if let Some(text) = words::integrals(given) {
        blocks.push(Block::Subheading(
            "With the walk of the probe, without choosing a length".to_owned(),
        ));
        blocks.push(Block::Text(text));
    }
    (!blocks.is_empty()).then(|| Section {
        topic: Topic::Comparison,
        heading: "Comparison".to_owned(),
        blocks,
    })
}

/// What was seen in the data; `None` when there was nothing.
pub(super) fn bench(given: &Given) -> Option<Section> {
    if given.observations.is_empty() {
        return None;
    }
    let sentences: Vec<String> = given
        .observations
        .iter()
        .map(|o| format!("{} {}", o.text, o.advice).trim().to_owned())
        .collect();
    Some(Section {
        topic: Topic::Bench,
        heading: "What the readings say of the bench".to_owned(),
        blocks: vec![Block::List(words::at_most(&sentences, MOST_OBSERVATIONS))],
    })
}

const MOST_OBSERVATIONS: usize = 20;

/// The conclusion.
pub(super) fn conclusion(given: &Given) -> Section {
    Section {
        topic: Topic::Conclusion,
        heading: "Conclusion".to_owned(),
        blocks: conclusions(given).into_iter().map(Block::Text).collect(),
    }
}

/// The conclusion in sentences.
pub(super) fn conclusions(given: &Given) -> Vec<String> {
    let several = given.found.len() > 1;
    let mut sentences = Vec::new();
    for (family, found) in given.found.iter().enumerate() {
        let Some(best) = found.best else {
            let missing = words::no_line(given, family);
            sentences.push(format!(
                "{}Without a line there is no value of B.",
                if several {
                    format!("{}: {missing} ", words::series(given, family))
                } else {
                    format!("{missing} ")
                }
            ));
            continue;
        };
        let mut text = if several {
            format!("{}: ", words::series(given, family))
        } else {
            String::new()
        };
        text.push_str(&straight(given, found, &best));
        match found.flux_density {
            Some(flux) => text.push_str(&format!(" {}", stated(given, family, flux))),
            None => text.push_str(&format!(" {}", words::what_is_missing(given, family))),
        }
        sentences.push(text);
    }
    if several {
        sentences.extend(spread_of_series(given));
    }
    if let Some(comparison) = &given.comparison {
        sentences.push(verdict(given, comparison));
    }
    let bench_is_shown = given.show == Show::Full && !given.observations.is_empty();
    if bench_is_shown && given.found.iter().any(|f| f.best.is_some()) {
        sentences.push(
            "Before this is relied on, the points under “What the readings say of the bench” should be looked into."
                .to_owned(),
        );
    }
    if !given.excluded.is_empty() {
        let rows: Vec<usize> = given.excluded.iter().map(|e| e.row).take(10).collect();
        let more = if given.excluded.len() > rows.len() {
            " and others"
        } else {
            ""
        };
        sentences.push(format!(
            "This holds with {}{more} left out of the line.",
            words::rows(&rows)
        ));
    }
    sentences
}

/// Whether the points lie on a straight line, and whether it passes through the origin.
fn straight(given: &Given, found: &Found, best: &Fitted) -> String {
    let scale = Scale::of(given.readings);
    let (y, x) = (scale.y.letter, scale.x.symbol);
    if best.points < 3 {
        return format!(
            "Two points always lie on a straight line, so they do not show whether {y} against {x} is one."
        );
    }
    match (&found.extremes, Zero::of(given, best)) {
        (Ok(_), Zero::Consistent) => format!(
            "A straight line passes through every error bar and its intercept is zero within its uncertainty: within \
             their uncertainties the readings agree with {y} being proportional to {x}."
        ),
        (Ok(_), Zero::Off) => format!(
            "A straight line passes through every error bar, but its intercept is not zero: the readings agree with a \
             linear relation between {y} and {x}, with a zero error."
        ),
        (Ok(_), Zero::Forced) => format!(
            "A straight line passes through every error bar: within their uncertainties the readings agree with a linear \
             relation between {y} and {x}. The line used was forced through the origin."
        ),
        (Ok(_), _) => format!(
            "A straight line passes through every error bar: within their uncertainties the readings agree with a linear \
             relation between {y} and {x}."
        ),
        (Err(Stopped::Blocked { .. }), _) => format!(
            "No straight line passes through every error bar, so with the uncertainties as stated the readings do not \
             confirm a linear relation between {y} and {x}; the gradient is that of the line nearest to them."
        ),
        (Err(_), _) => format!(
            "The readings do not limit the line enough to test whether {y} against {x} is straight."
        ),
    }
}

/// B in a sentence, as a size.
fn stated(given: &Given, family: usize, flux: &FluxDensity) -> String {
    let size = flux.tesla.abs();
    let figures = data_figures(given, family);
    let school = flux.school_t.filter(|_| given.way.school());
    let standard = expanded_t(flux).filter(|_| given.way.standard());
    let text = |u, digits| words::flux_density(size, u, digits, figures);
    match (school, standard) {
        (Some(u), Some(expanded)) => format!(
            "The mean flux density over the length of wire in the field is {} {}, {} at 95 %.",
            text(Some(u), Digits::School),
            words::school_way(flux),
            text(Some(expanded), Digits::Two)
        ),
        (Some(u), None) => {
            format!(
                "The mean flux density over the length of wire in the field is {} {}.",
                text(Some(u), Digits::School),
                words::school_way(flux)
            )
        }
        (None, Some(u)) => format!(
            "The mean flux density over the length of wire in the field is {} at 95 %.",
            text(Some(u), Digits::Two)
        ),
        (None, None) => format!(
            "The mean flux density over the length of wire in the field is about {}; its uncertainty is not known.",
            text(None, Digits::School)
        ),
    }
}

fn with_probe(given: &Given, comparison: &Comparison) -> Vec<Block> {
    let figures = given
        .found
        .first()
        .map_or(4, |found| working_figures(given, found));
    let expected = || expected(given, comparison);
    let b = Term::Size(Box::new(Term::Symbol("B")));
    let ours = comparison.expected_t + comparison.difference_t;
    let difference = flux_beside(comparison.difference_t, 3, comparison.expected_t);
    let figures = figures_for_difference(ours, comparison.difference_t, figures);
    let expected_letter = || Term::Indexed("B", "expected");
    let lines = vec![
        Formula::equal(
            minus(b.clone(), expected_letter()),
            minus(
                flux_beside(ours, figures, comparison.expected_t),
                expected(),
            ),
        )
        .and(difference.clone()),
        Formula::equal(
            Term::Word("difference in %"),
            Term::Times(vec![
                over(minus(b, expected_letter()), expected_letter()),
                measure("100", "%"),
            ]),
        )
        .and(Term::Times(vec![
            over(difference.clone(), expected()),
            measure("100", "%"),
        ]))
        .and(percentage(comparison.percentage_difference)),
    ];
    let mut blocks = vec![Block::Subheading(
        "With the probe or expected value".to_owned(),
    )];
    blocks.push(Block::step(
        "The difference, and as a percentage of the expected value:",
        lines,
    ));
    if given.way.standard() {
        blocks.extend(normalised_error(given, comparison));
    }
    let mut sentences = Vec::new();
    if comparison.expected_half_width_t.is_none() {
        sentences.push(
            "No uncertainty was given for the expected value, so it counts as exact here."
                .to_owned(),
        );
    }
    if let (Some(overlap), true) = (comparison.ranges_overlap, given.way.school()) {
        let flux = given.found.first().and_then(|found| found.flux_density);
        let range = match flux.and_then(|flux| flux.school_basis) {
            Some(SchoolBasis::StandardError) => {
                "With one standard error of the gradient in place of worst lines the two ranges"
            }
            _ => "By the school rule the two ranges",
        };
        let overlaps = if overlap { "overlap" } else { "do not overlap" };
        sentences.push(format!("{range} {overlaps}."));
    }
    if let (Some(e), true) = (comparison.normalised_error, given.way.standard()) {
        sentences.push(if e <= 1.0 {
            "The normalised error Eₙ is not above 1: the difference is no larger than the two uncertainties at 95 % allow."
                .to_owned()
        } else {
            "The normalised error Eₙ is above 1: the difference is larger than the two uncertainties at 95 % allow.".to_owned()
        });
    }
    if !sentences.is_empty() {
        blocks.push(Block::Text(sentences.join(" ")));
    }
    blocks
}

/// The difference against the two uncertainties at 95 %; `None` where that of the result is not known.
fn normalised_error(given: &Given, comparison: &Comparison) -> Option<Block> {
    let e = comparison.normalised_error?;
    let ours_t = expanded_t(given.found.first()?.flux_density?)?;
    let of = |index| Term::Indexed("U", index);
    let beside = |tesla: f64| flux_beside(tesla, 3, comparison.expected_t);
    let square = |term: Term| Term::Squared(Box::new(term));
    let square_of = |tesla: f64| square(Term::Bracket(Box::new(beside(tesla))));
    let size = |term: Term| Term::Size(Box::new(term));
    let difference = Term::Word("difference");
    // Alone under its root, a square is the uncertainty itself.
    let (letters, numbers, reason) = match comparison.expected_half_width_t {
        Some(theirs_t) if theirs_t > 0.0 => (
            Term::Root(Box::new(Term::Sum(vec![
                square(of("B")),
                square(of("probe")),
            ]))),
            Term::Root(Box::new(Term::Sum(vec![
                square_of(ours_t),
                square_of(theirs_t),
            ]))),
            "The difference over both uncertainties in quadrature, the normalised error Eₙ: U with the index B is the \
             expanded uncertainty of the result, U with the index probe that of the expected value, as given.",
        ),
        _ => (
            of("B"),
            beside(ours_t),
            "The difference over the expanded uncertainty of the result, the normalised error Eₙ:",
        ),
    };
    let relation = if e <= 1.0 {
        Relation::AtMost
    } else {
        Relation::Above
    };
    let mut formula = Formula::equal(Term::Indexed("E", "n"), over(size(difference), letters))
        .and(over(size(beside(comparison.difference_t)), numbers))
        .and(Term::Number(number(e, 3)));
    formula.then.push((relation, Term::Number("1".to_owned())));
    Some(Block::step(reason, vec![formula]))
}

/// The value compared with, to the figures typed.
fn expected(given: &Given, comparison: &Comparison) -> Term {
    let figures = given
        .setup
        .probe
        .map_or(3, |probe| probe.figure.significant);
    flux_term(comparison.expected_t, figures.clamp(2, 6))
}

/// The comparison with the probe in a sentence.
fn verdict(given: &Given, comparison: &Comparison) -> String {
    let p = typeset(&percent(comparison.percentage_difference.abs()));
    let side = if comparison.difference_t < 0.0 {
        "below"
    } else {
        "above"
    };
    let expected = expected(given, comparison).plain();
    let apart = if comparison.difference_t == 0.0 {
        format!("The result equals the expected {expected} to the figures worked with.")
    } else {
        format!("The result lies {p} % {side} the expected {expected}.")
    };
    // The way that the sheet states decides.
    let agrees = if given.way.standard() {
        comparison.agrees()
    } else {
        comparison.ranges_overlap.or(comparison.agrees())
    };
    match agrees {
        Some(true) => format!(
            "{apart} The two agree within their uncertainties; this does not prove that either is right, for both could \
             be out in the same direction."
        ),
        Some(false) => format!(
            "{apart} That is more than their uncertainties explain: something is not covered by them, for example a length \
             that is not the length in the field, a probe that is off the centre or not square to the field, or a \
             calibration."
        ),
        None => format!(
            "{apart} Without an uncertainty of the result it cannot be said whether the two agree."
        ),
    }
}

/// The value, and the half-width by the way that is printed first.
fn range(given: &Given, flux: &FluxDensity) -> (f64, Option<f64>, Digits) {
    let school = flux.school_t.filter(|_| given.way.school());
    match school {
        Some(u) => (flux.tesla.abs(), Some(u), Digits::School),
        None => (flux.tesla.abs(), expanded_t(flux), Digits::Two),
    }
}

fn between_series(given: &Given) -> Vec<Block> {
    let scale = Scale::of(given.readings);
    let rows: Vec<Vec<String>> = given
        .found
        .iter()
        .enumerate()
        .map(|(family, found)| {
            let figures = working_figures(given, found);
            let gradient = found.best.map_or_else(
                || "—".to_owned(),
                |b| scale.gradient_text(b.line.gradient, figures),
            );
            let flux = found.flux_density.map_or_else(
                || "—".to_owned(),
                |flux| {
                    let (size, u, digits) = range(given, flux);
                    words::flux_density(size, u, digits, data_figures(given, family))
                },
            );
            vec![words::series(given, family), gradient, flux]
        })
        .collect();
    let table = Table {
        caption: "The series side by side".to_owned(),
        headings: ["Series", "Gradient b", "Size of B"]
            .map(str::to_owned)
            .to_vec(),
        rows,
        row_headings: true,
        below: standing_in(given),
        ..Table::default()
    };
    let mut blocks = vec![
        Block::Subheading("Between the series".to_owned()),
        Block::Table(table),
    ];
    blocks.extend(spread_of_series(given).map(Block::Text));
    blocks
}

/// For which series the range of B has a standard error in it; empty for none.
fn standing_in(given: &Given) -> String {
    let stands_in = |found: &Found| {
        found.flux_density.and_then(|flux| flux.school_basis) == Some(SchoolBasis::StandardError)
    };
    let named: Vec<String> = given
        .found
        .iter()
        .enumerate()
        .filter(|(_, found)| given.way.school() && stands_in(found))
        .map(|(family, _)| words::series(given, family))
        .collect();
    if named.is_empty() {
        return String::new();
    }
    format!(
        "One standard error of the gradient stands in place of worst lines here: {}.",
        named.join("; ")
    )
}

/// Whether one flux density fits all series, or, where that cannot be tested, whether their ranges have a value in common.
fn spread_of_series(given: &Given) -> Option<String> {
    if let Some((joint, budget)) = &given.joint {
        let together = words::flux_density(
            joint.value.abs(),
            Some(budget.expanded()),
            Digits::Two,
            data_figures(given, 0),
        );
        return Some(format!(
            "The series agree with one field: all together they give {together} at 95 %."
        ));
    }
    let ranges: Vec<(f64, f64)> = given
        .found
        .iter()
        .filter_map(|found| {
            let (size, u, _) = range(given, found.flux_density?);
            Some((size - u?, size + u?))
        })
        .collect();
    if ranges.len() < 2 {
        return None;
    }
    let low = ranges.iter().map(|r| r.0).fold(f64::NEG_INFINITY, f64::max);
    let high = ranges.iter().map(|r| r.1).fold(f64::INFINITY, f64::min);
    Some(if low <= high {
        "The ranges of B of the series have values in common: within their uncertainties the series agree.".to_owned()
    } else {
        "No value of B lies within the ranges of all the series: they disagree by more than their uncertainties, so \
         something changed between them besides what was meant to change. A wire that reaches past the poles is a common \
         cause."
            .to_owned()
    })
}
