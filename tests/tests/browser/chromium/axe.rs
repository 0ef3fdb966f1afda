//! The rules that a program can check of a page that everybody can use: axe-core, with its rules for WCAG 2.0 to 2.2 (A and
//! AA) and for good practice, over every state that the page can be in, in light and dark, on a desk and on a phone.
//!
//! Chromium only: the dark look, the width of a phone and a browser that refuses storage come by its own protocol. axe is
//! run by WebDriver, which the page's policy does not bind.
//!
//! Where axe itself says that it cannot tell, the place has to be one of [`CANNOT_TELL`], each with the reason why a person
//! need not worry.

use serde_json::json;
use yokeline_core::job::{Job, work};
use yokeline_core::plan::{Plan, plan, printed};
use yokeline_core::practice::{GraphPaper, Level, set, worksheet};
use yokeline_core::sheet::Sheet;
use yokeline_tests::browser::engine::told;
use yokeline_tests::data;
use yokeline_web::page::example;
use yokeline_web::paper;

use crate::bench::in_browser;
use crate::person::{Person, file_address};

/// Width and darkness: a desk by day and by night, a phone by day and by night.
const LOOKS: [(u32, bool); 4] = [(1280, false), (1280, true), (360, false), (360, true)];

/// What axe leaves open, by rule and by what it says, and why that is well.
const CANNOT_TELL: [(&str, &str); 8] = [
    // A number of a row or a symbol, one letter long: its colour is that of longer words of the same style.
    ("color-contrast", "too short"),
    // An empty field; its example is measured in `looks.rs`.
    ("color-contrast", "has no value"),
    // Letters within a picture: the colours of the graph are measured in `chart/theme.rs`.
    ("color-contrast", "contains an image node"),
    // Signs such as △ and ✓, and dashes: their colours are those of words beside them, which axe does measure.
    ("color-contrast", "only non-text characters"),
    // The bar with the result and the message lie over what scrolls below them; axe measures the same words elsewhere.
    ("color-contrast", "overlapped by another element"),
    // What is scrolled half out of a frame of its own; the other cells of the same table are measured.
    ("color-contrast", "partially obscured"),
    // The cross that closes a message has a name in words.
    ("label-content-name-mismatch", "Unable to determine"),
    // A table inside a fold that nobody opened.
    ("th-has-data-cells", "missing or empty"),
];

const RUN: &str = "\
if (!window.axe) { (0, eval)(arguments[0]); }
const found = await axe.run(document, {
  runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
  resultTypes: ['violations', 'incomplete'],
});
const told = (list, why) => list.flatMap(rule => rule.nodes.map(node =>
  ({ rule: rule.id, place: node.target.join(' '), why: why(node) })));
const said = node => [...node.any, ...node.all, ...node.none].map(check => check.message).join('; ');
return {
  rules: found.passes.length,
  violations: told(found.violations, node => node.failureSummary),
  incomplete: told(found.incomplete, said),
};";

/// Runs axe over what is shown, in every look.
async fn check(person: &Person, state: &str) {
    let axe = std::fs::read_to_string(told("YOKELINE_AXE")).expect("the script of axe-core");
    for (width, dark) in LOOKS {
        look(person, width, dark).await;
        let found = person.script_with(RUN, vec![axe.clone().into()]).await;
        let state = format!(
            "{state}, {width} px, {}",
            if dark { "dark" } else { "light" }
        );
        // A run that looked at nothing finds nothing.
        let rules = found["rules"].as_u64().unwrap_or_default();
        assert!(
            rules >= 15,
            "{state}: only {rules} rules found something to look at"
        );
        assert_eq!(found["violations"], json!([]), "{state}");
        for open in found["incomplete"].as_array().expect("a list") {
            let known = CANNOT_TELL.iter().any(|(rule, why)| {
                open["rule"] == *rule && open["why"].as_str().is_some_and(|said| said.contains(why))
            });
            assert!(
                known,
                "{state}: axe cannot tell and nobody has looked: {open}"
            );
        }
    }
}

async fn look(person: &Person, width: u32, dark: bool) {
    person
        .chromium(
            "Emulation.setDeviceMetricsOverride",
            json!({ "width": width, "height": 800, "deviceScaleFactor": 1, "mobile": width < 500 }),
        )
        .await;
    let scheme = if dark { "dark" } else { "light" };
    person
        .chromium(
            "Emulation.setEmulatedMedia",
            json!({ "features": [{ "name": "prefers-color-scheme", "value": scheme }] }),
        )
        .await;
}

async fn open_every_fold(person: &Person) {
    person
        .script("document.querySelectorAll('details').forEach(part => part.open = true)")
        .await;
}

/// What runs in the page before its own scripts do.
async fn before_the_page(person: &Person, script: &str) {
    person
        .chromium(
            "Page.addScriptToEvaluateOnNewDocument",
            json!({ "source": script }),
        )
        .await;
}

#[test]
fn the_page_as_it_is_found_and_with_tables_of_every_kind() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        check(&person, "a first visit").await;
        person.click("#empty-table").await;
        check(&person, "an empty table").await;
        person
            .paste("Current (A)\tBalance 1 (g)\tBalance 2 (g)\tremark\n0,50\t0,08\t0,09 g\t\n1,00\t0,17\t0,18\t\n1,50\t0,26\t0,25\tfan on\n2,00\t0,34\t?\t\n2,50\t0,43\t0,12\t\n3,00\t0,51\t0,52\t")
            .await;
        person.fill("#length", "5.0 cm").await;
        person.says("#notes", "“?”").await;
        check(&person, "a table with notes").await;
        person.paste_on_the_page("a poem about\ta magnet").await;
        person.says("#status-text", "No readings found").await;
        check(&person, "trouble in the status line").await;
    });
}

#[test]
fn several_series_points_left_out_and_every_fold_open() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        person.paste(&data("measured/three_loop_lengths.tsv")).await;
        person.says("#notes", "do not agree").await;
        check(&person, "several series").await;
        person.paste(&data("measured/step_in_the_series.tsv")).await;
        person.fill("#length", "12.5 mm").await;
        person.click("#row-4 input[type=checkbox]").await;
        person
            .fill("#row-4 + .reason-row [data-reason]", "the lead was loose")
            .await;
        person.says("#notes", "Left out").await;
        open_every_fold(&person).await;
        check(&person, "a point left out and every fold open").await;
    });
}

#[test]
fn answers_a_class_a_plan_and_a_handout() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        person.unfold("#check-answers").await;
        person.fill("#answer-gradient", "quite steep").await;
        person.fill("#answer-flux_density", "33200 mT").await;
        person.says("#verdicts", "not right").await;
        person
            .check_a_class(
                "Name,Gradient / g/A,B / mT\nAsha,0.169,33.2\nBen,0.169,33200\nCy,0.25,49\n",
                3,
            )
            .await;
        check(&person, "verdicts and a class").await;
        person.unfold("#plan").await;
        person.click("#plan-example").await;
        person.says("#plan-out", "steps").await;
        person.unfold("#plan-wire").await;
        person.fill("[id='plan-wire.diameter']", "thick").await;
        person.says("#plan-notes", "thick").await;
        person.unfold("#practice").await;
        person.unfold("#handout").await;
        person.click("#handout-make").await;
        person.says("#status-text", "The link is made").await;
        check(&person, "a plan, practice sets and a handout").await;
    });
}

#[test]
fn a_task_before_and_after_an_attempt() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        person.unfold("#practice").await;
        person.unfold("#handout").await;
        person
            .fill("#handout-task", "Find B of your own set.")
            .await;
        person.click("#handout-make").await;
        person.says("#status-text", "The link is made").await;
        let link = person.value("#handout-link").await;
        let student = bench.visitor().await;
        student.go(&link).await;
        student.says("#task-text", "Find B").await;
        check(&student, "a task that was just opened").await;
        student.fill("#task-student", "17").await;
        student.click("#task-open").await;
        student.says("#status-text", "number 17").await;
        student.fill("#answer-flux_density", "7.77 T").await;
        student.click("#answer-gradient").await;
        student.says("#answer-value", "mT").await;
        check(&student, "a task after an attempt").await;
    });
}

#[test]
fn a_browser_that_keeps_nothing_and_one_that_cannot_start_the_page() {
    in_browser(async |bench| {
        let person = bench.newcomer().await;
        before_the_page(
            &person,
            "Object.defineProperty(window, 'localStorage', { get() { throw new Error('refused') } })",
        )
        .await;
        person.open(&bench.page()).await;
        person.fill("#length", "6.0 cm").await;
        person
            .says("#status-text", "does not let this page keep")
            .await;
        check(&person, "storage refused").await;

        let person = bench.newcomer().await;
        // What the page writes to the console then is meant, and no failure of this test.
        before_the_page(
            &person,
            "delete window.WebAssembly; console.error = () => {};",
        )
        .await;
        person.go(&bench.page()).await;
        person.says("#boot-trouble", "did not start").await;
        check(&person, "the page cannot start").await;
    });
}

#[test]
fn every_sheet_that_is_handed_out() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        let sheet = person.save("#save-sheet").await;
        person.go(&file_address(&sheet)).await;
        check(&person, "the worked sheet").await;
        let class = "Name,Gradient / g/A,B / mT\nAsha,0.169,33.2\nBen,0.169,33200\n";
        let checked = yokeline_core::check::class::class(&work(&example::job()), class);
        let planned = plan(&Plan {
            flux_density: "30 mT".to_owned(),
            ..Plan::default()
        });
        let made = set(&Level::StraightAndClean.recipe(), 6, 17);
        let own: Vec<Sheet> = vec![worksheet(&made, GraphPaper::WithAxes); 2];
        for (name, html) in [
            ("worksheets", paper::many(&own)),
            ("kit", paper::html(&printed::kit_sheet("", &planned), "")),
            ("class", paper::feedback::feedback("", &checked)),
            ("blank", paper::html(&blank().sheet(), "")),
        ] {
            let file = sheet.with_file_name(format!("{name}.html"));
            std::fs::write(&file, html).expect("a file among the downloads");
            person.go(&file_address(&file)).await;
            check(&person, name).await;
        }
    });
}

fn blank() -> yokeline_core::job::Working {
    let mut job: Job = example::job();
    job.sheet.show = yokeline_core::job::input::Show::Blank;
    work(&job)
}
