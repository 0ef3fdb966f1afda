//! From SI to the shape that comes out.
//!
//! Start at [`planned`].

use crate::figures::Unit;
use crate::line::student;
use crate::readings::Remark;
use crate::readings::words::Weight;
use crate::sheet::words::CAUTIONS;

use super::changes::{self, Change, Need};
use super::expect::Bench;
use super::gravity;
use super::input::Plan;
use super::kit;
use super::order;
use super::output::{
    ChangeFigures, DirectionFigures, Expected, ExpectedReading, Limits, LocalGravity, NeedFigure,
    NeedFigures, Note, Order, Part, Planned, ResultsTable, SchoolExpected, StandardExpected,
    VERSION, WireFigures,
};
use super::read::Read;
use super::warmth;
use super::words;

/// Everything that is planned.
pub(super) fn planned(plan: &Plan, read: &Read, remarks: &[Remark]) -> Planned {
    let bench = &read.bench;
    let (low_t, high_t) = read.fields_t;
    let mut fields = vec![low_t];
    if high_t != low_t {
        fields.push(high_t);
    }
    let limits = limits(read);
    let limit_a = [limits.wire, limits.supply]
        .into_iter()
        .flatten()
        .reduce(f64::min);
    let at = |tesla: &f64| {
        let bench = Bench {
            tesla: *tesla,
            ..bench.clone()
        };
        expected(&bench, limit_a, read.target_percent)
    };
    let currents_a = bench.currents_a();
    let mixed = order::mixed(&currents_a, plan.seed);
    let wire = wire(read, limits.current);
    Planned {
        version: VERSION,
        expected: fields.iter().map(at).collect(),
        results_table: results_table(bench, &mixed),
        order: order_of(&currents_a, &mixed),
        kit: kit::kit(
            bench,
            &plan.wire.diameter,
            wire.as_ref().and_then(|w| w.voltage),
        ),
        limits,
        wire,
        direction: direction(read),
        gravity: local_gravity(read),
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
        notes: remarks.iter().filter_map(note).collect(),
    }
}

fn expected(bench: &Bench, limit_a: Option<f64>, target_percent: Option<f64>) -> Expected {
    let gradient = bench.gradient_kg_per_a();
    let enough_a = bench.enough_at_a();
    let largest_a = largest(bench);
    let verdict = bench.verdict();
    let reading = |row: super::expect::Row| ExpectedReading {
        current: row.current_a,
        reading: row.reading_kg,
        current_text: row.current_text,
        reading_text: row.reading_text,
    };
    let change = |changed: changes::Changed| ChangeFigures {
        change: words::change_name(changed.change),
        value: changed.value,
        percent: changed.standard_percent,
        school_percent: changed.school_percent,
        text: words::change(changed.change, changed.value, changed.standard_percent),
    };
    let needed = |target: f64| {
        let one = |change: Change, percent_of: fn(&Bench) -> Option<f64>| {
            let need = changes::need(change, bench, limit_a, target, percent_of);
            NeedFigure {
                reached: need != Need::Cannot,
                value: match need {
                    Need::Value(value) => Some(value),
                    Need::Nothing | Need::Cannot => None,
                },
                text: words::need(change, need, target),
            }
        };
        let both = |change: Change| NeedFigures {
            change: words::change_name(change),
            standard: one(change, Bench::standard_percent),
            school: one(change, Bench::school_percent),
        };
        Change::ALL.map(both).to_vec()
    };
    Expected {
        flux_density: bench.tesla,
        gradient,
        gradient_g_per_a: Unit::GRAM.from_si(gradient),
        readings: bench.readings().into_iter().map(reading).collect(),
        steps_spanned: bench.steps_spanned(),
        enough_current: enough_a.is_finite().then_some(enough_a),
        enough_reached: enough_a <= largest_a * (1.0 + 1e-9),
        standard: standard(bench),
        school: school(bench),
        verdict: words::verdict_name(verdict),
        text: words::verdict(bench, verdict),
        changes: changes::ranked(bench, limit_a)
            .into_iter()
            .map(change)
            .collect(),
        needs: target_percent.map(needed).unwrap_or_default(),
    }
}

fn standard(bench: &Bench) -> Option<StandardExpected> {
    let found = bench.standard()?;
    let budget = found.budget.as_ref()?;
    let in_percent = 100.0 / found.tesla.abs();
    let freedom = found.gradient.degrees_of_freedom;
    Some(StandardExpected {
        gradient_uncertainty: found.gradient.standard?,
        reading_sd: bench.about_line_kg(),
        degrees_of_freedom: freedom,
        gradient_coverage_factor: student::two_sided(0.95, freedom),
        uncertainty: budget.combined,
        percent: budget.combined * in_percent,
        coverage_factor: budget.coverage_factor,
        expanded_percent: budget.expanded() * in_percent,
    })
}

fn school(bench: &Bench) -> Option<SchoolExpected> {
    let percent = bench.school_percent()?;
    let parts = bench.school()?.school_parts;
    Some(SchoolExpected {
        percent,
        parts: parts
            .into_iter()
            .map(|(source, percent)| Part { source, percent })
            .collect(),
    })
}

fn order_of(currents_a: &[f64], mixed: &[usize]) -> Order {
    let taken = |places: &[usize]| -> Vec<f64> {
        places
            .iter()
            .filter_map(|place| currents_a.get(*place).copied())
            .collect()
    };
    Order {
        up_and_down: taken(&order::up_and_down(currents_a.len())),
        mixed: taken(mixed),
        mixed_with_time: order::with_time(currents_a, mixed),
        text: words::ORDER.to_owned(),
    }
}

fn results_table(bench: &Bench, order: &[usize]) -> ResultsTable {
    let rows = bench.readings();
    let readings: Vec<String> = match bench.repeats {
        1 => vec!["m / g".to_owned()],
        several => (1..=several).map(|i| format!("m{i} / g")).collect(),
    };
    let mut decimals = vec![bench.current_decimals()];
    decimals.resize(1 + readings.len(), bench.reading_decimals());
    let empty = vec![String::new(); readings.len()];
    ResultsTable {
        headings: [vec!["I / A".to_owned()], readings].concat(),
        decimals,
        rows: order
            .iter()
            .filter_map(|place| rows.get(*place))
            .map(|row| [vec![row.current_text.clone()], empty.clone()].concat())
            .collect(),
    }
}

fn limits(read: &Read) -> Limits {
    let current_a = largest(&read.bench);
    let typed = [("wire", read.wire_limit_a), ("supply", read.supply_limit_a)];
    let mut limits = Limits {
        current: current_a,
        wire: read.wire_limit_a,
        supply: read.supply_limit_a,
        passed: typed
            .into_iter()
            .filter(|(_, limit)| limit.is_some_and(|limit| current_a > limit))
            .map(|(name, _)| name)
            .collect(),
        text: String::new(),
    };
    limits.text = words::limits(&limits);
    limits
}

fn wire(read: &Read, current_a: f64) -> Option<WireFigures> {
    let wire = read.wire?;
    let room_c = read.room_c;
    let per_metre = wire.ohm_per_m(room_c);
    let resistance = read
        .wire_length_m
        .map(|m| m * per_metre + read.leads_ohm_20c * super::wire::factor(room_c));
    let voltage = resistance.map(|ohm| ohm * current_a);
    let on_time = warmth::on_time_s(&wire, current_a, room_c, read.rise_k);
    let mut figures = WireFigures {
        diameter: wire.diameter_m,
        area: wire.area_m2(),
        resistance_per_metre: per_metre,
        length: read.wire_length_m,
        resistance,
        voltage,
        power: voltage.map(|volt| volt * current_a),
        voltage_enough: read.supply_v.zip(voltage).map(|(has, needs)| has >= needs),
        unlimited_current: read.supply_v.zip(resistance).map(|(volt, ohm)| volt / ohm),
        room_celsius: room_c,
        warming_rate: warmth::no_cooling_k_per_s(&wire, current_a, room_c),
        rise: read.rise_k,
        on_time,
        cooling: read.cooling_w_per_m2_k,
        steady_rise: warmth::steady_rise_k(&wire, current_a, room_c, read.cooling_w_per_m2_k),
        text: String::new(),
        assumptions: words::WARMTH_ASSUMED.to_owned(),
    };
    figures.text = words::wire(&figures, current_a);
    Some(figures)
}

fn direction(read: &Read) -> Option<DirectionFigures> {
    let way = read.way?;
    let outcome = way.outcome();
    Some(DirectionFigures {
        poles: way.poles,
        current: way.flow,
        on_wire: outcome.on_wire,
        on_magnet: outcome.on_magnet,
        reading: outcome.reading,
        text: words::direction(&way),
    })
}

fn local_gravity(read: &Read) -> Option<LocalGravity> {
    let local = gravity::local_m_per_s2(read.latitude_rad?, read.height_m);
    let taken = read.bench.setup.gravity_m_per_s2();
    let mut figures = LocalGravity {
        local,
        taken,
        school_difference_percent: gravity::error_of_b_percent(gravity::SCHOOL_M_PER_S2, local),
        b_error_percent: gravity::error_of_b_percent(taken, local),
        text: String::new(),
    };
    figures.text = words::gravity(&figures);
    Some(figures)
}

/// The largest current in size, A.
fn largest(bench: &Bench) -> f64 {
    bench.highest_a.abs().max(bench.lowest_a.abs())
}

fn note(remark: &Remark) -> Option<Note> {
    Some(Note {
        field: remark.field()?,
        weight: match remark.weight() {
            Weight::Told => "told",
            Weight::Asked => "asked",
            Weight::Trouble => "trouble",
        },
        text: remark.text(),
    })
}
