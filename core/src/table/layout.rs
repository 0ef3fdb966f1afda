//! Which lines are title, headings, units and readings, and whether the table lies on its side.
//!
//! Start at [`Layout::of`]. Everything is judged from the first lines, so that a long table costs no more than a short
//! one.

use super::grid::Grid;
use super::heading::{Heading, is_missing, lone_unit, one_line};
use super::{LARGEST_COLUMN_COUNT, Lie};
use crate::figures::{DecimalMark, Figure};

/// The parts of a table, as places in the grid.
#[derive(Clone, Debug, Default)]
pub(super) struct Layout {
    pub(super) across: bool,
    pub(super) title: Option<String>,
    /// One heading a column, empty where there is none; units from a row of units joined to them.
    pub(super) headings: Vec<String>,
    pub(super) has_headings: bool,
    pub(super) has_units_row: bool,
    /// Comment lines that are no part of the table.
    pub(super) comments: Vec<String>,
    /// Down: the grid's row of each reading. Across: the grid's row of each quantity.
    lines: Vec<usize>,
    /// The grid's first used column. Across: the first column of readings.
    first: usize,
    pub(super) rows: usize,
    /// Columns that the table would have without the limit.
    pub(super) found_columns: usize,
}

/// Lines looked at when headings are searched.
const SURVEYED_LINES: usize = 60;

/// What a cell looks like before anything is known about its column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Look {
    Empty,
    Number,
    Text,
}

impl Layout {
    /// Lays a grid out. `lies` overrules the guess whether readings run down or across.
    pub(super) fn of(grid: &mut Grid, lies: Option<Lie>) -> Layout {
        let mut comments = comment_lines(grid);
        let mut lines: Vec<usize> = (0..grid.height())
            .filter(|row| !grid.is_comment(*row))
            .collect();
        trim_blank(grid, &mut lines);
        let across = match lies {
            Some(lie) => lie == Lie::Across,
            None => lies_across(grid, &lines),
        };
        let mut layout = Layout {
            across,
            ..Layout::default()
        };
        if across {
            layout.lay_across(grid, &lines);
        } else {
            if let Some(line) = commented_headings(grid, &lines, &comments) {
                grid.uncomment(line);
                comments.retain(|comment| *comment != line);
                let place = lines.partition_point(|other| *other < line);
                lines.insert(place, line);
            }
            layout.lay_down(grid, lines);
        }
        layout.comments = comments.into_iter().map(|row| joined(grid, row)).collect();
        layout
    }

    /// The text of a cell, row and column from 0.
    pub(super) fn get<'g>(&self, grid: &'g Grid, row: usize, column: usize) -> &'g str {
        if self.across {
            self.lines
                .get(column)
                .map_or("", |line| grid.get(*line, self.first + row))
        } else {
            self.lines
                .get(row)
                .map_or("", |line| grid.get(*line, self.first + column))
        }
    }

    /// Whether a row of readings stands in one of the grid's rows in `lines`, which are in order.
    pub(super) fn is_among(&self, row: usize, lines: &[usize]) -> bool {
        !lines.is_empty()
            && !self.across
            && self
                .lines
                .get(row)
                .is_some_and(|line| lines.binary_search(line).is_ok())
    }

    fn lay_down(&mut self, grid: &Grid, lines: Vec<usize>) {
        let zone = lines
            .iter()
            .take(SURVEYED_LINES)
            .position(|line| is_data_line(grid, *line, &lines))
            .unwrap_or_else(|| lines.len().min(SURVEYED_LINES));
        let head = lines.get(..zone).unwrap_or_default();
        let picked = pick_headings(grid, head, &lines);
        let mut data_from = picked.end;
        let mut heads: Vec<Vec<String>> = picked
            .lines
            .iter()
            .filter_map(|index| lines.get(*index))
            .map(|line| {
                grid.row(*line)
                    .map(|cell| one_line(cell.trim_start_matches("# ")))
                    .collect()
            })
            .collect();
        self.has_units_row = picked.has_units;
        let titles: Vec<String> = lines
            .iter()
            .take(picked.titles)
            .map(|line| joined(grid, *line))
            .filter(|text| !text.is_empty())
            .collect();
        self.title = (!titles.is_empty()).then(|| titles.join(" "));
        if let Some(line) = lines
            .get(data_from)
            .filter(|line| is_numbered_subheading(grid, **line, heads.last()))
        {
            let labels: Vec<String> = grid.row(*line).map(one_line).collect();
            if let Some(head) = heads.last_mut() {
                *head = label_headings(head, &labels);
                data_from += 1;
            }
        }
        self.lines = lines.into_iter().skip(data_from).collect();
        if self.has_headings_in(&heads) {
            while self
                .lines
                .last()
                .is_some_and(|line| grid.row(*line).all(str::is_empty))
            {
                self.lines.pop();
            }
        } else {
            trim_blank(grid, &mut self.lines);
        }
        self.rows = self.lines.len();
        let heading_at = |column: usize| {
            let mut parts = heads
                .iter()
                .map(|head| head.get(column).map_or("", String::as_str));
            let name = parts.next().unwrap_or_default();
            parts.fold(name.to_owned(), |name, unit| with_unit(&name, unit))
        };
        let widest_head = heads.iter().map(Vec::len).max().unwrap_or(0);
        let (mut first, mut end) = (usize::MAX, 0);
        for column in (0..widest_head).filter(|column| !heading_at(*column).is_empty()) {
            first = first.min(column);
            end = end.max(column + 1);
        }
        for line in &self.lines {
            for (column, cell) in grid.row(*line).enumerate() {
                if (column < first || column >= end) && !cell.is_empty() {
                    first = first.min(column);
                    end = end.max(column + 1);
                }
            }
        }
        self.first = first.min(end);
        self.found_columns = end - self.first;
        let columns = self.found_columns.min(LARGEST_COLUMN_COUNT);
        self.headings = (self.first..self.first + columns).map(heading_at).collect();
        self.has_headings = self.headings.iter().any(|heading| !heading.is_empty());
    }

    fn has_headings_in(&self, heads: &[Vec<String>]) -> bool {
        heads.iter().flatten().any(|heading| !heading.is_empty())
    }

    fn lay_across(&mut self, grid: &Grid, lines: &[usize]) {
        let titles = title_count(grid, lines);
        let texts: Vec<String> = lines
            .iter()
            .take(titles)
            .map(|line| joined(grid, *line))
            .collect();
        self.title = (!texts.is_empty()).then(|| texts.join(" "));
        self.lines = lines
            .iter()
            .copied()
            .skip(titles)
            .filter(|line| !grid.row(*line).all(str::is_empty))
            .collect();
        self.found_columns = self.lines.len();
        self.lines.truncate(LARGEST_COLUMN_COUNT);
        let used = |line: &usize| grid.row(*line).position(|cell| !cell.is_empty());
        let first = self.lines.iter().filter_map(used).min().unwrap_or(0);
        // A second column that holds nothing but units is the units row of a table on its side.
        let seconds: Vec<&str> = self
            .lines
            .iter()
            .map(|line| grid.get(*line, first + 1))
            .collect();
        self.has_units_row = is_units(seconds.iter().copied());
        let begins_with_text = self
            .lines
            .iter()
            .any(|line| look(grid.get(*line, first)) == Look::Text);
        self.headings = self
            .lines
            .iter()
            .zip(&seconds)
            .map(|(line, unit)| {
                let name = one_line(grid.get(*line, first));
                if self.has_units_row {
                    with_unit(&name, &one_line(unit))
                } else {
                    name
                }
            })
            .collect();
        self.has_headings = begins_with_text;
        if !begins_with_text {
            self.headings.iter_mut().for_each(String::clear);
        }
        self.first = first
            + usize::from(begins_with_text)
            + usize::from(begins_with_text && self.has_units_row);
        let end = |line: &usize| {
            (0..grid.len(*line))
                .rev()
                .find(|column| !grid.get(*line, *column).is_empty())
        };
        let end = self
            .lines
            .iter()
            .filter_map(end)
            .max()
            .map_or(0, |column| column + 1);
        self.rows = end.saturating_sub(self.first);
    }
}

/// The cells of a line as one text.
fn joined(grid: &Grid, row: usize) -> String {
    let mut text = String::new();
    for cell in grid.row(row).filter(|cell| !cell.is_empty()) {
        if !text.is_empty() {
            text.push_str(", ");
        }
        text.push_str(&one_line(cell));
    }
    text
}

fn comment_lines(grid: &Grid) -> Vec<usize> {
    (0..grid.height())
        .filter(|row| grid.is_comment(*row))
        .collect()
}

/// Takes blank lines off both ends.
fn trim_blank(grid: &Grid, lines: &mut Vec<usize>) {
    let is_blank = |line: &usize| grid.row(*line).all(str::is_empty);
    while lines.last().is_some_and(is_blank) {
        lines.pop();
    }
    let blank = lines.iter().take_while(|line| is_blank(line)).count();
    lines.drain(..blank);
}

fn look(cell: &str) -> Look {
    if cell.is_empty() {
        return Look::Empty;
    }
    if cell.starts_with(['±']) {
        return Look::Text;
    }
    let is_error = cell.starts_with('#') && (cell.len() > 2 && !cell.contains(' '));
    let unsigned = cell.trim_start_matches([
        '+', '-', '−', '–', '\'', '(', '.', ',', '<', '>', '~', '≈', '=',
    ]);
    let begins_with_digit = unsigned.starts_with(|c: char| c.is_numeric());
    if is_error
        || begins_with_digit
        || is_missing(cell)
        || Figure::parse(cell, DecimalMark::Either).is_ok()
    {
        Look::Number
    } else {
        Look::Text
    }
}

/// How many cells of a line are numbers and how many are text.
fn tally(grid: &Grid, line: usize) -> (usize, usize) {
    let (mut numbers, mut texts) = (0, 0);
    for cell in grid.start(line) {
        match look(cell) {
            Look::Number => numbers += 1,
            Look::Text => texts += 1,
            Look::Empty => {}
        }
    }
    (numbers, texts)
}

/// Whether a line holds readings: mostly numbers, and no heading stands in it above a column of numbers.
fn is_data_line(grid: &Grid, line: usize, lines: &[usize]) -> bool {
    let (numbers, texts) = tally(grid, line);
    if numbers == 0 || numbers < texts {
        return false;
    }
    let next = || lines.iter().skip_while(|other| **other <= line).take(5);
    if is_lone_text(grid, line) && next().any(|other| used_width(grid, *other) >= 2) {
        return false;
    }
    let below = next();
    !grid.start(line).enumerate().any(|(column, cell)| {
        if look(cell) != Look::Text || !Heading::parse(cell).is_telling() {
            return false;
        }
        let looks: Vec<Look> = below
            .clone()
            .map(|other| look(grid.get(*other, column)))
            .collect();
        let numbers = looks.iter().filter(|look| **look == Look::Number).count();
        numbers > 0 && numbers * 2 >= looks.len()
    })
}

/// Whether all cells that hold anything hold a unit.
fn is_units<'t>(cells: impl Iterator<Item = &'t str>) -> bool {
    let mut units = 0;
    for cell in cells.filter(|cell| !cell.is_empty() && !is_missing(cell)) {
        if lone_unit(cell).is_none() {
            return false;
        }
        units += 1;
    }
    units > 0
}

/// Whether all cells that hold anything hold `± something`.
fn is_uncertainties(grid: &Grid, line: usize) -> bool {
    let mut cells = grid.start(line).filter(|cell| !cell.is_empty()).peekable();
    cells.peek().is_some() && cells.all(|cell| cell.starts_with('±') || cell.starts_with("+/-"))
}

/// A heading with the unit, or the uncertainty, that stood in a row of its own.
fn with_unit(name: &str, below: &str) -> String {
    if below.is_empty() || is_missing(below) {
        return name.to_owned();
    }
    if below.starts_with(['±', '+']) {
        return one_line(&format!("{name} {below}"));
    }
    let unit = lone_unit(below).unwrap_or(below);
    let heading = Heading::parse(name);
    match heading.unit {
        _ if name.is_empty() => unit.to_owned(),
        Some(_) => name.to_owned(),
        None => format!("{name} / {unit}"),
    }
}

/// Where the headings are among the lines before the readings.
struct Picked {
    titles: usize,
    /// Lines of headings: the names, then units, then uncertainties.
    lines: Vec<usize>,
    has_units: bool,
    /// The first line after the headings.
    end: usize,
}

fn pick_headings(grid: &Grid, head: &[usize], lines: &[usize]) -> Picked {
    let width = lines
        .iter()
        .take(SURVEYED_LINES)
        .map(|line| used_width(grid, *line))
        .max()
        .unwrap_or(0);
    let mut best: Option<(usize, usize)> = None;
    for (index, line) in head.iter().enumerate() {
        let cells: Vec<&str> = grid.start(*line).filter(|cell| !cell.is_empty()).collect();
        if cells.is_empty() {
            continue;
        }
        let headings: Vec<Heading> = cells
            .iter()
            .map(|cell| Heading::parse(cell.trim_start_matches("# ")))
            .collect();
        let telling = |heading: &Heading| {
            usize::from(heading.unit.is_some()) * 2
                + usize::from(heading.kind.is_some() || heading.says.uncertain)
        };
        let score: usize = headings.iter().map(telling).sum();
        let is_second =
            best.is_some() && (is_units(cells.iter().copied()) || is_uncertainties(grid, *line));
        if is_second {
            continue;
        }
        // One cell over several columns is a title, unless it is plainly a heading with its unit.
        let lone = cells.len() == 1 && width >= 2;
        let lone_heading = headings.first().is_some_and(|heading| {
            heading.unit.is_some() || (heading.kind.is_some() && !heading.text.contains(' '))
        });
        let score = match lone {
            true if !lone_heading => continue,
            true => score,
            false => score + 1,
        };
        if best.is_none_or(|(_, other)| score >= other) {
            best = Some((index, score));
        }
    }
    let Some((index, _)) = best else {
        return Picked {
            titles: head.len(),
            lines: Vec::new(),
            has_units: false,
            end: head.len(),
        };
    };
    let mut picked = Picked {
        titles: index,
        lines: vec![index],
        has_units: false,
        end: index + 1,
    };
    while let Some(line) = head.get(picked.end) {
        let units = is_units(grid.start(*line));
        if !units && !is_uncertainties(grid, *line) {
            break;
        }
        picked.has_units |= units;
        picked.lines.push(picked.end);
        picked.end += 1;
    }
    picked
}

/// Whether a line holds one cell and that is no number, though it may begin with one: "7 March, second run".
fn is_lone_text(grid: &Grid, line: usize) -> bool {
    let mut cells = grid.start(line).filter(|cell| !cell.is_empty());
    let lone = cells.next().filter(|_| cells.next().is_none());
    lone.is_some_and(|cell| Figure::parse(cell, DecimalMark::Either).is_err())
}

/// How many cells of a line hold something.
fn used_width(grid: &Grid, line: usize) -> usize {
    grid.start(line).filter(|cell| !cell.is_empty()).count()
}

/// Whether a line under the headings numbers the columns of a heading that spans them: 1, 2, 3 or 10 mm, 20 mm.
fn is_numbered_subheading(grid: &Grid, line: usize, head: Option<&Vec<String>>) -> bool {
    let Some(head) = head else { return false };
    let first_heading = head.first().map_or("", String::as_str);
    if first_heading.is_empty() || !grid.get(line, 0).is_empty() {
        return false;
    }
    let numbers: Vec<f64> = grid
        .row(line)
        .filter(|cell| !cell.is_empty())
        .map_while(|cell| {
            Figure::parse(cell, DecimalMark::Either)
                .ok()
                .map(|figure| figure.value)
        })
        .collect();
    let spans = head
        .iter()
        .skip(1)
        .filter(|heading| heading.is_empty())
        .count();
    let counts = numbers
        .iter()
        .zip(1u32..)
        .all(|(number, count)| *number == f64::from(count));
    let has_units = grid.start(line).any(|cell| {
        Figure::parse(cell, DecimalMark::Either).is_ok_and(|figure| figure.unit.is_some())
    });
    numbers.len() >= 2
        && spans + 1 >= numbers.len()
        && (counts || has_units)
        && head.len() <= numbers.len() + 2
}

/// Spreads a spanning heading over its columns, each with its own label: `m / g` over 1, 2 is `m 1 / g`, `m 2 / g`.
fn label_headings(head: &[String], labels: &[String]) -> Vec<String> {
    let mut spanning = String::new();
    (0..head.len().max(labels.len()))
        .map(|column| {
            let own = head.get(column).map_or("", String::as_str);
            let label = labels.get(column).map_or("", String::as_str);
            if !own.is_empty() {
                spanning = own.to_owned();
            }
            if label.is_empty() {
                return own.to_owned();
            }
            let heading = Heading::parse(&spanning);
            match heading.unit {
                Some(unit) => format!("{} {label} / {unit}", heading.name),
                None => one_line(&format!("{spanning} {label}")),
            }
        })
        .collect()
}

/// Leading lines of one text cell above a table on its side.
fn title_count(grid: &Grid, lines: &[usize]) -> usize {
    let is_title =
        |line: &usize| tally(grid, *line) == (0, 1) || grid.start(*line).all(str::is_empty);
    let count = lines.iter().take_while(|line| is_title(line)).count();
    if count == lines.len() { 0 } else { count }
}

/// Whether the readings of one quantity run along a row: each row begins with a heading and goes on with numbers.
fn lies_across(grid: &Grid, lines: &[usize]) -> bool {
    let lines = lines.get(title_count(grid, lines)..).unwrap_or_default();
    let filled: Vec<usize> = lines
        .iter()
        .copied()
        .filter(|line| !grid.start(*line).all(str::is_empty))
        .take(LARGEST_COLUMN_COUNT + 1)
        .collect();
    if filled.is_empty() || filled.len() > LARGEST_COLUMN_COUNT {
        return false;
    }
    let (mut with_unit, mut telling, mut longest) = (0, 0, 0);
    for line in &filled {
        let mut cells = grid
            .row(*line)
            .filter(|cell| !cell.is_empty())
            .take(SURVEYED_LINES);
        let Some(first) = cells.next() else {
            return false;
        };
        if look(first) != Look::Text {
            return false;
        }
        let heading = Heading::parse(first);
        with_unit += usize::from(heading.unit.is_some());
        telling += usize::from(heading.is_telling());
        let (mut numbers, mut texts) = (0, 0);
        for cell in cells {
            match look(cell) {
                Look::Text => texts += 1,
                _ => numbers += 1,
            }
        }
        longest = longest.max(numbers);
        if numbers < texts || numbers == 0 {
            return false;
        }
    }
    let is_wide = longest >= filled.len();
    longest >= 2 && (with_unit > 0 || (telling > 0 && is_wide) || (is_wide && longest > 3))
}

/// A comment line straight above the readings that holds the headings, as written by many programs.
fn commented_headings(grid: &Grid, lines: &[usize], comments: &[usize]) -> Option<usize> {
    let first = *lines.first()?;
    let is_bare = is_data_line(grid, first, lines);
    let comment = comments
        .iter()
        .copied()
        .filter(|comment| *comment < first)
        .max()?;
    let width = used_width(grid, first);
    let telling = grid
        .row(comment)
        .filter(|cell| Heading::parse(cell.trim_start_matches('#').trim()).is_telling());
    (is_bare && width >= 2 && used_width(grid, comment) == width && telling.count() > 0)
        .then_some(comment)
}
