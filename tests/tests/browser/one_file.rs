//! The page in one file, opened from a folder while nobody answers: it does all that the page on a site does.

use std::fs;

use crate::bench::in_browser;
use crate::person::{Person, file_address};
use yokeline_tests::data;

/// The main job, from a pasted table to the simulation and the sheet.
pub async fn do_the_main_job(person: &Person) {
    person.paste(&data("measured/untared_balance.tsv")).await;
    person.says("#status-text", "Read: ").await;
    person.fill("#length", "8.4 cm").await;
    person.fill("#length_uncertainty", "1 mm").await;
    let b = person.says("#answer-value", "mT").await;
    assert!(b.starts_with("(71.0 ± "), "{b}");
    assert!(ink(person).await > 500, "the graph is empty");

    person.click("#row-3 input[type=checkbox]").await;
    person.says("#notes", "Row 3 is left out of the line").await;
    let without = person.says("#answer-value", "mT").await;

    person.unfold("#simulation-part").await;
    person.click("#simulate").await;
    person.says("#simulation-said", "In 95 of 100").await;

    let sheet = person.save("#save-sheet").await;
    let sheet = fs::read_to_string(sheet).expect("the sheet");
    assert!(sheet.contains("(left out)") && sheet.contains("Check by simulation"));
    assert!(sheet.contains("<svg"), "the sheet has no graph");

    person.reload().await;
    assert_eq!(person.text("#answer-value").await, without);
    assert_eq!(person.value("#length").await, "8.4 cm");
}

/// How many pixels of the graph are painted in another colour than its first.
async fn ink(person: &Person) -> u64 {
    person
        .until("the graph to be painted", async || {
            painted(person).await > 0
        })
        .await;
    painted(person).await
}

async fn painted(person: &Person) -> u64 {
    let count = person
        .script(
            "const graph = document.getElementById('graph');
             if (graph.width === 0) return 0;
             const image = graph.getContext('2d').getImageData(0, 0, graph.width, graph.height);
             const pixels = new Uint32Array(image.data.buffer);
             return pixels.filter(pixel => pixel !== pixels[0]).length",
        )
        .await;
    count.as_u64().unwrap_or_default()
}

#[test]
fn a_copy_does_the_whole_job_without_a_network() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        let copy = person.save("#keep-copy").await;
        person.says("#copy-said", "Saved as yokeline.html").await;
        let text = fs::read_to_string(&copy).expect("the copy");
        assert!(text.contains(&format!("data-home=\"{}\"", bench.page())));
        // Everything but the page's own address, which is text, is inside.
        for outside in [
            "src=\"./",
            "src=\"http",
            "href=\"http",
            "'self'",
            "unsafe-inline",
            "'unsafe-eval'",
        ] {
            assert!(!text.contains(outside), "the copy names {outside}");
        }
        person.check_that_nothing_left(&bench.page()).await;

        bench.site().go_away();
        let address = file_address(&copy);
        person.open(&address).await;
        assert_eq!(person.count("html[data-copy]").await, 1);
        let offer = person
            .script("return document.getElementById('keep-copy').offsetParent === null")
            .await;
        assert_eq!(offer, true, "a copy offers itself");
        do_the_main_job(&person).await;

        // Printing, without the browser's own dialogue.
        person.print_by("#print-sheet").await;
        assert_eq!(person.count("style[media=screen]").await, 1);
        person
            .script("window.dispatchEvent(new Event('afterprint'))")
            .await;

        // Links lead to where the copy came from.
        person.click("#share").await;
        let link = person.value("#share-link").await;
        assert!(link.starts_with(&format!("{}#j1.", bench.page())), "{link}");
        for request in person.requests().await {
            assert!(
                ["file:", "blob:", "data:"]
                    .iter()
                    .any(|kind| request.starts_with(kind)),
                "{request}"
            );
        }
    });
}

#[test]
fn a_file_that_knows_no_site_makes_no_links_for_others() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        let file = bench.copy_of_the_page("stick").join("yokeline.html");
        person.open(&file_address(&file)).await;
        person.unfold("#handout").await;
        person.click("#handout-make").await;
        person
            .says("#handout-said", "opens nothing for anybody else")
            .await;
        assert_eq!(person.count("#handout-qr[hidden]").await, 1);
        person.click("#share").await;
        person
            .says("#status-text", "opens nothing for anybody else")
            .await;
    });
}

#[test]
fn where_no_worker_can_be_had_the_page_simulates_itself() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        person.fill("#length_uncertainty", "1 mm").await;
        person.script("window.Worker = undefined").await;
        person.unfold("#simulation-part").await;
        person.click("#simulate").await;
        person.says("#simulation-said", "In 95 of 100").await;
    });
}
