//! What was noticed, in a calm list, and the status line.

use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Document, Element, HtmlElement};
use yokeline_core::job::output::{Finding, Note};

use super::app;
use super::elements::{Shown, add, find, mark, set_attribute, set_text, show};
use super::field::place_of;
use super::state::{State, Status};
use super::words;

/// So many notes are shown; of more than these the rest is counted.
const MOST_SHOWN: usize = 60;

/// More rows than these are counted in a link, not named.
const MOST_NAMED: usize = 6;

/// What the list was last made from.
#[derive(PartialEq)]
struct Listed {
    notes: Vec<Note>,
    findings: Vec<Finding>,
    left_out: Vec<(usize, String)>,
}

/// Where an item's link leads.
#[derive(Clone, Copy)]
enum Place<'a> {
    Nowhere,
    /// Rows, from 1, to be lit up together.
    Rows(&'a [usize]),
    /// Where a note says.
    Of(&'a Note),
}

impl Place<'_> {
    /// What the link says; empty for none.
    fn words(&self) -> String {
        let place = match self {
            Place::Nowhere => String::new(),
            Place::Rows([]) => String::new(),
            Place::Rows(rows) if rows.len() > MOST_NAMED => {
                return format!("show the {} rows", rows.len());
            }
            Place::Rows(rows) => return format!("show {}", words::rows(rows)),
            Place::Of(Note {
                field: Some(field), ..
            }) => field.replace('_', " "),
            Place::Of(note) => words::place(note.row, note.column),
        };
        if place.is_empty() {
            place
        } else {
            format!("go to {place}")
        }
    }
}

/// Says what is wrong with a field, marks it, and goes there.
pub fn complain(field: &str, text: &str) {
    app::say(text, true);
    let field = app::read(|app| app.document().get_element_by_id(field)).flatten();
    let Some(field) = field.and_then(|field| field.dyn_into::<HtmlElement>().ok()) else {
        return;
    };
    // An attribute that cannot be set leaves the sentence in the status line.
    let _ = set_attribute(&field, "aria-invalid", Some("true"));
    let _ = set_attribute(&field, "aria-describedby", Some("status-text"));
    let _ = field.focus();
}

/// Takes the mark off a field that was complained about, when something else is typed there.
pub fn complained_no_more(field: &Element) -> Shown {
    if field.get_attribute("aria-describedby").as_deref() == Some("status-text") {
        field.remove_attribute("aria-invalid")?;
        field.remove_attribute("aria-describedby")?;
    }
    Ok(())
}

/// The notes' part of the page.
pub struct NotesPart {
    list: Element,
    shown: Option<Listed>,
    rival: Element,
    status: Element,
    status_text: Element,
    status_action: Element,
    status_close: Element,
    status_links: Element,
    status_shown: Status,
}

impl NotesPart {
    /// The part, in the document as it stands.
    pub fn find(document: &Document) -> Result<Self, JsValue> {
        Ok(NotesPart {
            list: find(document, "notes")?,
            shown: None,
            rival: find(document, "rival")?,
            status: find(document, "status")?,
            status_text: find(document, "status-text")?,
            status_action: find(document, "status-action")?,
            status_close: find(document, "status-close")?,
            status_links: find(document, "status-links")?,
            status_shown: Status::default(),
        })
    }

    /// Shows what was noticed, when that has changed.
    pub fn show(&mut self, document: &Document, state: &State) -> Shown {
        show(&self.rival, state.rival())?;
        self.show_status(document, state.status())?;
        let left_out: Vec<(usize, String)> = state
            .job()
            .exclude
            .iter()
            .map(|row| {
                (
                    *row,
                    state.job().reasons.get(row).cloned().unwrap_or_default(),
                )
            })
            .collect();
        let analysis = state.analysis();
        let unchanged = self.shown.as_ref().is_some_and(|listed| {
            listed.notes == analysis.notes
                && listed.findings == analysis.findings
                && listed.left_out == left_out
        });
        if unchanged {
            return Ok(());
        }
        self.list.set_text_content(None);
        for finding in &analysis.findings {
            self.show_finding(document, finding)?;
        }
        for (row, reason) in &left_out {
            let reason = if reason.is_empty() {
                "no reason is given yet: type one beside the row, the sheet prints it.".to_owned()
            } else {
                format!("{reason}.")
            };
            self.item(
                document,
                "○",
                "Left out",
                false,
                &format!("Row {row} is left out of the line: {reason}"),
                "",
                Place::Rows(&[*row]),
            )?;
        }
        // A note beside its field is not said a second time here.
        let mut notes: Vec<&Note> = analysis
            .notes
            .iter()
            .filter(|note| note.field.and_then(place_of).is_none())
            .collect();
        notes.sort_by_key(|note| match note.weight {
            "trouble" => 0,
            "asked" => 1,
            _ => 2,
        });
        for note in notes.iter().take(MOST_SHOWN) {
            let (sign, weight, weighty) = match note.weight {
                "trouble" => ("✕", "Not used", true),
                "asked" => ("?", "Please check", true),
                _ => ("·", "", false),
            };
            self.item(
                document,
                sign,
                weight,
                weighty,
                &note.text,
                "",
                Place::Of(note),
            )?;
        }
        if notes.len() > MOST_SHOWN {
            let more = words::thousands(notes.len() - MOST_SHOWN);
            self.item(
                document,
                "·",
                "",
                false,
                &format!("And {more} more of the kind."),
                "",
                Place::Nowhere,
            )?;
        }
        if self.list.child_element_count() == 0 {
            self.item(
                document,
                "✓",
                "",
                false,
                "Nothing unusual.",
                "",
                Place::Nowhere,
            )?;
        }
        self.shown = Some(Listed {
            notes: analysis.notes.clone(),
            findings: analysis.findings.clone(),
            left_out,
        });
        Ok(())
    }

    fn show_finding(&self, document: &Document, finding: &Finding) -> Shown {
        // What does no harm, or is no fault of the readings, is told, not warned of.
        let harmless = matches!(
            finding.kind,
            "untared" | "last_digits_alike" | "repeats_all_equal" | "drift_not_separable"
        );
        let (sign, weight) = if harmless {
            ("·", "")
        } else {
            ("△", "Look again")
        };
        self.item(
            document,
            sign,
            weight,
            !harmless,
            &finding.text,
            &finding.advice,
            Place::Rows(&finding.rows),
        )
    }

    #[allow(clippy::too_many_arguments)]
    fn item(
        &self,
        document: &Document,
        sign: &str,
        weight: &str,
        weighty: bool,
        text: &str,
        advice: &str,
        place: Place,
    ) -> Shown {
        let item = add(
            document,
            &self.list,
            "li",
            if weighty { "weighty" } else { "" },
            "",
        )?;
        add(document, &item, "span", "sign", sign)?.set_attribute("aria-hidden", "true")?;
        let said = add(document, &item, "div", "", "")?;
        let line = add(document, &said, "p", "", "")?;
        if !weight.is_empty() {
            add(document, &line, "span", "weight", &format!("{weight}: "))?;
        }
        add(document, &line, "span", "", text)?;
        let words = place.words();
        if !words.is_empty() {
            add(document, &line, "span", "", " ")?;
            let link = add(document, &line, "button", "link-like", &words)?;
            link.set_attribute("type", "button")?;
            link.set_attribute("data-do", "goto")?;
            match place {
                Place::Nowhere => {}
                Place::Rows(rows) => {
                    let rows: Vec<String> = rows.iter().map(usize::to_string).collect();
                    link.set_attribute("data-goto-rows", &rows.join(" "))?;
                }
                Place::Of(note) => {
                    if let Some(row) = note.row {
                        link.set_attribute("data-goto-row", &row.to_string())?;
                    }
                    if let Some(column) = note.column {
                        link.set_attribute("data-goto-column", &column.to_string())?;
                    }
                    if let Some(field) = note.field {
                        link.set_attribute("data-goto-field", field)?;
                    }
                }
            }
        }
        if !advice.is_empty() {
            add(document, &said, "p", "advice", advice)?;
        }
        Ok(())
    }

    fn show_status(&mut self, document: &Document, status: &Status) -> Shown {
        if *status == self.status_shown {
            return Ok(());
        }
        set_text(&self.status_text, &status.text);
        mark(&self.status, "shown", !status.text.is_empty())?;
        mark(&self.status, "trouble", status.trouble)?;
        show(&self.status_action, status.offer)?;
        self.status_links.set_text_content(None);
        for field in &status.look_at {
            let words = format!("go to {}", field.in_short());
            let link = add(document, &self.status_links, "button", "link-like", &words)?;
            link.set_attribute("type", "button")?;
            link.set_attribute("data-do", "goto")?;
            link.set_attribute("data-goto-field", field.name())?;
        }
        show(&self.status_close, !status.text.is_empty())?;
        self.status_shown = status.clone();
        Ok(())
    }
}
