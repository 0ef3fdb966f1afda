//! A student's answers judged: published reports whose answers are known, and each kind of verdict.

use serde_json::{Value, json};
use yokeline_core::check::{Answers, Judged, Stage, Verdict, check};
use yokeline_core::job::{Job, work};
use yokeline_tests::data;

fn judged(job: Value, answers: Value) -> Vec<Judged> {
    let job: Job = serde_json::from_value(job).unwrap();
    let answers: Answers = serde_json::from_value(answers).unwrap();
    check(&work(&job), &answers)
}

fn one(job: &Value, stage: &str, answer: &str) -> Judged {
    let found = judged(job.clone(), json!({stage: answer}));
    assert_eq!(found.len(), 1, "{answer}");
    found.into_iter().next().unwrap()
}

fn measured(file: &str, apparatus: Value) -> Value {
    json!({"table": data(&format!("measured/{file}")), "apparatus": apparatus})
}

/// First-year report: 8.4 cm stated, 141.89 mT given, which is twice what its readings give.
#[test]
fn a_report_that_halved_its_length() {
    let job = measured("untared_balance.tsv", json!({"length": "8.4 cm"}));
    let found = one(&job, "flux_density", "141.89 mT");
    assert_eq!(found.verdict, Verdict::Slip);
    assert_eq!(found.slips[0], ["length_halved"]);
    assert!((found.factor.unwrap() - 1.9977).abs() < 1e-3);
}

/// The same report, lengths at 3 A: 1.98 mT where the readings give 79 mT. It is no power of ten and no slip: none is made
/// up.
#[test]
fn an_answer_that_nothing_explains() {
    let mut job = measured("lengths_at_one_current.tsv", json!({}));
    job["varied"] = "length".into();
    job["fixed_current"] = "3.00 A".into();
    let found = one(&job, "flux_density", "1.98 mT");
    assert_eq!(found.verdict, Verdict::Unexplained, "{found:?}");
    assert!(found.slips.is_empty());
    assert!(found.text.contains("40 times too small"), "{}", found.text);
}

/// A report with 0.48 in millitesla where its readings give 0.478 T.
#[test]
fn tesla_called_millitesla() {
    let job = measured("step_in_the_series.tsv", json!({"length": "12.5 mm"}));
    let found = one(&job, "flux_density", "0.48 mT");
    assert_eq!(found.verdict, Verdict::Slip);
    let told = found
        .slips
        .iter()
        .any(|s| s == &["tesla_written_as_millitesla"]);
    assert!(told, "{:?}", found.slips);
}

/// Four lengths at 4 A, forces in millinewton: 185.4 T where the readings give 0.1846 T.
#[test]
fn millinewtons_left_as_they_are() {
    let mut job = measured("four_lengths.tsv", json!({}));
    job["varied"] = "length".into();
    job["fixed_current"] = "4 A".into();
    let found = one(&job, "flux_density", "185.4 T");
    assert_eq!(found.verdict, Verdict::Slip, "{found:?}");
    assert_eq!(found.slips[0], ["millinewtons_taken_for_newtons"]);
}

/// 0.47 % where the difference between 0.106 T and 0.156 T is 47 % of the latter.
#[test]
fn a_fraction_with_a_percent_sign() {
    let mut job = measured("exact_line.tsv", json!({"length": "12.5 mm"}));
    job["probe"] = json!({"reading": "0.1067 T"});
    // Found from the table: 0.15696 T; 47.1 % above.
    let right = one(&job, "percentage_difference", "47.1 %");
    assert_eq!(right.verdict, Verdict::Right, "{right:?}");
    let fraction = one(&job, "percentage_difference", "0.471 %");
    assert_eq!(fraction.slips, [["fraction_with_a_percent_sign"]]);
    assert_eq!(
        one(&job, "percentage_difference", "0.471").verdict,
        Verdict::Right
    );
    let mean = one(&job, "percentage_difference", "38.1 %");
    assert_eq!(mean.slips, [["difference_over_the_mean"]]);
}

/// The check value: 0.1666 g/A and 5.0 cm make 32.7 mT.
fn check_value() -> Value {
    json!({
        "table": "I / A\tm / g\n0.5\t0.08\n1.0\t0.17\n1.5\t0.25\n2.0\t0.33\n2.5\t0.42\n3.0\t0.50\n3.5\t0.58\n",
        "apparatus": {"length": "5.0 cm", "length_uncertainty": "1 mm", "wires": "2"},
        "probe": {"reading": "16 mT", "uncertainty": "1 mT"},
    })
}

#[test]
fn every_verdict() {
    let job = check_value();
    for (stage, answer, verdict) in [
        ("gradient", "0.167 g/A", Verdict::Right),
        ("gradient", "b = 1.67e-4 kg A^-1", Verdict::Right),
        ("gradient", "0.167", Verdict::Unit),
        ("gradient", "0.167 kg/A", Verdict::Unit),
        ("gradient", "0.2 g/A", Verdict::Figures),
        ("gradient", "0.21 g/A", Verdict::Unexplained),
        ("gradient", "6.0 g/A", Verdict::Slip),
        ("gradient", "a lot", Verdict::Unread),
        ("intercept", "0.00 g", Verdict::Right),
        ("intercept", "0", Verdict::Right),
        ("intercept", "0.1 g", Verdict::Unexplained),
        ("flux_density", "16.4 mT", Verdict::Right),
        ("flux_density", "0.0164 T", Verdict::Right),
        ("flux_density", "-16.4 mT", Verdict::Right),
        ("flux_density", "16.4", Verdict::Unit),
        ("flux_density", "16.4 N", Verdict::Unit),
        ("flux_density", "16.38291 mT", Verdict::Figures),
        ("flux_density", "32.8 mT", Verdict::Slip),
        ("flux_density", "16.4 T", Verdict::Slip),
        ("uncertainty", "5 %", Verdict::Right),
        ("uncertainty", "about", Verdict::Unread),
        ("percentage_difference", "2.0 %", Verdict::Right),
        ("percentage_difference", "2.0", Verdict::Unit),
    ] {
        let found = one(&job, stage, answer);
        assert_eq!(found.verdict, verdict, "{stage} {answer}: {found:?}");
        assert!(!found.text.is_empty(), "{stage} {answer}");
    }
}

/// A later stage is judged from the student's own earlier value as well.
#[test]
fn an_error_is_carried_forward() {
    let found = judged(
        check_value(),
        json!({"gradient": "6.0 g/A", "flux_density": "589 mT", "percentage_difference": "3580 %"}),
    );
    let verdicts: Vec<Verdict> = found.iter().map(|j| j.verdict).collect();
    assert_eq!(
        verdicts,
        [Verdict::Slip, Verdict::Carried, Verdict::Carried],
        "{found:#?}"
    );
    assert_eq!(found[0].slips[0], ["gradient_upside_down"]);
    // A percentage is right whatever B it stands beside, an absolute uncertainty goes with its B.
    let beside = |u: &str| {
        judged(
            check_value(),
            json!({"flux_density": "16400 mT", "uncertainty": u}),
        )
    };
    assert_eq!(beside("5 %")[1].verdict, Verdict::Right);
    assert_eq!(beside("800 mT")[1].verdict, Verdict::Carried);
    // The student's own gradient shows a slip of two per cent that a line drawn by eye would hide.
    let ten = judged(
        check_value(),
        json!({"gradient": "0.1667 g/A", "flux_density": "16.67 mT"}),
    );
    assert_eq!(ten[1].slips[0], ["gravity_taken_as_10"], "{ten:#?}");
}

/// A hint says what kind of thing to look at and gives no number away.
#[test]
fn hints_do_not_give_the_answer() {
    for answer in ["32.8 mT", "16.4 T", "1640 mT", "0.7 mT"] {
        let found = one(&check_value(), "flux_density", answer);
        assert!(
            !found.hint.is_empty() && !found.hint.contains(char::is_numeric),
            "{found:?}"
        );
    }
}

#[test]
fn nothing_to_check_against_is_said() {
    for job in [
        json!({"table": ""}),
        json!({"table": "I / A\tm / g\n1\t0.1\n"}),
    ] {
        let found = judged(job, json!({"gradient": "1 g/A", "flux_density": "3 mT"}));
        assert!(
            found.iter().all(|j| j.verdict == Verdict::NotChecked),
            "{found:?}"
        );
    }
    assert!(judged(check_value(), json!({})).is_empty());
    assert_eq!(
        one(&check_value(), "gradient", "1e999 g/A").stage,
        Stage::Gradient
    );
}

/// The text of a slip suits the unit that was typed: who wrote mT did not write T.
#[test]
fn a_slip_of_the_unit_is_one_in_the_unit_that_was_typed() {
    let named = |answer: &str, slip: &str| {
        let found = one(&check_value(), "flux_density", answer);
        assert_eq!(found.verdict, Verdict::Slip, "{answer}");
        found.slips.iter().flatten().any(|name| *name == slip)
    };
    for (answer, as_tesla, as_millitesla) in [
        ("16400 mT", false, false),
        ("16.4 T", true, false),
        ("0.0164 mT", false, true),
        ("32800 mT", false, false),
        ("32.8 T", true, false),
    ] {
        let found = (
            named(answer, "millitesla_written_as_tesla"),
            named(answer, "tesla_written_as_millitesla"),
        );
        assert_eq!(found, (as_tesla, as_millitesla), "{answer}");
    }
}

/// Invented; the means by hand are 0.32, 0.65, 0.96, 1.27 and 1.57 g, their line 0.312 g/A and 0.018 g.
fn repeated() -> Value {
    json!({
        "table": "I / A\tm1 / g\tm2 / g\tm3 / g\n1.0\t0.31\t0.35\t0.30\n2.0\t0.62\t0.66\t0.67\n3.0\t0.99\t0.93\t0.96\n4.0\t1.28\t1.31\t1.22\n5.0\t1.60\t1.53\t1.58\n",
        "apparatus": {"length": "5.0 cm"},
    })
}

#[test]
fn averaged_readings_with_every_verdict() {
    for (answer, verdict) in [
        ("0.32, 0.65, 0.96, 1.27, 1.57", Verdict::Right),
        ("0,320; 0,650; 0,960; 1,270; 1,570", Verdict::Right),
        ("mean / g\n0,32\n0,65\n0,96\n1,27\n1,57\n", Verdict::Right),
        ("320 650 960 1270 1570 mg", Verdict::Right),
        // Forces, for masses: 0.32 g weigh 3.139 mN.
        (
            "3.14 mN; 6.38 mN; 9.42 mN; 12.46 mN; 15.40 mN",
            Verdict::Right,
        ),
        ("0.3, 0.7, 1.0, 1.3, 1.6", Verdict::Figures),
        ("0.32, 0.65, 1, 1.27, 1.57", Verdict::Figures),
        ("320, 650, 960, 1270, 1570", Verdict::Unit),
        ("0.00032 0.00065 0.00096 0.00127 0.00157", Verdict::Unit),
        ("0.32 kg, 0.65 kg, 0.96 kg, 1.27 kg, 1.57 kg", Verdict::Unit),
        ("0.32 A, 0.65 A, 0.96 A, 1.27 A, 1.57 A", Verdict::Unit),
        ("0.32, 0.65, 0.69, 1.27, 1.75", Verdict::Unexplained),
        ("0.32, 0.65, about 1, 1.27, 1.57", Verdict::Unread),
        ("0.32, 0.65, 0.96, 1.27", Verdict::NotChecked),
    ] {
        let found = one(&repeated(), "points", answer);
        assert_eq!(found.verdict, verdict, "{answer}: {found:?}");
    }
    let few = one(&repeated(), "points", "0.32, 0.65, 0.96, 1.27").text;
    assert!(
        few.contains("4 values were seen") && few.contains("are 5"),
        "{few}"
    );
    let off = one(&repeated(), "points", "0.32, 0.65, 0.69, 1.27, 1.75").text;
    assert!(off.contains("rows 3, 5"), "{off}");
}

#[test]
fn slips_of_averaging() {
    let with_zeros = json!({"table": "I / A\tzero / g\tm / g\n1.0\t0.05\t0.37\n2.0\t0.06\t0.70\n3.0\t0.04\t1.00\n4.0\t0.05\t1.32\n"});
    let in_full = json!({"table": "I / A\tchange / g\tfull reading / g\n1.0\t0.32\t50.32\n2.0\t0.64\t50.64\n3.0\t0.96\t50.96\n4.0\t1.27\t51.27\n"});
    let falling =
        json!({"table": "I / A\tm / g\n1.0\t-0.32\n2.0\t-0.64\n3.0\t-0.96\n4.0\t-1.27\n"});
    for (job, answer, slip) in [
        (
            repeated(),
            "0.31, 0.62, 0.99, 1.28, 1.60",
            "first_column_only",
        ),
        (
            repeated(),
            "0.30, 0.67, 0.96, 1.22, 1.58",
            "last_column_only",
        ),
        // All but one of them.
        (
            repeated(),
            "0.30, 0.67, 0.96, 1.22, 1.85",
            "last_column_only",
        ),
        (
            repeated(),
            "0.330, 0.640, 0.960, 1.295, 1.565",
            "one_repeat_ignored",
        ),
        (
            repeated(),
            "0.96, 1.95, 2.88, 3.81, 4.71",
            "sum_instead_of_mean",
        ),
        (
            repeated(),
            "0.31, 0.66, 0.96, 1.28, 1.58",
            "median_instead_of_mean",
        ),
        (
            repeated(),
            "-0.32, -0.65, -0.96, -1.27, -1.57",
            "sign_dropped",
        ),
        (repeated(), "1.57, 1.27, 0.96, 0.65, 0.32", "order_reversed"),
        (repeated(), "1.0, 2.0, 3.0, 4.0, 5.0", "currents_given"),
        (
            repeated(),
            "0.32, 0.65, 0.69, 1.27, 1.57",
            "arithmetic_in_one_row",
        ),
        (
            with_zeros.clone(),
            "0.37, 0.70, 1.00, 1.32",
            "zero_not_subtracted",
        ),
        (with_zeros, "0.42, 0.76, 1.04, 1.37", "zero_added"),
        (in_full, "50.32, 50.64, 50.96, 51.27", "full_reading_given"),
        (falling, "0.32, 0.64, 0.96, 1.27", "sign_dropped"),
    ] {
        let found = one(&job, "points", answer);
        assert_eq!(found.verdict, Verdict::Slip, "{answer}: {found:?}");
        assert_eq!(found.slips[0], [slip], "{answer}");
        assert!(!found.text.is_empty() && !found.hint.is_empty(), "{answer}");
    }
    let row = one(&repeated(), "points", "0.32, 0.65, 0.69, 1.27, 1.57");
    assert!(
        row.text.contains("row 3") && row.text.contains("0.960 g"),
        "{}",
        row.text
    );
    assert!(
        row.hint.contains("row 3") && !row.hint.contains("0.9"),
        "{}",
        row.hint
    );
}

/// The line through the student's own points, by hand 0.936 g/A and 0.054 g for the sums; 184 mT follow.
#[test]
fn wrong_points_are_carried_forward() {
    let sums = "0.96, 1.95, 2.88, 3.81, 4.71";
    let verdicts = |answers: Value| -> Vec<Verdict> {
        let found = judged(repeated(), answers);
        found.iter().map(|j| j.verdict).collect()
    };
    assert_eq!(
        verdicts(
            json!({"points": sums, "gradient": "0.936 g/A", "intercept": "0.054 g", "flux_density": "184 mT"})
        ),
        [
            Verdict::Slip,
            Verdict::Carried,
            Verdict::Carried,
            Verdict::Carried
        ]
    );
    assert_eq!(
        verdicts(json!({"points": sums, "flux_density": "184 mT"})),
        [Verdict::Slip, Verdict::Carried]
    );
    // And a slip on the way from them: 184 T are millitesla, or grams left in.
    let from_sums = judged(repeated(), json!({"points": sums, "flux_density": "184 T"}));
    assert_eq!(
        from_sums[1].slips[0],
        ["mass_left_in_grams"],
        "{from_sums:?}"
    );
    assert!(
        from_sums[1].working.contains("183.6 T"),
        "{}",
        from_sums[1].working
    );
    // The same gradient without the points is only wrong.
    assert_eq!(
        verdicts(json!({"gradient": "0.936 g/A"})),
        [Verdict::Unexplained]
    );
    // The last of them with its digits swapped: by hand 0.348 g/A; and what is right stays right beside it.
    let swapped = "0.32, 0.65, 0.96, 1.27, 1.75";
    for (gradient, verdict) in [
        ("0.348 g/A", Verdict::Carried),
        ("0.312 g/A", Verdict::Right),
    ] {
        let found = verdicts(json!({"points": swapped, "gradient": gradient}));
        assert_eq!(found, [Verdict::Slip, verdict], "{gradient}");
    }
    // A slip on the way from their own points: upside down, 1 / 0.936.
    let upside = judged(repeated(), json!({"points": sums, "gradient": "1.068 g/A"}));
    assert_eq!(upside[1].slips[0], ["gradient_upside_down"], "{upside:?}");
}

/// 0.0467 g rounds to 0.05 g, and that is 50 mg: the nought claims nothing.
#[test]
fn noughts_of_whole_numbers_claim_no_figures() {
    let job = json!({"table": "I / A\tm1 / g\tm2 / g\tm3 / g\n1\t0.04\t0.05\t0.05\n2\t0.08\t0.10\t0.11\n3\t0.14\t0.16\t0.15\n"});
    for (answer, verdict) in [
        ("50 mg, 100 mg, 150 mg", Verdict::Right),
        ("50, 100, 150", Verdict::Unit),
        ("51 mg, 97 mg, 150 mg", Verdict::Slip),
    ] {
        assert_eq!(one(&job, "points", answer).verdict, verdict, "{answer}");
    }
}

/// A point that was left out of the line may be listed or not.
#[test]
fn averaged_readings_with_a_point_left_out() {
    let mut job = repeated();
    job["exclude"] = json!([5]);
    for answer in ["0.32, 0.65, 0.96, 1.27, 1.57", "0.32, 0.65, 0.96, 1.27"] {
        assert_eq!(
            one(&job, "points", answer).verdict,
            Verdict::Right,
            "{answer}"
        );
    }
}

/// What stands behind a number and is no unit is told, rather than guessed at.
#[test]
fn a_unit_that_nobody_knows_is_named() {
    let job = repeated();
    for answer in ["0.784 xyz", "7 mT78.4 T", "9 furlongs"] {
        let judged = one(&job, "flux_density", answer);
        let unit = answer.split_once(' ').expect("a unit").1;
        assert_eq!(judged.verdict, Verdict::Unread, "{answer}: {judged:?}");
        assert!(judged.text.contains(&format!("“{unit}”")), "{judged:?}");
        assert!(judged.slips.is_empty());
    }
}
