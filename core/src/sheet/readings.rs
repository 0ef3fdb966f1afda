//! The readings as typed, how they were read, and the points made from them.

use super::algebra::{Formula, Term, measure, minus, over};
use super::scale::{Scale, headed};
use super::{Block, Given, MOST_ROWS, Section, Table, Topic, raw, words};
use crate::figures::round::{to_decimals, typeset};
use crate::readings::{Basis, Point};
use crate::table::{Column, Role};

/// The readings, the points, and what was left out.
pub(super) fn section(given: &Given) -> Section {
    let mut blocks = Vec::new();
    if given.table.rows == 0 {
        blocks.push(Block::Text(words::NO_TABLE.to_owned()));
    } else {
        blocks.push(Block::Table(raw::table(given)));
    }
    if !given.notes.is_empty() {
        blocks.push(Block::Subheading("How the table was read".to_owned()));
        blocks.push(Block::List(words::at_most(&given.notes, MOST_NOTES)));
    }
    if !given.readings.points.is_empty() {
        blocks.push(Block::Subheading("From readings to points".to_owned()));
        blocks.extend(repeats(given));
        blocks.push(Block::Table(points(given)));
        blocks.extend(words::drift_taken_off(given).map(Block::Text));
    }
    if !given.excluded.is_empty() {
        blocks.push(Block::Subheading(
            "Readings left out of the line".to_owned(),
        ));
        let reasons: Vec<String> = given.excluded.iter().map(words::left_out).collect();
        blocks.push(Block::List(words::at_most(&reasons, MOST_NOTES)));
    }
    Section {
        topic: Topic::Readings,
        heading: "Readings".to_owned(),
        blocks,
    }
}

/// More notes than this are counted rather than printed.
const MOST_NOTES: usize = 20;

/// The points, each with its uncertainty and where that came from.
fn points(given: &Given) -> Table {
    let scale = Scale::of(given.readings);
    let points = &given.readings.points;
    let several = given.readings.families.len() > 1;
    let with_bar_x = points.iter().any(|p| p.bar_x.is_some());
    let repeated = points.iter().any(|p| p.repeats > 1);
    let mut headings = vec!["Row".to_owned()];
    if several {
        headings.push("Series".to_owned());
    }
    headings.push(scale.x.title());
    if with_bar_x {
        headings.push(headed(&format!("Δ{}", scale.x.letter), scale.x.unit()));
    }
    let mean = if repeated {
        format!("mean {}", scale.y.symbol)
    } else {
        scale.y.symbol.to_owned()
    };
    headings.push(headed(&mean, scale.y.unit()));
    headings.push(headed(&format!("Δ{}", scale.y.letter), scale.y.unit()));
    headings.push(format!("Δ{} taken from", scale.y.letter));
    let shown = points.len().min(MOST_ROWS);
    let rows = points
        .iter()
        .take(shown)
        .map(|p| {
            let mut row = vec![p.row.to_string()];
            if several {
                row.push(
                    given
                        .readings
                        .families
                        .get(p.family)
                        .map_or_else(String::new, |f| f.label.clone()),
                );
            }
            row.push(scale.x.text(p.x, 0));
            if with_bar_x {
                row.push(p.bar_x.map_or_else(
                    || "—".to_owned(),
                    |bar| bar_text(scale.x.shown(bar), scale.x.decimals),
                ));
            }
            row.push(scale.y.text(p.y, i32::from(p.repeats > 1)));
            row.push(bar_text(scale.y.shown(p.bar_y), scale.y.decimals));
            row.push(basis(p));
            row
        })
        .collect();
    Table {
        caption: "Points of the graph".to_owned(),
        headings,
        rows,
        left_out: points
            .iter()
            .take(shown)
            .enumerate()
            .filter(|(_, p)| p.excluded)
            .map(|(i, _)| i)
            .collect(),
        row_headings: true,
        below: words::rows_printed(shown, points.len()),
    }
}

/// An uncertainty to the places of the instrument, and one more where it would otherwise lose its figures.
fn bar_text(bar: f64, decimals: i32) -> String {
    let whole = to_decimals(bar, decimals);
    let exact = whole
        .parse::<f64>()
        .is_ok_and(|w| (w - bar).abs() <= 1e-9 * bar.abs());
    typeset(&if exact {
        whole
    } else {
        to_decimals(bar, decimals + 1)
    })
}

fn basis(point: &Point) -> String {
    match point.basis {
        Basis::Resolution => "one step of the balance".to_owned(),
        Basis::HalfRange => format!("half the range of {}", point.repeats),
        Basis::Typed => "as given".to_owned(),
    }
}

/// How repeats became a mean and a bar, with one row worked out where its cells can be found.
fn repeats(given: &Given) -> Vec<Block> {
    let scale = Scale::of(given.readings);
    let points = &given.readings.points;
    let mut blocks = Vec::new();
    if points.iter().any(|p| p.basis == Basis::Resolution) {
        blocks.push(Block::Text(words::RESOLUTION_BAR.to_owned()));
    }
    let Some(first) = points.iter().find(|p| p.repeats > 1) else {
        return blocks;
    };
    let (letter, unit) = (scale.y.letter, scale.y.unit());
    let two = || Term::Number("2".to_owned());
    let mean_of = |sum: Term, count: usize| {
        Formula::equal(
            Term::Mean(letter),
            over(sum, Term::Number(count.to_string())),
        )
    };
    let half_of = |range: Term| Formula::equal(Term::Delta(letter), over(range, two()));
    // A row whose half-range was used shows more than one where the step of the balance stood in.
    let by_range = |p: &&Point| p.basis == Basis::HalfRange;
    let candidates = points
        .iter()
        .filter(by_range)
        .chain(points.iter().filter(|p| p.basis == Basis::Resolution));
    let worked = candidates
        .filter(|p| p.repeats > 1)
        .find_map(|p| Some((p, cells_of(given, p)?)));
    let (reason, lines) = match worked {
        Some((point, cells)) => {
            let sum = Term::Sum(
                cells
                    .texts
                    .iter()
                    .map(|text| Term::Number(text.clone()))
                    .collect(),
            );
            let range = minus(Term::Number(cells.highest), Term::Number(cells.lowest));
            let half = measure(
                bar_text(scale.y.shown(cells.half_range), scale.y.decimals),
                unit,
            );
            let lines = vec![
                mean_of(sum, point.repeats).and(measure(scale.y.text(point.y, 1), unit)),
                half_of(range).and(half),
            ];
            (words::mean_of_repeats(point.row, point.basis), lines)
        }
        None => {
            let sum = Term::Total(Box::new(Term::Symbol(letter)));
            let range = minus(Term::Word("largest"), Term::Word("smallest"));
            (
                words::MEAN_OF_REPEATS.to_owned(),
                vec![mean_of(sum, first.repeats), half_of(range)],
            )
        }
    };
    blocks.push(Block::step(reason, lines));
    blocks
}

/// The cells that a point is the mean of.
struct Repeats {
    /// As typed.
    texts: Vec<String>,
    highest: String,
    lowest: String,
    /// SI.
    half_range: f64,
}

/// The cells that a point is the mean of, as typed: those of its row, in columns of one series, whose mean is that of the
/// point. `None` where they cannot be told, as when a zero was subtracted or there are very many.
fn cells_of(given: &Given, point: &Point) -> Option<Repeats> {
    let table = given.table;
    let readings: Vec<(usize, &Column)> = given
        .readings
        .used
        .iter()
        .filter_map(|index| Some((*index, table.columns.get(*index)?)))
        .filter(|(_, column)| {
            matches!(column.role, Role::Reading | Role::FullReading | Role::Force)
        })
        .collect();
    let label = |column: &Column| column.series.as_ref().map(|s| s.label.clone());
    readings.iter().find_map(|(_, first)| {
        let cells: Vec<(String, f64)> = readings
            .iter()
            .filter(|(_, column)| label(column) == label(first))
            .filter_map(|(index, column)| {
                let number = column.cells.get(point.row.checked_sub(1)?)?.number()?;
                Some((typeset(table.text(point.row, index + 1)), number.value_si))
            })
            .collect();
        let mean = cells.iter().map(|c| c.1).sum::<f64>() / cells.len() as f64;
        let highest = cells.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
        let lowest = cells.iter().min_by(|a, b| a.1.total_cmp(&b.1))?;
        let fits = cells.len() == point.repeats
            && cells.len() <= MOST_REPEATS_WRITTEN_OUT
            && (mean - point.y).abs() <= 1e-9 * point.y.abs().max(point.bar_y);
        fits.then(|| Repeats {
            highest: highest.0.clone(),
            lowest: lowest.0.clone(),
            half_range: (highest.1 - lowest.1) / 2.0,
            texts: cells.iter().map(|c| c.0.clone()).collect(),
        })
    })
}

/// A sum of more readings than this would not fit on a line of the page.
const MOST_REPEATS_WRITTEN_OUT: usize = 8;
