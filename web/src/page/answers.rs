//! Answers that were typed to be checked, each with its verdict: a hint first, what may have happened one click away.

use wasm_bindgen::JsValue;
use web_sys::{Document, Element, HtmlInputElement, HtmlTextAreaElement};
use yokeline_core::check::{Judged, Stage, Verdict};

use super::elements::{Shown, add, find, set_area, set_attribute, set_text, set_value};
use super::state::State;
use super::verdicts::{self, Words};

/// The part of the page where an answer is checked.
pub struct AnswersPart {
    /// The averaged readings may fill several lines.
    points: HtmlTextAreaElement,
    fields: Vec<(Stage, HtmlInputElement)>,
    list: Element,
    /// Where the verdicts are said to those who do not see them, when an answer is finished.
    news: Element,
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
            news: find(document, "verdict-news")?,
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
                judged.stage,
                if state.hides() {
                    words.hint_only()
                } else {
                    words
                },
            )?;
        }
        let points: &Element = &self.points;
        let fields = self
            .fields
            .iter()
            .map(|(stage, field)| -> (Stage, &Element) { (*stage, field) });
        for (stage, field) in fields.chain([(Stage::Points, points)]) {
            let judged = state.judged().iter().find(|judged| judged.stage == stage);
            let unread = judged.is_some_and(|judged| judged.verdict == Verdict::Unread);
            set_attribute(field, "aria-invalid", unread.then_some("true"))?;
            let verdict = judged.map(|_| verdict_id(stage));
            set_attribute(field, "aria-describedby", verdict.as_deref())?;
        }
        self.shown = shown;
        Ok(())
    }

    /// Says all verdicts, each with its hint, once.
    pub fn tell(&self) {
        let items = self.list.query_selector_all("li > div > p");
        let said: Vec<String> = items.map_or_else(
            |_| Vec::new(),
            |items| {
                (0..items.length())
                    .filter_map(|place| items.get(place)?.text_content())
                    .collect()
            },
        );
        set_text(&self.news, &said.join(" "));
    }

    fn item(&self, document: &Document, stage: Stage, words: Words) -> Shown {
        let class = if words.good { "" } else { "weighty" };
        let item = add(document, &self.list, "li", class, "")?;
        item.set_id(&verdict_id(stage));
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

fn verdict_id(stage: Stage) -> String {
    format!("verdict-{}", stage.name())
}
