//! What only Chromium's own protocol can do: print to PDF, slow the machine down, take the network away.
//!
//! The tests that need it lie here, so that the other engines leave out exactly those: `--skip chromium::`.

mod axe;
mod looks;
mod lost;
mod printing;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use serde_json::json;

use crate::bench::in_browser;
use crate::old::check_what_needs_no_script;
use crate::person::{Person, file_address};

#[test]
fn a_sheet_is_printed_on_a_few_pages() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        let sheet = person.save("#save-sheet").await;

        // From the page itself: the browser's own dialogue is left out, what it would print is not.
        person.script("window.print = () => {}").await;
        person.click("#print-sheet").await;
        person
            .until("the sheet to stand ready for paper", async || {
                person.count("#print-sheet-room main").await == 1
            })
            .await;
        let pages = printed_pages(&person).await;
        assert!((2..=8).contains(&pages), "{pages} pages from the page");
        person
            .until("the sheet to be put away", async || {
                person.count("#print-sheet-room main").await == 0
            })
            .await;

        person.go(&file_address(&sheet)).await;
        let pages_of_the_file = printed_pages(&person).await;
        assert_eq!(pages_of_the_file, pages);
    });
}

/// How many sheets of paper the browser would print.
async fn printed_pages(person: &Person) -> usize {
    let answer = person
        .chromium("Page.printToPDF", json!({ "preferCSSPageSize": true }))
        .await;
    let pdf = BASE64
        .decode(answer["data"].as_str().unwrap_or_default())
        .expect("a document in base64");
    assert!(pdf.starts_with(b"%PDF-"));
    // A page of the document is an object that says so; the list of them says “Pages”.
    pdf.windows(12)
        .filter(|part| part.starts_with(b"/Type /Page") && part[11] != b's')
        .count()
}

#[test]
fn a_copy_without_webassembly_says_so() {
    in_browser(async |bench| {
        bench.expect_trouble();
        let person = bench.visitor().await;
        // Chromium's protocol, since the policy of the copy lets no other script in.
        person
            .chromium(
                "Page.addScriptToEvaluateOnNewDocument",
                json!({ "source": "delete window.WebAssembly" }),
            )
            .await;
        let folder = bench.copy_of_the_page("stick");
        person
            .go(&file_address(&folder.join("yokeline.html")))
            .await;
        let said = person.trouble().await;
        assert!(said.contains("WebAssembly is switched off"), "{said}");
        check_what_needs_no_script(&person).await;
    });
}
