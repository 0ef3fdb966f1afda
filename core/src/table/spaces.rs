//! Columns typed with spaces, which no format has a rule for.
//!
//! Start at [`spaced`]. Two spaces or more part cells where they make columns; else single ones do, and then units, signs
//! and the words of headings have to find back to their cells.

use super::grid::{Grid, Span};
use super::split::{SURVEYED_LINES, is_comment, is_rule, lines, placed_lines};
use crate::figures::{DecimalMark, Figure, Unit};

/// Longest line that is split at spaces.
const LONGEST_TYPED_LINE_BYTES: usize = 100_000;

/// Splits columns typed with spaces: at two spaces or more where that gives columns, else at single ones.
pub(super) fn spaced(text: &str) -> Grid {
    let mut grid = Grid::over(text.to_owned());
    let by_gaps = usual(typed_lines(text).map(|line| gaps(line).len()));
    let wide = by_gaps.filter(|count| *count >= 2);
    let typical = wide.or_else(|| {
        let numbers = typed_lines(text).filter(|line| begins_with_number(line));
        usual(numbers.map(|line| words(line).len())).filter(|count| *count >= 2)
    });
    for (start, line) in placed_lines(text) {
        if is_rule(line.as_bytes()) {
            continue;
        }
        let mut cells = match typical {
            // Nobody types such a line.
            _ if line.len() > LONGEST_TYPED_LINE_BYTES => vec![(0, line.len())],
            _ if line.trim_start().starts_with('#') => vec![(0, line.len())],
            None => vec![(0, line.len())],
            Some(count) => {
                let wide_cells = gaps(line);
                if wide.is_some() && wide_cells.len() >= count {
                    wide_cells
                } else if begins_with_number(line) {
                    words(line)
                } else {
                    heading_words(line, count).unwrap_or(wide_cells)
                }
            }
        };
        if cells.is_empty() {
            cells.push((0, line.len()));
        }
        let hash = line.trim();
        let comment = hash.starts_with('#') && is_comment(hash.as_bytes(), 1);
        let spans: Vec<Span> = cells
            .into_iter()
            .map(|(from, to)| Span::new(start + from, start + to))
            .collect();
        grid.push(spans, comment);
    }
    grid
}

/// The first lines that somebody may have typed.
fn typed_lines(text: &str) -> impl Iterator<Item = &str> {
    lines(text)
        .take(SURVEYED_LINES)
        .filter(|line| line.len() <= LONGEST_TYPED_LINE_BYTES)
}

/// The count that at least half of the lines share.
fn usual(counts: impl Iterator<Item = usize>) -> Option<usize> {
    let mut counts: Vec<usize> = counts.collect();
    counts.sort_unstable();
    let total = counts.len();
    let best = counts.chunk_by(|a, b| a == b).max_by_key(|run| run.len())?;
    (best.len() * 2 >= total).then(|| best.first().copied())?
}

fn begins_with_number(line: &str) -> bool {
    line.split_whitespace().next().is_some_and(is_number)
}

fn is_number(token: &str) -> bool {
    Figure::parse(token, DecimalMark::Either).is_ok()
}

/// The pieces of a line between runs of two or more blanks, as ranges of bytes.
fn gaps(line: &str) -> Vec<(usize, usize)> {
    let mut pieces = Vec::new();
    let (mut start, mut end, mut blanks) = (None, 0, 0);
    for (place, seen) in line.char_indices() {
        if seen.is_whitespace() {
            blanks += if seen == '\t' { 2 } else { 1 };
            continue;
        }
        match start {
            Some(from) if blanks >= 2 => {
                pieces.push((from, end));
                start = Some(place);
            }
            None => start = Some(place),
            Some(_) => {}
        }
        blanks = 0;
        end = place + seen.len_utf8();
    }
    if let Some(from) = start {
        pieces.push((from, end));
    }
    pieces
}

/// The words of a line, as ranges of bytes.
fn tokens(line: &str) -> impl Iterator<Item = (usize, usize, &str)> {
    line.split_whitespace().map(move |token| {
        let place = (token.as_ptr() as usize).saturating_sub(line.as_ptr() as usize);
        (place, place + token.len(), token)
    })
}

/// The numbers of a line with single spaces: a unit, a `±` and what follows it stay with their number.
fn words(line: &str) -> Vec<(usize, usize)> {
    let mut cells: Vec<(usize, usize)> = Vec::new();
    let (mut bare_number, mut after_sign) = (false, false);
    for (start, end, token) in tokens(line) {
        let is_sign = matches!(token, "±" | "+/-" | "+-" | "×" | "x" | "*");
        let begins_with_sign =
            token.starts_with('±') || token.starts_with("+/-") || token.starts_with('(');
        let is_unit = bare_number && Unit::parse(token).is_some();
        match cells.last_mut() {
            Some(last) if is_sign || begins_with_sign || after_sign || is_unit => last.1 = end,
            _ => cells.push((start, end)),
        }
        bare_number = is_number(token) && !is_unit;
        after_sign = is_sign;
    }
    cells
}

/// Headings with single spaces, if they can be told apart so that there are `count` of them.
fn heading_words(line: &str, count: usize) -> Option<Vec<(usize, usize)>> {
    let mut joined: Vec<(usize, usize)> = Vec::new();
    let mut closes_unit: Vec<bool> = Vec::new();
    let mut all = tokens(line).peekable();
    let (mut glue, mut open) = (false, false);
    while let Some((start, end, token)) = all.next() {
        let opens = token.starts_with(['(', '[']);
        let next_is_unit = all
            .peek()
            .is_some_and(|(_, _, next)| Unit::parse(next).is_some());
        let is_link = token == "/" || token.starts_with('/') || (token == "in" && next_is_unit);
        let belongs = glue || open || opens || is_link || token.starts_with('±');
        match joined.last_mut() {
            Some(last) if belongs => last.1 = end,
            _ => {
                joined.push((start, end));
                closes_unit.push(false);
            }
        }
        open = (open || token.contains(['(', '['])) && !token.ends_with([')', ']']);
        glue = is_link && !(token.len() > 1 && token.starts_with('/')) || token.ends_with('/');
        if let Some(closes) = closes_unit.last_mut() {
            *closes = *closes
                || (!glue
                    && !open
                    && (belongs || token.contains('/') || token.ends_with([')', ']'])));
        }
    }
    if joined.len() == count {
        return Some(joined);
    }
    // Several words to a heading: a heading ends where its unit does.
    let mut grouped: Vec<(usize, usize)> = Vec::new();
    let mut fresh = true;
    for ((start, end), closes) in joined.into_iter().zip(closes_unit) {
        match grouped.last_mut() {
            Some(last) if !fresh => last.1 = end,
            _ => grouped.push((start, end)),
        }
        fresh = closes;
    }
    (grouped.len() == count).then_some(grouped)
}
