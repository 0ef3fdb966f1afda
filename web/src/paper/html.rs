//! The sheet as one HTML file that needs nothing else: its style inside, its graph inline, no script.
//!
//! Start at [`html`](fn@html).

use maud::{DOCTYPE, Markup, PreEscaped, html as markup};
use yokeline_core::sheet::{Block, Section, Sheet, Show, Table};

use super::quantity::kept_together;
use super::{grid, math};

/// Forbids everything that a sheet does not need, scripts first of all, should anything ever slip past the escaping.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";

const STYLE: &str = include_str!("paper.css");

/// The sheet as a self-contained HTML document.
///
/// `graph_svg` is an SVG element whose text is already escaped, as the chart gives it; it is put in as it stands, and
/// left out of a blank sheet.
pub fn html(sheet: &Sheet, graph_svg: &str) -> String {
    let class = (sheet.show == Show::Answers).then_some("answers");
    document(&sheet.title, class, &content(sheet, graph_svg))
}

/// Several sheets without graphs in one such document, each on a page of its own.
pub fn many(sheets: &[Sheet]) -> String {
    let title = sheets.first().map_or("", |sheet| sheet.title.as_str());
    let all = markup! {
        @for sheet in sheets { div.own-page { (content(sheet, "")) } }
    };
    document(title, None, &all)
}

fn content(sheet: &Sheet, graph_svg: &str) -> Markup {
    markup! {
        h1 { (sheet.title) }
        @if !sheet.fill_in.is_empty() {
            div.fill {
                @for label in &sheet.fill_in { span { (label) i {} } }
            }
        }
        @for (index, section) in sheet.sections.iter().enumerate() {
            (part(index + 1, section, sheet.show, graph_svg))
        }
    }
}

/// A whole document that needs nothing else, with its content below `main`.
pub(super) fn document(title: &str, class: Option<&str>, content: &Markup) -> String {
    let document = markup! {
        (DOCTYPE)
        html lang="en-GB" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content="Yokeline";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            // On the main part: that alone is put into the page to be printed from there.
            body {
                main class=[class] { (content) }
            }
        }
    };
    document.into_string()
}

fn part(number: usize, section: &Section, show: Show, graph_svg: &str) -> Markup {
    markup! {
        section {
            h2 { (number) ". " (section.heading) }
            @for block in &section.blocks { (piece(block, show, graph_svg)) }
        }
    }
}

fn piece(block: &Block, show: Show, graph_svg: &str) -> Markup {
    match block {
        Block::Subheading(heading) => markup! { h3 { (heading) } },
        Block::Text(text) => markup! { p { (kept_together(text)) } },
        Block::List(sentences) => {
            markup! { ul { @for sentence in sentences { li { (kept_together(sentence)) } } } }
        }
        Block::Table(table) => rows(table),
        Block::Step(step) => {
            markup! { div.step.long[step.lines.len() > MOST_LINES_KEPT_TOGETHER] tabindex="0" role="group" aria-label=(step.reason) { p { (kept_together(&step.reason)) } (math::lines(&step.lines)) } }
        }
        Block::Answer { label, formula } => markup! {
            div.answer tabindex="0" role="group" aria-label=(if label.is_empty() { "Answer" } else { label.as_str() }) {
                @if !label.is_empty() { p { (label) } }
                (math::inline(formula))
            }
        },
        Block::Graph { .. } if show == Show::Blank => Markup::default(),
        Block::Graph { caption } => markup! {
            figure { (PreEscaped(without_prolog(graph_svg))) figcaption { (kept_together(caption)) } }
        },
        Block::GraphPaper { x_title, y_title } => {
            markup! { figure { (grid::paper(x_title, y_title)) } }
        }
        Block::Question {
            number,
            text,
            lines,
        } => markup! {
            div.question { p { (number) ". " (kept_together(text)) } (to_write(*lines)) }
        },
        Block::Lines(lines) => to_write(*lines),
    }
}

/// A step of more lines than this may go over a page: kept whole, it would leave half a page empty.
const MOST_LINES_KEPT_TOGETHER: usize = 2;

fn to_write(lines: usize) -> Markup {
    markup! { div.write aria-hidden="true" { @for _ in 0..lines { i {} } } }
}

/// More columns than this are set small, so that A4 holds them.
const MOST_COLUMNS_AT_FULL_SIZE: usize = 8;

/// A table of more rows than this may go over a page; its headings are then repeated.
const MOST_ROWS_KEPT_TOGETHER: usize = 12;

fn rows(table: &Table) -> Markup {
    let numeric: Vec<bool> = (0..table.headings.len())
        .map(|column| is_numeric(table, column))
        .collect();
    let class = |column: usize| numeric.get(column).copied().unwrap_or(false).then_some("n");
    let wide = table.headings.len() > MOST_COLUMNS_AT_FULL_SIZE;
    let whole = table.rows.len() <= MOST_ROWS_KEPT_TOGETHER;
    markup! {
        // Where it is wider than the window it is moved with the arrow keys.
        div.table tabindex="0" role="group" aria-label=(table.caption) {
            table.wide[wide].whole[whole] {
                caption { (table.caption) }
                thead { tr {
                    @for (column, heading) in table.headings.iter().enumerate() {
                        th scope="col" class=[class(column)] { (heading) }
                    }
                } }
                tbody {
                    @for (index, row) in table.rows.iter().enumerate() {
                        tr class=[table.left_out.contains(&index).then_some("out")] {
                            @for (column, cell) in row.iter().enumerate() {
                                @if column == 0 && table.row_headings {
                                    th scope="row" class=[class(column)] {
                                        (cell) @if table.left_out.contains(&index) { " (left out)" }
                                    }
                                } @else {
                                    td class=[class(column)] { (kept_together(cell)) }
                                }
                            }
                        }
                    }
                }
            }
        }
        @if !table.below.is_empty() { p.below { (kept_together(&table.below)) } }
    }
}

/// Whether a column holds bare numbers, which stand to the right.
fn is_numeric(table: &Table, column: usize) -> bool {
    let mut cells = table
        .rows
        .iter()
        .filter_map(|row| row.get(column))
        .filter(|cell| !cell.trim().is_empty())
        .peekable();
    let bare = |cell: &String| {
        cell.chars()
            .all(|c| c.is_ascii_digit() || ".,+-−— ".contains(c))
    };
    cells.peek().is_some() && cells.all(bare)
}

/// An SVG as an element of the page: a file's XML declaration has no place there.
fn without_prolog(svg: &str) -> &str {
    svg.find("<svg")
        .and_then(|start| svg.get(start..))
        .unwrap_or("")
}
