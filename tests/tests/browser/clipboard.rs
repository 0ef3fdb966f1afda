//! What other programs put on the clipboard, copied and pasted as people do it: Ctrl+C there, Ctrl+V here.

use fantoccini::key::Key;

use crate::bench::in_browser;
use crate::person::Person;

/// A page of the web with a table, which the browser copies as HTML and as text at once.
const LESSON: &str = "<!doctype html><meta charset=utf-8><title>Results</title><p>Our results:</p>\
<table><tr><th>Current <i>I</i> / A<th>Balance reading <i>m</i> / g<th>remark\
<tr><td>0,50<td>0,08<td>fan<br>on<tr><td>1,00<td>0,17<td><tr><td>1,50<td>0,25<td>\
<tr><td>2,00<td>0,34<td><tr><td>2,50<td>0,43<td></table>";

#[test]
fn a_table_copied_from_a_web_page_is_read() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        let lesson = bench.folder().join("lesson.html");
        std::fs::write(&lesson, LESSON).expect("a file");
        copy_all(&person, &crate::person::file_address(&lesson)).await;

        person.open(&bench.page()).await;
        person.click("#table-heading").await;
        paste_here(&person).await;
        person.says("#status-text", "Read: 5 rows").await;
        assert_eq!(person.value("#cell-1-1").await, "0,50");
        assert_eq!(person.value("#cell-1-3").await, "fan on");
        assert_eq!(person.value("#cell-5-2").await, "0,43");
        person.fill("#length", "5.0 cm").await;
        person.says("#answer-value", "mT").await;
    });
}

#[test]
fn plain_text_from_the_clipboard_is_read_where_the_cursor_is() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        let notes = bench.folder().join("notes.txt");
        std::fs::write(
            &notes,
            "I / A;m / g\n0,5;0,08\n1,0;0,17\n1,5;0,25\n2,0;0,34\n",
        )
        .expect("a file");
        copy_all(&person, &crate::person::file_address(&notes)).await;

        // On the page: a table in place of the example.
        person.open(&bench.page()).await;
        person.click("#table-heading").await;
        paste_here(&person).await;
        person.says("#status-text", "Read: 4 rows").await;
        // In the box for it: the same, at once.
        person.fill("#cell-1-2", "0,09").await;
        person.press_times(Key::Enter, 1).await;
        person.unfold("#paste-part").await;
        person.click("#paste-box").await;
        paste_here(&person).await;
        person
            .until("the table to be as it was copied", async || {
                person.value("#cell-1-2").await == "0,08"
            })
            .await;
        // In a field of another kind: no table.
        person.fill("#length", "").await;
        paste_here(&person).await;
        let typed = person.value("#length").await;
        assert!(typed.contains("0,08"), "{typed}");
        assert_eq!(person.value("#cell-1-1").await, "0,5");
    });
}

async fn copy_all(person: &Person, address: &str) {
    person.go(address).await;
    person.chord(&[Key::Control.into(), 'a']).await;
    person.chord(&[Key::Control.into(), 'c']).await;
}

async fn paste_here(person: &Person) {
    person.chord(&[Key::Control.into(), 'v']).await;
}
