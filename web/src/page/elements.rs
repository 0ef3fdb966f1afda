//! Elements of the document: looked up once, by id and type, and changed only where something is to change.

use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Document, Element, HtmlInputElement, HtmlTextAreaElement};

/// What a part answers after showing something: an error of the browser's goes to the console.
pub type Shown = Result<(), JsValue>;

/// The element of that id and type.
pub fn find<T: JsCast>(document: &Document, id: &str) -> Result<T, JsValue> {
    document
        .get_element_by_id(id)
        .and_then(|element| element.dyn_into().ok())
        .ok_or_else(|| JsValue::from_str(&format!("the document has no fitting element “{id}”")))
}

/// A new element with a class; none when the class is empty.
pub fn make(document: &Document, tag: &str, class: &str) -> Result<Element, JsValue> {
    let element = document.create_element(tag)?;
    if !class.is_empty() {
        element.set_class_name(class);
    }
    Ok(element)
}

/// A new element with a class and a text, put at the end of `parent`.
pub fn add(
    document: &Document,
    parent: &Element,
    tag: &str,
    class: &str,
    text: &str,
) -> Result<Element, JsValue> {
    let element = make(document, tag, class)?;
    if !text.is_empty() {
        element.set_text_content(Some(text));
    }
    parent.append_child(&element)?;
    Ok(element)
}

/// Fills the head and the body of a table with texts.
pub fn fill_table(
    document: &Document,
    (head, body): (&Element, &Element),
    headings: &[String],
    rows: &[Vec<String>],
) -> Shown {
    head.set_text_content(None);
    let row = add(document, head, "tr", "", "")?;
    for heading in headings {
        add(document, &row, "th", "", heading)?.set_attribute("scope", "col")?;
    }
    body.set_text_content(None);
    for cells in rows {
        let row = add(document, body, "tr", "", "")?;
        for (place, cell) in cells.iter().enumerate() {
            // The first cell says which row it is.
            let tag = if place == 0 { "th" } else { "td" };
            let cell = add(document, &row, tag, "", cell)?;
            if place == 0 {
                cell.set_attribute("scope", "row")?;
            }
        }
    }
    Ok(())
}

/// Shows a text, when it is not shown already.
pub fn set_text(element: &Element, text: &str) {
    if element.text_content().as_deref() != Some(text) {
        element.set_text_content(Some(text));
    }
}

/// Shows a text in a field, when it is not shown already: the caret stays where it is.
pub fn set_value(input: &HtmlInputElement, text: &str) {
    if input.value() != text {
        input.set_value(text);
    }
}

/// The same in a field of several lines.
pub fn set_area(area: &HtmlTextAreaElement, text: &str) {
    if area.value() != text {
        area.set_value(text);
    }
}

/// Shows or hides.
pub fn show(element: &Element, shown: bool) -> Shown {
    if shown == element.has_attribute("hidden") {
        if shown {
            element.remove_attribute("hidden")?;
        } else {
            element.set_attribute("hidden", "")?;
        }
    }
    Ok(())
}

/// Puts a class on or takes it off.
pub fn mark(element: &Element, class: &str, on: bool) -> Shown {
    element
        .class_list()
        .toggle_with_force(class, on)
        .map(|_| ())
}

/// Sets an attribute, or takes it away for `None`.
pub fn set_attribute(element: &Element, name: &str, value: Option<&str>) -> Shown {
    match value {
        Some(value) if element.get_attribute(name).as_deref() != Some(value) => {
            element.set_attribute(name, value)
        }
        None if element.has_attribute(name) => element.remove_attribute(name),
        _ => Ok(()),
    }
}

/// A number in an attribute, from 1 in the document and from 0 here.
pub fn index(element: &Element, name: &str) -> Option<usize> {
    element
        .get_attribute(name)?
        .parse::<usize>()
        .ok()?
        .checked_sub(1)
}
