//! Texts within the picture that have to find their place: labels of series and of corners.

use plotters_backend::DrawingBackend;
use yokeline_core::figures::rank;

use super::clip::{self, Place, Window};
use super::draw::{Drawing, HAIR};
use super::layout::{self, Area, text_width};
use super::pen::{Drawn, Lettering};
use super::scene::LineKind;

impl<DB: DrawingBackend> Drawing<'_, DB> {
    /// The label of each series at the right end of its line, moved apart where they would touch.
    pub(super) fn series_labels(&mut self) -> Drawn<DB> {
        if self.scene.series.len() < 2 {
            return Ok(());
        }
        let frame = self.layout.frame;
        let size = self.layout.type_sizes.small;
        let row = size * 1.25;
        let best = self
            .scene
            .lines
            .iter()
            .filter(|line| line.kind == LineKind::Best);
        let mut ends: Vec<(usize, Place)> = best
            .map(|line| (line.family, self.layout.pixel(line.to)))
            .collect();
        ends.sort_by_cached_key(|(_, end)| rank(end.1));
        let mut heights: Vec<f64> = ends.iter().map(|(_, end)| end.1).collect();
        spread(&mut heights, row, frame.top, frame.bottom);
        for ((family, end), height) in ends.into_iter().zip(heights) {
            let colour = self.palette.of_series(family);
            let beside = frame.right + 10.0;
            if (height - end.1).abs() > 2.0 || frame.right - end.0 > 2.0 {
                self.pen
                    .path(&[end, (beside - 2.0, height)], colour, HAIR)?;
            }
            let label = self.scene.series.get(family).map_or("", String::as_str);
            let text = layout::shortened(label, size, self.layout.width - beside - 4.0);
            self.pen.text(
                &text,
                (beside, height),
                // The stroke beside it has the colour of the series, which is too light for letters.
                Lettering::new(self.palette.ink, size).level(),
            )?;
        }
        Ok(())
    }

    pub(super) fn corner_labels(&mut self) -> Drawn<DB> {
        let Some(corners) = &self.scene.triangle else {
            return Ok(());
        };
        let size = self.layout.type_sizes.small;
        for (corner, label) in [corners.first, corners.second]
            .into_iter()
            .zip(&corners.labels)
        {
            let at = self.layout.pixel(corner);
            let area = self.free_place(at, text_width(label, size), size * 1.25);
            self.pen.fill(&area, self.palette.ground)?;
            let middle = (
                (area.left + area.right) / 2.0,
                (area.top + area.bottom) / 2.0,
            );
            self.pen.text(
                label,
                middle,
                Lettering::new(self.palette.triangle, size)
                    .centred()
                    .level(),
            )?;
            self.taken.push(area);
        }
        Ok(())
    }

    /// Where, near `at`, a text covers least of what is already there.
    fn free_place(&self, at: Place, width: f64, height: f64) -> Area {
        let frame = self.layout.frame;
        let mut best: Option<(f64, Area)> = None;
        for distance in [6.0, 14.0, 26.0] {
            for (across, down) in [
                (1, 1),
                (-1, -1),
                (1, -1),
                (-1, 1),
                (0, 1),
                (0, -1),
                (1, 0),
                (-1, 0),
            ] {
                let side = |direction: i32, length: f64| match direction {
                    1 => distance,
                    -1 => -distance - length,
                    _ => -length / 2.0,
                };
                let (left, top) = (at.0 + side(across, width), at.1 + side(down, height));
                let area = Area {
                    left,
                    top,
                    right: left + width,
                    bottom: top + height,
                };
                let cost = self.cost(&area, &frame) + distance;
                if best.is_none_or(|(least, _)| cost < least) {
                    best = Some((cost, area));
                }
            }
        }
        best.map_or(Area::default(), |(_, area)| area)
    }

    /// What a text there would cover: marks and other texts by area, lines by length, and never beyond the frame.
    fn cost(&self, area: &Area, frame: &Area) -> f64 {
        let outside = area.width() * area.height() - area.overlap(frame);
        let covered: f64 = self.taken.iter().map(|taken| taken.overlap(area)).sum();
        let window = Window {
            left: area.left,
            right: area.right,
            bottom: area.top,
            top: area.bottom,
        };
        let crossing = |from: Place, to: Place| {
            clip::segment(from, to, &window)
                .map_or(0.0, |(from, to)| 4.0 + (to.0 - from.0).hypot(to.1 - from.1))
        };
        let lines = self
            .scene
            .lines
            .iter()
            .map(|line| crossing(self.layout.pixel(line.from), self.layout.pixel(line.to)));
        let sides = self.scene.triangle.iter().map(|corners| {
            let (first, second) = (
                self.layout.pixel(corners.first),
                self.layout.pixel(corners.second),
            );
            crossing(first, (second.0, first.1)) + crossing((second.0, first.1), second)
        });
        100.0 * outside.max(0.0) + covered + 3.0 * (lines.sum::<f64>() + sides.sum::<f64>())
    }
}

/// Moves sorted heights apart until neighbours are `row` apart, within `top` and `bottom` as far as that is possible.
fn spread(heights: &mut [f64], row: f64, top: f64, bottom: f64) {
    let mut least = top;
    for height in heights.iter_mut() {
        *height = height.max(least);
        least = *height + row;
    }
    let mut most = bottom;
    for height in heights.iter_mut().rev() {
        *height = height.min(most);
        most = *height - row;
    }
}
