//! The checker against simulated students who give the averaged readings that they plotted: how often right ones are called
//! right, how often a slip of averaging is named first, how often what follows from wrong ones is seen to follow.

use yokeline_core::check::points::{POINT_SLIPS, Parts};
use yokeline_core::check::{Answers, Facts, Judged, Verdict, check};
use yokeline_core::figures::Unit;
use yokeline_core::figures::round::{to_decimals, to_significant};
use yokeline_core::job::Working;

use crate::chance::{Chance, trials};
use crate::students::{STUDENTS, by_eye, practical};

/// The list as it is written: in g as the balance shows it, with one place more, or in mg; parted in one way or another.
fn list(chance: &mut Chance, facts: &Facts, values_si: &[f64]) -> String {
    let places = facts.readings().y_decimals + chance.whole(0, 1) as i32;
    let milligrams = chance.unit() < 0.1;
    let shown: Vec<String> = values_si
        .iter()
        .map(|si| {
            if milligrams {
                format!(
                    "{} mg",
                    to_decimals(Unit::MILLIGRAM.from_si(*si), places - 3)
                )
            } else {
                to_decimals(Unit::GRAM.from_si(*si), places)
            }
        })
        .collect();
    let comma = chance.unit() < 0.2;
    let text = shown.join(["; ", "\n", "\t"][chance.whole(0, 2)]);
    if comma { text.replace('.', ",") } else { text }
}

fn right_values(working: &Working) -> Vec<f64> {
    working.readings.points.iter().map(|p| p.y).collect()
}

fn judged(
    working: &Working,
    points: String,
    gradient: String,
    flux_density: String,
) -> Vec<Judged> {
    let answers = Answers {
        points,
        gradient,
        flux_density,
        ..Answers::default()
    };
    check(working, &answers)
}

#[test]
fn right_points_are_not_accused() {
    let told = trials("right points", STUDENTS, |chance| {
        let working = practical(chance);
        let facts = Facts::of(&working)?;
        let text = list(chance, &facts, &right_values(&working));
        let found = judged(&working, text.clone(), String::new(), String::new());
        Some((found[0].verdict == Verdict::Right, text))
    });
    let told: Vec<(bool, String)> = told.into_iter().flatten().collect();
    let accused: Vec<&String> = told.iter().filter(|t| !t.0).map(|t| &t.1).collect();
    println!(
        "right points not called right: {} of {}",
        accused.len(),
        told.len()
    );
    for text in accused.iter().take(5) {
        println!("  {text:?}");
    }
    assert!(accused.is_empty());
}

/// What became of a list with a slip in it.
struct Slipped {
    name: &'static str,
    judged: Judged,
    /// Whether a gradient that follows from it is seen to follow, and a B.
    gradient_follows: bool,
    field_follows: bool,
}

fn slipped(chance: &mut Chance) -> Option<Slipped> {
    let working = practical(chance);
    let facts = Facts::of(&working)?;
    let flux = facts.flux?;
    let right = right_values(&working);
    let mut made: Vec<(&'static str, Vec<f64>)> = Vec::new();
    let parts = Parts::of(&facts, &working.readings.points);
    for slip in POINT_SLIPS {
        let lists = (slip.change)(&parts);
        made.extend(lists.into_iter().map(|values| (slip.name, values)));
    }
    let mut one_row = right.clone();
    let row = chance.whole(0, right.len() - 1);
    one_row[row] *= [0.1, 0.5, 2.0][chance.whole(0, 2)];
    made.push(("arithmetic_in_one_row", one_row));
    // What the step of the balance hides is no slip that anybody could see.
    let step = working.readings.resolution?;
    let shows = |values: &[f64]| {
        let off = values
            .iter()
            .zip(&right)
            .filter(|(a, b)| (*a - *b).abs() > 1.6 * step);
        off.count()
    };
    made.retain(|(name, values)| {
        shows(values)
            >= if *name == "arithmetic_in_one_row" {
                1
            } else {
                2
            }
    });
    if made.is_empty() {
        return None;
    }
    let (name, values) = made.swap_remove(chance.whole(0, made.len() - 1));
    let own_series = facts.series_of(&values)?;
    let own = facts.with(&own_series)?;
    let shown = to_significant(by_eye(&own, chance) / own.gradient_unit_si(), 3);
    let carried: f64 = shown.parse().ok()?;
    let tesla = carried * own.gradient_unit_si() * flux.per_gradient;
    let found = judged(
        &working,
        list(chance, &facts, &values),
        format!("{shown} {}", own.gradient_unit()),
        format!("{} mT", to_significant(1000.0 * tesla, 3)),
    );
    let follows = |j: &Judged| j.verdict == Verdict::Carried || j.verdict.is_right();
    let (gradient_follows, field_follows) = (follows(&found[1]), follows(&found[2]));
    Some(Slipped {
        name,
        judged: found.into_iter().next()?,
        gradient_follows,
        field_follows,
    })
}

#[test]
fn a_slip_of_averaging_is_named_first_and_carried_forward() {
    let told: Vec<_> = trials("slips in points", STUDENTS, slipped)
        .into_iter()
        .flatten()
        .collect();
    let share = |is: &dyn Fn(&Slipped) -> bool| {
        told.iter().filter(|t| is(t)).count() as f64 / told.len() as f64
    };
    let first = share(&|t| t.judged.slips.first().is_some_and(|s| s == &[t.name]));
    let among = share(&|t| t.judged.slips.iter().any(|s| s == &[t.name]));
    let (gradient, field) = (share(&|t| t.gradient_follows), share(&|t| t.field_follows));
    println!(
        "slips in points: {} students; first {:.1} %, among those told {:.1} %; gradient follows {:.1} %, B follows {:.1} %",
        told.len(),
        100.0 * first,
        100.0 * among,
        100.0 * gradient,
        100.0 * field
    );
    let mut misses: Vec<(String, usize)> = Vec::new();
    for missed in told
        .iter()
        .filter(|t| t.judged.slips.iter().all(|s| s != &[t.name]))
    {
        let miss = format!(
            "{} -> {:?} {:?}",
            missed.name, missed.judged.verdict, missed.judged.slips
        );
        match misses.iter_mut().find(|m| m.0 == miss) {
            Some(known) => known.1 += 1,
            None => misses.push((miss, 1)),
        }
    }
    misses.sort_by_key(|m| std::cmp::Reverse(m.1));
    for (miss, times) in misses.iter().take(10) {
        println!("  {times:>5}  {miss}");
    }
    assert!(first >= 0.95 && among >= 0.98, "{first} {among}");
    assert!(gradient >= 0.99 && field >= 0.99, "{gradient} {field}");
}
