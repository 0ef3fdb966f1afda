//! Texts that are no numbers but have a name: no reading, an error cell, a date, a fraction.
//!
//! Start at [`name`], which is asked only after the grammar has refused the text.

use super::FigureError;
use super::glyphs::{Glyph, HARD_SPACE};

/// The refusal that fits `glyphs` better than the grammar's own, if any; `shown` is the text for the message.
pub(super) fn name(glyphs: &[Glyph], shown: &str) -> Option<FigureError> {
    let text: String = glyphs
        .iter()
        .map(|glyph| {
            if glyph.means == HARD_SPACE {
                ' '
            } else {
                glyph.means
            }
        })
        .collect::<String>()
        .to_lowercase();
    let shown = || shown.to_owned();
    if text
        .chars()
        .all(|character| character == '-' || character == ' ')
    {
        return Some(FigureError::Dash);
    }
    if means_no_reading(&text) {
        return Some(FigureError::NoReading(shown()));
    }
    if text.chars().all(|character| character == '#') {
        return Some(FigureError::Hashes);
    }
    if is_error_cell(&text) {
        return Some(FigureError::SpreadsheetError(shown()));
    }
    if is_date_or_time(&text) {
        return Some(FigureError::DateLike(shown()));
    }
    if is_fraction(&text) {
        return Some(FigureError::Fraction(shown()));
    }
    None
}

fn means_no_reading(text: &str) -> bool {
    matches!(
        text,
        "n/a"
            | "na"
            | "n.a."
            | "n.a"
            | "n/d"
            | "nd"
            | "n.d."
            | "nan"
            | "nil"
            | "none"
            | "null"
            | "void"
            | "blank"
            | "empty"
            | "missing"
            | "no reading"
            | "not read"
            | "not taken"
            | "not measured"
            | "not available"
            | "not applicable"
            | "?"
            | "??"
            | "???"
            | "."
            | ".."
            | "..."
            | "…"
            | "/"
            | "-/-"
            | "-.-"
            | "x"
            | "×"
    )
}

/// `#DIV/0!`, `#N/A`, `#NAME?` in any language, and `Err:502`.
fn is_error_cell(text: &str) -> bool {
    let hash = text
        .strip_prefix('#')
        .is_some_and(|rest| rest.starts_with(char::is_alphabetic));
    let numbered = text
        .strip_prefix("err:")
        .is_some_and(|rest| !rest.is_empty() && rest.bytes().all(|byte| byte.is_ascii_digit()));
    hash || numbered
}

/// `1/2`, `1 1/2`, `½`.
fn is_fraction(text: &str) -> bool {
    let is_vulgar = |character: char| matches!(character, '¼'..='¾' | '⅐'..='⅞' | '↉');
    if text.contains(is_vulgar) {
        return text
            .chars()
            .all(|character| is_vulgar(character) || is_part_of_fraction(character));
    }
    let Some((above, below)) = text.split_once(['/', '⁄', '∕']) else {
        return false;
    };
    let has_digit = |part: &str| part.contains(|character: char| character.is_ascii_digit());
    let is_plain = |part: &str| part.chars().all(is_part_of_fraction);
    has_digit(above) && has_digit(below) && is_plain(above) && is_plain(below)
}

fn is_part_of_fraction(character: char) -> bool {
    character.is_ascii_digit() || matches!(character, ' ' | '-' | '+' | '.' | ',')
}

/// Dates with a month's name or with three numbers, months with a year, and times of day.
fn is_date_or_time(text: &str) -> bool {
    if is_time(text) {
        return true;
    }
    let parts: Vec<&str> = text
        .split(['-', '/', '.', ',', ' '])
        .filter(|part| !part.is_empty())
        .collect();
    let numbers: Vec<&str> = parts
        .iter()
        .copied()
        .filter(|part| is_day_or_year(part))
        .collect();
    let months = parts.iter().filter(|part| is_month(part)).count();
    if months == 1 && (1..=2).contains(&numbers.len()) && months + numbers.len() == parts.len() {
        return true;
    }
    if numbers.len() != parts.len() || text.starts_with(['-', '/', '.', ',']) {
        return false;
    }
    let has_year = numbers.iter().any(|number| is_year(number));
    let marks: String = text
        .chars()
        .filter(|character| !character.is_ascii_digit())
        .collect();
    match (numbers.len(), marks.as_str()) {
        (3, "//" | "--") => true,
        (3, "..") => has_year || numbers.iter().all(|number| number.len() == 2),
        (2, "..") => numbers.iter().all(|number| number.len() <= 2),
        (2, "/" | "-") => has_year,
        _ => false,
    }
}

/// `12:30`, `9:05:10`, also after a date.
fn is_time(text: &str) -> bool {
    text.split_once(':').is_some_and(|(before, after)| {
        before.ends_with(|character: char| character.is_ascii_digit())
            && after.starts_with(|character: char| character.is_ascii_digit())
    })
}

fn is_day_or_year(part: &str) -> bool {
    let digits = ["st", "nd", "rd", "th"]
        .iter()
        .find_map(|ending| part.strip_suffix(ending))
        .unwrap_or(part);
    (1..=4).contains(&digits.len()) && digits.bytes().all(|byte| byte.is_ascii_digit())
}

fn is_year(number: &str) -> bool {
    number.len() == 4 && (number.starts_with("19") || number.starts_with("20"))
}

/// Months as spreadsheets write them in some languages of Europe, short and in full, in lower case.
fn is_month(part: &str) -> bool {
    const MONTHS: [&[&str]; 12] = [
        &[
            "jan", "january", "januar", "jänner", "janv", "janvier", "ene", "enero", "gen",
            "gennaio", "januari", "janeiro",
        ],
        &[
            "feb",
            "february",
            "februar",
            "févr",
            "fév",
            "février",
            "febrero",
            "febbraio",
            "februari",
            "fev",
            "fevereiro",
        ],
        &[
            "mar", "march", "mär", "märz", "mrz", "mars", "marzo", "mrt", "maart", "março",
        ],
        &["apr", "april", "avr", "avril", "abr", "abril", "aprile"],
        &["may", "mai", "mayo", "mag", "maggio", "mei", "maj", "maio"],
        &[
            "jun", "june", "juni", "juin", "junio", "giu", "giugno", "junho",
        ],
        &[
            "jul", "july", "juli", "juil", "juillet", "julio", "lug", "luglio", "julho",
        ],
        &[
            "aug", "august", "août", "ago", "agosto", "augustus", "augusti",
        ],
        &[
            "sep",
            "sept",
            "september",
            "septembre",
            "septiembre",
            "set",
            "settembre",
            "setembro",
        ],
        &[
            "oct", "october", "okt", "oktober", "octobre", "octubre", "ott", "ottobre", "out",
            "outubro",
        ],
        &["nov", "november", "novembre", "noviembre", "novembro"],
        &[
            "dec",
            "december",
            "dez",
            "dezember",
            "déc",
            "décembre",
            "dic",
            "diciembre",
            "dicembre",
            "dezembro",
        ],
    ];
    MONTHS.iter().any(|names| names.contains(&part))
}
