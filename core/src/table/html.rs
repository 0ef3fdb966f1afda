//! HTML tables from the clipboard, straightened into tab-separated text.
//!
//! Start at [`from_clipboard`]. Only the shape is taken from the markup: rows, cells and spans. Everything else is
//! dropped as the text it is; nothing is ever run or kept.

use super::plain::push_cell;
use super::{LARGEST_CELL_COUNT, LARGEST_TEXT_BYTES};

/// The table text to keep from a clipboard that may hold an HTML and a plain version of the same cells.
///
/// The HTML version keeps cells with line breaks or tabs whole; spans are filled with blank cells so that nothing
/// shifts. A cell that shows only hashes, because its column was narrow, is taken from the plain version.
pub fn from_clipboard(html: Option<&str>, plain: Option<&str>) -> String {
    let rows = html
        .filter(|html| html.len() <= LARGEST_TEXT_BYTES)
        .and_then(|html| table_rows(html).ok())
        .unwrap_or_default();
    let has_cells = rows.iter().flatten().any(|cell| !cell.is_empty());
    match (has_cells, plain) {
        (true, None) => written(&rows),
        (true, Some(plain)) => {
            let mut rows = rows;
            let plain_rows = plain_cells(plain);
            let shift = leading_blank(&plain_rows).abs_diff(leading_blank(&rows));
            let same_height = plain_rows.len() == rows.len() || shift > 0;
            for (index, row) in rows.iter_mut().enumerate() {
                for (column, cell) in row
                    .iter_mut()
                    .enumerate()
                    .filter(|(_, cell)| is_hashes(cell))
                {
                    let other = plain_rows.get(index).and_then(|cells| cells.get(column));
                    if let Some(other) = other.filter(|_| same_height) {
                        other.clone_into(cell);
                    }
                }
            }
            written(&rows)
        }
        (false, Some(plain)) => plain.to_owned(),
        (false, None) => html.unwrap_or_default().to_owned(),
    }
}

/// A table of more cells than are read, those included that spans make.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct TooManyCells {
    /// Rows up to there.
    pub(super) rows: usize,
    /// The widest of them.
    pub(super) columns: usize,
}

/// The text of an HTML table as tab-separated text, if `text` is one.
pub(super) fn straightened(text: &str) -> Option<Result<String, TooManyCells>> {
    let start = text.trim_start_matches(|c: char| c.is_whitespace() || c == '\u{feff}');
    if !start.starts_with('<') || find_ignoring_case(start, "<table").is_none() {
        return None;
    }
    match table_rows(start) {
        Ok(rows) => (!rows.is_empty()).then(|| Ok(written(&rows))),
        Err(too_many) => Some(Err(too_many)),
    }
}

fn is_hashes(cell: &str) -> bool {
    cell.len() >= 2 && cell.bytes().all(|byte| byte == b'#')
}

fn leading_blank(rows: &[Vec<String>]) -> usize {
    rows.iter()
        .take_while(|row| row.iter().all(|cell| cell.trim().is_empty()))
        .count()
}

/// The plain version's cells: tabs and lines, quotes around cells that hold either.
fn plain_cells(plain: &str) -> Vec<Vec<String>> {
    let grid = super::split::tabbed(plain);
    (0..grid.height())
        .map(|row| grid.row(row).map(str::to_owned).collect())
        .collect()
}

fn written(rows: &[Vec<String>]) -> String {
    let mut text = String::new();
    // A table of one column has no tab to tell that commas belong to its cells.
    if rows.iter().all(|row| row.len() < 2) {
        text.push_str("sep=\\t\n");
    }
    for row in rows {
        for (index, cell) in row.iter().enumerate() {
            if index > 0 {
                text.push('\t');
            }
            push_cell(&mut text, cell, row.len() == 1);
        }
        text.push('\n');
    }
    text
}

/// Widest span that is honoured: beyond it somebody is playing.
const WIDEST_SPAN: usize = 60;

/// Cells of all rows of the first table with cells, spans filled with blanks.
fn table_rows(html: &str) -> Result<Vec<Vec<String>>, TooManyCells> {
    let mut builder = Builder::default();
    let mut rest = html;
    // Behind the last ">" no markup can end, and looking for its end again and again would take for ever.
    let after_last = html.rfind('>').map_or(html.len(), |last| html.len() - last);
    while let Some(open) = rest.find('<').filter(|open| rest.len() - open > after_last) {
        let (text, from) = rest.split_at(open);
        builder.text(text);
        rest = match after_markup(from) {
            Some((tag, after)) => {
                builder.tag(&tag);
                after
            }
            None => {
                // A lone "<" is a character like any other.
                builder.text("<");
                from.get(1..).unwrap_or_default()
            }
        };
        if builder.done || builder.cells > LARGEST_CELL_COUNT {
            break;
        }
    }
    if !builder.done {
        builder.text(rest);
    }
    let cells = builder.cells;
    let rows = builder.finish();
    if cells > LARGEST_CELL_COUNT {
        let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
        return Err(TooManyCells {
            rows: rows.len(),
            columns,
        });
    }
    Ok(rows)
}

/// A tag: its name in small letters, whether it closes, and its attributes as written.
struct Tag<'h> {
    name: String,
    closes: bool,
    attributes: &'h str,
}

/// Reads the tag, comment or script at the start of `html`; gives what follows it.
fn after_markup(html: &str) -> Option<(Tag<'_>, &str)> {
    if let Some(comment) = html.strip_prefix("<!--") {
        let after = comment
            .find("-->")
            .and_then(|end| comment.get(end + 3..))
            .unwrap_or_default();
        return Some((
            Tag {
                name: String::new(),
                closes: false,
                attributes: "",
            },
            after,
        ));
    }
    let inside = html.get(1..)?;
    let (closes, inside) = match inside.strip_prefix('/') {
        Some(rest) => (true, rest),
        None => (false, inside),
    };
    let begins = inside.starts_with(|c: char| c.is_ascii_alphabetic() || c == '!' || c == '?');
    if !begins {
        return None;
    }
    let end = tag_end(inside)?;
    let (tag, after) = (inside.get(..end)?, inside.get(end + 1..)?);
    let name_end = tag
        .find(|c: char| !c.is_ascii_alphanumeric())
        .unwrap_or(tag.len());
    let name = tag.get(..name_end)?.to_ascii_lowercase();
    let attributes = tag.get(name_end..)?;
    // What stands inside these is no text of the table.
    if !closes && matches!(name.as_str(), "script" | "style" | "title" | "template") {
        let closing = format!("</{name}");
        let skipped = find_ignoring_case(after, &closing)
            .and_then(|place| after.get(place..))
            .unwrap_or_default();
        return Some((
            Tag {
                name: String::new(),
                closes: false,
                attributes: "",
            },
            skipped,
        ));
    }
    Some((
        Tag {
            name,
            closes,
            attributes,
        },
        after,
    ))
}

/// The place of the `>` that ends a tag, quotes honoured.
fn tag_end(tag: &str) -> Option<usize> {
    let mut quote = None;
    for (place, byte) in tag.bytes().enumerate() {
        match (quote, byte) {
            (None, b'>') => return Some(place),
            (None, b'"' | b'\'') => quote = Some(byte),
            (Some(open), close) if open == close => quote = None,
            _ => {}
        }
    }
    tag.find('>')
}

fn find_ignoring_case(text: &str, wanted: &str) -> Option<usize> {
    text.as_bytes()
        .windows(wanted.len())
        .position(|window| window.eq_ignore_ascii_case(wanted.as_bytes()))
}

#[derive(Default)]
struct Builder {
    rows: Vec<Vec<String>>,
    row: Vec<String>,
    cell: Option<Open>,
    /// Rows that a cell above still spans, a count a column.
    spanned: Vec<usize>,
    /// Cells so far, those that spans make included.
    cells: usize,
    depth: usize,
    done: bool,
}

/// A cell whose end has not come.
struct Open {
    text: String,
    wide: usize,
    high: usize,
}

impl Builder {
    fn text(&mut self, text: &str) {
        if let Some(cell) = &mut self.cell {
            push_decoded(&mut cell.text, text);
        }
    }

    fn tag(&mut self, tag: &Tag) {
        match (tag.name.as_str(), tag.closes) {
            ("table", false) => self.depth += 1,
            ("table", true) => {
                self.depth = self.depth.saturating_sub(1);
                self.end_row();
                self.done = self.depth == 0 && !self.rows.is_empty();
            }
            ("tr", _) => self.end_row(),
            ("td" | "th", false) => {
                self.end_cell();
                self.fill_spanned();
                let wide = span(tag.attributes, "colspan");
                let high = span(tag.attributes, "rowspan");
                self.cell = Some(Open {
                    text: String::new(),
                    wide,
                    high,
                });
            }
            ("td" | "th", true) => self.end_cell(),
            ("br" | "p" | "div" | "li", _) => self.text(" "),
            ("sup", false) => {
                // 10<sup>-5</sup> is a power; a raised word is only a raised word.
                if let Some(cell) = self
                    .cell
                    .as_mut()
                    .filter(|cell| cell.text.ends_with(|c: char| c.is_ascii_digit()))
                {
                    cell.text.push('^');
                }
            }
            _ => {}
        }
    }

    /// Puts blanks where cells of rows above reach down.
    fn fill_spanned(&mut self) {
        while let Some(count) = self
            .spanned
            .get_mut(self.row.len())
            .filter(|count| **count > 0)
        {
            *count -= 1;
            self.cells += 1;
            self.row.push(String::new());
        }
    }

    fn end_cell(&mut self) {
        let Some(cell) = self.cell.take() else { return };
        let first = self.row.len();
        self.row.push(super::heading::one_line(&cell.text));
        self.cells += cell.wide;
        self.row.extend((1..cell.wide).map(|_| String::new()));
        if cell.high > 1 {
            if self.spanned.len() < self.row.len() {
                self.spanned.resize(self.row.len(), 0);
            }
            for count in self.spanned.iter_mut().skip(first).take(cell.wide) {
                *count = cell.high - 1;
            }
        }
    }

    fn end_row(&mut self) {
        self.end_cell();
        if self.row.is_empty() {
            return;
        }
        self.fill_spanned();
        self.rows.push(std::mem::take(&mut self.row));
    }

    fn finish(mut self) -> Vec<Vec<String>> {
        self.end_row();
        self.rows
    }
}

/// The number in an attribute such as `colspan=2` or `colspan="2"`.
fn span(attributes: &str, name: &str) -> usize {
    let value =
        find_ignoring_case(attributes, name).and_then(|place| attributes.get(place + name.len()..));
    let value = value
        .map(str::trim_start)
        .and_then(|value| value.strip_prefix('='));
    let value = value.map(|value| value.trim_start().trim_start_matches(['"', '\'']));
    let digits = value.map(|value| {
        value
            .split(|c: char| !c.is_ascii_digit())
            .next()
            .unwrap_or_default()
    });
    digits
        .and_then(|digits| digits.parse().ok())
        .unwrap_or(1)
        .clamp(1, WIDEST_SPAN)
}

/// Adds text with its character references decoded; line breaks of the source are spaces.
fn push_decoded(target: &mut String, text: &str) {
    let mut rest = text;
    while let Some(place) = rest.find('&') {
        let (before, from) = rest.split_at(place);
        target.push_str(before);
        let end = from.bytes().take(12).position(|byte| byte == b';');
        let decoded = end.and_then(|end| Some((decode(from.get(1..end)?)?, from.get(end + 1..)?)));
        rest = match decoded {
            Some((character, after)) => {
                target.push(character);
                after
            }
            None => {
                target.push('&');
                from.get(1..).unwrap_or_default()
            }
        };
    }
    target.push_str(rest);
}

/// The character that a reference stands for: a number, or one of the names that tables of readings use.
fn decode(name: &str) -> Option<char> {
    if let Some(number) = name.strip_prefix('#') {
        let code = match number.strip_prefix(['x', 'X']) {
            Some(hex) => u32::from_str_radix(hex, 16).ok()?,
            None => number.parse().ok()?,
        };
        return char::from_u32(code).filter(|c| *c != '\0');
    }
    Some(match name {
        "nbsp" => '\u{a0}',
        "thinsp" => '\u{2009}',
        "amp" => '&',
        "lt" => '<',
        "gt" => '>',
        "quot" => '"',
        "apos" => '\'',
        "minus" => '\u{2212}',
        "ndash" => '–',
        "mdash" => '—',
        "plusmn" => '±',
        "times" => '×',
        "middot" => '·',
        "micro" => 'µ',
        "mu" => 'μ',
        "deg" => '°',
        "Delta" => 'Δ',
        "delta" => 'δ',
        "theta" => 'θ',
        "sigma" => 'σ',
        "ohm" | "Omega" => 'Ω',
        "sup2" => '²',
        _ => return None,
    })
}
