//! Printing the worked sheet from the page, without a window or a frame of its own.
//!
//! For as long as the print lasts the sheet stands in the document with its own style, made for paper alone, and the
//! page's style counts for the screen alone: nothing is seen to move.

use js_sys::{Array, Function, Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Document, DomParser, Element, SupportedType, Window};

use super::elements::{Shown, find};

/// While the sheet stands in the document nothing else is printed.
const NOTHING_ELSE: &str = "body > :not(#print-sheet-room) { display: none !important; }";

/// Puts the sheet into the document and asks the browser to print.
///
/// # Errors
/// What the browser said, where it cannot take a style from a program.
pub fn print(window: &Window, document: &Document, sheet_html: &str) -> Shown {
    let (without_style, style) = parted(sheet_html).ok_or("the sheet has no style")?;
    let sheet = DomParser::new()?.parse_from_string(&without_style, SupportedType::TextHtml)?;
    let main = sheet
        .query_selector("main")?
        .ok_or("the sheet has no content")?;
    let style = format!("{style}\n{NOTHING_ELSE}");
    let for_paper = style_for_paper(window, &style)?;
    Reflect::set(
        document,
        &"adoptedStyleSheets".into(),
        &Array::of1(&for_paper),
    )?;
    page_style_counts_for(document, "screen")?;
    let room: Element = find(document, "print-sheet-room")?;
    room.set_text_content(None);
    room.append_child(&document.import_node_with_deep(&main, true)?)?;
    window.print()
}

/// Takes the sheet out of the document again, when the browser is done with it.
pub fn done(document: &Document) -> Shown {
    find::<Element>(document, "print-sheet-room")?.set_text_content(None);
    page_style_counts_for(document, "all")?;
    Reflect::set(document, &"adoptedStyleSheets".into(), &Array::new())?;
    Ok(())
}

/// The sheet without its style, and the style: the page's policy lets no style in that is written in a document.
fn parted(sheet_html: &str) -> Option<(String, &str)> {
    let (before, rest) = sheet_html.split_once("<style>")?;
    let (style, after) = rest.split_once("</style>")?;
    Some((format!("{before}{after}"), style))
}

fn style_for_paper(window: &Window, text: &str) -> Result<JsValue, JsValue> {
    let maker: Function = Reflect::get(window, &"CSSStyleSheet".into())?.dyn_into()?;
    let wishes = Object::new();
    Reflect::set(&wishes, &"media".into(), &"print".into())?;
    let style = Reflect::construct(&maker, &Array::of1(&wishes))?;
    let fill: Function = Reflect::get(&style, &"replaceSync".into())?.dyn_into()?;
    fill.call1(&style, &text.into())?;
    Ok(style)
}

fn page_style_counts_for(document: &Document, media: &str) -> Shown {
    let links = document.query_selector_all("link[rel=stylesheet], style")?;
    for place in 0..links.length() {
        if let Some(link) = links
            .get(place)
            .and_then(|node| node.dyn_into::<Element>().ok())
        {
            link.set_attribute("media", media)?;
        }
    }
    Ok(())
}
