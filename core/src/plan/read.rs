//! The plan's text to SI.
//!
//! Start at [`read`]. What is empty keeps a usual value, and where that matters it is told; what cannot be read does too, and
//! says so.

use crate::figures::{DecimalMark, Figure, Quantity, Unit};
use crate::readings::setup::{self, Measured, Rule, Typed, measured};
use crate::readings::{Remark, Setup};

use super::changes::MOST_READINGS;
use super::direction::{Flow, Poles, Way};
use super::expect::Bench;
use super::input::Plan;
use super::typed::{
    CELSIUS, COOLING, KELVIN, Kind, OHM, VOLT, assumed, count, latitude, range, suffixed, target,
    unread, wire, within,
};
use super::warmth::COOLING_W_PER_M2_K;
use super::wire::{REFERENCE_C, Wire};
use super::words;

/// What magnets of schools give when nobody knows, T: 20 mT to 0.1 T (common practice, no source).
pub const USUAL_FIELD_T: (f64, f64) = (0.02, 0.1);
/// The highest current that is taken when none is typed, A (common practice, no source).
const USUAL_HIGHEST_A: f64 = 5.0;
/// The rise that is allowed when none is typed, K: from a warm room to hand-warm (common practice, no source).
const USUAL_RISE_K: f64 = 20.0;
const USUAL_READINGS: usize = 11;
const MOST_REPEATS: usize = 20;

/// The plan in SI.
pub(super) struct Read {
    /// The bench, with the field of `fields_t` still to be put in.
    pub bench: Bench,
    /// The lowest and the highest flux density, T; the same twice when one is typed.
    pub fields_t: (f64, f64),
    pub target_percent: Option<f64>,
    pub wire: Option<Wire>,
    pub wire_length_m: Option<f64>,
    pub leads_ohm_20c: f64,
    pub room_c: f64,
    pub rise_k: f64,
    pub cooling_w_per_m2_k: f64,
    pub wire_limit_a: Option<f64>,
    pub supply_limit_a: Option<f64>,
    pub supply_v: Option<f64>,
    pub latitude_rad: Option<f64>,
    pub height_m: f64,
    pub way: Option<Way>,
}

/// Reads all fields, adding to `remarks` what could not be read and what was assumed.
pub(super) fn read(plan: &Plan, remarks: &mut Vec<Remark>) -> Read {
    let setup = apparatus(plan, remarks);
    let step_kg = balance_step(&setup, remarks);
    let fields_t = fields(&plan.flux_density, remarks);
    let amperes = Rule::any(Quantity::Current, "0.5 A to 5 A", |_| Unit::AMPERE);
    let typed = range("current_range", &plan.current_range, amperes, remarks);
    let (lowest_a, highest_a) = match typed.filter(|(low, high)| {
        // No bench has more, or a step that is less.
        let size = high.abs().max(low.unwrap_or(0.0).abs());
        (1e-3..=1e4).contains(&size)
    }) {
        Some((Some(low), high)) if low != high => (low.min(high), low.max(high)),
        Some((_, high)) if high > 0.0 => (0.0, high),
        _ => {
            let why = plan.current_range.trim();
            remarks.push(assumed("current_range", words::no_current(why)));
            (0.0, USUAL_HIGHEST_A)
        }
    };
    let mut limit = |field, text: &str| {
        let rule = Rule::above_zero(Quantity::Current, "5 A", |_| Unit::AMPERE, false);
        let typed = measured(field, text, rule, remarks).map(|m| m.si);
        within(field, typed, (1e-3, 1e4), remarks)
    };
    let wire_limit_a = limit("wire.limit", &plan.wire.limit);
    let supply_limit_a = limit("supply.current_limit", &plan.supply.current_limit);
    let gram = Rule::any(Quantity::Mass, "0.02 g", |_| Unit::GRAM);
    let noise = measured("noise", &plan.noise, gram, remarks).map(|m| m.si);
    let noise_kg = within("noise", noise, (0.0, 1.0), remarks).unwrap_or(0.0);
    let bench = Bench {
        setup,
        tesla: fields_t.0,
        lowest_a,
        highest_a,
        currents: count(
            "steps",
            &plan.steps,
            (3, USUAL_READINGS, MOST_READINGS),
            remarks,
        ),
        repeats: count("repeats", &plan.repeats, (1, 1, MOST_REPEATS), remarks),
        balance_step_kg: step_kg,
        noise_kg,
    };
    let wire = wire(&plan.wire.diameter, remarks);
    let turns = count("wire.turns", &plan.wire.turns, (1, 1, 10_000), remarks);
    let length = Rule::above_zero(Quantity::Length, "60 cm", |_| Unit::METRE, true);
    let one_m = measured("wire.length", &plan.wire.length, length, remarks).map(|m| m.si);
    let one_m = within("wire.length", one_m, (1e-3, 1e4), remarks);
    let leads_ohm_20c = leads(&plan.wire.leads, wire, remarks);
    let mut value = |field, text: &str, kind: &Kind| suffixed(field, text, kind, remarks);
    let room_c = value("wire.temperature", &plan.wire.temperature, &CELSIUS).unwrap_or(REFERENCE_C);
    let rise_k = value("wire.rise", &plan.wire.rise, &KELVIN).unwrap_or(USUAL_RISE_K);
    let cooling = value("wire.cooling", &plan.wire.cooling, &COOLING);
    let supply_v = value("supply.voltage", &plan.supply.voltage, &VOLT);
    let height = Rule::any(Quantity::Length, "120 m", |_| Unit::METRE);
    let height_m = measured("place.height", &plan.place.height, height, remarks).map(|m| m.si);
    // From the deepest mine to the highest flight; the series is good so far.
    let height_m = within("place.height", height_m, (-5e3, 2e4), remarks);
    Read {
        bench,
        fields_t,
        target_percent: target(&plan.target, remarks),
        wire,
        wire_length_m: one_m.map(|m| m * turns as f64),
        leads_ohm_20c,
        room_c,
        rise_k,
        cooling_w_per_m2_k: cooling.unwrap_or(COOLING_W_PER_M2_K),
        wire_limit_a,
        supply_limit_a,
        supply_v,
        latitude_rad: latitude(&plan.place.latitude, remarks),
        height_m: height_m.unwrap_or(0.0),
        way: way(plan, remarks),
    }
}

/// The apparatus as the analysis reads it, with a usual length where there is none.
fn apparatus(plan: &Plan, remarks: &mut Vec<Remark>) -> Setup {
    let typed = &plan.apparatus;
    let mut length = typed.length.trim();
    if length.is_empty() {
        length = "5.0 cm";
        remarks.push(assumed("length", words::NO_LENGTH.into()));
    }
    let fields = |length| Typed {
        length,
        length_uncertainty: &typed.length_uncertainty,
        wires: &typed.wires,
        angle: &typed.angle,
        gravity: &typed.gravity,
        lever_ratio: &typed.lever_ratio,
        balance_resolution: &typed.balance_resolution,
        current_resolution: &typed.current_resolution,
        balance_calibration: &typed.balance_calibration,
        current_calibration: &typed.current_calibration,
        ..Typed::default()
    };
    let mut setup = setup::read(&fields(length), remarks);
    let mut check = |field, measured: &mut Option<Measured>, limits| {
        *measured = measured.filter(|m| within(field, Some(m.si), limits, remarks).is_some());
        if let Some(m) = measured {
            // An uncertainty of more than the whole says nothing.
            let half_width = within(field, m.half_width, (0.0, m.si.abs()), remarks);
            m.half_width = half_width;
        }
    };
    check("length", &mut setup.length, (1e-4, 1e3));
    check("gravity", &mut setup.gravity, (0.1, 1e3));
    check("angle", &mut setup.angle, (-7.0, 7.0));
    check(
        "balance_resolution",
        &mut setup.balance_resolution,
        (1e-9, 10.0),
    );
    check(
        "current_resolution",
        &mut setup.current_resolution,
        (1e-6, 10.0),
    );
    let wires = within("wires", Some(setup.wires), (1.0, 1e4), remarks);
    setup.wires = wires.unwrap_or(1.0);
    let ratio = within("lever_ratio", Some(setup.lever_ratio), (1e-3, 1e3), remarks);
    setup.lever_ratio = ratio.unwrap_or(1.0);
    if setup.length.is_none() {
        setup.length = setup::read(&fields("5.0 cm"), &mut Vec::new()).length;
        remarks.push(assumed("length", words::NO_LENGTH.into()));
    }
    if setup
        .length
        .is_some_and(|length| length.half_width.is_none())
    {
        let what = words::LENGTH_AS_EXACT.into();
        remarks.push(assumed("length_uncertainty", what));
    }
    setup
}

/// One step of the balance, kg. A step of force is that of the mass whose weight it is.
fn balance_step(setup: &Setup, remarks: &mut Vec<Remark>) -> f64 {
    match setup.balance_resolution {
        Some(Measured { figure, si, .. })
            if figure.unit.is_some_and(|u| u.quantity() == Quantity::Force) =>
        {
            // A step as people name it: the nearest number of three figures.
            let gram = Unit::GRAM.from_si(si / (setup.gravity_m_per_s2() * setup.lever_ratio));
            let text = crate::figures::round::to_significant(gram, 3);
            remarks.push(assumed("balance_resolution", words::step_of_force(&text)));
            Unit::GRAM.to_si(text.parse().unwrap_or(gram))
        }
        Some(step) => step.si,
        None => {
            remarks.push(assumed("balance_resolution", words::NO_BALANCE.into()));
            Unit::GRAM.to_si(0.01)
        }
    }
}

fn fields(text: &str, remarks: &mut Vec<Remark>) -> (f64, f64) {
    let plain = text.trim().to_lowercase();
    let unknown = [
        "",
        "?",
        "unknown",
        "not known",
        "do not know",
        "don't know",
        "don’t know",
    ];
    if !unknown.contains(&plain.as_str()) {
        let rule = Rule::above_zero(
            Quantity::FluxDensity,
            "30 mT, 20 mT to 50 mT or “do not know”",
            // As for a probe: a bare 32 is in mT and a bare 0.032 in T.
            |v| {
                if v.abs() < 1.0 {
                    Unit::TESLA
                } else {
                    Unit::MILLITESLA
                }
            },
            true,
        );
        if let Some((low, high)) = range("flux_density", text, rule, remarks) {
            let low = low.unwrap_or(high);
            let fields = (low.min(high), low.max(high));
            // From that of the Earth to more than any magnet has.
            if fields.0 >= 1e-6 && fields.1 <= 20.0 {
                return fields;
            }
            remarks.push(unread("flux_density", words::NO_SUCH_SIZE.to_owned()));
        }
    }
    remarks.push(assumed("flux_density", words::NO_FIELD.into()));
    USUAL_FIELD_T
}

/// The leads as a resistance at 20 °C, Ω.
fn leads(text: &str, wire: Option<Wire>, remarks: &mut Vec<Remark>) -> f64 {
    let text = text.trim();
    if text.is_empty() {
        return 0.0;
    }
    let is_length = Figure::parse(text, DecimalMark::Either)
        .ok()
        .and_then(|f| f.unit)
        .is_some_and(|u| u.quantity() == Quantity::Length);
    if !is_length {
        return suffixed("wire.leads", text, &OHM, remarks).unwrap_or(0.0);
    }
    let rule = Rule::above_zero(Quantity::Length, "50 cm or 0.05 Ω", |_| Unit::METRE, true);
    let length_m = measured("wire.leads", text, rule, remarks).map(|m| m.si);
    match (wire, within("wire.leads", length_m, (1e-3, 1e4), remarks)) {
        (Some(wire), Some(length_m)) => length_m * wire.ohm_per_m(REFERENCE_C),
        _ => 0.0,
    }
}

fn way(plan: &Plan, remarks: &mut Vec<Remark>) -> Option<Way> {
    let typed = &plan.direction;
    let plain = |text: &str| text.trim().to_lowercase();
    let (poles, flow, pan) = (
        plain(&typed.poles),
        plain(&typed.current),
        plain(&typed.on_balance),
    );
    if poles.is_empty() && flow.is_empty() && pan.is_empty() {
        return None;
    }
    let of_two = |text: &str, one: &[&str], other: &[&str]| {
        let holds = |words: &[&str]| words.iter().any(|w| text.contains(w));
        match (holds(one), holds(other)) {
            (true, false) => Some(true),
            (false, true) => Some(false),
            _ => None,
        }
    };
    let found_poles = of_two(&poles, &["left"], &["right"])
        // The south pole on the one side is the north pole on the other.
        .map(|left| left != poles.starts_with('s'));
    let found_flow = of_two(&flow, &["away", "into"], &["toward", "out"]);
    let found_pan = match pan.as_str() {
        "" => Some(false),
        _ => of_two(&pan, &["wire"], &["magnet", "yoke"]),
    };
    let mut told = |field, text: &str, seen: bool, example| {
        if !seen {
            remarks.push(unread(field, words::not_a_way(text.trim(), example)));
        }
    };
    told(
        "direction.poles",
        &typed.poles,
        found_poles.is_some(),
        "“N left” or “N right”",
    );
    told(
        "direction.current",
        &typed.current,
        found_flow.is_some(),
        "“away” or “towards”",
    );
    told(
        "direction.on_balance",
        &typed.on_balance,
        found_pan.is_some(),
        "“magnet” or “wire”",
    );
    Some(Way {
        poles: match found_poles? {
            true => Poles::NorthLeft,
            false => Poles::NorthRight,
        },
        flow: match found_flow? {
            true => Flow::Away,
            false => Flow::Towards,
        },
        wire_on_balance: found_pan?,
    })
}
