//! Whether the truth lies within the uncertainty, and whether what was put in shows.

use yokeline_core::job::{Analysis, Job, analyse};
use yokeline_core::practice::{Level, Set};

use crate::{rate, tells};

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
