//! The result: the headline, the slim bar that stays in view, and each figure with its algebra one click away.

use wasm_bindgen::JsValue;
use web_sys::{Document, Element};

use super::algebra::{self, Entry, Share};
use super::elements::{Shown, add, find, set_attribute, set_text, show};
use super::headline;
use super::state::State;

/// The result's part of the page.
pub struct ResultPart {
    answer: Element,
    more: Lines,
    symbol: Element,
    /// The series, when there are several, each with its B.
    answers: Lines,
    doubt: Element,
    why: Element,
    bar: Element,
    bar_kind: Element,
    list: Element,
    /// The list of what is folded away, and what folds it.
    more_list: Element,
    more_part: Element,
    figures: Vec<FigureShown>,
}

/// Lines of text, made anew only when they differ.
struct Lines {
    place: Element,
    shown: Vec<String>,
}

impl Lines {
    fn find(document: &Document, id: &str) -> Result<Self, JsValue> {
        Ok(Lines {
            place: find(document, id)?,
            shown: Vec::new(),
        })
    }

    fn show(&mut self, document: &Document, lines: Vec<String>) -> Shown {
        if lines != self.shown {
            self.place.set_text_content(None);
            for line in &lines {
                add(document, &self.place, "p", "", line)?;
            }
            self.shown = lines;
        }
        Ok(())
    }
}

struct FigureShown {
    key: String,
    row: Element,
    name: Element,
    value: Element,
    algebra: Element,
    lines: Vec<String>,
    shares: Vec<Share>,
}

impl ResultPart {
    /// The part, in the document as it stands.
    pub fn find(document: &Document) -> Result<Self, JsValue> {
        Ok(ResultPart {
            answer: find(document, "answer-value")?,
            symbol: find(document, "answer")?,
            more: Lines::find(document, "answer-more")?,
            answers: Lines::find(document, "answers")?,
            doubt: find(document, "answer-doubt")?,
            why: find(document, "answer-why")?,
            bar: find(document, "bar-value")?,
            bar_kind: find(document, "bar-kind")?,
            list: find(document, "figures")?,
            more_list: find(document, "more-figures")?,
            more_part: find(document, "more-figures-part")?,
            figures: Vec::new(),
        })
    }

    /// Shows the figures; one that is open stays open.
    pub fn show(&mut self, document: &Document, state: &State) -> Shown {
        let headline = headline::headline(state.analysis());
        let why = match state.task().filter(|task| task.hides()) {
            Some(task) => task.instead().to_owned(),
            None => headline::why_none(state.job(), state.analysis()),
        };
        set_text(&self.answer, headline.as_deref().unwrap_or("—"));
        let answers = headline::headlines(state.analysis());
        show(&self.symbol, headline.is_some() || answers.is_empty())?;
        self.more
            .show(document, headline::beside(state.analysis()))?;
        let doubt = headline::doubt(state.analysis());
        set_text(
            &self.doubt,
            &doubt.as_ref().map_or_else(String::new, |field| {
                format!("Not to be trusted yet: look at {field}, see the message beside it.")
            }),
        );
        set_text(&self.why, &why);
        show(&self.why, !why.is_empty())?;
        let in_short = match (&headline, &doubt) {
            (Some(headline), Some(field)) => {
                format!("{headline}, not to be trusted: look at {field}")
            }
            (Some(headline), None) => headline.clone(),
            (None, _) if answers.is_empty() && why.is_empty() => "—".to_owned(),
            (None, _) if answers.is_empty() => why,
            (None, _) => headline::in_short(state.analysis()),
        };
        set_text(&self.bar, &in_short);
        set_text(
            &self.bar_kind,
            &headline::kind_of_headline(state.analysis()),
        );
        self.answers.show(document, answers)?;

        let entries = algebra::entries(state.job(), state.analysis());
        let same = self.figures.len() == entries.len()
            && self
                .figures
                .iter()
                .zip(&entries)
                .all(|(shown, entry)| shown.key == entry.key);
        if !same {
            self.rebuild(document, &entries)?;
        }
        for (shown, entry) in self.figures.iter_mut().zip(entries) {
            set_text(&shown.name, &entry.name);
            set_text(&shown.value, &entry.value);
            if shown.lines != entry.lines || shown.shares != entry.shares {
                shown.algebra.set_text_content(None);
                for line in &entry.lines {
                    add(document, &shown.algebra, "p", "", line)?;
                }
                for share in &entry.shares {
                    show_share(document, &shown.algebra, share)?;
                }
                shown.lines = entry.lines;
                shown.shares = entry.shares;
            }
        }
        Ok(())
    }

    /// Makes the rows anew, keeping those whose figure is still there.
    fn rebuild(&mut self, document: &Document, entries: &[Entry]) -> Shown {
        let mut old = std::mem::take(&mut self.figures);
        for entry in entries {
            let kept = old.iter().position(|shown| shown.key == entry.key);
            let figure = match kept {
                Some(place) => old.swap_remove(place),
                None => FigureShown::make(document, entry)?,
            };
            let list = if entry.folded {
                &self.more_list
            } else {
                &self.list
            };
            list.append_child(&figure.row)?;
            self.figures.push(figure);
        }
        for gone in old {
            gone.row.remove();
        }
        show(&self.more_part, entries.iter().any(|entry| entry.folded))
    }
}

impl FigureShown {
    fn make(document: &Document, entry: &Entry) -> Result<Self, JsValue> {
        let row = document.create_element("li")?;
        let details = add(document, &row, "details", "", "")?;
        set_attribute(&details, "id", Some(&format!("figure-{}", entry.key)))?;
        let summary = add(document, &details, "summary", "", "")?;
        let name = add(document, &summary, "span", "what", "")?;
        let value = add(document, &summary, "span", "value", "")?;
        value.set_attribute("id", &format!("value-{}", entry.key))?;
        let algebra = add(document, &details, "div", "algebra", "")?;
        Ok(FigureShown {
            key: entry.key.clone(),
            row,
            name,
            value,
            algebra,
            lines: Vec::new(),
            shares: Vec::new(),
        })
    }
}

/// One source of a budget: its name, its share as a bar, and the same in figures.
fn show_share(document: &Document, parent: &Element, share: &Share) -> Shown {
    let row = add(document, parent, "p", "share", "")?;
    add(document, &row, "span", "share-name", &share.name)?;
    let svg = Some("http://www.w3.org/2000/svg");
    let picture = document.create_element_ns(svg, "svg")?;
    picture.set_attribute("viewBox", "0 0 100 8")?;
    picture.set_attribute("preserveAspectRatio", "none")?;
    picture.set_attribute("class", "share-bar")?;
    picture.set_attribute("aria-hidden", "true")?;
    let bar = document.create_element_ns(svg, "rect")?;
    bar.set_attribute("width", &format!("{:.2}", share.percent))?;
    bar.set_attribute("height", "8")?;
    picture.append_child(&bar)?;
    row.append_child(&picture)?;
    add(document, &row, "span", "share-figure", &share.text)?;
    Ok(())
}
