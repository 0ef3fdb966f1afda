//! Properties of reading that hold for any table, and for any text at all.

use proptest::prelude::*;
use yokeline_core::figures::Unit;
use yokeline_core::table::{Cell, Choices, Lie, Plain, Role, Table, from_clipboard, read};

fn plain_read(text: &str) -> Table {
    read(text, &Choices::default())
}

/// A number as somebody types it: up to two places, perhaps negative.
fn number() -> impl Strategy<Value = String> {
    let value = (-999_i32..10_000, 0_usize..3);
    value.prop_map(|(value, places)| format!("{:.places$}", f64::from(value) / 100.0))
}

/// A cell: mostly a number, now and then nothing, a word or a hostile text.
fn cell() -> impl Strategy<Value = String> {
    let odd = prop_oneof![
        Just("n/a"),
        Just("#REF!"),
        Just("2.4+"),
        Just("\"x\"\ty"),
        Just("<b>1</b>"),
        Just("=1+1"),
        Just("1,5"),
        Just("a\nb"),
    ];
    prop_oneof![8 => number(), 1 => Just(String::new()), 1 => odd.prop_map(str::to_owned)]
}

/// Headings, and rows that hold a number each.
fn table() -> impl Strategy<Value = (Vec<String>, Vec<Vec<String>>)> {
    let headings = prop_oneof![
        Just(vec!["I / A", "m / g"]),
        Just(vec!["m (g)", "Current [mA]", "note"]),
        Just(vec!["trial", "I / A", "m1 / g", "m2 / g", "u(m) / g"]),
        Just(vec!["L / cm", "F / mN"]),
    ];
    headings.prop_flat_map(|headings| {
        let row = (number(), prop::collection::vec(cell(), headings.len() - 1));
        prop::collection::vec(row, 2..12).prop_map(move |rows| {
            let rows = rows
                .into_iter()
                .map(|(first, rest)| [vec![first], rest].concat());
            let headings = headings.iter().map(|heading| (*heading).to_owned());
            (headings.collect(), rows.collect())
        })
    })
}

/// The table as text, with the separator and the line end.
fn written(headings: &[String], rows: &[Vec<String>], separator: char, end: &str) -> String {
    let mut text = String::new();
    for row in std::iter::once(headings).chain(rows.iter().map(Vec::as_slice)) {
        let cells: Vec<String> = row.iter().map(|cell| quoted(cell, separator)).collect();
        text.push_str(&cells.join(&separator.to_string()));
        text.push_str(end);
    }
    text
}

fn quoted(cell: &str, separator: char) -> String {
    let special = cell.contains([separator, '"', '\n', '\t', ',']) || cell.starts_with('#');
    if special {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_owned()
    }
}

/// Role, unit and cells of every column.
fn columns(table: &Table) -> Vec<(Role, Option<Unit>, Vec<Cell>)> {
    let columns = table.columns.iter();
    columns
        .map(|column| (column.role, column.unit, column.cells.clone()))
        .collect()
}

/// Each row with a blank cell before it.
fn shifted(rows: &[Vec<String>]) -> Vec<Vec<String>> {
    rows.iter()
        .map(|row| [vec![String::new()], row.clone()].concat())
        .collect()
}

/// Each row with `count` blank cells after it.
fn widened(rows: &[Vec<String>], count: usize) -> Vec<Vec<String>> {
    rows.iter()
        .map(|row| [row.clone(), vec![String::new(); count]].concat())
        .collect()
}

fn swapped(row: &[String]) -> Vec<String> {
    let mut row = row.to_vec();
    row.swap(0, 1);
    row
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_plain_form_reads_back_as_itself(
        (headings, rows) in table(),
        title in prop::option::of("[A-Z][a-z]{2,8} [a-z,;|#\"]{0,12}"),
    ) {
        let title = title.map(|title| title.trim().to_owned());
        let plain = Plain { title, headings, rows };
        let first = plain_read(&plain.to_text());
        prop_assert_eq!(&first.plain(), &plain);
        let again = plain_read(&first.plain().to_text());
        prop_assert_eq!(columns(&again), columns(&first));
    }

    #[test]
    fn separators_and_line_ends_change_nothing((headings, rows) in table()) {
        let reference = columns(&plain_read(&written(&headings, &rows, '\t', "\n")));
        for separator in ['\t', ';', ','] {
            for end in ["\n", "\r\n", "\r"] {
                let text = written(&headings, &rows, separator, end);
                prop_assert_eq!(&columns(&plain_read(&text)), &reference, "{}", text);
            }
        }
    }

    #[test]
    fn blank_edges_change_nothing((headings, rows) in table()) {
        let reference = plain_read(&written(&headings, &rows, '\t', "\n"));
        let all = [vec![headings], rows].concat();
        let blank = vec![vec![String::new(); all[0].len()]];
        let taller = [blank.clone(), all.clone(), blank.clone(), blank].concat();
        for rows in [taller.clone(), shifted(&taller), widened(&taller, 2), shifted(&widened(&all, 1))] {
            let table = plain_read(&written(&rows[0], &rows[1..], '\t', "\n"));
            prop_assert_eq!(columns(&table), columns(&reference));
            prop_assert_eq!(table.plain(), reference.plain());
        }
    }

    #[test]
    fn swapping_two_columns_swaps_what_is_read((headings, rows) in table()) {
        let reference = plain_read(&written(&headings, &rows, '\t', "\n"));
        let rows: Vec<Vec<String>> = rows.iter().map(|row| swapped(row)).collect();
        let table = plain_read(&written(&swapped(&headings), &rows, '\t', "\n"));
        let column = |table: &Table, index: usize| table.columns[index].cells.clone();
        prop_assert_eq!(column(&table, 0), column(&reference, 1));
        prop_assert_eq!(column(&table, 1), column(&reference, 0));
    }

    #[test]
    fn any_text_is_read_without_panic(
        text in "\\PC*",
        lies in prop::option::of(prop_oneof![Just(Lie::Down), Just(Lie::Across)]),
    ) {
        let table = read(&text, &Choices { lies, ..Choices::default() });
        prop_assert!(table.columns.iter().all(|column| column.cells.len() == table.rows));
        prop_assert!(table.notes.iter().all(|note| !note.text().is_empty()));
    }

    #[test]
    fn any_likely_characters_are_read_without_panic(
        text in "[0-9a-zIAmgΔ±µ/\\-–., ;|\t\n\r\"#<>()\\[\\]{}'%²°&=_+×^]{0,200}",
    ) {
        let table = plain_read(&text);
        let plain = table.plain();
        prop_assert!(plain.rows.iter().all(|row| row.len() == plain.headings.len()));
        let again = plain_read(&plain.to_text());
        prop_assert!(again.columns.iter().all(|column| column.cells.len() == again.rows));
        let marked_up = plain_read(&format!("<table><tr><td>{text}"));
        prop_assert!(marked_up.columns.len() <= 60);
        prop_assert!(from_clipboard(None, Some(&text)) == text);
    }
}
