//! What people do, turned into messages. Listeners sit on the document and look at where an event came from, so that
//! parts may come and go without hooking and unhooking.

use wasm_bindgen::{JsCast, JsValue};
use web_sys::{
    ClipboardEvent, Document, DragEvent, Element, Event, HtmlElement, HtmlInputElement,
    HtmlSelectElement, HtmlTextAreaElement, KeyboardEvent, PointerEvent, Window,
};
use yokeline_core::check::Stage;
use yokeline_core::table::from_clipboard;

use super::app::{self, App, send};
use super::choice::{Choice, Tick};
use super::elements::{index, mark};
use super::field::Field;
use super::listener::Listener;
use super::state::{Msg, WINDOW};
use super::{
    edit, example, files, focus, handout, notes, plan_part, practice, print, simulate, take,
    task_part,
};

/// Hooks the page up.
pub fn listen(window: &Window, document: &Document) -> Result<Vec<Listener>, JsValue> {
    let on_document = |name, heard: fn(Event)| Listener::new(document, name, heard);
    let on_window = |name, heard: fn(Event)| Listener::new(window, name, heard);
    let mut listeners = vec![
        on_document("mouseup", released)?,
        on_document("click", clicked)?,
        on_document("input", typed)?,
        on_document("change", changed)?,
        on_document("keydown", pressed)?,
        on_document("focusin", entered)?,
        on_document("focusout", left)?,
        on_document("paste", pasted)?,
        on_document("dragover", dragged_over)?,
        on_document("dragleave", dragged_away)?,
        on_document("drop", dropped)?,
        on_document("pointermove", pointed)?,
        on_document("pointerdown", pointed)?,
        on_window("hashchange", |_| {
            if let Some(Ok(hash)) = app::read(|app| app.window().location().hash()) {
                app::open_link(&hash);
            }
        })?,
        on_window("pagehide", |_| app::keep())?,
        // A phone ends a page that is out of sight without another word.
        on_document("visibilitychange", |_| app::keep())?,
        on_window("pageshow", |_| app::look_around())?,
        on_window("storage", |_| app::look_around())?,
        // From static/away.js, before it loads the page anew.
        on_window("yokeline-keep", |_| {
            app::with(|app| {
                app.keep_through_a_reload();
                Ok(())
            });
        })?,
        on_window("afterprint", |_| {
            app::with(|app| print::done(app.document()))
        })?,
        on_window("resize", |_| app::with(|app| app.ask_for_painting()))?,
    ];
    for colours in ["(prefers-color-scheme: dark)", "(forced-colors: active)"] {
        if let Some(query) = window.match_media(colours)? {
            listeners.push(Listener::new(&query, "change", |_| {
                app::with(|app| app.ask_for_painting());
            })?);
        }
    }
    Ok(listeners)
}

fn target(event: &Event) -> Option<Element> {
    event.target()?.dyn_into().ok()
}

/// The row and column of the grid that an element stands in, from 0.
fn cell_of(element: &Element) -> Option<(usize, usize)> {
    let column = index(element, "data-column")?;
    let row = index(&element.closest("tr[data-row]").ok()??, "data-row")?;
    Some((row, column))
}

fn row_of(element: &Element) -> Option<usize> {
    index(&element.closest("tr[data-row]").ok()??, "data-row")
}

/// WebKit unmarks a text that was marked when its field was entered, once the button of the mouse is released.
fn released(event: Event) {
    let in_cell = target(&event).is_some_and(|element| cell_of(&element).is_some());
    if in_cell && app::read(App::grid_just_entered) == Some(true) {
        event.prevent_default();
    }
}

fn clicked(event: Event) {
    let Some(target) = target(&event) else { return };
    if cell_of(&target).is_some() {
        app::with(|app| {
            app.grid().clicked(&target);
            Ok(())
        });
        return;
    }
    let Ok(Some(pressed)) = target.closest("[data-do]") else {
        return;
    };
    if let Some(name) = pressed.get_attribute("data-do") {
        act(&name, &pressed);
    }
}

fn act(name: &str, pressed: &Element) {
    let current = app::read(|app| app.grid_current());
    let (row, column) = current.flatten().unwrap_or((0, 0));
    let window_start = app::read(|app| app.state().first_row()).unwrap_or(0);
    match name {
        "undo" => send(Msg::Undo),
        "redo" => send(Msg::Redo),
        "insert-row" => {
            send(Msg::InsertRow { row });
            focus_cell(row, 0);
        }
        "remove-row" => {
            send(Msg::RemoveRow { row });
            focus_cell(row, column);
        }
        "add-column" => {
            send(Msg::AddColumn);
            if let Some(columns) = app::read(|app| app.state().grid_columns()) {
                focus_cell(0, columns.saturating_sub(1));
            }
        }
        "remove-column" => {
            send(Msg::RemoveColumn { column });
            focus_cell(row, column.saturating_sub(1));
        }
        "rows-first" => send(Msg::ShowRow { row: 0 }),
        "rows-back" => send(Msg::ShowRow {
            row: window_start.saturating_sub(WINDOW),
        }),
        "rows-on" => send(Msg::ShowRow {
            row: window_start + WINDOW,
        }),
        "rows-last" => send(Msg::ShowRow { row: usize::MAX }),
        "read-paste" => {
            let found = app::read(|app| {
                let area = app.document().get_element_by_id("paste-box")?;
                area.dyn_into::<HtmlTextAreaElement>().ok()
            });
            if let Some(area) = found.flatten() {
                let revision = || app::read(|app| app.state().revision());
                let before = revision();
                files::take_text(area.value());
                // What was not taken stays, to be put right.
                if revision() != before {
                    area.set_value("");
                }
            }
        }
        "empty-table" => {
            send(Msg::EmptyTable);
            focus_cell(0, 0);
        }
        "use-refused" => send(Msg::UseRefused),
        "close-status" => send(Msg::CloseStatus),
        "forget" => send(Msg::Forget),
        "take-other" => send(Msg::TakeOther),
        "keep-mine" => send(Msg::KeepMine),
        "goto" => go_to(pressed),
        "simulate" => simulate::start(),
        "practice-open" | "practice-sheet" | "practice-sheets" | "practice-key" => {
            practice::act(name);
        }
        "plan-use" | "plan-print" | "plan-example" => plan_part::act(name),
        "task-open" => task_part::open_set(),
        "handout-make" | "handout-copy" | "handout-copy-frame" | "handout-save-qr" => {
            handout::act(name);
        }
        _ => take::act(name),
    }
}

/// Goes to where a note speaks of.
fn go_to(pressed: &Element) {
    if let Some(field) = pressed.get_attribute("data-goto-field") {
        enter(app::read(|app| app.apparatus_field(&field)).flatten());
        return;
    }
    let rows: Vec<usize> = pressed
        .get_attribute("data-goto-rows")
        .unwrap_or_default()
        .split(' ')
        .filter_map(|row| row.parse().ok())
        .collect();
    if !rows.is_empty() {
        light_up(rows);
        return;
    }
    let row = index(pressed, "data-goto-row");
    let column = index(pressed, "data-goto-column");
    match (row, column) {
        (Some(data), column) => {
            if let Some(row) = app::read(|app| app.state().grid_row(data)) {
                focus_cell(row, column.unwrap_or(0));
            }
        }
        (None, Some(column)) => enter(app::read(|app| app.heading_field(column)).flatten()),
        (None, None) => {}
    }
}

/// Lights up the rows in the table and on the graph, and brings the first into view.
fn light_up(rows: Vec<usize>) {
    let Some(first) = rows.first().and_then(|row| row.checked_sub(1)) else {
        return;
    };
    if let Some(row) = app::read(|app| app.state().grid_row(first)) {
        focus_cell(row, 0);
    }
    send(Msg::LightUp { rows });
}

/// Shows the row and goes to the cell.
fn focus_cell(row: usize, column: usize) {
    let shown = app::read(|app| {
        let first = app.state().first_row();
        (first..first + WINDOW).contains(&row)
    });
    if shown == Some(false) {
        send(Msg::ShowRow { row });
    }
    let Some(Some(input)) = app::read(|app| app.cell_field(row, column)) else {
        return;
    };
    let had_it = app::read(|app| app.document().active_element())
        .flatten()
        .is_some_and(|active| active.is_same_node(Some(&input)));
    if had_it {
        // A cell that has the focus already is not entered anew.
        app::with(|app| {
            app.grid().entered(row, column, &input);
            Ok(())
        });
    } else {
        enter(Some(input));
    }
}

/// Gives the focus to a field, without holding the page: being entered is heard at once.
fn enter(field: Option<impl AsRef<HtmlElement>>) {
    if let Some(field) = field {
        // A field that is hidden meanwhile is not entered.
        let _ = field.as_ref().focus();
    }
}

fn focus_tick(row: usize) {
    enter(app::read(|app| app.tick(row)).flatten());
}

/// The stage whose answer is typed there.
fn stage_of(field: &Element) -> Option<Stage> {
    Stage::named(&field.get_attribute("data-answer")?)
}

fn typed(event: Event) {
    let Some(element) = target(&event) else {
        return;
    };
    app::with(|_| notes::complained_no_more(&element));
    if let Some(area) = element.dyn_ref::<HtmlTextAreaElement>() {
        let text = area.value();
        if area.id() == "class-box" {
            send(Msg::SetClass { text });
            return;
        }
        if let Some(stage) = stage_of(area) {
            send(Msg::SetAnswer { stage, text });
            return;
        }
        if area.id() != Field::Walk.name() {
            return;
        }
        send(Msg::SetField {
            field: Field::Walk,
            text,
        });
        return;
    }
    let Ok(input) = element.dyn_into::<HtmlInputElement>() else {
        return;
    };
    if let Some(name) = input.get_attribute("data-plan") {
        let text = input.value();
        send(Msg::SetPlan { name, text });
        return;
    }
    if let Some(stage) = stage_of(&input) {
        let text = input.value();
        send(Msg::SetAnswer { stage, text });
        return;
    }
    if let Some(field) = input
        .get_attribute("data-field")
        .and_then(|name| Field::named(&name))
    {
        send(Msg::SetField {
            field,
            text: input.value(),
        });
    } else if let Some((row, column)) = cell_of(&input) {
        app::with(|app| {
            app.grid().set_editing(true);
            Ok(())
        });
        send(Msg::SetCell {
            row,
            column,
            text: input.value(),
        });
    }
}

fn changed(event: Event) {
    let Some(element) = target(&event) else {
        return;
    };
    if matches!(element.closest("#practice-part"), Ok(Some(_))) {
        app::with(|app| handout::forget_link(app.document()));
    }
    if let Some(select) = element.dyn_ref::<HtmlSelectElement>() {
        if select.id() == "practice-level" {
            app::with(|app| practice::show_sentence(app.document()));
            return;
        }
        if let Some(name) = select.get_attribute("data-plan") {
            let text = select.value();
            send(Msg::SetPlan { name, text });
            return;
        }
        if let Some(list) = select.get_attribute("data-choice") {
            if let Some(choice) = Choice::named(&list, &select.value()) {
                send(Msg::Choose(choice));
            }
        } else if let Some(column) = index(select, "data-meaning") {
            send(Msg::SetMeaning {
                column,
                meaning: select.value(),
            });
        }
        return;
    }
    let Some(input) = element.dyn_ref::<HtmlInputElement>() else {
        return;
    };
    let text = input.value();
    match input.id().as_str() {
        "open-file" | "open-job" => {
            if let Some(file) = input.files().and_then(|files| files.get(0)) {
                files::open(&file);
            }
            // The same file may be chosen again.
            input.set_value("");
            return;
        }
        "pager-row" => {
            if let Some(row) = text
                .trim()
                .parse::<usize>()
                .ok()
                .and_then(|row| row.checked_sub(1))
            {
                focus_cell(row, 0);
            }
            return;
        }
        "by-length" => {
            app::with(|app| {
                app.grid().by_length(input.checked());
                Ok(())
            });
            send(Msg::Settle);
            return;
        }
        "band" => {
            send(Msg::ShowBand(input.checked()));
            return;
        }
        _ if input.has_attribute("data-answer") => {
            send(Msg::Attempt);
            return;
        }
        id => {
            if let Some(tick) = Tick::named(id) {
                send(Msg::SetTick(tick, input.checked()));
                return;
            }
        }
    }
    if let Some(field) = input
        .get_attribute("data-field")
        .and_then(|name| Field::named(&name))
    {
        // What was filled in without being typed, by the browser or a tool, is told by this event alone.
        send(Msg::SetField { field, text });
    } else if let Some((row, column)) = cell_of(input) {
        send(Msg::SetCell { row, column, text });
    } else if let Some(column) = index(input, "data-heading") {
        send(Msg::SetHeading { column, text });
    } else if let Some(column) = index(input, "data-unit") {
        send(Msg::SetUnit { column, text });
    } else if let Some(column) = index(input, "data-series") {
        send(Msg::SetSeries { column, text });
    } else if let Some(row) = row_of(input) {
        if input.type_() == "checkbox" {
            send(Msg::Use {
                row,
                used: input.checked(),
            });
        } else if input.has_attribute("data-reason") {
            send(Msg::SetReason { row, text });
        }
    }
}

fn entered(event: Event) {
    let Some(element) = target(&event) else {
        return;
    };
    focus::entered(&element);
    let Some((row, column)) = cell_of(&element) else {
        return;
    };
    app::with(|app| {
        app.grid().entered(row, column, &element);
        Ok(())
    });
    // A blank row that nothing was typed into goes when another row is entered.
    let blank = app::read(|app| app.state().blank_row()).flatten();
    if let Some(blank) = blank
        && blank != row
    {
        send(Msg::CloseBlankRow);
        focus_cell(if row > blank { row - 1 } else { row }, column);
    }
}

fn left(event: Event) {
    if target(&event).is_some_and(|element| {
        ["data-column", "data-field", "data-plan"]
            .iter()
            .any(|name| element.has_attribute(name))
    }) {
        send(Msg::Settle);
    }
}

fn pressed(event: Event) {
    let Some(key) = event.dyn_ref::<KeyboardEvent>() else {
        return;
    };
    let Some(element) = target(&event) else {
        return;
    };
    // A word being put together by an input method is not finished yet.
    if key.is_composing() {
        return;
    }
    if key.key() == "Enter" && element.id() == "task-student" {
        task_part::open_set();
        return;
    }
    let command = key.ctrl_key() || key.meta_key();
    if command && !key.alt_key() && !element.is_instance_of::<HtmlTextAreaElement>() {
        let back = match (key.key().as_str(), key.shift_key()) {
            ("z", false) => Some(Msg::Undo),
            ("z" | "Z", true) | ("y", false) => Some(Msg::Redo),
            _ => None,
        };
        if let Some(msg) = back {
            event.prevent_default();
            send(msg);
            return;
        }
    }
    if element.id() == "graph-walk" {
        walk(key);
    } else if let Some((row, column)) = cell_of(&element) {
        pressed_in_cell(key, row, column, &element);
    } else if row_of(&element).is_some() && !command {
        pressed_beside_cells(key, &element);
    } else if key.key() == "Escape" && element.has_attribute("data-field") {
        send(Msg::TakeBack);
    }
}

fn walk(key: &KeyboardEvent) {
    let msg = match key.key().as_str() {
        "ArrowRight" | "ArrowUp" => Msg::Walk(1),
        "ArrowLeft" | "ArrowDown" => Msg::Walk(-1),
        "PageUp" => Msg::Walk(10),
        "PageDown" => Msg::Walk(-10),
        "Home" => Msg::Point(Some(0)),
        "End" => Msg::Walk(isize::MAX),
        "Escape" => Msg::Point(None),
        _ => return,
    };
    key.prevent_default();
    send(msg);
}

fn pressed_in_cell(key: &KeyboardEvent, row: usize, column: usize, element: &Element) {
    let Some((editing, rows, columns)) = app::read(|app| {
        (
            app.grid_editing(),
            app.state().grid_rows(),
            app.state().grid_columns(),
        )
    }) else {
        return;
    };
    let command = key.ctrl_key() || key.meta_key();
    let last_row = rows.saturating_sub(1);
    let last_column = columns.saturating_sub(1);
    let down = (row + 1).min(last_row);
    let up = row.saturating_sub(1);
    let to = match (key.key().as_str(), editing) {
        ("Enter", _) if key.shift_key() => (up, column),
        ("Enter", _) => (down, column),
        ("ArrowDown", _) if command => (last_row, column),
        ("ArrowUp", _) if command => (0, column),
        ("ArrowDown", _) => (down, column),
        ("ArrowUp", _) => (up, column),
        ("PageDown", _) => ((row + 10).min(last_row), column),
        ("PageUp", _) => (row.saturating_sub(10), column),
        ("ArrowRight", false) => (row, (column + 1).min(last_column)),
        ("ArrowLeft", false) if column == 0 => {
            key.prevent_default();
            focus_tick(row);
            return;
        }
        ("ArrowLeft", false) => (row, column - 1),
        ("Home", false) if command => (0, 0),
        ("End", false) if command => (last_row, last_column),
        ("Home", false) => (row, 0),
        ("End", false) => (row, last_column),
        ("Tab", _) if key.shift_key() && column > 0 => (row, column - 1),
        ("Tab", _) if key.shift_key() && row > 0 => (up, last_column),
        ("Tab", _) if !key.shift_key() && column < last_column => (row, column + 1),
        // From the last cell of a row that is left out, the browser itself goes on to the reason.
        ("Tab", _) if !key.shift_key() && asks_for_reason(element) => return,
        ("Tab", _) if !key.shift_key() && row < last_row => (down, 0),
        ("F2", _) => {
            key.prevent_default();
            app::with(|app| {
                app.grid().set_editing(true);
                Ok(())
            });
            caret_to_end(element);
            return;
        }
        ("Escape", _) => {
            key.prevent_default();
            send(Msg::TakeBack);
            focus_cell(row, column);
            return;
        }
        ("Delete" | "Backspace", false) if !command => {
            key.prevent_default();
            send(Msg::Settle);
            send(Msg::SetCell {
                row,
                column,
                text: String::new(),
            });
            app::with(|app| app.grid().refill(row, column));
            send(Msg::Settle);
            return;
        }
        _ => return,
    };
    key.prevent_default();
    focus_cell(to.0, to.1);
}

/// Whether the row of a cell shows a field for the reason why it is left out.
fn asks_for_reason(cell: &Element) -> bool {
    let row = cell.closest("tr[data-row]").ok().flatten();
    // The reason stands in a row of its own below, hidden while the reading counts.
    row.and_then(|row| row.next_element_sibling())
        .is_some_and(|below| below.matches(".reason-row:not([hidden])").unwrap_or(false))
}

fn caret_to_end(element: &Element) {
    if let Some(input) = element.dyn_ref::<HtmlInputElement>() {
        let end = u32::try_from(input.value().encode_utf16().count()).unwrap_or(u32::MAX);
        // The caret may stay where it is.
        let _ = input.set_selection_range(end, end);
    }
}

/// Keys on the tick and on the reason: out again into the cells, up and down.
fn pressed_beside_cells(key: &KeyboardEvent, element: &Element) {
    let Some(row) = row_of(element) else { return };
    let tick = element
        .dyn_ref::<HtmlInputElement>()
        .is_some_and(|input| input.type_() == "checkbox");
    let rows = app::read(|app| app.state().grid_rows()).unwrap_or(1);
    let down = (row + 1).min(rows.saturating_sub(1));
    match key.key().as_str() {
        "ArrowRight" if tick => focus_cell(row, 0),
        "ArrowDown" if tick => focus_tick(down),
        "ArrowUp" if tick => focus_tick(row.saturating_sub(1)),
        "Enter" if !tick => focus_tick(row),
        _ => return,
    }
    key.prevent_default();
}

fn pasted(event: Event) {
    let Some(data) = event
        .dyn_ref::<ClipboardEvent>()
        .and_then(ClipboardEvent::clipboard_data)
    else {
        return;
    };
    if let Some(file) = data.files().and_then(|files| files.get(0)) {
        event.prevent_default();
        files::open(&file);
        return;
    }
    let text = data.get_data("text/plain").unwrap_or_default();
    let html = data
        .get_data("text/html")
        .ok()
        .filter(|html| !html.is_empty());
    let target = target(&event);
    if let Some(cell) = target.as_ref().and_then(cell_of) {
        let block = edit::block(&text);
        if block.len() == 1 && block.first().is_some_and(|cells| cells.len() == 1) {
            return;
        }
        event.prevent_default();
        let example_shown = app::read(|app| example::is_shown(app.state().job())).unwrap_or(false);
        if example_shown || edit::has_headings(&block) {
            files::take_text(from_clipboard(html.as_deref(), Some(&text)));
        } else {
            let (row, column) = cell;
            send(Msg::Fill { row, column, block });
        }
        return;
    }
    let other_field = target.as_ref().is_some_and(|element| {
        element.id() != "paste-box"
            && (element.is_instance_of::<HtmlTextAreaElement>()
                || element
                    .dyn_ref::<HtmlInputElement>()
                    .is_some_and(|input| input.type_() == "text" && !input.read_only()))
    });
    if other_field {
        return;
    }
    event.prevent_default();
    files::take_text(from_clipboard(html.as_deref(), Some(&text)));
}

fn mark_dropping(on: bool) {
    app::with(|app| match app.document().body() {
        Some(body) => mark(&body, "dropping", on),
        None => Ok(()),
    });
}

fn dragged_over(event: Event) {
    event.prevent_default();
    mark_dropping(true);
}

fn dragged_away(event: Event) {
    // Leaving an element for another inside the page is not leaving the page.
    let outside = event
        .dyn_ref::<DragEvent>()
        .is_some_and(|drag| drag.related_target().is_none());
    if outside {
        mark_dropping(false);
    }
}

fn dropped(event: Event) {
    event.prevent_default();
    mark_dropping(false);
    let Some(data) = event
        .dyn_ref::<DragEvent>()
        .and_then(DragEvent::data_transfer)
    else {
        return;
    };
    match data.files().and_then(|files| files.get(0)) {
        Some(file) => files::open(&file),
        None => files::take_text(data.get_data("text/plain").unwrap_or_default()),
    }
}

fn pointed(event: Event) {
    let Some(pointer) = event.dyn_ref::<PointerEvent>() else {
        return;
    };
    let over_graph = target(&event)
        .and_then(|element| element.closest("#graph-walk").ok().flatten())
        .is_some();
    if !over_graph {
        return;
    }
    let (x, y) = (f64::from(pointer.client_x()), f64::from(pointer.client_y()));
    let near = app::read(|app| (app.graph().nearest(x, y), app.state().point()));
    if let Some((Some(point), shown)) = near
        && shown != Some(point)
    {
        send(Msg::Point(Some(point)));
    }
}
