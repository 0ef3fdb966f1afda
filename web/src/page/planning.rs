//! The plan as the page holds it: what is typed before the lesson, what comes of it, and how it carries over to the
//! readings.

use yokeline_core::figures::round::{shortest, to_significant, typeset};
use yokeline_core::job::{Analysis, Apparatus, Job};
use yokeline_core::plan::direction::Reading;
use yokeline_core::plan::output::Expected;
use yokeline_core::plan::{Plan, Planned, Supply, WirePlan, plan};

use super::plan_field::in_plan;

/// A plan and what comes of it.
#[derive(Debug, Default)]
pub struct Planning {
    plan: Plan,
    planned: Option<Planned>,
}

impl Planning {
    /// What is typed.
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// What comes of it; `None` while nothing is typed.
    pub fn planned(&self) -> Option<&Planned> {
        self.planned.as_ref()
    }

    /// Puts a text into a field.
    pub fn set(&mut self, name: &str, text: String) {
        if let Some(place) = in_plan(&mut self.plan, name) {
            *place = text;
            self.work();
        }
    }

    /// Takes a plan in place of this one.
    pub fn open(&mut self, plan: Plan) {
        self.plan = plan;
        self.work();
    }

    fn work(&mut self) {
        self.planned = (self.plan != Plan::default()).then(|| plan(&self.plan));
    }

    /// The job with the planned apparatus; what the plan leaves open stays. `None` while nothing is planned.
    pub fn into_job(&self, job: &Job) -> Option<Job> {
        self.planned.as_ref()?;
        let mut taken = job.clone();
        let (from, to) = (&self.plan.apparatus, &mut taken.apparatus);
        for (planned, place) in [
            (&from.length, &mut to.length),
            (&from.length_uncertainty, &mut to.length_uncertainty),
            (&from.wires, &mut to.wires),
            (&from.balance_resolution, &mut to.balance_resolution),
            (&from.current_resolution, &mut to.current_resolution),
        ] {
            if !planned.trim().is_empty() {
                place.clone_from(planned);
            }
        }
        Some(taken)
    }

    /// The table to fill in, with the currents in the mixed order.
    pub fn table(&self) -> String {
        let Some(planned) = &self.planned else {
            return String::new();
        };
        let table = &planned.results_table;
        let mut text = table.headings.join("\t");
        for row in &table.rows {
            text.push('\n');
            text.push_str(&row.join("\t"));
        }
        text
    }

    /// What was expected beside what was found; empty where one of them is missing.
    pub fn beside(&self, analysis: &Analysis) -> String {
        let (Some(planned), Some(line)) = (&self.planned, &analysis.best_line) else {
            return String::new();
        };
        let (Some(low), Some(high)) = (planned.expected.first(), planned.expected.last()) else {
            return String::new();
        };
        if analysis.axes.x.symbol != "I" || low.gradient == 0.0 {
            return String::new();
        }
        let found = line.gradient / 1e-3;
        let falls = planned.direction.as_ref().map(|d| d.reading) == Some(Reading::Falls);
        let sign = if falls { -1.0 } else { 1.0 };
        let gradient =
            |expected: &Expected| typeset(&to_significant(sign * expected.gradient_g_per_a, 3));
        let expected = if planned.expected.len() > 1 {
            format!("{} to {} g/A", gradient(low), gradient(high))
        } else {
            format!("{} g/A", gradient(low))
        };
        let (least, most) = (low.gradient_g_per_a, high.gradient_g_per_a);
        let verdict = if found.abs() < 0.8 * least.min(most) {
            "less than planned: is all of the wire between the poles, and are the magnets those of the plan?"
        } else if found.abs() > 1.25 * most.max(least) {
            "more than planned: is it more wires, a longer one or stronger magnets than the plan has?"
        } else {
            "about as planned."
        };
        let found = typeset(&to_significant(found, 3));
        if let Some(direction) = &planned.direction
            && direction.reading.disagrees(line.gradient)
        {
            return format!(
                "The plan led to {expected}; found is {found} g/A, with the other sign: poles or current stand the other \
                 way round than in the plan, or signs were left out in the table."
            );
        }
        format!("The plan led to {expected}; found is {found} g/A, {verdict}")
    }
}

/// A plan of our own to look at: invented, but as a school might have it.
pub fn example() -> Plan {
    let text = str::to_owned;
    Plan {
        apparatus: Apparatus {
            length: text("5.0 cm"),
            length_uncertainty: text("1 mm"),
            wires: text("1"),
            balance_resolution: text("0.01 g"),
            current_resolution: text("0.01 A"),
            ..Apparatus::default()
        },
        flux_density: text("30 mT to 40 mT"),
        current_range: text("0.5 A to 4 A"),
        steps: shortest(8.0),
        noise: text("0.005 g"),
        target: text("3 %"),
        wire: WirePlan {
            diameter: text("22 SWG"),
            length: text("30 cm"),
            limit: text("6 A"),
            ..WirePlan::default()
        },
        supply: Supply {
            voltage: text("12 V"),
            current_limit: text("5 A"),
        },
        ..Plan::default()
    }
}

#[cfg(test)]
mod tests {
    use super::super::state::{Msg, State, update};
    use super::*;
    use yokeline_core::job::work;

    fn typed(fields: &[(&str, &str)]) -> State {
        let mut state = State::first_visit();
        for (name, text) in fields {
            let (name, text) = ((*name).to_owned(), (*text).to_owned());
            update(&mut state, Msg::SetPlan { name, text });
        }
        state
    }

    #[test]
    fn a_set_up_fills_the_apparatus_and_gives_a_table_to_fill_in() {
        let mut state = typed(&[
            ("length", "4.0 cm"),
            ("flux_density", "50 mT"),
            ("current_range", "1 A to 4 A"),
            ("steps", "4"),
        ]);
        update(&mut state, Msg::UsePlan);
        assert_eq!(state.job().apparatus.length, "4.0 cm");
        // What the plan leaves open is not taken from the invented example.
        assert_eq!(state.job().apparatus.length_uncertainty, "");
        assert_eq!(state.job().probe.reading, "");
        // A table that waits for its readings is no fault.
        assert!(
            state.analysis().notes.is_empty(),
            "{:?}",
            state.analysis().notes
        );
        let mut currents: Vec<&str> = (0..4).map(|row| state.cell(row, 0)).collect();
        currents.sort_unstable();
        assert_eq!(currents, ["1.00", "2.00", "3.00", "4.00"]);
        assert!((0..4).all(|row| state.cell(row, 1).is_empty()));
        update(&mut state, Msg::Undo);
        assert_eq!(state.job().apparatus.length, "5.0 cm");
    }

    #[test]
    fn readings_that_are_there_are_left_alone() {
        let mut state = typed(&[("length", "4.0 cm")]);
        let text = "I / A\tm / g\n1\t0.2\n2\t0.41\n3\t0.6".to_owned();
        update(&mut state, Msg::ReplaceTable { text });
        update(&mut state, Msg::UsePlan);
        assert_eq!(state.cell(1, 1), "0.41");
        assert_eq!(state.job().apparatus.length, "4.0 cm");
    }

    #[test]
    fn the_prediction_stands_beside_what_was_found() {
        // 50 mT on 4.0 cm is 0.2039 g/A by N B L / g.
        let mut state = typed(&[
            ("length", "4.0 cm"),
            ("flux_density", "50 mT"),
            ("current_range", "4 A"),
        ]);
        for (gradient, said) in [
            (0.2, "about as planned"),
            (0.1, "less than planned"),
            (0.4, "more than planned"),
        ] {
            let rows: Vec<String> = (1..6)
                .map(|i| format!("{i}\t{:.2}", gradient * f64::from(i)))
                .collect();
            let text = format!("I / A\tm / g\n{}", rows.join("\n"));
            update(&mut state, Msg::ReplaceTable { text });
            let beside = state.planned_beside();
            assert!(
                beside.contains("0.204 g/A") && beside.contains(said),
                "{beside}"
            );
        }
    }

    #[test]
    fn a_sign_that_poles_and_current_do_not_give_is_told() {
        let table = "I / A\tm / g\n1\t0.2\n2\t0.4\n3\t0.6".to_owned();
        for (current, wrong) in [("away", true), ("towards", false)] {
            let mut state = typed(&[
                ("flux_density", "50 mT"),
                ("direction.poles", "N left"),
                ("direction.current", current),
            ]);
            update(
                &mut state,
                Msg::ReplaceTable {
                    text: table.clone(),
                },
            );
            // North on the left and the current away push the wire down and the magnet up: the reading falls.
            assert_eq!(state.planned_beside().contains("sign"), wrong, "{current}");
        }
    }

    #[test]
    fn without_a_plan_nothing_is_said_or_changed() {
        let mut state = State::first_visit();
        let before = state.job().clone();
        update(&mut state, Msg::UsePlan);
        assert_eq!(*state.job(), before);
        assert!(state.status().trouble && state.planned_beside().is_empty());
    }

    #[test]
    fn the_example_can_be_read_and_its_table_worked() {
        let mut planning = Planning::default();
        planning.open(example());
        let planned = planning.planned().expect("a plan");
        assert!(
            planned.notes.iter().all(|note| note.weight != "trouble"),
            "{:?}",
            planned.notes
        );
        assert!(planned.wire.is_some() && planned.expected.len() == 2);
        let job = Job {
            table: planning.table(),
            ..Job::default()
        };
        assert_eq!(work(&job).table.columns.len(), 2);
    }
}
