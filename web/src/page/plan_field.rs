//! Where what is typed before the lesson stands in the plan, by the names that the fields carry in the document.

use yokeline_core::plan::Plan;

/// The text of a field; `None` for a name that no field has.
pub fn in_plan<'p>(plan: &'p mut Plan, name: &str) -> Option<&'p mut String> {
    Some(match name {
        "flux_density" => &mut plan.flux_density,
        "length" => &mut plan.apparatus.length,
        "length_uncertainty" => &mut plan.apparatus.length_uncertainty,
        "wires" => &mut plan.apparatus.wires,
        "balance_resolution" => &mut plan.apparatus.balance_resolution,
        "current_resolution" => &mut plan.apparatus.current_resolution,
        "current_range" => &mut plan.current_range,
        "steps" => &mut plan.steps,
        "repeats" => &mut plan.repeats,
        "noise" => &mut plan.noise,
        "target" => &mut plan.target,
        "supply.voltage" => &mut plan.supply.voltage,
        "supply.current_limit" => &mut plan.supply.current_limit,
        "wire.diameter" => &mut plan.wire.diameter,
        "wire.length" => &mut plan.wire.length,
        "wire.turns" => &mut plan.wire.turns,
        "wire.leads" => &mut plan.wire.leads,
        "wire.limit" => &mut plan.wire.limit,
        "wire.rise" => &mut plan.wire.rise,
        "wire.cooling" => &mut plan.wire.cooling,
        "wire.temperature" => &mut plan.wire.temperature,
        "place.latitude" => &mut plan.place.latitude,
        "place.height" => &mut plan.place.height,
        "direction.poles" => &mut plan.direction.poles,
        "direction.current" => &mut plan.direction.current,
        _ => return None,
    })
}

/// All names.
pub const NAMES: [&str; 25] = [
    "flux_density",
    "length",
    "length_uncertainty",
    "wires",
    "balance_resolution",
    "current_resolution",
    "current_range",
    "steps",
    "repeats",
    "noise",
    "target",
    "supply.voltage",
    "supply.current_limit",
    "wire.diameter",
    "wire.length",
    "wire.turns",
    "wire.leads",
    "wire.limit",
    "wire.rise",
    "wire.cooling",
    "wire.temperature",
    "place.latitude",
    "place.height",
    "direction.poles",
    "direction.current",
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_field_has_a_place_of_its_own_in_the_plan() {
        let mut plan = Plan::default();
        for name in NAMES {
            let place = in_plan(&mut plan, name).expect(name);
            assert!(place.is_empty(), "{name} shares its place");
            place.push_str(name);
        }
        assert_eq!(in_plan(&mut plan, "wire"), None);
        assert_eq!(plan.supply.current_limit, "supply.current_limit");
    }
}
