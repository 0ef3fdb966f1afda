//! Numbers that stay on one line with their units: `39 mT`, `(39.9 ± 1.8) mT`, `196 T/(kg/A)`.
//!
//! Start at [`kept_together`].

use maud::{Markup, html};
use yokeline_core::figures::Unit;

/// A text in which no number is parted from its unit, nor from its uncertainty, at the end of a line.
pub(super) fn kept_together(text: &str) -> Markup {
    let words: Vec<&str> = text.split(' ').collect();
    let mut runs: Vec<Vec<&str>> = Vec::new();
    for word in words {
        match runs.last_mut() {
            Some(run) if belongs(run, word) => run.push(word),
            _ => runs.push(vec![word]),
        }
    }
    html! {
        @for (index, run) in runs.iter().enumerate() {
            @if index > 0 { " " }
            @if run.len() > 1 { span.q { (run.join(" ")) } } @else { (run.concat()) }
        }
    }
}

/// Whether a word goes on with what stands before it.
fn belongs(run: &[&str], word: &str) -> bool {
    let Some(last) = run.last() else {
        return false;
    };
    if *last == "±" {
        return is_number(word);
    }
    if is_number(last) {
        return word == "±" || is_unit(word);
    }
    // The second word of a unit: the `m` of `N/(A m)` or of `A m`.
    run.len() > 1 && is_unit(last) && !ends_sentence(last) && is_unit(word)
}

fn is_number(word: &str) -> bool {
    let bare = word.trim_start_matches(['(', '±', '−', '-', '|', '“']);
    bare.starts_with(|c: char| c.is_ascii_digit())
        && bare
            .chars()
            .all(|c| c.is_ascii_digit() || ".,−-×)|⁻⁰¹²³⁴⁵⁶⁷⁸⁹".contains(c))
        && !ends_sentence(word)
}

/// Whether every part of a word, between its strokes and brackets, is a unit.
fn is_unit(word: &str) -> bool {
    let bare = word.trim_end_matches(['.', ',', ';', ':', '”']);
    let mut parts = bare
        .split(['/', '(', ')', '|'])
        .filter(|part| !part.is_empty())
        .peekable();
    parts.peek().is_some() && parts.all(is_symbol)
}

fn is_symbol(part: &str) -> bool {
    let base = part.trim_end_matches(['²', '³']);
    base == "%" || Unit::ALL.iter().any(|unit| unit.symbol() == base)
}

fn ends_sentence(word: &str) -> bool {
    word.ends_with(['.', ',', ';', ':'])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, expected: &str) {
        assert_eq!(kept_together(text).into_string(), expected);
    }

    #[test]
    fn a_number_keeps_its_unit() {
        check(
            "about 39 mT, or so",
            "about <span class=\"q\">39 mT,</span> or so",
        );
        check("196 T/(kg/A)", "<span class=\"q\">196 T/(kg/A)</span>");
        check(
            "is 40.47 mN/(A m) here",
            "is <span class=\"q\">40.47 mN/(A m)</span> here",
        );
        check(
            "1.690×10⁻⁴ kg/A",
            "<span class=\"q\">1.690×10⁻⁴ kg/A</span>",
        );
        check("add up to 4 %.", "add up to <span class=\"q\">4 %.</span>");
    }

    #[test]
    fn a_number_keeps_its_uncertainty() {
        check(
            "B is (39.9 ± 1.8) mT by it",
            "B is <span class=\"q\">(39.9 ± 1.8) mT</span> by it",
        );
    }

    #[test]
    fn other_words_part_as_they_like_and_are_escaped() {
        check("rows 3, 5 and 7 <b>", "rows 3, 5 and 7 &lt;b&gt;");
        check("In 2010. A start", "In 2010. A start");
        check("two  spaces", "two  spaces");
    }
}
