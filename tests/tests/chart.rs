//! The graph, from an analysis to what is drawn and what is said: scales, lines, marks, words and markup.

#[path = "chart/data.rs"]
mod data;

use data::{CALM, analysis, three_lengths};
use yokeline_core::job::output::{Analysis, Family, Point};
use yokeline_core::job::{Job, analyse};
use yokeline_tests::data as data_file;
use yokeline_web::chart::describe::{MOST_ROWS, describe, in_full, in_short, point_text, table};
use yokeline_web::chart::scene::{Kind, Line, LineKind, MOST_POINTS_DRAWN};
use yokeline_web::chart::svg::svg;
use yokeline_web::chart::ticks::Zero;
use yokeline_web::chart::{GraphChoice, Scene, Theme};
use yokeline_web::page::example;

fn graph(analysis: &Analysis) -> Scene {
    Scene::graph(analysis, &GraphChoice::default())
}

fn line(scene: &Scene, kind: LineKind) -> &Line {
    scene
        .lines
        .iter()
        .find(|line| line.kind == kind)
        .expect("the line is on the graph")
}

#[test]
fn axes_lines_and_equation_of_a_calm_run() {
    let scene = graph(&analysis(&CALM, 0.0, 0.01, &[]));
    assert_eq!(
        (scene.x.heading.as_str(), scene.y.heading.as_str()),
        ("I / A", "m / g")
    );
    assert_eq!(scene.title, "Balance reading m against current I");
    assert_eq!(scene.equations, ["m = (0.1651 g/A) I + 0.0060 g"]);
    assert_eq!(
        (scene.x.scale.zero, scene.y.scale.zero),
        (Zero::Shown, Zero::Shown)
    );
    assert!(
        scene
            .remarks
            .contains(&"Both scales show zero, so the origin is on the graph.".to_owned())
    );

    // The best line runs over the whole of the current axis, and the extreme lines lie on its two sides at the end.
    let ends = |kind| (line(&scene, kind).from, line(&scene, kind).to);
    let (from, to) = ends(LineKind::Best);
    assert_eq!((from.0, to.0), (scene.x.scale.min, scene.x.scale.max));
    let at_end = |kind| {
        let (from, to) = ends(kind);
        from.1 + (to.1 - from.1) * (3.0 - from.0) / (to.0 - from.0)
    };
    assert!(
        at_end(LineKind::Shallowest) < at_end(LineKind::Best)
            && at_end(LineKind::Best) < at_end(LineKind::Steepest)
    );
    let corners = scene.triangle.as_ref().expect("a triangle");
    assert_eq!(corners.labels, ["(0.50 A, 0.089 g)", "(3.00 A, 0.501 g)"]);
}

#[test]
fn what_is_not_wanted_is_not_there() {
    let calm = analysis(&CALM, 0.0, 0.01, &[]);
    let bare = GraphChoice {
        bars: false,
        worst_lines: false,
        triangle: false,
        key: false,
        ..GraphChoice::default()
    };
    let scene = Scene::graph(&calm, &bare);
    assert!(scene.lines.iter().all(|line| line.kind == LineKind::Best));
    assert!(!scene.bars && scene.triangle.is_none() && !scene.key_drawn);
    let origin = Scene::graph(
        &calm,
        &GraphChoice {
            through_origin: true,
            ..bare
        },
    );
    assert_eq!(line(&origin, LineKind::ThroughOrigin).from, (0.0, 0.0));
}

#[test]
fn blank_paper_gives_nothing_away() {
    let calm = analysis(&CALM, 0.0, 0.01, &[]);
    let scene = Scene::graph(
        &calm,
        &GraphChoice {
            blank: true,
            ..GraphChoice::default()
        },
    );
    assert_eq!(scene.kind, Kind::Paper);
    assert!(
        scene.points.is_empty()
            && scene.lines.is_empty()
            && scene.triangle.is_none()
            && scene.equations.is_empty()
    );
    assert!(scene.empty.is_none());
    let filled = graph(&calm);
    assert_eq!(scene.x.scale, filled.x.scale);
    assert!(!svg(&scene, 640, 420, Theme::Print).contains("0.1651"));
}

#[test]
fn an_untared_balance_leaves_zero_out_and_says_so() {
    let readings: Vec<_> = CALM
        .iter()
        .map(|(current, reading)| (*current, 164.0 + 8.0 * reading))
        .collect();
    let scene = graph(&analysis(&readings, 0.0, 0.01, &[]));
    assert_eq!(
        (scene.x.scale.zero, scene.y.scale.zero),
        (Zero::Shown, Zero::LeftOut)
    );
    let sentence = "The balance reading scale does not begin at zero: with zero in view, the points would not fill half of the axis.";
    assert!(
        scene.remarks.iter().any(|remark| remark == sentence),
        "{:?}",
        scene.remarks
    );
}

#[test]
fn points_that_stop_the_extreme_lines_are_named() {
    let mut readings = CALM;
    readings[3].1 = 0.40;
    let scene = graph(&analysis(&readings, 0.0, 0.01, &[]));
    assert!(scene.lines.iter().all(|line| line.kind == LineKind::Best));
    assert!(
        describe(&scene)
            .contains("No straight line passes through every error bar; without row 4 one would.")
    );
}

#[test]
fn an_excluded_point_stays_in_view_or_is_pointed_at() {
    let mut readings = CALM;
    readings[3].1 = 0.40;
    let near = graph(&analysis(&readings, 0.0, 0.01, &[4]));
    let held = |scene: &Scene| {
        scene
            .points
            .iter()
            .all(|mark| scene.window().holds((mark.x, mark.y)))
    };
    assert!(held(&near) && near.points.iter().filter(|mark| mark.excluded).count() == 1);

    readings[3].1 = 34.0;
    let far = analysis(&readings, 0.0, 0.01, &[4]);
    let scene = graph(&far);
    assert!(!held(&scene) && scene.y.scale.max < 1.0);
    assert!(describe(&scene).contains("Row 4 (left out of the line) lies beyond the frame"));
    // It can still be picked up, at the edge of the frame.
    let (x, y) = scene.position(3, 640.0, 420.0).expect("a place");
    assert_eq!(scene.nearest(x, y, 640.0, 420.0), Some(3));
    let strip = Scene::residuals(&far);
    assert!(strip.y.scale.max < 0.1);
}

#[test]
fn each_series_has_its_line_and_its_label() {
    let scene = graph(&three_lengths());
    assert_eq!(scene.series, ["20 mm", "40 mm", "60 mm"]);
    assert_eq!(
        scene
            .lines
            .iter()
            .map(|line| line.family)
            .collect::<Vec<_>>(),
        [0, 1, 2]
    );
    assert_eq!(scene.equations.len(), 3);
    assert!(scene.equations[1].starts_with("40 mm: m = (0.23"));
    let picture = svg(&scene, 640, 420, Theme::Light);
    for label in ["20 mm", "40 mm", "60 mm"] {
        // Once in the key and once at the end of the line; the description is the third.
        assert_eq!(
            picture.matches(&format!(">{label}</text>")).count(),
            2,
            "{label}"
        );
    }
}

#[test]
fn residuals_share_the_current_axis_and_are_symmetric() {
    let calm = analysis(&CALM, 0.0, 0.01, &[]);
    let (mut above, mut strip) = (graph(&calm), Scene::residuals(&calm));
    assert_eq!(above.x.scale, strip.x.scale);
    assert_eq!(strip.y.scale.min, -strip.y.scale.max);
    assert_eq!(strip.y.heading, "residual / g");
    above.line_up(&mut strip);
    let column = |scene: &Scene, height: f64| scene.position(2, 640.0, height).map(|(x, _)| x);
    assert_eq!(column(&above, 420.0), column(&strip, 140.0));
    assert!(column(&strip, 140.0).is_some());
}

#[test]
fn nothing_to_draw_is_said() {
    let nothing = Analysis {
        axes: data::axes(),
        ..Analysis::default()
    };
    for scene in [graph(&nothing), graph(&Analysis::default())] {
        assert_eq!(
            describe(&scene),
            "Nothing to draw yet: the readings in the table give no points."
        );
        assert_eq!(scene.nearest(300.0, 200.0, 640.0, 420.0), None);
        assert!(svg(&scene, 640, 420, Theme::Light).contains("Nothing to draw yet"));
    }
    assert_eq!(
        describe(&Scene::residuals(&nothing)),
        "Nothing to draw yet: residuals need a best line."
    );
    assert_eq!(point_text(&nothing, 0), "");
}

#[test]
fn one_point_and_equal_currents_are_drawn_without_a_line() {
    for readings in [vec![(1.0, 0.5)], vec![(1.0, 0.5), (1.0, 0.6), (1.0, 0.55)]] {
        let scene = graph(&analysis(&readings, 0.0, 0.01, &[]));
        assert!(scene.lines.is_empty() && scene.drawn.len() == readings.len());
        assert!(describe(&scene).contains("There is no line"));
    }
}

#[test]
fn a_point_is_read_out_with_its_units() {
    let calm = analysis(&CALM, 0.0, 0.01, &[2]);
    assert_eq!(
        point_text(&calm, 2),
        "Row 3: I = 1.50 A, m = 0.25 ± 0.01 g, 0.004 g below the line"
    );
    assert!(point_text(&calm, 1).ends_with("left out of the line"));
    let boxes = analysis(&CALM, 0.1, 0.01, &[]);
    assert!(point_text(&boxes, 0).starts_with("Row 1: I = 0.50 ± 0.10 A, m = 0.09 ± 0.01 g"));
    let exact = analysis(&[(1.0, 0.1), (2.0, 0.2)], 0.0, 0.01, &[]);
    assert!(point_text(&exact, 0).ends_with("on the line"));
    assert!(point_text(&three_lengths(), 7).starts_with("Row 8 (40 mm): I = 1.00 A"));
}

#[test]
fn the_description_and_its_table_hold_the_numbers() {
    let calm = analysis(&CALM, 0.0, 0.01, &[]);
    let scene = graph(&calm);
    assert_eq!(
        describe(&scene),
        "Graph of balance reading m against current I. 6 points, current from 0.50 A to 3.00 A, balance reading from \
         0.09 g to 0.50 g. Best line: gradient 0.1651 g/A, intercept 0.0060 g. Steepest line: gradient 0.1720 g/A. \
         Shallowest line: gradient 0.1560 g/A. The gradient triangle has its corners at (0.50 A, 0.089 g) and (3.00 A, \
         0.501 g). Both scales show zero, so the origin is on the graph."
    );
    let table = table(&scene, &calm);
    assert_eq!(table.rows.len(), 6);
    assert!(
        table
            .rows
            .iter()
            .all(|row| row.len() == table.headings.len())
    );
    assert_eq!(
        table.rows[5],
        [
            "6",
            "3.00 A",
            "0.50 ± 0.01 g",
            "0.001 g below the line",
            "yes"
        ]
    );
}

#[test]
fn thousands_of_points_are_thinned_out_and_it_is_said() {
    let readings: Vec<_> = (0..100_000_u32)
        .map(|n| (f64::from(n) * 3e-5, 0.17 * f64::from(n % 977) / 977.0))
        .collect();
    let mut many = analysis(&readings, 0.0, 0.01, &[]);
    // One point apart from the others must not vanish.
    many.points[500].y = 0.9e-3;
    let scene = graph(&many);
    assert!(scene.drawn.len() <= MOST_POINTS_DRAWN && scene.drawn.len() > 300);
    assert!(scene.drawn.contains(&500) && !scene.bars);
    assert!(describe(&scene).contains("of 100000 points are drawn, without error bars"));
    assert_eq!(
        (
            table(&scene, &many).rows.len(),
            table(&scene, &many).left_off
        ),
        (MOST_ROWS, 100_000 - MOST_ROWS)
    );
    assert!(svg(&scene, 640, 420, Theme::Light).len() < 300_000);
}

#[test]
fn no_value_however_odd_stops_the_drawing() {
    let odd = [
        f64::NAN,
        f64::INFINITY,
        f64::NEG_INFINITY,
        0.0,
        -0.0,
        1e-320,
        1e308,
        -1e308,
        1e99,
        1e-99,
        0.5,
    ];
    for x in odd {
        for y in odd {
            let mut analysis = analysis(&CALM, 0.0, 0.01, &[]);
            analysis.points.push(Point {
                x,
                y,
                u_x: Some(y),
                u_y: x,
                row: 7,
                residual: Some(y),
                ..Point::default()
            });
            if let Some(line) = &mut analysis.best_line {
                (line.gradient, line.intercept) = (x, y);
            }
            analysis.axes.y.unit_si = x;
            analysis.axes.x.decimals = i32::MAX;
            for scene in [graph(&analysis), Scene::residuals(&analysis)] {
                for (width, height) in [(640, 420), (340, 130), (1, 1), (0, 0), (125, 65)] {
                    let picture = svg(&scene, width, height, Theme::Dark);
                    assert!(
                        !picture.contains("NaN") && !picture.contains("inf"),
                        "{x}, {y}"
                    );
                    assert!(picture.ends_with("</svg>"));
                }
            }
            assert!(!point_text(&analysis, 6).is_empty());
        }
    }
}

#[test]
fn markup_in_what_was_typed_is_text() {
    let mut calm = analysis(&CALM, 0.0, 0.01, &[]);
    let typed = "</title><script>alert(1)</script>&\"'\u{1}";
    calm.axes.x.symbol = typed.to_owned();
    calm.axes.y.unit = typed.to_owned();
    calm.families.push(Family {
        label: typed.to_owned(),
        ..Family::default()
    });
    let choice = GraphChoice {
        title: typed.to_owned(),
        ..GraphChoice::default()
    };
    let picture = svg(&Scene::graph(&calm, &choice), 640, 420, Theme::Print);
    assert!(!picture.contains("<script") && !picture.contains('\u{1}'));
    assert!(picture.contains("&lt;script&gt;"));
    assert_eq!(picture.matches("</title>").count(), 1);
}

#[test]
fn the_picture_scales_and_is_named() {
    let picture = svg(
        &graph(&analysis(&CALM, 0.0, 0.01, &[])),
        640,
        420,
        Theme::Light,
    );
    let opening = "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"640\" height=\"420\" viewBox=\"0 0 6400 4200\"";
    assert!(
        picture.starts_with(opening),
        "{}",
        picture.get(..200).unwrap_or_default()
    );
    assert!(picture.contains("<title>Balance reading m against current I</title><desc>Graph of"));
    // A strict content policy stops style attributes.
    assert!(!picture.contains("style="));
}

#[test]
fn pointing_finds_the_nearest_point_and_nothing_far_away() {
    let scene = graph(&analysis(&CALM, 0.0, 0.01, &[]));
    for index in 0..CALM.len() {
        let (x, y) = scene.position(index, 340.0, 300.0).expect("a place");
        assert_eq!(scene.nearest(x + 3.0, y - 3.0, 340.0, 300.0), Some(index));
    }
    assert_eq!(scene.nearest(0.0, 0.0, 340.0, 300.0), None);
    assert_eq!(scene.position(6, 340.0, 300.0), None);
}

/// The edges of the bands are drawn in strokes along many short pieces; whatever rounding leaves of a stroke, the drawing
/// ends.
#[test]
fn bands_are_drawn_to_the_end_at_every_width() {
    let table = "I / A\tm / g\n0.5\t.09\n1\t.18\n1.5\t.27\n2\t.35\n2.5\t.435\n3\t.52\n";
    let job = yokeline_core::job::Job {
        table: table.into(),
        ..Default::default()
    };
    let choice = GraphChoice {
        band: true,
        ..GraphChoice::default()
    };
    let scene = Scene::graph(&yokeline_core::job::analyse(&job), &choice);
    assert!(scene.bands.len() >= 4, "{:?}", scene.bands.len());
    let without = svg(
        &graph(&yokeline_core::job::analyse(&job)),
        500,
        400,
        Theme::Light,
    );
    for width in 300..700 {
        let drawn = svg(&scene, width, 400, Theme::Light);
        assert!(drawn.len() > without.len());
    }
}

/// What somebody hears who does not see the graph, for the example that a first visit shows.
#[test]
fn the_graph_of_the_example_is_told_in_full() {
    let example = analyse(&example::job());
    let scene = graph(&example);
    assert_eq!(
        in_full(&scene, &example),
        "Graph of change of balance reading m against current I. 8 points, current from 0.50 A to 3.00 A, change of \
         balance reading from 0.09 g to 0.51 g. Best line: gradient 0.1690 g/A, intercept 0.0069 g. Steepest line: \
         gradient 0.1760 g/A. Shallowest line: gradient 0.1619 g/A. The gradient triangle has its corners at (0.50 A, \
         0.091 g) and (3.00 A, 0.514 g). Both scales show zero, so the origin is on the graph. The standard error of the \
         gradient is 0.0011 g/A, that of the intercept 0.0021 g. Half the difference between the steepest and the \
         shallowest gradient is 0.0070 g/A. Row 8 lies farthest from the line, 0.004 g below it. From left to right, \
         with 4 above and 4 below, the points change sides 4 times: as chance would have it, so no bend shows."
    );
    assert_eq!(
        in_short(&scene),
        "Graph: 8 points, m = (0.1690 g/A) I + 0.0069 g."
    );
    let with = |change: &dyn Fn(&mut Job)| {
        let mut job = example::job();
        change(&mut job);
        let analysis = analyse(&job);
        in_full(&graph(&analysis), &analysis)
    };
    let left_out = with(&|job| job.exclude = vec![4]);
    assert!(
        left_out.contains("row 4 is left out of the line"),
        "{left_out}"
    );
    let bent = with(&|job| {
        job.table = data_file("measured/curved.tsv");
    });
    assert!(bent.contains("follow a curve"), "{bent}");
    assert!(!bent.contains("no bend shows"), "{bent}");
}
