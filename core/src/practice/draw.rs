//! The readings of one bench: what its instruments show, as the table that a student would have.

use crate::figures::round;
use crate::job::{Apparatus, Job, Varied};

use super::bench::{Bench, GRAVITY};
use super::chance::{Chance, Source};
use super::recipe::{Recipe, Way};
use super::{Fault, Truth, words};

/// The most numbers of wires of a table in which they are varied.
const MOST_SERIES: u32 = 4;

/// Job and truth of one student, and notes on what they cannot show. The recipe must be within its limits.
pub(super) fn draw(recipe: &Recipe, seed: u32, student: u32) -> (Job, Truth, Vec<String>) {
    let mut source = Source::of(seed, student, recipe.strand);
    let bench = Bench::draw(recipe, &mut source);
    let mut of_lengths = source.part();
    let error_m = |chance: &mut Chance| {
        // Beyond three standard deviations the student would have seen it.
        recipe.length_uncertainty_m * chance.normal().clamp(-3.0, 3.0)
    };
    let mut true_m = bench.measured_m + error_m(&mut of_lengths);
    let mut places = places(recipe, &bench, true_m);
    if recipe.way == Way::Length {
        // Each wire was measured by itself; the longest comes last.
        for place in &mut places {
            place.length_m += error_m(&mut of_lengths);
            true_m = place.length_m;
        }
    }
    let mut of_order = source.part();
    if recipe.faults.mixed_order {
        // Each number of wires is read to its end before the next is put in.
        for series in places.chunk_by_mut(|a, b| a.wires == b.wires) {
            of_order.shuffle(series);
        }
    }
    let outlier = outlier(recipe, &bench, &places, source.part());
    let drawn = Drawn {
        recipe,
        bench: &bench,
        outlier,
    };
    let table = drawn.table(&places, &mut source);
    let (gradients, largest_g) = gradients(recipe, &bench, true_m);
    let mut notes = Vec::new();
    notes.extend(words::of_signal(largest_g, recipe.balance_step_g));
    drawn.what_hardly_shows(places.len(), &mut notes);
    let faults = drawn.faults(&places);
    let truth = Truth {
        flux_density_t: bench.flux_density_t,
        flux_density: words::tesla(bench.flux_density_t),
        length_m: true_m,
        wires: bench.wires,
        gradients,
        faults,
    };
    (job(recipe, &bench, table, seed, student), truth, notes)
}

/// One row before it is read.
struct Place {
    wires: u32,
    length_m: f64,
    sine: f64,
    /// The current that is set, in steps of the ammeter.
    current_a: f64,
    /// What the row says before its readings.
    cells: Vec<String>,
}

impl Place {
    /// What each ampere adds to the reading, g.
    fn push(&self, bench: &Bench) -> f64 {
        bench.g_per_a(self.wires, self.length_m) * self.sine
    }
}

/// Which of all readings, from 0, goes wrong, and by how many g.
fn outlier(recipe: &Recipe, bench: &Bench, places: &[Place], mut chance: Chance) -> (usize, f64) {
    let reading = chance.below(places.len() * repeats(recipe));
    let push = places
        .get(reading / repeats(recipe))
        .map_or(0.0, |place| place.push(bench) * place.current_a);
    let size = bench.outlier_g.abs();
    // A small reading does not change its sign: that would be another fault.
    let off = if push.abs() <= size && push != 0.0 {
        size.copysign(push)
    } else {
        bench.outlier_g
    };
    (reading, off)
}

/// All rows, in the order of a table that is not mixed.
fn places(recipe: &Recipe, bench: &Bench, true_m: f64) -> Vec<Place> {
    let count = recipe.readings;
    let last = f64::from(count.saturating_sub(1).max(1));
    let whole = Place {
        wires: bench.wires,
        length_m: true_m,
        sine: 1.0,
        current_a: shown_value(recipe.current_a.high, recipe.ammeter_step_a),
        cells: Vec::new(),
    };
    let mut places = Vec::new();
    match recipe.way {
        Way::Current | Way::Wires => {
            for wires in series(recipe, bench) {
                for k in 0..count {
                    let range = recipe.current_a;
                    let current = range.low + (range.high - range.low) * f64::from(k) / last;
                    let ways: &[f64] = if recipe.faults.reversed_current {
                        &[1.0, -1.0]
                    } else {
                        &[1.0]
                    };
                    for way in ways {
                        let mut cells = Vec::new();
                        if recipe.way == Way::Wires {
                            cells.push(wires.to_string());
                        }
                        cells.push(shown(way * current, recipe.ammeter_step_a));
                        places.push(Place {
                            wires,
                            current_a: shown_value(way * current, recipe.ammeter_step_a),
                            cells,
                            ..whole
                        });
                    }
                }
            }
        }
        Way::Angle => {
            for k in 0..count {
                let degrees = shown(90.0 * f64::from(k) / last, 1.0);
                let radians = degrees.parse().unwrap_or(0.0) * (std::f64::consts::PI / 180.0);
                places.push(Place {
                    sine: libm::sin(radians),
                    cells: vec![degrees],
                    ..whole
                });
            }
        }
        Way::Length => {
            let mut apart = 1000.0 * bench.measured_m / f64::from(count);
            if recipe.length_m.low < recipe.length_m.high {
                // Nobody cuts wires to uneven steps without need.
                apart = shown_value(apart, 1.0);
            }
            for k in 1..=count {
                let millimetres = shown_value(apart * f64::from(k), 1.0);
                places.push(Place {
                    length_m: millimetres / 1000.0,
                    cells: vec![words::centimetres(
                        millimetres / 1000.0,
                        recipe.length_uncertainty_m,
                    )],
                    ..whole
                });
            }
        }
    }
    places
}

/// The numbers of wires, one for each series.
fn series(recipe: &Recipe, bench: &Bench) -> Vec<u32> {
    match recipe.way {
        Way::Wires => {
            let count = bench.wires.min(MOST_SERIES);
            (1..=count)
                .map(|k| (2 * bench.wires * k + count) / (2 * count))
                .collect()
        }
        _ => vec![bench.wires],
    }
}

/// True gradients in SI, and the largest change of the reading, g.
fn gradients(recipe: &Recipe, bench: &Bench, true_m: f64) -> (Vec<f64>, f64) {
    let current_a = recipe.current_a.high;
    let per_a = |wires| bench.g_per_a(wires, true_m) / 1000.0;
    let largest_g = 1000.0 * per_a(bench.wires) * current_a;
    let gradients = match recipe.way {
        Way::Current | Way::Wires => series(recipe, bench).into_iter().map(per_a).collect(),
        Way::Angle => vec![per_a(bench.wires) * current_a],
        // Against the length of all wires together.
        Way::Length => vec![bench.g_per_a(1, 1.0) / 1000.0 * current_a],
    };
    (gradients, largest_g)
}

fn repeats(recipe: &Recipe) -> usize {
    recipe.repeats as usize
}

/// What is read from.
struct Drawn<'a> {
    recipe: &'a Recipe,
    bench: &'a Bench,
    /// Which of all readings, from 0, is the one that goes wrong, and by how many g.
    outlier: (usize, f64),
}

impl Drawn<'_> {
    fn table(&self, places: &[Place], source: &mut Source) -> String {
        let recipe = self.recipe;
        let (mut of_current, mut of_noise) = (source.part(), source.part());
        let mut table = match recipe.way {
            Way::Current => "I / A".to_owned(),
            Way::Wires => "Wires\tI / A".to_owned(),
            Way::Angle => "θ / °".to_owned(),
            Way::Length => words::heading("L", "cm", 100.0 * recipe.length_uncertainty_m),
        };
        for repeat in 1..=recipe.repeats {
            let symbol = if recipe.repeats == 1 {
                "m".to_owned()
            } else {
                format!("m{repeat}")
            };
            table.push('\t');
            table.push_str(&words::heading(&symbol, "g", recipe.stated_bar_g));
        }
        table.push('\n');
        let mut taken = 0;
        for place in places {
            table.push_str(&place.cells.join("\t"));
            for _ in 0..recipe.repeats {
                let value = self.value(place, taken, &mut of_current)
                    + recipe.noise_steps * recipe.balance_step_g * of_noise.normal();
                table.push('\t');
                table.push_str(&shown(value, recipe.balance_step_g));
                taken += 1;
            }
            table.push('\n');
        }
        table
    }

    /// What the balance would show without steps or scatter, g; `taken` readings came before.
    fn value(&self, place: &Place, taken: usize, of_current: &mut Chance) -> f64 {
        let (recipe, bench) = (self.recipe, self.bench);
        // The ammeter shows the nearest step; only a current that is switched off is known exactly.
        let within = recipe.ammeter_step_a * (of_current.unit() - 0.5);
        let current = if place.current_a == 0.0 {
            0.0
        } else {
            place.current_a + within
        };
        let lost = bench.warming * (current / recipe.current_a.high).abs();
        let push = place.push(bench) * current * (1.0 - lost);
        let (wrong, by_g) = self.outlier;
        let off = if taken == wrong { by_g } else { 0.0 };
        push + bench.zero_g + bench.drift_g * taken as f64 + off
    }

    /// Notes on faults that are too small to be seen, or that another hides.
    fn what_hardly_shows(&self, rows: usize, notes: &mut Vec<String>) {
        let (recipe, bench) = (self.recipe, self.bench);
        // The steps of the balance scatter too: a step over the root of twelve.
        let scatter_g =
            recipe.balance_step_g * libm::hypot(recipe.noise_steps, 1.0 / 12_f64.sqrt());
        let whole_g = bench.drift_g * self.steps_of_order(rows) as f64;
        for (what, size_g) in [
            (words::THE_ZERO_ERROR, bench.zero_g),
            (words::THE_DRIFT, whole_g),
            (words::THE_OUTLIER, self.outlier.1),
        ] {
            if size_g != 0.0 && size_g.abs() < STANDS_OUT * scatter_g {
                notes.push(words::hardly_shows(what, size_g.abs(), scatter_g));
            }
        }
        if bench.drift_g != 0.0 && !recipe.faults.mixed_order {
            notes.push(words::DRIFT_IN_STEP.to_owned());
        }
    }

    /// How often the drift goes on from the first reading to the last.
    fn steps_of_order(&self, rows: usize) -> usize {
        (rows * repeats(self.recipe)).saturating_sub(1)
    }

    fn faults(&self, places: &[Place]) -> Vec<Fault> {
        let (recipe, bench) = (self.recipe, self.bench);
        let mut faults = Vec::new();
        let mut tell = |kind, row, size, text| {
            faults.push(Fault {
                kind,
                row,
                size,
                text,
            });
        };
        let step = recipe.balance_step_g;
        let (zero, drift, outlier) = (bench.zero_g, bench.drift_g, self.outlier.1);
        if zero != 0.0 {
            tell(
                "zero_error",
                None,
                Some(zero),
                words::zero_error(zero, step),
            );
        }
        if drift != 0.0 {
            let after = self.steps_of_order(places.len());
            tell(
                "drift",
                None,
                Some(drift),
                words::drift(drift, drift * after as f64, step),
            );
        }
        if outlier != 0.0 {
            let (row, repeat) = (
                self.outlier.0 / repeats(recipe),
                self.outlier.0 % repeats(recipe),
            );
            let repeat = (recipe.repeats > 1).then_some(repeat + 1);
            tell(
                "outlier",
                Some(row + 1),
                Some(outlier),
                words::outlier(row + 1, repeat, outlier, step),
            );
        }
        if bench.warming != 0.0 {
            let (part, at) = (bench.warming, recipe.current_a.high);
            tell("warming", None, Some(part), words::warming(part, at));
        }
        if recipe.faults.reversed_current {
            tell("reversed_current", None, None, words::REVERSED.to_owned());
        }
        if recipe.faults.mixed_order {
            tell("mixed_order", None, None, words::MIXED.to_owned());
        }
        faults
    }
}

/// Standard deviations of a reading that an error needs to stand out.
const STANDS_OUT: f64 = 4.0;

/// What the student gets.
fn job(recipe: &Recipe, bench: &Bench, table: String, seed: u32, student: u32) -> Job {
    let mut job = Job {
        version: crate::job::input::VERSION,
        title: words::title(seed, student),
        table,
        apparatus: Apparatus {
            gravity: format!("{} m/s²", round::shortest(GRAVITY)),
            balance_resolution: format!("{} g", round::shortest(recipe.balance_step_g)),
            ..Apparatus::default()
        },
        ..Job::default()
    };
    let apparatus = &mut job.apparatus;
    if recipe.way != Way::Length {
        let (length, uncertainty) = (bench.measured_m, recipe.length_uncertainty_m);
        apparatus.length = format!("{} cm", words::centimetres(length, uncertainty));
        if uncertainty > 0.0 {
            apparatus.length_uncertainty = format!("{} cm", words::centimetres(uncertainty, 0.0));
        }
    }
    if recipe.way != Way::Wires {
        apparatus.wires = bench.wires.to_string();
    }
    if !recipe.way.varies_current() {
        job.fixed_current = format!("{} A", shown(recipe.current_a.high, recipe.ammeter_step_a));
        job.varied = match recipe.way {
            Way::Angle => Varied::Angle,
            _ => Varied::Length,
        };
    }
    job
}

/// What an instrument of that step shows: the nearest whole number of steps, with the decimals of the step.
fn shown(value: f64, step: f64) -> String {
    round::to_decimals(shown_value(value, step), decimals_of(step))
}

/// The same as a number.
fn shown_value(value: f64, step: f64) -> f64 {
    let steps: f64 = round::to_decimals(value / step, 0).parse().unwrap_or(0.0);
    round::to_decimals(steps * step, decimals_of(step))
        .parse()
        .unwrap_or(0.0)
}

fn decimals_of(step: f64) -> i32 {
    round::decimals_for(step, 1).max(0)
}
