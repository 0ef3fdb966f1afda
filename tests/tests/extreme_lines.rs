//! The steepest and shallowest lines against an enumeration of every candidate, and against worked values.

use yokeline_core::line::extreme::{Bars, Stopped, lines, smallest_half_width, suspects};
use yokeline_core::line::{Datum, Line};
use yokeline_tests::close;

/// A small generator of its own (SplitMix64, S. Vigna, public domain), so that a failing set can be made again.
struct Random(u64);

impl Random {
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E3779B97F4A7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58476D1CE4E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D049BB133111EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }
}

/// Corners of the boxes that a line can rest on: lower and upper ends at both sides.
fn corners(d: &Datum, bars: Bars) -> Vec<(f64, f64)> {
    let w = if bars == Bars::Boxes { d.bar_x } else { 0.0 };
    let mut found = Vec::new();
    for x in [d.x - w, d.x + w] {
        for y in [d.y - d.bar_y, d.y + d.bar_y] {
            found.push((x, y));
        }
    }
    found
}

fn meets(line: &Line, d: &Datum, bars: Bars, slack: f64) -> bool {
    let w = if bars == Bars::Boxes { d.bar_x } else { 0.0 };
    (d.y - line.at(d.x)).abs() <= d.bar_y + line.gradient.abs() * w + slack
}

/// Gradients of all lines through two corners that meet every bar: the extreme ones are among them.
fn by_enumeration(data: &[Datum], bars: Bars) -> Option<(f64, f64)> {
    let mut found: Option<(f64, f64)> = None;
    for (i, a) in data.iter().enumerate() {
        for b in &data[i + 1..] {
            for (x1, y1) in corners(a, bars) {
                for (x2, y2) in corners(b, bars) {
                    if x1 == x2 {
                        continue;
                    }
                    let gradient = (y2 - y1) / (x2 - x1);
                    let line = Line {
                        gradient,
                        intercept: y1 - gradient * x1,
                    };
                    if data.iter().all(|d| meets(&line, d, bars, 1e-10)) {
                        let (low, high) = found.unwrap_or((gradient, gradient));
                        found = Some((low.min(gradient), high.max(gradient)));
                    }
                }
            }
        }
    }
    found
}

fn random_set(random: &mut Random, boxes: bool) -> Vec<Datum> {
    let n = 2 + (random.unit() * 9.0) as usize;
    let gradient = 4.0 * random.unit() - 2.0;
    let offset = 100.0 * random.unit();
    let noise = random.unit();
    (0..n)
        .map(|k| {
            let x = k as f64 + 0.6 * random.unit();
            Datum {
                x,
                y: offset + gradient * x + noise * (2.0 * random.unit() - 1.0),
                bar_x: if boxes { 0.2 * random.unit() } else { 0.0 },
                bar_y: 0.1 + 0.6 * random.unit(),
                ..Datum::default()
            }
        })
        .collect()
}

#[test]
fn agree_with_enumeration_on_ten_thousand_sets() {
    for (bars, seed) in [(Bars::Vertical, 1), (Bars::Boxes, 2)] {
        let (mut feasible, mut blocked) = (0, 0);
        let mut random = Random(seed);
        for trial in 0..5000 {
            let data = random_set(&mut random, bars == Bars::Boxes);
            match (lines(&data, bars), by_enumeration(&data, bars)) {
                (Ok(found), Some((low, high))) => {
                    feasible += 1;
                    let (a, b) = (found.shallowest.gradient, found.steepest.gradient);
                    assert!(
                        (a.min(b) - low).abs() < 1e-8,
                        "{trial}: {} against {low}",
                        a.min(b)
                    );
                    assert!(
                        (a.max(b) - high).abs() < 1e-8,
                        "{trial}: {} against {high}",
                        a.max(b)
                    );
                    for line in [found.shallowest, found.steepest] {
                        assert!(data.iter().all(|d| meets(&line, d, bars, 1e-8)), "{trial}");
                    }
                }
                (Err(Stopped::Blocked { together }), None) => {
                    blocked += 1;
                    let rest: Vec<Datum> = together.iter().map(|i| data[*i]).collect();
                    assert!(
                        by_enumeration(&rest, bars).is_none(),
                        "{trial}: {together:?} can be met together"
                    );
                }
                (found, expected) => panic!("{trial}: {found:?} against {expected:?} for {data:?}"),
            }
        }
        assert!(
            feasible > 1000 && blocked > 1000,
            "{bars:?}: {feasible} feasible, {blocked} blocked"
        );
    }
}

#[test]
fn suspects_are_the_smallest_set_that_frees_a_line() {
    let mut random = Random(3);
    let mut checked = 0;
    while checked < 300 {
        let data = random_set(&mut random, false);
        if !matches!(lines(&data, Bars::Vertical), Err(Stopped::Blocked { .. })) {
            continue;
        }
        checked += 1;
        let found = suspects(&data, Bars::Vertical, 3);
        let without = |gone: &[usize]| -> Vec<Datum> {
            data.iter()
                .enumerate()
                .filter(|(i, _)| !gone.contains(i))
                .map(|(_, d)| *d)
                .collect()
        };
        let frees = |gone: &[usize]| by_enumeration(&without(gone), Bars::Vertical).is_some();
        let n = data.len();
        let single = (0..n).any(|i| frees(&[i]));
        let pair = (0..n).any(|i| (0..i).any(|j| frees(&[j, i])));
        match found.len() {
            1 => assert!(frees(&found)),
            2 => assert!(!single && frees(&found)),
            3 => assert!(!single && !pair && frees(&found)),
            _ => assert!(!single && !pair),
        }
    }
}

/// Readings of a 20 mm loop from a lecture demonstration (TU Munich, av.ph.nat.tum.de, page on the current balance; the
/// third and fourth current taken as 3 A and 4 A). Bars invented for the check; extreme gradients by an independent
/// linear programme (SciPy, HiGHS).
#[test]
fn worked_bars_and_boxes() {
    let set = |bar_x: f64, bar_y: f64| -> Vec<Datum> {
        [
            (1.0, 0.18),
            (2.0, 0.37),
            (3.0, 0.56),
            (4.0, 0.79),
            (5.0, 0.93),
        ]
        .map(|(x, y)| Datum {
            x,
            y,
            bar_x,
            bar_y,
            ..Datum::default()
        })
        .to_vec()
    };
    let vertical = lines(&set(0.05, 0.03), Bars::Vertical).unwrap();
    close("steepest", vertical.steepest.gradient, 0.2, 1e-10);
    close("its intercept", vertical.steepest.intercept, -0.04, 1e-9);
    close(
        "shallowest",
        vertical.shallowest.gradient,
        0.183333333333,
        1e-10,
    );
    close(
        "its intercept",
        vertical.shallowest.intercept,
        0.0266666666667,
        1e-9,
    );
    let boxes = lines(&set(0.05, 0.03), Bars::Boxes).unwrap();
    close("steepest", boxes.steepest.gradient, 0.207692307692, 1e-10);
    close(
        "shallowest",
        boxes.shallowest.gradient,
        0.177419354839,
        1e-10,
    );
    assert!(matches!(
        lines(&set(0.05, 0.01), Bars::Vertical),
        Err(Stopped::Blocked { .. })
    ));
}

/// Readings of a first-year report (studylib.net/doc/26230055) of an untared balance; smallest common half-width and
/// gradients by an independent linear programme (SciPy, HiGHS).
#[test]
fn no_line_meets_all_bars() {
    let m = [
        164.98, 165.24, 165.55, 165.9, 166.2, 166.52, 166.81, 167.06, 167.38, 167.71, 168.01,
    ];
    let set = |bar_y: f64| -> Vec<Datum> {
        m.iter()
            .enumerate()
            .map(|(k, y)| Datum {
                x: 0.5 * k as f64,
                y: *y,
                bar_y,
                ..Datum::default()
            })
            .collect()
    };
    for bar in [0.02, 0.03] {
        assert!(matches!(
            lines(&set(bar), Bars::Vertical),
            Err(Stopped::Blocked { .. })
        ));
    }
    close(
        "smallest half-width",
        smallest_half_width(&set(0.0)).unwrap(),
        0.0333333333333,
        1e-9,
    );
    let found = lines(&set(0.04), Bars::Vertical).unwrap();
    close("steepest", found.steepest.gradient, 0.617142857143, 1e-9);
    close("its intercept", found.steepest.intercept, 164.94, 1e-9);
    close("shallowest", found.shallowest.gradient, 0.6, 1e-9);
    // A bar of exactly the smallest half-width lets one line through.
    let only = lines(&set(1.0 / 30.0 + 1e-12), Bars::Vertical).unwrap();
    close("one line", only.half_difference(), 0.0, 1e-6);
}

#[test]
fn edges() {
    let bar = |x: f64, y: f64, bar_x: f64| Datum {
        x,
        y,
        bar_x,
        bar_y: 0.1,
        ..Datum::default()
    };
    assert_eq!(lines(&[], Bars::Vertical), Err(Stopped::TooFew));
    assert_eq!(
        lines(&[bar(1.0, 1.0, 0.0)], Bars::Vertical),
        Err(Stopped::TooFew)
    );
    assert_eq!(
        lines(&[bar(1.0, 1.0, 0.0), bar(1.0, 2.0, 0.0)], Bars::Vertical),
        Err(Stopped::Unbounded)
    );
    // Boxes that overlap in x are met by lines as steep as one likes.
    assert_eq!(
        lines(&[bar(1.0, 1.0, 0.6), bar(2.0, 2.0, 0.6)], Bars::Boxes),
        Err(Stopped::Unbounded)
    );
    // Level readings: the two lines lie either side of level.
    let level = lines(&[bar(0.0, 5.0, 0.0), bar(1.0, 5.0, 0.0)], Bars::Vertical).unwrap();
    close("steepest", level.steepest.gradient.abs(), 0.2, 1e-12);
    close(
        "sum",
        level.steepest.gradient + level.shallowest.gradient,
        0.0,
        1e-12,
    );
    // Falling readings: steepest is the most negative.
    let falling = lines(&[bar(0.0, 0.0, 0.0), bar(1.0, -1.0, 0.0)], Bars::Vertical).unwrap();
    close("steepest", falling.steepest.gradient, -1.2, 1e-12);
    close("shallowest", falling.shallowest.gradient, -0.8, 1e-12);
}
