//! Algebra as MathML Core, with the same line as plain text beside it for readers that do not know MathML.
//!
//! Browsers place roots and raised figures by tables that only mathematical fonts have, and draw them badly without one.
//! Not every machine has such a font and a sheet fetches nothing, so a root is written √(…), and squares and powers of
//! ten are the raised figures of the font itself.
//!
//! Start at [`lines`].

use maud::{Markup, html};
use yokeline_core::sheet::{Formula, Relation, Term};

/// Formulas below each other. Each side stands by itself, so that a line is broken at its signs where the paper or the
/// screen is too narrow for it.
pub(super) fn lines(formulas: &[Formula]) -> Markup {
    html! {
        @for formula in formulas {
            div.line { (inline(formula)) }
        }
    }
}

/// A formula, its sides one after the other.
pub(super) fn inline(formula: &Formula) -> Markup {
    let (first, others) = match formula.then.split_first() {
        Some((first, others)) => (Some(first), others),
        None => (None, formula.then.as_slice()),
    };
    let beginning = first.map_or_else(
        || formula.left.plain(),
        |(relation, side)| {
            format!(
                "{}{}{}",
                formula.left.plain(),
                relation.sign(),
                side.plain()
            )
        },
    );
    html! {
        math displaystyle="true" alttext=(beginning) {
            mrow {
                (term(&formula.left))
                @if let Some((relation, side)) = first { (related(*relation, side)) }
            }
        }
        @for (relation, side) in others {
            " "
            math displaystyle="true" alttext=(format!("{}{}", relation.sign().trim_start(), side.plain())) {
                mrow { (related(*relation, side)) }
            }
        }
    }
}

/// A side with the sign before it.
fn related(relation: Relation, side: &Term) -> Markup {
    html! { mo form="infix" { (relation.sign().trim()) } (term(side)) }
}

fn term(of: &Term) -> Markup {
    match of {
        Term::Symbol(letter) => letters(letter),
        Term::Indexed(letter, index) => html! { msub { (letters(letter)) (subscript(index)) } },
        Term::Mean(letter) => {
            html! { mover accent="true" { (letters(letter)) mo stretchy="false" { "¯" } } }
        }
        Term::Number(text) => number(text),
        Term::Measure { number: text, unit } => html! {
            mrow { (number(text)) @if unit != "°" { mspace width="0.2em" {} } mtext { (unit) } }
        },
        Term::Product(factors) => html! {
            mrow {
                @for (index, factor) in factors.iter().enumerate() {
                    @if index > 0 { mspace width="0.15em" {} }
                    (bracketed_sum(factor))
                }
            }
        },
        Term::Times(factors) => html! {
            mrow {
                @for (index, factor) in factors.iter().enumerate() {
                    @if index == 0 { (bracketed_sum(factor)) } @else { mo { "×" } (after_sign(factor)) }
                }
            }
        },
        Term::Quotient(above, below) => html! { mfrac { (term(above)) (term(below)) } },
        Term::Sum(parts) => html! {
            mrow {
                @for (index, part) in parts.iter().enumerate() {
                    @if index == 0 { (term(part)) } @else { mo { "+" } (after_sign(part)) }
                }
            }
        },
        Term::Difference(from, taken) => {
            html! { mrow { (term(from)) mo { "−" } (after_sign(taken)) } }
        }
        Term::PlusMinus(value, uncertainty) => {
            html! { mrow { (term(value)) mo { "±" } (term(uncertainty)) } }
        }
        Term::Squared(base) => html! { mrow { (bracketed_sum(base)) mtext { "²" } } },
        Term::Root(under) => {
            html! { mrow { mo form="prefix" stretchy="false" { "√" } (fenced("(", under, ")")) } }
        }
        Term::Sine(angle) => {
            html! { mrow { mi { "sin" } mspace width="0.15em" {} (bracketed_sum(angle)) } }
        }
        Term::Total(summed) => html! { mrow { mo { "∑" } (bracketed_sum(summed)) } },
        Term::Size(inner) => fenced("|", inner, "|"),
        Term::Delta(letter) => html! { mrow { mi mathvariant="normal" { "Δ" } (letters(letter)) } },
        Term::PercentOf(inner) => html! { mrow { mtext { "%u" } (fenced("(", inner, ")")) } },
        Term::StandardOf(inner) => html! { mrow { mi { "u" } (fenced("(", inner, ")")) } },
        Term::Bracket(inner) => fenced("(", inner, ")"),
        Term::Word(word) => html! { mtext { (word) } },
    }
}

fn letters(letter: &str) -> Markup {
    html! { mi { (letter) } }
}

fn subscript(index: &str) -> Markup {
    if index.chars().all(|c| c.is_ascii_digit()) {
        html! { mn { (index) } }
    } else if index.chars().count() == 1 {
        letters(index)
    } else {
        html! { mtext { (index) } }
    }
}

/// A number, with its sign of multiplication as an operator where a power of ten stands behind it.
fn number(text: &str) -> Markup {
    match text.split_once("×10") {
        Some((mantissa, raised)) => html! {
            mrow { mn { (mantissa) } mo { "×" } mn { "10" (raised) } }
        },
        None => html! { mn { (text) } },
    }
}

fn bracketed_sum(of: &Term) -> Markup {
    if of.is_sum() {
        fenced("(", of, ")")
    } else {
        term(of)
    }
}

fn after_sign(of: &Term) -> Markup {
    if of.is_sum() || of.is_negative() {
        fenced("(", of, ")")
    } else {
        term(of)
    }
}

/// A bracket grows only around a fraction; around letters it would only grow by their accents.
fn fenced(open: &str, inner: &Term, close: &str) -> Markup {
    let stretchy = if is_tall(inner) { "true" } else { "false" };
    html! {
        mrow {
            mo fence="true" form="prefix" stretchy=(stretchy) { (open) }
            (term(inner))
            mo fence="true" form="postfix" stretchy=(stretchy) { (close) }
        }
    }
}

fn is_tall(of: &Term) -> bool {
    match of {
        Term::Quotient(..) => true,
        Term::Product(parts) | Term::Times(parts) | Term::Sum(parts) => parts.iter().any(is_tall),
        Term::Difference(from, taken) => is_tall(from) || is_tall(taken),
        Term::Bracket(inner) | Term::Total(inner) | Term::Size(inner) => is_tall(inner),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn powers_of_ten_stand_behind_a_sign_and_other_numbers_are_left_alone() {
        let raised = "<mrow><mn>1.666</mn><mo>×</mo><mn>10⁻⁴</mn></mrow>";
        assert_eq!(number("1.666×10⁻⁴").into_string(), raised);
        assert_eq!(number("10⁻³").into_string(), "<mn>10⁻³</mn>");
        assert_eq!(number("105").into_string(), "<mn>105</mn>");
        assert_eq!(number("10").into_string(), "<mn>10</mn>");
    }

    #[test]
    fn text_in_algebra_is_escaped() {
        let formula = Formula::equal(Term::Symbol("B"), Term::Number("<script>\"&".to_owned()));
        let markup = lines(&[formula]).into_string();
        assert!(!markup.contains("<script"));
        assert!(
            markup.contains("<mn>&lt;script&gt;&quot;&amp;</mn>"),
            "{markup}"
        );
        assert!(
            markup.contains("alttext=\"B = &lt;script&gt;&quot;&amp;\""),
            "{markup}"
        );
    }
}
