//! Headings and sentences that the printed plan adds to those of `words.rs`.

use super::output::Expected;
use crate::figures::round::to_significant;

pub(super) const KIT_TITLE: &str = "Before the lesson: the force on a wire";
pub(super) const EXPECT: &str = "What to expect";
pub(super) const EXPECTED_READINGS: &str = "Readings that should appear";
pub(super) const HELPS: &str = "What would help";
pub(super) const BY_STANDARD: &str = "For the standard uncertainty:";
pub(super) const BY_SCHOOL: &str = "By the school rule:";
pub(super) const NEEDED: &str = "What each change alone would have to be";
pub(super) const WARMTH: &str = "Supply and warmth";
pub(super) const NO_WIRE: &str =
    "With the diameter of the wire, its warming and the voltage that it needs stand here.";
pub(super) const ORDER: &str = "Order of readings";
pub(super) const RESULTS_TABLE: &str = "Table to fill in";
pub(super) const WHICH_WAY: &str = "Which way the forces point";
pub(super) const PICTURE: &str = "Seen along the wire.";
pub(super) const FREE_FALL: &str = "Free fall here";
pub(super) const KIT: &str = "Kit";
pub(super) const KIT_CAPTION: &str = "What is needed";
pub(super) const KIT_HEADINGS: [&str; 2] = ["What", "Which"];
pub(super) const CAUTIONS_HEADING: &str = "Cautions";

pub(super) const RESTS_ON: &str = "What these figures rest on";

/// The name of a field of the plan for people; empty for none.
pub(super) fn field(name: &str) -> &'static str {
    match name {
        "flux_density" => "Flux density",
        "length" => "Length in the field",
        "length_uncertainty" => "Uncertainty of the length",
        "wires" => "Wires",
        "balance_resolution" => "Step of the balance",
        "current_resolution" => "Step of the ammeter",
        "current_range" => "Currents",
        "steps" => "How many currents",
        "repeats" => "Readings at each",
        "noise" => "Scatter",
        "target" => "B is wanted to",
        "supply.voltage" => "Voltage of the supply",
        "supply.current_limit" => "Current of the supply",
        "wire.diameter" => "Wire",
        "wire.length" => "Length of the wire",
        "wire.turns" => "Turns",
        "wire.leads" => "Leads",
        "wire.limit" => "Rating of the wire",
        "wire.rise" => "Rise",
        "wire.cooling" => "Cooling",
        "wire.temperature" => "Room",
        "place.latitude" => "Latitude",
        "place.height" => "Height",
        _ => "",
    }
}

/// A verdict with the flux density that it holds for.
pub(super) fn with_flux_density(tesla: &str, verdict: &str) -> String {
    format!("With {tesla}: {verdict}")
}

/// Whose changes are listed where a range of flux densities is given.
pub(super) fn of_the_weaker(tesla: &str) -> String {
    format!("For the weaker field, {tesla}; the strongest help comes first.")
}

/// How well B will be known, both ways, and from where on the readings are worth having.
pub(super) fn precision(expected: &Expected) -> String {
    let percent = |value: f64| to_significant(value, 2);
    let mut said = Vec::new();
    if let Some(standard) = &expected.standard {
        said.push(format!(
            "B would be known to about {} % (standard uncertainty {} %).",
            percent(standard.expanded_percent),
            percent(standard.percent)
        ));
    }
    if let Some(school) = &expected.school {
        let parts: Vec<String> = school
            .parts
            .iter()
            .map(|part| format!("{} {} %", part.source, percent(part.percent)))
            .collect();
        said.push(format!(
            "By the school rule: {} % ({}).",
            percent(school.percent),
            parts.join(" + ")
        ));
    }
    if let Some(current) = expected.enough_current {
        let where_it_is = if expected.enough_reached {
            "so take most readings above that"
        } else {
            "which the planned currents do not reach"
        };
        said.push(format!(
            "A reading spans 20 steps of the balance from {} A on, {where_it_is}.",
            to_significant(current, 2)
        ));
    }
    said.join(" ")
}
