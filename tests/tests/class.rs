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
