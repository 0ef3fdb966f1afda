//! What may be typed, what is said of it, and the answers about single changes.

use proptest::prelude::*;

use yokeline_core::job::{Job, work};
use yokeline_core::plan::output::{Expected, Planned};
use yokeline_core::plan::{Plan, plan, printed};
use yokeline_core::sheet::Block;
use yokeline_tests::close;

use crate::{bench, expected};

fn of(json: &str) -> Planned {
    plan(&serde_json::from_str::<Plan>(json).expect("a plan"))
}

#[test]
fn an_empty_plan_is_worked_out_with_usual_values_and_says_so() {
    let planned = of("{}");
    let told: Vec<(&str, &str)> = planned.notes.iter().map(|n| (n.field, n.weight)).collect();
    let fields = [
        "length",
        "length_uncertainty",
        "balance_resolution",
        "flux_density",
        "current_range",
    ];
    assert_eq!(told, fields.map(|field| (field, "asked")));
    let fields: Vec<f64> = planned.expected.iter().map(|e| e.flux_density).collect();
    assert_eq!(fields, [0.02, 0.1]);
    assert_eq!(planned.expected[0].readings.len(), 11);
    assert_eq!(planned.wire, None);
}

#[test]
fn numbers_texts_and_ranges_are_read() {
    let planned = of(
        r#"{"apparatus":{"length":"50 mm","length_uncertainty":"1 mm","wires":3,"balance_resolution":"10 mg"},"flux_density":"20 to 50 mT",
            "current_range":"500 mA – 4 A","steps":8,"target":5,"wire":{"diameter":"AWG 20","cooling":"15 W m⁻² K⁻¹"},
            "unheard_of":[1]}"#,
    );
    assert_eq!(planned.notes, []);
    let fields: Vec<f64> = planned.expected.iter().map(|e| e.flux_density).collect();
    assert_eq!(fields, [0.02, 0.05]);
    let currents: Vec<&str> = planned.expected[0]
        .readings
        .iter()
        .map(|r| &r.current_text[..])
        .collect();
    let even = [
        "0.50", "1.00", "1.50", "2.00", "2.50", "3.00", "3.50", "4.00",
    ];
    assert_eq!(currents, even);
    // By hand: 3 × 0.05 T × 0.05 m / 9.81 = 0.7645 g/A, at 4 A 3.058 g.
    assert_eq!(planned.expected[1].readings[7].reading_text, "3.06");
    let wire = planned.wire.unwrap();
    assert_eq!(wire.cooling, 15.0);
    close("AWG 20, ASTM B258", wire.diameter, 0.811_820_970e-3, 1e-9);
    assert!(!planned.expected[0].needs.is_empty());
}

#[test]
fn what_cannot_be_read_is_told_with_what_would_do() {
    for (json, field, text) in [
        (
            r#"{"place":{"latitude":"London"}}"#,
            "place.latitude",
            "“London” is not a number; one such as 0.50, 0,50 or 5.0e-1 would do. Something like 51.5° or 33.9° S would do.",
        ),
        (
            r#"{"noise":"-1 g"}"#,
            "noise",
            "This is far from any size that a bench has, so it was left out. Is the unit right?",
        ),
        (
            r#"{"wire":{"diameter":"99 SWG"}}"#,
            "wire.diameter",
            "“99 SWG” is not a whole SWG number from 0 to 40; something like 22 SWG or 0.71 mm would do.",
        ),
        (
            r#"{"wire":{"temperature":"warm"}}"#,
            "wire.temperature",
            "“warm” could not be read here; something like 20 °C would do.",
        ),
        (
            r#"{"steps":"2"}"#,
            "steps",
            "“2” is not a whole number from 3 to 100. 11 was taken.",
        ),
        (
            r#"{"target":"0 %"}"#,
            "target",
            "“0 %” is not a percentage above 0; something like 2 % would do.",
        ),
        (
            r#"{"place":{"latitude":"91°"}}"#,
            "place.latitude",
            "“91°” is no latitude: it lies between 90° S and 90° N.",
        ),
        (
            r#"{"direction":{"poles":"up","current":"away"}}"#,
            "direction.poles",
            "“up” does not say which way; “N left” or “N right” would do.",
        ),
        (
            r#"{"flux_density":"30 g"}"#,
            "flux_density",
            "“30 g” is in g, which does not fit here; something like 30 mT, 20 mT to 50 mT or “do not know” would do.",
        ),
        (
            r#"{"supply":{"current_limit":"-3 A"}}"#,
            "supply.current_limit",
            "“-3 A” is not above zero; something like 5 A would do.",
        ),
    ] {
        let planned = of(json);
        let note = planned.notes.iter().find(|n| n.weight == "trouble");
        let note = note.unwrap_or_else(|| panic!("{json}: {:?}", planned.notes));
        assert_eq!((note.field, &note.text[..]), (field, text), "{json}");
        assert!(!planned.expected.is_empty(), "{json}");
    }
}

#[test]
fn the_cautions_are_those_of_the_sheet() {
    let sheet = work(&Job::default()).sheet();
    let lists = sheet.sections.iter().flat_map(|s| &s.blocks);
    let of_sheet = lists.filter_map(|block| match block {
        Block::List(items) => Some(items),
        _ => None,
    });
    let cautions = of("{}").cautions;
    assert_eq!(cautions.len(), 6);
    assert!(of_sheet.into_iter().any(|list| *list == cautions));
}

/// A plan with everything that a change could be made to.
fn changeable() -> Plan {
    let mut asked = bench("25 mT", "0.4 A to 4 A", "0.01 g");
    asked.apparatus.length_uncertainty = "0.5 mm".into();
    asked.noise = "0.02 g".into();
    asked.supply.current_limit = "6 A".into();
    asked.wire.limit = "8 A".into();
    asked
}

fn percent(expected: &Expected) -> f64 {
    expected.standard.unwrap().percent
}

/// The same plan with one value typed anew.
fn retyped(asked: &Plan, change: &str, value: f64) -> Plan {
    let mut again = asked.clone();
    match change {
        "wires" => again.apparatus.wires = value.to_string(),
        "highest_current" => again.current_range = format!("0.4 A to {value} A"),
        "readings" => again.steps = value.to_string(),
        "balance" => again.apparatus.balance_resolution = format!("{} g", value * 1000.0),
        "magnets" => again.flux_density = format!("{value} T"),
        "length" => again.apparatus.length_uncertainty = format!("{value} m"),
        other => panic!("{other}"),
    }
    again
}

#[test]
fn changes_are_ranked_and_do_what_they_say() {
    let asked = changeable();
    let foretold = expected(&asked);
    assert_eq!(foretold.changes.len(), 6);
    let sizes: Vec<f64> = foretold
        .changes
        .iter()
        .map(|c| c.percent.unwrap())
        .collect();
    assert!(sizes.is_sorted(), "{sizes:?}");
    for change in &foretold.changes {
        let after = expected(&retyped(&asked, change.change, change.value));
        close(
            change.change,
            change.percent.unwrap(),
            percent(&after),
            1e-9,
        );
        assert!(percent(&after) < percent(&foretold), "{}", change.change);
    }
    // No further than the smaller of the two limits, and nowhere without one.
    let highest = |e: &Expected| {
        let found = e.changes.iter().find(|c| c.change == "highest_current");
        found.map(|c| c.value)
    };
    assert_eq!(highest(&foretold), Some(6.0));
    assert_eq!(highest(&expected(&bench("25 mT", "4 A", "0.01 g"))), None);
}

#[test]
fn what_is_needed_does_it_and_less_does_not() {
    let mut asked = changeable();
    let mut reached = 0;
    for target in [0.5, 2.0, 3.0, 4.0] {
        asked.target = format!("{target} %");
        let foretold = expected(&asked);
        for need in &foretold.needs {
            let Some(value) = need.standard.value else {
                assert_eq!(need.standard.reached, percent(&foretold) <= target);
                continue;
            };
            let at = |value: f64| percent(&expected(&retyped(&asked, need.change, value)));
            assert!(at(value) <= target, "{}: {value}", need.change);
            // A little less of it: one of a number, a few parts in a hundred of a size.
            let (grows, whole) = match need.change {
                "wires" | "readings" => (true, true),
                "balance" | "length" => (false, false),
                _ => (true, false),
            };
            let less = match (whole, grows) {
                (true, _) => value - 1.0,
                (false, true) => 0.89 * value,
                (false, false) => 1.12 * value,
            };
            assert!(at(less) > target, "{}: {less}, {target} %", need.change);
            reached += 1;
        }
        for need in &foretold.needs {
            let Some(value) = need.school.value else {
                continue;
            };
            let after = expected(&retyped(&asked, need.change, value));
            assert!(after.school.unwrap().percent <= target, "{}", need.change);
        }
    }
    println!("{reached} values reached a target");
    assert!(reached >= 5);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn nothing_typed_makes_it_panic(texts in prop::collection::vec(typed(), 26), seed: u32) {
        let mut texts = texts.into_iter();
        let mut next = || texts.next().unwrap_or_default();
        let mut asked = Plan { seed, ..Plan::default() };
        for field in [
            &mut asked.apparatus.length,
            &mut asked.apparatus.length_uncertainty,
            &mut asked.apparatus.wires,
            &mut asked.apparatus.angle,
            &mut asked.apparatus.gravity,
            &mut asked.apparatus.lever_ratio,
            &mut asked.apparatus.balance_resolution,
            &mut asked.apparatus.current_resolution,
            &mut asked.flux_density,
            &mut asked.current_range,
            &mut asked.steps,
            &mut asked.repeats,
            &mut asked.noise,
            &mut asked.target,
            &mut asked.wire.diameter,
            &mut asked.wire.length,
            &mut asked.wire.turns,
            &mut asked.wire.leads,
            &mut asked.wire.temperature,
            &mut asked.wire.rise,
            &mut asked.wire.cooling,
            &mut asked.wire.limit,
            &mut asked.supply.voltage,
            &mut asked.supply.current_limit,
            &mut asked.place.latitude,
            &mut asked.place.height,
        ] {
            *field = next();
        }
        let planned = plan(&asked);
        prop_assert!(!planned.expected.is_empty());
        prop_assert_eq!(plan(&asked), planned);
    }
}

/// Texts that nearly mean something.
fn typed() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        "[0-9]{1,3}(\\.[0-9]{1,3})?( (A|mA|g|mg|mT|T|cm|mm|m|V|K|°C|%|N|°|SWG|AWG|Ω))?",
        "-?[0-9]{1,2}e-?[0-9]{1,3} ?(A|g|T|m|N)?",
        "[0-9]{1,2} ?(to|-|–) ?[0-9]{1,2} ?(A|mT)?",
        "\\PC{0,12}",
    ]
}

/// The readings that should appear have the sign that poles and current give them, and the paper says what was assumed.
#[test]
fn the_printed_plan_has_signs_and_what_it_rests_on() {
    let text = |current: &str| {
        let planned = of(&format!(
            r#"{{"flux_density":"50 mT","direction":{{"poles":"N left","current":"{current}"}}}}"#
        ));
        printed::kit_sheet("9C", &planned).to_text()
    };
    let (away, towards) = (text("away"), text("towards"));
    assert!(
        away.contains("reading falls") && away.contains("−1.27"),
        "{away}"
    );
    assert!(
        towards.contains("reading rises") && !towards.contains("−1.27"),
        "{towards}"
    );
    for text in [away, towards] {
        let at = |what: &str| text.find(what).expect(what);
        assert!(at("Length in the field: No length") < at("What to expect"));
        assert!(at("Strong magnets snap") < at("What to expect"));
        assert!(text.contains("Switch on only to take a reading"), "{text}");
    }
}
