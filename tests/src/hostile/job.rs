//! JSON from a tool or a file: a job, a job with answers, a plan or a recipe of practice sets.

use serde::Deserialize;
use yokeline_core::check::{Answers, check};
use yokeline_core::job::Job;
use yokeline_core::plan::{Plan, plan, printed};
use yokeline_core::practice::{Recipe, set};
use yokeline_web::chart::describe::describe;
use yokeline_web::chart::scene::{GraphChoice, Scene};
use yokeline_web::chart::svg::svg;
use yokeline_web::chart::theme::Theme;
use yokeline_web::keep::{csv, file, link};
use yokeline_web::page::{algebra, headline, worth};
use yokeline_web::paper;

use super::{analysed, assert_short, finite, inert, no_formulas, text};

/// A thorough simulation takes half a second, and has tests of its own.
const TRIALS: u32 = 2_000;

#[derive(Deserialize)]
struct Asked {
    job: Job,
    #[serde(default)]
    answers: Answers,
}

/// The text of a file, and the same JSON as each of the shapes that tools hand in.
pub fn job(data: &[u8]) {
    let text = text(data);
    match file::from_json(&text) {
        Ok(job) => whole(job, &Answers::default()),
        Err(error) => assert_short("a refusal", &error.to_string()),
    }
    if let Ok(asked) = serde_json::from_str::<Asked>(&text) {
        whole(asked.job, &asked.answers);
    }
    if let Ok(wanted) = serde_json::from_str::<Plan>(&text) {
        planned(&wanted);
    }
    if let Ok(recipe) = serde_json::from_str::<Recipe>(&text) {
        practised(&recipe);
    }
}

/// All that the page makes of a job.
fn whole(mut job: Job, answers: &Answers) {
    job.monte_carlo.trials = job.monte_carlo.trials.min(TRIALS);
    assert_eq!(
        file::from_json(&file::to_json(&job)).as_ref(),
        Ok(&job),
        "by file"
    );
    let fragment = link::to_fragment(&job);
    if fragment.len() <= link::LONGEST {
        assert_eq!(link::from_fragment(&fragment).as_ref(), Ok(&job), "by link");
    }
    let (working, analysis) = analysed(&job);
    let judged = check(&working, answers);
    finite("the verdicts", &judged);
    for one in &judged {
        assert_short("a verdict", &one.text);
    }
    let graph = Scene::graph(&analysis, &GraphChoice::default());
    let picture = svg(&graph, 760, 560, Theme::Print);
    assert!(
        !picture.contains("NaN") && !picture.contains("\"inf"),
        "{picture}"
    );
    inert("the sheet", &paper::html(&working.sheet(), &picture));
    no_formulas("the table as CSV", &csv::processed(&analysis));
    assert!(describe(&graph).len() < 20_000);
    let _ = (
        algebra::entries(&job, &analysis),
        worth::of_line(&job, &analysis),
    );
    let _ = (worth::of_result(&analysis), headline::headlines(&analysis));
}

/// All that is made of a plan.
pub(super) fn planned(wanted: &Plan) {
    let found = plan(wanted);
    finite("the plan", &found);
    for note in &found.notes {
        assert_short("a note of the plan", &note.text);
    }
    assert_eq!(found, plan(wanted), "one plan, two outcomes");
    inert(
        "the kit page",
        &paper::many(&[printed::kit_sheet("", &found)]),
    );
}

/// A recipe makes sets that can be worked out, whatever it asks for.
pub(super) fn practised(recipe: &Recipe) {
    let made = set(recipe, 1, 1);
    finite("what is true of a set", &made.truth);
    for sentence in &made.notes {
        assert_short("a note of the recipe", sentence);
    }
    assert_eq!(made.job, set(recipe, 1, 1).job, "one set, two jobs");
    let (_, analysis) = analysed(&made.job);
    assert!(
        !analysis.points.is_empty(),
        "a set without points: {:?}",
        made.truth
    );
}
