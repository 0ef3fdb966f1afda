//! Handing a task out: a link, its QR code, and a frame for a page of the teacher's own.

use base64::Engine;
use base64::engine::general_purpose::STANDARD as BASE64;
use web_sys::{Document, Element, HtmlInputElement, HtmlSelectElement, HtmlTextAreaElement};

use super::elements::{Shown, find, set_text, show};
use super::{app, practice, take};
use crate::keep::homework::{self, Homework, LONGEST_TASK, Practice, Reveal};
use crate::keep::{download, link};
use crate::paper::qr;

/// Does what a button of this part is for.
pub fn act(name: &str) {
    let Some(document) = app::read(|app| app.document().clone()) else {
        return;
    };
    let text_of = |id: &str| {
        find::<HtmlInputElement>(&document, id)
            .map(|field| field.value())
            .unwrap_or_default()
    };
    let done = match name {
        "handout-make" => make(&document),
        "handout-copy" => {
            take::copy(
                &text_of("handout-link"),
                "The link was copied.".to_owned(),
                "handout-link",
            );
            Ok(())
        }
        "handout-copy-frame" => {
            take::copy(
                &text_of("handout-frame"),
                "The frame was copied: paste it into the source of your page.".to_owned(),
                "handout-frame",
            );
            Ok(())
        }
        "handout-save-qr" => {
            save_code(&text_of("handout-link"));
            Ok(())
        }
        _ => Ok(()),
    };
    if let Err(error) = done {
        web_sys::console::error_1(&error);
    }
}

fn make(document: &Document) -> Shown {
    let task: HtmlTextAreaElement = find(document, "handout-task")?;
    let readings: HtmlSelectElement = find(document, "handout-readings")?;
    let shown: HtmlSelectElement = find(document, "handout-show")?;
    let chosen = practice::chosen_set(document);
    let kind = readings.value();
    let practice = match (kind.as_str(), chosen) {
        ("own-number" | "same", Err(why)) => {
            app::say(why, true);
            return Ok(());
        }
        ("own-number", Ok(chosen)) => Some(Practice {
            student: None,
            ..chosen
        }),
        ("same", Ok(chosen)) => Some(chosen),
        _ => None,
    };
    let job = (kind == "table").then(|| app::read(|app| app.state().job().clone()));
    let homework = Homework {
        task: task.value().trim().to_owned(),
        practice,
        job: job.flatten().map(Box::new),
        show: usize::try_from(shown.selected_index())
            .ok()
            .and_then(|place| Reveal::ALL.get(place).copied())
            .unwrap_or_default(),
    };
    let page = take::page_address(document);
    let address = format!("{page}{}", homework::to_fragment(&homework));
    let out: Element = find(document, "handout-out")?;
    let field: HtmlInputElement = find(document, "handout-link")?;
    field.set_value(&address);
    let frame: HtmlInputElement = find(document, "handout-frame")?;
    frame.set_value(&frame_of(&address));
    let picture: Element = find(document, "handout-qr")?;
    // A code of a file's address opens nothing on any telephone.
    let code = qr::code(&address).filter(|_| !link::is_file(&page));
    show(&picture, code.is_some())?;
    let buttons: Element = find(document, "handout-save-qr")?;
    show(&buttons, code.is_some())?;
    let mut said = vec![match &code {
        Some(code) => {
            picture.set_attribute(
                "src",
                &format!("data:image/svg+xml;base64,{}", BASE64.encode(&code.svg)),
            )?;
            format!("Print the code at least {} cm wide.", code.side_cm)
        }
        None if link::is_file(&page) => String::new(),
        None => "This link is too long for a code that a phone can read: give out the link itself, or a practice set, \
                 whose link is short."
            .to_owned(),
    }];
    said.extend(link::concern(&address));
    if task.value().chars().count() > LONGEST_TASK {
        said.push(format!(
            "Only the first {LONGEST_TASK} characters of the task are in the link."
        ));
    }
    said.extend(link::works_here_only(&page));
    let remark: Element = find(document, "handout-said")?;
    set_text(&remark, said.join(" ").trim_start());
    show(&out, true)?;
    field.focus()?;
    field.select();
    app::say(
        "The link is made. Open it once yourself before you give it out.",
        false,
    );
    Ok(())
}

/// Takes a link off the page that was made of other choices than those that stand there now.
pub fn forget_link(document: &Document) -> Shown {
    show(&find::<Element>(document, "handout-out")?, false)
}

/// A frame for a page of one's own. An address holds no quotation mark, and an ampersand stands spelt out in HTML.
fn frame_of(address: &str) -> String {
    let address = address
        .replace('&', "&amp;")
        .replace('"', "%22")
        .replace('<', "%3C");
    format!(
        "<iframe src=\"{address}\" title=\"Homework: the force on a wire\" width=\"100%\" height=\"900\"></iframe>"
    )
}

fn save_code(address: &str) {
    let Some(code) = qr::code(address) else {
        return;
    };
    match download::offer("homework-code.svg", "image/svg+xml", code.svg.as_bytes()) {
        Ok(()) => app::say("Saved as homework-code.svg.", false),
        Err(error) => app::say(error.to_string(), true),
    }
}

/// Fills the list of what may be shown.
pub fn set_up(document: &Document) -> Shown {
    let list: Element = find(document, "handout-show")?;
    for reveal in Reveal::ALL {
        let words = match reveal {
            Reveal::AfterAttempt => "hints, then everything",
            Reveal::Hints => "hints only",
            Reveal::Everything => "everything at once",
        };
        super::elements::add(document, &list, "option", "", words)?;
    }
    Ok(())
}
