//! The table on the page: rows of input fields, of which only a window is in the document.
//!
//! What each row shows is remembered, and only what differs is written, so that typing in one cell of fifteen rows
//! writes one or two attributes rather than a table.

use std::collections::BTreeMap;

use wasm_bindgen::{JsCast, JsValue};
use web_sys::{
    Document, Element, HtmlElement, HtmlInputElement, ScrollIntoViewOptions, ScrollLogicalPosition,
};

use super::columns::HeadRow;
use super::elements::{Shown, add, find, make, mark, set_attribute, set_text, show};
use super::state::{RowPlace, State, WINDOW};
use super::words;

/// No more columns than this are shown; the table's reader takes no more than this either.
const MOST_COLUMNS: usize = 60;

/// The table's part of the page.
pub struct GridPart {
    head: HeadRow,
    body: Element,
    rows: Vec<Row>,
    pager: Element,
    pager_text: Element,
    example: Element,
    choices: Element,
    undo: Element,
    redo: Element,
    current: Option<(usize, usize)>,
    editing: bool,
    /// Whether the click that comes now is the one that entered the cell.
    just_entered: bool,
}

struct Row {
    row: Element,
    number: Element,
    tick: HtmlInputElement,
    tick_label: Element,
    cells: Vec<Cell>,
    /// Why the row is left out, on a line of its own below it: beside the cells it would make the table wider.
    reason_row: Element,
    reason: Element,
    reason_input: HtmlInputElement,
    shown: RowShown,
}

struct Cell {
    cell: Element,
    input: HtmlInputElement,
    shown: CellShown,
}

/// What a row shows, to be compared with what it should show.
#[derive(Clone, Default, PartialEq)]
struct RowShown {
    row: usize,
    label: String,
    blank: bool,
    left_out: bool,
    reason: Option<String>,
    lit: bool,
}

#[derive(Clone, Default, PartialEq)]
struct CellShown {
    text: String,
    label: String,
    note: Option<String>,
    words: bool,
    unused: bool,
}

impl GridPart {
    /// The part, in the document as it stands.
    pub fn find(document: &Document) -> Result<Self, JsValue> {
        Ok(GridPart {
            head: HeadRow::find(document)?,
            body: find(document, "grid-body")?,
            rows: Vec::new(),
            pager: find(document, "pager")?,
            pager_text: find(document, "pager-text")?,
            example: find(document, "example-banner")?,
            choices: find(document, "table-choices")?,
            undo: find(document, "undo")?,
            redo: find(document, "redo")?,
            current: None,
            editing: false,
            just_entered: false,
        })
    }

    /// The cell that was entered last.
    pub fn current(&self) -> Option<(usize, usize)> {
        self.current
    }

    /// Whether the cell is being typed in, so that arrow keys move the caret.
    pub fn editing(&self) -> bool {
        self.editing
    }

    /// Begins or ends typing in the cell.
    pub fn set_editing(&mut self, editing: bool) {
        self.editing = editing;
    }

    /// Shows or hides the lengths above the columns.
    pub fn by_length(&mut self, on: bool) {
        self.head.by_length = on;
    }

    /// A cell was entered: what it holds is selected, so that typing replaces it.
    pub fn entered(&mut self, row: usize, column: usize, element: &Element) {
        self.current = Some((row, column));
        self.editing = false;
        self.just_entered = true;
        if let Some(input) = element.dyn_ref::<HtmlInputElement>() {
            input.select();
            // Where a text is marked while its field is entered, WebKit does not scroll to the field.
            let nearest = ScrollIntoViewOptions::new();
            nearest.set_block(ScrollLogicalPosition::Nearest);
            nearest.set_inline(ScrollLogicalPosition::Nearest);
            input.scroll_into_view_with_scroll_into_view_options(&nearest);
        }
    }

    /// Whether nothing was done in the cell since it was entered.
    pub fn just_entered(&self) -> bool {
        self.just_entered
    }

    /// A cell was clicked: the first click selects it, the next one places the caret.
    pub fn clicked(&mut self, element: &Element) {
        if std::mem::take(&mut self.just_entered) {
            if let Some(input) = element.dyn_ref::<HtmlInputElement>() {
                input.select();
            }
        } else {
            self.editing = true;
        }
    }

    /// The field of a cell of the window. Whoever gives it the focus must not hold the page meanwhile: entering a cell is
    /// heard at once.
    pub fn field(&self, row: usize, column: usize) -> Option<HtmlInputElement> {
        Some(self.cell(row, column)?.input.clone())
    }

    /// The tick of a row.
    pub fn tick(&self, row: usize) -> Option<HtmlInputElement> {
        Some(self.row(row)?.tick.clone())
    }

    /// The field of a heading.
    pub fn heading(&self, column: usize) -> Option<HtmlInputElement> {
        self.head.field(column)
    }

    /// Writes what the state holds into a cell that was changed from outside while it had the focus.
    pub fn refill(&mut self, row: usize, column: usize) -> Shown {
        if let Some(cell) = self.cell(row, column) {
            let text = cell.shown.text.clone();
            cell.input.set_value(&text);
        }
        Ok(())
    }

    fn row(&self, row: usize) -> Option<&Row> {
        self.rows.iter().find(|shown| shown.shown.row == row)
    }

    fn cell(&self, row: usize, column: usize) -> Option<&Cell> {
        self.row(row)?.cells.get(column)
    }

    /// Shows the table; the cell that is being typed in keeps what is typed, whatever became of it in the table.
    pub fn show(
        &mut self,
        document: &Document,
        state: &State,
        typed_in: Option<(usize, usize)>,
    ) -> Shown {
        let columns = state.grid_columns().min(MOST_COLUMNS);
        self.head.show(document, state, columns)?;

        let first = state.first_row();
        let count = state.grid_rows().saturating_sub(first).min(WINDOW);
        while self.rows.len() > count {
            if let Some(row) = self.rows.pop() {
                row.row.remove();
                row.reason_row.remove();
            }
        }
        while self.rows.len() < count {
            let row = Row::make(document, &self.body)?;
            self.rows.push(row);
        }
        let marks = marks(state);
        let lit = state.lit_rows();
        for (place, row) in self.rows.iter_mut().enumerate() {
            row.show(
                document,
                state,
                first + place,
                columns,
                &marks,
                &lit,
                typed_in,
            )?;
        }

        let rows = state.plain().rows.len();
        show(&self.pager, state.grid_rows() > WINDOW)?;
        if state.grid_rows() > WINDOW {
            set_text(
                &self.pager_text,
                &format!(
                    "rows {}–{} of {}",
                    words::thousands(first + 1),
                    words::thousands((first + count).min(rows)),
                    words::thousands(rows)
                ),
            );
        }
        show(&self.example, super::example::is_shown(state.job()))?;
        show(&self.choices, rows > 0)?;
        // Not "disabled": a button that becomes so while it is pressed would lose the focus to nowhere.
        for (button, can) in [
            (&self.undo, state.can_undo()),
            (&self.redo, state.can_redo()),
        ] {
            set_attribute(button, "aria-disabled", (!can).then_some("true"))?;
        }
        Ok(())
    }
}

impl Row {
    fn make(document: &Document, body: &Element) -> Result<Self, JsValue> {
        let row = add(document, body, "tr", "", "")?;
        let number = add(document, &row, "th", "", "")?;
        number.set_attribute("scope", "row")?;
        let tick_cell = add(document, &row, "td", "use", "")?;
        let tick_label = add(document, &tick_cell, "label", "", "")?;
        let tick: HtmlInputElement = make(document, "input", "")?.dyn_into()?;
        tick.set_type("checkbox");
        // Reached from the first cell with the left arrow: one stop for each reading is enough for Tab.
        tick.set_tab_index(-1);
        tick_label.append_child(&tick)?;
        let reason_row = add(document, body, "tr", "reason-row", "")?;
        reason_row.set_attribute("hidden", "")?;
        let reason = add(document, &reason_row, "td", "reason", "")?;
        let label = add(document, &reason, "label", "", "left out because ")?;
        let reason_input = input(document, &label)?;
        reason_input.set_attribute("data-reason", "")?;
        reason_input.set_placeholder("why?");
        Ok(Row {
            row,
            number,
            tick,
            tick_label,
            cells: Vec::new(),
            reason_row,
            reason,
            reason_input,
            shown: RowShown {
                row: usize::MAX,
                ..RowShown::default()
            },
        })
    }

    #[allow(clippy::too_many_arguments)]
    fn show(
        &mut self,
        document: &Document,
        state: &State,
        grid_row: usize,
        columns: usize,
        marks: &BTreeMap<(usize, usize), String>,
        lit: &[usize],
        typed_in: Option<(usize, usize)>,
    ) -> Shown {
        let number = match state.place(grid_row) {
            RowPlace::Data(data) => Some(data + 1),
            RowPlace::Blank(_) => None,
        };
        let left_out = number.is_some_and(|number| state.job().exclude.contains(&number));
        let wanted = RowShown {
            row: grid_row,
            label: number.map_or_else(|| "new".to_owned(), |number| number.to_string()),
            blank: number.is_none(),
            left_out,
            reason: left_out.then(|| {
                number
                    .and_then(|number| state.job().reasons.get(&number).cloned())
                    .unwrap_or_default()
            }),
            lit: number.is_some_and(|number| lit.contains(&number)),
        };
        if wanted != self.shown {
            self.dress(&wanted)?;
            self.shown = wanted;
        }
        while self.cells.len() > columns {
            if let Some(cell) = self.cells.pop() {
                cell.cell.remove();
            }
        }
        while self.cells.len() < columns {
            let cell = Cell::make(document, self.cells.len())?;
            self.row.append_child(&cell.cell)?;
            self.cells.push(cell);
        }
        if left_out {
            let across = (columns + 2).to_string();
            set_attribute(&self.reason, "colspan", Some(&across))?;
        }
        for (column, cell) in self.cells.iter_mut().enumerate() {
            let meant = state
                .analysis()
                .columns
                .iter()
                .find(|meant| meant.column == column + 1);
            let heading = state
                .plain()
                .headings
                .get(column)
                .map(String::as_str)
                .filter(|heading| !heading.is_empty())
                .map_or_else(|| format!("column {}", column + 1), str::to_owned);
            let wanted = CellShown {
                text: state.cell(grid_row, column).to_owned(),
                label: match number {
                    Some(number) => format!("{heading}, row {number}"),
                    None => format!("{heading}, new row"),
                },
                note: number.and_then(|number| marks.get(&(number, column + 1)).cloned()),
                words: meant.is_some_and(words::holds_words),
                unused: meant.is_some_and(|meant| meant.meaning == "ignored"),
            };
            cell.show(
                wanted,
                grid_row,
                column,
                typed_in == Some((grid_row, column)),
            )?;
        }
        Ok(())
    }

    fn dress(&self, wanted: &RowShown) -> Shown {
        if wanted.row != self.shown.row {
            self.row
                .set_attribute("data-row", &(wanted.row + 1).to_string())?;
            self.row.set_id(&format!("row-{}", wanted.row + 1));
            self.reason_input
                .set_id(&format!("reason-{}", wanted.row + 1));
            self.reason_row
                .set_attribute("data-row", &(wanted.row + 1).to_string())?;
            for (column, cell) in self.cells.iter().enumerate() {
                cell.input
                    .set_id(&format!("cell-{}-{}", wanted.row + 1, column + 1));
            }
        }
        set_text(&self.number, &wanted.label);
        mark(&self.row, "spare", wanted.blank)?;
        mark(&self.row, "left-out", wanted.left_out)?;
        mark(&self.row, "lit", wanted.lit)?;
        self.tick.set_checked(!wanted.left_out);
        show(&self.tick_label, !wanted.blank)?;
        set_attribute(
            &self.tick,
            "aria-label",
            Some(&format!("use row {} for the line", wanted.label)),
        )?;
        show(&self.reason_row, wanted.left_out)?;
        set_attribute(
            &self.reason_input,
            "aria-label",
            Some(&format!("left out because: row {}", wanted.label)),
        )?;
        let reason = wanted.reason.as_deref().unwrap_or_default();
        if self.reason_input.value() != reason {
            self.reason_input.set_value(reason);
        }
        Ok(())
    }
}

impl Cell {
    fn make(document: &Document, column: usize) -> Result<Self, JsValue> {
        let cell = make(document, "td", "")?;
        let input = input(document, &cell)?;
        input.set_attribute("data-column", &(column + 1).to_string())?;
        Ok(Cell {
            cell,
            input,
            shown: CellShown::default(),
        })
    }

    fn show(
        &mut self,
        wanted: CellShown,
        grid_row: usize,
        column: usize,
        being_typed_in: bool,
    ) -> Shown {
        if self.input.id().is_empty() {
            self.input
                .set_id(&format!("cell-{}-{}", grid_row + 1, column + 1));
        }
        if wanted.text != self.shown.text || (!being_typed_in && self.input.value() != wanted.text)
        {
            // The field that is being typed in shows what was typed, to the last blank.
            if !being_typed_in {
                self.input.set_value(&wanted.text);
            }
        }
        if wanted.label != self.shown.label {
            self.input.set_attribute("aria-label", &wanted.label)?;
        }
        if wanted.note != self.shown.note {
            mark(&self.cell, "marked", wanted.note.is_some())?;
            set_attribute(&self.input, "title", wanted.note.as_deref())?;
            set_attribute(
                &self.input,
                "aria-invalid",
                wanted.note.as_ref().map(|_| "true"),
            )?;
            set_attribute(&self.input, "aria-description", wanted.note.as_deref())?;
        }
        if wanted.words != self.shown.words {
            mark(&self.cell, "words", wanted.words)?;
        }
        if wanted.unused != self.shown.unused {
            mark(&self.cell, "unused", wanted.unused)?;
        }
        self.shown = wanted;
        Ok(())
    }
}

/// The cells of which a note says that they were not used, with the note.
fn marks(state: &State) -> BTreeMap<(usize, usize), String> {
    let mut marks = BTreeMap::new();
    for note in &state.analysis().notes {
        if note.weight != "told"
            && let (Some(row), Some(column)) = (note.row, note.column)
        {
            marks
                .entry((row, column))
                .or_insert_with(|| note.text.clone());
        }
    }
    marks
}

fn input(document: &Document, parent: &Element) -> Result<HtmlInputElement, JsValue> {
    let input: HtmlInputElement = make(document, "input", "")?.dyn_into()?;
    input.set_type("text");
    input.set_attribute("inputmode", "text")?;
    input.set_attribute("autocomplete", "off")?;
    input.set_attribute("spellcheck", "false")?;
    let field: &HtmlElement = &input;
    parent.append_child(field)?;
    Ok(input)
}
