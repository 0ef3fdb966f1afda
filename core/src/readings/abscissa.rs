//! What makes up x: the current, the length, the sine of the angle or their product, from columns or fixed.

use crate::figures::{Quantity, Unit};
use crate::table::{Cell, Column, Role};

use super::families::series_value;
use super::points::{Request, columns_with, typed_uncertainty};
use super::{Remark, Varied};

/// Value, half-width of the bar and standard uncertainty of one quantity at one row.
#[derive(Clone, Copy, Debug)]
pub(super) struct Known {
    pub(super) value: f64,
    pub(super) bar: Option<f64>,
    pub(super) standard: f64,
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
pub(super) struct Abscissa<'a> {
    pub(super) factors: [Factor<'a>; 4],
    pub(super) unit: Option<Unit>,
    pub(super) decimals: i32,
    pub(super) columns: Vec<usize>,
}

pub(super) enum Factor<'a> {
    Fixed(f64),
    Column {
        column: &'a Column,
        uncertainty: Option<&'a Column>,
        step: Option<f64>,
        sine: bool,
    },
}

impl Factor<'_> {
    pub(super) fn at(&self, row: usize) -> Option<Known> {
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
    pub(super) fn find(
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

    pub(super) fn at(&self, row: usize) -> Option<Known> {
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
