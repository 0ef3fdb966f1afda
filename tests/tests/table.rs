//! Reading of pasted tables: real troubles with what they must be read as.
//!
//! The inputs stand in `data/tables`, with their sources in its README. An expectation is one line a column:
//! `Role unit: cells`, the cells as numbers in that unit, `_` for no reading and `!` for one that cannot be used.

use std::fmt::Write as _;
use std::path::Path;

use yokeline_core::figures::{DecimalMark, Unit};
use yokeline_core::table::{
    Cell, Choices, ColumnChoice, LARGEST_ROW_COUNT, LARGEST_TEXT_BYTES, Lie, NotUsed, NoteKind,
    Role, Table, Weight, from_clipboard, read,
};

fn file(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("data/tables")
        .join(name);
    std::fs::read_to_string(path).expect("the input is in data/tables")
}

fn plain_read(text: &str) -> Table {
    read(text, &Choices::default())
}

/// The columns of a table in the form of the expectations.
fn shown(table: &Table) -> String {
    let mut text = String::new();
    for column in &table.columns {
        let unit = column.unit.map_or("-", |unit| unit.symbol());
        write!(text, "{:?} {unit}:", column.role).unwrap();
        for cell in &column.cells {
            match cell {
                Cell::Empty => text.push_str(" _"),
                Cell::Unusable => text.push_str(" !"),
                Cell::Number(number) => {
                    let si = number.value_si;
                    let value = column.unit.map_or(si, |unit| unit.from_si(si));
                    write!(text, " {value}").unwrap();
                }
            }
        }
        text.push('\n');
    }
    text
}

#[track_caller]
fn check(table: &Table, expected: &str) {
    let lines = expected.trim().lines();
    let expected: String = lines.map(|line| format!("{}\n", line.trim())).collect();
    assert_eq!(shown(table), expected, "notes: {}", told(table));
}

/// As [`check`], and the plain form of the table reads back as the same.
#[track_caller]
fn check_both_ways(table: &Table, expected: &str) {
    check(table, expected);
    let again = plain_read(&table.plain().to_text());
    assert_eq!(
        again.plain(),
        table.plain(),
        "read back from its plain form"
    );
    check(&again, expected);
}

fn told(table: &Table) -> String {
    table
        .notes
        .iter()
        .map(|note| format!("\n{:?}: {note}", note.weight))
        .collect()
}

/// Columns and rows of the notes of a weight that match.
fn noted(
    table: &Table,
    weight: Weight,
    wanted: impl Fn(&NoteKind) -> bool,
) -> Vec<(usize, Vec<usize>)> {
    let found = table
        .notes
        .iter()
        .filter(|note| note.weight == weight && wanted(&note.kind));
    found
        .map(|note| (note.place.column.unwrap_or(0), note.rows().to_vec()))
        .collect()
}

macro_rules! noted {
    ($table:expr, $weight:ident, $kind:pat) => {
        noted(&$table, Weight::$weight, |kind| matches!(kind, $kind))
    };
}

fn has(table: &Table, weight: Weight, kind: &NoteKind) -> bool {
    table
        .notes
        .iter()
        .any(|note| note.weight == weight && note.kind == *kind)
}

fn roles(table: &Table) -> Vec<Role> {
    table.columns.iter().map(|column| column.role).collect()
}

const SIX_READINGS: &str = "Current A: 0 0.5 1 1.5 2 2.5\nReading g: 0 0.31 0.58 0.91 1.21 1.52";

#[test]
fn a_table_on_its_side_is_turned_and_its_rows_are_series() {
    let table = plain_read(&file("loops-along-rows.txt"));
    let expected = "Current A: 1 2 3 3 5
        Reading g: 0.09 0.18 0.28 0.37 0.47
        Reading g: 0.18 0.37 0.56 0.79 0.93
        Reading g: 0.35 0.69 1.04 1.38 1.71";
    check_both_ways(&table, expected);
    assert!(table.across && has(&table, Weight::Told, &NoteKind::LiesAcross));
    assert_eq!(table.columns[1].heading, "Loop 10 mm");
    let series = table.columns[1..]
        .iter()
        .map(|column| column.series.as_ref().unwrap());
    assert_eq!(
        series
            .map(|series| series.value_si.unwrap())
            .collect::<Vec<_>>(),
        [0.01, 0.02, 0.04]
    );
    assert_eq!(table.text(4, 3), "0,79 g");
}

#[test]
fn numbers_in_headings_that_the_readings_follow_are_lengths() {
    let table = plain_read(&file("three-lengths.tsv"));
    let expected = "Current A: 1 2 3 4 5
        Reading g: 0.09 0.18 0.28 0.37 0.47
        Reading g: 0.18 0.37 0.56 0.79 0.93
        Reading g: 0.35 0.69 1.04 1.38 1.71";
    check_both_ways(&table, expected);
    let series = table.columns[2].series.as_ref().unwrap();
    assert_eq!(
        (series.number, series.unit),
        (Some(20.0), Some(Unit::MILLIMETRE))
    );
    assert_eq!(
        (series.value_si, series.role, series.guessed),
        (Some(0.02), Some(Role::Length), true)
    );
    assert_eq!(
        noted!(table, Asked, NoteKind::SeveralSeries { guessed: true, .. }).len(),
        1
    );
}

#[test]
fn consecutive_numbers_in_headings_are_repeats() {
    let table = plain_read(&file("identical-repeats.tsv"));
    let expected = "Current A: 1 2 3 4
        Reading g: 0.61 1.21 1.82 2.43
        Reading g: 0.61 1.22 1.83 2.43
        Reading g: 0.61 1.21 1.85 2.43";
    check_both_ways(&table, expected);
    assert!(table.columns.iter().all(|column| column.series.is_none()));
    assert!(has(
        &table,
        Weight::Told,
        &NoteKind::Repeats {
            columns: vec![2, 3, 4]
        }
    ));
}

#[test]
fn a_change_beside_a_full_reading_and_a_clash_of_units() {
    let table = plain_read(&file("untared-with-force.tsv"));
    let expected = "Current A: 0 0.5 1 1.5 2 2.5 3 3.5 4 4.5 5
        FullReading g: 164.98 165.24 165.55 165.9 166.2 166.52 166.81 167.06 167.38 167.71 168.01
        Reading g: 0 0.26 0.57 0.92 1.22 1.54 1.83 2.08 ! 2.73 3.03
        Force N: 0 2.56 5.59 9.02 11.96 15.01 17.93 20.39 23.52 26.75 29.7";
    check_both_ways(&table, expected);
    assert_eq!(
        noted!(table, Trouble, NoteKind::Unusable { .. }),
        [(3, vec![9])]
    );
    let clash = NoteKind::UnitClash {
        heading: Unit::MILLINEWTON,
        cells: Unit::NEWTON,
    };
    assert!(has(&table, Weight::Asked, &clash));
    let bad = table
        .notes
        .iter()
        .find(|note| note.weight == Weight::Trouble)
        .unwrap()
        .text();
    assert!(
        bad.starts_with("Column 3 (Mass difference (grams)), row 9: not used."),
        "{bad}"
    );
    assert!(bad.contains("“2.40”") && bad.contains("“+”"), "{bad}");
}

#[test]
fn columns_in_any_order() {
    let expected = "Reading g: 0 7.19 7.24 7.37 7.48 7.58 7.7 7.73 7.88 7.97 8.08
        FullReading g: 0 25.62 25.67 25.8 25.91 26.01 26.13 26.16 26.31 26.4 26.51
        Current A: 0 0.49 0.992 1.48 2.015 2.494 3.004 3.504 4.03 4.47 4.94";
    check_both_ways(&plain_read(&file("change-before-reading.tsv")), expected);
    let expected = "Reading g: 2 2.8 3.2 3.6 3.8 4.4 4.6 4.7 5.1 5.3 5.4
        FullReading g: 29.5 30.3 30.7 31.1 31.3 31.9 32.1 32.2 32.6 32.8 32.9
        Current A: 0.3 0.6 0.9 1.2 1.5 1.8 2.1 2.4 2.7 3 3.3";
    check_both_ways(&plain_read(&file("columns-contradict.tsv")), expected);
}

#[test]
fn uncertainty_in_the_heading() {
    let table = plain_read(&file("uncertainty-in-heading.tsv"));
    let expected = "Reading g: 0.2 0.3 0.4 0.9 1 1.1 1.3 1.6 1.7 1.8 1.9
        Current A: 0.3 0.6 0.9 1.2 1.5 1.8 2.1 2.4 2.7 3 3.3";
    check_both_ways(&table, expected);
    assert_eq!(
        (table.columns[0].uncertainty, table.columns[1].uncertainty),
        (Some(0.00005), Some(0.005))
    );
    assert_eq!(
        (
            table.columns[0].symbol.as_str(),
            table.columns[1].symbol.as_str()
        ),
        ("m", "I")
    );
    let table = plain_read("Current\tReading\nA\tg\n± 0.01\t± 0.02\n0.50\t0.31\n1.00\t0.58\n");
    assert_eq!(
        (table.columns[0].uncertainty, table.columns[1].uncertainty),
        (Some(0.01), Some(0.00002))
    );
    let table = plain_read("I (±0.01 A)\tm (±0.02 g)\n0.50\t0.31\n1.00\t0.58\n");
    assert_eq!(
        (table.columns[0].uncertainty, table.columns[1].uncertainty),
        (Some(0.01), Some(0.00002))
    );
}

#[test]
fn delta_beside_its_quantity_is_an_uncertainty_and_meganewtons_are_asked_about() {
    let table = plain_read(&file("uncertainty-columns-and-capital-m.tsv"));
    let expected = "Current A: 0 0.5 1 1.5 2 2.5 3 3.5 4
        Force mN: 0 5.2 10 14.9 19.82 24.72 29.63 34.33 41.2
        UncertaintyOf(1) A: 0.075 0.075 0.075 0.075 0.075 0.075 0.075 0.075 0.075
        UncertaintyOf(2) mN: 0.49 0.49 0.49 0.49 0.49 0.49 0.49 0.49 0.49";
    check_both_ways(&table, expected);
    assert_eq!(
        noted!(table, Asked, NoteKind::UnitTakenAs { .. }),
        [(2, vec![])]
    );
    assert_eq!(
        noted!(table, Told, NoteKind::DeltaIsUncertainty { .. }).len(),
        2
    );
}

#[test]
fn columns_of_uncertainties_by_letter() {
    let table = plain_read(&file("both-uncertainties.tsv"));
    let expected = "Current A: 1 2 3 4 5
        Reading g: 0.18 0.37 0.56 0.79 0.93
        UncertaintyOf(1) A: 0.05 0.05 0.05 0.05 0.05
        UncertaintyOf(2) g: 0.03 0.03 0.03 0.03 0.03";
    check_both_ways(&table, expected);
    let table = plain_read(&file("letters-and-uncertainties.tsv"));
    let expected = [
        Role::Current,
        Role::Reading,
        Role::UncertaintyOf(1),
        Role::UncertaintyOf(2),
    ];
    assert_eq!(roles(&table), expected);
    assert!(table.columns[0].guessed && table.columns[1].guessed);
    assert_eq!(noted!(table, Asked, NoteKind::Guessed(_)).len(), 2);
    let table = plain_read(&file("untared-with-uncertainty.tsv"));
    assert_eq!(
        roles(&table),
        [Role::Current, Role::Reading, Role::UncertaintyOf(2)]
    );
}

#[test]
fn percentages_of_the_value() {
    let table = plain_read("I / A\tu(I) / %\tm / g\tu(m)\n1\t5\t0.50\t1%\n2\t5\t1.00\t0.02\n");
    let expected = "Current A: 1 2
        UncertaintyOf(1) A: 0.05 0.1
        Reading g: 0.5 1
        UncertaintyOf(3) g: 0.005 0.02";
    check_both_ways(&table, expected);
}

#[test]
fn what_is_varied_may_be_a_length_an_angle_a_position_or_a_time() {
    let lengths = "Length cm: 0 1.2 2.2 3.2 4.2 6.4 8.4\nReading g: 0 0.23 0.5 0.7 1.32 1.63 1.91";
    check_both_ways(&plain_read(&file("lengths-at-one-current.tsv")), lengths);
    let lengths = "Length mm: 12.5 25 50 100\nForce mN: 10.79 17.85 37.47 74.55";
    check_both_ways(&plain_read(&file("four-lengths.tsv")), lengths);
    let angles = plain_read(&file("angles.tsv"));
    assert_eq!(
        (roles(&angles), angles.rows),
        (vec![Role::Angle, Role::Reading], 19)
    );
    assert_eq!(angles.columns[0].unit, Some(Unit::DEGREE));
    let rider =
        "Position mm: 10 20 30 40 50 60 70 80\nCurrent A: 0.2 0.55 0.666 0.95 1.2 1.6 1.89 2.22";
    check_both_ways(&plain_read(&file("rider-position.tsv")), rider);
    let zeros = plain_read(&file("zeros-against-time.tsv"));
    assert_eq!(roles(&zeros), [Role::Time, Role::Zero]);
    assert_eq!(
        zeros.columns[0].cells[1].number().unwrap().value_si,
        1_700_000_060.0
    );
    assert!(zeros.notes.is_empty(), "{}", told(&zeros));
    let between = plain_read(&file("zero-checks-between.tsv"));
    assert_eq!(roles(&between), [Role::Time, Role::Current, Role::Reading]);
    let rising = plain_read(&file("rising-with-time.tsv"));
    assert_eq!(roles(&rising), [Role::Time, Role::Current, Role::Reading]);
    assert_eq!(
        roles(&plain_read("N\tm / g\n1\t0.3\n2\t0.6\n5\t1.5\n")),
        [Role::Wires, Role::Reading]
    );
}

#[test]
fn a_trial_number_is_no_current() {
    let table = plain_read(&file("trial-column-and-zero-masses.tsv"));
    let expected = "Counter -: 1 2 3 4 5\nReading kg: 0 0 0 0 0\nCurrent A: 0.2 0.4 0.59 0.78 0.96";
    check_both_ways(&table, expected);
}

#[test]
fn signs_and_decimal_commas_are_kept() {
    let minus = "Current mA: -700 -170 520 890\nForce N: -0.0206 -0.0103 0.0138 0.0241";
    check_both_ways(&plain_read(&file("milliamperes-real-minus.tsv")), minus);
    let lost = plain_read(&file("signs-lost.tsv"));
    let negative = lost.columns[1]
        .numbers()
        .filter(|(_, number)| number.value_si < 0.0);
    assert_eq!(
        negative.map(|(row, _)| row).collect::<Vec<_>>(),
        [5, 6, 8, 9, 10, 11]
    );
    let reversed = "Current A: 0 1.45 3 -3\nReading g: 74.8 75 75.15 74.5";
    check_both_ways(&plain_read(&file("reversed-current.tsv")), reversed);
    let commas = "Current A: 0 0.5 1 1.5 2\nReading g: 0 -0.31 -0.6 -1 -1.21";
    check_both_ways(&plain_read(&file("comma-decimals-in-tabs.tsv")), commas);
    let exact = plain_read(&file("exact-line.tsv"));
    assert_eq!(exact.columns[1].cells[8].number().unwrap().decimals, 0);
    assert_eq!(exact.columns[1].decimals, Some(1));
    let table = plain_read(&file("every-kind-of-minus.tsv"));
    let expected = "Current A: 1 2 3 4 5 6 7 8 9 10
        Reading g: -0.1 -0.2 -0.3 -0.4 -0.5 -0.6 -0.7 _ 0.9 1";
    check_both_ways(&table, expected);
    assert_eq!(noted!(table, Told, NoteKind::Missing(_)), [(2, vec![8])]);
    let digits = "Current A: 0.5 1 1.5 2 1.5\nReading g: 0.31 0.58 0.91 1.21 0.9";
    check_both_ways(&plain_read(&file("other-digits.tsv")), digits);
}

#[test]
fn a_comma_that_does_both_jobs_is_asked_about() {
    let text = file("comma-for-everything.csv");
    let table = plain_read(&text);
    check_both_ways(
        &table,
        "Current A: 0.5 1 1.5 2\nReading g: 0.31 0.58 0.91 1.21",
    );
    let kind = NoteKind::CommaForEverything {
        pieces: 4,
        headings: Some(2),
    };
    assert!(has(&table, Weight::Asked, &kind));
    // The reader insists on the point: four columns, and the two without headings are named.
    let table = read(
        &text,
        &Choices {
            decimal: Some(DecimalMark::Point),
            ..Choices::default()
        },
    );
    assert_eq!(table.columns.len(), 4);
    let unnamed = noted!(table, Asked, NoteKind::NotUsed(NotUsed::NoHeading));
    assert_eq!(unnamed, [(3, vec![]), (4, vec![])]);
    // A row with another number of pieces is named, never half read.
    let table = plain_read("I / A,m / g\n0,5,0,31\n1,0,58\n1,5,0,91\n");
    check(&table, "Current A: 0.5 ! 1.5\nReading g: 0.31 _ 0.91");
    assert_eq!(
        noted!(table, Trouble, NoteKind::PiecesUnclear(_)),
        [(1, vec![2])]
    );
    // One heading over two pieces is the same trouble.
    check(&plain_read("m / g\n0,31\n0,58\n"), "Reading g: 0.31 0.58");
}

#[test]
fn open_marks_are_decided_from_the_table_and_asked_about() {
    let table = plain_read(&file("thousands-or-decimals.csv"));
    check_both_ways(
        &table,
        "Current mA: 500 750 1000 1250 1500\nReading g: 0.31 0.45 0.6 0.77 0.91",
    );
    let open = noted!(
        table,
        Asked,
        NoteKind::OpenMark {
            mark: '.',
            thousands: true,
            ..
        }
    );
    assert_eq!(open, [(1, vec![3, 4, 5])]);
    // Nothing else in the table tells: read as decimals, and asked.
    let text = "I / mA;m / g\n1,234;2\n2,250;4\n";
    let table = plain_read(text);
    check(&table, "Current mA: 1.234 2.25\nReading g: 2 4");
    assert_eq!(
        noted!(
            table,
            Asked,
            NoteKind::OpenMark {
                thousands: false,
                ..
            }
        ),
        [(1, vec![1, 2])]
    );
    let table = read(
        text,
        &Choices {
            decimal: Some(DecimalMark::Point),
            ..Choices::default()
        },
    );
    check(&table, "Current mA: 1234 2250\nReading g: 2 4");
    // Amperes by the thousand are no school's, whatever the other column says.
    let table = plain_read("I / A;m / g\n1.234;0,31\n2.250;0,58\n");
    check(&table, "Current A: 1.234 2.25\nReading g: 0.31 0.58");
    assert_eq!(
        noted!(
            table,
            Asked,
            NoteKind::OpenMark {
                thousands: false,
                ..
            }
        ),
        [(1, vec![1, 2])]
    );
    // One decimal comma among points is read, and named.
    let table = plain_read("I / A\tm / g\n0.5\t0.31\n1.0\t0,58\n1.5\t0.91\n");
    assert_eq!(
        noted!(table, Told, NoteKind::OtherMark { mark: ',', .. }),
        [(2, vec![2])]
    );
}

#[test]
fn files_of_every_make() {
    let quiet = [
        "carriage-returns-only.csv",
        "mixed-ends-and-empty-tail.tsv",
        "line-break-in-heading.tsv",
    ];
    for name in quiet {
        let table = plain_read(&file(name));
        check_both_ways(&table, SIX_READINGS);
        assert!(table.notes.is_empty(), "{name}: {}", told(&table));
    }
    let table = plain_read(&file("separator-line.csv"));
    check_both_ways(&table, SIX_READINGS);
    assert_eq!(table.columns[0].heading, "I / A");
    let table = plain_read(&file("line-break-in-heading.tsv"));
    assert_eq!(table.columns[1].heading, "Reading on balance (g)");
    let table = plain_read(&file("title-and-units-row.tsv"));
    check_both_ways(&table, SIX_READINGS);
    assert_eq!(table.title.as_deref(), Some("Run 1, 7 March"));
    assert_eq!(
        (
            table.columns[0].name.as_str(),
            table.columns[1].heading.as_str()
        ),
        ("Current", "Reading / g")
    );
    let table =
        plain_read(&file("title-and-units-row.tsv").replace("Run 1, 7 March", "7 March, run 1"));
    check_both_ways(&table, SIX_READINGS);
    assert_eq!(table.title.as_deref(), Some("7 March, run 1"));
    let with_mark = format!("\u{feff}{}", file("separator-line.csv"));
    check_both_ways(&plain_read(&with_mark), SIX_READINGS);
    let open = plain_read("I / A\tm / g\n0.5\t\"0.31\n1.0\t0.58\n");
    assert!(has(&open, Weight::Asked, &NoteKind::StrayQuote));
    assert_eq!(open.rows, 2);
}

#[test]
fn clipboards_with_two_versions() {
    for (name, columns) in [
        ("clipboard-with-spans.json", 3),
        ("clipboard-with-hashes.json", 2),
    ] {
        let versions: serde_json::Value = serde_json::from_str(&file(name)).unwrap();
        let (html, plain) = (
            versions["text/html"].as_str(),
            versions["text/plain"].as_str(),
        );
        let table = plain_read(&from_clipboard(html, plain));
        assert_eq!(table.columns.len(), columns);
        assert!(
            shown(&table).starts_with(SIX_READINGS),
            "{name}: {}",
            shown(&table)
        );
        let table = plain_read(&from_clipboard(None, plain));
        assert!(
            shown(&table).starts_with(SIX_READINGS),
            "{name}: {}",
            shown(&table)
        );
    }
    let versions: serde_json::Value =
        serde_json::from_str(&file("clipboard-with-spans.json")).unwrap();
    let table = plain_read(versions["text/html"].as_str().unwrap());
    assert_eq!(table.title.as_deref(), Some("Force on a wire, second run"));
    assert_eq!(table.columns[2].role, Role::Comment);
    let powers = "<table><tr><th>I / A<th>m / kg<tr><td>0.5<td>3.1&times;10<sup>-4</sup></table>";
    check_both_ways(&plain_read(powers), "Current A: 0.5\nReading kg: 0.00031");
    let tall = "<table><tr><td rowspan=2>1<td>0.31<tr><td>0.32<tr><td>2<td>0.6</table>";
    check(
        &plain_read(tall),
        "Current A: 1 _ 2\nReading g: 0.31 0.32 0.6",
    );
}

#[test]
fn units_and_uncertainties_in_cells() {
    let table = plain_read(&file("units-in-cells.csv"));
    let expected = "Current A: 0.5 0.75 1 1.25 1.5 0.002\nReading g: 0.31 0.45 0.6 0.77 0.91 0";
    check_both_ways(&table, expected);
    assert_eq!(
        noted!(table, Told, NoteKind::OtherMark { mark: ',', .. }),
        [(2, vec![5])]
    );
    assert_eq!(
        noted!(table, Asked, NoteKind::UnitUnlikely(_)),
        [(1, vec![6])]
    );
    let kilograms = table.columns[1].cells[2].number().unwrap();
    assert_eq!(kilograms.decimals, 2, "0.00060 kg in places of a gram");
    let table = plain_read(&file("plus-minus-in-cells.tsv"));
    check_both_ways(
        &table,
        "Current A: 0.5 1 1.5 2 2.5\nReading g: 0.31 0.58 0.91 1.21 1.52",
    );
    let uncertainties = |column: usize| {
        let numbers = table.columns[column].numbers();
        numbers
            .map(|(_, number)| number.uncertainty_si)
            .collect::<Vec<_>>()
    };
    assert_eq!(
        uncertainties(0),
        [Some(0.01), Some(0.01), Some(0.01), Some(0.04), None]
    );
    assert_eq!(uncertainties(1), [Some(0.00001); 5]);
    let table = plain_read("I / A\tm / g\n1\t0.31\n2\t0.6 A\n");
    assert_eq!(
        noted!(table, Trouble, NoteKind::WrongQuantity(_)),
        [(2, vec![2])]
    );
}

#[test]
fn what_is_no_reading_is_named_and_never_zero() {
    let table = plain_read(&file("empty-cells.tsv"));
    check_both_ways(
        &table,
        "Current A: 0 0.5 1 1.5 2 2.5 _\nReading g: 0 0.31 _ 0.91 _ 1.52 1.8",
    );
    assert_eq!(
        noted!(table, Told, NoteKind::Missing(_)),
        [(1, vec![7]), (2, vec![3, 5])]
    );
    let table = plain_read(&file("dates-from-numbers.tsv"));
    check_both_ways(
        &table,
        "Current A: 0.5 ! ! 2 ! !\nReading g: 0.31 0.6 0.91 ! 1.52 1.82",
    );
    let dates = noted!(table, Trouble, NoteKind::Unusable { .. });
    assert_eq!(dates, [(1, vec![2, 3, 6]), (2, vec![4])]);
    assert_eq!(
        noted!(table, Trouble, NoteKind::DateNumber(_)),
        [(1, vec![5])]
    );
    let table = plain_read(
        "I / A\tm / g\tcomment\n0.5\t#DIV/0!\tfirst\n1.0\t####\t=2*3\n1.5\t<b>x</b>\t\n",
    );
    check_both_ways(
        &table,
        "Current A: 0.5 1 1.5\nReading g: ! ! !\nComment -: _ _ _",
    );
    let bad = noted!(table, Trouble, NoteKind::Unusable { .. });
    assert_eq!(
        bad.into_iter()
            .flat_map(|(_, rows)| rows)
            .collect::<Vec<_>>(),
        [1, 2, 3]
    );
    let table = plain_read("I / A\tm / g\n1\t0.31\n\t\n2\t0.62\n\t\n");
    check_both_ways(&table, "Current A: 1 _ 2\nReading g: 0.31 _ 0.62");
    assert!(table.notes.is_empty(), "{}", told(&table));
}

#[test]
fn the_figures_typed_are_kept() {
    let table = plain_read(&file("trailing-zeros.tsv"));
    check_both_ways(
        &table,
        "Current A: 0.5 1 1.5 2 2.5\nReading g: 0.3 0.6 0.9 1.2 1.5",
    );
    let decimals = |column: usize| {
        let numbers = table.columns[column].numbers();
        numbers
            .map(|(_, number)| number.decimals)
            .collect::<Vec<_>>()
    };
    assert_eq!(
        (decimals(0), decimals(1)),
        (vec![2, 2, 1, 2, 2], vec![1, 2, 2, 1, 2])
    );
    assert_eq!(
        (table.columns[0].decimals, table.columns[1].decimals),
        (Some(2), Some(2))
    );
    let fewer = noted!(table, Told, NoteKind::FewerDecimals { decimals: 2, .. });
    assert_eq!(fewer, [(1, vec![3]), (2, vec![1, 4])]);
    assert_eq!(plain_read(&file("curved.tsv")).columns[1].decimals, Some(2));
}

#[test]
fn typed_with_spaces_or_as_markdown() {
    for text in [
        "I / A   m / g\n0.50    0.31\n10.00 0.58\n",
        "I / A m / g\n0.50 0.31\n10.00 0.58\n",
        "Current (A) Balance reading (g)\n0.50 0.31\n10.00 0.58\n",
        "Current (A) Balance reading (g)\n0,50 0,31\n10,00 0,58\n",
        "0.50 A 0.31 g\n10.00 A 0.58 g\n",
        "| I / A | m / g |\n|-------|:-----:|\n| 0.50 | 0.31 |\n| 10.00 | 0.58 |\n",
        "+-----+----+\n| **I / A** | m / g |\n+-----+----+\n| 0.50 | 0.31 |\n| 10.00 | 0.58 |\n+---+---+\n",
        "Current | Balance\nin A | in g\n0.50|0.31\n10.00|0.58\n",
    ] {
        let table = plain_read(text);
        check(&table, "Current A: 0.5 10\nReading g: 0.31 0.58");
        assert!(
            table.notes.iter().all(|note| note.weight == Weight::Told),
            "{text}: {}",
            told(&table)
        );
    }
}

#[test]
fn headings_in_every_usual_style() {
    for (heading, role, unit) in [
        ("I / A", Role::Current, "A"),
        ("I/mA", Role::Current, "mA"),
        ("Current [mA]", Role::Current, "mA"),
        ("I in mA", Role::Current, "mA"),
        ("current, A", Role::Current, "A"),
        ("current_mA", Role::Current, "mA"),
        ("CURRENT (MA)", Role::Current, "mA"),
        ("I / 10^-3 A", Role::Current, "mA"),
        ("Stromstärke I in A", Role::Current, "A"),
        ("Length of wire (cm)", Role::Length, "cm"),
        ("θ / °", Role::Angle, "°"),
        ("angle (degrees)", Role::Angle, "°"),
        ("B / mT", Role::FluxDensity, "mT"),
        ("t / min", Role::Time, "min"),
        ("Force on wire / mN", Role::Force, "mN"),
        ("zero before / g", Role::ZeroBefore, "g"),
        ("m0 / g", Role::Zero, "g"),
        ("m (no current) / g", Role::Zero, "g"),
        ("no.", Role::Counter, "-"),
        ("#", Role::Counter, "-"),
        ("number of wires", Role::Wires, "-"),
        ("U / V", Role::Ignored, "-"),
    ] {
        let table = plain_read(&format!("{heading}\tm / g\n1\t0.31\n2\t0.62\n4\t1.22\n"));
        let column = &table.columns[0];
        let found = (column.role, column.unit.map_or("-", |unit| unit.symbol()));
        assert_eq!(found, (role, unit), "{heading}: {}", told(&table));
        assert_eq!(table.columns[1].role, Role::Reading, "{heading}");
    }
}

#[test]
fn fellows_are_told_apart() {
    let mean = plain_read(
        "I/A,m1/g,m2/g,mean m/g,±/g\n1,0.61,0.62,0.615,0.005\n2,1.21,1.22,1.215,0.005\n3,1.82,1.80,1.81,0.01\n",
    );
    let expected = [
        Role::Current,
        Role::Reading,
        Role::Reading,
        Role::Ignored,
        Role::UncertaintyOf(3),
    ];
    assert_eq!(roles(&mean), expected);
    let spanning =
        plain_read("I / A\tm / g\t\t\n\t1\t2\t3\n1\t0.61\t0.62\t0.60\n2\t1.21\t1.22\t1.23\n");
    let expected =
        "Current A: 1 2\nReading g: 0.61 1.21\nReading g: 0.62 1.22\nReading g: 0.6 1.23";
    check_both_ways(&spanning, expected);
    let blank = plain_read("I / A\tm / g\t\t\n1\t0.61\t0.62\t0.60\n2\t1.21\t1.22\t1.23\n");
    check_both_ways(&blank, expected);
    let wires = plain_read(
        "I / A\t1 wire / g\t2 wires / g\t5 wires / g\n1\t0.61\t1.22\t3.05\n2\t1.22\t2.43\t6.10\n",
    );
    let series: Vec<_> = wires.columns[1..]
        .iter()
        .map(|column| column.series.clone().unwrap())
        .collect();
    assert_eq!(
        series
            .iter()
            .map(|series| series.number.unwrap())
            .collect::<Vec<_>>(),
        [1.0, 2.0, 5.0]
    );
    assert_eq!(
        (series[0].role, series[0].guessed),
        (Some(Role::Wires), false)
    );
    let at = plain_read("I / A\tm / g at 20 mm\tm / g at 40 mm\n1\t0.61\t1.22\n2\t1.22\t2.43\n");
    assert_eq!(at.columns[2].series.as_ref().unwrap().value_si, Some(0.04));
    let change =
        plain_read("I / A\tm / g\tΔm / g\n1\t100.61\t0.61\n2\t101.22\t1.22\n3\t101.80\t1.80\n");
    assert_eq!(
        roles(&change),
        [Role::Current, Role::FullReading, Role::Reading]
    );
    let uncertainty =
        plain_read("I / A\tm / g\tΔm / g\n1\t0.61\t0.02\n2\t1.22\t0.03\n3\t1.80\t0.02\n");
    assert_eq!(
        roles(&uncertainty),
        [Role::Current, Role::Reading, Role::UncertaintyOf(2)]
    );
}

#[test]
fn without_headings_place_and_numbers_tell() {
    let table = plain_read("0.5\t0.31\n1.0\t0.58\n1.5\t0.91\n");
    check_both_ways(&table, "Current A: 0.5 1 1.5\nReading g: 0.31 0.58 0.91");
    let taken = vec![(1, Role::Current), (2, Role::Reading)];
    assert!(has(&table, Weight::Told, &NoteKind::NoHeadings { taken }));
    let counted = "Counter -: 1 2 3\nCurrent A: 0.5 1 1.5\nReading g: 0.31 0.58 0.91";
    check_both_ways(
        &plain_read("1\t0.5\t0.31\n2\t1.0\t0.58\n3\t1.5\t0.91\n"),
        counted,
    );
    let repeated = "Current A: 1 2 3\nReading g: 0.6 1.2 1.81\nReading g: 0.61 1.22 1.8";
    check_both_ways(
        &plain_read("1\t0.60\t0.61\n2\t1.20\t1.22\n3\t1.81\t1.80\n"),
        repeated,
    );
    let one = plain_read("0.31\n0.58\n");
    assert!(has(&one, Weight::Trouble, &NoteKind::OneColumn));
    let none = plain_read("Dear all,\nthe readings follow tomorrow.\n");
    assert!(has(&none, Weight::Trouble, &NoteKind::NoNumbers));
}

#[test]
fn comments_are_named() {
    let table = plain_read("# balance log\n# I / A\tm / g\n0.5\t0.31\n1.0\t0.58\n");
    check(&table, "Current A: 0.5 1\nReading g: 0.31 0.58");
    let kind = NoteKind::CommentLines {
        count: 1,
        first: "# balance log".to_owned(),
    };
    assert!(has(&table, Weight::Told, &kind));
}

#[test]
fn choices_overrule_guesses() {
    let text = "a\tb\tc\n0.31\t0.5\t9\n0.58\t1.0\t8\n";
    let choice = |column: usize, role: Role, unit: Option<Unit>| ColumnChoice {
        column,
        role: Some(role),
        unit,
        ..ColumnChoice::default()
    };
    let columns = vec![
        choice(1, Role::Reading, Some(Unit::MILLIGRAM)),
        choice(2, Role::Current, None),
        choice(3, Role::UncertaintyOf(1), None),
        choice(9, Role::Time, None),
    ];
    let table = read(
        text,
        &Choices {
            columns,
            ..Choices::default()
        },
    );
    check(
        &table,
        "Reading mg: 0.31 0.58\nCurrent A: 0.5 1\nUncertaintyOf(1) mg: 9 8",
    );
    assert!(!table.columns[0].guessed);
    let masses = "I / A\tm / g\tk / g\n1\t150.61\t0.61\n2\t151.22\t1.22\n";
    let columns = vec![choice(3, Role::Reading, None)];
    let table = read(
        masses,
        &Choices {
            columns: columns.clone(),
            ..Choices::default()
        },
    );
    assert_eq!(
        roles(&table),
        [Role::Current, Role::FullReading, Role::Reading]
    );
    let table = read(
        &file("three-lengths.tsv"),
        &Choices {
            columns,
            ..Choices::default()
        },
    );
    assert_eq!(
        roles(&table),
        [Role::Current, Role::Reading, Role::Reading, Role::Reading]
    );
    let lies = Some(Lie::Down);
    let table = read(
        &file("loops-along-rows.txt"),
        &Choices {
            lies,
            ..Choices::default()
        },
    );
    assert!(!table.across && table.columns.len() == 6);
    let columns = vec![ColumnChoice {
        column: 3,
        length_m: Some(0.05),
        ..ColumnChoice::default()
    }];
    let table = read(
        &file("three-lengths.tsv"),
        &Choices {
            columns,
            ..Choices::default()
        },
    );
    let series = table.columns[2].series.as_ref().unwrap();
    assert_eq!((series.value_si, series.guessed), (Some(0.05), false));
}

#[test]
fn too_much_is_refused_with_the_limit() {
    let table = plain_read(&"1\t2\n".repeat(LARGEST_ROW_COUNT + 1));
    assert_eq!((table.rows, table.columns.len()), (0, 0));
    assert!(table.refusal().unwrap().text().contains("100000"));
    let table = plain_read(&"x".repeat(LARGEST_TEXT_BYTES + 1));
    assert!(table.refusal().unwrap().text().contains("8 MB"));
    assert!(plain_read(" \n\t\n").refusal().is_some());
    assert_eq!(
        plain_read(&"1\t2\n".repeat(LARGEST_ROW_COUNT)).rows,
        LARGEST_ROW_COUNT
    );
    let wide = plain_read(&format!("{}\n", "1\t".repeat(500)));
    assert_eq!(
        noted!(wide, Trouble, NoteKind::TooManyColumns { columns: 500, .. }).len(),
        1
    );
}

#[test]
fn notes_are_sentences_with_place_and_remedy() {
    let sentences = |text: &str| -> Vec<String> {
        let table = plain_read(text);
        table.notes.iter().map(|note| note.text()).collect()
    };
    assert_eq!(
        sentences("I / A\tm / g\n1.0\t\n2.0\tn/a\n3.0\t1.81\n"),
        [
            "Column 2 (m / g), rows 1 and 2: no reading (nothing and “n/a”), so nothing was used there, not even a zero. If \
             the reading was zero, type 0."
        ]
    );
    let many = format!("I / A\tm / g\n1.0\t0.61\n{}", "2.0\t1.2+\n".repeat(12));
    assert_eq!(
        sentences(&many),
        [
            "Column 2 (m / g), rows 2, 3, 4, 5, 6 and 7 more: not used. After “1.2” stands “+”, which has no place there; \
             type only the number, such as 2.40, with its unit if you like. The cells hold “1.2+”."
        ]
    );
    assert_eq!(
        sentences("I / A\tF / mN\n1.0\t2.56 N\n2.0\t5.59 N\n"),
        [
            "Column 2 (F / mN): the heading says mN but the cells say N; N was used. If the heading is right, choose mN and \
             take the units out of the cells."
        ]
    );
    assert_eq!(
        sentences("I / A\tm1 / g\tm2 / g\n0.50\t0.3\t0.31\n1.00\t0.60\t0.61\n1.50\t0.91\t0.90\n"),
        [
            "Columns 2 and 3 were taken as repeats of the same readings; their mean is used.",
            "Column 2 (m1 / g), row 1: “0.3” has fewer decimal places than the others. The column seems to be read to 0.01; \
             write every reading so."
        ]
    );
}
