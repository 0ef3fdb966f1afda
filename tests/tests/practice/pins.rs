//! Sets that were given out are made again, to the character.

use std::collections::BTreeSet;

use yokeline_core::practice::{Level, Recipe, Set, set};

/// Sets that were given out once and have to be made again for ever. An entry here may never change; a new one may be
/// added at the end.
const PINNED: &str = include_str!("../../data/practice/sets.txt");

/// A set as the pinned file has it: all that a student sees and what is true, without the sentences.
fn pin(made: &Set) -> String {
    let a = &made.job.apparatus;
    let mut text = format!(
        "length: {} | uncertainty: {} | wires: {} | step: {} | current: {} | true: {}\n",
        a.length,
        a.length_uncertainty,
        a.wires,
        a.balance_resolution,
        made.job.fixed_current,
        made.truth.flux_density
    );
    for fault in &made.truth.faults {
        text.push_str(&format!(
            "{} {:?} {:?}\n",
            fault.kind, fault.row, fault.size
        ));
    }
    text + &made.job.table
}

/// `== seed 3, number 17: "drift"`, a level or a recipe as JSON.
fn pinned_set(head: &str) -> Set {
    let (numbers, what) = head.split_once(": ").expect("a colon");
    let mut numbers = numbers
        .trim_start_matches("seed ")
        .split(", number ")
        .map(|n| n.parse().expect("a number"));
    let (seed, student) = (numbers.next().unwrap(), numbers.next().unwrap());
    let recipe = match serde_json::from_str::<Level>(what) {
        Ok(level) => level.recipe(),
        Err(_) => serde_json::from_str::<Recipe>(what).expect("a recipe"),
    };
    set(&recipe, seed, student)
}

#[test]
fn sets_given_out_once_are_made_again() {
    let mut levels = BTreeSet::new();
    let mut entries = 0;
    for entry in PINNED.split("== ").skip(1) {
        let (head, text) = entry.split_once('\n').expect("a head");
        let made = pin(&pinned_set(head));
        assert!(made.trim_end() == text.trim_end(), "== {head}\n{made}");
        levels.insert(head.split_once(": ").map(|(_, what)| what.to_owned()));
        entries += 1;
    }
    for level in Level::ALL {
        let name = serde_json::to_string(&level).unwrap();
        assert!(levels.contains(&Some(name)), "{level:?} is not pinned");
    }
    assert!(entries >= 3 * Level::ALL.len());
}
