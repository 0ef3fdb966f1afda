//! Algebra as a tree of meaning: what is divided by what, which letter stands for a quantity, which number has a unit.
//!
//! Start at [`Formula`]. It knows no markup; [`Formula::plain`] is the same line of algebra in one line of text.

/// A line of algebra: one or more equal sides.
#[derive(Clone, Debug, PartialEq)]
pub struct Formula {
    /// The first side.
    pub left: Term,
    /// What follows it, each side with the sign that stands before it.
    pub then: Vec<(Relation, Term)>,
}

/// The sign between two sides.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Relation {
    /// =
    Equals,
    /// ≤
    AtMost,
    /// >
    Above,
}

/// A part of a formula.
#[derive(Clone, Debug, PartialEq)]
pub enum Term {
    /// A letter that stands for a quantity: `B`.
    Symbol(&'static str),
    /// A letter with an index: `x` and `1`.
    Indexed(&'static str, &'static str),
    /// The mean of a quantity: a bar over its letter.
    Mean(&'static str),
    /// A number, ready to be read: `1.666×10⁻⁴`.
    Number(String),
    /// A number with its unit.
    Measure {
        /// The number, ready to be read.
        number: String,
        /// The unit as printed; not empty.
        unit: String,
    },
    /// Letters side by side: `N I L`.
    Product(Vec<Term>),
    /// Factors with a multiplication sign between them.
    Times(Vec<Term>),
    /// A fraction.
    Quotient(Box<Term>, Box<Term>),
    /// First plus the others.
    Sum(Vec<Term>),
    /// First minus second.
    Difference(Box<Term>, Box<Term>),
    /// Value ± uncertainty.
    PlusMinus(Box<Term>, Box<Term>),
    /// A square.
    Squared(Box<Term>),
    /// A square root.
    Root(Box<Term>),
    /// The sine of an angle.
    Sine(Box<Term>),
    /// The sum of a term over all points.
    Total(Box<Term>),
    /// The size of a term, without its sign.
    Size(Box<Term>),
    /// Change or uncertainty of a quantity: Δb.
    Delta(&'static str),
    /// The percentage uncertainty of a quantity: %u(b).
    PercentOf(Box<Term>),
    /// The standard uncertainty of a quantity: u(b).
    StandardOf(Box<Term>),
    /// A bracket that the reader should see.
    Bracket(Box<Term>),
    /// A word in a formula: `zero`.
    Word(&'static str),
}

use Term::{
    Difference, Measure, Number, PlusMinus, Quotient, Root, Sine, Size, Squared, Symbol, Times,
    Total,
};

impl Formula {
    /// `left = right`.
    pub fn equal(left: Term, right: Term) -> Formula {
        Formula {
            left,
            then: vec![(Relation::Equals, right)],
        }
    }

    /// The same with one more equal side.
    #[must_use]
    pub fn and(mut self, side: Term) -> Formula {
        self.then.push((Relation::Equals, side));
        self
    }

    /// The formula in one line of text: `B = b g / (N L sin θ)`.
    pub fn plain(&self) -> String {
        let mut text = self.left.plain();
        for (relation, side) in &self.then {
            text.push_str(relation.sign());
            text.push_str(&side.plain());
        }
        text
    }
}

impl Relation {
    /// The sign with a space on either side.
    pub fn sign(self) -> &'static str {
        match self {
            Relation::Equals => " = ",
            Relation::AtMost => " ≤ ",
            Relation::Above => " > ",
        }
    }
}

impl Term {
    /// The term in one line of text.
    pub fn plain(&self) -> String {
        match self {
            Symbol(letter) => (*letter).to_owned(),
            Term::Indexed(letter, index) => format!("{letter}_{index}"),
            Term::Mean(letter) => format!("mean {letter}"),
            Number(number) => number.clone(),
            Measure { number, unit } => with_unit(number, unit),
            Term::Product(factors) => factors
                .iter()
                .map(Term::plain_factor)
                .collect::<Vec<_>>()
                .join(" "),
            Times(factors) => {
                let after = |(index, factor): (usize, &Term)| {
                    if index == 0 {
                        factor.plain_factor()
                    } else {
                        factor.plain_after_sign()
                    }
                };
                factors
                    .iter()
                    .enumerate()
                    .map(after)
                    .collect::<Vec<_>>()
                    .join(" × ")
            }
            Quotient(above, below) => {
                let below = match **below {
                    Term::Product(_) | Times(_) | Quotient(..) => format!("({})", below.plain()),
                    _ => below.plain_factor(),
                };
                format!("{} / {below}", above.plain_factor())
            }
            Term::Sum(parts) => {
                let after = |(index, part): (usize, &Term)| {
                    if index == 0 {
                        part.plain()
                    } else {
                        part.plain_after_sign()
                    }
                };
                parts
                    .iter()
                    .enumerate()
                    .map(after)
                    .collect::<Vec<_>>()
                    .join(" + ")
            }
            Difference(from, taken) => format!("{} − {}", from.plain(), taken.plain_after_sign()),
            PlusMinus(value, uncertainty) => format!("{} ± {}", value.plain(), uncertainty.plain()),
            Squared(base) => format!("{}²", base.plain_factor()),
            Root(under) => format!("√({})", under.plain()),
            Sine(angle) => format!("sin {}", angle.plain_factor()),
            Total(term) => format!("Σ {}", term.plain_factor()),
            Size(term) => format!("|{}|", term.plain()),
            Term::Delta(letter) => format!("Δ{letter}"),
            Term::PercentOf(term) => format!("%u({})", term.plain()),
            Term::StandardOf(term) => format!("u({})", term.plain()),
            Term::Bracket(inner) => format!("({})", inner.plain()),
            Term::Word(word) => (*word).to_owned(),
        }
    }

    /// Whether the term needs a bracket when something is multiplied by it.
    pub fn is_sum(&self) -> bool {
        matches!(self, Term::Sum(_) | Difference(..) | PlusMinus(..))
    }

    /// Whether the term starts with a minus, and so needs a bracket after another sign.
    pub fn is_negative(&self) -> bool {
        match self {
            Number(number) | Measure { number, .. } => number.starts_with('−'),
            Times(factors) => factors.first().is_some_and(Term::is_negative),
            _ => false,
        }
    }

    fn plain_after_sign(&self) -> String {
        if self.is_sum() || self.is_negative() {
            format!("({})", self.plain())
        } else {
            self.plain()
        }
    }

    fn plain_factor(&self) -> String {
        if self.is_sum() {
            format!("({})", self.plain())
        } else {
            self.plain()
        }
    }
}

/// A number with its unit behind it; no space before a degree sign.
pub fn with_unit(number: &str, unit: &str) -> String {
    match unit {
        "" => number.to_owned(),
        "°" => format!("{number}°"),
        _ => format!("{number} {unit}"),
    }
}

/// A number with a unit, or a bare one where `unit` is empty.
pub(super) fn measure(number: impl Into<String>, unit: &str) -> Term {
    let number = number.into();
    if unit.is_empty() {
        Number(number)
    } else {
        Measure {
            number,
            unit: unit.to_owned(),
        }
    }
}

pub(super) fn over(above: Term, below: Term) -> Term {
    Quotient(Box::new(above), Box::new(below))
}

pub(super) fn minus(from: Term, taken: Term) -> Term {
    Difference(Box::new(from), Box::new(taken))
}

pub(super) fn sine(angle: Term) -> Term {
    Sine(Box::new(angle))
}

/// Factors side by side; a single one stands alone, none is the number 1.
pub(super) fn product(mut factors: Vec<Term>) -> Term {
    match factors.len() {
        0 => Number("1".to_owned()),
        1 => factors.remove(0),
        _ => Term::Product(factors),
    }
}

/// Factors with multiplication signs; a single one stands alone, none is the number 1.
pub(super) fn times(mut factors: Vec<Term>) -> Term {
    match factors.len() {
        0 => Number("1".to_owned()),
        1 => factors.remove(0),
        _ => Times(factors),
    }
}
