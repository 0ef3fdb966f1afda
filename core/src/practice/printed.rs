//! Practice sets on paper: a worksheet for each student, and the answer key with the commonest slips, both as trees of
//! meaning that any renderer of the sheet can print.

use serde::{Deserialize, Serialize};

use crate::check::Facts;
use crate::check::slips::{About, SLIPS, Slip};
use crate::figures::rank;
use crate::job::input::{self, SheetChoice};
use crate::job::{Job, work};
use crate::sheet::{Block, Section, Sheet, Show, Table, Topic};

use super::key::{KeyRow, row_of};
use super::{Recipe, Set, set, words};

/// The empty graph paper of a worksheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum GraphPaper {
    /// With axes and their titles.
    #[default]
    WithAxes,
    /// Ruled only: the student chooses and labels the axes.
    WithoutAxes,
}

/// A student's worksheet: apparatus, cautions, readings, graph paper, questions and room to answer them. No result stands
/// on it, nor what is true.
pub fn worksheet(made: &Set, graph_paper: GraphPaper) -> Sheet {
    let job = Job {
        sheet: SheetChoice {
            show: input::Show::Blank,
            ..made.job.sheet
        },
        ..made.job.clone()
    };
    let mut sheet = work(&job).sheet();
    if graph_paper == GraphPaper::WithoutAxes {
        let blocks = sheet.sections.iter_mut().flat_map(|s| s.blocks.iter_mut());
        for block in blocks {
            if let Block::GraphPaper { x_title, y_title } = block {
                x_title.clear();
                y_title.clear();
            }
        }
    }
    sheet
}

/// The answer key of some students, for the teacher: results, what was put in, what the readings show, and what the
/// commonest slips would make of each B.
pub fn key_sheet(recipe: &Recipe, seed: u32, students: impl Iterator<Item = u32>) -> Sheet {
    let mut rows = Vec::new();
    let mut slips: Vec<&'static Slip> = Vec::new();
    let mut wrong = Vec::new();
    for student in students {
        let made = set(recipe, seed, student);
        let working = work(&made.job);
        let facts = Facts::of(&working);
        if let (Some(facts), true) = (&facts, slips.is_empty()) {
            slips = commonest(facts);
        }
        let row = row_of(student, made, &working);
        if let (Some(facts), Some(tesla)) = (&facts, row.tesla) {
            let with = |slip: &&Slip| {
                one_factor(slip, facts).map_or(String::new(), |f| words::rounded_tesla(tesla * f))
            };
            wrong.push((student, slips.iter().map(with).collect()));
        }
        rows.push(row);
    }
    let mut sections = vec![answers(&rows)];
    sections.push(told(words::PUT_IN, words::NOTHING_PUT_IN, &rows, |row| {
        row.put_in.join(" ")
    }));
    sections.push(told(words::SHOWN, words::NOTHING_SHOWN, &rows, |row| {
        row.found
            .first()
            .map_or(String::new(), |finding| finding.text.clone())
    }));
    sections.extend(of_slips(&slips, wrong));
    Sheet {
        title: words::key_title(seed),
        fill_in: Vec::new(),
        show: Show::Full,
        sections,
    }
}

/// More columns than this would not fit the page.
const MOST_SLIPS: usize = 7;

/// The commonest slips that change B by one factor.
fn commonest(facts: &Facts) -> Vec<&'static Slip> {
    let mut slips: Vec<&Slip> = SLIPS
        .iter()
        // A wrong unit beside the right number needs no table.
        .filter(|slip| {
            !matches!(slip.about, About::AnswerUnit(_)) && one_factor(slip, facts).is_some()
        })
        .collect();
    slips.sort_by_cached_key(|slip| rank(-slip.share));
    slips.truncate(MOST_SLIPS);
    slips
}

fn one_factor(slip: &Slip, facts: &Facts) -> Option<f64> {
    match (slip.change)(facts)[..] {
        [factor] if factor.is_finite() => Some(factor.abs()),
        _ => None,
    }
}

fn answers(rows: &[KeyRow]) -> Section {
    let cells = rows.iter().map(|row| {
        vec![
            row.student.to_string(),
            row.true_flux_density.clone(),
            row.gradients.join("; "),
            row.school.clone(),
            row.standard.clone(),
        ]
    });
    section(
        Topic::Answers,
        words::ANSWERS,
        vec![Block::Table(Table {
            caption: words::ANSWERS_CAPTION.to_owned(),
            headings: words::ANSWER_HEADINGS.map(str::to_owned).to_vec(),
            rows: cells.collect(),
            row_headings: true,
            ..Table::default()
        })],
    )
}

/// A sentence or some for each student who has any.
fn told(
    heading: &str,
    nothing: &str,
    rows: &[KeyRow],
    text: impl Fn(&KeyRow) -> String,
) -> Section {
    let cells: Vec<Vec<String>> = rows
        .iter()
        .map(|row| vec![row.student.to_string(), text(row)])
        .filter(|cells| cells.iter().all(|cell| !cell.is_empty()))
        .collect();
    let block = if cells.is_empty() {
        Block::Text(nothing.to_owned())
    } else {
        Block::Table(Table {
            caption: words::EACH.to_owned(),
            headings: vec![words::NUMBER.to_owned(), heading.to_owned()],
            rows: cells,
            row_headings: true,
            ..Table::default()
        })
    };
    section(Topic::Bench, heading, vec![block])
}

/// What each slip would make of each B; nothing where several series have no single one.
fn of_slips(slips: &[&Slip], wrong: Vec<(u32, Vec<String>)>) -> Option<Section> {
    if slips.is_empty() || wrong.is_empty() {
        return None;
    }
    let letters: Vec<String> = ('A'..).take(slips.len()).map(String::from).collect();
    let legend = letters.iter().zip(slips);
    let legend = legend.map(|(letter, slip)| format!("{letter}: {}", slip.said));
    let rows = wrong.into_iter().map(|(student, cells)| {
        let mut row = vec![student.to_string()];
        row.extend(cells);
        row
    });
    let table = Table {
        caption: words::SLIPS_CAPTION.to_owned(),
        rows: rows.collect(),
        headings: [words::NUMBER.to_owned()]
            .into_iter()
            .chain(letters.iter().cloned())
            .collect(),
        row_headings: true,
        ..Table::default()
    };
    Some(section(
        Topic::Answers,
        words::SLIPS_HEADING,
        vec![Block::List(legend.collect()), Block::Table(table)],
    ))
}

fn section(topic: Topic, heading: &str, blocks: Vec<Block>) -> Section {
    Section {
        topic,
        heading: heading.to_owned(),
        blocks,
    }
}
