//! Nothing that was typed is lost: the page stops, the browser is ended, its store is full, forbidden or holds rubbish,
//! another tab or a link brings another job; each time the work is still there, or a sentence says what to do.

use std::time::Duration;

use fantoccini::key::Key;
use serde_json::json;
use tokio::time::sleep;

use crate::bench::{Bench, in_browser};
use crate::person::Person;

pub const TABLE: &str = "I / A\tm / g\n1.00\t0.17\n2.00\t0.34\n3.00\t0.51\n4.00\t0.67";
pub const OTHER_TABLE: &str = "I / A\tm / g\n1.00\t0.50\n2.00\t1.01\n3.00\t1.49";

/// Somebody whose table of four readings is kept.
pub async fn somebody_at_work(bench: &Bench) -> Person {
    let person = bench.visitor().await;
    person.paste(TABLE).await;
    person.says("#status-text", "Read: 4 rows").await;
    person.fill("#length", "5.0 cm").await;
    person.says("#answer-value", "mT").await;
    until_kept(&person, "5.0 cm").await;
    // A page that stops within a second of its start counts as one that did not start.
    person
        .until("the page to count as being at work", async || {
            person
                .script("return sessionStorage.getItem('yokeline.starts') === null")
                .await
                == true
        })
        .await;
    person
}

pub async fn until_kept(person: &Person, what: &str) {
    person
        .until("the job to be kept", async || {
            kept(person, "yokeline.job").await.contains(what)
        })
        .await;
}

pub async fn kept(person: &Person, key: &str) -> String {
    let text = person
        .script_with(
            "return localStorage.getItem(arguments[0]) ?? ''",
            vec![key.into()],
        )
        .await;
    text.as_str().expect("a text").to_owned()
}

pub async fn boot(person: &Person) -> String {
    let boot = person
        .script("return document.documentElement.dataset.boot ?? ''")
        .await;
    boot.as_str().expect("a text").to_owned()
}

pub async fn until_boot_is(person: &Person, wanted: &str) {
    person
        .until(&format!("the page to be {wanted}"), async || {
            boot(person).await == wanted
        })
        .await;
}

/// Gives one cell a value with the keyboard and stays in it.
pub async fn type_in_cell(person: &Person, cell: &str, text: &str) {
    person.click(cell).await;
    person.press(text).await;
}

/// Takes the first of what was put aside, which has to be the job of [`somebody_at_work`].
pub async fn put_back(person: &Person) {
    person.click("#aside-list li button:nth-of-type(1)").await;
    person
        .until("the job", async || {
            person.value("#length").await == "5.0 cm"
        })
        .await;
    assert_eq!(person.value("#cell-4-2").await, "0.67");
}

#[test]
fn a_page_that_has_stopped_says_so_and_what_was_typed_is_there_after_loading_it_again() {
    in_browser(async |bench| {
        let person = somebody_at_work(bench).await;
        // The wasm's own memory is spoilt: whatever it does next, it runs into a trap.
        person
            .script(
                "return yokeline().then(wasm => { new Uint8Array(wasm.memory.buffer).fill(255); })",
            )
            .await;
        // A page that has stopped no longer marks a cell's text as one that typing replaces.
        person.fill("#cell-4-2", "0.68").await;
        until_boot_is(&person, "stopped").await;
        assert_eq!(person.count("#stopped:not([hidden])").await, 1);
        assert_eq!(person.count("#stopped-kept:not([hidden])").await, 1);
        // Typed when the page was dead already.
        person.fill("#length", "6.0 cm").await;
        person.click("#load-again").await;
        until_boot_is(&person, "started").await;
        person
            .until("the cell", async || {
                person.value("#cell-4-2").await == "0.68"
            })
            .await;
        assert_eq!(person.value("#cell-3-2").await, "0.51");
        assert_eq!(person.value("#length").await, "6.0 cm");
        person.says("#answer-value", "mT").await;
        until_kept(&person, "0.68").await;
        // The console holds the fault, as it should.
        person.settle_in().await;
    });
}

#[test]
fn a_fault_while_something_is_shown_stops_the_page_and_one_that_does_no_harm_does_not() {
    in_browser(async |bench| {
        let person = somebody_at_work(bench).await;
        person
            .script("setTimeout(() => { throw new Error('of no concern') }, 0)")
            .await;
        person.fill("#length", "5.5 cm").await;
        until_kept(&person, "5.5 cm").await;
        assert_eq!(boot(&person).await, "started");
        // What follows from leaving the field is shown before anything fails.
        person.click("#cell-4-2").await;
        person.says("#graph-news", "B = ").await;
        // The browser fails in the middle of showing, and the page is held for ever.
        person
            .script(
                "Object.defineProperty(Node.prototype, 'textContent',
                   { configurable: true, set() { throw new Error('a fault made by the test') } })",
            )
            .await;
        person.press("0.69").await;
        until_boot_is(&person, "stopped").await;
        person.click("#load-again").await;
        until_boot_is(&person, "started").await;
        person
            .until("the cell", async || {
                person.value("#cell-4-2").await == "0.69"
            })
            .await;
        person.settle_in().await;
    });
}

#[test]
fn a_full_store_is_told_and_told_again_only_after_it_had_room() {
    in_browser(async |bench| {
        let person = somebody_at_work(bench).await;
        person
            .script(
                "let piece = 'x'.repeat(1 << 20), n = 0;
                 while (piece) {
                   try { localStorage.setItem('filler' + n++, piece) } catch { piece = piece.slice(0, piece.length >> 1) }
                 }",
            )
            .await;
        person
            .fill("#length", &format!("7.0 cm{}", " ".repeat(40)))
            .await;
        person.says("#status-text", "no room to keep").await;
        person.says("#status-text", "Save the job as a file").await;
        // The job is worked with all the same, and what was kept before is still there.
        person.says("#answer-value", "mT").await;
        assert!(kept(&person, "yokeline.job").await.contains("5.0 cm"));
        person.click("#status-close").await;
        // Nothing is emptied on the way, which would make room.
        person.click("#length").await;
        person.press_times(Key::End, 1).await;
        person.press(&" ".repeat(40)).await;
        sleep(Duration::from_millis(1200)).await;
        assert_eq!(person.text("#status-text").await, "");
        person
            .script("Object.keys(localStorage).filter(key => key.startsWith('filler')).forEach(key => localStorage.removeItem(key))")
            .await;
        person.fill("#length", "9.0 cm").await;
        until_kept(&person, "9.0 cm").await;
    });
}

#[test]
fn a_store_that_was_emptied_behind_the_page_s_back_is_filled_again() {
    in_browser(async |bench| {
        let person = somebody_at_work(bench).await;
        person.script("localStorage.clear()").await;
        person.reload().await;
        assert_eq!(person.value("#length").await, "5.0 cm");
        person.script("localStorage.clear()").await;
        person.fill("#length", "5.5 cm").await;
        until_kept(&person, "5.5 cm").await;
        // What the user forgets stays forgotten.
        person.click("#forget").await;
        person.says("#status-text", "Forgotten").await;
        person.reload().await;
        assert_eq!(person.count("#example-banner:not([hidden])").await, 1);
        assert!(!kept(&person, "yokeline.job").await.contains("cm"));
    });
}

#[test]
fn what_cannot_be_read_is_put_aside_and_not_written_over() {
    in_browser(async |bench| {
        let later = "{\"version\":99,\"table\":\"from a later release\"}";
        for (text, told) in [
            ("{ rubbish", "cannot be opened here"),
            (later, "newer version"),
        ] {
            let person = bench.visitor().await;
            person
                .script_with(
                    "localStorage.setItem('yokeline.job', arguments[0]);
                     localStorage.setItem('yokeline.plan', arguments[0])",
                    vec![text.into()],
                )
                .await;
            person.reload().await;
            person.says("#status-text", told).await;
            person.paste(TABLE).await;
            until_kept(&person, "0.67").await;
            person.reload().await;
            let listed = person.text("#aside-list").await;
            assert!(listed.contains("could not be opened here"), "{listed}");
            let aside = person
                .script("return Object.keys(localStorage).filter(key => key.endsWith('.unread.job')).map(key => localStorage.getItem(key))")
                .await;
            assert_eq!(aside, json!([text]));
        }
    });
}

#[test]
fn two_tabs_do_not_write_over_each_other_s_work() {
    in_browser(async |bench| {
        let person = somebody_at_work(bench).await;
        let first = person.window().await;
        let second = person.new_window().await;
        person.enter_window(&second).await;
        person.open(&bench.page()).await;
        assert_eq!(person.value("#length").await, "5.0 cm");
        person.fill("#length", "6.0 cm").await;
        until_kept(&person, "6.0 cm").await;

        // The first says so, keeps what is typed there apart, and takes the other job when told to.
        person.enter_window(&first).await;
        person
            .says("#rival:not([hidden])", "changed in another tab")
            .await;
        person.fill("#length", "7.0 cm").await;
        person
            .until("the job to be kept apart", async || {
                let script = "return Object.keys(localStorage).some(key =>
                    key.endsWith('.tab.job') && localStorage.getItem(key).includes('7.0 cm'))";
                person.script(script).await == true
            })
            .await;
        assert!(kept(&person, "yokeline.job").await.contains("6.0 cm"));
        person.click("#take-other").await;
        person
            .until("the other job", async || {
                person.value("#length").await == "6.0 cm"
            })
            .await;
        assert_eq!(person.count("#rival[hidden]").await, 1);
        person.click("#undo").await;
        person
            .until("undo", async || person.value("#length").await == "7.0 cm")
            .await;
        until_kept(&person, "7.0 cm").await;

        // The second keeps its own, and the first's is put aside.
        person.enter_window(&second).await;
        person
            .says("#rival:not([hidden])", "changed in another tab")
            .await;
        person.click("#keep-mine").await;
        until_kept(&person, "6.0 cm").await;
        person.reload().await;
        assert_eq!(person.value("#length").await, "6.0 cm");
        let listed = person.text("#aside-list").await;
        assert!(listed.contains("from another tab"), "{listed}");
    });
}

#[test]
fn what_is_being_typed_is_there_after_a_reload() {
    in_browser(async |bench| {
        let person = somebody_at_work(bench).await;
        // A cell, a heading that is taken in only when it is left, and a text that was not read yet.
        type_in_cell(&person, "#cell-5-1", "5.0").await;
        person.unfold("#paste-part").await;
        person.click("#paste-box").await;
        person.press("half a table").await;
        person.unfold("#check-answers").await;
        person.fill("#answer-gradient", "0.166 g/A").await;
        person.fill("#heading-1", "current / A").await;
        person.reload().await;
        assert_eq!(person.value("#cell-5-1").await, "5.0");
        assert_eq!(person.value("#paste-box").await, "half a table");
        assert_eq!(person.count("#paste-part[open]").await, 1);
        assert_eq!(person.value("#answer-gradient").await, "0.166 g/A");
        person.says("#verdicts", "Gradient").await;
        assert_eq!(person.value("#heading-1").await, "current / A");
        until_kept(&person, "current / A").await;

        // A text that is no table stays to be put right.
        person.click("#read-paste").await;
        person
            .says("#status-text", "The table was not changed")
            .await;
        assert_eq!(person.value("#paste-box").await, "half a table");
    });
}

#[test]
fn typing_without_a_pause_is_kept_meanwhile() {
    in_browser(async |bench| {
        let person = somebody_at_work(bench).await;
        person.unfold("#more-apparatus").await;
        person.click("#title").await;
        // A key every tenth of a second: there is never a rest of half a second.
        for key in 0..30 {
            person.press(&(key % 10).to_string()).await;
            sleep(Duration::from_millis(100)).await;
        }
        let kept = kept(&person, "yokeline.job").await;
        assert!(kept.contains("01234567890123456789"), "{kept}");
    });
}

#[test]
fn going_away_and_back_finds_the_job() {
    in_browser(async |bench| {
        let person = somebody_at_work(bench).await;
        type_in_cell(&person, "#cell-4-2", "0.68").await;
        person.go("about:blank").await;
        person.back().await;
        until_boot_is(&person, "started").await;
        person
            .until("the cell", async || {
                person.value("#cell-4-2").await == "0.68"
            })
            .await;
    });
}

#[test]
fn what_takes_the_place_of_the_job_leaves_a_way_back_to_it() {
    in_browser(async |bench| {
        // A link from somebody else, looked at and then changed.
        let giver = bench.visitor().await;
        giver.paste(OTHER_TABLE).await;
        giver.fill("#length", "9.0 cm").await;
        giver.click("#share").await;
        let link = giver.value("#share-link").await;

        let person = somebody_at_work(bench).await;
        person.go("about:blank").await;
        person.open(&link).await;
        assert_eq!(person.value("#length").await, "9.0 cm");
        person.fill("#length", "9.5 cm").await;
        until_kept(&person, "9.5 cm").await;
        person.open(&bench.page()).await;
        assert_eq!(person.value("#length").await, "9.5 cm");
        let listed = person.text("#aside-list").await;
        assert!(
            listed.contains("made room for another") && listed.contains("5 lines"),
            "{listed}"
        );
        put_back(&person).await;
        let listed = person.text("#aside-list").await;
        assert!(
            listed.contains("4 lines"),
            "the other one is aside now: {listed}"
        );

        // The same for a pasted table; and Undo takes back even that everything was forgotten.
        person.paste(OTHER_TABLE).await;
        until_kept(&person, "1.49").await;
        person.reload().await;
        let listed = person.text("#aside-list").await;
        assert!(listed.contains("5 lines"), "{listed}");
        person.click("#forget").await;
        person
            .says("#status-text", "Undo brings the readings back")
            .await;
        assert_eq!(
            person
                .script("return Object.keys(localStorage).join()")
                .await,
            "yokeline.stamp"
        );
        person.click("#undo").await;
        person
            .until("the readings", async || {
                person.value("#cell-3-2").await == "1.49"
            })
            .await;
        until_kept(&person, "1.49").await;
    });
}
