//! The page in a frame of somebody else's site, such as a school's learning platform, where it may keep nothing.

use fantoccini::key::Key;

use crate::bench::in_browser;

#[test]
fn in_a_frame_of_another_site_without_storage_the_whole_job_is_done() {
    in_browser(async |bench| {
        let person = bench.newcomer_without_storage().await;
        let lesson = bench.site().frame(1000, 700, &bench.page());
        person.open_framed(&lesson).await;
        assert_eq!(
            person
                .script("try { return parent.document.title } catch { return 'another site' }")
                .await,
            "another site"
        );
        let storage = person
            .script(
                "try { localStorage.setItem('x', '1'); return 'there' } catch { return 'blocked' }",
            )
            .await;
        assert_eq!(storage, "blocked");
        person
            .says("#status-text", "does not let this page keep")
            .await;

        person
            .paste("I / A\tm / g\n0.5\t0.08\n1.0\t0.17\n1.5\t0.25\n2.0\t0.34\n2.5\t0.43")
            .await;
        person.says("#status-text", "Read: 5 rows").await;
        person.fill("#length", "5.0 cm").await;
        let b = person.says("#answer-value", "mT").await;
        person.click("#row-5 input[type=checkbox]").await;
        person.text_when("#answer-value", |shown| shown != b).await;
        person
            .fill("#row-5 + .reason-row [data-reason]", "loose")
            .await;
        person.press_times(Key::Enter, 1).await;
        person.says("#notes", "loose").await;
        let sheet = person.save("#save-sheet").await;
        let sheet = std::fs::read_to_string(sheet).expect("the sheet");
        assert!(sheet.contains("loose"), "the sheet does not say why");
    });
}
