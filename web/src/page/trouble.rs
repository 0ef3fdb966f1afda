//! When something goes wrong that never should: a sentence on the page, and the job's text so that no work is lost.

use std::panic;

/// From now on a fault is told to the user as well as to the console.
pub fn install() {
    panic::set_hook(Box::new(|fault| {
        web_sys::console::error_1(&fault.to_string().into());
        tell();
    }));
}

/// Shows the sentence that stands in the document for a page that cannot start.
pub fn show_boot_trouble() {
    let trouble = web_sys::window()
        .and_then(|window| window.document())
        .and_then(|document| document.get_element_by_id("boot-trouble"));
    if let Some(trouble) = trouble {
        // Nothing is left to be done about a failure here.
        let _ = trouble.remove_attribute("hidden");
    }
}

fn tell() {
    let Some(document) = web_sys::window().and_then(|window| window.document()) else {
        return;
    };
    if let Some(text) = document.get_element_by_id("status-text") {
        text.set_text_content(Some(
            "Something went wrong in this page, and it can no longer follow what you type. Your work up to here is kept in \
             this browser: load the page again to go on.",
        ));
    }
    if let Some(status) = document.get_element_by_id("status") {
        status.set_class_name("status shown trouble");
    }
}
