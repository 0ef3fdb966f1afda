//! A whole class: a pasted table of answers, one student or group a row, each checked.
//!
//! Start at [`class`]. Columns come in any order; a heading says what a column holds, and a unit in the heading counts for
//! every cell without one of its own. Where the readings name groups and the answers do too, each row is checked against
//! the readings of its own group.

use serde::Serialize;

use super::claim::Claim;
use super::columns::{Column, Holds, holds, unit_in};
use super::facts::Facts;
use super::groups::{Group, Groups};
use super::together::{self, GroupsTogether, Together};
use super::{Answers, Judged, Stage, Verdict, check, stages, words};
use crate::field::FluxDensity;
use crate::figures::Quantity;
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
    /// What each group's own readings give, where they were parted by group; else empty.
    pub groups: Vec<GroupResult>,
    /// Those taken together; null with fewer than two.
    pub groups_together: Option<GroupsTogether>,
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
    /// The group as typed; empty where the table has no column of groups.
    pub group: String,
    /// What they wrote.
    pub answers: Answers,
    /// What is to be said of it.
    pub judged: Vec<Judged>,
    /// Their flux density, T, and its uncertainty, where they can be read.
    pub flux_density: Option<f64>,
    /// The same.
    pub uncertainty: Option<f64>,
}

/// What the readings of one group give.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GroupResult {
    /// Its name, as the table of readings has it.
    pub name: String,
    /// Its rows in the table of readings, from 1.
    pub rows: Vec<usize>,
    /// Its flux density with its uncertainty, as a person would write it; empty where there is none.
    pub flux_density: String,
    /// The same, T.
    pub tesla: Option<f64>,
    /// Its standard uncertainty, T.
    pub standard_uncertainty: Option<f64>,
}

impl GroupResult {
    fn of(group: &Group) -> GroupResult {
        let facts = Facts::of(group.working());
        let flux = facts.and_then(|facts| facts.flux);
        let standard = |flux: &FluxDensity| Some(flux.budget.as_ref()?.combined);
        GroupResult {
            name: group.name.clone(),
            rows: group.rows.clone(),
            flux_density: flux.map(words::flux_density).unwrap_or_default(),
            tesla: flux.map(|flux| flux.tesla),
            standard_uncertainty: flux.and_then(standard),
        }
    }
}

/// Judges every row of a pasted table of answers.
pub fn class(working: &Working, text: &str) -> Class {
    let mut checking = Checking::new(working, text);
    while checking.left() > 0 {
        checking.go_on(working, checking.left());
    }
    checking.finish()
}

/// A class half checked: a page that checks some rows at a time stays free between them.
#[derive(Clone, Debug, Default)]
pub struct Checking {
    class: Class,
    columns: Vec<Column>,
    /// The rows below the headings.
    rows: Vec<Vec<String>>,
    /// How many of them were judged.
    done: usize,
    name_column: Option<usize>,
    group_column: Option<usize>,
    groups: Option<Groups>,
}

impl Checking {
    /// Reads the table; nothing of it is judged yet.
    pub fn new(working: &Working, text: &str) -> Checking {
        let mut checking = Checking::default();
        if text.trim().is_empty() {
            return checking;
        }
        let mut rows = match table::cells(text) {
            Ok(rows) => rows,
            Err(too_much) => {
                checking.class.notes.push(too_much.to_string());
                return checking;
            }
        };
        // The headings stand in the first row that names anything known; a title may stand above.
        let known = |row: &Vec<String>| {
            let mut cells = row.iter();
            cells.any(|cell| matches!(holds(cell, None), Holds::Stage(_)))
        };
        let Some(heading_row) = rows.iter().take(5).position(known) else {
            checking.class.notes.push(words::NO_ANSWERS.into());
            return checking;
        };
        checking.rows = rows.split_off(heading_row + 1);
        checking.read_headings(rows.get(heading_row).map_or(&[], Vec::as_slice));
        if checking.rows.len() > MOST_STUDENTS {
            checking.rows.truncate(MOST_STUDENTS);
            checking
                .class
                .notes
                .push(format!("Only the first {MOST_STUDENTS} rows are checked."));
        }
        let columns = &checking.columns;
        let place = |what: Holds| columns.iter().position(|c| c.holds == what);
        checking.group_column = place(Holds::Group);
        // Who is known by their group only goes by its name.
        checking.name_column = place(Holds::Name).or(checking.group_column);
        if checking.group_column.is_some() {
            match Groups::of(working) {
                Ok(groups) => checking.groups = Some(groups),
                Err(why) => checking.class.notes.extend(words::no_groups(&why)),
            }
        }
        checking
    }

    fn read_headings(&mut self, headings: &[String]) {
        for heading in headings {
            let before = self.columns.last().map(|c| c.holds);
            let holds = holds(heading, before);
            let taken = self.columns.iter().any(|c| c.holds == holds);
            let holds = if taken && holds != Holds::Unit {
                Holds::Nothing
            } else {
                holds
            };
            self.columns.push(Column {
                holds,
                unit: unit_in(heading),
            });
            self.class.columns.push((heading.clone(), holds.name()));
        }
        // Without a heading that says so the first column is the name.
        if !self.columns.iter().any(|c| c.holds == Holds::Name)
            && let (Some(first), Some(shown)) =
                (self.columns.first_mut(), self.class.columns.first_mut())
            && first.holds == Holds::Nothing
        {
            first.holds = Holds::Name;
            shown.1 = Holds::Name.name();
        }
    }

    /// Rows that were judged.
    pub fn done(&self) -> usize {
        self.done
    }

    /// Rows that are left to be judged.
    pub fn left(&self) -> usize {
        self.rows.len() - self.done
    }

    /// Judges so many more rows, against the working that the checking was begun with.
    pub fn go_on(&mut self, working: &Working, rows: usize) {
        let until = self.done.saturating_add(rows).min(self.rows.len());
        while self.done < until {
            let cells = std::mem::take(&mut self.rows[self.done]);
            self.done += 1;
            self.judge(working, &cells);
        }
    }

    fn judge(&mut self, working: &Working, cells: &[String]) {
        let row = self.done;
        let cell = |index: usize| cells.get(index).map_or("", String::as_str);
        let mut answers = Answers::default();
        for (index, column) in self.columns.iter().enumerate() {
            let Holds::Stage(stage) = column.holds else {
                continue;
            };
            let typed = cell(index);
            if typed.is_empty() || typed == "-" || typed == "–" {
                continue;
            }
            // The unit in the cell, in a column beside it, or in the heading.
            let beside = self
                .columns
                .get(index + 1)
                .filter(|c| c.holds == Holds::Unit);
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
            return;
        }
        let named = self.name_column.map(cell);
        let name = named
            .filter(|n| !n.is_empty())
            .map_or_else(|| format!("row {row}"), str::to_owned);
        let group = self.group_column.map_or("", cell);
        let judged = match &self.groups {
            None => check(working, &answers),
            Some(groups) => match groups.named(group) {
                Some(own) => check(own.working(), &answers),
                None => stages::not_checked(&answers, &words::no_such_group(group)),
            },
        };
        let group = group.to_owned();
        let student = student(row, name, group, answers, judged);
        self.class.students.push(student);
    }

    /// The class, when no row is left.
    pub fn finish(self) -> Class {
        let mut class = self.class;
        if let Some(groups) = &self.groups {
            tell_groups(&mut class, groups);
        }
        let unchecked = |s: &Student| {
            let of_b = s.judged.iter().find(|j| j.stage == Stage::FluxDensity);
            of_b.is_none_or(|j| j.verdict == Verdict::NotChecked && j.text == words::no_flux())
        };
        let answered = |s: &Student| !s.answers.flux_density.is_empty();
        if class.students.iter().any(answered) && class.students.iter().all(unchecked) {
            class.notes.push(words::NO_FIELD_FOR_CLASS.into());
        }
        class.slips = commonest(&class.students);
        class.together = together::of_students(&class.students);
        repeated_names(&mut class);
        class
    }
}

/// What the groups found, and which of those that the answers name have no readings.
fn tell_groups(class: &mut Class, groups: &Groups) {
    class.groups = groups.groups.iter().map(GroupResult::of).collect();
    class.groups_together = together::of_groups(&groups.groups);
    let too_short: Vec<&str> = groups.too_short.iter().map(String::as_str).collect();
    if !too_short.is_empty() {
        class.notes.push(words::groups_too_short(&too_short));
    }
    let mut unknown: Vec<&str> = Vec::new();
    for student in &class.students {
        let group = student.group.as_str();
        if groups.named(group).is_none() && !unknown.contains(&group) {
            unknown.push(group);
        }
    }
    if !unknown.is_empty() {
        class.notes.push(words::groups_without_readings(&unknown));
    }
}

fn student(
    row: usize,
    name: String,
    group: String,
    answers: Answers,
    judged: Vec<Judged>,
) -> Student {
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
        group,
        answers,
        judged,
        flux_density,
        uncertainty: uncertainty.filter(|u| *u > 0.0),
    }
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
