//! The page's state, driven by a script: a line for each thing that somebody does.

use yokeline_core::check::Stage;
use yokeline_core::job::Job;
use yokeline_core::plan::Plan;
use yokeline_web::keep::{file, homework, link};
use yokeline_web::page::choice::{Choice, Tick};
use yokeline_web::page::edit;
use yokeline_web::page::field::Field;
use yokeline_web::page::state::{LONGEST_TABLE, Msg, RowPlace, Source, State, update};

use super::job::planned;
use super::{assert_short, finite, text};

/// More lines than this are not followed: what they do depends on the state that a few have made.
const MOST_LINES: usize = 24;

/// Every line is a letter for what is done, then words parted by blanks; in texts `|` ends a line and `^` parts cells.
pub fn page(data: &[u8]) {
    let text = text(data);
    let mut state = State::holding(Job {
        table: "I / A\tm / g\n0.50\t0.08\n1.00\t0.17\n1.50\t0.25\n".to_owned(),
        ..Job::default()
    });
    for line in text.lines().take(MOST_LINES) {
        let Some(message) = message(line) else {
            continue;
        };
        update(&mut state, message);
        sound(&state);
    }
    while state.can_redo() {
        update(&mut state, Msg::Redo);
    }
    let job = state.job().clone();
    while state.can_undo() {
        update(&mut state, Msg::Undo);
    }
    while state.can_redo() {
        update(&mut state, Msg::Redo);
    }
    assert_eq!(*state.job(), job, "all undone and done again");
    sound(&state);
}

/// What a line of the script asks for.
fn message(line: &str) -> Option<Msg> {
    let mut words = line.splitn(4, ' ');
    let what = words.next()?;
    let rest = line.get(what.len()..)?.trim_start();
    let (first, second, third) = (
        words.next().unwrap_or(""),
        words.next().unwrap_or(""),
        words.next().unwrap_or(""),
    );
    let number = |word: &str| word.parse::<usize>().unwrap_or(0);
    let (row, column) = (number(first), number(second));
    let table = |text: &str| text.replace('|', "\n").replace('^', "\t");
    let after_first = rest
        .get(first.len()..)
        .unwrap_or("")
        .trim_start()
        .to_owned();
    Some(match what {
        "t" => Msg::ReplaceTable { text: table(rest) },
        "r" => Msg::UseRefused,
        "e" => Msg::EmptyTable,
        "j" => Msg::OpenJob {
            job: Box::new(file::from_json(rest).ok()?),
            source: Source::File("a".to_owned()),
        },
        "l" => Msg::OpenJob {
            job: Box::new(link::from_fragment(rest).ok()?),
            source: Source::Link,
        },
        "h" => Msg::OpenTask {
            homework: Box::new(homework::from_fragment(rest).ok()?),
        },
        "n" => Msg::OpenSet {
            student: u32::try_from(row).ok()?,
        },
        "a" => Msg::SetAnswer {
            stage: *Stage::ALL.get(row % Stage::ALL.len())?,
            text: after_first,
        },
        "m" => Msg::Attempt,
        "p" => Msg::SetPlan {
            name: first.to_owned(),
            text: after_first,
        },
        "P" => Msg::OpenPlan(Box::new(serde_json::from_str::<Plan>(rest).ok()?)),
        "x" => Msg::ExamplePlan,
        "u" => Msg::UsePlan,
        "c" => Msg::SetCell {
            row,
            column,
            text: table(third),
        },
        "g" => Msg::SetHeading {
            column: row,
            text: table(&after_first),
        },
        "f" => Msg::Fill {
            row,
            column,
            block: edit::block(&table(third)),
        },
        "b" => Msg::TakeBack,
        "s" => Msg::Settle,
        "i" => Msg::InsertRow { row },
        "I" => Msg::CloseBlankRow,
        "d" => Msg::RemoveRow { row },
        "+" => Msg::AddColumn,
        "-" => Msg::RemoveColumn { column: row },
        "w" => Msg::SetMeaning {
            column: row,
            meaning: after_first,
        },
        "U" => Msg::SetUnit {
            column: row,
            text: after_first,
        },
        "S" => Msg::SetSeries {
            column: row,
            text: after_first,
        },
        "o" => Msg::Use {
            row,
            used: second == "1",
        },
        "R" => Msg::SetReason {
            row,
            text: after_first,
        },
        "F" => Msg::SetField {
            field: Field::named(first)?,
            text: table(&after_first),
        },
        "C" => Msg::Choose(Choice::named(first, second)?),
        "T" => Msg::SetTick(Tick::named(first)?, second == "1"),
        "z" => Msg::Undo,
        "y" => Msg::Redo,
        "v" => Msg::ShowRow { row },
        "k" => Msg::SetClass { text: table(rest) },
        "K" => Msg::CheckOn,
        "L" => Msg::LightUp {
            rows: vec![row, column],
        },
        "q" => Msg::Point(Some(row)),
        "Q" => Msg::Walk(first.parse().unwrap_or(1)),
        "0" => Msg::Forget,
        "1" => Msg::CloseStatus,
        _ => return None,
    })
}

/// What holds of the page at any time.
fn sound(state: &State) {
    finite("the page's analysis", state.analysis());
    assert!(state.job().table.len() <= LONGEST_TABLE);
    assert_short("the status", &state.status().text);
    assert!(state.first_row() < state.grid_rows());
    let rows = state.plain().rows.len();
    for row in [0, 1, rows / 2, rows, rows + 1, usize::MAX] {
        if let RowPlace::Data(data) = state.place(row) {
            assert!(
                data < rows && state.grid_row(data) == row,
                "row {row} of {rows}"
            );
        }
        let _ = state.cell(row, 0);
    }
    assert!(
        state
            .point()
            .is_none_or(|point| point < state.analysis().points.len())
    );
    for judged in state.judged() {
        assert_short("a verdict", &judged.text);
        assert!(!state.hides() || judged.factor.is_none_or(f64::is_finite));
    }
    if let Some(found) = state.planned() {
        finite("the page's plan", found);
        planned(state.plan());
    }
}
