//! The numbers of each column, and notes on the cells that are none.
//!
//! Start at [`read_columns`]. Every cell is read once; a second look is taken only at columns in which the decimal
//! mark is open or mixed.

use std::mem::discriminant;

use super::decide::Plan;
use super::grid::Grid;
use super::layout::Layout;
use super::sample::Sample;
use super::split::Split;
use super::{Cell, Choices, Column, NoteKind, Notes, Number, Role, Seen, Weight};
use crate::figures::{DecimalMark, Figure, FigureError, Uncertainty, Unit, excerpt};

/// Rows looked at before anything is decided.
const SAMPLED_ROWS: usize = 200;
/// Texts kept with a note; all rows are kept.
const KEPT_TEXTS: usize = 5;

/// The first numbers of every column.
pub(super) fn samples(grid: &Grid, layout: &Layout) -> Vec<Sample> {
    (0..layout.headings.len())
        .map(|column| sample(grid, layout, column))
        .collect()
}

fn sample(grid: &Grid, layout: &Layout, column: usize) -> Sample {
    let mut sample = Sample::default();
    for row in 0..layout.rows.min(SAMPLED_ROWS) {
        let text = layout.get(grid, row, column);
        let figure = Figure::parse(text, DecimalMark::Either);
        sample
            .values
            .push(figure.as_ref().ok().map(|figure| figure.value));
        match figure {
            Ok(figure) => {
                sample.numbers += 1;
                let Some(unit) = figure.unit else { continue };
                match sample.units.iter_mut().find(|(other, _)| *other == unit) {
                    Some((_, count)) => *count += 1,
                    None => sample.units.push((unit, 1)),
                }
            }
            Err(FigureError::NotANumber(_)) => sample.texts += 1,
            Err(FigureError::Percent(_)) => sample.numbers += 1,
            // A date, a slip or an error cell stands where a number stood: it says nothing about the column.
            Err(_) => {}
        }
    }
    sample
}

/// Reads all columns as planned.
pub(super) fn read_columns(
    split: &Split,
    layout: &Layout,
    plans: Vec<Plan>,
    choices: &Choices,
    notes: &mut Notes,
) -> Vec<Column> {
    let mark = choices.decimal.unwrap_or_default();
    let reader = Reader {
        grid: &split.grid,
        layout,
        mark,
        unclear: split
            .double_comma
            .as_ref()
            .map_or(&[], |found| &found.unclear),
    };
    let mut read: Vec<Reading> = plans
        .iter()
        .enumerate()
        .map(|(column, plan)| reader.read(column, plan, mark))
        .collect();
    let (commas, points) = read.iter().fold((0, 0), |(commas, points), reading| {
        (commas + reading.commas, points + reading.points)
    });
    let any_date = read.iter().any(|reading| reading.dates > 0);
    for (column, (reading, plan)) in read.iter_mut().zip(&plans).enumerate() {
        reader.settle_marks(column, plan, reading, commas, points, notes);
        if matches!(
            plan.role,
            Role::Current | Role::Reading | Role::FullReading | Role::Force
        ) {
            reader.refuse_day_numbers(column, reading, any_date, notes);
        }
    }
    let filled: Vec<bool> = read.iter().map(|reading| reading.filled > 0).collect();
    for (column, (reading, plan)) in read.iter_mut().zip(&plans).enumerate() {
        if plan.role == Role::Ignored || plan.role == Role::Comment {
            continue;
        }
        let blanks = std::mem::take(&mut reading.blanks);
        let missing = if filled.get(column) == Some(&true) {
            reader.missing(column, blanks)
        } else {
            Seen::default()
        };
        reading.tell(column, plan, missing, notes);
        reader.tell_fewer_decimals(column, plan, reading, notes);
    }
    scale_percentages(&mut read, &plans);
    plans
        .into_iter()
        .zip(read)
        .map(|(plan, reading)| column(plan, reading))
        .collect()
}

fn column(plan: Plan, reading: Reading) -> Column {
    let uncertainty = plan.heading.uncertainty.map(|(value, unit)| {
        let unit = unit
            .filter(|unit| {
                plan.unit
                    .is_none_or(|own| own.quantity() == unit.quantity())
            })
            .or(plan.unit);
        unit.map_or(value, |unit| unit.to_si(value))
    });
    Column {
        heading: plan.heading.text,
        name: plan.heading.name,
        symbol: plan.heading.symbol,
        role: plan.role,
        guessed: plan.guessed,
        unit: plan.unit,
        uncertainty,
        series: plan.series,
        way: plan.way,
        cells: reading.cells,
        decimals: reading.decimals,
    }
}

/// What came of reading one column. Rows are counted from 0 until they go into a [`Seen`].
#[derive(Default)]
struct Reading {
    cells: Vec<Cell>,
    filled: usize,
    decimals: Option<i32>,
    /// Numbers with a decimal comma, and with a decimal point.
    commas: usize,
    points: usize,
    thousands: usize,
    dates: usize,
    /// Cells that may be a spreadsheet's day numbers.
    day_numbers: usize,
    /// Rows whose only mark may be a decimal mark or not.
    open: Vec<usize>,
    /// Rows without a reading.
    blanks: Vec<usize>,
    unclear: Seen,
    mixed: Seen,
    unlikely: Seen,
    wrong: Seen,
    unusable: Vec<(FigureError, Seen)>,
    /// Rows in which an uncertainty is a percentage of its value.
    percentages: Vec<usize>,
}

impl Seen {
    fn add(&mut self, row: usize, text: &str) {
        self.rows.push(row + 1);
        if self.texts.len() < KEPT_TEXTS {
            self.texts.push(excerpt(text));
        }
    }
}

impl Reading {
    fn refuse(&mut self, row: usize, text: &str, error: FigureError) {
        self.dates += usize::from(matches!(error, FigureError::DateLike(_)));
        let same =
            |(other, _): &&mut (FigureError, Seen)| discriminant(other) == discriminant(&error);
        match self.unusable.iter_mut().find(same) {
            Some((_, seen)) => seen.add(row, text),
            None => {
                let mut seen = Seen::default();
                seen.add(row, text);
                self.unusable.push((error, seen));
            }
        }
    }

    /// Puts the notes on single cells.
    fn tell(&mut self, column: usize, plan: &Plan, missing: Seen, notes: &mut Notes) {
        if !missing.rows.is_empty() {
            notes.column(column, Weight::Told, NoteKind::Missing(missing));
        }
        for (reason, seen) in std::mem::take(&mut self.unusable) {
            notes.column(column, Weight::Trouble, NoteKind::Unusable { reason, seen });
        }
        for (seen, weight, kind) in [
            (
                &mut self.wrong,
                Weight::Trouble,
                NoteKind::WrongQuantity as fn(Seen) -> NoteKind,
            ),
            (&mut self.unclear, Weight::Trouble, NoteKind::PiecesUnclear),
            (&mut self.mixed, Weight::Told, NoteKind::UnitsMixed),
            (&mut self.unlikely, Weight::Asked, NoteKind::UnitUnlikely),
        ] {
            if !seen.rows.is_empty() && plan.role != Role::Ignored {
                notes.column(column, weight, kind(std::mem::take(seen)));
            }
        }
    }

    fn count_decimals(&mut self, decimals: i32) {
        self.decimals = Some(self.decimals.map_or(decimals, |most| most.max(decimals)));
    }
}

struct Reader<'t> {
    grid: &'t Grid,
    layout: &'t Layout,
    mark: DecimalMark,
    /// The grid's rows whose commas cannot be told apart.
    unclear: &'t [usize],
}

impl Reader<'_> {
    fn text(&self, row: usize, column: usize) -> &str {
        self.layout.get(self.grid, row, column)
    }

    fn read(&self, column: usize, plan: &Plan, mark: DecimalMark) -> Reading {
        let mut reading = Reading {
            cells: Vec::with_capacity(self.layout.rows),
            ..Reading::default()
        };
        let uncertain = matches!(plan.role, Role::UncertaintyOf(_));
        for row in 0..self.layout.rows {
            let text = self.text(row, column);
            if text.is_empty() || plan.role == Role::Comment {
                reading.blanks.push(row);
                reading.cells.push(Cell::Empty);
                continue;
            }
            reading.filled += 1;
            reading.day_numbers += usize::from(is_day_number(text));
            if self.layout.is_among(row, self.unclear) {
                reading.unclear.add(row, text);
                reading.cells.push(Cell::Unusable);
                continue;
            }
            let figure = if uncertain {
                self.uncertainty(row, text, plan, mark, &mut reading)
            } else {
                Figure::parse(text, mark)
            };
            let cell = match figure {
                Ok(figure) => self.number(row, text, plan.unit, &figure, &mut reading),
                Err(error) if error.is_missing() => {
                    reading.blanks.push(row);
                    Cell::Empty
                }
                Err(error) => {
                    reading.refuse(row, text, error);
                    Cell::Unusable
                }
            };
            reading.cells.push(cell);
        }
        reading
    }

    /// An uncertainty in a column of them; percentages are noted and scaled when the values are known.
    fn uncertainty(
        &self,
        row: usize,
        text: &str,
        plan: &Plan,
        mark: DecimalMark,
        reading: &mut Reading,
    ) -> Result<Figure, FigureError> {
        match Uncertainty::parse(text, mark)? {
            Uncertainty::Absolute(figure) => {
                if plan.percent && figure.unit.is_none() {
                    reading.percentages.push(row);
                }
                Ok(figure)
            }
            Uncertainty::Percent(figure) => {
                reading.percentages.push(row);
                Ok(figure)
            }
        }
    }

    fn number(
        &self,
        row: usize,
        text: &str,
        unit: Option<Unit>,
        figure: &Figure,
        reading: &mut Reading,
    ) -> Cell {
        let remarks = figure.remarks;
        if remarks.ambiguous_mark {
            reading.open.push(row);
        } else if remarks.decimal_comma {
            reading.commas += 1;
        } else if figure.decimals > 0 {
            reading.points += 1;
        }
        reading.thousands += usize::from(remarks.thousands);
        let mut decimals = figure.decimals;
        if let (Some(own), Some(unit)) = (figure.unit, unit) {
            if own.quantity() != unit.quantity() {
                reading.wrong.add(row, text);
                return Cell::Unusable;
            }
            if own != unit {
                let shift = match (unit.decimal_exponent(), own.decimal_exponent()) {
                    (Some(column), Some(cell)) => column - cell,
                    _ => 0,
                };
                decimals += shift;
                // Six powers of ten away from its column is no unit for the same instrument.
                if shift.abs() >= 6 {
                    reading.unlikely.add(row, text);
                } else {
                    reading.mixed.add(row, text);
                }
            }
        }
        reading.count_decimals(decimals);
        let own = figure.unit.or(unit);
        let si = |value: f64| own.map_or(value, |unit| unit.to_si(value));
        Cell::Number(Number {
            value_si: si(figure.value),
            uncertainty_si: figure.uncertainty.map(si),
            decimals,
        })
    }

    /// Decides what an open mark is, re-reads the cells concerned, and tells of marks that differ.
    fn settle_marks(
        &self,
        column: usize,
        plan: &Plan,
        reading: &mut Reading,
        commas: usize,
        points: usize,
        notes: &mut Notes,
    ) {
        let unused = matches!(plan.role, Role::Ignored | Role::Comment);
        for mark in [',', '.'] {
            let rows: Vec<usize> = reading
                .open
                .iter()
                .copied()
                .filter(|row| self.text(*row, column).contains(mark))
                .collect();
            if rows.is_empty() {
                continue;
            }
            let (own, other) = if mark == ',' {
                (reading.commas, reading.points)
            } else {
                (reading.points, reading.commas)
            };
            let (table_own, table_other) = if mark == ',' {
                (commas, points)
            } else {
                (points, commas)
            };
            let evidence = if own != other {
                own > other
            } else {
                table_own >= table_other
            };
            let is_plain = if own + other > 0 {
                own > other
            } else {
                table_own > table_other
            };
            let no_evidence = own + other == 0 && table_own + table_other == 0;
            let mut thousands = if no_evidence {
                self.whole_numbers_reach_hundreds(column, reading)
            } else {
                !evidence
            };
            let opposite = if mark == ',' {
                DecimalMark::Point
            } else {
                DecimalMark::Comma
            };
            // Thousands of amperes are no school bench's: the mark is a decimal mark after all.
            if thousands && plan.role == Role::Current {
                let absurd = |row: &usize| {
                    let figure = Figure::parse(self.text(*row, column), opposite);
                    let unit = plan.unit.unwrap_or(Unit::AMPERE);
                    figure.is_ok_and(|figure| figure.si_or(unit).abs() >= 200.0)
                };
                thousands = !rows.iter().any(absurd);
            }
            let mut seen = Seen::default();
            for row in rows {
                let text = self.text(row, column);
                seen.add(row, text);
                if thousands && let Ok(figure) = Figure::parse(text, opposite) {
                    let mut scratch = Reading::default();
                    let cell = self.number(row, text, plan.unit, &figure, &mut scratch);
                    if let Some(place) = reading.cells.get_mut(row) {
                        *place = cell;
                    }
                }
            }
            let quiet = !thousands && is_plain;
            if !quiet && !unused {
                let weight = if thousands || mark == ',' || !evidence {
                    Weight::Asked
                } else {
                    Weight::Told
                };
                notes.column(
                    column,
                    weight,
                    NoteKind::OpenMark {
                        mark,
                        thousands,
                        seen,
                    },
                );
            }
        }
        if !reading.open.is_empty() {
            let numbers = reading.cells.iter().filter_map(Cell::number);
            reading.decimals = numbers.map(|number| number.decimals).max();
        }
        if unused {
            return;
        }
        if reading.commas > 0 && reading.points > 0 {
            let comma_is_rare = reading.commas <= reading.points;
            let mark = if comma_is_rare { ',' } else { '.' };
            let seen = self.seen(column, |figure| {
                !figure.remarks.ambiguous_mark
                    && figure.decimals > 0
                    && figure.remarks.decimal_comma == comma_is_rare
            });
            notes.column(column, Weight::Told, NoteKind::OtherMark { mark, seen });
        }
        if reading.thousands > 0 {
            let seen = self.seen(column, |figure| figure.remarks.thousands);
            notes.column(column, Weight::Told, NoteKind::Thousands(seen));
        }
    }

    /// Whether the column's whole numbers are large enough for the next to be thousands: 500, 750, then 1.000.
    fn whole_numbers_reach_hundreds(&self, column: usize, reading: &Reading) -> bool {
        let mut largest: f64 = 0.0;
        for row in (0..self.layout.rows).filter(|row| reading.open.binary_search(row).is_err()) {
            if let Ok(figure) = Figure::parse(self.text(row, column), self.mark) {
                largest = largest.max(figure.value.abs());
            }
        }
        largest >= 100.0
    }

    /// The cells of a column whose figure is of some kind.
    fn seen(&self, column: usize, wanted: impl Fn(&Figure) -> bool) -> Seen {
        let mut seen = Seen::default();
        for row in 0..self.layout.rows {
            let text = self.text(row, column);
            if Figure::parse(text, self.mark).is_ok_and(|figure| wanted(&figure)) {
                seen.add(row, text);
            }
        }
        seen
    }

    /// Takes out whole numbers that are a spreadsheet's day numbers of the years 2000 to 2049, unless the column is
    /// full of numbers of that size.
    fn refuse_day_numbers(
        &self,
        column: usize,
        reading: &mut Reading,
        any_date: bool,
        notes: &mut Notes,
    ) {
        if reading.day_numbers == 0 {
            return;
        }
        let suspects: Vec<usize> = (0..self.layout.rows)
            .filter(|row| is_day_number(self.text(*row, column)))
            .collect();
        let ordinary = |row: &usize| {
            let is_number = reading
                .cells
                .get(*row)
                .is_some_and(|cell| cell.number().is_some());
            is_number && !is_day_number(self.text(*row, column))
        };
        let others: Vec<usize> = (0..self.layout.rows).filter(ordinary).collect();
        let small = |row: &usize| {
            Figure::parse(self.text(*row, column), self.mark)
                .is_ok_and(|figure| figure.value.abs() < 1000.0)
        };
        if !any_date && (others.is_empty() || !others.iter().all(small)) {
            return;
        }
        let mut seen = Seen::default();
        for row in suspects {
            seen.add(row, self.text(row, column));
            if let Some(cell) = reading.cells.get_mut(row) {
                *cell = Cell::Unusable;
            }
        }
        reading.decimals = reading
            .cells
            .iter()
            .filter_map(Cell::number)
            .map(|number| number.decimals)
            .max();
        notes.column(column, Weight::Trouble, NoteKind::DateNumber(seen));
    }

    /// The cells without a reading, in rows that have another.
    fn missing(&self, column: usize, rows: Vec<usize>) -> Seen {
        let mut seen = Seen::default();
        let columns = self.layout.headings.len();
        for row in rows {
            let text = self.text(row, column);
            if !text.is_empty() || (0..columns).any(|other| !self.text(row, other).is_empty()) {
                seen.add(row, text);
            }
        }
        seen
    }

    /// Names cells that are written to fewer places than at least half of their fellows.
    fn tell_fewer_decimals(
        &self,
        column: usize,
        plan: &Plan,
        reading: &Reading,
        notes: &mut Notes,
    ) {
        let measured = matches!(
            plan.role,
            Role::Current
                | Role::Reading
                | Role::FullReading
                | Role::Zero
                | Role::ZeroBefore
                | Role::ZeroAfter
                | Role::Force
        );
        let Some(most) = reading.decimals.filter(|most| measured && *most > 0) else {
            return;
        };
        let numbers = || {
            reading
                .cells
                .iter()
                .enumerate()
                .filter_map(|(row, cell)| Some((row, cell.number()?)))
        };
        let total = numbers().count();
        let full = numbers()
            .filter(|(_, number)| number.decimals == most)
            .count();
        if full == total || full * 2 < total {
            return;
        }
        let mut seen = Seen::default();
        for (row, _) in numbers().filter(|(_, number)| number.decimals < most) {
            seen.add(row, self.text(row, column));
        }
        // A bare 0 at the start is how nearly everybody writes it: not worth a note of its own.
        if seen.rows == [1] && seen.texts == ["0"] {
            return;
        }
        notes.column(
            column,
            Weight::Told,
            NoteKind::FewerDecimals {
                decimals: most,
                seen,
            },
        );
    }
}

/// Whether the text is a spreadsheet's number of a day in the years 2000 to 2049.
fn is_day_number(text: &str) -> bool {
    text.len() == 5
        && text.bytes().all(|byte| byte.is_ascii_digit())
        && text
            .parse()
            .is_ok_and(|day: u32| (36_526..=54_788).contains(&day))
}

/// Makes percentages into uncertainties of their values.
fn scale_percentages(read: &mut [Reading], plans: &[Plan]) {
    for (column, plan) in plans.iter().enumerate() {
        let Role::UncertaintyOf(of) = plan.role else {
            continue;
        };
        let rows = read
            .get(column)
            .map(|reading| reading.percentages.clone())
            .unwrap_or_default();
        for row in rows {
            let value = of
                .checked_sub(1)
                .and_then(|of| read.get(of)?.cells.get(row)?.number().copied());
            let Some(cell) = read
                .get_mut(column)
                .and_then(|reading| reading.cells.get_mut(row))
            else {
                continue;
            };
            let Cell::Number(number) = cell else { continue };
            // The number was read in the column's unit; its percentage is the number as typed.
            let percent = plan
                .unit
                .map_or(number.value_si, |unit| unit.from_si(number.value_si));
            *cell = match value {
                Some(value) => Cell::Number(Number {
                    value_si: percent / 100.0 * value.value_si.abs(),
                    uncertainty_si: None,
                    decimals: value.decimals,
                }),
                None => Cell::Empty,
            };
        }
    }
}
