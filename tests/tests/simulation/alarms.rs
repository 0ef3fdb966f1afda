//! How often each finding speaks where nothing is wrong, against the level that it states.

use yokeline_core::findings::{digits, drift, families, line, repeats, sweeps};
use yokeline_core::job::{Fit, Job, work};

use crate::chance::{Chance, trials};
use crate::practical::{Practical, even_currents, shown, to_step};

const TRIALS: usize = 10_000;

/// Clean practicals of one design.
struct Design {
    name: &'static str,
    /// How many lines such a table has on average: what is tested line by line may speak once for each.
    lines: f64,
    one: fn(&mut Chance) -> Job,
}

/// A finding with a test of significance.
pub struct Test {
    /// Its name for tools.
    pub kind: &'static str,
    /// The level that it states.
    pub level: f64,
    by_line: bool,
    /// Designs in which the test is exact, or a bound that is nearly reached: there the rate must not be far below the
    /// level either.
    near: &'static [&'static str],
    /// Designs in which it is known to speak oftener than it says. Once it does not any more, the name has to go.
    over: &'static [&'static str],
}

/// All of them.
///
/// The strongest of outlier, bend, step, drift and the two sweeps speaks alone, so each lies a little below its level even
/// where its test is exact. Neighbouring places of a step are hardly different questions: the bound for all of them lies
/// well above its rate.
pub const TESTS: &[Test] = &[
    Test {
        near: &["raised", "random order"],
        ..by_line("outlier", line::OUTLIER_LEVEL)
    },
    Test {
        near: &["raised", "random order"],
        ..by_line("bend", line::BEND_LEVEL)
    },
    by_line("step", line::STEP_LEVEL),
    Test {
        near: &["raised", "random order"],
        ..by_line("zero_error", line::ZERO_LEVEL)
    },
    Test {
        near: &["random order"],
        ..by_line("drift", drift::DRIFT_LEVEL)
    },
    Test {
        near: &["both directions"],
        ..by_line("directions_disagree", sweeps::DIRECTIONS_LEVEL)
    },
    Test {
        near: &["up and down"],
        ..by_line("up_and_down_disagree", sweeps::UP_DOWN_LEVEL)
    },
    Test {
        near: &["several wires"],
        ..by_table("lengths_disagree", families::DISAGREE_LEVEL)
    },
    Test {
        near: &["3 repeats", "5 repeats", "rows repeated"],
        ..by_table("repeat_far_off", repeats::REPEAT_LEVEL)
    },
    by_line("repeats_all_equal", repeats::EQUAL_LEVEL),
    by_line("last_digits_alike", digits::DIGITS_LEVEL),
];

const fn by_line(kind: &'static str, level: f64) -> Test {
    Test {
        kind,
        level,
        by_line: true,
        near: &[],
        over: &[],
    }
}

const fn by_table(kind: &'static str, level: f64) -> Test {
    Test {
        by_line: false,
        ..by_line(kind, level)
    }
}

/// Findings without a level that need more than chance: at most one clean practical in a thousand may show them.
const HARDLY_EVER: &[&str] = &[
    "signs_lost",
    "stuck_at_zero",
    "no_change",
    "large_field",
    "force_is_not_mass_times_g",
    "zero_row_contradicted",
    "untared",
];

/// Names of all that is found in a job, each once.
fn kinds(job: &Job) -> Vec<&'static str> {
    let mut names: Vec<&'static str> = work(job).findings.iter().map(|f| f.name()).collect();
    names.sort_unstable();
    names.dedup();
    names
}

fn raised(chance: &mut Chance) -> Job {
    let count = chance.whole(8, 12);
    let bench = Practical::sweep(chance, count);
    let readings = bench.readings(chance);
    bench.plain(&readings)
}

/// The line is forced through the origin; what is found must not come of that.
fn raised_through_origin(chance: &mut Chance) -> Job {
    Job {
        fit: Fit::ThroughOrigin,
        ..raised(chance)
    }
}

fn random_order(chance: &mut Chance) -> Job {
    let count = chance.whole(8, 12);
    let mut bench = Practical::sweep(chance, count);
    chance.shuffle(&mut bench.currents);
    let readings = bench.readings(chance);
    bench.plain(&readings)
}

fn turned(chance: &mut Chance, bench: Practical) -> Job {
    let mut bench = bench;
    let back: Vec<f64> = bench.currents.iter().rev().copied().collect();
    bench.currents.extend(back);
    let readings = bench.readings(chance);
    bench.plain(&readings)
}

fn up_and_down(chance: &mut Chance) -> Job {
    let count = chance.whole(4, 7);
    let bench = Practical::sweep(chance, count);
    turned(chance, bench)
}

fn both_directions(chance: &mut Chance) -> Job {
    let count = chance.whole(4, 7);
    let mut bench = Practical::sweep(chance, count);
    let reversed: Vec<f64> = bench.currents.iter().map(|i| -i).collect();
    bench.currents.extend(reversed);
    chance.shuffle(&mut bench.currents);
    let readings = bench.readings(chance);
    bench.plain(&readings)
}

/// Columns of repeats beside each current.
pub fn with_repeats(bench: &Practical, columns: &[Vec<f64>]) -> Job {
    let headings: Vec<String> = (1..=columns.len()).map(|k| format!("m{k} / g")).collect();
    let mut table = format!("I / A\t{}\n", headings.join("\t"));
    for (row, current) in bench.currents.iter().enumerate() {
        let cells: Vec<String> = columns.iter().map(|column| shown(column[row])).collect();
        table.push_str(&format!("{current:.2}\t{}\n", cells.join("\t")));
    }
    bench.job(table)
}

fn repeated(chance: &mut Chance, bench: &Practical, repeats: usize) -> Job {
    let columns: Vec<Vec<f64>> = (0..repeats).map(|_| bench.readings(chance)).collect();
    with_repeats(bench, &columns)
}

fn three_repeats(chance: &mut Chance) -> Job {
    let count = chance.whole(6, 10);
    let bench = Practical::sweep(chance, count);
    repeated(chance, &bench, 3)
}

fn five_repeats(chance: &mut Chance) -> Job {
    let count = chance.whole(6, 10);
    let bench = Practical::sweep(chance, count);
    repeated(chance, &bench, 5)
}

/// Every current three times, in rows of their own.
fn repeats_in_rows(chance: &mut Chance) -> Job {
    let count = chance.whole(4, 6);
    let mut bench = Practical::sweep(chance, count);
    bench.currents = bench.currents.repeat(3);
    let readings = bench.readings(chance);
    bench.plain(&readings)
}

/// A table of two to four numbers of wires.
fn several_wires(chance: &mut Chance) -> Job {
    let bench = Practical::draw(chance);
    of_several_wires(chance, bench)
}

fn of_several_wires(chance: &mut Chance, mut bench: Practical) -> Job {
    let mut table = String::from("N\tI / A\tm / g\n");
    for wires in 1..=chance.whole(2, 4) {
        bench.wires = wires;
        let count = chance.whole(5, 8);
        bench.currents = even_currents(chance, count);
        for (current, reading) in bench.currents.iter().zip(bench.readings(chance)) {
            table.push_str(&format!("{wires}\t{current:.2}\t{}\n", shown(reading)));
        }
    }
    bench.job(table)
}

/// A scatter of up to one step: what a good balance in a quiet room does.
fn quiet(chance: &mut Chance, count: usize) -> Practical {
    let bench = Practical::sweep(chance, count);
    Practical {
        scatter_g: to_step(chance.between(0.0, 0.01), 0.001),
        ..bench
    }
}

fn raised_quietly(chance: &mut Chance) -> Job {
    let count = chance.whole(5, 12);
    let bench = quiet(chance, count);
    let readings = bench.readings(chance);
    bench.plain(&readings)
}

fn random_order_quietly(chance: &mut Chance) -> Job {
    let count = chance.whole(6, 12);
    let mut bench = quiet(chance, count);
    chance.shuffle(&mut bench.currents);
    let readings = bench.readings(chance);
    bench.plain(&readings)
}

fn up_and_down_quietly(chance: &mut Chance) -> Job {
    let count = chance.whole(4, 7);
    let bench = quiet(chance, count);
    turned(chance, bench)
}

fn three_repeats_quietly(chance: &mut Chance) -> Job {
    let count = chance.whole(6, 10);
    let bench = quiet(chance, count);
    repeated(chance, &bench, 3)
}

fn several_wires_quietly(chance: &mut Chance) -> Job {
    let bench = quiet(chance, 5);
    of_several_wires(chance, bench)
}

const DESIGNS: &[Design] = &[
    design("raised", raised),
    design("through origin", raised_through_origin),
    design("random order", random_order),
    design("up and down", up_and_down),
    design("both directions", both_directions),
    design("3 repeats", three_repeats),
    design("5 repeats", five_repeats),
    design("rows repeated", repeats_in_rows),
    Design {
        lines: 3.0,
        ..design("several wires", several_wires)
    },
    design("raised, quiet", raised_quietly),
    design("random, quiet", random_order_quietly),
    design("up/down, quiet", up_and_down_quietly),
    design("repeats, quiet", three_repeats_quietly),
    Design {
        lines: 3.0,
        ..design("wires, quiet", several_wires_quietly)
    },
];

const fn design(name: &'static str, one: fn(&mut Chance) -> Job) -> Design {
    Design {
        name,
        lines: 1.0,
        one,
    }
}

#[test]
fn findings_speak_no_oftener_than_they_say() {
    let mut counts: Vec<Vec<(&'static str, usize)>> = Vec::new();
    let mut any = Vec::new();
    for design in DESIGNS {
        let told = trials(design.name, TRIALS, |chance| kinds(&(design.one)(chance)));
        let mut of_design: Vec<(&'static str, usize)> = Vec::new();
        for kind in told.iter().flatten() {
            match of_design.iter_mut().find(|c| c.0 == *kind) {
                Some(count) => count.1 += 1,
                None => of_design.push((kind, 1)),
            }
        }
        let tested = |kinds: &&Vec<&str>| TESTS.iter().any(|t| kinds.contains(&t.kind));
        any.push(told.iter().filter(tested).count());
        counts.push(of_design);
    }
    let rate = |design: usize, kind: &str| {
        let count = counts[design].iter().find(|c| c.0 == kind);
        count.map_or(0.0, |c| c.1 as f64 / TRIALS as f64)
    };
    let mut kinds: Vec<&str> = TESTS.iter().map(|t| t.kind).collect();
    for (kind, _) in counts.iter().flatten() {
        if !kinds.contains(kind) {
            kinds.push(kind);
        }
    }
    let mut table = format!("{:<32} level", "false alarms in %");
    for design in DESIGNS {
        table.push_str(&format!(" {:>15}", design.name));
    }
    let mut wrong = Vec::new();
    for kind in kinds {
        let test = TESTS.iter().find(|t| t.kind == kind);
        let level = test.map_or("-".into(), |t| format!("{:.1}", 100.0 * t.level));
        table.push_str(&format!("\n{kind:<32} {level:>5}"));
        for (i, design) in DESIGNS.iter().enumerate() {
            let rate = rate(i, kind);
            table.push_str(&format!(" {:>15.2}", 100.0 * rate));
            if let Some(test) = test {
                let lines = if test.by_line { design.lines } else { 1.0 };
                let level = lines * test.level;
                let three_sigma = 3.0 * (level * (1.0 - level) / TRIALS as f64).sqrt();
                let over = test.over.contains(&design.name);
                if over != (rate > level + three_sigma) {
                    let how = if over { "no longer" } else { "now" };
                    wrong.push(format!("{kind} {how} too often: {}", design.name));
                }
                if test.near.contains(&design.name) && rate < 0.6 * test.level {
                    wrong.push(format!("{kind} too seldom: {}", design.name));
                }
            }
            if HARDLY_EVER.contains(&kind) && rate > 0.001 {
                wrong.push(format!("{kind} for no reason: {}", design.name));
            }
        }
    }
    table.push_str(&format!("\n{:<38}", "any of those with a level"));
    for any in any {
        table.push_str(&format!(" {:>15.2}", 100.0 * any as f64 / TRIALS as f64));
    }
    println!("{table}\n");
    assert!(wrong.is_empty(), "{wrong:#?}\n{table}");
}
