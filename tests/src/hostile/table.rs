//! A pasted table: from text through the analysis, as the page does it.

use yokeline_core::job::Job;
use yokeline_core::job::input::{Apparatus, BalanceZero, DecimalMark, Lie, StatedUncertainties};
use yokeline_core::job::{Fit, Varied};
use yokeline_core::table::{Cell, LARGEST_COLUMN_COUNT, Role, Table};

use super::{analysed, choosing, chosen, text};

/// The first line chooses how the table is read and fitted, a letter each; the rest is the table.
pub fn table(data: &[u8]) {
    let text = text(data);
    let (choice, table) = choosing(&text);
    let job = Job {
        table: table.to_owned(),
        ..chosen_job(choice)
    };
    let (working, _) = analysed(&job);
    holds(&working.table);
    // The grid shows the table as cells, and what is typed there is kept as their text.
    let plain = working.table.plain();
    let upright = Job {
        table: plain.to_text(),
        lie: Some(Lie::Down),
        ..job
    };
    let (again, _) = analysed(&upright);
    let width = working.table.columns.len();
    assert!(
        again.table.columns.len() <= width.max(1),
        "the grid's own text has more columns"
    );
    assert!(
        again.table.rows <= working.table.rows.max(1) + 2,
        "the grid's own text has more rows"
    );
}

/// A job without a table, by letters: varied, fit, zero, decimal mark, lie, pairs, stated uncertainties, lengths.
pub(super) fn chosen_job(choice: &[u8]) -> Job {
    let varied = [
        Varied::Current,
        Varied::Length,
        Varied::Angle,
        Varied::Product,
    ];
    let fit = [
        Fit::LeastSquares,
        Fit::Weighted,
        Fit::BothErrors,
        Fit::ThroughOrigin,
    ];
    let zero = [
        BalanceZero::AsNoted,
        BalanceZero::EachTime,
        BalanceZero::Drift,
        BalanceZero::AsRead,
    ];
    let mark = [None, Some(DecimalMark::Point), Some(DecimalMark::Comma)];
    let lie = [None, Some(Lie::Down), Some(Lie::Across)];
    let stated = [StatedUncertainties::Known, StatedUncertainties::Relative];
    Job {
        varied: chosen(choice, 0, &varied),
        fit: chosen(choice, 1, &fit),
        balance_zero: chosen(choice, 2, &zero),
        decimal_mark: chosen(choice, 3, &mark),
        lie: chosen(choice, 4, &lie),
        reversed_pairs: chosen(choice, 5, &[false, true]),
        stated_uncertainties: chosen(choice, 6, &stated),
        fixed_current: "2.0 A".to_owned(),
        apparatus: Apparatus {
            length: chosen(choice, 7, &["5.0 cm", "", "0"]).to_owned(),
            length_uncertainty: "1 mm".to_owned(),
            ..Apparatus::default()
        },
        ..Job::default()
    }
}

/// What holds of every table that was read.
fn holds(table: &Table) {
    let columns = table.columns.len();
    assert!(columns <= LARGEST_COLUMN_COUNT, "{columns} columns");
    for column in &table.columns {
        assert_eq!(column.cells.len(), table.rows);
        for cell in &column.cells {
            if let Cell::Number(number) = cell {
                assert!(number.value_si.is_finite(), "{number:?}");
                let uncertainty = number.uncertainty_si.unwrap_or(0.0);
                assert!(uncertainty.is_finite() && uncertainty >= 0.0, "{number:?}");
            }
        }
        if let Role::UncertaintyOf(other) = column.role {
            assert!((1..=columns).contains(&other), "{column:?}");
        }
    }
    for note in &table.notes {
        let (row, column) = (note.place.row, note.place.column);
        assert!(
            row.is_none_or(|row| (1..=table.rows).contains(&row)),
            "{note:?}"
        );
        assert!(
            column.is_none_or(|column| (1..=columns).contains(&column)),
            "{note:?}"
        );
    }
}
