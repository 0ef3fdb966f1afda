//! The graph and its residual strip: painted before the next frame, walked with pointer or arrow keys, and told in words.

use wasm_bindgen::JsValue;
use web_sys::{Document, Element, HtmlCanvasElement, Window};

use crate::chart::describe::{in_full, in_short, point_text, table};
use crate::chart::scene::{GraphChoice, Scene};
use crate::chart::theme::{Palette, Theme, from_css};
use crate::chart::{canvas, svg};

use super::elements::{Shown, fill_table, find, set_attribute, set_text, show};
use super::state::State;
use super::{headline, words};

/// The size of a saved picture, in CSS pixels.
const SAVED_WIDTH: u32 = 900;
const SAVED_HEIGHT: u32 = 640;

/// The graph's part of the page.
pub struct GraphPart {
    walk: Element,
    graph: HtmlCanvasElement,
    residuals: HtmlCanvasElement,
    equation: Element,
    readout: Element,
    remarks: Element,
    band: Element,
    description: Element,
    table_frame: Element,
    table_head: Element,
    table_body: Element,
    table_rest: Element,
    /// Where what has changed is said to those who do not see it; what was said last.
    news: Element,
    told: Option<String>,
    scenes: Option<(Scene, Scene)>,
}

impl GraphPart {
    /// The part, in the document as it stands.
    pub fn find(document: &Document) -> Result<Self, JsValue> {
        Ok(GraphPart {
            walk: find(document, "graph-walk")?,
            graph: find(document, "graph")?,
            residuals: find(document, "residuals")?,
            equation: find(document, "equation")?,
            readout: find(document, "readout")?,
            remarks: find(document, "graph-remarks")?,
            band: find(document, "band-tick")?,
            description: find(document, "graph-description")?,
            table_frame: find(document, "graph-table-frame")?,
            table_head: find(document, "graph-table-head")?,
            table_body: find(document, "graph-table-body")?,
            table_rest: find(document, "graph-table-rest")?,
            news: find(document, "graph-news")?,
            told: None,
            scenes: None,
        })
    }

    /// Shows what stands around the graph; answers whether it has to be painted again.
    pub fn show(&mut self, document: &Document, state: &State) -> Result<bool, JsValue> {
        let analysis = state.analysis();
        // Several series would have bands upon bands.
        let has_band = analysis.best_line.is_some_and(|line| line.band.is_some());
        show(&self.band, has_band)?;
        let choice = GraphChoice {
            band: state.band(),
            ..GraphChoice::default()
        };
        let mut graph = Scene::graph(analysis, &choice);
        let mut residuals = Scene::residuals(analysis);
        graph.line_up(&mut residuals);
        // The title stands above the canvas, as text.
        let title = std::mem::take(&mut graph.title);
        graph.selected = state.lit_points();
        residuals.selected = state.lit_points();

        let readout = match state.point() {
            Some(point) => point_text(analysis, point),
            None if analysis.points.is_empty() => String::new(),
            None if !state.lit_rows().is_empty() => {
                format!("Ringed: {}.", words::rows(&state.lit_rows()))
            }
            None => "Point at the graph, or walk its points with the arrow keys, to read them out."
                .to_owned(),
        };
        set_text(&self.readout, &readout);
        let points = analysis.points.len();
        set_attribute(&self.walk, "aria-valuemax", Some(&points.to_string()))?;
        set_attribute(
            &self.walk,
            "aria-valuemin",
            Some(if points == 0 { "0" } else { "1" }),
        )?;
        let now = state
            .point()
            .map_or(usize::from(points > 0), |point| point + 1);
        set_attribute(&self.walk, "aria-valuenow", Some(&now.to_string()))?;
        let said = match state.point() {
            Some(_) => readout,
            None => format!("{points} points"),
        };
        set_attribute(&self.walk, "aria-valuetext", Some(&said))?;

        let same = self
            .scenes
            .as_ref()
            .is_some_and(|(old_graph, old_residuals)| {
                *old_graph == graph && *old_residuals == residuals
            });
        if same {
            return Ok(false);
        }
        let only_selection = self.scenes.as_ref().is_some_and(|(old, _)| {
            old.points == graph.points
                && old.lines == graph.lines
                && old.bands == graph.bands
                && old.x == graph.x
                && old.y == graph.y
        });
        if !only_selection {
            set_attribute(&self.graph, "aria-label", Some(&name_of(&title)))?;
            let equations = graph.equations.join("; ");
            set_text(
                &self.equation,
                &if equations.is_empty() {
                    title
                } else {
                    format!("{title}: {equations}")
                },
            );
            set_text(&self.remarks, &graph.remarks.join(" "));
            self.show_in_words(document, &graph, state)?;
        }
        self.scenes = Some((graph, residuals));
        Ok(true)
    }

    fn show_in_words(&self, document: &Document, graph: &Scene, state: &State) -> Shown {
        set_text(&self.description, &in_full(graph, state.analysis()));
        let words = table(graph, state.analysis());
        show(&self.table_frame, !words.rows.is_empty())?;
        let rest = match words.left_off {
            0 => String::new(),
            more => format!("And {} more points.", words::thousands(more)),
        };
        set_text(&self.table_rest, &rest);
        let table = (&self.table_head, &self.table_body);
        fill_table(document, table, &words.headings, &words.rows)
    }

    /// Tells those who do not see it what has become of result and graph. Called when something was finished, not at
    /// every letter of it; what was there from the start is not told.
    pub fn tell(&mut self, state: &State) {
        let Some((graph, _)) = &self.scenes else {
            return;
        };
        let result = headline::aloud(state.analysis());
        let news = format!("{result} {}", in_short(graph)).trim().to_owned();
        if self.told.as_ref().is_some_and(|told| *told != news) {
            set_text(&self.news, &news);
        }
        self.told = Some(news);
    }

    /// Paints both canvases.
    pub fn paint(&self, window: &Window, _: &State) -> Shown {
        let Some((graph, residuals)) = &self.scenes else {
            return Ok(());
        };
        let wanted = |what: &str| -> Result<bool, JsValue> {
            let query = window.match_media(what)?;
            Ok(query.is_some_and(|query| query.matches()))
        };
        let theme = match wanted("(prefers-color-scheme: dark)")? {
            true => Theme::Dark,
            false => Theme::Light,
        };
        let chosen = match wanted("(forced-colors: active)")? {
            true => self.chosen_colours(window)?,
            false => None,
        };
        let palette = chosen.as_ref().unwrap_or(theme.palette());
        canvas::paint(graph, &self.graph, palette)?;
        canvas::paint(residuals, &self.residuals, palette)?;
        Ok(())
    }

    /// The colours of a browser that is told to use its own for everything: the page's style gives them to the canvas, which
    /// is the one thing that the browser does not colour by itself.
    fn chosen_colours(&self, window: &Window) -> Result<Option<Palette>, JsValue> {
        let Some(style) = window.get_computed_style(&self.graph)? else {
            return Ok(None);
        };
        let colour =
            |property| -> Result<_, JsValue> { Ok(from_css(&style.get_property_value(property)?)) };
        let ground = colour("background-color")?;
        let ink = colour("color")?;
        let ring = colour("outline-color")?;
        Ok(ground
            .zip(ink)
            .map(|(ground, ink)| Palette::chosen(ground, ink, ring.unwrap_or(ink))))
    }

    /// The point nearest to a place of the window, in CSS pixels.
    pub fn nearest(&self, client_x: f64, client_y: f64) -> Option<usize> {
        let (graph, _) = self.scenes.as_ref()?;
        let frame = self.graph.get_bounding_client_rect();
        graph.nearest(
            client_x - frame.left(),
            client_y - frame.top(),
            frame.width(),
            frame.height(),
        )
    }

    /// The graph as a file of its own.
    pub fn to_svg(&self) -> Option<String> {
        let (graph, _) = self.scenes.as_ref()?;
        Some(svg::svg(
            &saved(graph),
            SAVED_WIDTH,
            SAVED_HEIGHT,
            Theme::Light,
        ))
    }

    /// The graph painted on a canvas of its own, for a picture.
    pub fn to_canvas(&self, document: &Document) -> Result<HtmlCanvasElement, JsValue> {
        let canvas: HtmlCanvasElement =
            wasm_bindgen::JsCast::dyn_into(document.create_element("canvas")?)?;
        if let Some((graph, _)) = &self.scenes {
            canvas::paint_sized(
                &saved(graph),
                &canvas,
                Theme::Light.palette(),
                f64::from(SAVED_WIDTH),
                f64::from(SAVED_HEIGHT),
                2.0,
            )?;
        }
        Ok(canvas)
    }
}

/// What the graph is called.
fn name_of(title: &str) -> String {
    if title.is_empty() {
        "Graph".to_owned()
    } else {
        format!("Graph: {title}")
    }
}

/// The graph without the ring about the point that is read out.
fn saved(graph: &Scene) -> Scene {
    Scene {
        selected: Vec::new(),
        ..graph.clone()
    }
}
