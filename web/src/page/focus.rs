//! The focus is never lost: when the element that had it is gone, one near it gets it.
//!
//! A browser gives the focus of an element that is hidden or taken away to nothing, and whoever works with the keyboard or
//! a screen reader is thrown back to the top of the page.

use std::cell::RefCell;

use wasm_bindgen::JsCast;
use web_sys::{Document, Element, HtmlElement};

use super::app;

/// What can be entered with the keyboard.
const ENTERED: &str =
    "button:not([disabled]), input:not([disabled]), select, textarea, summary, [tabindex=\"0\"]";

/// What cannot be entered, and what is inside it neither, but for the line that opens a fold.
const HIDDEN: &str = "[hidden], details:not([open]) > :not(summary)";

thread_local! {
    /// What had the focus last outside the status line, which comes and goes by itself.
    static BEFORE_STATUS: RefCell<Option<Element>> = const { RefCell::new(None) };
}

/// Where the focus was, and what stands around it.
pub struct Place {
    element: Element,
    around: Vec<Element>,
}

impl Place {
    /// Where the focus is; `None` when it is nowhere.
    pub fn now(document: &Document) -> Option<Self> {
        let element = document.active_element()?;
        let mut around = Vec::new();
        let mut above = element.parent_element();
        while let Some(parent) = above {
            above = parent.parent_element();
            around.push(parent);
        }
        // The body itself is where the focus is when it is nowhere; it has but the root above it.
        (around.len() > 1).then_some(Place { element, around })
    }

    /// Gives the focus to what is nearest when the element that had it can no longer have it.
    pub fn keep(self) {
        if can_be_entered(&self.element) {
            return;
        }
        let in_table = self.is_inside("#grid");
        let in_status = self.is_inside("#status");
        let current = app::read(|app| {
            let (row, column) = app.grid_current().filter(|_| in_table)?;
            let row = row.min(app.state().grid_rows().checked_sub(1)?);
            let column = column.min(app.state().grid_columns().checked_sub(1)?);
            app.cell_field(row, column).map(Element::from)
        });
        let before = BEFORE_STATUS.with_borrow(Clone::clone);
        let candidates = [current.flatten(), before.filter(|_| in_status)];
        let near = candidates
            .into_iter()
            .flatten()
            .find(can_be_entered)
            .or_else(|| self.around.iter().find_map(first_inside));
        if let Some(element) = near.and_then(|near| near.dyn_into::<HtmlElement>().ok()) {
            // What cannot be entered after all leaves the focus where the browser puts it.
            let _ = element.focus();
        }
    }

    fn is_inside(&self, css: &str) -> bool {
        self.around
            .iter()
            .any(|around| around.matches(css).unwrap_or(false))
    }
}

/// An element was entered: remembers it, unless it belongs to the status line.
pub fn entered(element: &Element) {
    if matches!(element.closest("#status"), Ok(None)) {
        BEFORE_STATUS.set(Some(element.clone()));
    }
}

fn can_be_entered(element: &Element) -> bool {
    element.is_connected()
        && !element.has_attribute("disabled")
        && matches!(element.closest(HIDDEN), Ok(None))
}

/// The first element inside that can be entered, where the whole has not gone itself.
fn first_inside(around: &Element) -> Option<Element> {
    if !can_be_entered(around) {
        return None;
    }
    let inside = around.query_selector_all(ENTERED).ok()?;
    (0..inside.length())
        .filter_map(|place| inside.get(place)?.dyn_into::<Element>().ok())
        .find(can_be_entered)
}
