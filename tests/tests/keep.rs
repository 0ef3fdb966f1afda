//! Keeping a job: whatever was typed comes back from a link and from a file, and nothing that anyone sends does harm.

use proptest::collection::{btree_map, vec};
use proptest::prelude::*;
use yokeline_core::job::input::{
    BalanceZero, ColumnChoice, DecimalMark, Lie, MonteCarlo, SheetChoice, Show,
    StatedUncertainties, UncertaintyWay, VERSION, Walk, WorstLineRule,
};
use yokeline_core::job::output::{Axes, Axis, Family, Point};
use yokeline_core::job::{Analysis, Apparatus, Fit, Job, Probe, Varied};
use yokeline_tests::old_links;
use yokeline_web::keep::file::{self, Kind};
use yokeline_web::keep::{KeepError, csv, link};

/// Links that were given out, one a line: the link, a tab, the job that it holds as JSON. Lines are only ever added:
/// every later release reads them all.
const OLD_LINKS: &str = include_str!("../data/links.txt");

#[test]
fn links_given_out_by_earlier_releases_are_read() {
    let mut read = 0;
    for (old, json) in old_links(OLD_LINKS) {
        let job: Job = serde_json::from_str(json).expect("a job");
        assert_eq!(link::from_fragment(old), Ok(job), "{old}");
        read += 1;
    }
    assert!(read >= 2, "{read} old links");
}

#[test]
fn markup_in_a_link_stays_text() {
    let job = Job {
        title: "<img src=x onerror=alert(1)>".to_owned(),
        table: "<script>alert(1)</script>\t=cmd|' /C calc'!A0".to_owned(),
        ..Job::default()
    };
    let fragment = link::to_fragment(&job);
    assert!(
        fragment[1..]
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || "-_.".contains(c)),
        "{fragment}"
    );
    assert_eq!(link::from_fragment(&fragment), Ok(job));
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_job_comes_back_from_its_link(job in any_job()) {
        prop_assert_eq!(link::from_fragment(&link::to_fragment(&job)), Ok(job));
    }

    #[test]
    fn any_job_comes_back_from_its_file(job in any_job()) {
        prop_assert_eq!(file::from_json(&file::to_json(&job)), Ok(job));
    }

    #[test]
    fn any_text_is_read_without_harm(text in any::<String>(), tail in "[A-Za-z0-9_-]{0,80}") {
        speak(link::from_fragment(&text))?;
        speak(link::from_fragment(&format!("#j1.{text}")))?;
        speak(link::from_fragment(&format!("#j1.{tail}")))?;
        speak(file::from_json(&text))?;
        speak(file::from_json(&format!("{{{text}")))?;
    }

    #[test]
    fn a_damaged_file_is_read_without_harm(job in any_job(), place in any::<prop::sample::Index>(), c in any::<char>()) {
        let mut characters: Vec<char> = file::to_json(&job).chars().collect();
        let place = place.index(characters.len());
        characters[place] = c;
        speak(file::from_json(&characters.into_iter().collect::<String>()))?;
    }

    #[test]
    fn any_title_gives_a_safe_file_name(title in any::<String>()) {
        let job = Job { title, ..Job::default() };
        for kind in [Kind::Job, Kind::Sheet(Show::Blank), Kind::GraphSvg, Kind::GraphPng, Kind::Table] {
            let name = file::name(&job, kind);
            let (stem, ending) = name.split_once('.').expect("an ending");
            prop_assert!(name.chars().count() <= 60, "{}", name);
            prop_assert!(stem.chars().all(|c| c.is_alphanumeric() || c == '-'), "{}", name);
            prop_assert!(stem.starts_with(char::is_alphanumeric), "{}", name);
            prop_assert!(["json", "html", "svg", "png", "csv"].contains(&ending), "{}", name);
        }
    }

    #[test]
    fn any_label_stays_one_harmless_cell(
        label in prop_oneof![any::<String>(), "[=+@ \t\r\n,\"'-]{1,4}.*"],
        x in any::<f64>(),
        unit_si in any::<f64>(),
        decimals in any::<i32>(),
    ) {
        let axis = Axis { symbol: "I".to_owned(), unit: "A".to_owned(), unit_si, decimals, ..Axis::default() };
        let analysis = Analysis {
            axes: Axes { x: axis.clone(), y: axis },
            points: vec![Point { x, row: 1, repeats: 1, ..Point::default() }],
            families: vec![Family { label: label.clone(), ..Family::default() }],
            ..Analysis::default()
        };
        let rows = read_csv(&csv::processed(&analysis));
        prop_assert_eq!(rows.len(), 2);
        prop_assert!(rows.iter().all(|row| row.len() == rows[0].len()));
        let cell = &rows[1][1];
        let apart = |text: &str| text.strip_prefix('\'').unwrap_or(text).to_owned();
        prop_assert_eq!(apart(cell), apart(&label));
        let starts_a_formula = cell.trim_start().starts_with(['=', '+', '-', '@']) || cell.starts_with('\t');
        prop_assert!(!starts_a_formula, "{:?}", cell);
        let shown = &rows[1][2];
        let expected = x / unit_si;
        if expected.is_finite() {
            let read: f64 = shown.parse().expect("a number");
            // Twelve figures; below the smallest normal number there are fewer.
            let close = (read - expected).abs() <= 1e-11 * expected.abs() || expected.abs() < f64::MIN_POSITIVE;
            prop_assert!(close, "{} for {}", shown, expected);
        } else {
            prop_assert!(shown.is_empty(), "{}", shown);
        }
    }
}

/// Whatever could not be read is said in a sentence that is not endless.
fn speak(read: Result<Job, KeepError>) -> Result<(), TestCaseError> {
    if let Err(error) = read {
        let said = error.to_string();
        prop_assert!(
            said.ends_with('.') && said.chars().count() < 600,
            "{}",
            said
        );
    }
    Ok(())
}

/// A small reader of RFC 4180, so that what is written is not judged by its writer.
fn read_csv(text: &str) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    let mut row = Vec::new();
    let mut cell = String::new();
    let mut quoted = false;
    let mut characters = text
        .strip_prefix('\u{feff}')
        .expect("a byte-order mark")
        .chars()
        .peekable();
    while let Some(c) = characters.next() {
        match c {
            '"' if quoted && characters.peek() == Some(&'"') => {
                characters.next();
                cell.push('"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => row.push(std::mem::take(&mut cell)),
            '\r' if !quoted => {
                assert_eq!(characters.next(), Some('\n'), "a line ends with CR LF");
                row.push(std::mem::take(&mut cell));
                rows.push(std::mem::take(&mut row));
            }
            other => cell.push(other),
        }
    }
    assert!(
        !quoted && row.is_empty() && cell.is_empty(),
        "the last line ends as well"
    );
    rows
}

/// A job with anything at all in each field.
fn any_job() -> impl Strategy<Value = Job> {
    let words = (
        0..=VERSION,
        any::<String>(),
        any_table(),
        any_apparatus(),
        any::<String>(),
        any_probe(),
    );
    let rows = (
        vec(any::<u32>().prop_map(|row| row as usize), 0..4),
        btree_map(
            any::<u32>().prop_map(|row| row as usize),
            any::<String>(),
            0..4,
        ),
        vec(any_column(), 0..3),
    );
    let choices = (
        prop::sample::select(vec![
            Varied::Current,
            Varied::Length,
            Varied::Angle,
            Varied::Product,
        ]),
        prop::sample::select(vec![
            Fit::LeastSquares,
            Fit::Weighted,
            Fit::BothErrors,
            Fit::ThroughOrigin,
        ]),
        prop::option::of(prop::sample::select(vec![
            DecimalMark::Point,
            DecimalMark::Comma,
        ])),
        prop::option::of(prop::sample::select(vec![Lie::Down, Lie::Across])),
        prop::sample::select(vec![
            WorstLineRule::HalfDifference,
            WorstLineRule::LargerDistance,
        ]),
        prop::sample::select(vec![Show::Full, Show::Answers, Show::Blank]),
        prop::sample::select(vec![
            UncertaintyWay::Both,
            UncertaintyWay::School,
            UncertaintyWay::Standard,
        ]),
    );
    (words, rows, choices).prop_map(|(words, rows, choices)| {
        let (version, title, table, apparatus, fixed_current, probe) = words;
        let (exclude, reasons, columns) = rows;
        let (varied, fit, decimal_mark, lie, worst_line_rule, show, uncertainty) = choices;
        // Named one by one, so that a field that is added to a job has to be added here as well.
        Job {
            version,
            title,
            table,
            apparatus,
            varied,
            fixed_current,
            fit,
            probe,
            exclude,
            reasons,
            columns,
            decimal_mark,
            lie,
            balance_zero: BalanceZero::Drift,
            reversed_pairs: true,
            stated_uncertainties: StatedUncertainties::Relative,
            walk: Walk {
                table: "x / mm\tB / mT\n0\t2.1\n".into(),
                use_length: true,
            },
            monte_carlo: MonteCarlo {
                trials: 20_000,
                seed: 7,
            },
            worst_line_rule,
            sheet: SheetChoice { show, uncertainty },
        }
    })
}

/// Either anything, or something more like a table.
fn any_table() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        "([0-9]{1,2}[.,][0-9]{2}\t-?[0-9][.,][0-9]{2}\r?\n){0,30}"
    ]
}

fn any_apparatus() -> impl Strategy<Value = Apparatus> {
    any::<[String; 10]>().prop_map(|texts| {
        let [
            length,
            length_uncertainty,
            wires,
            angle,
            gravity,
            lever_ratio,
            balance_resolution,
            current_resolution,
            balance_calibration,
            current_calibration,
        ] = texts;
        Apparatus {
            length,
            length_uncertainty,
            wires,
            angle,
            gravity,
            lever_ratio,
            balance_resolution,
            current_resolution,
            balance_calibration,
            current_calibration,
        }
    })
}

fn any_probe() -> impl Strategy<Value = Probe> {
    any::<(String, String)>().prop_map(|(reading, uncertainty)| Probe {
        reading,
        uncertainty,
    })
}

fn any_column() -> impl Strategy<Value = ColumnChoice> {
    any::<(u32, Option<String>, Option<u32>, String, String, String)>().prop_map(
        |(column, meaning, of, unit, length, wires)| ColumnChoice {
            column: column as usize,
            meaning,
            of: of.map(|column| column as usize),
            unit,
            length,
            wires,
        },
    )
}
