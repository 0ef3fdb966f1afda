//! The processed table as CSV (RFC 4180), for a spreadsheet.
//!
//! Start at [`processed`]. The columns are always the same, in the same order, so that a spreadsheet that someone has
//! prepared for one job fits every other; what is not known is an empty cell.

use yokeline_core::check::class::Class;
use yokeline_core::job::Analysis;
use yokeline_core::job::output::{Axis, Point};

use crate::page::class_words;

/// Significant figures of a number: beyond any balance, and short of where binary floating point shows through
/// (0.1 + 0.2 is 0.3 to this many).
const FIGURES: usize = 12;

/// The points of an analysis as CSV in the units of its axes, with CRLF line ends, and with a byte-order mark, without
/// which spreadsheets misread the signs of units.
///
/// One row a point, excluded ones too: row, series, x, its uncertainty, y, its uncertainty (half-width of the error bar),
/// its standard uncertainty, residual, repeats, excluded (yes or no). Numbers stand as numbers. A cell of text that a
/// spreadsheet would take for a formula gets an apostrophe in front.
pub fn processed(analysis: &Analysis) -> String {
    let (x, y) = (&analysis.axes.x, &analysis.axes.y);
    let mut csv = String::from('\u{feff}');
    push_row(
        &mut csv,
        [
            text("row"),
            text("series"),
            text(&heading(x, "", &x.symbol)),
            text(&heading(x, "", &format!("u({})", x.symbol))),
            text(&heading(y, "", &y.symbol)),
            text(&heading(y, "", &format!("u({})", y.symbol))),
            text(&heading(y, "standard ", &format!("u({})", y.symbol))),
            text(&heading(y, "residual ", &y.symbol)),
            text("repeats"),
            text("excluded"),
        ],
    );
    for point in &analysis.points {
        push_row(&mut csv, cells(point, analysis));
    }
    csv
}

/// A class's answers with their verdicts as CSV in the same manner: row, name, group where the table
/// names it beside the name, and for each stage what was typed and what is to be said of it. A name that a spreadsheet would take for a formula gets an apostrophe in front.
pub fn class(class: &Class) -> String {
    let stages = class_words::stages(class);
    let mut csv = String::from('\u{feff}');
    let with_groups = class_words::with_groups(class);
    let mut headings = vec![text("row"), text("name")];
    headings.extend(with_groups.then(|| text("group")));
    for (_, heading) in &stages {
        headings.push(text(heading));
        headings.push(text(&format!("{heading}: verdict")));
    }
    push_row(&mut csv, headings);
    for student in &class.students {
        let mut cells = vec![student.row.to_string(), text(&student.name)];
        cells.extend(with_groups.then(|| text(&student.group)));
        for (stage, _) in &stages {
            cells.push(text(student.answers.at(*stage)));
            cells.push(text(&class_words::verdict(student, *stage)));
        }
        push_row(&mut csv, cells);
    }
    csv
}

/// The cells of one point, in the order of the headings.
fn cells(point: &Point, analysis: &Analysis) -> [String; 10] {
    let (x, y) = (&analysis.axes.x, &analysis.axes.y);
    let series = analysis
        .families
        .get(point.family)
        .map_or("", |family| family.label.as_str());
    [
        point.row.to_string(),
        text(series),
        shown(Some(point.x), x),
        shown(point.u_x, x),
        shown(Some(point.y), y),
        shown(Some(point.u_y), y),
        shown(Some(point.u_y_standard), y),
        shown(point.residual, y),
        point.repeats.to_string(),
        text(if point.excluded { "yes" } else { "no" }),
    ]
}

/// `m / g`; without the unit for a pure number.
fn heading(axis: &Axis, before: &str, symbol: &str) -> String {
    if axis.unit.is_empty() {
        format!("{before}{symbol}")
    } else {
        format!("{before}{symbol} / {}", axis.unit)
    }
}

/// A value in SI as a number in the unit of its axis; empty when there is none.
fn shown(value_si: Option<f64>, axis: &Axis) -> String {
    value_si.map_or_else(String::new, |value| {
        number(
            value / axis.unit_si,
            usize::try_from(axis.decimals).unwrap_or(0),
        )
    })
}

/// A number to [`FIGURES`] significant figures without trailing zeros, but with at least as many decimals as the
/// instrument gives (up to 12, lest a slip upstream fill the page); empty when it is not finite. Very small and very
/// large numbers, which no instrument here reads, are written with a power of ten.
fn number(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return String::new();
    }
    let decimals = decimals.min(12);
    // `{:e}` rounds to the figures and says where the first one stands.
    let rounded = format!("{:.*e}", FIGURES - 1, value);
    let Some((mantissa, exponent)) = rounded.split_once('e') else {
        return String::new();
    };
    let exponent: i32 = exponent.parse().unwrap_or(0);
    if value == 0.0 {
        return format!("{:.decimals$}", 0.0);
    }
    if !(-9..=14).contains(&exponent) {
        return format!("{}E{exponent}", without_trailing_zeros(mantissa));
    }
    let places = usize::try_from(FIGURES as i32 - 1 - exponent).unwrap_or(0);
    let plain = format!("{value:.places$}");
    let plain = without_trailing_zeros(&plain);
    let has = plain.split_once('.').map_or(0, |(_, after)| after.len());
    if has >= decimals {
        return plain.to_owned();
    }
    let point = if has == 0 { "." } else { "" };
    format!("{plain}{point}{}", "0".repeat(decimals - has))
}

fn without_trailing_zeros(number: &str) -> &str {
    if number.contains('.') {
        number.trim_end_matches('0').trim_end_matches('.')
    } else {
        number
    }
}

/// A cell of text, made harmless and quoted where RFC 4180 asks for it.
fn text(text: &str) -> String {
    // Blanks in front do not keep every spreadsheet from seeing a formula; the wide forms are taken for the narrow ones.
    let formula = text.starts_with(['\t', '\r', '\n'])
        || text
            .trim_start()
            .starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠']);
    let harmless = if formula {
        format!("'{text}")
    } else {
        text.to_owned()
    };
    if harmless.contains([',', '"', '\r', '\n']) {
        format!("\"{}\"", harmless.replace('"', "\"\""))
    } else {
        harmless
    }
}

fn push_row(csv: &mut String, cells: impl AsRef<[String]>) {
    csv.push_str(&cells.as_ref().join(","));
    csv.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::*;
    use yokeline_core::job::output::{Axes, Family};

    fn analysis() -> Analysis {
        let axis = |symbol: &str, unit: &str, unit_si, decimals| Axis {
            symbol: symbol.to_owned(),
            unit: unit.to_owned(),
            unit_si,
            decimals,
            ..Axis::default()
        };
        let point = |row, x, y, excluded| Point {
            x,
            y,
            u_y: 1e-5,
            u_y_standard: 1e-5 / 3.0,
            row,
            repeats: 1,
            excluded,
            residual: Some(-1.25e-6),
            ..Point::default()
        };
        Analysis {
            axes: Axes {
                x: axis("I", "A", 1.0, 2),
                y: axis("m", "g", 0.001, 2),
            },
            points: vec![
                point(1, 0.5, 8e-5, false),
                point(3, 0.1 + 0.2, -1.23e-3, true),
            ],
            families: vec![Family {
                label: "=HYPERLINK(\"x\"), 10 mm".to_owned(),
                ..Family::default()
            }],
            ..Analysis::default()
        }
    }

    #[test]
    fn a_table_in_the_units_of_its_axes() {
        assert_eq!(
            processed(&analysis()),
            "\u{feff}row,series,I / A,u(I) / A,m / g,u(m) / g,standard u(m) / g,residual m / g,repeats,excluded\r\n\
             1,\"'=HYPERLINK(\"\"x\"\"), 10 mm\",0.50,,0.08,0.01,0.00333333333333,-0.00125,1,no\r\n\
             3,\"'=HYPERLINK(\"\"x\"\"), 10 mm\",0.30,,-1.23,0.01,0.00333333333333,-0.00125,1,yes\r\n"
        );
    }

    #[test]
    fn an_empty_analysis_gives_headings_alone() {
        let csv = processed(&Analysis::default());
        assert_eq!(csv.matches("\r\n").count(), 1);
    }

    #[test]
    fn numbers_keep_the_decimals_of_the_instrument_and_lose_the_noise() {
        for (value, decimals, expected) in [
            (0.0, 2, "0.00"),
            (-0.0, 0, "0"),
            (100.0, 0, "100"),
            (0.5, 2, "0.50"),
            (2.0, 1, "2.0"),
            (0.1 + 0.2, 0, "0.3"),
            (1.0 / 3.0, 2, "0.333333333333"),
            (-1234.5, 3, "-1234.500"),
            (123_456_789_012_345.0, 0, "123456789012345"),
            (9.999_999_999_999_9, 1, "10.0"),
            (1.3e-17, 2, "1.3E-17"),
            (-2e300, 2, "-2E300"),
            (f64::NAN, 2, ""),
            (f64::INFINITY, 2, ""),
        ] {
            assert_eq!(number(value, decimals), expected, "{value} {decimals}");
        }
    }

    #[test]
    fn text_that_a_spreadsheet_would_run_is_made_harmless() {
        for (cell, expected) in [
            ("10 mm", "10 mm"),
            ("=1+1", "'=1+1"),
            ("+1", "'+1"),
            ("-1", "'-1"),
            ("@x", "'@x"),
            ("\tx", "'\tx"),
            (" =1", "' =1"),
            ("＝1", "'＝1"),
            ("a,b", "\"a,b\""),
            ("say \"x\"", "\"say \"\"x\"\"\""),
            ("\r=1", "\"'\r=1\""),
        ] {
            assert_eq!(text(cell), expected, "{cell:?}");
        }
    }
}
