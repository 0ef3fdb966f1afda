//! Families: points that share a line, told apart by columns or headings of wires, lengths and angles.

use crate::figures::{Unit, round};
use crate::table::{Cell, Column, Role, Series, Table};

use super::ordinate::Group;
use super::points::{Request, columns_with};
use super::setup::Setup;
use super::{Family, Varied};

/// The number that sets a column of readings apart, where it is of this kind.
pub(super) fn series_value(column: &Column, role: Role) -> Option<f64> {
    let series = column.series.as_ref()?;
    series.value_si.filter(|_| series.role == Some(role))
}

/// What sets a column of readings apart, as a person would say it: `10 mm`, `2 wires`, or the words of the heading.
pub fn series_label(series: &Series) -> String {
    match (series.role, series.number, series.unit) {
        (Some(Role::Wires), Some(1.0), _) => "1 wire".into(),
        (Some(Role::Wires), Some(n), _) => format!("{n} wires"),
        // A length chosen by hand comes in metres.
        (Some(Role::Length), Some(n), Some(Unit::METRE)) if n < 0.1 => {
            format!("{} mm", round::shortest(Unit::MILLIMETRE.from_si(n)))
        }
        (Some(_), Some(n), Some(unit)) => format!("{} {}", round::shortest(n), unit.symbol()),
        _ => series.label.clone(),
    }
}

/// More series than this are no practical, and each is worked out and shown on its own: readings of further ones are left out.
pub const MOST_SERIES: usize = 100;

/// The families found so far, and what tells them apart.
pub(super) struct Families<'a> {
    table: &'a Table,
    setup: &'a Setup,
    /// Columns whose value sets a family apart in this kind of sweep.
    wires: Option<usize>,
    length: Option<usize>,
    angle: Option<usize>,
    keys: Vec<Key>,
    pub(super) found: Vec<Family>,
}

#[derive(Clone, Copy, PartialEq)]
struct Key {
    /// The first column of the readings; `None` for readings of columns that share a line.
    group: Option<usize>,
    wires: Option<f64>,
    length_m: Option<f64>,
    angle_rad: Option<f64>,
}

impl<'a> Families<'a> {
    pub(super) fn new(request: &'a Request, varied: Varied) -> Families<'a> {
        let first = |role| columns_with(request.table, role).into_iter().next();
        // What is not on the axis sets series apart.
        let by_wire = matches!(varied, Varied::Current | Varied::Angle);
        let by_angle = matches!(varied, Varied::Current | Varied::Length);
        Families {
            table: request.table,
            setup: request.setup,
            wires: first(Role::Wires).filter(|_| by_wire),
            length: first(Role::Length).filter(|_| by_wire),
            angle: first(Role::Angle).filter(|_| by_angle),
            keys: Vec::new(),
            found: Vec::new(),
        }
    }

    /// The family that a reading belongs to; `None` where that would be one more than [`MOST_SERIES`].
    pub(super) fn index(&mut self, row: usize, group: &Group) -> Option<usize> {
        let value = |column: Option<usize>| match self.table.columns.get(column?)?.cells.get(row) {
            Some(Cell::Number(number)) => Some(number.value_si),
            _ => None,
        };
        // Columns that differ in the way they were taken share a line.
        let first = group.columns.first().copied().unwrap_or(0);
        let apart = group.way.is_none()
            || self
                .table
                .columns
                .get(first)
                .is_some_and(|c| c.series.is_some());
        let key = Key {
            group: apart.then_some(first),
            wires: value(self.wires),
            length_m: value(self.length),
            angle_rad: value(self.angle),
        };
        if let Some(index) = self.keys.iter().position(|k| *k == key) {
            return Some(index);
        }
        if self.keys.len() >= MOST_SERIES {
            return None;
        }
        self.keys.push(key);
        self.found.push(self.family(key));
        Some(self.keys.len() - 1)
    }

    fn family(&self, key: Key) -> Family {
        let column = key.group.and_then(|group| self.table.columns.get(group));
        let series = column.and_then(|c| c.series.as_ref());
        let of_column = |role| series_value(column?, role);
        let mut parts: Vec<String> = Vec::new();
        if let Some(series) = series {
            parts.push(series_label(series));
        }
        if let Some(wires) = key.wires {
            parts.push(if wires == 1.0 {
                "1 wire".into()
            } else {
                format!("{wires} wires")
            });
        }
        let shown = |column: Option<usize>, unit: Unit, si: f64| {
            let unit = column
                .and_then(|c| self.table.columns.get(c)?.unit)
                .unwrap_or(unit);
            format!(
                "{} {}",
                round::to_significant(unit.from_si(si), 4),
                unit.symbol()
            )
        };
        if let Some(length_m) = key.length_m {
            parts.push(shown(self.length, Unit::CENTIMETRE, length_m));
        }
        if let Some(angle_rad) = key.angle_rad {
            parts.push(shown(self.angle, Unit::DEGREE, angle_rad));
        }
        Family {
            label: parts.join(", "),
            length_m: key
                .length_m
                .or(of_column(Role::Length))
                .or(self.setup.length.map(|l| l.si)),
            wires: key
                .wires
                .or(of_column(Role::Wires))
                .unwrap_or(self.setup.wires),
            angle_rad: key
                .angle_rad
                .or(of_column(Role::Angle))
                .or(self.setup.angle.map(|a| a.si)),
        }
    }

    /// What x still has to be multiplied by when the length belongs to the column of readings.
    pub(super) fn abscissa_scale(&self, varied: Varied, family: usize) -> f64 {
        let by_series = self
            .keys
            .get(family)
            .and_then(|k| series_value(self.table.columns.get(k.group?)?, Role::Length))
            .filter(|_| varied == Varied::Product);
        by_series.unwrap_or(1.0)
    }
}
