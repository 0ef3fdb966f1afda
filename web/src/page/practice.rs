//! Practice sets: a kind, a set and a number give readings; a worksheet and the key go to paper.

use std::ops::RangeInclusive;

use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Document, HtmlInputElement, HtmlSelectElement};
use yokeline_core::practice::{GraphPaper, Level, key_sheet, set, worksheet};
use yokeline_core::sheet::Sheet;

use super::app::{self, send};
use super::elements::{Shown, add, find, set_text};
use super::state::{Msg, Source};
use super::take;
use crate::paper;

/// More sheets than these fill more pages than anybody gives out at a time.
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

/// What to say when a number is none.
pub const WHOLE_NUMBERS: &str = "Set and number are whole numbers, such as 1 and 17.";

/// The kind, the number of the set and that of the student; `None` where one of them is no whole number.
pub fn chosen_set(document: &Document) -> Option<(Level, u32, u32)> {
    Some((
        chosen(document).ok()?,
        number(document, "practice-seed")?,
        number(document, "practice-student")?,
    ))
}

/// The numbers that worksheets or a key are made for; says so where they cannot be.
fn students(document: &Document) -> Option<RangeInclusive<u32>> {
    let count = number(document, "practice-count").unwrap_or(0);
    if count == 0 || count > MOST_STUDENTS {
        app::say(
            format!("Worksheets and keys are made for 1 to {MOST_STUDENTS} students at a time."),
            true,
        );
        return None;
    }
    Some(1..=count)
}

fn graph_paper(document: &Document) -> GraphPaper {
    let list = find::<HtmlSelectElement>(document, "practice-paper");
    match list.map(|list| list.selected_index()) {
        Ok(1) => GraphPaper::WithoutAxes,
        _ => GraphPaper::WithAxes,
    }
}

/// Does what a button of this part is for.
pub fn act(name: &str) {
    let Some(document) = app::read(|app| app.document().clone()) else {
        return;
    };
    let Some((level, seed, student)) = chosen_set(&document) else {
        app::say(WHOLE_NUMBERS, true);
        return;
    };
    let recipe = level.recipe();
    match name {
        "practice-open" => send(Msg::OpenJob {
            job: Box::new(set(&recipe, seed, student).job),
            source: Source::Practice,
        }),
        "practice-sheet" => {
            let sheet = worksheet(&set(&recipe, seed, student), graph_paper(&document));
            take::print_html(&paper::html(&sheet, ""));
        }
        "practice-sheets" => {
            let Some(students) = students(&document) else {
                return;
            };
            let graph_paper = graph_paper(&document);
            let sheets: Vec<Sheet> = students
                .map(|student| {
                    let mut sheet = worksheet(&set(&recipe, seed, student), graph_paper);
                    // Whose it is must be seen when they are given out.
                    sheet.title = format!("{}: number {student}", sheet.title);
                    sheet
                })
                .collect();
            take::print_html(&paper::many(&sheets));
        }
        "practice-key" => {
            if let Some(students) = students(&document) {
                let sheet = key_sheet(&recipe, seed, students);
                take::print_html(&paper::html(&sheet, ""));
            }
        }
        _ => {}
    }
}
