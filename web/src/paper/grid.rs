//! Empty graph paper: lines every 2 mm, heavier ones every 10 mm, with axis titles and no scale.

use maud::{Markup, html};

/// Size of the ruled field, in mm; with its margins it fills most of an A4 page.
const WIDTH_MM: usize = 160;
const HEIGHT_MM: usize = 200;
const LEFT_MM: usize = 12;
const BELOW_MM: usize = 10;

/// Ruled paper with its axes and their titles; without titles there are no axes.
pub(super) fn paper(x_title: &str, y_title: &str) -> Markup {
    let (width, height) = (LEFT_MM + WIDTH_MM, HEIGHT_MM + BELOW_MM);
    let axes = format!("M{LEFT_MM} 0V{HEIGHT_MM}H{width}");
    let bare = x_title.is_empty() && y_title.is_empty();
    let label = if bare {
        "Empty graph paper".to_owned()
    } else {
        format!("Empty graph paper for {y_title} against {x_title}")
    };
    html! {
        svg.grid xmlns="http://www.w3.org/2000/svg" viewBox=(format!("-1 -1 {} {}", width + 2, height + 2))
            role="img" aria-label=(label) {
            path d=(ruling(2)) fill="none" stroke="#9db4c0" stroke-width="0.1" {}
            path d=(ruling(10)) fill="none" stroke="#6f8b99" stroke-width="0.25" {}
            @if !bare {
                path d=(axes) fill="none" stroke="#000" stroke-width="0.5" {}
                text x=(width) y=(HEIGHT_MM + 8) text-anchor="end" font-size="4.5" { (x_title) }
                text x="0" y="0" transform="translate(7 0) rotate(-90)" text-anchor="end" font-size="4.5" { (y_title) }
            }
        }
    }
}

/// Lines every so many millimetres, both ways.
fn ruling(step_mm: usize) -> String {
    let across = (0..=HEIGHT_MM)
        .step_by(step_mm)
        .map(|y| format!("M{LEFT_MM} {y}h{WIDTH_MM}"));
    let down = (LEFT_MM..=LEFT_MM + WIDTH_MM)
        .step_by(step_mm)
        .map(|x| format!("M{x} 0v{HEIGHT_MM}"));
    across.chain(down).collect()
}
