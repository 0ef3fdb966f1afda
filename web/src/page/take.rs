//! What can be taken away: sheet, graph, table, job and link.

use std::cell::RefCell;

use js_sys::Array;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Document, Element, HtmlInputElement};
use yokeline_core::job::input::Show;
use yokeline_core::job::{Job, work};

use super::elements::{Shown, find, set_attribute, show};
use super::state::State;
use super::{app, print};
use crate::chart::scene::{GraphChoice, Scene};
use crate::chart::svg;
use crate::chart::theme::Theme;
use crate::keep::file::{self, Kind};
use crate::keep::{csv, download, link};
use crate::paper;

/// The size of the graph on the sheet, in CSS pixels; it is scaled to the width of the paper.
const SHEET_GRAPH_WIDTH: u32 = 760;
const SHEET_GRAPH_HEIGHT: u32 = 560;

/// The downloads' part of the page.
pub struct TakePart {
    link: HtmlInputElement,
    /// The job in the link that is shown. Making a link anew only to compare it would hold up every key of a long table.
    linked: RefCell<Option<Job>>,
    /// What is worth saving only when there is something.
    with_points: Vec<Element>,
}

impl TakePart {
    /// The part, in the document as it stands.
    pub fn find(document: &Document) -> Result<Self, JsValue> {
        let mut with_points = Vec::new();
        for id in ["save-svg", "save-png", "save-csv"] {
            with_points.push(find(document, id)?);
        }
        Ok(TakePart {
            link: find(document, "share-link")?,
            linked: RefCell::default(),
            with_points,
        })
    }

    /// A link that was shown goes when the job changes: it would hold an older one.
    pub fn show(&self, state: &State) -> Shown {
        let nothing = state.analysis().points.is_empty();
        for button in &self.with_points {
            set_attribute(button, "disabled", nothing.then_some(""))?;
        }
        let mut linked = self.linked.borrow_mut();
        if linked.as_ref().is_some_and(|job| job != state.job()) {
            *linked = None;
            self.link.set_value("");
            show(&self.link, false)?;
        }
        Ok(())
    }

    fn show_link(&self, address: &str, job: &Job) -> Shown {
        *self.linked.borrow_mut() = Some(job.clone());
        self.link.set_value(address);
        show(&self.link, true)?;
        self.link.focus()?;
        self.link.select();
        Ok(())
    }
}

/// Does what a button of this part is for.
pub fn act(name: &str) {
    let (mut job, hides) =
        app::read(|app| (app.state().job().clone(), app.state().hides())).unwrap_or_default();
    if hides {
        job.sheet.show = Show::Blank;
    }
    match name {
        "save-sheet" => offer(&job, Kind::Sheet(job.sheet.show), sheet(&job).as_bytes()),
        "print-sheet" => print_sheet(&job),
        "save-svg" => {
            if let Some(svg) = app::read(|app| app.graph().to_svg()).flatten() {
                offer(&job, Kind::GraphSvg, svg.as_bytes());
            }
        }
        "save-png" => save_png(job),
        "save-csv" => {
            let text = app::read(|app| csv::processed(app.state().analysis())).unwrap_or_default();
            offer(&job, Kind::Table, text.as_bytes());
        }
        "save-json" => offer(&job, Kind::Job, file::to_json(&job).as_bytes()),
        "share" => share(&job),
        "class-csv" => {
            let text = app::read(|app| csv::class(app.state().class())).unwrap_or_default();
            offer(&job, Kind::Class, text.as_bytes());
        }
        "class-print" => {
            let html = app::read(|app| paper::feedback::feedback(&job.title, app.state().class()));
            print_html(&html.unwrap_or_default());
        }
        _ => {}
    }
}

/// The worked sheet as a file, with its graph as lines on paper.
fn sheet(job: &Job) -> String {
    let working = work(job);
    let simulated = app::read(|app| match app.state().simulated()?.outcome.clone() {
        Some(Ok(outcome)) => Some(outcome),
        _ => None,
    });
    let working = match simulated.flatten() {
        Some(outcome) => working.with_simulation(&outcome),
        None => working,
    };
    let graph = Scene::graph(&working.analysis(), &GraphChoice::default());
    let picture = svg::svg(&graph, SHEET_GRAPH_WIDTH, SHEET_GRAPH_HEIGHT, Theme::Print);
    paper::html(&working.sheet(), &picture)
}

fn print_sheet(job: &Job) {
    print_html(&sheet(job));
}

pub(super) fn print_html(html: &str) {
    // The print may go on while the page is used again: it is not held meanwhile.
    let page = app::read(|app| (app.window().clone(), app.document().clone()));
    let Some((window, document)) = page else {
        return;
    };
    if let Err(error) = print::print(&window, &document, html) {
        web_sys::console::error_1(&error);
        app::say(
            "This browser cannot print the sheet from here. Save the sheet, open the file and print that.",
            true,
        );
    }
}

fn offer(job: &Job, kind: Kind, bytes: &[u8]) {
    let name = file::name(job, kind);
    match download::offer(&name, kind.mime(), bytes) {
        Ok(()) => app::say(format!("Saved as {name}."), false),
        Err(error) => app::say(error.to_string(), true),
    }
}

fn save_png(job: Job) {
    let painted = app::read(|app| app.graph().to_canvas(app.document()));
    let Some(Ok(canvas)) = painted else { return };
    let done = Closure::once_into_js(move |blob: JsValue| {
        let Ok(blob) = blob.dyn_into::<web_sys::Blob>() else {
            app::say(
                "The browser could not make a picture of the graph. The .svg file holds the same graph.",
                true,
            );
            return;
        };
        with_bytes(&blob.array_buffer(), move |bytes| match bytes {
            Some(bytes) => offer(&job, Kind::GraphPng, &bytes),
            None => app::say(
                "The browser could not make a picture of the graph. The .svg file holds the same graph.",
                true,
            ),
        });
    });
    // A browser that refuses gives no picture, and says so through the callback.
    let _ = canvas.to_blob_with_type(done.unchecked_ref(), "image/png");
}

/// Waits for bytes that the browser promised.
pub fn with_bytes(promise: &js_sys::Promise, then: impl FnOnce(Option<Vec<u8>>) + 'static) {
    let then = std::rc::Rc::new(std::cell::Cell::new(Some(then)));
    let otherwise = then.clone();
    let done = Closure::once_into_js(move |buffer: JsValue| {
        if let Some(then) = then.take() {
            then(Some(js_sys::Uint8Array::new(&buffer).to_vec()));
        }
    });
    let failed = Closure::once_into_js(move |_: JsValue| {
        if let Some(then) = otherwise.take() {
            then(None);
        }
    });
    let handlers = Array::of2(&done, &failed);
    let _ = js_sys::Reflect::get(promise, &"then".into())
        .and_then(|then| then.dyn_into::<js_sys::Function>())
        .and_then(|then| then.apply(promise, &handlers));
}

/// The address that a link to the page begins with: its own without the fragment, or the one that a copy in a file was
/// fetched from.
pub(super) fn page_address(document: &Document) -> String {
    let home = document
        .document_element()
        .and_then(|root| root.get_attribute("data-home"));
    home.unwrap_or_else(|| {
        let address = document.location().and_then(|here| here.href().ok());
        let address = address.unwrap_or_default();
        match address.split_once('#') {
            Some((page, _)) => page.to_owned(),
            None => address,
        }
    })
}

fn share(job: &Job) {
    let fragment = link::to_fragment(job);
    let page = app::read(|app| page_address(app.document())).unwrap_or_default();
    let address = format!("{page}{fragment}");
    let concerns = [link::concern(&fragment), link::works_here_only(&page)];
    let concern = concerns.into_iter().flatten().collect::<Vec<_>>().join(" ");
    app::with(|app| app.take().show_link(&address, job));
    copy(
        &address,
        format!("The link was copied; it holds the whole job. {concern}"),
        "share-link",
    );
}

/// Copies a text and says so; where the browser does not let it, the field that holds the text is selected instead.
pub(super) fn copy(text: &str, copied_said: String, field_id: &'static str) {
    let copied = app::read(|app| {
        let navigator = app.window().navigator();
        // Pages that are not served securely have no clipboard.
        let clipboard = js_sys::Reflect::get(&navigator, &"clipboard".into()).ok()?;
        clipboard
            .is_object()
            .then(|| navigator.clipboard().write_text(text))
    })
    .flatten();
    let by_hand = move || {
        let field = app::read(|app| app.document().get_element_by_id(field_id)).flatten();
        if let Some(field) = field.and_then(|field| field.dyn_into::<HtmlInputElement>().ok()) {
            let _ = field.focus();
            field.select();
        }
        app::say(
            "It stands below the button, selected: copy it with Ctrl+C.",
            false,
        );
    };
    let Some(promise) = copied else {
        by_hand();
        return;
    };
    let done = Closure::once_into_js(move |_: JsValue| app::say(copied_said, false));
    let failed = Closure::once_into_js(move |_: JsValue| by_hand());
    let handlers = Array::of2(&done, &failed);
    let _ = js_sys::Reflect::get(&promise, &"then".into())
        .and_then(|then| then.dyn_into::<js_sys::Function>())
        .and_then(|then| then.apply(&promise, &handlers));
}
