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
