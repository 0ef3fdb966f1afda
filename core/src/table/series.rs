//! Several columns of one quantity: repeats of the same readings, or one column for each length or number of wires.
//!
//! Start at [`Drafts::series`]. A number with a unit in the heading says what differs; a bare number counts as one that
//! was changed only if the readings grow with it.

use super::decide::{Draft, Drafts};
use super::heading::Label;
use super::sample::Sample;
use super::{Choices, NoteKind, Notes, Role, Series, Way, Weight};
use crate::figures::{Quantity, Unit};

impl Drafts {
    /// What sets columns of readings apart, one a column.
    pub(super) fn series(
        &self,
        choices: &Choices,
        units: &[Option<Unit>],
        told_apart: bool,
        notes: &mut Notes,
    ) -> Vec<Option<Series>> {
        let mut series: Vec<Option<Series>> = vec![None; self.0.len()];
        let fellows = self.fellows();
        if fellows.len() > 1 && !told_apart {
            self.tell_fellows_apart(&fellows, units, &mut series, notes);
        }
        for choice in &choices.columns {
            let place = choice
                .column
                .checked_sub(1)
                .and_then(|index| Some((self.0.get(index)?, series.get_mut(index)?)));
            let (Some((draft, place)), Some(value)) = (place, choice.length_m.or(choice.wires))
            else {
                continue;
            };
            let (role, unit) = match choice.length_m {
                Some(_) => (Role::Length, Some(Unit::METRE)),
                None => (Role::Wires, None),
            };
            *place = Some(Series {
                label: draft.heading.name.clone(),
                role: Some(role),
                number: Some(value),
                unit,
                value_si: Some(value),
                guessed: false,
            });
        }
        series
    }

    /// The columns of readings that stand beside one another.
    fn fellows(&self) -> Vec<usize> {
        let all = |role: Role| -> Vec<usize> {
            (0..self.0.len())
                .filter(|index| {
                    self.0
                        .get(*index)
                        .is_some_and(|draft| draft.role == Some(role))
                })
                .collect()
        };
        let readings = all(Role::Reading);
        let full = all(Role::FullReading);
        match (readings.len(), full.len()) {
            (0, _) if full.len() > 1 => full,
            (0, _) => all(Role::Force),
            (1, 2..) => full,
            _ => readings,
        }
    }

    /// The way in which each column was taken, when the headings of the columns of readings tell them apart by that:
    /// forward and reversed, or up and down. A heading that says nothing is the other way of one that does.
    pub(super) fn ways(&self, notes: &mut Notes) -> Option<Vec<Option<Way>>> {
        let fellows = self.fellows();
        let said: Vec<Option<Way>> = fellows
            .iter()
            .map(|index| self.0.get(*index).and_then(|d| d.heading.says.way))
            .collect();
        let pair = |one: Way, other: Way| {
            let fits = |way: &Option<Way>| way.is_none_or(|w| w == one || w == other);
            let has = |way: Way| said.contains(&Some(way));
            let silent = said.contains(&None);
            // The silent ones must be the other way: both said and some silent is no such table.
            let both = has(one) && has(other);
            (said.iter().all(fits) && (both && !silent || silent && (has(one) != has(other))))
                .then_some(if has(other) { one } else { other })
        };
        let rest = pair(Way::Forward, Way::Reversed).or_else(|| pair(Way::Up, Way::Down))?;
        let mut ways = vec![None; self.0.len()];
        for (index, way) in fellows.iter().zip(&said) {
            ways[*index] = Some(way.unwrap_or(rest));
        }
        let columns = fellows.iter().map(|index| index + 1).collect();
        let reversed = matches!(rest, Way::Forward | Way::Reversed);
        notes.table(Weight::Told, NoteKind::Ways { columns, reversed });
        Some(ways)
    }

    /// Decides whether several columns of one quantity are repeats, or belong to several lengths or numbers of wires.
    fn tell_fellows_apart(
        &self,
        fellows: &[usize],
        units: &[Option<Unit>],
        series: &mut [Option<Series>],
        notes: &mut Notes,
    ) {
        let drafts: Vec<&Draft> = fellows
            .iter()
            .filter_map(|index| self.0.get(*index))
            .collect();
        let columns: Vec<usize> = fellows.iter().map(|index| index + 1).collect();
        let labels: Option<Vec<Label>> = drafts.iter().map(|draft| draft.heading.label).collect();
        let labels = labels.filter(|labels| {
            let mut numbers: Vec<f64> = labels.iter().map(|label| label.number).collect();
            numbers.sort_unstable_by(f64::total_cmp);
            numbers.windows(2).all(|pair| pair[0] != pair[1])
        });
        let sizes = self.sizes(fellows, units);
        let in_proportion = labels
            .as_deref()
            .is_some_and(|labels| is_in_proportion(labels, &sizes));
        let measured = labels.as_deref().and_then(|labels| {
            let first = labels.first()?;
            let quantity = first.unit.map(|unit| unit.quantity());
            let same = labels
                .iter()
                .all(|l| l.unit.map(|unit| unit.quantity()) == quantity && l.wires == first.wires);
            match quantity {
                _ if !same => None,
                Some(Quantity::Length) => Some(Role::Length),
                Some(Quantity::Current) => Some(Role::Current),
                Some(Quantity::Angle) => Some(Role::Angle),
                None if first.wires => Some(Role::Wires),
                _ => None,
            }
        });
        let counted = labels.as_deref().is_none_or(|labels| {
            labels.iter().zip(0u32..).all(|(label, count)| {
                label.number == f64::from(count) || label.number == f64::from(count + 1)
            })
        });
        let alike = drafts.windows(2).all(|pair| {
            pair[0].sample.is_blank()
                || pair[1].sample.is_blank()
                || pair[0].sample.repeats(&pair[1].sample)
        });
        let (role, unit, guessed) = match (measured, labels.as_deref()) {
            (Some(role), _) => (Some(role), None, false),
            // Readings that grow with the number in the heading: the number is what was changed.
            (None, Some(labels)) if in_proportion && !alike => {
                if counted {
                    (Some(Role::Wires), None, true)
                } else {
                    let largest = labels
                        .iter()
                        .fold(0.0, |largest: f64, label| largest.max(label.number));
                    (
                        Some(Role::Length),
                        Some(if largest >= 10.0 {
                            Unit::MILLIMETRE
                        } else {
                            Unit::CENTIMETRE
                        }),
                        true,
                    )
                }
            }
            _ if alike || counted && labels.is_some() => {
                let weight = if counted || labels.is_none() {
                    Weight::Told
                } else {
                    Weight::Asked
                };
                notes.table(weight, NoteKind::Repeats { columns });
                return;
            }
            _ => (None, None, true),
        };
        for (index, draft) in fellows.iter().zip(&drafts) {
            let label = draft.heading.label.filter(|_| role.is_some());
            let unit = label.and_then(|label| label.unit).or(unit);
            let number = label.map(|label| label.number);
            if let Some(place) = series.get_mut(*index) {
                let value_si = number.map(|number| unit.map_or(number, |unit| unit.to_si(number)));
                *place = Some(Series {
                    label: draft.heading.name.clone(),
                    role,
                    number,
                    unit,
                    value_si,
                    guessed,
                });
            }
        }
        let unit = unit.or_else(|| {
            labels
                .as_deref()
                .and_then(|labels| labels.first())
                .and_then(|label| label.unit)
        });
        let weight = if guessed { Weight::Asked } else { Weight::Told };
        notes.table(
            weight,
            NoteKind::SeveralSeries {
                columns,
                role,
                unit,
                guessed,
            },
        );
    }

    /// Sum of the sizes of each column's readings, over the rows in which all of them have one, in SI.
    fn sizes(&self, fellows: &[usize], units: &[Option<Unit>]) -> Vec<f64> {
        let samples: Vec<&Sample> = fellows
            .iter()
            .filter_map(|index| self.0.get(*index))
            .map(|draft| &draft.sample)
            .collect();
        let rows = samples
            .iter()
            .map(|sample| sample.values.len())
            .max()
            .unwrap_or(0);
        let number = |sample: &Sample, row: usize| sample.values.get(row).copied().flatten();
        let shared: Vec<usize> = (0..rows)
            .filter(|row| samples.iter().all(|sample| number(sample, *row).is_some()))
            .collect();
        fellows
            .iter()
            .zip(samples)
            .map(|(index, sample)| {
                let sum: f64 = shared
                    .iter()
                    .filter_map(|row| number(sample, *row))
                    .map(f64::abs)
                    .sum();
                units
                    .get(*index)
                    .copied()
                    .flatten()
                    .map_or(sum, |unit| unit.to_si(sum))
            })
            .collect()
    }
}

/// Whether the readings grow with the numbers in the headings: within three tenths of proportion.
fn is_in_proportion(labels: &[Label], sizes: &[f64]) -> bool {
    let first = labels
        .first()
        .zip(sizes.first())
        .filter(|(label, size)| label.number > 0.0 && **size > 0.0);
    let Some((label, size)) = first else {
        return false;
    };
    labels.iter().zip(sizes).all(|(other, other_size)| {
        let expected = other.number / label.number;
        let found = other_size / size;
        (found - expected).abs() <= 0.3 * expected
    })
}
