//! Homework links: old ones stay readable, hostile ones do no harm, and the code of a link is read back by another library.

use proptest::prelude::*;
use serde_json::Value;
use yokeline_core::job::Job;
use yokeline_core::practice::Level;
use yokeline_tests::old_links;
use yokeline_web::keep::homework::{Homework, Practice, Reveal, from_fragment, to_fragment};
use yokeline_web::paper::qr;

/// Links that were given out, one a line: the link, a tab, the task that it holds as JSON. Lines are only ever added:
/// every later release reads them all.
const OLD_LINKS: &str = include_str!("../data/homework.txt");

#[test]
fn links_given_out_by_earlier_releases_are_read() {
    let mut read = 0;
    for (old, json) in old_links(OLD_LINKS) {
        let task: Homework = serde_json::from_str(json).expect("a task");
        assert_eq!(from_fragment(old), Ok(task), "{old}");
        read += 1;
    }
    assert!(read >= 3, "{read} old links");
}

/// What is written in a link must go on being read: a name that changes would break the links given out.
#[test]
fn the_names_in_a_link_are_those_of_the_pinned_ones() {
    for (_, json) in old_links(OLD_LINKS) {
        let task: Homework = serde_json::from_str(json).expect("a task");
        let pinned: Value = serde_json::from_str(json).expect("JSON");
        let written = serde_json::to_value(&task).expect("JSON");
        for (name, value) in pinned.as_object().expect("an object") {
            let same = match value {
                Value::Object(fields) => fields.iter().all(|(name_within, value)| {
                    let within = &written[name][name_within];
                    within == value || within.is_object() && value.is_object()
                }),
                value => written[name] == *value,
            };
            assert!(same, "{name} in {json}");
        }
    }
}

#[test]
fn a_link_to_a_practice_set_fits_a_code_as_small_as_a_thumb() {
    let task = Homework {
        task: "Find B with its uncertainty. Show your working.".to_owned(),
        practice: Some(Practice {
            level: Level::EverythingAtOnce,
            set: 250,
            ..Practice::default()
        }),
        show: Reveal::AfterAttempt,
        ..Homework::default()
    };
    let address = format!("https://physics.example.org/wire/{}", to_fragment(&task));
    let code = qr::code(&address).expect("a code");
    assert!(code.side_cm <= 5, "{} cm", code.side_cm);
    assert_eq!(read_back(&code.svg), address);
}

/// Fifteen rows with two repeats: a usual class table of its own.
#[test]
fn a_link_that_holds_a_usual_table_fits_a_code_too() {
    let mut table = String::from("I / A\tm1 / g\tm2 / g\n");
    for row in 1..=15 {
        let current = f64::from(row) * 0.2;
        table += &format!(
            "{current:.2}\t{:.2}\t{:.2}\n",
            current * 0.167,
            current * 0.165
        );
    }
    let task = Homework {
        task: "Find B.".to_owned(),
        job: Some(Box::new(Job {
            table,
            ..Job::default()
        })),
        ..Homework::default()
    };
    let address = format!("https://physics.example.org/wire/{}", to_fragment(&task));
    let code = qr::code(&address).expect("a code");
    assert!(code.side_cm <= 7, "{} cm", code.side_cm);
    assert_eq!(read_back(&code.svg), address);
}

/// What rqrr 0.10, a reader of QR codes, reads from the modules that the picture draws.
fn read_back(svg: &str) -> String {
    let side: usize = between(svg, "viewBox=\"0 0 ", " ").parse().expect("a side");
    let mut dark = vec![false; side * side];
    for module in between(svg, "<path d=\"M", "\"").split('M') {
        let place = module.strip_suffix("h1v1h-1z").expect("a module");
        let (x, y) = place.split_once(' ').expect("a place");
        let at = |text: &str| text.parse::<usize>().expect("a number");
        dark[at(y) * side + at(x)] = true;
    }
    // Several pixels a module, as a camera sees it.
    const PIXELS: usize = 4;
    let mut picture =
        rqrr::PreparedImage::prepare_from_greyscale(side * PIXELS, side * PIXELS, |x, y| {
            if dark[y / PIXELS * side + x / PIXELS] {
                0
            } else {
                255
            }
        });
    let grids = picture.detect_grids();
    assert_eq!(grids.len(), 1, "one code is seen");
    grids[0].decode().expect("it is read").1
}

fn between<'t>(text: &'t str, before: &str, after: &str) -> &'t str {
    let (_, rest) = text.split_once(before).expect(before);
    rest.split_once(after).expect(after).0
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_task_comes_back_from_its_link(task in any_task()) {
        prop_assert_eq!(from_fragment(&to_fragment(&task)), Ok(task));
    }

    #[test]
    fn any_text_is_read_without_harm(text in any::<String>(), tail in "[A-Za-z0-9_-]{0,80}") {
        speak(&text)?;
        speak(&format!("#h1.{text}"))?;
        speak(&format!("#h1.{tail}"))?;
    }

    /// One character of a good link changed, taken out or put in: it is damaged, or by chance another whole one.
    #[test]
    fn a_damaged_link_is_read_without_harm(task in any_task(), place in any::<prop::sample::Index>(), c in any::<char>(), cut in any::<bool>()) {
        let mut link: Vec<char> = to_fragment(&task).chars().collect();
        let place = place.index(link.len());
        if cut { link.truncate(place) } else { link[place] = c }
        speak(&link.into_iter().collect::<String>())?;
    }

    /// JSON of any shape in a link whose checksum fits, as a hostile writer would make it.
    #[test]
    fn any_json_in_a_whole_link_is_read_without_harm(json in any_json()) {
        speak(&packed(&json))?;
    }

    /// Whatever a task holds, a student's job can be made of it.
    #[test]
    fn any_task_gives_a_job_or_none(task in any_task(), number in any::<Option<u32>>()) {
        let job = task.job_of(number);
        let has_number = task.practice.as_ref().is_some_and(|p| p.student.is_some()) || number.is_some();
        prop_assert_eq!(job.is_some(), task.job.is_some() || (task.practice.is_some() && has_number));
    }
}

fn packed(json: &str) -> String {
    use base64::Engine;
    let squeezed = miniz_oxide::deflate::compress_to_vec_zlib(json.as_bytes(), 6);
    format!(
        "#h1.{}",
        base64::engine::general_purpose::URL_SAFE_NO_PAD.encode(squeezed)
    )
}

fn speak(link: &str) -> Result<(), TestCaseError> {
    if let Err(error) = from_fragment(link) {
        let said = error.to_string();
        prop_assert!(
            said.ends_with('.') && said.chars().count() < 600,
            "{}",
            said
        );
    }
    Ok(())
}

fn any_task() -> impl Strategy<Value = Homework> {
    let practice = (0..Level::ALL.len(), any::<u32>(), any::<Option<u32>>()).prop_map(
        |(level, set, student)| Practice {
            level: Level::ALL[level],
            set,
            student,
            own: None,
        },
    );
    let job = "[ -~\t\n]{0,60}".prop_map(|table| {
        Box::new(Job {
            table,
            ..Job::default()
        })
    });
    (
        any::<String>(),
        proptest::option::of(practice),
        proptest::option::of(job),
        0..Reveal::ALL.len(),
    )
        .prop_map(|(task, practice, job, show)| Homework {
            task,
            practice,
            job,
            show: Reveal::ALL[show],
        })
}

/// JSON that is near a task: its names with values of any kind.
fn any_json() -> impl Strategy<Value = String> {
    let leaf = prop_oneof![
        Just("null".to_owned()),
        any::<i64>().prop_map(|n| n.to_string()),
        Just("1e999".to_owned()),
        Just("\"good_day\"".to_owned()),
        Just("\"hints\"".to_owned()),
        any::<String>().prop_map(|s| serde_json::to_string(&s).expect("a text")),
    ];
    let names = prop_oneof![
        Just("task"),
        Just("practice"),
        Just("job"),
        Just("show"),
        Just("level"),
        Just("set"),
        Just("student"),
        Just("table"),
        Just("version"),
    ];
    leaf.prop_recursive(4, 24, 6, move |inner| {
        prop_oneof![
            proptest::collection::vec(inner.clone(), 0..4)
                .prop_map(|v| format!("[{}]", v.join(","))),
            proptest::collection::vec((names.clone(), inner), 0..5).prop_map(|fields| {
                let fields: Vec<String> =
                    fields.iter().map(|(n, v)| format!("\"{n}\":{v}")).collect();
                format!("{{{}}}", fields.join(","))
            }),
        ]
    })
}
