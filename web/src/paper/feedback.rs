//! A printed slip of feedback for each student of a class, to cut out.

use maud::html as markup;
use yokeline_core::check::class::Class;
use yokeline_core::check::{Stage, Verdict};

use super::html::document;

/// One box a student, in the order of the table, on pages that need nothing else.
pub fn feedback(title: &str, class: &Class) -> String {
    let title = if title.trim().is_empty() {
        "Feedback on the force on a wire"
    } else {
        title.trim()
    };
    let slips = markup! {
        h1 { (title) }
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
    };
    document(title, None, &slips)
}

/// A stage by name, longer than a heading of a column may be.
fn stage(stage: Stage) -> &'static str {
    match stage {
        Stage::Points => "Averaged readings",
        Stage::Gradient => "Gradient",
        Stage::Intercept => "Intercept",
        Stage::FluxDensity => "B",
        Stage::Uncertainty => "Uncertainty",
        Stage::PercentageDifference => "Difference from the expected value",
    }
}
