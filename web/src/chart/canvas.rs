//! A scene on a canvas of the page, sharp at any pixel ratio.

use plotters_canvas::CanvasBackend;
use web_sys::HtmlCanvasElement;

use super::draw::draw;
use super::scene::Scene;
use super::theme::Palette;

/// A canvas is at most so wide and high in its own pixels: some browsers show nothing beyond.
const LARGEST: f64 = 8192.0;

/// Paints `scene` over `canvas` at the size that the page gives it, with as many pixels as the screen has.
///
/// Nothing is done while the canvas has no size, as when it is hidden.
///
/// # Errors
/// A sentence, when the browser gives no drawing context or refuses to draw.
pub fn paint(scene: &Scene, canvas: &HtmlCanvasElement, palette: &Palette) -> Result<(), String> {
    let ratio = web_sys::window().map_or(1.0, |window| window.device_pixel_ratio());
    paint_sized(
        scene,
        canvas,
        palette,
        f64::from(canvas.client_width()),
        f64::from(canvas.client_height()),
        ratio,
    )
}

/// Paints `scene` over `canvas`, which becomes `width` by `height` CSS pixels of `ratio` of its own pixels each: for a
/// picture to be saved, at a size that the page need not have.
///
/// # Errors
/// As [`paint`].
pub fn paint_sized(
    scene: &Scene,
    canvas: &HtmlCanvasElement,
    palette: &Palette,
    width: f64,
    height: f64,
    ratio: f64,
) -> Result<(), String> {
    let ratio = if ratio.is_finite() && ratio > 0.0 {
        ratio
    } else {
        1.0
    };
    let longest = width.max(height);
    if longest.is_nan() || width.min(height) < 1.0 {
        return Ok(());
    }
    let ratio = ratio.min(LARGEST / longest);
    let (columns, rows) = (
        (width * ratio).round() as u32,
        (height * ratio).round() as u32,
    );
    // Setting the size empties the canvas and takes time, even when it is the old one.
    if canvas.width() != columns {
        canvas.set_width(columns);
    }
    if canvas.height() != rows {
        canvas.set_height(rows);
    }
    let mut backend = CanvasBackend::with_canvas_object(canvas.clone()).ok_or_else(|| {
        "This browser gives no drawing context, so the graph cannot be shown.".to_owned()
    })?;
    draw(scene, &mut backend, palette, ratio)
        .map_err(|error| format!("The graph could not be drawn: {error}."))
}
