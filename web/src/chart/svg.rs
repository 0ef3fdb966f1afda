//! A scene as an SVG picture: for the worked sheet, and as a file.
//!
//! Start at [`svg`]. The backend is our own: text is escaped, strokes of one colour and width share one path, and
//! coordinates are tenths of a pixel, since those of the trait are whole numbers.

use std::convert::Infallible;
use std::fmt::Write;

use plotters_backend::text_anchor::{HPos, VPos};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
    FontStyle, FontTransform,
};

use super::describe::describe;
use super::draw::draw;
use super::pen::FONTS;
use super::scene::{Kind, Scene};
use super::theme::Theme;

/// Units of the picture in one CSS pixel.
const SCALE: u32 = 10;
/// A picture is at most so wide and high, in CSS pixels.
const LARGEST: u32 = 20_000;

/// `scene` as an SVG element of `width` by `height` CSS pixels, which scales when it is given another size. It can stand
/// within an HTML page and, since it names its namespace, in a file of its own.
pub fn svg(scene: &Scene, width: u32, height: u32, theme: Theme) -> String {
    let (width, height) = (width.clamp(1, LARGEST), height.clamp(1, LARGEST));
    let mut backend = SvgBackend {
        size: (width * SCALE, height * SCALE),
        out: String::new(),
        path: None,
    };
    let title = match (&scene.kind, scene.title.is_empty()) {
        (_, false) => scene.title.as_str(),
        (Kind::Graph | Kind::Paper, true) => "Graph",
        (Kind::Residuals, true) => "Distances from the best line",
    };
    backend.out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"{width}\" height=\"{height}\" \
         viewBox=\"0 0 {} {}\" font-family=\"{FONTS}\"><title>{}</title><desc>{}</desc>",
        backend.size.0,
        backend.size.1,
        escaped(title),
        escaped(&describe(scene)),
    );
    match draw(scene, &mut backend, theme.palette(), f64::from(SCALE)) {
        Ok(()) => {}
        Err(DrawingErrorKind::DrawingError(never)) => match never {},
        Err(DrawingErrorKind::FontError(error)) => {
            backend.comment(&error.to_string());
        }
    }
    backend.close_path();
    backend.out.push_str("</svg>");
    backend.out
}

struct SvgBackend {
    size: (u32, u32),
    out: String,
    /// The path that is still open: its stroke and its commands.
    path: Option<(StrokeKey, String)>,
}

type StrokeKey = ((u8, u8, u8), u32);
type Answer = Result<(), DrawingErrorKind<Infallible>>;

impl DrawingBackend for SvgBackend {
    type ErrorType = Infallible;

    fn get_size(&self) -> (u32, u32) {
        self.size
    }

    fn ensure_prepared(&mut self) -> Answer {
        Ok(())
    }

    fn present(&mut self) -> Answer {
        self.close_path();
        Ok(())
    }

    fn draw_pixel(&mut self, (x, y): BackendCoord, colour: BackendColor) -> Answer {
        self.element(format_args!(
            "<rect x=\"{x}\" y=\"{y}\" width=\"1\" height=\"1\" fill=\"{}\"/>",
            hex(colour)
        ));
        Ok(())
    }

    fn draw_line<S: BackendStyle>(
        &mut self,
        from: BackendCoord,
        to: BackendCoord,
        style: &S,
    ) -> Answer {
        self.draw_path([from, to], style)
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        from: BackendCoord,
        to: BackendCoord,
        style: &S,
        fill: bool,
    ) -> Answer {
        let (x, y, width, height) = (
            from.0,
            from.1,
            to.0.saturating_sub(from.0),
            to.1.saturating_sub(from.1),
        );
        let paint = paint(style, fill);
        self.element(format_args!(
            "<rect x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" {paint}/>"
        ));
        Ok(())
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Answer {
        let key = (style.color().rgb, style.stroke_width());
        if self.path.as_ref().is_some_and(|(open, _)| *open != key) {
            self.close_path();
        }
        let (_, commands) = self.path.get_or_insert_with(|| (key, String::new()));
        commands.push_str(&commands_of(path));
        Ok(())
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        (x, y): BackendCoord,
        radius: u32,
        style: &S,
        fill: bool,
    ) -> Answer {
        let paint = paint(style, fill);
        self.element(format_args!(
            "<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\" {paint}/>"
        ));
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Answer {
        let commands = commands_of(path);
        self.element(format_args!(
            "<path d=\"{commands}Z\" {}/>",
            paint(style, true)
        ));
        Ok(())
    }

    fn draw_text<T: BackendTextStyle>(
        &mut self,
        text: &str,
        style: &T,
        (x, y): BackendCoord,
    ) -> Answer {
        let size = style.size();
        let anchor = match style.anchor().h_pos {
            HPos::Left => "",
            HPos::Center => " text-anchor=\"middle\"",
            HPos::Right => " text-anchor=\"end\"",
        };
        // Shares of the size of type from the place down to the line that the letters stand on. The attribute for this,
        // dominant-baseline, is not known to every program that shows or prints an SVG.
        let down = match style.anchor().v_pos {
            VPos::Top => 0.85,
            VPos::Center => 0.35,
            VPos::Bottom => -0.22,
        };
        let turn = match style.transform() {
            FontTransform::None => String::new(),
            FontTransform::Rotate90 => format!(" transform=\"rotate(90 {x} {y})\""),
            FontTransform::Rotate180 => format!(" transform=\"rotate(180 {x} {y})\""),
            FontTransform::Rotate270 => format!(" transform=\"rotate(270 {x} {y})\""),
        };
        let weight = match style.style() {
            FontStyle::Bold => " font-weight=\"600\"",
            FontStyle::Italic | FontStyle::Oblique => " font-style=\"italic\"",
            FontStyle::Normal => "",
        };
        let base = f64::from(y) + down * size;
        self.element(format_args!(
            "<text x=\"{x}\" y=\"{base:.0}\" font-size=\"{size:.0}\" fill=\"{}\"{anchor}{weight}{turn}>{}</text>",
            hex(style.color()),
            escaped(text),
        ));
        Ok(())
    }
}

impl SvgBackend {
    fn element(&mut self, element: std::fmt::Arguments<'_>) {
        self.close_path();
        // Writing to a String cannot fail.
        let _ = self.out.write_fmt(element);
    }

    fn close_path(&mut self) {
        if let Some(((rgb, width), commands)) = self.path.take() {
            let stroke = hex(BackendColor { alpha: 1.0, rgb });
            let _ = write!(
                self.out,
                "<path d=\"{commands}\" fill=\"none\" stroke=\"{stroke}\" stroke-width=\"{width}\"/>"
            );
        }
    }

    fn comment(&mut self, text: &str) {
        self.element(format_args!("<desc>{}</desc>", escaped(text)));
    }
}

fn commands_of(path: impl IntoIterator<Item = BackendCoord>) -> String {
    let mut commands = String::new();
    let mut last: Option<BackendCoord> = None;
    for (x, y) in path {
        let _ = match last {
            None => write!(commands, "M{x} {y}"),
            Some(before) if before.1 == y => write!(commands, "H{x}"),
            Some(before) if before.0 == x => write!(commands, "V{y}"),
            Some(_) => write!(commands, "L{x} {y}"),
        };
        last = Some((x, y));
    }
    commands
}

fn paint<S: BackendStyle>(style: &S, fill: bool) -> String {
    let colour = hex(style.color());
    if fill {
        format!("fill=\"{colour}\"")
    } else {
        format!(
            "fill=\"none\" stroke=\"{colour}\" stroke-width=\"{}\"",
            style.stroke_width()
        )
    }
}

fn hex(colour: BackendColor) -> String {
    let (r, g, b) = colour.rgb;
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// `text` as it may stand in an element or attribute of XML; characters that XML has no place for become a mark.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\t' | '\n' | '\r' => safe.push(' '),
            '\0'..='\u{1F}' | '\u{7F}'..='\u{9F}' | '\u{FFFE}' | '\u{FFFF}' => {
                safe.push('\u{FFFD}')
            }
            other => safe.push(other),
        }
    }
    safe
}
