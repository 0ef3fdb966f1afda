//! The sentences of notes: what was seen, where, and what would be accepted.

use std::fmt;

use super::{NotUsed, Note, NoteKind, Role, Seen};
use crate::figures::Quantity;

/// Most rows that a note names.
const NAMED_ROWS: usize = 5;

/// The rows that a note is about.
pub(super) fn rows_of(kind: &NoteKind) -> Option<&[usize]> {
    match kind {
        NoteKind::PiecesUnclear(seen)
        | NoteKind::UnitsMixed(seen)
        | NoteKind::UnitUnlikely(seen)
        | NoteKind::WrongQuantity(seen)
        | NoteKind::Missing(seen)
        | NoteKind::Unusable { seen, .. }
        | NoteKind::DateNumber(seen)
        | NoteKind::OpenMark { seen, .. }
        | NoteKind::OtherMark { seen, .. }
        | NoteKind::Thousands(seen)
        | NoteKind::FewerDecimals { seen, .. } => Some(&seen.rows),
        _ => None,
    }
}

impl Note {
    /// The sentence, for people.
    pub fn text(&self) -> String {
        self.to_string()
    }

    /// Every row that the note is about, from 1; empty when it is about the table or a column as a whole.
    pub fn rows(&self) -> &[usize] {
        rows_of(&self.kind).unwrap_or_default()
    }
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(column) = self.place.column {
            match self.heading.as_str() {
                "" => write!(f, "Column {column}")?,
                heading => write!(f, "Column {column} ({heading})")?,
            }
            if let Some(rows) = rows_of(&self.kind) {
                write!(f, ", {}", Rows(rows))?;
            }
            f.write_str(": ")?;
        }
        self.kind.fmt(f)
    }
}

/// "row 3" or "rows 3, 5 and 7" or "rows 1, 2, 3, 4, 5 and 20 more".
struct Rows<'r>(&'r [usize]);

impl fmt::Display for Rows<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(if self.0.len() == 1 { "row " } else { "rows " })?;
        let named = self.0.get(..NAMED_ROWS).unwrap_or(self.0);
        write_list(f, named.iter(), self.0.len())
    }
}

/// Writes "a, b and c"; when `total` is larger than the list, "a, b and 7 more".
fn write_list<T: fmt::Display>(
    f: &mut fmt::Formatter<'_>,
    list: impl ExactSizeIterator<Item = T>,
    total: usize,
) -> fmt::Result {
    let count = list.len();
    for (index, item) in list.enumerate() {
        match index {
            0 => {}
            _ if index + 1 == count && count == total => f.write_str(" and ")?,
            _ => f.write_str(", ")?,
        }
        write!(f, "{item}")?;
    }
    if total > count {
        write!(f, " and {} more", total - count)?;
    }
    Ok(())
}

/// "“n/a”" or "“n/a” and “x”": what stands in the cells, each text once.
struct Quoted<'s>(&'s Seen);

impl Quoted<'_> {
    /// Each text once, in quotation marks; a blank cell in words.
    fn distinct(&self) -> Vec<String> {
        let mut texts: Vec<String> = Vec::new();
        for text in &self.0.texts {
            let shown = if text.is_empty() {
                "nothing".to_owned()
            } else {
                format!("“{text}”")
            };
            if !texts.contains(&shown) {
                texts.push(shown);
            }
        }
        texts
    }
}

impl fmt::Display for Quoted<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let texts = self.distinct();
        write_list(f, texts.iter(), texts.len())
    }
}

/// The form of a word that agrees with the texts quoted.
fn agree(seen: &Seen, one: &'static str, many: &'static str) -> &'static str {
    if Quoted(seen).distinct().len() == 1 {
        one
    } else {
        many
    }
}

fn columns(list: &[usize]) -> String {
    struct Columns<'c>(&'c [usize]);
    impl fmt::Display for Columns<'_> {
        fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str(if self.0.len() == 1 {
                "Column "
            } else {
                "Columns "
            })?;
            write_list(f, self.0.iter(), self.0.len())
        }
    }
    Columns(list).to_string()
}

impl fmt::Display for NoteKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoteKind::NothingPasted => f.write_str(
                "There is no text here. Paste or type a table: a column of currents and a column of balance readings.",
            ),
            NoteKind::TooLong { bytes, limit } => write!(
                f,
                "This text is {} MB long, and the most that is read is {} MB. Paste only the table of readings.",
                bytes.div_ceil(1_000_000),
                limit / 1_000_000
            ),
            NoteKind::TooManyRows { rows, limit } => write!(
                f,
                "This table has {rows} rows, and the most that is read is {limit}. Leave out what is not needed, or average \
                 readings first."
            ),
            NoteKind::TooManyCells { rows, columns, limit } => write!(
                f,
                "This table has {rows} rows of {columns} columns, and the most that is read is {limit} cells. Paste only the \
                 columns that matter."
            ),
            NoteKind::TooManyColumns { columns, limit } => write!(
                f,
                "This table has {columns} columns and only the first {limit} were read. Paste only the columns that matter."
            ),
            NoteKind::NoNumbers => f.write_str(
                "No cell of this table holds a number. A row of readings looks like 0.50 and 0.31, with a tab, a comma or \
                 spaces between them.",
            ),
            NoteKind::OneColumn => f.write_str(
                "Only one column holds numbers, and a graph needs two: the current and the balance reading.",
            ),
            NoteKind::NoVaried => f.write_str(
                "No column holds currents (or lengths, numbers of wires or angles). If one does, say so at its heading.",
            ),
            NoteKind::NoReadings => {
                f.write_str("No column holds balance readings or forces. If one does, say so at its heading.")
            }
            NoteKind::Title { text } => write!(f, "“{text}” above the headings was taken as the title."),
            NoteKind::CommentLines { count: 1, first } => {
                write!(f, "One line begins with # and was left out as a comment: “{first}”.")
            }
            NoteKind::CommentLines { count, first } => {
                write!(f, "{count} lines begin with # and were left out as comments; the first is “{first}”.")
            }
            NoteKind::SeparatorLine => f.write_str("The first line says what separates the cells; it was obeyed."),
            NoteKind::StrayQuote => f.write_str(
                "A quotation mark opens a cell and is never closed, so quotation marks were read as ordinary characters.",
            ),
            NoteKind::LiesAcross => f.write_str("The readings run along the rows, so the table was turned."),
            NoteKind::NoHeadings { taken } => {
                f.write_str("There are no headings")?;
                for (index, (column, role)) in taken.iter().enumerate() {
                    let link = match index {
                        0 => ", so",
                        _ if index + 1 == taken.len() => " and",
                        _ => ",",
                    };
                    let was = if index == 0 { " was taken" } else { "" };
                    write!(f, "{link} column {column}{was} as {}", name(*role))?;
                }
                f.write_str(". Headings such as “I / A” and “m / g” would say what the columns are.")
            }
            NoteKind::CommaForEverything { pieces, headings } => {
                match headings {
                    Some(1) => write!(f, "The rows have {pieces} pieces under one heading")?,
                    Some(headings) => write!(f, "The rows have {pieces} pieces under {headings} headings")?,
                    None => write!(f, "The rows have {pieces} pieces between commas")?,
                }
                f.write_str(
                    ", so each second comma was read as a decimal comma: 0,5,0,31 as 0.5 and 0.31. If that is wrong, choose \
                     the decimal point.",
                )
            }
            NoteKind::PiecesUnclear(seen) => write!(
                f,
                "{} cannot be parted into cells, since a comma may be a decimal mark or stand between two of them. Type the \
                 numbers with decimal points.",
                Quoted(seen)
            ),
            NoteKind::Guessed(role) => write!(f, "taken as {}. If that is wrong, change it at the heading.", name(*role)),
            NoteKind::NotUsed(why) => why.fmt(f),
            NoteKind::FullReading { change } => write!(
                f,
                "taken as the balance's full reading, since column {change} holds the change of the reading."
            ),
            NoteKind::DeltaIsUncertainty { of } => {
                write!(f, "Δ was taken to mean the uncertainty of column {of}, not a change of it.")
            }
            NoteKind::DeltaIsChange => f.write_str("Δ was taken to mean the change of the reading, not its uncertainty."),
            NoteKind::UncertaintyOf { of } => write!(f, "taken as the uncertainties of column {of}."),
            NoteKind::UnitGuessed(unit) => write!(
                f,
                "no unit is given, so {unit} was taken. Write it into the heading if it is another, as in “I / A”.",
            ),
            NoteKind::UnitTakenAs { seen, taken } => write!(
                f,
                "the unit “{seen}” was taken as {taken}, since a capital M stands for a million. If that is wrong, choose the \
                 unit at the heading."
            ),
            NoteKind::UnitUnknown { seen } => {
                write!(f, "“{seen}” is no unit known here; A, mA, g, mg, kg, N, mN, mm, cm or ° would do.")
            }
            NoteKind::UnitClash { heading, cells } => write!(
                f,
                "the heading says {heading} but the cells say {cells}; {cells} was used. If the heading is right, choose \
                 {heading} and take the units out of the cells."
            ),
            NoteKind::UnitsMixed(seen) => {
                write!(f, "the units differ from cell to cell ({}); each number was converted.", Quoted(seen))
            }
            NoteKind::UnitUnlikely(seen) => write!(
                f,
                "{} {} converted, but the unit is an unlikely one beside the others. Is it right?",
                Quoted(seen),
                agree(seen, "was", "were")
            ),
            NoteKind::WrongQuantity(seen) => write!(
                f,
                "not used. {} {} the unit of something else. Type the number with the column's unit or with none.",
                Quoted(seen),
                agree(seen, "has", "have")
            ),
            NoteKind::Repeats { columns: list } => {
                write!(f, "{} were taken as repeats of the same readings; their mean is used.", columns(list))
            }
            NoteKind::Ways { columns: list, reversed: true } => write!(
                f,
                "{} were taken with the current forward and reversed: the reversed readings stand at negative currents.",
                columns(list)
            ),
            NoteKind::Ways { columns: list, reversed: false } => write!(
                f,
                "{} were taken while the current was raised and while it was lowered again; every reading is a point.",
                columns(list)
            ),
            NoteKind::SeveralSeries { columns: list, role, unit, guessed } => {
                write!(f, "{} were taken as separate series", columns(list))?;
                match (role, unit) {
                    (Some(role), Some(unit)) => write!(f, ", each for its own {} in {unit}", singular(*role))?,
                    (Some(role), None) => write!(f, ", each for its own {}", singular(*role))?,
                    (None, _) => {}
                }
                f.write_str(if *guessed { ". If they are repeats, or differ in something else, say so at the headings." } else { "." })
            }
            NoteKind::Missing(seen) => write!(
                f,
                "no reading ({}), so nothing was used there, not even a zero. If the reading was zero, type 0.",
                Quoted(seen)
            ),
            NoteKind::Unusable { reason, seen } => {
                write!(f, "not used. {reason}")?;
                if seen.texts.len() > 1 {
                    write!(f, " The cells hold {}.", Quoted(seen))?;
                }
                Ok(())
            }
            NoteKind::DateNumber(seen) => write!(
                f,
                "not used. {} {} probably a date that a spreadsheet made from a number such as 1.1; type the number again.",
                Quoted(seen),
                agree(seen, "is", "are")
            ),
            NoteKind::OpenMark { mark, thousands, seen } => {
                let mark_name = if *mark == ',' { "comma" } else { "point" };
                match thousands {
                    true => write!(
                        f,
                        "the {mark_name} in {} was read as a mark between thousands, not as a decimal mark. If that is wrong, \
                         choose the decimal {mark_name}.",
                        Quoted(seen)
                    ),
                    false => write!(
                        f,
                        "the {mark_name} in {} was read as the decimal mark, not as a mark between thousands.",
                        Quoted(seen)
                    ),
                }
            }
            NoteKind::OtherMark { mark, seen } => {
                let mark_name = if *mark == ',' { "comma" } else { "point" };
                write!(
                    f,
                    "{} {} a decimal {mark_name} where the other cells have another mark; it was read as such.",
                    Quoted(seen),
                    agree(seen, "has", "have")
                )
            }
            NoteKind::Thousands(seen) => {
                write!(f, "marks between thousands were taken out of {}.", Quoted(seen))
            }
            NoteKind::FewerDecimals { decimals, seen } => write!(
                f,
                "{} {} fewer decimal places than the others. The column seems to be read to {}; write every reading so.",
                Quoted(seen),
                agree(seen, "has", "have"),
                crate::figures::round::to_decimals(last_place(*decimals), *decimals)
            ),
        }
    }
}

impl fmt::Display for NotUsed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            NotUsed::NoHeading => "not used, since it has no heading. If it holds readings, say what they are.",
            NotUsed::UnknownHeading => {
                "not used, since its heading names nothing that is needed here. If it does matter, say what it is."
            }
            NotUsed::Mean => "not used: it is a mean, and means are worked out from the readings themselves.",
            NotUsed::SecondCurrent => {
                "not used, since another column holds the currents. Choose this one if it is the right one."
            }
            NotUsed::NoTarget => {
                "not used: it holds uncertainties, but of which column cannot be told. Say it at the heading."
            }
        })
    }
}

/// One unit in the last of `decimals` places.
fn last_place(decimals: i32) -> f64 {
    format!("1e{}", -decimals).parse().unwrap_or(1.0)
}

/// What a column of the role holds, in words.
fn name(role: Role) -> &'static str {
    match role {
        Role::Current => "the current",
        Role::Reading => "balance readings",
        Role::FullReading => "the balance's full readings",
        Role::Zero => "zero readings",
        Role::ZeroBefore => "the zeros before the readings",
        Role::ZeroAfter => "the zeros after the readings",
        Role::Force => "the force",
        Role::Length => "the length of the wire",
        Role::Wires => "the number of wires",
        Role::Angle => "the angle",
        Role::FluxDensity => "the flux density",
        Role::Position => "a position",
        Role::Time => "the time",
        Role::Counter => "the number of the reading",
        Role::UncertaintyOf(_) => "uncertainties",
        Role::Comment => "comments",
        Role::Ignored => "nothing that is needed",
    }
}

fn singular(role: Role) -> &'static str {
    match role {
        Role::Length => "length of wire",
        Role::Wires => "number of wires",
        Role::Current => "current",
        Role::Angle => "angle",
        _ => "setting",
    }
}

/// The words for a quantity whose unit was expected.
impl Role {
    /// The quantity that numbers of this role measure; `None` for counts and comments, and for uncertainties, which have
    /// the quantity of their column.
    pub fn quantity(self) -> Option<Quantity> {
        Some(match self {
            Role::Current => Quantity::Current,
            Role::Reading | Role::FullReading | Role::Zero | Role::ZeroBefore | Role::ZeroAfter => {
                Quantity::Mass
            }
            Role::Force => Quantity::Force,
            Role::Length | Role::Position => Quantity::Length,
            Role::Angle => Quantity::Angle,
            Role::FluxDensity => Quantity::FluxDensity,
            Role::Time => Quantity::Time,
            Role::Wires
            | Role::Counter
            | Role::UncertaintyOf(_)
            | Role::Comment
            | Role::Ignored => return None,
        })
    }
}
