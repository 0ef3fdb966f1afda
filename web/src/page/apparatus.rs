//! The fields of the apparatus, each with what is said of it beside it, and the lists of choices.

use wasm_bindgen::{JsCast, JsValue};
use web_sys::{
    Document, Element, HtmlElement, HtmlInputElement, HtmlSelectElement, HtmlTextAreaElement,
};
use yokeline_core::job::Varied;

use super::choice::{Choice, Tick};
use super::elements::{Shown, find, mark, set_attribute, set_text, set_value, show};
use super::field::{Field, place_of};
use super::state::State;
use super::{words, worth};

/// The apparatus's part of the page, with the lists of choices wherever they stand.
pub struct ApparatusPart {
    fields: Vec<(Field, HtmlInputElement)>,
    walk: HtmlTextAreaElement,
    walk_said: Element,
    ticks: Vec<(Tick, HtmlInputElement)>,
    lists: Vec<(&'static str, HtmlSelectElement)>,
    said: Vec<(&'static str, Element)>,
    fixed_current: Element,
    folded: Vec<Element>,
}

impl ApparatusPart {
    /// The part, in the document as it stands.
    pub fn find(document: &Document) -> Result<Self, JsValue> {
        let mut fields = Vec::new();
        let mut said = Vec::new();
        for field in Field::ALL {
            if field != Field::Walk {
                fields.push((field, find(document, field.name())?));
            }
            if field != Field::Title {
                said.push((
                    field.name(),
                    find(document, &format!("{}-note", field.name()))?,
                ));
            }
        }
        for list in ["varied", "fit", "balance_zero"] {
            said.push((list, find(document, &format!("{list}-note"))?));
        }
        let mut ticks = Vec::new();
        for tick in Tick::ALL {
            ticks.push((tick, find(document, tick.name())?));
        }
        let mut lists = Vec::new();
        for list in Choice::LISTS {
            lists.push((list, find(document, list)?));
        }
        Ok(ApparatusPart {
            fields,
            walk: find(document, Field::Walk.name())?,
            walk_said: find(document, "walk-said")?,
            ticks,
            lists,
            said,
            fixed_current: find(document, "fixed_current-field")?,
            folded: vec![
                find(document, "more-apparatus")?,
                find(document, "more-line")?,
                find(document, "walk-part")?,
            ],
        })
    }

    /// Shows what is typed and chosen, and what is said of it.
    pub fn show(&self, _: &Document, state: &State) -> Shown {
        let job = state.job();
        for (field, input) in &self.fields {
            set_value(input, field.of(job));
        }
        let walk = Field::Walk.of(job);
        if self.walk.value() != walk {
            self.walk.set_value(walk);
        }
        set_text(&self.walk_said, &worth::walk_in_a_line(state.analysis()));
        for (tick, input) in &self.ticks {
            input.set_checked(tick.of(job));
        }
        for (list, select) in &self.lists {
            let chosen = Choice::shown(list, job);
            if select.value() != chosen {
                select.set_value(chosen);
            }
        }
        show(
            &self.fixed_current,
            matches!(job.varied, Varied::Length | Varied::Angle) || !job.fixed_current.is_empty(),
        )?;
        for (name, place) in &self.said {
            let notes = state.analysis().notes.iter().filter(|note| {
                note.field
                    .is_some_and(|field| place_of(field) == Some(*name))
            });
            let mut text = String::new();
            let mut weight = "told";
            if *name == Field::Length.name() && words::has_lengths_of_its_own(state.analysis()) {
                text.push_str("Not needed: the lengths come from the headings of the table.");
            }
            for note in notes {
                if !text.is_empty() {
                    text.push(' ');
                }
                text.push_str(&note.text);
                if note.weight != "told" {
                    weight = note.weight;
                }
            }
            set_text(place, &text);
            mark(place, "trouble", weight == "trouble")?;
            mark(place, "asked", weight == "asked")?;
            if let Some(field) = place.parent_element() {
                mark(&field, "marked", weight == "trouble")?;
                if let Some(input) = field.query_selector("input, select, textarea")? {
                    let invalid = (weight == "trouble").then_some("true");
                    set_attribute(&input, "aria-invalid", invalid)?;
                }
            }
        }
        Ok(())
    }

    /// A field or list by its name in notes, with what hides it opened.
    pub fn field(&self, document: &Document, name: &str) -> Option<HtmlElement> {
        let name = place_of(name).unwrap_or(name);
        let field: HtmlElement = document.get_element_by_id(name)?.dyn_into().ok()?;
        for folded in &self.folded {
            if folded.contains(Some(&field)) {
                // A field that stays hidden cannot be entered, and nothing else comes of it.
                let _ = folded.set_attribute("open", "");
            }
        }
        Some(field)
    }
}
