//! The walk of a probe along the wire: its effective length, and that length in place of the typed one.

use crate::field::effective_length::{self, EffectiveLength};
use crate::figures::round::{self, Digits};
use crate::figures::{DecimalMark, Figure, Unit};
use crate::readings::Setup;
use crate::readings::setup::Measured;
use crate::readings::walk;

use super::input::Job;
use super::words::Remark;

/// More than this of the middle field at an end of the walk is worth a word.
const MUCH_LEFT: f64 = 0.05;

/// What a walk gives.
#[derive(Clone, Debug, PartialEq)]
pub struct Walked {
    /// The effective length.
    pub length: EffectiveLength,
    /// Whether it took the place of the typed length.
    pub used: bool,
}

/// The effective length of the walk, if there is one; it takes the typed length's place in `setup` when the job says so.
pub fn take(job: &Job, setup: &mut Setup, remarks: &mut Vec<Remark>) -> Option<Walked> {
    if job.walk.table.trim().is_empty() {
        if job.walk.use_length {
            remarks.push(Remark::WalkUnused);
        }
        return None;
    }
    let walk = walk::read(&job.walk.table);
    let of_table = walk
        .notes
        .iter()
        .filter(|note| note.weight != crate::table::Weight::Told);
    remarks.extend(of_table.map(|note| Remark::WalkNote {
        text: note.to_string(),
    }));
    if let Some((position, field)) = walk.assumed {
        remarks.push(Remark::WalkAssumed {
            position: position.symbol(),
            field: field.symbol(),
        });
    }
    let length = match effective_length::find(&walk.places) {
        Ok(length) => length,
        Err(why) => {
            remarks.push(Remark::WalkRefused { why });
            if job.walk.use_length {
                remarks.push(Remark::WalkUnused);
            }
            return None;
        }
    };
    if length.left_at_ends > MUCH_LEFT {
        remarks.push(Remark::WalkTooShort {
            percent: 100.0 * length.left_at_ends,
        });
    }
    let used = job.walk.use_length && length.length_m > 0.0;
    if let Some(measured) = measured(&length).filter(|_| used) {
        let figure = &measured.figure;
        remarks.push(Remark::WalkUsed {
            length: format!(
                "{} {}",
                round::to_decimals(figure.value, figure.decimals),
                Unit::CENTIMETRE.symbol()
            ),
        });
        setup.length = Some(measured);
    }
    Some(Walked { length, used })
}

/// The effective length as if it had been typed, in cm, with the figures that its uncertainty leaves.
fn measured(found: &EffectiveLength) -> Option<Measured> {
    let unit = Unit::CENTIMETRE;
    let (length, u) = (unit.from_si(found.length_m), unit.from_si(found.u_length_m));
    let (text, half_width) = if u > 0.0 {
        let rounded = round::with_uncertainty(length, u, Digits::Two);
        let half_width = rounded.uncertainty?.parse::<f64>().ok()?;
        (rounded.value, Some(unit.to_si(half_width)))
    } else {
        (round::to_significant(length, 4), None)
    };
    let figure = Figure::parse(&format!("{text} {}", unit.symbol()), DecimalMark::Point);
    Some(Measured {
        figure: figure.ok()?,
        si: found.length_m,
        half_width,
    })
}
