//! The checker against simulated students: how often the true slip is named first, how often the true pair is among those
//! told, how often a right answer is accused.

use yokeline_core::check::slips::{About, SLIPS, Slip};
use yokeline_core::check::{Answers, Facts, Judged, Stage, Verdict, check};
use yokeline_core::figures::Unit;
use yokeline_core::figures::round::to_significant;
use yokeline_core::job::{Apparatus, Job, Probe, Working, work};

use crate::chance::{Chance, trials};

/// Students of each kind.
pub const STUDENTS: usize = 8_000;

/// A class's practical: invented, with what a school would have.
pub fn practical(chance: &mut Chance) -> Working {
    let length_mm = chance.whole(20, 80) as f64;
    let wires = [1.0, 1.0, 1.0, 2.0, 3.0, 5.0][chance.whole(0, 5)];
    let tesla = chance.between(0.02, 0.15);
    let count = chance.whole(6, 10);
    let milli = chance.unit() < 0.2;
    let angle = if chance.unit() < 0.15 {
        Some(chance.whole(3, 8) as f64 * 10.0)
    } else {
        None
    };
    let sine = angle.map_or(1.0, |a| libm::sin(a.to_radians()));
    let gradient = tesla * wires * length_mm / 1000.0 * sine / 9.81 * 1000.0;
    let noise = 0.01 * chance.between(0.3, 1.5);
    let zero = chance.normal() * 0.01;
    let repeats = if chance.unit() < 0.3 { 3 } else { 1 };
    let unit = if milli { "mA" } else { "A" };
    let mut table = format!("I / {unit}");
    for k in 1..=repeats {
        table.push_str(&format!("\tm{k} / g"));
    }
    table.push('\n');
    for i in 1..=count {
        let current = 0.5 * i as f64;
        if milli {
            table.push_str(&format!("{:.0}", 1000.0 * current));
        } else {
            table.push_str(&format!("{current:.2}"));
        }
        for _ in 0..repeats {
            let m = gradient * current + zero + noise * chance.normal();
            table.push_str(&format!("\t{m:.2}"));
        }
        table.push('\n');
    }
    let length = if chance.unit() < 0.6 {
        format!("{:.1} cm", length_mm / 10.0)
    } else {
        format!("{length_mm:.0} mm")
    };
    work(&Job {
        table,
        apparatus: Apparatus {
            length,
            length_uncertainty: "1 mm".into(),
            wires: format!("{wires:.0}"),
            angle: angle.map(|a| format!("{a:.0}°")).unwrap_or_default(),
            ..Apparatus::default()
        },
        probe: Probe {
            reading: format!("{:.1} mT", 1000.0 * tesla * chance.between(0.9, 1.1)),
            uncertainty: "2 mT".into(),
        },
        ..Job::default()
    })
}

/// A student's own reading of the gradient from a line drawn by eye, SI.
pub fn by_eye(facts: &Facts, chance: &mut Chance) -> f64 {
    let (low, high) = facts.gradient_range();
    let half = (high - low) / 2.0;
    let off = (0.35 * half * chance.normal()).clamp(-0.95 * half, 0.95 * half);
    facts.gradient() + off
}

/// What a student writes down, with their gradient or without it.
fn written(
    facts: &Facts,
    chance: &mut Chance,
    gradient: f64,
    of_gradient: f64,
    of_field: f64,
    with_gradient: bool,
    unit: Option<Unit>,
) -> Answers {
    let own = gradient * of_gradient;
    let shown = to_significant(own / facts.gradient_unit_si(), 3);
    // They go on with what they wrote down.
    let carried: f64 = shown.parse().unwrap();
    let base = if with_gradient {
        carried * facts.gradient_unit_si()
    } else {
        own
    };
    let tesla = base * facts.flux.unwrap().per_gradient * of_field;
    let either = if chance.unit() < 0.7 {
        Unit::MILLITESLA
    } else {
        Unit::TESLA
    };
    let unit = unit.unwrap_or(either);
    let value = unit.from_si(tesla);
    Answers {
        gradient: if with_gradient {
            format!("{shown} {}", facts.gradient_unit())
        } else {
            String::new()
        },
        flux_density: format!("{} {}", to_significant(value, 3), unit.symbol()),
        ..Answers::default()
    }
}

/// The slips that change something in these readings, with one of their factors.
fn makeable<'a>(
    facts: &Facts,
    chance: &mut Chance,
    only: impl Fn(&Slip) -> bool,
) -> Vec<(&'a Slip, f64)> {
    let mut found = Vec::new();
    for slip in SLIPS.iter().filter(|s| only(s)) {
        let factors: Vec<f64> = (slip.change)(facts)
            .into_iter()
            // What is closer than a line drawn by eye can tell is no slip that anybody could see.
            .filter(|f| f.is_finite() && *f > 0.0 && (f - 1.0).abs() > 0.015)
            .collect();
        if !factors.is_empty() {
            found.push((slip, factors[chance.whole(0, factors.len() - 1)]));
        }
    }
    found
}

fn draw<'a>(chance: &mut Chance, among: &[(&'a Slip, f64)]) -> (&'a Slip, f64) {
    let total: f64 = among.iter().map(|(s, _)| s.share).sum();
    let mut left = chance.unit() * total;
    for one in among {
        left -= one.0.share;
        if left <= 0.0 {
            return *one;
        }
    }
    among[among.len() - 1]
}

fn stage(judged: &[Judged], stage: Stage) -> Option<&Judged> {
    judged.iter().find(|j| j.stage == stage)
}

/// What became of one student with slips: the place of the truth among what was told, or the verdict instead.
#[derive(Clone, Debug, PartialEq)]
enum Told {
    /// Named first, or alike in effect with what is named first.
    First {
        alike: bool,
    },
    Later,
    Other(Vec<&'static str>),
    Verdict(Verdict),
}

fn outcome(facts: &Facts, judged: &Judged, truth: &[&'static str], factor: f64) -> Told {
    if judged.slips.is_empty() {
        return Told::Verdict(judged.verdict);
    }
    let same = |names: &Vec<&'static str>| {
        let mut names = names.clone();
        names.sort_unstable();
        let mut truth = truth.to_vec();
        truth.sort_unstable();
        names == truth
    };
    if same(&judged.slips[0]) {
        return Told::First { alike: false };
    }
    if judged.slips.iter().any(same) {
        // Grams left in and millitesla written as tesla give one and the same number: nobody can tell them apart.
        let first = &judged.slips[0];
        let predicted: f64 = first
            .iter()
            .filter_map(|n| SLIPS.iter().find(|s| s.name == *n))
            .map(|s| {
                let factors = (s.change)(facts);
                let near = |f: &f64| {
                    libm::log(f.abs().max(1e-300) / factor.abs().powf(1.0 / first.len() as f64))
                        .abs()
                };
                factors
                    .into_iter()
                    .min_by(|a, b| near(a).total_cmp(&near(b)))
                    .unwrap_or(1.0)
            })
            .product();
        if (predicted / factor - 1.0).abs() < 0.004 {
            return Told::First { alike: true };
        }
        return Told::Later;
    }
    Told::Other(judged.slips[0].clone())
}

#[test]
fn right_answers_are_not_accused() {
    let told = trials("right students", STUDENTS, |chance| {
        let working = practical(chance);
        let facts = Facts::of(&working)?;
        facts.flux?;
        let with_gradient = chance.unit() < 0.5;
        let gradient = by_eye(&facts, chance);
        let answers = written(&facts, chance, gradient, 1.0, 1.0, with_gradient, None);
        let judged = check(&working, &answers);
        let accused = judged.iter().find(|j| !j.verdict.is_right()).map(|j| {
            format!(
                "{:?} {:?} {:?}: {answers:?}, right {}",
                j.stage, j.verdict, j.slips, j.right
            )
        });
        Some(accused)
    });
    let told: Vec<Option<String>> = told.into_iter().flatten().collect();
    let accused: Vec<&String> = told.iter().flatten().collect();
    let rate = accused.len() as f64 / told.len() as f64;
    println!(
        "right answers not called right: {:.2} % of {}",
        100.0 * rate,
        told.len()
    );
    for one in accused.iter().take(5) {
        println!("  {one}");
    }
    assert!(rate <= 0.005, "{rate}");
}

/// Draws slips, lets the student make them, and tells what became of them.
fn slipped(chance: &mut Chance, count: usize) -> Option<(Vec<&'static str>, Told, Answers)> {
    let working = practical(chance);
    let facts = Facts::of(&working)?;
    facts.flux?;
    let with_gradient = chance.unit() < 0.5;
    let all = makeable(&facts, chance, |_| true);
    let mut slips = vec![draw(chance, &all)];
    if count == 2 {
        let first = slips[0].0;
        // Both in one number: with the gradient written down, one before it and one after it are two single slips.
        let others: Vec<(&Slip, f64)> = all
            .iter()
            .filter(|(s, _)| s.about != first.about)
            .filter(|(s, _)| {
                !with_gradient || s.about.is_of_gradient() == first.about.is_of_gradient()
            })
            .copied()
            .collect();
        if others.is_empty() {
            return None;
        }
        slips.push(draw(chance, &others));
    }
    let part = |of_gradient: bool| -> f64 {
        slips
            .iter()
            .filter(|(s, _)| s.about.is_of_gradient() == of_gradient)
            .map(|s| s.1)
            .product()
    };
    let (of_gradient, of_field) = (part(true), part(false));
    let factor = of_gradient * of_field;
    // Slips that undo each other, or change less than a line drawn by eye, leave a right answer.
    let (low, high) = facts.gradient_range();
    let range = (high - low) / facts.gradient().abs();
    if (factor - 1.0).abs() < 0.02 + range {
        return None;
    }
    // A line drawn by eye has its freedom; readings that are divided have none, and what is turned over turns it over.
    let by_eye = by_eye(&facts, chance);
    let upside_down = slips.iter().any(|s| s.0.name == "gradient_upside_down");
    let from_the_line = !slips.iter().any(|s| s.0.about == About::Gradient);
    let gradient = if upside_down {
        facts.gradient() * facts.gradient() / by_eye
    } else if from_the_line {
        by_eye
    } else {
        facts.gradient()
    };
    // A slip of the unit is one in that unit only.
    let unit = slips.iter().find_map(|(slip, _)| match slip.about {
        About::AnswerUnit(unit) => Some(unit),
        _ => None,
    });
    let answers = written(
        &facts,
        chance,
        gradient,
        of_gradient,
        of_field,
        with_gradient,
        unit,
    );
    let judged = check(&working, &answers);
    let in_gradient = slips.iter().all(|s| s.0.about.is_of_gradient());
    let at = if with_gradient && in_gradient {
        Stage::Gradient
    } else {
        Stage::FluxDensity
    };
    let names: Vec<&'static str> = slips.iter().map(|s| s.0.name).collect();
    let told = outcome(&facts, stage(&judged, at)?, &names, factor);
    Some((names, told, answers))
}

fn report(what: &str, of: &[(Vec<&'static str>, Told, Answers)]) -> (f64, f64) {
    let n = of.len() as f64;
    let share = |is: &dyn Fn(&Told) -> bool| of.iter().filter(|o| is(&o.1)).count() as f64 / n;
    let first = share(&|t| matches!(t, Told::First { .. }));
    let strictly = share(&|t| matches!(t, Told::First { alike: false }));
    let told = first + share(&|t| matches!(t, Told::Later));
    let other = share(&|t| matches!(t, Told::Other(_)));
    println!(
        "{what}: {} students; first {:.1} % (by name {:.1} %), among those told {:.1} %, another told {:.1} %, none {:.1} %",
        of.len(),
        100.0 * first,
        100.0 * strictly,
        100.0 * told,
        100.0 * other,
        100.0 * (1.0 - told - other)
    );
    let mut misses: Vec<(String, usize)> = Vec::new();
    for (names, told, _) in of {
        let became = match told {
            Told::First { .. } => continue,
            Told::Later => "told later".to_owned(),
            Told::Other(other) => other.join(" + "),
            Told::Verdict(verdict) => format!("{verdict:?}"),
        };
        let miss = format!("{} -> {became}", names.join(" + "));
        match misses.iter_mut().find(|m| m.0 == miss) {
            Some(known) => known.1 += 1,
            None => misses.push((miss, 1)),
        }
    }
    misses.sort_by_key(|m| std::cmp::Reverse(m.1));
    for (miss, times) in misses.iter().take(14) {
        println!("  {times:>5}  {miss}");
    }
    (first, told)
}

#[test]
fn a_single_slip_is_named_first() {
    let told: Vec<_> = trials("one slip", STUDENTS, |chance| slipped(chance, 1))
        .into_iter()
        .flatten()
        .collect();
    let (first, _) = report("one slip", &told);
    assert!(first >= 0.95, "{first}");
}

#[test]
fn a_pair_is_among_those_told() {
    let told: Vec<_> = trials("two slips", STUDENTS, |chance| slipped(chance, 2))
        .into_iter()
        .flatten()
        .collect();
    let (_, among) = report("two slips", &told);
    assert!(among >= 0.80, "{among}");
}
