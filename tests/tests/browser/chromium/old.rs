//! A copy of the page in one file, in a browser without WebAssembly: its policy lets no script in but by the protocol.

use serde_json::json;

use crate::bench::in_browser;
use crate::old::check_what_needs_no_script;
use crate::person::file_address;

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
