//! The sheet as plain text: for copying, for screen readers that want it in one piece, and for comparing in tests.

use super::{Block, Sheet, Table};

impl Sheet {
    /// The whole sheet as plain text, a blank line between blocks.
    pub fn to_text(&self) -> String {
        let mut text = format!("{}\n", self.title);
        for label in &self.fill_in {
            text.push_str(&format!("{label}: ________\n"));
        }
        for (index, section) in self.sections.iter().enumerate() {
            text.push_str(&format!("\n{}. {}\n", index + 1, section.heading));
            for block in &section.blocks {
                text.push('\n');
                text.push_str(&block.to_text());
            }
        }
        text
    }
}

impl Block {
    fn to_text(&self) -> String {
        match self {
            Block::Subheading(heading) => format!("-- {heading} --\n"),
            Block::Text(text) => format!("{text}\n"),
            Block::List(sentences) => sentences.iter().map(|s| format!("- {s}\n")).collect(),
            Block::Table(table) => table.to_text(),
            Block::Step(step) => {
                let lines: String = step
                    .lines
                    .iter()
                    .map(|line| format!("    {}\n", line.plain()))
                    .collect();
                format!("{}\n{lines}", step.reason)
            }
            Block::Answer { label, formula } if label.is_empty() => {
                format!("==> {}\n", formula.plain())
            }
            Block::Answer { label, formula } => format!("==> {} ({label})\n", formula.plain()),
            Block::Graph { caption } => format!("[graph: {caption}]\n"),
            Block::GraphPaper { x_title, y_title } => {
                format!("[graph paper: {y_title} against {x_title}]\n")
            }
            Block::Question {
                number,
                text,
                lines,
            } => format!("({number}) {text}\n{}", "________\n".repeat(*lines)),
            Block::Lines(lines) => "________\n".repeat(*lines),
        }
    }
}

impl Table {
    fn to_text(&self) -> String {
        let mut text = format!("[{}]\n{}\n", self.caption, self.headings.join(" | "));
        for (index, row) in self.rows.iter().enumerate() {
            text.push_str(&row.join(" | "));
            text.push_str(if self.left_out.contains(&index) {
                " (left out)\n"
            } else {
                "\n"
            });
        }
        if !self.below.is_empty() {
            text.push_str(&format!("{}\n", self.below));
        }
        text
    }
}
