//! A whole class: a pasted table of answers, one student or group a row, each checked.
//!
//! Start at [`class`]. Columns come in any order; a heading says what a column holds, and a unit in the heading counts for
//! every cell without one of its own.

use serde::Serialize;

use super::claim::Claim;
use super::{Answers, Judged, Stage, Verdict, check};
use crate::figures::{Quantity, Unit};
use crate::job::Working;
use crate::table;

/// More rows than this are not checked.
pub const MOST_STUDENTS: usize = 5_000;

/// A class's answers judged.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Class {
    /// One a row that holds an answer.
    pub students: Vec<Student>,
    /// What each column was taken for: its heading and one of the stages, `name`, `unit` or `not used`.
    pub columns: Vec<(String, String)>,
    /// The slips that were likeliest, commonest first, with how many students made them.
    pub slips: Vec<(&'static str, usize)>,
    /// The flux densities taken together; null with fewer than two.
    pub together: Option<Together>,
    /// What should be known of the table, in sentences.
    pub notes: Vec<String>,
}

/// One student or group.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Student {
    /// The row, from 1.
    pub row: usize,
    /// The name as typed; `row 3` where there is none.
    pub name: String,
    /// What they wrote.
    pub answers: Answers,
    /// What is to be said of it.
    pub judged: Vec<Judged>,
    /// Their flux density, T, and its uncertainty, where they can be read.
    pub flux_density: Option<f64>,
    /// The same.
    pub uncertainty: Option<f64>,
}

/// The flux densities of a class taken together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Together {
    /// How many.
    pub count: usize,
    /// The middle one, T: a slip of a thousand does not move it.
    pub median: f64,
    /// Mean weighted by the inverse squares of the uncertainties, T, of those that give one and are not apart.
    pub weighted_mean: Option<f64>,
    /// Its standard uncertainty.
    pub standard_uncertainty: Option<f64>,
    /// Whether these agree with one another: chi-squared is not improbable at 5 %.
    pub agree: Option<bool>,
    /// Rows of those that stand apart from the middle by more than a third of it.
    pub apart: Vec<usize>,
}

/// Judges every row of a pasted table of answers.
pub fn class(working: &Working, text: &str) -> Class {
    if text.trim().is_empty() {
        return Class::default();
    }
    let rows = table::cells(text);
    let mut class = Class::default();
    // The headings stand in the first row that names anything known; a title may stand above.
    let known = |row: &Vec<String>| {
        let mut cells = row.iter();
        cells.any(|cell| matches!(holds(cell, None), Holds::Stage(_)))
    };
    let heading_row = rows.iter().take(5).position(known);
    let (headings, rows) = match heading_row {
        Some(at) => (rows[at].clone(), rows.get(at + 1..).unwrap_or_default()),
        None => (Vec::new(), &rows[..0]),
    };
    let mut columns: Vec<Column> = Vec::new();
    for heading in &headings {
        let before = columns.last().map(|c| c.holds);
        let holds = holds(heading, before);
        let taken = columns.iter().any(|c| c.holds == holds);
        let holds = if taken && holds != Holds::Unit {
            Holds::Nothing
        } else {
            holds
        };
        columns.push(Column {
            holds,
            unit: unit_in(heading),
        });
        class.columns.push((heading.clone(), holds.name()));
    }
    // Without a heading that says so the first column is the name.
    if !columns.iter().any(|c| c.holds == Holds::Name)
        && let (Some(first), Some(shown)) = (columns.first_mut(), class.columns.first_mut())
        && first.holds == Holds::Nothing
    {
        first.holds = Holds::Name;
        shown.1 = Holds::Name.name();
    }
    let stages = columns
        .iter()
        .filter(|c| matches!(c.holds, Holds::Stage(_)))
        .count();
    if stages == 0 {
        class.notes.push(
            "No column of answers was found. Headings such as Name, Gradient, B and Uncertainty, with or without units, would do."
                .into(),
        );
        return class;
    }
    if rows.len() > MOST_STUDENTS {
        class
            .notes
            .push(format!("Only the first {MOST_STUDENTS} rows are checked."));
    }
    for (row, cells) in (1..).zip(rows.iter().take(MOST_STUDENTS)) {
        let cell = |index: usize| cells.get(index).map_or("", String::as_str);
        let mut answers = Answers::default();
        for (index, column) in columns.iter().enumerate() {
            let Holds::Stage(stage) = column.holds else {
                continue;
            };
            let typed = cell(index);
            if typed.is_empty() || typed == "-" || typed == "–" {
                continue;
            }
            // The unit in the cell, in a column beside it, or in the heading.
            let beside = columns.get(index + 1).filter(|c| c.holds == Holds::Unit);
            let unit = match beside {
                Some(_) => cell(index + 1),
                None => column.unit.as_str(),
            };
            let bare = typed.ends_with(|c: char| c.is_ascii_digit() || c == '.' || c == ',');
            let answer = if bare && !unit.is_empty() {
                format!("{typed} {unit}")
            } else {
                typed.to_owned()
            };
            *answers.at_mut(stage) = answer;
        }
        if answers == Answers::default() {
            continue;
        }
        let named = columns
            .iter()
            .position(|c| c.holds == Holds::Name)
            .map(cell);
        let name = named
            .filter(|n| !n.is_empty())
            .map_or_else(|| format!("row {row}"), str::to_owned);
        class.students.push(student(working, row, name, answers));
    }
    class.slips = commonest(&class.students);
    class.together = together(&class.students);
    repeated_names(&mut class);
    class
}

fn student(working: &Working, row: usize, name: String, answers: Answers) -> Student {
    let judged = check(working, &answers);
    let tesla = |claim: &Claim| {
        let unit = claim.unit_of(Quantity::FluxDensity)?;
        Some(unit.to_si(claim.figure.value).abs())
    };
    let flux_density = Claim::read(&answers.flux_density)
        .as_ref()
        .and_then(tesla)
        .filter(|b| *b > 0.0);
    let uncertainty = Claim::read(&answers.uncertainty).and_then(|claim| {
        if claim.percent() {
            Some(flux_density? * claim.figure.value.abs() / 100.0)
        } else {
            tesla(&claim)
        }
    });
    Student {
        row,
        name,
        answers,
        judged,
        flux_density,
        uncertainty: uncertainty.filter(|u| *u > 0.0),
    }
}

/// What a column of the class's table holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Holds {
    Name,
    Stage(Stage),
    /// The units of the column before it.
    Unit,
    Nothing,
}

impl Holds {
    fn name(self) -> String {
        match self {
            Holds::Name => "name".to_owned(),
            Holds::Stage(stage) => stage.name().replace('_', " "),
            Holds::Unit => "unit".to_owned(),
            Holds::Nothing => "not used".to_owned(),
        }
    }
}

struct Column {
    holds: Holds,
    /// The unit in its heading.
    unit: String,
}

/// What a heading says that its column holds.
fn holds(heading: &str, before: Option<Holds>) -> Holds {
    let lower = heading.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric() && c != '%' && c != 'δ')
        .collect();
    let has = |word: &str| words.contains(&word);
    let begins = |word: &str| lower.contains(word);
    if has("unit") || has("units") {
        return match before {
            Some(Holds::Stage(_)) => Holds::Unit,
            _ => Holds::Nothing,
        };
    }
    if begins("name")
        || begins("student")
        || begins("group")
        || begins("pupil")
        || begins("candidate")
    {
        return Holds::Name;
    }
    if begins("uncert")
        || begins("error")
        || heading.contains('±')
        || heading.starts_with('Δ')
        || begins("delta")
    {
        return Holds::Stage(Stage::Uncertainty);
    }
    if begins("differ") || begins("discrep") || has("diff") || has("%diff") {
        return Holds::Stage(Stage::PercentageDifference);
    }
    if begins("gradient") || begins("slope") || has("grad") {
        return Holds::Stage(Stage::Gradient);
    }
    if begins("intercept") {
        return Holds::Stage(Stage::Intercept);
    }
    if begins("flux") || begins("field") || has("b") {
        return Holds::Stage(Stage::FluxDensity);
    }
    Holds::Nothing
}

/// The unit in a heading such as `B / mT` or `Gradient (g/A)`; empty for none.
fn unit_in(heading: &str) -> String {
    let inside = |open: char, close: char| {
        let (_, after) = heading.split_once(open)?;
        Some(after.split_once(close)?.0.trim().to_owned())
    };
    inside('(', ')')
        .or_else(|| inside('[', ']'))
        .or_else(|| Some(heading.split_once(" / ")?.1.trim().to_owned()))
        .or_else(|| heading.contains('%').then(|| "%".to_owned()))
        .or_else(|| {
            let last = heading.split_whitespace().last()?;
            (last != heading.trim()).then(|| Unit::parse(last).map(|_| last.to_owned()))?
        })
        .unwrap_or_default()
}

/// How many students made each slip, counting the likeliest explanation of each answer.
fn commonest(students: &[Student]) -> Vec<(&'static str, usize)> {
    let mut counts: Vec<(&'static str, usize)> = Vec::new();
    for student in students {
        let mut made: Vec<&'static str> = student
            .judged
            .iter()
            .filter_map(|j| j.slips.first())
            .flatten()
            .copied()
            .collect();
        made.sort_unstable();
        made.dedup();
        for name in made {
            match counts.iter_mut().find(|c| c.0 == name) {
                Some(count) => count.1 += 1,
                None => counts.push((name, 1)),
            }
        }
    }
    counts.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(b.0)));
    counts
}

fn together(students: &[Student]) -> Option<Together> {
    let mut values: Vec<(usize, f64, Option<f64>)> = students
        .iter()
        .filter_map(|s| Some((s.row, s.flux_density?, s.uncertainty)))
        .collect();
    let count = values.len();
    if count < 2 {
        return None;
    }
    values.sort_by(|a, b| a.1.total_cmp(&b.1));
    let middle = |i: usize| values.get(i).map_or(0.0, |v| v.1);
    let median = if count % 2 == 1 {
        middle(count / 2)
    } else {
        (middle(count / 2 - 1) + middle(count / 2)) / 2.0
    };
    let near = |b: f64| (b / median - 1.0).abs() <= 1.0 / 3.0;
    let mut apart: Vec<usize> = values.iter().filter(|v| !near(v.1)).map(|v| v.0).collect();
    apart.sort_unstable();
    let known: Vec<(f64, f64)> = values
        .iter()
        .filter(|v| near(v.1))
        .filter_map(|v| Some((v.1, v.2?)))
        .collect();
    let weight: f64 = known.iter().map(|(_, u)| 1.0 / (u * u)).sum();
    let mean = known.iter().map(|(b, u)| b / (u * u)).sum::<f64>() / weight;
    let enough = known.len() > 1 && weight.is_finite();
    let chi_squared: f64 = known
        .iter()
        .map(|(b, u)| (b - mean) * (b - mean) / (u * u))
        .sum();
    Some(Together {
        count,
        median,
        weighted_mean: enough.then_some(mean),
        standard_uncertainty: enough.then(|| (1.0 / weight).sqrt()),
        agree: enough
            .then(|| crate::line::tails::chi_squared_tail(chi_squared, known.len() - 1) >= 0.05),
        apart,
    })
}

/// Says which names stand more than once.
fn repeated_names(class: &mut Class) {
    let mut names: Vec<&str> = class.students.iter().map(|s| s.name.as_str()).collect();
    names.sort_unstable();
    let twice: Vec<&str> = names
        .chunk_by(|a, b| a == b)
        .filter(|c| c.len() > 1)
        .map(|c| c[0])
        .collect();
    let shown: Vec<&str> = twice.iter().take(5).copied().collect();
    if !shown.is_empty() {
        let more = if twice.len() > shown.len() {
            " and others"
        } else {
            ""
        };
        class.notes.push(format!(
            "These names stand more than once; each row was checked by itself: {}{more}.",
            shown.join(", ")
        ));
    }
    let unread = class
        .students
        .iter()
        .filter(|s| s.judged.iter().any(|j| j.verdict == Verdict::Unread))
        .count();
    if unread > 0 {
        let rows = if unread == 1 { "row has" } else { "rows have" };
        class.notes.push(format!(
            "{unread} {rows} an answer that could not be read as a number."
        ));
    }
}
