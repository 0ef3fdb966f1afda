//! The plan as a tree of meaning, for the page and for a printed kit page: what to expect, what would help, supply and
//! warmth, the order of readings with a table to fill in, which way things are pushed, the kit, and the cautions.

use crate::figures::Unit;
use crate::figures::round::to_significant;
use crate::sheet::{Block, Section, Sheet, Show, Table, Topic};

use super::direction::Reading;
use super::output::{Expected, NeedFigure, NeedFigures, Note, Planned};
use super::printed_words as words;

/// The kit page on paper.
pub fn kit_sheet(title: &str, planned: &Planned) -> Sheet {
    let mut sections = sections(planned);
    // Whoever takes one page only takes the cautions.
    sections.sort_by_key(|section| section.topic != Topic::Cautions);
    // On paper nobody sees what was typed: what the figures rest on stands before them.
    let notes: Vec<String> = planned.notes.iter().map(note).collect();
    if !notes.is_empty() {
        let blocks = vec![Block::List(notes)];
        sections.insert(1, section(Topic::Apparatus, words::RESTS_ON, blocks));
    }
    Sheet {
        title: match title.trim() {
            "" => words::KIT_TITLE.to_owned(),
            title => format!("{}: {title}", words::KIT_TITLE),
        },
        fill_in: Vec::new(),
        show: Show::Full,
        sections,
    }
}

/// A note with the name of the field that it speaks of.
pub fn note(note: &Note) -> String {
    match words::field(note.field) {
        "" => note.text.clone(),
        name => format!("{name}: {}", note.text),
    }
}

/// The sections, in the order in which a lesson is got ready; those with nothing to say are left out.
pub fn sections(planned: &Planned) -> Vec<Section> {
    let mut all = vec![
        section(Topic::Readings, words::EXPECT, expect(planned)),
        section(Topic::Uncertainty, words::HELPS, helps(planned)),
        section(Topic::Apparatus, words::WARMTH, warmth(planned)),
        section(Topic::Readings, words::ORDER, order(planned)),
        section(Topic::Bench, words::WHICH_WAY, which_way(planned)),
        section(Topic::Apparatus, words::FREE_FALL, gravity(planned)),
        section(Topic::Apparatus, words::KIT, kit(planned)),
        section(
            Topic::Cautions,
            words::CAUTIONS_HEADING,
            vec![Block::List(planned.cautions.clone())],
        ),
    ];
    all.retain(|section| !section.blocks.is_empty());
    all
}

fn section(topic: Topic, heading: &str, blocks: Vec<Block>) -> Section {
    Section {
        topic,
        heading: heading.to_owned(),
        blocks,
    }
}

/// A flux density as a heading says it.
fn tesla(expected: &Expected) -> String {
    let millitesla = Unit::MILLITESLA.from_si(expected.flux_density);
    format!("{} mT", to_significant(millitesla, 3))
}

fn expect(planned: &Planned) -> Vec<Block> {
    let mut blocks = Vec::new();
    let several = planned.expected.len() > 1;
    for expected in &planned.expected {
        let verdict = if several {
            words::with_flux_density(&tesla(expected), &expected.text)
        } else {
            expected.text.clone()
        };
        blocks.push(Block::Text(verdict));
        blocks.push(Block::Text(words::precision(expected)));
    }
    let Some(first) = planned.expected.first() else {
        return blocks;
    };
    let falls = planned
        .direction
        .as_ref()
        .is_some_and(|direction| direction.reading == Reading::Falls);
    let mut headings = vec!["I / A".to_owned()];
    headings.extend(planned.expected.iter().map(|expected| {
        if several {
            format!("m / g at {}", tesla(expected))
        } else {
            "m / g".to_owned()
        }
    }));
    let rows = first.readings.iter().enumerate().map(|(place, reading)| {
        let mut row = vec![reading.current_text.clone()];
        row.extend(planned.expected.iter().map(|expected| {
            let reading = expected.readings.get(place);
            match reading {
                Some(reading) if falls && reading.reading != 0.0 => {
                    format!("−{}", reading.reading_text)
                }
                Some(reading) => reading.reading_text.clone(),
                None => String::new(),
            }
        }));
        row
    });
    blocks.push(Block::Table(Table {
        caption: words::EXPECTED_READINGS.to_owned(),
        headings,
        rows: rows.collect(),
        ..Table::default()
    }));
    blocks
}

fn helps(planned: &Planned) -> Vec<Block> {
    // Where a range is given the weaker field decides whether the bench will do.
    let Some(weakest) = planned.expected.first() else {
        return Vec::new();
    };
    let mut blocks = Vec::new();
    if planned.expected.len() > 1 {
        blocks.push(Block::Text(words::of_the_weaker(&tesla(weakest))));
    }
    let changes: Vec<String> = weakest.changes.iter().map(|c| c.text.clone()).collect();
    if !changes.is_empty() {
        blocks.push(Block::List(changes));
    }
    if !weakest.needs.is_empty() {
        blocks.push(Block::Subheading(words::NEEDED.to_owned()));
        let texts = |of: fn(&NeedFigures) -> &NeedFigure| -> Vec<String> {
            weakest.needs.iter().map(|n| of(n).text.clone()).collect()
        };
        blocks.push(Block::Text(words::BY_STANDARD.to_owned()));
        blocks.push(Block::List(once(texts(|need| &need.standard))));
        blocks.push(Block::Text(words::BY_SCHOOL.to_owned()));
        blocks.push(Block::List(once(texts(|need| &need.school))));
    }
    blocks
}

/// The sentences, each said once.
fn once(mut texts: Vec<String>) -> Vec<String> {
    texts.dedup();
    texts
}

fn warmth(planned: &Planned) -> Vec<Block> {
    let mut blocks = vec![Block::Text(planned.limits.text.clone())];
    if let Some(wire) = &planned.wire {
        blocks.push(Block::Text(wire.text.clone()));
        blocks.push(Block::Text(wire.assumptions.clone()));
    } else {
        blocks.push(Block::Text(words::NO_WIRE.to_owned()));
    }
    // The first two of the cautions are about heat: they stand where its numbers are.
    blocks.push(Block::List(
        planned.cautions.iter().take(2).cloned().collect(),
    ));
    blocks
}

fn order(planned: &Planned) -> Vec<Block> {
    if planned.results_table.rows.is_empty() {
        return Vec::new();
    }
    vec![
        Block::Text(planned.order.text.clone()),
        Block::Table(Table {
            caption: words::RESULTS_TABLE.to_owned(),
            headings: planned.results_table.headings.clone(),
            rows: planned.results_table.rows.clone(),
            ..Table::default()
        }),
    ]
}

fn which_way(planned: &Planned) -> Vec<Block> {
    planned.direction.as_ref().map_or(Vec::new(), |direction| {
        vec![
            Block::Text(direction.text.clone()),
            Block::Graph {
                caption: words::PICTURE.to_owned(),
            },
        ]
    })
}

fn gravity(planned: &Planned) -> Vec<Block> {
    let text = planned.gravity.as_ref().map(|gravity| gravity.text.clone());
    text.map(Block::Text).into_iter().collect()
}

fn kit(planned: &Planned) -> Vec<Block> {
    let rows = planned
        .kit
        .iter()
        .map(|item| vec![item.what.to_owned(), item.detail.clone()]);
    vec![Block::Table(Table {
        caption: words::KIT_CAPTION.to_owned(),
        headings: words::KIT_HEADINGS.map(str::to_owned).to_vec(),
        rows: rows.collect(),
        row_headings: true,
        ..Table::default()
    })]
}
