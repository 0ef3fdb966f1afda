//! The sentences of [`Remark`].

use crate::figures::round;

use super::families::MOST_SERIES;
use super::{Remark, Varied};

/// What a remark means for the reader.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// For information.
    Told,
    /// A choice was made that the reader can change.
    Asked,
    /// Something could not be used.
    Trouble,
}

impl Remark {
    /// What it means for the reader.
    pub fn weight(&self) -> Weight {
        match self {
            Remark::FieldUnread { .. }
            | Remark::NoColumn { .. }
            | Remark::PositionsNotForces
            | Remark::TooManySeries { .. }
            | Remark::ChangeIsNotReadingMinusZero { .. } => Weight::Trouble,
            Remark::FieldAssumed { .. }
            | Remark::VariedTaken { .. }
            | Remark::FullReadingUsed { .. } => Weight::Asked,
            Remark::ReversedPairs { alone, .. } if !alone.is_empty() => Weight::Asked,
            Remark::ImpliedZero { .. }
            | Remark::ZerosSubtracted { .. }
            | Remark::ReversedPairs { .. }
            | Remark::IdenticalRepeats { .. }
            | Remark::UncertaintyNotPositive { .. } => Weight::Told,
        }
    }

    /// The field of the apparatus that it speaks of.
    pub fn field(&self) -> Option<&'static str> {
        match self {
            Remark::FieldUnread { field, .. } | Remark::FieldAssumed { field, .. } => Some(field),
            _ => None,
        }
    }

    /// The first row that it speaks of.
    pub fn row(&self) -> Option<usize> {
        match self {
            Remark::FullReadingUsed { rows }
            | Remark::ChangeIsNotReadingMinusZero { rows, .. }
            | Remark::IdenticalRepeats { rows }
            | Remark::TooManySeries { rows }
            | Remark::UncertaintyNotPositive { rows } => rows.first().copied(),
            _ => None,
        }
    }

    /// The sentence.
    pub fn text(&self) -> String {
        match self {
            Remark::FieldUnread { why, .. } => why.clone(),
            Remark::FieldAssumed { what, .. } => what.clone(),
            Remark::NoColumn { what } => format!(
                "No column of numbers was recognised as the {what}. Put a heading such as “I / A” or “m / g” above the \
                 column, or choose what each column holds."
            ),
            Remark::PositionsNotForces => {
                "The table holds positions of a rider, not forces. Which of the two did you set, \
                the position or the current? Work out the force of each row, F = (distance of the rider / arm of the \
                wire) × m g, with both distances in the same unit, and put it in a column headed “F / mN”."
                    .into()
            }
            Remark::FullReadingUsed { rows } => format!(
                "The column of changes has no usable number in {}, so the line was drawn through the full balance \
                 readings instead. The gradient is the same; only the intercept is larger, by the zero.",
                rows_text(rows)
            ),
            Remark::ChangeIsNotReadingMinusZero { rows, zero, decimals, unit } => format!(
                "Reading minus change should be the same zero in every row. Most rows give {} {unit}, but {} {} not. \
                 Look whether those rows were copied or worked out wrongly.",
                round::typeset(&round::to_decimals(*zero, *decimals)),
                rows_text(rows),
                if rows.len() == 1 { "does" } else { "do" }
            ),
            Remark::ImpliedZero { zero, decimals, unit } => format!(
                "Reading minus change is {} {unit} in every row: that is the zero the changes were worked out from. \
                 If you noted another zero, one of the two is wrong; the gradient is the same with either.",
                round::typeset(&round::to_decimals(*zero, *decimals))
            ),
            Remark::VariedTaken { varied } => format!(
                "The table has no current column, so the {} was taken as the quantity you changed.",
                match varied {
                    Varied::Current => "current",
                    Varied::Length => "length of wire",
                    Varied::Angle => "angle",
                    Varied::Product => "product N I L sin θ",
                }
            ),
            Remark::ZerosSubtracted { between } if between.is_empty() => {
                "The zeros noted beside the readings were subtracted from them.".into()
            }
            Remark::ZerosSubtracted { between } => format!(
                "The zeros that you noted were subtracted. For {} none stands in the row itself, so the zero was taken \
                 to move evenly from the one noted before to the one noted after.",
                rows_text(between)
            ),
            Remark::ReversedPairs { pairs, alone } => {
                let joined = format!(
                    "{pairs} pairs of readings with the current forward and reversed were joined: half of their \
                     difference is the reading, so that an error of the zero cancels and a slow drift nearly does."
                );
                if alone.is_empty() {
                    joined
                } else {
                    format!(
                        "{joined} No reading with the same current reversed was found for {}, so nothing was used there.",
                        rows_text(alone)
                    )
                }
            }
            Remark::IdenticalRepeats { rows } => format!(
                "The repeats in {} are all the same, so half their range is zero. The error bar there is one step of \
                 the balance instead.",
                rows_text(rows)
            ),
            Remark::TooManySeries { rows } => format!(
                "The table holds more than {MOST_SERIES} series that differ in length, wires or angle. The first \
                 {MOST_SERIES} were worked out; the readings in {} were left out.",
                rows_text(rows)
            ),
            Remark::UncertaintyNotPositive { rows } => format!(
                "The uncertainty typed in {} is not above zero; the step of the balance was used there instead.",
                rows_text(rows)
            ),
        }
    }
}

/// Rows in words: `row 3`, `rows 3 and 5`, `rows 1, 2, 3 and 8 more`.
pub fn rows_text(rows: &[usize]) -> String {
    const SHOWN: usize = 6;
    let numbers: Vec<String> = rows.iter().take(SHOWN).map(usize::to_string).collect();
    match numbers.as_slice() {
        [] => "no row".into(),
        [one] => format!("row {one}"),
        _ if rows.len() > SHOWN => format!(
            "rows {} and {} more",
            numbers.join(", "),
            rows.len() - SHOWN
        ),
        [most @ .., last] => format!("rows {} and {last}", most.join(", ")),
    }
}
