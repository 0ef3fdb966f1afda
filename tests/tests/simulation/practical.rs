//! How a practical is simulated: a true flux density, wires, currents and a balance that scatters and shows whole steps;
//! and how it is written down.

use yokeline_core::job::{Apparatus, Job};

use crate::chance::Chance;

/// Free fall acceleration that the analysis takes when none is typed, m/s².
pub const GRAVITY: f64 = 9.81;

/// What is true on the bench.
#[derive(Clone)]
pub struct Practical {
    /// Flux density, T.
    pub tesla: f64,
    /// Length of one wire in the field, m.
    pub length_m: f64,
    /// The length as it was measured, m.
    pub measured_m: f64,
    /// Standard uncertainty of that, m; 0 where the length counts as known.
    pub u_length_m: f64,
    /// How many wires side by side.
    pub wires: usize,
    /// Reading of the balance at no current, g.
    pub zero_g: f64,
    /// Standard deviation of a reading before it is shown in whole steps, g.
    pub scatter_g: f64,
    /// One step of the balance, g.
    pub step_g: f64,
    /// Currents in the order in which they were set, A.
    pub currents: Vec<f64>,
}

impl Practical {
    /// A bench of ordinary size: 20 to 80 mT, 4 to 8 cm, a balance of 0.01 g, a length that is known, no zero error and
    /// a scatter of two to five steps.
    pub fn draw(chance: &mut Chance) -> Practical {
        let length_m = chance.between(0.04, 0.08);
        let length_m = to_step(length_m, 0.001);
        Practical {
            tesla: chance.between(0.02, 0.08),
            length_m,
            measured_m: length_m,
            u_length_m: 0.0,
            wires: chance.whole(2, 6),
            zero_g: 0.0,
            scatter_g: chance.between(0.02, 0.05),
            step_g: 0.01,
            currents: Vec::new(),
        }
    }

    /// The same with `count` currents in even steps from the lowest to some highest one.
    pub fn sweep(chance: &mut Chance, count: usize) -> Practical {
        Practical {
            currents: even_currents(chance, count),
            ..Practical::draw(chance)
        }
    }

    /// The length is measured with a standard uncertainty of `relative`.
    pub fn measure_length(&mut self, chance: &mut Chance, relative: f64) {
        self.u_length_m = to_step(relative * self.length_m, 1e-5);
        self.measured_m = to_step(self.length_m + self.u_length_m * chance.normal(), 1e-7);
    }

    /// True gradient with `wires` wires, g/A.
    pub fn gradient(&self, wires: usize) -> f64 {
        1000.0 * wires as f64 * self.tesla * self.length_m / GRAVITY
    }

    /// What the balance would show at a current without steps or scatter, g.
    pub fn expected(&self, current: f64) -> f64 {
        self.zero_g + self.gradient(self.wires) * current
    }

    /// One reading of something truly at `value_g`.
    pub fn read(&self, chance: &mut Chance, value_g: f64) -> f64 {
        to_step(value_g + self.scatter_g * chance.normal(), self.step_g)
    }

    /// A reading at each current.
    pub fn readings(&self, chance: &mut Chance) -> Vec<f64> {
        self.currents
            .iter()
            .map(|current| self.read(chance, self.expected(*current)))
            .collect()
    }

    /// The job of a table, with the wire as it was measured.
    pub fn job(&self, table: String) -> Job {
        Job {
            table,
            apparatus: Apparatus {
                length: format!("{:.5} cm", 100.0 * self.measured_m),
                length_uncertainty: if self.u_length_m > 0.0 {
                    format!("{:.3} cm", 100.0 * self.u_length_m)
                } else {
                    String::new()
                },
                wires: self.wires.to_string(),
                ..Apparatus::default()
            },
            ..Job::default()
        }
    }

    /// The job of one reading a row.
    pub fn plain(&self, readings: &[f64]) -> Job {
        self.job(two_columns(&self.currents, readings))
    }
}

/// `count` currents in even steps of whole hundredths of an ampere, up to 2 to 5 A.
pub fn even_currents(chance: &mut Chance, count: usize) -> Vec<f64> {
    let step = to_step(chance.between(2.0, 5.0) / count as f64, 0.01);
    (1..=count).map(|k| step * k as f64).collect()
}

/// The nearest whole number of steps.
pub fn to_step(value: f64, step: f64) -> f64 {
    (value / step).round() * step
}

/// Currents and readings side by side.
pub fn two_columns(currents: &[f64], readings: &[f64]) -> String {
    let mut table = String::from("I / A\tm / g\n");
    for (current, reading) in currents.iter().zip(readings) {
        table.push_str(&format!("{current:.2}\t{}\n", shown(*reading)));
    }
    table
}

/// A reading as a balance of 0.01 g shows it.
pub fn shown(reading_g: f64) -> String {
    // A balance shows no minus before nothing.
    format!("{:.2}", to_step(reading_g, 0.01) + 0.0)
}

/// Pinned: a seed has to make the same table on every machine and in every year.
#[test]
fn a_seed_always_makes_the_same_table() {
    let mut chance = Chance::of("pinned", 0);
    let mut bench = Practical::sweep(&mut chance, 5);
    bench.zero_g = 0.2 * chance.normal();
    bench.measure_length(&mut chance, 0.01);
    let readings = bench.readings(&mut chance);
    let job = bench.plain(&readings);
    assert_eq!(
        job.table,
        "I / A\tm / g\n0.90\t1.83\n1.80\t3.97\n2.70\t6.08\n3.60\t8.29\n4.50\t10.34\n"
    );
    assert_eq!(job.apparatus.length, "4.94962 cm");
}
