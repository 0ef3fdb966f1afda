//! The apparatus, from typed text to SI.

use crate::figures::Figure;

/// A quantity as typed and in SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// As typed, with its unit and figures.
    pub figure: Figure,
    /// SI (angles in radians).
    pub si: f64,
    /// Half-width as typed, SI.
    pub half_width: Option<f64>,
}

/// Wire, angle, gravity and instruments, SI.
#[derive(Clone, Debug, PartialEq)]
pub struct Setup {
    /// Length of one wire in the field, m.
    pub length: Option<Measured>,
    /// How many wires side by side.
    pub wires: f64,
    /// Angle between wire and field, rad; `None` when not typed (a right angle).
    pub angle: Option<Measured>,
    /// Free fall acceleration, m/s²; `None` when not typed (9.81).
    pub gravity: Option<Measured>,
    /// Force over balance force.
    pub lever_ratio: f64,
    /// One step of the balance, kg or N.
    pub balance_resolution: Option<Measured>,
    /// One step of the ammeter, A.
    pub current_resolution: Option<Measured>,
    /// The current when another quantity is varied, A.
    pub fixed_current: Option<Measured>,
    /// The flux density to compare with, T.
    pub probe: Option<Measured>,
}

impl Setup {
    /// g in m/s².
    pub fn gravity_m_per_s2(&self) -> f64 {
        self.gravity.map_or(9.81, |g| g.si)
    }

    /// sin θ, exactly 1 at a right angle.
    pub fn sin_angle(&self) -> f64 {
        self.angle.map_or(1.0, |a| sin_of(a.si))
    }
}

/// sin of an angle in radians that gives exactly 1 at a right angle.
pub fn sin_of(angle_rad: f64) -> f64 {
    libm::sin(angle_rad)
}
