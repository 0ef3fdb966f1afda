//! The worked example of a first visit: our own scenario with invented readings.

use yokeline_core::job::{Apparatus, Job, Probe};

/// The table of the example: eight currents, each read three times.
///
/// The readings were invented around 0.17 g/A with a scatter of a school balance's last digit, so that lines exist
/// that pass through every error bar.
pub const TABLE: &str = "\
I / A\tm1 / g\tm2 / g\tm3 / g
0.50\t0.08\t0.10\t0.09
0.85\t0.15\t0.14\t0.16
1.20\t0.22\t0.20\t0.21
1.55\t0.26\t0.28\t0.27
1.90\t0.34\t0.33\t0.32
2.25\t0.38\t0.40\t0.38
2.60\t0.45\t0.44\t0.46
3.00\t0.52\t0.51\t0.50";

/// A table with headings and no readings.
pub const BLANK_TABLE: &str = "I / A\tm / g\n";

/// The example as a job.
pub fn job() -> Job {
    Job {
        table: TABLE.to_owned(),
        apparatus: Apparatus {
            length: "5.0 cm".to_owned(),
            length_uncertainty: "1 mm".to_owned(),
            wires: "1".to_owned(),
            ..Apparatus::default()
        },
        probe: Probe {
            reading: "33 mT".to_owned(),
            uncertainty: "1 mT".to_owned(),
        },
        ..Job::default()
    }
}

/// A job without readings: headings to type under.
pub fn blank() -> Job {
    Job {
        table: BLANK_TABLE.to_owned(),
        ..Job::default()
    }
}

/// Whether the job still shows the example's invented readings.
pub fn is_shown(job: &Job) -> bool {
    job.table == TABLE
}

/// The job for readings that take the example's place: what the example made up is gone, what the user typed stays.
pub fn without_inventions(shown: &Job) -> Job {
    let made_up = job();
    let mut own = shown.clone();
    let apparatus = [
        (&mut own.apparatus.length, &made_up.apparatus.length),
        (
            &mut own.apparatus.length_uncertainty,
            &made_up.apparatus.length_uncertainty,
        ),
        (&mut own.apparatus.wires, &made_up.apparatus.wires),
        (&mut own.probe.reading, &made_up.probe.reading),
        (&mut own.probe.uncertainty, &made_up.probe.uncertainty),
    ];
    for (typed, invented) in apparatus {
        if typed == invented {
            typed.clear();
        }
    }
    own
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn invented_values_go_and_typed_ones_stay() {
        let mut shown = job();
        shown.apparatus.length = "4.2 cm".to_owned();
        let own = without_inventions(&shown);
        assert_eq!(own.apparatus.length, "4.2 cm");
        assert_eq!(own.apparatus.length_uncertainty, "");
        assert_eq!(own.probe.reading, "");
    }

    #[test]
    fn the_example_knows_itself() {
        let mut shown = job();
        assert!(is_shown(&shown));
        shown.apparatus.length.clear();
        assert!(is_shown(&shown), "the readings are what is invented");
        shown.table.push_str("\n3.30\t0.56\t0.55\t0.56");
        assert!(!is_shown(&shown));
    }
}
