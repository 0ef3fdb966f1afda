//! How long the way from a pasted table to everything that is said of it takes, whole and stage by stage.
//!
//! `cargo xtask bench` runs this and puts the numbers beside their budgets. Start at [`whole`]: the tables are made
//! by [`table_of`] and hold no chance, so that two runs measure the same work.

use std::fmt::Write;
use std::hint::black_box;
use std::time::Duration;

use criterion::{Criterion, criterion_group, criterion_main};
use yokeline_core::findings::{self, FamilySeen, Seen};
use yokeline_core::job::{Apparatus, Job, Working, analyse, work};
use yokeline_core::line::extreme::{self, Bars};
use yokeline_core::line::{Datum, least_squares};
use yokeline_core::readings::points::{self, Request};
use yokeline_core::table::{self, Choices};

/// What is pasted at most.
const MANY: usize = 100_000;

criterion_group! {
    name = benches;
    // Enough for a budget to be judged by, and soon over.
    config = Criterion::default()
        .sample_size(20)
        .warm_up_time(Duration::from_millis(500))
        .measurement_time(Duration::from_secs(2))
        .without_plots();
    targets = whole, stages
}
criterion_main!(benches);

/// The whole way for tables of several kinds and sizes.
fn whole(criterion: &mut Criterion) {
    let kinds = [
        ("15 rows", table_of(15, Kind::Plain)),
        ("15 rows, 3 repeats", table_of(15, Kind::Repeats)),
        ("15 rows, 3 series", table_of(15, Kind::Series)),
        ("1000 rows", table_of(1_000, Kind::Plain)),
        ("10000 rows", table_of(10_000, Kind::Plain)),
        ("100000 rows", table_of(MANY, Kind::Plain)),
        ("100000 rows, no line", table_of(MANY, Kind::Wild)),
    ];
    for (name, table) in kinds {
        let job = job_of(table);
        criterion.bench_function(&format!("analyse {name}"), |bencher| {
            bencher.iter(|| analyse(black_box(&job)));
        });
    }
}

/// The stages one by one, for the largest table.
fn stages(criterion: &mut Criterion) {
    for (of, kind) in [("", Kind::Plain), (", no line", Kind::Wild)] {
        let worked = work(&job_of(table_of(MANY, kind)));
        let Some(series) = worked.series.first() else {
            continue;
        };
        let data: &[Datum] = &series.data;
        let mut stage = |name: &str, run: &mut dyn FnMut()| {
            criterion.bench_function(&format!("stage {name}{of}"), |bencher| {
                bencher.iter(&mut *run);
            });
        };
        if kind == Kind::Plain {
            let text = &worked.job.table;
            stage("table::read", &mut || {
                black_box(table::read(black_box(text), &Choices::default()));
            });
            let request = Request {
                table: &worked.table,
                setup: &worked.setup,
                varied: worked.readings.varied,
                exclude: &[],
            };
            stage("points::gather", &mut || {
                black_box(points::gather(black_box(&request)));
            });
            stage("least_squares::fit", &mut || {
                let _ = black_box(least_squares::fit(black_box(data)));
            });
        } else {
            stage("extreme::smallest_half_width", &mut || {
                black_box(extreme::smallest_half_width(black_box(data)));
            });
        }
        stage("extreme::lines", &mut || {
            let _ = black_box(extreme::lines(black_box(data), Bars::Vertical));
        });
        stage("findings::look", &mut || {
            look(black_box(&worked), black_box(data))
        });
    }
}

fn look(worked: &Working, data: &[Datum]) {
    let families: Vec<FamilySeen> = worked
        .series
        .iter()
        .map(|series| FamilySeen {
            joinable: None,
            points: &series.points,
            data,
            fitted: series.best.as_ref().ok(),
            blocked: series
                .smallest_half_width
                .map(|half_width| (&series.suspects[..], half_width)),
            zero_watched: false,
            flux_density: None,
        })
        .collect();
    black_box(findings::look(&Seen {
        readings: &worked.readings,
        families: &families,
        joint: None,
        force_over_mass: None,
        expected_force_over_mass: 9.81,
    }));
}

fn job_of(table: String) -> Job {
    Job {
        table,
        apparatus: Apparatus {
            length: "5.0 cm".into(),
            length_uncertainty: "1 mm".into(),
            ..Apparatus::default()
        },
        ..Job::default()
    }
}

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    /// One reading a row, and a line through every bar.
    Plain,
    /// Three repeats a row.
    Repeats,
    /// Three wires, a column of readings for each.
    Series,
    /// One reading a row that strays by more than its bar, so that no line meets them all.
    Wild,
}

/// A table of that many rows. Its readings stray from the line by a pattern that looks irregular and is not random.
fn table_of(rows: usize, kind: Kind) -> String {
    let mut text = String::from(match kind {
        Kind::Plain | Kind::Wild => "I / A\tm / g\n",
        Kind::Repeats => "I / A\tm1 / g\tm2 / g\tm3 / g\n",
        Kind::Series => "I / A\tm / g (1 wire)\tm / g (2 wires)\tm / g (3 wires)\n",
    });
    let columns = match kind {
        Kind::Plain | Kind::Wild => 1,
        Kind::Repeats | Kind::Series => 3,
    };
    let strays = if kind == Kind::Wild { 0.05 } else { 0.005 };
    for row in 0..rows {
        let current = ((row + 1) as f64 * 7.5 / rows as f64 * 1000.0).round() / 1000.0;
        let _ = write!(text, "{current:.3}");
        for column in 0..columns {
            let wires = if kind == Kind::Series { column + 1 } else { 1 };
            let stray = ((row * 7919 + column * 31) % 101) as f64 / 50.0 - 1.0;
            let reading = 0.333 * current * wires as f64 + strays * stray;
            let _ = write!(text, "\t{reading:.2}");
        }
        text.push('\n');
    }
    text
}
