//! Before the lesson: what is typed of the bench, and what comes of it.

use base64::Engine;
use base64::engine::general_purpose::STANDARD as BASE64;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Document, Element, HtmlInputElement, HtmlSelectElement};
use yokeline_core::plan::{Planned, printed};
use yokeline_core::sheet::{Block, Section, Table};

use super::app::{self, send};
use super::elements::{Shown, add, fill_table, find, set_attribute, set_text, set_value, show};
use super::plan_field::{NAMES, in_plan};
use super::state::{Msg, State};
use super::take;
use crate::paper;
use crate::paper::direction::direction;

/// The plan's part of the page.
pub struct PlanPart {
    fields: Vec<(&'static str, Element)>,
    notes: Element,
    /// Where the notes are said to those who do not see them, when a field is left.
    news: Element,
    out: Element,
    example: Element,
    shown: Option<Planned>,
}

impl PlanPart {
    /// The part, in the document as it stands.
    pub fn find(document: &Document) -> Result<Self, JsValue> {
        let mut fields = Vec::new();
        for name in NAMES {
            fields.push((name, find(document, &format!("plan-{name}"))?));
        }
        Ok(PlanPart {
            fields,
            notes: find(document, "plan-notes")?,
            news: find(document, "plan-news")?,
            out: find(document, "plan-out")?,
            example: find(document, "plan-example")?,
            shown: None,
        })
    }

    /// Shows what is typed and what comes of it.
    pub fn show(&mut self, document: &Document, state: &State) -> Shown {
        let mut plan = state.plan().clone();
        for (name, field) in &self.fields {
            let text = in_plan(&mut plan, name).map_or(String::new(), |text| text.clone());
            if let Some(input) = field.dyn_ref::<HtmlInputElement>() {
                set_value(input, &text);
            } else if let Some(list) = field.dyn_ref::<HtmlSelectElement>()
                && list.value() != text
            {
                list.set_value(&text);
            }
        }
        if self.shown.as_ref() == state.planned() {
            return Ok(());
        }
        let troubled = |name: &str| {
            let notes = state.planned().map_or(&[][..], |planned| &planned.notes);
            let mut notes = notes.iter().filter(|note| note.weight == "trouble");
            notes.any(|note| note.field == name)
        };
        for (name, field) in &self.fields {
            let troubled = troubled(name);
            set_attribute(field, "aria-invalid", troubled.then_some("true"))?;
            let note = troubled.then(|| note_id(name));
            set_attribute(field, "aria-describedby", note.as_deref())?;
        }
        // An example that would take the place of what was typed is not offered.
        show(&self.example, state.planned().is_none())?;
        self.notes.set_text_content(None);
        self.out.set_text_content(None);
        if let Some(planned) = state.planned() {
            for note in &planned.notes {
                let class = if note.weight == "trouble" {
                    "said trouble"
                } else {
                    "said"
                };
                let said = add(document, &self.notes, "p", class, &printed::note(note))?;
                if note.weight == "trouble" {
                    said.set_id(&note_id(note.field));
                }
            }
            for section in printed::sections(planned) {
                self.section(document, &section, planned)?;
            }
        }
        self.shown = state.planned().cloned();
        Ok(())
    }

    /// Says the notes, when they have changed.
    pub fn tell(&self) {
        set_text(&self.news, &self.notes.text_content().unwrap_or_default());
    }

    fn section(&self, document: &Document, section: &Section, planned: &Planned) -> Shown {
        add(document, &self.out, "h3", "", &section.heading)?;
        for block in &section.blocks {
            match block {
                Block::Subheading(text) => {
                    add(document, &self.out, "h4", "", text)?;
                }
                Block::Text(text) => {
                    add(document, &self.out, "p", "", text)?;
                }
                Block::List(items) => {
                    let list = add(document, &self.out, "ul", "", "")?;
                    for item in items {
                        add(document, &list, "li", "", item)?;
                    }
                }
                Block::Table(table) => self.table(document, table)?,
                Block::Graph { caption } => {
                    if let Some(figures) = &planned.direction {
                        let picture = add(document, &self.out, "img", "direction", "")?;
                        let svg = BASE64.encode(direction(figures));
                        picture
                            .set_attribute("src", &format!("data:image/svg+xml;base64,{svg}"))?;
                        // The sentence above says what the picture shows.
                        picture.set_attribute("alt", caption)?;
                    }
                }
                _ => {}
            }
        }
        Ok(())
    }

    fn table(&self, document: &Document, table: &Table) -> Shown {
        let frame = add(document, &self.out, "div", "grid-frame", "")?;
        // Where it is wider than the window it is moved with the arrow keys.
        for (name, value) in [
            ("tabindex", "0"),
            ("role", "group"),
            ("aria-label", &table.caption),
        ] {
            frame.set_attribute(name, value)?;
        }
        // What has no numbers reads from the left.
        let class = if table.row_headings {
            "plain words"
        } else {
            "plain"
        };
        let shown = add(document, &frame, "table", class, "")?;
        add(document, &shown, "caption", "", &table.caption)?;
        let head = add(document, &shown, "thead", "", "")?;
        let body = add(document, &shown, "tbody", "", "")?;
        fill_table(document, (&head, &body), &table.headings, &table.rows)
    }
}

fn note_id(field: &str) -> String {
    format!("plan-note-{field}")
}

/// Does what a button of this part is for.
pub fn act(name: &str) {
    match name {
        "plan-use" => send(Msg::UsePlan),
        "plan-print" => {
            let planned = app::read(|app| {
                let state = app.state();
                Some((state.job().title.clone(), state.planned()?.clone()))
            });
            match planned.flatten() {
                Some((title, planned)) => {
                    let picture = planned.direction.as_ref().map_or(String::new(), direction);
                    let sheet = printed::kit_sheet(&title, &planned);
                    take::print_html(&paper::html(&sheet, &picture));
                }
                None => app::say(
                    "Type something of the bench first, such as the length of the wire.",
                    true,
                ),
            }
        }
        "plan-example" => send(Msg::ExamplePlan),
        _ => {}
    }
}

/// Says under the result what the plan led one to expect, and whose readings these are.
pub fn beside(document: &Document, state: &State) -> Shown {
    let said: Element = find(document, "plan-beside")?;
    set_text(&said, &state.planned_beside());
    let of_groups: Element = find(document, "groups-said")?;
    set_text(&of_groups, &state.said_of_groups().unwrap_or_default());
    Ok(())
}
