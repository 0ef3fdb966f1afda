//! The key, and set and key on paper.

use yokeline_core::job::analyse;
use yokeline_core::practice::{GraphPaper, KeyRow, Level, Recipe, key, key_sheet, set, worksheet};
use yokeline_core::sheet::{Block, Sheet};
use yokeline_web::paper;

use crate::{cells, many};

#[test]
fn the_key_tells_truth_and_data() {
    let rows = key(&Level::ZeroOut.recipe(), 7, [3, 12].into_iter());
    let numbers: Vec<u32> = rows.iter().map(|row| row.student).collect();
    assert_eq!(numbers, [3, 12]);
    for row in &rows {
        let made = set(&Level::ZeroOut.recipe(), 7, row.student);
        let found = analyse(&made.job).flux_density.unwrap();
        assert_eq!(row.true_tesla, made.truth.flux_density_t);
        assert_eq!(
            (row.tesla, &row.school, &row.standard),
            (Some(found.tesla), &found.text, &found.text_standard)
        );
        assert_eq!(row.put_in, [made.truth.faults[0].text.clone()]);
        assert_eq!(row.found[0].kind, "zero_error");
        assert!(row.gradients[0].ends_with(" g/A"), "{:?}", row.gradients);
    }
    let units = |level: Level| -> Vec<String> {
        let rows: Vec<KeyRow> = key(&level.recipe(), 7, 1..2);
        rows.into_iter().flat_map(|row| row.gradients).collect()
    };
    assert!(units(Level::TurnedWire)[0].ends_with(" g"));
    assert!(units(Level::SeveralLengths)[0].ends_with(" g/cm"));
    let wires = units(Level::SeveralWires);
    assert!(
        wires.len() == 3 && wires[0].starts_with("1 wire: ") && wires[2].starts_with("3 wires: ")
    );
}

#[test]
fn true_gradients_are_those_of_the_data() {
    for level in [
        Level::StraightAndClean,
        Level::TurnedWire,
        Level::SeveralLengths,
        Level::SeveralWires,
    ] {
        let recipe = Recipe {
            noise_steps: 0.0,
            balance_step_g: 1e-4,
            ..level.recipe()
        };
        for made in many(&recipe, 20) {
            let analysis = analyse(&made.job);
            let lines = analysis
                .families
                .iter()
                .map(|f| f.best_line.or(analysis.best_line).unwrap());
            let found: Vec<f64> = lines.map(|line| line.gradient).collect();
            assert_eq!(found.len(), made.truth.gradients.len());
            for (found, truth) in found.iter().zip(&made.truth.gradients) {
                assert!(
                    (found / truth - 1.0).abs() < 0.005,
                    "{level:?}: {found} for {truth}"
                );
            }
        }
    }
}

/// A sheet's table by its first and last heading.
fn rows_of<'a>(sheet: &'a Sheet, last_heading: &str) -> &'a [Vec<String>] {
    let blocks = sheet.sections.iter().flat_map(|s| &s.blocks);
    let mut tables = blocks.filter_map(|block| match block {
        Block::Table(table) if table.headings.last().is_some_and(|h| h == last_heading) => {
            Some(table)
        }
        _ => None,
    });
    &tables.next().expect("a table of that heading").rows
}

#[test]
fn a_worksheet_has_the_readings_and_gives_nothing_away() {
    for level in Level::ALL {
        let made = set(&level.recipe(), 9, 4);
        let sheet = worksheet(&made, GraphPaper::WithAxes);
        let text = sheet.to_text();
        for cell in cells(&made.job.table).concat() {
            assert!(text.contains(cell), "{level:?}: {cell} is not in\n{text}");
        }
        let (value, _) = made.truth.flux_density.split_once(' ').unwrap();
        assert!(!text.contains(value), "{level:?}: {value} is in\n{text}");
        for fault in &made.truth.faults {
            assert!(!text.contains(&fault.text));
        }
        let found = analyse(&made.job);
        for text_of_b in found.flux_density.iter().map(|f| &f.text) {
            assert!(!text.contains(text_of_b.as_str()), "{level:?}");
        }
        let html = paper::html(&sheet, "");
        assert!(
            html.contains("Empty graph paper for m / g against"),
            "{level:?}"
        );
        let bare = paper::html(&worksheet(&made, GraphPaper::WithoutAxes), "");
        assert!(
            bare.contains("\"Empty graph paper\"") && !bare.contains("rotate(-90)"),
            "{level:?}"
        );
    }
}

#[test]
fn the_key_on_paper_tells_what_the_commonest_slips_give() {
    let recipe = Level::ZeroOut.recipe();
    let sheet = key_sheet(&recipe, 9, 1..=30);
    let rows = key(&recipe, 9, 1..=30);
    let answers = rows_of(&sheet, "B, 95 % range");
    let put_in = rows_of(&sheet, "What was put in");
    let slips = rows_of(&sheet, "G");
    assert_eq!((answers.len(), put_in.len(), slips.len()), (30, 30, 30));
    for (k, row) in rows.iter().enumerate() {
        assert_eq!(answers[k][0], row.student.to_string());
        assert_eq!(
            (&answers[k][1], &answers[k][3]),
            (&row.true_flux_density, &row.school)
        );
        assert_eq!(put_in[k][1], row.put_in[0]);
        // A: the mass was left in grams.
        let (number, unit) = slips[k][1].split_once(' ').unwrap();
        let found = number.parse::<f64>().unwrap() / row.tesla.unwrap() / 1000.0;
        assert!(unit == "T" && (found - 1.0).abs() < 0.006, "{:?}", slips[k]);
    }
    let text = sheet.to_text();
    assert!(text.contains("- A: The mass was left in grams."), "{text}");
    assert!(paper::html(&sheet, "").contains("Practice set 9: answer key"));
    let clean = key_sheet(&Level::SeveralWires.recipe(), 9, 1..=2).to_text();
    assert!(
        clean.contains("Nothing but scatter.") && !clean.contains("Common slips"),
        "{clean}"
    );
    assert_eq!(key_sheet(&recipe, 9, std::iter::empty()).sections.len(), 3);
}
