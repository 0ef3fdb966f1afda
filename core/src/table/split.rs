//! From text to a grid of cells: which character parts the cells, and the parting.
//!
//! Start at [`split`]. Quoted text is split by `csv-core`; columns typed with spaces, and tables in which the comma is
//! separator and decimal mark at once, are split here, since no such format has a rule to follow.

use csv_core::{ReadRecordResult, ReaderBuilder};

use super::LARGEST_COLUMN_COUNT;
use super::grid::{Grid, Span};
use super::heading::Heading;
use crate::figures::{DecimalMark, Figure};

/// What the text turned out to be.
pub(super) struct Split {
    pub(super) grid: Grid,
    pub(super) separator: Separator,
    /// A first line `sep=;` was obeyed.
    pub(super) said_so: bool,
    /// A quote was opened and never closed, so quotes were taken as plain characters.
    pub(super) stray_quote: bool,
    /// The comma parts the cells and marks the decimals.
    pub(super) double_comma: Option<DoubleComma>,
}

/// What parts one cell from the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Separator {
    /// A tab, as spreadsheets copy.
    Tab,
    /// A semicolon.
    Semicolon,
    /// An upright bar, as in a Markdown table.
    Bar,
    /// A comma.
    Comma,
    /// Spaces, as typed.
    Spaces,
}

/// A table with twice as many pieces as headings: the comma did two jobs.
pub(super) struct DoubleComma {
    pub(super) pieces: usize,
    pub(super) headings: Option<usize>,
    /// The grid's rows, in order, in which nobody can say which comma does which job.
    pub(super) unclear: Vec<usize>,
}

/// Lines looked at when the separator is chosen.
pub(super) const SURVEYED_LINES: usize = 200;

/// Splits `text` into cells. `decimal` is the decimal mark when the reader has said which.
pub(super) fn split(text: &str, decimal: Option<DecimalMark>) -> Split {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let (said, text) = separator_line(text);
    let separator = said.unwrap_or_else(|| choose(text));
    let mut split = Split {
        grid: Grid::default(),
        separator,
        said_so: said.is_some(),
        stray_quote: false,
        double_comma: None,
    };
    let delimiter = match separator {
        Separator::Tab => b'\t',
        Separator::Semicolon => b';',
        Separator::Bar => b'|',
        Separator::Comma => b',',
        Separator::Spaces => {
            split.grid = super::spaces::spaced(text);
            return split;
        }
    };
    if separator == Separator::Comma
        && decimal != Some(DecimalMark::Point)
        && let Some(mut found) = double_comma(text)
    {
        (split.grid, found.unclear) = paired(text, found.pieces);
        split.double_comma = Some(found);
        return split;
    }
    split.stray_quote = has_open_quote(text, delimiter);
    split.grid = separated(text, delimiter, !split.stray_quote);
    split
}

/// Splits tab-separated text, such as a spreadsheet's plain clipboard.
pub(super) fn tabbed(text: &str) -> Grid {
    separated(text, b'\t', !has_open_quote(text, b'\t'))
}

/// The lines of `text`, whatever ends them, without empty ones.
pub(super) fn lines(text: &str) -> impl Iterator<Item = &str> {
    text.split(['\n', '\r'])
        .filter(|line| !line.trim().is_empty())
}

/// A first line such as `sep=;`, and the text after it.
fn separator_line(text: &str) -> (Option<Separator>, &str) {
    let end = text.find(['\n', '\r']).unwrap_or(text.len());
    let (line, rest) = text.split_at(end);
    let line = line.trim_end_matches([' ', '"']).trim_start_matches('"');
    let said = line
        .get(..4)
        .filter(|start| start.eq_ignore_ascii_case("sep="));
    let separator = said.and_then(|_| match line.get(4..)? {
        "\t" | "\\t" => Some(Separator::Tab),
        ";" => Some(Separator::Semicolon),
        "|" => Some(Separator::Bar),
        "," => Some(Separator::Comma),
        _ => None,
    });
    match separator {
        Some(_) => (separator, rest),
        None => (None, text),
    }
}

/// How often each separator stands outside quotes in one line.
#[derive(Clone, Copy, Default)]
struct Counts {
    tabs: usize,
    semicolons: usize,
    bars: usize,
    commas: usize,
}

fn choose(text: &str) -> Separator {
    let counts = survey(text);
    let with = |count: fn(&Counts) -> usize| counts.iter().filter(|line| count(line) > 0).count();
    let candidates = [
        (Separator::Tab, with(|line| line.tabs)),
        (Separator::Semicolon, with(|line| line.semicolons)),
        (Separator::Bar, with(|line| line.bars)),
        (Separator::Comma, with(|line| line.commas)),
    ];
    let found = candidates
        .iter()
        .find(|(_, lines)| lines * 2 >= counts.len().max(1));
    match found {
        Some((Separator::Comma, _)) if is_spaced_decimals(text) => Separator::Spaces,
        Some((separator, _)) => *separator,
        None if candidates[0].1 > 0 => Separator::Tab,
        None => Separator::Spaces,
    }
}

/// Counts separators line by line, over the first lines of the text.
fn survey(text: &str) -> Vec<Counts> {
    let mut counts = Vec::new();
    let mut line = Counts::default();
    let (mut in_quotes, mut at_start, mut blank) = (false, true, true);
    for seen in text.chars() {
        if seen == '"' && (at_start || in_quotes) {
            in_quotes = !in_quotes;
            // A quote straight after a closing one is a quote inside the cell, and opens it again.
            (at_start, blank) = (true, false);
            continue;
        }
        if in_quotes {
            continue;
        }
        match seen {
            '\n' | '\r' => {
                if !blank {
                    counts.push(line);
                }
                if counts.len() >= SURVEYED_LINES {
                    return counts;
                }
                (line, blank) = (Counts::default(), true);
            }
            '\t' => line.tabs += 1,
            ';' => line.semicolons += 1,
            '|' => line.bars += 1,
            ',' => line.commas += 1,
            _ => {}
        }
        at_start = matches!(seen, '\n' | '\r' | '\t' | ';' | '|' | ',');
        blank = blank && seen.is_whitespace();
    }
    if !blank {
        counts.push(line);
    }
    counts
}

/// Whether the commas are decimal marks of numbers that spaces part: `0,50  0,31`.
fn is_spaced_decimals(text: &str) -> bool {
    let (mut with_commas, mut spaced) = (0usize, 0usize);
    for line in lines(text)
        .take(SURVEYED_LINES)
        .filter(|line| line.contains(','))
    {
        with_commas += 1;
        let decimals = line
            .split_whitespace()
            .filter(|token| is_decimal_comma(token))
            .count();
        let commas = line.matches(',').count();
        spaced += usize::from(decimals == commas && line.split_whitespace().count() >= 2);
    }
    with_commas > 0 && spaced * 3 >= with_commas * 2
}

/// Whether the token holds one comma, between digits.
fn is_decimal_comma(token: &str) -> bool {
    token.split_once(',').is_some_and(|(before, after)| {
        before.ends_with(|c: char| c.is_numeric())
            && after.starts_with(|c: char| c.is_numeric())
            && !after.contains(',')
    })
}

/// Splits delimited text. Empty lines are no rows; lines of separators only are rows of empty cells.
fn separated(text: &str, delimiter: u8, quoting: bool) -> Grid {
    // Quotes want a reader that knows them; making one costs more than reading an ordinary table.
    if quoting && text.contains('"') {
        quoted(text, delimiter)
    } else {
        unquoted(text, delimiter)
    }
}

/// Splits text without quotes (or in which they mean nothing) at line ends and delimiters.
fn unquoted(text: &str, delimiter: u8) -> Grid {
    let mut grid = Grid::over(text.to_owned());
    let mut ends: Vec<usize> = Vec::new();
    let mut start = 0usize;
    for line in text.as_bytes().split(|byte| matches!(byte, b'\n' | b'\r')) {
        let (base, end) = (start, start + line.len());
        start = end + 1;
        if line.is_empty() {
            continue;
        }
        ends.clear();
        ends.extend(
            line.iter()
                .enumerate()
                .filter(|(_, byte)| **byte == delimiter)
                .map(|(at, _)| base + at),
        );
        ends.push(end);
        let first = line.get(..ends[0] - base).unwrap_or_default();
        if is_row(line, delimiter, ends.len()) {
            let comment = line[0] == b'#' && is_comment(first, ends.len());
            let mut from = base;
            let spans = ends.iter().map(|end| {
                let span = Span::new(from, *end);
                from = end + 1;
                span
            });
            grid.push(spans, comment);
        }
    }
    grid
}

/// Whether a line is a row: not blanks alone, nor the rule of a Markdown table. A cell quoted empty is a row, since a
/// table of one column writes its gaps so.
fn is_row(content: &[u8], delimiter: u8, cells: usize) -> bool {
    if cells == 1 && content.iter().all(u8::is_ascii_whitespace) {
        return false;
    }
    !(delimiter == b'|' && is_rule(content))
}

/// Splits text with quotes, in which a cell may hold delimiters and line ends.
fn quoted(text: &str, delimiter: u8) -> Grid {
    let input = text.as_bytes();
    let mut reader = ReaderBuilder::new().delimiter(delimiter).build();
    let mut grid = Grid::over(String::new());
    // Unquoting only ever shortens, so the buffer never needs to grow.
    let mut output = vec![0u8; input.len() + 1];
    let mut ends = vec![0usize; 64];
    let (mut at, mut written) = (0usize, 0usize);
    loop {
        while matches!(input.get(at), Some(b'\n' | b'\r')) {
            at += 1;
        }
        let begins_with_hash = input.get(at) == Some(&b'#');
        let begins_with_quote = input.get(at) == Some(&b'"');
        let base = written;
        let mut cells = 0usize;
        let result = loop {
            let rest = input.get(at..).unwrap_or_default();
            let (result, read, wrote, ended) = reader.read_record(
                rest,
                output.get_mut(written..).unwrap_or_default(),
                ends.get_mut(cells..).unwrap_or_default(),
            );
            at += read;
            written += wrote;
            cells += ended;
            match result {
                ReadRecordResult::InputEmpty => {}
                ReadRecordResult::OutputFull => output.resize(output.len() + 1024, 0),
                ReadRecordResult::OutputEndsFull => ends.resize(ends.len() * 2, 0),
                ReadRecordResult::Record | ReadRecordResult::End => break result,
            }
        };
        if result == ReadRecordResult::End {
            break;
        }
        let ends = ends.get(..cells).unwrap_or_default();
        let content = output.get(base..written).unwrap_or_default();
        if !begins_with_quote && !is_row(content, delimiter, cells) {
            continue;
        }
        let first = content
            .get(..ends.first().copied().unwrap_or(0))
            .unwrap_or_default();
        let comment = begins_with_hash && is_comment(first, cells);
        let mut start = base;
        let spans = ends.iter().map(|end| {
            let span = Span::new(start, base + end);
            start = base + end;
            span
        });
        grid.push(spans, comment);
    }
    output.truncate(written);
    // Only ASCII bytes were taken out of valid text, so it is valid still.
    grid.set_text(String::from_utf8(output).unwrap_or_default());
    grid
}

/// Whether a line is the rule under the headings of a Markdown table or an edge of a box drawn with characters.
pub(super) fn is_rule(content: &[u8]) -> bool {
    content
        .iter()
        .filter(|byte| matches!(byte, b'-' | b'='))
        .count()
        >= 2
        && content
            .iter()
            .all(|byte| matches!(byte, b'-' | b'=' | b':' | b'+' | b' ' | b'|'))
}

/// Whether a line that begins with `#` is a comment: not a cell of hashes, a spreadsheet's error or a column of `#`.
pub(super) fn is_comment(first: &[u8], cells: usize) -> bool {
    let first = first.trim_ascii();
    if first.iter().all(|byte| *byte == b'#') {
        return first.len() == 1 && cells == 1;
    }
    let is_error = first.ends_with(b"!")
        || first.ends_with(b"?")
        || matches!(first, b"#N/A" | b"#NV" | b"#N/D" | b"#N/B" | b"#ND");
    let is_number_heading = cells > 1 && first.len() <= 4 && !first.contains(&b' ');
    !is_error && !is_number_heading
}

/// Whether a quote opened at the start of a cell is still open at the end of the text.
fn has_open_quote(text: &str, delimiter: u8) -> bool {
    let bytes = text.as_bytes();
    if bytes.iter().filter(|byte| **byte == b'"').count() % 2 == 0 {
        return false;
    }
    let (mut in_quotes, mut at_start) = (false, true);
    for &byte in bytes {
        if byte == b'"' && (at_start || in_quotes) {
            in_quotes = !in_quotes;
            // A quote straight after a closing one is a quote inside the cell, and opens it again.
            at_start = true;
            continue;
        }
        at_start = !in_quotes && (byte == delimiter || byte == b'\n' || byte == b'\r');
    }
    in_quotes
}

/// Finds a table whose rows have two comma pieces for every heading, so that the comma is the decimal mark as well.
fn double_comma(text: &str) -> Option<DoubleComma> {
    let mut headings = None;
    // For every row its pieces, and whether they are whole numbers in pairs.
    let mut rows: Vec<(usize, bool)> = Vec::new();
    for line in lines(text)
        .take(SURVEYED_LINES)
        .filter(|line| !line.starts_with('#'))
    {
        if line.contains('"') {
            return None;
        }
        let count = line.split(',').count();
        if count > 2 * LARGEST_COLUMN_COUNT {
            return None;
        }
        if has_number(line) {
            rows.push((count, are_halves(line)));
        } else if rows.is_empty() && (count > 1 || Heading::parse(line).unit.is_some()) {
            headings = Some(count);
        }
    }
    let pieces = rows.iter().map(|(count, _)| *count).max()?;
    let doubled = rows
        .iter()
        .filter(|(count, halves)| *count == pieces && *halves)
        .count();
    let expected = match headings {
        Some(headings) => pieces == headings * 2,
        // Without headings, four or more whole pieces in every row can hardly be anything else.
        None => pieces >= 4 && pieces.is_multiple_of(2) && doubled == rows.len(),
    };
    (expected && doubled * 2 >= rows.len()).then_some(DoubleComma {
        pieces,
        headings,
        unclear: Vec::new(),
    })
}

fn has_number(line: &str) -> bool {
    line.split(',')
        .any(|piece| Figure::parse(piece, DecimalMark::Point).is_ok())
}

/// Whether the pieces read in pairs as a whole number and its decimals.
fn are_halves(line: &str) -> bool {
    let is_whole = |piece: &str| {
        let digits = piece.trim_start_matches(['-', '+', '−', '–', '\'']);
        !digits.is_empty() && digits.chars().all(|c| c.is_ascii_digit())
    };
    let mut pieces = line.split(',');
    while let Some(before) = pieces.next() {
        let Some(after) = pieces.next() else {
            return false;
        };
        let after = after.trim_end();
        let digits = after.trim_end_matches(|c: char| c.is_alphabetic() || c == ' ' || c == '°');
        if !is_whole(before.trim())
            || digits.is_empty()
            || !digits.chars().all(|c| c.is_ascii_digit())
        {
            return false;
        }
    }
    true
}

/// Splits at every second comma in rows of `pieces` pieces, and at every comma elsewhere. A row of numbers with another
/// number of pieces stays one cell, as typed; such rows are given back beside the grid.
fn paired(text: &str, pieces: usize) -> (Grid, Vec<usize>) {
    let mut grid = Grid::over(text.to_owned());
    let mut unclear = Vec::new();
    for (start, line) in placed_lines(text) {
        let mut edges: Vec<usize> = line.match_indices(',').map(|(place, _)| place).collect();
        edges.push(line.len());
        let doubled = edges.len() == pieces && are_halves(line);
        if has_number(line) && !doubled && edges.len() > pieces / 2 {
            unclear.push(grid.height());
            grid.push([Span::new(start, start + line.len())], false);
            continue;
        }
        let mut from = 0;
        let spans = edges.iter().enumerate().filter_map(|(index, edge)| {
            if doubled && index % 2 == 0 {
                return None;
            }
            let span = Span::new(start + from, start + edge);
            from = edge + 1;
            Some(span)
        });
        grid.push(
            spans.collect::<Vec<_>>(),
            line.trim_start().starts_with('#'),
        );
    }
    (grid, unclear)
}

/// The lines of the text that are not blank, each with its place in bytes.
pub(super) fn placed_lines(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut start = 0;
    text.split(['\n', '\r'])
        .map(move |line| {
            let place = start;
            start += line.len() + 1;
            (place, line)
        })
        .filter(|(_, line)| !line.trim().is_empty())
}
