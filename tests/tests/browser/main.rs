//! The page in a browser, as people use it: paste, look, type, take away, come back.
//!
//! `cargo xtask test` builds the page and hands over where it is and which browser to use; without that these tests fail
//! and say so. Start at `yokeline_tests::browser`, which after every test also asks whether a request left the page's own site
//! or the console holds an error.

mod chromium;
mod clipboard;
mod embedded;
mod homework;
mod keyboard;
mod lost;
mod offline;
mod old;
mod one_file;
mod plan;

use bench::in_browser;
use fantoccini::key::Key;
use person::{Person, file_address};
use serde_json::{Value, json};
use yokeline_core::practice::{Level, set};
use yokeline_tests::browser::{bench, person};
use yokeline_tests::data;

/// As a table comes out of a class: a title, decimal commas, a unit in a cell, an empty row, a remark, a reading that is
/// none.
const WITH_ODDITIES: &str = "\
Group 3, Tuesday
Current (A)\tBalance 1 (g)\tBalance 2 (g)\tremark
0,50\t0,08\t0,09 g\t
1,00\t0,17\t0,18\t

1,50\t0,26\t0,25\tfan on
2,00\t0,34\t?\t
2,50\t0,43\t0,42\t
3,00\t0,51\t0,52\t";

/// Attributes and elements that would leave a mark on the document if they ever were more than text.
const IMAGE: &str = "<img src=x onerror=\"document.documentElement.dataset.ran='yes'\">";
const SCRIPT: &str = "<script>document.documentElement.dataset.ran='yes'</script>";

#[test]
fn a_pasted_table_becomes_a_sheet_that_needs_nothing_else() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        person.paste(WITH_ODDITIES).await;
        person.says("#status-text", "Read: ").await;
        person.fill("#length", "5.0 cm").await;
        person.fill("#length_uncertainty", "1 mm").await;
        let b = person.says("#answer-value", "mT").await;
        assert!(b.starts_with("(33"), "{b}");
        let notes = person.text("#notes").await;
        assert!(notes.contains("“?”") && notes.contains("row 4"), "{notes}");

        let sheet = person.save("#save-sheet").await;
        person.says("#status-text", "Saved as ").await;
        person.check_that_nothing_left(&bench.page()).await;
        let asked_for = bench.requests().len();

        let address = file_address(&sheet);
        person.go(&address).await;
        let written = person.text("main").await;
        assert!(written.contains(&b), "the sheet has no {b}: {written}");
        let answers = without_blanks(&person.text(".answer").await);
        assert!(answers.contains(&without_blanks(&b)), "{answers}");
        assert_eq!(person.count("figure svg").await, 1);
        assert_eq!(person.count("script").await, 0);
        assert_eq!(
            person
                .script("return performance.getEntriesByType('resource').length")
                .await,
            0
        );
        let requests = person.requests().await;
        assert!(requests.iter().all(|to| *to == address), "{requests:?}");
        assert_eq!(bench.requests().len(), asked_for);
    });
}

#[test]
fn measured_tables_are_read_as_they_stand() {
    in_browser(async |bench| {
        let person = bench.visitor().await;

        person.paste(&measured("three_loop_lengths")).await;
        person.says("#status-text", "Read: 5 rows").await;
        for (family, b) in [(1, "(93 ± "), (2, "(94 ± "), (3, "(83.6 ± ")] {
            let shown = person.text(&format!("#value-family-{family}")).await;
            assert!(shown.starts_with(b) && shown.ends_with(" mT"), "{shown}");
        }
        person.says("#notes", "do not agree").await;
        assert_eq!(person.text("#answer-value").await, "—");
        person.says("#answer-why", "3 series").await;

        person.paste(&measured("untared_balance")).await;
        person.fill("#length", "8.4 cm").await;
        person.says("#answer-value", "(71.0 ± 0.6) mT").await;
        let notes = person.text("#notes").await;
        assert!(notes.contains("row 9: not used"), "{notes}");
        assert!(notes.contains("“2.40”"), "{notes}");

        person.paste(&measured("step_in_the_series")).await;
        person.fill("#length", "12.5 mm").await;
        person.says("#answer-value", "(0.48 ± 0.03) T").await;

        person.paste(&measured("boxes_and_meganewtons")).await;
        person.fill("#length", "50 mm").await;
        person.says("#answer-value", "(0.201 ± 0.008) T").await;
        person.says("#notes", "“MN” was taken as mN").await;
    });
}

#[test]
fn the_job_is_there_again_after_loading_the_page_anew() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        person.paste(WITH_ODDITIES).await;
        person.fill("#length", "5.0 cm").await;
        person.unfold("#more-apparatus").await;
        person.fill("#title", "Magnet 7").await;
        person.fill("#cell-2-2", "0,19").await;
        let b = person.says("#answer-value", "mT").await;

        // At once, in the middle of typing: nobody waits for a page to save.
        person.reload().await;
        assert_eq!(person.text("#answer-value").await, b);
        assert_eq!(person.value("#cell-2-2").await, "0,19");
        assert_eq!(person.value("#length").await, "5.0 cm");
        assert_eq!(person.value("#title").await, "Magnet 7");
        assert_eq!(person.count("#example-banner:not([hidden])").await, 0);

        person.click("#forget").await;
        person.reload().await;
        assert_eq!(person.count("#example-banner:not([hidden])").await, 1);
        assert_eq!(person.value("#title").await, "");
    });
}

#[test]
fn a_link_carries_the_job_to_somebody_else() {
    in_browser(async |bench| {
        let giver = bench.visitor().await;
        giver.paste(WITH_ODDITIES).await;
        giver.fill("#length", "5.0 cm").await;
        giver.unfold("#more-apparatus").await;
        giver.fill("#title", "Magnet 7").await;
        let b = giver.says("#answer-value", "mT").await;
        giver.click("#share").await;
        giver.says("#status-text", "link").await;
        let link = giver.value("#share-link").await;
        assert!(link.starts_with(&format!("{}#j1.", bench.page())), "{link}");

        let taker = bench.newcomer().await;
        taker.open(&link).await;
        assert_eq!(taker.text("#answer-value").await, b);
        assert_eq!(taker.value("#title").await, "Magnet 7");
        assert_eq!(taker.value("#cell-1-1").await, "0,50");
        assert_eq!(taker.text("#notes").await, giver.text("#notes").await);
    });
}

#[test]
fn damaged_and_hostile_links_change_nothing_and_run_nothing() {
    in_browser(async |bench| {
        let fragments = [
            "#j1.@@@@".to_owned(),
            "#j1.".to_owned(),
            format!("#j1.{SCRIPT}"),
            format!("#j1.{IMAGE}"),
            format!("#j1.{}", "A".repeat(400_000)),
            format!("#j1.{}", "%00%ff../".repeat(500)),
        ];

        // On a first visit, opened straight away.
        let visitor = bench.visitor().await;
        let example = (
            visitor.text("#answer-value").await,
            visitor.value("#cell-1-1").await,
        );
        for fragment in &fragments {
            visitor.go("about:blank").await;
            visitor.open(&format!("{}{fragment}", bench.page())).await;
            visitor
                .says("#status-text", "The job on the page was not changed.")
                .await;
            let shown = (
                visitor.text("#answer-value").await,
                visitor.value("#cell-1-1").await,
            );
            assert_eq!(shown, example);
            check_that_nothing_ran(&visitor).await;
        }

        // Over a job, in the page that holds it.
        visitor.paste(WITH_ODDITIES).await;
        visitor.fill("#length", "5.0 cm").await;
        let b = visitor.says("#answer-value", "mT").await;
        for fragment in &fragments {
            // What was said before goes at the next act.
            visitor.fill("#length", "5.0 cm").await;
            visitor.go(&format!("{}{fragment}", bench.page())).await;
            visitor
                .says("#status-text", "The job on the page was not changed.")
                .await;
            assert_eq!(visitor.text("#answer-value").await, b);
            check_that_nothing_ran(&visitor).await;
        }
        visitor.reload().await;
        assert_eq!(visitor.text("#answer-value").await, b);
        assert_eq!(visitor.value("#cell-1-1").await, "0,50");
    });
}

#[test]
fn everything_is_done_with_the_keyboard_alone() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        let b = person.text("#answer-value").await;

        // Into the table, to the fourth row's second column.
        for _ in 0..30 {
            if person.focus().await.starts_with("cell-") {
                break;
            }
            person.press_times(Key::Tab, 1).await;
        }
        assert_eq!(person.focus().await, "cell-1-1");
        person.press_times(Key::Down, 3).await;
        person.press_times(Key::Right, 1).await;
        assert_eq!(person.focus().await, "cell-4-2");
        let was = person.value("#cell-4-2").await;

        person.press("0.88").await;
        person.press_times(Key::Enter, 1).await;
        assert_eq!(person.focus().await, "cell-5-2");
        assert_eq!(person.value("#cell-4-2").await, "0.88");
        let changed = person.text_when("#answer-value", |text| text != b).await;
        assert!(changed.ends_with(" mT"), "{changed}");

        person.chord(&[Key::Control.into(), 'z']).await;
        person.text_when("#answer-value", |text| text == b).await;
        assert_eq!(person.value("#cell-4-2").await, was);
        person.chord(&[Key::Control.into(), 'y']).await;
        person
            .text_when("#answer-value", |text| text == changed)
            .await;

        // The row is left out: its tick stands left of the first cell, the reason after the last one.
        person.press_times(Key::Up, 1).await;
        person.press_times(Key::Home, 1).await;
        person.press_times(Key::Left, 1).await;
        person.press(" ").await;
        person.says("#notes", "Row 4 is left out of the line").await;
        person.press_times(Key::Right, 1).await;
        person.press_times(Key::End, 1).await;
        assert_eq!(person.focus().await, "cell-4-4");
        person.press_times(Key::Tab, 1).await;
        assert_eq!(
            person
                .count("#row-4 + .reason-row [data-reason]:focus")
                .await,
            1
        );
        person.press("the lead was loose").await;
        person.press_times(Key::Enter, 1).await;
        person.says("#notes", "the lead was loose").await;
        assert_eq!(person.count("#row-4 input[type=checkbox]:focus").await, 1);

        let sheet = person.save("#save-sheet").await;
        person.go(&file_address(&sheet)).await;
        let written = person.text("main").await;
        assert!(written.contains("(left out)"), "{written}");
        assert!(written.contains("the lead was loose"), "{written}");
    });
}

#[test]
fn markup_in_a_table_stays_text() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        let table = format!(
            "I / A {IMAGE}\tm / g {SCRIPT}\tremark\n\
             0.5\t0.08\t{SCRIPT}\n1.0\t0.17\t{IMAGE}\n1.5\t<b>0.25</b>\t\n2.0\t0.34\t\n2.5\t0.43\t"
        );
        person.paste_on_the_page(&table).await;
        person.says("#status-text", "Read: 5 rows").await;
        person.fill("#length", "5.0 cm").await;
        person.unfold("#more-apparatus").await;
        person.fill("#title", &format!("{IMAGE}{SCRIPT}")).await;
        person.click("#row-4 input[type=checkbox]").await;
        person
            .fill(
                "#row-4 + .reason-row [data-reason]",
                &format!("{IMAGE}{SCRIPT}"),
            )
            .await;
        person.press_times(Key::Enter, 1).await;
        person.says("#notes", SCRIPT).await;
        assert!(person.value("#heading-1").await.contains(IMAGE));
        assert!(person.value("#heading-2").await.contains(SCRIPT));
        assert_eq!(person.value("#cell-1-3").await, SCRIPT);
        assert_eq!(person.value("#cell-3-2").await, "<b>0.25</b>");
        person.says("#answer-value", "mT").await;
        check_that_nothing_ran(&person).await;

        let sheet = person.save("#save-sheet").await;
        person.go(&file_address(&sheet)).await;
        let written = person.text("main").await;
        assert!(written.contains(&format!("{IMAGE}{SCRIPT}")), "{written}");
        check_that_nothing_ran(&person).await;
        assert_eq!(person.count("script").await, 0);
    });
}

#[test]
fn what_is_no_table_leaves_the_job_alone() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        person.paste(WITH_ODDITIES).await;
        person.fill("#length", "5.0 cm").await;
        let b = person.says("#answer-value", "mT").await;

        let long = format!("I / A\tm / g\n{}", "0.50\t0.08\n".repeat(500_000));
        let refused = [
            ("", "Nothing to read"),
            (" \n\t\n", "Nothing to read"),
            ("I / A\tm / g\n0.5\t0.08", "Only one row with readings"),
            (
                "I / A\tm / g\n1.0\t0.16\n1.0\t0.17\n1.0\t0.18",
                "Every row has the same current",
            ),
            ("a poem about\ta magnet", "No readings found"),
            (long.as_str(), "tables up to "),
        ];
        for (text, sentence) in refused {
            person.paste_on_the_page(text).await;
            let said = person.says("#status-text", sentence).await;
            assert!(said.ends_with("The table was not changed."), "{said}");
            assert_eq!(person.count("#status.trouble").await, 1);
            assert_eq!(person.text("#answer-value").await, b);
            assert_eq!(person.value("#cell-1-1").await, "0,50");
        }
        person.reload().await;
        assert_eq!(person.text("#answer-value").await, b);
    });
}

#[test]
fn nothing_scrolls_sideways_on_a_phone_and_the_answer_stays_in_view() {
    in_browser(async |bench| {
        let person = bench.newcomer().await;
        person.look_through(360, 800).await;
        person.open_at(bench.site()).await;
        check_the_width(&person, "on a first visit").await;

        person.paste(&measured("untared_balance")).await;
        person.fill("#length", "8.4 cm").await;
        person.says("#answer-value", "mT").await;
        check_the_width(&person, "with a table").await;
        person
            .script("document.querySelectorAll('details').forEach(part => part.open = true)")
            .await;
        check_the_width(&person, "with everything open").await;

        person.click("#cell-9-2").await;
        check_that_the_answer_is_in_view(&person).await;
        // Half of the window goes when the keyboard of the phone comes.
        person.look_through(360, 400).await;
        person.click("#cell-5-2").await;
        check_that_the_answer_is_in_view(&person).await;
    });
}

fn measured(name: &str) -> String {
    data(&format!("measured/{name}.tsv"))
}

fn without_blanks(text: &str) -> String {
    text.split_whitespace().collect()
}

/// No text became an element or a script, and no dialogue is open: while one is, WebDriver refuses every command.
async fn check_that_nothing_ran(person: &Person) {
    let ran = person
        .script("return document.documentElement.dataset.ran ?? 'nothing'")
        .await;
    assert_eq!(ran, "nothing");
    assert_eq!(
        person
            .count("body img:not(#handout-qr), body iframe, body script")
            .await,
        0
    );
}

async fn check_the_width(person: &Person, when: &str) {
    let widths = person
        .script(
            "const page = document.scrollingElement;
             return [page.scrollWidth, page.clientWidth, Math.round(window.innerWidth)]",
        )
        .await;
    assert_eq!(widths, json!([360, 360, 360]), "{when}");
}

/// The answer or the slim bar that repeats it can be seen: it lies in the window and nothing lies over it.
async fn check_that_the_answer_is_in_view(person: &Person) {
    person
        .until("the answer to be in view", async || {
            person
                .script(
                    "return ['bar-value', 'answer-value'].some(id => {
                       const shown = document.getElementById(id);
                       const box = shown.getBoundingClientRect();
                       const top = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
                       return box.width > 0 && top !== null && (top === shown || shown.contains(top));
                     })",
                )
                .await
                == true
        })
        .await;
    assert!(person.focus().await.starts_with("cell-"));
}

/// Every number of an analysis as its 64 bits, so that not even the last of them may differ.
const ANALYSE_TO_THE_BIT: &str = "\
const view = new DataView(new ArrayBuffer(8));
const bits = (x) => (view.setFloat64(0, x), view.getBigUint64(0).toString(16));
return JSON.stringify(yokeline.analyse(arguments[0]), (key, x) => typeof x === 'number' ? bits(x) : x);";

/// A probe walked along a wire, invented.
const WALK: &str = "x / mm,B / mT\n-40,0.4\n-30,3.1\n-25,14.2\n-20,27.0\n-10,31.8\n0,32.6\n10,31.9\n20,27.3\n25,14.8\n30,3.0\n\
                    40,0.5\n";

#[test]
fn the_field_is_walked_and_the_uncertainty_simulated() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        person.fill("#length_uncertainty", "1 mm").await;
        let typed = person.text("#answer-value").await;
        person.unfold("#walk-part").await;
        person.fill("#walk", WALK).await;
        person
            .says("#walk-said", "Effective length (4.80 ± 0.02) cm")
            .await;
        assert_eq!(person.text("#answer-value").await, typed);
        person.click("#walk_length").await;
        person
            .text_when("#answer-value", |shown| shown != typed)
            .await;
        person.says("#figures", "Effective length, used as L").await;

        person.unfold("#simulation-part").await;
        person.click("#simulate").await;
        person.says("#simulation-said", "In 95 of 100").await;
        let simulated = person.text("#simulation-said").await;
        let sheet = person.save("#save-sheet").await;
        // Another value, and what was simulated holds no more.
        person.fill("#wires", "2").await;
        person
            .text_when("#simulation-said", |said| said.is_empty())
            .await;
        person.go(&file_address(&sheet)).await;
        let written = person.text("main").await;
        assert!(written.contains("Check by simulation"), "{simulated}");
    });
}

#[test]
fn an_answer_is_checked_and_then_a_class() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        person.unfold("#check-answers").await;
        person.fill("#answer-flux_density", "33200 mT").await;
        let said = person.says("#verdicts", "not right").await;
        // The hint is in sight, what happened is one click away.
        assert!(said.contains("unit of the mass"), "{said}");
        assert_eq!(person.count("#verdicts details:not([open])").await, 1);
        person.unfold("#verdicts details").await;
        person.says("#verdicts details", "left in grams").await;
        person.fill("#answer-flux_density", "33.2 mT").await;
        person.says("#verdicts", "Right.").await;

        person
            .check_a_class(
                "Name,Gradient / g/A,B / mT\n=Asha,0.169,33.2\nBen,0.169,33200\nCy,0.25,49\n",
                3,
            )
            .await;
        assert_eq!(person.count("#class-body tr").await, 3);
        assert_eq!(person.count("#class-plot circle").await, 3);
        let saved = person.save("#class-csv").await;
        let saved = std::fs::read_to_string(saved).expect("the file");
        assert!(saved.contains("'=Asha"), "{saved}");
    });
}

/// Every kind of practice set, made by the page, is cell for cell the one that is made here.
#[test]
fn practice_sets_are_the_same_in_the_browser() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        person.unfold("#practice").await;
        person.fill("#practice-seed", "7").await;
        person.fill("#practice-student", "3").await;
        for (place, level) in Level::ALL.iter().enumerate() {
            let made = set(&level.recipe(), 7, 3).job;
            person
                .script_with(
                    "const list = document.getElementById('practice-level'); list.selectedIndex = arguments[0];
                     list.dispatchEvent(new Event('change', {bubbles: true}))",
                    vec![place.into()],
                )
                .await;
            person.says("#practice-said", level.sentence()).await;
            person.click("#practice-open").await;
            person.says("#status-text", "Made-up readings").await;
            let cells = person
                .script(
                    "return [...document.querySelectorAll('#grid-body tr[data-row] input[data-column]')]
                     .map(cell => cell.value).filter(text => text !== '').join(' ')",
                )
                .await;
            let rows = made.table.lines().skip(1);
            let expected: Vec<&str> = rows.flat_map(|row| row.split('\t')).collect();
            assert_eq!(
                cells.as_str(),
                Some(expected.join(" ").as_str()),
                "{}",
                level.title()
            );
            assert_eq!(person.value("#length").await, made.apparatus.length);
        }
    });
}

#[test]
fn a_note_shows_its_rows_and_a_drift_can_be_left_in() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        person.paste(&measured("step_in_the_series")).await;
        person.says("#notes", "show rows").await;
        person.click("#notes [data-goto-rows]").await;
        person
            .until("the rows to be lit up", async || {
                person.count("#grid-body tr.lit").await == 2
            })
            .await;
        person.says("#readout", "Ringed: rows").await;

        person.paste(&data("tables/zero-checks-between.tsv")).await;
        person.says("#figures", "Drift of the zero").await;
        person.unfold("#more-line").await;
        person.choose("#balance_zero", "as_read").await;
        person
            .text_when("#figures", |figures| !figures.contains("Drift of the zero"))
            .await;
    });
}

#[test]
fn the_browser_finds_what_is_found_natively_to_the_bit() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        for (file, fit) in [
            ("three_loop_lengths.tsv", "least_squares"),
            ("untared_balance.tsv", "through_origin"),
            ("boxes_and_meganewtons.tsv", "both_errors"),
            ("step_in_the_series.tsv", "weighted"),
            ("angles.tsv", "least_squares"),
            ("curved.tsv", "least_squares"),
        ] {
            let job = json!({
                "table": data(&format!("measured/{file}")),
                "apparatus": {
                    "length": "5.0 cm", "length_uncertainty": "1 mm", "angle": "(80 ± 2)°",
                    "balance_calibration": "0.5 %", "current_calibration": "1 %",
                },
                "walk": {"table": WALK, "use_length": true},
                "monte_carlo": {"trials": 20_000, "seed": 7},
                "fixed_current": "3.0 A",
                "probe": {"reading": "74 mT", "uncertainty": "3 mT"},
                "fit": fit,
            });
            let there = person
                .script_with(ANALYSE_TO_THE_BIT, vec![job.clone()])
                .await;
            let there: Value = serde_json::from_str(there.as_str().expect("a text")).expect("JSON");
            let job = serde_json::from_value(job).expect("a job");
            let here = serde_json::to_value(yokeline_core::job::analyse(&job)).expect("JSON");
            assert_eq!(there, to_the_bit(here), "{file}");
        }
    });
}

fn to_the_bit(value: Value) -> Value {
    match value {
        Value::Number(number) => {
            format!("{:x}", number.as_f64().unwrap_or(f64::NAN).to_bits()).into()
        }
        Value::Array(list) => list.into_iter().map(to_the_bit).collect(),
        Value::Object(fields) => fields
            .into_iter()
            .map(|(name, value)| (name, to_the_bit(value)))
            .collect(),
        other => other,
    }
}
