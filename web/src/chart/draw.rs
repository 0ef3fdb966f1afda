//! One drawing of a scene, on any plotters backend.
//!
//! Start at [`draw`]. Everything is worked out in CSS pixels and multiplied by `scale` at the last moment: by the pixel
//! ratio on a canvas, by ten in an SVG, whose coordinates are whole numbers too.

use std::convert::Infallible;

use plotters_backend::text_anchor::{HPos, Pos, VPos};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
    FontFamily, FontStyle, FontTransform,
};

use super::clip::{self, Place, Window};
use super::layout::{self, Area, KeyPlace, Layout, SAMPLE, text_width};
use super::scene::{LineKind, Mark, Sample, Scene};
use super::theme::{Colour, Palette, Theme, opaque};

/// The type of the system, for a canvas and for an SVG.
pub const FONTS: &str =
    "system-ui, -apple-system, Segoe UI, Roboto, Noto Sans, Liberation Sans, Arial, sans-serif";

/// What a backend may answer with.
pub type Drawn<DB> = Result<(), DrawingErrorKind<<DB as DrawingBackend>::ErrorType>>;

/// Half the size of a mark.
const MARK: f64 = 4.5;
/// The same where there are thousands.
const SMALL_MARK: f64 = 1.8;
/// Half the length of the cap of an error bar.
const CAP: f64 = 3.5;
/// Error bars may reach so far over the frame, as those of a point on an axis do.
const OVERHANG: f64 = 7.0;
const HAIR: f64 = 1.0;
const THIN: f64 = 1.3;

/// Draws `scene` over the whole of `backend`, `scale` of whose units make one CSS pixel.
///
/// # Errors
/// Only what the backend itself reports.
pub fn draw<DB: DrawingBackend>(
    scene: &Scene,
    backend: &mut DB,
    theme: Theme,
    scale: f64,
) -> Drawn<DB> {
    let (width, height) = backend.get_size();
    let scale = if scale.is_finite() && scale > 0.0 {
        scale
    } else {
        1.0
    };
    let (width, height) = (f64::from(width) / scale, f64::from(height) / scale);
    let palette = theme.palette();
    backend.ensure_prepared()?;
    let mut pen = Pen { backend, scale };
    pen.fill(
        &Area {
            left: 0.0,
            top: 0.0,
            right: width,
            bottom: height,
        },
        palette.ground,
    )?;
    if let Some(layout) = Layout::of(scene, width, height) {
        let mut drawing = Drawing {
            scene,
            layout,
            palette,
            pen,
            taken: Vec::new(),
        };
        drawing.paper()?;
        drawing.titles()?;
        match &scene.empty {
            Some(sentence) => drawing.sentence(sentence)?,
            None => drawing.contents()?,
        }
    }
    backend.present()
}

/// Long and short strokes of a dashed line, in turn; empty for an unbroken one.
pub fn dashes(kind: LineKind, family: usize) -> &'static [f64] {
    const OF_SERIES: [&[f64]; 6] = [
        &[],
        &[11.0, 4.0],
        &[4.0, 3.0],
        &[11.0, 3.0, 2.5, 3.0],
        &[2.0, 3.0],
        &[7.0, 3.0, 2.0, 3.0, 2.0, 3.0],
    ];
    match kind {
        LineKind::Best => OF_SERIES
            .get(family % OF_SERIES.len())
            .copied()
            .unwrap_or(&[]),
        LineKind::Steepest => &[9.0, 4.0],
        LineKind::Shallowest => &[3.0, 3.0],
        LineKind::ThroughOrigin => &[9.0, 3.0, 2.0, 3.0],
    }
}

struct Drawing<'a, DB: DrawingBackend> {
    scene: &'a Scene,
    layout: Layout,
    palette: &'static Palette,
    pen: Pen<'a, DB>,
    /// What texts that are placed freely should keep clear of.
    taken: Vec<Area>,
}

impl<DB: DrawingBackend> Drawing<'_, DB> {
    /// Grid, frame, tick texts and axis headings.
    fn paper(&mut self) -> Drawn<DB> {
        let frame = self.layout.frame;
        let sizes = self.layout.type_sizes;
        let (scene, palette) = (self.scene, self.palette);
        let (x, y) = (&scene.x.scale, &scene.y.scale);
        let (per_x, per_y) = self.layout.pixels_per_unit();
        let (step_x, step_y) = (x.step.value() * per_x, y.step.value() * per_y);

        let upright = |at: f64| ((at, frame.top), (at, frame.bottom));
        let level = |at: f64| ((frame.left, at), (frame.right, at));
        let between = |step: f64, divisions: i64, steps: usize| -> Vec<f64> {
            let count = divisions * steps.saturating_sub(1) as i64;
            (1..count)
                .filter(|n| n % divisions != 0)
                .map(|n| n as f64 * step / divisions as f64)
                .collect()
        };
        for offset in between(step_x, x.divisions(step_x), x.ticks.len()) {
            let (from, to) = upright(frame.left + offset);
            self.pen.line(from, to, palette.minor_grid, HAIR)?;
        }
        for offset in between(step_y, y.divisions(step_y), y.ticks.len()) {
            let (from, to) = level(frame.bottom - offset);
            self.pen.line(from, to, palette.minor_grid, HAIR)?;
        }
        for tick in &x.ticks {
            let (from, to) = upright(self.layout.pixel((tick.value, y.min)).0);
            self.pen.line(from, to, palette.major_grid, HAIR)?;
        }
        for tick in &y.ticks {
            let (from, to) = level(self.layout.pixel((x.min, tick.value)).1);
            self.pen.line(from, to, palette.major_grid, HAIR)?;
        }
        // Where zero is inside, the axis through it is drawn like the frame.
        let (zero_x, zero_y) = self.layout.pixel((0.0, 0.0));
        let inside_x = x.min < 0.0 && x.max > 0.0;
        let inside_y = y.min < 0.0 && y.max > 0.0;
        for (from, to) in [
            inside_x.then(|| upright(zero_x)),
            inside_y.then(|| level(zero_y)),
        ]
        .into_iter()
        .flatten()
        {
            self.pen.line(from, to, palette.ink, HAIR)?;
        }
        for (from, to) in [upright(frame.left), level(frame.bottom)] {
            self.pen.line(from, to, palette.ink, HAIR)?;
        }

        let widest = x
            .ticks
            .iter()
            .map(|tick| text_width(&tick.text, sizes.small))
            .fold(0.0, f64::max);
        let every = x.label_every(step_x, widest + 8.0);
        for tick in x.ticks.iter().filter(|tick| tick.index % every == 0) {
            let at = self.layout.pixel((tick.value, y.min)).0;
            self.pen.line(
                (at, frame.bottom),
                (at, frame.bottom + 4.0),
                palette.ink,
                HAIR,
            )?;
            let text = Lettering::new(palette.ink, sizes.small).centred().below();
            self.pen.text(&tick.text, (at, frame.bottom + 6.0), text)?;
        }
        let every = y.label_every(step_y, sizes.small * 1.3);
        for tick in y.ticks.iter().filter(|tick| tick.index % every == 0) {
            let at = self.layout.pixel((x.min, tick.value)).1;
            self.pen
                .line((frame.left - 4.0, at), (frame.left, at), palette.ink, HAIR)?;
            let text = Lettering::new(palette.ink, sizes.small).ending().level();
            self.pen.text(&tick.text, (frame.left - 6.0, at), text)?;
        }
        Ok(())
    }

    fn titles(&mut self) -> Drawn<DB> {
        let Layout {
            width,
            height,
            frame,
            type_sizes: sizes,
            ..
        } = self.layout;
        let ink = self.palette.ink;
        let heading = Lettering::new(ink, sizes.heading).centred();
        let room = layout::shortened(&self.scene.x.heading, sizes.heading, width - 12.0);
        self.pen.text(
            &room,
            ((frame.left + frame.right) / 2.0, height - 4.0),
            heading.above(),
        )?;
        let upright = layout::shortened(&self.scene.y.heading, sizes.heading, height - 8.0);
        let half = text_width(&upright, sizes.heading) / 2.0;
        let middle = ((frame.top + frame.bottom) / 2.0)
            .max(half + 2.0)
            .min(height - half - 2.0);
        self.pen
            .text(&upright, (5.0, middle), heading.below().turned())?;
        for (row, line) in (0..).zip(self.layout.title.clone()) {
            let at = 6.0 + f64::from(row) * sizes.title * 1.25;
            self.pen.text(
                &line,
                (width / 2.0, at),
                Lettering::new(ink, sizes.title).centred().below().bold(),
            )?;
        }
        for place in self.layout.key.clone() {
            self.key_entry(&place)?;
        }
        Ok(())
    }

    fn sentence(&mut self, sentence: &str) -> Drawn<DB> {
        let Layout {
            frame,
            type_sizes: sizes,
            ..
        } = self.layout;
        let lines = layout::wrapped(sentence, sizes.heading, frame.width() - 16.0);
        let row = sizes.heading * 1.35;
        let first = (frame.top + frame.bottom) / 2.0 - row * (lines.len() as f64 - 1.0) / 2.0;
        for (index, line) in (0..).zip(&lines) {
            let middle = first + row * f64::from(index);
            let half = text_width(line, sizes.heading) / 2.0;
            let x = (frame.left + frame.right) / 2.0;
            let behind = Area {
                left: x - half,
                right: x + half,
                top: middle - row / 2.0,
                bottom: middle + row / 2.0,
            };
            self.pen.fill(&behind, self.palette.ground)?;
            self.pen.text(
                line,
                (x, middle),
                Lettering::new(self.palette.ink, sizes.heading)
                    .centred()
                    .level(),
            )?;
        }
        Ok(())
    }

    /// Lines, bars, marks and what stands beside them.
    fn contents(&mut self) -> Drawn<DB> {
        let scene = self.scene;
        let thinned = scene.drawn.len() < scene.points.len();
        if !thinned {
            self.lines()?;
        }
        if let Some(corners) = &scene.triangle {
            let (first, second) = (
                self.layout.pixel(corners.first),
                self.layout.pixel(corners.second),
            );
            let square = (second.0, first.1);
            self.pen.line(first, square, self.palette.triangle, HAIR)?;
            self.pen.line(square, second, self.palette.triangle, HAIR)?;
        }
        let drawn: Vec<&Mark> = scene
            .drawn
            .iter()
            .filter_map(|index| scene.points.get(*index))
            .collect();
        if scene.bars {
            for mark in &drawn {
                self.bars(mark)?;
            }
        }
        for mark in &drawn {
            self.mark(mark)?;
        }
        if thinned {
            // Thousands of marks would hide what was found in them.
            self.lines()?;
        }
        if let Some(mark) = scene
            .selected
            .and_then(|index| scene.points.iter().find(|mark| mark.index == index))
        {
            let at = self.layout.pixel_in_frame((mark.x, mark.y));
            // It may have been thinned out.
            self.mark(mark)?;
            self.pen.circle(at, MARK + 5.0, self.palette.ring, 2.0)?;
        }
        self.taken = drawn.iter().map(|mark| self.about(mark)).collect();
        self.series_labels()?;
        self.corner_labels()
    }

    fn lines(&mut self) -> Drawn<DB> {
        for line in &self.scene.lines {
            let colour = self.line_colour(line.kind, line.family);
            let (from, to) = (self.layout.pixel(line.from), self.layout.pixel(line.to));
            self.pen
                .dashed(from, to, dashes(line.kind, line.family), colour, THIN)?;
        }
        Ok(())
    }

    fn line_colour(&self, kind: LineKind, family: usize) -> Colour {
        match kind {
            LineKind::Best if self.scene.series.len() > 1 => self.palette.of_series(family),
            LineKind::Best => self.palette.best,
            LineKind::Steepest => self.palette.steepest,
            LineKind::Shallowest => self.palette.shallowest,
            LineKind::ThroughOrigin => self.palette.through_origin,
        }
    }

    fn mark_colour(&self, family: usize) -> Colour {
        if self.scene.series.len() > 1 {
            self.palette.of_series(family)
        } else {
            self.palette.ink
        }
    }

    /// The error bars of one point, cut at the frame; a cut end has no cap.
    fn bars(&mut self, mark: &Mark) -> Drawn<DB> {
        let colour = if mark.excluded {
            self.palette.excluded
        } else {
            self.mark_colour(mark.family)
        };
        let frame = self.layout.frame;
        let window = Window {
            left: frame.left - OVERHANG,
            right: frame.right + OVERHANG,
            bottom: frame.top - OVERHANG,
            top: frame.bottom + OVERHANG,
        };
        let u_x = mark.u_x.unwrap_or(0.0);
        let ends = [(0.0, mark.u_y, (CAP, 0.0)), (u_x, 0.0, (0.0, CAP))];
        for (half_x, half_y, cap) in ends
            .into_iter()
            .filter(|(half_x, half_y, _)| *half_x > 0.0 || *half_y > 0.0)
        {
            let low = self.layout.pixel((mark.x - half_x, mark.y - half_y));
            let high = self.layout.pixel((mark.x + half_x, mark.y + half_y));
            let Some((from, to)) = clip::segment(low, high, &window) else {
                continue;
            };
            self.pen.line(from, to, colour, HAIR)?;
            for end in [low, high].into_iter().filter(|end| window.holds(*end)) {
                self.pen.line(
                    (end.0 - cap.0, end.1 - cap.1),
                    (end.0 + cap.0, end.1 + cap.1),
                    colour,
                    HAIR,
                )?;
            }
        }
        Ok(())
    }

    fn mark(&mut self, mark: &Mark) -> Drawn<DB> {
        let place = (mark.x, mark.y);
        let at = self.layout.pixel_in_frame(place);
        if !self.scene.window().holds(place) {
            let beyond = self.layout.pixel(place);
            return self.arrow(at, beyond);
        }
        if mark.excluded {
            return self.excluded(at);
        }
        let colour = self.mark_colour(mark.family);
        self.shape(at, mark.family, colour)
    }

    /// The mark of a series: +, ×, ○, △, ◇, □ in turn.
    fn shape(&mut self, (x, y): Place, family: usize, colour: Colour) -> Drawn<DB> {
        let thinned = self.scene.drawn.len() < self.scene.points.len();
        let s = if thinned { SMALL_MARK } else { MARK };
        let around = |corners: &[Place]| {
            corners
                .iter()
                .map(|(dx, dy)| (x + dx, y + dy))
                .collect::<Vec<_>>()
        };
        match family % 6 {
            0 => {
                self.pen.line((x - s, y), (x + s, y), colour, THIN)?;
                self.pen.line((x, y - s), (x, y + s), colour, THIN)
            }
            1 => {
                let d = s * 0.8;
                self.pen
                    .path(&[(x - d, y - d), (x + d, y + d)], colour, THIN)?;
                self.pen
                    .path(&[(x - d, y + d), (x + d, y - d)], colour, THIN)
            }
            2 => self.pen.circle((x, y), s * 0.85, colour, THIN),
            3 => self.pen.path(
                &around(&[(-s, s * 0.75), (0.0, -s), (s, s * 0.75), (-s, s * 0.75)]),
                colour,
                THIN,
            ),
            4 => self.pen.path(
                &around(&[(-s, 0.0), (0.0, -s), (s, 0.0), (0.0, s), (-s, 0.0)]),
                colour,
                THIN,
            ),
            _ => {
                let d = s * 0.8;
                self.pen.path(
                    &around(&[(-d, -d), (d, -d), (d, d), (-d, d), (-d, -d)]),
                    colour,
                    THIN,
                )
            }
        }
    }

    /// A point left out of the line: hollow and struck through.
    fn excluded(&mut self, (x, y): Place) -> Drawn<DB> {
        let reach = MARK + 2.5;
        self.pen.circle((x, y), MARK, self.palette.excluded, THIN)?;
        self.pen.path(
            &[(x - reach, y + reach), (x + reach, y - reach)],
            self.palette.excluded,
            THIN,
        )
    }

    /// An arrow at the edge of the frame, towards a point that lies `beyond`.
    fn arrow(&mut self, at: Place, beyond: Place) -> Drawn<DB> {
        let (dx, dy) = (beyond.0 - at.0, beyond.1 - at.1);
        let length = dx.hypot(dy);
        if length.is_nan() || length <= 0.0 {
            return Ok(());
        }
        let (ux, uy) = if length.is_finite() {
            (dx / length, dy / length)
        } else {
            (0.0, dy.signum())
        };
        let colour = self.palette.excluded;
        let back = |along: f64, aside: f64| {
            (
                at.0 - ux * along - uy * aside,
                at.1 - uy * along + ux * aside,
            )
        };
        self.pen.path(&[back(16.0, 0.0), at], colour, THIN)?;
        self.pen
            .path(&[back(7.0, 4.0), at, back(7.0, -4.0)], colour, THIN)
    }

    /// What a mark and its bars cover.
    fn about(&self, mark: &Mark) -> Area {
        let (x, y) = self.layout.pixel_in_frame((mark.x, mark.y));
        let (_, per_y) = self.layout.pixels_per_unit();
        let bar = if self.scene.bars {
            (mark.u_y * per_y).min(self.layout.frame.height())
        } else {
            0.0
        };
        let high = MARK.max(bar) + 1.0;
        Area {
            left: x - MARK - 1.0,
            right: x + MARK + 1.0,
            top: y - high,
            bottom: y + high,
        }
    }

    /// The label of each series at the right end of its line, moved apart where they would touch.
    fn series_labels(&mut self) -> Drawn<DB> {
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
        ends.sort_by(|a, b| a.1.1.total_cmp(&b.1.1));
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
                Lettering::new(colour, size).level(),
            )?;
        }
        Ok(())
    }

    fn corner_labels(&mut self) -> Drawn<DB> {
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

    fn key_entry(&mut self, place: &KeyPlace) -> Drawn<DB> {
        let Some(entry) = self.scene.key.get(place.entry) else {
            return Ok(());
        };
        let (left, middle) = (place.left, place.middle);
        let centre = (left + SAMPLE / 2.0, middle);
        match entry.sample {
            Sample::Point(family) => {
                let colour = self.mark_colour(family);
                self.shape(centre, family, colour)?;
                if self.scene.series.len() > 1 {
                    let (from, to) = ((left, middle), (left + SAMPLE, middle));
                    self.pen
                        .dashed(from, to, dashes(LineKind::Best, family), colour, THIN)?;
                } else if self.scene.bars {
                    let bar = MARK + 1.5;
                    self.pen.line(
                        (centre.0, middle - bar),
                        (centre.0, middle + bar),
                        colour,
                        HAIR,
                    )?;
                    for end in [middle - bar, middle + bar] {
                        self.pen.line(
                            (centre.0 - CAP, end),
                            (centre.0 + CAP, end),
                            colour,
                            HAIR,
                        )?;
                    }
                }
            }
            Sample::Excluded => self.excluded(centre)?,
            Sample::Line(kind, family) => {
                let colour = self.line_colour(kind, family);
                self.pen.dashed(
                    (left, middle),
                    (left + SAMPLE, middle),
                    dashes(kind, family),
                    colour,
                    THIN,
                )?;
            }
            Sample::Triangle => {
                let (right, top, low) = (left + SAMPLE - 4.0, middle - 5.0, middle + 4.0);
                self.pen
                    .line((left + 4.0, low), (right, low), self.palette.triangle, HAIR)?;
                self.pen
                    .line((right, low), (right, top), self.palette.triangle, HAIR)?;
            }
        }
        let text = Lettering::new(self.palette.ink, self.layout.type_sizes.small).level();
        self.pen
            .text(&place.text, (left + SAMPLE + 5.0, middle), text)
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

/// Draws in CSS pixels on a backend of whole units.
struct Pen<'a, DB: DrawingBackend> {
    backend: &'a mut DB,
    scale: f64,
}

impl<DB: DrawingBackend> Pen<'_, DB> {
    fn unit(&self, (x, y): Place) -> BackendCoord {
        // A cast of a float saturates, and NaN becomes 0: no coordinate can leave the range of the backend.
        (
            (x * self.scale).round() as i32,
            (y * self.scale).round() as i32,
        )
    }

    fn stroke(&self, colour: Colour, width: f64) -> Stroke {
        Stroke {
            colour: opaque(colour),
            width: ((width * self.scale).round() as u32).max(1),
        }
    }

    fn line(&mut self, from: Place, to: Place, colour: Colour, width: f64) -> Drawn<DB> {
        let style = self.stroke(colour, width);
        self.backend
            .draw_line(self.unit(from), self.unit(to), &style)
    }

    fn path(&mut self, places: &[Place], colour: Colour, width: f64) -> Drawn<DB> {
        let style = self.stroke(colour, width);
        let units: Vec<BackendCoord> = places.iter().map(|place| self.unit(*place)).collect();
        self.backend.draw_path(units, &style)
    }

    /// A line of strokes and gaps in turn; unbroken when `pattern` is empty.
    fn dashed(
        &mut self,
        from: Place,
        to: Place,
        pattern: &[f64],
        colour: Colour,
        width: f64,
    ) -> Drawn<DB> {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let length = dx.hypot(dy);
        if pattern.is_empty() || length == 0.0 || !length.is_finite() {
            return self.path(&[from, to], colour, width);
        }
        let at = |along: f64| (from.0 + dx * along / length, from.1 + dy * along / length);
        let mut along = 0.0;
        for (index, part) in pattern.iter().cycle().enumerate() {
            if along >= length {
                break;
            }
            let end = (along + part).min(length);
            if index % 2 == 0 {
                self.path(&[at(along), at(end)], colour, width)?;
            }
            along = end;
        }
        Ok(())
    }

    fn circle(&mut self, centre: Place, radius: f64, colour: Colour, width: f64) -> Drawn<DB> {
        let style = self.stroke(colour, width);
        let radius = ((radius * self.scale).round() as u32).max(1);
        self.backend
            .draw_circle(self.unit(centre), radius, &style, false)
    }

    fn fill(&mut self, area: &Area, colour: Colour) -> Drawn<DB> {
        let (from, to) = (
            self.unit((area.left, area.top)),
            self.unit((area.right, area.bottom)),
        );
        self.backend.draw_rect(from, to, &opaque(colour), true)
    }

    fn text(&mut self, text: &str, at: Place, lettering: Lettering) -> Drawn<DB> {
        let lettering = Lettering {
            size: lettering.size * self.scale,
            ..lettering
        };
        self.backend.draw_text(text, &lettering, self.unit(at))
    }
}

struct Stroke {
    colour: BackendColor,
    width: u32,
}

impl BackendStyle for Stroke {
    fn color(&self) -> BackendColor {
        self.colour
    }

    fn stroke_width(&self) -> u32 {
        self.width
    }
}

/// How a text is set: size, colour, which of its corners is where it was put, and whether it is turned.
#[derive(Clone)]
struct Lettering {
    colour: BackendColor,
    size: f64,
    horizontal: HPos,
    vertical: VPos,
    style: FontStyle,
    turn: FontTransform,
}

impl Lettering {
    fn new(colour: Colour, size: f64) -> Lettering {
        Lettering {
            colour: opaque(colour),
            size,
            horizontal: HPos::Left,
            vertical: VPos::Top,
            style: FontStyle::Normal,
            turn: FontTransform::None,
        }
    }

    /// Its middle is at the place, across.
    fn centred(self) -> Lettering {
        Lettering {
            horizontal: HPos::Center,
            ..self
        }
    }

    /// Its right end is at the place.
    fn ending(self) -> Lettering {
        Lettering {
            horizontal: HPos::Right,
            ..self
        }
    }

    /// It hangs below the place.
    fn below(&self) -> Lettering {
        Lettering {
            vertical: VPos::Top,
            ..self.clone()
        }
    }

    /// It stands above the place.
    fn above(&self) -> Lettering {
        Lettering {
            vertical: VPos::Bottom,
            ..self.clone()
        }
    }

    /// Its middle is level with the place.
    fn level(self) -> Lettering {
        Lettering {
            vertical: VPos::Center,
            ..self
        }
    }

    fn bold(self) -> Lettering {
        Lettering {
            style: FontStyle::Bold,
            ..self
        }
    }

    /// It reads upwards.
    fn turned(self) -> Lettering {
        Lettering {
            turn: FontTransform::Rotate270,
            ..self
        }
    }
}

impl BackendTextStyle for Lettering {
    type FontError = Infallible;

    fn color(&self) -> BackendColor {
        self.colour
    }

    fn size(&self) -> f64 {
        self.size
    }

    fn transform(&self) -> FontTransform {
        self.turn.clone()
    }

    fn style(&self) -> FontStyle {
        self.style
    }

    fn anchor(&self) -> Pos {
        Pos::new(self.horizontal, self.vertical)
    }

    fn family(&self) -> FontFamily<'_> {
        FontFamily::Name(FONTS)
    }

    fn layout_box(&self, text: &str) -> Result<((i32, i32), (i32, i32)), Infallible> {
        Ok((
            (0, 0),
            (
                text_width(text, self.size).round() as i32,
                self.size.round() as i32,
            ),
        ))
    }

    /// Nothing: the two backends set type themselves, and a backend of pixels has no letters to draw with.
    fn draw<E, DrawFunc: FnMut(i32, i32, BackendColor) -> Result<(), E>>(
        &self,
        _text: &str,
        _pos: BackendCoord,
        _draw: DrawFunc,
    ) -> Result<Result<(), E>, Infallible> {
        Ok(Ok(()))
    }
}
