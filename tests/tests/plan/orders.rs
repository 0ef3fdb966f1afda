//! The orders of readings, and the table to fill in.

use yokeline_core::job::analyse;
use yokeline_core::plan::order::{mixed, up_and_down, with_time};
use yokeline_core::plan::{Plan, plan};
use yokeline_tests::close;

use crate::chance::Chance;
use crate::{bench, expected, job};

#[test]
fn a_mixed_order_holds_every_current_once_and_is_not_tied_to_time() {
    for count in 5..=40_u32 {
        let currents: Vec<f64> = (1..=count).map(|i| 0.3 * f64::from(i)).collect();
        for seed in [0, 1, 2026] {
            let order = mixed(&currents, seed);
            let mut sorted = order.clone();
            sorted.sort_unstable();
            assert!(sorted.into_iter().eq(0..currents.len()));
            assert_eq!(order, mixed(&currents, seed));
            assert!(with_time(&currents, &order).abs() < 0.1, "{count}, {seed}");
        }
        assert_ne!(mixed(&currents, 1), mixed(&currents, 2), "{count}");
        let rising: Vec<usize> = (0..currents.len()).collect();
        close("raised", with_time(&currents, &rising), 1.0, 1e-12);
        let both = up_and_down(currents.len());
        assert!(with_time(&currents, &both).abs() < 1e-12);
    }
}

/// Pinned: a seed has to give the same order on every machine and in every release.
#[test]
fn a_seed_always_gives_the_same_order() {
    let asked = Plan {
        seed: 7,
        ..bench("30 mT", "0.5 A to 5 A", "0.01 g")
    };
    let found: Vec<String> = plan(&asked)
        .order
        .mixed
        .iter()
        .map(f64::to_string)
        .collect();
    assert_eq!(found.join(" "), PINNED);
}

const PINNED: &str = "0.5 2.5 4.5 2 3.5 5 4 1 3 1.5";

/// A drift of three steps a reading, with nothing else wrong: in the orders of the plan it hardly touches B, in a rising one
/// it does.
#[test]
fn a_drift_stays_out_of_the_gradient() {
    let asked = bench("40 mT", "0.5 A to 5 A", "0.001 g");
    let foretold = expected(&asked);
    let planned = plan(&asked);
    let tesla = |currents: &[f64]| {
        let rows: Vec<(String, Vec<String>)> = currents
            .iter()
            .enumerate()
            .map(|(time, current)| {
                let gram = foretold.gradient_g_per_a * current + 0.003 * time as f64;
                (format!("{current:.2}"), vec![format!("{gram:.3}")])
            })
            .collect();
        let mut job = job(&asked, &rows);
        // As read: the analysis is not to take the drift off.
        job.balance_zero = yokeline_core::job::input::BalanceZero::AsRead;
        analyse(&job).flux_density.unwrap().tesla
    };
    let rising: Vec<f64> = foretold.readings.iter().map(|r| r.current).collect();
    let off = |currents: &[f64]| (tesla(currents) / 0.04 - 1.0).abs();
    // By hand: 0.003 g a reading is 0.006 g/A on 0.2039 g/A, 2.9 %, but for the steps of the balance.
    close("raised only", off(&rising), 0.006 / 0.203_873_598, 0.03);
    assert!(off(&planned.order.mixed) < 0.002);
    assert!(off(&planned.order.up_and_down) < 0.001);
}

#[test]
fn the_table_filled_in_is_understood() {
    for repeats in ["1", "3"] {
        let mut asked = bench("40 mT", "0.5 A to 5 A", "0.01 g");
        asked.repeats = repeats.into();
        let foretold = expected(&asked);
        let table = plan(&asked).results_table;
        let mut text = table.headings.join("\t");
        let mut chance = Chance::of("filled in", 0);
        let mut rows = table.rows.clone();
        chance.shuffle(&mut rows);
        for row in &rows {
            let of = |r: &&yokeline_core::plan::output::ExpectedReading| r.current_text == row[0];
            let reading = &foretold.readings.iter().find(of).unwrap().reading_text;
            text.push_str(&format!("\n{}", row[0]));
            for cell in &row[1..] {
                assert_eq!(cell, "");
                text.push_str(&format!("\t{reading}"));
            }
        }
        assert_eq!(
            table.decimals,
            [vec![2], vec![2; table.headings.len() - 1]].concat()
        );
        let mut filled = job(&asked, &[(String::new(), vec![String::new()])]);
        filled.table = text;
        let found = analyse(&filled);
        assert_eq!(found.points.len(), 10);
        assert!(
            found
                .points
                .iter()
                .all(|p| p.repeats.to_string() == repeats)
        );
        close("B", found.flux_density.unwrap().tesla, 0.04, 0.01);
    }
}
