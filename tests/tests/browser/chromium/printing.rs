//! What is printed from the page: how many pages, nothing cut off or beyond the paper, the graph whole, fonts that travel
//! with the document, and nothing of the screen.
//!
//! Only Chromium's own protocol prints to a document and shows a page as on paper, so these tests are for Chromium.
//! Where a page ends is the browser's choice: that a heading keeps with what follows and that a figure is not parted is
//! asked of the style that it goes by, and that a figure fits on a page of its height.

use base64::Engine;
use base64::engine::general_purpose::STANDARD as BASE64;
use serde_json::json;
use yokeline_tests::data;

use crate::bench::in_browser;
use crate::person::{Person, file_address};

/// What A4 leaves between margins of 14 mm and 13 mm, in CSS pixels.
const PAGE_WIDTH: u32 = 688;
const PAGE_HEIGHT: u32 = 1024;

/// A class of four: right, a mass taken in grams, a factor of two, a figure too few.
const CLASS: &str = "Name\tGradient / g/A\tB / mT\nAsha\t0.166\t32.6\nBen\t0.17\t3260\nCy\t0.166\t16.3\nDi\t0.2\t40";

/// Looks at everything that stands in the room for printing.
const LOOK: &str = "
const [width, height] = arguments;
const room = document.getElementById('print-sheet-room');
const found = [];
for (const other of document.body.children)
  if (other !== room && other.tagName !== 'SCRIPT' && getComputedStyle(other).display !== 'none')
    found.push('printed as well: ' + other.tagName + '#' + other.id);
const all = room.querySelectorAll('main *');
if (all.length < 10) found.push('there is nothing to print');
for (const element of all) {
  const name = element.tagName + ' “' + element.textContent.trim().slice(0, 40) + '”';
  const style = getComputedStyle(element);
  const box = element.getBoundingClientRect();
  if (/^(button|input|select|textarea)$/i.test(element.tagName)) found.push('a tool: ' + name);
  if (box.right > width + 1 || box.left < -1) found.push('beyond the paper: ' + name + ' ' + box.left + ' to ' + box.right);
  if (style.overflowX !== 'visible' && !element.closest('svg, math') && element.scrollWidth > element.clientWidth + 1)
    found.push('cut off: ' + name);
  if (/^H[123]$/.test(element.tagName) && style.breakAfter !== 'avoid') found.push('may stand alone: ' + name);
  if (element.tagName === 'FIGURE' && (style.breakInside !== 'avoid' || box.height > height)) found.push('parted: ' + name);
}
return found;";

/// Prints by a button and looks at the paper; gives the number of pages.
async fn printed(person: &Person, button: &str) -> usize {
    person.print_by(button).await;
    person
        .chromium("Emulation.setEmulatedMedia", json!({ "media": "print" }))
        .await;
    let paper = json!({ "width": PAGE_WIDTH, "height": PAGE_HEIGHT, "deviceScaleFactor": 1, "mobile": false });
    person
        .chromium("Emulation.setDeviceMetricsOverride", paper)
        .await;
    let found = person
        .script_with(LOOK, vec![PAGE_WIDTH.into(), PAGE_HEIGHT.into()])
        .await;
    assert_eq!(found, json!([]), "printed by {button}");
    person
        .chromium("Emulation.clearDeviceMetricsOverride", json!({}))
        .await;
    person
        .chromium("Emulation.setEmulatedMedia", json!({ "media": "" }))
        .await;

    let text = document(person).await;
    let count = |what: &str| text.matches(what).count();
    let pages = pages(&text);
    assert_eq!(
        count("/MediaBox [0 0 594.95996 841.91998]"),
        pages,
        "A4 throughout"
    );
    let described = count("/FontDescriptor ");
    assert!(described > 0, "no text in {button}");
    assert_eq!(
        count("/FontFile"),
        described,
        "every font travels with the document"
    );
    person.says("#print-sheet-room", "").await;
    pages
}

/// What the browser would print. The objects of the document stand in it as plain text, their contents between them packed.
async fn document(person: &Person) -> String {
    let answer = person
        .chromium("Page.printToPDF", json!({ "preferCSSPageSize": true }))
        .await;
    let pdf = BASE64
        .decode(answer["data"].as_str().unwrap_or_default())
        .expect("a document in base64");
    assert!(pdf.starts_with(b"%PDF-"));
    String::from_utf8_lossy(&pdf).into_owned()
}

/// How many sheets of paper a document takes: a page is an object that says so; the list of them says “Pages”.
fn pages(document: &str) -> usize {
    document.matches("/Type /Page\n").count()
}

#[test]
fn the_sheet_is_printed_whole() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        for (show, most) in [("full", 5), ("answers", 1), ("blank", 4)] {
            person.choose("#show", show).await;
            let pages = printed(&person, "#print-sheet").await;
            assert!((1..=most).contains(&pages), "{show}: {pages} pages");
        }
        person.choose("#show", "full").await;
        person.paste(&data("measured/three_loop_lengths.tsv")).await;
        person.says("#status-text", "Read: 5 rows").await;
        let pages = printed(&person, "#print-sheet").await;
        assert!((2..=8).contains(&pages), "three series: {pages} pages");
    });
}

#[test]
fn kit_worksheets_key_and_slips_are_printed_whole() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        person.unfold("#plan").await;
        person.click("#plan-example").await;
        assert!(printed(&person, "#plan-print").await <= 2);
        person.unfold("#practice").await;
        let one = printed(&person, "#practice-sheet").await;
        assert!(one <= 4, "{one} pages a worksheet");
        person.fill("#practice-count", "3").await;
        // Each begins on a page of its own.
        assert_eq!(printed(&person, "#practice-sheets").await, 3 * one);
        assert_eq!(printed(&person, "#practice-key").await, 1);
        person.unfold("#check-class").await;
        person
            .script_with(
                "const box = document.getElementById('class-box');
                 box.value = arguments[0];
                 box.dispatchEvent(new Event('input', { bubbles: true }))",
                vec![CLASS.into()],
            )
            .await;
        person
            .until("the class", async || {
                person.count("#class-out:not([hidden])").await == 1
            })
            .await;
        assert_eq!(printed(&person, "#class-print").await, 1);
    });
}

#[test]
fn a_sheet_is_printed_on_a_few_pages() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        let sheet = person.save("#save-sheet").await;

        person.print_by("#print-sheet").await;
        let pages_of_the_page = pages(&document(&person).await);
        assert!(
            (2..=8).contains(&pages_of_the_page),
            "{pages_of_the_page} pages from the page"
        );
        person
            .until("the sheet to be put away", async || {
                person.count("#print-sheet-room main").await == 0
            })
            .await;

        person.go(&file_address(&sheet)).await;
        let pages_of_the_file = pages(&document(&person).await);
        assert_eq!(pages_of_the_file, pages_of_the_page);
    });
}
