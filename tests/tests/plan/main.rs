//! The plan: what it expects against published figures, against simulated runs, and against what the analysis finds.
//!
//! [`reference`] holds the published figures, [`simulated`] the uncertainties against thousands of runs, [`kits`] the verdict
//! against what the analysis says, [`warming`] and [`directions`] the physics beside, [`asked`] what may be typed.

mod asked;
#[path = "../simulation/chance.rs"]
mod chance;
mod directions;
mod kits;
mod orders;
mod reference;
mod simulated;
mod warming;

use yokeline_core::job::{Apparatus, Job};
use yokeline_core::plan::output::Expected;
use yokeline_core::plan::{Plan, plan};

/// A plan of which the balance, the field and the currents are known.
pub fn bench(flux_density: &str, currents: &str, balance: &str) -> Plan {
    Plan {
        apparatus: Apparatus {
            length: "5.00 cm".into(),
            balance_resolution: balance.into(),
            ..Apparatus::default()
        },
        flux_density: flux_density.into(),
        current_range: currents.into(),
        steps: "10".into(),
        ..Plan::default()
    }
}

/// What is to be expected when one flux density is given.
pub fn expected(asked: &Plan) -> Expected {
    let mut all = plan(asked).expected;
    assert_eq!(all.len(), 1, "one flux density, one expectation");
    all.remove(0)
}

/// The job of a plan's bench with these readings, in g: a row a current, a column a repeat.
pub fn job(asked: &Plan, rows: &[(String, Vec<String>)]) -> Job {
    let mut table = String::from("I / A");
    for repeat in 1..=rows[0].1.len() {
        table.push_str(&format!("\tm{repeat} / g"));
    }
    for (current, readings) in rows {
        table.push_str(&format!("\n{current}\t{}", readings.join("\t")));
    }
    Job {
        table,
        apparatus: asked.apparatus.clone(),
        ..Job::default()
    }
}

/// The readings that the plan expects, as a job.
pub fn as_expected(asked: &Plan) -> Job {
    let rows: Vec<(String, Vec<String>)> = expected(asked)
        .readings
        .into_iter()
        .map(|r| (r.current_text, vec![r.reading_text]))
        .collect();
    job(asked, &rows)
}
