//! What is said of a whole class: a row for each student, the class in a few sentences, and the places of a dot plot.

use yokeline_core::check::class::{Class, Student};
use yokeline_core::check::slips;
use yokeline_core::check::{Judged, Stage, Verdict};
use yokeline_core::figures::rank;

use super::verdicts::heading;
use super::words::{figures, millitesla, rows, with_unit};

/// More students than these are not drawn one by one.
pub const MOST_DRAWN: usize = 150;

/// The stages that anybody answered, in the order of the columns, with their headings.
pub fn stages(class: &Class) -> Vec<(Stage, &'static str)> {
    let answered = |stage: Stage| {
        let mut all = class.students.iter().flat_map(|s| &s.judged);
        all.any(|j| j.stage == stage)
    };
    Stage::ALL
        .into_iter()
        .filter(|stage| answered(*stage))
        .map(|stage| (stage, heading(stage)))
        .collect()
}

/// Whether the groups stand in a column of their own: the table names them, and other names beside them.
pub fn with_groups(class: &Class) -> bool {
    let apart = |s: &Student| !s.group.is_empty() && s.group != s.name;
    class.students.iter().any(apart)
}

/// The verdict on a stage in a word or two, with a mark before it; empty for a stage that was not answered.
pub fn verdict(student: &Student, stage: Stage) -> String {
    let judged = student.judged.iter().find(|j| j.stage == stage);
    judged.map_or_else(String::new, in_short)
}

/// A verdict in a word or two.
pub fn in_short(judged: &Judged) -> String {
    match judged.verdict {
        Verdict::Right => "✓".to_owned(),
        Verdict::Figures => "✓ figures".to_owned(),
        Verdict::Carried => "→ follows".to_owned(),
        Verdict::Unit => "△ unit".to_owned(),
        Verdict::Slip => {
            let first = judged.slips.first().map_or(&[][..], |s| s);
            let names: Vec<String> = first.iter().map(|n| n.replace('_', " ")).collect();
            format!("✕ {}", names.join(" + "))
        }
        Verdict::Unexplained => "✕ unexplained".to_owned(),
        Verdict::Unread => "? not a number".to_owned(),
        Verdict::NotChecked => "?".to_owned(),
    }
}

/// The class in a few sentences.
pub fn sum(class: &Class) -> Vec<String> {
    let mut lines = Vec::new();
    let students = class.students.len();
    if students > 0 {
        let right = |s: &&Student| s.judged.iter().all(|j| j.verdict.is_right());
        let all_right = class.students.iter().filter(right).count();
        lines.push(format!(
            "{students} checked; all that they wrote is right for {all_right}."
        ));
    }
    if !class.slips.is_empty() {
        let told: Vec<String> = class
            .slips
            .iter()
            .take(4)
            .map(|(name, times)| format!("{} ({times})", name.replace('_', " ")))
            .collect();
        lines.push(format!("Commonest slips: {}.", told.join(", ")));
        if let Some(first) = class.slips.first().and_then(|s| slips::named(s.0)) {
            lines.push(first.said.to_owned());
        }
    }
    if let Some(together) = &class.together {
        lines.push(format!(
            "The middle one of {} values of B is {}.",
            together.count,
            millitesla(together.median)
        ));
        if let (Some(mean), Some(u)) = (together.weighted_mean, together.standard_uncertainty) {
            let agree = if together.agree == Some(true) {
                "they agree with one another"
            } else {
                "they do not agree with one another within these"
            };
            lines.push(format!(
                "Of those near it that give an uncertainty the weighted mean is {} ± {}; {agree}.",
                millitesla(mean),
                with_unit(&figures(u * 1e3, 2), "mT")
            ));
        }
        // Groups with magnets of their own are not apart from one another for having other ones.
        if !together.apart.is_empty() && class.groups.is_empty() {
            let apart: Vec<usize> = together.apart.iter().take(12).copied().collect();
            let more = if together.apart.len() > apart.len() {
                " and others"
            } else {
                ""
            };
            lines.push(format!(
                "More than a third away from it: {}{more}.",
                rows(&apart)
            ));
        }
    }
    lines.extend(of_groups(class));
    lines.extend(class.notes.iter().cloned());
    lines
}

/// What the readings of the groups give.
fn of_groups(class: &Class) -> Vec<String> {
    let mut lines = Vec::new();
    let told: Vec<String> = class
        .groups
        .iter()
        .map(|group| match group.flux_density.as_str() {
            "" => format!("{}: no B", group.name),
            found => format!("{}: {found}", group.name),
        })
        .collect();
    if !told.is_empty() {
        lines.push(format!("Readings of each group give {}.", told.join("; ")));
    }
    let Some(together) = &class.groups_together else {
        return lines;
    };
    if let (Some(mean), Some(u), Some(agree)) = (
        together.weighted_mean,
        together.standard_uncertainty,
        together.agree,
    ) {
        let of = if together.apart.is_empty() {
            "They"
        } else {
            "The others"
        };
        let agree = if agree {
            "agree with one another"
        } else {
            "do not agree with one another within their scatter"
        };
        lines.push(format!(
            "{of} {agree}; their weighted mean is {}, with a standard uncertainty of {}.",
            millitesla(mean),
            with_unit(&figures(u * 1e3, 2), "mT")
        ));
    }
    if !together.apart.is_empty() {
        let (group, stands) = if together.apart.len() == 1 {
            ("Group", "stands")
        } else {
            ("Groups", "stand")
        };
        let told = format!(
            "{group} {} {stands} apart from the middle value, {}.",
            together.apart.join(", "),
            millitesla(together.median)
        );
        // Before the sentence on the others.
        lines.insert(1.min(lines.len()), told);
    }
    lines
}

/// One value of B on a line from 0 to 100.
#[derive(Clone, Debug, PartialEq)]
pub struct Dot {
    /// Whose.
    pub name: String,
    /// Its place.
    pub at: f64,
    /// The ends of its uncertainty.
    pub bar: Option<(f64, f64)>,
    /// Whether it lies beyond the end that it is drawn at.
    pub beyond: bool,
}

/// The values of B in increasing order, and the values at both ends of the line in T; none below two.
pub fn dots(class: &Class) -> Option<(Vec<Dot>, f64, f64)> {
    let median = class.together.as_ref()?.median;
    // From half to one and a half of the middle one: what is farther is no matter of reading a line.
    let (low, high) = (0.5 * median, 1.5 * median);
    let place = |tesla: f64| 100.0 * (tesla - low) / (high - low);
    let mut values: Vec<(&str, f64, Option<f64>)> = class
        .students
        .iter()
        .filter_map(|s| Some((s.name.as_str(), s.flux_density?, s.uncertainty)))
        .collect();
    values.sort_by_cached_key(|value| rank(value.1));
    let within = |at: f64| at.clamp(0.0, 100.0);
    let dots = values
        .into_iter()
        .take(MOST_DRAWN)
        .map(|(name, tesla, u)| Dot {
            name: name.to_owned(),
            at: within(place(tesla)),
            bar: u.map(|u| (within(place(tesla - u)), within(place(tesla + u)))),
            beyond: !(low..=high).contains(&tesla),
        })
        .collect();
    Some((dots, low, high))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::page::verdicts::tests::working;
    use yokeline_core::check::class::class;

    #[test]
    fn a_class_is_summed_up() {
        let class = class(
            &working(),
            "Name\tGradient (g/A)\tB / mT\nAsha\t0.167\t32.8\nBen\t0.167\t32800\nCy\t0.166\t32600\nDee\t\t33\n",
        );
        let stages = stages(&class);
        assert_eq!(stages.len(), 2);
        let verdicts: Vec<String> = class
            .students
            .iter()
            .map(|s| verdict(s, Stage::FluxDensity))
            .collect();
        assert_eq!(verdicts[0], "✓");
        assert!(verdicts[1].contains("mass left in grams"), "{verdicts:?}");
        let sum = sum(&class).join(" ");
        assert!(
            sum.contains("4 checked") && sum.contains("right for 2"),
            "{sum}"
        );
        assert!(sum.contains("mass left in grams (2)"), "{sum}");
        let (dots, low, high) = dots(&class).expect("four values");
        assert!(dots.len() == 4 && low < high);
        assert!(dots.iter().all(|d| (0.0..=100.0).contains(&d.at)));
    }

    #[test]
    fn groups_are_told_with_what_they_found() {
        use yokeline_core::job::{Apparatus, Job, work};
        let mut table = String::from("Group\tI / A\tm / g\n");
        for (group, readings) in [
            ("A", ["0.17", "0.33", "0.50"]),
            ("B", ["0.16", "0.34", "0.50"]),
            ("C", ["1.67", "3.33", "5.00"]),
        ] {
            for (current, reading) in (1..).zip(readings) {
                table += &format!("{group}\t{current}\t{reading}\n");
            }
        }
        let working = work(&Job {
            table,
            apparatus: Apparatus {
                length: "5.0 cm".to_owned(),
                ..Apparatus::default()
            },
            ..Job::default()
        });
        let sum = |text: &str| sum(&class(&working, text)).join(" ");
        let told = sum("Name\tGroup\tB / mT\nAsha\tA\t32.4\n");
        for part in [
            "Readings of each group give A: (32",
            "Group C stands apart from the middle value, 33.",
            "The others agree with one another; their weighted mean is 3",
        ] {
            assert!(told.contains(part), "{part}: {told}");
        }
        assert!(!sum("Name\tB / mT\nAsha\t32.4\n").contains("group"));
    }
}
