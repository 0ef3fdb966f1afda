//! How long the page takes in a browser, and beside it what a page author would put together from general-purpose
//! libraries for the same parse, fit and drawing.
//!
//! `cargo xtask bench` builds the page, brings the libraries and runs this. Start at [`main`]. Everything runs in Chromium
//! with the processor slowed down four times; a time is the middle one of several.

mod report;
mod sites;

use std::time::Duration;

use serde_json::{Value, json};
use yokeline_tests::browser::bench::{Bench, at_a_bench};
use yokeline_tests::browser::person::Person;

use report::{Report, Row};
use sites::Made;

const TIMING: &str = include_str!("timing.js");

/// How many times slower the processor is made: a school's laptop.
const SLOWER: u32 = 4;

/// A slow network: 1.6 megabits a second, 150 ms there and back.
const SLOW_BYTES_PER_SECOND: u32 = 200_000;
const SLOW_LATENCY_MS: u32 = 150;

/// How often a thing is timed; the first visit, for which a browser is started each time, less often.
const TIMES: usize = 15;
const VISITS: usize = 5;

fn main() {
    at_a_bench(async |bench| {
        let made = Made::in_folder(bench.folder());
        let mut report = Report::default();
        first_visit(bench, &made, &mut report).await;
        paste_and_edit(bench, &made, &mut report).await;
        ours_alone(bench, &made, &mut report).await;
        print!("{}", report.table());
        if let Some(file) = std::env::var_os("YOKELINE_BENCH_FILE") {
            std::fs::write(&file, report.document()).expect("the file of results");
        }
    });
}

async fn first_visit(bench: &Bench, made: &Made, report: &mut Report) {
    for (name, slow) in [("cold, fast network", false), ("cold, slow network", true)] {
        let mut row = Row::new(&format!("First visit to usable, {name}"));
        for site in made.sites() {
            let mut times = Vec::new();
            for _ in 0..VISITS {
                let person = slowed(bench).await;
                person.chromium("Network.enable", json!({})).await;
                if slow {
                    person
                        .chromium(
                            "Network.emulateNetworkConditions",
                            json!({ "offline": false, "latency": SLOW_LATENCY_MS,
                                "downloadThroughput": SLOW_BYTES_PER_SECOND,
                                "uploadThroughput": SLOW_BYTES_PER_SECOND }),
                        )
                        .await;
                }
                // Looked at from within, so that the driver's own time is not in it.
                person
                    .chromium(
                        "Page.addScriptToEvaluateOnNewDocument",
                        json!({ "source": format!(
                            "const looking = setInterval(() => {{
                               const answer = document.querySelector('{}');
                               if (!answer?.textContent.includes('mT')) return;
                               clearInterval(looking);
                               requestAnimationFrame(() => setTimeout(() => window.usable = performance.now()));
                             }}, 5);", site.answer) }),
                    )
                    .await;
                person.go(&site.address).await;
                person
                    .until("the page to be usable", async || {
                        person.script("return window.usable ?? null").await != Value::Null
                    })
                    .await;
                times.push(milliseconds(&person.script("return window.usable").await));
                bench.leave(person).await;
            }
            row.add(site.name, times);
        }
        report.push(row);
    }
}

async fn paste_and_edit(bench: &Bench, made: &Made, report: &mut Report) {
    for rows in [15, 1_000, 10_000, 100_000] {
        let tables = [sites::table_of(rows, 0), sites::table_of(rows, 1)];
        let mut pasted = Row::new(&format!("Paste of {rows} rows to painted"));
        let mut edited = Row::new(&format!("One reading of {rows} changed to painted"));
        // With the largest the others take minutes, and ours seconds.
        let (times, sites) = if rows > 10_000 {
            (3, 1)
        } else {
            (TIMES, usize::MAX)
        };
        for site in made.sites().take(sites) {
            let person = slowed(bench).await;
            person.go(&site.address).await;
            person.says(site.answer, "mT").await;
            person.script(TIMING).await;
            // What was there to show the page goes away with its wire.
            person
                .script_with(site.ready, vec![tables[1].as_str().into()])
                .await;
            person.says(site.answer, "mT").await;
            let waits = "const answer = document.querySelector(arguments[1]);
                const before = answer.textContent;
                const changed = () => answer.textContent !== before && answer.textContent.includes('mT');";
            let mut paste = Vec::new();
            let mut edit = Vec::new();
            for time in 0..=times {
                let taken = person
                    .promise(
                        &format!(
                            "{waits} return await timing(() => paste(arguments[0]), changed);"
                        ),
                        vec![tables[time % 2].as_str().into(), site.answer.into()],
                    )
                    .await;
                // The first is the one in which the browser compiles what it runs.
                if time > 0 {
                    paste.push(milliseconds(&taken[1]));
                }
            }
            for time in 0..=times {
                let reading = format!("{:.2}", 0.9 + 0.05 * (time % 2) as f64);
                let taken = person
                    .promise(
                        &format!("{waits} return await timing(() => {}, changed);", site.edit),
                        vec![reading.into(), site.answer.into()],
                    )
                    .await;
                if time > 0 {
                    edit.push(milliseconds(&taken[1]));
                }
            }
            pasted.add(site.name, paste);
            edited.add(site.name, edit);
            bench.leave(person).await;
        }
        report.push(pasted);
        report.push(edited);
    }
}

/// What the libraries have nothing beside.
async fn ours_alone(bench: &Bench, made: &Made, report: &mut Report) {
    let site = &made.ours;
    let person = bench.newcomer().await;
    person.open(&site.address).await;
    person.script(TIMING).await;
    person.fill("#length_uncertainty", "1 mm").await;
    person.unfold("#simulation-part").await;
    let mut simulated = Vec::new();
    for time in 0..4 {
        // Another uncertainty takes the last simulation away.
        let taken = person
            .promise(
                "type('length_uncertainty', arguments[0]);
                 document.getElementById('length_uncertainty').dispatchEvent(new Event('change', { bubbles: true }));
                 const said = document.getElementById('simulation-said');
                 return await timing(() => document.getElementById('simulate').click(),
                   () => said.textContent.includes('In 95 of 100'));",
                vec![format!("{} mm", 1 + time % 2).into()],
            )
            .await;
        simulated.push(milliseconds(&taken[1]));
    }
    let mut row = Row::new("A million simulated practicals, to said (processor not slowed)");
    row.add(site.name, simulated);
    report.push(row);

    person.unfold("#check-class").await;
    let mut checked = Vec::new();
    for time in 0..3 {
        let class = sites::class_of(1_000, time);
        let taken = person
            .promise(
                "const sum = document.getElementById('class-sum');
                 return await timing(() => type('class-box', arguments[0]),
                   () => sum.textContent.includes('1000 checked'));",
                vec![class.into()],
            )
            .await;
        checked.push(milliseconds(&taken[1]));
        person
            .promise("type('class-box', ''); await timing(() => {})", Vec::new())
            .await;
    }
    let mut row = Row::new("A class of 1,000 checked (processor not slowed)");
    row.add(site.name, checked);
    report.push(row);
}

async fn slowed(bench: &Bench) -> Person {
    let person = bench.newcomer().await;
    person
        .chromium("Emulation.setCPUThrottlingRate", json!({ "rate": SLOWER }))
        .await;
    person.wait_at_most(Duration::from_secs(120)).await;
    person
}

fn milliseconds(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("no time came back: {value}"))
}
