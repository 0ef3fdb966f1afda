//! What each column is: its role, its unit, and what sets it apart from its fellows.
//!
//! Start at [`decide`]. A heading's unit is the strongest evidence, then its words and symbols, then units in the
//! cells, then the numbers, and last the place. Every step that goes beyond the heading leaves a note.

use super::heading::{Heading, Kind, Label};
use super::layout::Layout;
use super::{Choices, NotUsed, NoteKind, Notes, Role, Series, Weight};
use crate::figures::{Quantity, Unit};

/// The first numbers of a column, before its unit is known.
#[derive(Clone, Debug, Default)]
pub(super) struct Sample {
    /// One a row: the number as typed, its unit left aside.
    pub(super) values: Vec<Option<f64>>,
    pub(super) numbers: usize,
    pub(super) texts: usize,
    /// Units in the cells, each with its count.
    pub(super) units: Vec<(Unit, usize)>,
    /// Some cells are percentages.
    pub(super) percent: bool,
}

impl Sample {
    fn is_numeric(&self) -> bool {
        self.numbers > 0 && self.numbers >= self.texts
    }

    fn is_blank(&self) -> bool {
        self.numbers + self.texts == 0
    }

    /// The commonest unit in the cells and how many cells carry it.
    fn main_unit(&self) -> Option<(Unit, usize)> {
        // The first of equals: the unit of the first cell.
        self.units
            .iter()
            .rev()
            .copied()
            .max_by_key(|(_, count)| *count)
    }

    fn known(&self) -> impl Iterator<Item = f64> {
        self.values.iter().flatten().copied()
    }

    /// Whether the numbers count up by ones from 0 or 1.
    fn counts_up(&self) -> bool {
        let numbers: Vec<f64> = self.known().collect();
        let starts = numbers
            .first()
            .is_some_and(|first| *first == 0.0 || *first == 1.0);
        numbers.len() >= 2 && starts && numbers.windows(2).all(|pair| pair[1] == pair[0] + 1.0)
    }

    fn largest(&self) -> f64 {
        self.known().fold(0.0, |largest, value| {
            if value.abs() > largest {
                value.abs()
            } else {
                largest
            }
        })
    }

    /// Largest less smallest.
    fn span(&self) -> f64 {
        let low = self.known().fold(f64::INFINITY, f64::min);
        let high = self.known().fold(f64::NEG_INFINITY, f64::max);
        if high > low { high - low } else { 0.0 }
    }

    /// Pairs of numbers in rows where both columns have one.
    fn pairs<'s>(&'s self, other: &'s Sample) -> impl Iterator<Item = (f64, f64)> + 's {
        self.values
            .iter()
            .zip(&other.values)
            .filter_map(|(a, b)| Some(((*a)?, (*b)?)))
    }

    /// Whether the two could be repeats of the same readings: nearly all pairs within a fifth of each other.
    fn repeats(&self, other: &Sample) -> bool {
        let slack = 0.05 * self.span().max(other.span());
        let near = |(a, b): (f64, f64)| (a - b).abs() <= 0.2 * a.abs().max(b.abs()) + slack;
        let (pairs, alike) = self.pairs(other).fold((0, 0), |(pairs, alike), pair| {
            (pairs + 1, alike + usize::from(near(pair)))
        });
        pairs > 0 && alike * 5 >= pairs * 4
    }
}

/// What was decided about a column.
#[derive(Clone, Debug)]
pub(super) struct Plan {
    pub(super) heading: Heading,
    pub(super) role: Role,
    pub(super) guessed: bool,
    pub(super) unit: Option<Unit>,
    pub(super) series: Option<Series>,
    /// An uncertainty column headed in per cent.
    pub(super) percent: bool,
}

/// A column on its way to a plan.
struct Draft {
    heading: Heading,
    sample: Sample,
    kind: Option<Kind>,
    role: Option<Role>,
    guessed: bool,
    chosen: bool,
}

/// Decides what every column is.
pub(super) fn decide(
    layout: &Layout,
    samples: Vec<Sample>,
    choices: &Choices,
    notes: &mut Notes,
) -> Vec<Plan> {
    let mut table = Drafts(
        layout
            .headings
            .iter()
            .zip(samples)
            .map(|(text, sample)| Draft::new(text, sample))
            .collect(),
    );
    if table.0.iter().all(|draft| draft.sample.numbers == 0) {
        notes.table(Weight::Trouble, NoteKind::NoNumbers);
    } else if !layout.has_headings {
        notes.table(Weight::Told, NoteKind::NoHeadings);
    }
    table.obey(choices);
    table.settle_deltas(notes);
    table.place_by_kind();
    table.place_masses(notes);
    table.place_unknown(notes);
    table.keep_one_current(notes);
    let targets = table.uncertainty_targets(notes);
    let units = table.units(choices, &targets, notes);
    let series = table.series(choices, &units, notes);
    table.tell_what_lacks(notes);
    table
        .0
        .into_iter()
        .zip(units)
        .zip(series)
        .map(|((draft, unit), series)| Plan {
            role: draft.role.unwrap_or(Role::Ignored),
            guessed: draft.guessed,
            unit,
            series,
            percent: draft.heading.says.percent
                || (draft.sample.percent && draft.heading.unit.is_none()),
            heading: draft.heading,
        })
        .collect()
}

impl Draft {
    fn new(text: &str, sample: Sample) -> Draft {
        let heading = Heading::parse(text);
        let in_cells = sample
            .main_unit()
            .filter(|(_, count)| count * 2 >= sample.numbers)
            .map(|(unit, _)| unit);
        let kind = match (heading.kind, in_cells) {
            (Some(kind), Some(unit)) if kind.takes(unit.quantity()) => Some(kind),
            (_, Some(unit)) => Some(Kind::of(unit.quantity())),
            (kind, None) => kind,
        };
        // A column of masses whose cells are forces is a column of forces.
        let kind = match (kind, in_cells.or(heading.unit)) {
            (Some(Kind::Mass), Some(unit)) if unit.quantity() == Quantity::Force => {
                Some(Kind::Force)
            }
            (kind, _) => kind,
        };
        Draft {
            heading,
            sample,
            kind,
            role: None,
            guessed: false,
            chosen: false,
        }
    }

    /// Whether nothing has been settled about the column yet.
    fn is_open(&self) -> bool {
        self.role.is_none() && !self.heading.says.uncertain
    }

    fn guess(&mut self, role: Role) {
        self.role = Some(role);
        self.guessed = true;
    }
}

struct Drafts(Vec<Draft>);

impl Drafts {
    fn has(&self, role: Role) -> bool {
        self.0.iter().any(|draft| draft.role == Some(role))
    }

    fn has_varied(&self) -> bool {
        let varied = [
            Role::Current,
            Role::Length,
            Role::Wires,
            Role::Angle,
            Role::Position,
        ];
        varied.iter().any(|role| self.has(*role)) || (self.has(Role::Time) && self.has(Role::Zero))
    }

    fn has_readings(&self) -> bool {
        [Role::Reading, Role::FullReading, Role::Force, Role::Zero]
            .iter()
            .any(|role| self.has(*role))
    }

    /// Takes the reader's word.
    fn obey(&mut self, choices: &Choices) {
        let columns = self.0.len();
        for choice in &choices.columns {
            let Some(draft) = choice
                .column
                .checked_sub(1)
                .and_then(|index| self.0.get_mut(index))
            else {
                continue;
            };
            let sensible = |role: &Role| match role {
                Role::UncertaintyOf(of) => (1..=columns).contains(of) && *of != choice.column,
                _ => true,
            };
            if let Some(role) = choice.role.filter(sensible) {
                draft.role = Some(role);
                draft.chosen = true;
            }
        }
    }

    /// Settles whether Δ means a change or an uncertainty, from the column of the same quantity without it.
    fn settle_deltas(&mut self, notes: &mut Notes) {
        for index in 0..self.0.len() {
            let Some(draft) = self.0.get(index) else {
                continue;
            };
            let says = draft.heading.says;
            if !says.delta || says.change || !draft.is_open() {
                continue;
            }
            let sibling = self.0.iter().position(|other| {
                let plain = other.heading.says;
                let same = other.kind == draft.kind
                    || (!other.heading.symbol.is_empty()
                        && other
                            .heading
                            .symbol
                            .eq_ignore_ascii_case(&draft.heading.symbol));
                same && other.kind.is_some()
                    && !plain.delta
                    && !plain.change
                    && !plain.uncertain
                    && !plain.zero
            });
            let is_uncertainty = match (draft.kind, sibling.and_then(|sibling| self.0.get(sibling)))
            {
                (Some(Kind::Mass | Kind::Force), None) => false,
                (Some(Kind::Mass | Kind::Force), Some(other)) => {
                    !is_change_of(&draft.sample, &other.sample)
                }
                (_, other) => other.is_some(),
            };
            let is_weighed = matches!(draft.kind, Some(Kind::Mass | Kind::Force));
            if is_weighed && !is_uncertainty && sibling.is_some() {
                notes.column(index, Weight::Told, NoteKind::DeltaIsChange);
            }
            if let (true, Some(sibling)) = (is_uncertainty, sibling) {
                notes.column(
                    index,
                    Weight::Told,
                    NoteKind::DeltaIsUncertainty { of: sibling + 1 },
                );
            }
            if let Some(draft) = self.0.get_mut(index) {
                draft.heading.says.uncertain |= is_uncertainty;
                draft.heading.says.change |= is_weighed && !is_uncertainty;
            }
        }
    }

    /// Gives a role to the columns whose kind leaves no choice.
    fn place_by_kind(&mut self) {
        let has_other_numbers = |drafts: &[Draft], index: usize| {
            drafts
                .iter()
                .enumerate()
                .any(|(other, draft)| other != index && draft.kind == Some(Kind::Current))
        };
        for index in 0..self.0.len() {
            let elsewhere = has_other_numbers(&self.0, index);
            let Some(draft) = self.0.get_mut(index).filter(|draft| draft.is_open()) else {
                continue;
            };
            let says = draft.heading.says;
            let zero = match (says.before, says.after) {
                (true, false) => Role::ZeroBefore,
                (false, true) => Role::ZeroAfter,
                _ => Role::Zero,
            };
            let numeric = draft.sample.is_numeric();
            let counts_up = draft.sample.counts_up();
            if says.zero && numeric && matches!(draft.kind, None | Some(Kind::Mass | Kind::Force)) {
                draft.role = Some(zero);
                continue;
            }
            draft.role = match draft.kind {
                Some(Kind::Current) => Some(Role::Current),
                Some(Kind::Length) => Some(Role::Length),
                Some(Kind::Position) => Some(Role::Position),
                Some(Kind::Wires) if counts_up && elsewhere && draft.heading.name == "n" => {
                    Some(Role::Counter)
                }
                Some(Kind::Wires)
                    if numeric && draft.sample.known().all(|n| n >= 0.0 && n == n.trunc()) =>
                {
                    Some(Role::Wires)
                }
                Some(Kind::Wires) => None,
                Some(Kind::Angle) => Some(Role::Angle),
                Some(Kind::FluxDensity) => Some(Role::FluxDensity),
                Some(Kind::Time) => Some(Role::Time),
                Some(Kind::Comment) => Some(Role::Comment),
                Some(Kind::Counter) if !numeric => Some(Role::Comment),
                // "Run 1" over readings is a label, not a column of counts.
                Some(Kind::Counter) if counts_up || draft.heading.label.is_none() => {
                    Some(Role::Counter)
                }
                Some(Kind::Counter | Kind::Other | Kind::Mass | Kind::Force) | None => None,
            };
            if draft.role.is_none()
                && !numeric
                && !matches!(draft.kind, Some(Kind::Mass | Kind::Force))
            {
                draft.role = Some(if draft.sample.is_blank() {
                    Role::Ignored
                } else {
                    Role::Comment
                });
            }
        }
    }

    /// Tells changes, full readings, zeros and means apart.
    fn place_masses(&mut self, notes: &mut Notes) {
        let open = |kind: Kind| -> Vec<usize> {
            let is_open = |index: &usize| {
                self.0
                    .get(*index)
                    .is_some_and(|draft| draft.is_open() && draft.kind == Some(kind))
            };
            (0..self.0.len()).filter(is_open).collect()
        };
        let (masses, forces) = (open(Kind::Mass), open(Kind::Force));
        let says = |index: usize| {
            self.0
                .get(index)
                .map_or_else(Default::default, |draft| draft.heading.says)
        };
        let plain = |columns: &[usize]| columns.iter().filter(|index| !says(**index).mean).count();
        let (plain_masses, plain_forces) = (plain(&masses), plain(&forces));
        let chosen = self
            .0
            .iter()
            .position(|draft| draft.chosen && draft.role == Some(Role::Reading));
        let change = masses
            .iter()
            .copied()
            .find(|index| says(*index).change)
            .or(chosen);
        let both_ends = masses.iter().any(|index| says(*index).before)
            && masses.iter().any(|index| says(*index).after);
        let mut roles: Vec<(usize, Role)> = Vec::new();
        for index in masses {
            let said = says(index);
            let role = if said.mean && plain_masses > 0 {
                notes.column(index, Weight::Told, NoteKind::NotUsed(NotUsed::Mean));
                Role::Ignored
            } else if said.change {
                Role::Reading
            } else if both_ends && plain_masses >= 3 && said.before {
                Role::ZeroBefore
            } else if both_ends && plain_masses >= 3 && said.after {
                Role::ZeroAfter
            } else if both_ends && said.before {
                Role::Zero
            } else if let Some(change) = change {
                notes.column(
                    index,
                    Weight::Told,
                    NoteKind::FullReading { change: change + 1 },
                );
                Role::FullReading
            } else if said.full && plain_masses > 1 {
                Role::FullReading
            } else {
                Role::Reading
            };
            roles.push((index, role));
        }
        for index in forces {
            let is_mean = says(index).mean && plain_forces > 0;
            if is_mean {
                notes.column(index, Weight::Told, NoteKind::NotUsed(NotUsed::Mean));
            }
            roles.push((index, if is_mean { Role::Ignored } else { Role::Force }));
        }
        for (index, role) in roles {
            if let Some(draft) = self.0.get_mut(index) {
                draft.role = Some(role);
            }
        }
    }

    /// Gives the columns that say nothing about themselves the roles that are still missing, from left to right.
    fn place_unknown(&mut self, notes: &mut Notes) {
        let is_unknown = |draft: &Draft| {
            draft.is_open() && draft.sample.is_numeric() && draft.kind != Some(Kind::Other)
        };
        let mut unknown: Vec<usize> = (0..self.0.len())
            .filter(|index| self.0.get(*index).is_some_and(is_unknown))
            .collect();
        if let Some(counter) = unknown
            .first()
            .copied()
            .filter(|first| self.is_silent_counter(*first, &unknown))
        {
            self.guess(counter, Role::Counter, Weight::Told, notes);
            unknown.remove(0);
        }
        if !self.has_varied() && !unknown.is_empty() && (unknown.len() > 1 || self.has_readings()) {
            self.guess(unknown.remove(0), Role::Current, Weight::Asked, notes);
        }
        let reading = match unknown.first().copied() {
            Some(first) if !self.has_readings() => {
                let weight = if self.0.iter().all(|draft| draft.heading.text.is_empty()) {
                    Weight::Told
                } else {
                    Weight::Asked
                };
                self.guess(first, Role::Reading, weight, notes);
                unknown.remove(0);
                Some(first)
            }
            _ => self
                .0
                .iter()
                .position(|draft| draft.role == Some(Role::Reading)),
        };
        for index in unknown {
            let Some(draft) = self.0.get(index) else {
                continue;
            };
            let alike = reading
                .and_then(|reading| self.0.get(reading))
                .is_some_and(|reading| {
                    let labelled = reading.guessed
                        && draft.heading.label.is_some()
                        && reading.heading.label.is_some();
                    labelled || draft.sample.repeats(&reading.sample)
                });
            if alike {
                self.guess(index, Role::Reading, Weight::Told, notes);
            } else {
                let why = if draft.heading.text.is_empty() {
                    NotUsed::NoHeading
                } else {
                    NotUsed::UnknownHeading
                };
                self.ignore(index, Weight::Asked, why, notes);
            }
        }
        for index in 0..self.0.len() {
            let Some(draft) = self.0.get(index).filter(|draft| draft.is_open()) else {
                continue;
            };
            let blank = draft.sample.is_blank();
            if draft.sample.is_numeric() {
                self.ignore(index, Weight::Told, NotUsed::UnknownHeading, notes);
            } else if let Some(draft) = self.0.get_mut(index) {
                draft.role = Some(if blank { Role::Ignored } else { Role::Comment });
            }
        }
    }

    /// Whether the first of the columns without a meaning only numbers the rows: 1, 2, 3... before a current and
    /// readings. A current that rises by whole amperes looks the same, so what follows must not look like repeats.
    fn is_silent_counter(&self, first: usize, unknown: &[usize]) -> bool {
        let Some(draft) = self.0.get(first).filter(|draft| draft.sample.counts_up()) else {
            return false;
        };
        let starts_at_one = draft.sample.known().next() == Some(1.0);
        let has_others = self.has_varied() && self.has_readings();
        let [_, second, third, ..] = unknown else {
            return has_others && starts_at_one;
        };
        let repeats = self
            .0
            .get(*second)
            .zip(self.0.get(*third))
            .is_some_and(|(a, b)| a.sample.repeats(&b.sample));
        starts_at_one && (has_others || (!repeats && !self.has_varied() && !self.has_readings()))
    }

    fn guess(&mut self, index: usize, role: Role, weight: Weight, notes: &mut Notes) {
        if let Some(draft) = self.0.get_mut(index) {
            draft.guess(role);
            notes.column(index, weight, NoteKind::Guessed(role));
        }
    }

    fn ignore(&mut self, index: usize, weight: Weight, why: NotUsed, notes: &mut Notes) {
        if let Some(draft) = self.0.get_mut(index) {
            draft.role = Some(Role::Ignored);
            notes.column(index, weight, NoteKind::NotUsed(why));
        }
    }

    /// Keeps one column of currents: the chosen one, else a mean, else the first.
    fn keep_one_current(&mut self, notes: &mut Notes) {
        let currents: Vec<usize> = (0..self.0.len())
            .filter(|index| {
                self.0
                    .get(*index)
                    .is_some_and(|d| d.role == Some(Role::Current))
            })
            .collect();
        let found = |wanted: fn(&Draft) -> bool| {
            currents
                .iter()
                .copied()
                .find(|index| self.0.get(*index).is_some_and(wanted))
        };
        let kept = found(|draft| draft.chosen)
            .or_else(|| found(|draft| draft.heading.says.mean))
            .or(currents.first().copied());
        for index in currents.into_iter().filter(|index| Some(*index) != kept) {
            if self.0.get(index).is_some_and(|draft| !draft.chosen) {
                self.ignore(index, Weight::Asked, NotUsed::SecondCurrent, notes);
            }
        }
    }

    /// Finds the column that each column of uncertainties belongs to, and gives it its role. One a column.
    fn uncertainty_targets(&mut self, notes: &mut Notes) -> Vec<Option<usize>> {
        let mut targets = vec![None; self.0.len()];
        for index in 0..self.0.len() {
            let Some(draft) = self.0.get(index) else {
                continue;
            };
            if let (true, Some(Role::UncertaintyOf(of))) = (draft.chosen, draft.role) {
                if let Some(target) = targets.get_mut(index) {
                    *target = of.checked_sub(1);
                }
                continue;
            }
            if draft.role.is_some() || !draft.heading.says.uncertain {
                continue;
            }
            let can_be = |other: &Draft| {
                !other.heading.says.uncertain
                    && !matches!(other.role, Some(Role::Comment | Role::Counter) | None)
            };
            let used = |other: &Draft| can_be(other) && other.role != Some(Role::Ignored);
            let symbol = &draft.heading.symbol;
            let by_symbol = |other: &Draft| {
                used(other) && !symbol.is_empty() && other.heading.symbol == *symbol
            };
            let by_kind =
                |other: &Draft| used(other) && draft.kind.is_some() && other.kind == draft.kind;
            // Of several columns that fit, the nearest to the left is meant, else the nearest to the right.
            let nearest = |fits: &dyn Fn(&Draft) -> bool| {
                let left = (0..index)
                    .rev()
                    .find(|other| self.0.get(*other).is_some_and(fits));
                left.or_else(|| {
                    (index + 1..self.0.len()).find(|other| self.0.get(*other).is_some_and(fits))
                })
            };
            let target = nearest(&by_symbol)
                .or_else(|| nearest(&by_kind))
                .or_else(|| {
                    let speaks = draft.kind.is_some() && draft.heading.unit.is_some();
                    if speaks { None } else { nearest(&used) }
                });
            match target {
                Some(of) => {
                    if !draft.heading.says.delta {
                        notes.column(index, Weight::Told, NoteKind::UncertaintyOf { of: of + 1 });
                    }
                    if let Some(place) = targets.get_mut(index) {
                        *place = Some(of);
                    }
                    if let Some(draft) = self.0.get_mut(index) {
                        draft.role = Some(Role::UncertaintyOf(of + 1));
                    }
                }
                None => self.ignore(index, Weight::Asked, NotUsed::NoTarget, notes),
            }
        }
        targets
    }

    /// The unit of each column's bare numbers.
    fn units(
        &self,
        choices: &Choices,
        targets: &[Option<usize>],
        notes: &mut Notes,
    ) -> Vec<Option<Unit>> {
        let mut units: Vec<Option<Unit>> = Vec::with_capacity(self.0.len());
        for (index, draft) in self.0.iter().enumerate() {
            units.push(self.unit_of(index, draft, choices, notes));
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
                    seen: super::words::cut(seen),
                    taken,
                },
            );
        }
        let in_cells = draft.sample.main_unit();
        if let (Some(heading), Some((cells, count))) = (heading, in_cells) {
            if heading != cells && count * 2 >= draft.sample.numbers {
                notes.column(index, Weight::Asked, NoteKind::UnitClash { heading, cells });
                return Some(cells);
            }
        }
        if let Some(unit) = heading.or(in_cells.map(|(unit, _)| unit)) {
            return Some(unit);
        }
        if let Some(seen) = &draft.heading.unknown_unit {
            notes.column(
                index,
                Weight::Asked,
                NoteKind::UnitUnknown {
                    seen: super::words::cut(seen),
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

    /// What sets columns of readings apart, one a column.
    fn series(
        &self,
        choices: &Choices,
        units: &[Option<Unit>],
        notes: &mut Notes,
    ) -> Vec<Option<Series>> {
        let mut series: Vec<Option<Series>> = vec![None; self.0.len()];
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
        let fellows = match (readings.len(), full.len()) {
            (0, _) if full.len() > 1 => full,
            (0, _) => all(Role::Force),
            (1, 2..) => full,
            _ => readings,
        };
        if fellows.len() > 1 {
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
            numbers.sort_by(f64::total_cmp);
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
                if let Some(first) = fellows.first() {
                    notes.column(*first, weight, NoteKind::Repeats { columns });
                }
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
        if let Some(first) = fellows.first() {
            notes.column(
                *first,
                weight,
                NoteKind::SeveralSeries {
                    columns,
                    role,
                    unit,
                    guessed,
                },
            );
        }
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

    /// Says what the table lacks for a line to be drawn.
    fn tell_what_lacks(&self, notes: &mut Notes) {
        let numeric = self
            .0
            .iter()
            .filter(|draft| draft.sample.is_numeric())
            .count();
        if numeric == 0 {
            return;
        }
        if numeric == 1 {
            notes.table(Weight::Trouble, NoteKind::OneColumn);
            return;
        }
        if !self.has_varied() {
            notes.table(Weight::Trouble, NoteKind::NoVaried);
        }
        if !self.has_readings() && !self.has(Role::Position) {
            notes.table(Weight::Trouble, NoteKind::NoReadings);
        }
    }
}

/// Whether a column headed Δ holds changes of the other column, not its uncertainties: both keep a constant
/// distance, or the Δ column varies as much as the other.
fn is_change_of(delta: &Sample, other: &Sample) -> bool {
    let first = delta.known().next();
    let constant = delta.known().all(|value| Some(value) == first);
    if constant || !delta.is_numeric() {
        return false;
    }
    if delta.known().any(|value| value < 0.0) {
        return true;
    }
    let offsets: Vec<f64> = other
        .pairs(delta)
        .map(|(full, change)| full - change)
        .collect();
    let (low, high) = offsets
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), offset| {
            (low.min(*offset), high.max(*offset))
        });
    let keeps_distance = high - low <= 0.05 * delta.span();
    keeps_distance || delta.span() >= 0.5 * other.span()
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
