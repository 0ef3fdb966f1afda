//! Browsers and networks in which the page cannot start: it says why in words, and what needs no script can be read.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::json;

use crate::bench::{Bench, in_browser};
use crate::person::{Person, file_address};

/// Opens a page that cannot start and looks at what it says.
async fn says_why(bench: &Bench, person: &Person, folder: PathBuf, why: &str) {
    bench.site().serve(folder);
    person.go("about:blank").await;
    person.go(&bench.page()).await;
    let said = person.trouble().await;
    assert!(
        said.contains("did not start") && said.contains(why),
        "{said}"
    );
    check_what_needs_no_script(person).await;
}

pub async fn check_what_needs_no_script(person: &Person) {
    for (css, words) in [
        ("#cautions", "Magnets pinch"),
        ("#help-part", "Read its gradient"),
    ] {
        let shown = person.text(css).await;
        assert!(shown.contains(words), "{css}: {shown}");
        let high = person
            .script_with(
                "return document.querySelector(arguments[0]).getBoundingClientRect().height",
                vec![css.into()],
            )
            .await;
        assert!(
            high.as_f64().is_some_and(|high| high > 10.0),
            "{css} is not seen"
        );
    }
}

fn file_with(folder: &Path, ending: &str) -> PathBuf {
    let files = fs::read_dir(folder).expect("the page");
    files
        .filter_map(|entry| Some(entry.ok()?.path()))
        .find(|path| path.to_string_lossy().ends_with(ending))
        .unwrap_or_else(|| panic!("the page has no file that ends in {ending}"))
}

/// The bindings: the script that belongs to the wasm.
fn bindings(folder: &Path) -> PathBuf {
    let wasm = file_with(folder, "_bg.wasm");
    let name = wasm.file_name().expect("a name").to_string_lossy();
    folder.join(name.replace("_bg.wasm", ".js"))
}

#[test]
fn a_wasm_that_does_not_arrive_as_it_was_made_is_told() {
    in_browser(async |bench| {
        bench.expect_trouble();
        let person = bench.newcomer().await;

        let folder = bench.copy_of_the_page("missing");
        fs::remove_file(file_with(&folder, "_bg.wasm")).expect("the wasm to go");
        says_why(bench, &person, folder, "did not arrive").await;

        let folder = bench.copy_of_the_page("blocked");
        let blocked =
            "<!doctype html><title>Blocked</title><p>This kind of file is not allowed here.";
        fs::write(file_with(&folder, "_bg.wasm"), blocked).expect("another wasm");
        says_why(bench, &person, folder, "Something else arrived").await;

        let folder = bench.copy_of_the_page("cut");
        let wasm = file_with(&folder, "_bg.wasm");
        let whole = fs::read(&wasm).expect("the wasm");
        fs::write(&wasm, &whole[..whole.len() / 2]).expect("half a wasm");
        says_why(bench, &person, folder, "only in part").await;

        // As long as it should be, and nothing that this browser understands.
        let folder = bench.copy_of_the_page("unknown");
        let mut unknown = whole.clone();
        unknown[8..].fill(0xff);
        fs::write(file_with(&folder, "_bg.wasm"), unknown).expect("another wasm");
        says_why(bench, &person, folder, "too old").await;
    });
}

#[test]
fn bindings_that_are_missing_or_not_understood_are_told() {
    in_browser(async |bench| {
        bench.expect_trouble();
        let person = bench.newcomer().await;

        let folder = bench.copy_of_the_page("missing");
        fs::remove_file(bindings(&folder)).expect("the bindings to go");
        says_why(bench, &person, folder, "did not arrive").await;

        // Somebody else, whose browser has not seen them missing.
        let person = bench.newcomer().await;
        let folder = bench.copy_of_the_page("newer");
        fs::write(bindings(&folder), "let a = @ a syntax of later years;").expect("a script");
        says_why(bench, &person, folder, "too old").await;
    });
}

#[test]
fn without_webassembly_the_page_says_so() {
    in_browser(async |bench| {
        bench.expect_trouble();
        // A script before the page's own takes WebAssembly away, in the page on the site and in its copy.
        let folder = bench.copy_of_the_page("without");
        fs::write(folder.join("without.js"), "delete window.WebAssembly;").expect("a script");
        let page = folder.join("index.html");
        let html = fs::read_to_string(&page).expect("the page");
        let html = html.replace("<script ", "<script src=\"./without.js\"></script><script ");
        fs::write(&page, html).expect("the page");
        let person = bench.newcomer().await;
        says_why(
            bench,
            &person,
            folder.clone(),
            "WebAssembly is switched off",
        )
        .await;
    });
}

#[test]
fn opened_from_a_folder_the_page_names_the_file_that_works_there() {
    in_browser(async |bench| {
        bench.expect_trouble();
        let person = bench.visitor().await;
        let folder = bench.copy_of_the_page("folder");
        person.go(&file_address(&folder.join("index.html"))).await;
        let said = person.trouble().await;
        assert!(said.contains("yokeline.html"), "{said}");
        check_what_needs_no_script(&person).await;
    });
}

#[test]
fn a_wasm_of_the_wrong_kind_still_starts() {
    in_browser(async |bench| {
        // The name is all that the kind goes by.
        let folder = bench.copy_of_the_page("kind");
        let wasm = file_with(&folder, "_bg.wasm");
        let other = wasm.with_extension("bin");
        fs::rename(&wasm, &other).expect("another name");
        let page = folder.join("index.html");
        let html = fs::read_to_string(&page).expect("the page");
        fs::write(&page, html.replace("_bg.wasm\"", "_bg.bin\"")).expect("the page");
        bench.expect_trouble();
        bench.site().serve(folder);
        let person = bench.newcomer().await;
        person.open(&bench.page()).await;
        person.says("#answer-value", "mT").await;
    });
}

#[test]
fn where_nothing_can_be_kept_the_page_says_so() {
    in_browser(async |bench| {
        // As a browser does that forbids the store: to ask for it throws.
        let folder = bench.copy_of_the_page("forbidden");
        let forbid = "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError') } })";
        fs::write(folder.join("forbid.js"), forbid).expect("a script");
        let page = folder.join("index.html");
        let html = fs::read_to_string(&page).expect("the page");
        fs::write(
            &page,
            html.replace("<script ", "<script src=\"./forbid.js\"></script><script "),
        )
        .expect("the page");
        bench.expect_trouble();
        bench.site().serve(folder);
        let person = bench.newcomer().await;
        person.open(&bench.page()).await;
        person
            .says("#status-text", "does not let this page keep")
            .await;
        let seen = person
            .script(
                "return ['.where-kept', '.where-unkept'].map(css => document.querySelector(css).offsetParent !== null)",
            )
            .await;
        assert_eq!(seen, json!([false, true]));
        // The page works all the same.
        person.fill("#length", "5.0 cm").await;
        person.says("#answer-value", "mT").await;
    });
}
