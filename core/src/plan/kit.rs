//! What is needed on the bench, with sizes from the plan.

use super::expect::Bench;
use super::output::Item;
use crate::figures::Unit;
use crate::figures::round::{shortest, to_significant};

/// The list (common practice, no source). `wire_text` is the wire as typed, `voltage_v` what wire and leads need.
pub(super) fn kit(bench: &Bench, wire_text: &str, voltage_v: Option<f64>) -> Vec<Item> {
    let current = shortest(bench.highest_a.abs().max(bench.lowest_a.abs()));
    let step_g = shortest(Unit::GRAM.from_si(bench.balance_step_kg));
    let length = bench.setup.length.map_or_else(String::new, |l| {
        let centimetre = Unit::CENTIMETRE.from_si(l.si);
        format!(", {} cm of it between the poles", shortest(centimetre))
    });
    let wire = match wire_text.trim() {
        "" => "copper".to_owned(),
        text => format!("copper, {text}"),
    };
    let several = match bench.setup.wires {
        1.0 => String::new(),
        wires => format!(", {} lengths side by side", shortest(wires)),
    };
    let voltage = voltage_v.map_or_else(String::new, |volt| {
        format!("; the wire and leads need {} V", to_significant(volt, 2))
    });
    let item = |what, detail: String| Item { what, detail };
    vec![
        item(
            "magnets on a yoke",
            "strong enough for the readings above, with a gap that the wire passes freely".into(),
        ),
        item(
            "balance",
            format!("top-pan, steps of {step_g} g, able to carry the yoke"),
        ),
        item("wire", format!("stiff, {wire}{several}{length}")),
        item(
            "stand and clamps",
            "not of iron near the magnets; the wire touches nothing".into(),
        ),
        item(
            "supply",
            format!("low voltage, direct current, {current} A, with a current limit{voltage}"),
        ),
        item(
            "ammeter",
            format!("to {current} A, {} decimals", bench.current_decimals()),
        ),
        item(
            "switch",
            "one that is on only while it is pressed, if there is one".into(),
        ),
        item("leads", format!("rated for {current} A")),
        item("ruler or calipers", "for the length of the poles".into()),
    ]
}
