//! The first sections: the values of the apparatus, and the cautions.

use super::algebra::{Formula, Term, measure, over};
use super::scale::{as_typed, flux_term, number, short, si_number};
use super::{Block, Given, Section, Show, Table, Topic, law, words};
use crate::figures::Unit;
use crate::figures::round::{Digits, shortest, typeset, with_uncertainty};
use crate::readings::setup::Measured;
use crate::readings::{Ordinate, Varied};
use crate::table::Role;

/// The values of the apparatus as typed and in SI.
pub(super) fn apparatus(given: &Given) -> Section {
    let mut rows: Vec<Vec<String>> = Vec::new();
    let setup = given.setup;
    let mut row = |quantity: &str, symbol: &str, typed: String, si: String| {
        rows.push(vec![quantity.to_owned(), symbol.to_owned(), typed, si]);
    };
    let varied = given.readings.varied;
    let lengths: Vec<f64> = given
        .readings
        .families
        .iter()
        .filter_map(|f| f.length_m)
        .collect();
    let several = given.readings.families.len() > 1;
    match setup.length {
        Some(length) => row(
            "Length of one wire in the field",
            "L",
            as_typed(&length, Unit::CENTIMETRE),
            in_si(&length, Unit::CENTIMETRE, "m"),
        ),
        None if varied == Varied::Length || varied == Varied::Product => {
            row(
                "Length of one wire in the field",
                "L",
                "see the table".to_owned(),
                String::new(),
            );
        }
        None if !lengths.is_empty() => {
            let texts: Vec<String> = lengths.iter().map(|l| format!("{} m", short(*l))).collect();
            row(
                "Length of one wire in the field",
                "L",
                "one for each series".to_owned(),
                texts.join(", "),
            );
        }
        None => row(
            "Length of one wire in the field",
            "L",
            "not given".to_owned(),
            String::new(),
        ),
    }
    let counted = |wires: &f64| *wires >= 1.0;
    let wires: Vec<f64> = given
        .readings
        .families
        .iter()
        .map(|f| f.wires)
        .filter(counted)
        .collect();
    let same_wires = wires.windows(2).all(|pair| pair.first() == pair.last());
    if varied == Varied::Length || varied == Varied::Product {
        // Where the table counts the wires, the field of the apparatus has no say.
        if given.table.column_of(Role::Wires).is_some() {
            row(
                "Number of wires side by side",
                "N",
                "see the table".to_owned(),
                String::new(),
            );
        } else {
            row(
                "Number of wires side by side",
                "N",
                shortest(setup.wires),
                String::new(),
            );
        }
    } else if same_wires || !several {
        row(
            "Number of wires side by side",
            "N",
            shortest(wires.first().copied().unwrap_or(setup.wires)),
            String::new(),
        );
    } else {
        let texts: Vec<String> = wires.iter().map(|n| shortest(*n)).collect();
        row(
            "Number of wires side by side",
            "N",
            "one for each series".to_owned(),
            texts.join(", "),
        );
    }
    let angles: Vec<Option<f64>> = given
        .readings
        .families
        .iter()
        .map(|f| f.angle_rad)
        .collect();
    if varied == Varied::Angle
        || varied == Varied::Product
        || angles.windows(2).any(|pair| pair.first() != pair.last())
    {
        row(
            "Angle between wire and field",
            "θ",
            "see the table".to_owned(),
            String::new(),
        );
    } else {
        let typed = setup.angle.map_or_else(
            || "90° (taken)".to_owned(),
            |angle| as_typed(&angle, Unit::DEGREE),
        );
        row(
            "Angle between wire and field",
            "θ",
            typed,
            format!("sin θ = {}", law::sine_number(given, 0)),
        );
    }
    if given.readings.ordinate == Ordinate::Mass || varied == Varied::Product {
        let typed = setup.gravity.map_or_else(
            || format!("{} m/s² (taken)", shortest(setup.gravity_m_per_s2())),
            |g| as_typed(&g, Unit::METRE_PER_SECOND_SQUARED),
        );
        row(
            "Free fall acceleration",
            "g",
            typed,
            law::gravity(given).plain(),
        );
    }
    if setup.lever_ratio != 1.0 {
        row(
            "Lever ratio (force on the wires over balance)",
            "r",
            shortest(setup.lever_ratio),
            String::new(),
        );
    }
    if let Some(current) = setup.fixed_current {
        row(
            "Current, held fixed",
            "I",
            as_typed(&current, Unit::AMPERE),
            in_si(&current, Unit::AMPERE, "A"),
        );
    }
    let (step_unit, si_unit) = match given.readings.ordinate {
        Ordinate::Mass => (Unit::GRAM, "kg"),
        Ordinate::Force => (Unit::NEWTON, "N"),
    };
    if let Some(step) = setup.balance_resolution {
        row(
            "Smallest step of the balance",
            "",
            as_typed(&step, step_unit),
            in_si(&step, step_unit, si_unit),
        );
    }
    if let Some(step) = setup.current_resolution {
        row(
            "Smallest step of the ammeter",
            "",
            as_typed(&step, Unit::AMPERE),
            in_si(&step, Unit::AMPERE, "A"),
        );
    }
    for (quantity, fraction) in [
        ("Scale of the balance, good to", setup.balance_calibration),
        ("Scale of the ammeter, good to", setup.current_calibration),
    ] {
        if let Some(fraction) = fraction {
            row(
                quantity,
                "",
                format!("{} %", short(100.0 * fraction)),
                String::new(),
            );
        }
    }
    if let Some(probe) = setup.probe {
        row(
            "Flux density to compare with",
            "",
            as_typed(&probe, Unit::MILLITESLA),
            in_si(&probe, Unit::MILLITESLA, "T"),
        );
    }
    let table = Table {
        caption: "The apparatus".to_owned(),
        headings: ["Quantity", "Symbol", "As given", "In SI units"]
            .map(str::to_owned)
            .to_vec(),
        rows,
        row_headings: true,
        ..Table::default()
    };
    Section {
        topic: Topic::Apparatus,
        heading: "Apparatus".to_owned(),
        blocks: [Block::Text(words::METHOD.to_owned()), Block::Table(table)]
            .into_iter()
            .chain(effective_length(given))
            .collect(),
    }
}

/// The effective length; nothing without a walk of the probe, or where the student is to find everything.
fn effective_length(given: &Given) -> Vec<Block> {
    let Some((found, used)) = given.effective_length.filter(|_| given.show == Show::Full) else {
        return Vec::new();
    };
    let (length, u) = (100.0 * found.length_m, 100.0 * found.u_length_m);
    let stated = if u > 0.0 {
        format!("({})", with_uncertainty(length, u, Digits::School))
    } else {
        number(length, 4)
    };
    let formula = Formula::equal(
        Term::Indexed("L", "eff"),
        over(
            Term::Word("integral of B along the wire"),
            Term::Indexed("B", "middle"),
        ),
    )
    .and(over(
        measure(number(found.integral_t_m * 1e3, 4), "mT m"),
        flux_term(found.centre_t, 4),
    ))
    .and(measure(typeset(&stated), "cm"));
    vec![
        Block::step(words::effective_length(&found, used), vec![formula]),
        Block::Text(words::effective_length_parts(&found)),
    ]
}

/// The cautions.
pub(super) fn cautions() -> Section {
    Section {
        topic: Topic::Cautions,
        heading: "Cautions".to_owned(),
        blocks: vec![Block::List(words::CAUTIONS.map(str::to_owned).to_vec())],
    }
}

fn in_si(measured: &Measured, default_unit: Unit, si_unit: &str) -> String {
    let value = si_number(measured, default_unit);
    match measured.half_width {
        Some(half) if half > 0.0 => format!("({value} ± {}) {si_unit}", short(half)),
        _ => format!("{value} {si_unit}"),
    }
}
