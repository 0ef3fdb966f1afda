//! A drift of the balance through the whole way.

use yokeline_core::job::input::BalanceZero;
use yokeline_core::job::{Job, analyse};

/// Made from 0.6 g/A and 0.02 g/min exactly, with readings at no current between the others.
const TABLE: &str = "t / min\tI / A\tm / g\n0\t0\t0.00\n1\t2\t1.22\n2\t0\t0.04\n3\t4\t2.46\n4\t0\t0.08\n5\t3\t1.90\n\
    6\t0\t0.12\n7\t1\t0.74\n8\t0\t0.16\n";

fn with(balance_zero: BalanceZero) -> yokeline_core::job::Analysis {
    analyse(&Job {
        table: TABLE.into(),
        balance_zero,
        ..Job::default()
    })
}

#[test]
fn zeros_between_the_readings_part_drift_from_gradient() {
    let found = with(BalanceZero::AsNoted);
    let gradient = found.best_line.unwrap().gradient * 1e3;
    assert!((gradient - 0.6).abs() < 1e-9, "{gradient}");
    let rate = found.drift.unwrap().rate * 1e3 * 60.0;
    assert!((rate - 0.02).abs() < 1e-9, "{rate}");
}

/// The gradient that ignores the drift: least squares by SciPy.
#[test]
fn readings_left_as_they_are_keep_the_drift() {
    let found = with(BalanceZero::AsRead);
    let gradient = found.best_line.unwrap().gradient * 1e3;
    assert!((gradient - 0.59576470588235).abs() < 1e-12, "{gradient}");
    assert!(found.drift.is_none());
}
