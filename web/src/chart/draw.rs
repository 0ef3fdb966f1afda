//! One drawing of a scene, on any plotters backend.
//!
//! Start at [`draw`]. Everything is worked out in CSS pixels and multiplied by `scale` at the last moment: by the pixel
//! ratio on a canvas, by ten in an SVG, whose coordinates are whole numbers too.

use plotters_backend::DrawingBackend;

use super::clip::{self, Place, Window};
use super::layout::{self, Area, KeyPlace, Layout, SAMPLE, text_width};
use super::pen::{Drawn, Lettering, Pen};
use super::scene::{BandKind, LineKind, Mark, Sample, Scene};
use super::theme::{Colour, Palette};

/// Half the size of a mark.
const MARK: f64 = 4.5;
/// The same where there are thousands.
const SMALL_MARK: f64 = 1.8;
/// Half the length of the cap of an error bar.
const CAP: f64 = 3.5;
/// Error bars may reach so far over the frame, as those of a point on an axis do.
const OVERHANG: f64 = 7.0;
/// The finest line.
pub(super) const HAIR: f64 = 1.0;
/// Lines and marks that carry meaning.
const THIN: f64 = 1.3;

/// Draws `scene` in the colours of `palette` over the whole of `backend`, `scale` of whose units make one CSS pixel.
///
/// # Errors
/// Only what the backend itself reports.
pub fn draw<DB: DrawingBackend>(
    scene: &Scene,
    backend: &mut DB,
    palette: &Palette,
    scale: f64,
) -> Drawn<DB> {
    let (width, height) = backend.get_size();
    let scale = if scale.is_finite() && scale > 0.0 {
        scale
    } else {
        1.0
    };
    let (width, height) = (f64::from(width) / scale, f64::from(height) / scale);
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

/// The same for the edge of a band.
pub fn band_dashes(kind: BandKind) -> &'static [f64] {
    match kind {
        BandKind::Line => &[5.0, 2.5],
        BandKind::Reading => &[1.5, 3.0],
    }
}

pub(super) struct Drawing<'a, DB: DrawingBackend> {
    pub scene: &'a Scene,
    pub layout: Layout,
    pub palette: &'a Palette,
    pub pen: Pen<'a, DB>,
    /// What texts that are placed freely should keep clear of.
    pub taken: Vec<Area>,
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
        let ringed = |mark: &&Mark| scene.selected.contains(&mark.index);
        for mark in scene.points.iter().filter(ringed) {
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
        for edge in &self.scene.bands {
            let places: Vec<Place> = edge
                .places
                .iter()
                .map(|place| self.layout.pixel(*place))
                .collect();
            let (strokes, colour) = (band_dashes(edge.kind), self.palette.best);
            self.pen.dashed_path(&places, strokes, colour, HAIR)?;
        }
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
            Sample::Band(kind) => {
                let (from, to) = ((left, middle), (left + SAMPLE, middle));
                let (strokes, colour) = (band_dashes(kind), self.palette.best);
                self.pen.dashed(from, to, strokes, colour, HAIR)?;
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
