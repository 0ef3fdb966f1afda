//! A class's answers in a pasted table: any order of columns, units anywhere, and all the mess that comes with it.

use yokeline_core::check::Verdict;
use yokeline_core::check::class::{Class, Student, class};
use yokeline_core::job::{Apparatus, Job, Probe, Working, work};
use yokeline_web::keep::csv;
use yokeline_web::paper::feedback::feedback;

fn practical() -> Working {
    work(&Job {
        table: "I / A\tm / g\n0.5\t0.08\n1.0\t0.17\n1.5\t0.25\n2.0\t0.33\n2.5\t0.42\n3.0\t0.50\n3.5\t0.58\n".into(),
        apparatus: Apparatus {
            length: "5.0 cm".into(),
            length_uncertainty: "1 mm".into(),
            ..Apparatus::default()
        },
        probe: Probe {
            reading: "32 mT".into(),
            uncertainty: "1 mT".into(),
        },
        ..Job::default()
    })
}

fn checked(text: &str) -> Class {
    class(&practical(), text)
}

/// The verdict of each student on the last thing that they answered.
fn verdicts(class: &Class) -> Vec<(String, Option<Verdict>)> {
    let last = |s: &yokeline_core::check::class::Student| s.judged.last().map(|j| j.verdict);
    class
        .students
        .iter()
        .map(|s| (s.name.clone(), last(s)))
        .collect()
}

#[test]
fn columns_in_any_order_and_units_anywhere() {
    let expected = [
        ("Asha", Verdict::Right),
        ("Ben", Verdict::Slip),
        ("Cy", Verdict::Unit),
    ];
    for text in [
        "Name\tB / mT\nAsha\t32.7\nBen\t32700\nCy\t32.7 N\n",
        "B (mT),Student\n32.7,Asha\n32700,Ben\n32.7 N,Cy\n",
        "Name\tB\tunit\nAsha\t32.7\tmT\nBen\t32700\tmT\nCy\t32.7\tN\n",
        "Group;Flux density\nAsha;32,7 mT\nBen;32700 mT\nCy;32,7 N\n",
    ] {
        let class = checked(text);
        let found = verdicts(&class);
        let found: Vec<(&str, Verdict)> = found
            .iter()
            .map(|(n, v)| (n.as_str(), v.unwrap()))
            .collect();
        assert_eq!(found, expected, "{text}: {:?}", class.columns);
    }
}

#[test]
fn a_messy_table_loses_nothing_else() {
    let class = checked(
        "Name\tGradient / g/A\tB / mT\tUncertainty\n\
         =SUM(A1:A9)\t0.166\t32.6\t0.7 mT\n\
         Dee\t\t\t\n\
         Dee\tabout a sixth\t32.6\t2 %\n\
         @Eve\t0.166\t-\tx\n\
         Dee\t0.166\t32.6\t\n\
         \t0.166\t32.6\t\n",
    );
    let names: Vec<&str> = class.students.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names, ["=SUM(A1:A9)", "Dee", "@Eve", "Dee", "row 6"]);
    let of = |row: usize| class.students.iter().find(|s| s.row == row).unwrap();
    assert!(
        of(1).judged.iter().all(|j| j.verdict == Verdict::Right),
        "{:?}",
        of(1)
    );
    let dee = of(3);
    assert_eq!(dee.judged[0].verdict, Verdict::Unread);
    assert_eq!(dee.judged[1].verdict, Verdict::Right);
    let notes = class.notes.join(" ");
    assert!(
        notes.contains("Dee") && notes.contains("more than once"),
        "{notes}"
    );
    assert!(notes.contains("could not be read"), "{notes}");

    // What is taken to a spreadsheet is no live formula, what is printed no markup.
    let csv = csv::class(&class);
    assert!(csv.contains("'=SUM") && csv.contains("'@Eve"), "{csv}");
    let printed = feedback("<b>5A</b>", &class);
    assert!(printed.contains("&lt;b&gt;5A") && !printed.contains("<b>5A"));
    assert_eq!(printed.matches("<section").count(), 5);
}

#[test]
fn tables_without_answers_are_told() {
    for text in ["hello", "Name\tAge\nAsha\t15\n", "\n\n", "1\t2\n3\t4\n"] {
        let class = checked(text);
        assert!(class.students.is_empty(), "{text}");
        assert!(text.trim().is_empty() || !class.notes.is_empty(), "{text}");
    }
    assert_eq!(checked(""), Class::default());
}

/// Two that agree, one far out by a slip: the middle is not moved, the mean is that of the two.
#[test]
fn the_values_of_a_class_are_taken_together() {
    let class =
        checked("Name\tB\tUncertainty\nA\t32.0 mT\t1.0 mT\nB\t33.0 mT\t1.0 mT\nC\t32.5 T\t1 T\n");
    let together = class.together.unwrap();
    assert_eq!((together.count, together.apart), (3, vec![3]));
    assert!((together.median - 0.033).abs() < 1e-12);
    assert!((together.weighted_mean.unwrap() - 0.0325).abs() < 1e-12);
    assert!((together.standard_uncertainty.unwrap() - 0.001 / 2_f64.sqrt()).abs() < 1e-12);
    assert_eq!(together.agree, Some(true));
    assert_eq!(class.slips[0].1, 1);
}

/// A number in a unit of something else is no flux density, and an uncertainty in one is none.
#[test]
fn only_flux_densities_are_taken_together() {
    let text = "Name\tB\tUncertainty\nA\t32.0 mT\t1.0 g\nB\t32.7 N\t1.0 mT\nC\t33.0 mT\t3 %\n";
    let values = |of: fn(&Student) -> Option<f64>| checked(text).students.iter().map(of).collect();
    let flux_densities: Vec<Option<f64>> = values(|s| s.flux_density);
    let near = |value: Option<f64>, expected: f64| (value.unwrap() - expected).abs() < 1e-12;
    assert!(near(flux_densities[0], 0.032) && near(flux_densities[2], 0.033));
    assert_eq!(flux_densities[1], None);
    let uncertainties: Vec<Option<f64>> = values(|s| s.uncertainty);
    assert_eq!(uncertainties[0], None);
    assert!(near(uncertainties[1], 0.001) && near(uncertainties[2], 0.00099));
    assert_eq!(checked(text).together.unwrap().count, 2);
}

/// A year group: every row is checked, and the commonest slip is counted.
#[test]
fn a_thousand_students() {
    let mut text = String::from("Name\tGradient / g/A\tB / mT\tUncertainty / mT\n");
    for i in 0..1000 {
        let (gradient, b) = match i % 4 {
            0 => (0.1664, 32.6),
            1 => (0.1664, 32_600.0),
            2 => (0.1664, 0.326),
            _ => (0.21, 47.1),
        };
        text += &format!("S{i}\t{gradient}\t{b}\t0.7\n");
    }
    let started = std::time::Instant::now();
    let class = checked(&text);
    println!("1,000 students: {:?}", started.elapsed());
    assert_eq!(class.students.len(), 1000);
    let count = |verdict| {
        let at = |s: &&yokeline_core::check::class::Student| s.judged[1].verdict == verdict;
        class.students.iter().filter(at).count()
    };
    assert_eq!((count(Verdict::Right), count(Verdict::Slip)), (250, 500));
    assert!(class.slips.iter().all(|s| s.1 == 250), "{:?}", class.slips);
}

/// Three groups, one of which had another magnet: 32.6, 39.3 and 32.3 mT.
const GROUPS: &str = "Our class\nGroup\tI / A\tm / g\n\
     Group 1\t0.5\t0.08\n\t1.0\t0.17\n\t1.5\t0.25\n\t2.0\t0.33\n\t2.5\t0.42\n\t3.0\t0.50\n\
     2\t0.5\t0.10\n2\t1.0\t0.20\n2\t1.5\t0.31\n2\t2.0\t0.40\n2\t2.5\t0.50\n2\t3.0\t0.60\n\
     group 03\t0.5\t0.09\nGROUP 3\t1.0\t0.16\n3\t1.5\t0.25\n3\t2.0\t0.34\n3\t2.5\t0.41\n3\t3.0\t0.50\n";

fn in_groups(readings: &str, text: &str) -> Class {
    let job = Job {
        table: readings.into(),
        apparatus: Apparatus {
            length: "5.0 cm".into(),
            ..Apparatus::default()
        },
        ..Job::default()
    };
    class(&work(&job), text)
}

#[test]
fn each_row_is_checked_against_its_own_group() {
    let text = "Name\tBench\tB / mT\nAsha\t1\t32.6\nBen\tgroup 2\t39.2\nCy\t2\t32.6\nDee\t7\t32.6\nEd\t\t32.6\nFay\t3\t32.4\n";
    let class = in_groups(GROUPS, text);
    let found: Vec<Verdict> = class.students.iter().map(|s| s.judged[0].verdict).collect();
    assert_eq!(found[..2], [Verdict::Right, Verdict::Right]);
    assert!(!found[2].is_right(), "{found:?}");
    assert_eq!(
        found[3..],
        [Verdict::NotChecked, Verdict::NotChecked, Verdict::Right]
    );
    assert!(class.students[1].judged[0].right.contains("39."));
    assert!(class.students[3].judged[0].text.contains("“7”"));
    let notes = class.notes.join(" ");
    assert!(notes.contains("“7”, none named"), "{notes}");

    let groups: Vec<(&str, f64)> = class
        .groups
        .iter()
        .map(|g| (g.name.as_str(), g.tesla.unwrap()))
        .collect();
    let expected = [("Group 1", 0.0326), ("2", 0.0392), ("group 03", 0.0324)];
    for (found, expected) in groups.iter().zip(expected) {
        assert_eq!(found.0, expected.0);
        assert!((found.1 / expected.1 - 1.0).abs() < 0.01, "{found:?}");
    }
    assert!(
        class
            .groups
            .iter()
            .all(|g| g.standard_uncertainty.unwrap() > 0.0)
    );
    let together = class.groups_together.as_ref().unwrap();
    assert_eq!(
        (together.count, &together.apart[..]),
        (3, &["2".to_owned()][..])
    );
    assert_eq!(together.agree, Some(true));
    assert!((together.weighted_mean.unwrap() - 0.0325).abs() < 2e-4);

    let csv = csv::class(&class);
    assert!(csv.starts_with("\u{feff}row,name,group,B,"), "{csv}");
    assert!(csv.contains("2,Ben,group 2,39.2 mT"), "{csv}");
    assert!(!csv.contains("Points") && !feedback("", &class).contains("Averaged"));
}

/// The name of the group is the student's where no other stands there, and readings without groups are those of all.
#[test]
fn groups_on_one_side_only() {
    let class = in_groups(GROUPS, "Group;B\n1;32,6 mT\n02;39,2 mT\n");
    let found = verdicts(&class);
    let right = |name: &str| (name.to_owned(), Some(Verdict::Right));
    assert_eq!(found, [right("1"), right("02")]);
    assert!(csv::class(&class).starts_with("\u{feff}row,name,B,"));

    let without = in_groups(GROUPS, "Name\tB / mT\nAsha\t34.7\n");
    assert!(without.groups.is_empty() && without.groups_together.is_none());
    assert_eq!(without.students[0].judged[0].verdict, Verdict::Right);

    let readings = "I / A\tm / g\n0.5\t0.08\n1.0\t0.17\n1.5\t0.25\n2.0\t0.33\n";
    let all = in_groups(readings, "Name\tGroup\tB / mT\nAsha\t9\t32.6\n");
    assert_eq!(all.students[0].judged[0].verdict, Verdict::Right);
    assert!(
        all.groups.is_empty() && all.notes.is_empty(),
        "{:?}",
        all.notes
    );
}

/// Readings that are not parted say so, and every row is checked against all of them.
#[test]
fn groups_that_part_nothing_are_told() {
    let counted = "Set\tI / A\tm / g\n1\t0.5\t0.08\n2\t1.0\t0.17\n3\t1.5\t0.25\n4\t2.0\t0.33\n";
    let class = in_groups(counted, "Name\tGroup\tB / mT\nAsha\t1\t32.6\n");
    assert_eq!(class.students[0].judged[0].verdict, Verdict::Right);
    assert!(
        class.groups.is_empty() && class.notes[0].contains("one row"),
        "{:?}",
        class.notes
    );
}

/// A year group at thirty benches: each bench is worked once.
#[test]
fn a_thousand_students_in_thirty_groups() {
    let mut readings = String::from("Bench,I / A,m / g\n");
    let mut text = String::from("Name\tBench\tGradient / g/A\tB / mT\n");
    for bench in 1..=30 {
        for step in 1..=8 {
            let current = 0.5 * f64::from(step);
            let reading = (0.15 + 0.002 * f64::from(bench)) * current;
            readings += &format!("{bench},{current:.1},{reading:.2}\n");
        }
    }
    for student in 0..1000 {
        let bench = student % 30 + 1;
        let gradient = 0.15 + 0.002 * f64::from(bench);
        let slip = if student % 2 == 0 { 1.0 } else { 1000.0 };
        text += &format!(
            "S{student}\t{bench}\t{gradient:.3}\t{:.4}\n",
            gradient * 196.2 * slip
        );
    }
    let class = in_groups(&readings, &text);
    let right = |s: &&Student| s.judged.iter().all(|j| j.verdict.is_right());
    assert_eq!(class.students.iter().filter(right).count(), 500);
    assert_eq!(
        (class.groups.len(), &class.slips[..]),
        (30, &[("mass_left_in_grams", 500)][..])
    );
}

#[test]
fn that_the_length_is_missing_is_said_once_for_the_class() {
    let without_length = work(&Job {
        table: "I / A\tm / g\n1\t0.17\n2\t0.33\n3\t0.50\n".into(),
        ..Job::default()
    });
    let told = |text: &str| {
        let class = class(&without_length, text);
        let about_length = class
            .notes
            .iter()
            .filter(|n| n.contains("length of the wire"));
        about_length.count()
    };
    assert_eq!(told("Name\tB / mT\nAsha\t32.6\nBen\t33\n"), 1);
    assert_eq!(told("Name\tGradient / g/A\nAsha\t0.166\n"), 0);
    let with_length = checked("Name\tB / mT\nAsha\t32.6\nBen\t33\n");
    assert!(with_length.notes.is_empty(), "{:?}", with_length.notes);
}
