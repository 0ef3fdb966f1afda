//! The unit of each column's bare numbers.
//!
//! Start at [`Drafts::units`]. A unit that most cells carry wins over the heading's, and both over a guess from the role.

use super::decide::{Draft, Drafts};
use super::{Choices, NoteKind, Notes, Role, Weight};
use crate::figures::Unit;

impl Drafts {
    /// The unit of each column's bare numbers.
    pub(super) fn units(
        &self,
        choices: &Choices,
        targets: &[Option<usize>],
        notes: &mut Notes,
    ) -> Vec<Option<Unit>> {
        let mut units: Vec<Option<Unit>> = Vec::with_capacity(self.0.len());
        for (index, draft) in self.0.iter().enumerate() {
            units.push(self.unit_of(index, draft, &units, choices, notes));
        }
        for (index, target) in targets.iter().enumerate() {
            let of = target
                .and_then(|target| units.get(target).copied())
                .flatten();
            if let Some(unit) = units
                .get_mut(index)
                .filter(|unit| target.is_some() && unit.is_none())
            {
                *unit = of;
            }
        }
        units
    }

    fn unit_of(
        &self,
        index: usize,
        draft: &Draft,
        before: &[Option<Unit>],
        choices: &Choices,
        notes: &mut Notes,
    ) -> Option<Unit> {
        let role = draft.role?;
        if matches!(
            role,
            Role::Ignored | Role::Comment | Role::Counter | Role::Wires
        ) {
            return None;
        }
        if let Some(unit) = choices
            .columns
            .iter()
            .rev()
            .find(|choice| choice.column == index + 1)
            .and_then(|c| c.unit)
        {
            return Some(unit);
        }
        let heading = draft.heading.unit;
        if let (Some(taken), Some(seen)) = (heading, &draft.heading.mended) {
            notes.column(
                index,
                Weight::Asked,
                NoteKind::UnitTakenAs {
                    seen: crate::figures::excerpt(seen),
                    taken,
                },
            );
        }
        let in_cells = draft.sample.telling_unit(heading);
        if let (Some(heading), Some(cells)) =
            (heading, in_cells.filter(|cells| heading != Some(*cells)))
        {
            notes.column(index, Weight::Asked, NoteKind::UnitClash { heading, cells });
            return Some(cells);
        }
        let sparse = draft.sample.main_unit().map(|(unit, _)| unit);
        if let Some(unit) = heading.or(in_cells).or(sparse) {
            return Some(unit);
        }
        // Fellows of one role were read on one instrument.
        let fellows = self
            .0
            .iter()
            .zip(before)
            .filter(|(other, _)| other.role == Some(role));
        if let Some(unit) = fellows.filter_map(|(_, unit)| *unit).next() {
            return Some(unit);
        }
        if let Some(seen) = &draft.heading.unknown_unit {
            notes.column(
                index,
                Weight::Asked,
                NoteKind::UnitUnknown {
                    seen: crate::figures::excerpt(seen),
                },
            );
        }
        if draft.sample.is_blank() {
            return usual_unit(role, 0.0);
        }
        let unit = usual_unit(role, draft.sample.largest())?;
        notes.column(index, Weight::Asked, NoteKind::UnitGuessed(unit));
        Some(unit)
    }
}

/// The unit that a bare number of the role most likely has; `largest` is the largest size in the column.
fn usual_unit(role: Role, largest: f64) -> Option<Unit> {
    Some(match role {
        // No school bench drives thirty amperes through a wire.
        Role::Current if largest > 30.0 => Unit::MILLIAMPERE,
        Role::Current => Unit::AMPERE,
        Role::Reading | Role::FullReading | Role::Zero | Role::ZeroBefore | Role::ZeroAfter => {
            Unit::GRAM
        }
        Role::Force if largest > 1.0 => Unit::MILLINEWTON,
        Role::Force => Unit::NEWTON,
        Role::Length | Role::Position if largest > 30.0 => Unit::MILLIMETRE,
        Role::Length | Role::Position if largest > 0.5 => Unit::CENTIMETRE,
        Role::Length | Role::Position => Unit::METRE,
        Role::Angle => Unit::DEGREE,
        Role::FluxDensity if largest > 2.0 => Unit::MILLITESLA,
        Role::FluxDensity => Unit::TESLA,
        Role::Time => Unit::SECOND,
        Role::Wires | Role::Counter | Role::UncertaintyOf(_) | Role::Comment | Role::Ignored => {
            return None;
        }
    })
}
