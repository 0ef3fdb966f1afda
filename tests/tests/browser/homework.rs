//! Homework: a teacher makes a link, a student opens it and finds no result before an answer was typed.

use serde_json::Value;
use yokeline_core::job::work;
use yokeline_core::practice::{Level, set};
use yokeline_web::keep::homework::{Homework, Practice, Reveal, from_fragment};

use crate::bench::in_browser;

#[test]
fn a_task_hides_the_result_until_an_answer_was_typed_and_goes_on_after_a_reload() {
    in_browser(async |bench| {
        let teacher = bench.visitor().await;
        teacher.unfold("#practice").await;
        teacher.unfold("#handout").await;
        teacher.fill("#practice-seed", "6").await;
        teacher
            .fill("#handout-task", "Find B of your own set.")
            .await;
        teacher.click("#handout-make").await;
        teacher.says("#status-text", "The link is made").await;
        let link = teacher.value("#handout-link").await;
        let made = Homework {
            task: "Find B of your own set.".to_owned(),
            practice: Some(Practice {
                level: Level::StraightAndClean,
                set: 6,
                ..Practice::default()
            }),
            job: None,
            show: Reveal::AfterAttempt,
        };
        assert_eq!(from_fragment(&link), Ok(made));
        let frame = teacher.value("#handout-frame").await;
        assert!(frame.contains(&format!("src=\"{link}\"")), "{frame}");
        assert_eq!(teacher.count("#handout-qr[src^='data:image/svg']").await, 1);

        // A student's browser knows nothing of the teacher's work.
        let student = bench.visitor().await;
        student.go(&link).await;
        student.says("#task-text", "Find B of your own set.").await;
        student.fill("#task-student", "17").await;
        student.click("#task-open").await;
        student.says("#status-text", "number 17").await;
        let job = set(&Level::StraightAndClean.recipe(), 6, 17).job;
        assert_eq!(student.value("#length").await, job.apparatus.length);
        let analysis = work(&job).analysis();
        let right = analysis.flux_density.expect("a flux density").text;
        student.says("#answer-why", "typed your own answer").await;
        let nowhere = async |what: &str| {
            let script = "return document.documentElement.outerHTML";
            let document = student.script(script).await;
            !document.as_str().expect("a text").contains(what)
        };
        assert!(nowhere(&right).await, "{right} is in the document");
        let hidden = "#figures-part[hidden], #practice-part[hidden], #share-row[hidden]";
        assert_eq!(student.count(hidden).await, 3);

        student.fill("#answer-flux_density", "7.77 T").await;
        student.says("#verdicts", "not right").await;
        assert!(nowhere(&right).await, "typing alone is no attempt yet");
        student
            .script("document.getElementById('answer-gradient').focus()")
            .await;
        student.says("#answer-value", &right).await;

        // The readings, the number and the answer are there again, and so is the task.
        student
            .until("the answers to be kept", async || {
                let kept = student.script("return localStorage.getItem('yokeline.task')").await;
                matches!(&kept, Value::String(text) if text.contains("7.77 T") && text.contains("true"))
            })
            .await;
        student.reload().await;
        student.says("#task-text", "Find B of your own set.").await;
        assert_eq!(student.value("#answer-flux_density").await, "7.77 T");
        assert_eq!(student.value("#task-student").await, "17");
        student.says("#answer-value", &right).await;
    });
}
