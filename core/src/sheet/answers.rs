//! The answers alone: a table of results, the graph, and the conclusion.

use super::gradient::gradient_uncertainty;
use super::scale::{Scale, working_figures};
use super::{Block, Given, Section, Table, Topic, judgement, uncertainty, words};
use crate::field::SchoolBasis;
use crate::figures::round::{percent, typeset};

/// The results of every series.
pub(super) fn section(given: &Given) -> Section {
    let scale = Scale::of(given.readings);
    let several = given.found.len() > 1;
    let mut blocks = Vec::new();
    for (family, found) in given.found.iter().enumerate() {
        let Some(best) = found.best else {
            let text = words::no_line(given, family);
            blocks.push(Block::Text(if several {
                format!("{}: {text}", words::series(given, family))
            } else {
                text
            }));
            continue;
        };
        let figures = working_figures(given, found);
        let mut rows = Vec::new();
        let mut row = |what: &str, value: String| rows.push(vec![what.to_owned(), value]);
        row(
            "Gradient b",
            scale.gradient_text(best.line.gradient, figures),
        );
        if let (true, Some(error)) = (given.way.standard(), best.gradient_error) {
            row(
                "Standard error of the gradient",
                scale.gradient_text(error, 2),
            );
        }
        row("Intercept a", scale.y.with_unit(best.line.intercept, 1));
        if let (true, Ok(extremes)) = (given.way.school(), &found.extremes) {
            row(
                "Steepest acceptable gradient",
                scale.gradient_text(extremes.steepest.gradient, figures),
            );
            row(
                "Shallowest acceptable gradient",
                scale.gradient_text(extremes.shallowest.gradient, figures),
            );
            let delta = gradient_uncertainty(given.worst_line_rule, extremes, &best);
            row("Uncertainty of the gradient", scale.gradient_text(delta, 2));
        }
        if let (true, Some(_), Some(flux)) = (
            given.way.school(),
            found.flux_density.and_then(|f| f.school_t),
            found.flux_density,
        ) {
            let sum: f64 = flux.school_parts.iter().map(|(_, p)| p).sum();
            let what = match flux.school_basis {
                Some(SchoolBasis::StandardError) => {
                    "Percentage uncertainty of B, with one standard error of the gradient"
                }
                _ => "Percentage uncertainty of B",
            };
            row(what, format!("{} %", percent(sum)));
        }
        if let (true, Some(comparison)) = (!several, &given.comparison) {
            let p = typeset(&percent(comparison.percentage_difference));
            row("Difference from the expected value", format!("{p} %"));
        }
        blocks.push(Block::Table(Table {
            caption: if several {
                format!("Results: {}", words::series(given, family))
            } else {
                "Results".to_owned()
            },
            headings: vec!["Quantity".to_owned(), "Value".to_owned()],
            rows,
            row_headings: true,
            ..Table::default()
        }));
        if let (true, Err(stopped)) = (given.way.school(), &found.extremes) {
            blocks.push(Block::Text(words::stopped(given, found, stopped)));
        }
        match found.flux_density {
            Some(flux) => blocks.extend(uncertainty::answers(given, family, found, flux)),
            None => blocks.push(Block::Text(words::what_is_missing(given, family))),
        }
    }
    blocks.extend(uncertainty::joint(given));
    blocks.extend(judgement::conclusions(given).into_iter().map(Block::Text));
    Section {
        topic: Topic::Answers,
        heading: "Answers".to_owned(),
        blocks,
    }
}
