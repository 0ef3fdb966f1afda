//! Practice sets: a kind, a set and a number give readings; a worksheet and the key go to paper.

use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Document, HtmlInputElement, HtmlSelectElement};
use yokeline_core::practice::{GraphPaper, Level, key_sheet, set, worksheet};

use super::app::{self, send};
use super::elements::{Shown, add, find, set_text};
use super::state::{Msg, Source};
use super::take;
use crate::paper;

/// A key for more students than these fills more pages than anybody reads.
const MOST_STUDENTS: u32 = 200;

/// Fills the list of kinds.
pub fn set_up(document: &Document) -> Shown {
    let list: HtmlSelectElement = find(document, "practice-level")?;
    for level in Level::ALL {
        add(document, &list, "option", "", level.title())?;
    }
    show_sentence(document)
}

/// Says what the chosen kind is.
pub fn show_sentence(document: &Document) -> Shown {
    let said: web_sys::Element = find(document, "practice-said")?;
    set_text(&said, chosen(document)?.sentence());
    Ok(())
}

fn chosen(document: &Document) -> Result<Level, JsValue> {
    let list: HtmlSelectElement = find(document, "practice-level")?;
    let place = usize::try_from(list.selected_index()).unwrap_or(0);
    Ok(Level::ALL.get(place).copied().unwrap_or_default())
}

/// The whole number in a field; `None` for anything else.
fn number(document: &Document, id: &str) -> Option<u32> {
    let field = document.get_element_by_id(id)?;
    let field: HtmlInputElement = field.dyn_into().ok()?;
    field.value().trim().parse().ok()
}

/// Does what a button of this part is for.
pub fn act(name: &str) {
    let Some(document) = app::read(|app| app.document().clone()) else {
        return;
    };
    let (Ok(level), Some(seed), Some(student)) = (
        chosen(&document),
        number(&document, "practice-seed"),
        number(&document, "practice-student"),
    ) else {
        app::say("Set and number are whole numbers, such as 1 and 17.", true);
        return;
    };
    let recipe = level.recipe();
    match name {
        "practice-open" => send(Msg::OpenJob {
            job: Box::new(set(&recipe, seed, student).job),
            source: Source::Practice,
        }),
        "practice-sheet" => {
            let sheet = worksheet(&set(&recipe, seed, student), GraphPaper::WithAxes);
            take::print_html(&paper::html(&sheet, ""));
        }
        "practice-key" => {
            let count = number(&document, "practice-count").unwrap_or(0);
            if count == 0 || count > MOST_STUDENTS {
                app::say(
                    format!("The key is made for 1 to {MOST_STUDENTS} students at a time."),
                    true,
                );
                return;
            }
            let sheet = key_sheet(&recipe, seed, 1..=count);
            take::print_html(&paper::html(&sheet, ""));
        }
        _ => {}
    }
}
