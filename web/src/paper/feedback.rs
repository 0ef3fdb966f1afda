//! A printed slip of feedback for each student of a class, to cut out.

use maud::{DOCTYPE, PreEscaped, html as markup};
use yokeline_core::check::Verdict;
use yokeline_core::check::class::Class;

use super::html::{POLICY, STYLE};

/// One box a student, in the order of the table, on pages that need nothing else.
pub fn feedback(title: &str, class: &Class) -> String {
    let title = if title.trim().is_empty() {
        "Feedback on the force on a wire"
    } else {
        title.trim()
    };
    let document = markup! {
        (DOCTYPE)
        html lang="en-GB" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="generator" content="Yokeline";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                main {
                    @for student in &class.students {
                        section.slip {
                            h2 { (student.name) }
                            p { (title) }
                            ul {
                                @for judged in &student.judged {
                                    li {
                                        (stage(judged.stage)) ": "
                                        @match judged.verdict {
                                            Verdict::Slip | Verdict::Unexplained => { "not right. " (judged.hint) }
                                            Verdict::Unit => { "the number is right, the unit is not. " }
                                            _ => { (judged.text) }
                                        }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    };
    document.into_string()
}

fn stage(stage: yokeline_core::check::Stage) -> &'static str {
    use yokeline_core::check::Stage;
    match stage {
        Stage::Gradient => "Gradient",
        Stage::Intercept => "Intercept",
        Stage::FluxDensity => "B",
        Stage::Uncertainty => "Uncertainty",
        Stage::PercentageDifference => "Difference from the expected value",
    }
}
