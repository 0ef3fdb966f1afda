//! Uncertainty budgets: against the GUM's own example, and through the whole way for what is common to all points.

use serde_json::{Value, json};
use yokeline_core::field::{Budget, Source};
use yokeline_core::job::output::{Analysis, BudgetLine};
use yokeline_core::job::{Job, analyse};
use yokeline_tests::close;

/// JCGM 100:2008, annex H.1, calibration of an end gauge: components 25, 9.7, 2.9 and 16.6 nm, u = 32 nm, effective
/// degrees of freedom 16.7 before they are cut to 16. More digits: worked out with 50 figures from the inputs as printed.
#[test]
fn the_end_gauge_of_the_gum() {
    let source = |name, value, standard_uncertainty, sensitivity, degrees_of_freedom| Source {
        name,
        value,
        standard_uncertainty,
        sensitivity,
        degrees_of_freedom,
    };
    let length = 50_000_623.0;
    let budget = Budget::of(vec![
        source("standard", length, 25.0, 1.0, 18.0),
        source("difference", 215.0, 9.7, 1.0, 25.6),
        source("expansion", 0.0, 0.58e-6, -length * -0.1, 50.0),
        source("temperature", 0.0, 0.029, -length * 11.5e-6, 2.0),
    ]);
    for (source, printed) in budget.sources.iter().zip([25.0, 9.7, 2.9, 16.6]) {
        assert!((source.contribution() - printed).abs() < 0.1, "{source:?}");
    }
    close("u", budget.combined, 31.7106096404318, 1e-9);
    close("ν", budget.degrees_of_freedom, 16.6560627030039, 1e-9);
    let shares: f64 = budget.sources.iter().map(|s| budget.share_percent(s)).sum();
    close("shares", shares, 100.0, 1e-12);
}

const TABLE: &str = "I / A\tm / g\n0.50\t0.08\n1.00\t0.17\n1.50\t0.25\n2.00\t0.34\n2.50\t0.42\n3.00\t0.49\n3.50\t0.59\n";

fn job(more: Value) -> Analysis {
    let mut job = json!({
        "table": TABLE,
        "apparatus": {"length": "5.0 cm", "length_uncertainty": "1 mm"},
    });
    for (key, value) in more.as_object().unwrap() {
        match (value, job.get_mut(key)) {
            (Value::Object(fields), Some(Value::Object(known))) => known.extend(fields.clone()),
            _ => job[key] = value.clone(),
        }
    }
    analyse(&serde_json::from_value::<Job>(job).unwrap())
}

fn line<'a>(analysis: &'a Analysis, source: &str) -> &'a BudgetLine {
    let budget = &analysis.flux_density.as_ref().unwrap().budget;
    budget.iter().find(|line| line.source == source).unwrap()
}

/// A scale that may be wrong by 1 % makes B wrong by 1 %, whatever the scatter: B itself, the line and the scatter stay.
#[test]
fn an_error_of_a_scale_is_common_to_all_points() {
    let plain = job(json!({}));
    let scaled =
        job(json!({"apparatus": {"balance_calibration": "0.5 %", "current_calibration": "1"}}));
    assert_eq!(plain.best_line, scaled.best_line);
    let (before, after) = (
        plain.flux_density.as_ref().unwrap(),
        scaled.flux_density.as_ref().unwrap(),
    );
    assert_eq!(before.tesla, after.tesla);
    for (source, percent) in [("balance calibration", 0.5), ("ammeter calibration", 1.0)] {
        let contribution = line(&scaled, source).contribution / after.tesla;
        close(source, 100.0 * contribution, percent, 1e-12);
    }
    let square = |u: f64| u * u;
    close(
        "u(B)",
        square(after.standard_uncertainty.unwrap() / after.tesla),
        square(before.standard_uncertainty.unwrap() / before.tesla) + 0.005 * 0.005 + 0.01 * 0.01,
        1e-12,
    );
    // The school way adds the percentages.
    close(
        "school",
        after.school_uncertainty.unwrap() / after.tesla,
        before.school_uncertainty.unwrap() / before.tesla + 0.015,
        1e-12,
    );
    let unread = job(json!({"apparatus": {"balance_calibration": "0.5 g"}}));
    assert!(
        unread
            .notes
            .iter()
            .any(|n| n.field == Some("balance_calibration"))
    );
}

/// With everything on one line the length is in x already; its uncertainty counts all the same, and as much as in a sweep
/// of the current.
#[test]
fn the_length_counts_when_everything_is_on_one_line() {
    let (swept, product) = (job(json!({})), job(json!({"varied": "product"})));
    let of = |analysis: &Analysis| {
        let b = analysis.flux_density.as_ref().unwrap();
        (b.tesla, line(analysis, "length").contribution)
    };
    let ((b, u), (other_b, other_u)) = (of(&swept), of(&product));
    close("B", other_b, b, 1e-12);
    close("contribution", other_u, u, 1e-12);
}

/// Stated uncertainties that are right in proportion only: the scatter sets the size.
#[test]
fn stated_uncertainties_in_proportion_only() {
    let table = "I / A\tm / g\tu(m) / g\n0.5\t0.08\t0.01\n1.0\t0.17\t0.01\n1.5\t0.26\t0.02\n2.0\t0.33\t0.02\n2.5\t0.42\t0.03\n";
    let known = job(json!({"table": table, "fit": "weighted"}));
    let relative =
        job(json!({"table": table, "fit": "weighted", "stated_uncertainties": "relative"}));
    let (known, relative) = (known.best_line.unwrap(), relative.best_line.unwrap());
    assert_eq!(known.gradient, relative.gradient);
    let ratio = (known.chi_squared.unwrap() / 3.0).sqrt();
    close(
        "se",
        relative.gradient_standard_error.unwrap(),
        known.gradient_standard_error.unwrap() * ratio,
        1e-12,
    );
    close(
        "told beforehand",
        known.gradient_scaled_error.unwrap(),
        relative.gradient_standard_error.unwrap(),
        1e-12,
    );
}

const WALK: &str = "x / mm\tB / mT\n-40\t0.4\n-30\t3.1\n-25\t14.2\n-20\t27.0\n-10\t31.8\n0\t32.6\n10\t31.9\n20\t27.3\n25\t14.8\n30\t3.0\n40\t0.5\n";

/// The integral by hand, trapezium after trapezium in mT mm: 17.5 + 43.25 + 103 + 294 + 322 + 322.5 + 296 + 105.25 + 44.5 +
/// 17.5 = 1565.5.
#[test]
fn a_walk_gives_the_effective_length_and_takes_its_place_when_asked() {
    let beside = job(json!({"walk": {"table": WALK}}));
    let used = job(json!({"walk": {"table": WALK, "use_length": true}}));
    let found = beside.effective_length.unwrap();
    close("integral", found.integral, 1565.5e-6, 1e-12);
    close("length", found.length, found.integral / found.centre, 1e-12);
    assert!((found.centre - 0.0326).abs() < 1e-4 && !found.used);
    let taken = used.effective_length.unwrap();
    assert!(taken.used);
    let (typed_b, walked_b) = (
        beside.flux_density.as_ref().unwrap().tesla,
        used.flux_density.as_ref().unwrap().tesla,
    );
    close("B L", walked_b * found.length, typed_b * 0.05, 1e-12);
    // What the balance says of the product does not depend on the length at all.
    close(
        "from the balance",
        taken.from_balance.unwrap(),
        found.from_balance.unwrap(),
        1e-12,
    );
    close(
        "its uncertainty",
        taken.from_balance_standard_uncertainty.unwrap(),
        found.from_balance_standard_uncertainty.unwrap(),
        1e-12,
    );
    let says = |walk: &str, words: &str| {
        let analysis = job(json!({"walk": {"table": walk, "use_length": true}}));
        let said = analysis
            .notes
            .iter()
            .any(|n| n.field == Some("walk") && n.text.contains(words));
        assert!(said, "{words}: {:?}", analysis.notes);
        // Nothing else is lost.
        assert!(analysis.flux_density.is_some());
    };
    says("", "no walk");
    says("x / mm\tB / mT\n0\t30\n10\t29\n", "three different ones");
    says("x / mm\tB / mT\n0\t30\n10\t32\n20\t31\n", "walk on");
    says("0\t1\n10\t30\n20\t31\n30\t1\n", "no headings");
    says("good morning", "no row has both");
}

/// The same seed gives the same simulation; where every uncertainty is known it agrees with the budget, and with three
/// readings it cannot.
#[test]
fn the_simulation_is_part_of_the_analysis_when_asked_for() {
    assert_eq!(job(json!({})).monte_carlo, None);
    let asked = json!({"trials": 50_000, "seed": 3});
    let table = "I / A\tm / g\tu(m) / g\n0.5\t0.08\t0.01\n1.0\t0.17\t0.01\n1.5\t0.26\t0.01\n2.0\t0.33\t0.01\n";
    let known = json!({"table": table, "fit": "weighted", "monte_carlo": asked,
        "apparatus": {"length": "5.0 cm", "length_uncertainty": "0.1 mm"}});
    let (one, two) = (job(known.clone()), job(known));
    assert_eq!(one.monte_carlo, two.monte_carlo);
    let found = one.monte_carlo.unwrap();
    let budget = one.flux_density.unwrap();
    assert!(
        found.standard_uncertainty_error.unwrap() < 0.01 * budget.standard_uncertainty.unwrap()
    );
    close(
        "u(B)",
        found.standard_uncertainty.unwrap(),
        budget.standard_uncertainty.unwrap(),
        0.02,
    );
    let three = "I / A\tm / g\n0.5\t0.08\n1.0\t0.17\n1.5\t0.27\n";
    let few = job(json!({"table": three, "monte_carlo": asked}));
    let found = few.monte_carlo.unwrap();
    assert_eq!((found.standard_uncertainty, found.agrees), (None, false));
}

/// A current and the same current reversed: the zero drops out of the pairs (m(+I) - m(-I))/2.
#[test]
fn pairs_of_opposite_currents() {
    let table = "I / A\tm / g\n1\t0.67\n-1\t-0.53\n2\t1.27\n-2\t-1.13\n3\t1.87\n-3\t-1.73\n";
    let pairs = job(json!({"table": table, "reversed_pairs": true}));
    let line = pairs.best_line.unwrap();
    close("gradient", line.gradient, 0.6e-3, 1e-9);
    assert!(line.intercept.abs() < 1e-12 && line.points == 3);
    let plain = job(json!({"table": table})).best_line.unwrap();
    close("zero", plain.intercept, 0.07e-3, 1e-9);
}
