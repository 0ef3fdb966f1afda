//! What must not change B, whatever the readings: the units they are typed in, a constant added to every reading, the
//! order of the rows, columns of nothing. And what must hold of the extreme lines.

use proptest::prelude::*;
use serde_json::json;
use yokeline_core::job::{Analysis, Job, analyse};

/// Currents and readings such as a practical gives: currents in order, readings near a line, two decimals.
fn readings() -> impl Strategy<Value = Vec<(i64, i64)>> {
    let row = (10..60_i64, -4..=4_i64);
    (prop::collection::vec(row, 4..12), 20..90_i64, -30..30_i64).prop_map(|(rows, slope, zero)| {
        let mut current = 0;
        rows.into_iter()
            .map(|(step, noise)| {
                current += step;
                (current, slope * current / 100 + zero + noise)
            })
            .collect()
    })
}

/// Hundredths as text.
fn hundredths(n: i64) -> String {
    let sign = if n < 0 { "-" } else { "" };
    format!("{sign}{}.{:02}", n.abs() / 100, n.abs() % 100)
}

fn table(headings: &str, rows: &[(String, String)]) -> String {
    let body: String = rows.iter().map(|(x, y)| format!("{x}\t{y}\n")).collect();
    format!("{headings}\n{body}")
}

fn in_amperes_and_grams(rows: &[(i64, i64)]) -> Vec<(String, String)> {
    rows.iter()
        .map(|(x, y)| (hundredths(*x), hundredths(*y)))
        .collect()
}

fn analysed(table: String) -> Analysis {
    let mut job = Job {
        table,
        ..Job::default()
    };
    job.apparatus =
        serde_json::from_value(json!({"length": "5.0 cm", "length_uncertainty": "0.1 cm"}))
            .unwrap();
    analyse(&job)
}

/// B and its three uncertainties.
fn results(analysis: &Analysis) -> Option<[f64; 4]> {
    let b = analysis.flux_density.as_ref()?;
    Some([
        b.tesla,
        b.standard_uncertainty?,
        b.expanded_uncertainty?,
        b.school_uncertainty?,
    ])
}

fn agree(a: &Analysis, b: &Analysis, relative: f64) -> Result<(), TestCaseError> {
    let (a, b) = (results(a), results(b));
    prop_assert_eq!(a.is_some(), b.is_some());
    if let (Some(a), Some(b)) = (a, b) {
        let scale = a[0].abs() + a[1];
        for (a, b) in a.iter().zip(&b) {
            prop_assert!((a - b).abs() <= relative * scale, "{} against {}", a, b);
        }
    }
    Ok(())
}

proptest! {
    #[test]
    fn units_do_not_matter(rows in readings()) {
        let plain = analysed(table("I / A\tm / g", &in_amperes_and_grams(&rows)));
        let small: Vec<_> = rows.iter().map(|(x, y)| ((x * 10).to_string(), (y * 10).to_string())).collect();
        let in_small = analysed(table("I / mA\tm / mg", &small));
        // Ten milligrams are one step of the first table; the second is written to one milligram.
        let mut job = Job { table: table("I / mA\tm / mg", &small), ..Job::default() };
        job.apparatus = serde_json::from_value(json!({
            "length": "50 mm", "length_uncertainty": "1 mm", "balance_resolution": "0.01 g"
        })).unwrap();
        agree(&plain, &analyse(&job), 1e-9)?;
        let (a, b) = (plain.best_line, in_small.best_line);
        prop_assert_eq!(a.is_some(), b.is_some());
    }

    #[test]
    fn a_constant_on_every_reading_does_not_matter(rows in readings(), zero in 0..20_000_i64) {
        let shifted: Vec<_> = rows.iter().map(|(x, y)| (*x, y + zero)).collect();
        agree(
            &analysed(table("I / A\tm / g", &in_amperes_and_grams(&rows))),
            &analysed(table("I / A\tm / g", &in_amperes_and_grams(&shifted))),
            1e-9,
        )?;
    }

    #[test]
    fn the_order_of_rows_and_columns_does_not_matter(rows in readings(), turn in 0..12_usize) {
        let plain = analysed(table("I / A\tm / g", &in_amperes_and_grams(&rows)));
        let mut mixed = rows.clone();
        mixed.rotate_left(turn % rows.len());
        let swapped: Vec<_> = in_amperes_and_grams(&mixed).into_iter().map(|(x, y)| (y, x)).collect();
        agree(&plain, &analysed(table("m / g\tI / A", &swapped)), 1e-9)?;
    }

    #[test]
    fn blank_columns_and_rows_do_not_matter(rows in readings()) {
        let typed = in_amperes_and_grams(&rows);
        let plain = analysed(table("I / A\tm / g", &typed));
        let body: String = typed.iter().map(|(x, y)| format!("\t{x}\t\t{y}\t\t\n\t\t\t\t\t\n")).collect();
        agree(&plain, &analysed(format!("\tI / A\t\tm / g\t\t\n{body}")), 1e-12)?;
    }

    #[test]
    fn extreme_lines_rest_on_bars_and_bracket_the_best_line(rows in readings()) {
        let analysis = analysed(table("I / A\tm / g", &in_amperes_and_grams(&rows)));
        let Some(extremes) = analysis.extreme_lines else { return Ok(()) };
        let slack = 1e-9;
        for line in [extremes.steepest, extremes.shallowest] {
            let off = |p: &yokeline_core::job::output::Point| {
                (p.y - line.intercept - line.gradient * p.x).abs() / p.u_y - 1.0
            };
            prop_assert!(analysis.points.iter().all(|p| off(p) <= slack));
            prop_assert!(analysis.points.iter().filter(|p| off(p).abs() <= 1e-6).count() >= 2);
        }
        let best = analysis.best_line.unwrap();
        let meets_all = analysis.points.iter().all(|p| p.residual.unwrap().abs() <= p.u_y);
        if meets_all {
            let (low, high) = (
                extremes.steepest.gradient.min(extremes.shallowest.gradient),
                extremes.steepest.gradient.max(extremes.shallowest.gradient),
            );
            prop_assert!(low <= best.gradient + 1e-15 && best.gradient <= high + 1e-15);
        }
    }

    #[test]
    fn no_job_breaks_the_way(table in ".{0,200}", length in ".{0,12}", probe in ".{0,12}", wires in "[-0-9.e]{0,6}") {
        let mut job = Job { table, ..Job::default() };
        job.apparatus.length = length;
        job.apparatus.wires = wires;
        job.probe.reading = probe;
        let analysis = analyse(&job);
        // Everything that is said can be written as JSON and holds no number that JSON cannot.
        let text = serde_json::to_string(&analysis).unwrap();
        prop_assert!(!text.contains("NaN"));
    }
}

/// The same job gives the same analysis.
#[test]
fn twice_the_same() {
    let job = Job {
        table: yokeline_tests::data("measured/boxes_and_meganewtons.tsv"),
        ..Job::default()
    };
    assert_eq!(analyse(&job), analyse(&job));
}
