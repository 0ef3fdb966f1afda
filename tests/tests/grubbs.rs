//! Grubbs' test against published figures.

use yokeline_core::line::grubbs;

/// Eight mass-spectrometer readings: G. L. Tietjen and R. H. Moore, Technometrics 14 (1972) 583, as used in the
/// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1, where G is 2.468765.
#[test]
fn the_handbook_example() {
    let values = [
        199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57,
    ];
    let found = grubbs::farthest(&values).unwrap();
    assert!((found.statistic - 2.468765).abs() < 1e-6, "{found:?}");
    assert!((values[found.index] - 245.57).abs() < 1e-9 && found.p_value < 1e-5);
}

/// Two-sided critical values at 5 %: F. E. Grubbs, Technometrics 11 (1969) 1, to three places.
#[test]
fn critical_values() {
    for (n, published) in [(4, 1.481), (5, 1.715), (6, 1.887)] {
        let found = grubbs::critical(n, 0.05);
        assert!((found - published).abs() < 6e-4, "{n}: {found}");
    }
}
