//! Which way things are pushed, against the vector product and a textbook.

use yokeline_core::plan::direction::{Flow, Poles, Push, Reading, Way};
use yokeline_core::plan::{Direction, Plan, plan};

/// F = I L × B by the permutation symbol, in axes x right, y up, z towards the eye.
fn force(current: [i32; 3], field: [i32; 3]) -> [i32; 3] {
    let mut force = [0; 3];
    for (i, part) in force.iter_mut().enumerate() {
        for (j, along) in current.iter().enumerate() {
            for (k, across) in field.iter().enumerate() {
                let (i, j, k) = (i as i32, j as i32, k as i32);
                *part += (i - j) * (j - k) * (k - i) / 2 * along * across;
            }
        }
    }
    force
}

#[test]
fn all_eight_ways_follow_the_vector_product() {
    let mut rising = 0;
    for (poles, field_x) in [(Poles::NorthLeft, 1), (Poles::NorthRight, -1)] {
        for (flow, current_z) in [(Flow::Towards, 1), (Flow::Away, -1)] {
            for wire_on_balance in [false, true] {
                let way = Way {
                    poles,
                    flow,
                    wire_on_balance,
                };
                let [x, up, z] = force([0, 0, current_z], [field_x, 0, 0]);
                assert_eq!((x, up.abs(), z), (0, 1, 0));
                let push = |up: i32| if up > 0 { Push::Up } else { Push::Down };
                let found = way.outcome();
                assert_eq!(found.on_wire, push(up), "{way:?}");
                assert_eq!(found.on_magnet, push(-up), "{way:?}");
                // What stands on the pan weighs more when it is pushed down.
                let down_on_pan = if wire_on_balance { -up } else { up };
                let rises = down_on_pan > 0;
                assert_eq!(found.reading == Reading::Rises, rises, "{way:?}");
                assert_eq!(way.disagrees(-0.2), rises, "{way:?}");
                assert_eq!(way.disagrees(0.2), !rises, "{way:?}");
                assert!(!way.disagrees(0.0) && !way.disagrees(f64::NAN));
                rising += usize::from(rises);
            }
        }
    }
    assert_eq!(rising, 4);
}

/// OpenStax, University Physics Volume 2, example 11.5: current along +y, field along +x, force along -z. With its x to the
/// right and its y towards the eye, its z points down.
#[test]
fn the_way_of_a_textbook() {
    let way = Way {
        poles: Poles::NorthLeft,
        flow: Flow::Towards,
        wire_on_balance: false,
    };
    assert_eq!(way.outcome().on_wire, Push::Up);
    assert_eq!(way.outcome().reading, Reading::Rises);
}

#[test]
fn ways_may_be_typed_in_words() {
    for (poles, current, on_balance, reading) in [
        ("N left", "away", "", Reading::Falls),
        ("S on the right", "into the page", "magnet", Reading::Falls),
        ("north right", "Away", "", Reading::Rises),
        ("N left", "out of the page", "", Reading::Rises),
        ("N left", "towards", "the wire", Reading::Falls),
    ] {
        let planned = plan(&Plan {
            direction: Direction {
                poles: poles.into(),
                current: current.into(),
                on_balance: on_balance.into(),
            },
            ..Plan::default()
        });
        let found = planned
            .direction
            .unwrap_or_else(|| panic!("{poles}, {current}"));
        assert_eq!(found.reading, reading, "{poles}, {current}, {on_balance}");
        let word = if reading == Reading::Rises {
            "rises."
        } else {
            "falls."
        };
        assert!(found.text.ends_with(word), "{}", found.text);
    }
}
