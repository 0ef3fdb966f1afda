//! Grubbs' test against published figures.

use yokeline_core::line::grubbs;

/// Eight mass-spectrometer readings: G. L. Tietjen and R. H. Moore, Technometrics 14 (1972) 583, as used in the
/// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1, where G is 2.468765. The probability that the largest is so
/// far above is worked out with 50 figures, 1.501e-7; either way it is twice that.
#[test]
fn the_handbook_example() {
    let values = [
        199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57,
    ];
    let found = grubbs::farthest(&[&values], 0.0).unwrap();
    assert!((grubbs::g(found.t, 8) - 2.468765).abs() < 1e-6, "{found:?}");
    assert_eq!((found.set, values[found.index]), (0, 245.57));
    assert!(
        (found.p_value / (2.0 * 1.501e-7) - 1.0).abs() < 1e-3,
        "{found:?}"
    );
}

/// Two-sided critical values at 5 %: F. E. Grubbs, Technometrics 11 (1969) 1, to three places.
#[test]
fn critical_values() {
    for (n, published) in [(4, 1.481), (5, 1.715), (6, 1.887)] {
        let found = grubbs::critical(n, 0.05);
        assert!((found - published).abs() < 6e-4, "{n}: {found}");
    }
}

/// A set alone says little of its scatter; with fellows that share it the same slip is certain. And two readings on one step
/// of the instrument are no proof against the third.
#[test]
fn sets_lend_each_other_their_scatter() {
    let slip: &[f64] = &[1.84, 1.83, 1.65];
    let others: [&[f64]; 3] = [
        &[0.61, 0.60, 0.62],
        &[1.22, 1.22, 1.21],
        &[2.44, 2.43, 2.44],
    ];
    let alone = grubbs::farthest(&[slip], 0.003).unwrap();
    let together = grubbs::farthest(&[&others[..], &[slip]].concat(), 0.003).unwrap();
    assert_eq!((together.set, together.index), (3, 2));
    assert!(
        together.p_value < 1e-4 && alone.p_value > 0.05,
        "{alone:?} {together:?}"
    );
    let equal = grubbs::farthest(&[&[0.10, 0.10, 0.11]], 0.01 / 12_f64.sqrt()).unwrap();
    assert!(equal.p_value > 0.3, "{equal:?}");
    assert_eq!(grubbs::farthest(&[&[1.0, 1.0], &[2.0]], 0.0), None);
}
