//! What each column is: its role, its unit, and what sets it apart from its fellows.
//!
//! Start at [`decide`]. A heading's unit is the strongest evidence, then its words and symbols, then units in the
//! cells, then the numbers, and last the place. Every step that goes beyond the heading leaves a note.

use super::heading::{Heading, Kind};
use super::layout::Layout;
use super::sample::Sample;
use super::{Choices, NotUsed, NoteKind, Notes, Role, Series, Way, Weight};
use crate::figures::{Quantity, Unit};

/// What was decided about a column.
#[derive(Clone, Debug)]
pub(super) struct Plan {
    pub(super) heading: Heading,
    pub(super) role: Role,
    pub(super) guessed: bool,
    pub(super) unit: Option<Unit>,
    pub(super) series: Option<Series>,
    pub(super) way: Option<Way>,
    /// An uncertainty column headed in per cent.
    pub(super) percent: bool,
}

/// A column on its way to a plan.
pub(super) struct Draft {
    pub(super) heading: Heading,
    pub(super) sample: Sample,
    pub(super) kind: Option<Kind>,
    pub(super) role: Option<Role>,
    pub(super) guessed: bool,
    pub(super) chosen: bool,
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
    }
    table.obey(choices);
    table.settle_deltas(notes);
    table.place_by_kind();
    table.place_masses(notes);
    table.place_unknown(layout.has_headings, notes);
    table.keep_one_current(notes);
    let targets = table.uncertainty_targets(notes);
    let units = table.units(choices, &targets, notes);
    let ways = table.ways(notes);
    let series = table.series(choices, &units, ways.is_some(), notes);
    let ways = ways.unwrap_or_else(|| vec![None; table.0.len()]);
    table.tell_what_lacks(notes);
    table
        .0
        .into_iter()
        .zip(units)
        .zip(series.into_iter().zip(ways))
        .map(|((draft, unit), (series, way))| Plan {
            role: draft.role.unwrap_or(Role::Ignored),
            guessed: draft.guessed,
            unit,
            series,
            way,
            percent: draft.heading.says.percent,
            heading: draft.heading,
        })
        .collect()
}

impl Draft {
    fn new(text: &str, sample: Sample) -> Draft {
        let heading = Heading::parse(text);
        let in_cells = sample.telling_unit(heading.unit);
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

pub(super) struct Drafts(pub(super) Vec<Draft>);

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
        let change = masses.iter().copied().find(|index| says(*index).change);
        let chosen = self
            .0
            .iter()
            .position(|draft| draft.chosen && draft.role == Some(Role::Reading));
        // Fellows of a chosen column of readings are repeats or series, not its full readings.
        let is_fellow = |index: usize, chosen: usize| {
            let pair = self.0.get(index).zip(self.0.get(chosen));
            pair.is_some_and(|(draft, chosen)| {
                let labelled = draft.heading.label.is_some() && chosen.heading.label.is_some();
                labelled || draft.sample.repeats(&chosen.sample)
            })
        };
        let both_ends = masses.iter().any(|index| says(*index).before)
            && masses.iter().any(|index| says(*index).after);
        let mut roles: Vec<(usize, Role)> = Vec::new();
        // A column that is called a mean and nothing else is that of the readings beside it, not one more of them.
        let bare_mean = |index: &usize| {
            let draft = self.0.get(*index);
            draft.is_some_and(|d| d.is_open() && d.kind.is_none() && d.heading.says.mean)
        };
        if plain_masses + plain_forces > 1 {
            for index in (0..self.0.len()).filter(bare_mean) {
                notes.column(index, Weight::Told, NoteKind::NotUsed(NotUsed::Mean));
                roles.push((index, Role::Ignored));
            }
        }
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
            } else if let Some(change) =
                change.or(chosen.filter(|chosen| !is_fellow(index, *chosen)))
            {
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
    fn place_unknown(&mut self, has_headings: bool, notes: &mut Notes) {
        let mut guesses: Vec<(usize, Role, Weight)> = Vec::new();
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
            self.guess(counter, Role::Counter, Weight::Told, &mut guesses);
            unknown.remove(0);
        }
        if !self.has_varied() && !unknown.is_empty() && (unknown.len() > 1 || self.has_readings()) {
            self.guess(
                unknown.remove(0),
                Role::Current,
                Weight::Asked,
                &mut guesses,
            );
        }
        let reading = match unknown.first().copied() {
            Some(first) if !self.has_readings() => {
                let weight = if self.0.iter().all(|draft| draft.heading.text.is_empty()) {
                    Weight::Told
                } else {
                    Weight::Asked
                };
                self.guess(first, Role::Reading, weight, &mut guesses);
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
                self.guess(index, Role::Reading, Weight::Told, &mut guesses);
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
        self.tell_guesses(has_headings, &guesses, notes);
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

    fn guess(
        &mut self,
        index: usize,
        role: Role,
        weight: Weight,
        guesses: &mut Vec<(usize, Role, Weight)>,
    ) {
        if let Some(draft) = self.0.get_mut(index) {
            draft.guess(role);
            guesses.push((index, role, weight));
        }
    }

    /// Tells of the guesses: in one note when the table has no headings at all.
    fn tell_guesses(
        &self,
        has_headings: bool,
        guesses: &[(usize, Role, Weight)],
        notes: &mut Notes,
    ) {
        if has_headings {
            for (index, role, weight) in guesses {
                notes.column(*index, *weight, NoteKind::Guessed(*role));
            }
        } else if self.0.iter().any(|draft| draft.sample.numbers > 0) {
            let taken = guesses
                .iter()
                .map(|(index, role, _)| (index + 1, *role))
                .collect();
            notes.table(Weight::Told, NoteKind::NoHeadings { taken });
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
