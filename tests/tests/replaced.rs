//! When another job takes the place of the user's own, the page knows it, so that the one before can be put aside.

use yokeline_core::job::Job;
use yokeline_web::page::state::{Msg, Source, State, update};

const TABLE: &str = "I / A\tm / g\n1.00\t0.17\n2.00\t0.34\n3.00\t0.51";
const OTHER_TABLE: &str = "I / A\tm / g\n1.00\t0.50\n2.00\t1.01\n3.00\t1.49";

fn job(table: &str) -> Box<Job> {
    Box::new(Job {
        table: table.to_owned(),
        ..Job::default()
    })
}

fn open(state: &mut State, table: &str, source: Source) {
    let job = job(table);
    update(state, Msg::OpenJob { job, source });
}

fn type_in(state: &mut State) {
    let text = "0.99".to_owned();
    update(
        state,
        Msg::SetCell {
            row: 0,
            column: 1,
            text,
        },
    );
}

#[test]
fn the_example_is_nobody_s_work() {
    let mut state = State::first_visit();
    let text = TABLE.to_owned();
    update(&mut state, Msg::ReplaceTable { text });
    assert_eq!(state.generation(), 0);
}

#[test]
fn what_was_kept_typed_or_pasted_is_put_aside_for_another_job() {
    for source in [
        Source::Link,
        Source::Practice,
        Source::File("x.json".to_owned()),
    ] {
        let mut state = State::first_visit();
        open(&mut state, TABLE, Source::Kept);
        assert_eq!(state.generation(), 0);
        open(&mut state, OTHER_TABLE, source.clone());
        assert_eq!(state.generation(), 1, "{source:?}");
        // As it came it can be had again; once it was changed it is the user's own.
        open(&mut state, TABLE, source.clone());
        assert_eq!(state.generation(), 1, "{source:?}");
        type_in(&mut state);
        open(&mut state, OTHER_TABLE, source.clone());
        assert_eq!(state.generation(), 2, "{source:?}");
    }
    let mut state = State::first_visit();
    for (table, generation) in [(TABLE, 0), (OTHER_TABLE, 1), (OTHER_TABLE, 1)] {
        let text = table.to_owned();
        update(&mut state, Msg::ReplaceTable { text });
        assert_eq!(state.generation(), generation);
    }
}

#[test]
fn typing_and_undo_replace_nothing() {
    let mut state = State::first_visit();
    open(&mut state, TABLE, Source::Kept);
    type_in(&mut state);
    update(&mut state, Msg::Undo);
    update(&mut state, Msg::Redo);
    assert_eq!(state.generation(), 0);
    // The job of another tab is taken with that tab's own being kept already.
    open(&mut state, OTHER_TABLE, Source::OtherTab);
    assert_eq!(state.generation(), 0);
    update(&mut state, Msg::Undo);
    assert_eq!(state.job().table.lines().count(), 4);
}

#[test]
fn what_was_forgotten_by_mistake_comes_back_by_undo_and_an_example_has_no_need_to() {
    let mut state = State::first_visit();
    update(&mut state, Msg::Forget);
    assert!(!state.can_undo() && !state.status().text.contains("Undo"));
    open(&mut state, TABLE, Source::Kept);
    update(&mut state, Msg::Forget);
    assert!(
        state.status().text.contains("Undo"),
        "{}",
        state.status().text
    );
    update(&mut state, Msg::Undo);
    assert_eq!(state.job().table, TABLE);
}
