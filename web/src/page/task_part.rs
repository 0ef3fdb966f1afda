//! A task that a teacher handed out: its words, the student's number, and the answers brought up to it. What belongs to
//! the teacher, and what would show a result, is not on the page meanwhile.

use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Document, Element, HtmlInputElement};

use super::app::{self, send};
use super::elements::{Shown, find, set_text, set_value, show};
use super::notes;
use super::state::{Msg, State};

/// What is not shown while a task is open: the teacher's own tools.
const OF_THE_TEACHER: [&str; 4] = ["skip-to-plan", "plan-part", "practice-part", "check-class"];

/// What is not shown while results are kept back, since it is a result or leads to one with a click.
const OF_RESULTS: [&str; 10] = [
    "result-bar",
    "figures-part",
    "residuals",
    "answer",
    "save-csv",
    "table-row-name",
    "share-row",
    "show",
    "uncertainty_way",
    "walk-said",
];

/// The task's part of the page.
pub struct TaskPart {
    part: Element,
    text: Element,
    number: Element,
    number_field: HtmlInputElement,
    said: Element,
    /// Where the answers stand while a task is open, and where otherwise.
    answers: Element,
    answers_here: Element,
    answers_at_home: Element,
    class: Element,
    of_the_teacher: Vec<Element>,
    of_results: Vec<Element>,
    blank_sheet: Element,
    shown: Option<(bool, bool)>,
}

impl TaskPart {
    /// The part, in the document as it stands.
    pub fn find(document: &Document) -> Result<Self, JsValue> {
        let all = |ids: &[&str]| -> Result<Vec<Element>, JsValue> {
            ids.iter().map(|id| find(document, id)).collect()
        };
        Ok(TaskPart {
            part: find(document, "task-part")?,
            text: find(document, "task-text")?,
            number: find(document, "task-number")?,
            number_field: find(document, "task-student")?,
            said: find(document, "task-said")?,
            answers: find(document, "check-answers")?,
            answers_here: find(document, "task-answers")?,
            answers_at_home: find(document, "check-part")?,
            class: find(document, "check-class")?,
            of_the_teacher: all(&OF_THE_TEACHER)?,
            of_results: all(&OF_RESULTS)?,
            blank_sheet: find(document, "blank-sheet-name")?,
            shown: None,
        })
    }

    /// Shows the task, and hides what it hides.
    pub fn show(&mut self, state: &State) -> Shown {
        let now = (state.task().is_some(), state.hides());
        if let Some(task) = state.task() {
            set_text(&self.text, &task.homework.task);
            show(&self.text, !task.homework.task.trim().is_empty())?;
            show(&self.number, task.homework.asks_number())?;
            set_text(&self.said, task.said());
        }
        if self.shown == Some(now) {
            return Ok(());
        }
        let was = self.shown.replace(now);
        let (open, hides) = now;
        show(&self.part, open)?;
        for element in &self.of_the_teacher {
            show(element, !open)?;
        }
        for element in &self.of_results {
            show(element, !hides)?;
        }
        show(&self.blank_sheet, hides)?;
        if was.is_some_and(|(was_open, _)| was_open) == open {
            return Ok(());
        }
        // The answers are what a task is about.
        if open {
            self.answers_here.append_child(&self.answers)?;
            self.answers.set_attribute("open", "")?;
        } else {
            // Before what follows them there, the answers of a class.
            self.class
                .insert_adjacent_element("beforebegin", &self.answers)?;
        }
        show(&self.answers_at_home, !open)?;
        let number = state.task().and_then(|task| task.student);
        set_value(
            &self.number_field,
            &number.map_or(String::new(), |number| number.to_string()),
        );
        Ok(())
    }
}

/// Puts the readings of the typed number into the table.
pub fn open_set() {
    let field = app::read(|app| app.document().get_element_by_id("task-student")).flatten();
    let typed = field
        .and_then(|field| field.dyn_into::<HtmlInputElement>().ok())
        .map(|field| field.value())
        .unwrap_or_default();
    match typed.trim().parse::<u32>() {
        Ok(student) => send(Msg::OpenSet { student }),
        Err(_) => notes::complain(
            "task-student",
            "Type the number that your teacher gave you, such as 17: a whole number without letters.",
        ),
    }
}
