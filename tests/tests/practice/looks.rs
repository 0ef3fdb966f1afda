//! Whether a set looks like one from a bench, each fault as it should, and every student's different.

use std::collections::BTreeSet;

use yokeline_core::job::analyse;
use yokeline_core::practice::{Faults, Level, Range, Recipe, Set, set};

use crate::{cells, column, many, with};

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
