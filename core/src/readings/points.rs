//! From cells to points.
//!
//! Start at [`gather`]: it finds the columns that make up x and y, averages repeats, subtracts noted zeros, gives every
//! point its uncertainties and sorts the points into families that share a line.

use crate::figures::{Quantity, Unit, round};
use crate::table::{Cell, Column, Role, Series, Table};

use super::repeats::{Summary, summarise};
use super::setup::Setup;
use super::{Basis, Family, Ordinate, Point, Readings, Remark, Varied};

/// What [`gather`] needs to know.
#[derive(Clone, Copy, Debug)]
pub struct Request<'a> {
    /// The understood table.
    pub table: &'a Table,
    /// The apparatus.
    pub setup: &'a Setup,
    /// Which quantity was varied.
    pub varied: Varied,
    /// Rows, from 1, that the user left out of the line.
    pub exclude: &'a [usize],
}

/// Makes the points. Without the columns that are needed there are no points and a remark says which are missing.
pub fn gather(request: &Request) -> Readings {
    let mut remarks = Vec::new();
    let Some(ordinate) = OrdinateColumns::find(request.table, &mut remarks) else {
        return Readings {
            families: vec![Family::default()],
            remarks,
            ..Readings::default()
        };
    };
    let varied = settle_varied(request, &mut remarks);
    let Some(abscissa) = Abscissa::find(request, varied, &mut remarks) else {
        return Readings {
            families: vec![Family::default()],
            varied,
            remarks,
            ..Readings::default()
        };
    };
    let step = ordinate.step(request);
    let scale = ordinate.scale(request.setup, varied);
    let mut excluded = request.exclude.to_vec();
    excluded.sort_unstable();
    let mut families = Families::new(request, varied);
    let mut points = Vec::with_capacity(request.table.rows * ordinate.groups.len());
    let mut identical = Vec::new();
    let mut not_positive = Vec::new();
    for row in 0..request.table.rows {
        let Some(x) = abscissa.at(row) else { continue };
        for group in &ordinate.groups {
            let Some(y) = ordinate.at(row, group, step) else {
                continue;
            };
            if y.identical {
                identical.push(row + 1);
            }
            if y.typed_not_positive {
                not_positive.push(row + 1);
            }
            let family = families.index(row, group);
            let length_scale = families.abscissa_scale(varied, family);
            points.push(Point {
                x: x.value * length_scale,
                y: y.value * scale,
                bar_x: x.bar.map(|b| b * length_scale),
                bar_y: y.bar * scale,
                basis: y.basis,
                u_x: x.standard * length_scale,
                u_y: y.standard * scale,
                row: row + 1,
                repeats: y.repeats,
                family,
                excluded: excluded.binary_search(&(row + 1)).is_ok(),
            });
        }
    }
    if !identical.is_empty() {
        remarks.push(Remark::IdenticalRepeats { rows: identical });
    }
    if !not_positive.is_empty() {
        remarks.push(Remark::UncertaintyNotPositive { rows: not_positive });
    }
    points.sort_unstable_by_key(|p| (p.family, p.row));
    let untared = ordinate.untared(&points);
    let in_force = varied == Varied::Product;
    Readings {
        points,
        families: families.found,
        varied,
        ordinate: if in_force {
            Ordinate::Force
        } else {
            ordinate.kind
        },
        x_unit: abscissa.unit,
        y_unit: Some(if in_force && ordinate.kind == Ordinate::Mass {
            Unit::MILLINEWTON
        } else {
            ordinate.unit
        }),
        x_decimals: abscissa.decimals,
        y_decimals: if in_force && ordinate.kind == Ordinate::Mass {
            2
        } else {
            ordinate.decimals
        },
        resolution: Some(step * scale),
        used: abscissa
            .columns
            .iter()
            .copied()
            .chain(ordinate.groups.iter().flat_map(|g| g.columns.clone()))
            .collect(),
        untared,
        remarks,
    }
}

/// The columns with a given meaning.
fn columns_with(table: &Table, role: Role) -> Vec<usize> {
    (0..table.columns.len())
        .filter(|i| table.columns[*i].role == role)
        .collect()
}

fn numbers_in(column: &Column) -> usize {
    column
        .cells
        .iter()
        .filter(|cell| matches!(cell, Cell::Number(_)))
        .count()
}

/// The varied quantity, or the one that the table can only be about when it has no current column.
fn settle_varied(request: &Request, remarks: &mut Vec<Remark>) -> Varied {
    let has = |role| !columns_with(request.table, role).is_empty();
    if request.varied != Varied::Current || has(Role::Current) {
        return request.varied;
    }
    let other = if has(Role::Length) || has(Role::Wires) {
        Varied::Length
    } else if has(Role::Angle) {
        Varied::Angle
    } else {
        return request.varied;
    };
    remarks.push(Remark::VariedTaken { varied: other });
    other
}

/// Value, half-width of the bar and standard uncertainty of one quantity at one row.
#[derive(Clone, Copy, Debug)]
struct Known {
    value: f64,
    bar: Option<f64>,
    standard: f64,
}

impl Known {
    const ONE: Known = Known {
        value: 1.0,
        bar: None,
        standard: 0.0,
    };

    fn exact(value: f64) -> Known {
        Known {
            value,
            ..Known::ONE
        }
    }
}

/// What makes up x: the product of up to four quantities, each from a column or fixed.
struct Abscissa<'a> {
    factors: [Factor<'a>; 4],
    unit: Option<Unit>,
    decimals: i32,
    columns: Vec<usize>,
}

enum Factor<'a> {
    Fixed(f64),
    Column {
        column: &'a Column,
        uncertainty: Option<&'a Column>,
        step: Option<f64>,
        sine: bool,
    },
}

impl Factor<'_> {
    fn at(&self, row: usize) -> Option<Known> {
        let Factor::Column {
            column,
            uncertainty,
            step,
            sine,
        } = self
        else {
            let Factor::Fixed(value) = self else {
                return None;
            };
            return Some(Known::exact(*value));
        };
        let Some(Cell::Number(number)) = column.cells.get(row) else {
            return None;
        };
        let typed = typed_uncertainty(column, *uncertainty, row, number.uncertainty_si)
            .filter(|u| *u > 0.0);
        let bar = typed.or(step.map(|s| s / 2.0));
        let standard = typed.or(step.map(|s| s / 12.0_f64.sqrt())).unwrap_or(0.0);
        if *sine {
            let slope = libm::cos(number.value_si).abs();
            return Some(Known {
                value: libm::sin(number.value_si),
                bar: bar.map(|b| b * slope),
                standard: standard * slope,
            });
        }
        Some(Known {
            value: number.value_si,
            bar,
            standard,
        })
    }
}

impl<'a> Abscissa<'a> {
    fn find(
        request: &'a Request,
        varied: Varied,
        remarks: &mut Vec<Remark>,
    ) -> Option<Abscissa<'a>> {
        let table = request.table;
        let setup = request.setup;
        let mut columns = Vec::new();
        let mut from_column = |role: Role, step: Option<f64>| {
            let index = columns_with(table, role).into_iter().next()?;
            columns.push(index);
            let column = &table.columns[index];
            let uncertainty = columns_with(table, Role::UncertaintyOf(index + 1))
                .into_iter()
                .next();
            Some(Factor::Column {
                column,
                uncertainty: uncertainty.map(|i| &table.columns[i]),
                step,
                sine: role == Role::Angle,
            })
        };
        let current_step = setup.current_resolution.map(|r| r.si);
        let fixed_current = setup.fixed_current.map(|c| c.si);
        let mut missing = |what| remarks.push(Remark::NoColumn { what });
        let one = || Factor::Fixed(1.0);
        let factors = match varied {
            Varied::Current => {
                let Some(current) = from_column(Role::Current, current_step) else {
                    missing("current");
                    return None;
                };
                [current, one(), one(), one()]
            }
            Varied::Length => {
                let length = from_column(Role::Length, None);
                let wires = from_column(Role::Wires, None);
                if length.is_none() && wires.is_none() {
                    missing("length of wire (or number of wires)");
                    return None;
                }
                let length = length.or(setup.length.map(|l| Factor::Fixed(l.si)));
                let Some(length) = length else {
                    missing("length of one wire");
                    return None;
                };
                [
                    length,
                    wires.unwrap_or(Factor::Fixed(setup.wires)),
                    one(),
                    one(),
                ]
            }
            Varied::Angle => {
                let Some(angle) = from_column(Role::Angle, None) else {
                    missing("angle");
                    return None;
                };
                [angle, one(), one(), one()]
            }
            Varied::Product => {
                let current =
                    from_column(Role::Current, current_step).or(fixed_current.map(Factor::Fixed));
                let Some(current) = current else {
                    missing("current");
                    return None;
                };
                // A length that differs from column to column belongs to the family, see `abscissa_scale`.
                let by_family = table
                    .columns
                    .iter()
                    .any(|c| series_value(c, Role::Length).is_some());
                let length = from_column(Role::Length, None)
                    .or(by_family.then(one))
                    .or(setup.length.map(|l| Factor::Fixed(l.si)));
                let Some(length) = length else {
                    missing("length of one wire");
                    return None;
                };
                let wires = from_column(Role::Wires, None).unwrap_or(Factor::Fixed(setup.wires));
                let angle =
                    from_column(Role::Angle, None).unwrap_or(Factor::Fixed(setup.sin_angle()));
                [current, length, wires, angle]
            }
        };
        let first = columns.first().map(|i| &table.columns[*i]);
        let unit = match varied {
            Varied::Current => Some(first.and_then(|c| c.unit).unwrap_or(Unit::AMPERE)),
            Varied::Length => Some(
                first
                    .and_then(|c| c.unit)
                    .filter(is_length)
                    .unwrap_or(Unit::CENTIMETRE),
            ),
            Varied::Angle | Varied::Product => None,
        };
        let decimals = match varied {
            Varied::Angle | Varied::Product => 4,
            _ => first.and_then(|c| c.decimals).unwrap_or(2),
        };
        Some(Abscissa {
            factors,
            unit,
            decimals,
            columns,
        })
    }

    fn at(&self, row: usize) -> Option<Known> {
        let mut product = self.factors[0].at(row)?;
        for factor in &self.factors[1..] {
            let next = match factor {
                Factor::Fixed(1.0) => continue,
                other => other.at(row)?,
            };
            let bar = match (product.bar, next.bar) {
                (None, None) => None,
                (a, b) => Some(
                    a.unwrap_or(0.0) * next.value.abs() + b.unwrap_or(0.0) * product.value.abs(),
                ),
            };
            let (a, b) = (product.standard * next.value, next.standard * product.value);
            product = Known {
                value: product.value * next.value,
                bar,
                standard: (a * a + b * b).sqrt(),
            };
        }
        Some(product)
    }
}

fn is_length(unit: &Unit) -> bool {
    unit.quantity() == Quantity::Length
}

/// The uncertainty that the user typed for a cell: in the cell, in a column of its own, or in the heading.
fn typed_uncertainty(
    column: &Column,
    uncertainty: Option<&Column>,
    row: usize,
    in_cell: Option<f64>,
) -> Option<f64> {
    let in_column = || match uncertainty?.cells.get(row) {
        Some(Cell::Number(number)) => Some(number.value_si),
        _ => None,
    };
    in_cell.or_else(in_column).or(column.uncertainty)
}

/// The columns that make up y.
struct OrdinateColumns<'a> {
    table: &'a Table,
    kind: Ordinate,
    groups: Vec<Group>,
    zeros: Vec<usize>,
    unit: Unit,
    decimals: i32,
    /// Whether the heading says that the readings are changes already.
    changes: bool,
    full: bool,
}

/// Columns that are repeats of one another.
struct Group {
    columns: Vec<usize>,
    /// The column of uncertainties of each, where there is one.
    uncertainties: Vec<Option<usize>>,
}

struct Reading {
    value: f64,
    bar: f64,
    standard: f64,
    basis: Basis,
    repeats: usize,
    identical: bool,
    typed_not_positive: bool,
}

impl<'a> OrdinateColumns<'a> {
    fn find(table: &'a Table, remarks: &mut Vec<Remark>) -> Option<OrdinateColumns<'a>> {
        let changes = columns_with(table, Role::Reading);
        let full = columns_with(table, Role::FullReading);
        let forces = columns_with(table, Role::Force);
        let numbers = |columns: &[usize]| {
            columns
                .iter()
                .map(|i| numbers_in(&table.columns[*i]))
                .max()
                .unwrap_or(0)
        };
        let both = !changes.is_empty() && !full.is_empty();
        if both {
            compare_change_with_full(table, changes[0], full[0], remarks);
        }
        let (chosen, kind, is_full) = if both && numbers(&full) > numbers(&changes) {
            let rows = (0..table.rows)
                .filter(|row| {
                    !matches!(
                        table.columns[changes[0]].cells.get(*row),
                        Some(Cell::Number(_))
                    )
                })
                .map(|row| row + 1)
                .collect();
            remarks.push(Remark::FullReadingUsed { rows });
            (full, Ordinate::Mass, true)
        } else if numbers(&changes) > 0 {
            (changes, Ordinate::Mass, false)
        } else if numbers(&full) > 0 {
            (full, Ordinate::Mass, true)
        } else if numbers(&forces) > 0 {
            (forces, Ordinate::Force, false)
        } else {
            let positions = !columns_with(table, Role::Position).is_empty();
            remarks.push(if positions {
                Remark::PositionsNotForces
            } else {
                Remark::NoColumn {
                    what: "balance reading or force",
                }
            });
            return None;
        };
        let first = &table.columns[*chosen.first()?];
        let default = if kind == Ordinate::Mass {
            Unit::GRAM
        } else {
            Unit::NEWTON
        };
        let unit = first.unit.unwrap_or(default);
        let decimals = chosen
            .iter()
            .filter_map(|i| table.columns[*i].decimals)
            .max()
            .unwrap_or(2);
        let zeros = if kind == Ordinate::Mass && !both {
            [Role::Zero, Role::ZeroBefore, Role::ZeroAfter]
                .into_iter()
                .flat_map(|r| columns_with(table, r))
                .collect()
        } else {
            Vec::new()
        };
        Some(OrdinateColumns {
            table,
            kind,
            groups: group(table, &chosen),
            zeros,
            unit,
            decimals,
            changes: both && !is_full,
            full: is_full,
        })
    }

    /// One step of the balance, in the SI unit of the column.
    fn step(&self, request: &Request) -> f64 {
        let quantity = if self.kind == Ordinate::Mass {
            Quantity::Mass
        } else {
            Quantity::Force
        };
        request
            .setup
            .balance_resolution
            .filter(|r| r.figure.unit.is_some_and(|u| u.quantity() == quantity))
            .map_or_else(|| self.unit.to_si(power_of_ten(-self.decimals)), |r| r.si)
    }

    /// What turns a reading into y: 1, or the force of a mass when y is a force.
    fn scale(&self, setup: &Setup, varied: Varied) -> f64 {
        if varied == Varied::Product && self.kind == Ordinate::Mass {
            setup.lever_ratio * setup.gravity_m_per_s2()
        } else {
            1.0
        }
    }

    fn at(&self, row: usize, group: &Group, step: f64) -> Option<Reading> {
        let zero = self.zero(row)?;
        let number = |column: usize| match self.table.columns[column].cells.get(row) {
            Some(Cell::Number(number)) => Some(number),
            _ => None,
        };
        let mut typed: Option<f64> = None;
        let summary = if let [only] = group.columns[..] {
            let value = number(only)?.value_si;
            Summary {
                count: 1,
                mean: value,
                half_range: 0.0,
                standard_error: None,
            }
        } else {
            let values: Vec<f64> = group
                .columns
                .iter()
                .filter_map(|c| number(*c))
                .map(|n| n.value_si)
                .collect();
            summarise(&values)?
        };
        for (column, uncertainty) in group.columns.iter().zip(&group.uncertainties) {
            if let Some(number) = number(*column) {
                let uncertainty = uncertainty.map(|i| &self.table.columns[i]);
                let own = typed_uncertainty(
                    &self.table.columns[*column],
                    uncertainty,
                    row,
                    number.uncertainty_si,
                );
                typed = typed.into_iter().chain(own).reduce(f64::max);
            }
        }
        let typed_not_positive = typed.is_some_and(|u| u <= 0.0);
        // A difference of two readings: half a step at each end in school terms, two rectangular half-widths of half a
        // step in the GUM's.
        let from_step = (step, step / 6.0_f64.sqrt());
        let (bar, standard, basis) = if let Some(u) = typed.filter(|u| *u > 0.0) {
            (u, u, Basis::Typed)
        } else {
            let standard = summary.standard_error.unwrap_or(0.0).max(from_step.1);
            // Half the range of decimals is worked out in binary: a hair below the step is the step.
            if summary.half_range > from_step.0 * (1.0 + 1e-9) {
                (summary.half_range, standard, Basis::HalfRange)
            } else {
                (from_step.0, standard, Basis::Resolution)
            }
        };
        Some(Reading {
            value: summary.mean - zero,
            bar,
            standard,
            basis,
            repeats: summary.count,
            identical: summary.count > 1 && summary.half_range == 0.0 && basis == Basis::Resolution,
            typed_not_positive,
        })
    }

    /// The noted zero to subtract at this row: the mean of the zeros noted for it, 0 without any such column. `None`
    /// where zeros were noted but none for this row.
    fn zero(&self, row: usize) -> Option<f64> {
        if self.zeros.is_empty() {
            return Some(0.0);
        }
        let values: Vec<f64> = self
            .zeros
            .iter()
            .filter_map(|column| match self.table.columns[*column].cells.get(row) {
                Some(Cell::Number(number)) => Some(number.value_si),
                _ => None,
            })
            .collect();
        summarise(&values).map(|s| s.mean)
    }

    /// Whether the readings stand on a large constant of their own: the full reading, or numbers that lie much farther
    /// from zero than from one another.
    fn untared(&self, points: &[Point]) -> bool {
        if self.full {
            return true;
        }
        if self.changes || points.len() < 2 {
            return false;
        }
        let low = points.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
        let high = points.iter().map(|p| p.y).fold(f64::NEG_INFINITY, f64::max);
        let nearest = if low > 0.0 {
            low
        } else if high < 0.0 {
            -high
        } else {
            0.0
        };
        nearest > 3.0 * (high - low) && high > low
    }
}

/// 10ⁿ as the nearest float.
fn power_of_ten(n: i32) -> f64 {
    libm::exp10(f64::from(n.clamp(-300, 300)))
}

/// Columns that belong to one series are repeats of one another.
fn group(table: &Table, columns: &[usize]) -> Vec<Group> {
    let mut labels: Vec<Option<&str>> = Vec::new();
    let mut groups: Vec<Group> = Vec::new();
    for index in columns {
        let label = table.columns[*index]
            .series
            .as_ref()
            .map(|s| s.label.as_str());
        let uncertainty = columns_with(table, Role::UncertaintyOf(*index + 1))
            .into_iter()
            .next();
        match labels.iter().position(|known| *known == label) {
            Some(i) => {
                groups[i].columns.push(*index);
                groups[i].uncertainties.push(uncertainty);
            }
            None => {
                labels.push(label);
                groups.push(Group {
                    columns: vec![*index],
                    uncertainties: vec![uncertainty],
                });
            }
        }
    }
    groups
}

/// Reading minus change is the zero, and there is only one: rows that imply another are named.
fn compare_change_with_full(table: &Table, change: usize, full: usize, remarks: &mut Vec<Remark>) {
    let (change, full) = (&table.columns[change], &table.columns[full]);
    let mut zeros: Vec<(usize, f64)> = Vec::new();
    for (row, pair) in change.cells.iter().zip(&full.cells).enumerate() {
        if let (Cell::Number(change), Cell::Number(full)) = pair {
            zeros.push((row + 1, full.value_si - change.value_si));
        }
    }
    if zeros.len() < 2 {
        return;
    }
    let mut sorted: Vec<f64> = zeros.iter().map(|z| z.1).collect();
    sorted.sort_unstable_by(f64::total_cmp);
    let zero = sorted[sorted.len() / 2];
    let unit = full.unit.unwrap_or(Unit::GRAM);
    // Each of the two cells is rounded by up to half a step.
    let step = unit.to_si(power_of_ten(-full.decimals.unwrap_or(2)));
    let rows: Vec<usize> = zeros
        .iter()
        .filter(|z| (z.1 - zero).abs() > 1.01 * step)
        .map(|z| z.0)
        .collect();
    let decimals = full.decimals.unwrap_or(2);
    if rows.is_empty() {
        remarks.push(Remark::ImpliedZero {
            zero: unit.from_si(zero),
            decimals,
            unit: unit.symbol(),
        });
    } else {
        remarks.push(Remark::ChangeIsNotReadingMinusZero {
            rows,
            zero: unit.from_si(zero),
            decimals,
            unit: unit.symbol(),
        });
    }
}

/// The number that sets a column of readings apart, where it is of this kind.
fn series_value(column: &Column, role: Role) -> Option<f64> {
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

/// The families found so far, and what tells them apart.
struct Families<'a> {
    table: &'a Table,
    setup: &'a Setup,
    /// Columns whose value sets a family apart in this kind of sweep.
    wires: Option<usize>,
    length: Option<usize>,
    angle: Option<usize>,
    keys: Vec<Key>,
    found: Vec<Family>,
}

#[derive(Clone, Copy, PartialEq)]
struct Key {
    group: usize,
    wires: Option<f64>,
    length_m: Option<f64>,
    angle_rad: Option<f64>,
}

impl<'a> Families<'a> {
    fn new(request: &'a Request, varied: Varied) -> Families<'a> {
        let first = |role| columns_with(request.table, role).into_iter().next();
        let by_column = varied == Varied::Current;
        Families {
            table: request.table,
            setup: request.setup,
            wires: first(Role::Wires).filter(|_| by_column),
            length: first(Role::Length).filter(|_| by_column),
            angle: first(Role::Angle).filter(|_| by_column),
            keys: Vec::new(),
            found: Vec::new(),
        }
    }

    fn index(&mut self, row: usize, group: &Group) -> usize {
        let value = |column: Option<usize>| match self.table.columns.get(column?)?.cells.get(row) {
            Some(Cell::Number(number)) => Some(number.value_si),
            _ => None,
        };
        let key = Key {
            group: group.columns.first().copied().unwrap_or(0),
            wires: value(self.wires),
            length_m: value(self.length),
            angle_rad: value(self.angle),
        };
        if let Some(index) = self.keys.iter().position(|k| *k == key) {
            return index;
        }
        self.keys.push(key);
        self.found.push(self.family(key));
        self.keys.len() - 1
    }

    fn family(&self, key: Key) -> Family {
        let column = self.table.columns.get(key.group);
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
    fn abscissa_scale(&self, varied: Varied, family: usize) -> f64 {
        let by_series = self
            .keys
            .get(family)
            .and_then(|k| series_value(self.table.columns.get(k.group)?, Role::Length))
            .filter(|_| varied == Varied::Product);
        by_series.unwrap_or(1.0)
    }
}
