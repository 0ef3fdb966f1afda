//! Answers that were typed to be checked, each with its verdict: a hint first, what may have happened one click away.

use wasm_bindgen::JsValue;
use web_sys::{Document, Element, HtmlInputElement, HtmlTextAreaElement};
use yokeline_core::check::{Judged, Stage};

use super::elements::{Shown, add, find, set_area, set_value};
use super::state::State;
use super::verdicts::{self, Words};

/// The part of the page where an answer is checked.
pub struct AnswersPart {
    /// The averaged readings may fill several lines.
    points: HtmlTextAreaElement,
    fields: Vec<(Stage, HtmlInputElement)>,
    list: Element,
    /// What stands there, and whether it was held to hints.
    shown: (Vec<Judged>, bool),
}

impl AnswersPart {
    /// The part, in the document as it stands.
    pub fn find(document: &Document) -> Result<Self, JsValue> {
        let mut fields = Vec::new();
        let id = |stage: Stage| format!("answer-{}", stage.name());
        let in_a_line = |stage: &Stage| *stage != Stage::Points;
        for stage in Stage::ALL.into_iter().filter(in_a_line) {
            fields.push((stage, find(document, &id(stage))?));
        }
        Ok(AnswersPart {
            points: find(document, &id(Stage::Points))?,
            fields,
            list: find(document, "verdicts")?,
            shown: (Vec::new(), false),
        })
    }

    /// Shows what is typed and what is to be said of it.
    pub fn show(&mut self, document: &Document, state: &State) -> Shown {
        set_area(&self.points, &state.answers().points);
        for (stage, field) in &self.fields {
            set_value(field, state.answers().at(*stage));
        }
        let shown = (state.judged().to_vec(), state.hides());
        if shown == self.shown {
            return Ok(());
        }
        self.list.set_text_content(None);
        for judged in state.judged() {
            let words = verdicts::words(judged);
            self.item(
                document,
                if state.hides() {
                    words.hint_only()
                } else {
                    words
                },
            )?;
        }
        self.shown = shown;
        Ok(())
    }

    fn item(&self, document: &Document, words: Words) -> Shown {
        let class = if words.good { "" } else { "weighty" };
        let item = add(document, &self.list, "li", class, "")?;
        add(document, &item, "span", "sign", words.sign)?.set_attribute("aria-hidden", "true")?;
        let said = add(document, &item, "div", "", "")?;
        let line = add(document, &said, "p", "", "")?;
        add(
            document,
            &line,
            "span",
            "weight",
            &format!("{}: ", words.stage),
        )?;
        add(document, &line, "span", "", &words.verdict)?;
        if !words.hint.is_empty() {
            add(document, &said, "p", "advice", &words.hint)?;
        }
        if words.more.is_empty() {
            return Ok(());
        }
        let details = add(document, &said, "details", "", "")?;
        add(document, &details, "summary", "", words.summary)?;
        for line in &words.more {
            add(document, &details, "p", "", line)?;
        }
        Ok(())
    }
}
