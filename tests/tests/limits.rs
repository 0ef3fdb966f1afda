//! Input beyond any lesson: it is refused with a sentence or left out with one, and never holds the page up.
//!
//! The table of DEVELOPERS.md says where the limits are. Times are those of a slow build on a busy machine: what is looked
//! for are minutes where there should be a second.

use std::time::{Duration, Instant};

use yokeline_core::check::{Answers, check};
use yokeline_core::job::input::ColumnChoice;
use yokeline_core::job::{Apparatus, Job, analyse, work};
use yokeline_core::plan::{Plan, plan};
use yokeline_core::table::{self, Choices, LARGEST_TEXT_BYTES, NoteKind, from_clipboard};
use yokeline_web::keep::{KeepError, file, homework, link};
use yokeline_web::page::field::Field;
use yokeline_web::page::plan_field;
use yokeline_web::page::state::{LONGEST_TABLE, Msg, Source, State, update};

const LONGEST: Duration = Duration::from_secs(20);

const TABLE: &str = "I / A\tm / g\n0.5\t0.08\n1.0\t0.17\n1.5\t0.25\n2.0\t0.33\n";

/// What a sentence may grow to, whatever it quotes.
const SENTENCE: usize = 600;

#[track_caller]
fn soon<T>(what: &str, work: impl FnOnce() -> T) -> T {
    let began = Instant::now();
    let done = work();
    assert!(
        began.elapsed() < LONGEST,
        "{what} took {:?}",
        began.elapsed()
    );
    done
}

fn job(table: &str) -> Job {
    Job {
        table: table.to_owned(),
        apparatus: Apparatus {
            length: "5.0 cm".to_owned(),
            ..Apparatus::default()
        },
        ..Job::default()
    }
}

/// The page after a paste, and what its status line says.
fn pasted(text: String) -> String {
    let mut state = State::holding(job(TABLE));
    update(&mut state, Msg::ReplaceTable { text });
    state.status().text.clone()
}

/// A text of that many bytes, of one piece again and again.
fn of(piece: &str, bytes: usize) -> String {
    piece.repeat(bytes / piece.len())
}

#[test]
fn what_is_too_large_to_paste_is_refused_in_a_sentence() {
    let beyond = LONGEST_TABLE + 1;
    assert!(pasted(of("1\t2\n", beyond + 3)).contains("tables up to 4.0 MB"));
    assert!(pasted(of("1\t2\n", LONGEST_TABLE)).contains("the most that is read is 100000"));
    let spans = format!(
        "<table>{}",
        of("<tr><td rowspan=60 colspan=60>1", 3_900_000)
    );
    let said = soon("spans", || pasted(spans.clone()));
    assert!(
        said.contains("the most that is read is 2000000 cells"),
        "{said}"
    );
    // Beside its plain version such a table is passed over.
    assert_eq!(from_clipboard(Some(&spans), Some("1\t2")), "1\t2");
    let wide = format!("{TABLE}{}", of("1\t", 3_900_000));
    let notes = analyse(&job(&wide)).notes;
    assert!(
        notes
            .iter()
            .any(|note| note.text.contains("only the first 60 were read"))
    );
}

#[test]
fn no_paste_of_four_megabytes_holds_the_page_up() {
    let pieces = [
        "\n",
        " \r\n",
        "\t",
        "\t\n",
        "|--|\n",
        "\"",
        "\"\t",
        "\"\n",
        "9",
        "1e",
        "1 ",
        "×10",
        "±",
        "(",
        "1,2",
        "#x\n",
        "\0",
        "\u{1}\t\u{7f}\n",
        "\u{202e}1\t2\u{202c}\n",
        "\u{301}",
        "<",
        "<a \"",
        "<!--",
        "<td>",
        "&",
    ];
    for piece in pieces {
        for head in [TABLE, "<table><tr><td>"] {
            let text = format!("{head}{}", of(piece, 3_900_000));
            soon(&format!("{head} and {piece:?}"), || pasted(text));
        }
    }
}

/// Each series has a line of its own, and thousands of lines once took minutes.
#[test]
fn series_beyond_the_hundredth_are_left_out_and_told() {
    let series = |count: usize| {
        let rows = |n: usize| (1..=3).map(move |i| format!("{n}\t{i}\t0.{i}{}\n", n % 7));
        let all: String = (1..=count).flat_map(rows).collect();
        format!("L / mm\tI / A\tm / g\n{all}")
    };
    let all = analyse(&job(&series(100)));
    assert_eq!((all.families.len(), all.points.len()), (100, 300));
    let more = soon("30,000 series", || analyse(&job(&series(30_000))));
    assert_eq!((more.families.len(), more.points.len()), (100, 300));
    let told = more
        .notes
        .iter()
        .find(|note| note.text.contains("more than 100 series"));
    let told = told.expect("a note of it");
    assert_eq!((told.weight, told.row), ("trouble", Some(301)));
}

/// One of very many readings was once tried as the only one that a student used, with every other slip: over a minute.
#[test]
fn an_answer_is_checked_soon_however_many_readings_there_are() {
    let rows: String = (0..60_000)
        .map(|i| format!("{}\t{}\n", 1 + i % 300, 2 + i % 298))
        .collect();
    let working = work(&job(&format!("I / A\tm / g\n{rows}")));
    let answers = Answers {
        gradient: "0.3 g/A".to_owned(),
        flux_density: "77 mT".to_owned(),
        ..Answers::default()
    };
    let judged = soon("two answers", || check(&working, &answers));
    assert_eq!(judged.len(), 2);
}

#[test]
fn a_class_of_any_size_is_checked_or_cut_and_told() {
    let working = work(&job(TABLE));
    let rows: String = (0..6_000)
        .map(|n| format!("S{n}\t{}\n", 30 + n % 9))
        .collect();
    let class = soon("6,000 students", || {
        yokeline_core::check::class::class(&working, &format!("Name\tB / mT\n{rows}"))
    });
    assert_eq!(class.students.len(), 5_000);
    assert!(
        class
            .notes
            .iter()
            .any(|note| note.contains("Only the first 5000 rows"))
    );
    let class = yokeline_core::check::class::class(&working, &of("a\tB\n", LARGEST_TEXT_BYTES + 8));
    assert!(
        class
            .notes
            .iter()
            .any(|note| note.contains("the most that is read is 8 MB")),
        "{:?}",
        class.notes
    );
}

#[test]
fn what_is_typed_in_a_field_may_be_long_and_is_quoted_in_short() {
    for piece in ["a", "9", "1 ", "± 1", "1(", "1 ... ", "⁵", "\0", " to "] {
        let text = of(piece, 300_000);
        for field in Field::ALL {
            let mut state = State::holding(job(TABLE));
            let text = text.clone();
            soon(field.name(), || {
                update(&mut state, Msg::SetField { field, text })
            });
            for note in &state.analysis().notes {
                assert!(
                    note.text.chars().count() < SENTENCE,
                    "{}: {} characters",
                    field.name(),
                    note.text.len()
                );
            }
        }
        for name in plan_field::NAMES {
            let mut asked = Plan::default();
            plan_field::in_plan(&mut asked, name)
                .unwrap()
                .clone_from(&text);
            for note in soon(name, || plan(&asked)).notes {
                assert!(
                    note.text.chars().count() < SENTENCE,
                    "{name}: {} characters",
                    note.text.len()
                );
            }
        }
    }
}

/// A mark that turns the rest of a line about, or a control, would make nonsense of the sentence that quotes it.
#[test]
fn what_cannot_be_seen_is_not_quoted_as_it_is() {
    let odd = "5\u{202e}mc\u{0}\u{7}\u{2066}";
    let mut asked = job(&format!("{TABLE}{odd}\t{odd}\n"));
    asked.apparatus.length = odd.to_owned();
    asked.apparatus.wires = odd.to_owned();
    let notes = analyse(&asked).notes;
    let quoting: Vec<&str> = notes
        .iter()
        .map(|note| note.text.as_str())
        .filter(|text| text.contains("mc"))
        .collect();
    assert!(quoting.len() >= 3, "{notes:#?}");
    for text in quoting {
        assert!(
            !text.contains(['\u{202e}', '\u{0}', '\u{7}', '\u{2066}']),
            "{text:?}"
        );
    }
}

#[test]
fn a_walk_of_any_size_is_read_or_refused_in_a_sentence() {
    let walk = |table: String| {
        let mut asked = job(TABLE);
        asked.walk.table = table;
        asked.walk.use_length = true;
        soon("a walk", || analyse(&asked))
    };
    let rows: String = (0..100_000)
        .map(|i| format!("{i}\t{}\n", 30 + i % 7))
        .collect();
    assert!(
        walk(format!("x / mm\tB / mT\n{rows}"))
            .effective_length
            .is_some()
    );
    let notes = walk(of("1\t2\n", LARGEST_TEXT_BYTES + 4)).notes;
    assert!(
        notes
            .iter()
            .any(|note| note.text.contains("the most that is read is 8 MB")),
        "{notes:#?}"
    );
}

#[test]
fn the_lists_of_a_job_may_be_long_and_their_notes_are_few() {
    let mut asked = job(TABLE);
    asked.exclude = vec![99; 1_000_000];
    asked.columns = vec![
        ColumnChoice {
            column: 2,
            meaning: Some("z".repeat(1_000)),
            ..ColumnChoice::default()
        };
        100_000
    ];
    let notes = soon("long lists", || analyse(&asked)).notes;
    assert!(notes.len() < 100, "{} notes", notes.len());
    assert!(
        notes
            .iter()
            .all(|note| note.text.chars().count() < SENTENCE)
    );
    let left_out = |text: &str| text.starts_with("Row 99 was to be left out");
    assert!(notes.iter().any(|note| left_out(&note.text)), "{notes:#?}");
}

#[test]
fn files_that_mean_harm_are_refused_in_a_sentence() {
    let deep = format!("{{\"table\":\"1 2\",\"x\":{}", "[".repeat(5_000_000));
    let deeper = format!("{{\"table\":\"1 2\",\"x\":{}", "{\"a\":".repeat(1_000_000));
    for (what, json) in [("lists in lists", deep), ("objects in objects", deeper)] {
        let error = soon(what, || file::from_json(&json)).unwrap_err();
        assert!(error.to_string().chars().count() < SENTENCE, "{what}");
    }
    assert!(matches!(
        file::from_json(&" ".repeat(file::LONGEST + 1)),
        Err(KeepError::FileTooLong { .. })
    ));
    let number = format!(
        "{{\"table\":\"1 2\",\"apparatus\":{{\"length\":{}}}}}",
        "9".repeat(1_000_000)
    );
    if let Ok(read) = soon("a long number", || file::from_json(&number)) {
        soon("its analysis", || analyse(&read));
    }
}

/// A job from a link or a file may hold a longer table than is pasted: it is opened, and its own limits say the rest.
#[test]
fn a_job_with_a_table_beyond_what_is_pasted_opens_soon() {
    for bytes in [LONGEST_TABLE + 1_000_000, LARGEST_TEXT_BYTES + 1_000_000] {
        let mut state = State::first_visit();
        let asked = Box::new(job(&format!("{TABLE}{}", of("1\t2\n", bytes))));
        soon("opening", || {
            update(
                &mut state,
                Msg::OpenJob {
                    job: asked,
                    source: Source::Link,
                },
            );
        });
        let notes = &state.analysis().notes;
        assert!(
            notes
                .iter()
                .any(|note| note.text.contains("the most that is read")),
            "{notes:#?}"
        );
    }
}

#[test]
fn links_are_bounded_before_and_after_they_are_unpacked() {
    for prefix in ["#j1.", "#h1."] {
        let long = format!("{prefix}{}", "A".repeat(link::LONGEST));
        let read = |fragment: &str| {
            soon("a link", || match prefix {
                "#j1." => link::from_fragment(fragment).err(),
                _ => homework::from_fragment(fragment).err(),
            })
        };
        assert!(matches!(read(&long), Some(KeepError::LinkTooLong { .. })));
        let blanks = " ".repeat(9_000_000);
        let bomb = match prefix {
            "#j1." => link::to_fragment(&job(&blanks)),
            _ => homework::to_fragment(&homework::Homework {
                job: Some(Box::new(job(&blanks))),
                ..homework::Homework::default()
            }),
        };
        assert!(bomb.len() < 20_000);
        assert!(matches!(read(&bomb), Some(KeepError::LinkSwells { .. })));
    }
}

#[test]
fn a_table_that_is_refused_leaves_nothing_behind() {
    let text = of("1\t2\n", LARGEST_TEXT_BYTES + 4);
    let table = table::read(&text, &Choices::default());
    assert!(matches!(
        table.refusal().map(|note| &note.kind),
        Some(NoteKind::TooLong { .. })
    ));
    assert_eq!((table.rows, table.columns.len()), (0, 0));
    assert!(matches!(table::cells(&text), Err(NoteKind::TooLong { .. })));
}
