//! What was measured, as a table to look at and as a document to keep.

use std::fmt::Write;

/// All that was measured.
#[derive(Default)]
pub struct Report {
    rows: Vec<Row>,
}

/// One thing, with the times of each page that did it.
pub struct Row {
    what: String,
    times: Vec<(&'static str, Vec<f64>)>,
}

impl Row {
    /// Nothing yet.
    pub fn new(what: &str) -> Self {
        Row {
            what: what.into(),
            times: Vec::new(),
        }
    }

    /// The milliseconds that a page took, each time.
    pub fn add(&mut self, page: &'static str, times: Vec<f64>) {
        self.times.push((page, times));
    }

    fn middles(&self) -> Vec<(&'static str, f64)> {
        let of = |(name, times): &(&'static str, Vec<f64>)| (*name, middle(times));
        self.times.iter().map(of).collect()
    }
}

impl Report {
    /// Adds what was measured.
    pub fn push(&mut self, row: Row) {
        println!("{}: {}", row.what, in_words(&row.middles()));
        self.rows.push(row);
    }

    /// The measurements as a table of Markdown: ours in milliseconds, the others as what ours takes of theirs.
    pub fn table(&self) -> String {
        let names: Vec<&str> = self.rows.first().map_or(Vec::new(), |row| {
            row.times.iter().map(|(name, _)| *name).collect()
        });
        let mut text = String::from("\n| |");
        for (place, name) in names.iter().enumerate() {
            let _ = match place {
                0 => write!(text, " {name} / ms |"),
                _ => write!(text, " {name} / ms | ratio |"),
            };
        }
        text += "\n| --- |";
        text += &" ---: |".repeat((2 * names.len()).saturating_sub(1));
        text.push('\n');
        for row in &self.rows {
            let middles = row.middles();
            let ours = middles.first().map_or(f64::NAN, |(_, time)| *time);
            let _ = write!(text, "| {} | {ours:.0} |", row.what);
            for place in 1..names.len() {
                let _ = match middles.get(place) {
                    Some((_, theirs)) => write!(text, " {theirs:.0} | {:.2} |", ours / theirs),
                    None => write!(text, " | |"),
                };
            }
            text.push('\n');
        }
        text
    }

    /// The table with what has to be known to read it.
    pub fn document(&self) -> String {
        format!("{}{}", include_str!("speed-head.md"), self.table())
    }
}

fn in_words(middles: &[(&str, f64)]) -> String {
    let one = |(name, time): &(&str, f64)| format!("{name} {time:.1} ms");
    middles.iter().map(one).collect::<Vec<_>>().join("; ")
}

/// The middle one; of an even number of times, the larger of the two.
fn middle(times: &[f64]) -> f64 {
    let mut sorted = times.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.get(sorted.len() / 2).copied().unwrap_or(f64::NAN)
}
