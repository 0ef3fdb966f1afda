//! Sentences to stand under a graph: what was done about the origin, what is not in view, what is not drawn.

use yokeline_core::job::output::Analysis;

use super::scene::{GraphChoice, Mark, Ruled, Scene};
use super::ticks::{Extent, Zero};
use super::wording;

impl Scene {
    /// What is not to be seen of the points, of which `given` came with the analysis; `nothing` when there is none.
    pub(super) fn tell_about_points(&mut self, given: usize, nothing: &str) {
        if self.points.is_empty() {
            self.empty = Some(nothing.to_owned());
            return;
        }
        if given > self.points.len() {
            let missing = wording::counted(given - self.points.len(), "point");
            self.remarks.push(format!(
                "Not in the picture: {missing} with values too large to plot."
            ));
        }
        if self.drawn.len() < self.points.len() {
            self.remarks.push(format!(
                "{} of {} points are drawn, without error bars: the others would lie on top of them.",
                self.drawn.len(),
                self.points.len()
            ));
        }
        let window = self.window();
        let outside = self
            .points
            .iter()
            .filter(|mark| !window.holds((mark.x, mark.y)));
        let outside: Vec<usize> = outside.map(|mark| mark.row).collect();
        let reach = |ruled: &Ruled, value: f64, half: f64| {
            let air = 0.03 * (ruled.scale.max - ruled.scale.min);
            half > 0.0
                && (value - half < ruled.scale.min - air || value + half > ruled.scale.max + air)
        };
        let cut = |mark: &Mark| {
            reach(&self.x, mark.x, mark.u_x.unwrap_or(0.0)) || reach(&self.y, mark.y, mark.u_y)
        };
        if self.bars && self.points.iter().any(|mark| !mark.excluded && cut(mark)) {
            self.remarks.push(
                "Some error bars are longer than the scales and run out of the frame.".to_owned(),
            );
        }
        if !outside.is_empty() {
            let (verb, pronoun) = if outside.len() == 1 {
                ("lies", "it")
            } else {
                ("lie", "they")
            };
            self.remarks.push(format!(
                "{} (left out of the line) {verb} beyond the frame, where an arrow points: in view, {pronoun} would press \
                 the other points together.",
                wording::capitalised(&wording::rows(&outside)),
            ));
        }
    }

    pub(super) fn tell_about_origin(&mut self) {
        let flat = |values: &mut dyn Iterator<Item = f64>| {
            Extent::of(values).is_none_or(|extent| extent.low == extent.high)
        };
        let same = |ruled: &Ruled, is_flat: bool| {
            is_flat.then(|| format!("All points have the same {}.", wording::name(&ruled.axis)))
        };
        let sentences = [
            same(
                &self.x,
                self.points.len() > 1 && flat(&mut self.points.iter().map(|mark| mark.x)),
            ),
            same(
                &self.y,
                self.points.len() > 1 && flat(&mut self.points.iter().map(|mark| mark.y)),
            ),
        ];
        let (x, y) = (wording::name(&self.x.axis), wording::name(&self.y.axis));
        let origin = match (self.x.scale.zero, self.y.scale.zero) {
            (Zero::Shown, Zero::Shown) => {
                "Both scales show zero, so the origin is on the graph.".to_owned()
            }
            (Zero::Shown, Zero::LeftOut) => begins_elsewhere(&format!("The {y} scale does")),
            (Zero::LeftOut, Zero::Shown) => begins_elsewhere(&format!("The {x} scale does")),
            (Zero::LeftOut, Zero::LeftOut) => begins_elsewhere("The two scales do"),
        };
        self.remarks
            .extend(sentences.into_iter().flatten().chain([origin]));
    }

    pub(super) fn tell_about_lines(&mut self, analysis: &Analysis, choice: &GraphChoice) {
        // A line that is kept back is none that is missing.
        let mut used = analysis.points.iter().filter(|point| !point.excluded);
        let first = used.next().map(|point| point.x);
        if self.lines.is_empty() && !used.any(|point| Some(point.x) != first) {
            let sentence = "There is no line: at least two points with different values along the horizontal axis are needed.";
            self.remarks.push(sentence.to_owned());
        }
        if let Some(blocked) = &analysis.blocked {
            let bars = if blocked.boxes {
                "error box"
            } else {
                "error bar"
            };
            let without = match blocked.rows.as_slice() {
                [] => String::new(),
                rows => format!("; without {} one would", wording::rows(rows)),
            };
            self.remarks.push(format!(
                "No straight line passes through every {bars}{without}."
            ));
        }
        if self.series.len() > 1 && choice.worst_lines {
            self.remarks.push(
                "With several series on one graph, only their best lines are drawn.".to_owned(),
            );
        }
    }
}

fn begins_elsewhere(subject: &str) -> String {
    format!(
        "{subject} not begin at zero: with zero in view, the points would not fill half of the axis."
    )
}
