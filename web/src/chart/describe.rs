//! A scene in words: for readers who do not see it, and for one point at a time.
//!
//! Start at [`describe`], [`in_full`] and [`point_text`].

use yokeline_core::job::output::{Analysis, Point};

use super::about_the_line::about_the_line;
use super::scene::{Kind, LineKind, Mark, Ruled, Scene};
use super::ticks::Extent;
use super::wording::{self, capitalised, counted, measured, named, number, unit_si, with_unit};

/// A table in words has at most so many rows; what is missing is said.
pub const MOST_ROWS: usize = 200;

/// The scene in a few sentences: what is plotted, over which ranges, and which lines there are.
pub fn describe(scene: &Scene) -> String {
    if let Some(sentence) = &scene.empty {
        return sentence.clone();
    }
    let what = match scene.kind {
        Kind::Graph => format!(
            "Graph of {} against {}.",
            named(&scene.y.axis),
            named(&scene.x.axis)
        ),
        Kind::Paper => {
            format!(
                "Empty graph paper with scales for {} against {}.",
                named(&scene.y.axis),
                named(&scene.x.axis)
            )
        }
        Kind::Residuals => format!(
            "Distances of the points from their best line, against {}.",
            named(&scene.x.axis)
        ),
    };
    if scene.kind == Kind::Paper {
        return [what]
            .into_iter()
            .chain(scene.remarks.iter().cloned())
            .collect::<Vec<_>>()
            .join(" ");
    }
    let mut sentences = vec![what];
    sentences.extend(ranges(scene));
    for kind in [
        LineKind::Best,
        LineKind::Steepest,
        LineKind::Shallowest,
        LineKind::ThroughOrigin,
    ] {
        for line in scene.lines.iter().filter(|line| line.kind == kind) {
            let intercept = scene
                .intercept
                .as_ref()
                .filter(|_| kind == LineKind::Best && scene.series.len() < 2);
            let intercept = intercept.map_or(String::new(), |text| format!(", intercept {text}"));
            sentences.push(format!("{}{intercept}.", line.text));
        }
    }
    if let Some(corners) = &scene.triangle {
        let [first, second] = &corners.labels;
        sentences.push(format!(
            "The gradient triangle has its corners at {first} and {second}."
        ));
    }
    sentences.extend(scene.remarks.iter().cloned());
    sentences.join(" ")
}

/// The same with how well the line is known, and how the points lie about it.
pub fn in_full(scene: &Scene, analysis: &Analysis) -> String {
    [describe(scene)]
        .into_iter()
        .chain(about_the_line(analysis))
        .collect::<Vec<_>>()
        .join(" ")
}

/// What changed, in a few words: how many points there are, and their lines.
pub fn in_short(scene: &Scene) -> String {
    if scene.points.is_empty() {
        return "Graph: no points.".to_owned();
    }
    let points = counted(scene.points.len(), "point");
    if scene.equations.is_empty() {
        return format!("Graph: {points}.");
    }
    format!("Graph: {points}, {}.", scene.equations.join("; "))
}

/// The drawn points as a table in words.
#[derive(Clone, Debug, PartialEq)]
pub struct WordTable {
    /// One for each column.
    pub headings: Vec<String>,
    /// As many cells as there are headings in each.
    pub rows: Vec<Vec<String>>,
    /// How many points there was no room for.
    pub left_off: usize,
}

/// The points of the scene as a table in words: row, x and y with their uncertainties, how far it lies from the line, and
/// whether it counts for it.
pub fn table(scene: &Scene, analysis: &Analysis) -> WordTable {
    let several = scene.series.len() > 1;
    let mut headings = vec!["row".to_owned()];
    headings.extend(several.then(|| "series".to_owned()));
    headings.extend([
        named(&scene.x.axis),
        named(&scene.y.axis),
        "distance from the line".to_owned(),
        "in the line".to_owned(),
    ]);
    let cells = |mark: &Mark| {
        let mut cells = vec![mark.row.to_string()];
        cells.extend(several.then(|| scene.series.get(mark.family).cloned().unwrap_or_default()));
        cells.push(measured(mark.x, mark.u_x, &scene.x.axis));
        cells.push(measured(mark.y, Some(mark.u_y), &scene.y.axis));
        let point = analysis.points.get(mark.index);
        let away = point.and_then(|point| distance(point, analysis));
        cells.push(away.unwrap_or_else(|| "—".to_owned()));
        cells.push(if mark.excluded { "left out" } else { "yes" }.to_owned());
        cells
    };
    let rows = scene.points.iter().take(MOST_ROWS).map(cells).collect();
    WordTable {
        headings,
        rows,
        left_off: scene.points.len().saturating_sub(MOST_ROWS),
    }
}

/// One point read out, by its index into the points of the analysis: `Row 3: I = 1.50 A, m = 0.91 ± 0.01 g, 0.004 g above
/// the line`. Empty for an index without a point.
pub fn point_text(analysis: &Analysis, index: usize) -> String {
    let Some(point) = analysis.points.get(index) else {
        return String::new();
    };
    let axes = &analysis.axes;
    let label = analysis
        .families
        .get(point.family)
        .map_or("", |family| family.label.as_str());
    let (unit_x, unit_y) = (unit_si(&axes.x), unit_si(&axes.y));
    let mut parts = vec![
        format!(
            "{} = {}",
            axes.x.symbol,
            measured(point.x / unit_x, point.u_x.map(|u| u / unit_x), &axes.x)
        ),
        format!(
            "{} = {}",
            axes.y.symbol,
            measured(point.y / unit_y, Some(point.u_y / unit_y), &axes.y)
        ),
    ];
    parts.extend((point.repeats > 1).then(|| format!("mean of {} readings", point.repeats)));
    parts.extend(distance(point, analysis));
    parts.extend(point.excluded.then(|| "left out of the line".to_owned()));
    let series = if label.is_empty() {
        String::new()
    } else {
        format!(" ({label})")
    };
    format!("Row {}{series}: {}", point.row, parts.join(", "))
}

/// `0.004 g above the line`, with one figure more than was read.
pub(super) fn distance(point: &Point, analysis: &Analysis) -> Option<String> {
    let axis = &analysis.axes.y;
    let residual = point.residual.filter(|residual| residual.is_finite())? / unit_si(axis);
    let text = number(residual.abs(), axis.decimals + 1);
    if text.chars().all(|character| matches!(character, '0' | '.')) {
        return Some("on the line".to_owned());
    }
    let side = if residual > 0.0 { "above" } else { "below" };
    Some(format!("{} {side} the line", with_unit(&text, &axis.unit)))
}

fn ranges(scene: &Scene) -> Option<String> {
    let range = |ruled: &Ruled, values: &mut dyn Iterator<Item = f64>| {
        let extent = Extent::of(values)?;
        let end = |value: f64| with_unit(&number(value, ruled.decimals()), &ruled.axis.unit);
        let name = if ruled.axis.quantity.is_empty() {
            &ruled.axis.symbol
        } else {
            &ruled.axis.quantity
        };
        Some(if extent.low == extent.high {
            format!("{name} {}", end(extent.low))
        } else {
            format!("{name} from {} to {}", end(extent.low), end(extent.high))
        })
    };
    let x = range(&scene.x, &mut scene.points.iter().map(|mark| mark.x))?;
    let y = range(&scene.y, &mut scene.points.iter().map(|mark| mark.y))?;
    let mut sentence = format!(
        "{}, {x}, {y}",
        capitalised(&counted(scene.points.len(), "point"))
    );
    let series = scene.series.len();
    if series > 1 {
        sentence.push_str(&format!(
            ", in {series} series ({})",
            scene.series.join(", ")
        ));
    }
    let excluded: Vec<usize> = scene
        .points
        .iter()
        .filter(|mark| mark.excluded)
        .map(|mark| mark.row)
        .collect();
    if !excluded.is_empty() {
        let verb = if excluded.len() == 1 { "is" } else { "are" };
        sentence.push_str(&format!(
            "; {} {verb} left out of the line",
            wording::rows(&excluded)
        ));
    }
    Some(sentence + ".")
}
