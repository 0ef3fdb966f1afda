//! The blank sheet: the readings as taken, graph paper, and the questions. No result stands anywhere on it.

use super::scale::Scale;
use super::{Block, Given, Section, Table, Topic, WorstLineRule, raw, words};
use crate::readings::{Ordinate, Varied};

/// The readings as taken, and an empty table for the means where there are repeats.
pub(super) fn readings_section(given: &Given) -> Section {
    let mut blocks = Vec::new();
    if given.table.rows == 0 {
        blocks.push(Block::Text(words::NO_TABLE.to_owned()));
    } else {
        let mut raw = raw::table(given);
        // Which readings to leave out is part of the answer.
        raw.left_out.clear();
        raw.below = raw.below.replace("; all of them went into the working", "");
        blocks.push(Block::Table(raw));
    }
    if given.readings.points.iter().any(|p| p.repeats > 1) {
        let scale = Scale::of(given.readings);
        let points = given.readings.points.iter().take(MOST_EMPTY_ROWS);
        blocks.push(Block::Table(Table {
            caption: "To fill in: means and uncertainties".to_owned(),
            headings: vec![
                "Row".to_owned(),
                scale.x.title(),
                super::scale::headed(&format!("mean {}", scale.y.symbol), scale.y.unit()),
                super::scale::headed(&format!("Δ{}", scale.y.letter), scale.y.unit()),
            ],
            rows: points
                .map(|p| {
                    vec![
                        p.row.to_string(),
                        scale.x.text(p.x, 0),
                        String::new(),
                        String::new(),
                    ]
                })
                .collect(),
            row_headings: true,
            ..Table::default()
        }));
    }
    Section {
        topic: Topic::Readings,
        heading: "Readings".to_owned(),
        blocks,
    }
}

const MOST_EMPTY_ROWS: usize = 40;

/// Empty graph paper.
pub(super) fn graph_paper(given: &Given) -> Section {
    let scale = Scale::of(given.readings);
    Section {
        topic: Topic::Graph,
        heading: "Graph".to_owned(),
        blocks: vec![Block::GraphPaper {
            x_title: scale.x.title(),
            y_title: scale.y.title(),
        }],
    }
}

/// The questions.
pub(super) fn questions(given: &Given) -> Section {
    let blocks = asked(given)
        .into_iter()
        .enumerate()
        .map(|(index, (text, lines))| Block::Question {
            number: index + 1,
            text,
            lines,
        })
        .collect();
    Section {
        topic: Topic::Questions,
        heading: "Questions".to_owned(),
        blocks,
    }
}

/// What is asked, with the lines of writing that it needs.
fn asked(given: &Given) -> Vec<(String, usize)> {
    let scale = Scale::of(given.readings);
    let (x, y) = (scale.x.symbol, scale.y.letter);
    let mut asked = Vec::new();
    let mut ask = |text: String, lines: usize| asked.push((text, lines));
    if given.readings.points.iter().any(|p| p.repeats > 1) {
        ask(
            format!(
                "Work out the mean of the repeated readings, and half of their range as the uncertainty Δ{y}; \
                 where that is less than one step of the balance, take the step."
            ),
            1,
        );
    }
    if given.readings.families.len() > 1 {
        ask(
            "Take each series by itself in the questions that follow.".to_owned(),
            0,
        );
    }
    ask(
        format!(
            "Plot {} against {}, with error bars, and draw the line of best fit. Does it look straight? Say how you judge.",
            scale.y.title(),
            scale.x.title()
        ),
        2,
    );
    ask(
        "Find the gradient b of your line with a large triangle. Write down both corners and the division, with units.".to_owned(),
        4,
    );
    let intercept = if given.readings.untared {
        "Read the intercept a off your line. What does it stand for on a balance that was not tared?"
    } else {
        "Read the intercept a off your line. What does it say of the zero of the balance?"
    };
    ask(intercept.to_owned(), 2);
    if given.way.school() {
        let rule = match given.worst_line_rule {
            WorstLineRule::HalfDifference => "half the difference of their gradients",
            WorstLineRule::LargerDistance => {
                "the larger distance of their gradients from that of the best line"
            }
        };
        ask(
            format!(
                "Draw the steepest and the shallowest line that still pass through every error bar. Find the uncertainty \
                 of the gradient as {rule}."
            ),
            4,
        );
    }
    if given.way.standard() {
        ask(
            "Find the gradient and its standard error by least squares, with a spreadsheet or a calculator.".to_owned(),
            2,
        );
    }
    match given.readings.varied {
        Varied::Product => ask(
            format!("Explain why the gradient of {y} against {x} is the flux density B."),
            2,
        ),
        _ => {
            let force = match given.readings.ordinate {
                Ordinate::Mass => "the weight of the change in reading",
                Ordinate::Force => "the force read",
            };
            ask(
                format!(
                    "Starting from {force} being equal to the force on the wires, show what the gradient is in terms of \
                     B, and rearrange for B."
                ),
                4,
            );
            ask(
                "Change the gradient and the other values to SI units.".to_owned(),
                3,
            );
        }
    }
    ask(
        "Substitute, with units, and find B in tesla and in millitesla.".to_owned(),
        3,
    );
    ask(
        "Find the uncertainty of B, and state B with it, both rounded to the same place."
            .to_owned(),
        4,
    );
    if let Some(probe) = given.setup.probe {
        let expected = super::scale::as_typed(&probe, crate::figures::Unit::MILLITESLA);
        ask(
            format!(
                "The value to compare with is {expected}. Find the difference as a percentage of it, and say whether the \
                 two agree within their uncertainties."
            ),
            3,
        );
    }
    if given.readings.families.len() > 1 {
        ask(
            "Compare the values of B of the series. Do they agree within their uncertainties?"
                .to_owned(),
            2,
        );
    }
    ask(
        "Write a conclusion that claims no more than your readings show.".to_owned(),
        4,
    );
    ask(
        "Evaluate: which uncertainty matters most, and what would you change on the bench?"
            .to_owned(),
        5,
    );
    asked
}
