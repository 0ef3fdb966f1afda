//! The page after its first visit: without a network, and when a newer version is on the site.

use std::fs;
use std::path::Path;

use base64::Engine;
use base64::engine::general_purpose::STANDARD as BASE64;
use sha2::{Digest, Sha256};

use crate::bench::{Bench, in_browser};
use crate::one_file::do_the_main_job;
use crate::person::Person;

async fn wait_until_it_is_kept(person: &Person) {
    person
        .until("the page to be kept on this device", async || {
            person.count("#offline-ready:not([hidden])").await == 1
        })
        .await;
}

/// Puts a version on the site that differs from the built one in its page and in its style.
fn put_a_newer_version(bench: &Bench) {
    let folder = bench.copy_of_the_page("newer");
    change(&folder, "index.html", |text| {
        text.replace("<h1>Yokeline</h1>", "<h1>Yokeline, newer</h1>")
    });
    bench.site().serve(folder);
}

/// Changes a file of the page, and what the service worker knows of it as the build would.
fn change(folder: &Path, name: &str, to: impl Fn(&str) -> String) {
    let sum = |text: &str| BASE64.encode(Sha256::digest(text));
    let path = folder.join(name);
    let before = fs::read_to_string(&path).expect("a file of the page");
    let after = to(&before);
    assert_ne!(before, after);
    let worker = fs::read_to_string(folder.join("sw.js")).expect("the service worker");
    assert!(
        worker.contains(&sum(&before)),
        "the service worker does not know {name}"
    );
    let (_, rest) = worker.split_once('\n').expect("the line with the version");
    let rest = rest.replace(&sum(&before), &sum(&after));
    let newer = format!("const VERSION = \"{}\";\n{rest}", sum(&rest));
    fs::write(folder.join("sw.js"), newer).expect("the service worker");
    fs::write(path, after).expect("the changed file");
}

async fn our_caches(person: &Person) -> u64 {
    // Read by the page, as the browser counts them.
    person
        .script("caches.keys().then(names => { document.documentElement.dataset.caches = names.length })")
        .await;
    person
        .until("the caches to be counted", async || {
            person.count("html[data-caches]").await == 1
        })
        .await;
    let count = person
        .script(
            "const root = document.documentElement; const count = root.dataset.caches;
             delete root.dataset.caches; return Number(count)",
        )
        .await;
    count.as_u64().unwrap_or_default()
}

#[test]
fn after_one_visit_the_page_works_without_a_network() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        wait_until_it_is_kept(&person).await;
        bench.site().go_away();
        let asked_for = bench.requests().len();
        person.open(&bench.page()).await;
        do_the_main_job(&person).await;
        // With what may stand behind the address.
        person.click("#share").await;
        let link = person.value("#share-link").await;
        for address in [
            format!("{}?from=mail", bench.page()),
            format!("{}index.html", bench.page()),
            link,
        ] {
            person.go("about:blank").await;
            person.open(&address).await;
            person.says("#answer-value", "mT").await;
        }
        person.click("#keep-copy").await;
        bench.expect_trouble();
        person.says("#copy-said", "could not be fetched").await;
        assert_eq!(bench.requests().len(), asked_for);
    });
}

#[test]
fn a_newer_version_waits_until_it_is_asked_for_and_the_job_stays() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        wait_until_it_is_kept(&person).await;
        person.reload().await;
        take_a_newer_version(bench, &person).await;
    });
}

#[test]
fn a_page_loaded_past_every_cache_takes_a_newer_version_too() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        wait_until_it_is_kept(&person).await;
        person.reload_past_the_caches().await;
        take_a_newer_version(bench, &person).await;
    });
}

async fn take_a_newer_version(bench: &Bench, person: &Person) {
    // Two tabs, each with a job of its own.
    person.fill("#length", "5.5 cm").await;
    let b = person.says("#answer-value", "mT").await;
    let first = person.window().await;
    let second = person.new_window().await;
    person.enter_window(&second).await;
    person.open(&bench.page()).await;
    person.fill("#length", "6.5 cm").await;
    let b_of_the_second = person.says("#answer-value", "mT").await;

    put_a_newer_version(bench);
    person.enter_window(&first).await;
    // More than once: the browser may be in the middle of a look that it began before.
    person
            .script(
                "setInterval(() => navigator.serviceWorker.getRegistration().then(found => found.update()), 1000)",
            )
            .await;
    person
        .until("the page to tell of a newer version", async || {
            person.count("#newer:not([hidden])").await == 1
        })
        .await;
    // It waits, and nothing changes by itself.
    assert_eq!(person.text("h1").await, "Yokeline");
    assert_eq!(our_caches(person).await, 2);

    take_it(person).await;
    assert_eq!(person.value("#length").await, "5.5 cm");
    assert_eq!(person.text("#answer-value").await, b);

    // The second tab goes on with its own version and job until it is told to change.
    person.enter_window(&second).await;
    assert_eq!(person.text("h1").await, "Yokeline");
    assert_eq!(person.text("#answer-value").await, b_of_the_second);
    assert_eq!(our_caches(person).await, 2);
    person.unfold("#simulation-part").await;
    person.fill("#length_uncertainty", "1 mm").await;
    person.click("#simulate").await;
    person.says("#simulation-said", "In 95 of 100").await;
    let b_of_the_second = person.text("#answer-value").await;
    take_it(person).await;
    assert_eq!(person.value("#length").await, "6.5 cm");
    assert_eq!(person.text("#answer-value").await, b_of_the_second);

    // Nobody shows the older version any more.
    person
        .until("the older version to be thrown away", async || {
            our_caches(person).await == 1
        })
        .await;
    bench.site().go_away();
    person.reload().await;
    assert_eq!(person.text("h1").await, "Yokeline, newer");
}

async fn take_it(person: &Person) {
    person.click("#newer-take").await;
    person
        .until("the newer version to be there", async || {
            person.text("h1").await == "Yokeline, newer"
                && person.count("html[data-boot=started]").await == 1
        })
        .await;
}

#[test]
fn a_version_that_did_not_arrive_whole_is_not_taken() {
    in_browser(async |bench| {
        bench.expect_trouble();
        let person = bench.visitor().await;
        wait_until_it_is_kept(&person).await;
        person.reload().await;
        // The service worker of a newer version, while the page is still the older one: a proxy's stale copy.
        let folder = bench.copy_of_the_page("half");
        let page = fs::read_to_string(folder.join("index.html")).expect("the page");
        change(&folder, "index.html", |text| {
            text.replace("<h1>Yokeline</h1>", "<h1>Never</h1>")
        });
        fs::write(folder.join("index.html"), page).expect("the page");
        bench.site().serve(folder);
        person
            .script(
                "navigator.serviceWorker.getRegistration().then(found => found.update()).finally(() => {
                   document.documentElement.dataset.looked = 'yes' })",
            )
            .await;
        person
            .until("the browser to have looked", async || {
                person.count("html[data-looked]").await == 1
            })
            .await;
        person
            .until("the half version to be thrown away", async || {
                our_caches(&person).await == 1
            })
            .await;
        assert_eq!(person.count("#newer[hidden]").await, 1);
        bench.site().go_away();
        person.reload().await;
        assert_eq!(person.text("h1").await, "Yokeline");
    });
}
