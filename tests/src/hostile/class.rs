//! A class's answers as pasted.

use yokeline_core::check::class::{Checking, class as checked};
use yokeline_core::job::{Job, Working, work};
use yokeline_web::{keep::csv, paper::feedback};

use super::{assert_short, choosing, chosen, finite, inert, no_formulas, table::chosen_job, text};

/// The readings that answers are checked against: one line, repeats, groups with lines of their own, and none.
const READINGS: [&str; 4] = [
    "I / A\tm / g\n0.50\t0.08\n1.00\t0.17\n1.50\t0.25\n2.00\t0.33\n2.50\t0.42\n",
    "I / A\tm1 / g\tm2 / g\n0.5\t0.08\t0.09\n1.0\t0.17\t0.16\n1.5\t0.25\t0.26\n2.0\t0.33\t0.35\n",
    "Group\tI / A\tm / g\nA\t1\t0.17\nA\t2\t0.33\nA\t3\t0.50\nB\t1\t0.18\nB\t2\t0.36\nB\t3\t0.52\n",
    "",
];

/// The first line chooses the readings, a letter; the rest is the class's table.
pub fn class(data: &[u8]) {
    let text = text(data);
    let (choice, pasted) = choosing(&text);
    let job = Job {
        table: chosen(choice, 0, &READINGS).to_owned(),
        ..chosen_job(choice.get(1..).unwrap_or_default())
    };
    let working = work(&job);
    let at_once = checked(&working, pasted);
    finite("the class", &at_once);
    for student in &at_once.students {
        for judged in &student.judged {
            assert_short("a verdict", &judged.text);
        }
    }
    assert_eq!(
        at_once,
        step_by_step(&working, pasted),
        "in steps and at once"
    );
    inert("the feedback", &feedback::feedback(pasted, &at_once));
    no_formulas("the class as CSV", &csv::class(&at_once));
}

fn step_by_step(working: &Working, pasted: &str) -> yokeline_core::check::class::Class {
    let mut checking = Checking::new(working, pasted);
    while checking.left() > 0 {
        let before = checking.left();
        checking.go_on(working, 7);
        assert!(checking.left() < before, "no step forward");
    }
    checking.finish()
}
