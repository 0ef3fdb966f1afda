//! A task that a teacher handed out, as the page holds it: what it hides, and what stands there instead.
//!
//! Start at [`Task::hides`]: while it does, the page holds a [`veiled`] analysis, so that no part of it can show a result.

use yokeline_core::job::Analysis;
use yokeline_core::job::output::{Family, Point};

use crate::keep::homework::{Homework, Reveal};

/// A task and how far its student got.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Task {
    /// What was handed out.
    pub homework: Homework,
    /// The number that the student typed.
    pub student: Option<u32>,
    /// Whether an answer was typed to the end.
    pub attempted: bool,
}

impl Task {
    /// A task just opened.
    pub fn new(homework: Homework) -> Task {
        Task {
            homework,
            ..Task::default()
        }
    }

    /// Whether results are kept back at present.
    pub fn hides(&self) -> bool {
        match self.homework.show {
            Reveal::Everything => false,
            Reveal::AfterAttempt => !self.attempted,
            Reveal::Hints => true,
        }
    }

    /// Whether the student's number is asked for and was not given yet.
    pub fn waits_for_number(&self) -> bool {
        self.student.is_none() && self.homework.asks_number()
    }

    /// What the page says of what it shows.
    pub fn said(&self) -> &'static str {
        match (self.homework.show, self.attempted) {
            (Reveal::Everything, _) => {
                "Work it out by hand first, then type your answer below: the page says whether it is right and, where \
                 not, what may have happened."
            }
            (Reveal::AfterAttempt, false) => {
                "Work it out by hand and type your answer below. The line, B and the working are shown after that."
            }
            (Reveal::AfterAttempt, true) => {
                "You have typed an answer: line, B and working are shown now."
            }
            (Reveal::Hints, _) => {
                "Work it out by hand and type your answer below: the page says whether it is right and gives a hint. \
                 Results are not shown for this task."
            }
        }
    }

    /// What stands where the result would.
    pub fn instead(&self) -> &'static str {
        match self.homework.show {
            Reveal::Hints => {
                "Not shown for this task. Type your own answer at the top of the page to have it checked."
            }
            _ => "Shown once you have typed your own answer at the top of the page.",
        }
    }
}

/// The analysis without anything that a student is to find: the points and what was understood of the table stay.
pub fn veiled(analysis: Analysis) -> Analysis {
    let without_residual = |point: Point| Point {
        residual: None,
        ..point
    };
    let without_line = |family: Family| Family {
        best_line: None,
        extreme_lines: None,
        flux_density: None,
        ..family
    };
    Analysis {
        version: analysis.version,
        columns: analysis.columns,
        axes: analysis.axes,
        varied: analysis.varied,
        fit: analysis.fit,
        points: analysis.points.into_iter().map(without_residual).collect(),
        families: analysis.families.into_iter().map(without_line).collect(),
        notes: analysis.notes,
        ..Analysis::default()
    }
}

#[cfg(test)]
mod tests {
    use super::super::state::{Msg, Source, State, update};
    use super::super::verdicts::tests::working;
    use super::*;
    use crate::keep::homework::Practice;
    use yokeline_core::check::Stage;
    use yokeline_core::practice::{Level, set};

    fn opened(show: Reveal) -> State {
        let mut state = State::first_visit();
        let practice = Practice {
            level: Level::StraightAndClean,
            set: 6,
            ..Practice::default()
        };
        let homework = Box::new(Homework {
            practice: Some(practice),
            show,
            ..Homework::default()
        });
        update(&mut state, Msg::OpenTask { homework });
        state
    }

    fn answer(state: &mut State, text: &str) {
        let (stage, text) = (Stage::FluxDensity, text.to_owned());
        update(state, Msg::SetAnswer { stage, text });
        update(state, Msg::Attempt);
    }

    #[test]
    fn a_result_is_held_back_until_an_answer_that_can_be_read() {
        let mut state = opened(Reveal::AfterAttempt);
        assert!(state.plain().rows.is_empty() && state.analysis().notes.is_empty());
        update(&mut state, Msg::OpenSet { student: 17 });
        assert_eq!(
            *state.job(),
            set(&Level::StraightAndClean.recipe(), 6, 17).job
        );
        assert!(state.analysis().points.len() > 5);
        for no_attempt in ["", "none yet", "?"] {
            answer(&mut state, no_attempt);
            assert!(state.hides() && state.analysis().flux_density.is_none());
        }
        answer(&mut state, "9 T");
        assert!(!state.hides() && state.analysis().flux_density.is_some());
        // What was seen once is not hidden again by a change of the readings.
        update(&mut state, Msg::Undo);
        update(&mut state, Msg::Redo);
        assert!(state.analysis().flux_density.is_some());
    }

    #[test]
    fn a_gradient_is_no_attempt_and_another_number_starts_anew() {
        let mut state = opened(Reveal::AfterAttempt);
        update(&mut state, Msg::OpenSet { student: 17 });
        let (stage, text) = (Stage::Gradient, "0.3 g/A".to_owned());
        update(&mut state, Msg::SetAnswer { stage, text });
        update(&mut state, Msg::Attempt);
        assert!(state.hides() && !state.judged().is_empty());
        answer(&mut state, "9 T");
        assert!(!state.hides());
        update(&mut state, Msg::OpenSet { student: 18 });
        assert!(state.hides() && state.judged().is_empty());
        assert_eq!(state.answers().flux_density, "");
    }

    #[test]
    fn groups_in_the_table_are_told() {
        let mut state = State::first_visit();
        let rows =
            "North\t1\t0.2\nNorth\t2\t0.4\nNorth\t3\t0.6\nEast\t1\t0.3\nEast\t2\t0.6\nEast\t3\t0.9";
        let text = format!("Group\tI / A\tm / g\n{rows}");
        update(&mut state, Msg::ReplaceTable { text });
        let said = state.said_of_groups().expect("a sentence");
        assert!(said.contains("2 groups"), "{said}");
        update(&mut state, Msg::Undo);
        assert_eq!(state.said_of_groups(), None);
    }

    #[test]
    fn hints_only_stay_hints_only() {
        let mut state = opened(Reveal::Hints);
        update(&mut state, Msg::OpenSet { student: 2 });
        answer(&mut state, "9 T");
        assert!(state.hides() && state.analysis().best_line.is_none());
        assert!(!state.judged().is_empty());
    }

    #[test]
    fn somebody_elses_job_ends_the_task_and_a_file_does_not() {
        let open = |source: Source| {
            let mut state = opened(Reveal::Hints);
            let job = Box::new(set(&Level::GoodDay.recipe(), 1, 1).job);
            update(&mut state, Msg::OpenJob { job, source });
            (
                state.task().is_some(),
                state.analysis().flux_density.is_some(),
            )
        };
        assert_eq!(open(Source::Link), (false, true));
        assert_eq!(open(Source::File("mine.json".to_owned())), (true, false));
        let mut state = opened(Reveal::Hints);
        update(&mut state, Msg::Forget);
        assert!(state.task().is_none());
    }

    #[test]
    fn a_veiled_analysis_holds_no_result() {
        let analysis = working().analysis();
        let found = serde_json::to_value(&analysis).unwrap();
        let veiled = serde_json::to_value(veiled(analysis)).unwrap();
        assert!(found["flux_density"]["tesla"].is_number());
        let kept = [
            "version", "columns", "axes", "varied", "fit", "points", "families", "notes",
        ];
        for (name, value) in veiled.as_object().unwrap() {
            let empty = value.is_null() || value.as_array().is_some_and(Vec::is_empty);
            assert!(kept.contains(&name.as_str()) || empty, "{name}: {value}");
        }
        // A line or its value in any part that is kept would stand under one of these names.
        let text = veiled.to_string();
        for name in ["gradient", "tesla", "intercept"] {
            assert!(!text.contains(&format!("\"{name}\":")), "{name}");
        }
        let first = &veiled["points"][0];
        assert_eq!(first["x"], found["points"][0]["x"]);
        assert!(first["residual"].is_null() && found["points"][0]["residual"].is_number());
    }

    #[test]
    fn what_is_hidden_depends_on_the_attempt() {
        let task = |show, attempted| Task {
            homework: Homework {
                show,
                ..Homework::default()
            },
            attempted,
            student: None,
        };
        let hides = |show| [false, true].map(|attempted| task(show, attempted).hides());
        assert_eq!(hides(Reveal::Everything), [false, false]);
        assert_eq!(hides(Reveal::AfterAttempt), [true, false]);
        assert_eq!(hides(Reveal::Hints), [true, true]);
    }
}
