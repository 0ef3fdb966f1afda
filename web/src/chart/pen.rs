//! A pen that works in CSS pixels, for backends whose coordinates are whole units.

use std::convert::Infallible;

use plotters_backend::text_anchor::{HPos, Pos, VPos};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
    FontFamily, FontStyle, FontTransform,
};

use super::clip::Place;
use super::layout::{Area, text_width};
use super::theme::{Colour, opaque};

/// The type of the system, for a canvas and for an SVG.
pub const FONTS: &str =
    "system-ui, -apple-system, Segoe UI, Roboto, Noto Sans, Liberation Sans, Arial, sans-serif";

/// What a backend may answer with.
pub type Drawn<DB> = Result<(), DrawingErrorKind<<DB as DrawingBackend>::ErrorType>>;

/// Draws in CSS pixels on a backend of whole units.
pub(super) struct Pen<'a, DB: DrawingBackend> {
    pub backend: &'a mut DB,
    pub scale: f64,
}

/// A stroke shorter than this, in CSS pixels, is none.
const LEAST_STROKE: f64 = 1e-6;

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

    pub fn line(&mut self, from: Place, to: Place, colour: Colour, width: f64) -> Drawn<DB> {
        let style = self.stroke(colour, width);
        self.backend
            .draw_line(self.unit(from), self.unit(to), &style)
    }

    pub fn path(&mut self, places: &[Place], colour: Colour, width: f64) -> Drawn<DB> {
        let style = self.stroke(colour, width);
        let units: Vec<BackendCoord> = places.iter().map(|place| self.unit(*place)).collect();
        self.backend.draw_path(units, &style)
    }

    /// A line of strokes and gaps in turn; unbroken when `pattern` is empty.
    pub fn dashed(
        &mut self,
        from: Place,
        to: Place,
        pattern: &[f64],
        colour: Colour,
        width: f64,
    ) -> Drawn<DB> {
        self.dashed_path(&[from, to], pattern, colour, width)
    }

    /// The same along several straight pieces, the pattern going on from one to the next.
    pub fn dashed_path(
        &mut self,
        places: &[Place],
        pattern: &[f64],
        colour: Colour,
        width: f64,
    ) -> Drawn<DB> {
        let mut parts = pattern.iter().cycle().enumerate();
        let Some((mut index, mut left)) = parts.next().map(|(i, part)| (i, *part)) else {
            return self.path(places, colour, width);
        };
        for pair in places.windows(2) {
            let &[from, to] = pair else { continue };
            let (dx, dy) = (to.0 - from.0, to.1 - from.1);
            let length = dx.hypot(dy);
            if !length.is_finite() {
                continue;
            }
            let at = |along: f64| (from.0 + dx * along / length, from.1 + dy * along / length);
            let mut along = 0.0;
            while along < length {
                let end = (along + left).min(length);
                if index % 2 == 0 {
                    self.path(&[at(along), at(end)], colour, width)?;
                }
                left -= end - along;
                along = end;
                // What rounding leaves of a stroke is no stroke, and would never be used up.
                if left <= LEAST_STROKE
                    && let Some((next, part)) = parts.next()
                {
                    (index, left) = (next, *part);
                }
            }
        }
        Ok(())
    }

    pub fn circle(&mut self, centre: Place, radius: f64, colour: Colour, width: f64) -> Drawn<DB> {
        let style = self.stroke(colour, width);
        let radius = ((radius * self.scale).round() as u32).max(1);
        self.backend
            .draw_circle(self.unit(centre), radius, &style, false)
    }

    pub fn fill(&mut self, area: &Area, colour: Colour) -> Drawn<DB> {
        let (from, to) = (
            self.unit((area.left, area.top)),
            self.unit((area.right, area.bottom)),
        );
        self.backend.draw_rect(from, to, &opaque(colour), true)
    }

    pub fn text(&mut self, text: &str, at: Place, lettering: Lettering) -> Drawn<DB> {
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
pub(super) struct Lettering {
    colour: BackendColor,
    size: f64,
    horizontal: HPos,
    vertical: VPos,
    style: FontStyle,
    turn: FontTransform,
}

impl Lettering {
    pub fn new(colour: Colour, size: f64) -> Lettering {
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
    pub fn centred(self) -> Lettering {
        Lettering {
            horizontal: HPos::Center,
            ..self
        }
    }

    /// Its right end is at the place.
    pub fn ending(self) -> Lettering {
        Lettering {
            horizontal: HPos::Right,
            ..self
        }
    }

    /// It hangs below the place.
    pub fn below(&self) -> Lettering {
        Lettering {
            vertical: VPos::Top,
            ..self.clone()
        }
    }

    /// It stands above the place.
    pub fn above(&self) -> Lettering {
        Lettering {
            vertical: VPos::Bottom,
            ..self.clone()
        }
    }

    /// Its middle is level with the place.
    pub fn level(self) -> Lettering {
        Lettering {
            vertical: VPos::Center,
            ..self
        }
    }

    pub fn bold(self) -> Lettering {
        Lettering {
            style: FontStyle::Bold,
            ..self
        }
    }

    /// It reads upwards.
    pub fn turned(self) -> Lettering {
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
