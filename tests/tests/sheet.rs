//! The worked sheet: snapshots of its text, and what must hold of every sheet and of its HTML.
//!
//! A snapshot is a text file in `snapshots/sheet`. To accept what the program writes now, run the test with
//! `YOKELINE_REWRITE=1` and read the difference.

use std::collections::BTreeMap;
use std::path::PathBuf;

use yokeline_core::job::input::{
    Fit, MonteCarlo, SheetChoice, Show, UncertaintyWay, Walk, WorstLineRule,
};
use yokeline_core::job::{Apparatus, Job, Probe, Varied, work};
use yokeline_core::sheet::{Block, Formula, Relation, Sheet, Term, Topic};
use yokeline_web::paper;

/// A current sweep with two repeats, made up: 40 mT over 5.0 cm, read to 0.01 g.
const SWEEP: &str = "I / A\tm1 / g\tm2 / g\n0.50\t0.10\t0.11\n1.00\t0.20\t0.21\n1.50\t0.31\t0.30\n2.00\t0.41\t0.40\n\
                     2.50\t0.52\t0.50\n3.00\t0.61\t0.62\n3.50\t0.71\t0.72\n4.00\t0.82\t0.80\n";

/// The graph in these tests: any SVG will do.
const GRAPH: &str = "<svg viewBox=\"0 0 4 3\"><path d=\"M0 3L4 0\"/></svg>";

fn sweep() -> Job {
    Job {
        table: SWEEP.into(),
        apparatus: Apparatus {
            length: "5.0 cm".into(),
            length_uncertainty: "0.1 cm".into(),
            ..Apparatus::default()
        },
        probe: Probe {
            reading: "39 mT".into(),
            uncertainty: "2 mT".into(),
        },
        ..Job::default()
    }
}

fn with(job: &Job, show: Show, uncertainty: UncertaintyWay) -> Job {
    Job {
        sheet: SheetChoice { show, uncertainty },
        ..job.clone()
    }
}

/// Every kind of sheet, by name.
fn jobs() -> Vec<(&'static str, Job)> {
    let sweep = sweep();
    let apparatus = || sweep.apparatus.clone();
    let both = UncertaintyWay::Both;
    vec![
        ("current-full", sweep.clone()),
        ("current-answers", with(&sweep, Show::Answers, both)),
        ("current-blank", with(&sweep, Show::Blank, both)),
        (
            "school-larger-distance",
            Job { worst_line_rule: WorstLineRule::LargerDistance, ..with(&sweep, Show::Full, UncertaintyWay::School) },
        ),
        ("standard-only", with(&sweep, Show::Full, UncertaintyWay::Standard)),
        (
            "check-value",
            Job {
                table: "I / A\tm / g\n0\t0.0000\n1\t0.1666\n2\t0.3332\n3\t0.4998\n4\t0.6664\n5\t0.8330\n".into(),
                apparatus: Apparatus { length: "5.0 cm".into(), ..Apparatus::default() },
                probe: Probe { reading: "32 mT".into(), ..Probe::default() },
                ..Job::default()
            },
        ),
        (
            "milliamps-lever-wires-angle",
            Job {
                table: "I / mA\tm / mg\n250\t52\n500\t101\n750\t155\n1000\t204\n1250\t250\n1500\t306\n".into(),
                apparatus: Apparatus {
                    length: "24 mm".into(),
                    wires: "3".into(),
                    angle: "60°".into(),
                    gravity: "9.79 m/s²".into(),
                    lever_ratio: "1.25".into(),
                    balance_resolution: "1 mg".into(),
                    ..Apparatus::default()
                },
                ..Job::default()
            },
        ),
        (
            "force-in-millinewton-reversed",
            Job {
                table: "I / A\tF / mN\n-3.0\t6.1\n-2.0\t4.0\n-1.0\t2.1\n1.0\t-1.9\n2.0\t-4.1\n3.0\t-6.0\n".into(),
                apparatus: apparatus(),
                ..Job::default()
            },
        ),
        (
            "several-lengths",
            Job {
                table: "I / A\tm (20 mm) / g\tm (40 mm) / g\n1.0\t0.08\t0.16\n2.0\t0.16\t0.33\n3.0\t0.25\t0.48\n4.0\t\
                        0.32\t0.66\n5.0\t0.41\t0.81\n"
                    .into(),
                ..Job::default()
            },
        ),
        (
            "drift-between-zeros",
            Job {
                table: "t / min\tI / A\tm / g\n0\t0.00\t0.00\n1\t2.00\t1.22\n2\t0.00\t0.05\n3\t4.00\t2.45\n4\t0.00\t\
                        0.08\n5\t3.00\t1.91\n6\t0.00\t0.12\n7\t1.00\t0.74\n8\t0.00\t0.15\n"
                    .into(),
                apparatus: apparatus(),
                ..Job::default()
            },
        ),
        (
            "walk-scales-angle-and-simulation",
            Job {
                apparatus: Apparatus {
                    angle: "90 ± 5°".into(),
                    balance_calibration: "0.5 %".into(),
                    current_calibration: "1 %".into(),
                    ..sweep.apparatus.clone()
                },
                walk: Walk {
                    table: "x / mm\tB / mT\n-40\t0.4\n-30\t3.1\n-25\t14.2\n-20\t27.0\n-10\t31.8\n0\t32.6\n10\t31.9\n20\t\
                            27.3\n25\t14.8\n30\t3.0\n40\t0.5\n"
                        .into(),
                    use_length: true,
                },
                monte_carlo: MonteCarlo {
                    trials: 100_000,
                    seed: 1,
                },
                ..sweep.clone()
            },
        ),
        (
            "wires-together",
            Job {
                table: "N\tI / A\tm / g\n1\t1.0\t0.20\n1\t2.0\t0.41\n1\t3.0\t0.61\n1\t4.0\t0.82\n2\t1.0\t0.41\n2\t2.0\t\
                        0.81\n2\t3.0\t1.23\n2\t4.0\t1.63\n"
                    .into(),
                apparatus: apparatus(),
                ..Job::default()
            },
        ),
        (
            "length-varied",
            Job {
                table: "L / cm\tm / g\n1.0\t0.12\n2.0\t0.25\n3.0\t0.36\n4.0\t0.49\n5.0\t0.61\n6.0\t0.73\n".into(),
                varied: Varied::Length,
                fixed_current: "3.00 A".into(),
                ..Job::default()
            },
        ),
        (
            "angle-varied",
            Job {
                table: "angle / °\tm / g\n0\t0.00\n15\t0.16\n30\t0.30\n45\t0.43\n60\t0.53\n75\t0.58\n90\t0.61\n".into(),
                apparatus: apparatus(),
                varied: Varied::Angle,
                fixed_current: "3.00 A".into(),
                ..Job::default()
            },
        ),
        (
            "product",
            Job {
                table: "I / A\tN\tm / g\n1.0\t1\t0.20\n2.0\t1\t0.41\n3.0\t1\t0.61\n1.0\t2\t0.40\n2.0\t2\t0.82\n3.0\t2\t1.23\n"
                    .into(),
                apparatus: apparatus(),
                varied: Varied::Product,
                ..Job::default()
            },
        ),
        (
            "no-line-meets-every-bar",
            Job {
                table: "I / A\tm / g\n1.0\t0.20\n2.0\t0.41\n3.0\t0.55\n4.0\t0.83\n5.0\t1.02\n6.0\t1.22\n".into(),
                exclude: vec![6],
                reasons: BTreeMap::from([(6, "the wire touched the yoke".to_owned())]),
                ..sweep.clone()
            },
        ),
        (
            "untared",
            Job {
                table: "I / A\treading / g\n0.0\t152.31\n1.0\t152.51\n2.0\t152.72\n3.0\t152.92\n4.0\t153.13\n".into(),
                probe: Probe::default(),
                ..sweep.clone()
            },
        ),
        ("through-origin", Job { fit: Fit::ThroughOrigin, ..sweep.clone() }),
        (
            "weighted",
            Job {
                table: "I / A\tm / g\t± / g\n1.0\t0.20\t0.01\n2.0\t0.42\t0.02\n3.0\t0.60\t0.02\n4.0\t0.83\t0.03\n".into(),
                fit: Fit::Weighted,
                ..sweep.clone()
            },
        ),
        ("two-points", Job { table: "I / A\tm / g\n1.0\t0.20\n3.0\t0.61\n".into(), ..sweep.clone() }),
        ("one-current", Job { table: "I / A\tm / g\n2.0\t0.20\n2.0\t0.21\n2.0\t0.19\n".into(), ..sweep.clone() }),
        (
            "answer-in-tesla",
            Job {
                table: "I / A\tm / g\n1.0\t2.43\n2.0\t4.88\n3.0\t7.30\n4.0\t9.75\n5.0\t12.19\n".into(),
                probe: Probe { reading: "0.47 T".into(), uncertainty: "0.02 T".into() },
                ..sweep.clone()
            },
        ),
        ("no-length", Job { table: SWEEP.into(), ..Job::default() }),
        ("nothing", Job::default()),
    ]
}

fn sheet(job: &Job) -> Sheet {
    work(job).sheet()
}

#[test]
fn sheets_read_as_they_did() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("snapshots/sheet");
    let rewrite = std::env::var_os("YOKELINE_REWRITE").is_some();
    let mut changed = Vec::new();
    for (name, job) in jobs() {
        let file = folder.join(format!("{name}.txt"));
        let text = sheet(&job).to_text();
        if rewrite {
            std::fs::write(&file, &text).unwrap();
        } else if std::fs::read_to_string(&file).unwrap_or_default() != text {
            changed.push(format!("{name} now reads:\n{text}"));
        }
    }
    assert!(changed.is_empty(), "{}", changed.join("\n"));
}

/// The page shows the same cautions, word for word.
#[test]
fn page_and_sheet_give_the_same_cautions() {
    let page = include_str!("../../index.html");
    let page: Vec<&str> = page.split_whitespace().collect();
    let page = page.join(" ").replace('’', "'");
    let sheet = work(&sweep()).sheet();
    let cautions = sheet.sections.iter().find(|s| s.topic == Topic::Cautions);
    let [Block::List(sentences)] = &cautions.unwrap().blocks[..] else {
        panic!("cautions stand in a list");
    };
    for sentence in sentences {
        assert!(page.contains(&format!("<li>{sentence}</li>")), "{sentence}");
    }
    let from = page.find("id=\"cautions\"").unwrap();
    let list = &page[from..from + page[from..].find("</ul>").unwrap()];
    assert_eq!(list.matches("<li>").count(), sentences.len());
}

#[test]
fn every_sheet_has_its_cautions_and_defers_to_those_responsible() {
    for (name, job) in jobs() {
        let sheet = sheet(&job);
        let cautions = sheet.sections.iter().find(|s| s.topic == Topic::Cautions);
        let [Block::List(sentences)] = &cautions.unwrap().blocks[..] else {
            panic!("{name}")
        };
        assert!(
            sentences
                .iter()
                .any(|s| s.contains("risk assessment") && s.contains("teacher or technician"))
        );
    }
}

#[test]
fn the_page_runs_nothing_and_fetches_nothing() {
    for (name, job) in jobs() {
        let page = paper::html(&sheet(&job), GRAPH);
        assert!(
            page.starts_with("<!DOCTYPE html><html lang=\"en-GB\">"),
            "{name}"
        );
        assert!(
            page.contains(
                "content=\"default-src 'none'; style-src 'unsafe-inline'; img-src data:;"
            ),
            "{name}"
        );
        for forbidden in ["<script", "javascript:", "src=", "href=", "@import", "url("] {
            assert!(!page.contains(forbidden), "{name} has {forbidden}");
        }
    }
}

#[test]
fn markup_in_anything_typed_is_shown_as_text() {
    let evil = "<script>alert(1)</script><img src=x onerror=alert(2)>";
    let job = Job {
        title: evil.into(),
        table: format!(
            "I / A\tm / g\t{evil}\n1.0\t0.20\t\"a & b\"\n2.0\t0.41\t{evil}\n3.0\t0.60\t\n"
        ),
        exclude: vec![2],
        reasons: BTreeMap::from([(2, evil.to_owned())]),
        ..sweep()
    };
    for show in [Show::Full, Show::Answers, Show::Blank] {
        let page = paper::html(&sheet(&with(&job, show, UncertaintyWay::Both)), GRAPH);
        assert!(
            !page.contains("<script") && !page.contains("<img"),
            "{show:?}"
        );
        assert!(
            page.contains("&lt;script&gt;alert(1)&lt;/script&gt;"),
            "{show:?}"
        );
    }
}

#[test]
fn the_blank_sheet_holds_no_answer_anywhere() {
    let job = Job {
        exclude: vec![2],
        ..sweep()
    };
    let working = work(&job);
    let analysis = working.analysis();
    let found = analysis.flux_density.clone().unwrap();
    let page = paper::html(
        &sheet(&with(&job, Show::Blank, UncertaintyWay::Both)),
        GRAPH,
    );
    // The graph with its line would be an answer too.
    assert!(!page.contains(GRAPH));
    assert!(!page.contains("left out"));
    let line = analysis.best_line.unwrap();
    let figures = |value: f64| {
        format!("{value:e}")
            .chars()
            .filter(char::is_ascii_digit)
            .take(3)
            .collect::<String>()
    };
    let digits: String = page.chars().filter(|c| *c != '.').collect();
    let text = digits
        .split("</style>")
        .nth(1)
        .unwrap()
        .replace(char::is_whitespace, "");
    for value in [found.tesla, line.gradient] {
        assert!(!text.contains(&figures(value)), "{value}");
    }
    // The check has teeth: the full sheet fails it.
    let full = paper::html(&sheet(&job), GRAPH).replace('.', "");
    assert!(full.contains(&figures(found.tesla)) && full.contains(&figures(line.gradient)));
}

#[test]
fn cells_stand_exactly_as_typed() {
    let job = Job {
        table: "I / A\tm / g\n0.50\t0.100\n1.00\t0.20\n1,50\t0.30\n2\t0.4\n".into(),
        ..sweep()
    };
    let text = sheet(&job).to_text();
    for row in [
        "1 | 0.50 | 0.100",
        "2 | 1.00 | 0.20",
        "3 | 1,50 | 0.30",
        "4 | 2 | 0.4",
    ] {
        assert!(text.contains(&format!("\n{row}\n")), "{row}\n{text}");
    }
}

#[test]
fn long_tables_are_cut_and_that_is_said() {
    let rows: String = (1..=5000)
        .map(|i| format!("{}\t{}\n", i as f64 / 100.0, i as f64 / 500.0))
        .collect();
    let job = Job {
        table: format!("I / A\tm / g\n{rows}"),
        ..sweep()
    };
    for show in [Show::Full, Show::Blank] {
        let page = paper::html(&sheet(&with(&job, show, UncertaintyWay::Both)), GRAPH);
        assert!(
            page.contains("The first 200 of 5000 rows are printed"),
            "{show:?}"
        );
        assert!(page.len() < 300_000, "{show:?}: {} bytes", page.len());
    }
}

/// The number that a term without letters comes to; its units are left to the reader.
fn value(term: &Term) -> Option<f64> {
    let all = |terms: &[Term]| terms.iter().map(value).collect::<Option<Vec<f64>>>();
    let number = |text: &str| {
        let (mantissa, power) = text
            .split_once('×')
            .unwrap_or(match text.strip_prefix("10") {
                Some(raised) if raised.starts_with(['⁻', '¹', '²', '³']) => ("1", text),
                _ => (text, "10⁰"),
            });
        let exponent: String = power
            .strip_prefix("10")?
            .chars()
            .filter_map(|c| {
                if c == '⁻' {
                    Some('-')
                } else {
                    "⁰¹²³⁴⁵⁶⁷⁸⁹"
                        .chars()
                        .zip('0'..='9')
                        .find(|p| p.0 == c)
                        .map(|p| p.1)
                }
            })
            .collect();
        Some(mantissa.replace('−', "-").parse::<f64>().ok()? * 10_f64.powi(exponent.parse().ok()?))
    };
    Some(match term {
        Term::Number(text) => number(text)?,
        Term::Measure { number: text, .. } => number(text)?,
        Term::Product(terms) | Term::Times(terms) => all(terms)?.iter().product(),
        Term::Sum(terms) => all(terms)?.iter().sum(),
        Term::Quotient(above, below) => value(above)? / value(below)?,
        Term::Difference(from, taken) => value(from)? - value(taken)?,
        Term::Squared(base) => value(base)?.powi(2),
        Term::Root(under) => value(under)?.sqrt(),
        Term::Sine(angle) => value(angle)?.to_radians().sin(),
        Term::Size(inner) => value(inner)?.abs(),
        Term::Bracket(inner) => value(inner)?,
        _ => return None,
    })
}

/// Half a unit of the last place written, 0 for what is not one plain number.
fn half_of_last_place(term: &Term) -> f64 {
    match term {
        Term::Number(text) | Term::Measure { number: text, .. } if !text.contains('×') => {
            let places = text
                .split_once('.')
                .map_or(0, |(_, fraction)| fraction.len());
            0.5 * 10_f64.powi(-(places as i32))
        }
        _ => 0.0,
    }
}

#[test]
fn a_reader_with_a_calculator_finds_every_equals_sign_true() {
    let mut checked = 0;
    for (name, job) in jobs() {
        let sheet = sheet(&job);
        let steps = sheet
            .sections
            .iter()
            .flat_map(|s| &s.blocks)
            .filter_map(|block| match block {
                Block::Step(step) => Some(&step.lines),
                _ => None,
            });
        for formula in steps.flatten() {
            let equal = formula
                .then
                .iter()
                .filter(|(relation, _)| *relation == Relation::Equals)
                .map(|(_, side)| side);
            let sides: Vec<&Term> = std::iter::once(&formula.left).chain(equal).collect();
            for pair in sides.windows(2) {
                let (Some(one), Some(other)) = (value(pair[0]), value(pair[1])) else {
                    continue;
                };
                // What is left of two nearly equal numbers has fewer figures than they have.
                let lost = |term: &Term| match term {
                    Term::Difference(from, _) => value(from).unwrap_or(0.0).abs(),
                    _ => 0.0,
                };
                let slack =
                    0.006 * other.abs() + 2e-4 * lost(pair[0]) + half_of_last_place(pair[1]);
                // A change of unit moves the point.
                let agrees = (-9..=9).any(|n| (one * 10_f64.powi(n) - other).abs() <= slack);
                assert!(
                    agrees,
                    "{name}: {one} is not {other} in {}",
                    formula.plain()
                );
                checked += 1;
            }
        }
    }
    assert!(
        checked > 150,
        "only {checked} pairs had numbers on both sides"
    );
}

#[test]
fn the_value_read_off_a_formula_is_that_of_a_calculator() {
    let number = |text: &str| Term::Number(text.to_owned());
    let formula = Formula::equal(
        Term::Quotient(
            Box::new(number("−2.5×10⁻³")),
            Box::new(Term::Sine(Box::new(number("30")))),
        ),
        Term::Times(vec![number("−5"), number("10⁻³")]),
    );
    assert!((value(&formula.left).unwrap() + 0.005).abs() < 1e-15);
    assert!((value(&formula.then[0].1).unwrap() + 0.005).abs() < 1e-15);
    assert_eq!(formula.plain(), "−2.5×10⁻³ / sin 30 = −5 × 10⁻³");
}

#[test]
fn every_table_is_as_wide_as_its_headings() {
    for (name, job) in jobs() {
        for block in sheet(&job).sections.iter().flat_map(|s| &s.blocks) {
            if let Block::Table(table) = block {
                assert!(
                    table
                        .rows
                        .iter()
                        .all(|row| row.len() == table.headings.len()),
                    "{name}: {}",
                    table.caption
                );
            }
        }
    }
}

#[test]
fn elements_are_closed() {
    for (name, job) in jobs() {
        let page = paper::html(&sheet(&job), GRAPH);
        let mut open: Vec<&str> = Vec::new();
        for tag in page
            .split('<')
            .skip(2)
            .filter_map(|rest| rest.split('>').next())
        {
            let element = tag.split([' ', '/']).next().unwrap_or("");
            match tag.strip_prefix('/') {
                Some(closed) => assert_eq!(open.pop(), Some(closed), "{name}"),
                None if tag.ends_with('/') || element == "meta" => {}
                None => open.push(element),
            }
        }
        assert!(open.is_empty(), "{name}: {open:?}");
    }
}
