//! The row above the table: headings, and what each column means, in a list that can be changed.

use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Document, Element, HtmlInputElement, HtmlSelectElement};
use yokeline_core::job::input::ColumnChoice;
use yokeline_core::job::output::Column;

use super::elements::{Shown, add, find, make, mark, set_attribute, set_value, show};
use super::state::State;
use super::words;

/// The headings with what belongs to them.
pub struct HeadRow {
    row: Element,
    columns: Vec<Head>,
    by_length_tick: HtmlInputElement,
    /// Whether the user wants to give each column a length of its own.
    pub by_length: bool,
}

struct Head {
    cell: Element,
    heading: HtmlInputElement,
    meaning: HtmlSelectElement,
    unit_row: Element,
    unit: HtmlInputElement,
    series_row: Element,
    series: HtmlInputElement,
    shown: Option<HeadShown>,
}

#[derive(Clone, Default, PartialEq)]
struct HeadShown {
    heading: String,
    column: Option<Column>,
    choice: ColumnChoice,
    by_length: bool,
}

impl HeadRow {
    /// The row, made in the document's table head.
    pub fn find(document: &Document) -> Result<Self, JsValue> {
        let head: Element = find(document, "grid-head")?;
        head.set_text_content(None);
        let row = add(document, &head, "tr", "", "")?;
        let number = add(document, &row, "th", "corner", "row")?;
        number.set_attribute("scope", "col")?;
        let tick = add(document, &row, "th", "corner", "use")?;
        tick.set_attribute("scope", "col")?;
        Ok(HeadRow {
            row,
            columns: Vec::new(),
            by_length_tick: find(document, "by-length")?,
            by_length: false,
        })
    }

    /// The field of a heading.
    pub fn field(&self, column: usize) -> Option<HtmlInputElement> {
        Some(self.columns.get(column)?.heading.clone())
    }

    /// Shows what the columns are.
    pub fn show(&mut self, document: &Document, state: &State, columns: usize) -> Shown {
        while self.columns.len() > columns {
            if let Some(head) = self.columns.pop() {
                head.cell.remove();
            }
        }
        while self.columns.len() < columns {
            let head = Head::make(document, self.columns.len())?;
            self.row.append_child(&head.cell)?;
            self.columns.push(head);
        }
        let differ = state
            .analysis()
            .columns
            .iter()
            .any(|column| column.series.is_some())
            || state
                .job()
                .columns
                .iter()
                .any(|choice| !choice.length.is_empty());
        let by_length = self.by_length || differ;
        if self.by_length_tick.checked() != by_length {
            self.by_length_tick.set_checked(by_length);
        }
        for (place, head) in self.columns.iter_mut().enumerate() {
            let wanted = HeadShown {
                heading: state
                    .plain()
                    .headings
                    .get(place)
                    .cloned()
                    .unwrap_or_default(),
                column: state
                    .analysis()
                    .columns
                    .iter()
                    .find(|column| column.column == place + 1)
                    .cloned(),
                choice: state
                    .job()
                    .columns
                    .iter()
                    .find(|choice| choice.column == place + 1)
                    .cloned()
                    .unwrap_or_default(),
                by_length,
            };
            if head.shown.as_ref() != Some(&wanted) {
                head.dress(&wanted, place)?;
                head.shown = Some(wanted);
            }
        }
        Ok(())
    }
}

impl Head {
    fn make(document: &Document, place: usize) -> Result<Self, JsValue> {
        let number = (place + 1).to_string();
        let cell = make(document, "th", "")?;
        cell.set_attribute("scope", "col")?;
        let heading = field(document, &cell, "heading", &format!("heading-{number}"))?;
        heading.set_attribute("data-heading", &number)?;
        heading.set_placeholder("heading");

        let meaning: HtmlSelectElement = make(document, "select", "")?.dyn_into()?;
        meaning.set_id(&format!("meaning-{number}"));
        meaning.set_attribute("data-meaning", &number)?;
        for (name, words) in [("", "(guess)")].into_iter().chain(words::MEANINGS) {
            let option = add(document, &meaning, "option", "", words)?;
            option.set_attribute("value", name)?;
        }
        cell.append_child(&meaning)?;

        let unit_row = add(document, &cell, "div", "unit-row", "in")?;
        let unit = field(document, &unit_row, "", &format!("unit-{number}"))?;
        unit.set_attribute("data-unit", &number)?;
        let series_row = add(document, &cell, "div", "unit-row", "L =")?;
        let series = field(document, &series_row, "", &format!("series-{number}"))?;
        series.set_attribute("data-series", &number)?;
        series.set_placeholder("5.0 cm");
        Ok(Head {
            cell,
            heading,
            meaning,
            unit_row,
            unit,
            series_row,
            series,
            shown: None,
        })
    }

    fn dress(&self, wanted: &HeadShown, place: usize) -> Shown {
        let number = place + 1;
        set_value(&self.heading, &wanted.heading);
        set_attribute(
            &self.heading,
            "aria-label",
            Some(&format!("heading of column {number}")),
        )?;
        set_attribute(&self.heading, "title", Some(&wanted.heading))?;
        let named = if wanted.heading.is_empty() {
            format!("column {number}")
        } else {
            wanted.heading.clone()
        };
        let meant = wanted.column.as_ref();
        let meaning = meant.map_or("", |column| column.meaning.as_str());
        if self.meaning.value() != meaning {
            self.meaning.set_value(meaning);
        }
        let guessed = meant.is_some_and(|column| column.guessed);
        let said = if guessed {
            "guessed"
        } else {
            "understood or chosen"
        };
        set_attribute(
            &self.meaning,
            "aria-label",
            Some(&format!("{named} holds ({said})")),
        )?;
        set_attribute(&self.meaning, "title", Some(words::meaning(meaning)))?;
        let used = !matches!(meaning, "ignored" | "");
        mark(&self.cell, "unused", meaning == "ignored")?;
        let has_unit = used && !matches!(meaning, "comment" | "counter" | "wires");
        show(&self.unit_row, has_unit)?;
        set_value(&self.unit, &wanted.choice.unit);
        let unit = meant
            .and_then(|column| column.unit.as_deref())
            .unwrap_or("unit?");
        self.unit.set_placeholder(unit);
        set_attribute(
            &self.unit,
            "aria-label",
            Some(&format!("in: unit of {named}")),
        )?;
        let holds_readings = matches!(meaning, "reading" | "full_reading" | "force");
        show(&self.series_row, wanted.by_length && holds_readings)?;
        set_value(&self.series, &wanted.choice.length);
        let series = meant.and_then(|column| column.series.as_deref());
        self.series.set_placeholder(series.unwrap_or("5.0 cm"));
        set_attribute(
            &self.series,
            "aria-label",
            Some(&format!("L =: length of the wire for {named}")),
        )
    }
}

fn field(
    document: &Document,
    parent: &Element,
    class: &str,
    id: &str,
) -> Result<HtmlInputElement, JsValue> {
    let input: HtmlInputElement = make(document, "input", class)?.dyn_into()?;
    input.set_type("text");
    input.set_id(id);
    input.set_attribute("autocomplete", "off")?;
    input.set_attribute("spellcheck", "false")?;
    parent.append_child(&input)?;
    Ok(input)
}
