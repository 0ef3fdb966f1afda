//! The equation of each way to run the experiment: what the gradient is made of, and B from it.
//!
//! Start at [`Law::of`]. The force on the wires, as the balance shows it, is r m g = N B I L sin θ; which of the
//! quantities is varied decides which are left in the gradient. r, the lever ratio, is written only where it is not 1.

use super::Given;
use super::algebra::{Formula, Term, measure, over, product, sine, times};
use super::scale::{Scale, number, short, si_number, typed_term};
use crate::figures::Unit;
use crate::figures::round::shortest;
use crate::readings::{Ordinate, Varied};

/// The equations, and the values that go into them.
#[derive(Clone, Debug)]
pub(super) struct Law {
    /// The force on the balance is the force on the wires.
    pub(super) principle: Formula,
    /// The same as a straight line in x.
    pub(super) line: Formula,
    /// What the gradient is.
    pub(super) gradient: Formula,
    /// B from the gradient.
    pub(super) solved: Formula,
    /// What multiplies the gradient.
    pub(super) above: Vec<Factor>,
    /// What divides it.
    pub(super) below: Vec<Factor>,
}

/// A letter and what stands for it in the substitution.
#[derive(Clone, Debug)]
pub(super) struct Factor {
    symbol: Term,
    value: Term,
}

impl Law {
    /// The law for one of the series.
    pub(super) fn of(given: &Given, family: usize) -> Law {
        let scale = Scale::of(given.readings);
        let by_mass = given.readings.ordinate == Ordinate::Mass;
        let lever = (by_mass && given.setup.lever_ratio != 1.0).then(|| {
            Factor::new(
                Term::Symbol("r"),
                Term::Number(shortest(given.setup.lever_ratio)),
            )
        });
        let varied = given.readings.varied;
        let gravity = by_mass.then(|| Factor::new(Term::Symbol("g"), gravity(given)));
        let wires = || Factor::new(Term::Symbol("N"), wires(given, family));
        let length = || Factor::new(Term::Symbol("L"), length(given, family));
        let angle = || Factor::new(sine(Term::Symbol("θ")), sine(angle_value(given, family)));
        let current = || Factor::new(Term::Symbol("I"), current(given));

        let above: Vec<Factor> = lever.into_iter().chain(gravity).collect();
        let below = match varied {
            Varied::Current => vec![wires(), length(), angle()],
            Varied::Length => vec![current(), angle()],
            Varied::Angle => vec![wires(), current(), length()],
            Varied::Product => Vec::new(),
        };
        // With the product on the axis every factor of the force is already in y.
        let above = if varied == Varied::Product {
            Vec::new()
        } else {
            above
        };

        let (b, flux) = (Term::Symbol("b"), Term::Symbol("B"));
        let y = Term::Symbol(scale.y.letter);
        let mut left = symbols(&above);
        left.insert(
            usize::from(left.first() == Some(&Term::Symbol("r"))),
            y.clone(),
        );
        let with_flux = |factors: &[Factor]| {
            let mut terms = symbols(factors);
            let place = usize::from(terms.first() == Some(&Term::Symbol("N")));
            terms.insert(place, flux.clone());
            terms
        };
        let right = match varied {
            Varied::Current | Varied::Angle => vec![
                Term::Symbol("N"),
                flux.clone(),
                Term::Symbol("I"),
                Term::Symbol("L"),
                sine(Term::Symbol("θ")),
            ],
            Varied::Length => vec![
                flux.clone(),
                Term::Symbol("I"),
                bracketed_length(),
                sine(Term::Symbol("θ")),
            ],
            Varied::Product => vec![flux.clone(), Term::Symbol("x")],
        };
        let slope = ratio(with_flux(&below), symbols(&above));
        let x = match varied {
            Varied::Current => Term::Symbol("I"),
            Varied::Length => bracketed_length(),
            Varied::Angle => sine(Term::Symbol("θ")),
            Varied::Product => Term::Symbol("x"),
        };
        let steep = match slope {
            Term::Quotient(..) | Term::Product(_) => Term::Bracket(Box::new(slope.clone())),
            _ => slope.clone(),
        };
        let line = Term::Sum(vec![product(vec![steep, x]), Term::Symbol("a")]);
        let mut up = vec![b.clone()];
        up.extend(symbols(&above));
        // The lever ratio reads better before the gradient.
        if up.get(1) == Some(&Term::Symbol("r")) {
            up.swap(0, 1);
        }
        Law {
            principle: Formula::equal(product(left), product(right)),
            line: Formula::equal(y, line),
            gradient: Formula::equal(b, slope),
            solved: Formula::equal(flux, ratio(up, symbols(&below))),
            above,
            below,
        }
    }

    /// The right-hand side of [`Law::solved`] with numbers and units.
    pub(super) fn substituted(&self, gradient: Term) -> Term {
        let mut above = vec![gradient];
        above.extend(self.above.iter().map(|f| f.value.clone()));
        let below: Vec<Term> = self.below.iter().map(|f| f.value.clone()).collect();
        if below.is_empty() {
            times(above)
        } else {
            over(times(above), times(below))
        }
    }
}

impl Factor {
    fn new(symbol: Term, value: Term) -> Factor {
        Factor { symbol, value }
    }
}

/// The length of one wire of a series, in m; the letter where it is not known.
fn length(given: &Given, family: usize) -> Term {
    let own = given.readings.families.get(family).and_then(|f| f.length_m);
    match (own, given.setup.length) {
        (Some(own_m), Some(typed)) if own_m == typed.si => {
            measure(si_number(&typed, Unit::CENTIMETRE), "m")
        }
        (None, Some(typed)) => measure(si_number(&typed, Unit::CENTIMETRE), "m"),
        (Some(own_m), _) => measure(short(own_m), "m"),
        (None, None) => Term::Symbol("L"),
    }
}

/// The number of wires of a series.
fn wires(given: &Given, family: usize) -> Term {
    let wires = given
        .readings
        .families
        .get(family)
        .map_or(given.setup.wires, |f| f.wires);
    Term::Number(shortest(wires))
}

/// The free fall acceleration.
pub(super) fn gravity(given: &Given) -> Term {
    match given.setup.gravity {
        Some(typed) => measure(si_number(&typed, Unit::METRE_PER_SECOND_SQUARED), "m/s²"),
        None => measure(shortest(given.setup.gravity_m_per_s2()), "m/s²"),
    }
}

/// The angle of a series in degrees, as typed where it was typed.
pub(super) fn angle_value(given: &Given, family: usize) -> Term {
    let own = given
        .readings
        .families
        .get(family)
        .and_then(|f| f.angle_rad);
    match (own, given.setup.angle) {
        (Some(own_rad), Some(typed)) if own_rad == typed.si => typed_term(&typed, Unit::DEGREE),
        (Some(own_rad), _) => measure(short(Unit::DEGREE.from_si(own_rad)), "°"),
        (None, _) => measure("90", "°"),
    }
}

/// The sine of the angle of a series as a number.
pub(super) fn sine_number(given: &Given, family: usize) -> String {
    let sin = given
        .readings
        .families
        .get(family)
        .and_then(|f| f.angle_rad)
        .map_or(1.0, libm::sin);
    if sin == 1.0 {
        "1".to_owned()
    } else {
        number(sin, 4)
    }
}

/// The current that was held fixed, in A; the letter where it is not known.
fn current(given: &Given) -> Term {
    match given.setup.fixed_current {
        Some(typed) => measure(si_number(&typed, Unit::AMPERE), "A"),
        None => Term::Symbol("I"),
    }
}

fn bracketed_length() -> Term {
    Term::Bracket(Box::new(product(vec![
        Term::Symbol("N"),
        Term::Symbol("L"),
    ])))
}

fn symbols(factors: &[Factor]) -> Vec<Term> {
    factors.iter().map(|f| f.symbol.clone()).collect()
}

fn ratio(above: Vec<Term>, below: Vec<Term>) -> Term {
    if below.is_empty() {
        product(above)
    } else {
        over(product(above), product(below))
    }
}
