//! Three kits as schools have them (invented), and many drawn ones: the verdict beside what the analysis finds.

use yokeline_core::job::{Analysis, analyse};
use yokeline_core::plan::Plan;

use crate::chance::{Chance, trials};
use crate::{as_expected, bench, expected, job};

/// Whether the analysis calls the readings too coarse, or sees no change at all.
fn too_coarse(found: &Analysis) -> bool {
    let kinds = ["coarse_resolution", "no_change"];
    found.findings.iter().any(|f| kinds.contains(&f.kind))
}

/// How many of 200 runs on the bench of a plan are called too coarse.
fn coarse_runs(design: &str, asked: &Plan, scatter_g: f64, step_g: f64) -> usize {
    let foretold = expected(asked);
    let one = |chance: &mut Chance| {
        let rows: Vec<(String, Vec<String>)> = foretold
            .readings
            .iter()
            .map(|row| {
                let gram = foretold.gradient_g_per_a * row.current + scatter_g * chance.normal();
                let shown = (gram / step_g).round() * step_g + 0.0;
                (row.current_text.clone(), vec![format!("{shown:.3}")])
            })
            .collect();
        too_coarse(&analyse(&job(asked, &rows)))
    };
    trials(design, 200, one).into_iter().filter(|c| *c).count()
}

#[test]
fn weak_magnets_on_a_kitchen_balance() {
    let mut asked = bench("20 mT", "0.3 A to 3 A", "0.1 g");
    asked.noise = "0.03 g".into();
    assert_eq!(expected(&asked).verdict, "hardly");
    assert_eq!(coarse_runs("weak", &asked, 0.03, 0.1), 200);
    // The same balance and magnets with three wires and 5 A: better, and still coarse.
    let mut better = bench("20 mT", "0.5 A to 5 A", "0.1 g");
    better.apparatus.wires = "3".into();
    assert_eq!(expected(&better).verdict, "coarse");
    assert_eq!(coarse_runs("three wires", &better, 0.03, 0.1), 200);
}

#[test]
fn ordinary_magnets_on_a_school_balance() {
    let mut asked = bench("40 mT", "0.5 A to 5 A", "0.01 g");
    asked.noise = "0.01 g".into();
    assert_eq!(expected(&asked).verdict, "will_show");
    assert_eq!(coarse_runs("ordinary", &asked, 0.01, 0.01), 0);
}

#[test]
fn strong_magnets_on_a_milligram_balance() {
    let mut asked = bench("0.15 T", "0.2 A to 2 A", "0.001 g");
    asked.noise = "0.003 g".into();
    asked.apparatus.wires = "2".into();
    assert_eq!(expected(&asked).verdict, "will_show");
    assert_eq!(coarse_runs("strong", &asked, 0.003, 0.001), 0);
    // A draught that moves the pan by 2 g: the steps are fine enough, the line is lost.
    asked.noise = "2 g".into();
    assert_eq!(expected(&asked).verdict, "scattered");
}

/// Noiseless, the verdict and the finding are the same test.
#[test]
fn the_verdict_is_that_of_the_analysis() {
    let mut chance = Chance::of("verdicts", 0);
    let (mut coarse, mut fine) = (0, 0);
    for _ in 0..300 {
        let tesla = chance.between(0.005, 0.1);
        let highest = chance.whole(10, 50) as f64 / 10.0;
        let steps = ["0.1 g", "0.05 g", "0.01 g", "0.002 g"];
        let asked = bench(
            &format!("{tesla:.4} T"),
            &format!("{:.2} A to {highest} A", highest / 10.0),
            steps[chance.whole(0, 3)],
        );
        let foretold = expected(&asked);
        let said = ["coarse", "hardly"].contains(&foretold.verdict);
        let found = analyse(&as_expected(&asked));
        assert_eq!(said, too_coarse(&found), "{asked:?}: {}", foretold.verdict);
        *if said { &mut coarse } else { &mut fine } += 1;
    }
    println!("{coarse} coarse, {fine} fine");
    assert!(coarse > 50 && fine > 50);
}
