//! What may be asked for: recipes as JSON, and recipes that no bench could follow.

use std::collections::BTreeSet;

use proptest::prelude::*;

use yokeline_core::practice::{
    Faults, GraphPaper, Level, Range, Recipe, Way, key, key_sheet, set, worksheet,
};

use crate::cells;

fn recipe_of(json: &str) -> Recipe {
    serde_json::from_str(json).expect("a recipe")
}

#[test]
fn recipes_are_read_as_they_are_written() {
    assert_eq!(recipe_of("{}"), Recipe::default());
    assert_eq!(
        recipe_of(r#"{"way":"length","unheard_of":[1]}"#).way,
        Way::Length
    );
    let written = r#"{"flux_density_t":0.05,"length_m":[0.04,0.06],"faults":{"warming":0.1}}"#;
    let recipe = recipe_of(written);
    assert_eq!(recipe.flux_density_t, Range::exactly(0.05));
    assert_eq!(recipe.length_m, Range::between(0.04, 0.06));
    for level in Level::ALL {
        let json = serde_json::to_string(&level.recipe()).unwrap();
        assert_eq!(recipe_of(&json), level.recipe());
    }
    assert!(serde_json::from_str::<Recipe>(r#"{"flux_density_t":"strong"}"#).is_err());
}

#[test]
fn what_cannot_be_made_is_told() {
    for (json, told) in [
        (
            r#"{"length_m":0}"#,
            "The length of the wire cannot be 0 m: 0.001 m was taken. It may lie between 0.001 and 1 m.",
        ),
        (
            r#"{"flux_density_t":null}"#,
            "The flux density is not a number: 0.05 T was taken. It may lie between 0.0001 and 5 T.",
        ),
        (
            r#"{"flux_density_t":1e300}"#,
            "The flux density cannot be 1.0×10³⁰⁰ T: 5 T was taken. It may lie between 0.0001 and 5 T.",
        ),
        (
            r#"{"readings":0}"#,
            "The number of readings cannot be 0: 3 was taken. It may lie between 3 and 100.",
        ),
        (
            r#"{"readings":1000000000}"#,
            "The number of readings cannot be 1.0×10⁹: 100 was taken. It may lie between 3 and 100.",
        ),
        (
            r#"{"balance_step_g":-0.01}"#,
            "The step of the balance cannot be −0.01 g: 0.0001 g was taken. It may lie between 0.0001 and 10 g.",
        ),
        (
            r#"{"balance_step_g":0.025}"#,
            "The step of the balance has one figure only, as 0.01 or 0.05 g: 0.03 g was taken for 0.025 g.",
        ),
        (
            r#"{"ammeter_step_a":1}"#,
            "An ammeter with steps of 1 A cannot tell these currents apart: steps of 0.1 A were taken.",
        ),
        (
            r#"{"current_a":[3,3.01]}"#,
            "The lowest and the highest current lie too close together for a line: even steps up to 3.01 A were taken.",
        ),
        (
            r#"{"way":"wires"}"#,
            "A comparison of wires needs two of them at least: one and two wires were taken.",
        ),
        (
            r#"{"way":"angle","faults":{"warming":0.1}}"#,
            "The current stays the same in these sets, so warming cannot bend the line: it was left out.",
        ),
        (
            r#"{"way":"length","faults":{"reversed_current":true}}"#,
            "The current stays the same in these sets, so it was not reversed.",
        ),
        (
            r#"{"version":2}"#,
            "This recipe comes from a later release. What this release does not know of it was left out, so the readings may differ from those of that release.",
        ),
        (
            r#"{"faults":{"outlier_g":0.01}}"#,
            "The error of the one wrong reading, 0.01 g, hardly shows beside a scatter of 0.0049 g.",
        ),
        (
            r#"{"faults":{"drift_g":0.02}}"#,
            "Where the readings are taken in step with what is varied, a drift cannot be told from a change of the gradient: a mixed order shows it.",
        ),
        (r#"{"flux_density_t":0.001}"#, ""),
    ] {
        let notes = set(&recipe_of(json), 1, 1).notes;
        let of_signal = "At the largest push the balance moves by only";
        assert!(
            notes.iter().any(|note| if told.is_empty() {
                note.starts_with(of_signal)
            } else {
                note == told
            }),
            "{json}: {notes:#?}"
        );
    }
}

/// Any number at all, oftener than by chance one that is trouble.
// Boxed, since the trees of values would not fit the stack of a test.
fn any_number() -> BoxedStrategy<f64> {
    prop_oneof![
        any::<f64>(),
        -1.0..10.0,
        prop_oneof![
            Just(0.0),
            Just(-0.0),
            Just(f64::NAN),
            Just(f64::INFINITY),
            Just(f64::NEG_INFINITY),
            Just(f64::MIN_POSITIVE),
            Just(f64::MAX),
            Just(1e-9),
            Just(1e9),
        ],
    ]
    .boxed()
}

fn any_range() -> BoxedStrategy<Range> {
    prop_oneof![
        any_number().prop_map(Range::exactly),
        (any_number(), any_number()).prop_map(|(low, high)| Range::between(low, high)),
    ]
    .boxed()
}

fn any_count() -> BoxedStrategy<u32> {
    prop_oneof![0..20_u32, any::<u32>(), Just(1_000_000_000)].boxed()
}

fn any_faults() -> BoxedStrategy<Faults> {
    (
        any_range(),
        any_range(),
        any_range(),
        any_range(),
        any::<bool>(),
        any::<bool>(),
    )
        .prop_map(
            |(zero_error_g, drift_g, outlier_g, warming, reversed_current, mixed_order)| Faults {
                zero_error_g,
                drift_g,
                outlier_g,
                warming,
                reversed_current,
                mixed_order,
            },
        )
        .boxed()
}

fn any_recipe() -> BoxedStrategy<Recipe> {
    let way = prop_oneof![
        Just(Way::Current),
        Just(Way::Wires),
        Just(Way::Angle),
        Just(Way::Length)
    ];
    (
        (
            way,
            any_range(),
            any_range(),
            any_number(),
            any_range(),
            any_range(),
        ),
        (
            any_count(),
            any_count(),
            any_number(),
            any_number(),
            any_number(),
            any_number(),
        ),
        (any_faults(), any_count(), any_count()),
    )
        .prop_map(|(bench, instruments, (faults, version, strand))| Recipe {
            version,
            strand,
            way: bench.0,
            flux_density_t: bench.1,
            length_m: bench.2,
            length_uncertainty_m: bench.3,
            wires: bench.4,
            current_a: bench.5,
            readings: instruments.0,
            repeats: instruments.1,
            balance_step_g: instruments.2,
            ammeter_step_a: instruments.3,
            noise_steps: instruments.4,
            stated_bar_g: instruments.5,
            faults,
        })
        .boxed()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever is asked for, there is a table of numbers, and what was changed is told.
    #[test]
    fn no_recipe_is_too_absurd(recipe in any_recipe(), seed: u32, student: u32) {
        let made = set(&recipe, seed, student);
        let rows = cells(&made.job.table);
        prop_assert!((3..=800).contains(&rows.len()));
        let distinct: BTreeSet<&str> = rows.iter().map(|row| row[row.len().min(2) - 2]).collect();
        prop_assert!(distinct.len() >= 2);
        for cell in rows.concat() {
            prop_assert!(cell.parse::<f64>().is_ok_and(f64::is_finite), "{cell}");
            prop_assert!(cell.len() < 20 && (!cell.starts_with('-') || cell.parse::<f64>() != Ok(0.0)), "{cell}");
        }
        if !recipe.flux_density_t.high.is_finite() || recipe.readings < 3 {
            prop_assert!(!made.notes.is_empty());
        }
        for note in made.notes.iter().chain(made.truth.faults.iter().map(|f| &f.text)) {
            prop_assert!(note.ends_with('.') && note.len() < 250 && !note.contains("NaN"), "{note}");
        }
        prop_assert_eq!(&made, &set(&recipe, seed, student));
        let rows = key(&recipe, seed, std::iter::once(student));
        prop_assert_eq!(rows.len(), 1);
        let paper = worksheet(&made, GraphPaper::WithAxes).to_text();
        prop_assert!(paper.contains(&made.job.title));
        let papers = key_sheet(&recipe, seed, std::iter::once(student)).to_text();
        prop_assert!(papers.contains(&rows[0].true_flux_density) && !papers.contains("NaN"), "{papers}");
    }
}
