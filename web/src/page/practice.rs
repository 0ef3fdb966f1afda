//! Practice sets: a kind, a set and a number give readings; a worksheet and the key go to paper.

use std::ops::RangeInclusive;

use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Document, Element, HtmlInputElement, HtmlSelectElement};
use yokeline_core::practice::{GraphPaper, Level, Recipe, key_sheet, set, typed, worksheet};
use yokeline_core::sheet::Sheet;

use super::app::{self, send};
use super::elements::{Shown, add, find, set_text, show};
use super::state::{Msg, Source};
use super::take;
use crate::keep::homework::Practice;
use crate::paper;

/// More sheets than these fill more pages than anybody gives out at a time.
const MOST_STUDENTS: u32 = 200;

/// Fills the list of kinds, and makes the fields of a recipe of one's own.
pub fn set_up(document: &Document) -> Shown {
    let list: HtmlSelectElement = find(document, "practice-level")?;
    for level in Level::ALL {
        add(document, &list, "option", "", level.title())?;
    }
    add(document, &list, "option", "", "A bench of your own")?;
    let own: Element = find(document, "practice-own")?;
    for field in typed::FIELDS {
        let place = add(document, &own, "div", "field", "")?;
        let id = format!("own-{}", field.name);
        add(document, &place, "label", "", field.label)?.set_attribute("for", &id)?;
        let input = add(document, &place, "input", "", "")?;
        for (name, value) in [
            ("type", "text"),
            ("id", id.as_str()),
            ("placeholder", field.usual),
            ("autocomplete", "off"),
        ] {
            input.set_attribute(name, value)?;
        }
    }
    show_sentence(document)
}

/// Says what the chosen kind is; for a bench of one's own the fields are shown.
pub fn show_sentence(document: &Document) -> Shown {
    let said: Element = find(document, "practice-said")?;
    let level = chosen_level(document)?;
    set_text(
        &said,
        level.map_or(
            "Sizes with units, or two with “to” between them: then each student’s is drawn from there.",
            Level::sentence,
        ),
    );
    show(
        &find::<Element>(document, "practice-own-part")?,
        level.is_none(),
    )
}

/// The ready kind that is chosen; `None` for a bench of one's own.
fn chosen_level(document: &Document) -> Result<Option<Level>, JsValue> {
    let list: HtmlSelectElement = find(document, "practice-level")?;
    let place = usize::try_from(list.selected_index()).unwrap_or(0);
    Ok(Level::ALL.get(place).copied())
}

/// The recipe of the typed sizes, or what could not be read.
fn own_recipe(document: &Document) -> Result<Recipe, String> {
    let text = |name: &str| {
        find::<HtmlInputElement>(document, &format!("own-{name}"))
            .map(|field| field.value())
            .unwrap_or_default()
    };
    let ticked = |id: &str| find::<HtmlInputElement>(document, id).is_ok_and(|tick| tick.checked());
    let (mut recipe, notes) = typed::recipe_of(text);
    recipe.faults.reversed_current = ticked("own-reversed");
    recipe.faults.mixed_order = ticked("own-mixed");
    if notes.is_empty() {
        Ok(recipe)
    } else {
        Err(notes.join(" "))
    }
}

/// The whole number in a field; `None` for anything else.
fn number(document: &Document, id: &str) -> Option<u32> {
    let field = document.get_element_by_id(id)?;
    let field: HtmlInputElement = field.dyn_into().ok()?;
    field.value().trim().parse().ok()
}

/// What to say when a number is none.
const WHOLE_NUMBERS: &str = "Set and number are whole numbers, such as 1 and 17.";

/// The set that is chosen, with the number of the student, or what to say where something typed cannot be read.
pub fn chosen_set(document: &Document) -> Result<Practice, String> {
    let level = chosen_level(document).unwrap_or_default();
    let whole = |id: &str| number(document, id).ok_or(WHOLE_NUMBERS);
    let own = match level {
        Some(_) => None,
        None => Some(Box::new(own_recipe(document)?)),
    };
    Ok(Practice {
        level: level.unwrap_or_default(),
        own,
        set: whole("practice-seed")?,
        student: Some(whole("practice-student")?),
    })
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
    let chosen = match chosen_set(&document) {
        Ok(chosen) => chosen,
        Err(why) => {
            app::say(why, true);
            return;
        }
    };
    let (recipe, seed) = (chosen.recipe(), chosen.set);
    let student = chosen.student.unwrap_or(1);
    match name {
        "practice-open" => {
            let made = set(&recipe, seed, student);
            send(Msg::OpenJob {
                job: Box::new(made.job),
                source: Source::Practice,
            });
            if !made.notes.is_empty() {
                app::say(made.notes.join(" "), true);
            }
        }
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
                .map(|student| worksheet(&set(&recipe, seed, student), graph_paper))
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
