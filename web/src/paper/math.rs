//! Algebra as MathML Core, with the same line as plain text beside it for readers that do not know MathML.
//!
//! Start at [`lines`].

use maud::{Markup, html};
use yokeline_core::sheet::{Formula, Relation, Term};

/// Formulas below each other, each broken at its signs into rows that a narrow page holds.
pub(super) fn lines(formulas: &[Formula]) -> Markup {
    html! {
        @for formula in formulas {
            div.line { (block(formula)) }
        }
    }
}

/// A formula on one line, for a result.
pub(super) fn inline(formula: &Formula) -> Markup {
    html! {
        math display="inline" alttext=(formula.plain()) {
            mrow {
                (term(&formula.left))
                @for (relation, side) in &formula.then {
                    mo { (relation.sign().trim()) }
                    (term(side))
                }
            }
        }
    }
}

fn block(formula: &Formula) -> Markup {
    html! {
        math displaystyle="true" alttext=(formula.plain()) {
            mtable displaystyle="true" columnalign="right left" {
                @for (index, row) in rows(formula).iter().enumerate() {
                    mtr {
                        mtd { @if index == 0 { (term(&formula.left)) } }
                        mtd { mrow {
                            @for (relation, side) in *row {
                                mo form="infix" { (relation.sign().trim()) }
                                (term(side))
                            }
                        } }
                    }
                }
            }
        }
    }
}

/// A row wider than this, in characters, does not fit a telephone held upright.
const WIDEST_ROW: usize = 36;

/// The sides of a formula, as many to a row as fit; always at least one.
fn rows(formula: &Formula) -> Vec<&[(Relation, Term)]> {
    let mut rows = Vec::new();
    let mut rest = formula.then.as_slice();
    let mut taken = width(&formula.left);
    while !rest.is_empty() {
        let mut count = 0;
        for (_, side) in rest {
            taken += width(side) + 3;
            if count > 0 && taken > WIDEST_ROW {
                break;
            }
            count += 1;
        }
        let (row, after) = rest.split_at(count);
        rows.push(row);
        rest = after;
        taken = width(&formula.left);
    }
    rows
}

/// About how many characters wide a term is set.
fn width(of: &Term) -> usize {
    match of {
        Term::Quotient(above, below) => width(above).max(width(below)),
        Term::Times(factors) | Term::Sum(factors) => {
            factors.iter().map(|f| width(f) + 3).sum::<usize>()
        }
        other => other.plain().chars().count(),
    }
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
        Term::Squared(base) => html! { msup { (bracketed_sum(base)) mn { "2" } } },
        Term::Root(under) => html! { msqrt { (term(under)) } },
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

/// A number; a power of ten behind it becomes a raised exponent.
fn number(text: &str) -> Markup {
    let power = text
        .split_once("×10")
        .or_else(|| text.strip_prefix("10").map(|raised| ("", raised)));
    let exponent = power.and_then(|(_, raised)| lowered(raised));
    match (power, exponent) {
        (Some((mantissa, _)), Some(exponent)) => html! {
            mrow {
                @if !mantissa.is_empty() { mn { (mantissa) } mo { "×" } }
                msup { mn { "10" } mn { (exponent) } }
            }
        },
        _ => html! { mn { (text) } },
    }
}

/// Raised digits as ordinary ones; `None` unless all of a text that is not empty is raised.
fn lowered(raised: &str) -> Option<String> {
    let lower = |c: char| match c {
        '⁻' => Some('−'),
        '⁰' => Some('0'),
        '¹' => Some('1'),
        '²' => Some('2'),
        '³' => Some('3'),
        '⁴' => Some('4'),
        '⁵' => Some('5'),
        '⁶' => Some('6'),
        '⁷' => Some('7'),
        '⁸' => Some('8'),
        '⁹' => Some('9'),
        _ => None,
    };
    raised
        .chars()
        .map(lower)
        .collect::<Option<String>>()
        .filter(|text| !text.is_empty())
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
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn powers_of_ten_are_raised_and_other_numbers_left_alone() {
        let raised = "<mrow><mn>1.666</mn><mo>×</mo><msup><mn>10</mn><mn>−4</mn></msup></mrow>";
        assert_eq!(number("1.666×10⁻⁴").into_string(), raised);
        assert_eq!(
            number("10⁻³").into_string(),
            "<mrow><msup><mn>10</mn><mn>−3</mn></msup></mrow>"
        );
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
