//! Where a scene lies on a given number of pixels: the frame, the title, the key, and back from a pixel to a point.
//!
//! Start at [`Layout::of`]. All lengths are CSS pixels; what draws multiplies them by the pixel ratio.

use super::clip::Place;
use super::scene::Scene;

/// A pointer further than this from every point selects none.
const REACH: f64 = 40.0;
/// Width of the sample before a text of the key.
pub const SAMPLE: f64 = 26.0;

/// A rectangle in pixels, y downwards.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Area {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
}

impl Area {
    /// From left to right.
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    /// From top to bottom.
    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }

    /// The area that both cover, in square pixels.
    pub fn overlap(&self, other: &Area) -> f64 {
        let wide = self.right.min(other.right) - self.left.max(other.left);
        let high = self.bottom.min(other.bottom) - self.top.max(other.top);
        wide.max(0.0) * high.max(0.0)
    }
}

/// Sizes of type.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Type {
    /// At ticks, marks and lines, and in the key.
    pub small: f64,
    /// Beside the axes.
    pub heading: f64,
    /// Above the frame.
    pub title: f64,
}

/// A text of the key and where its sample begins; `middle` is the height of its middle.
#[derive(Clone, Debug, PartialEq)]
pub struct KeyPlace {
    /// Index into the key of the scene.
    pub entry: usize,
    /// Left end of the sample.
    pub left: f64,
    /// Height of the middle.
    pub middle: f64,
    /// The text, shortened where there is no room.
    pub text: String,
}

/// Where everything lies.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Width of the picture.
    pub width: f64,
    /// Height of the picture.
    pub height: f64,
    /// The frame of the graph.
    pub frame: Area,
    /// Sizes of type.
    pub type_sizes: Type,
    /// The title in one or two lines.
    pub title: Vec<String>,
    /// The key, in rows.
    pub key: Vec<KeyPlace>,
    /// The frame in axis units: left, right, bottom, top.
    span: (f64, f64, f64, f64),
}

impl Layout {
    /// Where `scene` lies on a picture of `width` by `height`; `None` when that is too small to show anything.
    pub fn of(scene: &Scene, width: f64, height: f64) -> Option<Layout> {
        let usable = width.is_finite() && height.is_finite() && width >= 120.0 && height >= 60.0;
        if !usable {
            return None;
        }
        let narrow = width < 480.0;
        let sizes = if narrow {
            Type {
                small: 11.0,
                heading: 12.0,
                title: 13.0,
            }
        } else {
            Type {
                small: 12.0,
                heading: 13.5,
                title: 15.0,
            }
        };
        let last_tick = scene
            .x
            .scale
            .ticks
            .last()
            .map_or(0.0, |tick| text_width(&tick.text, sizes.small));
        let left = 6.0 + sizes.heading * 1.3 + 4.0 + scene.room_left * sizes.small + 6.0;
        let room_right = (scene.room_right * sizes.small).min(0.28 * width);
        let right = width - (8.0 + (last_tick / 2.0).max(room_right));
        let bottom = height - (6.0 + sizes.small * 1.1 + 5.0 + sizes.heading * 1.3 + 3.0);

        let title = broken_in_two(&scene.title, sizes.title, width - 16.0);
        let mut top = 8.0
            + sizes.title * 1.25 * title.len() as f64
            + if title.is_empty() { 0.0 } else { 3.0 };
        let key = if scene.key_drawn {
            key_rows(scene, &sizes, left.min(14.0), width - 8.0, top)
        } else {
            Vec::new()
        };
        if let Some(last) = key.last() {
            top = last.middle + sizes.small * 0.75 + 7.0;
        }
        // The uppermost tick text is centred on the upper edge of the frame.
        top = top.max(sizes.small);
        let (x, y) = (&scene.x.scale, &scene.y.scale);
        let frame = Area {
            left,
            top,
            right: right.max(left + 20.0),
            bottom: bottom.max(top + 20.0),
        };
        Some(Layout {
            width,
            height,
            frame,
            type_sizes: sizes,
            title,
            key,
            span: (x.min, x.max, y.min, y.max),
        })
    }

    /// The pixel of a place in axis units.
    pub fn pixel(&self, (x, y): Place) -> Place {
        let (left, right, bottom, top) = self.span;
        (
            self.frame.left + (x - left) / (right - left) * self.frame.width(),
            self.frame.bottom - (y - bottom) / (top - bottom) * self.frame.height(),
        )
    }

    /// Pixels in one axis unit, across and up.
    pub fn pixels_per_unit(&self) -> (f64, f64) {
        let (left, right, bottom, top) = self.span;
        (
            self.frame.width() / (right - left),
            self.frame.height() / (top - bottom),
        )
    }

    /// The pixel of a place in axis units, drawn to the edge of the frame where it lies beyond.
    pub fn pixel_in_frame(&self, place: Place) -> Place {
        let (x, y) = self.pixel(place);
        (
            x.max(self.frame.left).min(self.frame.right),
            y.max(self.frame.top).min(self.frame.bottom),
        )
    }
}

impl Scene {
    /// The point nearest to a pixel, as an index into the points of the analysis; `None` when none is near.
    pub fn nearest(&self, x_px: f64, y_px: f64, width: f64, height: f64) -> Option<usize> {
        let layout = Layout::of(self, width, height)?;
        let distance = |place: Place| {
            let (x, y) = layout.pixel_in_frame(place);
            (x - x_px) * (x - x_px) + (y - y_px) * (y - y_px)
        };
        let distances = self
            .points
            .iter()
            .map(|mark| (mark.index, distance((mark.x, mark.y))));
        let near = distances.filter(|(_, squared)| *squared <= REACH * REACH);
        near.min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(index, _)| index)
    }

    /// The pixel of a point, by its index into the points of the analysis; `None` when it has no place.
    pub fn position(&self, index: usize, width: f64, height: f64) -> Option<(f64, f64)> {
        let layout = Layout::of(self, width, height)?;
        let mark = self.points.iter().find(|mark| mark.index == index)?;
        Some(layout.pixel_in_frame((mark.x, mark.y)))
    }
}

/// How wide a text will be, near enough, in the sans-serif type of most systems; rather too wide than too narrow.
///
/// Measuring needs an element with a style of its own, which a strict content policy forbids, or a canvas, which a
/// drawing outside a browser has not.
pub fn text_width(text: &str, size: f64) -> f64 {
    let em = |character: char| match character {
        'i' | 'j' | 'l' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' => 0.30,
        ' ' | 'f' | 't' | 'r' | 'I' | '(' | ')' | '[' | ']' | '/' | '-' | '·' => 0.37,
        '⁰'..='⁹' | '⁻' | '⁺' | '¹' | '²' | '³' => 0.40,
        'm' | 'w' | 'M' | 'W' | '@' | '%' => 0.92,
        'A'..='Z' | '+' | '−' | '=' | '±' | '×' | '<' | '>' => 0.70,
        '\u{2E80}'..='\u{FFEF}' | '\u{1F000}'..='\u{1FFFF}' => 1.05,
        _ => 0.60,
    };
    text.chars().map(em).sum::<f64>() * size
}

/// `text`, or its beginning and an ellipsis where there is no room for it.
pub fn shortened(text: &str, size: f64, room: f64) -> String {
    if text_width(text, size) <= room {
        return text.to_owned();
    }
    let mut kept = String::new();
    let mut used = text_width("…", size);
    for character in text.chars() {
        used += text_width(character.encode_utf8(&mut [0; 4]), size);
        if used > room {
            break;
        }
        kept.push(character);
    }
    format!("{}…", kept.trim_end())
}

/// `text` in lines of at most `room`, broken between words; a word that is too long is shortened.
pub fn wrapped(text: &str, size: f64, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line)
                if text_width(line, size) + text_width(" ", size) + text_width(word, size)
                    <= room =>
            {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(shortened(word, size, room)),
        }
    }
    lines
}

fn broken_in_two(title: &str, size: f64, room: f64) -> Vec<String> {
    let mut lines = wrapped(title, size, room);
    if lines.len() > 2 {
        let rest = lines.split_off(1).join(" ");
        lines.push(shortened(&rest, size, room));
    }
    lines
}

fn key_rows(scene: &Scene, sizes: &Type, left: f64, right: f64, top: f64) -> Vec<KeyPlace> {
    const GAP: f64 = 14.0;
    let row = sizes.small * 1.45;
    let (mut x, mut middle) = (left, top + row / 2.0);
    let mut places = Vec::new();
    for (entry, key) in scene.key.iter().enumerate() {
        let text = shortened(&key.text, sizes.small, right - left - SAMPLE - 5.0);
        let width = SAMPLE + 5.0 + text_width(&text, sizes.small);
        if x > left && x + width > right {
            (x, middle) = (left, middle + row);
        }
        places.push(KeyPlace {
            entry,
            left: x,
            middle,
            text,
        });
        x += width + GAP;
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_texts_are_broken_and_shortened_to_their_room() {
        let title = "Balance reading against current for the second magnet, with the wire turned round, third attempt";
        let lines = broken_in_two(title, 13.0, 320.0);
        assert_eq!(lines.len(), 2);
        for line in &lines {
            assert!(text_width(line, 13.0) <= 320.0, "{line}");
        }
        assert!(lines.last().is_some_and(|line| line.ends_with('…')));
        assert_eq!(shortened("10 mm", 12.0, 100.0), "10 mm");
        assert_eq!(shortened("anything", 12.0, 0.0), "…");
    }

    #[test]
    fn overlap_is_an_area() {
        let area = |left: f64, top: f64| Area {
            left,
            top,
            right: left + 10.0,
            bottom: top + 10.0,
        };
        assert_eq!(area(0.0, 0.0).overlap(&area(5.0, 8.0)), 10.0);
        assert_eq!(area(0.0, 0.0).overlap(&area(11.0, 0.0)), 0.0);
    }
}
