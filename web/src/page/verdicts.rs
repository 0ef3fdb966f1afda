//! What is said of an answer that was checked: the verdict, a hint, and what one click more shows.

use yokeline_core::check::{Judged, OR_ELSE, Stage, Verdict};

/// The heading of a stage.
pub fn heading(stage: Stage) -> &'static str {
    match stage {
        Stage::Points => "Points",
        Stage::Gradient => "Gradient",
        Stage::Intercept => "Intercept",
        Stage::FluxDensity => "B",
        Stage::Uncertainty => "Uncertainty",
        Stage::PercentageDifference => "Difference",
    }
}

/// What is said of one answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Words {
    /// A mark for the eye.
    pub sign: &'static str,
    /// Whether there is nothing to mend.
    pub good: bool,
    /// Which answer.
    pub stage: &'static str,
    /// The verdict.
    pub verdict: String,
    /// What to look at; empty where there is nothing.
    pub hint: String,
    /// What the line says that opens the rest.
    pub summary: &'static str,
    /// The rest, line by line; empty for none.
    pub more: Vec<String>,
}

impl Words {
    /// The same without what gives the answer away.
    pub fn hint_only(self) -> Words {
        Words {
            more: Vec::new(),
            ..self
        }
    }
}

/// The words for one answer.
pub fn words(judged: &Judged) -> Words {
    let (sign, good, verdict) = match judged.verdict {
        Verdict::Right => ("✓", true, judged.text.as_str()),
        Verdict::Figures => ("✓", true, judged.text.as_str()),
        Verdict::Carried => ("→", false, judged.text.as_str()),
        Verdict::Unit => ("△", false, "the number is right, the unit is not."),
        Verdict::Slip => ("✕", false, "not right."),
        Verdict::Unexplained => ("✕", false, "not right."),
        Verdict::Unread | Verdict::NotChecked => ("?", false, judged.text.as_str()),
    };
    let told_at_once = verdict == judged.text;
    let mut more = Vec::new();
    let wrong = matches!(
        judged.verdict,
        Verdict::Unit | Verdict::Slip | Verdict::Unexplained
    );
    // The likeliest first, with the value that it gives; other ways there stand last.
    let (likeliest, others) = match judged.text.split_once(OR_ELSE) {
        Some((likeliest, others)) => (likeliest, Some(others)),
        None => (judged.text.as_str(), None),
    };
    if wrong && !told_at_once {
        more.push(likeliest.to_owned());
    }
    if wrong || judged.verdict == Verdict::Carried {
        more.extend((!judged.working.is_empty()).then(|| judged.working.clone()));
        if !judged.right.is_empty() {
            more.push(format!("These readings give {}.", judged.right));
        }
        more.extend(others.map(|others| format!("{}{others}", OR_ELSE.trim_start())));
    }
    Words {
        sign,
        good,
        stage: heading(judged.stage),
        verdict: verdict.to_owned(),
        hint: if good {
            String::new()
        } else {
            judged.hint.clone()
        },
        summary: if judged.verdict == Verdict::Slip {
            "What may have happened"
        } else {
            "More"
        },
        more,
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use yokeline_core::check::{Answers, check};
    use yokeline_core::job::{Apparatus, Job, Working, work};

    /// The working that the answers of these tests belong to: 32.6 mT.
    pub fn working() -> Working {
        let job = Job {
            table:
                "I / A\tm / g\n0.5\t0.08\n1.0\t0.17\n1.5\t0.25\n2.0\t0.33\n2.5\t0.42\n3.0\t0.50\n"
                    .to_owned(),
            apparatus: Apparatus {
                length: "5.0 cm".to_owned(),
                ..Apparatus::default()
            },
            ..Job::default()
        };
        work(&job)
    }

    fn judged(name: &str, answer: &str) -> Words {
        let stage = Stage::named(name).expect("a stage");
        let mut answers = Answers::default();
        *answers.at_mut(stage) = answer.to_owned();
        assert_eq!(answers.at(stage), answer);
        words(&check(&working(), &answers)[0])
    }

    #[test]
    fn the_hint_comes_first_and_the_answer_a_click_later() {
        let words = judged("flux_density", "32700 mT");
        assert!(!words.good && words.verdict == "not right.");
        let before = format!("{} {}", words.verdict, words.hint);
        assert!(
            before.contains("unit") && !before.contains("gram"),
            "{before}"
        );
        let after = words.more.join(" ");
        assert!(
            after.contains("left in grams") && after.contains("mT"),
            "{after}"
        );
    }

    #[test]
    fn a_right_answer_needs_no_more() {
        let words = judged("flux_density", "32.6 mT");
        assert!(
            words.good && words.more.is_empty() && words.hint.is_empty(),
            "{words:?}"
        );
    }
}
