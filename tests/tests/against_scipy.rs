//! Lines and tails against SciPy 1.17.1 on seeded random data: `data/scipy/make.py` makes the files.

use yokeline_core::line::tails::{chi_squared_tail, f_tail};
use yokeline_core::line::{Datum, both_errors, least_squares, weighted};
use yokeline_tests::{close, columns, data};

/// The sets of points, in the order of their numbers.
fn sets() -> Vec<Vec<Datum>> {
    let columns = columns("scipy/lines.csv");
    let mut sets: Vec<Vec<Datum>> = Vec::new();
    for (i, set) in columns[0].iter().enumerate() {
        let set = *set as usize;
        if sets.len() <= set {
            sets.push(Vec::new());
        }
        sets[set].push(Datum {
            x: columns[1][i],
            y: columns[2][i],
            u_x: columns[3][i],
            u_y: columns[4][i],
            ..Datum::default()
        });
    }
    sets
}

/// `linregress`: slope, intercept, their standard errors and r².
#[test]
fn ordinary_lines() {
    let fits = columns("scipy/fits.csv");
    for (i, set) in sets().iter().enumerate() {
        let found = least_squares::fit(set).unwrap();
        let expected = |column: usize| fits[column][i];
        close("b", found.line.gradient, expected(1), 1e-10);
        close("a", found.line.intercept, expected(2), 1e-10);
        close("se b", found.gradient_error.unwrap(), expected(3), 1e-9);
        close("se a", found.intercept_error.unwrap(), expected(4), 1e-9);
        close("r²", found.r_squared_about_mean.unwrap(), expected(5), 1e-9);
    }
}

/// `curve_fit` with `absolute_sigma`, an exact derivative and stated uncertainties in y, and `chi2.sf`.
#[test]
fn weighted_lines() {
    let fits = columns("scipy/fits.csv");
    for (i, set) in sets().iter().enumerate() {
        let found = weighted::fit(set).unwrap();
        let expected = |column: usize| fits[column][i];
        // SciPy's minimiser stops at eight digits.
        close("b", found.line.gradient, expected(6), 1e-7);
        close("a", found.line.intercept, expected(7), 1e-7);
        close("se b", found.gradient_error.unwrap(), expected(8), 1e-7);
        close("se a", found.intercept_error.unwrap(), expected(9), 1e-7);
        close("χ²", found.chi_squared.unwrap(), expected(10), 1e-7);
        let probability = found.chi_squared_probability().unwrap();
        close("P", probability, expected(11), 1e-6);
    }
}

/// `scipy.odr` with uncertainties in both coordinates: `cov_beta` (stated uncertainties at face value) and `sd_beta`
/// (the same times √(χ²/(n - 2))).
#[test]
fn lines_with_errors_in_both_coordinates() {
    let fits = columns("scipy/fits.csv");
    for (i, set) in sets().iter().enumerate() {
        let found = both_errors::fit(set).unwrap();
        let expected = |column: usize| fits[column][i];
        let close = |what: &str, found: f64, expected: f64, digits: f64| {
            close(&format!("set {i}, {what}"), found, expected, digits)
        };
        close("b", found.line.gradient, expected(12), 1e-6);
        close("a", found.line.intercept, expected(13), 1e-5);
        close("χ²", found.chi_squared.unwrap(), expected(18), 1e-6);
        let scaled = found.rescaled().unwrap();
        close("se b", found.gradient_error.unwrap(), expected(14), 1e-3);
        close("se a", found.intercept_error.unwrap(), expected(15), 1e-3);
        close(
            "scaled b",
            scaled.gradient_error.unwrap(),
            expected(16),
            1e-3,
        );
        close(
            "scaled a",
            scaled.intercept_error.unwrap(),
            expected(17),
            1e-3,
        );
    }
}

/// `chi2.sf` and `f.sf`, down to 1e-12.
#[test]
fn tails() {
    let text = data("scipy/tails.csv");
    let mut seen = [0, 0];
    for line in text.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let number = |i: usize| cells[i].parse::<f64>().unwrap();
        if cells[0] == "chi_squared" {
            seen[0] += 1;
            let freedom = cells[1].parse().unwrap();
            close(line, chi_squared_tail(number(3), freedom), number(4), 1e-9);
        } else {
            seen[1] += 1;
            close(
                line,
                f_tail(number(3), number(1), number(2)),
                number(4),
                1e-8,
            );
        }
    }
    assert!(seen[0] > 50 && seen[1] > 50);
}
