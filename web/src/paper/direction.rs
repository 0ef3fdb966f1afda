//! Poles, current and forces seen along the wire, as a picture of our own.

use maud::{Markup, html as markup};
use yokeline_core::plan::direction::{Flow, Poles, Push};
use yokeline_core::plan::output::DirectionFigures;

/// Middle of the wire, and how far the arrows reach.
const MIDDLE: f64 = 60.0;
const REACH: f64 = 34.0;

/// The picture, an SVG of its own; what it says stands in `figures.text` for those who do not see it.
pub fn direction(figures: &DirectionFigures) -> String {
    let (left, right, tip) = match figures.poles {
        Poles::NorthLeft => ("N", "S", 1.0),
        Poles::NorthRight => ("S", "N", -1.0),
    };
    let up = |push: Push| if push == Push::Up { -1.0 } else { 1.0 };
    let on_wire = up(figures.on_wire);
    let on_magnet = up(figures.on_magnet);
    let picture = markup! {
        svg class="small" xmlns="http://www.w3.org/2000/svg" viewBox="0 -8 240 136" role="img" aria-label=(figures.text) {
            rect y="-8" width="240" height="136" fill="#fff" {}
            (pole(20.0, left)) (pole(180.0, right))
            // The field, from north to south.
            @for y in [36.0, 84.0] {
                (arrow((120.0 - 30.0 * tip, y), (120.0 + 30.0 * tip, y), "#666", "4 3"))
            }
            text x=(120.0 + 36.0 * tip) y="30" font-size="10" text-anchor="middle" fill="#666" { "B" }
            // The wire, with the current's point or its feathers.
            circle cx="120" cy=(MIDDLE) r="9" fill="#fff" stroke="#111" stroke-width="2" {}
            @match figures.current {
                Flow::Towards => { circle cx="120" cy=(MIDDLE) r="2.5" fill="#111" {} }
                Flow::Away => { path d="M114.5 54.5l11 11m0-11l-11 11" stroke="#111" stroke-width="2" {} }
            }
            text x="134" y="64" font-size="10" fill="#111" { "I" }
            (arrow((120.0, MIDDLE + 11.0 * on_wire), (120.0, MIDDLE + (11.0 + REACH) * on_wire), "#b04a00", ""))
            text x="124" y=(MIDDLE + (14.0 + REACH) * on_wire + 3.0) font-size="10" fill="#b04a00" { "on the wire" }
            @for x in [40.0, 200.0] {
                (arrow((x, MIDDLE + 22.0 * on_magnet), (x, MIDDLE + (22.0 + REACH) * on_magnet), "#005f96", ""))
            }
            text x="46" y=(MIDDLE + (22.0 + REACH) * on_magnet + 3.0) font-size="10" fill="#005f96" { "on the magnet" }
        }
    };
    picture.into_string()
}

fn pole(x: f64, name: &str) -> Markup {
    markup! {
        rect x=(x) y="40" width="40" height="40" fill="#eee" stroke="#111" {}
        text x=(x + 20.0) y="66" font-size="18" text-anchor="middle" fill="#111" { (name) }
    }
}

/// A straight arrow; `dash` is empty for a full line.
fn arrow(from: (f64, f64), to: (f64, f64), colour: &str, dash: &str) -> Markup {
    let length = ((to.0 - from.0) * (to.0 - from.0) + (to.1 - from.1) * (to.1 - from.1)).sqrt();
    let (x, y) = ((to.0 - from.0) / length, (to.1 - from.1) / length);
    let back = |across: f64| (to.0 - 7.0 * x - across * y, to.1 - 7.0 * y + across * x);
    let (one, other) = (back(4.0), back(-4.0));
    let head = format!(
        "M{:.1} {:.1}L{:.1} {:.1}L{:.1} {:.1}Z",
        to.0, to.1, one.0, one.1, other.0, other.1
    );
    markup! {
        line x1=(from.0) y1=(from.1) x2=(to.0 - 6.0 * x) y2=(to.1 - 6.0 * y) stroke=(colour) stroke-width="2" stroke-dasharray=[(!dash.is_empty()).then_some(dash)] {}
        path d=(head) fill=(colour) {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use yokeline_core::plan::{Direction, Plan, plan};

    fn picture(poles: &str, current: &str) -> (String, String) {
        let planned = plan(&Plan {
            direction: Direction {
                poles: poles.to_owned(),
                current: current.to_owned(),
                ..Direction::default()
            },
            ..Plan::default()
        });
        let figures = planned.direction.expect("a direction");
        (direction(&figures), figures.text)
    }

    /// Where the arrow of a colour ends, from the top.
    fn tip(svg: &str, colour: &str) -> f64 {
        let end = svg
            .find(&format!("fill=\"{colour}\"></path>"))
            .expect(colour);
        let path = &svg[..end];
        let start = path.rfind("d=\"M").expect("a path") + 4;
        let (_, rest) = path[start..].split_once(' ').expect("two numbers");
        rest.split_once('L')
            .expect("a line")
            .0
            .parse()
            .expect("a number")
    }

    #[test]
    fn the_arrows_point_as_the_words_say() {
        for poles in ["N left", "N right"] {
            for current in ["away", "towards"] {
                let (svg, text) = picture(poles, current);
                let wire_up = text.contains("the wire is pushed up");
                assert_eq!(tip(&svg, "#b04a00") < MIDDLE, wire_up, "{text}");
                assert_eq!(tip(&svg, "#005f96") > MIDDLE, wire_up, "{text}");
                assert!(svg.contains("role=\"img\""));
            }
        }
    }
}
