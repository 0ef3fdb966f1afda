//! Nothing is lost either when the page cannot start, may keep nothing at all, or its browser is ended by force: a script
//! before the page's own, and a browser that is started again on the same profile, take Chromium.

use std::fs;
use std::time::Duration;

use serde_json::json;
use tokio::time::sleep;

use crate::bench::in_browser;
use crate::lost::*;

#[test]
fn a_job_that_stops_the_page_at_every_start_is_put_aside_and_can_be_had_again() {
    in_browser(async |bench| {
        let person = somebody_at_work(bench).await;
        let job = kept(&person, "yokeline.job").await;
        let fault = "
            const textContent = Object.getOwnPropertyDescriptor(Node.prototype, 'textContent');
            Object.defineProperty(Node.prototype, 'textContent', { ...textContent, set(text) {
              if (localStorage.getItem('yokeline.job')?.includes('5.0 cm')) throw new Error('a fault made by the test');
              textContent.set.call(this, text);
            } })";
        let added = person
            .chromium(
                "Page.addScriptToEvaluateOnNewDocument",
                json!({ "source": fault }),
            )
            .await;
        person.go(&bench.page()).await;
        until_boot_is(&person, "stopped").await;
        person.click("#load-again").await;
        person
            .until("the second start in vain", async || {
                boot(&person).await == "stopped"
                    && person
                        .script("return sessionStorage.getItem('yokeline.starts')")
                        .await
                        == "2"
            })
            .await;
        person.click("#load-again").await;
        until_boot_is(&person, "started").await;
        assert_eq!(person.count("#set-aside:not([hidden])").await, 1);
        assert_eq!(person.count("#example-banner:not([hidden])").await, 1);
        let listed = person.text("#aside-list").await;
        assert!(
            listed.contains("stopped the page") && listed.contains("5 lines"),
            "{listed}"
        );
        let saved = person.save("#aside-list li button:nth-of-type(2)").await;
        assert_eq!(fs::read_to_string(saved).expect("the saved job"), job);

        // Once the fault is gone the job opens again.
        person
            .chromium(
                "Page.removeScriptToEvaluateOnNewDocument",
                json!({ "identifier": added["identifier"] }),
            )
            .await;
        put_back(&person).await;
        person.settle_in().await;
    });
}

#[test]
fn a_forbidden_store_is_told_and_the_page_works_on() {
    in_browser(async |bench| {
        for forbidden in [
            "throw new DOMException('forbidden', 'SecurityError')",
            "return null",
        ] {
            let person = bench.newcomer().await;
            let script = format!(
                "for (const name of ['localStorage', 'sessionStorage', 'indexedDB'])
                   Object.defineProperty(window, name, {{ configurable: true, get() {{ {forbidden} }} }})"
            );
            person
                .chromium(
                    "Page.addScriptToEvaluateOnNewDocument",
                    json!({ "source": script }),
                )
                .await;
            person.open(&bench.page()).await;
            person
                .says("#status-text", "does not let this page keep your work")
                .await;
            person.says("#status-text", "Save the job as a file").await;
            person.paste(TABLE).await;
            person.fill("#length", "5.0 cm").await;
            person.says("#answer-value", "mT").await;
            // Should it stop, it does not promise what it cannot keep.
            person
                .script("return yokeline().then(wasm => { new Uint8Array(wasm.memory.buffer).fill(255); })")
                .await;
            type_in_cell(&person, "#cell-4-2", "0.68").await;
            until_boot_is(&person, "stopped").await;
            assert_eq!(person.count("#stopped-not-kept:not([hidden])").await, 1);
            person.settle_in().await;
        }
    });
}

#[test]
fn a_browser_that_is_ended_by_force_has_the_job_but_for_the_last_second() {
    in_browser(async |bench| {
        let person = somebody_at_work(bench).await;
        type_in_cell(&person, "#cell-4-2", "0.68").await;
        until_kept(&person, "0.68").await;
        sleep(Duration::from_secs(1)).await;
        let again = bench.end_by_force_and_start_again(&person).await;
        again.open(&bench.page()).await;
        assert_eq!(again.value("#cell-4-2").await, "0.68");
        assert_eq!(again.value("#length").await, "5.0 cm");
    });
}
