//! The whole way, from pasted text to flux density, on tables that people really had. Sources of the tables are in
//! `data/measured/SOURCES.md`; expected values were worked out with 50 figures (mpmath) and cross-checked with SciPy.

use serde_json::{Value, json};
use yokeline_core::job::output::FluxDensity;
use yokeline_core::job::{Analysis, Job, analyse};
use yokeline_tests::{close, columns, data};

/// Relative agreement asked of worked values.
const WORKED: f64 = 1e-9;

fn job(table: &str, rest: Value) -> Job {
    let mut value = rest;
    value["table"] = Value::String(table.into());
    serde_json::from_value(value).unwrap()
}

fn measured(file: &str, rest: Value) -> Analysis {
    analyse(&job(&data(&format!("measured/{file}")), rest))
}

fn found<'a>(
    analysis: &'a Analysis,
    kind: &str,
) -> Option<&'a yokeline_core::job::output::Finding> {
    analysis.findings.iter().find(|f| f.kind == kind)
}

#[track_caller]
fn has_note(analysis: &Analysis, weight: &str, part: &str) {
    assert!(
        analysis
            .notes
            .iter()
            .any(|n| n.weight == weight && n.text.contains(part)),
        "no {weight} note with “{part}” among {:#?}",
        analysis.notes
    );
}

#[track_caller]
fn line_is(analysis: &Analysis, gradient: f64, intercept: f64, se_gradient: f64, tesla: f64) {
    let line = analysis.best_line.unwrap();
    close("gradient", line.gradient, gradient, WORKED);
    close("intercept", line.intercept, intercept, WORKED);
    close(
        "se gradient",
        line.gradient_standard_error.unwrap(),
        se_gradient,
        WORKED,
    );
    close(
        "B",
        analysis.flux_density.as_ref().unwrap().tesla,
        tesla,
        WORKED,
    );
}

/// 0.1666 g/A over one 5.0 cm length: 32.7 mT (common practice, no source).
#[test]
fn check_value_of_the_trade() {
    let table = "I / A\tm / g\n0\t0\n1\t0.1666\n2\t0.3332\n3\t0.4998\n";
    let analysis = analyse(&job(
        table,
        json!({"apparatus": {"length": "5.0 cm", "gravity": "9.81"}}),
    ));
    let found = analysis.flux_density.unwrap();
    assert!((found.tesla - 0.03269).abs() < 0.00001, "{}", found.tesla);
    assert_eq!(found.unit, "mT");
}

/// Force on a straight wire, F = I L B sin θ: worked examples and problems of OpenStax College Physics 2e (chapter 22)
/// and University Physics volume 2 (chapter 11), answers as printed. Forces that a wire would feel in a known field
/// must give that field back.
#[test]
fn forces_of_the_textbooks() {
    // length m, angle °, current A, field T, printed force N
    let printed = [
        (0.0500, 90.0, 20.0, 1.50, 1.50),
        (100.0, 30.0, 1000.0, 5.00e-5, 2.50),
        (0.0400, 90.0, 30.0, 1.80, 2.16),
        (0.500, 30.0, 8.00, 1.20, 2.40),
        (0.500, 90.0, 8.00, 1.20, 4.80),
        (5.0, 45.0, 10.0, 8.0e-3, 0.283),
    ];
    for (length, angle, current, field, force) in printed {
        let table = format!(
            "I / A,F / N\n0,0\n{},{}\n{},{}\n",
            current / 2.0,
            force / 2.0,
            current,
            force
        );
        let apparatus = json!({"length": format!("{length} m"), "angle": format!("{angle}°")});
        let analysis = analyse(&job(&table, json!({"apparatus": apparatus})));
        let tesla = analysis.flux_density.unwrap().tesla;
        // The forces are printed to three figures.
        close("B", tesla, field, 2e-3);
    }
}

#[test]
fn loops_along_rows() {
    let a = measured("loops_along_rows.txt", json!({}));
    let labels: Vec<&str> = a.families.iter().map(|f| f.label.as_str()).collect();
    assert_eq!(labels, ["10 mm", "20 mm", "40 mm"]);
    let lengths: Vec<f64> = a.families.iter().map(|f| f.length.unwrap()).collect();
    assert_eq!(lengths, [0.01, 0.02, 0.04]);
    let expected = [
        (0.0975, 0.015841305807823, 0.0956475),
        (0.19272727272727, 0.04047752156526, 0.094532727272727),
    ];
    for (family, (gradient, se, tesla)) in a.families.iter().zip(expected) {
        let line = family.best_line.unwrap();
        close("gradient", line.gradient, gradient * 1e-3, WORKED);
        close(
            "se",
            line.gradient_standard_error.unwrap(),
            se * 1e-3,
            WORKED,
        );
        close(
            "B",
            family.flux_density.as_ref().unwrap().tesla,
            tesla,
            WORKED,
        );
    }
    assert_eq!(
        found(&a, "same_current_different_readings").unwrap().rows,
        [3, 4]
    );
}

#[test]
fn several_lengths_that_do_not_agree() {
    let a = measured("three_loop_lengths.tsv", json!({}));
    let expected = [
        (0.095, -0.007, 0.001, 0.093195, 0.000981),
        (
            0.192,
            -0.01,
            0.0070237691685685,
            0.094176,
            0.0034451587771828,
        ),
        (
            0.341,
            0.011,
            0.0019148542155127,
            0.08363025,
            0.00046961799635448,
        ),
    ];
    assert_eq!(a.families.len(), 3);
    for (family, (gradient, intercept, se, tesla, se_tesla)) in a.families.iter().zip(expected) {
        let line = family.best_line.unwrap();
        close("gradient", line.gradient, gradient * 1e-3, WORKED);
        close("intercept", line.intercept, intercept * 1e-3, WORKED);
        close(
            "se",
            line.gradient_standard_error.unwrap(),
            se * 1e-3,
            WORKED,
        );
        let b = family.flux_density.as_ref().unwrap();
        close("B", b.tesla, tesla, WORKED);
        close("u(B)", b.standard_uncertainty.unwrap(), se_tesla, WORKED);
    }
    // No single value where one uniform field does not fit.
    assert_eq!((a.best_line, a.flux_density.is_none()), (None, true));
    let finding = found(&a, "lengths_disagree").unwrap();
    assert!(
        finding.text.contains("40 mm") && finding.text.contains("edge of the poles"),
        "{}",
        finding.text
    );
    // The one reading of the 20 mm loop that lies off its line is named.
    let off = found(&a, "scatter_beyond_bars").unwrap();
    assert!(
        off.rows == [4] && off.text.contains("20 mm"),
        "{}",
        off.text
    );
    has_note(&a, "asked", "length of wire");
}

#[test]
fn untared_balance() {
    let a = measured(
        "untared_balance.tsv",
        json!({"apparatus": {"length": "8.4 cm"}}),
    );
    line_is(
        &a,
        0.60818181818182e-3,
        164.96681818182e-3,
        0.0047470448977978e-3,
        0.071026948051948,
    );
    let b = a.flux_density.as_ref().unwrap();
    close(
        "u(B)",
        b.standard_uncertainty.unwrap(),
        0.00055438702913567,
        WORKED,
    );
    close("k", b.coverage_factor.unwrap(), 2.262157162798205, 1e-12);
    let stray = a
        .notes
        .iter()
        .find(|n| n.row == Some(9) && n.column == Some(3))
        .unwrap();
    assert!(
        stray.weight == "trouble" && stray.text.contains("2.40"),
        "{}",
        stray.text
    );
    has_note(&a, "asked", "mN");
    assert!(found(&a, "untared").is_some());
    // Two steps of 0.01 g are less than the 0.0333 g that a line would need.
    assert_eq!(a.extreme_lines, None);
    close(
        "half-width",
        a.blocked.as_ref().unwrap().smallest_half_width,
        0.0333333333333e-3,
        1e-6,
    );
}

#[test]
fn lengths_at_one_current() {
    let a = measured(
        "lengths_at_one_current.tsv",
        json!({"varied": "length", "fixed_current": "3 A"}),
    );
    close(
        "gradient",
        a.best_line.unwrap().gradient,
        0.24266739846323e-3 / 0.01,
        WORKED,
    );
    close(
        "B",
        a.flux_density.unwrap().tesla,
        0.079352239297475,
        WORKED,
    );
}

#[test]
fn milliamps_and_forces_with_typographic_minus() {
    let a = measured(
        "milliamps_and_forces.tsv",
        json!({"apparatus": {"length": "4.0 cm"}}),
    );
    let x: Vec<f64> = a.points.iter().map(|p| p.x).collect();
    assert_eq!(x, [-0.7, -0.17, 0.52, 0.89]);
    line_is(
        &a,
        0.029069274113358,
        -0.0021743520053033,
        0.0022098448522125,
        0.72673185283394,
    );
    assert!(
        found(&a, "zero_error").is_none(),
        "1.6 standard errors with two degrees of freedom are nothing"
    );
}

#[test]
fn signs_lost_on_some_rows() {
    let a = measured("signs_lost.tsv", json!({"apparatus": {"length": "5.0 cm"}}));
    assert_eq!(found(&a, "signs_lost").unwrap().rows, [2, 3, 4, 7]);
    let line = a.best_line.unwrap();
    close(
        "gradient as given",
        line.gradient,
        -0.34490909090909e-3,
        WORKED,
    );
    close("R²", line.r_squared.unwrap(), 0.51468108902848, WORKED);
}

#[test]
fn angles_are_fitted_through_their_sines() {
    let a = measured(
        "angles.tsv",
        json!({"varied": "angle", "fixed_current": "1 A", "apparatus": {"length": "1 m"}}),
    );
    let line = a.best_line.unwrap();
    close("gradient", line.gradient, 0.90269349968759e-3, WORKED);
    close("intercept", line.intercept, 0.007427005825656e-3, 1e-8);
    close("R²", line.r_squared.unwrap(), 0.99946404155644, WORKED);
}

#[test]
fn a_row_of_zeros_put_in_by_hand() {
    let a = measured(
        "zero_row_put_in.tsv",
        json!({"apparatus": {"length": "12.5 mm"}}),
    );
    close(
        "with it",
        a.flux_density.as_ref().unwrap().tesla,
        0.66506064479381,
        WORKED,
    );
    let finding = found(&a, "zero_row_contradicted").unwrap();
    assert_eq!(finding.rows, [1]);
    assert!(finding.text.contains("7.07 g"), "{}", finding.text);
    let without = measured(
        "zero_row_put_in.tsv",
        json!({"apparatus": {"length": "12.5 mm"}, "exclude": [1]}),
    );
    line_is(
        &without,
        0.20135415729212e-3,
        7.0699070361207e-3,
        0.005166800548474e-3,
        0.15802274264286,
    );
    assert!(
        without.points.iter().any(|p| p.row == 1 && p.excluded),
        "it stays, marked"
    );
    has_note(&a, "trouble", "row 1 does not");
}

#[test]
fn a_step_in_the_series() {
    let a = measured(
        "step_in_the_series.tsv",
        json!({"apparatus": {"length": "12.5 mm"}}),
    );
    line_is(
        &a,
        0.60909090909091e-3,
        0.012727272727273e-3,
        0.032870990091461e-3,
        0.47801454545455,
    );
    assert_eq!(a.flux_density.as_ref().unwrap().unit, "T");
    assert!(a.points.iter().all(|p| p.u_x == Some(0.005)));
    a.points
        .iter()
        .for_each(|p| close("bar", p.u_y, 0.05e-3, 1e-12));
    let mut by_size: Vec<_> = a
        .points
        .iter()
        .map(|p| (p.residual.unwrap(), p.row))
        .collect();
    by_size.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()));
    assert_eq!(
        [
            by_size[0].1.min(by_size[1].1),
            by_size[0].1.max(by_size[1].1)
        ],
        [3, 4]
    );
    assert_eq!(found(&a, "step").unwrap().rows, [3, 4]);
    assert!(found(&a, "large_field").is_some());
    assert!(found(&a, "scatter_beyond_bars").is_some());
    assert!(
        by_size[0].0 * by_size[1].0 < 0.0,
        "opposite signs next to each other"
    );
}

#[test]
fn change_against_reading_minus_zero() {
    let a = measured(
        "change_against_reading.tsv",
        json!({"apparatus": {"length": "5.0 cm", "wires": 2}}),
    );
    line_is(
        &a,
        1.0818181818182e-3,
        2.1345454545455e-3,
        0.074165080306184e-3,
        0.10612636363636,
    );
    let origin = a.origin_line.unwrap();
    close(
        "origin gradient",
        origin.gradient,
        2.0098814229249e-3,
        WORKED,
    );
    close(
        "R² about zero",
        origin.r_squared_about_zero.unwrap(),
        0.94171715710425,
        WORKED,
    );
    close(
        "R² about the mean",
        origin.r_squared_about_mean.unwrap(),
        0.057203500778969,
        1e-8,
    );
    close(
        "B through the origin",
        a.flux_density_through_origin.unwrap(),
        0.19716936758893,
        WORKED,
    );
    has_note(&a, "told", "27.50 g in every row");
}

#[test]
fn a_line_more_exact_than_the_balance() {
    let rest = json!({"apparatus": {"length": "12.5 mm"}, "probe": {"reading": "0.106 T"}});
    let a = measured("exact_line.tsv", rest);
    let line = a.best_line.unwrap();
    close("gradient", line.gradient, 0.2e-3, 1e-12);
    assert!(line.gradient_standard_error.unwrap() < 1e-12 * 1e-3);
    assert!(found(&a, "too_perfect").is_some());
    let b = a.flux_density.as_ref().unwrap();
    close("B", b.tesla, 0.15696, 1e-12);
    assert!(
        b.standard_uncertainty.unwrap() > 1e-3,
        "not ± 0: {:?}",
        b.standard_uncertainty
    );
    // One step of 0.1 g, since a change is a difference of two readings.
    let extremes = a.extreme_lines.unwrap();
    close(
        "steepest",
        extremes.steepest.gradient,
        0.244444444444e-3,
        1e-9,
    );
    close(
        "shallowest",
        extremes.shallowest.gradient,
        0.155555555556e-3,
        1e-9,
    );
    close(
        "percentage difference",
        a.comparison.unwrap().percentage_difference,
        48.0754716981132,
        WORKED,
    );
    // The report rounds its field to 0.156 T first: 47 %, not 0.47 %.
    let rounded = yokeline_core::field::compare::compare(0.156, None, None, 0.106, None).unwrap();
    close(
        "of the rounded field",
        rounded.percentage_difference,
        47.169811320755,
        WORKED,
    );
    has_note(&a, "told", "fewer decimal places");
    // Half a step, when that is what the balance is said to be good for.
    let table = data("measured/exact_line.tsv");
    let finer = analyse(&job(
        &table,
        json!({"apparatus": {"balance_resolution": "0.05 g"}}),
    ))
    .extreme_lines
    .unwrap();
    close("steepest", finer.steepest.gradient, 0.222222222222e-3, 1e-9);
    close(
        "half-range",
        finer.half_difference,
        0.0222222222222e-3,
        1e-9,
    );
}

#[test]
fn meganewtons_and_boxes() {
    let rest = json!({"apparatus": {"length": "50 mm"}});
    let a = measured("boxes_and_meganewtons.tsv", rest.clone());
    has_note(&a, "asked", "MN");
    line_is(
        &a,
        10.042333333333e-3,
        -0.10688888888889e-3,
        0.14327043655066e-3,
        0.20084666666667,
    );
    let extremes = a.extreme_lines.unwrap();
    assert!(extremes.boxes);
    close(
        "steepest",
        extremes.steepest.gradient,
        10.5402985075e-3,
        1e-9,
    );
    close(
        "shallowest",
        extremes.shallowest.gradient,
        9.69156626506e-3,
        1e-9,
    );
    close(
        "half-range",
        extremes.half_difference,
        0.424366121201e-3,
        1e-6,
    );
    assert_eq!(
        a.extreme_lines_bars_only, None,
        "with the force bars alone no line meets every bar"
    );
    let mut both = rest;
    both["fit"] = "both_errors".into();
    let york = measured("boxes_and_meganewtons.tsv", both)
        .best_line
        .unwrap();
    close("gradient", york.gradient, 10.0523892945e-3, 1e-8);
    close("intercept", york.intercept, -0.127000811303e-3, 1e-6);
    close(
        "se",
        york.gradient_standard_error.unwrap(),
        0.232246743157e-3,
        1e-6,
    );
    close("chi²", york.chi_squared.unwrap(), 2.66761421258, 1e-6);
}

#[test]
fn four_lengths() {
    let a = measured(
        "four_lengths.tsv",
        json!({"varied": "length", "fixed_current": "4 A"}),
    );
    close(
        "gradient",
        a.best_line.unwrap().gradient,
        738.21217391304e-3,
        WORKED,
    );
    close("B", a.flux_density.unwrap().tesla, 0.18455304347826, WORKED);
}

#[test]
fn rider_positions_are_not_forces() {
    let a = measured(
        "rider_positions.tsv",
        json!({"apparatus": {"length": "5 cm"}}),
    );
    assert!(a.flux_density.is_none());
    has_note(&a, "trouble", "Which of the two did you set");
}

#[test]
fn reversed_current() {
    let rest = json!({"apparatus": {"length": "12.5 mm"}});
    let a = measured("reversed_current.tsv", rest.clone());
    line_is(
        &a,
        0.10979152699294e-3,
        74.822700571465e-3,
        0.0047726103734314e-3,
        0.086164390384063,
    );
    assert!(found(&a, "same_current_different_readings").is_none());
    // Typed as a size, the reversed current stands beside its fellow with quite another reading.
    let sizes = data("measured/reversed_current.tsv").replace("-3\t", "3\t");
    let wrong = analyse(&job(&sizes, rest));
    let finding = found(&wrong, "same_current_different_readings").unwrap();
    assert_eq!(finding.rows, [3, 4]);
    assert!(finding.text.contains("reversed"), "{}", finding.text);
}

#[test]
fn two_readings_of_opposite_sign() {
    let typed = |second: &str| {
        let table = format!("I / A\tm / g\n2.0\t0.6\n{second}\t-1.2\n");
        analyse(&job(&table, json!({"apparatus": {"length": "5.0 cm"}})))
    };
    let right = typed("-4.0");
    close("gradient", right.best_line.unwrap().gradient, 0.3e-3, 1e-12);
    assert!(
        found(&right, "signs_lost").is_none(),
        "a negative reading is not a mistake"
    );
    assert!(found(&typed("4.0"), "signs_lost").is_some());
}

#[test]
fn three_points() {
    let a = measured("three_points.tsv", json!({"apparatus": {"length": "8 cm"}}));
    line_is(
        &a,
        0.39e-3,
        -0.066666666666667e-3,
        0.0057735026918963e-3,
        0.004875,
    );
    let b = a.flux_density.as_ref().unwrap();
    close("k", b.coverage_factor.unwrap(), 12.706204736174694, 1e-12);
    close(
        "U",
        b.expanded_uncertainty.unwrap(),
        0.07335930724809 * 1e-3 / 0.08,
        1e-9,
    );
    assert!(
        found(&a, "too_few_points")
            .unwrap()
            .text
            .contains("uncertainty itself is very uncertain")
    );
}

#[test]
fn masses_shown_as_zero() {
    let a = measured(
        "masses_shown_as_zero.tsv",
        json!({"apparatus": {"length": "0.105 m"}}),
    );
    assert!(a.flux_density.is_none());
    assert!(
        found(&a, "no_change")
            .unwrap()
            .text
            .contains("decimal places")
    );
    assert_eq!(a.columns[0].meaning, "counter");
    assert_eq!(a.columns[2].meaning, "current");
    // With the masses put in (0.37 g each) the report's own 0.18 T comes out.
    let table = "Trial\tMass (g)\tCurrent, i (A)\n1\t0.37\t0.20\n2\t0.74\t0.40\n3\t1.11\t0.59\n4\t1.48\t0.78\n5\t1.85\t0.96\n";
    let put_in = analyse(&job(
        table,
        json!({"apparatus": {"length": "0.105 m", "gravity": "9.81"}}),
    ));
    close(
        "B",
        put_in.flux_density.unwrap().tesla,
        0.1818793911007,
        1e-9,
    );
}

#[test]
fn a_curve_with_a_high_r_squared() {
    let a = measured("curved.tsv", json!({"apparatus": {"length": "5.0 cm"}}));
    close(
        "R²",
        a.best_line.unwrap().r_squared.unwrap(),
        0.99923344335293,
        WORKED,
    );
    let bend = found(&a, "bend").unwrap();
    close(
        "t",
        bend.statistic.unwrap(),
        0.0120745920746 / 0.000271839249177,
        1e-6,
    );
    let signs: String = a
        .points
        .iter()
        .map(|p| if p.residual.unwrap() > 0.0 { '+' } else { '-' })
        .collect();
    assert_eq!(signs, "++-------++");
}

#[test]
fn identical_repeats_keep_a_bar() {
    let a = measured("identical_repeats.tsv", json!({}));
    let y: Vec<f64> = a.points.iter().map(|p| p.y * 1e3).collect();
    for (found, expected) in y.iter().zip([0.61, 1.2133333333333, 1.8333333333333, 2.43]) {
        close("mean", *found, expected, 1e-12);
    }
    for (point, expected) in a.points.iter().zip([0.01, 0.01, 0.015, 0.01]) {
        close("bar", point.u_y * 1e3, expected, 1e-9);
        assert_eq!(point.repeats, 3);
    }
    has_note(&a, "told", "rows 1 and 4");
}

#[test]
fn bars_that_no_line_meets() {
    let a = measured(
        "no_line_through_bars.tsv",
        json!({"apparatus": {"length": "8.4 cm"}}),
    );
    assert_eq!(a.extreme_lines, None);
    let blocked = a.blocked.unwrap();
    close(
        "half-width",
        blocked.smallest_half_width,
        0.0333333333333e-3,
        1e-6,
    );
    let without = measured(
        "no_line_through_bars.tsv",
        json!({"apparatus": {"length": "8.4 cm"}, "exclude": blocked.rows}),
    );
    assert!(
        without.extreme_lines.is_some(),
        "leaving out {:?} lets a line through",
        blocked.rows
    );
    assert_eq!(a.flux_density.unwrap().school_basis, Some("standard_error"));
}

#[test]
fn bars_and_boxes_from_columns() {
    let a = measured("bars_and_boxes.tsv", json!({}));
    let boxes = a.extreme_lines.unwrap();
    close("steepest", boxes.steepest.gradient, 0.207692307692e-3, 1e-9);
    close(
        "shallowest",
        boxes.shallowest.gradient,
        0.177419354839e-3,
        1e-9,
    );
    let bars = a.extreme_lines_bars_only.unwrap();
    close("steepest", bars.steepest.gradient, 0.2e-3, 1e-9);
    close(
        "larger distance",
        bars.larger_distance,
        0.00866666666667e-3,
        1e-9,
    );
}

#[test]
fn drift_that_rises_with_the_current() {
    let a = measured(
        "drift_with_the_current.tsv",
        json!({"apparatus": {"length": "5.0 cm"}}),
    );
    close(
        "gradient as it stands",
        a.best_line.unwrap().gradient,
        0.64e-3,
        1e-12,
    );
    assert!(found(&a, "drift_not_separable").is_some());
}

/// E_n of ISO/IEC 17043; examples worked out from the definition (the standard prints none).
#[test]
fn normalised_error() {
    use yokeline_core::field::compare::compare;
    let text = data("reference/normalised_error.csv");
    for line in text.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let n = |i: usize| -> f64 { cells[i].parse().unwrap() };
        let c = compare(n(1), None, Some(n(2)), n(3), Some(n(4))).unwrap();
        assert!(
            (c.normalised_error.unwrap() - n(5).abs()).abs() < 1e-12,
            "{line}"
        );
    }
}

/// A probe that reads the field from the other face, in gauss or millitesla: sizes are compared.
#[test]
fn probe_readings_are_compared_by_size() {
    let table = "I / A\tm / g\n0\t0\n1\t0.362\n2\t0.724\n3\t1.085\n";
    for reading in ["74 mT", "-74 mT", "740 G", "74", "0.074"] {
        let apparatus = json!({"length": "5.0 cm", "length_uncertainty": "0.05 cm"});
        let rest =
            json!({"apparatus": apparatus, "probe": {"reading": reading, "uncertainty": "3 mT"}});
        let c = analyse(&job(table, rest)).comparison.unwrap();
        close(reading, c.expected_tesla, 0.074, 1e-12);
        assert!(c.agrees == Some(true) && c.difference < 0.0);
    }
}

/// The certified straight line of NIST (Norris) through the whole way: pasted as text, in A and g.
#[test]
fn norris_pasted_as_a_table() {
    let c = columns("reference/norris.csv");
    let rows: String = c[0]
        .iter()
        .zip(&c[1])
        .map(|(x, y)| format!("{x}\t{y}\n"))
        .collect();
    let a = analyse(&job(&format!("I / A\tm / g\n{rows}"), json!({})));
    let line = a.best_line.unwrap();
    close("gradient", line.gradient * 1e3, 1.00211681802045, 1e-13);
    close("intercept", line.intercept * 1e3, -0.262323073774029, 1e-12);
    close(
        "se",
        line.gradient_standard_error.unwrap() * 1e3,
        0.429796848199937E-03,
        1e-12,
    );
}

/// Where the bars let one line through and no other, that is not certainty: the standard error stands in.
#[test]
fn bars_without_any_play_leave_no_certainty() {
    let a = analyse(&job(
        "I / A\tm / g\n1\t.38\n2\t.72\n0\t.06\n3\t1.06\n4\t1.39\n0\t.07\n",
        json!({"apparatus": {"length": "5.0 cm", "wires": "2"}}),
    ));
    let b = a.flux_density.unwrap();
    assert_eq!(b.school_basis, Some("standard_error"));
    assert!(b.school_uncertainty.unwrap() > 1e-4, "{b:?}");
}

/// Angle and number of wires in one table without a current: everything on one line, and with the angle chosen one series
/// for each number of wires.
#[test]
fn angles_and_wires_in_one_table() {
    let table = "angle (deg)\tN\tm (g) ± 0.01\n0\t1\t.01\n30\t1\t.25\n60\t1\t.44\n90\t1\t.50\n0\t2\t.00\n30\t2\t.51\n60\t2\t\
                 .87\n90\t2\t1.01\n";
    let more = json!({"apparatus": {"length": "5.0 cm"}, "fixed_current": "3.0 A"});
    let all = analyse(&job(table, more.clone()));
    assert_eq!(all.varied, yokeline_core::job::Varied::Product);
    close("B", all.flux_density.unwrap().tesla, 0.0328, 0.01);
    let mut by_angle = more;
    by_angle["varied"] = "angle".into();
    let by_angle = analyse(&job(table, by_angle));
    let labels: Vec<&str> = by_angle.families.iter().map(|f| f.label.as_str()).collect();
    assert_eq!(labels, ["1 wire", "2 wires"]);
    close("joint", by_angle.joint.unwrap().tesla, 0.0328, 0.01);
}

/// A column that is called a mean and nothing else is not one more repeat.
#[test]
fn a_bare_mean_is_no_repeat() {
    for heading in ["mean", "Average", "avg", "av. m / g"] {
        let mut table = format!("I / A\tm1 / g\tm2 / g\t{heading}\n");
        for i in 1..=6 {
            let m = 0.2 * f64::from(i);
            table += &format!("{i}\t{m:.2}\t{:.2}\t{:.3}\n", m + 0.02, m + 0.01);
        }
        let a = analyse(&job(&table, json!({"apparatus": {"length": "5.0 cm"}})));
        assert_eq!(a.points[0].repeats, 2, "{heading}");
        assert_eq!(a.axes.y.decimals, 2, "{heading}");
    }
}

/// A drift that zeros show is not passed over in silence when the kind of line cannot allow for it, and is told when it is
/// taken off.
#[test]
fn a_drift_is_told_either_way() {
    let table = "I / A\tm / g\n0\t0.00\n2\t1.22\n0\t0.04\n4\t2.46\n0\t0.08\n3\t1.90\n0\t0.12\n1\t0.74\n0\t0.16\n";
    has_note(
        &analyse(&job(table, json!({}))),
        "told",
        "taken off the readings",
    );
    let other = analyse(&job(table, json!({"fit": "through_origin"})));
    assert_eq!(other.drift, None);
    has_note(&other, "asked", "only together with least squares");
}

/// A series whose line is level has no B to take a share of, and the common length counts all the same: u(L)/L of the
/// joint B, whichever series comes first.
#[test]
fn a_level_series_leaves_the_joint_uncertainty_a_number() {
    let level = "1\t1\t0.20\n1\t2\t0.25\n1\t3\t0.20\n";
    let rising = "2\t1\t0.10\n2\t2\t0.17\n2\t3\t0.12\n";
    for rows in [[level, rising], [rising, level]] {
        let table = format!("wires\tI / A\tm / g\n{}", rows.concat());
        let apparatus = json!({"length": "5.0 cm", "length_uncertainty": "0.5 cm"});
        let a = analyse(&job(&table, json!({"apparatus": apparatus})));
        let none = |b: &FluxDensity| b.tesla == 0.0;
        assert!(
            a.families
                .iter()
                .any(|f| f.flux_density.as_ref().is_some_and(none))
        );
        let joint = a.joint.unwrap();
        assert!(joint.tesla > 0.0 && joint.standard_uncertainty.is_finite());
        let of_length = joint
            .budget
            .iter()
            .find(|line| line.source == "length")
            .unwrap();
        let share = of_length.standard_uncertainty / 0.05;
        close(
            "share of L",
            of_length.contribution,
            joint.tesla * share,
            WORKED,
        );
    }
}
