//! Colours, in the light, in the dark and on paper.
//!
//! Marks and lines take theirs from the palette of M. Okabe and K. Ito, "Color Universal Design" (2008), which people with
//! any kind of colour vision can tell apart; each has a contrast of at least 3 : 1 with its ground. Shape and dash
//! say the same again for black-and-white print.

use plotters_backend::BackendColor;

/// Which ground the graph stands on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Theme {
    /// A light page.
    #[default]
    Light,
    /// A dark page.
    Dark,
    /// Paper: black lines that differ by dash.
    Print,
}

impl Theme {
    /// Its colours.
    pub fn palette(self) -> &'static Palette {
        match self {
            Theme::Light => &LIGHT,
            Theme::Dark => &DARK,
            Theme::Print => &PRINT,
        }
    }
}

/// A colour as red, green and blue.
pub type Colour = (u8, u8, u8);

/// The colours of one theme.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Palette {
    /// Behind everything.
    pub ground: Colour,
    /// Text, axes and the marks of a single series.
    pub ink: Colour,
    /// Lines of the paper between ticks.
    pub minor_grid: Colour,
    /// Lines of the paper at ticks.
    pub major_grid: Colour,
    /// The best line.
    pub best: Colour,
    /// The steepest line.
    pub steepest: Colour,
    /// The shallowest line.
    pub shallowest: Colour,
    /// The line through the origin.
    pub through_origin: Colour,
    /// The gradient triangle.
    pub triangle: Colour,
    /// Points left out of the line.
    pub excluded: Colour,
    /// The ring about the selected point.
    pub ring: Colour,
    /// One for each series, again from the start when there are more.
    pub series: [Colour; 5],
}

impl Palette {
    /// The colours for somebody who has chosen the colours of everything on the screen: theirs for the ground, for what
    /// stands on it and for what is picked out. Shape and dash tell the rest; the paper is drawn in faint mixtures.
    pub fn chosen(ground: Colour, ink: Colour, ring: Colour) -> Self {
        Palette {
            ground,
            ink,
            minor_grid: mixed(ground, ink, 0.12),
            major_grid: mixed(ground, ink, 0.25),
            best: ink,
            steepest: ink,
            shallowest: ink,
            through_origin: ink,
            triangle: ink,
            excluded: ink,
            ring,
            series: [ink; 5],
        }
    }

    /// The colour of a series.
    pub fn of_series(&self, family: usize) -> Colour {
        self.series
            .get(family % self.series.len())
            .copied()
            .unwrap_or(self.ink)
    }
}

/// So large a `share` of the second colour in the first.
fn mixed(first: Colour, second: Colour, share: f64) -> Colour {
    let mix = |a: u8, b: u8| (f64::from(a) + share * (f64::from(b) - f64::from(a))).round() as u8;
    (
        mix(first.0, second.0),
        mix(first.1, second.1),
        mix(first.2, second.2),
    )
}

/// The colour that a browser writes as `rgb(26, 30, 34)`; `None` for any other text.
pub fn from_css(text: &str) -> Option<Colour> {
    let channels = text.trim().strip_prefix("rgb(")?.strip_suffix(')')?;
    let mut channels = channels.split(',').map(|channel| channel.trim().parse());
    let colour = (
        channels.next()?.ok()?,
        channels.next()?.ok()?,
        channels.next()?.ok()?,
    );
    channels.next().is_none().then_some(colour)
}

/// An opaque colour as plotters takes it.
pub fn opaque(rgb: Colour) -> BackendColor {
    BackendColor { alpha: 1.0, rgb }
}

// Okabe and Ito's names and values.
const BLACK: Colour = (0, 0, 0);
const ORANGE: Colour = (230, 159, 0);
const SKY_BLUE: Colour = (86, 180, 233);
const BLUISH_GREEN: Colour = (0, 158, 115);
const YELLOW: Colour = (240, 228, 66);
const BLUE: Colour = (0, 114, 178);
const VERMILLION: Colour = (213, 94, 0);
const REDDISH_PURPLE: Colour = (204, 121, 167);

const LIGHT: Palette = Palette {
    ground: (255, 255, 255),
    ink: (26, 30, 34),
    minor_grid: (228, 238, 233),
    major_grid: (185, 207, 197),
    best: BLUE,
    steepest: VERMILLION,
    shallowest: BLUISH_GREEN,
    through_origin: REDDISH_PURPLE,
    triangle: (92, 96, 102),
    excluded: (110, 114, 120),
    ring: VERMILLION,
    series: [BLUE, VERMILLION, BLUISH_GREEN, REDDISH_PURPLE, BLACK],
};

const DARK: Palette = Palette {
    ground: (21, 25, 29),
    ink: (228, 231, 233),
    minor_grid: (33, 42, 44),
    major_grid: (58, 75, 76),
    best: SKY_BLUE,
    steepest: ORANGE,
    shallowest: BLUISH_GREEN,
    through_origin: REDDISH_PURPLE,
    triangle: (165, 170, 175),
    excluded: (150, 155, 160),
    ring: YELLOW,
    series: [SKY_BLUE, ORANGE, BLUISH_GREEN, REDDISH_PURPLE, YELLOW],
};

const PRINT: Palette = Palette {
    ground: (255, 255, 255),
    ink: BLACK,
    minor_grid: (222, 228, 225),
    major_grid: (170, 182, 176),
    best: BLACK,
    steepest: BLACK,
    shallowest: BLACK,
    through_origin: (70, 70, 70),
    triangle: (70, 70, 70),
    excluded: (90, 90, 90),
    ring: VERMILLION,
    series: [BLACK, BLUE, VERMILLION, BLUISH_GREEN, REDDISH_PURPLE],
};

#[cfg(test)]
mod tests {
    use super::*;

    /// Contrast of two colours, 1 to 21 (Web Content Accessibility Guidelines 2.2, "contrast ratio").
    fn contrast(a: Colour, b: Colour) -> f64 {
        let linear = |channel: u8| {
            let share = f64::from(channel) / 255.0;
            if share <= 0.04045 {
                share / 12.92
            } else {
                ((share + 0.055) / 1.055).powf(2.4)
            }
        };
        let luminance =
            |(r, g, b): Colour| 0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b);
        let (light, dark) = (
            luminance(a).max(luminance(b)),
            luminance(a).min(luminance(b)),
        );
        (light + 0.05) / (dark + 0.05)
    }

    /// The smallest contrast of a mark that carries meaning (the same, success criterion 1.4.11, non-text contrast).
    const OF_A_MARK: f64 = 3.0;

    /// The smallest contrast of small letters (the same, success criterion 1.4.3, contrast, minimum).
    const OF_LETTERS: f64 = 4.5;

    #[test]
    fn every_mark_stands_out_from_its_ground() {
        assert!((contrast((255, 255, 255), (0, 0, 0)) - 21.0).abs() < 1e-9);
        for theme in [Theme::Light, Theme::Dark, Theme::Print] {
            let p = theme.palette();
            let marks = [
                p.best,
                p.steepest,
                p.shallowest,
                p.through_origin,
                p.triangle,
                p.excluded,
                p.ring,
            ];
            for colour in marks.into_iter().chain(p.series) {
                let ratio = contrast(colour, p.ground);
                assert!(
                    ratio >= OF_A_MARK,
                    "{theme:?}: {colour:?} has only {ratio:.2}"
                );
            }
            // Ticks, headings and labels are lettered in the ink, the corners of the triangle in its own colour.
            for colour in [p.ink, p.triangle] {
                assert!(contrast(colour, p.ground) >= OF_LETTERS, "{theme:?}");
            }
        }
    }

    #[test]
    fn the_paper_stays_behind_the_marks() {
        for theme in [Theme::Light, Theme::Dark, Theme::Print] {
            let p = theme.palette();
            let minor = contrast(p.minor_grid, p.ground);
            let major = contrast(p.major_grid, p.ground);
            assert!(
                1.1 < minor && minor < major && major < 2.5,
                "{theme:?}: {minor:.2}, {major:.2}"
            );
        }
    }

    #[test]
    fn chosen_colours_are_kept_and_the_paper_is_faint_in_them() {
        let (black, white, yellow) = ((0, 0, 0), (255, 255, 255), (255, 255, 0));
        let p = Palette::chosen(black, white, yellow);
        assert_eq!(
            (p.ground, p.best, p.series[4], p.ring),
            (black, white, white, yellow)
        );
        assert!(contrast(p.minor_grid, black) < contrast(p.major_grid, black));
        assert!(contrast(p.major_grid, black) < OF_A_MARK);
        assert_eq!(from_css("rgb(26, 30, 34)"), Some((26, 30, 34)));
        for other in [
            "",
            "rgba(1, 2, 3, 0.5)",
            "rgb(1, 2)",
            "rgb(1, 2, 3, 4)",
            "rgb(1, 2, 300)",
        ] {
            assert_eq!(from_css(other), None, "{other}");
        }
    }

    #[test]
    fn a_sixth_series_has_a_colour_too() {
        assert_eq!(
            Theme::Light.palette().of_series(5),
            Theme::Light.palette().of_series(0)
        );
    }
}
