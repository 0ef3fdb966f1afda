//! Practice sets: pinned tables, what is put in against what is found, and recipes that no bench could follow.

use std::collections::BTreeSet;

use proptest::prelude::*;

use yokeline_core::job::{Analysis, Job, analyse};
use yokeline_core::practice::{
    Faults, GraphPaper, KeyRow, Level, Range, Recipe, Set, Way, key, key_sheet, set, worksheet,
};
use yokeline_core::sheet::Sheet;
use yokeline_web::paper;

/// Sets that were given out once and have to be made again for ever. An entry here may never change; a new one may be
/// added at the end.
const PINNED: &str = include_str!("../data/practice/sets.txt");

/// `count` sets of a recipe, over several seeds.
fn many(recipe: &Recipe, count: u32) -> impl Iterator<Item = Set> {
    (0..count).map(|student| set(recipe, 1 + student / 100, student % 100))
}

/// How many in a hundred of `count` sets pass.
fn rate(recipe: &Recipe, count: u32, passes: impl Fn(&Set, &Analysis) -> bool) -> f64 {
    let passed = many(recipe, count)
        .filter(|made| passes(made, &analyse(&made.job)))
        .count();
    100.0 * passed as f64 / f64::from(count)
}

fn tells(analysis: &Analysis, kind: &str) -> bool {
    analysis.findings.iter().any(|f| f.kind == kind)
}

/// The cells of a table, without its headings.
fn cells(table: &str) -> Vec<Vec<&str>> {
    let rows = table.lines().skip(1);
    rows.map(|line| line.split('\t').collect()).collect()
}

/// One column as numbers.
fn column(job: &Job, index: usize) -> Vec<f64> {
    cells(&job.table)
        .iter()
        .map(|row| row[index].parse().expect("a number"))
        .collect()
}

/// A set as the pinned file has it: all that a student sees and what is true, without the sentences.
fn pin(made: &Set) -> String {
    let a = &made.job.apparatus;
    let mut text = format!(
        "length: {} | uncertainty: {} | wires: {} | step: {} | current: {} | true: {}\n",
        a.length,
        a.length_uncertainty,
        a.wires,
        a.balance_resolution,
        made.job.fixed_current,
        made.truth.flux_density
    );
    for fault in &made.truth.faults {
        text.push_str(&format!(
            "{} {:?} {:?}\n",
            fault.kind, fault.row, fault.size
        ));
    }
    text + &made.job.table
}

/// `== seed 3, number 17: "drift"`, a level or a recipe as JSON.
fn pinned_set(head: &str) -> Set {
    let (numbers, what) = head.split_once(": ").expect("a colon");
    let mut numbers = numbers
        .trim_start_matches("seed ")
        .split(", number ")
        .map(|n| n.parse().expect("a number"));
    let (seed, student) = (numbers.next().unwrap(), numbers.next().unwrap());
    let recipe = match serde_json::from_str::<Level>(what) {
        Ok(level) => level.recipe(),
        Err(_) => serde_json::from_str::<Recipe>(what).expect("a recipe"),
    };
    set(&recipe, seed, student)
}

#[test]
fn sets_given_out_once_are_made_again() {
    let mut levels = BTreeSet::new();
    let mut entries = 0;
    for entry in PINNED.split("== ").skip(1) {
        let (head, text) = entry.split_once('\n').expect("a head");
        let made = pin(&pinned_set(head));
        assert!(made.trim_end() == text.trim_end(), "== {head}\n{made}");
        levels.insert(head.split_once(": ").map(|(_, what)| what.to_owned()));
        entries += 1;
    }
    for level in Level::ALL {
        let name = serde_json::to_string(&level).unwrap();
        assert!(levels.contains(&Some(name)), "{level:?} is not pinned");
    }
    assert!(entries >= 3 * Level::ALL.len());
}

/// Levels in which nothing spoils the gradient.
const SOUND: [Level; 8] = [
    Level::StraightAndClean,
    Level::GoodDay,
    Level::ReadThreeTimes,
    Level::ZeroOut,
    Level::BothWays,
    Level::SeveralWires,
    Level::SeveralLengths,
    Level::TurnedWire,
];

#[test]
fn the_truth_lies_within_the_uncertainty_as_often_as_that_says() {
    for level in SOUND {
        let within = |made: &Set, analysis: &Analysis| {
            let (tesla, expanded) = match (&analysis.flux_density, &analysis.joint) {
                (Some(found), _) => (found.tesla, found.expanded_uncertainty.unwrap()),
                (None, Some(joint)) => (joint.tesla, joint.expanded_uncertainty),
                // Of several wires one table in a hundred has no joint value: its lines seem to disagree.
                (None, None) => return false,
            };
            (tesla - made.truth.flux_density_t).abs() <= expanded
        };
        let found = rate(&level.recipe(), 1000, within);
        println!("{level:?}: {found:.1} % within the expanded uncertainty");
        assert!((93.0..98.0).contains(&found), "{level:?}: {found} %");
    }
}

#[test]
fn worst_lines_can_be_drawn_where_a_beginner_would_try() {
    for (level, least) in [
        (Level::StraightAndClean, 98.0),
        (Level::GoodDay, 97.0),
        (Level::ZeroOut, 94.0),
    ] {
        let found = rate(&level.recipe(), 500, |_, a| a.extreme_lines.is_some());
        assert!(found >= least, "{level:?}: {found} %");
    }
}

#[test]
fn a_level_shows_what_it_says() {
    for (level, kind, least) in [
        (Level::ZeroOut, "zero_error", 98.0),
        (Level::BothWays, "zero_error", 97.0),
        (Level::OneToFind, "outlier", 99.0),
        (Level::Drift, "drift", 99.0),
        (Level::WarmWire, "bend", 99.0),
        (Level::EverythingAtOnce, "outlier", 98.0),
    ] {
        let found = rate(&level.recipe(), 500, |_, a| tells(a, kind));
        println!("{level:?}: {kind} told in {found:.1} %");
        assert!(found >= least, "{level:?}: {kind} in {found} %");
    }
    for level in [Level::StraightAndClean, Level::GoodDay] {
        let faults = [
            "zero_error",
            "outlier",
            "drift",
            "bend",
            "step",
            "signs_lost",
        ];
        let found = rate(&level.recipe(), 500, |_, a| {
            faults.iter().any(|kind| tells(a, kind))
        });
        assert!(found < 8.0, "{level:?}: a fault in {found} %");
    }
}

#[test]
fn a_zero_error_is_the_intercept() {
    let found = rate(&Level::ZeroOut.recipe(), 500, |made, analysis| {
        let put_in = made.truth.faults[0].size.unwrap();
        let line = analysis.best_line.unwrap();
        let off = 1000.0 * line.intercept - put_in;
        // Student's t for 8 degrees of freedom at 99.9 %.
        off.abs() < 5.04 * 1000.0 * line.intercept_standard_error.unwrap() + 1e-9
    });
    assert!(found > 99.0, "{found} %");
}

#[test]
fn the_wrong_reading_is_the_one_that_is_told() {
    for level in [Level::OneToFind, Level::EverythingAtOnce] {
        let found = rate(&level.recipe(), 500, |made, analysis| {
            let row = made.truth.faults.iter().find_map(|f| f.row);
            analysis
                .findings
                .iter()
                .any(|f| f.kind == "outlier" && f.row == row)
        });
        assert!(found >= 98.0, "{level:?}: {found} %");
    }
}

#[test]
fn drift_is_found_once_the_wrong_reading_is_left_out() {
    let found = rate(&Level::EverythingAtOnce.recipe(), 300, |made, _| {
        let job = Job {
            exclude: made.truth.faults.iter().filter_map(|f| f.row).collect(),
            ..made.job.clone()
        };
        tells(&analyse(&job), "drift")
    });
    println!("drift told in {found:.1} % once the wrong reading is left out");
    assert!(found >= 90.0, "{found} %");
}

#[test]
fn a_drift_has_the_size_that_was_put_in() {
    let found = rate(&Level::Drift.recipe(), 300, |made, _| {
        let job = Job {
            balance_zero: yokeline_core::job::input::BalanceZero::Drift,
            ..made.job.clone()
        };
        let drift = analyse(&job).drift.expect("a drift");
        let put_in = made.truth.faults[0].size.unwrap();
        // Student's t for 7 degrees of freedom at 99.9 %.
        (1000.0 * drift.rate - put_in).abs() < 5.41 * 1000.0 * drift.rate_standard_error.unwrap()
    });
    assert!(found > 99.0, "{found} %");
}

/// The clean recipe with some faults.
fn with(faults: Faults) -> Recipe {
    Recipe {
        faults,
        ..Recipe::default()
    }
}

#[test]
fn a_fault_leaves_everything_else_as_it_was() {
    let outlier = with(Faults {
        outlier_g: Range::exactly(0.3),
        ..Faults::default()
    });
    for (plain, wrong) in many(&Recipe::default(), 50).zip(many(&outlier, 50)) {
        assert_eq!(plain.job.apparatus, wrong.job.apparatus);
        let row = wrong.truth.faults[0].row.unwrap();
        let off = wrong.truth.faults[0].size.unwrap();
        let (before, after) = (column(&plain.job, 1), column(&wrong.job, 1));
        for (k, (before, after)) in before.iter().zip(&after).enumerate() {
            let expected = if k + 1 == row { off } else { 0.0 };
            assert!((after - before - expected).abs() < 1e-9, "row {}", k + 1);
        }
    }
}

#[test]
fn warming_bends_the_line_by_what_was_put_in() {
    let recipe = Recipe {
        noise_steps: 0.0,
        ..with(Faults {
            warming: Range::exactly(0.2),
            ..Faults::default()
        })
    };
    for made in many(&recipe, 50) {
        let (currents, readings) = (column(&made.job, 0), column(&made.job, 1));
        let straight = 1000.0 * made.truth.gradients[0] * currents[9];
        assert_eq!(currents[9], 5.0);
        assert!(
            (readings[9] - 0.8 * straight).abs() < 0.01,
            "{}",
            made.job.table
        );
    }
}

#[test]
fn a_reversed_current_is_read_both_ways() {
    let recipe = with(Faults {
        reversed_current: true,
        ..Faults::default()
    });
    for made in many(&recipe, 20) {
        let (currents, readings) = (column(&made.job, 0), column(&made.job, 1));
        assert_eq!(currents.len(), 20);
        for k in (0..20).step_by(2) {
            assert_eq!(currents[k], -currents[k + 1]);
            assert!(
                (readings[k] + readings[k + 1]).abs() < 0.06,
                "{}",
                made.job.table
            );
        }
    }
}

#[test]
fn a_mixed_order_has_the_same_currents() {
    let recipe = with(Faults {
        mixed_order: true,
        ..Faults::default()
    });
    let mut orders = BTreeSet::new();
    for (plain, mixed) in many(&Recipe::default(), 40).zip(many(&recipe, 40)) {
        let mut currents = column(&mixed.job, 0);
        orders.insert(format!("{currents:?}"));
        currents.sort_by(f64::total_cmp);
        assert_eq!(currents, column(&plain.job, 0));
    }
    assert!(orders.len() >= 39);
}

#[test]
fn no_two_students_share_a_set() {
    for level in Level::ALL {
        let made: Vec<Set> = (1..=40).map(|n| set(&level.recipe(), 5, n)).collect();
        let tables: BTreeSet<&str> = made.iter().map(|m| m.job.table.as_str()).collect();
        assert_eq!(tables.len(), 40, "{level:?}");
        let truths: BTreeSet<&str> = made.iter().map(|m| m.truth.flux_density.as_str()).collect();
        assert!(
            truths.len() >= 35,
            "{level:?}: {} flux densities",
            truths.len()
        );
        // Another seed is another class.
        assert_ne!(set(&level.recipe(), 6, 1).job.table, made[0].job.table);
    }
}

#[test]
fn no_level_gives_away_another() {
    for student in 1..=10 {
        let truths: BTreeSet<(String, String)> = Level::ALL
            .iter()
            .map(|level| set(&level.recipe(), 5, student))
            .map(|made| (made.truth.flux_density, made.job.apparatus.length))
            .collect();
        assert_eq!(truths.len(), Level::ALL.len());
    }
}

#[test]
fn readings_look_like_those_of_an_instrument() {
    for (step_g, shown) in [
        (0.001, 3),
        (0.01, 2),
        (0.05, 2),
        (0.1, 1),
        (0.2, 1),
        (1.0, 0),
        (2.0, 0),
    ] {
        let recipe = Recipe {
            balance_step_g: step_g,
            wires: Range::exactly(40.0),
            noise_steps: 3.0,
            ..with(Faults {
                reversed_current: true,
                ..Faults::default()
            })
        };
        for made in many(&recipe, 20) {
            for row in cells(&made.job.table) {
                let decimals = |text: &str| text.split_once('.').map_or(0, |(_, d)| d.len());
                assert_eq!((decimals(row[0]), decimals(row[1])), (2, shown), "{row:?}");
                let steps = row[1].parse::<f64>().unwrap() / step_g;
                assert!((steps - steps.round()).abs() < 1e-6, "{row:?}");
            }
        }
    }
}

#[test]
fn nothing_is_never_minus_nothing() {
    let recipe = Recipe {
        flux_density_t: Range::exactly(1e-4),
        current_a: Range::between(0.0, 0.5),
        ..with(Faults {
            reversed_current: true,
            ..Faults::default()
        })
    };
    let (mut zeros, mut minus) = (0, 0);
    for made in many(&recipe, 100) {
        for cell in cells(&made.job.table).concat() {
            let number: f64 = cell.parse().unwrap();
            zeros += usize::from(number == 0.0);
            minus += usize::from(number == 0.0 && cell.starts_with('-'));
        }
    }
    assert!(zeros > 500 && minus == 0, "{minus} of {zeros}");
}

#[test]
fn the_apparatus_is_understood_without_a_word_of_trouble() {
    for level in Level::ALL {
        for made in many(&level.recipe(), 20) {
            for note in &analyse(&made.job).notes {
                assert_eq!(note.weight, "told", "{level:?}: {}", note.text);
            }
        }
    }
}

#[test]
fn levels_read_well() {
    let mut titles = BTreeSet::new();
    for level in Level::ALL {
        let (title, sentence) = (level.title(), level.sentence());
        assert!(titles.insert(title));
        assert!(title.len() <= 32 && !title.ends_with('.'), "{title}");
        assert!(
            sentence.ends_with('.') && sentence.matches('.').count() == 1,
            "{sentence}"
        );
        assert!(sentence.len() <= 110, "{sentence}");
        assert!(set(&level.recipe(), 1, 1).notes.is_empty(), "{level:?}");
    }
}

#[test]
fn faults_are_told_in_sentences() {
    let recipe = Recipe {
        repeats: 3,
        ..with(Faults {
            zero_error_g: Range::exactly(0.2),
            drift_g: Range::exactly(0.01),
            outlier_g: Range::exactly(0.4),
            warming: Range::exactly(0.15),
            reversed_current: true,
            mixed_order: true,
        })
    };
    let told: Vec<String> = set(&recipe, 1, 1)
        .truth
        .faults
        .into_iter()
        .map(|f| f.text)
        .collect();
    assert_eq!(
        told,
        [
            "The balance shows +0.20 g when no current flows.",
            "The balance creeps by +0.010 g from each reading to the next, +0.590 g from the first to the last.",
            "Row 15, reading 3, is 0.40 g too low.",
            "The wire grows warm and moves: the push falls behind the current, by 15 % at 5 A.",
            "Every current was read both ways.",
            "The readings were taken in a mixed order.",
        ]
    );
}

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
    use yokeline_core::sheet::Block;
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

fn recipe_of(json: &str) -> Recipe {
    serde_json::from_str(json).expect("a recipe")
}

#[test]
fn recipes_are_read_as_they_are_written() {
    assert_eq!(recipe_of("{}"), Recipe::default());
    assert_eq!(
        recipe_of(r#"{"way":"length","unheard_of":[1]}"#).way,
        Way::Length
    );
    let written = r#"{"flux_density_t":0.05,"length_m":[0.04,0.06],"faults":{"warming":0.1}}"#;
    let recipe = recipe_of(written);
    assert_eq!(recipe.flux_density_t, Range::exactly(0.05));
    assert_eq!(recipe.length_m, Range::between(0.04, 0.06));
    for level in Level::ALL {
        let json = serde_json::to_string(&level.recipe()).unwrap();
        assert_eq!(recipe_of(&json), level.recipe());
    }
    assert!(serde_json::from_str::<Recipe>(r#"{"flux_density_t":"strong"}"#).is_err());
}

#[test]
fn what_cannot_be_made_is_told() {
    for (json, told) in [
        (
            r#"{"length_m":0}"#,
            "The length of the wire cannot be 0 m: 0.001 m was taken. It may lie between 0.001 and 1 m.",
        ),
        (
            r#"{"flux_density_t":null}"#,
            "The flux density is not a number: 0.05 T was taken. It may lie between 0.0001 and 5 T.",
        ),
        (
            r#"{"flux_density_t":1e300}"#,
            "The flux density cannot be 1.0×10³⁰⁰ T: 5 T was taken. It may lie between 0.0001 and 5 T.",
        ),
        (
            r#"{"readings":0}"#,
            "The number of readings cannot be 0: 3 was taken. It may lie between 3 and 100.",
        ),
        (
            r#"{"readings":1000000000}"#,
            "The number of readings cannot be 1.0×10⁹: 100 was taken. It may lie between 3 and 100.",
        ),
        (
            r#"{"balance_step_g":-0.01}"#,
            "The step of the balance cannot be −0.01 g: 0.0001 g was taken. It may lie between 0.0001 and 10 g.",
        ),
        (
            r#"{"balance_step_g":0.025}"#,
            "The step of the balance has one figure only, as 0.01 or 0.05 g: 0.03 g was taken for 0.025 g.",
        ),
        (
            r#"{"ammeter_step_a":1}"#,
            "An ammeter with steps of 1 A cannot tell these currents apart: steps of 0.1 A were taken.",
        ),
        (
            r#"{"current_a":[3,3.01]}"#,
            "The lowest and the highest current lie too close together for a line: even steps up to 3.01 A were taken.",
        ),
        (
            r#"{"way":"wires"}"#,
            "A comparison of wires needs two of them at least: one and two wires were taken.",
        ),
        (
            r#"{"way":"angle","faults":{"warming":0.1}}"#,
            "The current stays the same in these sets, so warming cannot bend the line: it was left out.",
        ),
        (
            r#"{"way":"length","faults":{"reversed_current":true}}"#,
            "The current stays the same in these sets, so it was not reversed.",
        ),
        (
            r#"{"version":2}"#,
            "This recipe comes from a later release. What this release does not know of it was left out, so the readings may differ from those of that release.",
        ),
        (
            r#"{"faults":{"outlier_g":0.01}}"#,
            "The error of the one wrong reading, 0.01 g, hardly shows beside a scatter of 0.0049 g.",
        ),
        (
            r#"{"faults":{"drift_g":0.02}}"#,
            "Where the readings are taken in step with what is varied, a drift cannot be told from a change of the gradient: a mixed order shows it.",
        ),
        (r#"{"flux_density_t":0.001}"#, ""),
    ] {
        let notes = set(&recipe_of(json), 1, 1).notes;
        let of_signal = "At the largest push the balance moves by only";
        assert!(
            notes.iter().any(|note| if told.is_empty() {
                note.starts_with(of_signal)
            } else {
                note == told
            }),
            "{json}: {notes:#?}"
        );
    }
}

/// Any number at all, oftener than by chance one that is trouble.
// Boxed, since the trees of values would not fit the stack of a test.
fn any_number() -> BoxedStrategy<f64> {
    prop_oneof![
        any::<f64>(),
        -1.0..10.0,
        prop_oneof![
            Just(0.0),
            Just(-0.0),
            Just(f64::NAN),
            Just(f64::INFINITY),
            Just(f64::NEG_INFINITY),
            Just(f64::MIN_POSITIVE),
            Just(f64::MAX),
            Just(1e-9),
            Just(1e9),
        ],
    ]
    .boxed()
}

fn any_range() -> BoxedStrategy<Range> {
    prop_oneof![
        any_number().prop_map(Range::exactly),
        (any_number(), any_number()).prop_map(|(low, high)| Range::between(low, high)),
    ]
    .boxed()
}

fn any_count() -> BoxedStrategy<u32> {
    prop_oneof![0..20_u32, any::<u32>(), Just(1_000_000_000)].boxed()
}

fn any_faults() -> BoxedStrategy<Faults> {
    (
        any_range(),
        any_range(),
        any_range(),
        any_range(),
        any::<bool>(),
        any::<bool>(),
    )
        .prop_map(
            |(zero_error_g, drift_g, outlier_g, warming, reversed_current, mixed_order)| Faults {
                zero_error_g,
                drift_g,
                outlier_g,
                warming,
                reversed_current,
                mixed_order,
            },
        )
        .boxed()
}

fn any_recipe() -> BoxedStrategy<Recipe> {
    let way = prop_oneof![
        Just(Way::Current),
        Just(Way::Wires),
        Just(Way::Angle),
        Just(Way::Length)
    ];
    (
        (
            way,
            any_range(),
            any_range(),
            any_number(),
            any_range(),
            any_range(),
        ),
        (
            any_count(),
            any_count(),
            any_number(),
            any_number(),
            any_number(),
            any_number(),
        ),
        (any_faults(), any_count(), any_count()),
    )
        .prop_map(|(bench, instruments, (faults, version, strand))| Recipe {
            version,
            strand,
            way: bench.0,
            flux_density_t: bench.1,
            length_m: bench.2,
            length_uncertainty_m: bench.3,
            wires: bench.4,
            current_a: bench.5,
            readings: instruments.0,
            repeats: instruments.1,
            balance_step_g: instruments.2,
            ammeter_step_a: instruments.3,
            noise_steps: instruments.4,
            stated_bar_g: instruments.5,
            faults,
        })
        .boxed()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever is asked for, there is a table of numbers, and what was changed is told.
    #[test]
    fn no_recipe_is_too_absurd(recipe in any_recipe(), seed: u32, student: u32) {
        let made = set(&recipe, seed, student);
        let rows = cells(&made.job.table);
        prop_assert!((3..=800).contains(&rows.len()));
        let distinct: BTreeSet<&str> = rows.iter().map(|row| row[row.len().min(2) - 2]).collect();
        prop_assert!(distinct.len() >= 2);
        for cell in rows.concat() {
            prop_assert!(cell.parse::<f64>().is_ok_and(f64::is_finite), "{cell}");
            prop_assert!(cell.len() < 20 && (!cell.starts_with('-') || cell.parse::<f64>() != Ok(0.0)), "{cell}");
        }
        if !recipe.flux_density_t.high.is_finite() || recipe.readings < 3 {
            prop_assert!(!made.notes.is_empty());
        }
        for note in made.notes.iter().chain(made.truth.faults.iter().map(|f| &f.text)) {
            prop_assert!(note.ends_with('.') && note.len() < 250 && !note.contains("NaN"), "{note}");
        }
        prop_assert_eq!(&made, &set(&recipe, seed, student));
        let rows = key(&recipe, seed, std::iter::once(student));
        prop_assert_eq!(rows.len(), 1);
    }
}
