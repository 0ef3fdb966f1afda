//! The sections in their order.
//!
//! Start at [`sheet`].

use super::scale::Scale;
use super::{Block, Given, Section, Sheet, Show, Topic};
use super::{answers, apparatus, blank, gradient, judgement, readings, result, uncertainty, words};

/// The worked sheet of what was found, or as much of it as was asked for.
///
/// Whatever is missing, the sheet still has the apparatus, the readings and the cautions, and says what is missing.
pub fn sheet(given: &Given) -> Sheet {
    let title = match given.title.trim() {
        "" => words::TITLE.to_owned(),
        title => title.to_owned(),
    };
    let sections = match given.show {
        Show::Full => full(given),
        Show::Answers => vec![answers::section(given), graph(given), apparatus::cautions()],
        Show::Blank => vec![
            apparatus::apparatus(given),
            apparatus::cautions(),
            blank::readings_section(given),
            blank::graph_paper(given),
            blank::questions(given),
        ],
    };
    let fill_in = match given.show {
        Show::Answers => Vec::new(),
        Show::Full | Show::Blank => vec!["Name", "Class", "Date"],
    };
    Sheet {
        title,
        fill_in,
        show: given.show,
        sections,
    }
}

fn full(given: &Given) -> Vec<Section> {
    let mut sections = vec![
        apparatus::apparatus(given),
        apparatus::cautions(),
        readings::section(given),
    ];
    if !given.readings.points.is_empty() {
        sections.push(graph(given));
    }
    sections.push(gradient::section(given));
    if given.found.iter().any(|found| found.best.is_some()) {
        sections.push(result::section(given));
    }
    if given.found.iter().any(|found| found.flux_density.is_some()) {
        sections.push(uncertainty::section(given));
    }
    sections.extend(judgement::comparison(given));
    sections.extend(judgement::bench(given));
    sections.push(judgement::conclusion(given));
    sections.push(Section {
        topic: Topic::Evaluation,
        heading: "Evaluation".to_owned(),
        blocks: vec![Block::Text(words::EVALUATION.to_owned()), Block::Lines(6)],
    });
    sections
}

fn graph(given: &Given) -> Section {
    let scale = Scale::of(given.readings);
    let caption = words::graph(given, &scale);
    Section {
        topic: Topic::Graph,
        heading: "Graph".to_owned(),
        blocks: vec![Block::Graph { caption }],
    }
}
