//! What the user typed of the plan: the [`Plan`], kept as typed, since its figures carry meaning.
//!
//! Every field may be left out of the JSON; unknown fields are ignored. A number is accepted where typed text is expected.

use serde::{Deserialize, Serialize};

use crate::job::Apparatus;
use crate::job::input::typed;

/// All that is asked before the lesson.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Plan {
    /// Wire in the field, angle, gravity and instruments, as in a [`Job`](crate::job::Job).
    pub apparatus: Apparatus,
    /// The flux density as estimated: `"30 mT"`, `"20 mT to 50 mT"`, or `"do not know"`, which an empty text says too.
    #[serde(deserialize_with = "typed")]
    pub flux_density: String,
    /// The currents: `"0.5 A to 5 A"`, or `"5 A"` for none to 5 A.
    #[serde(deserialize_with = "typed")]
    pub current_range: String,
    /// How many currents are set, the lowest and the highest among them; 11 when empty.
    #[serde(deserialize_with = "typed")]
    pub steps: String,
    /// How many readings are taken at each current; 1 when empty.
    #[serde(deserialize_with = "typed")]
    pub repeats: String,
    /// Standard deviation of one reading of the balance at a steady current: `"0.02 g"`; none when empty.
    #[serde(deserialize_with = "typed")]
    pub noise: String,
    /// To what percentage B is wanted: `"2 %"`.
    #[serde(deserialize_with = "typed")]
    pub target: String,
    /// The copper wire.
    pub wire: WirePlan,
    /// The supply.
    pub supply: Supply,
    /// Where on Earth.
    pub place: Place,
    /// Which way poles and current go.
    pub direction: Direction,
    /// What the mixed order is thrown from: the same seed gives the same order.
    pub seed: u32,
}

/// The copper wire.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct WirePlan {
    /// Diameter or gauge: `"0.71 mm"`, `"22 SWG"`, `"20 AWG"`.
    #[serde(deserialize_with = "typed")]
    pub diameter: String,
    /// Length of one turn, or of the whole wire when there are no turns: `"60 cm"`.
    #[serde(deserialize_with = "typed")]
    pub length: String,
    /// How many turns of that length; 1 when empty.
    #[serde(deserialize_with = "typed")]
    pub turns: String,
    /// The leads, both together: a length of the same wire (`"50 cm"`) or their resistance (`"0.05 Ω"`); none when empty.
    #[serde(deserialize_with = "typed")]
    pub leads: String,
    /// Temperature of the room: `"20 °C"`, which an empty text says too.
    #[serde(deserialize_with = "typed")]
    pub temperature: String,
    /// The rise that is allowed: `"20 K"`, which an empty text says too.
    #[serde(deserialize_with = "typed")]
    pub rise: String,
    /// Cooling of the wire's surface: `"10 W/m²K"`, which an empty text says too.
    #[serde(deserialize_with = "typed")]
    pub cooling: String,
    /// The highest current that the wire is rated for: `"8 A"`.
    #[serde(deserialize_with = "typed")]
    pub limit: String,
}

/// The supply.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Supply {
    /// Its highest voltage: `"12 V"`.
    #[serde(deserialize_with = "typed")]
    pub voltage: String,
    /// Its highest current: `"5 A"`.
    #[serde(deserialize_with = "typed")]
    pub current_limit: String,
}

/// Where on Earth.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Place {
    /// Latitude: `"51.5°"`, `"33.9 S"`.
    #[serde(deserialize_with = "typed")]
    pub latitude: String,
    /// Height above the sea: `"120 m"`; 0 when empty.
    #[serde(deserialize_with = "typed")]
    pub height: String,
}

/// Which way poles and current go, seen along the wire.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Direction {
    /// `"N left"` or `"N right"`.
    #[serde(deserialize_with = "typed")]
    pub poles: String,
    /// Conventional current: `"away"` or `"towards"`.
    #[serde(deserialize_with = "typed")]
    pub current: String,
    /// What stands on the balance: `"magnet"`, which an empty text says too, or `"wire"`.
    #[serde(deserialize_with = "typed")]
    pub on_balance: String,
}
