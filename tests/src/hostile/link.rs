//! Links to a job and to a task: as they come, and packed by somebody who means harm.

use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use miniz_oxide::deflate::compress_to_vec_zlib;
use yokeline_web::keep::{homework, link};

use super::job::practised;
use super::{assert_short, chosen, text};

/// What the rest of the input is: a fragment as it stands, a packed stream, or the JSON inside it.
#[derive(Clone, Copy)]
enum Layer {
    Fragment,
    Packed,
    Json,
}

/// The first line chooses the layer (`a`, `b`, `c`) at which the rest comes in.
pub fn link(data: &[u8]) {
    let at = data
        .iter()
        .position(|byte| *byte == b'\n')
        .map_or(0, |end| end + 1);
    let (choice, rest) = data.split_at(at.min(12));
    let layers = [Layer::Fragment, Layer::Packed, Layer::Json];
    match chosen(choice, 0, &layers) {
        Layer::Fragment => opened(&text(data)),
        Layer::Packed => in_both(&URL_SAFE_NO_PAD.encode(rest)),
        Layer::Json => in_both(&URL_SAFE_NO_PAD.encode(compress_to_vec_zlib(rest, 1))),
    }
}

fn in_both(packed: &str) {
    opened(&format!("#j1.{packed}"));
    opened(&format!("#h1.{packed}"));
}

/// Reads a fragment as either kind, and what was read back from a link of our own.
fn opened(fragment: &str) {
    match link::from_fragment(fragment) {
        Ok(job) => {
            let own = link::to_fragment(&job);
            assert_eq!(link::from_fragment(&own).as_ref(), Ok(&job));
            assert_eq!(own, link::to_fragment(&job), "one job, two links");
            assert!(link::holds_job(&own) && !homework::holds_homework(&own));
        }
        Err(error) => assert_short("a refusal", &error.to_string()),
    }
    match homework::from_fragment(fragment) {
        Ok(task) => {
            assert!(task.task.chars().count() <= homework::LONGEST_TASK);
            let own = homework::to_fragment(&task);
            assert_eq!(homework::from_fragment(&own).as_ref(), Ok(&task));
            assert!(homework::holds_homework(&own) && !link::holds_job(&own));
            if let Some(practice) = &task.practice {
                practised(&practice.recipe());
            }
        }
        Err(error) => assert_short("a refusal", &error.to_string()),
    }
}
