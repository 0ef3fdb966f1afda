//! What the page knows, and what each message does to it: plain Rust, tested without a browser.
//!
//! Start at [`State`] and [`update`]. The page holds one [`Job`]; what is shown is derived from it each time it changes, and
//! undo is the job before. A change that cannot be made leaves the job as it was and says why in the status line.

use yokeline_core::check::class::{Checking, Class};
use yokeline_core::check::groups::Groups;
use yokeline_core::check::{Answers, Judged, Stage, Verdict, check};
use yokeline_core::job::input::{ColumnChoice, Lie};
use yokeline_core::job::output::MonteCarlo;
use yokeline_core::job::{Analysis, Job, Working, work};
use yokeline_core::plan::{Plan, Planned};
use yokeline_core::table::Plain;

use super::choice::{Choice, Tick};
use super::field::Field;
use super::planning::{self, Planning};
use super::task::{Task, veiled};
use super::{edit, example, words};
use crate::keep::homework::Homework;

/// The longest table that is read, in bytes: 100,000 rows of four columns and then some.
pub const LONGEST_TABLE: usize = 4_000_000;

/// How many rows the grid shows at a time, so that a long table does not hold the page up.
pub const WINDOW: usize = 60;

/// How many rows of a class are checked before the page looks up: some 30 ms of them.
const ROWS_AT_A_TIME: usize = 100;

/// How many jobs undo goes back, and how many bytes of tables they may hold together.
const UNDO_STEPS: usize = 200;
const UNDO_BYTES: usize = 24_000_000;

/// What the page knows.
#[derive(Debug)]
pub struct State {
    job: Job,
    /// The working of the job: what answers are checked against.
    working: Option<Working>,
    plain: Plain,
    analysis: Analysis,
    undo: Vec<Job>,
    redo: Vec<Job>,
    /// What is being typed in: one undo takes back all that was typed there in one go.
    typing: Option<Typing>,
    /// A row of the grid, from 0, that is shown blank among the others and is no part of the job yet.
    blank_row: Option<usize>,
    /// A job that was not taken, in case the user wants it all the same.
    refused: Option<Job>,
    status: Status,
    first_row: usize,
    point: Option<usize>,
    /// Rows, from 1, that a note speaks of and that are lit up for it.
    spoken_of: Vec<usize>,
    band: bool,
    simulated: Option<Simulated>,
    /// Answers typed to be checked; they are no part of the job.
    answers: Answers,
    judged: Vec<Judged>,
    /// The answers of a class, as pasted, and what is to be said of them; no part of the job either.
    class_text: String,
    class: Class,
    /// A class that is being checked, some rows at a time.
    checking: Option<Checking>,
    /// How many groups the table names.
    groups: Option<usize>,
    /// The task that a teacher handed out, while there is one.
    task: Option<Task>,
    /// What is typed before the lesson; it is kept beside the job.
    planning: Planning,
    /// Whether the job is the user's own work, rather than one that can be had again where it came from.
    own: bool,
    /// Whether another tab keeps another job in this browser's store.
    rival: bool,
    generation: u64,
    revision: u64,
}

/// What stands in the status line.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Status {
    /// The sentence; empty for none.
    pub text: String,
    /// Whether something was not done.
    pub trouble: bool,
    /// Whether what was refused can be used all the same.
    pub offer: bool,
    /// Fields that the sentence asks to look at again.
    pub look_at: Vec<Field>,
}

/// A simulation that was asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Simulated {
    /// The revision of the job that it belongs to.
    pub revision: u64,
    /// What it says, or why there is none; `None` while it runs.
    pub outcome: Option<Result<MonteCarlo, String>>,
}

/// What a row of the grid stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RowPlace {
    /// A row of the table, from 0.
    Data(usize),
    /// A blank row; what is typed there goes in before this row of the table, from 0.
    Blank(usize),
}

/// Where something was typed, for undo.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Typing {
    /// A cell, by row of the grid and column, from 0.
    Cell(usize, usize),
    /// A heading, by column from 0.
    Heading(usize),
    /// A column's unit, by column from 0.
    Unit(usize),
    /// A column's length, by column from 0.
    Series(usize),
    /// The reason for leaving a row of the grid out, from 0.
    Reason(usize),
    /// A field.
    Field(Field),
}

/// Where a job came from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Source {
    /// What this browser kept.
    Kept,
    /// A link.
    Link,
    /// A practice set that was asked for.
    Practice,
    /// The readings of that number of the task.
    Task(u32),
    /// A file of that name.
    File(String),
    /// Another tab of this browser.
    OtherTab,
}

/// What people do, in one list. Rows are rows of the grid and columns its columns, both from 0.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // The fields are rows, columns and typed text throughout.
pub enum Msg {
    /// A text takes the table's place.
    ReplaceTable {
        text: String,
    },
    /// What was refused is used all the same.
    UseRefused,
    /// A table with headings and no readings takes the table's place.
    EmptyTable,
    /// A whole job takes the job's place.
    OpenJob {
        job: Box<Job>,
        source: Source,
    },
    /// Back to a first visit.
    Forget,
    /// Whether another tab keeps another job in this browser's store.
    Rival(bool),
    /// The job of the other tab is wanted.
    TakeOther,
    /// The job of this tab is wanted.
    KeepMine,
    /// A task that was handed out.
    OpenTask {
        homework: Box<Homework>,
    },
    /// A task that was opened before goes on.
    ResumeTask {
        task: Box<Task>,
        answers: Answers,
    },
    /// The readings of that number of the task.
    OpenSet {
        student: u32,
    },
    /// An answer was typed to its end.
    Attempt,
    /// A field of the plan.
    SetPlan {
        name: String,
        text: String,
    },
    /// The plan that this browser kept.
    OpenPlan(Box<Plan>),
    /// A plan to look at.
    ExamplePlan,
    /// What was planned becomes the apparatus, and a table to fill in.
    UsePlan,
    SetCell {
        row: usize,
        column: usize,
        text: String,
    },
    SetHeading {
        column: usize,
        text: String,
    },
    /// A block of cells is filled in from this one on, to the right and down.
    Fill {
        row: usize,
        column: usize,
        block: Vec<Vec<String>>,
    },
    /// What was typed since the cell or field was entered is taken back.
    TakeBack,
    /// The cell or field was left: what is typed next is a step of its own.
    Settle,
    /// A blank row is shown before this one.
    InsertRow {
        row: usize,
    },
    /// The blank row that nothing was typed into goes.
    CloseBlankRow,
    RemoveRow {
        row: usize,
    },
    /// One more column of repeats at the end.
    AddColumn,
    RemoveColumn {
        column: usize,
    },
    /// An empty meaning goes back to the guess.
    SetMeaning {
        column: usize,
        meaning: String,
    },
    SetUnit {
        column: usize,
        text: String,
    },
    SetSeries {
        column: usize,
        text: String,
    },
    /// Whether the row takes part in the line.
    Use {
        row: usize,
        used: bool,
    },
    SetReason {
        row: usize,
        text: String,
    },
    SetField {
        field: Field,
        text: String,
    },
    Choose(Choice),
    Undo,
    Redo,
    /// The grid shows rows from the window that holds this one.
    ShowRow {
        row: usize,
    },
    SetTick(Tick, bool),
    /// The answers of a class.
    SetClass {
        text: String,
    },
    /// Some more rows of a class are checked.
    CheckOn,
    /// An answer to be checked.
    SetAnswer {
        stage: Stage,
        text: String,
    },
    /// The simulation of the job of that revision was asked for, or is there.
    Simulated {
        revision: u64,
        outcome: Option<Result<MonteCarlo, String>>,
    },
    /// The rows, from 1, that a note speaks of are lit up in the table and on the graph.
    LightUp {
        rows: Vec<usize>,
    },
    /// Whether the bands about the line are drawn.
    ShowBand(bool),
    /// A point of the graph is read out, or none.
    Point(Option<usize>),
    /// The next or an earlier point is read out: by so many places.
    Walk(isize),
    /// A sentence for the status line.
    Say {
        text: String,
        trouble: bool,
    },
    CloseStatus,
}

impl Msg {
    /// Whether it is one letter of something that goes on being typed.
    pub fn is_typing(&self) -> bool {
        matches!(
            self,
            Msg::SetCell { .. }
                | Msg::SetField { .. }
                | Msg::SetAnswer { .. }
                | Msg::SetPlan { .. }
                | Msg::SetClass { .. }
        )
    }

    /// Whether the user does something with the job, rather than look around.
    fn is_an_act(&self) -> bool {
        !matches!(
            self,
            Msg::Settle
                | Msg::CloseBlankRow
                | Msg::ShowRow { .. }
                | Msg::Point(_)
                | Msg::LightUp { .. }
                | Msg::ShowBand(_)
                | Msg::OpenPlan(_)
                | Msg::CheckOn
                | Msg::Simulated { .. }
                | Msg::Walk(_)
                | Msg::Say { .. }
                | Msg::Rival(_)
        )
    }

    /// Whether another job may take the job's place.
    pub fn may_replace_the_job(&self) -> bool {
        matches!(
            self,
            Msg::ReplaceTable { .. }
                | Msg::UseRefused
                | Msg::EmptyTable
                | Msg::OpenJob { .. }
                | Msg::OpenTask { .. }
                | Msg::OpenSet { .. }
                | Msg::UsePlan
        )
    }
}

impl State {
    /// What a first visit sees: the example.
    pub fn first_visit() -> Self {
        Self::holding(example::job())
    }

    /// The page with this job in it.
    pub fn holding(job: Job) -> Self {
        let mut state = State {
            job,
            working: None,
            plain: Plain::default(),
            analysis: Analysis::default(),
            undo: Vec::new(),
            redo: Vec::new(),
            typing: None,
            blank_row: None,
            refused: None,
            status: Status::default(),
            first_row: 0,
            point: None,
            spoken_of: Vec::new(),
            band: false,
            simulated: None,
            answers: Answers::default(),
            judged: Vec::new(),
            class_text: String::new(),
            class: Class::default(),
            checking: None,
            groups: None,
            task: None,
            planning: Planning::default(),
            own: false,
            rival: false,
            generation: 0,
            revision: 0,
        };
        state.derive();
        state
    }

    /// The job.
    pub fn job(&self) -> &Job {
        &self.job
    }

    /// The table as cells.
    pub fn plain(&self) -> &Plain {
        &self.plain
    }

    /// What was found.
    pub fn analysis(&self) -> &Analysis {
        &self.analysis
    }

    /// The status line.
    pub fn status(&self) -> &Status {
        &self.status
    }

    /// The point that is read out.
    pub fn point(&self) -> Option<usize> {
        self.point
    }

    /// The rows, from 1, that are lit up: that of the point that is read out, else those that a note speaks of.
    pub fn lit_rows(&self) -> Vec<usize> {
        match self.point.and_then(|point| self.analysis.points.get(point)) {
            Some(point) => vec![point.row],
            None => self.spoken_of.clone(),
        }
    }

    /// The points that are lit up, likewise.
    pub fn lit_points(&self) -> Vec<usize> {
        if let Some(point) = self.point {
            return vec![point];
        }
        let points = self.analysis.points.iter().enumerate();
        points
            .filter(|(_, point)| self.spoken_of.contains(&point.row))
            .map(|(index, _)| index)
            .collect()
    }

    /// The answers typed to be checked.
    pub fn answers(&self) -> &Answers {
        &self.answers
    }

    /// What is to be said of them.
    pub fn judged(&self) -> &[Judged] {
        &self.judged
    }

    /// The answers of a class, as pasted.
    pub fn class_text(&self) -> &str {
        &self.class_text
    }

    /// What is to be said of them.
    pub fn class(&self) -> &Class {
        &self.class
    }

    /// The task that a teacher handed out, while there is one.
    pub fn task(&self) -> Option<&Task> {
        self.task.as_ref()
    }

    /// What is typed before the lesson.
    pub fn plan(&self) -> &Plan {
        self.planning.plan()
    }

    /// What comes of it; `None` while nothing is typed.
    pub fn planned(&self) -> Option<&Planned> {
        self.planning.planned()
    }

    /// What the plan led one to expect, beside what was found; empty where one of them is missing.
    pub fn planned_beside(&self) -> String {
        // Invented readings are nobody's to compare.
        if example::is_shown(&self.job) {
            return String::new();
        }
        self.planning.beside(&self.analysis)
    }

    /// Whether results are kept back at present.
    pub fn hides(&self) -> bool {
        self.task.as_ref().is_some_and(Task::hides)
    }

    /// How many rows of a class were checked and how many are left, while that goes on.
    pub fn checking(&self) -> Option<(usize, usize)> {
        self.checking.as_ref().map(|c| (c.done(), c.left()))
    }

    /// What to say when the table holds the readings of several groups, through all of which the line goes.
    pub fn said_of_groups(&self) -> Option<String> {
        let groups = self.groups.filter(|_| !self.hides())?;
        Some(format!(
            "The table holds the readings of {groups} groups, and this line goes through all of them. Under “A whole class” \
             each group’s own line and B are worked out."
        ))
    }

    /// Whether the bands about the line are drawn.
    pub fn band(&self) -> bool {
        self.band
    }

    /// The simulation of the job as it is; `None` when none was asked for since it last changed.
    pub fn simulated(&self) -> Option<&Simulated> {
        self.simulated
            .as_ref()
            .filter(|simulated| simulated.revision == self.revision)
    }

    /// Grows with each change of the job by the user.
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// Grows each time that another job takes the place of the user's own: that one must not be lost.
    pub fn generation(&self) -> u64 {
        self.generation
    }

    /// Whether another tab keeps another job in this browser's store.
    pub fn rival(&self) -> bool {
        self.rival
    }

    /// Whether there is something to undo.
    pub fn can_undo(&self) -> bool {
        !self.undo.is_empty()
    }

    /// Whether there is something to redo.
    pub fn can_redo(&self) -> bool {
        !self.redo.is_empty()
    }

    /// How many rows the grid has: the table's, a blank one among them perhaps, and one to go on typing in.
    pub fn grid_rows(&self) -> usize {
        self.plain.rows.len() + usize::from(self.blank_row.is_some()) + 1
    }

    /// How many columns the grid has.
    pub fn grid_columns(&self) -> usize {
        edit::width(&self.plain).max(2)
    }

    /// The first row of the grid's window.
    pub fn first_row(&self) -> usize {
        self.first_row
    }

    /// The blank row among the others.
    pub fn blank_row(&self) -> Option<usize> {
        self.blank_row
    }

    /// What a row of the grid stands for.
    pub fn place(&self, row: usize) -> RowPlace {
        let rows = self.plain.rows.len();
        match self.blank_row {
            Some(blank) if row == blank => RowPlace::Blank(blank.min(rows)),
            Some(blank) if row > blank && row - 1 < rows => RowPlace::Data(row - 1),
            _ if row < rows => RowPlace::Data(row),
            _ => RowPlace::Blank(rows),
        }
    }

    /// The row of the grid that shows a row of the table, from 0.
    pub fn grid_row(&self, data: usize) -> usize {
        match self.blank_row {
            Some(blank) if data >= blank => data + 1,
            _ => data,
        }
    }

    /// The text of a cell of the grid.
    pub fn cell(&self, row: usize, column: usize) -> &str {
        match self.place(row) {
            RowPlace::Data(data) => edit::cell(&self.plain, data, column),
            RowPlace::Blank(_) => "",
        }
    }

    fn derive(&mut self) {
        // The old one goes first: two workings of a long table would need the memory of both.
        self.working = None;
        let working = work(&self.job);
        self.plain = working.table.plain();
        self.groups = Groups::of(&working).ok().map(|found| found.groups.len());
        self.working = Some(working);
        self.look();
        self.point = self.point.filter(|&i| i < self.analysis.points.len());
        self.spoken_of.clear();
        self.judge_answers();
        self.judge_class();
        self.show_row(self.first_row);
    }

    /// Takes from the working what may be shown.
    fn look(&mut self) {
        let analysis = self.working.as_ref().map(Working::analysis);
        let analysis = analysis.unwrap_or_default();
        self.analysis = if self.hides() {
            veiled(analysis)
        } else {
            analysis
        };
        let waits = self.task.as_ref().is_some_and(Task::waits_for_number);
        if waits && self.plain.rows.is_empty() || edit::waits_for_readings(&self.plain) {
            // That there are no readings yet is no fault of anybody's.
            self.analysis.notes.clear();
        }
    }

    fn judge_answers(&mut self) {
        let judged = self.working.as_ref().map(|w| check(w, &self.answers));
        self.judged = judged.unwrap_or_default();
    }

    fn judge_class(&mut self) {
        let working = self.working.as_ref();
        self.checking = working.map(|w| Checking::new(w, &self.class_text));
        self.check_on();
    }

    /// Checks some more rows of a class: few enough that the page does not stand still.
    fn check_on(&mut self) {
        let (Some(working), Some(mut checking)) = (&self.working, self.checking.take()) else {
            return;
        };
        checking.go_on(working, ROWS_AT_A_TIME);
        if checking.left() > 0 {
            self.checking = Some(checking);
        } else {
            self.class = checking.finish();
        }
    }

    fn show_row(&mut self, row: usize) {
        let last = self.grid_rows().saturating_sub(1);
        self.first_row = row.min(last) / WINDOW * WINDOW;
    }

    fn say(&mut self, text: impl Into<String>, trouble: bool) {
        self.status = Status {
            text: text.into(),
            trouble,
            offer: false,
            look_at: Vec::new(),
        };
    }

    /// Says that a table was read, and which fields still hold what was typed for the table before.
    fn say_read(&mut self) {
        let mut text = format!(
            "Read: {} rows, {} columns. Undo brings back what was here before.",
            self.plain.rows.len(),
            edit::width(&self.plain)
        );
        let unneeded = words::has_lengths_of_its_own(&self.analysis);
        let kept: Vec<Field> = Field::ALL
            .into_iter()
            .filter(|field| !field.of(&self.job).trim().is_empty())
            .filter(|field| *field != Field::Length || !unneeded)
            .collect();
        if !kept.is_empty() {
            let values: Vec<String> = kept
                .iter()
                .map(|field| format!("{} = {}", field.in_short(), field.of(&self.job).trim()))
                .collect();
            text.push_str(&format!(
                " Kept from before: {}. Check that {} to this table.",
                values.join(", "),
                if kept.len() == 1 {
                    "it belongs"
                } else {
                    "they belong"
                }
            ));
        }
        self.say(text, false);
        self.status.look_at = kept;
    }

    /// Takes a new job in place of the old one, which undo brings back.
    fn change(&mut self, job: Job, typing: Option<Typing>) {
        if job == self.job {
            return;
        }
        let old = std::mem::replace(&mut self.job, job);
        if typing.is_none() || typing != self.typing {
            self.undo.push(old);
            self.forget_oldest();
        }
        self.typing = typing;
        self.redo.clear();
        self.own = true;
        self.revision += 1;
        self.derive();
    }

    /// Takes another job in place of this one, which undo brings back, and which is put aside if it is the user's own.
    fn replace(&mut self, job: Job, own: bool) {
        if job == self.job {
            return;
        }
        if self.own {
            self.generation += 1;
        }
        self.change(job, None);
        self.own = own;
    }

    fn forget_oldest(&mut self) {
        let mut bytes = 0;
        let kept = self
            .undo
            .iter()
            .rev()
            .take(UNDO_STEPS)
            .take_while(|job| {
                bytes += job.table.len();
                bytes <= UNDO_BYTES
            })
            .count();
        self.undo.drain(..self.undo.len() - kept);
    }

    /// Changes the table's cells: the text of the job becomes what the grid holds.
    fn edit(&mut self, typing: Option<Typing>, change: impl FnOnce(&mut Job, &mut Plain)) {
        let mut job = self.job.clone();
        let mut plain = self.plain.clone();
        change(&mut job, &mut plain);
        edit::straighten(&mut plain);
        if plain == self.plain {
            return;
        }
        job.table = plain.to_text();
        // The grid shows a reading a row, however the pasted text lay.
        job.lie = Some(Lie::Down);
        self.change(job, typing);
    }

    fn replace_table(&mut self, text: String) {
        if text.trim().is_empty() {
            self.say(
                "Nothing to read: what was pasted holds no text. Copy the cells in your spreadsheet, headings too, and \
                 paste again. The table was not changed.",
                true,
            );
            return;
        }
        if text.len() > LONGEST_TABLE {
            self.say(
                format!(
                    "This text is {} MB long; tables up to {} MB (about 100 000 rows) are read. Paste the part that \
                     holds the readings. The table was not changed.",
                    tenths(text.len()),
                    tenths(LONGEST_TABLE)
                ),
                true,
            );
            return;
        }
        let base = if example::is_shown(&self.job) {
            example::without_inventions(&self.job)
        } else {
            self.job.clone()
        };
        let job = Job {
            table: text,
            exclude: Vec::new(),
            reasons: Default::default(),
            columns: Vec::new(),
            decimal_mark: None,
            lie: None,
            ..base
        };
        let tried = State::holding(job);
        if let Some(why) = tried.no_line_in_it() {
            self.say(format!("{why} The table was not changed."), true);
            self.status.offer = true;
            self.refused = Some(tried.job);
            return;
        }
        self.blank_row = None;
        self.first_row = 0;
        self.replace(tried.job, true);
        self.say_read();
    }

    /// Why no line can ever be drawn through this table; `None` when one may be, now or after a choice.
    fn no_line_in_it(&self) -> Option<String> {
        let refusal = self.working.as_ref().and_then(|w| w.table.refusal());
        if let Some(too_much) = refusal {
            return Some(too_much.to_string());
        }
        match edit::rows_with_numbers(&self.plain, 2) {
            0 => {
                return Some(
                    "No readings found: a row needs at least two numbers, a current and a balance reading.".to_owned(),
                );
            }
            1 => {
                return Some(
                    "Only one row with readings found: a line needs at least two, at different currents."
                        .to_owned(),
                );
            }
            _ => {}
        }
        let points = &self.analysis.points;
        let first = points.first()?;
        let axis = &self.analysis.axes.x;
        (points.len() > 1 && points.iter().all(|point| point.x == first.x)).then(|| {
            format!(
                "Every row has the same {}: a gradient needs at least two different values.",
                if axis.quantity.is_empty() {
                    "current"
                } else {
                    &axis.quantity
                }
            )
        })
    }

    fn open_task(&mut self, homework: Homework) {
        let job = homework.job_of(None).unwrap_or_else(|| {
            if homework.asks_number() || example::is_shown(&self.job) {
                example::blank()
            } else {
                self.job.clone()
            }
        });
        self.task = Some(Task::new(homework));
        self.answers = Answers::default();
        self.blank_row = None;
        self.first_row = 0;
        let revision = self.revision;
        self.replace(job, false);
        // The link itself still holds the task: what this browser keeps is left alone until a change is made.
        self.revision = revision;
        self.derive();
        self.say("The task in the link was opened.", false);
    }

    fn use_plan(&mut self) {
        let base = if example::is_shown(&self.job) {
            example::without_inventions(&self.job)
        } else {
            self.job.clone()
        };
        let Some(mut job) = self.planning.into_job(&base) else {
            self.say(
                "Type something of the bench first, such as the length of the wire.",
                true,
            );
            return;
        };
        let with_table = example::is_shown(&self.job) || self.plain.rows.is_empty();
        if with_table {
            job.table = self.planning.table();
            job.exclude.clear();
            job.reasons.clear();
            job.columns.clear();
            self.blank_row = None;
            self.first_row = 0;
        }
        if with_table {
            self.replace(job, false);
        } else {
            self.change(job, None);
        }
        self.say(
            if with_table {
                "The set-up stands under Apparatus, and the table waits for your readings. Undo takes it back."
            } else {
                "The set-up stands under Apparatus; your readings were left alone. Undo takes it back."
            },
            false,
        );
    }

    fn attempt(&mut self) {
        let typed = self.judged.iter().any(|judged| {
            // B is what a task asks for: whoever has only the gradient so far is not done yet.
            judged.stage == Stage::FluxDensity
                && !matches!(judged.verdict, Verdict::Unread | Verdict::NotChecked)
        });
        if let Some(task) = self.task.as_mut().filter(|task| typed && !task.attempted) {
            task.attempted = true;
            self.look();
        }
    }

    fn set_cell(&mut self, row: usize, column: usize, text: &str) {
        let typing = Some(Typing::Cell(row, column));
        match self.place(row) {
            RowPlace::Data(data) => {
                let mut emptied = false;
                self.edit(typing, |job, plain| {
                    edit::set_cell(plain, data, column, text);
                    emptied = edit::is_blank(plain, data);
                    if emptied {
                        edit::take_row(job, plain, data);
                    }
                });
                if emptied {
                    self.blank_row = Some(row);
                    self.show_row(row);
                }
            }
            RowPlace::Blank(at) => {
                if text.trim().is_empty() {
                    return;
                }
                if self.blank_row == Some(row) {
                    self.blank_row = None;
                }
                self.edit(typing, |job, plain| {
                    edit::open_row(job, plain, at);
                    edit::set_cell(plain, at, column, text);
                });
            }
        }
    }

    fn fill(&mut self, row: usize, column: usize, block: &[Vec<String>]) {
        let (at, blank) = match self.place(row) {
            RowPlace::Data(data) => (data, false),
            RowPlace::Blank(at) => (at, true),
        };
        self.blank_row = None;
        self.edit(None, |job, plain| {
            for (down, cells) in block.iter().enumerate() {
                if blank {
                    edit::open_row(job, plain, at + down);
                }
                for (right, text) in cells.iter().enumerate() {
                    edit::set_cell(plain, at + down, column + right, text);
                }
            }
        });
    }

    fn add_column(&mut self) {
        let repeated = self
            .analysis
            .columns
            .iter()
            .rev()
            .find(|column| column.meaning == "reading")
            .and_then(|column| self.plain.headings.get(column.column.wrapping_sub(1)))
            .filter(|heading| !heading.trim().is_empty());
        // A column without a heading or a reading would be no column at all in the text of the table.
        let heading = repeated.map_or("m / g", String::as_str).to_owned();
        self.edit(None, |_, plain| {
            let width = edit::width(plain).max(2);
            plain.headings.resize(width, String::new());
            plain.headings.push(heading);
        });
    }

    fn choose_column(
        &mut self,
        column: usize,
        typing: Option<Typing>,
        change: impl FnOnce(&mut ColumnChoice),
    ) {
        let mut job = self.job.clone();
        let number = column + 1;
        let mut choice = match job
            .columns
            .iter()
            .position(|choice| choice.column == number)
        {
            Some(place) => job.columns.remove(place),
            None => ColumnChoice {
                column: number,
                ..ColumnChoice::default()
            },
        };
        change(&mut choice);
        let nothing_chosen = ColumnChoice {
            column: number,
            ..ColumnChoice::default()
        };
        if choice != nothing_chosen {
            job.columns.push(choice);
            job.columns.sort_by_key(|choice| choice.column);
        }
        self.change(job, typing);
    }

    fn step_through(&mut self, back: bool) {
        let from = if back { &mut self.undo } else { &mut self.redo };
        let Some(job) = from.pop() else { return };
        let old = std::mem::replace(&mut self.job, job);
        let to = if back { &mut self.redo } else { &mut self.undo };
        to.push(old);
        self.typing = None;
        self.blank_row = None;
        self.revision += 1;
        self.derive();
    }

    fn walk(&mut self, by: isize) {
        let last = self.analysis.points.len().saturating_sub(1);
        if self.analysis.points.is_empty() {
            self.point = None;
            return;
        }
        self.point = Some(match self.point {
            None if by < 0 => last,
            None => 0,
            Some(point) => point.saturating_add_signed(by).min(last),
        });
    }
}

/// Does what the message asks for.
pub fn update(state: &mut State, msg: Msg) {
    // What was only told has been read by the time something else is done; trouble stays until it is closed.
    let told = !state.status.trouble && !state.status.offer;
    if told && msg.is_an_act() {
        state.status = Status::default();
    }
    match msg {
        Msg::ReplaceTable { text } => state.replace_table(text),
        Msg::UseRefused => {
            if let Some(job) = state.refused.take() {
                state.status = Status::default();
                state.blank_row = None;
                state.replace(job, true);
            }
        }
        Msg::EmptyTable => {
            let own = if example::is_shown(&state.job) {
                example::without_inventions(&state.job)
            } else {
                state.job.clone()
            };
            state.blank_row = None;
            state.replace(
                Job {
                    table: example::BLANK_TABLE.to_owned(),
                    exclude: Vec::new(),
                    reasons: Default::default(),
                    columns: Vec::new(),
                    decimal_mark: None,
                    lie: None,
                    ..own
                },
                false,
            );
        }
        Msg::OpenJob { job, source } => {
            state.blank_row = None;
            state.first_row = 0;
            let revision = state.revision;
            let first_is_example = state.undo.is_empty() && state.job == example::job();
            match source {
                Source::Kept | Source::OtherTab => state.change(*job, None),
                _ => state.replace(*job, false),
            }
            match source {
                Source::Kept => {
                    state.undo.clear();
                    state.revision = revision;
                }
                Source::OtherTab => state.say(
                    "This is the job of the other tab. Undo brings back the one that was here.",
                    false,
                ),
                Source::Practice => state.say(
                    "Made-up readings to practise on. Undo brings back what was here before.",
                    false,
                ),
                Source::Task(student) => state.say(
                    format!("These are the readings of number {student}."),
                    false,
                ),
                Source::Link => {
                    // Somebody's job is not the teacher's task.
                    if state.task.take().is_some() {
                        state.look();
                    }
                    // The link itself still holds the job: what this browser keeps is left alone until a change is made.
                    state.revision = revision;
                    if first_is_example {
                        state.undo.clear();
                        state.say("The job in the link was opened.", false);
                    } else {
                        state.say(
                            "The job in the link was opened. Undo brings back the one that was here.",
                            false,
                        );
                    }
                }
                Source::File(name) => state.say(
                    format!("{name} was opened. Undo brings back what was here before."),
                    false,
                ),
            }
        }
        Msg::Forget => {
            let forgotten = std::mem::take(&mut state.job);
            let was_example = example::is_shown(&forgotten);
            *state = State::first_visit();
            // Whoever pressed the button by mistake still has the page before them.
            let way_back = if was_example {
                ""
            } else {
                state.undo.push(forgotten);
                " Until the page is closed, Undo brings the readings back."
            };
            state.say(
                format!(
                    "Forgotten: this browser keeps nothing of your work any more. The example is back.{way_back}"
                ),
                false,
            );
        }
        Msg::Rival(rival) => state.rival = rival,
        Msg::TakeOther | Msg::KeepMine => state.rival = false,
        Msg::SetPlan { name, text } => state.planning.set(&name, text),
        Msg::OpenPlan(plan) => state.planning.open(*plan),
        Msg::ExamplePlan => state.planning.open(planning::example()),
        Msg::UsePlan => state.use_plan(),
        Msg::OpenTask { homework } => state.open_task(*homework),
        Msg::ResumeTask { task, answers } => {
            state.task = Some(*task);
            state.answers = answers;
            state.derive();
        }
        Msg::OpenSet { student } => {
            let task = state.task.as_mut();
            let job = task.and_then(|task| {
                let other = task.student.replace(student) != Some(student);
                // Answers belong to the readings of one number.
                if other {
                    task.attempted = false;
                    state.answers = Answers::default();
                }
                task.homework.job_of(Some(student))
            });
            if let Some(job) = job {
                let source = Source::Task(student);
                let job = Box::new(job);
                update(state, Msg::OpenJob { job, source });
            }
        }
        Msg::Attempt => state.attempt(),
        Msg::SetCell { row, column, text } => state.set_cell(row, column, &text),
        Msg::SetHeading { column, text } => {
            state.edit(Some(Typing::Heading(column)), |_, plain| {
                if plain.headings.len() <= column {
                    plain.headings.resize(column + 1, String::new());
                }
                if let Some(heading) = plain.headings.get_mut(column) {
                    *heading = text.replace(['\t', '\n', '\r'], " ");
                }
            });
        }
        Msg::Fill { row, column, block } => state.fill(row, column, &block),
        Msg::TakeBack => {
            if state.typing.take().is_some()
                && let Some(job) = state.undo.pop()
            {
                state.job = job;
                state.blank_row = None;
                state.revision += 1;
                state.derive();
            }
        }
        Msg::Settle => state.typing = None,
        Msg::InsertRow { row } => {
            if let RowPlace::Data(data) = state.place(row) {
                state.blank_row = Some(data);
                state.show_row(data);
            }
        }
        Msg::CloseBlankRow => {
            state.blank_row = None;
            state.show_row(state.first_row);
        }
        Msg::RemoveRow { row } => match state.place(row) {
            RowPlace::Data(data) => {
                state.blank_row = None;
                state.edit(None, |job, plain| edit::take_row(job, plain, data));
            }
            RowPlace::Blank(_) => state.blank_row = None,
        },
        Msg::AddColumn => state.add_column(),
        Msg::RemoveColumn { column } => {
            state.edit(None, |job, plain| edit::take_column(job, plain, column));
        }
        Msg::SetMeaning { column, meaning } => {
            state.choose_column(column, None, |choice| {
                choice.meaning = Some(meaning).filter(|meaning| !meaning.is_empty());
            });
        }
        Msg::SetUnit { column, text } => {
            state.choose_column(column, Some(Typing::Unit(column)), |choice| {
                choice.unit = text;
            });
        }
        Msg::SetSeries { column, text } => {
            state.choose_column(column, Some(Typing::Series(column)), |choice| {
                choice.length = text;
            });
        }
        Msg::Use { row, used } => {
            if let RowPlace::Data(data) = state.place(row) {
                let mut job = state.job.clone();
                job.exclude.retain(|&left_out| left_out != data + 1);
                if used {
                    job.reasons.remove(&(data + 1));
                } else {
                    job.exclude.push(data + 1);
                    job.exclude.sort_unstable();
                }
                state.change(job, None);
            }
        }
        Msg::SetReason { row, text } => {
            if let RowPlace::Data(data) = state.place(row) {
                let mut job = state.job.clone();
                if text.trim().is_empty() {
                    job.reasons.remove(&(data + 1));
                } else {
                    job.reasons.insert(data + 1, text);
                }
                state.change(job, Some(Typing::Reason(row)));
            }
        }
        Msg::SetField { field, text } => {
            let mut job = state.job.clone();
            *field.in_job(&mut job) = text;
            state.change(job, Some(Typing::Field(field)));
        }
        Msg::Choose(choice) => {
            let mut job = state.job.clone();
            choice.put_into(&mut job);
            state.change(job, None);
        }
        Msg::Undo => state.step_through(true),
        Msg::Redo => state.step_through(false),
        Msg::ShowRow { row } => state.show_row(row),
        Msg::SetTick(tick, on) => {
            let mut job = state.job.clone();
            tick.put_into(&mut job, on);
            state.change(job, None);
        }
        Msg::Simulated { revision, outcome } => {
            state.simulated = Some(Simulated { revision, outcome });
        }
        Msg::LightUp { rows } => {
            state.point = None;
            state.spoken_of = rows;
        }
        Msg::SetClass { text } => {
            state.class_text = text;
            state.judge_class();
        }
        Msg::CheckOn => {
            state.check_on();
        }
        Msg::SetAnswer { stage, text } => {
            // With its answers a task that was handed out has become the student's own work.
            state.own |= state.task.is_some();
            *state.answers.at_mut(stage) = text;
            state.judge_answers();
        }
        Msg::ShowBand(band) => state.band = band,
        Msg::Point(point) => {
            state.spoken_of.clear();
            state.point = point.filter(|&i| i < state.analysis.points.len());
        }
        Msg::Walk(by) => {
            state.spoken_of.clear();
            state.walk(by);
        }
        Msg::Say { text, trouble } => state.say(text, trouble),
        Msg::CloseStatus => {
            state.status = Status::default();
            state.refused = None;
        }
    }
}

/// Bytes in megabytes, to one decimal place.
fn tenths(bytes: usize) -> String {
    let tenths = bytes.div_ceil(100_000);
    format!("{}.{}", tenths / 10, tenths % 10)
}

#[cfg(test)]
mod tests {
    use super::*;

    const TABLE: &str = "I / A\tm / g\n0.50\t0.08\n1.00\t0.17\n1.50\t0.25\n2.00\t0.33\n";

    fn page() -> State {
        State::holding(Job {
            table: TABLE.to_owned(),
            ..Job::default()
        })
    }

    fn cell(row: usize, column: usize, text: &str) -> Msg {
        Msg::SetCell {
            row,
            column,
            text: text.to_owned(),
        }
    }

    fn column(state: &State, column: usize) -> Vec<&str> {
        (0..state.grid_rows())
            .map(|row| state.cell(row, column))
            .collect()
    }

    #[test]
    fn what_is_typed_in_one_cell_is_one_step_back() {
        let mut state = page();
        update(&mut state, cell(1, 1, "0"));
        update(&mut state, cell(1, 1, "0.1"));
        update(&mut state, cell(1, 1, "0.16"));
        assert_eq!(state.cell(1, 1), "0.16");
        update(&mut state, Msg::Settle);
        update(&mut state, cell(1, 1, "0.18"));
        update(&mut state, Msg::Undo);
        assert_eq!(state.cell(1, 1), "0.16");
        update(&mut state, Msg::Undo);
        assert_eq!(state.cell(1, 1), "0.17");
        assert!(!state.can_undo());
        update(&mut state, Msg::Redo);
        update(&mut state, Msg::Redo);
        assert_eq!(state.cell(1, 1), "0.18");
    }

    #[test]
    fn escape_takes_back_what_was_typed_since_the_cell_was_entered() {
        let mut state = page();
        update(&mut state, cell(0, 1, "9"));
        update(&mut state, Msg::Settle);
        update(&mut state, cell(1, 1, "7"));
        update(&mut state, cell(1, 1, "77"));
        update(&mut state, Msg::TakeBack);
        assert_eq!((state.cell(0, 1), state.cell(1, 1)), ("9", "0.17"));
        update(&mut state, Msg::TakeBack);
        assert_eq!(state.cell(0, 1), "9", "nothing was typed since");
    }

    #[test]
    fn the_row_below_the_last_takes_new_readings() {
        let mut state = page();
        assert_eq!(state.place(4), RowPlace::Blank(4));
        update(&mut state, cell(4, 0, "2"));
        update(&mut state, cell(4, 0, "2.5"));
        update(&mut state, cell(4, 1, "0.42"));
        assert_eq!(state.plain().rows.len(), 5);
        assert_eq!(state.place(5), RowPlace::Blank(5));
        update(&mut state, cell(5, 0, "  "));
        assert_eq!(state.plain().rows.len(), 5, "blanks are no reading");
    }

    #[test]
    fn a_row_that_was_emptied_stays_in_view_until_it_is_left() {
        let mut state = page();
        update(
            &mut state,
            Msg::Use {
                row: 2,
                used: false,
            },
        );
        update(&mut state, cell(1, 0, ""));
        update(&mut state, cell(1, 1, ""));
        assert_eq!(column(&state, 0), ["0.50", "", "1.50", "2.00", ""]);
        assert_eq!(state.job().exclude, [2], "moved up with its row");
        update(&mut state, cell(1, 0, "1.1"));
        assert_eq!(column(&state, 0), ["0.50", "1.1", "1.50", "2.00", ""]);
        assert_eq!(state.job().exclude, [3]);
        update(&mut state, cell(1, 0, ""));
        update(&mut state, Msg::CloseBlankRow);
        assert_eq!(column(&state, 0), ["0.50", "1.50", "2.00", ""]);
    }

    #[test]
    fn a_row_is_inserted_and_removed() {
        let mut state = page();
        update(&mut state, Msg::InsertRow { row: 1 });
        assert_eq!(state.place(1), RowPlace::Blank(1));
        assert_eq!(
            state.job().table,
            TABLE,
            "a blank row is no part of the job"
        );
        update(&mut state, cell(1, 1, "0.12"));
        assert_eq!(
            column(&state, 1),
            ["0.08", "0.12", "0.17", "0.25", "0.33", ""]
        );
        update(&mut state, Msg::RemoveRow { row: 0 });
        assert_eq!(column(&state, 1), ["0.12", "0.17", "0.25", "0.33", ""]);
    }

    #[test]
    fn a_block_fills_from_its_cell_and_makes_rows() {
        let mut state = page();
        let block = edit::block("0.34\t0.35\n0.43\t0.44");
        update(
            &mut state,
            Msg::Fill {
                row: 3,
                column: 1,
                block,
            },
        );
        assert_eq!(state.plain().rows.len(), 5);
        assert_eq!((state.cell(3, 1), state.cell(4, 2)), ("0.34", "0.44"));
        assert_eq!(state.cell(0, 0), "0.50");
        update(&mut state, Msg::Undo);
        assert_eq!(state.job().table, TABLE);
    }

    #[test]
    fn a_pasted_table_takes_the_place_and_undo_brings_the_old_one_back() {
        let mut state = State::first_visit();
        update(
            &mut state,
            Msg::ReplaceTable {
                text: TABLE.to_owned(),
            },
        );
        assert_eq!(state.job().table, TABLE);
        assert_eq!(
            state.job().apparatus.length,
            "",
            "the example's length is not the user's"
        );
        assert!(state.status().text.contains("4 rows, 2 columns"));
        update(&mut state, Msg::Undo);
        assert_eq!(*state.job(), example::job());
    }

    #[test]
    fn what_holds_no_line_leaves_the_job_as_it_was() {
        let five_megabytes = "x".repeat(5_000_000);
        let cases = [
            ("", "holds no text"),
            (" \n\t\n", "holds no text"),
            ("no numbers\nat all", "No readings found"),
            ("I / A\tm / g\n0.50\t0.08", "Only one row"),
            (
                "I / A\tm / g\n1.00\t0.08\n1.00\t0.09\n1.00\t0.07",
                "same current",
            ),
            (five_megabytes.as_str(), "5.0 MB long"),
        ];
        for (text, said) in cases {
            let mut state = page();
            update(
                &mut state,
                Msg::ReplaceTable {
                    text: text.to_owned(),
                },
            );
            assert_eq!(state.job().table, TABLE, "{said}");
            assert!(state.status().trouble);
            assert!(
                state.status().text.contains(said),
                "{said}: {}",
                state.status().text
            );
        }
    }

    #[test]
    fn what_was_refused_can_be_used_all_the_same() {
        let mut state = page();
        let one_row = "I / A\tm / g\n0.50\t0.08";
        update(
            &mut state,
            Msg::ReplaceTable {
                text: one_row.to_owned(),
            },
        );
        assert!(state.status().offer);
        update(&mut state, Msg::UseRefused);
        assert_eq!(state.job().table, one_row);
        assert_eq!(*state.status(), Status::default());
        update(&mut state, Msg::Undo);
        assert_eq!(state.job().table, TABLE);
    }

    #[test]
    fn a_row_is_left_out_with_a_reason_and_taken_in_again() {
        let mut state = page();
        update(
            &mut state,
            Msg::Use {
                row: 1,
                used: false,
            },
        );
        update(
            &mut state,
            Msg::SetReason {
                row: 1,
                text: "knocked the bench".to_owned(),
            },
        );
        assert_eq!(state.job().exclude, [2]);
        assert_eq!(
            state.job().reasons.get(&2).map(String::as_str),
            Some("knocked the bench")
        );
        assert_eq!(state.cell(1, 1), "0.17", "it stays in the table");
        update(&mut state, Msg::Use { row: 1, used: true });
        assert!(state.job().exclude.is_empty() && state.job().reasons.is_empty());
    }

    #[test]
    fn a_choice_for_a_column_goes_when_it_is_emptied() {
        let mut state = page();
        update(
            &mut state,
            Msg::SetMeaning {
                column: 1,
                meaning: "force".to_owned(),
            },
        );
        update(
            &mut state,
            Msg::SetUnit {
                column: 1,
                text: "mN".to_owned(),
            },
        );
        assert_eq!(state.job().columns.len(), 1);
        assert_eq!(state.job().columns[0].unit, "mN");
        update(
            &mut state,
            Msg::SetMeaning {
                column: 1,
                meaning: String::new(),
            },
        );
        update(
            &mut state,
            Msg::SetUnit {
                column: 1,
                text: String::new(),
            },
        );
        assert!(state.job().columns.is_empty());
    }

    #[test]
    fn a_column_of_repeats_is_added_and_removed() {
        let mut state = page();
        update(&mut state, Msg::AddColumn);
        assert_eq!(state.grid_columns(), 3);
        update(&mut state, cell(0, 2, "0.09"));
        assert_eq!(state.cell(0, 2), "0.09");
        update(&mut state, Msg::RemoveColumn { column: 2 });
        assert_eq!(state.grid_columns(), 2);
        assert_eq!(state.cell(3, 1), "0.33");
    }

    #[test]
    fn fields_and_lists_have_names_that_lead_back() {
        for field in Field::ALL {
            assert_eq!(Field::named(field.name()), Some(field));
        }
        let job = Job::default();
        for list in Choice::LISTS {
            let shown = Choice::shown(list, &job);
            assert!(Choice::named(list, shown).is_some(), "{list}");
        }
        assert_eq!(Choice::named("fit", "by eye"), None);
    }

    #[test]
    fn a_link_leaves_what_is_kept_alone_until_a_change() {
        let mut state = page();
        let opened = Job {
            title: "From a link".to_owned(),
            ..example::job()
        };
        update(
            &mut state,
            Msg::OpenJob {
                job: Box::new(opened.clone()),
                source: Source::Link,
            },
        );
        assert_eq!(state.revision(), 0);
        assert_eq!(*state.job(), opened);
        update(
            &mut state,
            Msg::SetField {
                field: Field::Length,
                text: "4 cm".to_owned(),
            },
        );
        assert_eq!(state.revision(), 1);
        update(&mut state, Msg::Undo);
        update(&mut state, Msg::Undo);
        assert_eq!(state.job().table, TABLE);
    }

    #[test]
    fn a_long_table_is_shown_in_windows() {
        let mut table = "I / A\tm / g\n".to_owned();
        for row in 0..200 {
            table.push_str(&format!("{}.5\t0.{row:03}\n", row));
        }
        let mut state = State::holding(Job {
            table,
            ..Job::default()
        });
        assert_eq!(state.first_row(), 0);
        update(&mut state, Msg::ShowRow { row: 130 });
        assert_eq!(state.first_row(), 2 * WINDOW);
        update(&mut state, Msg::ShowRow { row: usize::MAX });
        assert_eq!(state.first_row(), 200 / WINDOW * WINDOW);
    }

    #[test]
    fn undo_keeps_no_more_than_so_many_jobs_and_bytes() {
        let mut state = page();
        for step in 0..UNDO_STEPS + 20 {
            update(&mut state, cell(0, 1, &format!("0.{step}")));
            update(&mut state, Msg::Settle);
        }
        assert_eq!(state.undo.len(), UNDO_STEPS);
    }

    #[test]
    fn a_second_table_keeps_the_length_and_says_so() {
        let mut state = page();
        update(
            &mut state,
            Msg::SetField {
                field: Field::Length,
                text: "8.4 cm".to_owned(),
            },
        );
        let text = "I / A\tm / g\n1\t0.1\n2\t0.2\n3\t0.3\n".to_owned();
        update(&mut state, Msg::ReplaceTable { text });
        let status = state.status().clone();
        assert!(
            status.text.contains("L = 8.4 cm") && status.text.contains("Check that"),
            "{}",
            status.text
        );
        assert!(status.look_at.contains(&Field::Length));

        update(&mut state, Msg::Walk(1));
        assert_eq!(state.status(), &status, "looking around is no answer");
        update(&mut state, cell(0, 1, "0.11"));
        assert_eq!(state.status(), &Status::default());
    }

    #[test]
    fn trouble_stays_until_it_is_closed() {
        let mut state = page();
        update(
            &mut state,
            Msg::ReplaceTable {
                text: String::new(),
            },
        );
        update(&mut state, cell(0, 1, "0.11"));
        assert!(state.status().trouble);
        update(&mut state, Msg::CloseStatus);
        assert_eq!(state.status(), &Status::default());
    }

    #[test]
    fn points_are_walked_and_stay_within_the_table() {
        let mut state = page();
        update(&mut state, Msg::Walk(1));
        assert_eq!(state.point(), Some(0));
        update(&mut state, Msg::Walk(isize::MAX));
        assert_eq!(state.point(), Some(3));
        update(&mut state, Msg::Walk(-1));
        assert_eq!(state.point(), Some(2));
        update(&mut state, Msg::Point(Some(99)));
        assert_eq!(state.point(), None);
    }

    #[test]
    fn a_class_is_checked_some_rows_at_a_time_and_comes_out_the_same() {
        let mut state = page();
        let field = Field::Length;
        let length = "5.0 cm".to_owned();
        update(
            &mut state,
            Msg::SetField {
                field,
                text: length,
            },
        );
        let rows: String = (0..330)
            .map(|n| format!("S{n}\t{}\n", 30 + n % 7))
            .collect();
        let text = format!("Name\tB / mT\n{rows}");
        update(&mut state, Msg::SetClass { text: text.clone() });
        let mut times = 0;
        while state.checking().is_some() {
            assert!(state.class().students.is_empty(), "half a class is shown");
            update(&mut state, Msg::CheckOn);
            times += 1;
        }
        assert!(times >= 3, "{times}");
        let at_once = yokeline_core::check::class::class(&work(state.job()), &text);
        assert_eq!(*state.class(), at_once);
        assert_eq!(state.class().students.len(), 330);
    }
}
