//! B from the gradient, with its uncertainty by the school rule and by the GUM.
//!
//! Start at [`find`]. Every way of running the practical gives B as the gradient times a product of known quantities,
//! each to the power +1 or -1: its [`Term`]s.

use super::budget::{Budget, Source};

/// A known quantity between gradient and B.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Term {
    /// `gravity`, `lever ratio`, `wires`, `length`, `angle`, `current`, `balance calibration`, `ammeter calibration`.
    pub name: &'static str,
    /// Value, SI; for an angle the angle itself in rad, of which the sine enters.
    pub value: f64,
    /// Uncertainty as typed, SI: the half-width of the school rule, and taken for the standard uncertainty of the GUM's.
    pub half_width: Option<f64>,
    /// Whether B is proportional to it rather than to its inverse.
    pub multiplies: bool,
    /// Whether its value has entered every point already, so that only its uncertainty is still to come: if the true
    /// value is larger by some factor, so are all the x (or y) and the gradient is wrong by it.
    pub in_points: bool,
}

impl Term {
    /// A term that multiplies the gradient.
    pub fn times(name: &'static str, value: f64, half_width: Option<f64>) -> Term {
        Term {
            name,
            value,
            half_width,
            multiplies: true,
            in_points: false,
        }
    }

    /// A term that divides the gradient.
    pub fn over(name: &'static str, value: f64, half_width: Option<f64>) -> Term {
        Term {
            name,
            value,
            half_width,
            multiplies: false,
            in_points: false,
        }
    }

    /// The angle, whose sine divides the gradient.
    pub fn over_sine_of(angle_rad: f64, half_width: Option<f64>) -> Term {
        Term {
            name: "angle",
            value: angle_rad,
            half_width,
            multiplies: false,
            in_points: false,
        }
    }

    /// The same term, its value being in the points already.
    pub fn in_points(self) -> Term {
        Term {
            in_points: true,
            ..self
        }
    }

    /// The number that enters the product.
    pub fn factor(&self) -> f64 {
        self.factor_at(self.value)
    }

    /// The number that would enter the product if the value were another one.
    pub fn factor_at(&self, value: f64) -> f64 {
        if self.in_points {
            self.quantity_at(value) / self.quantity()
        } else {
            self.quantity_at(value)
        }
    }

    /// The value itself, or the sine of an angle.
    pub fn quantity(&self) -> f64 {
        self.quantity_at(self.value)
    }

    fn quantity_at(&self, value: f64) -> f64 {
        if self.name == "angle" {
            libm::sin(value)
        } else {
            value
        }
    }

    /// School rule: the relative half-width of the quantity. For an angle it is the larger change of the sine, since at
    /// a right angle the first derivative says nothing.
    fn relative_half_width(&self) -> f64 {
        let Some(half_width) = self.half_width else {
            return 0.0;
        };
        let quantity = self.quantity();
        let change = if self.name == "angle" {
            let to = |angle: f64| (libm::sin(angle) - quantity).abs();
            to(self.value + half_width).max(to(self.value - half_width))
        } else {
            half_width
        };
        (change / quantity).abs()
    }

    /// GUM: the standard uncertainty of the quantity. For an angle with u(θ) it is
    /// √(cos²θ u² + sin²θ u⁴/2), the second term being what is left at a right angle for a normal distribution
    /// (JCGM 100:2008, 5.1.2 note).
    fn quantity_uncertainty(&self) -> f64 {
        let Some(u) = self.half_width else { return 0.0 };
        if self.name == "angle" {
            let (first, second) = (libm::cos(self.value) * u, libm::sin(self.value) * u * u);
            (first * first + second * second / 2.0).sqrt()
        } else {
            u
        }
    }
}

/// The gradient with what is known of its uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gradient {
    /// Value, SI.
    pub value: f64,
    /// Standard uncertainty.
    pub standard: Option<f64>,
    /// Degrees of freedom of that; infinite where it comes from stated uncertainties.
    pub degrees_of_freedom: f64,
    /// Half-width by the school rule, and where it came from.
    pub school: Option<(f64, SchoolBasis)>,
}

/// Where the gradient's part of the school uncertainty came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SchoolBasis {
    /// The worst acceptable lines.
    WorstLines,
    /// No line passes through every bar: the standard error stands in.
    StandardError,
}

/// The flux density.
#[derive(Clone, Debug, PartialEq)]
pub struct FluxDensity {
    /// The value, T; signed like the gradient.
    pub tesla: f64,
    /// The gradient it came from.
    pub gradient: Gradient,
    /// B per unit gradient: the product of the terms.
    pub per_gradient: f64,
    /// Half-width by the school rule, T.
    pub school_t: Option<f64>,
    /// Where its gradient part came from.
    pub school_basis: Option<SchoolBasis>,
    /// Percentage uncertainties that the school rule adds: name and %.
    pub school_parts: Vec<(&'static str, f64)>,
    /// The budget of standard uncertainties; `None` when the gradient has no standard uncertainty.
    pub budget: Option<Budget>,
    /// The terms between gradient and B.
    pub terms: Vec<Term>,
}

/// B = gradient × Π terms, with both kinds of uncertainty. `None` unless the result is finite.
///
/// School rule: percentage uncertainties add (common practice, no source). Standard: contributions in quadrature,
/// JCGM 100:2008, 5.1.
///
/// # Examples
/// A gradient of 0.1666 g/A with one length of 5.0 cm: 0.1666×10⁻³ × 9.81 / 0.050 = 0.03269 T.
/// ```
/// use yokeline_core::field::flux_density::{Gradient, Term, find};
/// let gradient = Gradient { value: 0.1666e-3, standard: None, degrees_of_freedom: f64::INFINITY, school: None };
/// let terms = vec![Term::times("gravity", 9.81, None), Term::over("length", 0.050, None)];
/// assert!((find(gradient, terms).unwrap().tesla - 0.03269).abs() < 0.00001);
/// ```
pub fn find(gradient: Gradient, terms: Vec<Term>) -> Option<FluxDensity> {
    let above: f64 = terms
        .iter()
        .filter(|t| t.multiplies)
        .map(Term::factor)
        .product();
    let below: f64 = terms
        .iter()
        .filter(|t| !t.multiplies)
        .map(Term::factor)
        .product();
    let tesla = gradient.value * above / below;
    let per_gradient = above / below;
    if !(tesla.is_finite() && per_gradient.is_finite()) {
        return None;
    }
    let mut school_parts = Vec::new();
    let school_t = gradient.school.map(|(half_width, _)| {
        if gradient.value != 0.0 {
            school_parts.push(("gradient", 100.0 * (half_width / gradient.value).abs()));
        }
        let mut total = half_width * per_gradient.abs();
        for term in &terms {
            let relative = term.relative_half_width();
            if relative > 0.0 {
                school_parts.push((term.name, 100.0 * relative));
                total += tesla.abs() * relative;
            }
        }
        total
    });
    let budget = gradient.standard.map(|standard| {
        let mut sources = vec![Source {
            name: "gradient",
            value: gradient.value,
            standard_uncertainty: standard,
            sensitivity: per_gradient,
            degrees_of_freedom: gradient.degrees_of_freedom,
        }];
        for term in terms
            .iter()
            .filter(|t| t.half_width.is_some_and(|u| u > 0.0))
        {
            let quantity = term.quantity();
            sources.push(Source {
                name: if term.name == "angle" {
                    "sine of the angle"
                } else {
                    term.name
                },
                value: quantity,
                standard_uncertainty: term.quantity_uncertainty(),
                sensitivity: if term.multiplies {
                    tesla / quantity
                } else {
                    -tesla / quantity
                },
                degrees_of_freedom: f64::INFINITY,
            });
        }
        Budget::of(sources)
    });
    Some(FluxDensity {
        tesla,
        gradient,
        per_gradient,
        school_t,
        school_basis: gradient.school.map(|s| s.1),
        school_parts,
        budget,
        terms,
    })
}
