//! Which way the wire is pushed, which way the magnet, and whether the balance reads more or less.
//!
//! Start at [`Way::outcome`]. Seen along the wire, x points to the right, y up and z towards the eye. The force on the wire
//! is the vector F = I L × B, L along the conventional current and B from the north pole to the south pole.

use serde::Serialize;

/// Where the poles are, seen along the wire.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Poles {
    /// The north pole is on the left, so the field points to the right.
    NorthLeft,
    /// The north pole is on the right, so the field points to the left.
    NorthRight,
}

/// Which way the conventional current flows, seen along the wire.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Flow {
    /// Away from the eye.
    Away,
    /// Towards the eye.
    Towards,
}

/// A force along the vertical.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Push {
    /// Up.
    Up,
    /// Down.
    Down,
}

/// What the balance does when the current is switched on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Reading {
    /// The reading grows.
    Rises,
    /// The reading gets less.
    Falls,
}

/// Poles and current as they are set up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Way {
    /// Where the poles are.
    pub poles: Poles,
    /// Which way the current flows.
    pub flow: Flow,
    /// Whether the wire stands on the balance and the magnet on the bench: the usual rig turned about.
    pub wire_on_balance: bool,
}

/// What comes of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Outcome {
    /// The force on the wire.
    pub on_wire: Push,
    /// The force on the magnet: the opposite.
    pub on_magnet: Push,
    /// What the balance does.
    pub reading: Reading,
}

impl Way {
    /// The forces, by the vector product.
    pub fn outcome(&self) -> Outcome {
        let field_x = match self.poles {
            Poles::NorthLeft => 1.0,
            Poles::NorthRight => -1.0,
        };
        let current_z = match self.flow {
            Flow::Towards => 1.0,
            Flow::Away => -1.0,
        };
        let force = cross([0.0, 0.0, current_z], [field_x, 0.0, 0.0]);
        let (on_wire, on_magnet) = if force[1] > 0.0 {
            (Push::Up, Push::Down)
        } else {
            (Push::Down, Push::Up)
        };
        let on_pan = if self.wire_on_balance {
            on_wire
        } else {
            on_magnet
        };
        Outcome {
            on_wire,
            on_magnet,
            reading: match on_pan {
                Push::Down => Reading::Rises,
                Push::Up => Reading::Falls,
            },
        }
    }

    /// Whether the sign of a measured gradient (reading against current) is against what the set-up leads one to expect.
    /// A gradient of zero, or none, disagrees with nothing.
    pub fn disagrees(&self, gradient: f64) -> bool {
        self.outcome().reading.disagrees(gradient)
    }
}

impl Reading {
    /// Whether the sign of a measured gradient is against this.
    pub fn disagrees(self, gradient: f64) -> bool {
        match self {
            Reading::Rises => gradient < 0.0,
            Reading::Falls => gradient > 0.0,
        }
    }
}

/// a × b, right-handed: each component from the two that follow it round.
fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}
